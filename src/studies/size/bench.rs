//! What is read of a solved design at once, and held against limits: movement of pick-ups, toe and camber, twist,
//! the normal stress at the ends of tubes, and the push in tubes that carry nothing else.
//!
//! Every one of these is a length or the largest of some sums of motions and forces, so that what fails here fails in
//! the whole check: von Mises stress is never under the normal stress, and a frame gives way no later than the first of
//! its pin-ended tubes between ends that stay.

use nalgebra::{DVector, Vector3, Vector6};

use super::forecast::{Near, excess_of};
use super::limit::{Limit, MARGIN, Of, over_limit, right_sides};
use super::problem::Problem;
use super::reading::{Limited, Reading, What};
use crate::beam::Vector12;
use crate::math::larger_than;
use crate::model::{Fault, Model};
use crate::path;
use crate::run::prepare;
use crate::section::{Fibres, InternalForces};
use crate::solve::{Answer, Assortment, RightSide, System, TwoForce};
use crate::structure::{Purpose, build};

/// One position of the adjusters, ready for many designs.
pub(super) struct Bench {
    /// Its name; empty: as drawn.
    pub(super) position: String,
    /// The structure in all sizes.
    pub(super) assortment: Assortment,
    limits: Vec<Limit>,
    /// The stresses of each size's section, in the order of the stock.
    fibres: Vec<Fibres>,
    /// The same of each tube that is kept.
    of_kept: Vec<Option<Fibres>>,
}

/// A limit, and how far a design uses it.
struct Over {
    limit: usize,
    utilisation: f64,
}

impl Bench {
    /// Prepares one position of the adjusters.
    ///
    /// # Errors
    /// A frame that cannot be solved.
    pub(super) fn new(problem: &Problem<'_>, model: &Model, position: &str) -> Result<Self, Vec<Fault>> {
        let drawn = prepare(model, Purpose::Statics)?.system;
        let tubes: Vec<Vec<usize>> = problem.members.iter().map(|members| tubes_of(&drawn, members)).collect();
        let mut of_size: Vec<System> = Vec::new();
        let mut sides: Vec<Vec<RightSide>> = Vec::new();
        let mut drafts = Vec::new();
        for size in &problem.stock {
            let mut sized = model.clone();
            for member in problem.members.iter().flatten() {
                sized.members[*member].tube = *size;
            }
            let structure = build(&sized, Purpose::Statics).map_err(|fault| vec![fault])?;
            let system = System::new(structure, drawn.numbering.clone());
            let (own, read) = right_sides(&sized, &system).map_err(|fault| vec![fault])?;
            of_size.push(system);
            sides.push(own);
            drafts = read;
        }
        let fibres = problem.stock.iter().map(|size| model.tubes[*size].section.fibres()).collect();
        let sizes = drawn.structure.tubes.iter().map(|tube| tube.size);
        let of_kept = sizes.map(|size| size.map(|size| model.tubes[size].section.fibres())).collect();
        let assortment = Assortment::new(drawn, of_size, &tubes, sides).map_err(|_| {
            let message = "the frame with every tube of the softest size in stock cannot be reckoned";
            vec![Fault::new(path!["sizing", "stock"], message)]
        })?;
        let limits = drafts.into_iter().filter_map(|draft| draft.on(&assortment, model, &problem.stock)).collect();
        Ok(Self { position: position.to_owned(), assortment, limits, fibres, of_kept })
    }

    /// What of a design is over its limit, as sums, the worst first; at most so many of each check.
    pub(super) fn over(&self, bench: usize, answer: &Answer, most: usize) -> Vec<Reading> {
        let utilised = self.limits.iter().map(|limit| self.utilisation(limit, answer)).enumerate();
        let mut over: Vec<Over> = utilised.map(|(limit, utilisation)| Over { limit, utilisation }).collect();
        over.retain(|over| over.utilisation > 1.0 + MARGIN);
        worst_first(&mut over);
        let mut readings: Vec<Reading> = Vec::new();
        for over in over {
            let limit = &self.limits[over.limit];
            if readings.iter().filter(|known| known.check == limit.check).count() < most {
                readings.push(self.reading(bench, limit, answer));
            }
        }
        readings
    }

