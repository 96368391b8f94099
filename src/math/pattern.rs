//! Symmetric sparse matrices made of blocks, one block row a rigid part.

use std::collections::BTreeSet;

use nalgebra::{DMatrix, DMatrixView};
use nalgebra_sparse::CscMatrix;
use nalgebra_sparse::pattern::SparsityPattern;

/// Which blocks of a symmetric matrix are there: sizes of the block rows, and who meets whom.
///
/// Upper triangle by block columns; the unknowns of block `j` are `offset(j)..offset(j + 1)`.
#[derive(Debug, Clone, PartialEq)]
pub struct BlockPattern {
    offsets: Vec<usize>,
    /// For each block column the block rows at or above it, rising; the last is the column itself.
    rows: Vec<Vec<usize>>,
}

impl BlockPattern {
    /// A pattern of blocks of these sizes in which these pairs meet.
    pub fn new(sizes: &[usize], pairs: impl IntoIterator<Item = (usize, usize)>) -> Self {
        let mut offsets = Vec::with_capacity(sizes.len() + 1);
        offsets.push(0);
        for size in sizes {
            offsets.push(offsets[offsets.len() - 1] + size);
        }
        let mut rows: Vec<BTreeSet<usize>> = (0..sizes.len()).map(|block| BTreeSet::from([block])).collect();
        for (one, other) in pairs {
            rows[one.max(other)].insert(one.min(other));
        }
        Self { offsets, rows: rows.into_iter().map(|rows| rows.into_iter().collect()).collect() }
    }

    /// How many block rows there are.
    pub fn n_blocks(&self) -> usize {
        self.rows.len()
    }

    /// How many unknowns there are.
    pub fn n_unknowns(&self) -> usize {
        self.offsets[self.rows.len()]
    }

    /// First unknown of a block.
    pub fn offset(&self, block: usize) -> usize {
        self.offsets[block]
    }

    /// How many unknowns a block has.
    pub fn size(&self, block: usize) -> usize {
        self.offsets[block + 1] - self.offsets[block]
    }

    /// The block rows at or above a block column, rising.
    pub fn rows(&self, block: usize) -> &[usize] {
        &self.rows[block]
    }

    fn scalar_pattern(&self) -> SparsityPattern {
        let mut starts = vec![0];
        let mut indices = Vec::new();
        for (column, rows) in self.rows.iter().enumerate() {
            for unknown in self.offsets[column]..self.offsets[column + 1] {
                for &row in rows {
                    let end = if row == column { unknown + 1 } else { self.offsets[row + 1] };
                    indices.extend(self.offsets[row]..end);
                }
                starts.push(indices.len());
            }
        }
        let n = self.n_unknowns();
        SparsityPattern::try_from_offsets_and_indices(n, n, starts, indices)
            .expect("block rows are sorted and distinct, so the pattern is valid")
    }
}

/// The upper triangle of a symmetric matrix of a [`BlockPattern`].
#[derive(Debug, Clone)]
pub struct SymmetricMatrix {
    upper: CscMatrix<f64>,
}

impl SymmetricMatrix {
    /// Zero everywhere.
    pub fn zero(pattern: &BlockPattern) -> Self {
        let scalar = pattern.scalar_pattern();
        let values = vec![0.0; scalar.nnz()];
        let upper =
            CscMatrix::try_from_pattern_and_values(scalar, values).expect("as many values as the pattern has places");
        Self { upper }
    }

    /// The upper triangle, diagonal included.
    pub fn upper(&self) -> &CscMatrix<f64> {
        &self.upper
    }

    /// How many unknowns there are.
    pub fn n(&self) -> usize {
        self.upper.ncols()
    }

