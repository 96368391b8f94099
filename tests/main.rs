//! All tests that look at the crate from outside, by theme.

#![allow(clippy::unwrap_used, reason = "a helper of a test that panics has failed it, and says where")]

mod broken;
mod cli;
mod corners;
mod engines;
mod first_model;
mod house;
mod independent;
mod judged;
mod laws;
mod modes;
mod points;
mod published;
mod readouts;
mod reports;
mod scatter;
mod sizing;
mod support;
mod what_if;
mod why;
mod worked;
mod worst;
