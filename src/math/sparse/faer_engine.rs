//! Sparse Cholesky by the faer library, ordered on the graph of blocks.

use faer::dyn_stack::{MemBuffer, MemStack};
use faer::linalg::cholesky::ldlt::factor::LdltRegularization;
use faer::linalg::cholesky::llt::factor::LltRegularization;
use faer::perm::PermRef;
use faer::sparse::linalg::cholesky::supernodal::SupernodalLdltRef;
use faer::sparse::linalg::cholesky::{
    CholeskySymbolicParams, LdltRef, LltRef, SymbolicCholesky, SymbolicCholeskyRaw, SymmetricOrdering,
    factorize_symbolic_cholesky,
};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use faer::{Conj, MatMut, Par, Side, Spec};
use nalgebra::DMatrix;
use std::sync::Arc;

use super::factor::{Engine, Factor, LOST, NoPivot, NotPositive, Plan};
use super::ordering::minimum_degree;
use super::pattern::{BLOCK, BlockPattern, SymmetricMatrix};

/// faer's sparse Cholesky, on one thread so that the same input gives the same digits.
#[derive(Debug, Clone, Copy, Default)]
pub struct FaerEngine;

struct FaerPlan {
    pattern: Arc<BlockPattern>,
    upper: Upper,
    symbolic: Arc<SymbolicCholesky<usize>>,
}

/// What was factorised, and how.
enum Kind {
    Llt,
    Ldlt,
}

struct FaerFactor {
    symbolic: Arc<SymbolicCholesky<usize>>,
    values: Vec<f64>,
    kind: Kind,
}

/// The upper triangle of a pattern, unknown by unknown in columns.
struct Upper {
    starts: Vec<usize>,
    rows: Vec<usize>,
}

impl Upper {
    fn new(pattern: &BlockPattern) -> Self {
        let mut upper = Self { starts: vec![0], rows: Vec::new() };
        for column in 0..pattern.n_blocks() {
            for unknown in pattern.offset(column)..pattern.offset(column + 1) {
                for &row in pattern.rows(column) {
                    let end = if row == column { unknown + 1 } else { pattern.offset(row + 1) };
                    upper.rows.extend(pattern.offset(row)..end);
                }
                upper.starts.push(upper.rows.len());
            }
        }
        upper
    }

    fn view(&self) -> SymbolicSparseColMatRef<'_, usize> {
        let n = self.starts.len() - 1;
        SymbolicSparseColMatRef::new_checked(n, n, &self.starts, None, &self.rows)
    }

    /// The values of a matrix in the order of the rows.
    fn values(&self, matrix: &SymmetricMatrix) -> Vec<f64> {
        let pattern = matrix.pattern();
        let mut values = Vec::with_capacity(self.rows.len());
        for column in 0..pattern.n_blocks() {
            let blocks = pattern.starts()[column]..pattern.starts()[column + 1];
            for of_block in 0..pattern.size(column) {
                for (block, &row) in matrix.blocks()[blocks.clone()].iter().zip(pattern.rows(column)) {
                    let rows = if row == column { of_block + 1 } else { pattern.size(row) };
                    values.extend_from_slice(&block[of_block][..rows.min(BLOCK)]);
                }
            }
        }
        values
    }
}

impl Engine for FaerEngine {
    fn plan(&self, pattern: &Arc<BlockPattern>) -> Box<dyn Plan> {
        plan_unknowns(pattern, &minimum_degree(pattern))
    }
}

/// Plans for a pattern whose blocks are eliminated in an order.
pub(super) fn plan_unknowns(pattern: &Arc<BlockPattern>, order: &[usize]) -> Box<dyn Plan> {
    let (forward, inverse) = unknown_order(pattern, order);
    let upper = Upper::new(pattern);
    let symbolic = factorize_symbolic_cholesky(
        upper.view(),
        Side::Upper,
        SymmetricOrdering::Custom(PermRef::new_checked(&forward, &inverse, pattern.n_unknowns())),
        CholeskySymbolicParams::default(),
    )
    .expect("the plan of a valid pattern fails only when memory is exhausted");
    Box::new(FaerPlan { pattern: Arc::clone(pattern), upper, symbolic: Arc::new(symbolic) })
}

