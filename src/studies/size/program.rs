//! The linear program that finds the dual of a truss ([`super::truss`] has the formula): the v, w and λ for which the
//! bound is largest, r for the least of each tube in each size, t for the least of each group.
//!
//! Where stiffness goes with mass and ranges are the same for all sizes, only the lightest and the heaviest of a group
//! count: what is linear between is never the least alone.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{DefaultSettingsBuilder, DefaultSolver, IPSolver, SupportedConeT};
use nalgebra::DVector;

use super::cut::{Sizes, in_set};
use super::problem::Problem;
use super::truss::{Dual, Ranges, Sum, Truss};

/// What a program is for.
#[derive(Debug, Clone, Copy)]
pub(super) enum Goal {
    /// The least mass.
    Mass,
    /// The least of sign × stretch of a bar, in designs that weigh no more than this.
    Stretch { side: usize, bar: usize, sign: f64, at_most_kg: f64 },
}

/// One linear program.
pub(super) struct Program<'t> {
    /// Of what.
    pub(super) truss: &'t Truss,
    /// What is to be sized.
    pub(super) problem: &'t Problem<'t>,
    /// The box.
    pub(super) sizes: &'t Sizes,
    /// Its ranges of stretches.
    pub(super) ranges: &'t Ranges,
    /// What it is for.
    pub(super) goal: Goal,
    /// The bound need not be above this.
    pub(super) cap: f64,
}

/// Rows of a program as they are written: entries, and their right sides.
#[derive(Default)]
struct Rows {
    entries: Vec<(usize, usize, f64)>,
    right: Vec<f64>,
}

impl Rows {
    fn add(&mut self, entries: impl IntoIterator<Item = (usize, f64)>, right: f64) {
        let row = self.right.len();
        self.entries
            .extend(entries.into_iter().filter(|(_, value)| *value != 0.0).map(|(column, value)| (row, column, value)));
        self.right.push(right);
    }
}

/// Where the variables of a program stand.
struct Places {
    v: Vec<usize>,
    w: Vec<usize>,
    limits: Vec<usize>,
    mass: usize,
    t: usize,
    r: usize,
    /// Sizes that count of each group, and where the first of them stands among those of all bars.
    sizes: Vec<Vec<usize>>,
    n: usize,
}

