//! Products of small matrices, as wide as the processor reckons.

#![expect(clippy::needless_range_loop, reason = "formulas of matrices are read by their indices")]

use nalgebra::{Matrix6, SMatrix, SVector};
use pulp::{Arch, Simd, WithSimd};

use super::arithmetic::{Arithmetic, Fused, Plain, fuses};

/// A x.
pub fn product<const ROWS: usize, const COLUMNS: usize>(
    matrix: &SMatrix<f64, ROWS, COLUMNS>,
    x: &SVector<f64, COLUMNS>,
) -> SVector<f64, ROWS> {
    Arch::new().dispatch(Product { matrix, x, of: |value| value })
}

/// |A| |x|: the product with all terms positive.
pub fn product_of_sizes<const ROWS: usize, const COLUMNS: usize>(
    matrix: &SMatrix<f64, ROWS, COLUMNS>,
    x: &SVector<f64, COLUMNS>,
) -> SVector<f64, ROWS> {
    Arch::new().dispatch(Product { matrix, x, of: f64::abs })
}

/// A B.
pub fn matrix_product(a: &Matrix6<f64>, b: &Matrix6<f64>) -> Matrix6<f64> {
    Arch::new().dispatch(MatrixProduct { a, b })
}

/// Aᵀ K B.
pub fn congruence(a: &Matrix6<f64>, k: &Matrix6<f64>, b: &Matrix6<f64>) -> Matrix6<f64> {
    Arch::new().dispatch(Congruence { a, k, b })
}

struct Product<'a, const ROWS: usize, const COLUMNS: usize, F> {
    matrix: &'a SMatrix<f64, ROWS, COLUMNS>,
    x: &'a SVector<f64, COLUMNS>,
    of: F,
}

impl<const ROWS: usize, const COLUMNS: usize, F: Fn(f64) -> f64> WithSimd for Product<'_, ROWS, COLUMNS, F> {
    type Output = SVector<f64, ROWS>;

    // All that it calls is inlined into it: only so does the compiler use the wide instructions.
    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) -> Self::Output {
        if fuses::<S>() { self.run(Fused) } else { self.run(Plain) }
    }
}

impl<const ROWS: usize, const COLUMNS: usize, F: Fn(f64) -> f64> Product<'_, ROWS, COLUMNS, F> {
    #[inline(always)]
    fn run<A: Arithmetic>(self, arithmetic: A) -> SVector<f64, ROWS> {
        let mut sum = [0.0; ROWS];
        for column in 0..COLUMNS {
            let x = (self.of)(self.x[column]);
            for row in 0..ROWS {
                sum[row] = arithmetic.add_product((self.of)(self.matrix.data.0[column][row]), x, sum[row]);
            }
        }
        SVector::from(sum)
    }
}

struct MatrixProduct<'a> {
    a: &'a Matrix6<f64>,
    b: &'a Matrix6<f64>,
}

impl WithSimd for MatrixProduct<'_> {
    type Output = Matrix6<f64>;

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) -> Self::Output {
        if fuses::<S>() { self.run(Fused) } else { self.run(Plain) }
    }
}

impl MatrixProduct<'_> {
    #[inline(always)]
    fn run<A: Arithmetic>(self, arithmetic: A) -> Matrix6<f64> {
        let [a, b] = [self.a, self.b].map(|matrix| columns(|row, column| matrix[(row, column)]));
        let product = times(arithmetic, &a, &b);
        Matrix6::from_fn(|row, column| product[column][row])
    }
}

struct Congruence<'a> {
    a: &'a Matrix6<f64>,
    k: &'a Matrix6<f64>,
    b: &'a Matrix6<f64>,
}

impl WithSimd for Congruence<'_> {
    type Output = Matrix6<f64>;

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) -> Self::Output {
        if fuses::<S>() { self.run(Fused) } else { self.run(Plain) }
    }
}

/// Columns of six numbers, and two of zeros: a whole number of registers.
type Columns = [[f64; 8]; 6];

impl Congruence<'_> {
    #[inline(always)]
    fn run<A: Arithmetic>(self, arithmetic: A) -> Matrix6<f64> {
        let moved = times(
            arithmetic,
            &columns(|row, column| self.k[(row, column)]),
            &columns(|row, column| self.b[(row, column)]),
        );
        let product = times(arithmetic, &columns(|row, column| self.a[(column, row)]), &moved);
        Matrix6::from_fn(|row, column| product[column][row])
    }
}

#[inline(always)]
fn columns(entry: impl Fn(usize, usize) -> f64) -> Columns {
    let mut columns = [[0.0; 8]; 6];
    for column in 0..6 {
        for row in 0..6 {
            columns[column][row] = entry(row, column);
        }
    }
    columns
}

#[inline(always)]
fn times<A: Arithmetic>(arithmetic: A, left: &Columns, right: &Columns) -> Columns {
    let mut product = [[0.0; 8]; 6];
    for column in 0..6 {
        let mut sum = [0.0; 8];
        for k in 0..6 {
            for row in 0..8 {
                sum[row] = arithmetic.add_product(left[k][row], right[column][k], sum[row]);
            }
        }
        product[column] = sum;
    }
    product
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn products_are_those_of_the_matrices() {
        let a = Matrix6::from_fn(|r, c| (r * 7 + c * 5) as f64 % 11.0 - 4.0);
        let k = Matrix6::from_fn(|r, c| (r * 3 + c * 8) as f64 % 7.0 - 3.0);
        let x = SVector::<f64, 6>::from_fn(|r, _| r as f64 - 2.5);
        assert!((product(&a, &x) - a * x).amax() < 1e-13);
        assert!((product_of_sizes(&a, &x) - a.abs() * x.abs()).amax() < 1e-13);
        assert!((matrix_product(&a, &k) - a * k).amax() < 1e-12);
        assert!((congruence(&a, &k, &k) - a.transpose() * k * k).amax() < 1e-11);
    }
}
