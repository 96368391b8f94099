//! One part added to a table: its own small system, then columns times numbers, panel by panel.

use pulp::{Simd, WithSimd};

use super::{Growing, ROWS, Strip, Table};

/// A part that makes the system stiffer in a direction by more than this many times costs so many digits
/// that the table is made afresh.
const TOO_STIFF: f64 = 1e7;

/// The arrays that one step works in, kept from step to step.
#[derive(Debug, Default)]
pub(super) struct Scratch {
    /// G and then its factor L, by rows.
    g: Vec<f64>,
    /// The multiples of the part's columns that go into each new column, by rows.
    times: Vec<f64>,
    /// The part's own rows under the right sides and in the open columns, by rows.
    own: Vec<f64>,
    /// The largest magnitude of each row.
    pub(super) maxima: Vec<f64>,
}

/// One part added to a table.
pub(super) struct Step<'a> {
    pub(super) growing: &'a Growing,
    pub(super) part: usize,
    pub(super) from: &'a Table,
    /// `None`: only the maxima are wanted.
    pub(super) to: Option<&'a mut Table>,
    pub(super) wants_maxima: bool,
    pub(super) scratch: &'a mut Scratch,
}

impl WithSimd for Step<'_> {
    type Output = bool;

    #[inline(always)]
    fn with_simd<S: Simd>(self, simd: S) -> bool {
        // As many columns side by side as there are registers for, with a strip of the part and one multiple.
        match S::F64_LANES {
            8 => self.run::<S, 4, 5>(simd),
            4 => self.run::<S, 8, 1>(simd),
            2 => self.run::<S, 16, 1>(simd),
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
