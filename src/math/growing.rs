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

use std::ops::{ControlFlow, Range};

use nalgebra::DMatrix;
use pulp::{Arch, Simd, WithSimd};

/// Rows that lie side by side in memory.
const ROWS: usize = 16;
/// So many rows of one column.
type Strip = [f64; ROWS];
const ZERO: Strip = [0.0; ROWS];

/// A part that makes the system stiffer in a direction by more than this many times costs so many digits
/// that the table is made afresh.
const TOO_STIFF: f64 = 1e7;

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

/// What a walk shows of a set of parts.
#[derive(Debug, Clone, Copy)]
pub enum Seen<'t> {
    /// All read-outs under all right sides.
    Table(&'t Table),
    /// The largest magnitude of each read-out under any right side.
    Maxima(&'t [f64]),
    /// The system does not stand with these parts alone, or hardly, and has no answer here.
    Nothing,
}

/// What a walk keeps of each set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keep {
    /// Everything.
    All,
    /// The largest magnitude of each row; quicker, since most sets are never written down.
    Maxima,
}

/// Where a walk goes, and what makes a table where none can be had from that of a smaller set.
pub struct Walk<'w, F, A> {
    /// The shape.
    pub growing: &'w Growing,
    /// The table without any part; `None` where the system does not stand so.
    pub root: Option<&'w Table>,
    /// The table of a set of parts, open from a part on; `None` where it does not stand.
    pub afresh: F,
    /// Whether a set may be; where it may not, its supersets may not either.
    pub allows: A,
    /// Most parts of a set.
    pub most: usize,
    /// What is kept.
    pub keep: Keep,
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

/// The arrays that one step works in, kept from step to step.
#[derive(Debug, Default)]
struct Scratch {
    /// G and then its factor L, by rows.
    g: Vec<f64>,
    /// The multiples of the part's columns that go into each new column, by rows.
    times: Vec<f64>,
    /// The part's own rows under the right sides and in the open columns, by rows.
    own: Vec<f64>,
    /// The largest magnitude of each row.
    maxima: Vec<f64>,
}

/// One part added to a table.
struct Step<'a> {
    growing: &'a Growing,
    part: usize,
    from: &'a Table,
    /// `None`: only the maxima are wanted.
    to: Option<&'a mut Table>,
    wants_maxima: bool,
    scratch: &'a mut Scratch,
}

impl WithSimd for Step<'_> {
    type Output = bool;

    #[inline(always)]
    fn with_simd<S: Simd>(self, simd: S) -> bool {
        // As many columns side by side as there are registers for, with a strip of the part and one multiple.
        match S::F64_LANES {
            8 => self.run::<S, 2, 10>(simd),
            4 => self.run::<S, 4, 2>(simd),
            2 => self.run::<S, 8, 1>(simd),
            _ => self.run::<pulp::Scalar, ROWS, 1>(pulp::Scalar::new()),
        }
    }
}

