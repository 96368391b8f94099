//! The boxes that are open once there are enough of them, each searched by itself: what a search is divided into.
//!
//! A box is bounded by what was read on the way to it and in it, never by what was read in another, so that it costs
//! nothing to search it apart from the others; only a lighter design that one of them finds is not known to the rest.

use std::sync::atomic::{AtomicU64, Ordering};

use super::Told;
use super::bench::Bench;
use super::cut::{Sizes, Used};
use super::problem::{Design, Problem};
use super::progress::Progress;
use super::search::{Begun, Found, Open, Search};
use super::tree::{Closed, Node};
use super::trial::Trials;
use super::truss::{Narrowed, Truss};
use crate::studies::divided::{Answer, Hands, Units};

/// The boxes of a search that is to go on.
pub(super) struct Boxes<'s> {
    /// What is to be sized.
    pub(super) problem: &'s Problem<'s>,
    /// Every position of the adjusters.
    pub(super) benches: &'s [Bench],
    /// Bounds by linear programs.
    pub(super) truss: Option<&'s Truss>,
    /// How far it is.
    pub(super) progress: &'s Progress<'s>,
    /// The search so far.
    pub(super) found: &'s Found,
    /// Whether its open boxes are those of every run: nobody ended it before.
    pub(super) is_known: bool,
    /// How many boxes there may be; those that are not there are soon searched.
    pub(super) count: usize,
    /// Most boxes and linear programs together of each.
    pub(super) at_most: u64,
}

/// What came of a box.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Searched {
    /// The box: sizes that each group may have. Empty: there is no box of this number.
    pub(super) sizes: Sizes,
    /// The lightest design that was known before.
    pub(super) known: Option<Design>,
    /// A lighter one that passes.
    pub(super) best: Option<Design>,
    /// No lighter design of it passes, kg; `None`: it is closed.
    pub(super) least_kg: Option<f64>,
    /// How much that took.
    pub(super) spent: Spent,
    /// New cuts; in the tree they are numbered behind those that the box begins with.
    pub(super) cuts: Vec<Told>,
    /// Its parts; it is the first.
    pub(super) nodes: Vec<Node>,
    /// Stretches that were narrowed, by the part in which they were.
    pub(super) narrowed: Vec<(usize, Vec<Narrowed>)>,
    /// Whether nobody ended it.
    pub(super) is_whole: bool,
}

/// What a search takes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Spent {
    /// Boxes looked at.
    pub(super) boxes: u64,
    /// Linear programs solved.
    pub(super) programs: u64,
    /// Designs solved for what is read at once.
    pub(super) read: u64,
    /// Designs checked whole.
    pub(super) checked: u64,
}

impl Spent {
    /// Of a search and what it tried.
    pub(super) fn of(found: &Found, trials: &Trials<'_, '_>) -> Spent {
        let Found { boxes, programs, .. } = *found;
        let (read, checked) = (trials.read.load(Ordering::Relaxed), trials.checked.load(Ordering::Relaxed));
        Spent { boxes, programs, read, checked }
    }

    fn add(&mut self, more: Spent) {
        self.boxes += more.boxes;
        self.programs += more.programs;
        self.read += more.read;
        self.checked += more.checked;
    }
}

impl Boxes<'_> {
    /// What puts designs to the test, and counts them from none on.
    pub(super) fn trials(&self) -> Trials<'_, '_> {
        Trials { problem: self.problem, benches: self.benches, read: AtomicU64::new(0), checked: AtomicU64::new(0) }
    }

    fn told(&self, cut: &super::Cut) -> Told {
        Told::of(cut, self.benches)
    }
}

