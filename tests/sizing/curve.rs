//! The curve of mass against twist in parts, put together again, and gone on with: the same bytes as of one run.

use serde_json::{Value, json};

use super::frames::{equal_posts_text, tower_text};
use super::parts::{FILES, gathered, in_parts, kept, run, sheets};
use crate::support::program::{Ran, Scratch};

/// A folder with this frame.
fn folder(frame: &Value) -> Scratch {
    let folder = Scratch::new();
    folder.write("frame.json", frame.to_string());
    folder
}

/// A tower whose stiffest designs are not within its other limits.
fn tower() -> Scratch {
    let mut state = 0x7357_u64;
    let mut random = |low: f64, high: f64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * ((state >> 11) as f64 / (1_u64 << 53) as f64)
    };
    let mut tower = tower_text(&mut random);
    tower["limits"] = json!({ "yield": 1.5 });
    folder(&tower)
}

fn curve(folder: &Scratch, more: &[&str]) -> Ran {
    let ran = run(folder, &[&["--against", "twist"], more].concat());
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    ran
}

/// The answers of a file with a point in them, by number.
fn points(kept: &Value) -> Vec<String> {
    let answers = kept["answers"].as_object().unwrap().iter();
    answers.filter(|(_, answer)| answer["design"].is_array()).map(|(unit, _)| unit.clone()).collect()
}

#[test]
fn parts_of_a_curve_put_together_give_the_text_the_json_and_the_sheets_of_one_run() {
    // Unproven points too; and designs of one mass, of which a part may find another than one run.
    for (folder, boxes) in [(tower(), "100000"), (tower(), "0"), (folder(&equal_posts_text()), "100000")] {
        let asked = ["--against", "twist", "--boxes", boxes];
        let whole = curve(&folder, &["--boxes", boxes]);
        let drawn = sheets(&folder);
        assert!(drawn.len() > 1, "{drawn:?}");
        std::fs::remove_dir_all(folder.path().join("reports")).unwrap();
        in_parts(&folder, &asked);
        assert!(sheets(&folder).is_empty(), "a part draws nothing");
        let together = gathered(&folder, &[]);
        assert_eq!((together.code, &together.stdout), (Some(0), &whole.stdout), "{}", together.stderr);
        assert_eq!(sheets(&folder), drawn);
        let told = curve(&folder, &["--boxes", boxes, "--json"]).stdout;
        assert_eq!(gathered(&folder, &["--json"]).stdout, told);
        let told: Value = serde_json::from_str(&told).unwrap();
        let told = told["points"].as_array().unwrap();
        assert!(told.len() > 2);
        assert!(told.iter().all(|point| point["proven"] == (boxes != "0")), "{told:?}");
        // Each part has points of its own.
        assert!(FILES.into_iter().all(|file| points(&kept(&folder, file)).len() > 1));
    }
}

#[test]
fn a_curve_without_a_point_tells_what_comes_nearest_and_what_it_fails_by() {
    let mut frame = equal_posts_text();
    frame["limits"] = json!({ "yield": 1e4 });
    let told = run(&folder(&frame), &["--against", "twist"]);
    assert_eq!(told.code, Some(1), "{}", told.stderr);
    assert!(told.stdout.starts_with("no design passes the other limits\nnearest with one size for all groups: "));
    assert!(told.stdout.contains("worst: yield of post A") && !told.stdout.contains("none under"), "{}", told.stdout);
}

#[test]
fn a_point_that_its_part_passed_over_is_searched_where_the_curve_asks_for_it() {
    let folder = tower();
    let whole = curve(&folder, &[]);
    in_parts(&folder, &["--against", "twist"]);
    for file in FILES {
        let mut passed = kept(&folder, file);
        let last = points(&passed).pop().unwrap();
        passed["answers"][last] = json!({ "passed_over": true });
        folder.write(file, passed.to_string());
    }
    assert_eq!(gathered(&folder, &[]).stdout, whole.stdout);
}

#[test]
fn a_curve_goes_on_from_the_points_that_it_kept() {
    let folder = tower();
    let whole = curve(&folder, &[]);
    assert_eq!(curve(&folder, &["--keep", "1.json"]).stdout, whole.stdout);
    let all = kept(&folder, "1.json");
    let units = points(&all);
    assert!(units.len() > 3, "{all}");
    let spared = all["answers"].as_object().unwrap().values().filter(|answer| answer["passed_over"] == true);
    assert!(spared.count() > 2, "{all}");
    // As it stood while the third point was searched.
    let mut some = all.clone();
    let third: usize = units[2].parse().unwrap();
    some["answers"].as_object_mut().unwrap().retain(|unit, _| unit.parse::<usize>().unwrap() < third);
    folder.write("1.json", some.to_string());
    let ran = folder.run(["gather", "1.json"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{}", ran.stderr);
    let missing = all["units"].as_u64().unwrap() as usize - third;
    let told = format!("error: 1.json is not done: {missing} units are missing");
    assert!(ran.stderr.starts_with(&told), "{}", ran.stderr);
    assert_eq!(curve(&folder, &["--keep", "1.json"]).stdout, whole.stdout);
    assert_eq!(kept(&folder, "1.json"), all);
    assert_eq!(folder.run(["gather", "1.json"]).stdout, whole.stdout);
    // One that is missing is searched again, and no other.
    let mut marked = all.clone();
    marked["answers"].as_object_mut().unwrap().shift_remove(&units[1]);
    marked["answers"][&units[0]]["proven"] = json!(false);
    folder.write("1.json", marked.to_string());
    let told: Value = serde_json::from_str(&curve(&folder, &["--keep", "1.json", "--json"]).stdout).unwrap();
    assert_eq!(told["points"][0]["proven"], false, "what is kept is not done again");
    let mut again = kept(&folder, "1.json");
    again["answers"][&units[0]]["proven"] = json!(true);
    assert_eq!(again, all);
}

#[test]
fn a_point_that_no_run_gives_is_refused() {
    let folder = tower();
    curve(&folder, &["--keep", "1.json"]);
    let all = kept(&folder, "1.json");
    let second = points(&all).swap_remove(1);
    let refused = |what: &str, alter: &dyn Fn(&mut Value)| {
        let mut altered = all.clone();
        alter(&mut altered["answers"]);
        folder.write("1.json", altered.to_string());
        let ran = folder.run(["gather", "1.json"]);
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{what}: {}", ran.stderr);
        assert!(ran.stderr.contains("what it gives cannot be the answer of unit "), "{what}: {}", ran.stderr);
    };
    refused("another stiffness", &|answers| answers[&second]["twist"] = json!(1e6));
    refused("another question", &|answers| answers[&second]["at_least"] = json!(1.0));
    refused("another mass", &|answers| answers[&second]["mass"] = json!(1.0));
    refused("a size that is none", &|answers| answers[&second]["design"][0] = json!(99));
    refused("a group too few", &|answers| drop(answers[&second]["design"].as_array_mut().unwrap().pop()));
    refused("a bound above the mass", &|answers| answers[&second]["none_under"] = json!(1e6));
    refused("an optimum above its bound", &|answers| answers[&second]["none_under"] = json!(0.5));
    refused("a first that is passed over", &|answers| answers["0"] = json!({ "passed_over": true }));
    folder.write("1.json", all.to_string());
    let ran = folder.run(["gather", "1.json", "--certificate", "proof.json"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
    assert!(ran.stderr.starts_with("error: a curve has no certificate"), "{}", ran.stderr);
}
