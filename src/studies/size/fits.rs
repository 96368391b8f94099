//! Whether what a file says can be the answer of a box that was searched by itself: it may say anything, and nothing
//! that reads the answer is to trip over it.

use super::Told;
use super::boxes::{Boxes, Searched, Spent};
use super::cut::Sizes;
use super::problem::MOST_SIZES;
use super::search::Open;
use super::tree::{Closed, Node};
use super::truss::{Dual, Narrowed, Truss};

/// More than any search takes, so that no sum of counts runs over.
const MOST: u64 = 1_000_000_000_000_000;

impl Searched {
    /// What stands for a box that is not there.
    pub(super) fn nothing() -> Searched {
        Searched {
            sizes: Vec::new(),
            known: None,
            best: None,
            least_kg: None,
            spent: Spent::default(),
            cuts: Vec::new(),
            nodes: Vec::new(),
            narrowed: Vec::new(),
            is_whole: true,
        }
    }

    /// Whether this can be the answer of a box; `open`: the box, if there is one of that number.
    pub(super) fn fits(&self, boxes: &Boxes<'_>, open: Option<&Open>) -> bool {
        let Some(open) = open else { return *self == Searched::nothing() };
        let Spent { boxes: looked, programs, read, checked } = self.spent;
        self.sizes == open.sizes
            && self.known == boxes.found.best
            && [looked, programs, read, checked].into_iter().all(|count| count <= MOST)
            && self.best_fits(boxes)
            && self.cuts.iter().all(|cut| is_cut(cut, boxes))
            && self.tree_fits(boxes, open)
    }

    /// Whether the best is a design of the box that is lighter than what was known, and passes.
    fn best_fits(&self, boxes: &Boxes<'_>) -> bool {
        let Some(best) = &self.best else { return true };
        let mass_kg = |design| boxes.problem.mass_of(design);
        is_in(best, &self.sizes)
            && self.known.as_ref().is_none_or(|known| mass_kg(best) < mass_kg(known))
            && boxes.trials().passes(best, true).is_ok()
    }

    /// Whether the parts of the box are all of it, and what closes them is of its shape.
    fn tree_fits(&self, boxes: &Boxes<'_>, open: &Open) -> bool {
        let n_cuts = open.cuts.len() + self.cuts.len();
        let (mut seen, mut n_open) = (0, 0);
        let mut waiting = vec![(0, self.sizes.clone())];
        while let Some((at, sizes)) = waiting.pop() {
            let Some(node) = self.nodes.get(at) else { return false };
            seen += 1;
            let fits = match node {
                Node::Open => {
                    n_open += 1;
                    true
                }
                Node::Split(group, [one, other], places) => {
                    let whole = sizes.get(*group).copied();
                    for (set, place) in [one, other].into_iter().zip(places) {
                        let mut sizes = sizes.clone();
                        sizes.get_mut(*group).into_iter().for_each(|own| *own = *set);
                        waiting.push((*place, sizes));
                    }
                    // Parts stand behind what they are parts of, so that none is a part of itself.
                    whole == Some(one | other) && one & other == 0 && places[0] > at
                }
                Node::Closed(Closed::Cuts(by)) => by.iter().all(|used| used.cut < n_cuts),
                Node::Closed(Closed::Program(dual)) => boxes.truss.is_some_and(|truss| is_dual(dual, truss)),
                Node::Closed(_) => true,
            };
            if !fits || seen > self.nodes.len() {
                return false;
            }
        }
        let narrowed = self.narrowed.iter().all(|(node, all)| {
            let fits = |to: &Narrowed| {
                let is_there = |truss: &Truss| to.side < truss.sides.len() && to.bar < truss.bars.len();
                to.end <= 1 && boxes.truss.is_some_and(|truss| is_there(truss) && is_dual(&to.by, truss))
            };
            *node < self.nodes.len() && all.iter().all(fits)
        });
        let is_bound = self.least_kg.is_none_or(|least| least >= open.least_kg);
        seen == self.nodes.len() && narrowed && is_bound && (n_open == 0) == self.least_kg.is_none()
    }
}

fn is_in(design: &[usize], sizes: &Sizes) -> bool {
    design.len() == sizes.len()
        && design.iter().zip(sizes).all(|(size, set)| *size < MOST_SIZES && set >> size & 1 == 1)
}

fn is_cut(cut: &Told, boxes: &Boxes<'_>) -> bool {
    let (n_groups, n_sizes) = (boxes.problem.groups.len(), boxes.problem.stock.len());
    let is_design = cut.at.len() == n_groups && cut.at.iter().all(|size| *size < n_sizes);
    is_design && cut.only_with.is_none_or(|(group, size)| group < n_groups && size < n_sizes)
}

fn is_dual(dual: &Dual, truss: &Truss) -> bool {
    let sides = truss.sides.len();
    [dual.v.len(), dual.w.len(), dual.limits.len()] == [sides; 3]
        && dual.v.iter().all(|v| v.len() == truss.n)
        && dual.w.iter().all(|w| w.len() == truss.bars.len())
        && dual.limits.iter().zip(&truss.sides).all(|(limits, side)| limits.len() == side.limits.len())
}
