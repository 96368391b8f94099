//! Flats that are bent on edge: whether they give way sideways.
//!
//! A run of tube is held against turning about itself where a tube across it, or a stiff mount or body, takes its turn
//! and leads on to the ground or the rest of the frame. With one end free its length counts twice, as in the closed form
//! of an evenly bent strip. The frame's own answer ([`crate::modes::lateral_buckling`]) takes its place where it is less,
//! as where what holds a flat is soft itself, and where there is no closed form: of what nothing holds at either end, and
//! of what carries something beside its axis where it is not held. Where the frame does not tell, nothing is judged. What
//! can spin about itself lies over.

use nalgebra::{Point3, Vector3};

use super::columns::{Run, forces_on_run};
use super::least::Least;
use super::modes::Modes;
use super::not_judged::NotJudged;
use super::response::{CaseResponse, Response};
use super::tubes::JudgedColumn;
use crate::beam::{Flex, Joint};
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
    structure: &'m Structure,
    runs: &'m [Vec<Run>],
    modes: &'m Modes,
    /// For each part the pieces that end there, and with which end.
    pieces_at: Vec<Vec<(usize, usize)>>,
    /// For each part what it is tied to.
    tied_at: Vec<Vec<Tied>>,
    /// For each tube of the structure whether it can spin about itself.
    lies_over: Vec<bool>,
}

/// A tie or spring of a part.
struct Tied {
    direction: Direction,
    /// Of a tie infinite.
    rate: f64,
    /// The part on its other side; `None`: the ground.
    to: Option<usize>,
}

impl<'m> Laterals<'m> {
    pub(super) fn new(model: &'m Model, system: &'m System, runs: &'m [Vec<Run>], modes: &'m Modes) -> Self {
        let structure = &system.structure;
        let mut pieces_at = vec![Vec::new(); structure.parts.len()];
        for (at, piece) in structure.pieces.iter().enumerate() {
            piece.ends.iter().enumerate().for_each(|(place, end)| pieces_at[end.part].push((at, place)));
        }
        let mut tied_at: Vec<Vec<Tied>> = structure.parts.iter().map(|_| Vec::new()).collect();
        let ties = structure.ties.iter().map(|tie| (tie.direction, tie.part, tie.holder, f64::INFINITY));
        let springs = structure.springs.iter().map(|it| (it.direction, it.part, it.holder, it.rate));
        for (direction, part, holder, rate) in ties.chain(springs) {
            tied_at[part].push(Tied { direction, rate, to: holder });
            if let Some(holder) = holder {
                tied_at[holder].push(Tied { direction, rate, to: Some(part) });
            }
        }
        let lies_over = lying_over(system, &pieces_at);
        Self { model, structure, runs, modes, pieces_at, tied_at, lies_over }
    }

    /// Whether something else than its own going on takes the turn about itself of a tube that ends at a part.
    fn is_held(&self, run: &Run, piece: usize, end: &PieceEnd) -> bool {
        let own = self.structure.pieces[piece].axes.x();
        let limit = STRAIGHT_WITHIN_DEG.to_radians().cos();
        let tube = &self.structure.tubes[self.structure.pieces[piece].tube];
        let least_rate = HOLDS * tube.material.shear_modulus_mpa * tube.properties.j_mm4 / run.length_mm;
        let by_tube = || {
            self.pieces_at[end.part].iter().any(|(other, place)| {
                let drawn = &self.structure.pieces[*other];
                drawn.axes.x().dot(&own).abs() < limit
                    && carries_turn(&drawn.ends[*place].joint, &(drawn.axes.rotation * own)) >= limit
                    && self.leads_on(drawn.ends[1 - place].part, run, end.part)
            })
        };
        let axes = self.tied_at[end.part]
            .iter()
            .filter(|tied| tied.rate >= least_rate && tied.to.is_none_or(|to| self.leads_on(to, run, end.part)));
        let axes: Vec<Vector3<f64>> = axes
            .filter_map(|tied| match tied.direction {
                Direction::Turn(axis) => Some(axis),
                Direction::Shift(_) => None,
            })
            .collect();
        takes_turn(end) && (by_tube() || lies_in(&own, axes.iter()) >= limit)
    }

