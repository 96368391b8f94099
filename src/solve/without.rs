//! A structure that has lost one piece, without another factor.

use nalgebra::{DMatrix, DVector, Matrix6, Vector6};

use super::assemble::{PieceStiffness, System};
use super::changed::factors;
use super::state::State;
use super::statics::Solved;
use crate::beam::{Diagram, Vector12};
use crate::math::lessened;
use crate::section::InternalForces;

/// What a structure does without one of its pieces, told from what it does with it.
///
/// With k = V Vᵀ the stiffness of the piece on the motions d of its nodes and U what V is on the unknowns
///
/// ```text
/// x' − x = (K − U Uᵀ)⁻¹ U Vᵀ d
/// ```
/// Loads stay where they were: what the piece weighs still hangs at both of its ends.
pub struct Losses<'s> {
    system: &'s System,
    solved: &'s Solved,
    /// For each piece the forces on its first end, local axes, from the motions of the parts at both ends.
    forces: Vec<[Matrix6<f64>; 2]>,
}

/// A structure without a piece.
pub struct Without<'s> {
    system: &'s System,
    piece: usize,
    /// V.
    factors: Vec<Vector12>,
    /// For each column of V the changes of the motions of all parts, six a part.
    parts: DMatrix<f64>,
    /// The changes of the forces on the first end of each piece, six a piece.
    forces: DMatrix<f64>,
}

/// What is left of a state.
pub struct Left {
    /// Motions of each part at its origin, mm and rad.
    pub parts: Vec<Vector6<f64>>,
    /// Internal forces of each piece; those of the piece that is lost mean nothing.
    pub diagrams: Vec<Diagram>,
}

impl<'s> Losses<'s> {
    /// Of a structure that is in equilibrium on its drawn shape.
    pub fn new(system: &'s System, solved: &'s Solved) -> Self {
        let of_piece = |PieceStiffness { joined, from_part, .. }: &PieceStiffness| {
            let on_first = |end: usize| joined.node().fixed_view::<6, 6>(0, 6 * end) * from_part[end];
            [on_first(0), on_first(1)]
        };
        Self { system, solved, forces: system.pieces.iter().map(of_piece).collect() }
    }

    /// The structure without one piece; `None` where nothing holds it then.
    pub fn without(&self, piece: usize) -> Option<Without<'s>> {
        let system = self.system;
        let PieceStiffness { joined, beam, .. } = &system.pieces[piece];
        let factors: Vec<Vector12> =
            factors(joined.node(), beam.length_mm)?.into_iter().map(|(factor, _)| factor).collect();
        let mut u = DMatrix::zeros(system.matrix.n(), factors.len());
        for (mut column, factor) in u.column_iter_mut().zip(&factors) {
            column.copy_from(&system.on_unknowns(piece, factor));
        }
        let mut solved = u.clone();
        self.solved.factor.solve(&mut solved);
        let changes = lessened(&u, &solved)?;
        let mut parts = DMatrix::zeros(6 * system.structure.parts.len(), factors.len());
        let mut forces = DMatrix::zeros(6 * system.pieces.len(), factors.len());
        for (column, change) in changes.column_iter().enumerate() {
            let moved = system.motions_of_parts(&DVector::from(change));
            for (at, six) in moved.iter().enumerate() {
                parts.fixed_view_mut::<6, 1>(6 * at, column).copy_from(six);
            }
            for (at, (drawn, own)) in system.structure.pieces.iter().zip(&self.forces).enumerate() {
                let [first, second] = drawn.ends.map(|end| moved[end.part]);
                forces.fixed_view_mut::<6, 1>(6 * at, column).copy_from(&(own[0] * first + own[1] * second));
            }
        }
        Some(Without { system, piece, factors, parts, forces })
    }
}

impl Without<'_> {
    /// What is left of some states of the whole structure.
    pub fn of(&self, states: &[&State]) -> Vec<Left> {
        let borne = DMatrix::from_fn(self.factors.len(), states.len(), |row, column| {
            self.factors[row].dot(&self.system.motions_of_piece(self.piece, &states[column].parts))
        });
        let (parts, forces) = (&self.parts * &borne, &self.forces * &borne);
        let left = |(at, state): (usize, &&State)| Left {
            parts: state
                .parts
                .iter()
                .enumerate()
                .map(|(part, drawn)| drawn + parts.fixed_view::<6, 1>(6 * part, at))
                .collect(),
            diagrams: state
                .pieces
                .iter()
                .enumerate()
                .map(|(piece, drawn)| {
                    let change = forces.fixed_view::<6, 1>(6 * piece, at);
                    let f = &drawn.diagram.first;
                    let first = InternalForces {
                        n: f.n - change[0],
                        vy: f.vy - change[1],
                        vz: f.vz - change[2],
                        t: f.t - change[3],
                        my: f.my - change[4],
                        mz: f.mz - change[5],
                    };
                    Diagram { first, ..drawn.diagram }
                })
                .collect(),
        };
        states.iter().enumerate().map(left).collect()
    }
}