impl Step<'_> {
    /// Adds the part; `false` where too many digits would go.
    #[inline(always)]
    fn run<S: Simd, const STRIPS: usize, const TILE: usize>(self, simd: S) -> bool {
        let Step { growing, part, from, mut to, wants_maxima, scratch } = self;
        let of_part = &growing.parts[part];
        let (q, r, sides) = (of_part.loads.nrows(), of_part.rank(), growing.sides);
        let first = sides + growing.starts[part] - growing.starts[from.open];
        let wide = to.as_ref().map_or(sides, |to| to.columns);
        let open = wide - sides;
        // The columns that stay open are the last.
        let (own_end, after) = (first + q + r, from.columns - open);
        if !factor_own(growing, part, from, first + q, scratch) {
            return false;
        }
        // The part's own rows: under the right sides with its loads on, and in the open columns.
        scratch.own.clear();
        for row in growing.rows_of(part) {
            let own = |column: usize| from.at(row, column);
            scratch.own.extend(
                (0..sides).map(|side| {
                    (0..q).fold(own(side), |sum, load| sum + own(first + load) * of_part.loads[(load, side)])
                }),
            );
            scratch.own.extend((0..open).map(|column| own(after + column)));
        }
        solve_own(&scratch.g, r, wide, &mut scratch.own);
        scratch.times.clear();
        for load in 0..q {
            scratch.times.extend((0..sides).map(|side| of_part.loads[(load, side)]));
            scratch.times.extend(std::iter::repeat_n(0.0, open));
        }
        scratch.times.extend(scratch.own.iter().map(|value| -value));
        if wants_maxima {
            scratch.maxima.resize(growing.panels() * ROWS, 0.0);
        }
        for panel in 0..growing.panels() {
            let from = &from.strips[panel * from.columns..][..from.columns];
            let mut most = [simd.splat_f64s(0.0); STRIPS];
            let (to_sides, to_open) = match &mut to {
                Some(to) => {
                    let (sides, open) = to.strips[panel * wide..][..wide].split_at_mut(sides);
                    (Some(sides), Some(open))
                }
                None => (None, None),
            };
            let into = Into { to: to_sides, most: wants_maxima.then_some(&mut most) };
            combine::<S, STRIPS, TILE>(simd, &from[..sides], &from[first..own_end], &scratch.times, wide, 0, into);
            if let Some(to_open) = to_open {
                let into = Into { to: Some(to_open), most: None };
                let (columns, times) = (&from[first + q..own_end], &scratch.times[q * wide..]);
                combine::<S, STRIPS, TILE>(simd, &from[after..], columns, times, wide, sides, into);
            }
            if wants_maxima {
                let target: &mut Strip =
                    (&mut scratch.maxima[panel * ROWS..][..ROWS]).try_into().expect("a strip has its rows");
                S::as_mut_simd_f64s(target).0.copy_from_slice(&most);
            }
        }
        // What the formula leaves in the part's own rows is a difference; its forces are not.
        for (at, row) in growing.rows_of(part).enumerate() {
            let own = &mut scratch.own[at * wide..][..wide];
            for (side, value) in own[..sides].iter_mut().enumerate() {
                *value += of_part.offset[(at, side)];
            }
            if let Some(to) = &mut to {
                own.iter().enumerate().for_each(|(column, value)| to.put(row, column, *value));
            }
            if wants_maxima {
                scratch.maxima[row] = own[..sides].iter().fold(0.0, |most, value| f64::max(most, value.abs()));
            }
        }
        true
    }
}

/// Factorises G of a part; `false` where it is not positive or stiffens too much.
#[inline(always)]
fn factor_own(growing: &Growing, part: usize, from: &Table, column: usize, scratch: &mut Scratch) -> bool {
    let of_part = &growing.parts[part];
    let (r, first) = (of_part.rank(), growing.rows[part]);
    let g = &mut scratch.g;
    g.clear();
    g.resize(r * r, 0.0);
    let mut stiffer = 1.0;
    for row in 0..r {
        for other in 0..=row {
            let h = 0.5 * (from.at(first + row, column + other) + from.at(first + other, column + row));
            let twice = if row == other { 1.0 } else { 2.0 };
            stiffer += twice * of_part.stiffness[(row, other)] * h;
            g[row * r + other] = of_part.flexibility[(row, other)] + h;
        }
    }
    if stiffer.is_nan() || stiffer >= TOO_STIFF {
        return false;
    }
    for k in 0..r {
        let pivot = (0..k).fold(g[k * r + k], |sum, j| sum - g[k * r + j] * g[k * r + j]);
        if pivot.is_nan() || pivot <= 0.0 {
            return false;
        }
        // The inverse of the pivot's root is kept in its place.
        let inverse = pivot.sqrt().recip();
        g[k * r + k] = inverse;
        for row in k + 1..r {
            let sum = (0..k).fold(g[row * r + k], |sum, j| sum - g[row * r + j] * g[k * r + j]);
            g[row * r + k] = sum * inverse;
        }
    }
    true
}

/// G⁻¹ of rows of so many columns, in place.
#[inline(always)]
fn solve_own(l: &[f64], r: usize, wide: usize, own: &mut [f64]) {
    for row in 0..r {
        let (above, below) = own.split_at_mut(row * wide);
        let this = &mut below[..wide];
        for k in 0..row {
            subtract(this, l[row * r + k], &above[k * wide..][..wide]);
        }
        let inverse = l[row * r + row];
        this.iter_mut().for_each(|value| *value *= inverse);
    }
    for row in (0..r).rev() {
        let (above, below) = own.split_at_mut((row + 1) * wide);
        let this = &mut above[row * wide..];
        for k in row + 1..r {
            subtract(this, l[k * r + row], &below[(k - row - 1) * wide..][..wide]);
        }
        let inverse = l[row * r + row];
        this.iter_mut().for_each(|value| *value *= inverse);
    }
}

