//! Whether forces balance, and what round-off alone leaves of them.

use nalgebra::{DVector, Vector3, Vector6};

use super::assemble::{RightSide, System};
use super::state::{PieceState, RoundOff};
use crate::beam::Vector12;
use crate::math::product_of_sizes;
use crate::structure::Origin;

impl System {
    /// What is told from round-off: a million times what it makes of the sums behind the forces.
    ///
    /// A case that strains nothing (a moved mount to which all tubes are joined by rod-ends) leaves
    /// no larger force. Each sum is run a second time with all its terms positive: motions of parts
    /// from the unknowns, end forces before joints let go, forces in ties from what acts on the parts
    /// that they hold. Ties close to one another are levers there, so that what is left over may be
    /// a thousand times the round-off of the end forces. Springs are left out: one that is beyond any
    /// metal would hide behind its own round-off.
    ///
    /// Source: running error analysis, Higham (2002), Accuracy and Stability of Numerical
    /// Algorithms, ch. 3, from memory.
    pub(super) fn round_off(&self, side: &RightSide, unknowns: &DVector<f64>) -> RoundOff {
        const ROUND_OFF: f64 = 1e6 * f64::EPSILON;
        let (_, reach) = self.centre_and_reach();
        let motions = self.motion_sizes(side, unknowns);
        let mut on_parts: Vec<Vector6<f64>> = side.on_parts.iter().map(Vector6::abs).collect();
        for (piece, drawn) in self.pieces.iter().zip(&self.structure.pieces) {
            let load = piece.end_loads(&(drawn.axes.rotation * side.on_tubes[drawn.tube]));
            let mut local = Vector12::zeros();
            for (end, drawn) in drawn.ends.iter().enumerate() {
                let of_end = product_of_sizes(&piece.from_part[end], &motions[drawn.part]);
                local.fixed_rows_mut::<6>(6 * end).copy_from(&of_end);
            }
            let forces = load.abs() + product_of_sizes(&piece.joined.tube, &local);
            for (end, drawn) in drawn.ends.iter().enumerate() {
                let of_end: Vector6<f64> = forces.fixed_rows::<6>(6 * end).into_owned();
                on_parts[drawn.part] += product_of_sizes(&piece.from_part[end].transpose(), &of_end);
            }
        }
        self.add_tie_sizes(&mut on_parts);
        let largest = on_parts.iter().map(|six| size(six, reach)).fold(0.0, f64::max);
        RoundOff { force_n: ROUND_OFF * largest, moment_nmm: ROUND_OFF * largest * reach }
    }

    /// The motions of parts, each summed with all terms positive.
    fn motion_sizes(&self, side: &RightSide, unknowns: &DVector<f64>) -> Vec<Vector6<f64>> {
        self.numbering
            .parts
            .iter()
            .zip(&side.moved)
            .map(|(motion, moved)| {
                motion.terms.iter().fold(moved.abs(), |sum, (block, term)| {
                    sum + product_of_sizes(term, &self.numbering.of_block(unknowns, *block))
                })
            })
            .collect()
    }

    /// Adds to what acts on parts what ties do to them, summed with all terms positive.
    fn add_tie_sizes(&self, on_parts: &mut [Vector6<f64>]) {
        for group in &self.numbering.groups {
            let out = DVector::from_iterator(
                6 * group.parts.len(),
                group.parts.iter().flat_map(|part| on_parts[*part].iter().copied().collect::<Vec<_>>()),
            );
            for (&tie, from_right) in group.ties.iter().zip(group.from_right.column_iter()) {
                let tension: f64 = from_right.iter().zip(&out).map(|(row, size)| row.abs() * size).sum();
                let tie = &self.numbering.ties[tie];
                for part in [Some(tie.part), tie.holder].into_iter().flatten() {
                    let six = tie.direction.row(&(tie.at - self.structure.parts[part].origin));
                    on_parts[part] += six.abs() * tension;
                }
            }
        }
    }

    /// A point of the structure, and how far it reaches from there, mm, at least 1.
    fn centre_and_reach(&self) -> (Vector3<f64>, f64) {
        let parts = &self.structure.parts;
        let centre = parts.first().map_or_else(Vector3::zeros, |part| part.origin.coords);
        (centre, parts.iter().map(|part| (part.origin.coords - centre).norm()).fold(1.0, f64::max))
    }

