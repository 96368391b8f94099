//! What a reading that is over its limit says of other designs, and the least mass of a box that follows.
//!
//! A cut: a reading F is F₀ − Σ w at least, w a table of group and size ([`Differences`]); where F may be no larger
//! than is allowed, Σ w must make up for F₀ − allowed. Over a box (some sizes for each group) that bounds mass from
//! below: for any multiplier λ ≥ 0
//!
//! ```text
//! mass ≥ λ (F₀ − allowed) + Σ over groups of min over sizes of (mass − λ w)
//! ```
//! Source: weak duality, for instance Boyd & Vandenberghe (2004), Convex Optimization, 5.1.

use super::limit::MARGIN;
use super::problem::MOST_SIZES;
use super::reading::Reading;
use crate::solve::Differences;

/// Sizes that each group may have, one bit a size.
pub(super) type Sizes = Vec<u128>;

/// The sizes in a set of bits, rising.
pub fn in_set(set: u128) -> impl Iterator<Item = usize> {
    (0..MOST_SIZES).filter(move |size| set >> size & 1 == 1)
}

/// A reading of one design as a bound on all others.
#[derive(Debug, Clone)]
pub(super) struct Cut {
    /// What is read.
    pub(super) reading: Reading,
    /// The design that it was read of.
    pub(super) at: Vec<usize>,
    differences: Differences,
}

/// A cut as it serves one box: its t² is chosen for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Used {
    /// Which cut.
    pub cut: usize,
    /// The square of t.
    pub t2: f64,
    /// How often it is taken.
    pub times: f64,
}

impl Cut {
    /// From a reading and its differences.
    pub(super) fn new(reading: Reading, at: Vec<usize>, differences: Differences) -> Self {
        Self { reading, at, differences }
    }

    /// By how much Σ w must make up, at least.
    pub(super) fn short_by(&self) -> f64 {
        self.reading.value - self.reading.allowed * (1.0 + MARGIN)
    }

    /// w of a group in a size.
    pub(super) fn weight(&self, t2: f64, group: usize, size: usize) -> f64 {
        let d = &self.differences;
        let second = t2 * d.of_load[group][size] + d.of_reading[group][size] / t2;
        0.5 * d.first[group][size] + 0.25 * second + d.of_own_load[group][size]
    }

    /// Whether it says anything of a box.
    pub(super) fn holds_in(&self, sizes: &Sizes) -> bool {
        self.reading.only_with.is_none_or(|(group, size)| sizes[group] == 1 << size)
    }

    /// The t² for which the terms of second order are least over a box, nearly.
    fn best_t2(&self, sizes: &Sizes) -> f64 {
        let sum = |table: &[Vec<f64>]| -> f64 {
            let most = |(group, set): (usize, &u128)| in_set(*set).map(|size| table[group][size]).fold(0.0, f64::max);
            sizes.iter().enumerate().map(most).sum()
        };
        let (of_load, of_reading) = (sum(&self.differences.of_load), sum(&self.differences.of_reading));
        let t2 = (of_reading / of_load).sqrt();
        // Where one of them is nothing, or both are, any t² of the right size does.
        if t2.is_finite() && t2 > 0.0 {
            t2
        } else if of_load > 0.0 {
            1e-9
        } else if of_reading > 0.0 {
            1e9
        } else {
            1.0
        }
    }

    /// The table of w over a box; a group (row) has as many entries as sizes.
    fn over(&self, sizes: &Sizes) -> Table {
        let t2 = self.best_t2(sizes);
        let row = |(group, set): (usize, &u128)| in_set(*set).map(|size| self.weight(t2, group, size)).collect();
        Table { t2, short_by: self.short_by(), rows: sizes.iter().enumerate().map(row).collect() }
    }
}

/// Weights of one cut over a box.
struct Table {
    t2: f64,
    short_by: f64,
    rows: Vec<Vec<f64>>,
}

impl Table {
    /// Whether no design of the box makes up for what is short.
    fn closes(&self) -> bool {
        let most = |row: &Vec<f64>| row.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        self.rows.iter().map(most).sum::<f64>() < self.short_by
    }
}

/// What is known of a box.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Bounded {
    /// No design of it weighs less, kg; infinite: none is within its limits.
    pub(super) least_kg: f64,
    /// The cuts that say so.
    pub(super) by: Vec<Used>,
    /// The design at which the bound is found: the size of each group.
    pub(super) at: Vec<usize>,
}

/// How many cuts are taken together.
const TOGETHER: usize = 6;
/// How often each of them is looked at anew.
const ROUNDS: usize = 3;

