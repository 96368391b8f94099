//! Mass against twist stiffness: the lightest design for each stiffness that is reached.
//!
//! Each point is the lightest design, under all other limits, that has a certain stiffness at least; the first has no
//! limit of it. It is a search of its own, and as sure as that. What is asked for hangs on no other point and on no
//! model: powers of the step, so that points can be searched anywhere and curves of two models lie side by side.

use std::iter::successors;
use std::sync::{Mutex, PoisonError};

use rayon::prelude::*;

use super::nearest::{Nearest, nearest};
use super::problem::Problem;
use super::size;
use crate::math::larger_than;
use crate::model::{Fault, Model};
use crate::path;
use crate::run::{Checked, check, prepare};
use crate::structure::Purpose;
use crate::studies::Watch;
use crate::studies::divided::{Hands, Here, Units};

/// The curve.
pub struct Curve {
    /// Names of the groups.
    pub groups: Vec<String>,
    /// Names of the sizes, the lightest first.
    pub sizes: Vec<String>,
    /// The points, the lightest first.
    pub points: Vec<TradePoint>,
    /// What comes nearest to all other limits where there is no point.
    pub nearest: Option<Nearest>,
}

/// A point of the curve.
#[derive(Debug, Clone, PartialEq)]
pub struct TradePoint {
    /// The lowest stiffness of the twist tests, N·m/deg.
    pub twist_nm_deg: f64,
    /// The least stiffness that was asked for; `None`: whatever it is.
    pub at_least_nm_deg: Option<f64>,
    /// The size of each group, an index into [`Curve::sizes`].
    pub sizes: Vec<usize>,
    /// Mass of the frame's tubes, kg.
    pub mass_kg: f64,
    /// No design that is stiff enough and passes is lighter, kg.
    pub least_kg: f64,
    /// Whether it is the lightest that there is.
    pub is_proven: bool,
}

/// The lowest stiffness of all twist tests, at every position of the adjusters, N·m/deg.
pub fn twist_nm_deg(checked: &Checked) -> Option<f64> {
    let positions = checked.positions.iter().flat_map(|positions| positions.named().map(|(_, checked)| checked));
    let tests = std::iter::once(checked).chain(positions).flat_map(|checked| checked.outcome.twist.values());
    tests.filter_map(|test| test.stiffness_nm_deg).reduce(f64::min)
}

/// The curve: the lightest design of whatever stiffness, then that for each power of 1 + `step` (N·m/deg) which the
/// points before do not reach, until there is none. `None`: the study is not to go on.
///
/// # Errors
/// No twist test; all faults of [`size`].
pub fn against_twist(
    model: &Model,
    step: f64,
    at_most: u64,
    watch: &Watch<'_>,
    hands: &impl Hands,
) -> Result<Option<Curve>, Vec<Fault>> {
    if model.cases.values().all(|case| case.twist.is_none()) {
        let fault = Fault::new(path!["cases"], "no case has a twist test: there is no stiffness to hold mass against");
        let hint = "such as \"twist test\": {\"twist\": {\"axle\": [left node, right node], \"moment\": 1000}}";
        return Err(vec![fault.hint(hint)]);
    }
    let prepared = prepare(model, Purpose::Statics)?;
    let problem = Problem::new(model, &prepared.system.structure).map_err(|fault| vec![fault])?;
    let search = |asked: Vec<Option<f64>>| {
        let points =
            Points { problem: &problem, asked, at_most, watch, reached: Mutex::default(), faults: Mutex::default() };
        let answers = hands.answers(&points);
        let faults = points.faults.into_inner().unwrap_or_else(PoisonError::into_inner);
        if faults.is_empty() { Ok(answers) } else { Err(faults) }
    };
    let mut curve = Curve {
        groups: problem.groups.clone(),
        sizes: (0..problem.stock.len()).map(|size| problem.size_name(size).to_owned()).collect(),
        points: Vec::new(),
        nearest: None,
    };
    let asked = foreseen(&problem, step);
    let Some(answers) = search(asked.clone())? else { return Ok(None) };
    let mut first_round = asked.into_iter().zip(answers);
    let mut reached_nm_deg = 0.0;
    loop {
        // Designs of several sizes may be stiffer than all of one size.
        let beyond = || (Some(above(reached_nm_deg, step)), Some(FoundPoint::PASSED_OVER));
        let (asked, mut answer) = first_round.next().unwrap_or_else(beyond);
        if asked.is_some_and(|asked| asked <= reached_nm_deg) {
            continue;
        }
        // What passed it over may be another design of the same mass, which does not count here.
        if answer == Some(FoundPoint::PASSED_OVER) {
            let Some(mut alone) = search(vec![asked])? else { return Ok(None) };
            answer = alone.pop().flatten();
        }
        let Some(FoundPoint { reply: Reply::Point(point), .. }) = answer else { break };
        reached_nm_deg = point.reaches_nm_deg();
        // Stiffer than all before: those that are not lighter are of no use.
        curve.points.retain(|before| larger_than(point.mass_kg, before.mass_kg));
        curve.points.push(point);
    }
    if curve.points.is_empty() {
        let free = asked_for(model, None);
        curve.nearest = nearest(&Problem::new(&free, &prepared.system.structure).map_err(|fault| vec![fault])?);
    }
    Ok(Some(curve))
}