impl Units for Boxes<'_> {
    type Answer = Searched;

    fn count(&self) -> usize {
        self.count
    }

    fn asks_again(&self) -> bool {
        true
    }

    fn begins(&self, to_do: usize) {
        self.progress.wants(to_do as f64 / self.count as f64);
    }

    fn may_be(&self, unit: usize, answer: &Searched) -> bool {
        // Of what was ended before its boxes were known no answer is taken.
        !self.is_known || answer.fits(self, self.found.open.get(unit))
    }

    fn answer(&self, unit: usize) -> Option<Searched> {
        if !self.is_known || self.progress.ends() {
            return None;
        }
        Some(self.found.open.get(unit).map_or_else(Searched::nothing, |open| self.search(open, self.at_most)))
    }
}

/// A box that is searched again.
struct Again<'b> {
    boxes: &'b Boxes<'b>,
    unit: usize,
    at_most: u64,
}

impl Units for Again<'_> {
    type Answer = Searched;

    fn count(&self) -> usize {
        1
    }

    fn asks_again(&self) -> bool {
        true
    }

    fn may_be(&self, _: usize, answer: &Searched) -> bool {
        self.boxes.may_be(self.unit, answer)
    }

    fn answer(&self, _: usize) -> Option<Searched> {
        let boxes = self.boxes;
        (!boxes.progress.ends()).then(|| boxes.search(&boxes.found.open[self.unit], self.at_most))
    }
}

impl Boxes<'_> {
    /// Searches a box by itself; at most so many boxes and linear programs together.
    fn search(&self, open: &Open, at_most: u64) -> Searched {
        let trials = self.trials();
        let search = Search { problem: self.problem, trials: &trials, truss: self.truss, progress: self.progress };
        let begun = Begun {
            sizes: open.sizes.clone(),
            least_kg: open.least_kg,
            cuts: open.cuts.iter().map(|cut| self.found.cuts[*cut].clone()).collect(),
            ranges: open.ranges.clone(),
            best: self.found.best.clone(),
        };
        let found = search.run(begun, at_most, usize::MAX);
        let spent = Spent::of(&found, &trials);
        let least_kg = found.open.iter().map(|open| open.least_kg).reduce(f64::min);
        let mut nodes = found.tree.nodes;
        let own = used_alone(&mut nodes, open.cuts.len(), found.cuts.len());
        Searched {
            sizes: open.sizes.clone(),
            known: self.found.best.clone(),
            best: found.best.filter(|best| self.found.best.as_ref() != Some(best)),
            least_kg,
            spent,
            cuts: own.into_iter().map(|cut| self.told(&found.cuts[cut])).collect(),
            nodes,
            narrowed: found.tree.narrowed,
            is_whole: !self.progress.ends(),
        }
    }
}

/// Numbers the cuts from the first new one on anew, so that those are left that a tree uses; which that are.
fn used_alone(nodes: &mut [Node], first_new: usize, count: usize) -> Vec<usize> {
    let mut is_used = vec![false; count];
    let of_node = |node: &mut Node, each: &mut dyn FnMut(&mut Used)| {
        if let Node::Closed(Closed::Cuts(by)) = node {
            by.iter_mut().for_each(each);
        }
    };
    nodes.iter_mut().for_each(|node| of_node(node, &mut |used| is_used[used.cut] = true));
    let left: Vec<usize> = (first_new..count).filter(|cut| is_used[*cut]).collect();
    let mut place = vec![0; count];
    left.iter().enumerate().for_each(|(at, cut)| place[*cut] = first_new + at);
    nodes.iter_mut().for_each(|node| {
        of_node(node, &mut |used| {
            if used.cut >= first_new {
                used.cut = place[used.cut];
            }
        });
    });
    left
}

/// A search with all of its boxes.
pub(super) struct Joined {
    pub(super) best: Option<Design>,
    /// No design that passes is lighter, kg; infinite: none passes.
    pub(super) least_kg: f64,
    /// Whether every box is closed.
    pub(super) is_proven: bool,
    pub(super) spent: Spent,
    pub(super) cuts: Vec<Told>,
    pub(super) nodes: Vec<Node>,
    pub(super) narrowed: Vec<(usize, Vec<Narrowed>)>,
}

