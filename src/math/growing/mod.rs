//! Read-outs of a positive definite system that grows by parts of low rank, along a tree of subsets.
//!
//! A part i adds B_i C_i B_iᵀ to the matrix K and Q_i A_i to its right sides F. Of a set S of parts that
//! are there, a [`Table`] holds, one row a read-out and r_i rows B_iᵀ for each part,
//!
//! ```text
//! [ R K⁻¹ F | R K⁻¹ Q_j | R K⁻¹ B_j | … ]      for the parts j that may still come
//! ```
//!
//! and adding part i gives the table of S ∪ {i} from that of S alone, with H = B_iᵀ K⁻¹ B_i:
//!
//! ```text
//! G = C_i⁻¹ + H        s = G⁻¹ (rows of i)        new = old + (R K⁻¹ Q_i) A_i − (R K⁻¹ B_i) s
//! ```
//!
//! s are the forces in the part itself, and stand in its own rows from then on. Parts are only ever
//! added: taking one away again by the same formula would lose the digits that it had brought.
//!
//! Source: Sherman–Morrison–Woodbury, Golub and Van Loan (2013), Matrix Computations, 2.1.4, from memory.

mod step;
mod walk;

use std::ops::Range;

use nalgebra::DMatrix;

pub use walk::{Keep, Seen, Walk};

/// Rows that lie side by side in memory.
const ROWS: usize = 32;
/// So many rows of one column.
type Strip = [f64; ROWS];
const ZERO: Strip = [0.0; ROWS];

/// A part that may be added.
#[derive(Debug, Clone)]
pub struct GrowingPart {
    /// C, positive definite: r × r.
    pub stiffness: DMatrix<f64>,
    /// C⁻¹.
    pub flexibility: DMatrix<f64>,
    /// A: its loads, by the columns of Q, on each right side.
    pub loads: DMatrix<f64>,
    /// What is added to its own rows once it is there: r × right sides.
    pub offset: DMatrix<f64>,
}

impl GrowingPart {
    /// r.
    fn rank(&self) -> usize {
        self.stiffness.nrows()
    }

    /// Columns of Q and of B.
    fn columns(&self) -> usize {
        self.loads.nrows() + self.rank()
    }
}

/// The parts that may be added, in the order in which they are, and the shape of the tables.
#[derive(Debug, Clone)]
pub struct Growing {
    sides: usize,
    parts: Vec<GrowingPart>,
    /// First row of each part, and the end.
    rows: Vec<usize>,
    /// Of a table that is open from a part on: where its columns begin, counted from the right sides' end.
    starts: Vec<usize>,
}

/// The read-outs of one set of parts. What may still come are all parts from `open` on.
#[derive(Debug, Clone)]
pub struct Table {
    columns: usize,
    open: usize,
    /// Strips of all columns, panel after panel of rows.
    strips: Vec<Strip>,
}

impl Table {
    fn at(&self, row: usize, column: usize) -> f64 {
        self.strips[row / ROWS * self.columns + column][row % ROWS]
    }

    fn put(&mut self, row: usize, column: usize, value: f64) {
        self.strips[row / ROWS * self.columns + column][row % ROWS] = value;
    }

    /// A read-out under a right side.
    pub fn read(&self, row: usize, side: usize) -> f64 {
        self.at(row, side)
    }
}

impl Growing {
    /// A shape of so many read-outs and right sides, and these parts.
    ///
    /// # Panics
    /// Where a part's loads or offsets are not for so many right sides.
    pub fn new(readouts: usize, sides: usize, parts: Vec<GrowingPart>) -> Self {
        let (mut rows, mut starts) = (vec![readouts], vec![0]);
        for part in &parts {
            assert!(part.loads.ncols() == sides && part.offset.ncols() == sides, "a part acts under every right side");
            rows.push(rows[rows.len() - 1] + part.rank());
            starts.push(starts[starts.len() - 1] + part.columns());
        }
        Self { sides, parts, rows, starts }
    }

    /// How many parts there are.
    pub fn n_parts(&self) -> usize {
        self.parts.len()
    }

    /// The rows of a part, behind the read-outs.
    pub fn rows_of(&self, part: usize) -> Range<usize> {
        self.rows[part]..self.rows[part + 1]
    }

