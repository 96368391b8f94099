//! The ways of solving that are compared.

use std::sync::Arc;

use crossbrace::math::{BlockEngine, BlockPattern, ChosenEngine, Engine, FaerEngine, Plan, SymmetricMatrix};
use nalgebra::DMatrix;
use nalgebra_sparse::CscMatrix;
use nalgebra_sparse::factorization::CscCholesky;

/// One way of solving K x = b.
pub(crate) trait Side {
    /// Its name in the table.
    fn name(&self) -> &'static str;
    /// Prepares what the steps need but no step is charged for.
    fn take(&mut self, pattern: &Arc<BlockPattern>, matrix: &SymmetricMatrix);
    /// Orders and plans.
    fn plan(&mut self);
    /// Factorises by the plan in hand.
    fn factor(&mut self);
    /// Solves by the factor in hand.
    fn solve(&self, b: &mut DMatrix<f64>);
}

/// An engine of the crate.
pub(crate) struct Own<'e> {
    name: &'static str,
    engine: &'e dyn Engine,
    problem: Option<(Arc<BlockPattern>, SymmetricMatrix)>,
    plan: Option<Box<dyn Plan>>,
    factor: Option<Box<dyn crossbrace::math::Factor>>,
}

impl<'e> Own<'e> {
    pub(crate) fn new(name: &'static str, engine: &'e dyn Engine) -> Self {
        Self { name, engine, problem: None, plan: None, factor: None }
    }
}

impl Side for Own<'_> {
    fn name(&self) -> &'static str {
        self.name
    }

    fn take(&mut self, pattern: &Arc<BlockPattern>, matrix: &SymmetricMatrix) {
        self.problem = Some((Arc::clone(pattern), matrix.clone()));
    }

    fn plan(&mut self) {
        let (pattern, _) = self.problem.as_ref().expect("a problem was taken");
        self.plan = Some(self.engine.plan(pattern));
    }

    fn factor(&mut self) {
        let (_, matrix) = self.problem.as_ref().expect("a problem was taken");
        let plan = self.plan.as_ref().expect("it was planned");
        self.factor = Some(plan.factor(matrix).expect("the matrix is positive definite"));
    }

    fn solve(&self, b: &mut DMatrix<f64>) {
        self.factor.as_ref().expect("it was factorised").solve(b);
    }
}

/// nalgebra-sparse's Cholesky, in the order of the unknowns; its plan cannot be kept apart.
#[derive(Default)]
pub(crate) struct NalgebraSparse {
    matrix: Option<CscMatrix<f64>>,
    factor: Option<CscCholesky<f64>>,
}

impl Side for NalgebraSparse {
    fn name(&self) -> &'static str {
        "nalgebra-sparse"
    }

    fn take(&mut self, _: &Arc<BlockPattern>, matrix: &SymmetricMatrix) {
        self.matrix = Some(CscMatrix::from(&matrix.to_dense()));
    }

    fn plan(&mut self) {}

    fn factor(&mut self) {
        let matrix = self.matrix.as_ref().expect("a problem was taken");
        self.factor = Some(CscCholesky::factor(matrix).expect("the matrix is positive definite"));
    }

    fn solve(&self, b: &mut DMatrix<f64>) {
        *b = self.factor.as_ref().expect("it was factorised").solve(&*b);
    }
}

/// All sides for so many unknowns: our blocks alone up to where faer has passed them, nalgebra-sparse,
/// which does not order its matrix, for frames.
pub(crate) fn all_sides(unknowns: usize) -> Vec<Box<dyn Side>> {
    let mut sides: Vec<Box<dyn Side>> =
        vec![Box::new(Own::new("crossbrace", &ChosenEngine)), Box::new(Own::new("faer", &FaerEngine))];
    if unknowns <= 6000 {
        sides.push(Box::new(Own::new("blocks alone", &BlockEngine)));
    }
    if unknowns < 1000 {
        sides.push(Box::new(NalgebraSparse::default()));
    }
    sides
}
