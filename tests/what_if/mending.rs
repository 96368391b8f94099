//! What mends a frame that fails, against checks of the file with each change pasted into it.

use crossbrace::checks::Finding;
use crossbrace::model::Model;
use crossbrace::run::check;
use crossbrace::section::{STOCK, Section};
use serde_json::{Value, json};

use super::model_of;
use crate::support::program::Scratch;
use crate::support::repository_file;

fn text_of(name: &str) -> Value {
    serde_json::from_str(&std::fs::read_to_string(repository_file(&format!("models/{name}.json"))).unwrap()).unwrap()
}

/// The findings that fail, by check and place.
fn failing(model: &Model) -> Vec<(String, String)> {
    let checked = check(model, |_| true).ok().unwrap();
    let name = |finding: &&Finding| (finding.check.name().to_owned(), finding.place.clone());
    checked.verdict.failing().iter().map(name).collect()
}

fn mass_kg(model: &Model) -> f64 {
    let mass = &check(model, |_| true).ok().unwrap().outcome.mass;
    mass.frame_kg + mass.arms_kg
}

/// The file with an option's change written into its `options`, and that option's model.
fn with_option(text: &Value, option: &Value) -> Model {
    let mut text = text.clone();
    text["options"] = json!({ "mended": option });
    let document = crossbrace::source::Document::read(text.to_string().into_bytes()).unwrap();
    crossbrace::model::load_with(&document, &["mended".to_owned()]).unwrap().0
}

/// What the command gives for a model, and with which exit code.
fn mended(text: &Value) -> (Value, Option<i32>) {
    let folder = Scratch::new();
    folder.write("frame.json", text.to_string());
    let ran = folder.run(["mend", "frame.json", "--json"]);
    (serde_json::from_str(&ran.stdout).unwrap_or_else(|_| panic!("{}", ran.stderr)), ran.code)
}

/// Pastes every mend into the file: what it mends holds, nothing else fails that held, and it weighs what it says.
fn every_mend_holds(text: &Value) -> Value {
    let (told, code) = mended(text);
    assert_eq!(code, Some(0), "{told}");
    let base = model_of(text).unwrap();
    let (before, base_kg) = (failing(&base), mass_kg(&base));
    let mut count = 0;
    for failed in told["failing"].as_array().unwrap() {
        for mend in failed["mends"].as_array().unwrap() {
            let model = with_option(text, &mend["option"]);
            let own = (failed["check"].as_str().unwrap(), failed["where"].as_str().unwrap());
            let after = failing(&model);
            assert!(after.iter().all(|(check, place)| (check.as_str(), place.as_str()) != own), "{mend}");
            assert!(after.iter().all(|finding| before.contains(finding)), "{mend}: {after:?}");
            let added_kg = mend["added"].as_f64().unwrap();
            assert!((mass_kg(&model) - base_kg - added_kg).abs() < 1e-9, "{mend}");
            count += 1;
        }
    }
    assert!(count > 0);
    let together = &told["together"]["option"];
    assert!(failing(&with_option(text, together)).is_empty(), "{together}");
    told
}

/// A plate on a post that is bent about its weak axis too hard; the file has thicker plates, and a stock of both kinds.
#[test]
fn a_plate_is_mended_by_a_thicker_plate_of_the_file_and_by_no_tube() {
    let flat = |thickness: f64| json!({"flat": {"width": 60, "thickness": thickness}, "material": "S355J2H"});
    let mut text = json!({
        "format": 1,
        "tubes": {
            "plate 5": flat(5.0), "plate 8": flat(8.0), "plate 12": flat(12.0), "post": {"round": {"od": 60, "wall": 3}, "material": "E355+N"}
        },
        "nodes": {"A": [0, 0, 0], "B": [0, 0, 400], "T": [120, 0, 400]},
        "members": {
            "post": {"ends": ["A", "B"], "tube": "post"},
            "plate": {"ends": ["B", "T"], "tube": "plate 5", "up": [0, 0, 1]}
        },
        "mounts": {"A": "bolted pad"},
        "limits": {"yield": 1.5},
        "cases": {"push": {"forces": {"T": [0, 0, -700]}}}
    });
    for stock in [false, true] {
        if stock {
            text["sizing"] = json!({"stock": ["plate 8", "plate 12", "post"], "keep": ["post"]});
        }
        let (told, code) = mended(&text);
        assert_eq!(code, Some(0), "{told}");
        let all: Vec<&Value> =
            told["failing"].as_array().unwrap().iter().flat_map(|failed| failed["mends"].as_array().unwrap()).collect();
        let sizes: Vec<&Value> = all
            .iter()
            .map(|mend| &mend["option"]["change"]["members"]["plate"]["tube"])
            .filter(|size| !size.is_null())
            .collect();
        assert!(!sizes.is_empty(), "{told}");
        assert!(sizes.iter().all(|size| **size == "plate 8" || **size == "plate 12"), "{sizes:?}");
        every_mend_holds(&text);
    }
}

#[test]
fn every_change_that_is_told_mends_what_it_says_when_it_is_pasted_into_the_file() {
    every_mend_holds(&text_of("fails-at-a-joint"));
}

#[test]
fn twins_that_the_file_writes_both_are_changed_together() {
    let told = every_mend_holds(&text_of("fails-by-buckling"));
    let both = told["failing"][0]["mends"].as_array().unwrap().iter().any(|mend| {
        let members = &mend["option"]["change"]["members"];
        members["post.l"]["tube"].is_string() && members["post.l"] == members["post.r"]
    });
    assert!(both, "{told}");
}

