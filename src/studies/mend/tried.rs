//! Changes put into the file and checked.

use std::collections::{BTreeMap, HashMap};
use std::sync::{Mutex, MutexGuard, PoisonError};

use rayon::prelude::*;
use serde_json::{Value, json};

use super::changes::{Change, Target, merge};
use super::{IN_PAIRS, Key, key_of};
use crate::checks::{Check, exceeds_limit};
use crate::model::{Model, Written};
use crate::run::{Checked, check_for_verdict};
use crate::source::Document;
use crate::studies::Watch;
use crate::studies::divided::Units;

/// What came of some changes.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Tried {
    /// Mass of frame and suspension, kg.
    pub(super) mass_kg: f64,
    /// The largest utilisation of each check and place, twins as one.
    pub(super) used: BTreeMap<Key, f64>,
    /// Of them those that fail.
    pub(super) failing: BTreeMap<Key, f64>,
    /// The largest utilisation of all that counts.
    pub(super) worst: f64,
}

impl Tried {
    pub(super) fn of(checked: &Checked) -> Tried {
        let mut used = BTreeMap::new();
        for finding in checked.verdict.all() {
            let most: &mut f64 = used.entry(key_of(finding)).or_default();
            *most = most.max(finding.utilisation);
        }
        let mass = &checked.outcome.mass;
        Tried::with(mass.frame_kg + mass.arms_kg, used)
    }

    /// From the largest utilisation of each check and place.
    pub(super) fn with(mass_kg: f64, used: BTreeMap<Key, f64>) -> Tried {
        let of = |keep: &dyn Fn(&Key, f64) -> bool| {
            let kept = used.iter().filter(|(key, utilisation)| keep(key, **utilisation));
            kept.map(|(key, utilisation)| (key.clone(), *utilisation)).collect::<BTreeMap<Key, f64>>()
        };
        let failing = of(&|_, utilisation| exceeds_limit(utilisation));
        // A wall counts only where it fails.
        let counting = of(&|key, utilisation| key.0 != Check::Wall.name() || exceeds_limit(utilisation));
        let worst = counting.values().copied().fold(0.0, f64::max);
        Tried { mass_kg, used, failing, worst }
    }

    /// The utilisation of one thing; 0 where it is no more there.
    pub(super) fn of_key(&self, key: &Key) -> f64 {
        self.used.get(key).copied().unwrap_or(0.0)
    }

    /// By how much all that fails is over, together.
    pub(super) fn excess(&self) -> f64 {
        self.failing.values().map(|utilisation| utilisation - 1.0).sum()
    }
}

/// Where changes are tried, each set of them once.
pub(super) struct Bench<'b> {
    written: &'b Written,
    pub(super) watch: &'b Watch<'b>,
    known: Mutex<HashMap<String, Option<Tried>>>,
}

impl<'b> Bench<'b> {
    pub(super) fn new(written: &'b Written, watch: &'b Watch<'b>) -> Self {
        Bench { written, watch, known: Mutex::default() }
    }

    fn known(&self) -> MutexGuard<'_, HashMap<String, Option<Tried>>> {
        // What is known is whole even where somebody panicked over it.
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The model with some changes, read from the file as it would stand with them.
    pub(super) fn model(&self, changes: &[&Change]) -> Option<Model> {
        self.read(option(changes).to_string())
    }

    fn read(&self, option: String) -> Option<Model> {
        let option = Document::read(option.into_bytes()).ok()?;
        self.written.with("mended", &option.root).ok()
    }

