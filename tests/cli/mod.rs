//! Whole runs of the program: what it prints where, how it ends, and what it leaves in folders.

mod combinations;
mod endings;
mod folders;
mod prove;
pub(crate) mod readme;
mod streams;
mod user_text;

use crate::support::program::Scratch;
use crate::support::{read, repository_file};

/// Every command, with a model where it takes one.
const COMMANDS: [&[&str]; 9] = [
    &["check", "frame.json"],
    &["draw", "frame.json"],
    &["loads", "frame.json"],
    &["compare", "frame.json"],
    &["why", "frame.json", "--tube", "hoop"],
    &["points", "frame.json", "--write-csv", "-"],
    &["tubes"],
    &["materials"],
    &["schema"],
];

/// A folder with a frame in it that passes: cases `hanging`, `weight`, `pulled`, option `thicker`.
fn stand() -> Scratch {
    holding(&read("models/stand.json"))
}

/// A folder with a frame in it that fails.
fn failing() -> Scratch {
    holding(&std::fs::read_to_string(repository_file("models/cantilever.json")).unwrap())
}

/// A folder with this frame in it.
fn holding(text: &str) -> Scratch {
    let folder = Scratch::new();
    folder.write("frame.json", text);
    folder
}
