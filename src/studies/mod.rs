//! Many runs: variants side by side.
//!
//! Reads checked models. Gives plain data to compare ([`Variant`]). Leaves out presentation.

mod compare;

pub use compare::{Figure, Variant, gain_per_kg, unbeaten};
