//! Sparse L D Lᵀ on blocks of six by six, for matrices in which few blocks fill in.
//!
//! K = L D Lᵀ, L with ones on its diagonal and D diagonal, block column j after block column:
//!
//! ```text
//! L_jj D_j L_jjᵀ = K_jj − Σ_k L_jk D_k L_jkᵀ
//! L_ij D_j       = (K_ij − Σ_k L_ik D_k L_jkᵀ) L_jj⁻ᵀ        i > j
//! ```
//!
//! with the products that the plan lists; each sum stays in registers over all of them. A positive
//! definite K needs no interchanges; of any other K the negative pivots are as many as its negative
//! eigenvalues, as long as none is lost in round-off.
//!
//! L is kept as −L, since all that is done with it is to subtract; L D is kept beside it while the
//! factor is made, since each product needs both.
//!
//! Source: Golub and Van Loan (2013), Matrix Computations, 4.1 (L D Lᵀ) and 4.2 (block forms), from
//! memory; Duff, Erisman and Reid (1986), Direct Methods for Sparse Matrices, ch. 10, from memory.

use std::ops::Range;
use std::sync::Arc;

use nalgebra::DMatrix;
use pulp::{Arch, Simd, WithSimd};

use super::block_plan::{BlockPlan, Fill, Place};
use super::factor::{Engine, Factor, LOST, NoPivot, NotPositive, Plan};
use super::panel::{NARROW, Panel, WIDE, gather, scatter, width};
use super::pattern::{BLOCK, Block, BlockPattern, SymmetricMatrix};
use crate::math::arithmetic::{Arithmetic, Fused, Plain, fuses};

/// Our own factorisation on blocks, best where few blocks fill in.
#[derive(Debug, Clone, Copy, Default)]
pub struct BlockEngine;

struct PlannedBlocks {
    pattern: Arc<BlockPattern>,
    plan: Arc<BlockPlan>,
}

/// Rows of a column of a block, and two of zeros: two registers of four numbers, or one of eight.
const ROWS: usize = 8;

/// A block of the factor: `block[column][row]`.
type Tall = [[f64; ROWS]; BLOCK];

const ZERO: Tall = [[0.0; ROWS]; BLOCK];

/// A factorised matrix.
struct BlockFactor {
    pattern: Arc<BlockPattern>,
    plan: Arc<BlockPlan>,
    diagonals: Vec<Diagonal>,
    /// Blocks of −L below the diagonal, in the order of the plan.
    minus_lower: Vec<Tall>,
}

/// The block on the diagonal of one column.
#[derive(Debug, Clone, Copy)]
struct Diagonal {
    /// −L, below its diagonal.
    minus_lower: Block,
    /// 1 / D.
    inverse: [f64; BLOCK],
}

impl Engine for BlockEngine {
    fn plan(&self, pattern: &Arc<BlockPattern>) -> Box<dyn Plan> {
        plan_blocks(pattern, Fill::of(pattern))
    }
}

/// Plans for a pattern whose fill is known.
pub(super) fn plan_blocks(pattern: &Arc<BlockPattern>, fill: Fill) -> Box<dyn Plan> {
    Box::new(PlannedBlocks { pattern: Arc::clone(pattern), plan: Arc::new(BlockPlan::new(pattern, fill)) })
}

impl PlannedBlocks {
    fn run(&self, matrix: &SymmetricMatrix, only_positive: bool) -> Option<(Box<dyn Factor>, usize)> {
        matrix.must_have(&self.pattern);
        let largest = if only_positive { Vec::new() } else { matrix.largest_in_rows() };
        let work = Factorisation { plan: &self.plan, pattern: &self.pattern, matrix, only_positive, largest };
        let (diagonals, minus_lower, negative) = Arch::new().dispatch(work)?;
        let (pattern, plan) = (Arc::clone(&self.pattern), Arc::clone(&self.plan));
        Some((Box::new(BlockFactor { pattern, plan, diagonals, minus_lower }), negative))
    }
}

