//! Holds what came out against the limits.

use std::collections::HashSet;

use super::bench::{Bench, fails_there_alone};
use super::bolts::{BoltsJudged, judge_bolts, not_judged_bolts};
use super::fatigue::{Fatigue, fatigue, not_judged_fatigue};
use super::modes::Modes;
use super::not_judged::{NotJudged, flats_between, not_judged, without_inertia};
use super::outcome::{CaseOutcome, Outcome};
use super::prepared::Prepared;
use super::response::{CaseResponse, Response};
use super::rod_ends::{RodEndJudged, judge_rod_ends, not_judged_rod_ends};
use super::second_order::{SecondOrder, Settlement};
use super::tubes::TubeJudged;
use super::welds::end_forces;
use crate::checks::{Check, Finding};
use crate::math::largest_first;
use crate::model::{Limits, Model};
use crate::source::Named;
use crate::structure::Structure;

/// All that was judged.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Verdict {
    /// Every finding of the car as drawn, in the order of the file.
    pub findings: Vec<Finding>,
    /// Every finding at the other positions of its adjusters.
    pub at_positions: Vec<Finding>,
    /// Tubes by case, then by name; springs are not judged.
    pub tubes: Named<Named<TubeJudged>>,
    /// Rod-ends by case, then by the part that they end.
    pub rod_ends: Named<Named<RodEndJudged>>,
    /// Bolts by case, then by the mount.
    pub bolts: Named<Named<BoltsJudged>>,
    /// The duty; `None` where there is none, or a case of it was not asked for.
    pub fatigue: Option<Fatigue>,
    /// What is not covered.
    pub not_judged: Vec<NotJudged>,
}

impl Verdict {
    /// Whether every limit is met.
    pub fn passes(&self) -> bool {
        !self.all().any(Finding::fails)
    }

    /// Every finding, as drawn first.
    pub fn all(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().chain(&self.at_positions)
    }

    /// The findings that fail, largest utilisation first.
    pub fn failing(&self) -> Vec<&Finding> {
        largest_first(self.all().filter(|finding| finding.fails()), |finding| finding.utilisation)
    }

    /// Of what fails, each check at each place once, where it is worst; worst first.
    pub fn failing_places(&self) -> Vec<&Finding> {
        let mut seen = HashSet::new();
        let mut failing = self.failing();
        failing.retain(|finding| seen.insert((finding.check.name(), finding.place.as_str())));
        failing
    }

    /// All findings, largest utilisation first.
    pub fn worst_first(&self) -> Vec<&Finding> {
        largest_first(self.all(), |finding| finding.utilisation)
    }
}

/// Judges every case of a response.
pub fn judge(model: &Model, prepared: &Prepared, response: &Response, outcome: &Outcome) -> Verdict {
    let structure = &prepared.system.structure;
    let bench = Bench::new(model, prepared, &outcome.modes);
    let lattice = bench.joints.lattice_walls(structure);
    let laterals = bench.laterals();
    let mut verdict = Verdict { fatigue: fatigue(model, &bench, &lattice, response, outcome), ..Verdict::default() };
    for case in &response.cases {
        let tubes = bench.tubes(case, &laterals, outcome.settled(&case.name));
        for (name, judged) in &tubes {
            verdict.findings.extend(judged.held().findings(&case.name, name, bench.limits(case)));
        }
        verdict.tubes.insert(case.name.clone(), tubes);
        let beside = BesideTubes::of(model, prepared, case, outcome);
        verdict.findings.extend(beside.findings);
        if bench.limits(case).yield_margin.is_some() {
            verdict.rod_ends.insert(case.name.clone(), beside.rod_ends);
            verdict.bolts.insert(case.name.clone(), beside.bolts);
        }
    }
    verdict.findings.extend(frequency_finding(model, &outcome.modes));
    if let (Some(lives), Some(fatigue)) = (model.limits.fatigue, &verdict.fatigue) {
        let used = fatigue.tubes.iter().map(|(name, judged)| (name, judged.used(lives)));
        verdict.findings.extend(used.map(|(name, used)| Finding::at_most(Check::Fatigue, "", name, used, 1.0)));
    }
    verdict.not_judged = not_judged(model, outcome);
    verdict.not_judged.extend(bench.joints.not_judged.iter().cloned());
    verdict.not_judged.extend(bench.welds.not_judged.iter().cloned());
    verdict.not_judged.extend(not_judged_rod_ends(model));
    verdict.not_judged.extend(not_judged_bolts(model, &verdict.bolts));
    verdict.not_judged.extend(not_judged_fatigue(model, structure, &bench.welds, &lattice, verdict.fatigue.as_ref()));
    verdict.not_judged.extend(laterals.not_judged(response));
    verdict.not_judged.extend(flats_between(model, structure, response, &verdict.tubes));
    verdict
}

