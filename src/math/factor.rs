//! What a solver of sparse symmetric systems must be able to do.

use nalgebra::DMatrix;

use super::pattern::{BlockPattern, SymmetricMatrix};

/// A pivot that is not positive: the matrix is not positive definite.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotPositive;

/// A way to factorise: it looks at a pattern once and plans for it.
pub trait Engine: Send + Sync {
    /// Orders the graph of blocks and plans the factorisation, for every matrix of this pattern.
    fn plan(&self, pattern: &BlockPattern) -> Box<dyn Plan>;
}

/// A plan for one pattern.
pub trait Plan: Send + Sync {
    /// Factorises a matrix of the planned pattern.
    ///
    /// # Errors
    /// [`NotPositive`] where a pivot is zero or negative.
    fn factor(&self, matrix: &SymmetricMatrix) -> Result<Box<dyn Factor>, NotPositive>;
}

/// A factorised matrix.
pub trait Factor: Send + Sync {
    /// Solves K x = b in place, for all columns of `b`.
    fn solve(&self, b: &mut DMatrix<f64>);
}
