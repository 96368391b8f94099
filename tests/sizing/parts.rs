//! A search in parts, put together again, and gone on with: the same bytes as of one run, a proof that holds, and
//! nothing else is taken.

use std::sync::Mutex;
use std::sync::atomic::AtomicU64;

use crossbrace::source::{Document, Keyed, Problem};
use crossbrace::studies::Watch;
use crossbrace::studies::divided::{Hands, Here, Units};
use crossbrace::studies::kept::{FORMAT, Kept, line};
use crossbrace::studies::size::size;
use serde_json::{Map, Value, json};

use super::bars::Truss;
use super::certificate::proves;
use super::plane_frame::PlaneFrame;
use super::{certificate_of, problem, reference};
use crate::support::program::{Ran, Scratch};
use crate::support::read;

/// The members of the portal whose halves become groups of their own: with the brace nine groups, 134 million designs,
/// enough boxes of them open at once to be divided.
const HALVED: [&str; 4] = ["leg left", "leg right", "top left", "top right"];

fn groups() -> Value {
    let halves = HALVED.iter().flat_map(|name| [1, 2].map(|half| format!("{name} {half}")));
    halves.chain(["brace".to_owned()]).map(|name| (name.clone(), json!([name]))).collect::<Map<_, _>>().into()
}

/// A portal with halved members; `ends`: those of a member in its entry.
fn halved(mut portal: Value, ends: impl Fn(&mut Value) -> &mut Value) -> Value {
    for name in HALVED {
        let whole = portal["members"].as_object_mut().unwrap().shift_remove(name).unwrap();
        let own = ends(&mut whole.clone()).clone();
        let middle = format!("middle of {name}");
        let of = |node: &Value| portal["nodes"][node.as_str().unwrap()].as_array().unwrap().clone();
        let between = of(&own[0]).into_iter().zip(of(&own[1]));
        let between = between.map(|(one, other)| json!((one.as_f64().unwrap() + other.as_f64().unwrap()) / 2.0));
        portal["nodes"][&middle] = between.collect();
        for (half, of_half) in [json!([own[0], middle]), json!([middle, own[1]])].into_iter().enumerate() {
            let mut member = whole.clone();
            *ends(&mut member) = of_half;
            portal["members"][format!("{name} {}", half + 1)] = member;
        }
    }
    portal
}

fn folder() -> Scratch {
    let model = serde_json::from_str(&read("models/sizing/portal-with-brace.json")).unwrap();
    let mut model = halved(model, |member| &mut member["ends"]);
    model["sizing"]["groups"] = groups();
    let folder = Scratch::new();
    folder.write("frame.json", model.to_string());
    folder
}

fn own_frame() -> PlaneFrame {
    let mut file = halved(reference("frame-portal-with-brace"), |ends| ends);
    file["groups"] = groups();
    PlaneFrame::read(&file)
}

pub(super) const FILES: [&str; 3] = ["1.json", "2.json", "3.json"];

pub(super) fn run(folder: &Scratch, more: &[&str]) -> Ran {
    folder.run(["size", "frame.json"].iter().chain(more))
}

/// Runs all parts, which print nothing.
pub(super) fn in_parts(folder: &Scratch, more: &[&str]) {
    for (at, file) in FILES.into_iter().enumerate() {
        let part = format!("{}/3", at + 1);
        let ran = run(folder, &[more, &["--part", &part, "--keep", file]].concat());
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(0), ""), "{}", ran.stderr);
        assert!(ran.stderr.contains(&format!("part {part} is done and kept in {file}")), "{}", ran.stderr);
    }
}

pub(super) fn gathered(folder: &Scratch, more: &[&str]) -> Ran {
    folder.run(["gather"].iter().chain(&FILES).chain(more))
}

pub(super) fn kept(folder: &Scratch, file: &str) -> Value {
    serde_json::from_str(&folder.read(file)).unwrap()
}

