//! From unknowns back to motions, end forces and mount forces.

use nalgebra::{DVector, Vector6};

use super::assemble::{RightSide, System, spring_rows};
use super::state::{PieceState, State};

impl System {
    /// The state for a right side and its unknowns.
    pub fn state(&self, side: &RightSide, unknowns: &DVector<f64>) -> State {
        let structure = &self.structure;
        let parts = self.motions(side, unknowns);
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

    /// Motions of each part at its origin.
    pub(super) fn motions(&self, side: &RightSide, unknowns: &DVector<f64>) -> Vec<Vector6<f64>> {
        let parts = self.numbering.parts.iter().zip(&side.moved);
        parts
            .map(|(motion, moved)| {
                let blocks = motion.terms.iter();
                blocks.fold(*moved, |sum, (block, term)| sum + term * self.numbering.of_block(unknowns, *block))
            })
            .collect()
    }

    fn piece_state(&self, at: usize, side: &RightSide, parts: &[Vector6<f64>]) -> PieceState {
        let (piece, drawn) = (&self.pieces[at], &self.structure.pieces[at]);
        let load_n_mm = drawn.axes.rotation * side.on_tubes[drawn.tube];
        let nodes = piece.local_motions(&parts[drawn.ends[0].part], &parts[drawn.ends[1].part]);
        let (tube_motions, end_forces, diagram) = piece.recover(&nodes, load_n_mm);
        PieceState { end_forces, tube_motions, load_n_mm, diagram }
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