    /// Out-of-balance of each part and of the whole, over the largest end force; moments count
    /// over a length of the structure. What is not told
    /// from round-off does not count as the largest.
    pub(super) fn balance(
        &self,
        side: &RightSide,
        left_over: &[Vector6<f64>],
        pieces: &[PieceState],
        ties: &[f64],
        springs: &[f64],
        least: &RoundOff,
    ) -> f64 {
        let structure = &self.structure;
        let (centre, reach) = self.centre_and_reach();
        let size = |six: &Vector6<f64>| size(six, reach);
        let mut largest = pieces
            .iter()
            .flat_map(|piece| [0, 6].map(|row| size(&piece.end_forces.fixed_rows::<6>(row).into_owned())))
            .fold(least.force_n, f64::max);
        largest = side.on_parts.iter().map(size).fold(largest, f64::max);
        largest = structure
            .pieces
            .iter()
            .map(|piece| side.on_tubes[piece.tube].norm() * piece.axes.length_mm)
            .fold(largest, f64::max);
        if largest == 0.0 {
            return 0.0;
        }
        let worst = left_over.iter().map(size).fold(0.0, f64::max);
        let total = self.total(side, &centre, ties, springs);
        worst.max(size(&total)) / largest
    }

    /// Everything that acts on the whole from outside, about a point: loads and the ground's forces.
    fn total(&self, side: &RightSide, about: &Vector3<f64>, ties: &[f64], springs: &[f64]) -> Vector6<f64> {
        let structure = &self.structure;
        let mut total = Vector6::zeros();
        let mut add = |at: &Vector3<f64>, six: &Vector6<f64>| {
            let force: Vector3<f64> = six.fixed_rows::<3>(0).into_owned();
            let moment: Vector3<f64> = six.fixed_rows::<3>(3).into_owned();
            let moment = moment + (at - about).cross(&force);
            total += Vector6::new(force.x, force.y, force.z, moment.x, moment.y, moment.z);
        };
        for (part, wrench) in structure.parts.iter().zip(&side.on_parts) {
            add(&part.origin.coords, wrench);
        }
        for piece in &structure.pieces {
            let middle = (piece.ends[0].at.coords + piece.ends[1].at.coords) * 0.5;
            let force = side.on_tubes[piece.tube] * piece.axes.length_mm;
            add(&middle, &Vector6::new(force.x, force.y, force.z, 0.0, 0.0, 0.0));
        }
        let at_rest = Vector3::zeros();
        for (tie, force) in self.numbering.ties.iter().zip(ties).filter(|(tie, _)| tie.holder.is_none()) {
            add(&tie.at.coords, &(tie.direction.row(&at_rest) * *force));
        }
        for (spring, force) in structure.springs.iter().zip(springs).filter(|(spring, _)| spring.holder.is_none()) {
            add(&spring.at.coords, &(spring.direction.row(&at_rest) * *force));
        }
        total
    }

    /// The part of the held turn that would have to carry a moment, if one would.
    pub(super) fn unheld(&self, ties: &[f64], pieces: &[PieceState], least: &RoundOff) -> Option<usize> {
        const NOTHING: f64 = 1e-6;
        let largest = pieces.iter().map(|piece| piece.end_forces.amax()).fold(least.force_n, f64::max);
        let all = ties.iter().map(|force| force.abs()).fold(largest, f64::max);
        self.numbering
            .ties
            .iter()
            .zip(ties)
            .filter(|(tie, force)| tie.origin == Origin::HeldTurn && force.abs() > NOTHING * all)
            .map(|(tie, force)| (tie.part, force.abs()))
            .reduce(|worst, next| if next.1 > worst.1 { next } else { worst })
            .map(|(part, _)| part)
    }
}

/// The size of a force and a moment, N: the moment counts over a length.
fn size(six: &Vector6<f64>, length_mm: f64) -> f64 {
    six.fixed_rows::<3>(0).norm().max(six.fixed_rows::<3>(3).norm() / length_mm)
}