/// The number and the answer of the box with the most parts in a file.
fn largest(kept: &Value) -> (String, Value) {
    let parts = |answer: &Value| answer["nodes"].as_array().unwrap().len();
    let answers = kept["answers"].as_object().unwrap().iter();
    let (unit, answer) = answers.max_by_key(|(_, answer)| parts(answer)).unwrap();
    assert!(parts(answer) > 2, "no box of it is cut: {answer}");
    (unit.clone(), answer.clone())
}

pub(super) fn sheets(folder: &Scratch) -> Vec<(String, Vec<u8>)> {
    folder.files().into_iter().filter(|(name, _)| name.starts_with("reports/")).collect()
}

#[test]
fn parts_put_together_give_the_text_the_json_the_sheets_and_the_proof_of_one_run() {
    let folder = folder();
    let whole = run(&folder, &["--certificate", "whole-proof.json"]);
    assert_eq!(whole.code, Some(0), "{}", whole.stderr);
    let drawn = sheets(&folder);
    assert!(drawn.len() > 1, "{drawn:?}");
    std::fs::remove_dir_all(folder.path().join("reports")).unwrap();
    in_parts(&folder, &[]);
    assert!(sheets(&folder).is_empty(), "a part draws nothing");
    let together = gathered(&folder, &["--certificate", "proof.json"]);
    assert_eq!((together.code, &together.stdout), (Some(0), &whole.stdout), "{}", together.stderr);
    assert_eq!(sheets(&folder), drawn);
    let proof = folder.read("proof.json");
    assert_eq!(proof, folder.read("whole-proof.json"));
    assert_eq!(proves(&serde_json::from_str(&proof).unwrap(), &own_frame()), Ok(()));
    // Each part had boxes of its own, and looked at them.
    for file in FILES {
        largest(&kept(&folder, file));
    }
    // A proof is never written over.
    let again = gathered(&folder, &["--certificate", "proof.json"]);
    assert_eq!((again.code, again.stdout.as_str()), (Some(2), ""));
}

#[test]
fn parts_that_may_not_look_at_enough_boxes_tell_the_bound_of_one_run() {
    let folder = folder();
    let all: Value = serde_json::from_str(&run(&folder, &["--json"]).stdout).unwrap();
    assert_eq!(all["proven"], true);
    // More than those after which it is divided, and less than all: some stay open.
    let fewer = (all["boxes"].as_u64().unwrap() * 3 / 4).to_string();
    let whole = run(&folder, &["--boxes", &fewer, "--json"]);
    assert_eq!(whole.code, Some(0), "{}", whole.stderr);
    let told: Value = serde_json::from_str(&whole.stdout).unwrap();
    assert_eq!((&told["proven"], &told["ended"]), (&json!(false), &json!("boxes")), "{told}");
    let (bound, found) = (told["none_under"].as_f64().unwrap(), told["found"]["mass"].as_f64().unwrap());
    assert!(bound < found, "{bound} {found}");
    assert!(bound <= all["found"]["mass"].as_f64().unwrap());
    in_parts(&folder, &["--boxes", &fewer]);
    assert_eq!(gathered(&folder, &["--json"]).stdout, whole.stdout);
    // With what the others leave, boxes that are open still are searched to their end.
    let enough = (all["boxes"].as_u64().unwrap() * 3).to_string();
    let whole = run(&folder, &["--boxes", &enough, "--json"]);
    let told: Value = serde_json::from_str(&whole.stdout).unwrap();
    assert_eq!((&told["proven"], &told["none_under"]), (&json!(true), &all["none_under"]), "{told}");
    assert!(told["boxes"].as_u64() > all["boxes"].as_u64(), "no box was searched again: {told}");
}

