//! Names in an option's change that were meant to be names of the file.
//!
//! A merge patch adds what is not there and takes out nothing where there is nothing, so that a slip of the pen is a
//! new part that lacks everything, or a change that changes nothing.

use super::mirror::other_side;
use crate::source::{NearNames, Node, Problem, Step, Value, visible};

/// Sections of a file whose keys are names that its user chose.
const NAMED: [&str; 9] = ["members", "nodes", "brackets", "bodies", "mounts", "cases", "tubes", "materials", "corners"];

/// What a change takes out that is not there.
pub(super) fn takes_out_nothing(file: &Node, option: &str, change: &Node, near: &mut NearNames) -> Vec<Problem> {
    let mut problems = Vec::new();
    for section in NAMED {
        let there = file.get(section).filter(|there| matches!(there.value, Value::Object(_)));
        let (Some(there), Some(changed)) = (there, change.get(section)) else { continue };
        for entry in changed.entries() {
            let is_taken_out = matches!(entry.node.value, Value::Null);
            if !is_taken_out || there.get(&entry.key).is_some() {
                continue;
            }
            let path = crate::path!["options", option, "change", section, &entry.key];
            let message = format!("there is no \"{}\" to take out", visible(&entry.key));
            let mut problem = Problem::new(path, entry.key_span.clone(), message);
            let twin = other_side(&entry.key);
            problem.hint = Some(if there.get(&twin).is_some() {
                format!("it is the mirror twin of \"{}\", and goes with that", visible(&twin))
            } else {
                near.instead(&entry.key, there.entries().iter().map(|entry| entry.key.as_str()))
            });
            problems.push(problem);
        }
    }
    problems
}

/// Says of a problem of a part that only the change has which part of the file it may have been meant to be.
pub(super) fn tell_the_nearest(file: &Node, near: &mut NearNames, problem: &mut Problem) {
    let [Step::Key(section), Step::Key(name)] = problem.path.0.as_slice() else { return };
    let Some(there) = file.get(section).filter(|_| NAMED.contains(&section.as_str())) else { return };
    if problem.hint.is_some() || there.get(name).is_some() || there.get(&other_side(name)).is_some() {
        return;
    }
    let names = there.entries().iter().map(|entry| entry.key.as_str());
    problem.hint = near
        .nearest(name, names)
        .map(|near| format!("\"{}\" is new with this option; did you mean \"{}\"?", visible(name), visible(near)));
}