impl Plan for PlannedBlocks {
    fn factor(&self, matrix: &SymmetricMatrix) -> Result<Box<dyn Factor>, NotPositive> {
        self.run(matrix, true).map(|(factor, _)| factor).ok_or(NotPositive)
    }

    fn factor_and_count(&self, matrix: &SymmetricMatrix) -> Result<(Box<dyn Factor>, usize), NoPivot> {
        self.run(matrix, false).ok_or(NoPivot)
    }
}

impl Factor for BlockFactor {
    fn solve(&self, b: &mut DMatrix<f64>) {
        assert_eq!(b.nrows(), self.pattern.n_unknowns(), "a right side has a row for each unknown");
        Arch::new().dispatch(Solution { factor: self, b });
    }
}

/// The work on the numbers of one matrix.
struct Factorisation<'a> {
    plan: &'a BlockPlan,
    pattern: &'a BlockPattern,
    matrix: &'a SymmetricMatrix,
    only_positive: bool,
    /// Where pivots of either sign are taken: the largest magnitude in the row of each unknown.
    largest: Vec<f64>,
}

const PLACES: &str = "the plan has a place for every block of the factor";

/// Diagonal blocks, blocks of −L below them, and how many pivots are negative.
type Numbers = (Vec<Diagonal>, Vec<Tall>, usize);

impl WithSimd for Factorisation<'_> {
    type Output = Option<Numbers>;

    // All that it calls is inlined into it: only so does the compiler use the wide instructions.
    #[inline(always)]
    fn with_simd<S: Simd>(self, simd: S) -> Self::Output {
        match S::F64_LANES {
            4 => self.run::<S, 2>(simd),
            2 => self.run::<S, 4>(simd),
            8 => self.run::<S, 1>(simd),
            _ => self.run::<pulp::Scalar, ROWS>(pulp::Scalar::new()),
        }
    }
}

/// The columns of a tall block in registers.
type Registers<S, const STRIPS: usize> = [[<S as Simd>::f64s; STRIPS]; BLOCK];

impl Factorisation<'_> {
    #[inline(always)]
    fn run<S: Simd, const STRIPS: usize>(self, simd: S) -> Option<Numbers> {
        let plan = self.plan;
        let n = plan.fill.order.len();
        let mut diagonals = Vec::with_capacity(n);
        // The products need −L and L D.
        let mut minus_lower = vec![ZERO; plan.fill.rows.len()];
        let mut scaled = vec![ZERO; plan.fill.rows.len()];
        let mut negative = 0;
        let mut products = 0;
        let mut places = plan.places.iter();
        for step in 0..n {
            let place = places.next().expect(PLACES);
            let value = self.value::<S, STRIPS>(simd, place, products, &minus_lower, &scaled);
            products = place.products_end;
            let size = self.pattern.size(plan.fill.order[step]);
            let (diagonal, below_zero) = factor_diagonal(store::<S, STRIPS>(&value), size)?;
            if self.only_positive && below_zero > 0 {
                return None;
            }
            if !self.only_positive {
                let largest = &self.largest[self.pattern.offset(plan.fill.order[step])..][..size];
                let is_lost = |(inverse, largest): (&f64, &f64)| 1.0 / inverse.abs() <= LOST * largest;
                if diagonal.inverse.iter().zip(largest).any(is_lost) {
                    return None;
                }
            }
            negative += below_zero;
            for at in plan.fill.below(step) {
                let place = places.next().expect(PLACES);
                let mut value = self.value::<S, STRIPS>(simd, place, products, &minus_lower, &scaled);
                products = place.products_end;
                undo_lower(simd, &mut value, &diagonal);
                scaled[at] = store::<S, STRIPS>(&value);
                for (column, inverse) in value.iter_mut().zip(&diagonal.inverse) {
                    let factor = simd.splat_f64s(-inverse);
                    for strip in column {
                        *strip = simd.mul_f64s(*strip, factor);
                    }
                }
                minus_lower[at] = store::<S, STRIPS>(&value);
            }
            diagonals.push(diagonal);
        }
        Some((diagonals, minus_lower, negative))
    }

    /// The value of a place in K less the products that change it, of which the first is `first`.
    #[inline(always)]
    fn value<S: Simd, const STRIPS: usize>(
        &self,
        simd: S,
        place: &Place,
        first: u32,
        minus_lower: &[Tall],
        scaled: &[Tall],
    ) -> Registers<S, STRIPS> {
        let mut value = load::<S, STRIPS>(&match place.source {
            None => ZERO,
            Some((source, turned)) => tall(&self.matrix.blocks()[source as usize], turned),
        });
        for product in &self.plan.products[first as usize..place.products_end as usize] {
            let left = load::<S, STRIPS>(&minus_lower[product.left as usize]);
            let right = &scaled[product.right as usize];
            for (left, right) in left.iter().zip(right) {
                for (value, factor) in value.iter_mut().zip(right) {
                    let factor = simd.splat_f64s(*factor);
                    for (strip, left) in value.iter_mut().zip(left) {
                        *strip = simd.mul_add_e_f64s(*left, factor, *strip);
                    }
                }
            }
        }
        value
    }
}