/// The order of the blocks as an order of unknowns, and its inverse.
fn unknown_order(pattern: &BlockPattern, blocks: &[usize]) -> (Vec<usize>, Vec<usize>) {
    let forward: Vec<usize> =
        blocks.iter().flat_map(|&block| pattern.offset(block)..pattern.offset(block + 1)).collect();
    let mut inverse = vec![0; forward.len()];
    for (place, &unknown) in forward.iter().enumerate() {
        inverse[unknown] = place;
    }
    (forward, inverse)
}

impl FaerPlan {
    /// The values of a matrix, unknown by unknown.
    fn values(&self, matrix: &SymmetricMatrix) -> Vec<f64> {
        matrix.must_have(&self.pattern);
        self.upper.values(matrix)
    }
}

impl Plan for FaerPlan {
    fn factor(&self, matrix: &SymmetricMatrix) -> Result<Box<dyn Factor>, NotPositive> {
        // faer's simplicial L Lᵀ lets an infinite pivot pass.
        if matrix.diagonal().iter().any(|value| !value.is_finite()) {
            return Err(NotPositive);
        }
        let symbolic = &self.symbolic;
        let mut values = vec![0.0; symbolic.len_val()];
        let scratch = symbolic.factorize_numeric_llt_scratch::<f64>(Par::Seq, Spec::default());
        let mut memory = MemBuffer::new(scratch);
        symbolic
            .factorize_numeric_llt(
                &mut values,
                SparseColMatRef::new(self.upper.view(), &self.values(matrix)),
                Side::Upper,
                LltRegularization::default(),
                Par::Seq,
                MemStack::new(&mut memory),
                Spec::default(),
            )
            .map_err(|_| NotPositive)?;
        Ok(Box::new(FaerFactor { symbolic: Arc::clone(symbolic), values, kind: Kind::Llt }))
    }

    fn factor_and_count(&self, matrix: &SymmetricMatrix) -> Result<(Box<dyn Factor>, usize), NoPivot> {
        let symbolic = &self.symbolic;
        let mut values = vec![0.0; symbolic.len_val()];
        let scratch = symbolic.factorize_numeric_ldlt_scratch::<f64>(Par::Seq, Spec::default());
        let mut memory = MemBuffer::new(scratch);
        symbolic
            .factorize_numeric_ldlt(
                &mut values,
                SparseColMatRef::new(self.upper.view(), &self.values(matrix)),
                Side::Upper,
                LdltRegularization::default(),
                Par::Seq,
                MemStack::new(&mut memory),
                Spec::default(),
            )
            .map_err(|_| NoPivot)?;
        let pivots = pivots(symbolic, &values);
        let (order, _) = symbolic.perm().expect("the plan orders the unknowns").arrays();
        let largest = matrix.largest_in_rows();
        if pivots.iter().zip(order).any(|(pivot, unknown)| pivot.abs() <= LOST * largest[*unknown]) {
            return Err(NoPivot);
        }
        let negative = pivots.iter().filter(|pivot| **pivot < 0.0).count();
        Ok((Box::new(FaerFactor { symbolic: Arc::clone(symbolic), values, kind: Kind::Ldlt }), negative))
    }
}

/// D of L D Lᵀ, which stands on the diagonal of L.
fn pivots(symbolic: &SymbolicCholesky<usize>, values: &[f64]) -> Vec<f64> {
    match symbolic.raw() {
        SymbolicCholeskyRaw::Simplicial(raw) => {
            raw.col_ptr()[..symbolic.ncols()].iter().map(|start| values[*start]).collect()
        }
        SymbolicCholeskyRaw::Supernodal(raw) => {
            let lower = SupernodalLdltRef::new(raw, values);
            (0..raw.n_supernodes())
                .flat_map(|supernode| {
                    let block = lower.supernode(supernode).val();
                    (0..block.ncols()).map(move |at| block[(at, at)])
                })
                .collect()
        }
    }
}

impl Factor for FaerFactor {
    fn solve(&self, b: &mut DMatrix<f64>) {
        let (rows, columns) = b.shape();
        let mut memory = MemBuffer::new(self.symbolic.solve_in_place_scratch::<f64>(columns, Par::Seq));
        let right = MatMut::from_column_major_slice_mut(b.as_mut_slice(), rows, columns);
        let stack = MemStack::new(&mut memory);
        match self.kind {
            Kind::Llt => {
                LltRef::new(&self.symbolic, &self.values).solve_in_place_with_conj(Conj::No, right, Par::Seq, stack);
            }
            Kind::Ldlt => {
                LdltRef::new(&self.symbolic, &self.values).solve_in_place_with_conj(Conj::No, right, Par::Seq, stack);
            }
        }
    }
}
