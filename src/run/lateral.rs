//! Flats that are bent on edge: over which length nothing holds them, and whether they give way sideways.
//!
//! A run of tube is held against turning about itself where a tube across it, or a stiff mount or body, takes its turn.
//! With one end free its length counts twice, as in the closed form of an evenly bent strip. What nothing holds
//! at either end, and what carries something beside its axis where it is not held, is not judged.

use nalgebra::{Point3, Vector3};

use super::bench::Least;
use super::columns::{Run, forces_on_run};
use super::not_judged::NotJudged;
use super::response::{CaseResponse, Response};
use super::tubes::JudgedColumn;
use crate::beam::Flex;
use crate::checks::{LateralForces, LateralResult, lateral};
use crate::math::larger_than;
use crate::model::Model;
use crate::section::{Properties, Section};
use crate::source::Named;
use crate::structure::{Direction, PieceEnd, STRAIGHT_WITHIN_DEG, Structure};

/// A mount holds a turn where it is so many times as stiff as the flat is against being twisted, G J/L. Common practice,
/// no source.
const HOLDS: f64 = 10.0;

/// Why a flat is not judged.
const HELD_BY_NOTHING: &str = "bent on edge it may give way sideways and twist, and nothing at its ends takes its turn \
     about itself: over which length it would, its beam does not tell";
const BESIDE_THE_AXIS: &str = "bent on edge it may give way sideways and twist; what is fixed to it beside its axis, \
     between its ends or at a free one, helps it over or holds it back, which the closed form for a strip does not have";
const GIVEN: &str = "bent about its stronger axis it may give way sideways and twist (lateral-torsional buckling): its \
     figures do not tell whether its shear centre lies on its axis, nor how it warps";

/// Flats of a model that are bent on edge.
pub(super) struct Laterals<'m> {
    model: &'m Model,
    structure: &'m Structure,
    runs: &'m [Vec<Run>],
    /// For each part the directions of the pieces that end there with a joint that takes a turn about
    /// themselves.
    tubes_at: Vec<Vec<Vector3<f64>>>,
    /// For each part the axes about which a tie holds its turn, and about which a spring does, with its rate, N·mm/rad.
    turns_at: Vec<Vec<(Vector3<f64>, f64)>>,
}

impl<'m> Laterals<'m> {
    pub(super) fn new(model: &'m Model, structure: &'m Structure, runs: &'m [Vec<Run>]) -> Self {
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
        Self { model, structure, runs, tubes_at, turns_at }
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

    /// The worst run of a flat in a case, of which each is such a column, where it is bent on edge and can be judged.
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
        let strong = strong_axis(&tube.properties)?;
        let judged = self.runs[at].iter().zip(columns).filter_map(|(run, column)| {
            let forces = forces_on_run(self.structure, &case.state, run);
            let moments = [forces.my_nmm, forces.mz_nmm];
            if moments[strong] <= least.moment_nmm {
                return None;
            }
            let length_mm = self.free_length_mm(run).ok()?;
            let weak_nmm =
                [tube.properties.iy_mm4 / tube.properties.cz_mm, tube.properties.iz_mm4 / tube.properties.cy_mm]
                    [1 - strong]
                    * tube.material.yield_mpa;
            // k_yy and k_zz of the column; bent and not pushed, nothing is added to the moment.
            let (push_part, factor) = match column {
                Some((_, _, column)) => {
                    (forces.push_n * margin / column.n_b_rd_n[1 - strong], column.k[3 * (1 - strong)])
                }
                None => (0.0, 1.0),
            };
            let weak_part = factor * moments[1 - strong] * margin / weak_nmm;
            let forces = LateralForces { moment_nmm: moments[strong], push_part, weak_part };
            Some(lateral(&tube.material, &tube.properties, length_mm, forces, margin))
        });
        judged.reduce(|worst, next| if larger_than(next.sum, worst.sum) { next } else { worst })
    }

    /// The length over which nothing holds a run against turning about itself.
    fn free_length_mm(&self, run: &Run) -> Result<f64, &'static str> {
        let (Some(first), Some(last)) = (run.pieces.first(), run.pieces.last()) else { return Err(HELD_BY_NOTHING) };
        let end = |(piece, backwards): (usize, bool), at_second: bool| {
            &self.structure.pieces[piece].ends[usize::from(backwards != at_second)]
        };
        let ends = [end(*first, false), end(*last, true)];
        let held = [(first.0, ends[0]), (last.0, ends[1])].map(|(piece, end)| self.is_held(run, piece, end));
        let between = run.pieces[1..].iter().map(|piece| end(*piece, false));
        let free = ends.into_iter().zip(held).filter(|(_, held)| !held).map(|(end, _)| end);
        if between.chain(free).any(|end| self.carries_beside(end)) {
            return Err(BESIDE_THE_AXIS);
        }
        match held {
            [true, true] => Ok(run.length_mm),
            [false, false] => Err(HELD_BY_NOTHING),
            _ => Ok(2.0 * run.length_mm),
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

    /// What is bent on edge and is not judged.
    pub(super) fn not_judged(&self, response: &Response) -> Vec<NotJudged> {
        let mut told: Named<Vec<String>> = Named::new();
        for (at, tube) in self.structure.tubes.iter().enumerate() {
            let Some(size) = tube.size else { continue };
            let is_flat = match self.model.tubes[size].section {
                Section::Flat(_) => true,
                Section::Given(_) => false,
                Section::Round(_) | Section::Box(_) | Section::Bar(_) => continue,
            };
            let Some(strong) = strong_axis(&tube.properties) else { continue };
            for run in &self.runs[at] {
                let is_bent = |case: &CaseResponse| {
                    let forces = forces_on_run(self.structure, &case.state, run);
                    [forces.my_nmm, forces.mz_nmm][strong] > Least::of(case).moment_nmm
                };
                let why = match self.free_length_mm(run) {
                    _ if !is_flat => GIVEN,
                    Ok(_) => continue,
                    Err(why) => why,
                };
                let name = self.structure.tube_name(self.model, at);
                let names = told.entry(why.to_owned()).or_default();
                if !names.contains(&name) && response.cases.iter().any(is_bent) {
                    names.push(name);
                }
            }
        }
        let told = told.into_iter().filter(|(_, names)| !names.is_empty());
        told.map(|(why, names)| NotJudged::new("lateral", names.join(", "), why)).collect()
    }
}

/// The axis about which a section is stronger, 0 for y, 1 for z; `None` where it is alike about both.
fn strong_axis(properties: &Properties) -> Option<usize> {
    (properties.iy_mm4 != properties.iz_mm4).then(|| usize::from(properties.iz_mm4 > properties.iy_mm4))
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