    /// Adds a block at block row `row` and block column `column`, given once for both triangles.
    ///
    /// # Panics
    /// Where the block has not the size of its place.
    pub fn add(&mut self, pattern: &BlockPattern, row: usize, column: usize, block: DMatrixView<'_, f64>) {
        if row > column {
            return self.add(pattern, column, row, block.transpose().as_view());
        }
        assert_eq!(block.shape(), (pattern.size(row), pattern.size(column)), "a block has the size of its place");
        let at = pattern.rows[column]
            .iter()
            .take_while(|&&above| above < row)
            .map(|&above| pattern.size(above))
            .sum::<usize>();
        let first = pattern.offset(column);
        let starts: Vec<usize> = (0..block.ncols()).map(|c| self.upper.col_offsets()[first + c]).collect();
        let values = self.upper.values_mut();
        for (c, start) in starts.into_iter().enumerate() {
            let end = if row == column { c + 1 } else { block.nrows() };
            for r in 0..end {
                values[start + at + r] += block[(r, c)];
            }
        }
    }

    /// The diagonal.
    pub fn diagonal(&self) -> Vec<f64> {
        (0..self.n())
            .map(|column| {
                let end = self.upper.col_offsets()[column + 1];
                self.upper.values()[end - 1]
            })
            .collect()
    }

    /// The block on the diagonal at block row `row`, both triangles.
    pub fn diagonal_block(&self, pattern: &BlockPattern, row: usize) -> DMatrix<f64> {
        let (first, size) = (pattern.offset(row), pattern.size(row));
        let in_upper = |above: usize, column: usize| {
            let end = self.upper.col_offsets()[first + column + 1];
            self.upper.values()[end - 1 - (column - above)]
        };
        DMatrix::from_fn(size, size, |r, c| in_upper(r.min(c), r.max(c)))
    }

    /// K x.
    pub fn times(&self, x: &DMatrix<f64>) -> DMatrix<f64> {
        let mut product = DMatrix::zeros(self.n(), x.ncols());
        for right in 0..x.ncols() {
            for (row, column, value) in self.upper.triplet_iter() {
                product[(row, right)] += value * x[(column, right)];
                if row != column {
                    product[(column, right)] += value * x[(row, right)];
                }
            }
        }
        product
    }

    /// |K| |x|, entry by entry.
    pub fn magnitudes_times(&self, x: &DMatrix<f64>) -> DMatrix<f64> {
        let mut product = DMatrix::zeros(self.n(), x.ncols());
        for right in 0..x.ncols() {
            for (row, column, value) in self.upper.triplet_iter() {
                product[(row, right)] += (value * x[(column, right)]).abs();
                if row != column {
                    product[(column, right)] += (value * x[(row, right)]).abs();
                }
            }
        }
        product
    }

    /// Largest column sum of magnitudes of D K D, D diagonal (the 1-norm).
    pub fn scaled_norm_1(&self, scale: &[f64]) -> f64 {
        let mut sums = vec![0.0; self.n()];
        for (row, column, value) in self.upper.triplet_iter() {
            let magnitude = (value * scale[row] * scale[column]).abs();
            sums[column] += magnitude;
            if row != column {
                sums[row] += magnitude;
            }
        }
        sums.into_iter().fold(0.0, f64::max)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blocks_added_in_either_triangle_give_one_symmetric_matrix() {
        let pattern = BlockPattern::new(&[2, 0, 1], [(2, 0)]);
        let mut k = SymmetricMatrix::zero(&pattern);
        k.add(&pattern, 0, 0, DMatrix::from_row_slice(2, 2, &[4.0, 1.0, 1.0, 3.0]).as_view());
        k.add(&pattern, 2, 0, DMatrix::from_row_slice(1, 2, &[5.0, 6.0]).as_view());
        k.add(&pattern, 2, 2, DMatrix::from_row_slice(1, 1, &[7.0]).as_view());
        let x = DMatrix::from_column_slice(3, 1, &[1.0, -1.0, 2.0]);
        assert_eq!(k.times(&x).as_slice(), [13.0, 10.0, 13.0]);
        assert_eq!(k.magnitudes_times(&x).as_slice(), [15.0, 16.0, 25.0]);
        assert_eq!(k.diagonal(), [4.0, 3.0, 7.0]);
        assert_eq!(k.scaled_norm_1(&[1.0; 3]), 18.0);
        assert_eq!(k.diagonal_block(&pattern, 0), DMatrix::from_row_slice(2, 2, &[4.0, 1.0, 1.0, 3.0]));
        assert_eq!(k.diagonal_block(&pattern, 2), DMatrix::from_element(1, 1, 7.0));
    }
}
