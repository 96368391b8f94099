//! Load cases and limits.

use nalgebra::Vector3;

use super::corners::wheel;
use super::frame::tube_ref;
use super::{Checker, entry};
use crate::model::file::{self, File, Limit, Wheels};
use crate::model::{
    Anchor, Case, Effort, Event, GivenWheel, Held, Limits, MOTIONS, Model, STANDING, Target, Twist, Wheel,
};
use crate::path;
use crate::source::{Keyed, Node, Path, Value};
use crate::units::{Angle, Length, Moment, brief};

impl Limits {
    /// The limits of the file.
    pub(super) fn of_file(given: &file::Limits) -> Limits {
        Limits {
            yield_margin: Some(given.yield_margin),
            column_margin: Some(given.column),
            buckling_margin: Some(given.buckling),
            pickup_move_mm: given.pickup_move.map(|limit| limit.0),
            toe_deg: given.toe.map(|limit| limit.0),
            camber_deg: given.camber.map(|limit| limit.0),
            frequency_hz: given.frequency.map(|limit| limit.0),
            twist_nm_deg: given.twist.map(|limit| limit.0),
            fatigue: given.fatigue,
        }
    }

    /// The limits of a case.
    fn of_case(&self, given: &file::CaseLimits) -> Limits {
        fn pick<T>(limit: Limit<T>, file: Option<f64>, number: impl Fn(T) -> f64) -> Option<f64> {
            match limit {
                Limit::AsFile => file,
                Limit::Off => None,
                Limit::Value(value) => Some(number(value)),
            }
        }
        let plain = |value: f64| value;
        Limits {
            yield_margin: pick(given.yield_margin, self.yield_margin, plain),
            column_margin: pick(given.column, self.column_margin, plain),
            buckling_margin: pick(given.buckling, self.buckling_margin, plain),
            pickup_move_mm: pick(given.pickup_move, self.pickup_move_mm, |limit| limit.0),
            toe_deg: pick(given.toe, self.toe_deg, |limit| limit.0),
            camber_deg: pick(given.camber, self.camber_deg, |limit| limit.0),
            twist_nm_deg: pick(given.twist, self.twist_nm_deg, |limit| limit.0),
            frequency_hz: self.frequency_hz,
            fatigue: self.fatigue,
        }
    }
}

/// Ranges of the file's limits.
pub(super) fn limits(file: &File, checker: &mut Checker<'_>) {
    let at = path!["limits"];
    let given = &file.limits;
    checker.number_above_zero(at.then("yield"), given.yield_margin);
    checker.number_above_zero(at.then("column"), given.column);
    checker.number_above_zero(at.then("buckling"), given.buckling);
    if let Some(limit) = given.pickup_move {
        checker.not_below_zero(at.then("pickup_move"), limit);
    }
    for (key, limit) in [("toe", given.toe), ("camber", given.camber)] {
        if let Some(limit) = limit {
            checker.not_below_zero(at.then(key), limit);
        }
    }
    if let Some(limit) = given.frequency {
        checker.not_below_zero(at.then("frequency"), limit);
    }
    if let Some(limit) = given.twist {
        checker.not_below_zero(at.then("twist"), limit);
    }
    if let Some(lives) = given.fatigue
        && lives < 0.0
    {
        checker.fault(at.then("fatigue"), format!("fatigue is {}; it may not be below 0", brief(lives)));
    }
}

fn case_limits(given: &file::CaseLimits, at: &Path, checker: &mut Checker<'_>) {
    for (key, margin) in [("yield", given.yield_margin), ("column", given.column), ("buckling", given.buckling)] {
        if let Limit::Value(margin) = margin {
            checker.number_above_zero(at.then(key), margin);
        }
    }
    if let Limit::Value(limit) = given.pickup_move {
        checker.not_below_zero(at.then("pickup_move"), limit);
    }
    for (key, limit) in [("toe", given.toe), ("camber", given.camber)] {
        if let Limit::Value(limit) = limit {
            checker.not_below_zero(at.then(key), limit);
        }
    }
    if let Limit::Value(limit) = given.twist {
        checker.not_below_zero(at.then("twist"), limit);
    }
}

