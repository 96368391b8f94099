//! Random symmetric matrices of blocks.

use std::sync::Arc;

use crossbrace::math::{BlockPattern, SymmetricMatrix};
use nalgebra::Matrix6;

/// Numbers that look random, the same in every run (xorshift, Marsaglia, J. Stat. Softw. 8 (2003)).
pub(super) struct Random(u64);

impl Random {
    pub(super) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    /// Between −1 and 1.
    pub(super) fn number(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }

    fn below(&mut self, end: usize) -> usize {
        ((self.number() + 1.0) / 2.0 * end as f64) as usize % end
    }

    /// So many blocks of up to six unknowns, in a ring with chords.
    pub(super) fn pattern(&mut self, blocks: usize) -> Arc<BlockPattern> {
        let sizes: Vec<usize> = (0..blocks).map(|_| [6, 6, 6, 5, 4, 3, 2, 1, 0][self.below(9)]).collect();
        self.pattern_of(&sizes)
    }

    fn pattern_of(&mut self, sizes: &[usize]) -> Arc<BlockPattern> {
        let n = sizes.len();
        let ring = (0..n).map(|block| (block, (block + 1) % n));
        let chords: Vec<(usize, usize)> = (0..n / 2).map(|_| (self.below(n), self.below(n))).collect();
        Arc::new(BlockPattern::new(sizes, ring.chain(chords)))
    }

    /// A matrix of a pattern: random blocks, on the diagonal what makes it positive definite if it
    /// is to be.
    pub(super) fn filled(&mut self, pattern: &Arc<BlockPattern>, definite: bool) -> SymmetricMatrix {
        let mut matrix = SymmetricMatrix::zero(pattern);
        let mut sums = vec![0.0; pattern.n_blocks()];
        for column in 0..pattern.n_blocks() {
            for &row in pattern.rows(column) {
                let (rows, columns) = (pattern.size(row), pattern.size(column));
                let mut block = Matrix6::zeros();
                for c in 0..columns {
                    for r in 0..rows {
                        block[(r, c)] = self.number();
                    }
                }
                if row == column {
                    block = (block + block.transpose()) * 0.5;
                }
                sums[row] += 6.0;
                sums[column] += 6.0;
                matrix.add(row, column, &block);
            }
        }
        if definite {
            for (block, sum) in sums.iter().enumerate() {
                let mut more = Matrix6::zeros();
                (0..pattern.size(block)).for_each(|at| more[(at, at)] = *sum);
                matrix.add(block, block, &more);
            }
        }
        matrix
    }

    pub(super) fn positive_definite(&mut self, blocks: usize) -> SymmetricMatrix {
        let pattern = self.pattern(blocks);
        self.filled(&pattern, true)
    }

    pub(super) fn symmetric(&mut self, blocks: usize) -> SymmetricMatrix {
        let pattern = self.pattern(blocks);
        self.filled(&pattern, false)
    }

    /// Entries that are tenths between −0.5 and 0.5, which cancel to round-off now and then.
    pub(super) fn of_tenths(&mut self, pattern: &Arc<BlockPattern>) -> SymmetricMatrix {
        let mut block = Matrix6::zeros();
        for column in 0..6 {
            for row in 0..=column {
                let value = (self.below(11) as f64 - 5.0) * 0.1;
                block[(row, column)] = value;
                block[(column, row)] = value;
            }
        }
        let mut matrix = SymmetricMatrix::zero(pattern);
        matrix.add(0, 0, &block);
        matrix
    }

    pub(super) fn of_sizes(&mut self, sizes: &[usize]) -> SymmetricMatrix {
        let pattern = if sizes.is_empty() { Arc::new(BlockPattern::new(&[], [])) } else { self.pattern_of(sizes) };
        self.filled(&pattern, true)
    }

    /// So many blocks that do not meet, ones on the diagonal and one other value.
    pub(super) fn diagonal(&mut self, blocks: usize, value: f64) -> SymmetricMatrix {
        let pattern = Arc::new(BlockPattern::new(&vec![6; blocks], []));
        let mut matrix = SymmetricMatrix::zero(&pattern);
        let other = self.below(blocks);
        for block in 0..blocks {
            let mut ones = Matrix6::identity();
            if block == other {
                ones[(4, 4)] = value;
            }
            matrix.add(block, block, &ones);
        }
        matrix
    }

    /// Takes from one entry of the diagonal what makes an eigenvalue negative.
    pub(super) fn make_indefinite(&mut self, matrix: &mut SymmetricMatrix) {
        let pattern = Arc::clone(matrix.pattern());
        let blocks: Vec<usize> = (0..pattern.n_blocks()).filter(|block| pattern.size(*block) > 0).collect();
        let block = blocks[self.below(blocks.len())];
        let at = self.below(pattern.size(block));
        let mut less = Matrix6::zeros();
        less[(at, at)] = -2.0 * matrix.diagonal_block(block)[(at, at)];
        matrix.add(block, block, &less);
    }
}
