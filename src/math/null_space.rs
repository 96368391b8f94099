//! The null space and the column space of a matrix.
//!
//! By faer's singular values: nalgebra 0.35 gives left vectors that are off by up to half a radian for
//! about one in twenty matrices of rank 1 with two or three columns.

use faer::Mat;
use faer::linalg::solvers::Svd;
use nalgebra::DMatrix;

/// An orthonormal basis (columns) of the vectors that `a` sends to zero.
///
/// A direction counts as sent to zero where its singular value is at most `limit`.
pub fn null_space(a: &DMatrix<f64>, limit: f64) -> DMatrix<f64> {
    let columns = a.ncols();
    if columns == 0 || a.nrows() == 0 || a.amax() == 0.0 {
        return DMatrix::identity(columns, columns);
    }
    // At least as many rows as columns, so that the decomposition has a whole basis of the latter.
    let svd = singular(a, a.nrows().max(columns));
    let zero: Vec<usize> = (0..columns).filter(|&at| svd.S()[at] <= limit).collect();
    DMatrix::from_fn(columns, zero.len(), |row, column| svd.V()[(row, zero[column])])
}

/// An orthonormal basis (columns) of what `a` makes of vectors.
///
/// A direction counts where its singular value is more than `limit`.
pub fn column_space(a: &DMatrix<f64>, limit: f64) -> DMatrix<f64> {
    if a.is_empty() || a.amax() == 0.0 {
        return DMatrix::zeros(a.nrows(), 0);
    }
    let svd = singular(a, a.nrows());
    let reached: Vec<usize> = (0..a.nrows().min(a.ncols())).filter(|&at| svd.S()[at] > limit).collect();
    DMatrix::from_fn(a.nrows(), reached.len(), |row, column| svd.U()[(row, reached[column])])
}

/// Singular values, falling, and vectors of a matrix with rows of zeros added up to `rows`.
fn singular(a: &DMatrix<f64>, rows: usize) -> Svd<f64> {
    let padded = Mat::from_fn(rows, a.ncols(), |row, column| if row < a.nrows() { a[(row, column)] } else { 0.0 });
    padded.thin_svd().expect("the singular values of finite numbers are found")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_basis_is_sent_to_zero_and_has_the_missing_rank() {
        let a = DMatrix::from_row_slice(2, 4, &[1.0, 2.0, 3.0, 4.0, 2.0, 4.0, 6.0, 8.0]);
        let basis = null_space(&a, 1e-12);
        assert_eq!(basis.ncols(), 3);
        assert!((&a * &basis).amax() < 1e-13);
        assert_eq!(null_space(&DMatrix::zeros(0, 3), 1e-12).ncols(), 3);
    }

    #[test]
    fn matrices_of_rank_one_have_their_one_direction_and_lose_the_others() {
        for seed in 0..2000 {
            let number = |place: usize| (f64::from(seed) * 1.7 + place as f64 * 2.3).sin();
            for columns in 1..5 {
                let a = DMatrix::from_fn(3, columns, |row, column| {
                    number(row) * number(7 + column) + 1e-16 * number(row + 3 * column)
                });
                let direction = DMatrix::from_fn(3, 1, |row, _| number(row)).normalize();
                let reached = column_space(&a, 1e-6);
                assert_eq!(reached.ncols(), 1, "{a}");
                let along = (direction.transpose() * &reached)[(0, 0)].abs();
                assert!((along - 1.0).abs() < 1e-12, "{a} {reached} {direction}");
                let lost = null_space(&a, 1e-6);
                assert_eq!(lost.ncols(), columns - 1, "{a}");
                assert!((&a * &lost).amax() < 1e-14, "{a} {lost}");
            }
        }
    }
}