/// The cases of the file, and `standing` where there are a vehicle and corners.
pub(super) fn cases(file: &File, model: &mut Model, checker: &mut Checker<'_>) {
    let there_are_none = |cases: &Node| matches!(&cases.value, Value::Object(entries) if entries.is_empty());
    if checker.root.get("cases").is_some_and(there_are_none) && !checker.is_lost("cases") {
        checker.fault(path!["cases"], "there is no load case; a frame is judged in at least one");
    }
    for (name, given) in &file.cases {
        let at = entry("cases", name);
        let case = case(model, given, &at, checker);
        model.cases.insert(name.clone(), case);
    }
    let whole_car = model.vehicle.is_some() && !model.corners.is_empty();
    if whole_car && !model.cases.contains_key(STANDING) && !checker.is_written("cases", STANDING) {
        model.cases.insert(STANDING.to_owned(), Case::standing(model.limits));
    }
}

/// The events of the duty.
pub(super) fn duty(file: &File, model: &mut Model, checker: &mut Checker<'_>) {
    let Some(given) = &file.duty else { return };
    let at = path!["duty", "events"];
    if given.events.is_empty() && checker.is_whole(&path!["duty"]) {
        checker.fault(at.clone(), "there is no event; a duty is made of at least one");
    }
    for (name, event) in &given.events {
        let at = at.then(name);
        let mut sound = checker.number_above_zero(at.then("count"), event.count);
        let named = [Some(("to", &event.to)), event.from.as_ref().map(|from| ("from", from))];
        for (key, case) in named.into_iter().flatten() {
            if !model.cases.contains_key(case) {
                sound = false;
                if !checker.is_written("cases", case) {
                    checker.unknown(at.then(key), "case", case, model.cases.keys().map(String::as_str));
                }
            }
        }
        let rest = || model.cases.contains_key(STANDING).then(|| STANDING.to_owned());
        let from = event.from.clone().or_else(rest);
        if sound && from.as_ref() == Some(&event.to) {
            let message = format!("\"{name}\" goes from \"{}\" to the same case, so that nothing changes", event.to);
            checker.fault(at.then("to"), message);
        }
        model.duty.insert(name.clone(), Event { from, to: event.to.clone(), count: event.count });
    }
}

impl Case {
    /// The car at rest.
    fn standing(limits: Limits) -> Case {
        Case::of(Some([0.0, 0.0, 1.0]), limits)
    }
}

fn case(model: &Model, given: &file::Case, at: &Path, checker: &mut Checker<'_>) -> Case {
    case_limits(&given.limits, &at.then("limits"), checker);
    let (no_wheels, wheels) = match &given.wheels {
        None => (false, Vec::new()),
        Some(Wheels::None) => (true, Vec::new()),
        Some(Wheels::Given(wheels)) => (
            false,
            wheels
                .iter()
                .filter_map(|(name, force)| {
                    Some((wheel(&at.then("wheels").then(name), name, checker)?, given_wheel(force)))
                })
                .collect(),
        ),
    };
    let g = given.g.as_ref().map(|g| [g.long.0, g.lat.0, g.vert.0]);
    let effort = effort(given, at, checker);
    let case = Case {
        g,
        no_wheels,
        wheels,
        effort,
        air_n: given.air.as_ref().map_or([0.0; 2], |air| [air.front.0, air.rear.0]),
        forces: targets(model, &given.forces, &at.then("forces"), checker, |force| force.0),
        moments: targets(model, &given.moments, &at.then("moments"), checker, Moment::nmm),
        line_loads: given
            .line_loads
            .0
            .iter()
            .filter_map(|(name, load)| {
                let tube = tube_ref(model, checker, at.then("line_loads").then(name), name)?;
                Some((tube, Vector3::from(load.map(|part| part.0))))
            })
            .collect(),
        moved: moved(model, &given.moved, &at.then("moved"), checker),
        twist: given.twist.as_ref().and_then(|test| twist(model, test, &at.then("twist"), checker)),
        factor: given.factor,
        limits: model.limits.of_case(&given.limits),
    };
    what_a_case_needs(model, given, &case, at, checker);
    case
}

