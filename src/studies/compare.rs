//! Options side by side: mass, strength, movement, twist, and what each kilogram buys.

use crate::checks::{Check, Finding, counting};
use crate::math::{larger_than, largest};
use crate::model::{Model, TubeRef};
use crate::record;
use crate::run::{CaseBuckling, Checked, MassOutcome, Outcome, Positions};
use crate::structure::{Purpose, Structure, Tube, TubeName, build};

record! {
    /// A figure, and in which case and where it is found.
    Figure {
        /// The figure.
        value: f64,
        /// In which case.
        case: String,
        /// At which node or wheel; empty where it belongs to the whole case.
        place as "where": String,
    }

    /// A frame among others.
    Variant {
        /// What it is called: `as drawn`, or the option.
        name: String,
        /// Mass of the tubes of frame and suspension, kg.
        mass_kg as "mass": f64,
        /// Whether every limit that is judged is met.
        passes: bool,
        /// The largest utilisation; that of a wall only where it fails.
        worst: Option<Finding> = None,
        /// The largest movement of a pick-up from standing, mm.
        pickup_move_mm as "pickup_move": Option<Figure> = None,
        /// The largest change of toe, degrees, as a magnitude.
        toe_deg as "toe": Option<Figure> = None,
        /// The largest change of camber, degrees, as a magnitude.
        camber_deg as "camber": Option<Figure> = None,
        /// The lowest twist stiffness, N·m/deg.
        twist_nm_deg as "twist": Option<Figure> = None,
        /// The lowest load factor at which the frame buckles; `None`: it is above ten in every case, or was not found.
        buckling: Option<Figure> = None,
        /// What it is above in every case, where it is not worked out in any.
        buckling_over: Option<f64> = None,
        /// The lowest natural frequency, Hz.
        frequency_hz as "frequency": Option<f64> = None,
        /// The joint that is used most.
        joint: Option<Finding> = None,
        /// The weld that is used most.
        weld: Option<Finding> = None,
        /// How many ends of the frame's tubes are to be fitted, two a tube.
        joints as "ends": usize,
        /// Length of the frame's tubes, m.
        tube_m as "tube": f64,
    }
}

impl Variant {
    /// What matters of a checked model.
    pub fn of(name: &str, checked: &Checked) -> Variant {
        let outcome = &checked.outcome;
        let outcomes = all_positions(checked);
        let figure =
            |value: f64, case: &str, place: &str| Figure { value, case: case.to_owned(), place: place.to_owned() };
        let wheels = |angle: fn(&crate::run::WheelChange) -> f64| {
            let all = outcomes.iter().flat_map(|(position, outcome)| {
                outcome.cases.iter().flat_map(move |(case, result)| {
                    result.wheels.iter().filter_map(move |(wheel, result)| {
                        let case = case_at(case, position);
                        result.moved.map(|moved| figure(angle(&moved.change).abs(), &case, wheel))
                    })
                })
            });
            largest(all, |figure| figure.value)
        };
        let pickups = outcomes.iter().flat_map(|(position, outcome)| {
            outcome.cases.iter().flat_map(move |(case, result)| {
                let pickups = result.pickups.iter();
                pickups.map(move |(node, pickup)| figure(pickup.change_mm, &case_at(case, position), node))
            })
        });
        let twist = outcomes.iter().flat_map(|(position, outcome)| {
            outcome.twist.iter().filter_map(move |(case, twist)| {
                twist.stiffness_nm_deg.map(|stiffness| figure(stiffness, &case_at(case, position), ""))
            })
        });
        let buckling =
            outcome.modes.buckling.iter().filter_map(|(case, found)| Some(figure(found.lowest()?, case, "")));
        let over = outcome.modes.buckling.values().map(|found| match found {
            CaseBuckling::Over(bound) => Some(*bound),
            CaseBuckling::Found(_) | CaseBuckling::Unknown(_) => None,
        });
        let over: Option<Vec<f64>> = over.collect();
        let most_used = |check: Check| {
            let of_check = checked.verdict.findings.iter().filter(|finding| finding.check == check);
            largest(of_check, |finding| finding.utilisation).cloned()
        };
        let made = Made::of(&outcome.mass, &checked.prepared.system.structure);
        Variant {
            name: name.to_owned(),
            mass_kg: made.mass_kg,
            passes: checked.verdict.passes(),
            worst: counting(checked.verdict.worst_first()).first().map(|finding| (*finding).clone()),
            pickup_move_mm: largest(pickups, |figure| figure.value),
            toe_deg: wheels(|change| change.toe_deg),
            camber_deg: wheels(|change| change.camber_deg),
            twist_nm_deg: largest(twist, |figure| -figure.value),
            buckling: largest(buckling, |figure| -figure.value),
            buckling_over: over.and_then(|over| over.into_iter().reduce(f64::min)),
            frequency_hz: outcome
                .modes
                .vibration
                .as_ref()
                .ok()
                .and_then(|found| Some(found.modes.first()?.frequency_hz)),
            joint: most_used(Check::Joint),
            weld: most_used(Check::Weld),
            joints: made.joints,
            tube_m: made.tube_m,
        }
    }

