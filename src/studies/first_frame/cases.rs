//! The standard load cases of a use, within what the car can do.

use serde_json::{Map, Value, json};

use super::figures::{Car, Figures, Front, Use, number};
use crate::beam::mass::force_n;
use crate::car::wheel_loads;
use crate::model::Model;
use crate::units::{brief, figures as significant};

/// Of what the car can just do, a case asks for so much.
const OF_THE_MOST: f64 = 0.95;
/// Accelerations are given in steps of this, g.
const STEP_G: f64 = 0.05;
/// Said of each factor.
const SOURCE: &str = "common practice, no source";

/// What a use asks of a car, g.
struct Asked {
    braking: f64,
    reversing: f64,
    bend: f64,
    braking_into_bend: [f64; 2],
    accelerating: f64,
}

fn asked(purpose: Use) -> Asked {
    match purpose {
        Use::LooseSurfaceSprint => {
            Asked { braking: 0.8, reversing: 0.6, bend: 0.8, braking_into_bend: [0.5, 0.6], accelerating: 0.6 }
        }
        Use::Hillclimb => {
            Asked { braking: 1.2, reversing: 0.7, bend: 1.3, braking_into_bend: [0.7, 0.9], accelerating: 0.8 }
        }
        Use::Road => {
            Asked { braking: 0.9, reversing: 0.5, bend: 0.8, braking_into_bend: [0.5, 0.6], accelerating: 0.5 }
        }
    }
}

/// A blow on one wheel: its name, and the force in standing wheel loads.
fn blows(purpose: Use) -> [(&'static str, [f64; 3]); 2] {
    match purpose {
        Use::LooseSurfaceSprint => {
            [("rut at the front left", [-1.5, -0.5, 3.0]), ("landing on the front left wheel", [0.0, 0.0, 4.0])]
        }
        Use::Hillclimb => {
            [("kerb at the front left", [-1.5, -0.5, 3.5]), ("dip under the front left wheel", [0.0, 0.0, 3.0])]
        }
        Use::Road => [("pothole at the front left", [-1.5, -0.3, 3.0]), ("kerb at the front left", [-1.0, -1.0, 2.0])],
    }
}

/// The cases that follow from the car's acceleration, as they are asked for: name, case.
fn driving(figures: &Figures, car: &Car) -> Vec<(&'static str, Value)> {
    let asked = asked(figures.purpose);
    let [braking, bending] = asked.braking_into_bend;
    let mut all = vec![
        ("straight braking", json!({"g": {"long": -asked.braking}})),
        (
            "braking while reversing",
            json!({"g": {"long": asked.reversing}, "braked": ["front.l", "front.r", "rear.l", "rear.r"]}),
        ),
        ("left bend", json!({"g": {"lat": asked.bend}})),
        ("right bend", json!({"g": {"lat": -asked.bend}})),
        ("braking into a left bend", json!({"g": {"long": -braking, "lat": bending}})),
    ];
    if car.drive_share_front.is_some() {
        all.push(("accelerating", json!({"g": {"long": asked.accelerating}})));
    }
    all
}

/// All cases; those that drive are lowered to what the car can do, as `possible` finds it.
pub(super) fn cases(figures: &Figures, car: &Car, nose_x_mm: f64, possible: &[Possible]) -> Map<String, Value> {
    let mut all = Map::new();
    for (name, mut case) in driving(figures, car) {
        let limit = possible.iter().find(|possible| possible.case == name);
        let note = limit.map_or_else(|| SOURCE.to_owned(), |limit| lower(&mut case, limit));
        case["note"] = json!(note);
        all.insert(name.to_owned(), case);
    }
    let front_share = 1.0 - car.behind_front_axle_mm / figures.wheelbase_mm;
    let standing_n = force_n(car.mass_kg, 1.0) * front_share / 2.0;
    for (name, times) in blows(figures.purpose) {
        let force = times.map(|times| to_50(times * standing_n));
        let words: Vec<String> = times.iter().map(|times| brief(*times)).collect();
        all.insert(
            name.to_owned(),
            json!({
                "g": {}, "wheels": {"front.l": {"force": force, "at": "wheel_centre"}},
                "limits": {"yield": 1.2, "column": 1.2, "pickup_move": null, "toe": null, "camber": null},
                "note": format!("{} times the standing wheel load in x, y, z ({SOURCE})", words.join(", ")),
            }),
        );
    }
    let lift_n = force_n(car.mass_kg, 1.0) * (figures.wheelbase_mm - car.behind_front_axle_mm)
        / (figures.wheelbase_mm + nose_x_mm);
    all.insert(
        "lifted by the nose".to_owned(),
        json!({
            "g": {}, "wheels": "none", "forces": {"N": [0, 0, to_50(lift_n)]},
            "limits": {"pickup_move": null, "toe": null, "camber": null},
            "note": "the front axle off the ground by a jack under the nose, from the mass and its place",
        }),
    );
    all.insert(
        "twist test".to_owned(),
        json!({
            "twist": {"axle": ["S.l", "S.r"], "moment": 1000}, "limits": {"pickup_move": null, "toe": null, "camber": null},
            "note": "in the jig: the body held, the spring tops pushed up left and down right",
        }),
    );
    all
}

/// A force to the nearest 50 N.
fn to_50(force_n: f64) -> Value {
    number((force_n / 50.0).round() * 50.0)
}

/// What a car can do of a case that asks for more.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Possible {
    /// Name of the case.
    pub(super) case: String,
    /// The part that can just be done.
    part: f64,
    /// Why no more.
    why: String,
}

