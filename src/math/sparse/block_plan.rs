//! What the factorisation of a block matrix will do, before any number is known.
//!
//! With the order of elimination the places of the factor's blocks follow: eliminating a column
//! joins all blocks below its diagonal. The plan lists them, and for each the products that change
//! it, so that the work on numbers runs through lists without a question.
//!
//! Source: George and Liu (1981), Computer Solution of Large Sparse Positive Definite Systems,
//! ch. 5, from memory; Davis (2006), Direct Methods for Sparse Linear Systems, ch. 4, from memory.

use std::ops::Range;

use super::ordering::minimum_degree;
use super::pattern::BlockPattern;

/// One product L_ik (L_jk D_k)ᵀ that is taken from the block at row i and column j.
#[derive(Debug, Clone, Copy)]
pub(super) struct Product {
    /// Block below the diagonal at row i and column k.
    pub(super) left: u32,
    /// Block below the diagonal at row j and column k.
    pub(super) right: u32,
}

/// A block of the factor on or below the diagonal: where it comes from and what changes it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    /// The block of the matrix that it begins with, and whether that one is turned over.
    pub(super) source: Option<(u32, bool)>,
    /// Where its products end in the list; they begin where those of the place before it end.
    pub(super) products_end: u32,
}

/// Where the factor of a pattern has blocks.
#[derive(Debug)]
pub(super) struct Fill {
    /// Block of the matrix at each step of the elimination.
    pub(super) order: Vec<usize>,
    /// Where the blocks below the diagonal begin for each step, and one end more.
    starts: Vec<u32>,
    /// The step of the row of each block below the diagonal, rising in each column.
    pub(super) rows: Vec<u32>,
    /// The blocks of the matrix.
    matrix: MatrixColumns,
}

impl Fill {
    /// The fill of a pattern whose blocks are eliminated by approximate minimum degree.
    pub(super) fn of(pattern: &BlockPattern) -> Self {
        let order = minimum_degree(pattern);
        let mut step_of = vec![0; order.len()];
        for (step, &block) in order.iter().enumerate() {
            step_of[block] = step;
        }
        let matrix = below_the_diagonal(pattern, &step_of);
        let (starts, rows) = columns_of_factor(&matrix);
        Self { order, starts, rows, matrix }
    }

    /// The places of the blocks below the diagonal of a step.
    pub(super) fn below(&self, step: usize) -> Range<usize> {
        self.starts[step] as usize..self.starts[step + 1] as usize
    }

    /// How many products of blocks a factorisation takes.
    pub(super) fn n_products(&self) -> usize {
        (0..self.order.len()).map(|step| self.below(step).len()).map(|below| below * (below + 1) / 2).sum()
    }
}

/// The order of elimination and all that follows from it.
#[derive(Debug)]
pub(super) struct BlockPlan {
    /// Where the factor has blocks.
    pub(super) fill: Fill,
    /// For each step the block on the diagonal, then those below it.
    pub(super) places: Vec<Place>,
    /// The products of all places.
    pub(super) products: Vec<Product>,
}

impl BlockPlan {
    /// Plans for a pattern and its fill.
    pub(super) fn new(pattern: &BlockPattern, fill: Fill) -> Self {
        let n_products = fill.n_products();
        // The ends of the places' products are stored in 32 bits.
        index(n_products);
        let mut plan = Self { fill, places: Vec::new(), products: Vec::with_capacity(n_products) };
        plan.list_products(pattern);
        plan
    }

    /// Lists the places of each column and the products that change them.
    fn list_products(&mut self, pattern: &BlockPattern) {
        let n = self.fill.order.len();
        self.places.reserve(n + self.fill.rows.len());
        // Of each column j the columns k whose blocks meet it, with the place of block (j, k).
        let mut meeting: Vec<(u32, u32)> = vec![(NONE, NONE); self.fill.rows.len()];
        let mut first_meeting = vec![NONE; n];
        // Of each row the place in the column in hand.
        let mut place_of = vec![0_u32; n];
        let mut columns: Vec<(u32, u32)> = Vec::new();
        for step in 0..n {
            let below = self.fill.below(step);
            columns.clear();
            let mut next = first_meeting[step];
            while next != NONE {
                let (column, after) = meeting[next as usize];
                columns.push((column, next));
                next = after;
            }
            // Sums run in the order of the elimination, whatever the lists looked like.
            columns.sort_unstable();
            let first_place = self.places.len();
            let diagonal = pattern.starts()[self.fill.order[step] + 1] - 1;
            self.places.push(Place { source: Some((index(diagonal), false)), products_end: 0 });
            place_of[step] = index(first_place);
            for at in below.clone() {
                place_of[self.fill.rows[at] as usize] = index(first_place + 1 + at - below.start);
                self.places.push(Place { source: None, products_end: 0 });
            }
            for &(row, source, turned) in self.fill.matrix.column(step) {
                self.places[place_of[row as usize] as usize].source = Some((source, turned));
            }
            self.fill_products(first_place, &columns, &place_of);
            for at in below {
                let row = self.fill.rows[at] as usize;
                meeting[at] = (index(step), first_meeting[row]);
                first_meeting[row] = index(at);
            }
        }
    }