impl TradePoint {
    /// Up to which stiffness nothing else need be asked for, N·m/deg.
    fn reaches_nm_deg(&self) -> f64 {
        self.twist_nm_deg.max(self.at_least_nm_deg.unwrap_or(0.0))
    }
}

/// The least power of 1 + `step` above a stiffness, N·m/deg; the same bits whatever the stiffness. Of none that is a
/// plain number above 0 there is no such power: 1 then.
fn above(stiffness_nm_deg: f64, step: f64) -> f64 {
    let mut power = 1.0;
    if !stiffness_nm_deg.is_normal() || stiffness_nm_deg < 0.0 {
        return power;
    }
    while power <= stiffness_nm_deg {
        power *= 1.0 + step;
    }
    while power / (1.0 + step) > stiffness_nm_deg {
        power /= 1.0 + step;
    }
    power
}

/// What is asked for first: no stiffness at all, then each power of 1 + `step` from the softest design with all groups
/// of one size to past the stiffest.
fn foreseen(problem: &Problem<'_>, step: f64) -> Vec<Option<f64>> {
    let is_test = |name: &str| problem.model.cases.get(name).is_some_and(|case| case.twist.is_some());
    let of_size = |size: usize| twist_nm_deg(&check(&problem.sized(&vec![size; problem.groups.len()]), is_test).ok()?);
    let stiffness: Vec<f64> = (0..problem.stock.len()).into_par_iter().filter_map(of_size).collect();
    let stiffness = || stiffness.iter().copied().filter(|stiffness| stiffness.is_normal());
    let ends = stiffness().reduce(f64::min).zip(stiffness().reduce(f64::max));
    let powers = ends.into_iter().flat_map(|(softest, stiffest)| {
        let next = move |power: &f64| (*power <= stiffest).then(|| above(*power, step));
        successors(Some(above(softest, step)), next)
    });
    std::iter::once(None).chain(powers.map(Some)).collect()
}

/// Points of the curve. Each is searched by itself, whatever the others come to; only where one is stiffer than what
/// the next ask for, these need no search.
struct Points<'p> {
    problem: &'p Problem<'p>,
    /// The least stiffness of each, rising, N·m/deg; `None`: whatever it is.
    asked: Vec<Option<f64>>,
    at_most: u64,
    watch: &'p Watch<'p>,
    /// Up to which stiffness those that are known spare a search; infinite: there is none so stiff.
    reached: Mutex<Vec<(usize, f64)>>,
    /// Why one could not be searched.
    faults: Mutex<Vec<Fault>>,
}

/// What came of asking for a point.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FoundPoint {
    pub(super) reply: Reply,
    pub(super) is_whole: bool,
}

