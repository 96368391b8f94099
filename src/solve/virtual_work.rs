//! Where a movement comes from: which tube, spring or mount gives how much of it.
//!
//! Under a unit load the movement of its point is, by the principle of virtual work, the sum over
//! all elastic parts of the forces that the unit load makes in them times what they give under the
//! real load (the unit-load theorem: Przemieniecki (1968), Theory of Matrix Structural Analysis,
//! chapter on energy theorems, from memory). Rigid parts add nothing, so the sum is the movement itself.

use super::assemble::{System, spring_rows};
use super::state::State;

/// What each elastic part adds to a movement, in the unit of that movement.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// Of each piece, its joints included.
    pub pieces: Vec<f64>,
    /// Of each spring between parts.
    pub springs: Vec<f64>,
    /// Of each tie: the movement of the ground side of a mount.
    pub ties: Vec<f64>,
}

impl System {
    /// The movement, in the direction of the load of `unit`, of its point under `real`, in parts.
    pub fn virtual_work(&self, unit: &State, real: &State) -> Work {
        let structure = &self.structure;
        let pieces = self
            .pieces
            .iter()
            .zip(&structure.pieces)
            .zip(&unit.pieces)
            .map(|((piece, drawn), forces)| {
                let [first, second] = drawn.ends.map(|end| &real.parts[end.part]);
                forces.end_forces.dot(&piece.local_motions(first, second))
            })
            .collect();
        let springs = structure
            .springs
            .iter()
            .zip(&unit.springs)
            .map(|(spring, force)| {
                let rows = spring_rows(structure, spring);
                -force * rows.iter().map(|(part, row)| row.dot(&real.parts[*part])).sum::<f64>()
            })
            .collect();
        let ties = self
            .numbering
            .ties
            .iter()
            .zip(&unit.ties)
            .map(|(tie, force)| {
                let of = |part: usize| {
                    let row = tie.direction.row(&(tie.at - structure.parts[part].origin));
                    row.dot(&real.parts[part])
                };
                // Between two parts a tie lets nothing go but round-off.
                if tie.holder.is_some() { 0.0 } else { -force * of(tie.part) }
            })
            .collect();
        Work { pieces, springs, ties }
    }
}
