//! What a reader might think is covered and is not.
//!
//! Reads the model and what came out; gives one line for each thing that this version, or this
//! file, leaves without a judgement: a check that is not there, a limit that nothing lets judge, a
//! part of the stress that a section does not tell.

use super::modes::CaseBuckling;
use super::outcome::Outcome;
use super::response::Response;
use super::tubes::TubeJudged;
use crate::checks::{tube_stress, yielding};
use crate::math::larger_than;
use crate::model::{Limits, Model, TubeSize};
use crate::section::{Metal, Properties, Section};
use crate::source::Named;
use crate::structure::Structure;
use crate::units::figures;

/// Something that a reader might think is covered and is not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotJudged {
    /// Name of the check.
    pub check: String,
    /// Where.
    pub place: String,
    /// Why.
    pub why: String,
}

impl NotJudged {
    pub(super) fn new(check: &str, place: impl Into<String>, why: impl Into<String>) -> Self {
        Self { check: check.to_owned(), place: place.into(), why: why.into() }
    }
}

/// What this version, or this file, leaves without a judgement.
pub(super) fn not_judged(model: &Model, outcome: &Outcome) -> Vec<NotJudged> {
    let mut list = of_modes(model, outcome);
    list.extend(limits_of_wheels_and_pickups(model, outcome));
    list.extend(limits_of_twist(model, outcome));
    for (name, size) in &model.tubes {
        match &size.section {
            Section::Given(given) => list.extend(given_figures(&format!("tube size {name}"), &given.0)),
            Section::Box(_) | Section::Round(_) => list.extend(limit_of_metal(model, name, size)),
            Section::Bar(_) | Section::Flat(_) => {}
        }
    }
    list
}

/// Buckling and frequencies that could not be worked out.
fn of_modes(model: &Model, outcome: &Outcome) -> Vec<NotJudged> {
    let mut list = Vec::new();
    for (case, buckling) in &outcome.modes.buckling {
        if let CaseBuckling::Unknown(why) = buckling {
            list.push(NotJudged::new("buckling", case, why.in_words()));
        }
    }
    if model.limits.frequency_hz.is_none() {
        return list;
    }
    list.extend(without_inertia(model).map(|body| {
        let why = "it has no \"inertia\", so that how it turns on its mounts cannot be told";
        NotJudged::new("frequency", body, why)
    }));
    match &outcome.modes.vibration {
        Err(why) => list.push(NotJudged::new("frequency", "the frame", why.in_words())),
        Ok(vibration) if vibration.modes.is_empty() => {
            list.push(NotJudged::new("frequency", "the frame", "nothing in it that has a mass can move"));
        }
        Ok(_) => {}
    }
    list
}

/// Bodies that swing and whose inertia the file does not give.
pub(super) fn without_inertia(model: &Model) -> impl Iterator<Item = &str> {
    let bodies = model.bodies.iter().filter(|(_, body)| body.mass_kg > 0.0 && body.inertia_kg_m2.is_none());
    bodies.map(|(name, _)| name.as_str())
}

/// Limits of toe, camber and pick-ups, of the file or of a case, where there is nothing that moves so.
fn limits_of_wheels_and_pickups(model: &Model, outcome: &Outcome) -> Vec<NotJudged> {
    struct Movement {
        check: &'static str,
        place: &'static str,
        limit: fn(&Limits) -> Option<f64>,
        is_there: bool,
        why: &'static str,
    }
    let has_pickups = outcome.cases.values().any(|case| !case.pickups.is_empty());
    let movements = [
        Movement {
            check: "toe",
            place: "wheels",
            limit: |limits| limits.toe_deg,
            is_there: !model.corners.is_empty(),
            why: "there is no corner whose toe could change",
        },
        Movement {
            check: "camber",
            place: "wheels",
            limit: |limits| limits.camber_deg,
            is_there: !model.corners.is_empty(),
            why: "there is no corner whose camber could change",
        },
        Movement {
            check: "pickup_move",
            place: "pick-ups",
            limit: |limits| limits.pickup_move_mm,
            is_there: has_pickups,
            why: "there is neither a corner part nor a node with \"pickup\": true",
        },
    ];
    let mut list = Vec::new();
    for Movement { check, place, limit, why, .. } in movements.into_iter().filter(|movement| !movement.is_there) {
        if limit(&model.limits).is_some() {
            list.push(NotJudged::new(check, place, why));
        }
        let cases = outcome.cases.keys().filter(|case| has_its_own(model, case, limit));
        list.extend(cases.map(|case| NotJudged::new(check, case, why)));
    }
    list
}

