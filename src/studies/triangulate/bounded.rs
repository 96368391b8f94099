//! The stiffest set of so many braces against twist, by branch and bound: groups of sets are closed unseen where none of
//! them can be stiffer than the best.
//!
//! A group: some braces are in all of its sets, some may be. A twist test does work on itself, so that any choice of
//! parts of the braces bounds the give of all sets ([`Graded`]); parts that add up to the number of braces, each
//! brace the more of it the more work it does, make that bound high. Groups are looked at in batches whose answers are
//! taken in order, so that the same comes out whatever the number of threads.
//! Source of the parts: the optimality criterion of a bar of a structure of given volume, for instance Bendsøe &
//! Sigmund (2004), Topology Optimization, 1.2 (from memory).

use nalgebra::DVector;
use rayon::prelude::*;

use super::search::{Best, Search};
use crate::solve::Graded;
use crate::studies::Watch;

/// Groups that are looked at together.
const BATCH: usize = 32;
/// Most groups of one number of braces.
const MOST_GROUPS: u64 = 20_000;
/// How often the parts of a group are bettered.
const ROUNDS: usize = 4;
/// The part of a brace that is not in a group: something, so that what only braces hold stands.
const NEARLY_NONE: f64 = 1e-6;
/// Of a bound so much may be rounding; it is the same part of a figure by which one counts as larger than another.
const ROUND_OFF: f64 = 1e-9;

/// A twist test as a load that does work on itself.
pub(super) struct Twist {
    /// On the unknowns.
    pub(super) load: DVector<f64>,
    /// Stiffness times that work, N·m/deg · N·mm.
    pub(super) stiffness_times_work: f64,
}

/// Braces against twist.
pub(super) struct Bounds<'s> {
    pub(super) graded: Graded<'s>,
    pub(super) twists: Vec<Twist>,
}

/// Sets that have some braces, and more of some others.
#[derive(Debug, Clone)]
struct Group {
    taken: Vec<usize>,
    open: Vec<usize>,
    /// Of each brace; those of `open` add up to what is missing, nearly.
    parts: Vec<f64>,
}

/// What came of looking at a group.
enum Looked {
    Closed,
    Set(Best),
    /// With a brace, and without it.
    Split([Group; 2]),
}

/// The best set of a size.
pub(super) struct Settled {
    pub(super) best: Option<Best>,
    /// Sets that were solved.
    pub(super) tried: u64,
    /// Groups that were looked at.
    pub(super) groups: u64,
    /// Whether no set of this size is better.
    pub(super) is_proven: bool,
}

