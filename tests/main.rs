//! All tests that look at the crate from outside, by theme.

mod laws;
mod published;
mod support;
mod worked;