/// Whether a case has a limit that is not the file's.
fn has_its_own(model: &Model, case: &str, limit: fn(&Limits) -> Option<f64>) -> bool {
    let own = limit(&model.cases[case].limits);
    own.is_some() && own != limit(&model.limits)
}

/// Limits of twist, of the file or of a case, that no twist test answers.
fn limits_of_twist(model: &Model, outcome: &Outcome) -> Vec<NotJudged> {
    let mut list = Vec::new();
    if model.limits.twist_nm_deg.is_some() && outcome.twist.is_empty() {
        let why = if model.cases.values().all(|case| case.twist.is_none()) {
            "no case holds a twist test"
        } else {
            "none of the cases that were asked for holds a twist test"
        };
        list.push(NotJudged::new("twist", "the frame", why));
    }
    for name in outcome.cases.keys() {
        match outcome.twist.get(name) {
            None if has_its_own(model, name, |limits| limits.twist_nm_deg) => {
                list.push(NotJudged::new("twist", name, "the case holds no twist test"));
            }
            Some(test) if test.stiffness_nm_deg.is_none() && model.cases[name].limits.twist_nm_deg.is_some() => {
                let why = "nothing turns between the two nodes of the test: mounts hold them, so it shows no stiffness";
                list.push(NotJudged::new("twist", name, why));
            }
            _ => {}
        }
    }
    list
}

/// A tube of a metal that no standard here has a limit of walls for.
fn limit_of_metal(model: &Model, name: &str, size: &TubeSize) -> Option<NotJudged> {
    let is_other = model.materials[size.material].material.metal() == Metal::Other;
    is_other.then(|| {
        NotJudged::new(
            "wall",
            format!("tube size {name}"),
            "its material is neither steel nor aluminium by its modulus: its wall is held against the limit of steel \
             with its modulus put in, and no standard here has one for it",
        )
    })
}

/// What the figures of a section do not tell.
fn given_figures(place: &str, given: &Properties) -> Vec<NotJudged> {
    let mut list = vec![NotJudged::new("wall", place, "its section is given by figures that do not tell its wall")];
    if given.ct_mm3.is_none() {
        list.push(NotJudged::new("yield", place, "torsion stress is left out: its section gives no \"ct\""));
    }
    let without = match (given.ay_mm2, given.az_mm2) {
        (Some(_), Some(_)) => return list,
        (None, Some(_)) => "along y is left out: its section gives no \"ay\"",
        (Some(_), None) => "along z is left out: its section gives no \"az\"",
        (None, None) => "is left out: its section gives neither \"ay\" nor \"az\"",
    };
    list.push(NotJudged::new("yield", place, format!("the stress of shear {without}")));
    list
}

/// A stress between the places that are judged that is no more than this times the stress there
/// counts as judged.
const AS_JUDGED: f64 = 1.005;

/// Flats that are stressed more between their corners and mid-sides than there: bent and twisted at
/// once. For each size the tube and case that come nearest to the strength.
pub(super) fn flats_between(
    model: &Model,
    structure: &Structure,
    response: &Response,
    tubes: &Named<Named<TubeJudged>>,
) -> Vec<NotJudged> {
    let mut list = Vec::new();
    for (at_size, (size_name, size)) in model.tubes.iter().enumerate() {
        let Some(between) = size.section.fibres_between() else { continue };
        let mut worst: Option<(f64, f64, String, &str)> = None;
        for case in &response.cases {
            let Some(margin) = model.cases[&case.name].limits.yield_margin else { continue };
            let of_size = structure.tubes.iter().enumerate().filter(|(_, tube)| tube.size == Some(at_size));
            for (at, tube) in of_size {
                let name = structure.tube_name(model, at);
                let Some(judged) = tubes.get(&case.name).and_then(|tubes| tubes.get(&name)?.yielding) else {
                    continue;
                };
                let pieces: Vec<_> = case.state.diagrams(structure, tube).collect();
                let stress = tube_stress(&between, &pieces, &tube.welds_mm);
                let utilisation = yielding(&stress, &tube.material, margin).utilisation;
                let is_worst = worst.as_ref().is_none_or(|worst| larger_than(utilisation, worst.0));
                if utilisation > AS_JUDGED * judged.utilisation && is_worst {
                    worst = Some((utilisation, utilisation / judged.utilisation, name, &case.name));
                }
            }
        }
        if let Some((utilisation, times, name, case)) = worst {
            list.push(NotJudged::new(
                "yield",
                format!("tube size {size_name}"),
                format!(
                    "a flat is judged at its corners and mid-sides; bent and twisted at once it is stressed more between them: {name} in \"{case}\" {} times as much, which is {} times what it may carry",
                    figures(times, 3),
                    figures(utilisation, 3)
                ),
            ));
        }
    }
    list
}