    /// Whether what hangs at a part leads to the ground, or to another part of a run than the one it hangs at, by
    /// other ways than the run itself.
    fn leads_on(&self, from: usize, run: &Run, hangs_at: usize) -> bool {
        let is_of_run = |piece: usize| run.pieces.iter().any(|(of_run, _)| *of_run == piece);
        let mut seen = vec![false; self.structure.parts.len()];
        seen[hangs_at] = true;
        let mut next = vec![from];
        while let Some(part) = next.pop() {
            if std::mem::replace(&mut seen[part], true) {
                continue;
            }
            for tied in &self.tied_at[part] {
                match tied.to {
                    None => return true,
                    Some(to) => next.push(to),
                }
            }
            for (piece, place) in &self.pieces_at[part] {
                if is_of_run(*piece) {
                    return true;
                }
                next.push(self.structure.pieces[*piece].ends[1 - place].part);
            }
        }
        false
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
        let lies_over = self.lies_over[at];
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

    /// Where the critical moment of a run comes from: the lesser of the closed form, where there is one, and of the
    /// frame's answer. `None`: the frame does not tell.
    fn critical_moment(
        &self,
        run: &Run,
        frame: Option<LateralFactor>,
        tube: &Tube,
        moment_nmm: f64,
    ) -> Option<CriticalMoment> {
        let (factor, in_frame) = match frame? {
            LateralFactor::At(factor) => (factor, CriticalMoment::InFrame(factor)),
            LateralFactor::AtLeast(factor) => (factor, CriticalMoment::InFrameAtLeast(factor)),
        };
        let Some(length_mm) = self.free_length_mm(run) else { return Some(in_frame) };
        let of_strip_nmm = sideways_moment_nmm(&tube.material, &tube.properties, length_mm);
        let is_less = larger_than(of_strip_nmm, factor * moment_nmm);
        Some(if is_less { in_frame } else { CriticalMoment::EvenStrip(length_mm) })
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

    /// Whether anything is fixed to the part of an end away from the tube's axis, or a body hangs on it.
    fn carries_beside(&self, end: &PieceEnd) -> bool {
        const BESIDE_MM: f64 = 1e-6;
        let away = |at: &Point3<f64>| (at - end.at).norm() > BESIDE_MM;
        let anchors = self.structure.parts[end.part].anchors.iter();
        let ties = self.structure.ties.iter().map(|tie| (tie.part, tie.holder, tie.at));
        let springs = self.structure.springs.iter().map(|it| (it.part, it.holder, it.at));
        let is_body = |part: usize| self.structure.bodies.contains(&part);
        let beside = |(part, holder, at): (usize, Option<usize>, Point3<f64>)| {
            let is_here = part == end.part || holder == Some(end.part);
            is_here && (away(&at) || is_body(part) || holder.is_some_and(is_body))
        };
        anchors.map(|anchor| self.model.anchor_at(*anchor)).any(|at| away(&at)) || ties.chain(springs).any(beside)
    }

    /// What is bent on edge and is not judged: sections by their figures, and flats of which the frame does not tell.
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
                    Some(Err(why)) if !self.lies_over[at] => why.in_words(),
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

/// For each tube whether a turn about itself is held only because nothing needs to resist it: as it gives way sideways,
/// something would have to.
///
/// Of all that spins together one part is held. What goes on from it along the axis of that turn, through joints that take
/// it, spins with it.
fn lying_over(system: &System, pieces_at: &[Vec<(usize, usize)>]) -> Vec<bool> {
    let structure = &system.structure;
    let limit = STRAIGHT_WITHIN_DEG.to_radians().cos();
    let spins_alone = |(at, tube): (usize, &Tube)| tube.pieces.len() == 1 && structure.spins(at);
    let mut lying: Vec<bool> = structure.tubes.iter().enumerate().map(spins_alone).collect();
    for tie in &system.numbering.ties[structure.ties.len()..] {
        let Direction::Turn(axis) = tie.direction else { continue };
        let mut seen = vec![false; structure.parts.len()];
        let mut next = vec![tie.part];
        while let Some(part) = next.pop() {
            if std::mem::replace(&mut seen[part], true) {
                continue;
            }
            for (piece, place) in &pieces_at[part] {
                let drawn = &structure.pieces[*piece];
                if drawn.axes.x().dot(&axis).abs() < limit || !takes_turn(&drawn.ends[*place]) {
                    continue;
                }
                lying[drawn.tube] = true;
                let other = &drawn.ends[1 - place];
                if takes_turn(other) {
                    next.push(other.part);
                }
            }
        }
    }
    lying
}

/// How much of a turn about a unit vector, in the local axes of a tube, a joint of it carries.
fn carries_turn(joint: &Joint, about: &Vector3<f64>) -> f64 {
    let turns = joint.directions().into_iter().skip(3).filter(|(_, flex)| *flex != Flex::Free);
    turns.map(|(six, _)| six.fixed_rows::<3>(3).dot(about).powi(2)).sum::<f64>().sqrt()
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
