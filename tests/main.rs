//! All tests that look at the crate from outside, by theme.

#![allow(clippy::unwrap_used, reason = "a helper of a test that panics has failed it, and says where")]

mod broken;
mod first_model;
mod house;
mod laws;
mod published;
mod reports;
mod support;
mod worked;
