//! Flats that are bent on edge: whether they give way sideways.
//!
//! A run of tube is held against turning about itself where a tube across it, or a stiff mount or body, takes its turn.
//! With one end free its length counts twice, as in the closed form of an evenly bent strip. The frame's own answer
//! ([`crate::modes::lateral_buckling`]) takes its place where it is less, as where what holds a flat is soft itself, and
//! where there is no closed form: of what nothing holds at either end, and of what carries something beside its axis
//! where it is not held. What can spin about itself lies over.

use nalgebra::{Point3, Vector3};

use super::columns::{Run, forces_on_run};
use super::least::Least;
use super::modes::Modes;
use super::not_judged::NotJudged;
use super::response::{CaseResponse, Response};
use super::tubes::JudgedColumn;
use crate::beam::Flex;
use crate::checks::{CriticalMoment, LateralForces, LateralResult, lateral, sideways_moment_nmm};
use crate::math::larger_than;
use crate::model::Model;
use crate::modes::LateralFactor;
use crate::section::Section;
use crate::solve::System;
use crate::source::Named;
use crate::structure::{Direction, PieceEnd, STRAIGHT_WITHIN_DEG, Structure, Tube};

/// A mount holds a turn where it is so many times as stiff as the flat is against being twisted, G J/L. Common practice,
/// no source.
const HOLDS: f64 = 10.0;

/// Why a section by its figures is not judged.
const GIVEN: &str = "bent about its stronger axis it may give way sideways and twist (lateral-torsional buckling): its \
     figures do not tell whether its shear centre lies on its axis, nor how it warps";

/// Flats of a model that are bent on edge.
pub(super) struct Laterals<'m> {
    model: &'m Model,
    system: &'m System,
    structure: &'m Structure,
    runs: &'m [Vec<Run>],
    modes: &'m Modes,
    /// For each part the directions of the pieces that end there with a joint that takes a turn about
    /// themselves.
    tubes_at: Vec<Vec<Vector3<f64>>>,
    /// For each part the axes about which a tie holds its turn, and about which a spring does, with its rate, N·mm/rad.
    turns_at: Vec<Vec<(Vector3<f64>, f64)>>,
}

impl<'m> Laterals<'m> {
    pub(super) fn new(model: &'m Model, system: &'m System, runs: &'m [Vec<Run>], modes: &'m Modes) -> Self {
        let structure = &system.structure;
        let mut tubes_at = vec![Vec::new(); structure.parts.len()];
        for piece in &structure.pieces {
            for end in piece.ends.iter().filter(|end| takes_turn(end)) {
                tubes_at[end.part].push(piece.axes.x());
            }
        }
        let mut turns_at = vec![Vec::new(); structure.parts.len()];
        let ties = structure.ties.iter().map(|tie| (&tie.direction, tie.part, tie.holder, f64::INFINITY));
        let springs = structure.springs.iter().map(|it| (&it.direction, it.part, it.holder, it.rate));
        for (direction, part, holder, rate) in ties.chain(springs) {
            if let Direction::Turn(axis) = direction {
                for held in [Some(part), holder].into_iter().flatten() {
                    turns_at[held].push((*axis, rate));
                }
            }
        }
        Self { model, system, structure, runs, modes, tubes_at, turns_at }
    }

    /// Whether something else than its own going on takes the turn about itself of a tube that ends at a part.
    fn is_held(&self, run: &Run, piece: usize, end: &PieceEnd) -> bool {
        let own = self.structure.pieces[piece].axes.x();
        let limit = STRAIGHT_WITHIN_DEG.to_radians().cos();
        let crosses = |other: &Vector3<f64>| other.dot(&own).abs() < limit;
        let tube = &self.structure.tubes[self.structure.pieces[piece].tube];
        let least_rate = HOLDS * tube.material.shear_modulus_mpa * tube.properties.j_mm4 / run.length_mm;
        let axes = self.turns_at[end.part].iter().filter(|(_, rate)| *rate >= least_rate).map(|(axis, _)| axis);
        takes_turn(end) && (self.tubes_at[end.part].iter().any(crosses) || lies_in(&own, axes) >= limit)
    }

