//! A light design to begin with where what is read at once does not lead to one ([`super::walk`]): lighter by one group
//! or by two at a time.
//!
//! Proves nothing. On the way designs are judged by what the drawn frame tells, at its end by the whole check; where
//! that finds more, the way is gone again with it.

use std::collections::HashMap;

use rayon::prelude::*;

use super::problem::Design;
use super::trial::Trials;
use crate::math::larger_than;

/// Most steps towards a design that is within its limits.
const STEPS: usize = 60;
/// Most pairs of groups' sizes that are looked at before a design counts as the lightest of its neighbours.
const PAIRS: usize = 40_000;
/// From so many designs that are within their limits it goes down.
const STARTS: usize = 3;
/// How many designs are tried at once.
const BATCH: usize = 16;

/// The search for a light design.
pub(super) struct Descent<'t, 'p, 'm> {
    trials: &'t Trials<'p, 'm>,
    known: HashMap<Design, bool>,
    /// Whether every step passes the whole check.
    is_whole: bool,
    ends: &'t (dyn Fn() -> bool + Sync),
}

impl<'t, 'p, 'm> Descent<'t, 'p, 'm> {
    /// Begins.
    pub(super) fn new(trials: &'t Trials<'p, 'm>, ends: &'t (dyn Fn() -> bool + Sync)) -> Self {
        Self { trials, known: HashMap::new(), is_whole: false, ends }
    }

    /// The lightest design found that passes, from one that does, the one as drawn, and each size for all groups.
    pub(super) fn run(&mut self, passes: Option<Design>) -> Option<Design> {
        let problem = self.trials.problem;
        let n = problem.groups.len();
        let sizes = (0..problem.stock.len()).map(|size| vec![size; n]);
        let starts: Vec<Design> = passes.into_iter().chain(problem.drawn()).chain(sizes).collect();
        let mut starts: Vec<(f64, Design)> =
            starts.into_par_iter().map(|start| (self.trials.excess(&start), start)).collect();
        // Those within their limits in their order, then the nearest.
        starts.sort_by(|one, other| one.0.total_cmp(&other.0));
        let mut best: Option<Design> = None;
        for (at, (excess, start)) in starts.into_iter().enumerate() {
            // From one that fails only where nothing better is known.
            if (self.ends)() || at >= STARTS || (excess > 0.0 && best.is_some()) {
                break;
            }
            let Some(light) = self.down_from(&start, excess) else { continue };
            if best.as_ref().is_none_or(|best| larger_than(problem.mass_of(best), problem.mass_of(&light))) {
                best = Some(light);
            }
        }
        best
    }

    /// Down from a design, to one that passes the whole check.
    fn down_from(&mut self, start: &Design, excess: f64) -> Option<Design> {
        let within = self.within_limits(start.clone(), excess)?;
        let light = self.lighter(within.clone());
        if self.is_whole || self.trials.passes_whole(&light).is_ok() {
            return Some(light);
        }
        self.is_whole = true;
        self.known.clear();
        if self.passes(&within) { Some(self.lighter(within)) } else { self.down_from(start, excess) }
    }

    /// Whether a design passes what counts on the way.
    fn is_within(&self, design: &Design) -> bool {
        self.trials.passes(design, self.is_whole).is_ok()
    }

    fn passes(&mut self, design: &Design) -> bool {
        if let Some(known) = self.known.get(design) {
            return *known;
        }
        let passes = self.is_within(design);
        self.known.insert(design.clone(), passes);
        passes
    }

    /// The first of these that passes.
    fn first_that_passes(&mut self, designs: &[Design]) -> Option<Design> {
        for batch in designs.chunks(BATCH) {
            if (self.ends)() {
                return None;
            }
            let new: Vec<&Design> = batch.iter().filter(|design| !self.known.contains_key(*design)).collect();
            let judged: Vec<bool> = new.par_iter().map(|design| self.is_within(design)).collect();
            for (design, passes) in new.into_iter().zip(judged) {
                self.known.insert(design.clone(), passes);
            }
            if let Some(found) = batch.iter().find(|design| self.known[*design]) {
                return Some(found.clone());
            }
        }
        None
    }

    /// By single changes to a design that passes.
    fn within_limits(&mut self, start: Design, excess: f64) -> Option<Design> {
        let (mut here, mut excess) = (start, excess);
        for _ in 0..STEPS {
            if (self.ends)() {
                return None;
            }
            if excess == 0.0 && self.passes(&here) {
                return Some(here);
            }
            let tried: Vec<(f64, Design)> =
                self.one_changed(&here).into_par_iter().map(|next| (self.trials.excess(&next), next)).collect();
            let mass = |design: &Design| self.trials.problem.mass_of(design);
            let next = tried
                .into_iter()
                .min_by(|one, other| one.0.total_cmp(&other.0).then(mass(&one.1).total_cmp(&mass(&other.1))))?;
            if next.0 >= excess && excess > 0.0 {
                return None;
            }
            (excess, here) = next;
        }
        None
    }

    fn one_changed(&self, design: &Design) -> Vec<Design> {
        let sizes = self.trials.problem.stock.len();
        let mut all = Vec::new();
        for group in 0..design.len() {
            for size in (0..sizes).filter(|size| *size != design[group]) {
                let mut next = design.clone();
                next[group] = size;
                all.push(next);
            }
        }
        all
    }

    /// By changes of one group, then of two, as long as that passes and is lighter.
    fn lighter(&mut self, start: Design) -> Design {
        let problem = self.trials.problem;
        let mut here = start;
        loop {
            let mass_kg = problem.mass_of(&here);
            let is_lighter = |design: &Design| larger_than(mass_kg, problem.mass_of(design));
            let by_mass = |mut designs: Vec<Design>| {
                designs.retain(is_lighter);
                designs.sort_by(|one, other| problem.mass_of(one).total_cmp(&problem.mass_of(other)));
                designs
            };
            let one = by_mass(self.one_changed(&here));
            let next = self.first_that_passes(&one).or_else(|| {
                let mut two = by_mass(self.two_changed(&here));
                // The nearest in mass are the likeliest to pass.
                two.reverse();
                two.truncate(PAIRS);
                self.first_that_passes(&two)
            });
            match next {
                Some(next) => here = next,
                None => return here,
            }
        }
    }

    /// One group lighter and one heavier.
    fn two_changed(&self, design: &Design) -> Vec<Design> {
        let (groups, sizes) = (design.len(), self.trials.problem.stock.len());
        let mut all = Vec::new();
        for down in 0..groups {
            for lighter in 0..design[down] {
                for up in (0..groups).filter(|up| *up != down) {
                    for heavier in design[up] + 1..sizes {
                        let mut next = design.clone();
                        (next[down], next[up]) = (lighter, heavier);
                        all.push(next);
                    }
                }
            }
        }
        all
    }
}
