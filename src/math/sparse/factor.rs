//! What a solver of sparse symmetric systems must be able to do.

use std::sync::Arc;

use nalgebra::DMatrix;

use super::pattern::{BlockPattern, SymmetricMatrix};

/// A pivot that is not positive: the matrix is not positive definite.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotPositive;

/// A pivot that is zero, not finite, or all but lost in round-off: the matrix cannot be factorised in
/// the planned order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoPivot;

/// The part of the largest entry in its row under which a pivot counts as lost, where pivots of either
/// sign are taken.
pub(super) const LOST: f64 = 1e-10;

/// A way to factorise: it looks at a pattern once and plans for it.
pub trait Engine: Send + Sync {
    /// Orders the graph of blocks and plans the factorisation, for every matrix of this pattern.
    fn plan(&self, pattern: &Arc<BlockPattern>) -> Box<dyn Plan>;
}

/// A plan for one pattern.
pub trait Plan: Send + Sync {
    /// Factorises a positive definite matrix of the planned pattern.
    ///
    /// # Errors
    /// [`NotPositive`] where a pivot is zero, negative or not finite.
    ///
    /// # Panics
    /// Where the matrix has another pattern.
    fn factor(&self, matrix: &SymmetricMatrix) -> Result<Box<dyn Factor>, NotPositive>;

    /// Factorises a symmetric matrix of the planned pattern that need not be positive definite, as
    /// L D Lᵀ without interchanges, and counts the negative pivots. By Sylvester's law of inertia
    /// they are as many as the negative eigenvalues (Golub and Van Loan (2013), Matrix Computations,
    /// 8.1.5, from memory).
    ///
    /// # Errors
    /// [`NoPivot`] where a pivot is under 1e-10 of the largest entry in its row of the matrix: the
    /// digits that are left do not tell its sign.
    ///
    /// # Panics
    /// Where the matrix has another pattern.
    fn factor_and_count(&self, matrix: &SymmetricMatrix) -> Result<(Box<dyn Factor>, usize), NoPivot>;
}

/// A factorised matrix.
pub trait Factor: Send + Sync {
    /// Solves K x = b in place, for all columns of `b`.
    ///
    /// # Panics
    /// Where `b` has not a row for each unknown.
    fn solve(&self, b: &mut DMatrix<f64>);
}
