//! Sparse Cholesky by the faer library, ordered on the graph of blocks.

use faer::dyn_stack::{MemBuffer, MemStack};
use faer::linalg::cholesky::llt::factor::LltRegularization;
use faer::perm::PermRef;
use faer::sparse::linalg::amd;
use faer::sparse::linalg::cholesky::{
    CholeskySymbolicParams, LltRef, SymbolicCholesky, SymmetricOrdering, factorize_symbolic_cholesky,
};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use faer::{Conj, MatMut, Par, Side, Spec};
use nalgebra::DMatrix;
use std::sync::Arc;

use super::factor::{Engine, Factor, NotPositive, Plan};
use super::pattern::{BlockPattern, SymmetricMatrix};

/// faer's sparse Cholesky, on one thread so that the same input gives the same digits.
#[derive(Debug, Clone, Copy, Default)]
pub struct FaerEngine;

struct FaerPlan {
    symbolic: Arc<SymbolicCholesky<usize>>,
}

struct FaerFactor {
    symbolic: Arc<SymbolicCholesky<usize>>,
    values: Vec<f64>,
}

impl Engine for FaerEngine {
    fn plan(&self, pattern: &BlockPattern) -> Box<dyn Plan> {
        let (forward, inverse) = unknown_order(pattern, &block_order(pattern));
        let upper = SymmetricMatrix::zero(pattern);
        let symbolic = factorize_symbolic_cholesky(
            symbolic_view(&upper),
            Side::Upper,
            SymmetricOrdering::Custom(PermRef::new_checked(&forward, &inverse, pattern.n_unknowns())),
            CholeskySymbolicParams::default(),
        )
        .expect("the plan of a valid pattern fails only when memory is exhausted");
        Box::new(FaerPlan { symbolic: Arc::new(symbolic) })
    }
}

/// Order of elimination of the blocks: approximate minimum degree on their graph.
fn block_order(pattern: &BlockPattern) -> Vec<usize> {
    let n = pattern.n_blocks();
    let mut starts = vec![0];
    let mut rows = Vec::new();
    for block in 0..n {
        rows.extend_from_slice(pattern.rows(block));
        starts.push(rows.len());
    }
    let graph = SymbolicSparseColMatRef::new_checked(n, n, &starts, None, &rows);
    let (mut forward, mut inverse) = (vec![0; n], vec![0; n]);
    let mut memory = MemBuffer::new(amd::order_maybe_unsorted_scratch::<usize>(n, rows.len()));
    amd::order_maybe_unsorted(&mut forward, &mut inverse, graph, amd::Control::default(), MemStack::new(&mut memory))
        .expect("the order of a valid graph fails only when memory is exhausted");
    forward
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

fn symbolic_view(matrix: &SymmetricMatrix) -> SymbolicSparseColMatRef<'_, usize> {
    let upper = matrix.upper();
    SymbolicSparseColMatRef::new_checked(matrix.n(), matrix.n(), upper.col_offsets(), None, upper.row_indices())
}

impl Plan for FaerPlan {
    fn factor(&self, matrix: &SymmetricMatrix) -> Result<Box<dyn Factor>, NotPositive> {
        let symbolic = &self.symbolic;
        let mut values = vec![0.0; symbolic.len_val()];
        let scratch = symbolic.factorize_numeric_llt_scratch::<f64>(Par::Seq, Spec::default());
        let mut memory = MemBuffer::new(scratch);
        symbolic
            .factorize_numeric_llt(
                &mut values,
                SparseColMatRef::new(symbolic_view(matrix), matrix.upper().values()),
                Side::Upper,
                LltRegularization::default(),
                Par::Seq,
                MemStack::new(&mut memory),
                Spec::default(),
            )
            .map_err(|_| NotPositive)?;
        Ok(Box::new(FaerFactor { symbolic: Arc::clone(symbolic), values }))
    }
}

impl Factor for FaerFactor {
    fn solve(&self, b: &mut DMatrix<f64>) {
        let (rows, columns) = b.shape();
        let factor = LltRef::new(&self.symbolic, &self.values);
        let mut memory = MemBuffer::new(self.symbolic.solve_in_place_scratch::<f64>(columns, Par::Seq));
        let right = MatMut::from_column_major_slice_mut(b.as_mut_slice(), rows, columns);
        factor.solve_in_place_with_conj(Conj::No, right, Par::Seq, MemStack::new(&mut memory));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_solution_fulfils_its_equation_and_an_indefinite_matrix_is_refused() {
        let sizes = [3, 2, 0, 4];
        let pattern = BlockPattern::new(&sizes, [(0, 1), (1, 3), (3, 0)]);
        let mut k = SymmetricMatrix::zero(&pattern);
        for (one, other) in [(0, 1), (1, 3), (0, 3)] {
            let block = DMatrix::from_fn(sizes[one], sizes[other], |r, c| ((r * 3 + c * 7) % 5) as f64 - 2.0);
            k.add(&pattern, one, other, block.as_view());
        }
        for (block, &size) in sizes.iter().enumerate() {
            k.add(&pattern, block, block, (DMatrix::identity(size, size) * 30.0).as_view());
        }
        let plan = FaerEngine.plan(&pattern);
        let b = DMatrix::from_fn(9, 2, |r, c| (r + 2 * c) as f64);
        let mut x = b.clone();
        plan.factor(&k).unwrap().solve(&mut x);
        assert!(k.residual(&x, &b).0.amax() < 1e-12);

        k.add(&pattern, 3, 3, (DMatrix::identity(4, 4) * -60.0).as_view());
        assert_eq!(plan.factor(&k).err(), Some(NotPositive));
    }
}