    /// The products of one column's places, place by place.
    fn fill_products(&mut self, first_place: usize, columns: &[(u32, u32)], place_of: &[u32]) {
        let mut counts = vec![0_u32; self.places.len() - first_place];
        for &(column, right) in columns {
            for left in right as usize..self.fill.below(column as usize).end {
                counts[place_of[self.fill.rows[left] as usize] as usize - first_place] += 1;
            }
        }
        let mut end = index(self.products.len());
        for (count, place) in counts.iter_mut().zip(&mut self.places[first_place..]) {
            let start = end;
            end += *count;
            place.products_end = end;
            *count = start;
        }
        self.products.resize(end as usize, Product { left: 0, right: 0 });
        for &(column, right) in columns {
            for left in right as usize..self.fill.below(column as usize).end {
                let next = &mut counts[place_of[self.fill.rows[left] as usize] as usize - first_place];
                self.products[*next as usize] = Product { left: index(left), right };
                *next += 1;
            }
        }
    }
}

/// No block.
const NONE: u32 = u32::MAX;

/// A place as it is stored.
fn index(place: usize) -> u32 {
    u32::try_from(place).expect("four thousand million blocks or products fit no memory")
}

/// The blocks of the matrix below the diagonal, column by column in the order of elimination.
#[derive(Debug)]
struct MatrixColumns {
    starts: Vec<u32>,
    /// Step of the row, place of the block in the pattern, and whether it is turned over.
    entries: Vec<(u32, u32, bool)>,
}

impl MatrixColumns {
    fn column(&self, step: usize) -> &[(u32, u32, bool)] {
        &self.entries[self.starts[step] as usize..self.starts[step + 1] as usize]
    }
}

/// Sorts the blocks of a pattern by the step at which their column is eliminated.
fn below_the_diagonal(pattern: &BlockPattern, step_of: &[usize]) -> MatrixColumns {
    let n = step_of.len();
    let mut placed = (0..n).flat_map(|column| pattern.rows(column).iter().map(move |&row| (row, column))).enumerate();
    let mut starts = vec![0_u32; n + 1];
    let mut found = Vec::with_capacity(pattern.indices().len());
    for (source, (row, column)) in &mut placed {
        if row == column {
            continue;
        }
        let (upper, here) = (step_of[row], step_of[column]);
        // Stored at `row` and `column`. In the factor the later step is the row: where that is the
        // column's, the block is turned over.
        let (step, later, turned) = if upper < here { (upper, here, true) } else { (here, upper, false) };
        starts[step + 1] += 1;
        found.push((step, (index(later), index(source), turned)));
    }
    for step in 0..n {
        starts[step + 1] += starts[step];
    }
    let mut next = starts.clone();
    let mut entries = vec![(0, 0, false); found.len()];
    for (step, entry) in found {
        entries[next[step] as usize] = entry;
        next[step] += 1;
    }
    MatrixColumns { starts, entries }
}

/// The rows of the factor's blocks below the diagonal: those of the matrix, and those of every
/// column whose first row below the diagonal is this one.
fn columns_of_factor(matrix: &MatrixColumns) -> (Vec<u32>, Vec<u32>) {
    let n = matrix.starts.len() - 1;
    let mut starts = Vec::with_capacity(n + 1);
    starts.push(0);
    let mut rows: Vec<u32> = Vec::with_capacity(4 * matrix.entries.len());
    let mut marked = vec![NONE; n];
    let mut first_child = vec![NONE; n];
    let mut next_child = vec![NONE; n];
    for step in 0..n {
        let start = rows.len();
        let here = index(step);
        marked[step] = here;
        for &(row, _, _) in matrix.column(step) {
            if marked[row as usize] != here {
                marked[row as usize] = here;
                rows.push(row);
            }
        }
        let mut child = first_child[step];
        while child != NONE {
            for at in starts[child as usize] as usize..starts[child as usize + 1] as usize {
                let row = rows[at];
                if marked[row as usize] != here {
                    marked[row as usize] = here;
                    rows.push(row);
                }
            }
            child = next_child[child as usize];
        }
        rows[start..].sort_unstable();
        starts.push(index(rows.len()));
        if let Some(&parent) = rows.get(start) {
            next_child[step] = first_child[parent as usize];
            first_child[parent as usize] = here;
        }
    }
    (starts, rows)
}