impl Program<'_> {
    /// The dual, and how much of each group's range the relaxation takes.
    pub(super) fn solve(&self) -> Option<(Dual, Vec<f64>)> {
        let places = self.places();
        let (rows, n_equal, groups_at) = self.rows(&places);
        let m = rows.right.len();
        let (i, (j, value)): (Vec<usize>, (Vec<usize>, Vec<f64>)) =
            rows.entries.iter().map(|(row, column, value)| (*row, (*column, *value))).unzip();
        let a = CscMatrix::new_from_triplets(m, places.n, i, j, value);
        let p = CscMatrix::zeros((places.n, places.n));
        let mut q = vec![0.0; places.n];
        self.objective(&places).into_iter().for_each(|(at, value)| q[at] -= value);
        let cones = [SupportedConeT::ZeroConeT(n_equal), SupportedConeT::NonnegativeConeT(m - n_equal)];
        let settings = DefaultSettingsBuilder::default().verbose(false).max_iter(60).build().ok()?;
        let mut solver = DefaultSolver::new(&p, &q, &a, &rows.right, &cones, settings).ok()?;
        solver.solve();
        let x = &solver.solution.x;
        if x.iter().any(|value| !value.is_finite()) {
            return None;
        }
        let truss = self.truss;
        let limits = |side: usize, limit: usize| {
            let at = places.limits[side] + 2 * limit;
            [x[at].max(0.0), x[at + 1].max(0.0)]
        };
        let sides = 0..truss.sides.len();
        let dual = Dual {
            v: sides.clone().map(|side| DVector::from_fn(truss.n, |row, _| x[places.v[side] + row])).collect(),
            w: sides.clone().map(|side| x[places.w[side]..places.w[side] + truss.bars.len()].to_vec()).collect(),
            limits: sides
                .map(|side| (0..truss.sides[side].limits.len()).map(|limit| limits(side, limit)).collect())
                .collect(),
            mass: if matches!(self.goal, Goal::Mass) { 1.0 } else { x[places.mass].max(0.0) },
        };
        // The multiplier of a group's row is how much the relaxation takes of that size.
        let z = &solver.solution.z;
        let part = groups_at.iter().zip(&places.sizes).enumerate().map(|(group, (row, sizes))| {
            let taken: Vec<f64> = (0..sizes.len()).map(|at| z[row + at].max(0.0)).collect();
            let all: f64 = taken.iter().sum();
            let masses = &self.problem.mass_kg[group];
            let (first, last) = (masses[sizes[0]], masses[sizes[sizes.len() - 1]]);
            let mean = taken.iter().zip(sizes).map(|(taken, size)| taken * masses[*size]).sum::<f64>() / all;
            if all > 0.0 && last > first { ((mean - first) / (last - first)).clamp(0.0, 1.0) } else { 0.0 }
        });
        Some((dual, part.collect()))
    }

    fn places(&self) -> Places {
        let truss = self.truss;
        let mut n = 0;
        let mut take = |count: usize| {
            n += count;
            n - count
        };
        let v = truss.sides.iter().map(|_| take(truss.n)).collect();
        let w = truss.sides.iter().map(|_| take(truss.bars.len())).collect();
        let limits = truss.sides.iter().map(|side| take(2 * side.limits.len())).collect();
        let mass = take(1);
        let t = take(self.sizes.len());
        let sizes: Vec<Vec<usize>> = (0..self.sizes.len()).map(|group| self.that_count(group)).collect();
        let of_side: usize = truss.bars.iter().map(|bar| sizes[bar.group].len()).sum();
        let r = take(of_side * truss.sides.len());
        Places { v, w, limits, mass, t, r, sizes, n }
    }

    /// The sizes that a group can have: the lightest and the heaviest alone where stiffness goes with mass and the
    /// ranges are the same for all, so that no other is at a corner.
    fn that_count(&self, group: usize) -> Vec<usize> {
        let (truss, ranges) = (self.truss, self.ranges);
        let all = in_set(self.sizes[group]).filter(|size| truss.can_have(ranges, group, *size));
        let all: Vec<usize> = all.collect();
        let bars: Vec<usize> = (0..truss.bars.len()).filter(|bar| truss.bars[*bar].group == group).collect();
        let (Some(bar), Some(first)) = (bars.first(), all.first()) else { return all };
        let per = |size: usize| truss.bars[*bar].k_n_mm[size] / self.problem.mass_kg[group][size];
        let goes_with_mass = all.iter().all(|size| (per(*size) / per(*first) - 1.0).abs() < 1e-9);
        let mut places = bars.iter().flat_map(|bar| (0..truss.sides.len()).map(move |side| (side, *bar)));
        let of = |side: usize, bar: usize, size: usize| truss.range(ranges, side, bar, size);
        let is_alike = |(side, bar)| all.iter().all(|size| of(side, bar, *size) == of(side, bar, *first));
        if all.len() > 2 && goes_with_mass && places.all(is_alike) { vec![all[0], all[all.len() - 1]] } else { all }
    }

    fn objective(&self, places: &Places) -> Vec<(usize, f64)> {
        let mut of = Vec::new();
        for (at, side) in self.truss.sides.iter().enumerate() {
            of.extend(side.load.iter().enumerate().map(|(row, f)| (places.v[at] + row, *f)));
            for (limit, (_, allowed)) in side.limits.iter().enumerate() {
                of.extend([0, 1].map(|sign| (places.limits[at] + 2 * limit + sign, -allowed)));
            }
        }
        of.extend((0..self.sizes.len()).map(|group| (places.t + group, 1.0)));
        if let Goal::Stretch { at_most_kg, .. } = self.goal {
            of.push((places.mass, -at_most_kg));
        }
        of
    }

    /// The rows, how many of the first are equalities, and where those of each group begin (among all).
    fn rows(&self, places: &Places) -> (Rows, usize, Vec<usize>) {
        let truss = self.truss;
        let mut rows = Rows::default();
        for (at, side) in truss.sides.iter().enumerate() {
            let mut balance: Vec<Sum> = vec![Vec::new(); truss.n];
            truss.fixed.iter().for_each(|(row, column, k)| balance[*row].push((places.v[at] + column, *k)));
            for (bar, tube) in truss.bars.iter().enumerate() {
                tube.row.iter().for_each(|(row, part)| balance[*row].push((places.w[at] + bar, *part)));
            }
            for (limit, (of, _)) in side.limits.iter().enumerate() {
                let place = places.limits[at] + 2 * limit;
                for (row, part) in of {
                    balance[*row].extend([(place, -part), (place + 1, *part)]);
                }
            }
            balance.into_iter().for_each(|row| rows.add(row, 0.0));
        }
        match self.goal {
            Goal::Mass => rows.add([(places.mass, 1.0)], 1.0),
            Goal::Stretch { .. } => {}
        }
        let n_equal = rows.right.len();
        if matches!(self.goal, Goal::Stretch { .. }) {
            rows.add([(places.mass, -1.0)], 0.0);
        }
        for (at, side) in truss.sides.iter().enumerate() {
            (0..2 * side.limits.len()).for_each(|limit| rows.add([(places.limits[at] + limit, -1.0)], 0.0));
        }
        let mut shares: Vec<Vec<Vec<usize>>> = places.sizes.iter().map(|sizes| vec![Vec::new(); sizes.len()]).collect();
        let mut next = places.r;
        for at in 0..truss.sides.len() {
            for (bar, tube) in truss.bars.iter().enumerate() {
                let own = match self.goal {
                    Goal::Stretch { side, bar: one, sign, .. } if side == at && one == bar => sign,
                    _ => 0.0,
                };
                for (place, size) in places.sizes[tube.group].iter().enumerate() {
                    shares[tube.group][place].push(next);
                    for end in truss.range(self.ranges, at, bar, *size) {
                        // r ≤ e (w − k ε + own)
                        let strain =
                            tube.row.iter().map(|(row, part)| (places.v[at] + row, end * tube.k_n_mm[*size] * part));
                        let entries = strain.chain([(next, 1.0), (places.w[at] + bar, -end)]);
                        rows.add(entries.collect::<Vec<_>>(), end * own);
                    }
                    next += 1;
                }
            }
        }
        let mut groups_at = Vec::new();
        for (group, sizes) in places.sizes.iter().enumerate() {
            groups_at.push(rows.right.len());
            for (place, size) in sizes.iter().enumerate() {
                let shares = shares[group][place].iter().map(|at| (*at, -1.0));
                let mass = (places.mass, -self.problem.mass_kg[group][*size]);
                rows.add(shares.chain([(places.t + group, 1.0), mass]).collect::<Vec<_>>(), 0.0);
            }
        }
        rows.add(self.objective(places), self.cap);
        (rows, n_equal, groups_at)
    }
}