    /// What comes of each set of changes; `None`: it makes no valid or no sound model, or the search is to end.
    pub(super) fn each<'c, S: AsRef<[&'c Change]> + Sync>(&self, sets: &[S]) -> Vec<Option<Tried>> {
        self.watch.more_to_try(sets.len());
        sets.par_iter().map(|set| self.one(set.as_ref())?.tried).collect()
    }

    /// What comes of some changes; `None`: the search is to end.
    fn one(&self, changes: &[&Change]) -> Option<Outcome> {
        if (self.watch.ends)() {
            return None;
        }
        self.watch.tried_one();
        let option = option(changes).to_string();
        if let Some(tried) = self.known().get(&option) {
            return Some(Outcome { tried: tried.clone() });
        }
        let model = self.read(option.clone());
        let tried = model.and_then(|model| check_for_verdict(&model).ok()).map(|checked| Tried::of(&checked));
        self.known().insert(option, tried.clone());
        Some(Outcome { tried })
    }

    /// Knows what comes of a change without trying it.
    pub(super) fn knows(&self, change: &Change, outcome: &Outcome) {
        self.known().insert(option(&[change]).to_string(), outcome.tried.clone());
    }

    /// How many sets of changes were tried, and how many of them make no valid or no sound model.
    pub(super) fn counts(&self) -> (usize, usize) {
        let known = self.known();
        (known.len(), known.values().filter(|tried| tried.is_none()).count())
    }

    /// Pairs of changes that each help one thing, where together they could weigh less than what mends it alone.
    pub(super) fn pairs<'c>(
        &self,
        base: &Tried,
        key: &Key,
        singles: &[(Vec<&'c Change>, Tried)],
    ) -> Vec<(Vec<&'c Change>, Tried)> {
        let mended =
            singles.iter().filter(|(_, tried)| !tried.failing.contains_key(key) && super::does_no_harm(base, tried));
        let lightest_kg = mended.map(|(_, tried)| tried.mass_kg).fold(f64::INFINITY, f64::min);
        let is_brace = |change: &Change| matches!(change.target, Target::Brace(_));
        let helping = |braces: bool| {
            let mut helping: Vec<&(Vec<&Change>, Tried)> = singles
                .iter()
                .filter(|(changes, tried)| is_brace(changes[0]) == braces && tried.of_key(key) < base.of_key(key))
                .collect();
            let gain = |tried: &Tried| {
                (base.of_key(key) - tried.of_key(key)) / (tried.mass_kg - base.mass_kg).max(super::LEAST_KG)
            };
            helping.sort_by(|one, other| gain(&other.1).total_cmp(&gain(&one.1)));
            helping.truncate(IN_PAIRS);
            helping
        };
        let helping: Vec<&(Vec<&Change>, Tried)> = helping(true).into_iter().chain(helping(false)).collect();
        let mut sets: Vec<Vec<&Change>> = Vec::new();
        for (at, (one, first)) in helping.iter().enumerate() {
            for (other, second) in &helping[at + 1..] {
                let together_kg = first.mass_kg + second.mass_kg - base.mass_kg;
                if one[0].target != other[0].target && together_kg < lightest_kg {
                    sets.push(vec![one[0], other[0]]);
                }
            }
        }
        let tried = self.each(&sets);
        sets.into_iter().zip(tried).filter_map(|(set, tried)| Some((set, tried?))).collect()
    }
}

/// What comes of some changes.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Outcome {
    /// `None`: they make no valid or no sound model.
    pub(super) tried: Option<Tried>,
}

/// The changes one by one: what a search for mends is divided into.
pub(super) struct Singles<'s> {
    pub(super) bench: &'s Bench<'s>,
    pub(super) all: &'s [Change],
}

impl Units for Singles<'_> {
    type Answer = Outcome;

    fn count(&self) -> usize {
        self.all.len()
    }

    fn begins(&self, to_do: usize) {
        self.bench.watch.more_to_try(to_do);
    }

    fn may_be(&self, _: usize, answer: &Outcome) -> bool {
        let is_sound = |tried: &Tried| tried.mass_kg >= 0.0 && tried.used.values().all(|used| *used >= 0.0);
        answer.tried.as_ref().is_none_or(is_sound)
    }

    fn answer(&self, unit: usize) -> Option<Outcome> {
        self.bench.one(&[&self.all[unit]])
    }
}

/// Some changes as an option of a file.
pub(super) fn option(changes: &[&Change]) -> Value {
    let mut patch = json!({});
    for change in changes {
        merge(&mut patch, &change.patch);
    }
    json!({ "change": patch })
}
