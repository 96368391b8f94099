//! What mends a frame, searched in parts and gone on with: the same bytes as of one run, and nothing else is taken.

use serde_json::{Value, json};

use crate::support::program::{Ran, Scratch};
use crate::support::repository_file;

fn folder(name: &str) -> Scratch {
    let folder = Scratch::new();
    folder.write("frame.json", std::fs::read(repository_file(&format!("models/{name}.json"))).unwrap());
    folder
}

const FILES: [&str; 3] = ["1.json", "2.json", "3.json"];

fn in_parts(folder: &Scratch) {
    for (at, file) in FILES.into_iter().enumerate() {
        let ran = folder.run(["mend", "frame.json", "--part", &format!("{}/3", at + 1), "--keep", file]);
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(0), ""), "{}", ran.stderr);
    }
}

fn gathered(folder: &Scratch, more: &[&str]) -> Ran {
    folder.run(["gather"].iter().chain(&FILES).chain(more))
}

fn kept(folder: &Scratch, file: &str) -> Value {
    serde_json::from_str(&folder.read(file)).unwrap()
}

fn sheets(folder: &Scratch) -> Vec<(String, Vec<u8>)> {
    folder.files().into_iter().filter(|(name, _)| name.starts_with("reports/")).collect()
}

#[test]
fn parts_put_together_give_the_text_the_json_and_the_sheets_of_one_run() {
    let folder = folder("fails-at-a-joint");
    let whole = folder.run(["mend", "frame.json"]);
    assert_eq!(whole.code, Some(0), "{}", whole.stderr);
    let drawn = sheets(&folder);
    assert!(drawn.len() > 1, "{drawn:?}");
    std::fs::remove_dir_all(folder.path().join("reports")).unwrap();
    in_parts(&folder);
    assert!(sheets(&folder).is_empty(), "a part draws nothing");
    let together = gathered(&folder, &[]);
    assert_eq!((together.code, &together.stdout), (Some(0), &whole.stdout), "{}", together.stderr);
    assert_eq!(together.stderr, whole.stderr);
    assert_eq!(sheets(&folder), drawn);
    assert_eq!(gathered(&folder, &["--json"]).stdout, folder.run(["mend", "frame.json", "--json"]).stdout);
}

#[test]
fn a_frame_of_which_nothing_fails_can_be_gathered_too() {
    let folder = folder("fails-at-a-joint");
    let study = ["mend", "frame.json", "--option", "rail wall 2"];
    let whole = folder.run(study);
    assert!(whole.stdout.contains("nothing fails: there is nothing to mend"), "{}{}", whole.stdout, whole.stderr);
    for (at, file) in FILES.into_iter().enumerate() {
        let ran = folder.run(study.into_iter().chain(["--part", &format!("{}/3", at + 1), "--keep", file]));
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(0), ""), "{}", ran.stderr);
    }
    let together = gathered(&folder, &[]);
    assert_eq!((together.code, together.stdout), (whole.code, whole.stdout), "{}", together.stderr);
}

/// The number of a change that mends all by itself, and what came of it.
fn that_mends(kept: &Value) -> (String, Value) {
    let holds = |places: &Value| places.as_object().unwrap().values().all(|used| used.as_f64().unwrap() <= 1.0);
    let mends = |answer: &Value| answer["used"].as_object().is_some_and(|used| used.values().all(holds));
    let answers = kept["answers"].as_object().unwrap().iter();
    let (unit, answer) = answers.into_iter().find(|(_, answer)| mends(answer)).unwrap();
    (unit.clone(), answer.clone())
}

