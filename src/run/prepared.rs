//! What two runs of one structure share.

use crate::math::{FaerEngine, Plan};
use crate::model::{Anchor, Fault, Model};
use crate::path;
use crate::solve::{Loose, Mechanism, Motion, Solved, System, held_spins, loose, plan, solve};
use crate::source::Path;
use crate::structure::{PartKind, Purpose, Structure, Tie, build, number};
use crate::units::{decimals, figures};

/// A structure, factorised.
pub struct Prepared {
    /// The structure with its stiffness.
    pub system: System,
    /// The plan of its factorisation, good for every structure of this pattern.
    pub plan: Box<dyn Plan>,
    /// The factor.
    pub solved: Solved,
    /// Turns that nothing needs to resist and that are held, in words.
    pub held: Vec<String>,
}

/// Takes a model apart and factorises it.
///
/// # Errors
/// A closed ring of rigid ties, or a mechanism: every motion in words.
pub fn prepare(model: &Model, purpose: Purpose) -> Result<Prepared, Vec<Fault>> {
    let structure = build(model, purpose).map_err(|fault| vec![fault])?;
    let spins = held_spins(&structure);
    let mut held: Vec<String> = spins.iter().map(|tube| structure.tube_name(model, *tube)).collect();
    if !held.is_empty() {
        held = vec![format!(
            "held, because nothing needs to resist it: the spin of {} about their own axes",
            held.join(", ")
        )];
    }
    let numbering = number(model, &structure, &[]).map_err(|fault| vec![fault])?;
    let system = System::new(structure, numbering);
    let first_plan = plan(&system, &FaerEngine);
    match solve(&system, first_plan.as_ref()) {
        Ok(solved) if !solved.is_suspicious() && !system.has_slack => {
            Ok(Prepared { system, plan: first_plan, solved, held })
        }
        attempt => {
            let found = loose(&system.structure).ok_or_else(|| vec![too_large_to_tell()])?;
            if !found.mechanisms.is_empty() {
                return Err(mechanism_faults(model, &system.structure, &found));
            }
            if found.held.is_empty() {
                let solved = attempt.map_err(|_| vec![too_soft()])?;
                return Ok(Prepared { system, plan: first_plan, solved, held });
            }
            held.extend(held_turns(model, &system.structure, &found.held));
            let structure = system.structure;
            let numbering = number(model, &structure, &found.held).map_err(|fault| vec![fault])?;
            let system = System::new(structure, numbering);
            let plan = plan(&system, &FaerEngine);
            let solved = solve(&system, plan.as_ref()).map_err(|_| vec![too_soft()])?;
            Ok(Prepared { system, plan, solved, held })
        }
    }
}

fn too_large_to_tell() -> Fault {
    Fault::new(path!["members"], "something in the frame is loose, and the frame is too large to say what")
        .hint("solve a part of it alone")
}

fn too_soft() -> Fault {
    Fault::new(
        path!["members"],
        "the stiffest and the softest parts are so far apart that the arithmetic fails, though nothing is loose",
    )
    .hint("look for a tube, a rate or a section figure with a wrong unit")
}

/// What a part is called: its nodes and brackets, or the body or upright that it is.
fn part_names(model: &Model, structure: &Structure, part: usize) -> Vec<String> {
    let drawn = &structure.parts[part];
    let mut names: Vec<String> = match drawn.kind {
        PartKind::Frame => Vec::new(),
        PartKind::Body(body) => {
            model.bodies.get_index(body).map(|(name, _)| format!("body {name}")).into_iter().collect()
        }
        PartKind::Upright(corner) => vec![format!("the upright of {}", model.corners[corner].wheel.name())],
    };
    names.extend(drawn.anchors.iter().map(|anchor| model.anchor_name(*anchor).to_owned()));
    names
}

/// The parts whose turns are held, in one sentence.
fn held_turns(model: &Model, structure: &Structure, ties: &[Tie]) -> Option<String> {
    let mut names: Vec<String> = Vec::new();
    for tie in ties {
        let of_part = part_names(model, structure, tie.part);
        let name = if of_part.is_empty() { "a joint between tubes".to_owned() } else { of_part.join("/") };
        if !names.contains(&name) {
            names.push(name);
        }
    }
    (!names.is_empty()).then(|| format!("held, because nothing needs to resist it: turns of {}", names.join(", ")))
}

/// Every mechanism as a fault at the first thing that moves in it.
fn mechanism_faults(model: &Model, structure: &Structure, found: &Loose) -> Vec<Fault> {
    found.mechanisms.iter().map(|mechanism| mechanism_fault(model, structure, mechanism)).collect()
}

