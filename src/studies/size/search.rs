//! Branch and bound over boxes: sizes that each group may have.
//!
//! A box is closed where it holds no design that is lighter than the best, or none that is within its limits; a single
//! design is put to the test. The boxes with the least bound come first, so that the least bound of those that are
//! open is one for all designs at any time. Boxes are looked at in batches whose answers are taken in order, so that
//! the same comes out whatever the number of threads.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use rayon::prelude::*;

use super::cut::{Cut, Sizes, Used, bound, in_set};
use super::problem::{Design, MOST_SIZES, Problem};
use super::progress::Progress;
use super::reading::Reading;
use super::tree::{Closed, Tree};
use super::trial::Trials;
use super::truss::{Narrowed, Ranges, Truss};

/// Boxes that are looked at together.
const BATCH: usize = 64;
/// The same where each asks for many linear programs.
const BATCH_OF_PROGRAMS: usize = 8;
/// So many open boxes are enough to search each by itself.
pub(super) const ENOUGH: usize = 64;
/// The same where each asks for many linear programs.
pub(super) const ENOUGH_OF_PROGRAMS: usize = 24;
/// More are never open then: each box of a batch makes one more of them.
pub(super) const MOST_OPEN: usize = ENOUGH + BATCH;
/// Cuts that a box hands on.
const HANDED_ON: usize = 24;
/// How often a box is bounded with new cuts before it is split.
const ROUNDS: usize = 4;
/// Less than this part of the bound gained: no more cuts.
const GAIN: f64 = 1e-3;
/// A design counts as lighter by more than this part of the best.
pub const EQUAL: f64 = 1e-9;

/// An open box.
pub(super) struct Open {
    /// Its place in the tree.
    pub(super) node: usize,
    pub(super) sizes: Sizes,
    /// No design of it weighs less, kg.
    pub(super) least_kg: f64,
    /// Cuts to begin with.
    pub(super) cuts: Vec<usize>,
    /// Ranges of stretches of a truss, where they were narrowed.
    pub(super) ranges: Option<Ranges>,
}

impl Open {
    /// The order that boxes come in: by their bound, then as they were made.
    fn key(&self) -> (u64, usize) {
        // Masses are not negative: their bits are in their order.
        (self.least_kg.max(0.0).to_bits(), self.node)
    }
}

/// What came of looking at a box.
struct Looked {
    closed: Option<Closed>,
    least_kg: f64,
    cuts: Vec<usize>,
    new: Vec<Cut>,
    passes: Option<Design>,
    split: Option<(usize, u128)>,
    ranges: Option<Ranges>,
    narrowed: Vec<Narrowed>,
    programs: u64,
}

/// A box to begin with, and what is known of it.
pub(super) struct Begun {
    pub(super) sizes: Sizes,
    /// No design of it weighs less, kg.
    pub(super) least_kg: f64,
    /// Cuts that it begins with.
    pub(super) cuts: Vec<Cut>,
    /// Ranges of stretches of a truss, where they were narrowed.
    pub(super) ranges: Option<Ranges>,
    /// The lightest design so far that passes, of this box or another.
    pub(super) best: Option<Design>,
}

impl Begun {
    /// All designs.
    pub(super) fn whole(problem: &Problem<'_>, best: Option<Design>) -> Begun {
        let least_kg = problem.kept_kg + problem.mass_kg.iter().map(|masses| masses[0]).sum::<f64>();
        Begun { sizes: all_sizes(problem), least_kg, cuts: Vec::new(), ranges: None, best }
    }
}

/// What a search found.
pub(super) struct Found {
    /// The lightest design that passes.
    pub(super) best: Option<Design>,
    /// The boxes that are not closed, those with the least bound first.
    pub(super) open: Vec<Open>,
    /// Boxes looked at.
    pub(super) boxes: u64,
    /// Linear programs solved.
    pub(super) programs: u64,
    /// All cuts, first those that it began with.
    pub(super) cuts: Vec<Cut>,
    /// All boxes.
    pub(super) tree: Tree,
}

/// The search.
pub(super) struct Search<'s, 'p, 'm> {
    /// What is to be sized.
    pub(super) problem: &'s Problem<'m>,
    /// How designs are judged.
    pub(super) trials: &'s Trials<'p, 'm>,
    /// Bounds by linear programs, where the groups are of two-force tubes.
    pub(super) truss: Option<&'s Truss>,
    /// How far it is.
    pub(super) progress: &'s Progress<'s>,
}

