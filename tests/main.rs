//! All tests that look at the crate from outside, by theme.

mod broken;
mod house;
mod published;
mod reports;
mod support;
mod worked;
