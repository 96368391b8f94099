//! Holds what came out against the limits.

use super::bolts::{BoltsJudged, judge_bolts, not_judged_bolts};
use super::columns::{Run, extremes, forces_on_run, runs};
use super::fatigue::{Fatigue, fatigue, not_judged_fatigue};
use super::joints::{JointJudged, Joints};
use super::lateral::Laterals;
use super::modes::Modes;
use super::not_judged::{NotJudged, flats_between, not_judged, without_inertia};
use super::outcome::{CaseOutcome, Outcome};
use super::prepared::Prepared;
use super::response::{CaseResponse, Response};
use super::rod_ends::{RodEndJudged, judge_rod_ends, not_judged_rod_ends};
use super::second_order::{SecondOrder, Settlement};
use super::welds::{WeldJudged, Welds, end_forces, welds, worst_weld};
use crate::beam::Diagram;
use crate::checks::{
    Check, ColumnForces, ColumnInput, ColumnResult, Finding, LateralResult, TubeStress, WallResult, YieldResult,
    column, exceeds_limit, tube_stress, wall, yielding,
};
use crate::math::{larger_than, largest_first};
use crate::model::{Limits, Model, TubeRef, entry_at};
use crate::section::{Fibres, Section};
use crate::source::Named;
use crate::structure::{Tube, TubeName};

/// A column: buckling length (mm), forces, result.
pub type JudgedColumn = (f64, ColumnForces, ColumnResult);

/// A tube judged in one case.
#[derive(Debug, Clone, PartialEq)]
pub struct TubeJudged {
    /// Its largest stresses.
    pub stress: TubeStress,
    /// Yield.
    pub yielding: Option<YieldResult>,
    /// Yield on the deformed frame, where it fails there and not on the drawn one.
    pub deformed: Option<YieldResult>,
    /// The worst column that it is part of, where it is pushed.
    pub column: Option<JudgedColumn>,
    /// A flat that is bent on edge.
    pub lateral: Option<LateralResult>,
    /// Its wall, where it is pushed or bent.
    pub wall: Option<WallResult>,
    /// The worse of its ends that is welded onto a tube, where one is judged.
    pub joint: Option<JointJudged>,
    /// The worst of the welds at its ends.
    pub weld: Option<WeldJudged>,
    /// The same on the deformed frame, where it fails there and not on the drawn one.
    pub weld_deformed: Option<WeldJudged>,
}

impl TubeJudged {
    /// The utilisation of each check.
    pub fn utilisations(&self) -> Vec<(Check, f64)> {
        let mut all = Vec::new();
        all.extend(self.yielding.map(|result| (Check::Yield, result.utilisation)));
        all.extend(self.column.map(|(_, _, result)| (Check::Column, result.sum)));
        all.extend(self.lateral.map(|result| (Check::Lateral, result.sum)));
        all.extend(self.wall.map(|result| (Check::Wall, result.slenderness / result.limit)));
        all.extend(self.joint.as_ref().map(|joint| (Check::Joint, joint.result.sum)));
        all.extend(self.weld.map(|weld| (Check::Weld, weld.result.directional)));
        all
    }

    /// The weld that is told: on the deformed frame where it fails there alone.
    pub fn governing_weld(&self) -> Option<&WeldJudged> {
        self.weld_deformed.as_ref().or(self.weld.as_ref())
    }
}

/// All that was judged.
#[derive(Debug, Clone, PartialEq)]
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

    /// All findings, largest utilisation first.
    pub fn worst_first(&self) -> Vec<&Finding> {
        largest_first(self.all(), |finding| finding.utilisation)
    }
}