#[test]
fn a_search_that_was_cut_short_goes_on_from_what_it_kept() {
    let folder = folder();
    let whole = run(&folder, &[]);
    let keeping = || run(&folder, &["--keep", "kept.json"]);
    assert_eq!(keeping().stdout, whole.stdout);
    let all = kept(&folder, "kept.json");
    let mut some = all.clone();
    some["answers"].as_object_mut().unwrap().retain(|unit, _| unit.parse::<usize>().unwrap() % 3 == 0);
    folder.write("kept.json", some.to_string());
    assert_eq!(keeping().stdout, whole.stdout);
    assert_eq!(kept(&folder, "kept.json"), all);
    let (unit, _) = largest(&all);
    let mut marked = all;
    marked["answers"][&unit]["spent"][3] = json!(123_456_000);
    folder.write("kept.json", marked.to_string());
    assert!(keeping().stdout.contains("123456"), "what is kept is not done again");
}

/// An answer that no run gives: what is wrong with it, why it cannot be read (of one that can be and is refused then:
/// nothing), and what it is.
type Altered = (&'static str, Option<&'static str>, Value);

/// Answers that are not this one of a run.
fn altered(answer: &Value) -> Vec<Altered> {
    let mut all: Vec<Altered> = Vec::new();
    let mut put = |what: &'static str, reason: Option<&'static str>, alter: &dyn Fn(&mut Value)| {
        let mut altered = answer.clone();
        alter(&mut altered);
        assert_ne!(altered, *answer, "{what} is not altered");
        all.push((what, reason, altered));
    };
    let nodes = answer["nodes"].as_array().unwrap();
    let split = nodes.iter().position(|node| node["split"].is_array()).unwrap();
    let last = nodes.len() - 1;
    put("another box", None, &|answer| answer["box"][0] = json!([7]));
    put("another number of groups", None, &|answer| drop(answer["box"].as_array_mut().unwrap().pop()));
    put("no box", None, &|answer| *answer = json!({}));
    let rise = Some("the sizes of a group rise");
    put("sizes that fall", rise, &|answer| answer["box"][0] = json!([7, 6]));
    put("a size that no set has", rise, &|answer| answer["box"][0] = json!([1e9]));
    put("another design that was known", None, &|answer| answer["known"][0] = json!(7));
    put("a best outside of the box", None, &|answer| answer["best"] = json!([0, 0, 0, 0, 0, 0, 0, 0, 99]));
    let lightest: Vec<Value> = answer["box"].as_array().unwrap().iter().map(|set| set[0].clone()).collect();
    put("a best that fails", None, &|answer| answer["best"] = json!(lightest));
    put("a bound of what is closed", None, &|answer| answer["none_under"] = json!(2.0));
    put("more than anybody counts", None, &|answer| answer["spent"][0] = json!(9e15));
    put("an open part", None, &|answer| answer["nodes"][last] = json!({}));
    put("a part too few", None, &|answer| drop(answer["nodes"].as_array_mut().unwrap().pop()));
    put("a part too many", None, &|answer| {
        answer["nodes"].as_array_mut().unwrap().push(json!({"closed": "heavier"}));
    });
    put("a part of itself", None, &|answer| answer["nodes"][split]["split"][1] = json!(split));
    put("a part that is nowhere", None, &|answer| answer["nodes"][split]["split"][1] = json!(9e15));
    put("a group that is none", None, &|answer| answer["nodes"][split]["split"][0] = json!(9));
    let one = Some("one size at least");
    put("sizes that no part has", one, &|answer| answer["nodes"][split]["sizes"][0] = json!([]));
    put("sizes in both parts", None, &|answer| {
        answer["nodes"][split]["sizes"][0] = answer["nodes"][split]["sizes"][1].clone();
    });
    put("a cut that is none", None, &|answer| answer["nodes"][last] = json!({"cuts": [[1e6, 1, 1]]}));
    put("half a cut", None, &|answer| answer["nodes"][last] = json!({"cuts": [[0.5, 1, 1]]}));
    put("a dual where there are no programs", None, &|answer| {
        answer["nodes"][last] = json!({"dual": {"v": [], "w": [], "limits": [], "mass": 1}});
    });
    put("an unknown word", Some("no box is closed by \"magic\""), &|answer| {
        answer["nodes"][last] = json!({"closed": "magic"});
    });
    put("an unknown check", Some("there is no check \"rust\""), &|answer| {
        answer["nodes"][last] = json!({"fails": {"check": "rust"}});
    });
    put("a cut of no design", None, &|answer| {
        let cut =
            json!({"check": "yield", "case": "brake", "where": "leg left", "value": 2, "allowed": 1, "design": [0]});
        answer["cuts"].as_array_mut().unwrap().push(cut);
    });
    let key = Some("\"more\" is not a key that is known here");
    put("a key too many", key, &|answer| answer["more"] = json!(1));
    all
}

