//! What is loose, in words: what moves, how, and what would stop it.
//!
//! Reads the motions that strain nothing, as screw motions of parts; gives a fault for each mechanism
//! and a sentence for turns that are held. Leaves out how they are found.

use nalgebra::{Matrix3, Point3, Vector3};

use crate::beam::Flex;
use crate::model::{Anchor, CornerKind, Fault, Model, TubeRef};
use crate::path;
use crate::solve::{Loose, Mechanism, Motion};
use crate::source::Path;
use crate::structure::{PartKind, Structure, Tie, TubeName};
use crate::units::{decimals, figures};

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
pub(super) fn held_turns(model: &Model, structure: &Structure, ties: &[Tie]) -> Option<String> {
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

/// Parts that move alike, and every way in which they can.
type Group<'f> = (Vec<&'f Motion>, &'f [usize]);

/// Every mechanism as a fault at the first thing that moves in it; what the same parts can do
/// alone is told together.
pub(super) fn mechanism_faults(model: &Model, structure: &Structure, found: &Loose) -> Vec<Fault> {
    let mut together: Vec<(Vec<Group<'_>>, &Mechanism)> = Vec::new();
    for mechanism in &found.mechanisms {
        let groups: Vec<Group<'_>> =
            mechanism.groups.iter().map(|(motion, parts)| (vec![motion], parts.as_slice())).collect();
        let same = together.iter_mut().find(|(known, _)| match (known.as_slice(), groups.as_slice()) {
            ([known], [new]) => known.1 == new.1,
            _ => false,
        });
        match same {
            Some((known, _)) => known[0].0.extend(groups[0].0.iter()),
            None => together.push((groups, mechanism)),
        }
    }
    together.iter().map(|(groups, mechanism)| mechanism_fault(model, structure, groups, mechanism)).collect()
}

fn mechanism_fault(model: &Model, structure: &Structure, groups: &[Group<'_>], mechanism: &Mechanism) -> Fault {
    let mut sentences = Vec::new();
    for (motions, parts) in groups {
        let names: Vec<String> = parts.iter().flat_map(|part| part_names(model, structure, *part)).collect();
        let tubes = tubes_between(model, structure, parts);
        let what = match (names.is_empty(), tubes.len()) {
            (false, _) => subject(structure, parts, &names),
            (true, 0) => continue,
            (true, 1) => format!("tube {}", list(&tubes)),
            (true, _) => format!("tubes {}", list(&tubes)),
        };
        sentences.push(format!("{what} can {}", motions_in_words(model, structure, motions, parts[0])));
    }
    let moving = Moving::new(structure, mechanism);
    let first = moving.parts.iter().find_map(|part| part_path(model, structure, *part));
    let path = match first {
        _ if moving.is_whole_frame(structure) => path!["mounts"],
        Some(path) => path,
        None => path!["members"],
    };
    Fault::new(path, format!("the frame is a mechanism: {}", sentences.join(", while ")))
        .hint(moving.remedy(model, structure))
}

/// What moves in a mechanism.
struct Moving {
    parts: Vec<usize>,
    /// Tubes of the frame of which a piece ends on one of the parts.
    members: Vec<usize>,
}

impl Moving {
    fn new(structure: &Structure, mechanism: &Mechanism) -> Self {
        let parts: Vec<usize> = mechanism.groups.iter().flat_map(|(_, parts)| parts).copied().collect();
        let mut members: Vec<usize> = structure
            .pieces
            .iter()
            .filter(|piece| piece.ends.iter().any(|end| parts.contains(&end.part)) && is_member(structure, piece.tube))
            .map(|piece| piece.tube)
            .collect();
        members.dedup();
        Self { parts, members }
    }

    /// Whether every end of every tube of the frame moves, so that the ground holds too little.
    fn is_whole_frame(&self, structure: &Structure) -> bool {
        structure
            .pieces
            .iter()
            .filter(|piece| is_member(structure, piece.tube))
            .all(|piece| piece.ends.iter().all(|end| self.parts.contains(&end.part)))
    }

    /// Whether what moves is one tube that spins, and what stands on it.
    fn is_spin(&self, structure: &Structure) -> bool {
        match self.members.as_slice() {
            [tube] => {
                let tube = &structure.tubes[*tube];
                tube.pieces.len() > 1 && tube.joints.iter().all(|joint| joint.t == Flex::Free)
            }
            _ => false,
        }
    }

    /// What would stop it.
    fn remedy(&self, model: &Model, structure: &Structure) -> &'static str {
        let upright = self.parts.iter().find_map(|part| match structure.parts[*part].kind {
            PartKind::Upright(corner) => Some(corner),
            PartKind::Frame | PartKind::Body(_) => None,
        });
        let has = |wanted: fn(&PartKind) -> bool| self.parts.iter().any(|part| wanted(&structure.parts[*part].kind));
        if self.is_whole_frame(structure) {
            "too few mounts hold the frame: add one, or hold a node in more directions"
        } else if self.is_spin(structure) {
            "a tube with rod-ends at both ends can spin, so that nothing can stand on it: weld one end"
        } else if !self.members.is_empty() {
            "add a brace or a mount that resists this motion, or weld a joint that is a rod-end or a hinge"
        } else if has(|kind| matches!(kind, PartKind::Body(_))) {
            "give the body one more mount, or hold it in more directions"
        } else {
            upright
                .map_or("look at the points of what is loose", |corner| wheel_is_held_by(&model.corners[corner].kind))
        }
    }
}

/// What must hold the wheel of a corner that is loose.
fn wheel_is_held_by(kind: &CornerKind) -> &'static str {
    match kind {
        CornerKind::DoubleWishbone(_) => {
            "two arms, a tie rod and a spring hold a wheel, none of them in line with another: look at their points"
        }
        CornerKind::Strut(_) => {
            "an arm, a tie rod and a strut hold a wheel, and the tie rod may not point at the line from the arm's ball to the strut's top: look at their points"
        }
        CornerKind::TrailingArm(_) => {
            "an arm on two pivots and a spring hold a wheel, and the spring may not point at the line of the pivots: look at their points"
        }
        CornerKind::Links(_) => {
            "five links and a spring hold a wheel, each against a motion that the others allow: look at their points"
        }
    }
}

fn is_member(structure: &Structure, tube: usize) -> bool {
    matches!(structure.tubes[tube].name, TubeName::Tube(TubeRef::Member(_)))
}

/// `node A`, `nodes A, B and C`, with bodies and uprights as they are: parts by their names.
fn subject(structure: &Structure, parts: &[usize], names: &[String]) -> String {
    let nodes: usize = parts.iter().map(|part| structure.parts[*part].anchors.len()).sum();
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

/// What parts can do: `shift along x`, `turn about the line A–B and about the line A–D`.
fn motions_in_words(model: &Model, structure: &Structure, motions: &[&Motion], part: usize) -> String {
    if motions.len() == 6 {
        return "move any way".to_owned();
    }
    if let Some(point) = common_point(motions) {
        return format!("turn any way about {}", point_in_words(model, &point));
    }
    let shifts: Vec<String> = motions
        .iter()
        .filter_map(|motion| match motion {
            Motion::Shift(direction) => Some(direction_in_words(direction)),
            Motion::Turn { .. } => None,
        })
        .collect();
    let turns: Vec<String> = motions
        .iter()
        .filter(|motion| matches!(motion, Motion::Turn { .. }))
        .map(|motion| motion_in_words(model, structure, motion, part))
        .collect();
    let shifts = if shifts.is_empty() { Vec::new() } else { vec![format!("shift along {}", list(&shifts))] };
    list(&shifts.into_iter().chain(turns).collect::<Vec<_>>())
}

/// The point that three turns about different lines have in common.
fn common_point(motions: &[&Motion]) -> Option<Point3<f64>> {
    let [Motion::Turn { .. }, Motion::Turn { .. }, Motion::Turn { .. }] = motions else {
        return None;
    };
    let lines = motions.iter().filter_map(|motion| match motion {
        Motion::Turn { point, direction, pitch_mm } if pitch_mm.abs() < NO_PITCH_MM => Some((point, direction)),
        _ => None,
    });
    let lines: Vec<(&Point3<f64>, &Vector3<f64>)> = lines.collect();
    if lines.len() < 3 {
        return None;
    }
    let across = |direction: &Vector3<f64>| Matrix3::identity() - direction * direction.transpose();
    let sum: Matrix3<f64> = lines.iter().map(|(_, direction)| across(direction)).sum();
    let right: Vector3<f64> = lines.iter().map(|(point, direction)| across(direction) * point.coords).sum();
    let point = Point3::from(sum.try_inverse()? * right);
    lines.iter().all(|(on, direction)| (point - **on).cross(direction).norm() < ON_LINE_MM).then_some(point)
}

/// A point nearer to a line than this is on it, mm.
const ON_LINE_MM: f64 = 0.1;
/// A turn that shifts less than this along its line for each radian only turns, mm.
const NO_PITCH_MM: f64 = 1.0;
/// A line further away than so many times the size of the frame is told as a shift.
const FAR: f64 = 5.0;

fn point_in_words(model: &Model, point: &Point3<f64>) -> String {
    let there = model.anchors().find(|anchor| (model.anchor_at(*anchor) - point).norm() < ON_LINE_MM);
    match there {
        Some(anchor) => model.anchor_name(anchor).to_owned(),
        None => {
            let place: Vec<String> = point.iter().map(|at| decimals(*at, 0)).collect();
            format!("[{}]", place.join(", "))
        }
    }
}

fn motion_in_words(model: &Model, structure: &Structure, motion: &Motion, part: usize) -> String {
    let (point, direction, pitch_mm) = match motion {
        Motion::Shift(direction) => return format!("shift along {}", direction_in_words(direction)),
        Motion::Turn { point, direction, pitch_mm } => (point, direction, pitch_mm),
    };
    let from_line = structure.parts[part].origin - point;
    let arm = direction.cross(&from_line);
    let far = FAR * size_mm(structure);
    if arm.norm() > far || pitch_mm.abs() > far {
        let along = (direction * *pitch_mm + arm).normalize();
        return format!("move roughly along {}", direction_in_words(&along));
    }
    let on_line: Vec<&str> = model
        .anchors()
        .filter(|anchor| (model.anchor_at(*anchor) - point).cross(direction).norm() < ON_LINE_MM)
        .map(|anchor| model.anchor_name(anchor))
        .collect();
    let line = match on_line.as_slice() {
        [first, .., last] => format!("the line {first}–{last}"),
        [one] => format!("a line through {one} along {}", direction_in_words(direction)),
        [] => format!("a line through {} along {}", point_in_words(model, point), direction_in_words(direction)),
    };
    if pitch_mm.abs() > NO_PITCH_MM {
        format!("turn about {line}, shifting {} mm along it for each radian", figures(pitch_mm.abs(), 3))
    } else {
        format!("turn about {line}")
    }
}

/// The longest side of the box round all parts, mm.
fn size_mm(structure: &Structure) -> f64 {
    (0..3)
        .map(|axis| {
            let places = structure.parts.iter().map(|part| part.origin[axis]);
            let (low, high) =
                places.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)));
            high - low
        })
        .fold(1.0, f64::max)
}

/// `x`, `y`, `z`, or the direction by its components.
fn direction_in_words(direction: &Vector3<f64>) -> String {
    for (axis, name) in ["x", "y", "z"].into_iter().enumerate() {
        if direction[axis].abs() > 1.0 - 1e-6 {
            return name.to_owned();
        }
    }
    let parts: Vec<String> = direction.iter().map(|part| decimals(*part, 2)).collect();
    format!("[{}]", parts.join(", "))
}