    /// The worst run of a flat in a case, of which each is such a column, where it is bent on edge.
    pub(super) fn worst(
        &self,
        case: &CaseResponse,
        least: &Least,
        at: usize,
        columns: &[Option<JudgedColumn>],
        margin: f64,
    ) -> Option<LateralResult> {
        let tube = &self.structure.tubes[at];
        let size = &self.model.tubes[tube.size?];
        let Section::Flat(_) = size.section else { return None };
        let strong = tube.properties.strong_axis()?;
        let weak = 1 - strong;
        let lies_over = self.lies_over(at);
        let frame = self.modes.lateral.get(&case.name).and_then(|found| Some(found.as_ref().ok()?.factor(at)));
        let judged = self.runs[at].iter().zip(columns).filter_map(|(run, column)| {
            let forces = forces_on_run(self.structure, &case.state, run);
            let moments = [forces.my_nmm, forces.mz_nmm];
            if moments[strong] <= least.moment_nmm {
                return None;
            }
            let source =
                if lies_over { None } else { Some(self.critical_moment(run, frame, tube, moments[strong])?) };
            let weak_nmm =
                [tube.properties.iy_mm4 / tube.properties.cz_mm, tube.properties.iz_mm4 / tube.properties.cy_mm][weak]
                    * tube.material.yield_mpa;
            // Bent and not pushed, nothing is added to the moments.
            let (push_parts, k) = match column {
                Some((_, _, column)) => (
                    [strong, weak].map(|axis| forces.push_n * margin / column.n_b_rd_n[axis]),
                    [strong, weak].map(|axis| column.k[3 * axis]),
                ),
                None => ([0.0; 2], [1.0; 2]),
            };
            let weak_part = moments[weak] * margin / weak_nmm;
            let forces = LateralForces { moment_nmm: moments[strong], push_parts, weak_part, k };
            Some(lateral(&tube.material, &tube.properties, source, forces, margin))
        });
        judged.reduce(|worst, next| if larger_than(next.sum, worst.sum) { next } else { worst })
    }

    /// Whether a turn about itself is held only because nothing needs to resist it: as the flat gives way, something
    /// would have to.
    fn lies_over(&self, tube: usize) -> bool {
        let limit = STRAIGHT_WITHIN_DEG.to_radians().cos();
        let held = &self.system.numbering.ties[self.structure.ties.len()..];
        let is_spin = |part: usize, along: &Vector3<f64>| {
            held.iter().any(|tie| match tie.direction {
                Direction::Turn(axis) => tie.part == part && axis.dot(along).abs() >= limit,
                Direction::Shift(_) => false,
            })
        };
        let pieces = &self.structure.pieces[self.structure.tubes[tube].pieces.clone()];
        self.structure.spins(tube)
            || pieces.iter().any(|piece| piece.ends.iter().any(|end| is_spin(end.part, &piece.axes.x())))
    }

    /// Where the critical moment of a run comes from: the lesser of the closed form and of the frame's answer, which
    /// counts where it is exact or where there is no other. `None`: neither is known.
    fn critical_moment(
        &self,
        run: &Run,
        frame: Option<LateralFactor>,
        tube: &Tube,
        moment_nmm: f64,
    ) -> Option<CriticalMoment> {
        let Some(length_mm) = self.free_length_mm(run) else {
            return frame.map(|factor| match factor {
                LateralFactor::At(factor) => CriticalMoment::InFrame(factor),
                LateralFactor::AtLeast(factor) => CriticalMoment::InFrameAtLeast(factor),
            });
        };
        let of_strip_nmm = sideways_moment_nmm(&tube.material, &tube.properties, length_mm);
        Some(match frame {
            Some(LateralFactor::At(factor)) if larger_than(of_strip_nmm, factor * moment_nmm) => {
                CriticalMoment::InFrame(factor)
            }
            _ => CriticalMoment::EvenStrip(length_mm),
        })
    }