/// Judges every case of a response.
pub fn judge(model: &Model, prepared: &Prepared, response: &Response, outcome: &Outcome) -> Verdict {
    let structure = &prepared.system.structure;
    let bench = Bench {
        model,
        prepared,
        modes: &outcome.modes,
        fibres: structure.tubes.iter().map(|tube| section(model, tube).map(Section::fibres)).collect(),
        runs: runs(model, structure),
        joints: Joints::new(model, structure),
        welds: welds(model, structure),
    };
    let lattice = bench.joints.lattice_walls(structure);
    let laterals = Laterals::new(model, structure, &bench.runs);
    let mut verdict = Verdict {
        findings: Vec::new(),
        at_positions: Vec::new(),
        tubes: Named::new(),
        rod_ends: Named::new(),
        bolts: Named::new(),
        fatigue: fatigue(model, structure, response, &bench.welds, &lattice, &bench.fibres),
        not_judged: Vec::new(),
    };
    for case in &response.cases {
        let limits = &model.cases[&case.name].limits;
        let mut tubes = bench.tubes(case, limits, &laterals);
        let settled = match outcome.second_order.get(&case.name) {
            Some(SecondOrder::Settled(settled)) => Some(settled),
            Some(SecondOrder::Collapses(_)) | None => None,
        };
        if let Some(settled) = settled {
            bench.on_the_deformed_frame(settled, limits, &mut tubes);
        }
        tube_findings(&case.name, &tubes, limits, &mut verdict.findings);
        if let Some(margin) = limits.yield_margin {
            let at_end = |tube: usize, end| end_forces(structure, &case.state, &structure.tubes[tube], end);
            let mut rod_ends = judge_rod_ends(model, structure, margin, at_end);
            let mut bolts = judge_bolts(model, &outcome.cases[&case.name], margin);
            if let Some(settled) = settled {
                for (name, there) in judge_rod_ends(model, structure, margin, |tube, end| settled.ends[tube][end]) {
                    let drawn = rod_ends.get(&name).map(|drawn| drawn.result.utilisation);
                    if fails_there_alone(drawn, there.result.utilisation) {
                        rod_ends.insert(name, RodEndJudged { deformed: true, ..there });
                    }
                }
                for (name, there) in judge_bolts(model, &settled.case, margin) {
                    let drawn = bolts.get(&name).map(|drawn| drawn.result.utilisation);
                    if fails_there_alone(drawn, there.result.utilisation) {
                        bolts.insert(name, BoltsJudged { deformed: true, ..there });
                    }
                }
            }
            let at_most = |check, place: &str, value| Finding::at_most(check, &case.name, place, value, 1.0);
            let of_rod_ends = rod_ends.iter().map(|(place, it)| at_most(Check::RodEnd, place, it.result.utilisation));
            let of_bolts = bolts.iter().map(|(place, it)| at_most(Check::Bolts, place, it.result.utilisation));
            verdict.findings.extend(of_rod_ends.chain(of_bolts));
            verdict.rod_ends.insert(case.name.clone(), rod_ends);
            verdict.bolts.insert(case.name.clone(), bolts);
        }
        movement_findings(&case.name, &outcome.cases[&case.name], limits, &mut verdict.findings);
        if let (Some(limit), Some(stiffness)) =
            (limits.twist_nm_deg, outcome.twist.get(&case.name).and_then(|twist| twist.stiffness_nm_deg))
        {
            verdict.findings.push(Finding::at_least(Check::Twist, &case.name, &case.name, stiffness, limit));
        }
        verdict.findings.extend(buckling_finding(&case.name, outcome, limits));
        verdict.tubes.insert(case.name.clone(), tubes);
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

fn section<'m>(model: &'m Model, tube: &Tube) -> Option<&'m Section> {
    tube.size.map(|size| &model.tubes[size].section)
}

/// What is the same in all cases.
struct Bench<'m> {
    model: &'m Model,
    prepared: &'m Prepared,
    modes: &'m Modes,
    fibres: Vec<Option<Fibres>>,
    runs: Vec<Vec<Run>>,
    joints: Joints,
    welds: Welds,
}

/// The least push and the least moment that a tube counts as pushed or bent by.
///
/// A tube that slides at one end, that only rod-ends hold, or that nothing loads and others carry
/// along, carries round-off, one way or the other: whether it is judged as a column, or its wall at
/// all, may not hang on that.
#[derive(Debug, Clone, Copy)]
pub(super) struct Least {
    pub(super) push_n: f64,
    pub(super) moment_nmm: f64,
}

impl Least {
    /// Values within 1e-9 of the largest of the case, or within its error, count as equal, so also as
    /// equal to nothing. Where a frame moves far and little strains it, round-off of its movement is
    /// more than that.
    pub(super) fn of(case: &CaseResponse) -> Least {
        const EQUAL: f64 = 1e-9;
        let mut largest = Least { push_n: 0.0, moment_nmm: 0.0 };
        for forces in case.state.pieces.iter().map(|piece| &piece.end_forces) {
            for end in [0, 6] {
                largest.push_n = forces.fixed_rows::<3>(end).amax().max(largest.push_n);
                largest.moment_nmm = forces.fixed_rows::<3>(end + 3).amax().max(largest.moment_nmm);
            }
        }
        let part = EQUAL.max(case.accuracy.error);
        Least {
            push_n: (part * largest.push_n).max(case.state.least.force_n),
            moment_nmm: (part * largest.moment_nmm).max(case.state.least.moment_nmm),
        }
    }

    fn is_pushed_or_bent(&self, diagram: &Diagram) -> bool {
        extremes(diagram)
            .into_iter()
            .map(|x| diagram.at(x))
            .any(|f| -f.n > self.push_n || f.my.abs() > self.moment_nmm || f.mz.abs() > self.moment_nmm)
    }
}