#[test]
fn a_search_that_was_cut_short_goes_on_from_what_it_kept_of_pairs_too() {
    let folder = folder("fails-at-a-joint");
    let whole = folder.run(["mend", "frame.json"]);
    let keeping = || folder.run(["mend", "frame.json", "--keep", "kept.json"]);
    assert_eq!(keeping().stdout, whole.stdout);
    let all = kept(&folder, "kept.json");
    let one_by_one = {
        in_parts(&folder);
        kept(&folder, "1.json")["units"].as_u64().unwrap()
    };
    assert!(all["units"].as_u64().unwrap() > one_by_one, "no pair is kept");
    let cut_to = |goes: &dyn Fn(u64) -> bool, units: u64| {
        let mut some = all.clone();
        some["answers"].as_object_mut().unwrap().retain(|unit, _| goes(unit.parse().unwrap()));
        some["units"] = json!(units);
        folder.write("kept.json", some.to_string());
        assert_eq!(keeping().stdout, whole.stdout);
        assert_eq!(kept(&folder, "kept.json"), all);
    };
    // Cut short in the changes one by one, behind them, and in what came after.
    cut_to(&|unit| unit < one_by_one && unit % 3 == 0, one_by_one);
    cut_to(&|unit| unit < one_by_one, one_by_one);
    cut_to(&|unit| unit % 3 != 0, all["units"].as_u64().unwrap());
    // Pairs of another round are not taken for those that are asked for.
    let (unit, _) = that_mends(&all);
    let mut marked = all.clone();
    marked["answers"][&unit]["mass"] = json!(0.001);
    folder.write("kept.json", marked.to_string());
    let ran = keeping();
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{}", ran.stderr);
    assert!(ran.stderr.contains("what it gives cannot be the answer of unit "), "{}", ran.stderr);
}

#[test]
fn what_is_kept_of_a_change_is_not_tried_again() {
    let folder = folder("fails-at-a-joint");
    in_parts(&folder);
    let mut kept = kept(&folder, "1.json");
    let (unit, answer) = that_mends(&kept);
    kept["answers"][&unit]["mass"] = json!(0.001);
    folder.write("1.json", kept.to_string());
    let told: Value = serde_json::from_str(&gathered(&folder, &["--json"]).stdout).unwrap();
    let added_kg = told["failing"][0]["mends"][0]["added"].as_f64().unwrap();
    assert!(answer["mass"].as_f64().unwrap() > 0.5 && added_kg < -0.4, "{told}");
}

#[test]
fn an_answer_that_no_run_gives_is_refused() {
    let folder = folder("fails-at-a-joint");
    in_parts(&folder);
    let good = kept(&folder, "1.json");
    let cannot = "what it gives cannot be the answer of unit 0";
    let option = &good["answers"]["0"]["option"];
    for (answer, reason) in [
        (json!({ "option": option, "mass": -1, "used": {} }), cannot),
        (json!({ "option": option, "mass": 1, "used": { "yield": { "stay": -0.5 } } }), cannot),
        (json!({ "option": "{}", "mass": 1, "used": {} }), cannot),
        (json!({ "option": option, "mass": 1, "used": { "rust": { "stay": 0.5 } } }), "there is no check \"rust\""),
        (json!({ "option": option, "mass": null }), "expected a number, found null"),
        (json!({ "option": option, "used": [] }), "expected an object of names, found a list"),
        (json!([1]), "expected an object with the keys option, mass, used"),
    ] {
        let mut altered = good.clone();
        altered["answers"]["0"] = answer;
        folder.write("1.json", altered.to_string());
        let ran = gathered(&folder, &[]);
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{reason}: {}", ran.stderr);
        assert!(ran.stderr.contains(reason) && !ran.stderr.contains("panicked"), "{reason}: {}", ran.stderr);
    }
    folder.write("1.json", good.to_string());
    assert_eq!(gathered(&folder, &[]).code, Some(0));
    // Parts of the frame with an option are parts of another question.
    let ran = folder.run(["mend", "frame.json", "--option", "rail wall 2", "--part", "1/3", "--keep", "1.json"]);
    assert_eq!(ran.code, Some(2), "{}", ran.stderr);
    assert!(ran.stderr.contains("it was asked with no options, not --option=rail wall 2"), "{}", ran.stderr);
}
