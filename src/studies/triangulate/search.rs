//! The best set of each number of braces.

use std::sync::atomic::{AtomicU64, Ordering};

use rayon::prelude::*;

use super::beginnings::Beginnings;
use super::bounded::Bounds;
use super::question::{Aim, Question};
use crate::math::Keep;
use crate::solve::Subsets;
use crate::studies::Watch;
use crate::studies::divided::Hands;

/// All sets of up to so many choices are tried as long as they are no more than this together: every set of 24.
pub const MOST_SETS: u64 = 20_000_000;
/// Choices whose presence is fixed for one piece of the work: what threads share.
const SHARED: usize = 6;

/// A set and its figure.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Best {
    pub(super) set: Vec<usize>,
    pub(super) figure: f64,
}

/// What a search found.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    /// By the number of braces, from none on.
    pub(super) best: Vec<Option<Best>>,
    pub(super) tried: u64,
    /// Sets of up to so many were all tried.
    pub(super) every_up_to: usize,
    /// Larger sizes of which bounds show that no set is better.
    pub(super) by_bounds: Vec<usize>,
    /// Groups of sets that were looked at for that.
    pub(super) groups: u64,
    pub(super) ended_early: bool,
}

/// What is searched.
pub(super) struct Search<'s> {
    pub(super) subsets: &'s Subsets,
    pub(super) question: &'s Question<'s>,
    pub(super) aim: Aim,
    /// Whether two choices cannot be built together.
    pub(super) crosses: &'s [Vec<bool>],
    /// Most choices of a design.
    pub(super) most: usize,
    /// Most sets that are all tried.
    pub(super) most_sets: u64,
    /// Bounds, where there are some.
    pub(super) bounds: Option<Bounds<'s>>,
    /// The figure of a design by a whole solution of its own.
    pub(super) whole: &'s (dyn Fn(&[usize]) -> Option<f64> + Sync),
    /// Whether only that is exact.
    pub(super) only_whole: bool,
}