/// A block with its rows filled up, turned over or not.
#[inline(always)]
fn tall(block: &Block, turned: bool) -> Tall {
    let mut tall = ZERO;
    for column in 0..BLOCK {
        for row in 0..BLOCK {
            tall[column][row] = if turned { block[row][column] } else { block[column][row] };
        }
    }
    tall
}

#[inline(always)]
fn load<S: Simd, const STRIPS: usize>(block: &Tall) -> Registers<S, STRIPS> {
    std::array::from_fn(|column| {
        let strips = S::as_simd_f64s(&block[column]).0;
        std::array::from_fn(|strip| strips[strip])
    })
}

#[inline(always)]
fn store<S: Simd, const STRIPS: usize>(registers: &Registers<S, STRIPS>) -> Tall {
    let mut block = ZERO;
    for (column, registers) in block.iter_mut().zip(registers) {
        S::as_mut_simd_f64s(column).0.copy_from_slice(registers);
    }
    block
}

/// A diagonal block as L D Lᵀ, and how many of D are negative; `None` where one is zero or not finite.
///
/// What a block of fewer than six unknowns does not fill gets ones, and stands apart from the rest.
#[inline(always)]
fn factor_diagonal(mut block: Tall, size: usize) -> Option<(Diagonal, usize)> {
    let mut diagonal = Diagonal { minus_lower: [[0.0; BLOCK]; BLOCK], inverse: [1.0; BLOCK] };
    let mut negative = 0;
    for k in 0..size {
        let pivot = block[k][k];
        let inverse = 1.0 / pivot;
        // A pivot so small that its inverse is no number is as good as none.
        if !pivot.is_finite() || !inverse.is_finite() {
            return None;
        }
        negative += usize::from(pivot < 0.0);
        diagonal.inverse[k] = inverse;
        for row in k + 1..BLOCK {
            diagonal.minus_lower[k][row] = -block[k][row] * inverse;
        }
        for column in k + 1..BLOCK {
            for row in column..BLOCK {
                block[column][row] += diagonal.minus_lower[k][row] * block[k][column];
            }
        }
    }
    Some((diagonal, negative))
}

/// From C below the diagonal: L D, with (L D) L_jjᵀ = C.
#[inline(always)]
fn undo_lower<S: Simd, const STRIPS: usize>(simd: S, value: &mut Registers<S, STRIPS>, diagonal: &Diagonal) {
    for k in 0..BLOCK {
        let done = value[k];
        for column in k + 1..BLOCK {
            let factor = simd.splat_f64s(diagonal.minus_lower[k][column]);
            for (strip, done) in value[column].iter_mut().zip(&done) {
                *strip = simd.mul_add_e_f64s(*done, factor, *strip);
            }
        }
    }
}