impl Bench<'_> {
    fn tubes(&self, case: &CaseResponse, limits: &Limits, laterals: &Laterals<'_>) -> Named<TubeJudged> {
        let structure = &self.prepared.system.structure;
        let least = Least::of(case);
        let mut judged = Named::new();
        for (at, tube) in structure.tubes.iter().enumerate() {
            let (Some(fibres), Some(section)) = (&self.fibres[at], section(self.model, tube)) else {
                continue;
            };
            let pieces: Vec<_> = case.state.diagrams(structure, tube).collect();
            let stress = tube_stress(fibres, &pieces, &tube.welds_mm);
            let (mut column, mut lateral) = (None, None);
            if let Some(margin) = limits.column_margin {
                let columns = self.columns(case, &least, at, tube, section, margin);
                lateral = laterals.worst(case, &least, at, &columns, margin);
                column = columns
                    .into_iter()
                    .flatten()
                    .reduce(|worst, next| if larger_than(next.2.sum, worst.2.sum) { next } else { worst });
            }
            let loaded = pieces.iter().any(|(_, diagram)| least.is_pushed_or_bent(diagram));
            judged.insert(
                structure.tube_name(self.model, at),
                TubeJudged {
                    stress,
                    deformed: None,
                    yielding: limits.yield_margin.map(|margin| yielding(&stress, &tube.material, margin)),
                    column,
                    lateral,
                    wall: wall(section, &tube.material, self.material_name(tube)).filter(|_| loaded),
                    joint: limits.yield_margin.and_then(|margin| self.joints.worst(structure, case, at, margin)),
                    weld: limits.yield_margin.and_then(|margin| {
                        let at_end = |end| end_forces(structure, &case.state, tube, end);
                        worst_weld(tube, &self.welds.ends[at], margin, at_end)
                    }),
                    weld_deformed: None,
                },
            );
        }
        judged
    }

    /// Keeps yield and welds on the deformed frame where they fail there alone.
    fn on_the_deformed_frame(&self, settled: &Settlement, limits: &Limits, tubes: &mut Named<TubeJudged>) {
        let Some(margin) = limits.yield_margin else { return };
        for (at, tube) in self.prepared.system.structure.tubes.iter().enumerate() {
            let name = match tube.name {
                TubeName::Tube(name) => self.model.tube_name(name),
                TubeName::Spring(_) => continue,
            };
            let (Some(stress), Some(judged)) = (settled.stresses.get(&name), tubes.get_mut(&name)) else { continue };
            let there = yielding(stress, &tube.material, margin);
            let drawn = judged.yielding.map(|drawn| drawn.utilisation);
            judged.deformed = fails_there_alone(drawn, there.utilisation).then_some(there);
            let weld = worst_weld(tube, &self.welds.ends[at], margin, |end| settled.ends[at][end]);
            let drawn = judged.weld.map(|drawn| drawn.result.directional);
            let alone = weld.filter(|there| fails_there_alone(drawn, there.result.directional));
            judged.weld_deformed = alone.map(|there| WeldJudged { deformed: true, ..there });
        }
    }

    /// The worst column that a tube is part of, where it is pushed.
    /// Each run of a tube as a column; none where nothing pushes it.
    fn columns(
        &self,
        case: &CaseResponse,
        least: &Least,
        at: usize,
        tube: &Tube,
        section: &Section,
        margin: f64,
    ) -> Vec<Option<JudgedColumn>> {
        let own_length = self.own_column_length(tube);
        self.runs[at]
            .iter()
            .map(|run| {
                let forces = forces_on_run(&self.prepared.system.structure, &case.state, run);
                if forces.push_n <= least.push_n {
                    return None;
                }
                let length_mm = own_length.unwrap_or(run.length_mm);
                let input = ColumnInput {
                    section,
                    properties: &tube.properties,
                    material: &tube.material,
                    length_mm,
                    forces,
                    margin,
                    frame_n_cr_n: self.modes.buckling[&case.name].critical_push_n(at, forces.push_n),
                };
                Some((length_mm, forces, column(&input)))
            })
            .collect()
    }

    fn material_name(&self, tube: &Tube) -> &str {
        tube.size.map_or("", |size| entry_at(&self.model.materials, self.model.tubes[size].material).0)
    }

    fn own_column_length(&self, tube: &Tube) -> Option<f64> {
        match tube.name {
            TubeName::Tube(TubeRef::Member(member)) => self.model.members[member].column_length_mm,
            _ => None,
        }
    }
}

/// Whether what holds on the drawn frame, or is not judged there, fails on the deformed one.
fn fails_there_alone(drawn: Option<f64>, there: f64) -> bool {
    exceeds_limit(there) && !drawn.is_some_and(exceeds_limit)
}

fn tube_findings(case: &str, tubes: &Named<TubeJudged>, limits: &Limits, findings: &mut Vec<Finding>) {
    for (name, judged) in tubes {
        let result = judged.deformed.as_ref().or(judged.yielding.as_ref());
        if let (Some(result), Some(margin)) = (result, limits.yield_margin) {
            let limit = result.strength_mpa / margin;
            findings.push(Finding::at_most(Check::Yield, case, name, result.stress_mpa, limit));
        }
        if let Some((_, _, result)) = &judged.column {
            findings.push(Finding::at_most(Check::Column, case, name, result.sum, 1.0));
        }
        if let Some(result) = &judged.lateral {
            findings.push(Finding::at_most(Check::Lateral, case, name, result.sum, 1.0));
        }
        if let Some(result) = &judged.wall {
            findings.push(Finding::at_most(Check::Wall, case, name, result.slenderness, result.limit));
        }
        if let Some(joint) = &judged.joint {
            findings.push(Finding::at_most(Check::Joint, case, name, joint.result.sum, 1.0));
        }
        if let Some(weld) = judged.governing_weld() {
            findings.push(Finding::at_most(Check::Weld, case, name, weld.result.directional, 1.0));
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