/// A point, or why there is none.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Reply {
    Point(TradePoint),
    /// No design was found.
    Nothing,
    /// It was not searched: one before it is as stiff, or none before it was found.
    PassedOver,
}

impl FoundPoint {
    const PASSED_OVER: FoundPoint = FoundPoint { reply: Reply::PassedOver, is_whole: true };
}

impl Points<'_> {
    fn is_spared(&self, unit: usize) -> bool {
        let reached = self.reached.lock().unwrap_or_else(PoisonError::into_inner);
        let asked = self.asked[unit];
        reached.iter().any(|(before, reached)| *before < unit && asked.is_some_and(|asked| asked <= *reached))
    }
}

impl Units for Points<'_> {
    type Answer = FoundPoint;

    fn count(&self) -> usize {
        self.asked.len()
    }

    fn asks_again(&self) -> bool {
        true
    }

    fn one_by_one(&self) -> bool {
        true
    }

    fn may_be(&self, unit: usize, answer: &FoundPoint) -> bool {
        let asked = self.asked[unit];
        let point = match &answer.reply {
            Reply::Point(point) => point,
            Reply::Nothing => return true,
            // Nothing is before the first.
            Reply::PassedOver => return unit > 0,
        };
        let problem = self.problem;
        let is_design = point.sizes.len() == problem.groups.len()
            && point.sizes.iter().all(|size| *size < problem.stock.len())
            && point.mass_kg == problem.mass_of(&point.sizes)
            && point.least_kg <= point.mass_kg
            && (point.least_kg == point.mass_kg || !point.is_proven)
            && point.at_least_nm_deg == asked;
        /// What two processors may make of one design, as a part of it.
        const ALIKE: f64 = 1e-9;
        is_design
            && check(&asked_for(&problem.sized(&point.sizes), asked), |_| true).is_ok_and(|checked| {
                let is_told = |twist: f64| (twist / point.twist_nm_deg - 1.0).abs() < ALIKE;
                checked.verdict.passes() && twist_nm_deg(&checked).is_some_and(is_told)
            })
    }

    fn hears(&self, unit: usize, answer: &FoundPoint) {
        let reached_nm_deg = match &answer.reply {
            Reply::Point(point) => point.reaches_nm_deg(),
            Reply::Nothing => f64::INFINITY,
            Reply::PassedOver => return,
        };
        self.reached.lock().unwrap_or_else(PoisonError::into_inner).push((unit, reached_nm_deg));
    }

    fn answer(&self, unit: usize) -> Option<FoundPoint> {
        if (self.watch.ends)() {
            return None;
        }
        if self.is_spared(unit) {
            return Some(FoundPoint::PASSED_OVER);
        }
        let asked = self.asked[unit];
        let sizing = match size(&asked_for(self.problem.model, asked), self.at_most, self.watch, &Here) {
            Ok(sizing) => sizing?,
            Err(faults) => {
                *self.faults.lock().unwrap_or_else(PoisonError::into_inner) = faults;
                return None;
            }
        };
        let (least_kg, is_proven) = (sizing.least_kg, sizing.is_proven());
        let point = sizing.best.and_then(|best| {
            let (twist_nm_deg, mass_kg) = (twist_nm_deg(&best.checked)?, best.mass_kg);
            let at_least_nm_deg = asked;
            Some(TradePoint { twist_nm_deg, at_least_nm_deg, sizes: best.sizes, mass_kg, least_kg, is_proven })
        });
        let found = FoundPoint { reply: point.map_or(Reply::Nothing, Reply::Point), is_whole: !(self.watch.ends)() };
        self.hears(unit, &found);
        Some(found)
    }
}

/// The model with this limit of its twist tests in place of its own.
fn asked_for(model: &Model, at_least_nm_deg: Option<f64>) -> Model {
    let mut model = model.clone();
    let put = |model: &mut Model| {
        for case in model.cases.values_mut().filter(|case| case.twist.is_some()) {
            case.limits.twist_nm_deg = at_least_nm_deg;
        }
    };
    put(&mut model);
    model.positions.iter_mut().for_each(|position| put(&mut position.model));
    model
}