/// The work on some right sides.
struct Solution<'a> {
    factor: &'a BlockFactor,
    b: &'a mut DMatrix<f64>,
}

impl WithSimd for Solution<'_> {
    type Output = ();

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) {
        if fuses::<S>() { self.run(Fused) } else { self.run(Plain) }
    }
}

impl Solution<'_> {
    #[inline(always)]
    fn run<A: Arithmetic>(self, arithmetic: A) {
        let (mut first, columns) = (0, self.b.ncols());
        while first < columns {
            let end = columns.min(first + width(first, columns));
            if end - first > NARROW {
                self.factor.solve_columns::<A, WIDE>(arithmetic, self.b, first..end);
            } else {
                self.factor.solve_columns::<A, NARROW>(arithmetic, self.b, first..end);
            }
            first = end;
        }
    }
}

impl BlockFactor {
    #[inline(always)]
    fn solve_columns<A: Arithmetic, const COLUMNS: usize>(
        &self,
        arithmetic: A,
        b: &mut DMatrix<f64>,
        columns: Range<usize>,
    ) {
        let order = || self.plan.fill.order.iter().copied();
        let mut x: Vec<Panel<COLUMNS>> = gather(&self.pattern, order(), b, columns.clone());
        self.forward(arithmetic, &mut x);
        self.backward(arithmetic, &mut x);
        scatter(&self.pattern, order(), &x, b, columns);
    }

    /// L y = b.
    #[inline(always)]
    fn forward<A: Arithmetic, const COLUMNS: usize>(&self, arithmetic: A, x: &mut [Panel<COLUMNS>]) {
        for (step, diagonal) in self.diagonals.iter().enumerate() {
            let mut own = x[step];
            for k in 0..BLOCK {
                for row in k + 1..BLOCK {
                    add_row(arithmetic, &mut own, row, diagonal.minus_lower[k][row], k);
                }
            }
            x[step] = own;
            for at in self.plan.fill.below(step) {
                let there = &mut x[self.plan.fill.rows[at] as usize];
                let block = &self.minus_lower[at];
                for row in 0..BLOCK {
                    for k in 0..BLOCK {
                        for column in 0..COLUMNS {
                            there[row][column] =
                                arithmetic.add_product(block[k][row], own[k][column], there[row][column]);
                        }
                    }
                }
            }
        }
    }

    /// D Lᵀ x = y.
    #[inline(always)]
    fn backward<A: Arithmetic, const COLUMNS: usize>(&self, arithmetic: A, x: &mut [Panel<COLUMNS>]) {
        for (step, diagonal) in self.diagonals.iter().enumerate().rev() {
            let mut own = x[step];
            for (row, inverse) in own.iter_mut().zip(&diagonal.inverse) {
                for value in row {
                    *value *= inverse;
                }
            }
            for at in self.plan.fill.below(step) {
                let there = &x[self.plan.fill.rows[at] as usize];
                let block = &self.minus_lower[at];
                for row in 0..BLOCK {
                    for k in 0..BLOCK {
                        for column in 0..COLUMNS {
                            own[k][column] = arithmetic.add_product(block[k][row], there[row][column], own[k][column]);
                        }
                    }
                }
            }
            for k in (0..BLOCK).rev() {
                for row in k + 1..BLOCK {
                    add_row(arithmetic, &mut own, k, diagonal.minus_lower[k][row], row);
                }
            }
            x[step] = own;
        }
    }
}

/// Adds a multiple of row `other` of a panel to row `row`.
#[inline(always)]
fn add_row<A: Arithmetic, const COLUMNS: usize>(
    arithmetic: A,
    panel: &mut Panel<COLUMNS>,
    row: usize,
    factor: f64,
    other: usize,
) {
    for column in 0..COLUMNS {
        panel[row][column] = arithmetic.add_product(factor, panel[other][column], panel[row][column]);
    }
}