/// Does all units, and holds altered answers of the one with the most parts in place of its own.
struct Altering;

impl Hands for Altering {
    fn answers<U: Units>(&self, units: &U) -> Option<Vec<Option<U::Answer>>> {
        let lines: Vec<String> = done(units).iter().enumerate().map(|(unit, answer)| line(unit, answer)).collect();
        let good: Value = serde_json::from_str(&text_of(&lines)).unwrap();
        let (unit, answer) = largest(&good);
        let unit: usize = unit.parse().unwrap();
        for (what, reason, altered) in altered(&answer) {
            let mut lines = lines.clone();
            lines[unit] = format!("\"{unit}\": {altered}");
            match (read_back::<U>(&lines), reason) {
                (Ok(read), None) => {
                    let refused: Vec<usize> = read
                        .iter()
                        .filter(|(unit, answer)| !units.may_be(*unit, answer))
                        .map(|(unit, _)| *unit)
                        .collect();
                    assert_eq!(refused, [unit], "{what}");
                }
                (Err(told), Some(reason)) => assert!(told.contains(reason), "{what}: {told}"),
                (Ok(_), Some(_)) => panic!("{what} is read"),
                (Err(told), None) => panic!("{what}: {told}"),
            }
        }
        None
    }
}

#[test]
fn an_answer_that_no_run_gives_is_refused() {
    let folder = folder();
    // Each of them by itself where no walk is gone for it again.
    let model = crate::support::load(&folder.read("frame.json")).base;
    let (tried, total) = (AtomicU64::new(0), AtomicU64::new(0));
    let watch = Watch { tried: &tried, total: &total, ends: &|| false };
    assert!(size(&model, u64::MAX, &watch, &Altering).unwrap_or_else(|faults| panic!("{faults:?}")).is_none());
    // Of a file, one that cannot be read and one that cannot be.
    in_parts(&folder, &[]);
    let good = kept(&folder, "1.json");
    let (unit, answer) = largest(&good);
    let cannot = format!("what it gives cannot be the answer of unit {unit}");
    for (what, reason, altered) in altered(&answer) {
        if !["a best that fails", "a key too many"].contains(&what) {
            continue;
        }
        let mut file = good.clone();
        file["answers"][&unit] = altered;
        folder.write("1.json", file.to_string());
        let ran = gathered(&folder, &[]);
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{what}: {}", ran.stderr);
        assert!(ran.stderr.contains(reason.unwrap_or(&cannot)) && !ran.stderr.contains("panicked"), "{}", ran.stderr);
    }
    folder.write("1.json", good.to_string());
    assert_eq!(gathered(&folder, &[]).code, Some(0));
}

#[test]
fn parts_of_other_options_and_what_does_not_go_together_are_refused() {
    let folder = folder();
    in_parts(&folder, &[]);
    let refused = |ran: &Ran, reason: &str| {
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{}", ran.stderr);
        assert!(ran.stderr.contains(reason), "{}", ran.stderr);
    };
    let ran = run(&folder, &["--boxes", "50", "--part", "1/3", "--keep", "1.json"]);
    refused(&ran, "it was asked with --boxes=100000, not --boxes=50");
    let ran = run(&folder, &["--certificate", "proof.json", "--part", "1/3", "--keep", "new.json"]);
    refused(&ran, "cannot be used with");
    let ran = run(&folder, &["--against", "twist", "--part", "1/3", "--keep", "1.json"]);
    refused(&ran, "it was asked with --boxes=100000, not --against=twist --boxes=100000");
    assert!(!folder.names().contains(&"new.json".to_owned()));
}