/// Lowers a case to what can be done; gives its note.
fn lower(case: &mut Value, limit: &Possible) -> String {
    let Some(g) = case["g"].as_object_mut() else {
        return SOURCE.to_owned();
    };
    let mut usual = Vec::new();
    for value in g.values_mut() {
        let asked = value.as_f64().unwrap_or_default();
        let steps = (asked.abs() * limit.part * OF_THE_MOST / STEP_G + 1e-9).floor();
        usual.push(brief(asked.abs()));
        *value = number((steps * STEP_G).copysign(asked));
    }
    format!("the usual {} g ({SOURCE}) is more than this car can do: {}", usual.join(" and "), limit.why)
}

/// Which of the cases ask for more than the car can do, and how much it can.
pub(super) fn possible(model: &Model) -> Vec<Possible> {
    let mut all = Vec::new();
    for (name, case) in &model.cases {
        let Some(g) = case.g else { continue };
        let Err(fault) = wheel_loads(model, name, case) else { continue };
        let reached = |part: f64| {
            let mut part_of_case = case.clone();
            part_of_case.g = Some([g[0] * part, g[1] * part, g[2]]);
            wheel_loads(model, name, &part_of_case).is_ok()
        };
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..30 {
            let middle = 0.5 * (low + high);
            if reached(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        all.push(Possible { case: name.clone(), part: low, why: fault.message });
    }
    all
}

/// The limits of a layout; an arm that carries camber in bending gives way more than a pair of wishbones.
pub(super) fn limits(figures: &Figures, car: &Car) -> Value {
    let (toe, camber) = match figures.front {
        Front::TrailingArm => (0.25, 0.5),
        Front::Strut => (0.15, 0.3),
        Front::DoubleWishbone | Front::Links => (0.15, 0.2),
    };
    let twist = significant(car.mass_kg * 5.0, 2).parse::<f64>().unwrap_or_default();
    json!({
        "yield": 1.5, "column": 1.5, "pickup_move": 1, "toe": toe, "camber": camber, "twist": number(twist),
        "note": format!("{SOURCE}: margins for figures that are not measured yet; twist 5 N m/deg for each kg of the car"),
    })
}
