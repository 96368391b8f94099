//! Eigenvalues of a full symmetric matrix.

use nalgebra::allocator::Allocator;
use nalgebra::{DMatrix, DVector, DefaultAllocator, DimDiff, DimSub, OMatrix, SymmetricEigen, U1};

/// Eigenvalues and eigenvectors; `None` where a number of the matrix is none: no iteration would come to an end.
pub fn symmetric_eigen<D>(matrix: OMatrix<f64, D, D>) -> Option<SymmetricEigen<f64, D>>
where
    D: DimSub<U1>,
    DefaultAllocator: Allocator<D, D> + Allocator<D> + Allocator<DimDiff<D, U1>>,
{
    matrix.iter().all(|value| value.is_finite()).then(|| matrix.symmetric_eigen())
}

/// Eigenvalues alone.
pub fn symmetric_eigenvalues(matrix: &DMatrix<f64>) -> Option<DVector<f64>> {
    matrix.iter().all(|value| value.is_finite()).then(|| matrix.symmetric_eigenvalues())
}

#[cfg(test)]
mod tests {
    use nalgebra::{DMatrix, Matrix2};

    use super::*;

    #[test]
    fn a_matrix_that_holds_no_number_has_no_eigenvalues_and_others_have_those_that_they_have() {
        for hole in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            for place in [(0, 0), (1, 0), (2, 2)] {
                let mut matrix = DMatrix::<f64>::identity(3, 3);
                matrix[place] = hole;
                assert!(symmetric_eigenvalues(&matrix).is_none());
                assert!(symmetric_eigen(matrix).is_none());
            }
        }
        let mut values: Vec<f64> =
            symmetric_eigen(Matrix2::new(2.0, 1.0, 1.0, 2.0)).unwrap().eigenvalues.iter().copied().collect();
        values.sort_by(f64::total_cmp);
        assert!((values[0] - 1.0).abs() < 1e-15 && (values[1] - 3.0).abs() < 1e-15, "{values:?}");
    }
}