impl Search<'_> {
    pub(super) fn allows(&self, set: &[usize]) -> bool {
        let Some((last, before)) = set.split_last() else { return true };
        before.iter().all(|other| !self.crosses[*other][*last])
    }

    /// How many sets of each size may be, up to the size at which there are too many of them together.
    fn counts(&self) -> Vec<u64> {
        let mut counts = vec![1];
        for size in 1..=self.most {
            let left = self.most_sets.max(1) - counts.iter().sum::<u64>();
            let mut count = 0;
            if !self.count_below(&mut Vec::new(), size, left, &mut count) {
                break;
            }
            counts.push(count);
        }
        counts
    }

    /// Counts the sets of a size; `false`: more than the limit.
    fn count_below(&self, set: &mut Vec<usize>, size: usize, limit: u64, count: &mut u64) -> bool {
        if set.len() == size {
            *count += 1;
            return *count <= limit;
        }
        let from = set.last().map_or(0, |last| last + 1);
        for next in from..self.crosses.len() {
            set.push(next);
            let goes_on = !self.allows(set) || self.count_below(set, size, limit, count);
            set.pop();
            if !goes_on {
                return false;
            }
        }
        true
    }

    /// Finds the best set of each size: of every set where there are not too many, else by exchange, and by bounds where
    /// there are some. `None`: only a part was asked for.
    pub(super) fn run(&self, watch: &Watch<'_>, hands: &impl Hands) -> Option<Found> {
        let counts = self.counts();
        watch.total.store(counts.iter().sum(), Ordering::Relaxed);
        let every_up_to = counts.len() - 1;
        // Who ends the search early is to have something good: what exchanging finds of each size comes first.
        let quickly = self.quickly(every_up_to, watch);
        let (mut best, tried) = self.every_set(every_up_to, watch, hands)?;
        if (watch.ends)() {
            for (best, quick) in best.iter_mut().zip(quickly) {
                if let Some(quick) = quick {
                    self.keep(best, &quick.set, quick.figure);
                }
            }
        }
        best.resize(self.most + 1, None);
        let (mut by_bounds, mut groups, mut of_groups) = (Vec::new(), 0, 0);
        let before = watch.tried.load(Ordering::Relaxed);
        for size in every_up_to + 1..=self.most {
            if (watch.ends)() {
                break;
            }
            let Some(start) = best[size - 1].clone() else { break };
            best[size] = self.by_exchange(&start.set, watch);
            if let Some(bounds) = &self.bounds {
                let settled = bounds.settle(self, size, best[size].take(), watch);
                best[size] = settled.best;
                groups += settled.groups;
                of_groups += settled.tried;
                if settled.is_proven {
                    by_bounds.push(size);
                }
            }
        }
        let tried = tried + of_groups + (watch.tried.load(Ordering::Relaxed) - before);
        let ended_early = (watch.ends)();
        let every_up_to = if ended_early { 0 } else { every_up_to };
        Some(Found { best, tried, every_up_to, by_bounds, groups, ended_early })
    }

    /// A good set of each size, by adding one choice after the other; not counted, since every set comes after it.
    fn quickly(&self, most: usize, watch: &Watch<'_>) -> Vec<Option<Best>> {
        let (tried, total) = (AtomicU64::new(0), AtomicU64::new(0));
        let uncounted = Watch { tried: &tried, total: &total, ends: watch.ends };
        let mut best = vec![None; most + 1];
        if self.only_whole {
            return best;
        }
        let mut start = Vec::new();
        for next in &mut best[1..] {
            let Some(found) = self.best_added(&start, &uncounted) else { break };
            start.clone_from(&found.set);
            *next = Some(found);
        }
        best
    }

    /// The best of every set of up to so many choices, and how many sets that were.
    fn every_set(&self, most: usize, watch: &Watch<'_>, hands: &impl Hands) -> Option<(Vec<Option<Best>>, u64)> {
        let beginnings = Beginnings { search: self, most, watch, shared: SHARED.min(self.crosses.len()) };
        let mut best: Vec<Option<Best>> = vec![None; most + 1];
        let mut tried = 0;
        // In the order of the beginnings, whichever thread had them.
        for part in hands.answers(&beginnings)?.into_iter().flatten() {
            tried += part.tried;
            for next in part.best {
                self.keep(&mut best[next.set.len()], &next.set, next.figure);
            }
        }
        Some((best, tried))
    }

    /// Keeps the better of two sets; the first of equal ones.
    pub(super) fn keep(&self, best: &mut Option<Best>, set: &[usize], figure: f64) {
        if best.as_ref().is_none_or(|known| self.aim.is_better(figure, known.figure)) {
            *best = Some(Best { set: set.to_vec(), figure });
        }
    }

    /// One choice more than a set, the best that is found by adding one and exchanging one for another as long as
    /// that is better.
    fn by_exchange(&self, start: &[usize], watch: &Watch<'_>) -> Option<Best> {
        let mut best = self.best_added(start, watch)?;
        loop {
            let exchanged: Vec<Vec<usize>> = best
                .set
                .iter()
                .flat_map(|gone| {
                    let rest: Vec<usize> = best.set.iter().copied().filter(|at| at != gone).collect();
                    self.outside(&best.set).into_iter().map(move |more| with(&rest, more))
                })
                .collect();
            match self.best_of(exchanged, watch) {
                Some(next) if self.aim.is_better(next.figure, best.figure) && !(watch.ends)() => best = next,
                _ => return Some(best),
            }
        }
    }

    /// One choice more than a set, the best of them.
    fn best_added(&self, start: &[usize], watch: &Watch<'_>) -> Option<Best> {
        self.best_of(self.outside(start).into_iter().map(|more| with(start, more)).collect(), watch)
    }

    /// The choices that are not in a set.
    fn outside(&self, set: &[usize]) -> Vec<usize> {
        (0..self.crosses.len()).filter(|at| !set.contains(at)).collect()
    }

    fn best_of(&self, sets: Vec<Vec<usize>>, watch: &Watch<'_>) -> Option<Best> {
        let may_be = |set: &Vec<usize>| (1..=set.len()).all(|count| self.allows(&set[..count]));
        let sets: Vec<Vec<usize>> = sets.into_iter().filter(may_be).collect();
        watch.more_to_try(sets.len());
        let figures: Vec<Option<f64>> = sets
            .par_iter()
            .map(|set| {
                if (watch.ends)() {
                    return None;
                }
                watch.tried_one();
                self.figure(set)
            })
            .collect();
        let mut best = None;
        for (set, figure) in sets.iter().zip(figures) {
            if let Some(figure) = figure {
                self.keep(&mut best, set, figure);
            }
        }
        best
    }

    /// The figure of one design.
    pub(super) fn figure(&self, set: &[usize]) -> Option<f64> {
        let walk = self.subsets.walk(Keep::All);
        match walk.table_of(set).filter(|_| !self.only_whole) {
            Some(table) => self.question.figure(&self.subsets.reading(&table), set),
            None => (self.whole)(set),
        }
    }
}

/// A set with one choice more, in order.
fn with(set: &[usize], more: usize) -> Vec<usize> {
    let mut next = set.to_vec();
    next.push(more);
    next.sort_unstable();
    next
}
