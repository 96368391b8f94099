//! Products of a matrix, and how far an answer is from fulfilling its equation.

use std::ops::Range;

use nalgebra::DMatrix;
use pulp::{Arch, Simd, WithSimd};

use super::panel::{NARROW, Panel, WIDE, gather, scatter, width};
use super::pattern::{BLOCK, Block, SymmetricMatrix};
use crate::math::arithmetic::{Arithmetic, Fused, Plain, fuses};

impl SymmetricMatrix {
    /// f − K x, and |K| |x| + |f|, entry by entry.
    ///
    /// # Panics
    /// Where x and f have not one shape, or not a row for each unknown.
    pub fn residual(&self, x: &DMatrix<f64>, f: &DMatrix<f64>) -> (DMatrix<f64>, DMatrix<f64>) {
        assert_eq!(x.shape(), f.shape(), "each column of x has its right side");
        assert_eq!(x.nrows(), self.n(), "each unknown has a row");
        Arch::new().dispatch(Work { matrix: self, x, f })
    }
}

impl SymmetricMatrix {
    /// K x, column by column.
    ///
    /// # Panics
    /// Where x has not a row for each unknown.
    pub fn times(&self, x: &DMatrix<f64>) -> DMatrix<f64> {
        assert_eq!(x.nrows(), self.n(), "each unknown has a row");
        Arch::new().dispatch(Times { matrix: self, x })
    }
}

struct Times<'a> {
    matrix: &'a SymmetricMatrix,
    x: &'a DMatrix<f64>,
}

impl WithSimd for Times<'_> {
    type Output = DMatrix<f64>;

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) -> Self::Output {
        if fuses::<S>() { self.run(Fused) } else { self.run(Plain) }
    }
}

impl Times<'_> {
    #[inline(always)]
    fn run<A: Arithmetic>(&self, arithmetic: A) -> DMatrix<f64> {
        let mut product = DMatrix::zeros(self.x.nrows(), self.x.ncols());
        let (mut first, columns) = (0, self.x.ncols());
        while first < columns {
            let end = columns.min(first + width(first, columns));
            if end - first > NARROW {
                self.columns::<A, WIDE>(arithmetic, first..end, &mut product);
            } else {
                self.columns::<A, NARROW>(arithmetic, first..end, &mut product);
            }
            first = end;
        }
        product
    }

    #[inline(always)]
    fn columns<A: Arithmetic, const COLUMNS: usize>(
        &self,
        arithmetic: A,
        columns: Range<usize>,
        product: &mut DMatrix<f64>,
    ) {
        let pattern = self.matrix.pattern();
        let all = || 0..pattern.n_blocks();
        let x: Vec<Panel<COLUMNS>> = gather(pattern, all(), self.x, columns.clone());
        let mut sums: Vec<Panel<COLUMNS>> = vec![[[0.0; COLUMNS]; BLOCK]; pattern.n_blocks()];
        for (row, column, block) in self.matrix.placed() {
            add(arithmetic, &mut sums[row], block, &x[column]);
            if row != column {
                let turned: Block = std::array::from_fn(|c| std::array::from_fn(|r| block[r][c]));
                add(arithmetic, &mut sums[column], &turned, &x[row]);
            }
        }
        scatter(pattern, all(), &sums, product, columns);
    }
}

/// Adds K x.
#[inline(always)]
fn add<A: Arithmetic, const COLUMNS: usize>(
    arithmetic: A,
    sum: &mut Panel<COLUMNS>,
    block: &Block,
    x: &Panel<COLUMNS>,
) {
    for row in 0..BLOCK {
        for k in 0..BLOCK {
            for column in 0..COLUMNS {
                sum[row][column] = arithmetic.add_product(block[k][row], x[k][column], sum[row][column]);
            }
        }
    }
}

struct Work<'a> {
    matrix: &'a SymmetricMatrix,
    x: &'a DMatrix<f64>,
    f: &'a DMatrix<f64>,
}

impl WithSimd for Work<'_> {
    type Output = (DMatrix<f64>, DMatrix<f64>);

    // All that it calls is inlined into it: only so does the compiler use the wide instructions.
    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) -> Self::Output {
        if fuses::<S>() { self.run(Fused) } else { self.run(Plain) }
    }
}

impl Work<'_> {
    #[inline(always)]
    fn run<A: Arithmetic>(&self, arithmetic: A) -> (DMatrix<f64>, DMatrix<f64>) {
        let (mut residual, mut size) = (self.f.clone(), self.f.abs());
        let (mut first, columns) = (0, self.f.ncols());
        while first < columns {
            let end = columns.min(first + width(first, columns));
            if end - first > NARROW {
                self.columns::<A, WIDE>(arithmetic, first..end, &mut residual, &mut size);
            } else {
                self.columns::<A, NARROW>(arithmetic, first..end, &mut residual, &mut size);
            }
            first = end;
        }
        (residual, size)
    }

    #[inline(always)]
    fn columns<A: Arithmetic, const COLUMNS: usize>(
        &self,
        arithmetic: A,
        columns: Range<usize>,
        residual: &mut DMatrix<f64>,
        size: &mut DMatrix<f64>,
    ) {
        let pattern = self.matrix.pattern();
        let all = || 0..pattern.n_blocks();
        let x: Vec<Panel<COLUMNS>> = gather(pattern, all(), self.x, columns.clone());
        let mut left: Vec<Panel<COLUMNS>> = gather(pattern, all(), residual, columns.clone());
        let mut sizes: Vec<Panel<COLUMNS>> = gather(pattern, all(), size, columns.clone());
        for (row, column, block) in self.matrix.placed() {
            subtract(arithmetic, &mut left[row], &mut sizes[row], block, &x[column]);
            if row != column {
                let turned: Block = std::array::from_fn(|c| std::array::from_fn(|r| block[r][c]));
                subtract(arithmetic, &mut left[column], &mut sizes[column], &turned, &x[row]);
            }
        }
        scatter(pattern, all(), &left, residual, columns.clone());
        scatter(pattern, all(), &sizes, size, columns);
    }
}

/// Takes K x from what is left, and adds |K| |x| to the sizes.
#[inline(always)]
fn subtract<A: Arithmetic, const COLUMNS: usize>(
    arithmetic: A,
    left: &mut Panel<COLUMNS>,
    sizes: &mut Panel<COLUMNS>,
    block: &Block,
    x: &Panel<COLUMNS>,
) {
    for row in 0..BLOCK {
        for k in 0..BLOCK {
            let entry = block[k][row];
            for column in 0..COLUMNS {
                left[row][column] = arithmetic.add_product(-entry, x[k][column], left[row][column]);
                sizes[row][column] = arithmetic.add_product(entry.abs(), x[k][column].abs(), sizes[row][column]);
            }
        }
    }
}
