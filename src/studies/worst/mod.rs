//! The worst that the tyres can do: for every tube, pick-up and wheel the manoeuvre that is worst for
//! it, and a bound that no manoeuvre within the grip passes.
//!
//! Reads a model; its structure is solved for a handful of unit states, and every manoeuvre is a sum of
//! them ([`Superposed`]). Manoeuvres are accelerations `long`, `lat`, `vert` that the car can drive:
//! no wheel pulls, the car neither rolls nor pitches over, no tyre gives more than its grip. Brakes work
//! on all wheels, the engine on its axles. Leaves out bends that are not steady, kerbs, downforce, and
//! every check that is no convex measure of the forces; these are judged in the manoeuvres found alone.

mod map;
mod search;

use rayon::prelude::*;
use schemars::{Schema, SchemaGenerator, json_schema};
use serde_json::{Value, json};

pub use map::{Map, map};
pub use search::{Found, Search};

use crate::car::wheel_forces;
use crate::checks::{Check, Finding, counting};
use crate::math::{Interval, larger_than, largest_first};
use crate::model::{Case, Fault, Model, STANDING, Vehicle};
use crate::path;
use crate::run::{Checked, Measure, Superposed, check_as_drawn, prepare};
use crate::source::{Node, Read, Reader};
use crate::structure::Purpose;
use crate::studies::Watch;
use crate::studies::divided::{Answer, Hands, Units};

/// Which manoeuvres are asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Manoeuvres {
    /// Horizontal over vertical force that each tyre can give.
    pub grip: f64,
    /// From where to where `long`, `lat` and `vert` go, g.
    pub ranges: [Interval; 3],
}

/// How near the bound is to come to what was found, as a part of it.
pub const NEAR_ENOUGH: f64 = 0.01;

/// The worst of one measure.
#[derive(Debug, Clone, PartialEq)]
pub struct WorstOf {
    /// Which check.
    pub check: Check,
    /// Where.
    pub place: String,
    /// What is allowed; `None`: nothing is said of it. Strength is measured as utilisation.
    pub limit: Option<f64>,
    /// The largest value found.
    pub value: f64,
    /// At `[long, lat, vert]`, g.
    pub at_g: [f64; 3],
    /// What no manoeuvre passes.
    pub never_above: f64,
    /// In how many boxes the manoeuvres were cut for it.
    pub boxes: usize,
    /// The case of [`Worst::again`] that it was solved again in.
    pub case: String,
    /// The value solved again from scratch; `None`: there it is judged on the deformed frame, which the
    /// bounds do not cover.
    pub again: Option<f64>,
}

impl WorstOf {
    /// What was found over what is allowed; 0 where nothing is said of it.
    pub fn utilisation(&self) -> f64 {
        self.limit.map_or(0.0, |limit| self.value / limit)
    }

    /// What no manoeuvre passes, over what is allowed.
    pub fn never_above_utilisation(&self) -> f64 {
        self.limit.map_or(0.0, |limit| self.never_above / limit)
    }

    /// By how much the value solved again differs, as a part of it.
    pub fn difference(&self) -> Option<f64> {
        let off = (self.again? - self.value).abs();
        Some(if self.value == 0.0 { off } else { off / self.value })
    }
}

/// The worst of every measure.
pub struct Worst {
    /// Which manoeuvres were asked for.
    pub manoeuvres: Manoeuvres,
    /// Tubes, pick-ups and wheels, largest utilisation first; those without a limit behind them, as in the file.
    pub worst: Vec<WorstOf>,
    /// How many measures were not searched, because somebody ended it; nothing is said of them.
    pub not_searched: usize,
    /// The model with a case for each manoeuvre found.
    pub model: Model,
    /// The whole check of these, solved from scratch.
    pub again: Checked,
    /// Of each check what is worst in the manoeuvres found, where the bounds do not cover it.
    pub also: Vec<Finding>,
}

impl Worst {
    /// Whether everything is shown to hold: no manoeuvre can pass a limit that the bounds cover, and
    /// what they do not cover holds in the manoeuvres found.
    pub fn holds(&self) -> bool {
        let within = |worst: &WorstOf| !larger_than(worst.never_above_utilisation(), 1.0);
        self.not_searched == 0 && self.worst.iter().all(within) && !self.also.iter().any(Finding::fails)
    }

    /// The largest difference between a value and the same solved again.
    pub fn largest_difference(&self) -> f64 {
        self.worst.iter().filter_map(WorstOf::difference).fold(0.0, f64::max)
    }
}

