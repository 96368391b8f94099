//! What is judged, and what the verdict says that it does not cover.

use crossbrace::source::Document;
use serde_json::{Value, json};

use crate::support::{load, read, result};
use crate::support::values::{list, number, vector, word};

/// The messages of a text that is no model.
fn refusals(model: &Value) -> Vec<String> {
    let document = Document::read(model.to_string().into_bytes()).unwrap_or_else(|(_, problems)| panic!("{problems:#?}"));
    let problems = crossbrace::model::load_all(&document).err().expect("it must be refused");
    problems.iter().map(|problem| problem.message.clone()).collect()
}

/// A tube of this section, 600 mm along x from a bolted pad, with these cases.
fn cantilever(section: Value, cases: Value) -> Value {
    json!({
        "format": 1,
        "materials": {"steel": {
            "youngs_modulus": 210_000, "shear_modulus": 81_000, "density": 7850,
            "yield": 355, "ultimate": 490, "yield_at_weld": "same", "finish": "hot"
        }},
        "tubes": {"size": section},
        "nodes": {"A": [0, 0, 0], "B": [600, 0, 0]},
        "members": {"beam": {"ends": ["A", "B"], "tube": "size"}},
        "mounts": {"A": "bolted pad"},
        "cases": cases
    })
}

#[test]
fn a_hot_finished_box_whose_bore_has_no_room_for_the_inner_radius_is_refused() {
    let tube = |side: f64| {
        cantilever(
            json!({"square": {"side": side, "wall": 10}, "material": "steel"}),
            json!({"load": {"forces": {"B": [0, 0, -100]}}}),
        )
    };
    assert_eq!(
        refusals(&tube(30.0)),
        ["the inner radius of the standard, 10 mm, is more than half of the bore, 10 mm"]
    );
    load(&tube(40.0).to_string()); // a round bore
    let mut measured = tube(30.0);
    measured["tubes"]["size"]["square"]["outer_radius"] = json!(12);
    load(&measured.to_string());
}

#[test]
fn a_wheel_in_the_air_that_is_asked_for_friction_is_told_to_carry_nothing() {
    let mut car: Value = serde_json::from_str(&read("models/car.json")).unwrap();
    car["vehicle"].as_object_mut().unwrap().remove("tyre_grip");
    car["cases"] = json!({"tight bend": {"g": {"long": -0.5, "lat": 1.6}}});
    let result = result(&load(&car.to_string()).base);
    let force = vector(&result["cases"]["tight bend"]["wheels"]["rear.l"]["force"]);
    assert!(force.z == 0.0 && force.x < 0.0, "the wheel must be in the air and brake: {force:?}");
    let notes: Vec<&str> = list(&result["notes"]).iter().map(word).filter(|note| note.contains("friction")).collect();
    assert!(notes.iter().any(|note| note.contains("it carries nothing")), "{notes:?}");
    assert!(notes.iter().all(|note| !note.contains("inf ")), "{notes:?}");
}
