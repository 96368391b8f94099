//! A case, on the drawn frame or on the deformed one, and at a position of the adjusters.

use serde::{Serialize, Serializer};

use super::Number;
use super::members::member;
use super::number::Entries;
use super::parts::{BarJson, MountJson, MovedJson, PickupJson, WheelJson, body};
use crate::report::Report;
use crate::run::{CaseOutcome, SecondOrder};

/// A case: written straight from the outcome, which is the largest part of the document.
pub(super) struct CaseJson<'r> {
    pub(super) report: &'r Report<'r>,
    pub(super) name: &'r str,
    pub(super) case: &'r CaseOutcome,
}

/// All cases at another position of the adjusters.
pub(super) struct PositionJson<'r>(Report<'r>);

impl<'r> PositionJson<'r> {
    pub(super) fn of((name, report): (&'r str, Report<'r>)) -> (&'r str, Self) {
        (name, Self(report))
    }
}

impl Serialize for PositionJson<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let report = &self.0;
        let cases = report.outcome.cases.iter();
        serializer.collect_map(cases.map(|(name, case)| (name, CaseJson { report, name, case })))
    }
}

/// A case on the deformed frame: the shape of a case with how it settled, or that it does not.
#[derive(Serialize)]
#[serde(untagged)]
pub(super) enum SecondOrderJson<'r> {
    Settled {
        rounds: usize,
        change: Number,
        #[serde(flatten)]
        case: CaseJson<'r>,
    },
    Collapses {
        collapses: bool,
        #[serde(skip_serializing_if = "Option::is_none")]
        at: Option<Number>,
    },
}

impl<'r> SecondOrderJson<'r> {
    pub(super) fn of(report: &'r Report<'r>, name: &'r str, found: &'r SecondOrder) -> Self {
        match found {
            SecondOrder::Settled(settled) => SecondOrderJson::Settled {
                rounds: settled.rounds,
                change: Number(settled.change),
                case: CaseJson { report, name, case: &settled.case },
            },
            SecondOrder::Collapses(at) => SecondOrderJson::Collapses { collapses: true, at: at.map(Number) },
        }
    }
}

impl CaseJson<'_> {
    fn is_first_order(&self) -> bool {
        self.report.outcome.cases.get(self.name).is_some_and(|case| std::ptr::eq(case, self.case))
    }
}

impl Serialize for CaseJson<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let case = self.case;
        let verdict = self.report.verdict;
        // What was judged belongs to the first-order case.
        let judged = verdict.tubes.get(self.name).filter(|_| self.is_first_order());
        let rod_ends = verdict.rod_ends.get(self.name).filter(|_| self.is_first_order());
        let bolts = verdict.bolts.get(self.name).filter(|_| self.is_first_order());
        let bolts_of = |mount: &str| bolts.and_then(|bolts| bolts.get(mount));
        Parts {
            nodes: Entries(|| case.nodes.iter().map(|(name, moved)| (name, MovedJson::of(moved)))),
            mounts: Entries(|| case.mounts.iter().map(|(name, load)| (name, MountJson::of(load, bolts_of(name))))),
            bodies: Entries(|| case.bodies.iter().map(|(name, outcome)| (name, body(name, outcome, &bolts_of)))),
            wheels: Entries(|| case.wheels.iter().map(|(name, wheel)| (name, WheelJson::of(wheel)))),
            pickups: Entries(|| case.pickups.iter().map(|(name, pickup)| (name, PickupJson::of(pickup)))),
            anti_roll: Entries(|| case.anti_roll.iter().map(|(axle, forces)| (axle, BarJson::of(forces)))),
            members: Entries(|| {
                case.members.iter().map(|(name, outcome)| {
                    let rod_end = rod_ends.and_then(|parts| parts.get(name));
                    (name, member(outcome, judged.and_then(|tubes| tubes.get(name)), rod_end))
                })
            }),
            accuracy: AccuracyJson {
                residual: Number(case.accuracy.residual),
                balance: Number(case.accuracy.balance),
                error: Number(case.accuracy.error),
            },
        }
        .serialize(serializer)
    }
}

#[derive(Serialize)]
struct Parts<N, M, B, W, P, A, T> {
    nodes: N,
    mounts: M,
    bodies: B,
    wheels: W,
    pickups: P,
    anti_roll: A,
    members: T,
    accuracy: AccuracyJson,
}

#[derive(Serialize)]
struct AccuracyJson {
    residual: Number,
    balance: Number,
    error: Number,
}
