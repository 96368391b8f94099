//! What is judged of the duty.

use std::f64::consts::PI;

use serde_json::{Value, json};

use super::{not_judged, refusals, round_cantilever};
use crate::support::values::{assert_near, list, number, word};
use crate::support::{load, read, result};

fn solved(model: &Value) -> Value {
    result(&load(&model.to_string()).base)
}

/// A tube 25×2 that is pushed down and up by 100 N at 600 mm, `count` times in one life.
fn pushed(event: &Value) -> Value {
    let mut model = round_cantilever(&json!({
        "down": {"forces": {"B": [0, 0, -100]}}, "up": {"forces": {"B": [0, 0, 100]}}
    }));
    model["duty"] = json!({"events": {"bumps": event}});
    model
}

/// The range √(σ⊥² + τ⊥²) in the throat, 2 mm, where the moment of 60 N·m pulls most: M/(π r² a).
fn range() -> f64 {
    60_000.0 / (PI * 12.5 * 12.5 * 2.0)
}

/// Cycles to failure of the root, category 36, γMf 1.35, above the limit of constant amplitude.
fn cycles(range: f64) -> f64 {
    2e6 * (36.0 / (1.35 * range)).powi(3)
}

#[test]
fn a_root_bent_to_and_fro_is_what_a_calculator_gives() {
    let model = pushed(&json!({"to": "down", "count": 1000}));
    let beam = &solved(&model)["fatigue"]["beam"];
    assert_eq!(word(&beam["crack"]), "root");
    assert_eq!([number(&beam["at"]), number(&beam["category"])], [0.0, 36.0]);
    // The shear that a rigid plate would spread evenly over the ring changes σ⊥ and τ⊥ by less than 1 %,
    // and the damage by its third power.
    let damage = 1000.0 / cycles(range());
    assert!((number(&beam["damage"]) / damage - 1.0).abs() < 0.001, "{beam} beside {damage}");
    assert_near(number(&beam["lives"]), 1.0 / number(&beam["damage"]), 1e-12);
    assert_near(number(&beam["events"]["bumps"]["damage"]), number(&beam["damage"]), 1e-12);
    assert_near(number(&beam["events"]["bumps"]["normal"]), range(), 1e-3);
}

#[test]
fn the_range_is_between_the_two_cases_of_an_event() {
    let of = |event: Value| number(&solved(&pushed(&event))["fatigue"]["beam"]["damage"]);
    let once = of(json!({"to": "down", "count": 1000}));
    assert_near(of(json!({"from": "up", "to": "down", "count": 1000})), 8.0 * once, 1e-9);
    assert_near(of(json!({"to": "up", "count": 2000})), 2.0 * once, 1e-9);
}

#[test]
fn an_event_without_a_beginning_starts_from_the_standing_car() {
    let of = |event: Value| {
        let mut car: Value = serde_json::from_str(&read("models/car.json")).unwrap();
        car["duty"] = json!({"events": {"stops": event}});
        solved(&car)["fatigue"].clone()
    };
    let told = of(json!({"from": "standing", "to": "braking", "count": 5000}));
    assert_eq!(of(json!({"to": "braking", "count": 5000})), told);
    assert!(told.as_object().unwrap().len() > 10, "{told}");
}

#[test]
fn lives_that_are_asked_for_are_judged_and_have_no_case() {
    let mut model = pushed(&json!({"to": "down", "count": 1000}));
    let lives = cycles(range()) / 1000.0;
    model["limits"] = json!({"fatigue": lives * 1.01});
    let solved_over = solved(&model);
    let failing = list(&solved_over["verdict"]["failing"]);
    assert_eq!(failing.len(), 1, "{failing:?}");
    assert_eq!([word(&failing[0]["check"]), word(&failing[0]["where"])], ["fatigue", "beam"]);
    assert!(failing[0].get("case").is_none() && number(&failing[0]["limit"]) == 1.0, "{}", failing[0]);
    model["limits"] = json!({"fatigue": lives * 0.98});
    assert_eq!(solved(&model)["verdict"]["pass"], true);
    model.as_object_mut().unwrap().remove("limits");
    model["duty"]["events"]["bumps"]["count"] = json!(1e9);
    assert_eq!(solved(&model)["verdict"]["pass"], true, "without a limit it is told, not judged");
}