#[test]
fn a_weld_that_is_thinner_than_its_wall_is_mended_by_a_thicker_one() {
    let told = every_mend_holds(&text_of("fails-at-a-weld"));
    let first = &told["failing"][0]["mends"][0];
    assert_eq!(first["added"], 0.0, "weld metal is not weighed: {first}");
    assert!(first["option"]["change"]["members"]["outrigger"]["weld"]["throat"].as_f64().unwrap() > 2.0, "{first}");
}

#[test]
fn a_square_that_sways_is_mended_by_the_brace_that_the_file_allows() {
    let text = json!({
        "format": 1,
        "tubes": { "tube": { "round": { "od": 25, "wall": 2 }, "material": "E235+N" } },
        "nodes": {
            "A": [0, 0, 0], "B": [500, 0, 0], "C": [500, 0, 500], "D": { "at": [0, 0, 500], "pickup": true }
        },
        "members": {
            "left": { "ends": ["A", "D"], "tube": "tube" },
            "right": { "ends": ["B", "C"], "tube": "tube" },
            "top": { "ends": ["D", "C"], "tube": "tube" }
        },
        "mounts": { "A": "one bolt", "B": "one bolt", "C": { "y": "fixed" } },
        "cases": { "push": { "forces": { "D": [1000, 0, 0] } } },
        "limits": { "pickup_move": 0.5 },
        "bracing": { "tube": "tube", "between": [["A", "C"], ["B", "D"]] }
    });
    let told = every_mend_holds(&text);
    assert_eq!(told["braces_tried"], true);
    let mends = told["failing"][0]["mends"].as_array().unwrap();
    assert!(mends.iter().any(|mend| mend.to_string().contains("a brace A to C")), "{told}");
}

#[test]
fn the_size_that_mends_a_cantilever_is_the_lightest_of_the_rack_that_holds() {
    let cantilever = |od: f64, wall: f64| {
        json!({
            "format": 1,
            "tubes": { "tube": { "round": { "od": od, "wall": wall }, "material": "E235+N" } },
            "nodes": { "A": [0, 0, 0], "B": { "at": [500, 0, 0], "pickup": true } },
            "members": { "arm": { "ends": ["A", "B"], "tube": "tube" } },
            "mounts": { "A": "bolted pad" },
            "cases": { "push": { "forces": { "B": [0, 0, -500] } } }
        })
    };
    let (told, code) = mended(&cantilever(30.0, 1.5));
    assert_eq!(code, Some(0));
    let area = |od: f64, wall: f64| od * wall - wall * wall;
    let holds = |od: f64, wall: f64| failing(&model_of(&cantilever(od, wall)).unwrap()).is_empty();
    let lightest = STOCK
        .iter()
        .filter(|size| !size.is_imperial())
        .filter_map(|size| match size.section {
            Section::Round(tube) => Some((tube.od_mm, tube.wall_mm)),
            _ => None,
        })
        .filter(|(od, wall)| area(*od, *wall) > 1.01 * area(30.0, 1.5) && holds(*od, *wall))
        .min_by(|one, other| area(one.0, one.1).total_cmp(&area(other.0, other.1)))
        .unwrap();
    let name = format!("{}x{} E235+N", lightest.0, lightest.1);
    let mends = told["failing"][0]["mends"].as_array().unwrap();
    assert_eq!(mends[0]["option"]["change"]["members"]["arm"]["tube"], name.as_str(), "{told}");
}

#[test]
fn a_joint_is_not_mended_by_a_post_too_wide_for_it_to_be_judged() {
    let text: Value = serde_json::from_str(&crate::support::read("models/sizing/post-on-rail.json")).unwrap();
    let (told, _) = mended(&text);
    let joint = told["failing"].as_array().unwrap().iter().find(|failing| failing["check"] == "joint").unwrap();
    let mends = joint["mends"].as_array().unwrap();
    assert!(!mends.is_empty(), "a rail and a post of 28 hold: {told}");
    for mend in mends {
        let model = with_option(&text, &mend["option"]);
        let checked = check(&model, |_| true).unwrap();
        assert!(checked.verdict.tubes["pull"]["post"].joint.is_some(), "{mend}");
    }
}

#[test]
fn what_no_tube_mends_is_told_with_exit_code_1_and_what_holds_with_0() {
    let (told, code) = mended(&text_of("fails-at-a-rod-end"));
    assert_eq!(code, Some(1), "{told}");
    assert_eq!(told["failing"][0]["mends"], json!([]));
    let together = &told["together"];
    assert!(together.is_null() || together["still_failing"] != json!([]), "{together}");
    let (told, code) = mended(&text_of("portal"));
    assert_eq!((code, &told["failing"]), (Some(0), &json!([])));
}

#[test]
fn the_command_tells_tables_and_options_and_draws_the_mended_frame_beside_the_other() {
    let folder = Scratch::new();
    folder.write("frame.json", text_of("fails-at-a-joint").to_string());
    let ran = folder.run(["mend", "frame.json", "--out", "sheets"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let told: String = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in
        ["1 check fails", "each by the whole check", "all together:", "joint of stay", "\"mended\": {\"change\":"]
    {
        assert!(told.contains(part), "{part}: {}", ran.stdout);
    }
    let names = folder.names();
    assert!(names.contains(&"sheets/report.html".to_owned()), "{names:?}");
    assert!(names.iter().any(|name| name.ends_with(".svg")), "{names:?}");
}
