//! Which braces there are to choose from.

use nalgebra::Point3;

use crate::model::{Anchor, BraceChoice, Bracing, BracketFoot, Fault, Member, Model, entry_at, other_side};
use crate::path;
use crate::space::{nearest_of_segments, shared_length_mm};

/// A brace, or a brace and its mirror twin: one choice.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// What it is called: its nodes.
    pub name: String,
    /// Names of its tubes in a model, and how they are drawn.
    pub members: Vec<(String, Member)>,
    /// The axis of each, mm.
    pub axes: Vec<[Point3<f64>; 2]>,
    /// Length of all its tubes, mm.
    pub length_mm: f64,
    /// Mass of all its tubes, kg.
    pub mass_kg: f64,
}

/// All that may be chosen.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidates {
    /// The choices, in the order of the file or of its nodes.
    pub all: Vec<Candidate>,
    /// Pairs of choices that cannot be built together, because they cross too close.
    pub crossing: Vec<[usize; 2]>,
    /// Pairs that were looked at and left out, because a tube is in their way or joins them already; by their names
    /// where the file lists them.
    pub left_out: LeftOut,
    /// Names of those that the file would be refused with.
    pub refused: Vec<String>,
}

/// Pairs without a brace.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LeftOut {
    /// Of a list those.
    Listed(Vec<String>),
    /// Of all pairs so many.
    Count(usize),
}

/// Axes that share more than this are one tube laid on another, mm.
const WITHIN_MM: f64 = 1.0;

/// The choices that a model's `bracing` gives, of those that `may_be`.
///
/// # Errors
/// There is nothing to choose from.
pub fn candidates(
    model: &Model,
    bracing: &Bracing,
    may_be: &(dyn Fn(&Candidate) -> bool + Sync),
) -> Result<Candidates, Fault> {
    let tubes = Tubes::of(model);
    let radius_mm = model.tubes[bracing.tube].section.largest_mm() / 2.0;
    let (pairs, clear_of_mm) = match &bracing.choice {
        BraceChoice::Between(pairs) => (pairs.clone(), 0.0),
        BraceChoice::Auto { longest_mm, clear_of_mm } => (all_pairs(model, *longest_mm), *clear_of_mm),
    };
    let is_listed = matches!(bracing.choice, BraceChoice::Between(_));
    let mut found: Vec<[Anchor; 2]> = Vec::new();
    let mut all: Vec<Candidate> = Vec::new();
    let (mut left_out, mut listed_out) = (0, Vec::new());
    for pair in pairs {
        let twin = twin_of(model, pair);
        let is_known = |pair: [Anchor; 2]| found.iter().any(|known| same(*known, pair));
        if is_known(pair) {
            continue;
        }
        let axis = |pair: [Anchor; 2]| pair.map(|anchor| model.anchor_at(anchor));
        // A list is its author's; what joins the same nodes already is still no brace.
        let is_free = |pair: [Anchor; 2]| {
            !tubes.join(pair, axis(pair)) && (is_listed || tubes.leave_room(pair, axis(pair), radius_mm + clear_of_mm))
        };
        let twin = twin.filter(|twin| !same(*twin, pair));
        // Twins that cross one another stand for two choices of one brace each.
        let twin = twin.filter(|twin| gap_mm(axis(pair), axis(*twin)) >= 2.0 * radius_mm || meet(pair, *twin));
        if !is_free(pair) || twin.is_some_and(|twin| !is_free(twin)) {
            left_out += 1;
            listed_out.push(brace_name(pair.map(|anchor| model.anchor_name(anchor)), false));
            continue;
        }
        found.push(pair);
        found.extend(twin);
        all.push(Candidate::new(model, bracing, pair, twin));
    }
    let (all, refused): (Vec<Candidate>, Vec<Candidate>) = all.into_iter().partition(may_be);
    let refused: Vec<String> = refused.into_iter().map(|brace| brace.name).collect();
    if all.is_empty() {
        let fault = Fault::new(
            path!["bracing"],
            "no brace can be added: every pair is joined already, has a tube in its way, or ends where no tube may",
        );
        return Err(fault.hint(
            "list other pairs under \"between\", or give \"auto\" a larger \"longest\" or a smaller \"clear_of\"",
        ));
    }
    let mut crossing = Vec::new();
    let apart_mm = 2.0 * radius_mm + if is_listed { 0.0 } else { clear_of_mm };
    for one in 0..all.len() {
        for other in one + 1..all.len() {
            let too_close = |(one, a): (&Member, &[Point3<f64>; 2]), (other, b): (&Member, &[Point3<f64>; 2])| {
                !meet([one.nodes[0], one.nodes[1]], [other.nodes[0], other.nodes[1]]) && gap_mm(*a, *b) < apart_mm
            };
            let of = |at: usize| all[at].members.iter().map(|(_, member)| member).zip(&all[at].axes);
            if of(one).any(|one| of(other).any(|other| too_close(one, other))) {
                crossing.push([one, other]);
            }
        }
    }
    let left_out = if is_listed { LeftOut::Listed(listed_out) } else { LeftOut::Count(left_out) };
    Ok(Candidates { all, crossing, left_out, refused })
}

