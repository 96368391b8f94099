//! The command: what it refuses, what it tells beside the answer, and figures that are next to nothing.

use serde_json::{Value, json};

use crate::support::program::Scratch;
use crate::support::values::{list, number};
use crate::support::{read, repository_file};

/// A tube of a section, 800 mm along x from a bolted pad, with one case `load`.
fn cantilever(section: &Value, case: &Value) -> Value {
    json!({
        "format": 1,
        "tubes": {"size": section},
        "nodes": {"A": [0, 0, 500], "B": [800, 0, 500]},
        "members": {"beam": {"ends": ["A", "B"], "tube": "size"}},
        "mounts": {"A": "bolted pad"},
        "cases": {"load": case}
    })
}

fn round() -> Value {
    json!({"round": {"od": 38, "wall": 2}, "material": "E235+N"})
}

#[test]
fn an_answer_below_the_digits_that_are_shown_is_told_without_a_bar() {
    let text = std::fs::read_to_string(repository_file("models/first-frame.json")).unwrap();
    let mut model: Value = serde_json::from_str(&text).unwrap();
    for (axis, direction) in ["x", "y", "z"].into_iter().enumerate() {
        for (sign, size) in [("plus", 1e-9), ("minus", -1e-9)] {
            let mut force = [0.0; 3];
            force[axis] = size;
            model["cases"][format!("{sign} {direction}")] = json!({"forces": {"N": force}});
        }
    }
    let folder = Scratch::new();
    folder.write("tiny.json", model.to_string());
    for case in ["plus x", "plus y", "plus z", "minus x", "minus y", "minus z"] {
        for asked in [["--wheel", "front.l"], ["--wheel", "front.r"], ["--pickup", "N"]] {
            let ran = folder.run(["why", "tiny.json", asked[0], asked[1], "--case", case, "--out", case]);
            assert_eq!(ran.code, Some(0), "{case}: {}", ran.stderr);
            let wheels = asked[0] == "--wheel";
            assert!(!wheels || !ran.stdout.contains(['░', '█']), "{case}: {}", ran.stdout);
        }
    }
}

#[test]
fn what_check_refuses_is_not_explained() {
    let hardly_there = json!({
        "given": {"a": 300, "iy": 40_000, "iz": 40_000, "j": 50_000, "cy": 20, "cz": 20, "ct": 1e-306},
        "material": "E235+N"
    });
    let loads = json!({"moments": {"B": [300, 0, 0]}, "forces": {"B": [0, 0, -30]}});
    let folder = Scratch::new();
    folder.write("model.json", cantilever(&hardly_there, &loads).to_string());
    let checked = folder.run(["check", "model.json", "--json"]);
    let ran = folder.run(["why", "model.json", "--tube", "beam", "--json"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
    assert_eq!(ran.stderr, checked.stderr);
}

#[test]
fn the_json_of_an_answer_has_no_negative_zero() {
    let loads = json!({"forces": {"B": [0, 0, -300]}, "moments": {"B": [0, 0, 0]}});
    let mut model = cantilever(&round(), &loads);
    model["nodes"]["B"] = json!({"at": [800, 0, 500], "pickup": true});
    let folder = Scratch::new();
    folder.write("model.json", model.to_string());
    for asked in [["--pickup", "B"], ["--tube", "beam"], ["--pickup", "A"]] {
        let ran = folder.run(["why", "model.json", asked[0], asked[1], "--json"]);
        let answers: Value = serde_json::from_str(&ran.stdout).unwrap();
        for answer in list(&answers) {
            let parts = list(&answer["parts"]).iter().map(|part| number(&part["value"]));
            for value in parts.chain([number(&answer["total"])]) {
                assert!(value != 0.0 || value.is_sign_positive(), "{}", ran.stdout);
            }
        }
    }
}

#[test]
fn the_warnings_of_the_model_are_told_beside_an_answer() {
    let mut model = cantilever(&round(), &json!({"forces": {"B": [0, 0, -300]}}));
    model["brackets"] = json!({"tab": {"at": [400, 0, 530], "on": "beam"}});
    let folder = Scratch::new();
    folder.write("model.json", model.to_string());
    let warned = folder.run(["check", "model.json", "--json"]).stderr;
    assert!(warned.contains("tab"), "{warned}");
    for format in [&["--json"][..], &[]] {
        let ran = folder.run(["why", "model.json", "--tube", "beam"].iter().chain(format));
        assert_eq!((ran.code, ran.stderr), (Some(0), warned.clone()));
    }
}

/// The standing car is solved for its sake, and is no answer of the case that is asked for.
#[test]
fn one_case_alone_is_told_from_the_standing_car() {
    let folder = Scratch::new();
    folder.write("car.json", read("models/car.json"));
    let model: Value = serde_json::from_str(&read("models/car.json")).unwrap();
    let case = model["cases"].as_object().unwrap().iter().find(|(_, case)| case.get("g").is_some()).unwrap().0;
    let ran = folder.run(["why", "car.json", "--wheel", "front.l", "--case", case, "--json"]);
    let answers: Value = serde_json::from_str(&ran.stdout).unwrap();
    assert!(!list(&answers).is_empty());
    for answer in list(&answers) {
        assert_eq!((&answer["case"], &answer["from_standing"]), (&json!(case), &json!(true)));
    }
}