/// Counts the units, and does none of them.
struct Counting<'c>(&'c Mutex<Vec<usize>>);

impl Hands for Counting<'_> {
    fn answers<U: Units>(&self, units: &U) -> Option<Vec<Option<U::Answer>>> {
        self.0.lock().unwrap().push(units.count());
        None
    }
}

#[test]
fn a_search_that_is_ended_early_has_as_many_units_as_any_other() {
    let counted = Mutex::new(Vec::new());
    for ends in [false, true] {
        let (tried, total) = (AtomicU64::new(0), AtomicU64::new(0));
        let watch = Watch { tried: &tried, total: &total, ends: &|| ends };
        let told = size(&problem("portal-with-brace"), u64::MAX, &watch, &Counting(&counted)).unwrap();
        assert!(told.is_none());
    }
    let counted = counted.into_inner().unwrap();
    assert_eq!(counted[0], counted[1], "a file kept by one would be refused by the other");
}

/// All units, done here.
fn done<U: Units>(units: &U) -> Vec<U::Answer> {
    Here.answers(units).unwrap().into_iter().map(Option::unwrap).collect()
}

/// The text of a file with these answers.
fn text_of(lines: &[String]) -> String {
    let text = |name: &str| name.to_owned();
    let head = Kept {
        format: FORMAT,
        study: text("size"),
        version: text(""),
        model: text("frame.json"),
        sha256: text(""),
        asked: Vec::new(),
        part: [1, 1],
        units: lines.len(),
        answers: Keyed::default(),
    };
    head.text(lines)
}

/// The same answers as they are read, or what is wrong with them.
fn read_back<U: Units>(lines: &[String]) -> Result<Vec<(usize, U::Answer)>, String> {
    let read = Kept::read(&Document::read(text_of(lines).into_bytes()).ok().unwrap()).unwrap();
    let told =
        |problems: Vec<Problem>| problems.into_iter().map(|problem| problem.message).collect::<Vec<_>>().concat();
    read.answers(&(0..lines.len())).map_err(told)
}

/// Does all units, and takes every answer from the text of a file.
struct ThroughText<'c>(&'c Mutex<String>);

impl Hands for ThroughText<'_> {
    fn answers<U: Units>(&self, units: &U) -> Option<Vec<Option<U::Answer>>> {
        let lines: Vec<String> = done(units).iter().enumerate().map(|(unit, answer)| line(unit, answer)).collect();
        self.0.lock().unwrap().push_str(&text_of(&lines));
        let read = read_back::<U>(&lines).unwrap();
        assert!(read.len() == units.count() && read.iter().all(|(unit, answer)| units.may_be(*unit, answer)));
        Some(read.into_iter().map(|(_, answer)| Some(answer)).collect())
    }
}

#[test]
fn a_proof_of_a_truss_that_went_through_files_is_accepted_by_a_checker_of_its_own() {
    let mut text: Value = serde_json::from_str(&read("models/sizing/truss-15-bar.json")).unwrap();
    text["sizing"]["stock"].as_array_mut().unwrap().truncate(14);
    let model = crate::support::load(&text.to_string()).base;
    let (tried, total) = (AtomicU64::new(0), AtomicU64::new(0));
    let watch = Watch { tried: &tried, total: &total, ends: &|| false };
    let written = Mutex::new(String::new());
    let told = size(&model, u64::MAX, &watch, &ThroughText(&written)).unwrap_or_else(|faults| panic!("{faults:?}"));
    let told = told.unwrap();
    assert!(told.is_proven());
    let written = written.into_inner().unwrap();
    assert!(written.contains("\"closed\"") && written.contains("\"dual\"") && written.contains("\"bar\""));
    let truss = Truss::read(&reference("truss-15-bar-layout-a-discrete"));
    assert_eq!(proves(&certificate_of(&told, &model), &truss), Ok(()));
}
