//! Every set of some choices in pieces of work: which of the first choices are in it is fixed for each.

use std::ops::ControlFlow;

use schemars::{Schema, SchemaGenerator, json_schema};
use serde_json::{Value, json};

use super::search::{Best, Search};
use crate::math::{Keep, Seen};
use crate::source::{Node, Read, Reader};
use crate::studies::Watch;
use crate::studies::divided::{Answer, Units};

/// The pieces: a bit of their number is a choice that is in all of its sets.
pub(super) struct Beginnings<'s> {
    pub(super) search: &'s Search<'s>,
    /// Most choices of a set.
    pub(super) most: usize,
    pub(super) watch: &'s Watch<'s>,
    /// How many choices are fixed.
    pub(super) shared: usize,
}

/// The best sets of a piece, one of each size at most.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct OfBeginning {
    pub(super) best: Vec<Best>,
    /// How many sets were tried.
    pub(super) tried: u64,
    is_whole: bool,
}

/// As lists of numbers: how many were tried, then of each set its figure and its choices.
impl Answer for OfBeginning {
    fn written(&self) -> Value {
        let head = json!([self.tried]);
        let of_set = |best: &Best| {
            let set = best.set.iter().map(|at| json!(at));
            std::iter::once(json!(best.figure)).chain(set).collect::<Value>()
        };
        std::iter::once(head).chain(self.best.iter().map(of_set)).collect()
    }

    fn is_whole(&self) -> bool {
        self.is_whole
    }
}

impl Read for OfBeginning {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let lists = Vec::<Vec<f64>>::read(node, reader)?;
        /// More than any search tries, so that no sum of counts runs over.
        const MOST: f64 = 1e15;
        let whole = |value: &f64| ((0.0..=MOST).contains(value) && value.fract() == 0.0).then_some(*value as usize);
        let of_set = |list: &Vec<f64>| {
            let (figure, set) = list.split_first()?;
            Some(Best { set: set.iter().map(whole).collect::<Option<_>>()?, figure: *figure })
        };
        let read = lists.split_first().and_then(|(head, sets)| {
            let [tried] = head.as_slice() else { return None };
            let best = sets.iter().map(of_set).collect::<Option<_>>()?;
            Some(OfBeginning { best, tried: whole(tried)? as u64, is_whole: true })
        });
        read.or_else(|| reader.refuse(node, "expected a count, then of each set its figure and its choices"))
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "array", "items": { "type": "array", "items": { "type": "number" } } })
    }
}

impl Beginnings<'_> {
    fn beginning(&self, unit: usize) -> Vec<usize> {
        (0..self.shared).filter(|at| unit >> at & 1 == 1).collect()
    }
}

impl Units for Beginnings<'_> {
    type Answer = OfBeginning;

    fn count(&self) -> usize {
        1 << self.shared
    }

    fn may_be(&self, unit: usize, answer: &OfBeginning) -> bool {
        let with = self.beginning(unit);
        let n = self.search.crosses.len();
        answer.best.iter().all(|Best { set, .. }| {
            let rises = set.windows(2).all(|pair| pair[0] < pair[1]) && set.iter().all(|at| *at < n);
            let begins = set.iter().copied().filter(|at| *at < self.shared).eq(with.iter().copied());
            rises && begins && set.len() <= self.most
        })
    }

    fn answer(&self, unit: usize) -> Option<OfBeginning> {
        let Beginnings { search, most, watch, shared } = self;
        let with = self.beginning(unit);
        let mut best: Vec<Option<Best>> = vec![None; most + 1];
        let mut tried = 0;
        // The beginnings were not asked set by set.
        if (1..=with.len()).all(|count| search.allows(&with[..count])) {
            let walk = search.subsets.walk_allowed(Keep::All, *most, |set: &[usize]| search.allows(set));
            let _ = walk.each(&with, *shared, &mut |set, seen| {
                if (watch.ends)() {
                    return ControlFlow::Break(());
                }
                let figure = match seen {
                    Seen::Table(table) if !search.only_whole => {
                        search.question.figure(&search.subsets.reading(table), set)
                    }
                    _ => (search.whole)(set),
                };
                if let Some(figure) = figure {
                    search.keep(&mut best[set.len()], set, figure);
                }
                tried += 1;
                watch.tried_one();
                ControlFlow::Continue(())
            });
        }
        // What was found before somebody ended it counts, but it is not all.
        Some(OfBeginning { best: best.into_iter().flatten().collect(), tried, is_whole: !(watch.ends)() })
    }
}