impl Bounds<'_> {
    /// The best set of so many braces, from the best known.
    pub(super) fn settle(&self, search: &Search<'_>, size: usize, known: Option<Best>, watch: &Watch<'_>) -> Settled {
        let n = search.crosses.len();
        let all = Group { taken: Vec::new(), open: (0..n).collect(), parts: vec![size as f64 / n as f64; n] };
        let mut settled = Settled { best: known, tried: 0, groups: 0, is_proven: false };
        let mut waiting = vec![all];
        while !waiting.is_empty() && settled.groups < MOST_GROUPS && !(watch.ends)() {
            let batch = waiting.split_off(waiting.len().saturating_sub(BATCH));
            settled.groups += batch.len() as u64;
            let best = settled.best.as_ref().map_or(0.0, |best| best.figure);
            let looked: Vec<Looked> = batch.into_par_iter().map(|group| self.look(search, group, size, best)).collect();
            for looked in looked {
                match looked {
                    Looked::Closed => {}
                    Looked::Set(best) => {
                        settled.tried += 1;
                        search.keep(&mut settled.best, &best.set, best.figure);
                    }
                    // The one with the brace comes next.
                    Looked::Split([with, without]) => waiting.extend([without, with]),
                }
            }
        }
        settled.is_proven = waiting.is_empty();
        settled
    }

    fn look(&self, search: &Search<'_>, mut group: Group, size: usize, best: f64) -> Looked {
        for _ in 0..ROUNDS {
            let missing = size - group.taken.len();
            if missing == 0 || group.open.len() < missing {
                break;
            }
            group.scale(missing);
            let Some(work) = self.close(&mut group, missing, best) else { return Looked::Closed };
            group.better(missing, &work);
        }
        let missing = size - group.taken.len();
        if group.open.len() < missing {
            return Looked::Closed;
        }
        if missing == 0 {
            group.taken.sort_unstable();
            let figure = search.figure(&group.taken);
            return figure.map_or(Looked::Closed, |figure| Looked::Set(Best { set: group.taken, figure }));
        }
        let larger = |one: usize, other: usize| if group.parts[other] > group.parts[one] { other } else { one };
        let brace = group.open.iter().copied().reduce(larger).expect("some are missing, and as many are open");
        group.open.retain(|other| *other != brace);
        let mut with = group.clone();
        with.taken.push(brace);
        with.open.retain(|other| !search.crosses[*other][brace]);
        Looked::Split([with, group])
    }

    /// Leaves out what no set that is stiffer than the best has; `None`: there is none. Gives what each brace does, of
    /// the test that gives way most.
    fn close(&self, group: &mut Group, missing: usize, best: f64) -> Option<Vec<f64>> {
        let mut most: Option<(f64, Vec<f64>)> = None;
        for twist in &self.twists {
            let Some(floor) = self.graded.floor(&group.parts, &twist.load) else { continue };
            // Of sets that are no stiffer than the best the work is at least this.
            let enough = twist.stiffness_times_work / best * (1.0 - ROUND_OFF);
            let taken: f64 = group.taken.iter().map(|brace| floor.less[*brace]).sum();
            let mut ranked: Vec<f64> = group.open.iter().map(|brace| floor.less[*brace]).collect();
            ranked.sort_by(|one, other| other.total_cmp(one));
            let of_most: f64 = ranked[..missing].iter().sum();
            let least = floor.without_any - taken - of_most;
            if least >= enough {
                return None;
            }
            // With a brace that is not among those that do most, in place of the last of them.
            let last = ranked[missing - 1];
            group.open.retain(|brace| least + last - floor.less[*brace].min(last) < enough);
            let give = least / twist.stiffness_times_work;
            if most.as_ref().is_none_or(|(known, _)| give > *known) {
                most = Some((give, floor.less));
            }
        }
        Some(most.map_or_else(|| vec![1.0; group.parts.len()], |(_, less)| less))
    }
}

impl Group {
    /// Parts of the open braces that add up to what is missing, those taken whole, the others nearly nothing.
    fn scale(&mut self, missing: usize) {
        let sum: f64 = self.open.iter().map(|brace| self.parts[*brace]).sum();
        let parts = self.open.iter().map(|brace| self.parts[*brace] * missing as f64 / sum.max(NEARLY_NONE));
        let parts: Vec<f64> = parts.map(|part| part.clamp(NEARLY_NONE, 1.0)).collect();
        self.parts.fill(NEARLY_NONE);
        self.taken.iter().for_each(|brace| self.parts[*brace] = 1.0);
        self.open.iter().zip(parts).for_each(|(brace, part)| self.parts[*brace] = part);
    }

    /// More of what does more: each part times the root of its work over a measure, by which all add up.
    fn better(&mut self, missing: usize, work: &[f64]) {
        let at =
            |measure: f64, brace: usize| (self.parts[brace] * (work[brace] / measure).sqrt()).clamp(NEARLY_NONE, 1.0);
        let sum = |measure: f64| self.open.iter().map(|brace| at(measure, *brace)).sum::<f64>();
        let most = self.open.iter().map(|brace| work[*brace]).fold(0.0, f64::max);
        if most == 0.0 {
            return;
        }
        // The sum falls as the measure rises.
        let (mut low, mut high) = (most * 1e-12, most * 1e12);
        for _ in 0..80 {
            let middle = (low * high).sqrt();
            if sum(middle) > missing as f64 { low = middle } else { high = middle }
        }
        let parts: Vec<f64> = self.open.iter().map(|brace| at(high, *brace)).collect();
        self.open.iter().zip(parts).for_each(|(brace, part)| self.parts[*brace] = part);
    }
}