fn given_wheel(given: &file::GivenWheel) -> GivenWheel {
    GivenWheel {
        force_n: Vector3::from(given.force.force.map(|part| part.0)),
        moment_nmm: given.force.moment.map(|moment| Vector3::from(moment.map(Moment::nmm))),
        acts: given.force.at,
        bare: given.bare,
    }
}

fn effort(given: &file::Case, at: &Path, checker: &mut Checker<'_>) -> Option<(Effort, Vec<Wheel>)> {
    if given.braked.is_some() && given.driven.is_some() {
        checker.fault(at.then("driven"), "a case has \"braked\" or \"driven\", not both");
        return None;
    }
    let (key, effort, names) = match (&given.braked, &given.driven) {
        (Some(names), _) => ("braked", Effort::Braked, names),
        (_, Some(names)) => ("driven", Effort::Driven, names),
        _ => return None,
    };
    let path = at.then(key);
    checker.no_repetition(&path, names);
    let wheels = names.iter().enumerate().filter_map(|(index, name)| wheel(&path.then(index), name, checker)).collect();
    Some((effort, wheels))
}

fn targets<Q: Copy>(
    model: &Model,
    given: &Keyed<[Q; 3]>,
    at: &Path,
    checker: &mut Checker<'_>,
    number: impl Fn(Q) -> f64,
) -> Vec<(Target, Vector3<f64>)> {
    given
        .0
        .iter()
        .filter_map(|(name, value)| {
            let target = match model.bodies.get_index_of(name) {
                Some(body) => Target::Body(body),
                None if checker.is_written("bodies", name) => return None,
                None => Target::Anchor(checker.anchor(model, at.then(name), name)?),
            };
            Some((target, Vector3::from(value.map(&number))))
        })
        .collect()
}

fn moved(model: &Model, given: &Keyed<file::Motion>, at: &Path, checker: &mut Checker<'_>) -> Vec<(usize, usize, f64)> {
    let mut all = Vec::new();
    for (name, motion) in &given.0 {
        let at = at.then(name);
        if checker.is_named("bodies", name) {
            checker.fault(at, format!("\"{name}\" is a body, and \"moved\" is for mounts on the ground"));
            continue;
        }
        let Some(anchor) = checker.anchor(model, at.clone(), name) else {
            continue;
        };
        let Some(mount) = model.mounts.iter().position(|mount| mount.at == anchor) else {
            if !checker.is_written("mounts", name) {
                checker.fault(at, format!("\"{name}\" has no mount on the ground that could be moved"));
            }
            continue;
        };
        let shifts = [motion.x, motion.y, motion.z].map(|shift| shift.map(|Length(mm)| mm));
        let turns = [motion.rx, motion.ry, motion.rz].map(|turn| turn.map(Angle::rad));
        for (place, amount) in shifts.into_iter().chain(turns).enumerate() {
            let Some(amount) = amount else {
                continue;
            };
            if model.mounts[mount].hold[place] == Held::Free {
                if !checker.is_whole(&path!["mounts", name]) {
                    continue;
                }
                let direction = MOTIONS[place];
                checker.fault(
                    at.then(direction),
                    format!("the mount at \"{name}\" leaves {direction} free, so that nothing can be moved there"),
                );
            } else {
                all.push((mount, place, amount));
            }
        }
    }
    all
}

/// The least that the nodes of a twist test are apart in y, mm: the moment over it is the force of the
/// jig, which has no bound where they are hardly apart.
const LEAST_APART_MM: f64 = 1.0;

fn twist(model: &Model, given: &file::Twist, at: &Path, checker: &mut Checker<'_>) -> Option<Twist> {
    let path = at.then("axle");
    checker.no_repetition(&path, &given.axle);
    let first = checker.anchor(model, path.then(0), &given.axle[0]);
    let second = checker.anchor(model, path.then(1), &given.axle[1]);
    let axle: [Anchor; 2] = [first?, second?];
    let apart_mm = (model.anchor_at(axle[0]).y - model.anchor_at(axle[1]).y).abs();
    if given.axle[0] != given.axle[1] && apart_mm < LEAST_APART_MM {
        let these = match apart_mm {
            0.0 => "have the same".to_owned(),
            apart_mm => format!("are {} mm apart, and need at least {LEAST_APART_MM} mm", brief(apart_mm)),
        };
        checker.fault(path, format!("the two nodes of a twist test stand at different y; these {these}"));
        return None;
    }
    if given.moment.nmm() == 0.0 {
        checker.fault(at.then("moment"), "the moment of a twist test is 0, so that nothing is twisted");
        return None;
    }
    Some(Twist { axle, moment_nmm: given.moment.nmm() })
}