    /// How many columns a table has that is open from a part on.
    fn columns(&self, open: usize) -> usize {
        self.sides + self.starts[self.parts.len()] - self.starts[open]
    }

    fn panels(&self) -> usize {
        self.rows[self.parts.len()].div_ceil(ROWS)
    }

    /// A table from its values: rows of read-outs, then of parts; columns of right sides, then Q and B of
    /// each part from `open` on. A part that is there has its forces in its rows, the others B_iᵀ x.
    ///
    /// # Panics
    /// Where the values have another shape.
    pub fn table(&self, values: &DMatrix<f64>, open: usize) -> Table {
        let shape = (self.rows[self.parts.len()], self.columns(open));
        assert_eq!(values.shape(), shape, "a table has a row a read-out and a column a load");
        let mut table = self.empty(open);
        for (column, of_column) in values.column_iter().enumerate() {
            for (row, value) in of_column.iter().enumerate() {
                table.put(row, column, *value);
            }
        }
        table
    }

    fn empty(&self, open: usize) -> Table {
        let columns = self.columns(open);
        Table { columns, open, strips: vec![ZERO; self.panels() * columns] }
    }
}

#[cfg(test)]
mod tests {
    use std::ops::ControlFlow;

    use super::*;

    const SIDES: usize = 3;
    const RANKS: [usize; 4] = [1, 2, 3, 2];

    /// A system of six unknowns, read whole, and four parts of ranks 1 to 3.
    struct Dense {
        k: DMatrix<f64>,
        f: DMatrix<f64>,
        b: Vec<DMatrix<f64>>,
        q: Vec<DMatrix<f64>>,
        growing: Growing,
    }

    fn waves(rows: usize, columns: usize, seed: usize) -> DMatrix<f64> {
        DMatrix::from_fn(rows, columns, |row, column| ((row * 7 + column * 3 + seed * 11) as f64).sin())
    }

    fn dense() -> Dense {
        let half = waves(6, 6, 1);
        let parts = RANKS
            .iter()
            .enumerate()
            .map(|(at, rank)| {
                let stiffness = DMatrix::identity(*rank, *rank) * (at + 1) as f64;
                GrowingPart {
                    flexibility: DMatrix::identity(*rank, *rank) / (at + 1) as f64,
                    stiffness,
                    loads: waves(at % 3, SIDES, at),
                    offset: waves(*rank, SIDES, at + 5),
                }
            })
            .collect();
        Dense {
            k: &half * half.transpose() + DMatrix::identity(6, 6),
            f: waves(6, SIDES, 2),
            b: (0..4).map(|at| waves(6, RANKS[at], at + 20)).collect(),
            q: (0..4).map(|at| waves(6, at % 3, at + 30)).collect(),
            growing: Growing::new(6, SIDES, parts),
        }
    }

    impl Dense {
        /// The table of a set by its own inverse.
        fn table(&self, set: &[usize], open: usize) -> Table {
            let (mut k, mut f) = (self.k.clone(), self.f.clone());
            for &at in set {
                k += &self.b[at] * &self.growing.parts[at].stiffness * self.b[at].transpose();
                f += &self.q[at] * &self.growing.parts[at].loads;
            }
            let mut columns: Vec<_> = f.column_iter().map(nalgebra::Matrix::into_owned).collect();
            for at in open..4 {
                columns.extend(self.q[at].column_iter().map(nalgebra::Matrix::into_owned));
                columns.extend(self.b[at].column_iter().map(nalgebra::Matrix::into_owned));
            }
            let x = k.try_inverse().unwrap() * DMatrix::from_columns(&columns);
            let mut values = DMatrix::zeros(6 + RANKS.iter().sum::<usize>(), x.ncols());
            values.rows_mut(0, 6).copy_from(&x);
            for (at, rank) in RANKS.iter().enumerate() {
                let mut own = self.b[at].tr_mul(&x);
                if set.contains(&at) {
                    own = &self.growing.parts[at].stiffness * own;
                    let mut sides = own.columns_mut(0, SIDES);
                    sides += &self.growing.parts[at].offset;
                }
                values.rows_mut(self.growing.rows[at], *rank).copy_from(&own);
            }
            self.growing.table(&values, open)
        }

