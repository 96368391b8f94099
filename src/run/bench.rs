//! What judging a frame takes that is the same in all cases, and each tube of it in one.

use super::columns::{Run, forces_on_run, runs};
use super::joints::{JointJudged, Joints};
use super::lateral::Laterals;
use super::least::Least;
use super::lost_welds::stress_at_most;
use super::modes::Modes;
use super::prepared::Prepared;
use super::response::CaseResponse;
use super::second_order::Settlement;
use super::tubes::{JudgedColumn, TubeJudged};
use super::welds::{WeldJudged, Welds, end_forces, welds, worst_weld};
use crate::beam::Diagram;
use crate::checks::{ColumnInput, LateralResult, WallResult, column, exceeds_limit, tube_stress, wall, yielding};
use crate::math::larger_than;
use crate::model::{Limits, Model, TubeRef, entry_at};
use crate::section::{Fibres, Section};
use crate::source::Named;
use crate::structure::{Tube, TubeName};

fn section<'m>(model: &'m Model, tube: &Tube) -> Option<&'m Section> {
    tube.size.map(|size| &model.tubes[size].section)
}

/// What is the same in all cases.
pub(super) struct Bench<'m> {
    model: &'m Model,
    pub(super) prepared: &'m Prepared,
    modes: &'m Modes,
    /// Of each tube.
    pub(super) names: Vec<String>,
    fibres: Vec<Option<Fibres>>,
    runs: Vec<Vec<Run>>,
    pub(super) joints: Joints,
    pub(super) welds: Welds,
}

/// What a tube is judged by beside its stress and its welds.
#[derive(Default)]
pub(super) struct Shape {
    pub(super) column: Option<JudgedColumn>,
    pub(super) lateral: Option<LateralResult>,
    pub(super) wall: Option<WallResult>,
    pub(super) joint: Option<JointJudged>,
}

impl<'m> Bench<'m> {
    pub(super) fn new(model: &'m Model, prepared: &'m Prepared, modes: &'m Modes) -> Self {
        let structure = &prepared.system.structure;
        Bench {
            model,
            prepared,
            modes,
            names: (0..structure.tubes.len()).map(|at| structure.tube_name(model, at)).collect(),
            fibres: structure.tubes.iter().map(|tube| section(model, tube).map(Section::fibres)).collect(),
            runs: runs(model, structure),
            joints: Joints::new(model, structure),
            welds: welds(model, structure),
        }
    }