    /// The length over which nothing holds a run against turning about itself, where the closed form of an even strip
    /// has one.
    fn free_length_mm(&self, run: &Run) -> Option<f64> {
        let (first, last) = (run.pieces.first()?, run.pieces.last()?);
        let end = |(piece, backwards): (usize, bool), at_second: bool| {
            &self.structure.pieces[piece].ends[usize::from(backwards != at_second)]
        };
        let ends = [end(*first, false), end(*last, true)];
        let held = [(first.0, ends[0]), (last.0, ends[1])].map(|(piece, end)| self.is_held(run, piece, end));
        let between = run.pieces[1..].iter().map(|piece| end(*piece, false));
        let free = ends.into_iter().zip(held).filter(|(_, held)| !held).map(|(end, _)| end);
        if between.chain(free).any(|end| self.carries_beside(end)) {
            return None;
        }
        match held {
            [true, true] => Some(run.length_mm),
            [false, false] => None,
            _ => Some(2.0 * run.length_mm),
        }
    }

    /// Whether anything is fixed to the part of an end away from the tube's axis.
    fn carries_beside(&self, end: &PieceEnd) -> bool {
        const BESIDE_MM: f64 = 1e-6;
        let away = |at: &Point3<f64>| (at - end.at).norm() > BESIDE_MM;
        let anchors = self.structure.parts[end.part].anchors.iter();
        let ties = self.structure.ties.iter().filter(|tie| tie.part == end.part || tie.holder == Some(end.part));
        let springs = self.structure.springs.iter().filter(|it| it.part == end.part || it.holder == Some(end.part));
        anchors.map(|anchor| self.model.anchor_at(*anchor)).any(|at| away(&at))
            || ties.map(|tie| tie.at).any(|at| away(&at))
            || springs.map(|spring| spring.at).any(|at| away(&at))
    }

    /// What is bent on edge and is not judged: sections by their figures, and flats of which neither the closed form nor
    /// the frame tells.
    pub(super) fn not_judged(&self, response: &Response) -> Vec<NotJudged> {
        let mut told: Named<Vec<String>> = Named::new();
        for (at, tube) in self.structure.tubes.iter().enumerate() {
            let Some(size) = tube.size else { continue };
            let is_flat = match self.model.tubes[size].section {
                Section::Flat(_) => true,
                Section::Given(_) => false,
                Section::Round(_) | Section::Box(_) | Section::Bar(_) => continue,
            };
            for case in &response.cases {
                let least = Least::of(case);
                let is_bent = case
                    .state
                    .diagrams(self.structure, tube)
                    .any(|(_, diagram)| least.is_bent_on_edge(&tube.properties, &diagram));
                let why = match self.modes.lateral.get(&case.name) {
                    _ if !is_bent => continue,
                    _ if !is_flat => GIVEN,
                    Some(Err(why))
                        if !self.lies_over(at)
                            && self.runs[at].iter().any(|run| self.free_length_mm(run).is_none()) =>
                    {
                        why.in_words()
                    }
                    _ => continue,
                };
                let name = self.structure.tube_name(self.model, at);
                let names = told.entry(why.to_owned()).or_default();
                if !names.contains(&name) {
                    names.push(name);
                }
            }
        }
        told.into_iter().map(|(why, names)| NotJudged::new("lateral", names.join(", "), why)).collect()
    }
}

/// How much of a unit vector lies in what some others span.
fn lies_in<'a>(unit: &Vector3<f64>, others: impl Iterator<Item = &'a Vector3<f64>>) -> f64 {
    const LEFT: f64 = 1e-6;
    let mut span: Vec<Vector3<f64>> = Vec::with_capacity(3);
    for other in others {
        let rest = span.iter().fold(*other, |rest, known| rest - known * known.dot(&rest));
        if let Some(new) = rest.try_normalize(LEFT) {
            span.push(new);
        }
    }
    span.iter().map(|axis| axis.dot(unit).powi(2)).sum::<f64>().sqrt()
}

/// Whether the joint of an end hands on a turn of the tube about itself.
fn takes_turn(end: &PieceEnd) -> bool {
    end.joint.t != Flex::Free
}