        #[expect(clippy::type_complexity, reason = "two closures, which have no names")]
        fn walk<'w>(
            &'w self,
            root: Option<&'w Table>,
            keep: Keep,
        ) -> Walk<'w, impl Fn(&[usize], usize) -> Option<Table> + 'w, impl Fn(&[usize]) -> bool> {
            let afresh = |set: &[usize], open: usize| Some(self.table(set, open));
            Walk { growing: &self.growing, root, afresh, allows: |_: &[usize]| true, most: 4, keep }
        }
    }

    fn assert_is_that_of(dense: &Dense, set: &[usize], seen: Seen<'_>) {
        let own = dense.table(set, 4);
        for row in 0..dense.growing.rows[4] {
            let expected: Vec<f64> = (0..SIDES).map(|side| own.read(row, side)).collect();
            match seen {
                Seen::Table(table) => {
                    for (side, expected) in expected.iter().enumerate() {
                        assert!((table.read(row, side) - expected).abs() < 1e-13, "{set:?} {row} {side}");
                    }
                }
                Seen::Maxima(maxima) => {
                    let most = expected.iter().fold(0.0, |most: f64, value| most.max(value.abs()));
                    assert!((maxima[row] - most).abs() < 1e-13, "{set:?} {row}");
                }
                Seen::Nothing => panic!("{set:?} stands"),
            }
        }
    }

    #[test]
    fn every_subset_has_the_read_outs_that_its_own_inverse_gives() {
        let dense = dense();
        let root = dense.table(&[], 0);
        for (root, keep) in
            [(Some(&root), Keep::All), (Some(&root), Keep::Maxima), (None, Keep::All), (None, Keep::Maxima)]
        {
            let mut sets = Vec::new();
            let walked = dense.walk(root, keep).each(&[], 0, &mut |set, seen| {
                if root.is_some() || !set.is_empty() {
                    assert_is_that_of(&dense, set, seen);
                }
                sets.push(set.to_vec());
                ControlFlow::Continue(())
            });
            assert!(walked.is_continue());
            sets.sort();
            sets.dedup();
            assert_eq!(sets.len(), 16);
        }
    }

    #[test]
    fn a_part_that_stiffens_beyond_the_digits_is_made_afresh() {
        let mut dense = dense();
        let stiff = &mut dense.growing.parts[2];
        (stiff.stiffness, stiff.flexibility) = (&stiff.stiffness * 1e9, &stiff.flexibility * 1e-9);
        let root = dense.table(&[], 0);
        let afresh = std::cell::RefCell::new(Vec::new());
        let made = |set: &[usize], open: usize| {
            afresh.borrow_mut().push(set.to_vec());
            Some(dense.table(set, open))
        };
        let allows = |_: &[usize]| true;
        let walk = Walk { growing: &dense.growing, root: Some(&root), afresh: made, allows, most: 4, keep: Keep::All };
        let _ = walk.each(&[], 0, &mut |_, _| ControlFlow::Continue(()));
        let expected = [vec![0, 1, 2], vec![0, 2], vec![1, 2], vec![2]];
        assert_eq!(*afresh.borrow(), expected);
    }

    #[test]
    fn sets_that_may_not_be_and_all_that_hold_them_are_passed_over() {
        let dense = dense();
        let root = dense.table(&[], 0);
        let afresh = |_: &[usize], _: usize| -> Option<Table> { panic!("every part can be added") };
        let allows = |set: &[usize]| !(set.contains(&0) && set.contains(&2));
        for keep in [Keep::All, Keep::Maxima] {
            let walk = Walk { growing: &dense.growing, root: Some(&root), afresh, allows, most: 2, keep };
            let mut sets = Vec::new();
            let _ = walk.each(&[], 0, &mut |set, seen| {
                assert_is_that_of(&dense, set, seen);
                sets.push(set.to_vec());
                ControlFlow::Continue(())
            });
            let pairs = [vec![0, 1], vec![0, 3], vec![1, 2], vec![1, 3], vec![2, 3]];
            assert_eq!(sets.iter().filter(|set| set.len() == 2).cloned().collect::<Vec<_>>(), pairs);
            assert_eq!(sets.len(), 10);
        }
    }
}
