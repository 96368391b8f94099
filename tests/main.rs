//! All tests that look at the crate from outside, by theme.

mod support;
mod worked;
