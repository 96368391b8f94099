//! A structure that has lost one piece, without another factor.

use nalgebra::{DMatrix, DVector, Vector6};

use super::assemble::{PieceStiffness, RightSide, System};
use super::changed::factors;
use super::statics::Solved;
use crate::math::Lessened;

impl System {
    /// The structure without the stiffness of one piece; `None` where nothing holds it then.
    ///
    /// Loads stay where they were: what the piece weighs still hangs at both of its ends.
    pub fn without(&self, solved: &Solved, piece: usize) -> Option<Lessened> {
        let PieceStiffness { joined, beam, .. } = &self.pieces[piece];
        let columns: Vec<DVector<f64>> = factors(joined.node(), beam.length_mm)?
            .into_iter()
            .map(|(of_piece, _)| self.on_unknowns(piece, &of_piece))
            .collect();
        if columns.is_empty() {
            return Lessened::new(DMatrix::zeros(self.matrix.n(), 0), DMatrix::zeros(self.matrix.n(), 0));
        }
        let u = DMatrix::from_columns(&columns);
        let mut x = u.clone();
        solved.factor.solve(&mut x);
        Lessened::new(u, x)
    }

    /// The load on the unknowns of a case without one piece: where the ground moves its ends, it no longer resists.
    pub fn load_without(&self, piece: usize, side: &RightSide) -> DVector<f64> {
        let [first, second] = self.structure.pieces[piece].ends.map(|end| side.moved[end.part]);
        let mut load = side.unknowns.clone();
        if first != Vector6::zeros() || second != Vector6::zeros() {
            let motions = self.pieces[piece].local_motions(&first, &second);
            load += self.on_unknowns(piece, &(self.pieces[piece].joined.node() * motions));
        }
        load
    }
}