    /// Whether a model can come to these figures, as far as that is seen without solving it.
    pub(super) fn may_be_of(&self, model: &Model) -> bool {
        let Ok(structure) = build(model, Purpose::Statics) else { return false };
        let made = Made::of(&MassOutcome::of(model, &structure), &structure);
        // Those of another processor may differ in their last digits.
        let alike = |one: f64, other: f64| !larger_than(one, other) && !larger_than(other, one);
        let figures = [&self.pickup_move_mm, &self.toe_deg, &self.camber_deg, &self.twist_nm_deg];
        let findings = || [&self.worst, &self.joint, &self.weld].into_iter().flatten();
        alike(self.mass_kg, made.mass_kg)
            && alike(self.tube_m, made.tube_m)
            && self.joints == made.joints
            && figures.into_iter().flatten().all(|figure| figure.value >= 0.0)
            && findings().all(|finding| finding.utilisation >= 0.0)
            && self.passes != findings().any(Finding::fails)
    }
}

/// What a frame is made of, whatever acts on it.
struct Made {
    mass_kg: f64,
    joints: usize,
    tube_m: f64,
}

impl Made {
    fn of(mass: &MassOutcome, structure: &Structure) -> Made {
        let is_of_frame = |tube: &&Tube| matches!(tube.name, TubeName::Tube(TubeRef::Member(_)));
        let frame_tubes = || structure.tubes.iter().filter(is_of_frame);
        Made {
            mass_kg: mass.frame_kg + mass.arms_kg,
            joints: 2 * frame_tubes().count(),
            tube_m: frame_tubes().map(|tube| tube.length_mm).sum::<f64>() / 1000.0,
        }
    }
}

/// What came out as drawn, and with its name at every other position of the adjusters.
fn all_positions(checked: &Checked) -> Vec<(&str, &Outcome)> {
    let moved = checked.positions.iter().flat_map(Positions::named);
    let moved = moved.map(|(name, checked)| (name, &checked.outcome));
    std::iter::once(("", &checked.outcome)).chain(moved).collect()
}

/// A case at a position of the adjusters, in words.
pub fn case_at(case: &str, position: &str) -> String {
    if position.is_empty() { case.to_owned() } else { format!("{case}, with {position}") }
}

/// Less mass than this is too little to divide by, kg.
const WORTH_DIVIDING_KG: f64 = 0.05;

/// What each added kilogram changes a figure by, from pairs of mass (kg) and figure; `None` where
/// hardly any mass, or none, was added.
pub fn gain_per_kg(base: (f64, f64), changed: (f64, f64)) -> Option<f64> {
    let ((base_kg, base_value), (kg, value)) = (base, changed);
    let added = kg - base_kg;
    (added >= WORTH_DIVIDING_KG).then(|| (value - base_value) / added)
}

/// Which of some points of mass and stiffness nothing beats: no other is as light and as stiff,
/// and lighter or stiffer. `more_is_better`: whether a larger second figure is better.
pub fn unbeaten(points: &[(f64, f64)], more_is_better: bool) -> Vec<bool> {
    let better = |one: f64, other: f64| if more_is_better { larger_than(one, other) } else { larger_than(other, one) };
    points
        .iter()
        .map(|(mass, value)| {
            !points.iter().any(|(other_mass, other_value)| {
                let no_worse = !larger_than(*other_mass, *mass) && !better(*value, *other_value);
                no_worse && (larger_than(*mass, *other_mass) || better(*other_value, *value))
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_lighter_or_stiffer_than_all_others_is_unbeaten() {
        let points = [(10.0, 100.0), (11.0, 150.0), (12.0, 140.0), (12.0, 150.0), (10.0, 100.0)];
        assert_eq!(unbeaten(&points, true), [true, true, false, false, true]);
    }

    #[test]
    fn a_kilogram_buys_the_difference_over_the_added_mass() {
        assert_eq!(gain_per_kg((10.0, 100.0), (12.0, 150.0)), Some(25.0));
        assert_eq!(gain_per_kg((10.0, 100.0), (10.0, 150.0)), None);
        assert_eq!(gain_per_kg((10.0, 100.0), (9.0, 150.0)), None);
    }
}
