//! A structure that has lost one piece, without another factor.

use nalgebra::{DMatrix, DVector, Matrix6, Vector6};

use super::assemble::{PieceStiffness, System};
use super::changed::factors;
use super::state::State;
use super::statics::Solved;
use crate::beam::{Diagram, Vector12};
use crate::math::{lessened, matrix_product, product};
use crate::section::InternalForces;
use crate::structure::Piece;

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
    /// For each part the changes of its motions, a column for each of V.
    parts: Vec<Matrix6<f64>>,
    /// For each piece the changes of the forces on its first end.
    forces: Vec<Matrix6<f64>>,
}

/// What is left of a state of the whole structure.
pub struct Left<'s> {
    without: &'s Without<'s>,
    whole: &'s State,
    /// Vᵀ d.
    borne: Vector6<f64>,
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
        let mut parts = vec![Matrix6::zeros(); system.structure.parts.len()];
        for (column, change) in changes.column_iter().enumerate() {
            for (part, six) in parts.iter_mut().zip(system.motions_of_parts(&DVector::from(change))) {
                part.set_column(column, &six);
            }
        }
        let of_piece = |(drawn, [of_first, of_second]): (&Piece, &[Matrix6<f64>; 2])| {
            let [first, second] = drawn.ends.map(|end| parts[end.part]);
            matrix_product(of_first, &first) + matrix_product(of_second, &second)
        };
        let forces = system.structure.pieces.iter().zip(&self.forces).map(of_piece).collect();
        Some(Without { system, piece, factors, parts, forces })
    }
}

impl Without<'_> {
    /// What is left of a state of the whole structure.
    pub fn of<'s>(&'s self, whole: &'s State) -> Left<'s> {
        let motions = self.system.motions_of_piece(self.piece, &whole.parts);
        let mut borne = Vector6::zeros();
        for (borne, factor) in borne.iter_mut().zip(&self.factors) {
            *borne = factor.dot(&motions);
        }
        Left { without: self, whole, borne }
    }
}

impl Left<'_> {
    /// Motions of a part at its origin, mm and rad.
    pub fn part(&self, part: usize) -> Vector6<f64> {
        self.whole.parts[part] + product(&self.without.parts[part], &self.borne)
    }

    /// Internal forces of a piece; those of the piece that is lost mean nothing.
    pub fn diagram(&self, piece: usize) -> Diagram {
        let drawn = &self.whole.pieces[piece].diagram;
        let change = product(&self.without.forces[piece], &self.borne);
        let f = &drawn.first;
        let first = InternalForces {
            n: f.n - change[0],
            vy: f.vy - change[1],
            vz: f.vz - change[2],
            t: f.t - change[3],
            my: f.my - change[4],
            mz: f.mz - change[5],
        };
        Diagram { first, ..*drawn }
    }
}