impl Candidate {
    /// Its entries of `members`, as a file has them: of twins the left one, the mirror of the file makes the other.
    pub fn written(&self, model: &Model, bracing: &Bracing) -> Option<(String, serde_json::Value)> {
        let (name, member) = self.members.first()?;
        let ends = [0, 1].map(|end: usize| model.anchor_name(member.nodes[end]));
        let (tube, _) = entry_at(&model.tubes, member.tube);
        Some((name.clone(), bracing.written(ends, tube)))
    }

    fn new(model: &Model, bracing: &Bracing, pair: [Anchor; 2], twin: Option<[Anchor; 2]>) -> Candidate {
        // The left one of twins first, since that is the one that a file is given.
        let is_right = |pair: [Anchor; 2]| pair.iter().all(|anchor| !model.anchor_name(*anchor).ends_with(".l"));
        let (pair, twin) = match twin {
            Some(left) if is_right(pair) && !is_right(left) => (left, Some(pair)),
            twin => (pair, twin),
        };
        let called = brace_name(pair.map(|anchor| model.anchor_name(anchor)), twin.is_some());
        // A brace without a twin must not be called as one side of twins: the mirror of a file would make the other.
        let is_one_side = twin.is_none() && other_side(&called) != called;
        let stem = format!("brace {called}{}", if is_one_side { " alone" } else { "" });
        let mut members = Vec::new();
        for (side, pair) in [("l", Some(pair)), ("r", twin)] {
            let Some(pair) = pair else { continue };
            let mut name = if twin.is_some() { format!("{stem}.{side}") } else { stem.clone() };
            while model.members.contains_key(&name) || model.nodes.contains_key(&name) {
                name.insert(0, '+');
            }
            members.push((name, bracing.member(pair, model.weld)));
        }
        let axes: Vec<[Point3<f64>; 2]> =
            members.iter().map(|(_, member)| [0, 1].map(|end: usize| model.anchor_at(member.nodes[end]))).collect();
        let length_mm: f64 = axes.iter().map(|[one, other]| (one - other).norm()).sum();
        let (size, material) = (&model.tubes[bracing.tube], model.material_of(bracing.tube));
        Candidate {
            name: called,
            mass_kg: size.properties.area_mm2 * length_mm * material.density_kg_m3 * 1e-9,
            members,
            axes,
            length_mm,
        }
    }
}

/// A brace by its nodes; of twins without their sides.
fn brace_name(names: [&str; 2], has_twin: bool) -> String {
    if !has_twin {
        return format!("{} to {}", names[0], names[1]);
    }
    let side = |name: &str| [".l", ".r"].into_iter().find(|side| name.ends_with(side));
    let stem = |name: &str| name[..name.len() - side(name).map_or(0, str::len)].to_owned();
    let across = match names.map(side) {
        [Some(one), Some(other)] if one != other => " across",
        _ => "",
    };
    format!("{} to {}{across}", stem(names[0]), stem(names[1]))
}

/// The same two, whichever comes first.
fn same(one: [Anchor; 2], other: [Anchor; 2]) -> bool {
    one == other || one == [other[1], other[0]]
}

/// Whether two braces share an end.
fn meet(one: [Anchor; 2], other: [Anchor; 2]) -> bool {
    one.iter().any(|end| other.contains(end))
}

