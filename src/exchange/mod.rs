//! Points and lines from other programs: a table of points, the lines of a drawing.
//!
//! Reads texts; gives a model's text with the points moved and added, and what there is to tell
//! about it. Opens no file and judges no model.

mod csv;
mod dxf;
mod joining;
mod meeting;
mod placing;
mod remarks;

pub use self::csv::{PointTable, Row, harmless, read_table, write_points};
pub use dxf::{Drawing, Line, read_drawing};
pub use joining::{JoinBy, Joined, Loose, NotJoined, join};
pub use meeting::Nearest;
pub use placing::{Moved, Placed, TwinOff, place};

/// Furthest that a point of a car can be from the origin, mm.
const FARTHEST_MM: f64 = 1e5;

/// What is wrong with a line of a file, and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BadLine {
    /// The line, counted from 1.
    pub line: u64,
    /// What is wrong.
    pub message: String,
    /// What to do about it.
    pub hint: Option<String>,
}

impl BadLine {
    fn new(line: u64, message: impl Into<String>) -> Self {
        Self { line, message: message.into(), hint: None }
    }

    fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }
}
