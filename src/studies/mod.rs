//! Many runs: variants side by side, what each thing that acts adds to an answer, the tube sizes of
//! a first frame, the braces that pay, the worst that tyres can do, a car that is not quite as drawn; and how
//! long ones are cut into parts.
//!
//! Reads checked models, or the figures of a car. Gives plain data to compare ([`Variant`]) or to
//! explain ([`Why`]), or a model ([`first_frame::FirstFrame`]). Leaves out presentation.

mod compare;
pub mod divided;
pub mod first_frame;
pub mod frames;
pub mod kept;
pub mod mend;
pub mod scatter;
pub mod size;
pub mod triangulate;
mod watch;
mod why;
pub mod worst;

pub use compare::{Figure, Variant, case_at, gain_per_kg, unbeaten};
pub use watch::Watch;
pub use why::{Question, Reasons, Why};
