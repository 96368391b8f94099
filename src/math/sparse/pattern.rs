//! Symmetric sparse matrices made of blocks.
//!
//! A block has at most six unknowns and is stored as six columns of six numbers; what a smaller
//! block does not fill is zero. Fixed sizes let the compiler unroll and widen every product.

use std::collections::BTreeSet;
use std::sync::Arc;

use nalgebra::{DMatrix, Matrix6};
use nalgebra_sparse::pattern::SparsityPattern;

/// Most unknowns of one block.
pub const BLOCK: usize = 6;

/// A block: `block[column][row]`.
pub type Block = [[f64; BLOCK]; BLOCK];

/// A block of zeros.
const ZERO: Block = [[0.0; BLOCK]; BLOCK];

/// Which blocks of a symmetric matrix are there: sizes of the block rows, and who meets whom.
///
/// Upper triangle by block columns; the unknowns of block `j` are `offset(j)..offset(j + 1)`.
#[derive(Debug, Clone, PartialEq)]
pub struct BlockPattern {
    offsets: Vec<usize>,
    /// For each block column the block rows at or above it, rising; the last is the column itself.
    upper: SparsityPattern,
}

impl BlockPattern {
    /// A pattern of blocks of these sizes in which these pairs meet.
    ///
    /// # Panics
    /// Where a size is above [`BLOCK`], or a pair names a block that is not there.
    pub fn new(sizes: &[usize], pairs: impl IntoIterator<Item = (usize, usize)>) -> Self {
        assert!(sizes.iter().all(|size| *size <= BLOCK), "a block has at most six unknowns");
        let n = sizes.len();
        let mut offsets = Vec::with_capacity(n + 1);
        offsets.push(0);
        for size in sizes {
            offsets.push(offsets[offsets.len() - 1] + size);
        }
        let mut rows: Vec<BTreeSet<usize>> = (0..n).map(|block| BTreeSet::from([block])).collect();
        for (one, other) in pairs {
            rows[one.max(other)].insert(one.min(other));
        }
        let mut starts = Vec::with_capacity(n + 1);
        starts.push(0);
        for rows in &rows {
            starts.push(starts[starts.len() - 1] + rows.len());
        }
        let indices = rows.into_iter().flatten().collect();
        let upper = SparsityPattern::try_from_offsets_and_indices(n, n, starts, indices)
            .expect("block rows are sorted and distinct, so the pattern is valid");
        Self { offsets, upper }
    }

    /// How many block rows there are.
    pub fn n_blocks(&self) -> usize {
        self.upper.major_dim()
    }

    /// How many unknowns there are.
    pub fn n_unknowns(&self) -> usize {
        self.offsets[self.n_blocks()]
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
        self.upper.lane(block)
    }

    /// Where each block column's rows begin in [`BlockPattern::indices`], and one end more.
    pub(super) fn starts(&self) -> &[usize] {
        self.upper.major_offsets()
    }

    /// The block rows of all block columns, one column after the other.
    pub(super) fn indices(&self) -> &[usize] {
        self.upper.minor_indices()
    }
}

/// The upper triangle of a symmetric matrix of a [`BlockPattern`].
#[derive(Debug, Clone)]
pub struct SymmetricMatrix {
    pattern: Arc<BlockPattern>,
    /// In the order of the pattern; of a block on the diagonal both triangles.
    blocks: Vec<Block>,
}

impl SymmetricMatrix {
    /// Zero everywhere.
    pub fn zero(pattern: &Arc<BlockPattern>) -> Self {
        Self { pattern: Arc::clone(pattern), blocks: vec![ZERO; pattern.indices().len()] }
    }

    /// Its pattern.
    pub fn pattern(&self) -> &Arc<BlockPattern> {
        &self.pattern
    }

    /// Stops where the matrix has another pattern than the one that was planned for.
    pub(super) fn must_have(&self, planned: &Arc<BlockPattern>) {
        let is_planned = Arc::ptr_eq(&self.pattern, planned) || self.pattern == *planned;
        assert!(is_planned, "a plan is for one pattern");
    }

    /// The blocks, in the order of [`BlockPattern::indices`].
    pub(super) fn blocks(&self) -> &[Block] {
        &self.blocks
    }

    /// How many unknowns there are.
    pub fn n(&self) -> usize {
        self.pattern.n_unknowns()
    }

    /// Adds a block at block row `row` and block column `column`. Away from the diagonal it is given
    /// once, and stands in both triangles. What is outside of the block's size is left out.
    ///
    /// # Panics
    /// Where the pattern has no such block.
    pub fn add(&mut self, row: usize, column: usize, block: &Matrix6<f64>) {
        if row > column {
            return self.add(column, row, &block.transpose());
        }
        let place = self.pattern.rows(column).binary_search(&row).expect("the pattern has this block");
        let sum = &mut self.blocks[self.pattern.starts()[column] + place];
        let (rows, columns) = (self.pattern.size(row), self.pattern.size(column));
        for (sum, column) in sum.iter_mut().zip(&block.data.0).take(columns) {
            for (sum, value) in sum.iter_mut().zip(column).take(rows) {
                *sum += value;
            }
        }
    }

    /// Adds another matrix of the same pattern, so many times.
    ///
    /// # Panics
    /// Where the other has another pattern.
    pub fn add_times(&mut self, other: &SymmetricMatrix, times: f64) {
        other.must_have(&self.pattern);
        for (sum, more) in self.blocks.iter_mut().flatten().flatten().zip(other.blocks.iter().flatten().flatten()) {
            *sum += times * more;
        }
    }

