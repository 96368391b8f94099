//! What readings near their limits would be in other sizes if the forces in the tubes stayed, and the lighter design
//! that this leads to.
//!
//! Proves nothing: it says which designs are worth solving. It is exact where the structure is statically determinate,
//! and to first order elsewhere, so that it is trusted within a window of sizes around the design alone.
//! Source: Fleury & Schmit (1980), Dual methods and approximation concepts in structural synthesis, NASA CR-3226 (from
//! memory): limits as sums over members of functions of their own flexibility.

use super::limit::MARGIN;
use super::problem::{Design, Problem};
use super::trial::Trials;

/// A reading near its limit.
pub(super) struct Near {
    /// Its value in the design.
    pub(super) value: f64,
    /// What it gains in each size (column) of each group (row).
    pub(super) gain: Vec<Vec<f64>>,
    /// The group whose size sets what is allowed.
    pub(super) own: Option<usize>,
    /// What is allowed in each size of that group; where there is none, one figure.
    pub(super) allowed: Vec<f64>,
}

impl Near {
    fn allowed_in(&self, design: &[usize]) -> f64 {
        self.allowed[self.own.map_or(0, |group| design[group])]
    }

    fn gained(&self, changes: &[Change]) -> f64 {
        changes.iter().map(|change| self.gain[change.group][change.to] - self.gain[change.group][change.from]).sum()
    }

    fn allowed_after(&self, design: &[usize], changes: &[Change]) -> f64 {
        match changes.iter().find(|change| Some(change.group) == self.own) {
            Some(change) => self.allowed[change.to],
            None => self.allowed_in(design),
        }
    }
}

/// Another size for a group.
#[derive(Debug, Clone, Copy)]
struct Change {
    group: usize,
    from: usize,
    to: usize,
}

/// Readings of a design that are nearer to their limits than this part of them are looked after.
const FROM: f64 = 0.3;
/// At most so many of them, the nearest.
const MOST: usize = 60;
/// How much heavier a design counts for each limit that it is over by as much as the limit itself.
const HEAVIER: f64 = 3.0;
/// A change pays by more than this part.
const PAYS: f64 = 1e-9;

/// What a design counts as, kg: its mass, more where it is over limits.
pub(super) fn merit_kg(mass_kg: f64, excess: f64) -> f64 {
    mass_kg * (1.0 + HEAVIER * excess)
}

/// How far a reading is over its limit, as a part of it.
pub(super) fn excess_of(utilisation: f64) -> f64 {
    if utilisation > 1.0 + MARGIN { utilisation - 1.0 } else { 0.0 }
}

/// What is foreseen from one design.
pub(super) struct Forecast {
    at: Design,
    near: Vec<Near>,
}

impl Forecast {
    /// From a design; `None`: it cannot be solved.
    pub(super) fn from(trials: &Trials<'_, '_>, design: &[usize]) -> Option<Self> {
        Some(Self { at: design.to_vec(), near: trials.near(design, FROM, MOST)? })
    }

    /// The design that counts as the lightest of those that changes of one group, or else of two, lead to; at most so
    /// many sizes from where it was foreseen.
    pub(super) fn lightest(&self, problem: &Problem<'_>, window: usize) -> Design {
        let mut way = Way::new(self, problem, window);
        while way.step() {}
        way.design
    }
}

/// The way from one design to lighter ones.
struct Way<'f, 'm> {
    forecast: &'f Forecast,
    problem: &'f Problem<'m>,
    window: usize,
    design: Design,
    /// The readings.
    values: Vec<f64>,
    mass_kg: f64,
    merit_kg: f64,
}

impl<'f, 'm> Way<'f, 'm> {
    fn new(forecast: &'f Forecast, problem: &'f Problem<'m>, window: usize) -> Self {
        let design = forecast.at.clone();
        let values = forecast.near.iter().map(|near| near.value).collect();
        let mass_kg = problem.mass_of(&design);
        let mut way = Self { forecast, problem, window, design, values, mass_kg, merit_kg: f64::INFINITY };
        way.take(&[]);
        way
    }

    /// The sizes that a group may get here, but its own.
    fn others(&self, group: usize) -> impl Iterator<Item = Change> + use<> {
        let (at, from) = (self.forecast.at[group], self.design[group]);
        let last = (at + self.window).min(self.problem.stock.len() - 1);
        let sizes = at.saturating_sub(self.window)..=last;
        sizes.filter(move |to| *to != from).map(move |to| Change { group, from, to })
    }

    fn mass_after(&self, changes: &[Change]) -> f64 {
        let more = |change: &Change| {
            let masses = &self.problem.mass_kg[change.group];
            masses[change.to] - masses[change.from]
        };
        self.mass_kg + changes.iter().map(more).sum::<f64>()
    }

    /// What the design counts as after some changes, kg; `None`: not under this.
    fn merit_after(&self, changes: &[Change], under_kg: f64) -> Option<f64> {
        let mass_kg = self.mass_after(changes);
        let (mut excess, mut merit) = (0.0, mass_kg);
        let mut readings = self.forecast.near.iter().zip(&self.values);
        while merit < under_kg {
            let Some((near, value)) = readings.next() else { return Some(merit) };
            excess += excess_of((value + near.gained(changes)) / near.allowed_after(&self.design, changes));
            merit = merit_kg(mass_kg, excess);
        }
        None
    }

    /// Takes the change of one group that pays most, or else that of two; `false`: none pays.
    fn step(&mut self) -> bool {
        let (groups, here) = (0..self.design.len(), &*self);
        let one = self.best_of(groups.clone().flat_map(|group| self.others(group)).map(|change| [change]));
        if let Some(changes) = one {
            self.take(&changes);
            return true;
        }
        let pairs = groups.flat_map(|first| (0..first).map(move |second| (first, second)));
        let pairs = pairs.flat_map(|(first, second)| {
            here.others(first).flat_map(move |one| here.others(second).map(move |other| [one, other]))
        });
        let two = self.best_of(pairs);
        if let Some(changes) = &two {
            self.take(changes);
        }
        two.is_some()
    }

    /// The changes that pay most, the first of those that pay alike.
    fn best_of<const N: usize>(&self, all: impl Iterator<Item = [Change; N]>) -> Option<[Change; N]> {
        let mut best = (self.merit_kg * (1.0 - PAYS), None);
        for changes in all {
            if let Some(merit_kg) = self.merit_after(&changes, best.0) {
                best = (merit_kg, Some(changes));
            }
        }
        best.1
    }

    fn take(&mut self, changes: &[Change]) {
        self.merit_kg = self.merit_after(changes, f64::INFINITY).unwrap_or(f64::INFINITY);
        self.mass_kg = self.mass_after(changes);
        for (near, value) in self.forecast.near.iter().zip(&mut self.values) {
            *value += near.gained(changes);
        }
        changes.iter().for_each(|change| self.design[change.group] = change.to);
    }
}
