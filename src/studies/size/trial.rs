//! One design put to the test: first what is read at once, then all that the drawn frame tells, then the whole check.

use std::sync::atomic::{AtomicU64, Ordering};

use super::bench::Bench;
use super::forecast::Near;
use super::problem::{Problem, judged_joints};
use super::reading::Reading;
use crate::checks::{Check, Finding};
use crate::model::{Fault, Model};
use crate::run::{check, failing_of_statics};

/// Why a design does not do.
#[derive(Debug, Clone, PartialEq)]
pub struct Fails {
    /// The check.
    pub check: Option<Check>,
    /// In which case.
    pub case: String,
    /// At which position of the adjusters; empty: as drawn.
    pub position: String,
    /// Where.
    pub place: String,
    /// What was found, in the unit of the check or of what was read of it.
    pub value: f64,
    /// What is allowed.
    pub allowed: f64,
    /// What is wrong where it cannot be solved or judged.
    pub fault: Option<String>,
    /// How far all that was looked at is over its limits together, as parts of them.
    pub excess: f64,
}

/// How a design is judged.
pub(super) struct Trials<'p, 'm> {
    /// What is to be sized.
    pub(super) problem: &'p Problem<'m>,
    /// Every position of the adjusters; none: nothing is read at once.
    pub(super) benches: &'p [Bench],
    /// Designs read so far.
    pub(super) read: AtomicU64,
    /// Designs checked whole so far.
    pub(super) checked: AtomicU64,
}

/// Readings of each check that are taken of one design.
const READINGS: usize = 3;

impl Trials<'_, '_> {
    /// What of a design is read over its limit, and the answer of each bench.
    pub(super) fn over(&self, design: &[usize]) -> Vec<Reading> {
        self.read.fetch_add(1, Ordering::Relaxed);
        let benches = self.benches.iter().enumerate();
        let of_bench = |(at, bench): (usize, &Bench)| match bench.assortment.solve(design) {
            Ok(answer) => bench.over(at, &answer, READINGS),
            Err(_) => Vec::new(),
        };
        benches.flat_map(of_bench).collect()
    }

    /// How far a design is over its limits by what is read at once; infinite: it cannot be solved.
    pub(super) fn excess_read(&self, design: &[usize]) -> f64 {
        self.read.fetch_add(1, Ordering::Relaxed);
        let of_bench =
            |bench: &Bench| bench.assortment.solve(design).map_or(f64::INFINITY, |answer| bench.excess(&answer));
        self.benches.iter().map(of_bench).sum()
    }

    /// What is read of a design above this part of its limits, the nearest to them first, at most so many; `None`: it
    /// cannot be solved.
    pub(super) fn near(&self, design: &[usize], from: f64, most: usize) -> Option<Vec<Near>> {
        self.read.fetch_add(1, Ordering::Relaxed);
        let mut near: Vec<(f64, Near)> = Vec::new();
        for bench in self.benches {
            near.extend(bench.near(&bench.assortment.solve(design).ok()?, from, most));
        }
        near.sort_by(|one, other| other.0.total_cmp(&one.0));
        Some(near.into_iter().take(most).map(|(_, near)| near).collect())
    }

    /// Whether a design is within all limits (`is_whole`), or within those of the drawn frame; `Err`: why not.
    pub(super) fn passes(&self, design: &[usize], is_whole: bool) -> Result<(), Box<Fails>> {
        let over = self.over(design);
        if !over.is_empty() {
            return Err(Box::new(self.of_readings(&over)));
        }
        if is_whole { self.passes_whole(design) } else { self.passes_statics(&self.problem.sized(design)) }
    }

    fn passes_statics(&self, model: &Model) -> Result<(), Box<Fails>> {
        let failing = failing_of_statics(model).map_err(|faults| Box::new(of_faults(&faults)))?;
        if failing.is_empty() { Ok(()) } else { Err(Box::new(of_findings(failing.iter()))) }
    }

    /// The same of a design of which nothing that is read at once is over its limit.
    pub(super) fn passes_whole(&self, design: &[usize]) -> Result<(), Box<Fails>> {
        let model = self.problem.sized(design);
        self.passes_statics(&model)?;
        self.checked.fetch_add(1, Ordering::Relaxed);
        let checked = check(&model, |_| true).map_err(|faults| Box::new(of_faults(&faults)))?;
        let failing = checked.verdict.failing();
        if !failing.is_empty() {
            return Err(Box::new(of_findings(failing.into_iter())));
        }
        match self.problem.joints.difference(&judged_joints(&checked)).next() {
            Some(tube) => Err(Box::new(not_judged(tube))),
            None => Ok(()),
        }
    }

    /// How far a design is over its limits by what is read at once, or else by all that the drawn frame tells.
    pub(super) fn excess(&self, design: &[usize]) -> f64 {
        let over = self.over(design);
        if !over.is_empty() {
            return self.of_readings(&over).excess;
        }
        match failing_of_statics(&self.problem.sized(design)) {
            Ok(failing) if failing.is_empty() => 0.0,
            Ok(failing) => of_findings(failing.iter()).excess,
            Err(_) => f64::INFINITY,
        }
    }

    fn of_readings(&self, over: &[Reading]) -> Fails {
        let worst = &over[0];
        Fails {
            check: Some(worst.check),
            case: worst.case.clone(),
            position: self.benches[worst.bench].position.clone(),
            place: worst.place.clone(),
            value: worst.value,
            allowed: worst.allowed,
            fault: None,
            excess: over.iter().map(|reading| reading.value / reading.allowed - 1.0).sum(),
        }
    }
}

fn of_findings<'f>(failing: impl Iterator<Item = &'f Finding>) -> Fails {
    let mut fails: Option<(Fails, f64)> = None;
    let mut excess = 0.0;
    for finding in failing {
        excess += finding.utilisation - 1.0;
        if fails.as_ref().is_none_or(|(_, worst)| finding.utilisation > *worst) {
            let of_finding = Fails {
                check: Some(finding.check),
                case: finding.case.clone(),
                position: finding.position.clone(),
                place: finding.place.clone(),
                value: finding.value,
                allowed: finding.limit,
                fault: None,
                excess: 0.0,
            };
            fails = Some((of_finding, finding.utilisation));
        }
    }
    let (fails, _) = fails.expect("only failing designs are told of");
    Fails { excess, ..fails }
}

fn of_faults(faults: &[Fault]) -> Fails {
    of_fault(faults.first().map(|fault| fault.message.clone()).unwrap_or_default())
}

/// Of a tube whose joint is judged as drawn and not in these sizes.
fn not_judged(tube: &str) -> Fails {
    of_fault(format!("the joint of {tube} is judged as drawn, and not in these sizes"))
}

fn of_fault(fault: String) -> Fails {
    Fails {
        check: None,
        case: String::new(),
        position: String::new(),
        place: String::new(),
        value: 0.0,
        allowed: 0.0,
        fault: Some(fault),
        excess: f64::INFINITY,
    }
}