    /// How far a design is over all of its limits together, as parts of them; of a tube its worst place in each case.
    pub(super) fn excess(&self, answer: &Answer) -> f64 {
        self.at_worst_places(answer).iter().map(|at| excess_of(at.utilisation)).sum()
    }

    /// The readings of a design that are above this part of their limits, the worst first, with their utilisations; of
    /// a tube its worst place in each case.
    pub(super) fn near(&self, answer: &Answer, from: f64, most: usize) -> Vec<(f64, Near)> {
        let mut near = self.at_worst_places(answer);
        near.retain(|at| at.utilisation > from);
        worst_first(&mut near);
        near.truncate(most);
        near.into_iter().map(|at| (at.utilisation, self.foreseen(&self.limits[at.limit], answer))).collect()
    }

    fn at_worst_places(&self, answer: &Answer) -> Vec<Over> {
        let mut places: Vec<Over> = Vec::new();
        let tube_of = |limit: usize| match &self.limits[limit].of {
            Of::Stress { tube, .. } => Some((self.limits[limit].side, *tube)),
            _ => None,
        };
        for (at, limit) in self.limits.iter().enumerate() {
            let here = Over { limit: at, utilisation: self.utilisation(limit, answer) };
            match places.last_mut().filter(|last| tube_of(at).is_some() && tube_of(last.limit) == tube_of(at)) {
                Some(last) if larger_than(here.utilisation, last.utilisation) => *last = here,
                Some(_) => {}
                None => places.push(here),
            }
        }
        places
    }

    /// A reading as other sizes would change it if the forces in the tubes stayed.
    fn foreseen(&self, limit: &Limit, answer: &Answer) -> Near {
        let reading = self.reading(0, limit, answer);
        let gain = self.assortment.gains(answer, &reading.row, limit.side);
        let (own, allowed) = match (&limit.of, reading.only_with) {
            (Of::Stress { tube, piece, end, is_weld, margin }, Some((group, _))) => {
                // The row reads the stress of the tube as it is: another size has another under the same motions.
                let allowed = (0..self.fibres.len()).map(|size| {
                    let mut sizes = answer.sizes.clone();
                    sizes[group] = size;
                    let forces = self.forces(*piece, *end, limit.side, answer, &sizes);
                    let stress_mpa = largest_normal(&self.fibres[size], &forces).1;
                    self.strength_mpa(*tube, *is_weld, &sizes) / margin * over_limit(reading.value, stress_mpa)
                });
                (Some(group), allowed.collect())
            }
            (Of::Push { two_force, allowed_n, .. }, Some((group, size))) => {
                // In the same way.
                let k = &two_force.stiffness_n_mm;
                (Some(group), (0..k.len()).map(|other| allowed_n[other] * k[size] / k[other]).collect())
            }
            _ => (None, vec![reading.allowed]),
        };
        Near { value: reading.value, gain, own, allowed }
    }

    /// What is limited under a right side by its magnitude: sums of the unknowns, what is allowed, and where. Of a
    /// movement each component.
    pub(super) fn sums(&self, side: usize) -> Vec<(DVector<f64>, f64, Limited)> {
        let mut sums = Vec::new();
        for limit in self.limits.iter().filter(|limit| limit.side == side) {
            match &limit.of {
                Of::Shift { part, arm, allowed_mm } => sums.extend((0..3).map(|axis| {
                    let along = Vector3::ith(axis, 1.0);
                    let turn = arm.cross(&along);
                    let six = Vector6::new(along.x, along.y, along.z, turn.x, turn.y, turn.z);
                    let what = Limited { place: limit.place.clone(), axis: Some(axis) };
                    (self.assortment.row_of_part(*part, &six), *allowed_mm, what)
                })),
                Of::Sum { row, allowed } => {
                    sums.push((row.clone(), *allowed, Limited { place: limit.place.clone(), axis: None }));
                }
                Of::Stress { .. } | Of::Push { .. } => {}
            }
        }
        sums.retain(|(row, _, _)| row.amax() > 0.0);
        sums
    }

