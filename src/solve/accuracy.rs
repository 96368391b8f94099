//! How accurate an answer is.

use nalgebra::DMatrix;

use crate::math::{Factor, SymmetricMatrix, inverse_norm_1};

/// An `error` or `balance` above this is an error of the run.
pub const TOO_INACCURATE: f64 = 1e-4;

/// How accurate the answer of a case is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Accuracy {
    /// Componentwise backward error, max |r|ᵢ / (|K||u| + |f|)ᵢ (Oettli and Prager).
    pub residual: f64,
    /// Out-of-balance of the whole frame and of each part, over the largest end force.
    pub balance: f64,
    /// Bound on the relative error: residual × condition estimate, at least 1e-16.
    pub error: f64,
}

/// Diagonal scale 1/√K_ii that brings the diagonal to 1.
fn unit_scale(matrix: &SymmetricMatrix) -> Vec<f64> {
    matrix.diagonal().into_iter().map(|value| if value > 0.0 { value.sqrt().recip() } else { 1.0 }).collect()
}

/// Estimate of the condition number (1-norm) of the matrix scaled to unit diagonal.
///
/// Source: Higham (2002), Accuracy and Stability of Numerical Algorithms, ch. 7 and 15.
pub fn condition(matrix: &SymmetricMatrix, factor: &dyn Factor) -> f64 {
    let scale = unit_scale(matrix);
    matrix.scaled_norm_1(&scale) * inverse_norm_1(factor, &scale)
}

/// Componentwise backward error of each column of `x` for K x = f, and the residuals f − K x.
///
/// Source: Oettli and Prager, Numer. Math. 6 (1964).
pub fn backward_error(matrix: &SymmetricMatrix, x: &DMatrix<f64>, f: &DMatrix<f64>) -> (Vec<f64>, DMatrix<f64>) {
    let (residual, size) = matrix.residual(x, f);
    let errors = (0..x.ncols())
        .map(|column| {
            residual
                .column(column)
                .iter()
                .zip(size.column(column).iter())
                .map(|(r, s)| if *s == 0.0 { 0.0 } else { r.abs() / s })
                // What is no number is as wrong as can be; `f64::max` would pass over it.
                .fold(0.0, |worst, error| if error.is_nan() { f64::INFINITY } else { error.max(worst) })
        })
        .collect();
    (errors, residual)
}
