//! Some columns of a matrix of unknowns, block by block, so that the work on them runs side by side.

use std::ops::Range;

use nalgebra::DMatrix;

use super::pattern::{BLOCK, BlockPattern};

/// The rows of one block for several columns: `panel[row][column]`.
pub(super) type Panel<const COLUMNS: usize> = [[f64; COLUMNS]; BLOCK];

/// Columns of a wide panel.
pub(super) const WIDE: usize = 8;
/// Columns of a narrow panel, for what is left over.
pub(super) const NARROW: usize = 4;

/// Columns that go into one panel, as wide as there are columns left from `first` on.
pub(super) fn width(first: usize, columns: usize) -> usize {
    if columns - first > NARROW { WIDE } else { NARROW }
}

/// The panels of the blocks in an order, filled from some columns; what they do not fill is zero.
#[inline(always)]
pub(super) fn gather<const COLUMNS: usize>(
    pattern: &BlockPattern,
    order: impl Iterator<Item = usize>,
    from: &DMatrix<f64>,
    columns: Range<usize>,
) -> Vec<Panel<COLUMNS>> {
    let rows = from.nrows();
    let values = &from.as_slice()[columns.start * rows..columns.end * rows];
    order
        .map(|block| {
            let mut panel = [[0.0; COLUMNS]; BLOCK];
            let of_block = pattern.offset(block)..pattern.offset(block + 1);
            for (place, column) in values.chunks_exact(rows.max(1)).enumerate() {
                for (row, value) in panel.iter_mut().zip(&column[of_block.clone()]) {
                    row[place] = *value;
                }
            }
            panel
        })
        .collect()
}

/// Puts panels back into the columns that they were filled from.
#[inline(always)]
pub(super) fn scatter<const COLUMNS: usize>(
    pattern: &BlockPattern,
    order: impl Iterator<Item = usize>,
    panels: &[Panel<COLUMNS>],
    to: &mut DMatrix<f64>,
    columns: Range<usize>,
) {
    let rows = to.nrows();
    let values = &mut to.as_mut_slice()[columns.start * rows..columns.end * rows];
    for (block, panel) in order.zip(panels) {
        let of_block = pattern.offset(block)..pattern.offset(block + 1);
        for (place, column) in values.chunks_exact_mut(rows.max(1)).enumerate() {
            for (row, value) in panel.iter().zip(&mut column[of_block.clone()]) {
                *value = row[place];
            }
        }
    }
}
