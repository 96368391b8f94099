//! Joints that turn as tube on tube does, and what nobody knows, bracketed.

use crossbrace::report::{Report, json};
use crossbrace::run::{check, unknowns};
use crossbrace::section::RoundTube;
use crossbrace::structure::turning_rates;
use serde_json::{Value, json};

use super::joints::{checked, rail_with};
use super::twisted;
use crate::support::load;
use crate::support::values::{entries, list, number, vector, word};

/// The result of a model with the key `unknowns`.
fn with_unknowns(model: &Value) -> Value {
    let model = load(&model.to_string()).base;
    let checked = check(&model, |_| true).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let unknowns = unknowns(&model, &checked, |_| true);
    let text = json::text(&Report {
        file: "test.json",
        sha256: "",
        option: None,
        model: &model,
        prepared: &checked.prepared,
        response: &checked.response,
        outcome: &checked.outcome,
        verdict: &checked.verdict,
        unknowns: unknowns.as_ref(),
        positions: checked.positions.as_ref(),
        notes: &checked.notes(),
    });
    serde_json::from_str(&text).unwrap()
}

#[track_caller]
fn near(value: f64, wanted: f64, tolerance: f64) {
    assert!((value - wanted).abs() <= tolerance * wanted.abs(), "{value} instead of {wanted}");
}

const LEANING: [f64; 3] = [160.0, 0.0, 240.0];

#[test]
fn a_tip_moves_further_by_the_turn_of_its_joint_in_and_out_of_the_plane_of_both_tubes() {
    let square_on = [0.0, 0.0, 300.0];
    for (tip, roll) in [(square_on, 0.0), (square_on, 35.0), (LEANING, 0.0), (LEANING, 70.0)] {
        let along = nalgebra::Vector3::from(tip);
        let length = along.norm();
        let angle = (along.z / length).asin();
        let rates = turning_rates(
            &RoundTube { od_mm: 60.0, wall_mm: 3.0 },
            &RoundTube { od_mm: 25.0, wall_mm: 2.5 },
            angle,
            210_000.0,
        )
        .unwrap();
        // A force square to the stay, in the plane of both tubes and square to it, bends the joint by
        // force × length; the tip goes on by that turn × length.
        let in_plane = along.cross(&nalgebra::Vector3::y()).normalize();
        for (direction, rate) in [(in_plane, rates.in_plane_nmm), (nalgebra::Vector3::y(), rates.out_of_plane_nmm)] {
            let force = direction * 100.0;
            let moved = |joint: &str| {
                let mut model = rail_with(&[("stay", tip, force.into())]);
                model["members"]["stay"]["joint"] = json!([joint, "weld"]);
                model["members"]["stay"]["roll"] = json!(roll);
                vector(&checked(&model)["cases"]["push"]["nodes"]["tip of stay"]["move"])
            };
            let further = (moved("tube-on-tube") - moved("weld")).dot(&direction);
            near(further, 100.0 * length * length / rate, 1e-6);
        }
    }
}

#[test]
fn outside_the_range_of_its_formula_a_tube_on_tube_joint_is_rigid_and_the_notes_say_so() {
    let solved = |wall: f64, joint: &str| {
        let mut model = rail_with(&[("stay", LEANING, [100.0, 0.0, 0.0])]);
        model["tubes"]["rail"]["round"]["wall"] = json!(wall);
        model["members"]["stay"]["joint"] = json!(joint);
        checked(&model)
    };
    let told = |result: &Value, part: &str| list(&result["notes"]).iter().any(|note| word(note).contains(part));
    let inside = solved(3.0, "tube-on-tube");
    assert!(told(&inside, "Buitrago"), "{}", inside["notes"]);
    // Its other end stands on no tube.
    assert!(told(&inside, "taken as rigid, outside the formula's range: stay at tip of stay"), "{}", inside["notes"]);
    let outside = solved(3.5, "tube-on-tube");
    assert!(!told(&outside, "Buitrago") && told(&outside, "17.1 times its wall"), "{}", outside["notes"]);
    let rigid = solved(3.5, "weld");
    assert_eq!(outside["cases"], rigid["cases"]);
    assert_ne!(inside["cases"], solved(3.0, "weld")["cases"]);
    // It counts as welded: it is judged as a joint, and beside the weld.
    assert!(inside["cases"]["push"]["members"]["stay"]["working"]["joint"].is_object());
}

