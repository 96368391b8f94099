//! A model checked from end to end.

use super::lost_welds::lost_welds;
use super::modes::vibrations;
use super::outcome::{outcome_of_cases, outcome_of_statics};
use super::positions::{Positions, add_positions};
use super::queries::{not_small, queries};
use super::response::all_wheel_loads;
use super::second_order::{collapses, second_order};
use super::sideways::cut_where_nothing_holds;
use super::sound::unsound;
use super::unknowns::tube_on_tube_told;
use super::{Outcome, Prepared, Response, Verdict, judge, outcome, prepare, respond};
use crate::checks::Finding;
use crate::model::{Fault, Model, STANDING};
use crate::structure::Purpose;

/// Everything that came of a model.
pub struct Checked {
    /// The structure, factorised.
    pub prepared: Prepared,
    /// The solved cases.
    pub response: Response,
    /// The same by name.
    pub outcome: Outcome,
    /// What was judged.
    pub verdict: Verdict,
    /// Warnings: what is odd but no error.
    pub warnings: Vec<String>,
    /// What was assumed, and what was held.
    pub assumptions: Vec<String>,
    /// The car at the other positions of its adjusters, where there are any; the verdict covers them.
    pub positions: Option<Positions>,
}

impl Checked {
    /// Leaves out the cases that are not wanted; they were solved for the others' sake.
    fn keep(&mut self, wanted: impl Fn(&str) -> bool) {
        self.response.cases.retain(|case| wanted(&case.name));
        self.outcome.cases.retain(|name, _| wanted(name));
        self.outcome.twist.retain(|name, _| wanted(name));
        self.outcome.modes.buckling.retain(|name, _| wanted(name));
        self.outcome.modes.lateral.retain(|name, _| wanted(name));
        self.outcome.second_order.retain(|name, _| wanted(name));
        self.verdict.findings.retain(|finding| finding.is_of_no_case() || wanted(&finding.case));
        self.verdict.tubes.retain(|name, _| wanted(name));
        self.verdict.rod_ends.retain(|name, _| wanted(name));
        self.verdict.bolts.retain(|name, _| wanted(name));
    }

    /// Warnings, then assumptions: the `notes` of a result.
    pub fn notes(&self) -> Vec<String> {
        self.warnings.iter().chain(&self.assumptions).cloned().collect()
    }
}

/// Solves and judges the cases that are wanted, at every position of the adjusters; movement is judged
/// from `standing`, wanted or not. A case that buckles the frame below ten times its load is solved on
/// the deformed frame too.
///
/// # Errors
/// All faults: a mechanism, a case whose wheel loads cannot be, an answer that is not accurate.
pub fn check(model: &Model, wanted: impl Fn(&str) -> bool) -> Result<Checked, Vec<Fault>> {
    check_deformed(model, wanted, |_| false)
}

/// The same, with more cases that are solved on the deformed frame, those of which `deformed` says so.
///
/// # Errors
/// All faults: a mechanism, a case whose wheel loads cannot be, an answer that is not accurate.
pub fn check_deformed(
    model: &Model,
    wanted: impl Fn(&str) -> bool,
    deformed: impl Fn(&str) -> bool,
) -> Result<Checked, Vec<Fault>> {
    let mut checked = check_one(model, Setting::AsDrawn, &wanted, &deformed)?;
    add_positions(model, &mut checked, |moved| check_one(moved, Setting::Moved, &wanted, &deformed))?;
    Ok(checked)
}

/// The same of the car as drawn alone.
///
/// # Errors
/// All faults: a mechanism, a case whose wheel loads cannot be, an answer that is not accurate.
pub fn check_as_drawn(model: &Model, wanted: impl Fn(&str) -> bool) -> Result<Checked, Vec<Fault>> {
    check_one(model, Setting::AsDrawn, &wanted, &|_: &str| false)
}

/// What fails on the drawn frame as it stands, at any position of the adjusters: without what buckling, the deformed
/// frame and vibration add. What fails here fails in the whole check; a search asks this first.
///
/// # Errors
/// All faults: a mechanism, a case whose wheel loads cannot be, an answer that is not accurate.
pub fn failing_of_statics(model: &Model) -> Result<Vec<Finding>, Vec<Fault>> {
    let positions = model.positions.iter().map(|position| (position.name.as_str(), &position.model));
    let mut failing = Vec::new();
    for (name, model) in std::iter::once(("", model)).chain(positions) {
        let prepared = prepare(model, Purpose::Statics)?;
        let response = respond(model, &prepared, |_| true)?;
        let verdict = judge(model, &prepared, &response, &outcome_of_statics(model, &prepared, &response));
        let found = verdict.findings.into_iter().filter(Finding::fails);
        failing.extend(found.map(|finding| Finding { position: name.to_owned(), ..finding }));
    }
    Ok(failing)
}

/// All cases at all positions of the adjusters, for the verdict alone: what becomes of it when a weld is lost is not
/// asked.
///
/// # Errors
/// All faults: a mechanism, a case whose wheel loads cannot be, an answer that is not accurate.
pub fn check_for_verdict(model: &Model) -> Result<Checked, Vec<Fault>> {
    let one = |model: &Model| check_one(model, Setting::Moved, &|_: &str| true, &|_: &str| false);
    let mut checked = one(model)?;
    add_positions(model, &mut checked, one)?;
    Ok(checked)
}