    /// The least and the largest stretch of a two-force piece in each size that its limits allow under a right side, mm.
    pub(super) fn stretches_mm(&self, side: usize, piece: usize, two_force: &TwoForce) -> Vec<[f64; 2]> {
        let mut stretches = vec![[f64::NEG_INFINITY, f64::INFINITY]; self.assortment.n_sizes()];
        for limit in self.limits.iter().filter(|limit| limit.side == side) {
            for (size, [least, most]) in stretches.iter_mut().enumerate() {
                // As much over its limit as still counts as within it.
                match &limit.of {
                    Of::Stress { tube, piece: own, is_weld: false, margin, .. } if *own == piece => {
                        let length_mm = self.assortment.drawn().structure.pieces[piece].axes.length_mm;
                        let material = &self.assortment.tube(*tube, &vec![size; self.assortment.n_groups()]).material;
                        let by_strength_mm = material.yield_mpa / margin * length_mm / material.youngs_modulus_mpa;
                        *most = most.min(by_strength_mm * (1.0 + MARGIN));
                        *least = least.max(-by_strength_mm * (1.0 + MARGIN));
                    }
                    Of::Push { piece: own, allowed_n, .. } if *own == piece => {
                        *least = least.max(-allowed_n[size] / two_force.stiffness_n_mm[size] * (1.0 + MARGIN));
                    }
                    _ => {}
                }
            }
        }
        stretches
    }

    /// The case of a right side.
    pub(super) fn case_of(&self, side: usize) -> &str {
        self.limits.iter().find(|limit| limit.side == side).map_or("", |limit| &limit.case)
    }

    fn shift(&self, part: usize, arm: &Vector3<f64>, side: usize, answer: &Answer) -> Vector3<f64> {
        let motion = self.assortment.motion(answer, part, side);
        let (shift, turn): (Vector3<f64>, Vector3<f64>) =
            (motion.fixed_rows::<3>(0).into(), motion.fixed_rows::<3>(3).into());
        shift + turn.cross(arm)
    }

    /// Internal forces at an end of a piece, under the motions of a design, in these sizes.
    fn forces(&self, piece: usize, end: usize, side: usize, answer: &Answer, sizes: &[usize]) -> InternalForces {
        let f = self.assortment.end_forces(answer, sizes, piece, side);
        let sign = if end == 0 { -1.0 } else { 1.0 };
        let at = |row: usize| sign * f[6 * end + row];
        InternalForces { n: at(0), vy: at(1), vz: at(2), t: at(3), my: at(4), mz: at(5) }
    }

    fn fibres_of(&self, tube: usize, answer: &Answer) -> Option<&Fibres> {
        let piece = self.assortment.drawn().structure.tubes[tube].pieces.start;
        match self.assortment.group_of(piece) {
            Some(group) => Some(&self.fibres[answer.sizes[group]]),
            None => self.of_kept[tube].as_ref(),
        }
    }

    fn strength_mpa(&self, tube: usize, is_weld: bool, sizes: &[usize]) -> f64 {
        let material = &self.assortment.tube(tube, sizes).material;
        if is_weld { material.yield_at_weld_mpa.min(material.yield_mpa) } else { material.yield_mpa }
    }

    fn utilisation(&self, limit: &Limit, answer: &Answer) -> f64 {
        match &limit.of {
            Of::Shift { part, arm, allowed_mm } => {
                over_limit(self.shift(*part, arm, limit.side, answer).norm(), *allowed_mm)
            }
            Of::Sum { row, allowed } => over_limit(self.assortment.read(answer, row, limit.side).abs(), *allowed),
            Of::Stress { tube, piece, end, is_weld, margin } => {
                let Some(fibres) = self.fibres_of(*tube, answer) else { return 0.0 };
                let forces = self.forces(*piece, *end, limit.side, answer, &answer.sizes);
                let stress_mpa = largest_normal(fibres, &forces).1;
                over_limit(stress_mpa * margin, self.strength_mpa(*tube, *is_weld, &answer.sizes))
            }
            Of::Push { two_force, allowed_n, .. } => {
                let size = answer.sizes[two_force.group];
                let pull_n =
                    two_force.stiffness_n_mm[size] * self.assortment.read(answer, &two_force.stretch, limit.side);
                over_limit((-pull_n).max(0.0), allowed_n[size])
            }
        }
    }