/// What is searched: the unit states and the car with its grip.
pub struct Searched<'m> {
    /// The unit states and their measures.
    pub superposed: Superposed,
    vehicle: &'m Vehicle,
    case: Case,
    manoeuvres: Manoeuvres,
}

/// The model with the grip asked for, and without what belongs to its own cases.
pub fn with_grip(model: &Model, grip: f64) -> Model {
    let mut model = model.clone();
    if let Some(vehicle) = &mut model.vehicle {
        vehicle.tyre_grip = Some(grip);
    }
    model.cases.retain(|name, _| name == STANDING);
    model.duty.clear();
    model.adjusters.clear();
    model.positions.clear();
    model
}

impl<'m> Searched<'m> {
    /// Solves the unit states of a model that [`with_grip`] gave.
    ///
    /// # Errors
    /// Without a car and a corner there are no tyres; and all faults of solving.
    pub fn new(model: &'m Model, manoeuvres: Manoeuvres) -> Result<Searched<'m>, Vec<Fault>> {
        let Some(vehicle) = model.vehicle.as_ref().filter(|_| !model.corners.is_empty()) else {
            let message = "the worst that tyres can do needs \"vehicle\" and at least one corner";
            return Err(vec![Fault::lacking(path![], message)]);
        };
        let prepared = prepare(model, Purpose::Statics)?;
        let superposed = Superposed::new(model, &prepared)?;
        let case = Case::of(Some([0.0; 3]), model.limits);
        Ok(Searched { superposed, vehicle, case, manoeuvres })
    }

    /// How many times each unit state is in a manoeuvre; `None`: the car cannot drive it.
    pub fn driven(&self, g: [f64; 3]) -> Option<Vec<f64>> {
        let forces = wheel_forces(self.vehicle, &self.case, g)?;
        Some(self.superposed.coefficients(g, &forces))
    }

    /// The worst manoeuvre of every measure, in the order of the measures.
    pub fn search(&self) -> Vec<Option<Found>> {
        self.superposed.measures.par_iter().map(|measure| self.worst_of(measure)).collect()
    }

    /// The worst manoeuvre of one measure; `None`: none was found that the car can drive.
    pub fn worst_of(&self, measure: &Measure) -> Option<Found> {
        Search { searched: self, measure }.run()
    }
}

/// The measures, one a unit of work.
struct Measures<'s> {
    searched: &'s Searched<'s>,
    watch: &'s Watch<'s>,
}

impl Units for Measures<'_> {
    type Answer = OfMeasure;

    fn count(&self) -> usize {
        self.searched.superposed.measures.len()
    }

    fn begins(&self, to_do: usize) {
        self.watch.more_to_try(to_do);
    }

    fn may_be(&self, _: usize, answer: &OfMeasure) -> bool {
        answer.0.is_none_or(|found| {
            let within = |(g, range): (&f64, &Interval)| *g >= range.low && *g <= range.high;
            let ranges = &self.searched.manoeuvres.ranges;
            found.at_g.iter().zip(ranges).all(within) && self.searched.driven(found.at_g).is_some()
        })
    }

    fn answer(&self, unit: usize) -> Option<OfMeasure> {
        if (self.watch.ends)() {
            return None;
        }
        let found = self.searched.worst_of(&self.searched.superposed.measures[unit]);
        self.watch.tried_one();
        Some(OfMeasure(found))
    }
}

/// The worst of a measure, where a manoeuvre was found that the car can drive: value, `long`, `lat`, `vert`, what
/// none passes, boxes; else nothing.
struct OfMeasure(Option<Found>);

impl Answer for OfMeasure {
    fn written(&self) -> Value {
        match self.0 {
            Some(Found { value, at_g: [long, lat, vert], never_above, boxes }) => {
                json!([value, long, lat, vert, never_above, boxes])
            }
            None => json!([]),
        }
    }
}

impl Read for OfMeasure {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match *Vec::<f64>::read(node, reader)? {
            [value, long, lat, vert, never_above, boxes] if boxes >= 1.0 => {
                let boxes = boxes as usize;
                Some(OfMeasure(Some(Found { value, at_g: [long, lat, vert], never_above, boxes })))
            }
            [] => Some(OfMeasure(None)),
            _ => reader.refuse(node, "expected six numbers, or none"),
        }
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "array", "items": { "type": "number" } })
    }
}

