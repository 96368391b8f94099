//! What can be moved on the car, as the file gives it.

use crate::record;
use crate::units::Length;

record! {
    /// Something that can be moved on the car: a shim, an eccentric, a row of holes.
    Adjuster {
        /// What it moves: nodes, brackets, places of a corner or of an anti-roll bar.
        points: Vec<String>,
        /// The direction in which they move; its length does not count.
        along: [f64; 3],
        /// Every position that it can take: how far from where it is drawn.
        at: Vec<Length>,
        /// Whether the mirror twin of each point moves too, as its mirror image.
        both: bool = false,
    }
}