    fn reading(&self, bench: usize, limit: &Limit, answer: &Answer) -> Reading {
        let assortment = &self.assortment;
        let of = |row: DVector<f64>, own: f64, allowed: f64, only_with: Option<(usize, usize)>, what: What| {
            let value = assortment.read(answer, &row, limit.side) + own;
            Reading {
                bench,
                check: limit.check,
                case: limit.case.clone(),
                place: limit.place.clone(),
                side: limit.side,
                row,
                value,
                allowed,
                only_with,
                what,
            }
        };
        match &limit.of {
            Of::Shift { part, arm, allowed_mm } => {
                let along = self.shift(*part, arm, limit.side, answer).normalize();
                let turn = arm.cross(&along);
                let six = Vector6::new(along.x, along.y, along.z, turn.x, turn.y, turn.z);
                of(assortment.row_of_part(*part, &six), 0.0, *allowed_mm, None, What::Along(along.into()))
            }
            Of::Sum { row, allowed } => {
                let sign = assortment.read(answer, row, limit.side).signum();
                of(row * sign, 0.0, *allowed, None, What::Angle)
            }
            Of::Stress { tube, piece, end, is_weld, margin } => {
                let forces = self.forces(*piece, *end, limit.side, answer, &answer.sizes);
                let fibres = self.fibres_of(*tube, answer).expect("only tubes with a section are judged");
                let per = largest_normal(fibres, &forces).0;
                let sign = if *end == 0 { -1.0 } else { 1.0 };
                let mut of_ends = Vector12::zeros();
                for (row, per) in [(0, per[0]), (4, per[1]), (5, per[2])] {
                    of_ends[6 * end + row] = sign * per;
                }
                let (row, own) = assortment.row_of_ends(*piece, &answer.sizes, limit.side, &of_ends);
                let only_with = assortment.group_of(*piece).map(|group| (group, answer.sizes[group]));
                let drawn = &assortment.drawn().structure.pieces[*piece];
                let at_mm = drawn.start_mm + if *end == 0 { 0.0 } else { drawn.axes.length_mm };
                let allowed = self.strength_mpa(*tube, *is_weld, &answer.sizes) / margin;
                of(row, own, allowed, only_with, What::Stress { at_mm, end: *end, per })
            }
            Of::Push { two_force, allowed_n, .. } => {
                let (group, size) = (two_force.group, answer.sizes[two_force.group]);
                let row = &two_force.stretch * -two_force.stiffness_n_mm[size];
                of(row, 0.0, allowed_n[size], Some((group, size)), What::Push)
            }
        }
    }
}

fn worst_first(over: &mut [Over]) {
    over.sort_by(|one, other| other.utilisation.total_cmp(&one.utilisation).then(one.limit.cmp(&other.limit)));
}

/// The sum of n, my and mz (so much of each, 1/mm² and 1/mm³) that is the largest normal stress of a section, and that
/// stress, MPa.
fn largest_normal(fibres: &Fibres, forces: &InternalForces) -> ([f64; 3], f64) {
    match fibres {
        Fibres::Circle(circle) => {
            let moment = forces.my.hypot(forces.mz);
            let sign = if forces.n < 0.0 { -1.0 } else { 1.0 };
            let per = if moment > 0.0 { circle.per_moment / moment } else { 0.0 };
            let per = [sign * circle.per_axial, per * forces.my, per * forces.mz];
            (per, per[0] * forces.n + per[1] * forces.my + per[2] * forces.mz)
        }
        Fibres::Points(forms) => {
            let mut largest = ([0.0; 3], 0.0);
            for form in forms {
                let form = form.with_signs_of(forces);
                let stress = form.per_axial * forces.n + form.per_my * forces.my + form.per_mz * forces.mz;
                if larger_than(stress.abs(), largest.1) {
                    let sign = stress.signum();
                    let per = [form.per_axial, form.per_my, form.per_mz].map(|per| sign * per);
                    largest = (per, stress.abs());
                }
            }
            largest
        }
    }
}

/// The tubes of some members in a structure.
fn tubes_of(system: &System, members: &[usize]) -> Vec<usize> {
    use crate::model::TubeRef;
    use crate::structure::TubeName;
    let structure = &system.structure;
    let is_own = |tube: &usize| match structure.tubes[*tube].name {
        TubeName::Tube(TubeRef::Member(member)) => members.contains(&member),
        _ => false,
    };
    (0..structure.tubes.len()).filter(is_own).collect()
}
