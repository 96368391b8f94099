//! Many runs: variants side by side, and the tube sizes of a first frame.
//!
//! Reads checked models, or the figures of a car. Gives plain data to compare ([`Variant`]), or a
//! model ([`first_frame::FirstFrame`]). Leaves out presentation.

mod compare;
pub mod first_frame;

pub use compare::{Figure, Variant, gain_per_kg, unbeaten};
