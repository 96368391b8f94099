//! The answer by another way: no code of the solver, another formulation.
//!
//! The model's text is read here by the format page alone. A piece of tube is its flexibility, from
//! unit loads integrated along it, inverted ([`piece`]); what a joint lets go is a variable of its
//! own ([`frame`]); brackets, plates, ends off their nodes, mounts, bodies and balls are rows, and
//! what they allow is their null space by reflections ([`solved`]). Matrices are dense, nothing is a
//! penalty. Motions of nodes, bodies and wheels, forces of mounts and the internal forces along all
//! tubes are held against `check --json`.
//!
//! What the tool has and this has not: anti-roll bars; how wheel loads come about (those of the
//! result are put on); drive torque that goes to a body; built-in materials (their figures are those of
//! the result); stresses, utilisations and `change`, which follow from what is compared. The turn of
//! a node that nothing resists is the tool's to hold and is not compared. Random are frames, and
//! cars with double wishbones; struts, trailing arms, five links and units in texts come in
//! with the demo cars as drawn.

mod compare;
mod exact;
mod frame;
mod loads;
mod piece;
mod section;
mod solved;

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;

use proptest::prop_assert_eq;
use proptest::test_runner::{TestCaseError, TestRunner};
use serde_json::{Map, Value, json};

use crate::laws::cars::car;
use crate::laws::cases;
use crate::laws::frames::{Frame as Drawn, frame};
use crate::laws::mirroring::written_out;
use crate::support::repository_file;
use crate::support::values::{entries, number};
use compare::compare;
use frame::Frame;
use solved::Solver;

/// Largest difference, of the largest value of its kind in the case.
const TOLERANCE: f64 = 1e-8;

/// How well the two answers agree.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Agrees {
    /// To [`TOLERANCE`].
    Well,
    /// To what the tool says of its own error: the frame is nearly a mechanism, or its ties nearly
    /// hold one another, and 16 digits do not carry further.
    AsTold,
}

/// Compares all cases of a model whose twins are written out.
fn compare_all(model: &Value, result: &Value) -> Result<Agrees, String> {
    let frame = Frame::of(model, result);
    let solver = Solver::new(&frame);
    let standing = json!({ "g": {} });
    let mut agrees = Agrees::Well;
    for (name, told) in entries(&result["cases"]) {
        let case = model["cases"].get(name).unwrap_or(&standing);
        let compared = compare(model, &frame, &solver, case, told);
        if compared.is_within(TOLERANCE, case).is_err() {
            let own_error = number(&told["accuracy"]["error"]);
            compared.is_within(own_error, case).map_err(|off| format!("case \"{name}\": {off}"))?;
            agrees = Agrees::AsTold;
        }
    }
    Ok(agrees)
}

/// What the random frames must have, as it stands in their texts.
const KINDS: [&str; 26] = [
    "\"round\"",
    "\"square\"",
    "\"rect\"",
    "\"bar\"",
    "\"flat\"",
    "\"given\"",
    "\"outer_radius\"",
    "\"hot\"",
    "\"rod-end\"",
    "\"slide\"",
    "\"hinge\"",
    "\"rate\"",
    "\"end_at\"",
    "\"roll\"",
    "\"up\"",
    "\"through\"",
    "\"on\":[",
    "\"clamp\"",
    "\"rides\"",
    "\"one bolt\"",
    "\"bolted pad\"",
    "\"fixed\"",
    "\"moved\"",
    "\"twist\"",
    "\"line_loads\"",
    "\"bodies\":{\"body",
];

#[test]
fn five_hundred_random_frames_answer_as_the_force_method_and_null_spaces_do() {
    let (as_told, kinds) = (Cell::new(0), RefCell::new(BTreeMap::new()));
    let ran = TestRunner::new(cases(500)).run(&frame(), |drawn: Drawn| {
        let result = drawn.solved().map_err(TestCaseError::reject)?;
        let agrees = compare_all(&drawn.0, &result).map_err(TestCaseError::fail)?;
        as_told.set(as_told.get() + usize::from(agrees == Agrees::AsTold));
        let text = drawn.0.to_string();
        for kind in KINDS {
            *kinds.borrow_mut().entry(kind).or_insert(0) += usize::from(text.contains(kind));
        }
        Ok(())
    });
    ran.unwrap_or_else(|difference| panic!("{difference}"));
    assert!(as_told.get() <= 3, "{} of 500 frames do not agree to {TOLERANCE:e}", as_told.get());
    let rare: Vec<_> = kinds.into_inner().into_iter().filter(|(_, count)| *count < 20).collect();
    assert!(rare.is_empty(), "hardly any of the frames has {rare:?}");
}

