//! Names: none is shared, none is there for nothing.

use std::collections::{HashMap, HashSet};

use super::{Checker, entry};
use crate::model::file::File;
use crate::model::{Anchor, BracketFoot, Fault, Model, Target};

/// Nodes, brackets, members and bodies do not share names.
pub(super) fn no_shared_names(file: &File, checker: &mut Checker<'_>) {
    let sections: [(&str, &str, Vec<&String>); 4] = [
        ("nodes", "node", file.nodes.keys().collect()),
        ("brackets", "bracket", file.brackets.keys().collect()),
        ("members", "member", file.members.keys().collect()),
        ("bodies", "body", file.bodies.keys().collect()),
    ];
    let mut owner: HashMap<&str, &str> = HashMap::new();
    for (section, what, names) in &sections {
        for name in names {
            if let Some(other) = owner.insert(name, what) {
                checker.fault_with_hint(
                    entry(section, name),
                    format!(
                        "a {other} is called \"{name}\" too; nodes, brackets, members and bodies do not share names"
                    ),
                    "rename one of the two",
                );
            }
        }
    }
}

/// Every node has a member, body or corner part, on itself or on a bracket that stands on it.
pub(super) fn everything_is_used(model: &Model, checker: &mut Checker<'_>) {
    let used = attached(model);
    for (at, (name, _)) in model.nodes.iter().enumerate() {
        let by_bracket = || {
            model.brackets.iter().enumerate().any(|(bracket, (_, drawn))| {
                drawn.on == BracketFoot::Node(at) && used.contains(&Anchor::Bracket(bracket))
            })
        };
        if !used.contains(&Anchor::Node(at)) && !by_bracket() && !checker.may_be_in_what_was_left_out(name) {
            let message = format!("no member, body or corner part is attached to node \"{name}\"");
            let fault = Fault::new(entry("nodes", name), message).hint("take it out, or attach what belongs there");
            checker.faults.push(Fault { is_idle: true, ..fault });
        }
    }
}

/// Brackets that nothing is attached to and nothing loads: odd, but the frame can do without.
///
/// The format page calls this an error, and its own example holds such a bracket; the example wins.
pub(super) fn idle_brackets(model: &Model) -> Vec<String> {
    let (used, loaded) = (attached(model), loaded(model));
    model
        .brackets
        .keys()
        .enumerate()
        .filter(|(at, _)| {
            let anchor = Anchor::Bracket(*at);
            !used.contains(&anchor) && !loaded.contains(&anchor) && !model.mounts.iter().any(|mount| mount.at == anchor)
        })
        .map(|(_, name)| format!("nothing is attached to bracket \"{name}\" and nothing loads it"))
        .collect()
}

/// Nodes and brackets that carry a member, a body or a corner part.
fn attached(model: &Model) -> HashSet<Anchor> {
    let mut used = HashSet::new();
    for member in model.members.values() {
        used.extend(member.nodes.iter().copied());
    }
    for body in model.bodies.values() {
        used.extend(body.mounts.iter().map(|mount| mount.at));
    }
    used.extend(model.pickups());
    used
}

/// Nodes and brackets that a case loads.
fn loaded(model: &Model) -> HashSet<Anchor> {
    let mut loaded = HashSet::new();
    for case in model.cases.values() {
        for (target, _) in case.forces.iter().chain(&case.moments) {
            if let Target::Anchor(anchor) = target {
                loaded.insert(*anchor);
            }
        }
        if let Some(twist) = &case.twist {
            loaded.extend(twist.axle);
        }
    }
    loaded
}