#[test]
fn a_duty_whose_cases_were_not_asked_for_and_no_duty_stand_under_not_judged() {
    let model = load(&pushed(&json!({"from": "up", "to": "down", "count": 10})).to_string()).base;
    let checked = crossbrace::run::check(&model, |case| case == "down").unwrap();
    assert!(checked.verdict.fatigue.is_none());
    let why = |verdict: &crossbrace::run::Verdict| {
        verdict.not_judged.iter().find(|line| line.check == "fatigue").map(|line| line.why.clone()).unwrap()
    };
    assert!(why(&checked.verdict).contains("asked for"), "{}", why(&checked.verdict));
    let without = solved(&round_cantilever(&json!({"push": {"forces": {"B": [0, 0, -100]}}})));
    assert!(not_judged(&without, "fatigue")[0].1.contains("no \"duty\""));
    assert!(without.get("fatigue").is_none());
}

#[test]
fn only_a_weld_from_end_to_end_has_a_category_for_its_wall() {
    let mut model = pushed(&json!({"to": "down", "count": 1000}));
    let toes = |model: &Value| {
        not_judged(&solved(model), "fatigue").iter().filter(|line| line.0 == "tubes that end on others").count()
    };
    assert_eq!(toes(&model), 1);
    model["nodes"]["M"] = json!([300, 0, 0]);
    model["members"] = json!({
        "beam": {"ends": ["A", "M"], "tube": "size"},
        "rest": {"ends": ["M", "B"], "tube": "size"}
    });
    model["weld"] = json!({"throat": 8});
    // At M the wall of the tube, σ = M r/I at 30 N·m, uses up more than the root in a throat of 8 mm.
    let found = solved(&model)["fatigue"]["rest"].clone();
    assert_eq!(word(&found["crack"]), "wall", "{found}");
    let (outer, inner): (f64, f64) = (25.0, 21.0);
    let i = PI / 64.0 * (outer.powi(4) - inner.powi(4));
    let stress = 30_000.0 * 12.5 / i;
    assert_near(number(&found["events"]["bumps"]["normal"]), stress, 1e-6);
    assert_eq!(number(&found["category"]), 71.0);
    // Something else on that node, or a bend, and the table has no such joint.
    let mut with_stub = model.clone();
    with_stub["nodes"]["S"] = json!([300, 300, 0]);
    with_stub["members"]["stub"] = json!({"ends": ["M", "S"], "tube": "size"});
    let mut with_tab = model.clone();
    with_tab["mounts"]["M"] = json!({"x": 1});
    let mut bent = model;
    bent["nodes"]["B"] = json!([599, 30, 0]);
    for other in [with_stub, with_tab, bent] {
        assert_eq!(solved(&other)["fatigue"]["rest"]["crack"], "root");
    }
}

/// A plane girder: a chord that runs through with two round braces at 45° on its middle.
fn girder(chord: &Value, gap_apart: f64) -> Value {
    json!({
        "format": 1,
        "tubes": {"chord": chord, "brace": {"round": {"od": 20, "wall": 2}, "material": "S355J2H"}},
        "nodes": {
            "A": [-400, 0, 0], "M": [0, 0, 0], "B": [400, 0, 0], "C": [-300, 0, 300], "D": [gap_apart, 0, 300]
        },
        "members": {
            "rail": {"through": ["A", "M", "B"], "tube": "chord"},
            "one": {"ends": ["M", "C"], "tube": "brace"}, "two": {"ends": ["M", "D"], "tube": "brace"}
        },
        "mounts": {"A": "bolted pad", "B": "bolted pad"},
        "weld": {"throat": 9},
        "cases": {"pull": {"forces": {"C": [-8000, 0, 8000], "D": [8000, 0, -8000]}}},
        "duty": {"events": {"pulls": {"to": "pull", "count": 1000}}}
    })
}

