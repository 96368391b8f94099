//! From unknowns back to motions, end forces and mount forces.

use nalgebra::{DVector, Matrix3, Vector3, Vector6};

use super::assemble::{RightSide, System, spring_rows};
use super::balance::RoundOff;
use crate::beam::{Diagram, Vector12, uniform_load};
use crate::structure::{Direction, Origin, Structure, Tube};

/// The state of one piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PieceState {
    /// Forces on the tube's ends, local axes, N and N·mm.
    pub end_forces: Vector12,
    /// Motions of the tube's own ends, local axes, mm and rad.
    pub tube_motions: Vector12,
    /// Uniform load, local axes, N/mm.
    pub load_n_mm: Vector3<f64>,
    /// Internal forces along it.
    pub diagram: Diagram,
}

/// The answer for one right side.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// Motions of each part at its origin, mm and rad.
    pub parts: Vec<Vector6<f64>>,
    /// State of each piece.
    pub pieces: Vec<PieceState>,
    /// Force that each tie's holder exerts on its part, N or N·mm, in the tie's direction.
    pub ties: Vec<f64>,
    /// Force that each spring's holder exerts on its part, N or N·mm, in its direction.
    pub springs: Vec<f64>,
    /// What is told from round-off.
    pub least: RoundOff,
    /// Out-of-balance of the whole and of each part, over the largest end force.
    pub balance: f64,
    /// Largest moment that a held turn would have to carry, over the largest, and its part.
    pub unheld: Option<(usize, f64)>,
}

impl System {
    /// The state for a right side and its unknowns.
    pub fn state(&self, side: &RightSide, unknowns: &DVector<f64>) -> State {
        let structure = &self.structure;
        let parts: Vec<Vector6<f64>> = self
            .numbering
            .parts
            .iter()
            .zip(&side.moved)
            .map(|(motion, moved)| {
                motion
                    .terms
                    .iter()
                    .fold(*moved, |sum, (block, term)| sum + term * self.numbering.of_block(unknowns, *block))
            })
            .collect();
        let mut on_parts = side.on_parts.clone();
        let pieces: Vec<PieceState> = (0..self.pieces.len())
            .map(|at| {
                let state = self.piece_state(at, side, &parts);
                for end in 0..2 {
                    let force = state.end_forces.fixed_rows::<6>(6 * end);
                    on_parts[structure.pieces[at].ends[end].part] -= self.pieces[at].from_part[end].transpose() * force;
                }
                state
            })
            .collect();
        let springs: Vec<f64> = structure
            .springs
            .iter()
            .enumerate()
            .map(|(at, spring)| {
                let rows = spring_rows(structure, spring);
                let stretch: f64 = rows.iter().map(|(part, row)| row.dot(&parts[*part])).sum();
                let force = spring.rate * (side.springs_moved[at] - stretch);
                for (part, row) in rows {
                    on_parts[part] += row * force;
                }
                force
            })
            .collect();
        let ties = self.tie_forces(&mut on_parts);
        let least = self.round_off(side, unknowns);
        let balance = self.balance(side, &on_parts, &pieces, &ties, &springs, &least);
        let unheld = self.unheld(&ties, &pieces, &least);
        State { parts, pieces, ties, springs, least, balance, unheld }
    }

    fn piece_state(&self, at: usize, side: &RightSide, parts: &[Vector6<f64>]) -> PieceState {
        let (piece, drawn) = (&self.pieces[at], &self.structure.pieces[at]);
        let load_n_mm = drawn.axes.rotation * side.on_tubes[drawn.tube];
        let f = uniform_load(&load_n_mm, drawn.axes.length_mm);
        let nodes = piece.local_motions(&parts[drawn.ends[0].part], &parts[drawn.ends[1].part]);
        let end_forces = piece.joined.end_forces(&nodes, &f);
        let diagram = Diagram::from_end_forces(&end_forces, load_n_mm, drawn.axes.length_mm);
        PieceState { end_forces, tube_motions: piece.joined.tube_motions(&nodes, &f), load_n_mm, diagram }
    }

    /// Forces in ties from the equilibrium of the parts that they hold; what is left over stays in
    /// `on_parts`.
    fn tie_forces(&self, on_parts: &mut [Vector6<f64>]) -> Vec<f64> {
        let mut forces = vec![0.0; self.numbering.ties.len()];
        for group in &self.numbering.groups {
            let out = DVector::from_iterator(
                6 * group.parts.len(),
                group.parts.iter().flat_map(|part| on_parts[*part].iter().copied().collect::<Vec<_>>()),
            );
            // Rows × P = 1, so that λ = −Pᵀ · (what acts) solves rowsᵀ λ = −(what acts).
            let tension = -group.from_right.tr_mul(&out);
            for (row, &tie) in group.ties.iter().enumerate() {
                forces[tie] = tension[row];
                let tie = &self.numbering.ties[tie];
                for (part, sign) in [(Some(tie.part), 1.0), (tie.holder, -1.0)] {
                    if let Some(part) = part {
                        let six = tie.direction.row(&(tie.at - self.structure.parts[part].origin));
                        on_parts[part] += six * (sign * tension[row]);
                    }
                }
            }
        }
        forces
    }
}

impl State {
    /// Motion of a point of a part: shift (mm) and turn (rad).
    pub fn motion(&self, system: &System, part: usize, at: &nalgebra::Point3<f64>) -> (Vector3<f64>, Vector3<f64>) {
        let six = system.structure.parts[part].carry(at) * self.parts[part];
        (six.fixed_rows::<3>(0).into_owned(), six.fixed_rows::<3>(3).into_owned())
    }

    /// Where each piece of a tube begins, mm from the tube's first end, and its internal forces.
    pub fn diagrams<'s>(&'s self, structure: &'s Structure, tube: &Tube) -> impl Iterator<Item = (f64, Diagram)> + 's {
        tube.pieces.clone().map(|piece| (structure.pieces[piece].start_mm, self.pieces[piece].diagram))
    }

    /// What the holders of ties and springs of one origin do to the part that they hold: force (N)
    /// and moment (N·mm) at the place of the origin.
    pub fn held_by(&self, system: &System, origin: Origin) -> (Vector3<f64>, Vector3<f64>) {
        let (mut force, mut moment) = (Vector3::zeros(), Vector3::zeros());
        let mut add = |direction: &Direction, size: f64| match direction {
            Direction::Shift(d) => force += d * size,
            Direction::Turn(d) => moment += d * size,
        };
        for (tie, size) in system.numbering.ties.iter().zip(&self.ties).filter(|(tie, _)| tie.origin == origin) {
            add(&tie.direction, *size);
        }
        for (spring, size) in
            system.structure.springs.iter().zip(&self.springs).filter(|(spring, _)| spring.origin == origin)
        {
            add(&spring.direction, *size);
        }
        (force, moment)
    }

    /// Force and moment that an end of a piece exerts on its part, at that end, global axes.
    pub fn on_part(&self, rotation: &Matrix3<f64>, piece: usize, end: usize) -> (Vector3<f64>, Vector3<f64>) {
        let forces = &self.pieces[piece].end_forces;
        let force: Vector3<f64> = forces.fixed_rows::<3>(6 * end).into_owned();
        let moment: Vector3<f64> = forces.fixed_rows::<3>(6 * end + 3).into_owned();
        (-(rotation.transpose() * force), -(rotation.transpose() * moment))
    }
}
