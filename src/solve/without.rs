//! A structure that has lost one piece, without another factor.

use nalgebra::{DMatrix, DVector, Vector6};

use super::assemble::{RightSide, System};
use super::statics::Solved;
use crate::beam::Vector12;
use crate::math::Lessened;

/// Eigenvalues of a piece's stiffness under this part of its largest are its rigid motions.
const RIGID: f64 = 1e-12;

impl System {
    /// The structure without the stiffness of one piece; `None` where nothing holds it then.
    ///
    /// Loads stay where they were: what the piece weighs still hangs at both of its ends.
    pub fn without(&self, solved: &Solved, piece: usize) -> Option<Lessened> {
        let node = self.pieces[piece].joined.node();
        // Shifts and turns of its ends in units of its length, so that one eigenvalue is told from another.
        let length = self.pieces[piece].beam.length_mm;
        let scale = Vector12::from_fn(|row, _| if row % 6 < 3 { 1.0 } else { 1.0 / length });
        let scaled = node.component_mul(&(scale * scale.transpose()));
        let eigen = scaled.symmetric_eigen();
        let largest = eigen.eigenvalues.amax();
        let columns: Vec<DVector<f64>> = (0..12)
            .filter(|at| eigen.eigenvalues[*at] > RIGID * largest)
            .map(|at| {
                let of_piece: Vector12 =
                    eigen.eigenvectors.column(at).component_div(&scale) * eigen.eigenvalues[at].sqrt();
                self.on_unknowns(piece, &of_piece)
            })
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