/// Rod-ends, bolts and the findings of a case that are not of a tube.
#[derive(Default)]
pub(super) struct BesideTubes {
    pub(super) findings: Vec<Finding>,
    rod_ends: Named<RodEndJudged>,
    bolts: Named<BoltsJudged>,
}

impl BesideTubes {
    pub(super) fn of(model: &Model, prepared: &Prepared, case: &CaseResponse, outcome: &Outcome) -> BesideTubes {
        let structure = &prepared.system.structure;
        let limits = &model.cases[&case.name].limits;
        let mut beside = BesideTubes::default();
        if let Some(margin) = limits.yield_margin {
            let at_end = |tube: usize, end| end_forces(structure, &case.state, &structure.tubes[tube], end);
            beside.rod_ends = judge_rod_ends(model, structure, margin, at_end);
            beside.bolts = judge_bolts(model, &outcome.cases[&case.name], margin);
            if let Some(settled) = outcome.settled(&case.name) {
                beside.on_the_deformed_frame(model, structure, margin, settled);
            }
            let at_most = |check, place: &str, value| Finding::at_most(check, &case.name, place, value, 1.0);
            let rod_ends = beside.rod_ends.iter();
            let of_rod_ends = rod_ends.map(|(place, it)| at_most(Check::RodEnd, place, it.result.utilisation));
            let of_bolts = beside.bolts.iter().map(|(place, it)| at_most(Check::Bolts, place, it.result.utilisation));
            beside.findings = of_rod_ends.chain(of_bolts).collect();
        }
        movement_findings(&case.name, &outcome.cases[&case.name], limits, &mut beside.findings);
        if let (Some(limit), Some(stiffness)) =
            (limits.twist_nm_deg, outcome.twist.get(&case.name).and_then(|twist| twist.stiffness_nm_deg))
        {
            beside.findings.push(Finding::at_least(Check::Twist, &case.name, &case.name, stiffness, limit));
        }
        beside.findings.extend(buckling_finding(&case.name, outcome, limits));
        beside
    }

    /// Keeps rod-ends and bolts on the deformed frame where they fail there alone.
    fn on_the_deformed_frame(&mut self, model: &Model, structure: &Structure, margin: f64, settled: &Settlement) {
        let at_end = |tube: usize, end| end_forces(structure, settled, &structure.tubes[tube], end);
        for (name, there) in judge_rod_ends(model, structure, margin, at_end) {
            let drawn = self.rod_ends.get(&name).map(|drawn| drawn.result.utilisation);
            if fails_there_alone(drawn, there.result.utilisation) {
                self.rod_ends.insert(name, RodEndJudged { deformed: true, ..there });
            }
        }
        for (name, there) in judge_bolts(model, &settled.case, margin) {
            let drawn = self.bolts.get(&name).map(|drawn| drawn.result.utilisation);
            if fails_there_alone(drawn, there.result.utilisation) {
                self.bolts.insert(name, BoltsJudged { deformed: true, ..there });
            }
        }
    }
}

/// The frame's buckling in a case; far above its margin there is nothing to judge.
fn buckling_finding(case: &str, outcome: &Outcome, limits: &Limits) -> Option<Finding> {
    let margin = limits.buckling_margin?;
    let lowest = outcome.modes.buckling[case].lowest();
    // What does not come to rest on its deformed shape carries its load no more than once.
    let factor = match outcome.second_order.get(case) {
        Some(SecondOrder::Collapses(_)) => lowest.unwrap_or(1.0).min(1.0),
        Some(SecondOrder::Settled(_)) | None => lowest?,
    };
    Some(Finding::at_least(Check::Buckling, case, case, factor, margin))
}

/// The lowest natural frequency. Where a body that swings has no inertia, it stands under `not_judged`.
fn frequency_finding(model: &Model, modes: &Modes) -> Option<Finding> {
    let limit = model.limits.frequency_hz?;
    if without_inertia(model).next().is_some() {
        return None;
    }
    let lowest = modes.vibration.as_ref().ok()?.modes.first()?;
    Some(Finding::at_least(Check::Frequency, "", "mode 1", lowest.frequency_hz, limit))
}

fn movement_findings(case: &str, outcome: &CaseOutcome, limits: &Limits, findings: &mut Vec<Finding>) {
    if let Some(limit) = limits.pickup_move_mm {
        for (name, pickup) in &outcome.pickups {
            findings.push(Finding::at_most(Check::PickupMove, case, name, pickup.change_mm, limit));
        }
    }
    for (name, wheel) in &outcome.wheels {
        let Some(moved) = &wheel.moved else { continue };
        if let Some(limit) = limits.toe_deg {
            findings.push(Finding::at_most(Check::Toe, case, name, moved.change.toe_deg.abs(), limit));
        }
        if let Some(limit) = limits.camber_deg {
            findings.push(Finding::at_most(Check::Camber, case, name, moved.change.camber_deg.abs(), limit));
        }
    }
}