/// [`twisted`] on mounts of one kind.
fn on_mounts(mount: &Value) -> Value {
    let mut model = twisted(["B", "C"], 100.0);
    model["mounts"] = json!({"A": mount, "D": mount, "E": "one bolt"});
    // A third foot, so that one bolt each does hold the frame.
    model["nodes"]["E"] = json!([600, 200, -300]);
    model["nodes"]["F"] = json!([600, 200, 0]);
    model["members"]["rail"] = json!({"through": ["B", "F", "C"], "tube": "size"});
    model["members"]["leg"] = json!({"ends": ["F", "E"], "tube": "size"});
    model
}

fn stiffness(model: &Value) -> f64 {
    number(&checked(model)["twist"]["jig"]["stiffness"])
}

#[test]
fn twist_stiffness_lies_between_that_of_bolts_and_that_of_pads_whatever_the_mounts_are() {
    let (bolts, pads) = (json!("one bolt"), json!("bolted pad"));
    let result = with_unknowns(&on_mounts(&bolts));
    let range = &result["unknowns"]["twist"]["jig"];
    assert_eq!(range["bounds"], json!(true));
    let (low, high) = (number(&range["low"]), number(&range["high"]));
    assert!(low < 0.9 * high, "the mounts must matter: {range}");
    let mut all_pads = on_mounts(&pads);
    all_pads["mounts"]["E"] = pads.clone();
    near(high, stiffness(&all_pads), 1e-9);
    let mut all_bolts = on_mounts(&bolts);
    for joint in list(&result["unknowns"]["joints"]) {
        all_bolts["members"][word(&joint["member"])]["joint"] = json!("tube-on-tube");
    }
    near(low, stiffness(&all_bolts), 1e-9);
    for rate in [0.1, 1.0, 10.0, 100.0, 1e4] {
        let held = json!({"x": "fixed", "y": "fixed", "z": "fixed", "rx": rate, "ry": 3.0 * rate, "rz": rate / 2.0});
        let between = stiffness(&on_mounts(&held));
        assert!((low..=high).contains(&between), "{rate}: {between} outside {low} to {high}");
    }
}

#[test]
fn what_the_file_gives_by_rates_is_not_varied() {
    let mut model = on_mounts(&json!({"x": "fixed", "y": "fixed", "z": "fixed", "rx": 100}));
    let varied = |model: &Value| {
        let result = with_unknowns(model);
        let mounts: Vec<String> =
            list(&result["unknowns"]["mounts"]).iter().map(|name| word(name).to_owned()).collect();
        (mounts, list(&result["unknowns"]["joints"]).len())
    };
    // The rail, 25×2, is too thick a tube for the formula, so that no weld is varied.
    assert_eq!(varied(&model), (vec!["E".to_owned()], 0));
    model["tubes"]["size"]["round"]["wall"] = json!(1.2);
    model["tubes"]["leg"] = json!({"round": {"od": 20, "wall": 1.2}, "material": "steel"});
    model["members"]["leg"]["tube"] = json!("leg");
    assert_eq!(varied(&model), (vec!["E".to_owned()], 1));
    model["members"]["leg"]["joint"] = json!({"rate": {"my": 1000}});
    assert_eq!(varied(&model), (vec!["E".to_owned()], 0));
    model["mounts"]["E"] = json!({"x": "fixed", "y": "fixed", "z": "fixed"});
    assert!(with_unknowns(&model).get("unknowns").is_none());
}

#[test]
fn an_extreme_that_is_loose_is_told_and_the_rest_is_judged() {
    let result = with_unknowns(&twisted(["B", "C"], 100.0));
    let told = word(&result["unknowns"]["softest_fails"]);
    assert!(told.contains("can turn") || told.contains("can move"), "{told}");
    assert_eq!(result["unknowns"]["twist"]["jig"]["bounds"], json!(false));
    assert!(result["unknowns"].get("stiffest_fails").is_none());
}

#[test]
fn ranges_hold_what_the_file_gives() {
    let result = with_unknowns(&on_mounts(&json!("bolted pad")));
    let mut count = 0;
    for (case, ranges) in entries(&result["unknowns"]["cases"]) {
        for (what, range) in entries(ranges).iter().filter(|(what, _)| *what != "worst") {
            let [low, as_given, high] = ["low", "as_given", "high"].map(|key| number(&range[key]));
            assert!(low <= as_given && as_given <= high, "{case} {what}: {range}");
            assert_eq!(range["bounds"], json!(false), "{what} is no bound");
            count += 1;
        }
    }
    assert!(count > 0);
}