/// Searches, and solves every manoeuvre found again from scratch. `None`: only a part was asked for.
///
/// `model`: one that [`with_grip`] gave.
///
/// # Errors
/// All faults of solving; that the car can drive none of these manoeuvres.
pub fn worst(
    model: &Model,
    manoeuvres: Manoeuvres,
    hands: &impl Hands,
    watch: &Watch<'_>,
) -> Result<Option<Worst>, Vec<Fault>> {
    let searched = Searched::new(model, manoeuvres)?;
    let measures = &searched.superposed.measures;
    let Some(answers) = hands.answers(&Measures { searched: &searched, watch }) else { return Ok(None) };
    let not_searched = answers.iter().filter(|answer| answer.is_none()).count();
    let answers = measures.iter().zip(answers).filter_map(|(measure, answer)| Some((measure, answer?.0)));
    let found: Option<Vec<(&Measure, Found)>> = answers.map(|(measure, found)| Some((measure, found?))).collect();
    let Some(found) = found.filter(|found| !found.is_empty() || measures.is_empty()) else {
        let message = "no manoeuvre in these bounds was found that the car can drive: it rolls or pitches over, or the tyres cannot give it";
        return Err(vec![Fault::new(path!["vehicle"], message)]);
    };
    let mut manoeuvred: Vec<[f64; 3]> = Vec::new();
    let mut again_model = model.clone();
    let mut all = Vec::new();
    for (measure, found) in &found {
        let at = manoeuvred.iter().position(|known| *known == found.at_g).unwrap_or_else(|| {
            manoeuvred.push(found.at_g);
            manoeuvred.len() - 1
        });
        all.push((*measure, found, format!("manoeuvre {}", at + 1)));
    }
    for (at, g) in manoeuvred.iter().enumerate() {
        again_model.cases.insert(format!("manoeuvre {}", at + 1), Case::of(Some(*g), model.limits));
    }
    let again = check_as_drawn(&again_model, |_| true)?;
    let worst = all.into_iter().map(|(measure, found, case)| {
        let again = solved_again(&again, &case, measure);
        WorstOf {
            check: measure.check,
            place: measure.place.clone(),
            limit: measure.limit,
            value: found.value,
            at_g: found.at_g,
            never_above: found.never_above,
            boxes: found.boxes,
            case,
            again,
        }
    });
    let worst = largest_first(worst, WorstOf::utilisation);
    let also = not_covered(&again, &worst);
    Ok(Some(Worst { manoeuvres, worst, not_searched, model: again_model, again, also }))
}

/// The value of a measure in the check that was solved from scratch; `None`: it is judged on the deformed
/// frame there.
fn solved_again(again: &Checked, case: &str, measure: &Measure) -> Option<f64> {
    let place = measure.place.as_str();
    let tube = || again.verdict.tubes.get(case).and_then(|tubes| tubes.get(place));
    let outcome = &again.outcome.cases[case];
    let change = || outcome.wheels.get(place).and_then(|wheel| wheel.moved.as_ref()).map(|moved| moved.change);
    match measure.check {
        Check::Yield => tube().and_then(|judged| judged.yielding).map(|result| result.utilisation),
        Check::Weld => tube().and_then(|judged| judged.weld).map(|weld| weld.result.directional),
        Check::RodEnd => {
            let of_case = again.verdict.rod_ends.get(case);
            let judged = of_case.and_then(|parts| parts.get(place)).filter(|judged| !judged.deformed);
            judged.map(|judged| judged.result.utilisation)
        }
        Check::PickupMove => outcome.pickups.get(place).map(|pickup| pickup.change_mm),
        Check::Toe => change().map(|change| change.toe_deg.abs()),
        Check::Camber => change().map(|change| change.camber_deg.abs()),
        _ => None,
    }
}

/// Whether the bounds cover a check.
fn is_covered(check: Check) -> bool {
    matches!(check, Check::Yield | Check::Weld | Check::RodEnd | Check::PickupMove | Check::Toe | Check::Camber)
}

/// Of each check the worst finding that the bounds do not cover, largest first: one of another check, or
/// one of the deformed frame that is above its bound.
fn not_covered(again: &Checked, bounds: &[WorstOf]) -> Vec<Finding> {
    let within_its_bound = |finding: &Finding| {
        let bound = bounds.iter().find(|of| of.check == finding.check && of.place == finding.place);
        bound.is_some_and(|of| !larger_than(finding.utilisation, of.never_above_utilisation()))
    };
    let mut worst: Vec<Finding> = Vec::new();
    let findings = again.verdict.worst_first();
    let of_manoeuvres = findings.into_iter().filter(|finding| finding.case != STANDING);
    let open = of_manoeuvres.filter(|finding| !(is_covered(finding.check) && within_its_bound(finding)));
    for finding in counting(open.collect()) {
        if worst.iter().all(|known| known.check != finding.check) && finding.counts() {
            worst.push(finding.clone());
        }
    }
    worst
}