#[test]
fn the_walls_of_a_k_joint_within_table_8_7_crack_by_its_category_and_others_are_told() {
    let chord = json!({"round": {"od": 48.3, "wall": 4}, "material": "S355J2H"});
    let found = solved(&girder(&chord, 300.0));
    let [brace, rail] = ["one", "rail"].map(|tube| found["fatigue"][tube].clone());
    // t0/ti = 2: category 90, m = 5. Feet at ±24.15 mm on the face, 28.28 mm long: a gap of 20.0 mm.
    assert_eq!([word(&brace["crack"]), word(&rail["crack"])], ["wall", "wall"], "{brace} {rail}");
    assert_eq!([number(&brace["category"]), number(&rail["category"])], [90.0, 90.0]);
    let range = number(&brace["events"]["pulls"]["normal"]);
    assert_near(number(&brace["damage"]), 1000.0 / (2e6 * (90.0 / (1.35 * range)).powi(5)), 1e-9);
    let peak = |tube: &str| number(&found["cases"]["pull"]["members"][tube]["peak"]["axial"]).abs();
    assert!(range >= peak("one"), "{range}");
    assert_near(number(&rail["at"]), 400.0, 1e-9);
    let told =
        |found: &Value| not_judged(found, "fatigue").iter().filter(|line| line.0 == "tubes that end on others").count();
    assert_eq!(told(&found), 1, "the rail's own ends have no category");
    // Thinner than its braces, steeper than 50°, and with another tube on the node: no category.
    let thin = girder(&json!({"round": {"od": 48.3, "wall": 1.9}, "material": "S355J2H"}), 300.0);
    let steep = girder(&chord, 150.0);
    let mut spatial = girder(&chord, 300.0);
    spatial["nodes"]["E"] = json!([0, 300, 0]);
    spatial["members"]["three"] = json!({"ends": ["M", "E"], "tube": "brace"});
    for other in [thin, steep, spatial] {
        assert_eq!(word(&solved(&other)["fatigue"]["one"]["crack"]), "root");
    }
}

#[test]
fn ranges_above_what_the_standard_covers_fail_however_few_they_are() {
    let mut model = pushed(&json!({"from": "up", "to": "down", "count": 1}));
    for case in ["up", "down"] {
        model["cases"][case]["limits"] = json!({"yield": null, "column": null});
    }
    model["cases"]["up"]["forces"]["B"] = json!([0, 0, 500]);
    model["cases"]["down"]["forces"]["B"] = json!([0, 0, -500]);
    model["limits"] = json!({"fatigue": 1e-9});
    let failing = solved(&model)["verdict"]["failing"].clone();
    // 2 · 300 N·m over W = 770 mm³: 779 MPa, against 1.5 · 355 MPa.
    assert_eq!(list(&failing).len(), 1, "{failing}");
    let w = PI / 64.0 * (25.0_f64.powi(4) - 21.0_f64.powi(4)) / 12.5;
    assert_near(number(&failing[0]["value"]), 600_000.0 / w / (1.5 * 355.0), 1e-9);
}

#[test]
fn welds_of_aluminium_are_told_to_have_curves_of_their_own() {
    let mut model = pushed(&json!({"to": "down", "count": 1000}));
    model["tubes"]["size"]["material"] = json!("EN AW-6082-T6");
    model["weld"] = json!({"filler_ultimate": 190});
    let solved = solved(&model);
    assert!(solved["fatigue"].as_object().unwrap().is_empty());
    assert!(not_judged(&solved, "fatigue").iter().any(|line| line.1.contains("aluminium")));
}

#[test]
fn what_is_wrong_with_a_duty_is_told() {
    let told = |event: Value| refusals(&pushed(&event)).join("\n");
    assert_eq!(told(json!({"to": "dwn", "count": 1})), "there is no case \"dwn\"");
    assert_eq!(told(json!({"from": "left", "to": "down", "count": 1})), "there is no case \"left\"");
    assert_eq!(told(json!({"to": "down", "count": 0})), "count is 0; it must be above 0");
    assert_eq!(
        told(json!({"from": "down", "to": "down", "count": 1})),
        "\"bumps\" goes from \"down\" to the same case, so that nothing changes"
    );
    let mut empty = pushed(&json!({"to": "down", "count": 1}));
    empty["duty"]["events"] = json!({});
    assert_eq!(refusals(&empty), ["there is no event; a duty is made of at least one"]);
}
