//! Changes put into the file and checked.

use std::collections::{BTreeMap, HashMap};

use serde_json::{Value, json};

use super::changes::{Change, Target, merge};
use super::{IN_PAIRS, Key, key_of};
use crate::checks::{Check, exceeds_limit};
use crate::model::{Model, Written};
use crate::run::{Checked, check_for_verdict};
use crate::source::Document;
use crate::studies::Watch;
use crate::studies::divided::{Hands, Units};

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

    /// What is judged of joints.
    fn joints(&self) -> impl Iterator<Item = &Key> {
        self.used.keys().filter(|(check, _)| *check == Check::Joint.name())
    }

    /// By how much all that fails is over, together.
    pub(super) fn excess(&self) -> f64 {
        self.failing.values().map(|utilisation| utilisation - 1.0).sum()
    }
}

/// Where changes are tried, each set of them once, by whoever runs the study.
pub(super) struct Bench<'b, H> {
    written: &'b Written,
    base: &'b Tried,
    pub(super) watch: &'b Watch<'b>,
    hands: &'b H,
    known: HashMap<String, Option<Tried>>,
}

impl<'b, H: Hands> Bench<'b, H> {
    /// `base`: what came of the frame as it is.
    pub(super) fn new(written: &'b Written, base: &'b Tried, watch: &'b Watch<'b>, hands: &'b H) -> Self {
        Bench { written, base, watch, hands, known: HashMap::new() }
    }

    /// The model with some changes, read from the file as it would stand with them.
    pub(super) fn model(&self, changes: &[&Change]) -> Option<Model> {
        read(self.written, option(changes).to_string())
    }

    /// Tries changes one by one: what a study is divided into, even if there are none. `None`: it is not to go on.
    pub(super) fn one_by_one(&mut self, all: &[Change]) -> Option<Vec<Option<Tried>>> {
        let options: Vec<String> = all.iter().map(|change| option(&[change]).to_string()).collect();
        self.know(options.clone())?;
        Some(self.of(&options))
    }

    /// What comes of each set of changes; `None` for one that makes no valid or no sound model, or that the search was
    /// ended before. `None` for all: the study is not to go on.
    pub(super) fn each<'c, S: AsRef<[&'c Change]>>(&mut self, sets: &[S]) -> Option<Vec<Option<Tried>>> {
        let options: Vec<String> = sets.iter().map(|set| option(set.as_ref()).to_string()).collect();
        let mut new: Vec<String> = Vec::new();
        for option in &options {
            if !self.known.contains_key(option) && !new.contains(option) {
                new.push(option.clone());
            }
        }
        if !new.is_empty() {
            self.know(new)?;
        }
        Some(self.of(&options))
    }

    fn know(&mut self, options: Vec<String>) -> Option<()> {
        let round = Round { written: self.written, watch: self.watch, options };
        let outcomes = self.hands.answers(&round)?;
        for (option, outcome) in round.options.into_iter().zip(outcomes) {
            if let Some(Outcome { tried, .. }) = outcome {
                // A joint that was judged and is no more holds by nothing that is known: a tube too wide for the one below.
                let tried = tried.filter(|tried| self.base.joints().all(|key| tried.used.contains_key(key)));
                self.known.insert(option, tried);
            }
        }
        Some(())
    }

    fn of(&self, options: &[String]) -> Vec<Option<Tried>> {
        options.iter().map(|option| self.known.get(option).cloned().flatten()).collect()
    }

    /// How many sets of changes were tried, and how many of them make no valid or no sound model.
    pub(super) fn counts(&self) -> (usize, usize) {
        (self.known.len(), self.known.values().filter(|tried| tried.is_none()).count())
    }

    /// Pairs of changes that each help one thing, where together they could weigh less than what mends it alone.
    /// `None`: the study is not to go on.
    pub(super) fn pairs<'c>(
        &mut self,
        base: &Tried,
        key: &Key,
        singles: &[(Vec<&'c Change>, Tried)],
    ) -> Option<Vec<(Vec<&'c Change>, Tried)>> {
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
        let tried = self.each(&sets)?;
        Some(sets.into_iter().zip(tried).filter_map(|(set, tried)| Some((set, tried?))).collect())
    }
}

fn read(written: &Written, option: String) -> Option<Model> {
    let option = Document::read(option.into_bytes()).ok()?;
    written.with("mended", &option.root).ok()
}

/// Some sets of changes, each as an option of the file: they are tried in any order.
struct Round<'r> {
    written: &'r Written,
    watch: &'r Watch<'r>,
    options: Vec<String>,
}

/// What comes of some changes.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Outcome {
    /// The changes, as an option of the file.
    pub(super) option: String,
    /// `None`: they make no valid or no sound model.
    pub(super) tried: Option<Tried>,
}

impl Units for Round<'_> {
    type Answer = Outcome;

    fn count(&self) -> usize {
        self.options.len()
    }

    fn asks_again(&self) -> bool {
        true
    }

    fn begins(&self, to_do: usize) {
        self.watch.more_to_try(to_do);
    }

    fn may_be(&self, unit: usize, answer: &Outcome) -> bool {
        let is_sound = |tried: &Tried| tried.mass_kg >= 0.0 && tried.used.values().all(|used| *used >= 0.0);
        answer.option == self.options[unit] && answer.tried.as_ref().is_none_or(is_sound)
    }

    fn answer(&self, unit: usize) -> Option<Outcome> {
        if (self.watch.ends)() {
            return None;
        }
        self.watch.tried_one();
        let option = self.options[unit].clone();
        let model = read(self.written, option.clone());
        let tried = model.and_then(|model| check_for_verdict(&model).ok()).map(|checked| Tried::of(&checked));
        Some(Outcome { option, tried })
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