/// The least mass of a box by some cuts. `mass_kg`: a row a group, a column a size; `kept_kg`: what is added to it.
pub(super) fn bound<'c>(
    sizes: &Sizes,
    mass_kg: &[Vec<f64>],
    kept_kg: f64,
    cuts: impl Iterator<Item = (usize, &'c Cut)>,
) -> Bounded {
    let sets: Vec<Vec<usize>> = sizes.iter().map(|set| in_set(*set).collect()).collect();
    let masses: Vec<Vec<f64>> =
        sets.iter().zip(mass_kg).map(|(set, masses)| set.iter().map(|size| masses[*size]).collect()).collect();
    let mut tables: Vec<(usize, Table, f64)> = Vec::new();
    for (index, cut) in cuts.filter(|(_, cut)| cut.holds_in(sizes)) {
        let table = cut.over(sizes);
        if table.closes() {
            let by = vec![Used { cut: index, t2: table.t2, times: 1.0 }];
            return Bounded { least_kg: f64::INFINITY, by, at: lightest(&sets, &masses) };
        }
        let (times, least) = best_times(&masses, &[], &table);
        if times > 0.0 {
            tables.push((index, table, least));
        }
    }
    tables.sort_by(|one, other| other.2.total_cmp(&one.2).then(one.0.cmp(&other.0)));
    tables.truncate(TOGETHER);
    let mut times = vec![0.0; tables.len()];
    if !tables.is_empty() {
        for _ in 0..ROUNDS {
            for at in 0..tables.len() {
                let others: Vec<(&Table, f64)> = tables
                    .iter()
                    .zip(&times)
                    .enumerate()
                    .filter(|(other, (_, times))| *other != at && **times > 0.0)
                    .map(|(_, ((_, table, _), times))| (table, *times))
                    .collect();
                times[at] = best_times(&masses, &others, &tables[at].1).0;
            }
        }
    }
    let taken: Vec<(&Table, f64)> = tables
        .iter()
        .zip(&times)
        .filter(|(_, times)| **times > 0.0)
        .map(|((_, table, _), times)| (table, *times))
        .collect();
    let by = tables.iter().zip(&times).filter(|(_, times)| **times > 0.0);
    let by = by.map(|((cut, table, _), times)| Used { cut: *cut, t2: table.t2, times: *times }).collect();
    let (least, choice) = least_of(&masses, &taken);
    let at = sets.iter().zip(choice).map(|(set, choice)| set[choice]).collect();
    Bounded { least_kg: kept_kg + least, by, at }
}

fn lightest(sets: &[Vec<usize>], masses: &[Vec<f64>]) -> Vec<usize> {
    sets.iter().zip(masses).map(|(set, masses)| set[least_at(masses.iter().copied()).0]).collect()
}

/// The first of the least.
fn least_at(values: impl Iterator<Item = f64>) -> (usize, f64) {
    values.enumerate().fold((0, f64::INFINITY), |best, (at, value)| if value < best.1 { (at, value) } else { best })
}

/// λ·short + Σ min (mass − Σ λ w) for some cuts, and where each least is.
fn least_of(masses: &[Vec<f64>], taken: &[(&Table, f64)]) -> (f64, Vec<usize>) {
    let mut sum: f64 = taken.iter().map(|(table, times)| times * table.short_by).sum();
    let choice = masses.iter().enumerate().map(|(group, masses)| {
        let reduced = masses
            .iter()
            .enumerate()
            .map(|(at, mass)| mass - taken.iter().map(|(table, times)| times * table.rows[group][at]).sum::<f64>());
        let (at, least) = least_at(reduced);
        sum += least;
        at
    });
    let choice = choice.collect();
    (sum, choice)
}

/// How often to take a cut so that the bound is largest, the others given; and the bound.
fn best_times(masses: &[Vec<f64>], others: &[(&Table, f64)], table: &Table) -> (f64, f64) {
    // The bound is concave in λ; its slope is what the choice at λ leaves short.
    let reduced: Vec<Vec<f64>> = masses
        .iter()
        .enumerate()
        .map(|(group, masses)| {
            let less = |at: usize| others.iter().map(|(table, times)| times * table.rows[group][at]).sum::<f64>();
            masses.iter().enumerate().map(|(at, mass)| mass - less(at)).collect()
        })
        .collect();
    let at = |times: f64| {
        let (mut value, mut slope) = (times * table.short_by, table.short_by);
        for (group, row) in reduced.iter().enumerate() {
            let (choice, least) =
                least_at(row.iter().zip(&table.rows[group]).map(|(mass, weight)| mass - times * weight));
            value += least;
            slope -= table.rows[group][choice];
        }
        (value, slope)
    };
    let constant: f64 = others.iter().map(|(table, times)| times * table.short_by).sum();
    let (none, slope) = at(0.0);
    if slope <= 0.0 {
        return (0.0, none + constant);
    }
    // Scale: all of the mass for all that is short.
    let scale = masses.iter().map(|row| row.iter().copied().fold(0.0, f64::max)).sum::<f64>() / table.short_by;
    let mut high = scale.max(f64::MIN_POSITIVE);
    let mut low = 0.0;
    for _ in 0..60 {
        if at(high).1 <= 0.0 {
            break;
        }
        low = high;
        high *= 2.0;
    }
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if at(middle).1 > 0.0 { low = middle } else { high = middle }
    }
    let (of_low, of_high) = (at(low).0, at(high).0);
    if of_low >= of_high { (low, of_low + constant) } else { (high, of_high + constant) }
}