fn mechanism_fault(model: &Model, structure: &Structure, mechanism: &Mechanism) -> Fault {
    let mut sentences = Vec::new();
    for (motion, parts) in &mechanism.groups {
        let names: Vec<String> = parts.iter().flat_map(|part| part_names(model, structure, *part)).collect();
        let tubes = tubes_between(model, structure, parts);
        let what = match (names.is_empty(), tubes.is_empty()) {
            (false, _) => subject(&names),
            (true, false) => format!("tube {}", list(&tubes)),
            (true, true) => continue,
        };
        sentences.push(format!("{what} can {}", motion_in_words(model, motion)));
    }
    let path = mechanism
        .groups
        .iter()
        .flat_map(|(_, parts)| parts)
        .find_map(|part| part_path(model, structure, *part))
        .unwrap_or_else(|| path!["members"]);
    Fault::new(path, format!("the frame is a mechanism: {}", sentences.join(", while ")))
        .hint(remedy(structure, mechanism))
}

/// `node A`, `nodes A, B and C`, with bodies and uprights as they are.
fn subject(names: &[String]) -> String {
    let nodes = names.iter().filter(|name| !name.starts_with("body ") && !name.starts_with("the upright ")).count();
    match nodes {
        0 => list(names),
        1 => format!("node {}", list(names)),
        _ => format!("nodes {}", list(names)),
    }
}

/// Names in a sentence, cut after eight.
fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        many if many.len() > 8 => format!("{} and {} more", many[..8].join(", "), many.len() - 8),
        many => format!("{} and {}", many[..many.len() - 1].join(", "), many[many.len() - 1]),
    }
}

/// Tubes of which some inner place is among these parts.
fn tubes_between(model: &Model, structure: &Structure, parts: &[usize]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for piece in &structure.pieces {
        if piece.ends.iter().any(|end| parts.contains(&end.part)) {
            let name = structure.tube_name(model, piece.tube);
            if !names.contains(&name) {
                names.push(name);
            }
        }
    }
    names
}

fn part_path(model: &Model, structure: &Structure, part: usize) -> Option<Path> {
    let drawn = &structure.parts[part];
    match drawn.kind {
        PartKind::Body(body) => model.bodies.get_index(body).map(|(name, _)| path!["bodies", name]),
        PartKind::Upright(corner) => Some(path!["corners", model.corners[corner].wheel.name()]),
        PartKind::Frame => drawn.anchors.first().map(|anchor| match anchor {
            Anchor::Node(_) => path!["nodes", model.anchor_name(*anchor)],
            Anchor::Bracket(_) => path!["brackets", model.anchor_name(*anchor)],
        }),
    }
}

fn motion_in_words(model: &Model, motion: &Motion) -> String {
    match motion {
        Motion::Shift(direction) => format!("shift along {}", direction_in_words(direction)),
        Motion::Turn { point, direction, pitch_mm } => {
            let on_line: Vec<&str> = model
                .anchors()
                .filter(|anchor| (model.anchor_at(*anchor) - point).cross(direction).norm() < 0.1)
                .map(|anchor| model.anchor_name(anchor))
                .collect();
            let line = match on_line.as_slice() {
                [first, .., last] => format!("the line {first}–{last}"),
                [one] => format!("a line through {one} along {}", direction_in_words(direction)),
                [] => {
                    let place: Vec<String> = point.iter().map(|at| decimals(*at, 0)).collect();
                    format!("a line through [{}] along {}", place.join(", "), direction_in_words(direction))
                }
            };
            let along = if pitch_mm.abs() > 1.0 {
                format!(", shifting {} mm along it for each radian", figures(pitch_mm.abs(), 3))
            } else {
                String::new()
            };
            format!("turn about {line}{along}")
        }
    }
}

/// `x`, `y`, `z`, or the direction by its components.
fn direction_in_words(direction: &nalgebra::Vector3<f64>) -> String {
    for (axis, name) in ["x", "y", "z"].into_iter().enumerate() {
        if direction[axis].abs() > 1.0 - 1e-6 {
            return name.to_owned();
        }
    }
    let parts: Vec<String> = direction.iter().map(|part| decimals(*part, 2)).collect();
    format!("[{}]", parts.join(", "))
}

/// What would stop a mechanism.
fn remedy(structure: &Structure, mechanism: &Mechanism) -> String {
    let kinds = |wanted: fn(&PartKind) -> bool| {
        mechanism.groups.iter().flat_map(|(_, parts)| parts).any(|part| wanted(&structure.parts[*part].kind))
    };
    if kinds(|kind| matches!(kind, PartKind::Upright(_))) {
        "a corner is held by its arms, a tie rod and a spring, none of them in line with another: look at their points"
            .to_owned()
    } else if kinds(|kind| matches!(kind, PartKind::Body(_))) {
        "give the body one more mount, or hold it in more directions".to_owned()
    } else if mechanism
        .groups
        .iter()
        .any(|(_, parts)| parts.iter().all(|part| structure.parts[*part].anchors.is_empty()))
    {
        "a tube with rod-ends at both ends can spin, so nothing can stand on it: weld one end".to_owned()
    } else {
        "add a brace or a mount that resists this motion, or weld a joint that is a rod-end or a hinge".to_owned()
    }
}
