//! At how many times its load each case buckles the frame or its strips sideways, and how the frame vibrates.

use super::least::Least;
use super::prepared::{Prepared, prepare};
use super::response::{CaseResponse, Response};
use crate::checks::NOT_SIDEWAYS;
use crate::loads::Load;
use crate::model::Model;
use crate::modes::{Buckling, LateralBuckling, NotFound, Screen, Vibration, lateral_buckling, vibration};
use crate::section::Section;
use crate::source::Named;
use crate::structure::Purpose;

/// Load factors of a case are worked out where the lowest is below this: a frame that buckles at ten
/// times its load feels little of the load's effect on its shape. EN 1993-1-1 5.2.1(3) takes the same
/// figure for elastic analysis.
const FAR_FROM_BUCKLING: f64 = 10.0;
/// How many load factors are worked out.
const FACTORS: usize = 3;
/// How many natural frequencies are worked out.
const FREQUENCIES: usize = 6;

/// What the frame does as a whole.
#[derive(Debug, Clone, PartialEq)]
pub struct Modes {
    /// By case.
    pub buckling: Named<CaseBuckling>,
    /// How flats that are bent on edge give way sideways, by case; of cases that bend some.
    pub lateral: Named<Result<LateralBuckling, NotFound>>,
    /// On its mounts, with the bodies, without the corners.
    pub vibration: Result<Vibration, NoVibration>,
}

/// Buckling of the frame under the load of one case.
#[derive(Debug, Clone, PartialEq)]
pub enum CaseBuckling {
    /// No factor lies below this one.
    Over(f64),
    /// The lowest ones.
    Found(Buckling),
    /// It could not be worked out.
    Unknown(NotFound),
}

/// Why frequencies could not be worked out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoVibration {
    /// Without the corners the frame is loose: what the fault says.
    Loose(String),
    /// Not all modes came out.
    NotFound(NotFound),
    /// Only what the cases do was asked for.
    NotAsked,
}

impl Modes {
    /// Of a frame that nobody asked.
    pub(super) fn not_asked(response: &Response) -> Modes {
        let over = |name: &String| (name.clone(), CaseBuckling::Over(0.0));
        let buckling = response.cases.iter().map(|case| over(&case.name)).collect();
        Modes { buckling, lateral: Named::new(), vibration: Err(NoVibration::NotAsked) }
    }
}

impl CaseBuckling {
    /// The push at which a tube of the structure that carries `push_n` buckles with the frame, N_cr = λ·N of
    /// the lowest mode that it takes part in; `None` where none of those that were worked out is.
    pub(super) fn critical_push_n(&self, tube: usize, push_n: f64) -> Option<f64> {
        let CaseBuckling::Found(found) = self else { return None };
        // Factors far above the load are known of some cases by chance alone.
        found.lowest_of(tube).filter(|factor| *factor <= FAR_FROM_BUCKLING).map(|factor| factor * push_n)
    }

    /// The lowest factor, where it was worked out.
    pub fn lowest(&self) -> Option<f64> {
        match self {
            CaseBuckling::Found(buckling) => buckling.modes.first().map(|mode| mode.factor),
            CaseBuckling::Over(_) | CaseBuckling::Unknown(_) => None,
        }
    }
}

/// Buckling of each case.
pub(super) fn buckling(model: &Model, prepared: &Prepared, response: &Response) -> Named<CaseBuckling> {
    let margins = response.cases.iter().filter_map(|case| model.cases[&case.name].limits.buckling_margin);
    let bound = margins.fold(FAR_FROM_BUCKLING, f64::max);
    let states = response.cases.iter().map(|case| &case.state).collect();
    let screen = Screen::new(&prepared.system, states, bound);
    let of_case = |(case, below): (usize, Result<usize, NotFound>)| {
        let found = match below {
            Ok(0) => return CaseBuckling::Over(bound),
            Ok(_) => screen.lowest(case, FACTORS),
            Err(why) => Err(why),
        };
        match found {
            Ok(found) if found.modes.first().is_none_or(|lowest| lowest.factor > bound) => CaseBuckling::Over(bound),
            Ok(found) => CaseBuckling::Found(found),
            Err(why) => CaseBuckling::Unknown(why),
        }
    };
    let found = screen.below().into_iter().enumerate().map(of_case);
    response.cases.iter().map(|case| case.name.clone()).zip(found).collect()
}

/// How flats that are bent on edge give way sideways in each case.
pub(super) fn lateral(
    model: &Model,
    prepared: &Prepared,
    response: &Response,
) -> Named<Result<LateralBuckling, NotFound>> {
    let structure = &prepared.system.structure;
    let is_flat = |size: usize| matches!(model.tubes[size].section, Section::Flat(_));
    let flats: Vec<bool> = structure.tubes.iter().map(|tube| tube.size.is_some_and(is_flat)).collect();
    if !flats.contains(&true) {
        return Named::new();
    }
    let of_case = |case: &CaseResponse| {
        let least = Least::of(case);
        let is_bent = |(at, flat): (usize, &bool)| {
            let tube = &structure.tubes[at];
            *flat
                && case
                    .state
                    .diagrams(structure, tube)
                    .any(|(_, diagram)| least.is_bent_on_edge(&tube.properties, &diagram))
        };
        let bent: Vec<bool> = flats.iter().enumerate().map(is_bent).collect();
        let loads: Vec<Load> = case.loads.iter().flat_map(|contribution| &contribution.loads).copied().collect();
        let margin = model.cases[&case.name].limits.column_margin.unwrap_or(1.0);
        let bounds = [FAR_FROM_BUCKLING, margin * NOT_SIDEWAYS];
        bent.contains(&true).then(|| lateral_buckling(&prepared.system, &case.state, &loads, &bent, bounds))
    };
    response.cases.iter().filter_map(|case| Some((case.name.clone(), of_case(case)?))).collect()
}

/// Vibration on the mounts, corners taken off.
pub(super) fn vibrations(model: &Model, prepared: &Prepared) -> Result<Vibration, NoVibration> {
    let taken_off = if model.corners.is_empty() {
        None
    } else {
        let without = prepare(model, Purpose::Vibration);
        Some(without.map_err(|faults| {
            NoVibration::Loose(faults.first().map(|fault| fault.message.clone()).unwrap_or_default())
        })?)
    };
    let system = &taken_off.as_ref().unwrap_or(prepared).system;
    vibration(model, system, FREQUENCIES).map_err(NoVibration::NotFound)
}

impl NoVibration {
    /// Why, in words.
    pub fn in_words(&self) -> String {
        match self {
            NoVibration::Loose(what) => format!("with the corners taken off something is loose: {what}"),
            NoVibration::NotFound(why) => why.in_words().to_owned(),
            NoVibration::NotAsked => "it was not asked for".to_owned(),
        }
    }
}