fn gap_mm([a, b]: [Point3<f64>; 2], [c, d]: [Point3<f64>; 2]) -> f64 {
    nearest_of_segments([&a, &b], [&c, &d]).1
}

/// The same brace on the other side of the car.
fn twin_of(model: &Model, pair: [Anchor; 2]) -> Option<[Anchor; 2]> {
    if !model.mirror {
        return None;
    }
    let twin = |anchor: Anchor| {
        let name = other_side(model.anchor_name(anchor));
        model.anchors().find(|other| model.anchor_name(*other) == name)
    };
    Some([twin(pair[0])?, twin(pair[1])?])
}

/// Pairs of nodes that tubes of the frame end at or run through, no further apart than this; of twins the left first.
fn all_pairs(model: &Model, longest_mm: f64) -> Vec<[Anchor; 2]> {
    let used: Vec<Anchor> = model
        .anchors()
        .filter(|anchor| matches!(anchor, Anchor::Node(_)))
        .filter(|anchor| model.members.values().any(|member| member.nodes.contains(anchor)))
        .collect();
    let mut pairs = Vec::new();
    for (at, one) in used.iter().enumerate() {
        for other in &used[at + 1..] {
            if (model.anchor_at(*one) - model.anchor_at(*other)).norm() <= longest_mm {
                pairs.push([*one, *other]);
            }
        }
    }
    pairs
}

/// The tubes of the frame and the suspension, in straight stretches.
struct Tubes {
    stretches: Vec<Stretch>,
}

struct Stretch {
    axis: [Point3<f64>; 2],
    /// The nodes at its ends, where there are some.
    ends: Vec<Anchor>,
    radius_mm: f64,
    /// Whether it is a stretch of a member, with a node at either end.
    is_of_frame: bool,
}

impl Tubes {
    fn of(model: &Model) -> Tubes {
        // What ends on a bracket of a node ends at the node too.
        let ends = |anchor: Anchor| match anchor {
            Anchor::Bracket(at) => match model.brackets[at].on {
                BracketFoot::Node(node) => vec![anchor, Anchor::Node(node)],
                BracketFoot::Tubes(_) => vec![anchor],
            },
            Anchor::Node(_) => vec![anchor],
        };
        let mut stretches = Vec::new();
        for member in model.members.values() {
            let radius_mm = model.tubes[member.tube].section.largest_mm() / 2.0;
            let axis = model.member_axis(member);
            for (axis, ends) in axis.windows(2).zip(member.nodes.windows(2)) {
                stretches.push(Stretch { axis: [axis[0], axis[1]], ends: ends.to_vec(), radius_mm, is_of_frame: true });
            }
        }
        for corner in &model.corners {
            for tube in corner.kind.tubes() {
                let radius_mm = model.tubes[tube.tube].section.largest_mm() / 2.0;
                let axis = [model.anchor_at(tube.inner), tube.outer];
                stretches.push(Stretch { axis, ends: ends(tube.inner), radius_mm, is_of_frame: false });
            }
            if let Some(spring) = corner.kind.spring() {
                let axis = [model.anchor_at(spring.top), spring.bottom];
                stretches.push(Stretch {
                    axis,
                    ends: ends(spring.top),
                    radius_mm: spring.rod_mm / 2.0,
                    is_of_frame: false,
                });
            }
        }
        Tubes { stretches }
    }

    /// Whether a tube lies along a brace already: between the same nodes, or over a part of its length.
    fn join(&self, pair: [Anchor; 2], [a, b]: [Point3<f64>; 2]) -> bool {
        self.stretches.iter().any(|tube| {
            let same_ends = tube.is_of_frame && same([tube.ends[0], tube.ends[1]], pair);
            let [c, d] = &tube.axis;
            same_ends
                || shared_length_mm([&a, &b], [c, d], WITHIN_MM).is_some_and(|shared| shared > 2.0 * tube.radius_mm)
        })
    }

    /// Whether every tube that does not end where the brace ends is so far from its axis.
    fn leave_room(&self, pair: [Anchor; 2], axis: [Point3<f64>; 2], room_mm: f64) -> bool {
        self.stretches
            .iter()
            .filter(|tube| !tube.ends.iter().any(|end| pair.contains(end)))
            .all(|tube| gap_mm(axis, tube.axis) >= room_mm + tube.radius_mm)
    }
}
