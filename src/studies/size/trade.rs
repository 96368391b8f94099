//! Mass against twist stiffness: the lightest design for each stiffness that is reached.
//!
//! Each point is the lightest design, under all other limits, that is stiffer than the one before by a step at least;
//! the first has no limit of stiffness. It is a search of its own, and as sure as that.

use std::sync::{Mutex, PoisonError};

use super::problem::Problem;
use super::size;
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

/// The curve from the lightest design on, each point stiffer than the one before by `step`, a part of it. `None`: the
/// study is not to go on.
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
    let mut curve = Curve {
        groups: problem.groups.clone(),
        sizes: (0..problem.stock.len()).map(|size| problem.size_name(size).to_owned()).collect(),
        points: Vec::new(),
    };
    let mut at_least_nm_deg = None;
    loop {
        let next = NextPoint { problem: &problem, at_least_nm_deg, at_most, watch, faults: Mutex::default() };
        let answers = hands.answers(&next);
        let faults = next.faults.into_inner().unwrap_or_else(PoisonError::into_inner);
        if !faults.is_empty() {
            return Err(faults);
        }
        let Some(mut answers) = answers else { return Ok(None) };
        let Some(point) = answers.pop().flatten().and_then(|found| found.point) else { return Ok(Some(curve)) };
        at_least_nm_deg = Some(point.twist_nm_deg * (1.0 + step));
        curve.points.push(point);
    }
}

/// The next point of the curve: a round of its own, since it asks for more than the one before has reached.
struct NextPoint<'p> {
    problem: &'p Problem<'p>,
    at_least_nm_deg: Option<f64>,
    at_most: u64,
    watch: &'p Watch<'p>,
    /// Why it could not be searched.
    faults: Mutex<Vec<Fault>>,
}

/// A point, or that there is none any more.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FoundPoint {
    pub(super) point: Option<TradePoint>,
    pub(super) is_whole: bool,
}

impl Units for NextPoint<'_> {
    type Answer = FoundPoint;

    fn count(&self) -> usize {
        1
    }

    fn asks_again(&self) -> bool {
        true
    }

    fn may_be(&self, _: usize, answer: &FoundPoint) -> bool {
        let Some(point) = &answer.point else { return true };
        let (problem, asked) = (self.problem, self.at_least_nm_deg);
        let is_design = point.sizes.len() == problem.groups.len()
            && point.sizes.iter().all(|size| *size < problem.stock.len())
            && point.mass_kg == problem.mass_of(&point.sizes)
            && point.least_kg <= point.mass_kg
            && point.at_least_nm_deg == asked;
        /// What two processors may make of one design, as a part of it.
        const ALIKE: f64 = 1e-9;
        is_design
            && check(&asked_for(&problem.sized(&point.sizes), asked), |_| true).is_ok_and(|checked| {
                let is_told = |twist: f64| (twist / point.twist_nm_deg - 1.0).abs() < ALIKE;
                checked.verdict.passes() && twist_nm_deg(&checked).is_some_and(is_told)
            })
    }

    fn answer(&self, _: usize) -> Option<FoundPoint> {
        if (self.watch.ends)() {
            return None;
        }
        let asked = self.at_least_nm_deg;
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
        Some(FoundPoint { point, is_whole: !(self.watch.ends)() })
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