impl Search<'_, '_, '_> {
    /// Searches a box until every part of it is closed, or somebody ends it, or so many boxes and linear programs
    /// together were looked at, or so many boxes are open.
    pub(super) fn run(&self, begun: Begun, at_most: u64, most_open: usize) -> Found {
        let problem = self.problem;
        let Begun { sizes, least_kg, cuts, ranges, mut best } = begun;
        let mut found = Found { best: None, open: Vec::new(), boxes: 0, programs: 0, cuts, tree: Tree::new() };
        let mut open: BinaryHeap<Reverse<((u64, usize), usize)>> = BinaryHeap::new();
        let mut waiting: Vec<Option<Open>> = Vec::new();
        let put = |open: &mut BinaryHeap<_>, waiting: &mut Vec<Option<Open>>, next: Open| {
            open.push(Reverse((next.key(), waiting.len())));
            waiting.push(Some(next));
        };
        let handed_on = (0..found.cuts.len()).collect();
        put(&mut open, &mut waiting, Open { node: 0, sizes, least_kg, cuts: handed_on, ranges });
        let goes_on = |found: &Found, n_open: usize| {
            (1..most_open).contains(&n_open) && found.boxes + found.programs < at_most && !self.progress.ends()
        };
        while goes_on(&found, open.len()) {
            let mut batch: Vec<Open> = Vec::new();
            while batch.len() < if self.truss.is_some() { BATCH_OF_PROGRAMS } else { BATCH }
                && let Some(Reverse((_, at))) = open.pop()
            {
                batch.push(waiting[at].take().expect("a box is open once"));
            }
            let best_kg = best.as_ref().map_or(f64::INFINITY, |best| problem.mass_of(best));
            let looked: Vec<Looked> = batch.par_iter().map(|open| self.look(open, best_kg, &found.cuts)).collect();
            let mut settled = 0.0;
            let before = found.boxes;
            for (box_, looked) in batch.into_iter().zip(looked) {
                found.boxes += 1;
                found.programs += looked.programs;
                let base = found.cuts.len();
                let renumbered = |cut: usize| if cut < NEW { cut } else { base + cut - NEW };
                found.cuts.extend(looked.new);
                found.tree.narrow(box_.node, looked.narrowed);
                if let Some(design) = looked.passes
                    && best.as_ref().is_none_or(|best| problem.mass_of(&design) < problem.mass_of(best))
                {
                    best = Some(design);
                }
                if let Some(closed) = looked.closed {
                    settled += share(&box_.sizes, problem.stock.len());
                    found.tree.close(box_.node, closed.renumbered(renumbered));
                    continue;
                }
                let Some((group, part)) = looked.split else {
                    // Ended midway: it stays open.
                    put(&mut open, &mut waiting, box_);
                    continue;
                };
                let handed_on: Vec<usize> = looked.cuts.into_iter().map(renumbered).collect();
                let rest = box_.sizes[group] & !part;
                let nodes = found.tree.split(box_.node, group, [part, rest]);
                for (node, set) in nodes.into_iter().zip([part, rest]) {
                    let mut sizes = box_.sizes.clone();
                    sizes[group] = set;
                    let child = Open {
                        node,
                        sizes,
                        least_kg: looked.least_kg,
                        cuts: handed_on.clone(),
                        ranges: looked.ranges.clone(),
                    };
                    put(&mut open, &mut waiting, child);
                }
            }
            self.progress.looked(found.boxes - before, settled);
        }
        while let Some(Reverse((_, at))) = open.pop() {
            found.open.extend(waiting[at].take());
        }
        Found { best, ..found }
    }

    /// Looks at one box; new cuts are numbered from [`NEW`] on.
    fn look(&self, open: &Open, best_kg: f64, cuts: &[Cut]) -> Looked {
        let problem = self.problem;
        let mut looked = Looked {
            closed: None,
            least_kg: open.least_kg,
            cuts: open.cuts.clone(),
            new: Vec::new(),
            passes: None,
            split: None,
            ranges: None,
            narrowed: Vec::new(),
            programs: 0,
        };
        if self.progress.ends() {
            return looked;
        }
        let enough_kg = best_kg * (1.0 - EQUAL);
        let lightest = lightest(&open.sizes);
        if problem.mass_of(&lightest) >= enough_kg {
            looked.closed = Some(Closed::Heavier);
            return looked;
        }
        if open.sizes.iter().all(|set| set.count_ones() == 1) {
            looked.closed = Some(match self.trials.passes(&lightest, true) {
                Ok(()) => {
                    looked.passes = Some(lightest);
                    Closed::Passes
                }
                Err(fails) => Closed::Fails(fails),
            });
            return looked;
        }
        if let Some(truss) = self.truss {
            self.look_by_programs(truss, open, best_kg, &mut looked);
            return looked;
        }
        let mut read: Vec<Design> = Vec::new();
        let mut worst: Option<Reading> = None;
        for _ in 0..ROUNDS {
            let at_hand = looked.cuts.iter().map(|at| (*at, &cuts[*at]));
            let new = looked.new.iter().enumerate().map(|(at, cut)| (NEW + at, cut));
            let bounded = bound(&open.sizes, &problem.mass_kg, problem.kept_kg, at_hand.chain(new));
            let gained = bounded.least_kg > looked.least_kg * (1.0 + GAIN);
            looked.least_kg = looked.least_kg.max(bounded.least_kg);
            if bounded.least_kg >= enough_kg || bounded.least_kg.is_infinite() {
                looked.closed = Some(Closed::Cuts(bounded.by));
                return looked;
            }
            if (!gained && !read.is_empty()) || self.trials.benches.is_empty() {
                break;
            }
            let next = [bounded.at, heaviest(&open.sizes)].into_iter().find(|design| !read.contains(design));
            let Some(next) = next else { break };
            let over = self.trials.over(&next);
            if over.is_empty() && problem.mass_of(&next) < enough_kg && self.trials.passes_whole(&next).is_ok() {
                // Better than the best: what is left of this box is looked at once that is known.
                looked.passes = Some(next);
                break;
            }
            worst = over.first().cloned().or(worst);
            looked.new.extend(self.cuts_of(&next, over));
            read.push(next);
        }
        let (kept, last) = (looked.cuts.len(), NEW + looked.new.len());
        looked.cuts.extend(NEW..last);
        if looked.cuts.len() > HANDED_ON {
            looked.cuts.drain(..kept.min(looked.cuts.len() - HANDED_ON));
        }
        looked.split = Some(self.split(&open.sizes, worst.as_ref()));
        looked
    }

    /// The same by linear programs.
    fn look_by_programs(&self, truss: &Truss, open: &Open, best_kg: f64, looked: &mut Looked) {
        let problem = self.problem;
        let ends = || self.progress.ends();
        // Where nothing is known to pass: more than any design weighs.
        let heaviest_kg = problem.mass_of(&vec![problem.stock.len() - 1; problem.groups.len()]);
        let enough_kg = (best_kg * (1.0 - EQUAL)).min(1.01 * heaviest_kg);
        let mut ranges = open.ranges.clone().unwrap_or_else(|| truss.ranges());
        let mut part = vec![0.5; open.sizes.len()];
        for round in 0..ROUNDS {
            looked.programs += 1;
            let Some(bounded) = truss.bound(problem, &open.sizes, &ranges, enough_kg) else { break };
            let gained = bounded.least_kg > looked.least_kg * (1.0 + GAIN);
            looked.least_kg = looked.least_kg.max(bounded.least_kg);
            if bounded.least_kg >= enough_kg {
                looked.closed = Some(Closed::Program(Box::new(bounded.dual)));
                return;
            }
            part = bounded.part;
            if (round > 0 && !gained) || best_kg.is_infinite() {
                break;
            }
            let (narrowed, programs) = truss.narrow(problem, &open.sizes, &mut ranges, best_kg, &ends);
            looked.programs += programs;
            let is_enough = narrowed.is_empty();
            let none_left = narrowed.iter().any(|to| ranges[to.side][to.bar][0] > ranges[to.side][to.bar][1]);
            looked.narrowed.extend(narrowed);
            if none_left {
                looked.closed = Some(Closed::Empty);
                return;
            }
            if is_enough {
                break;
            }
        }
        if !ends() {
            looked.ranges = Some(ranges);
            looked.split = Some(self.split_at(&open.sizes, &part));
        }
    }

    /// The group whose part of its range is worst told by the ends of it, and the sizes below that.
    fn split_at(&self, sizes: &Sizes, part: &[f64]) -> (usize, u128) {
        let off = |group: usize| {
            let range =
                at_part(self.problem, sizes[group], group, 1.0) - at_part(self.problem, sizes[group], group, 0.0);
            // What is at an end may be wrong too, only less likely.
            range * (part[group].min(1.0 - part[group]) + 0.02)
        };
        let group = (0..sizes.len())
            .filter(|group| sizes[*group].count_ones() > 1)
            .reduce(|best, next| if off(next) > off(best) { next } else { best })
            .expect("a box of one design is not split");
        let at = at_part(self.problem, sizes[group], group, part[group].clamp(0.1, 0.9));
        let all: Vec<usize> = in_set(sizes[group]).collect();
        let below = all.iter().filter(|size| self.problem.mass_kg[group][**size] < at).count();
        let below = below.clamp(1, all.len() - 1);
        (group, all[..below].iter().fold(0, |set, size| set | 1 << size))
    }

    /// The cuts of what was read of a design.
    fn cuts_of(&self, design: &[usize], over: Vec<Reading>) -> Vec<Cut> {
        let of_bench = |bench: usize| self.trials.benches[bench].assortment.solve(design).ok();
        let mut answer = None;
        let mut cuts = Vec::new();
        for reading in over {
            if answer.as_ref().is_none_or(|(bench, _)| *bench != reading.bench) {
                answer = Some((reading.bench, of_bench(reading.bench)));
            }
            let Some((bench, Some(answer))) = &answer else { continue };
            let differences = self.trials.benches[*bench].assortment.differences(answer, &reading.row, reading.side);
            cuts.push(Cut::new(reading, design.to_vec(), differences));
        }
        cuts
    }

    /// The group to split, and the sizes of the first part.
    fn split(&self, sizes: &Sizes, worst: Option<&Reading>) -> (usize, u128) {
        if let Some((group, size)) = worst.and_then(|reading| reading.only_with)
            && sizes[group].count_ones() > 1
            && sizes[group] >> size & 1 == 1
        {
            return (group, 1 << size);
        }
        let spread = |group: usize| {
            let masses = &self.problem.mass_kg[group];
            let set = sizes[group];
            masses[last_of(set)] - masses[set.trailing_zeros() as usize]
        };
        let group = (0..sizes.len())
            .filter(|group| sizes[*group].count_ones() > 1)
            .reduce(|best, next| if spread(next) > spread(best) { next } else { best })
            .expect("a box of one design is not split");
        let all: Vec<usize> = in_set(sizes[group]).collect();
        (group, all[..all.len() / 2].iter().fold(0, |set, size| set | 1 << size))
    }
}