#[inline(always)]
fn subtract(from: &mut [f64], times: f64, what: &[f64]) {
    for (value, less) in from.iter_mut().zip(what) {
        *value -= times * less;
    }
}

/// Where combined columns go.
struct Into<'a, V, const STRIPS: usize> {
    to: Option<&'a mut [Strip]>,
    most: Option<&'a mut [V; STRIPS]>,
}

/// `from` plus the columns `parts`, each so many times: `times[k · wide + first + column]`.
#[inline(always)]
fn combine<S: Simd, const STRIPS: usize, const TILE: usize>(
    simd: S,
    from: &[Strip],
    parts: &[Strip],
    times: &[f64],
    wide: usize,
    first: usize,
    mut into: Into<'_, S::f64s, STRIPS>,
) {
    let mut at = 0;
    while at < from.len() {
        let left = (from.len() - at).min(TILE);
        let place = (at, first + at);
        at += match left {
            10.. => tile::<S, STRIPS, 10>(simd, from, parts, times, wide, place, &mut into),
            5.. => tile::<S, STRIPS, 5>(simd, from, parts, times, wide, place, &mut into),
            4 => tile::<S, STRIPS, 4>(simd, from, parts, times, wide, place, &mut into),
            2.. => tile::<S, STRIPS, 2>(simd, from, parts, times, wide, place, &mut into),
            _ => tile::<S, STRIPS, 1>(simd, from, parts, times, wide, place, &mut into),
        };
    }
}

/// Some columns; how many.
#[inline(always)]
fn tile<S: Simd, const STRIPS: usize, const COLUMNS: usize>(
    simd: S,
    from: &[Strip],
    parts: &[Strip],
    times: &[f64],
    wide: usize,
    (at, place): (usize, usize),
    into: &mut Into<'_, S::f64s, STRIPS>,
) -> usize {
    let load = |strip: &Strip| -> [S::f64s; STRIPS] {
        let whole = S::as_simd_f64s(strip).0;
        std::array::from_fn(|part| whole[part])
    };
    let from: &[Strip; COLUMNS] = from[at..at + COLUMNS].try_into().expect("a tile is within its columns");
    let mut sums: [[S::f64s; STRIPS]; COLUMNS] = std::array::from_fn(|column| load(&from[column]));
    for (part, times) in parts.iter().zip(times.chunks_exact(wide)) {
        let part = load(part);
        let times: &[f64; COLUMNS] = times[place..place + COLUMNS].try_into().expect("a tile is within its columns");
        for column in 0..COLUMNS {
            let times = simd.splat_f64s(times[column]);
            for strip in 0..STRIPS {
                sums[column][strip] = simd.mul_add_e_f64s(part[strip], times, sums[column][strip]);
            }
        }
    }
    if let Some(most) = &mut into.most {
        for sum in &sums {
            for strip in 0..STRIPS {
                most[strip] = simd.max_f64s(most[strip], simd.abs_f64s(sum[strip]));
            }
        }
    }
    if let Some(to) = &mut into.to {
        for (to, sum) in to[at..at + COLUMNS].iter_mut().zip(&sums) {
            S::as_mut_simd_f64s(to).0.copy_from_slice(sum);
        }
    }
    COLUMNS
}