impl Boxes<'_> {
    /// Searches boxes again that are open still, the first first, with what all together left of what was allowed.
    /// `None`: the study is not to go on.
    pub(super) fn search_again(&self, answers: &mut [Option<Searched>], hands: &impl Hands) -> Option<()> {
        if !self.is_known {
            return Some(());
        }
        let spent = |answer: &Searched| answer.spent.boxes + answer.spent.programs;
        let shared = self.at_most * self.found.open.len() as u64;
        let mut left = shared.saturating_sub(answers.iter().flatten().map(spent).sum());
        for (unit, answer) in answers.iter_mut().enumerate() {
            let Some(first) = answer.as_mut().filter(|answer| answer.least_kg.is_some() && spent(answer) < left) else {
                continue;
            };
            let again = hands.answers(&Again { boxes: self, unit, at_most: left })?.pop().flatten();
            // What was ended early may be less than what there is.
            let Some(mut again) = again.filter(Searched::is_whole) else { break };
            left = left.saturating_sub(spent(&again));
            again.spent.add(first.spent);
            *first = again;
        }
        Some(())
    }

    /// The search, and what came of its boxes; `None` for one that nobody searched.
    pub(super) fn joined(&self, spent: Spent, answers: Vec<Option<Searched>>) -> Joined {
        let found = self.found;
        let mut joined = Joined {
            best: found.best.clone(),
            least_kg: f64::INFINITY,
            is_proven: true,
            spent,
            cuts: found.cuts.iter().map(|cut| self.told(cut)).collect(),
            nodes: found.tree.nodes.clone(),
            narrowed: found.tree.narrowed.clone(),
        };
        let mut answers = answers.into_iter().filter(|_| self.is_known);
        for open in &found.open {
            let answer = answers.next().flatten();
            let least_kg = answer.as_ref().map_or(Some(open.least_kg), |answer| answer.least_kg);
            joined.is_proven &= least_kg.is_none();
            joined.least_kg = joined.least_kg.min(least_kg.unwrap_or(f64::INFINITY));
            if let Some(answer) = answer {
                joined.put(self.problem, open, answer);
            }
        }
        let best_kg = joined.best.as_ref().map_or(f64::INFINITY, |best| self.problem.mass_of(best));
        joined.least_kg = joined.least_kg.min(best_kg);
        let count = joined.cuts.len();
        let used = used_alone(&mut joined.nodes, 0, count);
        joined.cuts = used.into_iter().map(|cut| joined.cuts[cut].clone()).collect();
        joined
    }
}

impl Joined {
    /// Puts what came of a box in its place.
    fn put(&mut self, problem: &Problem<'_>, open: &Open, answer: Searched) {
        self.spent.add(answer.spent);
        if let Some(design) = answer.best
            && self.best.as_ref().is_none_or(|best| problem.mass_of(&design) < problem.mass_of(best))
        {
            self.best = Some(design);
        }
        let (first_node, first_cut) = (self.nodes.len(), self.cuts.len());
        let cut = |cut: usize| open.cuts.get(cut).copied().unwrap_or(first_cut + cut - open.cuts.len());
        let place = |node: usize| if node == 0 { open.node } else { first_node + node - 1 };
        for (at, node) in answer.nodes.into_iter().enumerate() {
            let node = match node {
                Node::Split(group, sets, places) => Node::Split(group, sets, places.map(place)),
                Node::Closed(closed) => Node::Closed(closed.renumbered(cut)),
                Node::Open => Node::Open,
            };
            if at == 0 { self.nodes[open.node] = node } else { self.nodes.push(node) }
        }
        self.cuts.extend(answer.cuts);
        // What was narrowed on the way to the box is before what was narrowed in it.
        for (node, narrowed) in answer.narrowed {
            self.narrowed.push((place(node), narrowed));
        }
    }
}
