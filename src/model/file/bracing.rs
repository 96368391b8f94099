//! The shape of `bracing`.

use super::frame::{JointWord, Joints};
use crate::record;
use crate::units::Length;

record! {
    /// Braces that a search may add. A brace and its mirror twin are one choice.
    Bracing {
        /// Tube size of every brace.
        tube: String,
        /// Pairs of nodes or brackets to choose from.
        between: Option<Vec<[String; 2]>> = None,
        /// All pairs of nodes that these words allow, in place of `between`.
        auto: Option<AutoBracing> = None,
        /// How the ends of the braces are joined: one for both, or a list of two.
        joint: Joints = Joints::Both(JointWord::Weld),
        /// At most so many choices at once.
        at_most: Option<f64> = None,
    }

    /// Which pairs of nodes may be braced.
    AutoBracing {
        /// No brace is longer.
        longest: Length,
        /// Room that is left between a brace and every tube that does not end where it ends, surface to surface.
        clear_of: Length = Length(0.0),
    }
}
