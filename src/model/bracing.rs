//! Braces that a search may add.

use super::frame::{Anchor, Member, Orientation, WeldKeys};
use crate::beam::Joint;

/// Which braces a search may choose from, and how they are made.
#[derive(Debug, Clone, PartialEq)]
pub struct Bracing {
    /// Tube size, an index into [`Model::tubes`](super::Model::tubes).
    pub tube: usize,
    /// From what to choose.
    pub choice: BraceChoice,
    /// How both ends are joined.
    pub joints: [Joint; 2],
    /// The same as the file has it; `None`: welded, without a word.
    pub joint_words: Option<serde_json::Value>,
    /// Whether a weld is at each end.
    pub welded: [bool; 2],
    /// Whether each end is asked to turn as a tube on a tube does.
    pub tube_on_tube: [bool; 2],
    /// At most so many choices at once.
    pub at_most: Option<usize>,
}

/// From what to choose.
#[derive(Debug, Clone, PartialEq)]
pub enum BraceChoice {
    /// These pairs of nodes or brackets.
    Between(Vec<[Anchor; 2]>),
    /// All pairs of nodes no further apart than `longest_mm` whose brace leaves `clear_of_mm` between its surface and
    /// that of every tube that does not end where it ends.
    Auto {
        /// Greatest length, mm.
        longest_mm: f64,
        /// Least gap, mm.
        clear_of_mm: f64,
    },
}

impl Bracing {
    /// A brace as it is written in a file.
    pub fn written(&self, ends: [&str; 2], tube: &str) -> serde_json::Value {
        let mut brace = serde_json::json!({ "ends": ends, "tube": tube });
        if let Some(words) = &self.joint_words {
            brace["joint"] = words.clone();
        }
        brace
    }

    /// A brace as a tube of the frame, welded as the file says of all tubes.
    pub fn member(&self, ends: [Anchor; 2], weld: WeldKeys) -> Member {
        Member {
            nodes: ends.to_vec(),
            tube: self.tube,
            bend_radius_mm: None,
            end_at: [None; 2],
            column_length_mm: None,
            orientation: Orientation::default(),
            joints: self.joints,
            welded: self.welded,
            tube_on_tube: self.tube_on_tube,
            weld,
        }
    }
}