/// What must be there together.
fn what_a_case_needs(model: &Model, given: &file::Case, case: &Case, at: &Path, checker: &mut Checker<'_>) {
    let loads = given.g.is_some()
        || given.wheels.is_some()
        || !given.forces.0.is_empty()
        || !given.moments.0.is_empty()
        || !given.line_loads.0.is_empty()
        || !given.moved.0.is_empty()
        || given.twist.is_some();
    if !checker.is_whole(at) {
        return;
    }
    if !loads {
        checker.lacking(
            at.clone(),
            "the case loads nothing; it needs one of g, wheels, forces, moments, line_loads, moved, twist",
        );
    }
    if case.no_wheels {
        for (key, there) in
            [("braked", given.braked.is_some()), ("driven", given.driven.is_some()), ("air", given.air.is_some())]
        {
            if there {
                checker.fault(at.then(key), format!("\"wheels\": \"none\" leaves nothing for \"{key}\" to act on"));
            }
        }
    }
    if given.air.is_some() && case.g.is_none() {
        checker.fault(at.then("air"), "\"air\" needs \"g\": without it no wheel load is worked out");
    }
    let Some(g) = case.g else {
        return;
    };
    let has_vehicle = model.vehicle.is_some() || checker.is_written_at_top("vehicle");
    let has_corner = !model.corners.is_empty() || checker.is_written_at_top("corners");
    if given.wheels.is_none() && (!has_vehicle || !has_corner) {
        let missing = match (has_vehicle, has_corner) {
            (false, false) => "\"vehicle\" and a corner",
            (false, true) => "\"vehicle\"",
            _ => "a corner",
        };
        checker.fault_with_hint(
            at.then("g"),
            format!("a case with \"g\" needs {missing}, to know the forces at the wheels"),
            "say \"wheels\": \"none\" for a frame alone, or give the force of every wheel in \"wheels\"",
        );
        return;
    }
    let all_given = model.corners.iter().all(|corner| case.wheels.iter().any(|(wheel, _)| *wheel == corner.wheel));
    let enough = case.no_wheels || has_vehicle || (all_given && given.wheels.is_some());
    if !enough {
        checker.fault(
            at.then("wheels"),
            "a case with \"g\" needs \"vehicle\" unless every modelled wheel is given its force",
        );
    }
    shares(model, case, g[0], at, checker);
}

/// The share of brakes or drive that a case needs.
fn shares(model: &Model, case: &Case, long: f64, at: &Path, checker: &mut Checker<'_>) {
    let Some(vehicle) = model.vehicle.as_ref().filter(|_| !case.no_wheels && long != 0.0) else {
        return;
    };
    let braked = match &case.effort {
        Some((effort, _)) => *effort == Effort::Braked,
        None => long < 0.0,
    };
    let (key, there) = if braked {
        ("brake_share_front", vehicle.brake_share_front.is_some())
    } else {
        ("drive_share_front", vehicle.drive_share_front.is_some())
    };
    let written = checker.root.get("vehicle").is_some_and(|given| given.get(key).is_some());
    if !there && !written && !checker.is_lost("vehicle") {
        let (effort, of) = if braked { ("brakes", "braking") } else { ("drives", "driving") };
        checker.fault_with_hint(
            at.then("g"),
            format!("a case that {effort} needs \"{key}\" in \"vehicle\""),
            format!("\"{key}\": the front's part of the {of} force, 0 to 1"),
        );
    }
}

impl Checker<'_> {
    fn is_written_at_top(&self, section: &str) -> bool {
        self.is_lost(section) || self.root.get(section).is_some_and(|section| !section.entries().is_empty())
    }
}
