//! The null space of a matrix.

use nalgebra::DMatrix;

/// An orthonormal basis (columns) of the vectors that `a` sends to zero.
///
/// A direction counts as sent to zero where its singular value is at most `limit`.
pub fn null_space(a: &DMatrix<f64>, limit: f64) -> DMatrix<f64> {
    let columns = a.ncols();
    if columns == 0 || a.nrows() == 0 || a.amax() == 0.0 {
        return DMatrix::identity(columns, columns);
    }
    // A square matrix, so that the decomposition has a whole basis of rows.
    let square = if a.nrows() < columns { a.clone().resize_vertically(columns, 0.0) } else { a.clone() };
    let svd = square.svd(false, true);
    let v_t = svd.v_t.expect("the right vectors were asked for");
    let zero: Vec<usize> = (0..columns).filter(|&at| svd.singular_values[at] <= limit).collect();
    DMatrix::from_fn(columns, zero.len(), |row, column| v_t[(zero[column], row)])
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
}
