//! What mends a frame that fails: the cheapest changes for each check that fails, and a few that mend all.
//!
//! Reads a model, what it was written in, and its check. Gives changes ([`Mend`]) as a file takes them in an option.
//! Each was put into the file, read, validated and checked whole; nothing is taken from an estimate. Leaves out what
//! a tube's size, its welds and a brace do not change: bolts, rod-ends, places of nodes.

mod changes;
pub mod kept;
mod tried;

use std::collections::BTreeMap;

use crate::checks::{Check, Finding};
use crate::model::{Fault, Model, TubeRef, Written, other_side};
use crate::run::{Checked, check};
use crate::studies::Watch;
use crate::studies::divided::Hands;

pub use changes::{Becomes, Change, Target};

use changes::{MOST_TUBES, changes};
use tried::{Bench, Tried};

/// A check and where, twins as one: what fails or not.
pub type Key = (&'static str, String);

/// Some changes, checked whole.
#[derive(Debug, Clone, PartialEq)]
pub struct Mend {
    /// The changes.
    pub changes: Vec<Change>,
    /// The option of a file that makes them: `{"change": {…}}`.
    pub option: serde_json::Value,
    /// What they weigh, kg.
    pub added_kg: f64,
    /// The utilisation of what they mend, with them.
    pub utilisation: f64,
    /// What fails still, each with its utilisation.
    pub still: BTreeMap<Key, f64>,
    /// The largest utilisation of all, with them.
    pub worst: f64,
}

/// Something that fails, and what mends it.
#[derive(Debug, Clone, PartialEq)]
pub struct Failing {
    /// Where it is worst.
    pub finding: Finding,
    /// What it is.
    pub key: Key,
    /// What mends it, least mass first; nothing that held fails by it.
    pub mends: Vec<Mend>,
    /// What comes nearest, where nothing mends it.
    pub nearest: Option<Mend>,
}

/// The frame with everything mended, or as much as was found.
pub struct Together {
    /// What is done.
    pub mend: Mend,
    /// The model with it.
    pub model: Model,
    /// All that came of it.
    pub checked: Checked,
}

/// What came of it.
pub struct Mending {
    /// The frame as it is.
    pub checked: Checked,
    /// What fails, worst first.
    pub failing: Vec<Failing>,
    /// One set of changes with which all holds, or as much as was found; `None`: nothing helps.
    pub together: Option<Together>,
    /// How many changes and pairs of changes were tried, each by a whole check.
    pub tried: usize,
    /// Of them those that make no valid or no sound model, or one of which a joint is no more judged.
    pub unsound: usize,
    /// Whether sizes are of the file's own stock, which it has under `sizing`.
    pub has_stock: bool,
    /// Whether braces were tried: the file has `bracing`.
    pub braces_tried: bool,
    /// Whether of many tubes only those that are used most were tried one by one.
    pub tubes_left_out: usize,
    /// Whether somebody ended the search before it was through.
    pub ended_early: bool,
}

/// Most mends that are given of one check.
const MOST_MENDS: usize = 5;
/// Of tubes and of braces so many that help most are tried in pairs.
const IN_PAIRS: usize = 6;
/// So many of the changes that did most are tried again beside those that are made.
const PROMISING: usize = 48;
/// Most changes that all together may take.
pub const MOST_TOGETHER: usize = 24;

/// Finds what mends a frame. `None`: only a part was asked for.
///
/// # Errors
/// The frame as it is cannot be checked.
pub fn mend(
    model: &Model,
    written: &Written,
    watch: &Watch<'_>,
    hands: &impl Hands,
) -> Result<Option<Mending>, Vec<Fault>> {
    let checked = check(model, |_| true)?;
    let (tubes, tubes_left_out) = tubes_by_use(model, &checked);
    let welds_fail = |name: &str| {
        let place = one_of_twins(name);
        let failing = checked.verdict.failing();
        failing.iter().any(|finding| finding.check == Check::Weld && one_of_twins(&finding.place) == place)
    };
    let base = Tried::of(&checked);
    let all = if base.failing.is_empty() { Vec::new() } else { changes(model, written, &tubes, welds_fail) };
    let mut bench = Bench::new(written, &base, watch, hands);
    let mut mending = Mending {
        failing: Vec::new(),
        together: None,
        tried: 0,
        unsound: 0,
        has_stock: model.sizing.is_some(),
        braces_tried: model.bracing.is_some(),
        tubes_left_out,
        ended_early: false,
        checked,
    };
    let Some(singles) = bench.one_by_one(&all) else { return Ok(None) };
    if base.failing.is_empty() {
        return Ok(Some(mending));
    }
    let singles: Vec<(Vec<&Change>, Tried)> =
        all.iter().zip(singles).filter_map(|(change, tried)| Some((vec![change], tried?))).collect();
    for (key, finding) in worst_of_each(&mending.checked) {
        let Some(pairs) = bench.pairs(&base, &key, &singles) else { return Ok(None) };
        let tried = singles.iter().chain(&pairs);
        let mends = mends(&base, &key, tried.clone());
        let nearest = if mends.is_empty() { nearest(&base, &key, tried) } else { None };
        mending.failing.push(Failing { finding, key, mends, nearest });
    }
    let Some((changes, _)) = together(&mut bench, &base, &all) else { return Ok(None) };
    if !changes.is_empty()
        && let Some(model) = bench.model(&changes)
        && let Ok(checked) = check(&model, |_| true)
    {
        let tried = Tried::of(&checked);
        let mend = Mend::new(&base, &changes, &tried, tried.worst);
        mending.together = Some(Together { mend, model, checked });
    }
    (mending.tried, mending.unsound) = bench.counts();
    mending.ended_early = (watch.ends)();
    Ok(Some(mending))
}

impl Mend {
    fn new(base: &Tried, changes: &[&Change], tried: &Tried, utilisation: f64) -> Mend {
        Mend {
            changes: changes.iter().copied().cloned().collect(),
            option: tried::option(changes),
            added_kg: tried.mass_kg - base.mass_kg,
            utilisation,
            still: tried.failing.clone(),
            worst: tried.worst,
        }
    }
}

/// Every tube of frame and suspension, of twins the first, the most used first; and how many more there are.
fn tubes_by_use(model: &Model, checked: &Checked) -> (Vec<TubeRef>, usize) {
    let mut used: BTreeMap<String, f64> = BTreeMap::new();
    for finding in checked.verdict.all().filter(|finding| finding.check.is_of_a_tube()) {
        let most = used.entry(one_of_twins(&finding.place)).or_default();
        *most = most.max(finding.utilisation);
    }
    let members = (0..model.members.len()).map(TubeRef::Member);
    let of_corners = model
        .corners
        .iter()
        .enumerate()
        .flat_map(|(corner, own)| (0..own.kind.tubes().len()).map(move |tube| TubeRef::Corner { corner, tube }));
    let mut seen = std::collections::BTreeSet::new();
    let mut tubes: Vec<(f64, TubeRef)> = members
        .chain(of_corners)
        .filter(|tube| seen.insert(one_of_twins(&model.tube_name(*tube))))
        .map(|tube| (used.get(&one_of_twins(&model.tube_name(tube))).copied().unwrap_or(0.0), tube))
        .collect();
    tubes.sort_by(|one, other| other.0.total_cmp(&one.0));
    let left_out = tubes.len().saturating_sub(MOST_TUBES);
    tubes.truncate(MOST_TUBES);
    (tubes.into_iter().map(|(_, tube)| tube).collect(), left_out)
}

/// A place by its name, of twins by that of the left one: `front.l/lower.front`, `rail.l`.
fn one_of_twins(place: &str) -> String {
    let other = match place.split_once('/') {
        Some((corner, part)) => format!("{}/{part}", other_side(corner)),
        None => other_side(place),
    };
    if other.as_str() < place { other } else { place.to_owned() }
}

fn key_of(finding: &Finding) -> Key {
    (finding.check.name(), one_of_twins(&finding.place))
}

/// What fails, each where it is worst, worst first.
fn worst_of_each(checked: &Checked) -> Vec<(Key, Finding)> {
    let mut found: Vec<(Key, Finding)> = Vec::new();
    for finding in checked.verdict.failing() {
        let key = key_of(finding);
        if found.iter().all(|(known, _)| *known != key) {
            found.push((key, finding.clone()));
        }
    }
    found
}

/// Nothing that held fails, and nothing that failed is worse by more than one part in a hundred.
fn does_no_harm(base: &Tried, tried: &Tried) -> bool {
    tried.failing.iter().all(|(key, now)| base.failing.get(key).is_some_and(|then| *now <= 1.01 * then))
}

/// What mends one thing, least mass first; of one target the lightest.
fn mends<'t>(base: &Tried, key: &Key, tried: impl Iterator<Item = &'t (Vec<&'t Change>, Tried)>) -> Vec<Mend> {
    let mut found: Vec<&(Vec<&Change>, Tried)> =
        tried.filter(|(_, tried)| !tried.failing.contains_key(key) && does_no_harm(base, tried)).collect();
    found.sort_by(|one, other| one.1.mass_kg.total_cmp(&other.1.mass_kg));
    let targets = |changes: &[&Change]| -> Vec<Target> { changes.iter().map(|change| change.target.clone()).collect() };
    let mut kept: Vec<(Vec<Target>, Mend)> = Vec::new();
    for (changes, tried) in found {
        let own = targets(changes);
        // Two changes of which one alone mends it as well are no answer of their own.
        let says_no_more = kept.iter().any(|(known, _)| known.iter().all(|target| own.contains(target)));
        if !says_no_more {
            kept.push((own, Mend::new(base, changes, tried, tried.of_key(key))));
        }
        if kept.len() == MOST_MENDS {
            break;
        }
    }
    kept.into_iter().map(|(_, mend)| mend).collect()
}

/// What brings one thing nearest to its limit and does no harm.
fn nearest<'t>(base: &Tried, key: &Key, tried: impl Iterator<Item = &'t (Vec<&'t Change>, Tried)>) -> Option<Mend> {
    let enough = base.of_key(key) - HELPS * (base.of_key(key) - 1.0);
    let harmless = tried.filter(|(_, tried)| does_no_harm(base, tried) && tried.of_key(key) < enough);
    let (changes, best) = harmless.min_by(|one, other| one.1.of_key(key).total_cmp(&other.1.of_key(key)))?;
    Some(Mend::new(base, changes, best, best.of_key(key)))
}

/// Change after change, each the one that lessens what is over its limit most for its kilograms, until all holds or
/// nothing helps; then without those that are no more needed. After the first, those are tried that did most the time
/// before. `None`: the study is not to go on.
fn together<'c>(
    bench: &mut Bench<'_, impl Hands>,
    base: &Tried,
    all: &'c [Change],
) -> Option<(Vec<&'c Change>, Tried)> {
    let (mut done, mut now): (Vec<&Change>, Tried) = (Vec::new(), base.clone());
    let mut promising: Vec<&Change> = all.iter().collect();
    while !now.failing.is_empty() {
        if done.len() == MOST_TOGETHER || (bench.watch.ends)() {
            return Some((done, now));
        }
        let with = |change: &'c Change| -> Vec<&'c Change> {
            let kept = done.iter().copied().filter(|known| known.target != change.target);
            kept.chain([change]).collect()
        };
        let sets: Vec<Vec<&Change>> = promising.iter().map(|change| with(change)).collect();
        let tried = bench.each(&sets)?;
        let gain = |tried: &Tried| (now.excess() - tried.excess()) / (tried.mass_kg - now.mass_kg).max(LEAST_KG);
        let mut helping: Vec<(&Change, Vec<&Change>, Tried)> = promising
            .iter()
            .zip(sets)
            .zip(tried)
            .filter_map(|((change, set), tried)| Some((*change, set, tried?)))
            .filter(|(_, _, tried)| tried.excess() < now.excess() * (1.0 - HELPS))
            .collect();
        helping.sort_by(|one, other| gain(&other.2).total_cmp(&gain(&one.2)));
        let is_everything = promising.len() == all.len();
        promising = helping.iter().take(PROMISING).map(|(change, _, _)| *change).collect();
        match helping.into_iter().next() {
            Some((_, set, tried)) => (done, now) = (set, tried),
            // What did little before may do more now.
            None if !is_everything => promising = all.iter().collect(),
            None => return Some((done, now)),
        }
    }
    let mut at = 0;
    while at < done.len() && !(bench.watch.ends)() {
        let rest: Vec<&Change> = done.iter().copied().enumerate().filter(|(i, _)| *i != at).map(|(_, c)| c).collect();
        match bench.each(std::slice::from_ref(&rest))?.pop().flatten() {
            Some(tried) if tried.excess() <= now.excess() => (done, now) = (rest, tried),
            _ => at += 1,
        }
    }
    Some((done, now))
}

/// What takes less than this part off what is over a limit does not help.
const HELPS: f64 = 0.005;

/// Less mass than this is as good as none, kg.
const LEAST_KG: f64 = 0.02;
