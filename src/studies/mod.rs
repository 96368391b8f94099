//! Many runs: variants side by side, and what each thing that acts adds to an answer.
//!
//! Reads checked models. Gives plain data to compare ([`Variant`]) or to explain ([`Why`]). Leaves
//! out presentation.

mod compare;
mod why;

pub use compare::{Figure, Variant, gain_per_kg, unbeaten};
pub use why::{Question, Why, why};