#[test]
fn random_cars_answer_as_the_force_method_and_null_spaces_do() {
    let ran = TestRunner::new(cases(40)).run(&car(), |mut drawn: Drawn| {
        drawn.0.as_object_mut().expect("a model is an object").remove("anti_roll");
        let result = drawn.solved().map_err(TestCaseError::reject)?;
        let agrees = compare_all(&written_out(&drawn.0), &result).map_err(TestCaseError::fail)?;
        prop_assert_eq!(agrees, Agrees::Well);
        Ok(())
    });
    ran.unwrap_or_else(|difference| panic!("{difference}"));
}

/// A text with a unit in the default unit of its kind: international yard and pound (1959, exact),
/// pound-force with standard gravity, gauges of the imperial table; `None` for any other text.
fn in_default_units(text: &str) -> Option<f64> {
    let (number, unit) = text.split_once(' ')?;
    let number: f64 = number.parse().ok()?;
    let pound_force_n = 0.45359237 * 9.80665;
    Some(match unit {
        "in" => number * 25.4,
        "lb" => number * 0.45359237,
        "lbf" => number * pound_force_n,
        "lbf/in" => number * pound_force_n / 25.4,
        "lbf ft" => number * pound_force_n * 0.3048,
        "swg" => match number as u32 {
            10 => 3.2512,
            12 => 2.6416,
            14 => 2.032,
            16 => 1.6256,
            other => panic!("{other} swg is not in the table here"),
        },
        _ => return None,
    })
}

fn with_default_units(value: &Value) -> Value {
    match value {
        Value::String(text) => in_default_units(text).map_or_else(|| value.clone(), Value::from),
        Value::Array(parts) => parts.iter().map(with_default_units).collect(),
        Value::Object(keys) => keys.iter().map(|(key, value)| (key.clone(), with_default_units(value))).collect(),
        _ => value.clone(),
    }
}

/// A demo car with cases whose wheel loads are given where the tyre meets the ground.
fn demo(name: &str) -> Value {
    let text = std::fs::read_to_string(repository_file("models").join(name)).unwrap();
    let mut car: Value = serde_json::from_str(&text).unwrap();
    let keys = car.as_object_mut().unwrap();
    for left_out in ["options", "anti_roll", "limits", "duty"] {
        keys.remove(left_out);
    }
    let axles: Vec<String> = entries(&keys["corners"]).keys().map(|corner| corner.replace(".l", "")).collect();
    let mut wheels = Map::new();
    for axle in &axles {
        wheels.insert(format!("{axle}.l"), json!({ "force": [-900, 700, 2400], "at": "patch" }));
        wheels.insert(format!("{axle}.r"), json!({ "force": [400, 350, 800], "moment": [30, -40, 12], "at": "patch" }));
    }
    car["cases"] = json!({
        "bend": { "g": { "long": -0.5, "lat": 0.8, "vert": 1.1 }, "wheels": wheels, "factor": 1.2 },
        "blow": { "wheels": wheels },
    });
    car
}

#[test]
fn the_demo_cars_answer_as_the_force_method_and_null_spaces_do() {
    let cars = [
        ("hillclimb-front-subframe.json", &["double wishbone"][..]),
        ("hillclimb-rear-subframe.json", &["links"][..]),
        ("sprint-buggy.json", &["strut", "trailing arm"][..]),
    ];
    for (name, kinds) in cars {
        let car = demo(name);
        let text = car["corners"].to_string();
        assert!(kinds.iter().all(|kind| text.contains(&format!("\"kind\":\"{kind}\""))), "{name} has {text}");
        let result = Drawn(car.clone()).solved().unwrap_or_else(|fault| panic!("{name}: {fault}"));
        assert_eq!(compare_all(&written_out(&with_default_units(&car)), &result), Ok(Agrees::Well), "{name}");
    }
}
