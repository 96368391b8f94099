//! Displacements under all right sides of a structure at once.

use nalgebra::DMatrix;

use super::accuracy::{backward_error, condition};
use super::assemble::System;
use crate::math::{Factor, NotPositive, Plan, SymmetricMatrix};

/// A condition number above this asks whether something is loose.
const SUSPICIOUS: f64 = 1e12;
/// A backward error at or under this needs no refinement.
const REFINED: f64 = 4.0 * f64::EPSILON;
/// At most so many refinements; the first usually is enough.
const REFINEMENTS: usize = 3;

/// A factorised system.
pub struct Solved {
    /// The factor.
    pub factor: Box<dyn Factor>,
    /// Estimated condition number of the matrix scaled to unit diagonal.
    pub condition: f64,
}

/// Plans and factorises a system.
///
/// # Errors
/// [`NotPositive`] where a pivot is not positive.
pub fn solve(system: &System, plan: &dyn Plan) -> Result<Solved, NotPositive> {
    solve_matrix(&system.matrix, plan)
}

/// Factorises a matrix of a planned pattern.
pub(super) fn solve_matrix(matrix: &SymmetricMatrix, plan: &dyn Plan) -> Result<Solved, NotPositive> {
    let factor = plan.factor(matrix)?;
    let condition = condition(matrix, factor.as_ref());
    Ok(Solved { factor, condition })
}

impl Solved {
    /// Whether the condition number asks to look for something loose.
    pub fn is_suspicious(&self) -> bool {
        self.condition.is_nan() || self.condition >= SUSPICIOUS
    }

    /// Unknowns for each right side, refined, and the backward error of each.
    pub fn unknowns(&self, system: &System, right: &DMatrix<f64>) -> (DMatrix<f64>, Vec<f64>) {
        let mut x = right.clone();
        self.factor.solve(&mut x);
        self.refined(system, x, right)
    }

    /// Unknowns improved by the residual of their equation, and the backward error of each.
    pub fn refined(&self, system: &System, x: DMatrix<f64>, right: &DMatrix<f64>) -> (DMatrix<f64>, Vec<f64>) {
        self.refined_on(&system.matrix, x, right)
    }

    /// The same on the matrix that was factorised.
    pub(super) fn refined_on(
        &self,
        matrix: &SymmetricMatrix,
        mut x: DMatrix<f64>,
        right: &DMatrix<f64>,
    ) -> (DMatrix<f64>, Vec<f64>) {
        let (mut errors, mut residual) = backward_error(matrix, &x, right);
        for _ in 0..REFINEMENTS {
            if errors.iter().all(|error| *error <= REFINED) {
                break;
            }
            let mut correction = residual;
            self.factor.solve(&mut correction);
            let better = &x + &correction;
            let (next, next_residual) = backward_error(matrix, &better, right);
            let worst = |errors: &[f64]| errors.iter().copied().fold(0.0, f64::max);
            if worst(&next) >= worst(&errors) {
                break;
            }
            (x, errors, residual) = (better, next, next_residual);
        }
        (x, errors)
    }
}