    /// The block on the diagonal at block row `row`.
    fn on_diagonal(&self, row: usize) -> &Block {
        &self.blocks[self.pattern.starts()[row + 1] - 1]
    }

    /// The diagonal.
    pub fn diagonal(&self) -> Vec<f64> {
        (0..self.pattern.n_blocks())
            .flat_map(|row| (0..self.pattern.size(row)).map(move |at| self.on_diagonal(row)[at][at]))
            .collect()
    }

    /// The block on the diagonal at block row `row`; ones on the diagonal where it has no unknowns.
    pub fn diagonal_block(&self, row: usize) -> Matrix6<f64> {
        let mut block = Matrix6::from_fn(|r, c| self.on_diagonal(row)[c][r]);
        for at in self.pattern.size(row)..BLOCK {
            block[(at, at)] = 1.0;
        }
        block
    }

    /// The whole matrix, both triangles.
    pub fn to_dense(&self) -> DMatrix<f64> {
        let mut dense = DMatrix::zeros(self.n(), self.n());
        for (row, column, block) in self.placed() {
            for c in 0..self.pattern.size(column) {
                for r in 0..self.pattern.size(row) {
                    let (at, other) = (self.pattern.offset(row) + r, self.pattern.offset(column) + c);
                    dense[(at, other)] = block[c][r];
                    dense[(other, at)] = block[c][r];
                }
            }
        }
        dense
    }

    /// Every block with its block row and block column, row at or above column.
    pub(super) fn placed(&self) -> impl Iterator<Item = (usize, usize, &Block)> {
        let places = (0..self.pattern.n_blocks())
            .flat_map(|column| self.pattern.rows(column).iter().map(move |row| (*row, column)));
        places.zip(&self.blocks).map(|((row, column), block)| (row, column, block))
    }

    /// The values of each block, from those of all unknowns.
    fn split(&self, x: &[f64], parts: &mut [[f64; BLOCK]]) {
        for (block, part) in parts.iter_mut().enumerate() {
            let of_block = &x[self.pattern.offset(block)..self.pattern.offset(block + 1)];
            part[..of_block.len()].copy_from_slice(of_block);
        }
    }

    /// The largest magnitude in the row of each unknown.
    pub(super) fn largest_in_rows(&self) -> Vec<f64> {
        let mut largest = vec![0.0_f64; self.n()];
        for (row, column, block) in self.placed() {
            for c in 0..self.pattern.size(column) {
                for r in 0..self.pattern.size(row) {
                    let (at, other) = (self.pattern.offset(row) + r, self.pattern.offset(column) + c);
                    largest[at] = largest[at].max(block[c][r].abs());
                    largest[other] = largest[other].max(block[c][r].abs());
                }
            }
        }
        largest
    }

    /// Largest column sum of magnitudes of D K D, D diagonal (the 1-norm).
    pub fn scaled_norm_1(&self, scale: &[f64]) -> f64 {
        let mut scales = vec![[0.0; BLOCK]; self.pattern.n_blocks()];
        self.split(scale, &mut scales);
        let mut sums = vec![[0.0; BLOCK]; self.pattern.n_blocks()];
        for (row, column, block) in self.placed() {
            for c in 0..BLOCK {
                for r in 0..BLOCK {
                    let magnitude = (block[c][r] * scales[row][r] * scales[column][c]).abs();
                    sums[column][c] += magnitude;
                    if row != column {
                        sums[row][r] += magnitude;
                    }
                }
            }
        }
        sums.into_iter().flatten().fold(0.0, f64::max)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blocks_added_in_either_triangle_give_one_symmetric_matrix() {
        let pattern = Arc::new(BlockPattern::new(&[2, 0, 1], [(2, 0)]));
        let mut k = SymmetricMatrix::zero(&pattern);
        let block = |entries: &[(usize, usize, f64)]| {
            let mut block = Matrix6::zeros();
            entries.iter().for_each(|(row, column, value)| block[(*row, *column)] = *value);
            block
        };
        k.add(0, 0, &block(&[(0, 0, 4.0), (0, 1, 1.0), (1, 0, 1.0), (1, 1, 3.0)]));
        k.add(2, 0, &block(&[(0, 0, 5.0), (0, 1, 6.0)]));
        k.add(2, 2, &block(&[(0, 0, 7.0)]));
        let x = DMatrix::from_column_slice(3, 1, &[1.0, -1.0, 2.0]);
        let f = DMatrix::from_column_slice(3, 1, &[20.0, -1.0, 13.0]);
        let (residual, size) = k.residual(&x, &f);
        assert_eq!(residual.as_slice(), [7.0, -11.0, 0.0]);
        assert_eq!(size.as_slice(), [35.0, 17.0, 38.0]);
        assert_eq!(k.diagonal(), [4.0, 3.0, 7.0]);
        assert_eq!(k.scaled_norm_1(&[1.0; 3]), 18.0);
        let mut expected = Matrix6::identity();
        expected.fixed_view_mut::<2, 2>(0, 0).copy_from(&nalgebra::Matrix2::new(4.0, 1.0, 1.0, 3.0));
        assert_eq!(k.diagonal_block(0), expected);
        assert_eq!(k.diagonal_block(1), Matrix6::identity());
    }
}
