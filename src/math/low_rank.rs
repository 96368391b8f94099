//! Solutions after a positive definite matrix has lost a part of low rank, without another factor.
//!
//! Source: Sherman–Morrison–Woodbury, Golub and Van Loan (2013), Matrix Computations, 2.1.4, from memory.

use nalgebra::{Cholesky, DMatrix};

use super::eigen::symmetric_eigenvalues;

/// A direction in which less than this part of the stiffness is left counts as loose: what is left is
/// round-off of the difference.
const LEFT: f64 = 1e-9;

/// (K − U Uᵀ)⁻¹ U, from K⁻¹ U; `None` where what is left is singular.
///
/// ```text
/// (K − U Uᵀ)⁻¹ U = K⁻¹ U (1 − Uᵀ K⁻¹ U)⁻¹
/// ```
///
/// # Panics
/// Where U and K⁻¹ U have not one shape.
pub fn lessened(u: &DMatrix<f64>, solved: &DMatrix<f64>) -> Option<DMatrix<f64>> {
    assert_eq!(u.shape(), solved.shape(), "each column has been solved");
    let n = u.ncols();
    let inner = u.tr_mul(solved);
    let left = DMatrix::identity(n, n) - (&inner + inner.transpose()) * 0.5;
    if symmetric_eigenvalues(&left)?.iter().any(|value| *value < LEFT) {
        return None;
    }
    Some(solved * Cholesky::new(left)?.inverse())
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use nalgebra::Matrix6;

    use super::super::sparse::{BlockPattern, ChosenEngine, Engine, SymmetricMatrix};
    use super::*;

    fn matrix(n: usize) -> SymmetricMatrix {
        let pattern = Arc::new(BlockPattern::new(&vec![6; n], (1..n).map(|at| (at - 1, at))));
        let mut matrix = SymmetricMatrix::zero(&pattern);
        for at in 0..n {
            let part = |row: usize, column: usize| ((row * 5 + column * 5 + at) as f64).sin();
            matrix.add(at, at, &(Matrix6::from_fn(part) + Matrix6::identity() * 9.0));
            if at > 0 {
                matrix.add(at - 1, at, &Matrix6::from_fn(|row, column| ((row + 2 * column + at) as f64).cos() * 0.3));
            }
        }
        matrix
    }

    #[test]
    fn what_is_solved_without_a_part_fulfils_the_fresh_equations() {
        let k = matrix(5);
        let factor = ChosenEngine.plan(k.pattern()).factor(&k).unwrap();
        let u =
            DMatrix::from_fn(30, 3, |row, column| if row / 6 == 2 { ((row + 7 * column) as f64).sin() } else { 0.0 });
        let mut solved = u.clone();
        factor.solve(&mut solved);
        let x = lessened(&u, &solved).unwrap();
        let fresh = k.to_dense() - &u * u.transpose();
        assert!((fresh * x - u).amax() < 1e-12);
    }

    #[test]
    fn a_part_that_leaves_nothing_in_a_direction_is_told() {
        let k = matrix(3);
        let factor = ChosenEngine.plan(k.pattern()).factor(&k).unwrap();
        // U with Uᵀ K⁻¹ U = 1: all the stiffness that K has in that direction.
        let mut solved = DMatrix::from_fn(18, 1, |row, _| (row as f64).sin());
        let u = solved.clone();
        factor.solve(&mut solved);
        let times = (u.tr_mul(&solved))[(0, 0)].sqrt().recip();
        assert!(lessened(&(&u * times), &(&solved * times)).is_none());
        assert!(lessened(&(&u * (0.99 * times)), &(&solved * (0.99 * times))).is_some());
    }
}