    pub(super) fn laterals(&self) -> Laterals<'_> {
        Laterals::new(self.model, &self.prepared.system, &self.runs, self.modes)
    }

    pub(super) fn limits(&self, case: &CaseResponse) -> &'m Limits {
        &self.model.cases[&case.name].limits
    }

    /// The tubes that are judged, springs left out: place among the tubes of the structure, tube, where stress is
    /// looked at.
    pub(super) fn judged(&self) -> impl Iterator<Item = (usize, &Tube, &Fibres)> {
        let tubes = self.prepared.system.structure.tubes.iter().enumerate().zip(&self.fibres);
        tubes.filter_map(|((at, tube), fibres)| Some((at, tube, fibres.as_ref()?)))
    }

    pub(super) fn tubes(
        &self,
        case: &CaseResponse,
        laterals: &Laterals<'_>,
        settled: Option<&Settlement>,
    ) -> Named<TubeJudged> {
        let structure = &self.prepared.system.structure;
        let (limits, least) = (self.limits(case), Least::of(case));
        let mut judged = Named::new();
        for (at, tube, fibres) in self.judged() {
            let pieces: Vec<_> = case.state.diagrams(structure, tube).collect();
            let stress = tube_stress(fibres, &pieces, &tube.welds_mm);
            let Shape { column, lateral, wall, joint } = self.shape(case, laterals, &least, at);
            let mut of_tube = TubeJudged {
                stress,
                deformed: None,
                yielding: limits.yield_margin.map(|margin| yielding(&stress, &tube.material, margin)),
                column,
                lateral,
                wall,
                joint,
                weld: self.weld(case, at),
                weld_deformed: None,
                joint_deformed: None,
            };
            if let Some(settled) = settled {
                self.on_the_deformed_frame(settled, limits, at, &self.names[at], &mut of_tube);
            }
            judged.insert(self.names[at].clone(), of_tube);
        }
        judged
    }

    /// What a tube is judged by beside its stress and its welds.
    pub(super) fn shape(&self, case: &CaseResponse, laterals: &Laterals<'_>, least: &Least, at: usize) -> Shape {
        let structure = &self.prepared.system.structure;
        let (limits, tube) = (self.limits(case), &structure.tubes[at]);
        let Some(section) = section(self.model, tube) else { return Shape::default() };
        let mut shape = Shape::default();
        if let Some(margin) = limits.column_margin {
            let columns = self.columns(case, least, at, tube, section, margin);
            shape.lateral = laterals.worst(case, least, at, &columns, margin);
            shape.column = columns
                .into_iter()
                .flatten()
                .reduce(|worst, next| if larger_than(next.2.sum, worst.2.sum) { next } else { worst });
        }
        let mut pieces = case.state.diagrams(structure, tube);
        if pieces.any(|(_, diagram)| least.is_pushed_or_bent(&diagram)) {
            shape.wall = wall(section, &tube.material, self.material_name(tube));
        }
        shape.joint = limits.yield_margin.and_then(|margin| self.joints.worst(structure, &case.state, at, margin));
        shape
    }

    /// The worst of the welds at the ends of a tube.
    pub(super) fn weld(&self, case: &CaseResponse, at: usize) -> Option<WeldJudged> {
        let structure = &self.prepared.system.structure;
        let tube = &structure.tubes[at];
        let margin = self.limits(case).yield_margin?;
        worst_weld(tube, &self.welds.ends[at], margin, |end| end_forces(structure, &case.state, tube, end))
    }

    /// What the utilisations of yield and of the welds of a tube do not exceed.
    pub(super) fn at_most(&self, case: &CaseResponse, at: usize, margin: f64) -> [f64; 2] {
        let structure = &self.prepared.system.structure;
        let tube = &structure.tubes[at];
        let weakest = tube.material.yield_at_weld_mpa.min(tube.material.yield_mpa);
        let most = |diagram: &Diagram| stress_at_most(&tube.properties, &diagram.at_most());
        let stress = case.state.diagrams(structure, tube).map(|(_, diagram)| most(&diagram)).fold(0.0, f64::max);
        let welds = self.welds.ends[at].iter().enumerate().filter_map(|(end, weld)| {
            Some(weld.as_ref()?.at_most(&end_forces(structure, &case.state, tube, end), end, margin))
        });
        [stress * margin / weakest, welds.fold(0.0, f64::max)]
    }

    /// Keeps yield, welds and joints on the deformed frame where they fail there alone.
    fn on_the_deformed_frame(
        &self,
        settled: &Settlement,
        limits: &Limits,
        at: usize,
        name: &str,
        judged: &mut TubeJudged,
    ) {
        let structure = &self.prepared.system.structure;
        let tube = &structure.tubes[at];
        let (Some(margin), Some(stress)) = (limits.yield_margin, settled.stresses.get(name)) else { return };
        let there = yielding(stress, &tube.material, margin);
        let drawn = judged.yielding.map(|drawn| drawn.utilisation);
        judged.deformed = fails_there_alone(drawn, there.utilisation).then_some(there);
        let weld = worst_weld(tube, &self.welds.ends[at], margin, |end| end_forces(structure, settled, tube, end));
        let drawn = judged.weld.map(|drawn| drawn.result.directional);
        let alone = weld.filter(|there| fails_there_alone(drawn, there.result.directional));
        judged.weld_deformed = alone.map(|there| WeldJudged { deformed: true, ..there });
        let joint = self.joints.worst(structure, settled, at, margin);
        let drawn = judged.joint.as_ref().map(|drawn| drawn.result.utilisation());
        let alone = joint.filter(|there| fails_there_alone(drawn, there.result.utilisation()));
        judged.joint_deformed = alone.map(|there| JointJudged { deformed: true, ..there });
    }

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
pub(super) fn fails_there_alone(drawn: Option<f64>, there: f64) -> bool {
    exceeds_limit(there) && !drawn.is_some_and(exceeds_limit)
}