/// What is asked of the car as its adjusters are set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Setting {
    AsDrawn,
    /// At another position, or for the verdict alone: what becomes of it when a weld is lost is not asked.
    Moved,
}

/// The check of one position.
fn check_one(
    model: &Model,
    setting: Setting,
    wanted: &impl Fn(&str) -> bool,
    deformed: &impl Fn(&str) -> bool,
) -> Result<Checked, Vec<Fault>> {
    let solved = |name: &str| wanted(name) || name == STANDING;
    let prepared = prepare(model, Purpose::Statics).map_err(|mut faults| {
        // Cases that the car cannot drive are told in the same run.
        faults.extend(all_wheel_loads(model, solved).err().into_iter().flatten());
        faults
    })?;
    let response = respond(model, &prepared, solved)?;
    let mut outcome = outcome(model, &prepared, &response);
    outcome.second_order =
        second_order(model, &prepared, &response, &outcome.modes, |name| wanted(name) && deformed(name));
    if setting == Setting::AsDrawn {
        outcome.lost_welds = lost_welds(model, &prepared, &response);
    }
    let verdict = judge(model, &prepared, &response, &outcome);
    let faults = unsound(&outcome, &verdict);
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut warnings = model.warnings.clone();
    warnings.extend(response.cases.iter().flat_map(|case| case.wheels.notes.iter().cloned()));
    warnings.extend(without_load(&response));
    warnings.extend(collapses(&outcome.second_order));
    warnings.extend(cut_where_nothing_holds(model, &prepared.system.structure, &verdict));
    warnings.extend(not_small(model, &outcome));
    warnings.extend(queries(model, &outcome.geometry));
    let mut assumptions = assumptions(model);
    assumptions.extend(tube_on_tube_told(model));
    for (corner, read) in &outcome.geometry {
        assumptions.extend(read.left_out.iter().map(|why| format!("{corner}: {why}")));
    }
    assumptions.extend(super::welds::notes(model, &prepared.system.structure));
    assumptions.extend(super::fatigue::notes(model));
    assumptions.extend(prepared.held.iter().cloned());
    let mut checked = Checked { prepared, response, outcome, verdict, warnings, assumptions, positions: None };
    checked.keep(wanted);
    Ok(checked)
}

/// A warning for each case that asks nothing of the frame.
fn without_load(response: &Response) -> impl Iterator<Item = String> {
    let idle = response.cases.iter().filter(|case| case.name != STANDING && !case.right.acts());
    idle.map(|case| format!("case \"{}\" loads nothing: every force of it is 0", case.name))
}

/// What the cases of a model come to, as drawn: all that a verdict needs and no more. Left out are lost welds,
/// other positions of adjusters, sources of the changes of wheels, and natural frequencies where no limit asks
/// for them.
///
/// # Errors
/// All faults: a mechanism, a case whose wheel loads cannot be, an answer that is not accurate.
pub fn check_cases(model: &Model) -> Result<(Outcome, Verdict), Vec<Fault>> {
    let prepared = prepare(model, Purpose::Statics)?;
    let response = respond(model, &prepared, |_| true)?;
    let mut outcome = outcome_of_cases(model, &prepared, &response);
    if model.limits.frequency_hz.is_some() {
        outcome.modes.vibration = vibrations(model, &prepared);
    }
    outcome.second_order = second_order(model, &prepared, &response, &outcome.modes, |_| false);
    let verdict = judge(model, &prepared, &response, &outcome);
    let faults = unsound(&outcome, &verdict);
    if faults.is_empty() { Ok((outcome, verdict)) } else { Err(faults) }
}

/// What was assumed where the file says nothing.
fn assumptions(model: &Model) -> Vec<String> {
    let mut list = vec![
        "a linear model of straight beams: joints are as the file has them, movements are small, nothing yields or slips".to_owned(),
        "buckling of the frame comes from the axial forces; what bending moments, shear and torque add to it is left out".to_owned(),
    ];
    for (name, used) in &model.materials {
        match used.source {
            Some(source) => list.push(format!("material {name} is built in; its strength: {source}")),
            None if used.replaces_built_in => {
                list.push(format!("material {name} is the file's own, in place of the built-in one of that name"));
            }
            None => {}
        }
    }
    if !model.corners.is_empty() {
        list.push(
            "springs are held at their drawn length: suspension travel is not part of the movement shown".to_owned(),
        );
    }
    if let Some(vehicle) = &model.vehicle {
        if vehicle.tyre_grip.is_none() {
            list.push(
                "no tyre_grip is given: braking and driving forces are shared as asked, whatever the tyres can do"
                    .to_owned(),
            );
        }
        if vehicle.pneumatic_trail_mm.is_none() {
            list.push("no pneumatic_trail is given: side forces act at the middle of the contact patch and do not steer the wheel".to_owned());
        }
    }
    list
}
