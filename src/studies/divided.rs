//! Long studies as units of work that can be done anywhere and in any order.
//!
//! A study says what it is made of ([`Units`]) and what it makes of the answers; whoever runs it says who does
//! them ([`Hands`]): all here and now ([`Here`]), a part of them with the answers kept in a file, or none, where
//! all answers lie in files already. So parts, resuming and gathering are written once, outside of studies.

use rayon::prelude::*;
use serde_json::Value;

use crate::source::Read;

/// What a unit of work gives: it can be written, and read back as the very same.
pub trait Answer: Read + Send {
    /// As JSON, numbers in full.
    fn written(&self) -> Value;

    /// Whether the unit was done to its end; one that was not may be shown, but is not kept.
    fn is_whole(&self) -> bool {
        true
    }
}

/// What a study is made of.
pub trait Units: Sync {
    /// What one of them gives.
    type Answer: Answer;

    /// How many there are.
    fn count(&self) -> usize;

    /// Whether the study may ask for more that hang on what comes of these. Parts are of the first round; whoever
    /// has all of its answers does the others too.
    fn asks_again(&self) -> bool {
        false
    }

    /// Whether they are done one after another, the first first: where each is work for all threads, and what comes
    /// of one may spare others.
    fn one_by_one(&self) -> bool {
        false
    }

    /// Hears an answer that a file holds, before any is done here.
    fn hears(&self, _unit: usize, _answer: &Self::Answer) {}

    /// Hears how many of them are to be done here, before the first.
    fn begins(&self, _to_do: usize) {}

    /// Whether what a file holds can be the answer of a unit; what it says may be anything.
    fn may_be(&self, unit: usize, answer: &Self::Answer) -> bool;

    /// Does one; `None`: it was ended before it was through.
    fn answer(&self, unit: usize) -> Option<Self::Answer>;
}

/// Who does the units of a study.
pub trait Hands {
    /// All answers in the order of the units, `None` for each that was not done before the study was ended;
    /// nothing at all where only a part was asked for, and the study is not to go on.
    fn answers<U: Units>(&self, units: &U) -> Option<Vec<Option<U::Answer>>>;
}

/// All units here and now, by as many threads as there are, or one after another.
pub struct Here;

impl Hands for Here {
    fn answers<U: Units>(&self, units: &U) -> Option<Vec<Option<U::Answer>>> {
        units.begins(units.count());
        let all = 0..units.count();
        Some(if units.one_by_one() {
            all.map(|unit| units.answer(unit)).collect()
        } else {
            all.into_par_iter().map(|unit| units.answer(unit)).collect()
        })
    }
}