/// A column pushed through its sliding foot at one end against a mount in words at the other, with a force across its
/// middle. Timoshenko & Gere, Theory of Elastic Stability, ch. 1: on pins the moment there is F tan(kL/2)/(2k).
#[test]
fn at_an_extreme_too_a_tube_fails_by_its_stress_on_the_deformed_frame() {
    let (push, across): (f64, f64) = (10_000.0, 850.0);
    let model = json!({
        "format": 1,
        "materials": {"steel": {
            "youngs_modulus": 210_000, "shear_modulus": 81_000, "density": 7850,
            "yield": 355, "ultimate": 490, "yield_at_weld": "same"
        }},
        "tubes": {"size": {
            "given": {"a": 400, "iy": 10_000, "iz": 10_000, "j": 20_000, "cy": 12, "cz": 12, "ct": 1600},
            "material": "steel"
        }},
        "nodes": {"A": [0, 0, 500], "M": [500, 0, 500], "B": [1000, 0, 500]},
        "members": {"tube": {"through": ["A", "M", "B"], "tube": "size"}},
        "mounts": {"A": {"y": "fixed", "z": "fixed", "rx": "fixed"}, "B": "bolted pad"},
        // So that stress alone governs.
        "limits": {"yield": 1, "column": 0.01, "buckling": 0.01},
        "cases": {"push": {"forces": {"A": [push, 0, 0], "M": [0, 0, -across]}}}
    });
    let result = with_unknowns(&model);
    let case = &result["unknowns"]["cases"]["push"];
    let ei: f64 = 210_000.0 * 10_000.0;
    let k = (push / ei).sqrt();
    let stress = |moment: f64| push / 400.0 + moment * 12.0 / 10_000.0;
    let on_the_drawn_frame = stress(across * 1000.0 / 4.0) / 355.0;
    assert!(on_the_drawn_frame < 0.8, "{on_the_drawn_frame}");
    near(number(&case["utilisation"]["high"]), stress(across * (k * 500.0).tan() / (2.0 * k)) / 355.0, 1e-3);
    assert_eq!(word(&case["worst"]["check"]), "yield");
    assert!(number(&case["utilisation"]["as_given"]) < 1.0, "{case}");
}

#[test]
fn a_body_held_on_one_line_is_left_as_given_and_one_on_three_points_is_varied() {
    let mut model = on_mounts(&json!("bolted pad"));
    let body = |mounts: Value| json!({"mass": 10, "cg": [600, 200, 100], "mounts": mounts});
    model["bodies"] = json!({"box": body(json!({"B": "bolted pad", "C": "bolted pad"}))});
    let told = |model: &Value| with_unknowns(model)["unknowns"].clone();
    let on_a_line = told(&model);
    assert_eq!((&on_a_line["left_as_given"], &on_a_line["mounts"]), (&json!(["box"]), &json!(["A", "D", "E"])));
    assert!(on_a_line.get("softest_fails").is_none(), "{on_a_line}");
    model["nodes"]["G"] = json!([300, 0, 0]);
    model["members"]["one"] = json!({"through": ["A", "G", "B"], "tube": "size"});
    model["bodies"]["box"]["mounts"]["G"] = json!("bolted pad");
    let on_three = told(&model);
    assert_eq!(on_three["left_as_given"], json!([]));
    assert_eq!(list(&on_three["mounts"]).len(), 6);
}

#[test]
fn a_case_that_comes_to_no_rest_at_the_softest_extreme_alone_is_told_with_its_buckling_load() {
    // Pinned, the post gives way at π² E I / L², held at its foot at 2.046 times that.
    let model = json!({
        "format": 1,
        "tubes": { "a": { "round": { "od": 30, "wall": 2 }, "material": "E355+N" } },
        "nodes": { "A": [0, 0, 0], "T": [0, 0, 2000] },
        "members": { "post": { "ends": ["A", "T"], "tube": "a" } },
        "mounts": { "A": "bolted pad", "T": { "x": "fixed", "y": "fixed", "rz": "fixed" } },
        "cases": { "push": { "forces": { "T": [0, 0, -12000] }, "limits": { "column": null, "buckling": null } } },
        "limits": { "yield": 1 },
    });
    let second_moment = std::f64::consts::PI / 64.0 * (30f64.powi(4) - 26f64.powi(4));
    let pinned = std::f64::consts::PI.powi(2) * 210_000.0 * second_moment / 2000f64.powi(2) / 12_000.0;
    let told = with_unknowns(&model);
    let collapses = &told["unknowns"]["cases"]["push"]["collapses"];
    // A hundredth: shear takes a little, and the figure is of a frame as it buckles.
    near(collapses["softest"].as_f64().unwrap(), pinned, 0.01);
    assert!(collapses.get("stiffest").is_none(), "{collapses}");
    // Of a light load nothing is told.
    let mut light = model;
    light["cases"]["push"]["forces"]["T"] = json!([0, 0, -1200]);
    assert!(with_unknowns(&light)["unknowns"]["cases"]["push"].get("collapses").is_none());
}