impl<F: Fn(&[usize], usize) -> Option<Table>, A: Fn(&[usize]) -> bool> Walk<'_, F, A> {
    /// Shows every set that may be, of all of `with` and any parts from `from` on, once, in the order of words in a
    /// dictionary. Ends early where it is told to.
    ///
    /// # Panics
    /// Where `with` is not rising, or reaches beyond `from`.
    pub fn each(
        &self,
        with: &[usize],
        from: usize,
        see: &mut impl FnMut(&[usize], Seen<'_>) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        assert!(with.windows(2).all(|two| two[0] < two[1]), "parts are named in their order");
        assert!(with.iter().all(|part| *part < from), "parts that are there come before those that may");
        let mut levels = Levels { tables: Vec::new(), scratch: Scratch::default() };
        levels.tables.resize_with(self.growing.n_parts() + 1, || None);
        let mut set: Vec<usize> = Vec::with_capacity(self.growing.n_parts());
        if with.len() > self.most || !(self.allows)(with) {
            return ControlFlow::Continue(());
        }
        let table = self.table_of(with);
        set.extend_from_slice(with);
        let maxima = table.as_ref().map(|table| maxima(self.growing, table));
        match (&table, &maxima, self.keep) {
            (Some(table), _, Keep::All) => see(&set, Seen::Table(table))?,
            (_, Some(maxima), Keep::Maxima) => see(&set, Seen::Maxima(maxima))?,
            _ => see(&set, Seen::Nothing)?,
        }
        levels.tables[0] = table;
        self.below(0, &mut set, from, &mut levels, see)
    }

    /// All sets that add to the one of a level parts from `from` on.
    fn below(
        &self,
        level: usize,
        set: &mut Vec<usize>,
        from: usize,
        levels: &mut Levels,
        see: &mut impl FnMut(&[usize], Seen<'_>) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        let n = self.growing.n_parts();
        for part in from..n {
            if set.len() == self.most {
                break;
            }
            set.push(part);
            if !(self.allows)(set) {
                set.pop();
                continue;
            }
            // What is not added to keeps no columns open.
            let open = if set.len() == self.most { n } else { part + 1 };
            let is_last = open == n;
            let (parents, children) = levels.tables.split_at_mut(level + 1);
            let (parent, child) = (parents[level].as_ref(), &mut children[0]);
            let wants_maxima = self.keep == Keep::Maxima;
            let only_maxima = is_last && wants_maxima;
            let done = parent.is_some_and(|from| {
                let to = (!only_maxima).then(|| reused(child, self.growing, open));
                let scratch = &mut levels.scratch;
                Arch::new().dispatch(Step { growing: self.growing, part, from, to, wants_maxima, scratch })
            });
            if !done {
                *child = (self.afresh)(set, open);
                if let (Some(table), true) = (&child, wants_maxima) {
                    levels.scratch.maxima = maxima(self.growing, table);
                }
            }
            let seen = match child {
                _ if wants_maxima && (done || child.is_some()) => Seen::Maxima(&levels.scratch.maxima),
                Some(table) => Seen::Table(table),
                None => Seen::Nothing,
            };
            see(set, seen)?;
            if !is_last {
                self.below(level + 1, set, part + 1, levels, see)?;
            }
            set.pop();
        }
        ControlFlow::Continue(())
    }

    /// The table of one set, its parts added one by one.
    pub fn table_of(&self, set: &[usize]) -> Option<Table> {
        let mut scratch = Scratch::default();
        (1..=set.len()).fold(self.root.cloned(), |table, count| self.grown(table.as_ref(), &set[..count], &mut scratch))
    }

    /// The table of a set from that without its last part, or afresh.
    fn grown(&self, from: Option<&Table>, set: &[usize], scratch: &mut Scratch) -> Option<Table> {
        let part = *set.last()?;
        if let Some(from) = from {
            let mut to = self.growing.empty(part + 1);
            let step = Step { growing: self.growing, part, from, to: Some(&mut to), wants_maxima: false, scratch };
            if Arch::new().dispatch(step) {
                return Some(to);
            }
        }
        (self.afresh)(set, part + 1)
    }
}

/// One table for each size of set, kept from set to set.
struct Levels {
    tables: Vec<Option<Table>>,
    scratch: Scratch,
}

/// A table to be overwritten, open from a part on.
fn reused<'t>(table: &'t mut Option<Table>, growing: &Growing, open: usize) -> &'t mut Table {
    let columns = growing.columns(open);
    let table = table.get_or_insert_with(|| Table { columns, open, strips: Vec::new() });
    (table.columns, table.open) = (columns, open);
    // Only ever longer: what is beyond its columns is not looked at.
    if table.strips.len() < growing.panels() * columns {
        table.strips.resize(growing.panels() * columns, ZERO);
    }
    table
}

/// The largest magnitude of each row under any right side.
fn maxima(growing: &Growing, table: &Table) -> Vec<f64> {
    let of_row = |row: usize| (0..growing.sides).map(|side| table.at(row, side).abs()).fold(0.0, f64::max);
    (0..growing.rows[growing.parts.len()]).map(of_row).collect()
}

#[cfg(test)]
mod tests {
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
