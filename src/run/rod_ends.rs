//! Which ends are rod-ends that the file tells of, and how they are judged.

use super::not_judged::NotJudged;
use crate::checks::{RodEndResult, rod_end};
use crate::math::larger_than;
use crate::model::{CornerKind, Model, RodEnd, TubeRef};
use crate::section::InternalForces;
use crate::source::Named;
use crate::structure::{Structure, TubeName};

/// The rod-end of a part that is nearest to its limit in a case.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RodEndJudged {
    /// Where, mm from the tube's first end.
    pub at_mm: f64,
    /// What it is.
    pub part: RodEnd,
    /// Whether it fails on the deformed frame alone, whose figures these then are.
    pub deformed: bool,
    /// The figures.
    pub result: RodEndResult,
}

/// The rod-ends at both ends of a tube or spring.
pub(super) fn rod_ends(model: &Model, name: TubeName) -> [Option<RodEnd>; 2] {
    match name {
        TubeName::Tube(TubeRef::Member(_)) => [None; 2],
        TubeName::Tube(TubeRef::Corner { corner, tube }) => model.corners[corner].kind.tubes()[tube].rod_ends,
        TubeName::Spring(corner) => [model.corners[corner].kind.spring().and_then(|spring| spring.rod_end); 2],
    }
}

/// The worst rod-end of every part of a corner that has one, by the part's name; `forces_at`: the internal forces at
/// an end of a tube of the structure.
pub(super) fn judge_rod_ends(
    model: &Model,
    structure: &Structure,
    margin: f64,
    forces_at: impl Fn(usize, usize) -> InternalForces,
) -> Named<RodEndJudged> {
    let mut all = Named::new();
    for (at, tube) in structure.tubes.iter().enumerate() {
        let judged = [0, 1].into_iter().filter_map(|end: usize| {
            let part = rod_ends(model, tube.name)[end]?;
            let result = rod_end(&part, &forces_at(at, end), margin);
            let at_mm = if end == 0 { 0.0 } else { tube.length_mm };
            Some(RodEndJudged { at_mm, part, deformed: false, result })
        });
        let worse = |one: RodEndJudged, two: RodEndJudged| {
            if larger_than(two.result.utilisation, one.result.utilisation) { two } else { one }
        };
        if let Some(worst) = judged.reduce(worse) {
            all.insert(structure.tube_name(model, at), worst);
        }
    }
    all
}

/// Parts of corners without a rod-end in the file, shanks without a strength, and the outer balls.
pub(super) fn not_judged_rod_ends(model: &Model) -> Vec<NotJudged> {
    let mut list = Vec::new();
    let (mut untold, mut without_strength, mut has_balls) = (Vec::new(), Vec::new(), false);
    for corner in &model.corners {
        for (part, told) in parts(&corner.kind) {
            let name = format!("{}/{part}", corner.wheel.name());
            match told {
                None => untold.push(name),
                Some(told) if told.yield_mpa.is_none() => without_strength.push(name),
                Some(_) => {}
            }
        }
        has_balls |= matches!(corner.kind, CornerKind::DoubleWishbone(_) | CornerKind::Strut(_));
    }
    if !untold.is_empty() {
        let why = "no \"rod_end\" tells its thread, how far it sticks out and the maker's figure";
        list.push(NotJudged::new("rod_end", some_of(&untold), why));
    }
    if !without_strength.is_empty() {
        let why = "the bending of the shank: \"rod_end\" gives no \"yield\", its strength";
        list.push(NotJudged::new("rod_end", some_of(&without_strength), why));
    }
    if has_balls {
        let why = "no key tells the balls that hold the arms to the uprights";
        list.push(NotJudged::new("rod_end", "outer balls of the arms", why));
    }
    list
}

/// The parts of a corner that stand on rod-ends, by their keys in the file.
fn parts(kind: &CornerKind) -> Vec<(&str, Option<RodEnd>)> {
    let spring = |of: &crate::model::Spring| ("spring", of.rod_end);
    match kind {
        CornerKind::DoubleWishbone(drawn) => vec![
            ("upper", drawn.upper.rod_end),
            ("lower", drawn.lower.rod_end),
            ("tie_rod", drawn.tie_rod.rod_end),
            spring(&drawn.spring),
        ],
        CornerKind::Strut(drawn) => {
            vec![("lower", drawn.lower.rod_end), ("tie_rod", drawn.tie_rod.rod_end), ("strut", drawn.rod_end)]
        }
        CornerKind::TrailingArm(drawn) => vec![("arm", drawn.rod_end), spring(&drawn.spring)],
        CornerKind::Links(drawn) => {
            let links = drawn.links.iter().map(|(name, link)| (name.as_str(), link.rod_end));
            links.chain([spring(&drawn.spring)]).collect()
        }
    }
}

/// The first names of a list, and how many more there are.
fn some_of(names: &[String]) -> String {
    const SHOWN: usize = 3;
    match names.get(SHOWN) {
        None => names.join(", "),
        Some(_) => format!("{} and {} more", names[..SHOWN].join(", "), names.len() - SHOWN),
    }
}