/// Cuts that are new in a box are numbered from here on until they have their place.
const NEW: usize = 1 << 40;

impl Closed {
    /// With other numbers for its cuts.
    pub(super) fn renumbered(self, cut: impl Fn(usize) -> usize) -> Closed {
        match self {
            Closed::Cuts(by) => Closed::Cuts(by.into_iter().map(|used| Used { cut: cut(used.cut), ..used }).collect()),
            other => other,
        }
    }
}

/// The box of all designs.
fn all_sizes(problem: &Problem<'_>) -> Sizes {
    let all = u128::MAX >> (MOST_SIZES - problem.stock.len());
    vec![all; problem.groups.len()]
}

/// The mass of a group at a part of the range of a set of sizes, kg.
fn at_part(problem: &Problem<'_>, set: u128, group: usize, part: f64) -> f64 {
    let masses = &problem.mass_kg[group];
    let (low, high) = (masses[set.trailing_zeros() as usize], masses[last_of(set)]);
    low + part * (high - low)
}

fn lightest(sizes: &Sizes) -> Design {
    sizes.iter().map(|set| set.trailing_zeros() as usize).collect()
}

fn heaviest(sizes: &Sizes) -> Design {
    sizes.iter().map(|set| last_of(*set)).collect()
}

fn last_of(set: u128) -> usize {
    set.ilog2() as usize
}

/// The part of all designs that a box holds.
fn share(sizes: &Sizes, n_sizes: usize) -> f64 {
    sizes.iter().map(|set| f64::from(set.count_ones()) / n_sizes as f64).product()
}
