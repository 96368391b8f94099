//! A walk to light designs, led by what is foreseen ([`Forecast`]).
//!
//! From some sizes for all groups down, then from the lightest so found again and again: a few groups get other sizes
//! at random, and down it goes. Every design on the way is solved; one that would be the lightest is checked whole.
//! Several walks go side by side, each with numbers of its own, so that the same comes out whatever the number of
//! threads. Proves nothing.

use std::collections::HashSet;

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use rayon::prelude::*;

use super::forecast::{Forecast, merit_kg};
use super::problem::Design;
use super::trial::Trials;
use crate::math::larger_than;

/// How many sizes from a design on what is foreseen is trusted at first.
const WINDOW: usize = 8;
/// Every so many sizes one is a start.
const STARTS: usize = 4;
/// Most steps down from one start.
const STEPS: usize = 60;
/// How many walks there are.
const WALKS: u64 = 4;
/// How often a walk starts again, for each group.
const AGAIN: usize = 15;
/// A walk goes on from a design that counts as no heavier than the lightest times this.
const NEARLY: f64 = 1.02;
/// After so many new starts it goes on from the lightest.
const BACK: usize = 50;
/// Most groups that get other sizes at random.
const SHAKEN: usize = 6;
/// A walk ends where so many designs passed all that is read at once and failed the whole check.
const MISLED: usize = 8;

/// Where the walks came to.
pub(super) struct Reached {
    /// The lightest design that passes the whole check.
    pub(super) best: Option<Design>,
    /// Whether designs failed by what is not foreseen.
    pub(super) is_misled: bool,
}

/// Walks, if designs can be foreseen at all.
pub(super) fn walk(trials: &Trials<'_, '_>, ends: &(dyn Fn() -> bool + Sync)) -> Reached {
    let problem = trials.problem;
    let walker = || Walker { trials, ends, best: None, failed: HashSet::new() };
    if trials.benches.is_empty() {
        return Reached { best: None, is_misled: true };
    }
    let last = problem.stock.len() - 1;
    let starts: Vec<usize> = (0..last).step_by(STARTS).chain([last]).collect();
    let reached = starts.par_iter().map(|size| {
        let mut walker = walker();
        walker.down(vec![*size; problem.groups.len()]);
        walker
    });
    let first = together(reached.collect(), walker());
    // A few designs are soon tried one by one, and each position of the adjusters is work of its own.
    let often = AGAIN * problem.groups.len() / trials.benches.len();
    let again = (problem.n_designs() / 100.0).min(often as f64) as usize;
    let walks = (0..WALKS).into_par_iter().map(|number| {
        let mut walker = Walker { best: first.best.clone(), failed: first.failed.clone(), ..walker() };
        walker.again(again, &mut ChaCha8Rng::seed_from_u64(number));
        walker
    });
    let all = together(walks.collect(), first);
    Reached { best: all.best.map(|(_, design)| design), is_misled: !all.failed.is_empty() }
}

/// What several walks found, the first of equals.
fn together<'t, 'p, 'm>(walks: Vec<Walker<'t, 'p, 'm>>, first: Walker<'t, 'p, 'm>) -> Walker<'t, 'p, 'm> {
    walks.into_iter().fold(first, |mut all, walk| {
        if let Some((mass_kg, design)) = walk.best
            && all.is_lighter(mass_kg)
        {
            all.best = Some((mass_kg, design));
        }
        all.failed.extend(walk.failed);
        all
    })
}

struct Walker<'t, 'p, 'm> {
    trials: &'t Trials<'p, 'm>,
    ends: &'t (dyn Fn() -> bool + Sync),
    /// The lightest that passes the whole check, and its mass.
    best: Option<(f64, Design)>,
    /// Designs that failed it.
    failed: HashSet<Design>,
}

impl Walker<'_, '_, '_> {
    fn is_lighter(&self, mass_kg: f64) -> bool {
        self.best.as_ref().is_none_or(|(best_kg, _)| larger_than(*best_kg, mass_kg))
    }

    /// Down from a design, as long as it pays; what it counts as at the end, kg.
    fn down(&mut self, start: Design) -> (f64, Design) {
        let (trials, problem) = (self.trials, self.trials.problem);
        let mut lightest: Option<(f64, Design)> = None;
        let mut look = |design: &Design| {
            let (mass_kg, excess) = (problem.mass_of(design), trials.excess_read(design));
            if excess == 0.0 && lightest.as_ref().is_none_or(|(known_kg, _)| larger_than(*known_kg, mass_kg)) {
                lightest = Some((mass_kg, design.clone()));
            }
            merit_kg(mass_kg, excess)
        };
        let (mut here_kg, mut here) = (look(&start), start);
        let mut window = WINDOW;
        'steps: for _ in 0..STEPS {
            let Some(forecast) = Forecast::from(trials, &here) else { break };
            loop {
                let next = forecast.lightest(problem, window);
                if next == here || window == 0 || (self.ends)() {
                    break 'steps;
                }
                let next_kg = look(&next);
                if larger_than(here_kg, next_kg) {
                    (here_kg, here) = (next_kg, next);
                    window = (window + window / 2 + 1).min(WINDOW);
                    break;
                }
                window /= 2;
            }
        }
        if let Some((mass_kg, design)) = lightest
            && self.is_lighter(mass_kg)
            && !self.failed.contains(&design)
        {
            match trials.passes_whole(&design) {
                Ok(()) => self.best = Some((mass_kg, design)),
                Err(_) => drop(self.failed.insert(design)),
            }
        }
        (here_kg, here)
    }

    /// So many times down again from a design near the lightest.
    fn again(&mut self, times: usize, dice: &mut ChaCha8Rng) {
        let Some((_, mut here)) = self.best.clone() else { return };
        let failed_before = self.failed.len();
        for time in 0..times {
            if (self.ends)() || self.failed.len() - failed_before >= MISLED {
                return;
            }
            let Some((best_kg, best)) = &self.best else { return };
            if time % BACK == 0 {
                here.clone_from(best);
            }
            let enough_kg = best_kg * NEARLY;
            let (next_kg, next) = self.down(self.shaken(&here, dice));
            if next_kg <= enough_kg && !self.failed.contains(&next) {
                here = next;
            }
        }
    }

    /// The same with other sizes for a few groups.
    fn shaken(&self, design: &Design, dice: &mut ChaCha8Rng) -> Design {
        let mut below = |n: usize| (dice.next_u64() % n as u64) as usize;
        let mut shaken = design.clone();
        for _ in 0..2 + below(SHAKEN - 1) {
            let (group, by, is_up) = (below(design.len()), 1 + below(SHAKEN), below(2) == 1);
            let size = shaken[group];
            let last = self.trials.problem.stock.len() - 1;
            shaken[group] = if is_up { (size + by).min(last) } else { size.saturating_sub(by) };
        }
        shaken
    }
}
