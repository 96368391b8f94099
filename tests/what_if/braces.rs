//! The braces that pay, against a whole check of every design.

use std::sync::atomic::{AtomicU64, Ordering};

use crossbrace::math::{assert_near, larger_than, largest};
use crossbrace::model::Model;
use crossbrace::report::triangulation::option;
use crossbrace::run::check;
use crossbrace::studies::Watch;
use crossbrace::studies::divided::Here;
use crossbrace::studies::triangulate::{Aim, MOST_SETS, Triangulation, triangulate};
use serde_json::{Value, json};

use super::model_of;
use crate::support::program::Scratch;
use crate::support::repository_file;

/// A search that goes through.
fn found(model: &Model, aim: Aim) -> Triangulation {
    found_with(model, aim, MOST_SETS)
}

/// The same; no more than so many sets are all tried.
fn found_with(model: &Model, aim: Aim, most_sets: u64) -> Triangulation {
    let (tried, total) = (AtomicU64::new(0), AtomicU64::new(0));
    let watch = Watch { tried: &tried, total: &total, ends: &|| false };
    triangulate(model, None, aim, most_sets, &watch, &Here).unwrap_or_else(|faults| panic!("{faults:?}")).unwrap()
}

fn demo(name: &str, bracing: Value) -> Model {
    let text = std::fs::read_to_string(repository_file(&format!("models/{name}.json"))).unwrap();
    let mut text: Value = serde_json::from_str(&text).unwrap();
    text["bracing"] = bracing;
    model_of(&text).unwrap()
}

/// A model with some of the braces of a search, by hand.
fn braced(model: &Model, told: &Triangulation, set: &[usize]) -> Model {
    let mut model = model.clone();
    for at in set {
        model.members.extend(told.candidates.all[*at].members.iter().cloned());
    }
    model
}

/// Every set of braces checked whole, and the best of each size held against the search, for every figure.
fn is_what_checks_of_every_set_give(model: &Model) {
    let all: Vec<Triangulation> = Aim::ALL.into_iter().map(|aim| found(model, aim)).collect();
    let told = &all[0];
    let n = told.candidates.all.len();
    let crosses = |set: &[usize]| told.candidates.crossing.iter().any(|pair| pair.iter().all(|at| set.contains(at)));
    let sets: Vec<Vec<usize>> = (0..1_usize << n)
        .map(|bits| (0..n).filter(|at| bits >> at & 1 == 1).collect::<Vec<usize>>())
        .filter(|set| !crosses(set))
        .collect();
    let checked: Vec<_> = sets.iter().map(|set| check(&braced(model, told, set), |_| true).ok().unwrap()).collect();
    for (aim, told) in Aim::ALL.into_iter().zip(&all) {
        assert_eq!(told.tried, sets.len() as u64, "{}", aim.name());
        for design in &told.designs {
            let of_size = sets.iter().zip(&checked).filter(|(set, _)| set.len() == design.set.len());
            let figures: Vec<f64> = of_size.map(|(_, checked)| aim.of_checked(checked).unwrap()).collect();
            let best = largest(figures, |figure| if aim.more_is_better() { *figure } else { -figure }).unwrap();
            assert!((design.figure - best).abs() <= 1e-9 * best, "{}: {} {best}", aim.name(), design.figure);
            assert!(!larger_than(best, design.checked_figure) && !larger_than(design.checked_figure, best));
        }
        assert!(told.largest_difference() < 1e-9, "{}: {:e}", aim.name(), told.largest_difference());
    }
}

#[test]
fn the_best_braces_of_the_front_demo_are_those_of_a_check_of_every_set() {
    let pairs = json!([["C.l", "E.l"], ["B.l", "D.l"], ["D.l", "E.r"]]);
    is_what_checks_of_every_set_give(&demo("hillclimb-front-subframe", json!({ "tube": "light", "between": pairs })));
}

#[test]
fn the_best_rod_ended_braces_of_a_frame_with_an_anti_roll_bar_are_those_of_a_check_of_every_set() {
    let pairs = json!([["G.l", "K.l"], ["K.l", "C.r"], ["B.l", "K.r"]]);
    let bracing = json!({ "tube": "light", "between": pairs, "joint": "rod-end" });
    is_what_checks_of_every_set_give(&demo("hillclimb-rear-subframe", bracing));
}

/// A square panel of rod-ended tubes: without a diagonal it is a mechanism.
fn panel(bracing: &Value) -> Value {
    json!({
        "format": 1,
        "tubes": { "tube": { "round": { "od": 25, "wall": 2 }, "material": "E235+N" } },
        "nodes": { "A": [0, 0, 0], "B": [500, 0, 0], "C": [500, 0, 500], "D": { "at": [0, 0, 500], "pickup": true }, "E": [250, 0, 900] },
        "members": {
            "floor": { "ends": ["A", "B"], "tube": "tube", "joint": "rod-end" },
            "left": { "ends": ["A", "D"], "tube": "tube", "joint": "rod-end" },
            "right": { "ends": ["B", "C"], "tube": "tube", "joint": "rod-end" },
            "top": { "ends": ["D", "C"], "tube": "tube", "joint": "rod-end" },
            "roof 1": { "ends": ["D", "E"], "tube": "tube", "joint": "rod-end" },
            "roof 2": { "ends": ["C", "E"], "tube": "tube", "joint": "rod-end" }
        },
        "mounts": {
            "A": "one bolt", "B": "one bolt", "C": { "y": "fixed" }, "D": { "y": "fixed" }, "E": { "y": "fixed" }
        },
        "cases": { "push": { "forces": { "D": [1000, 0, 0] } } },
        "bracing": bracing
    })
}

#[test]
fn a_panel_that_only_a_diagonal_holds_gets_one_and_a_tube_that_carries_nothing_is_idle() {
    let pairs = json!([["A", "C"], ["B", "D"], ["A", "E"]]);
    let model = panel(&json!({ "tube": "tube", "joint": "rod-end", "between": pairs, "at_most": 1 }));
    let told = found(&model_of(&model).unwrap(), Aim::PickupMove);
    // Without a brace it falls. A to C carries the push along the top and down the right, B to D down the left alone.
    let names: Vec<&str> = told.designs.iter().map(|design| told.candidates.all[design.set[0]].name.as_str()).collect();
    assert_eq!(names, ["B to D"]);
    // By virtual work: N of the diagonal −√2 F, of the left tube F; D goes sideways by F/EA (2·500√2 + 500) and up by
    // F/EA · 500.
    let ea = 210_000.0 * std::f64::consts::PI * (25.0 * 25.0 - 21.0 * 21.0) / 4.0;
    let expected = 1000.0 * 500.0 / ea * (8.0_f64.sqrt() + 1.0).hypot(1.0);
    assert_near(told.designs[0].figure, expected, 1e-9);
    assert_near(told.designs[0].checked_figure, expected, 1e-9);
    assert!(told.designs[0].gains[0].is_none(), "without it the panel falls");
    assert_eq!(told.candidates.crossing, [[0, 1], [1, 2]]);
    assert_eq!(told.idle.unwrap().tubes, ["floor"]);
}

#[test]
fn as_many_threads_as_you_like_give_the_same_designs() {
    let bracing = json!({ "tube": "light", "auto": { "longest": 500, "clear_of": 2 }, "at_most": 2 });
    let model = demo("hillclimb-front-subframe", bracing);
    let with_threads = |count: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(count).build().unwrap();
        let told = pool.install(|| found(&model, Aim::Twist));
        let designs: Vec<(Vec<usize>, u64)> =
            told.designs.iter().map(|design| (design.set.clone(), design.figure.to_bits())).collect();
        (designs, told.tried)
    };
    assert_eq!(with_threads(1), with_threads(3));
}

#[test]
fn what_bounds_settle_is_what_trying_every_set_gives() {
    let bracing = json!({ "tube": "light", "auto": { "longest": 500, "clear_of": 2 }, "at_most": 3 });
    let model = demo("hillclimb-front-subframe", bracing);
    let every = found(&model, Aim::Twist);
    assert_eq!((every.every_up_to, every.by_bounds.len()), (3, 0));
    let n = every.candidates.all.len();
    assert!(n > 16, "{n}");
    // None and one are tried, two and three are more than that.
    let bounded = found_with(&model, Aim::Twist, 1 + n as u64);
    assert_eq!((bounded.every_up_to, bounded.by_bounds.as_slice()), (1, [2, 3].as_slice()));
    assert!(bounded.tried < every.tried, "{} {}", bounded.tried, every.tried);
    for (one, other) in every.designs.iter().zip(&bounded.designs) {
        assert!(!larger_than(one.figure, other.figure) && !larger_than(other.figure, one.figure));
    }
    // No other figure has such a bound.
    assert!(found_with(&model, Aim::Toe, 1 + n as u64).by_bounds.is_empty());
}

#[test]
fn a_search_that_is_ended_early_says_so_and_gives_the_best_so_far() {
    let pairs = json!([["C.l", "E.l"], ["B.l", "D.l"], ["D.l", "E.r"], ["S.l", "G.r"]]);
    let model = demo("hillclimb-front-subframe", json!({ "tube": "light", "between": pairs }));
    let (tried, total) = (AtomicU64::new(0), AtomicU64::new(0));
    let ends = || tried.load(Ordering::Relaxed) >= 3;
    let told =
        triangulate(&model, None, Aim::Twist, MOST_SETS, &Watch { tried: &tried, total: &total, ends: &ends }, &Here)
            .ok()
            .flatten()
            .unwrap();
    assert!(told.ended_early);
    assert!(!told.designs.is_empty() && told.tried < 16, "{}", told.tried);
}

#[test]
fn a_brace_keeps_clear_of_tubes_that_do_not_end_where_it_ends() {
    let with = |clear: f64| {
        // A post 30 mm beside the only diagonal that "longest" lets through: their surfaces are 5 mm apart.
        let model = json!({
            "format": 1,
            "tubes": { "tube": { "round": { "od": 25, "wall": 2 }, "material": "E235+N" } },
            "nodes": { "A": [0, 0, 0], "B": [600, 0, 0], "C": [600, 0, 600], "P": [300, 30, 0], "Q": { "at": [300, 30, 900], "pickup": true } },
            "members": {
                "floor": { "ends": ["A", "B"], "tube": "tube" },
                "wall": { "ends": ["B", "C"], "tube": "tube" },
                "post": { "ends": ["P", "Q"], "tube": "tube" }
            },
            "mounts": { "A": "bolted pad", "P": "bolted pad" },
            "cases": { "push": { "forces": { "C": [0, 100, 0], "Q": [0, 100, 0] } } },
            "bracing": { "tube": "tube", "auto": { "longest": 850, "clear_of": clear } }
        });
        found(&model_of(&model).unwrap(), Aim::PickupMove).candidates
    };
    let names = |clear: f64| with(clear).all.iter().map(|candidate| candidate.name.clone()).collect::<Vec<_>>();
    assert!(names(4.9).contains(&"A to C".to_owned()), "{:?}", names(4.9));
    assert!(!names(5.1).contains(&"A to C".to_owned()), "{:?}", names(5.1));
}

#[test]
fn the_command_gives_tables_pictures_json_and_an_option_that_can_be_pasted() {
    let folder = Scratch::new();
    let model = panel(&json!({ "tube": "tube", "between": [["A", "C"], ["B", "D"]], "joint": "weld" }));
    folder.write("panel.json", model.to_string());
    let ran = folder.run(["triangulate", "panel.json", "--for", "pickup_move", "--out", "sheets"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    for part in [
        "2 braces to choose from; every set tried",
        "The best design of each number of braces",
        "As an entry of \"options\"",
        "solved again from scratch",
    ] {
        let whole: String = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(whole.contains(part), "{part}: {}", ran.stdout);
    }
    assert!(folder.names().iter().any(|name| name == "sheets/report.html"));
    let ran = folder.run(["triangulate", "panel.json", "--for", "pickup_move", "--json"]);
    let told: Value = serde_json::from_str(&ran.stdout).unwrap();
    assert_eq!(told["tried"], 3, "the crossing pair is no design");
    assert_eq!(
        told["option"]["change"]["members"]["brace B to D"]["joint"], "weld",
        "the word of the file goes with it"
    );
    let mut pasted = model.clone();
    pasted["options"] = json!({ "proposed": told["option"] });
    folder.write("pasted.json", pasted.to_string());
    let ran = folder.run(["check", "pasted.json", "--option", "proposed", "--json"]);
    let result: Value = serde_json::from_str(&ran.stdout).unwrap();
    let change = result["cases"]["push"]["pickups"]["D"]["change"].as_f64().unwrap();
    let proposed = &told["designs"][told["proposed"].as_u64().unwrap() as usize];
    assert!((change - proposed["figure"].as_f64().unwrap()).abs() < 1e-9 * change, "{change} {proposed}");
}

#[test]
fn braces_of_one_side_and_of_both_give_the_same_figure_pasted_into_a_mirrored_file() {
    let text = std::fs::read_to_string(repository_file("models/hillclimb-front-subframe.json")).unwrap();
    let text: Value = serde_json::from_str(&text).unwrap();
    for (pair, name) in [
        (["C.l", "E.l"], "brace C to E.l"),
        (["C.r", "E.r"], "brace C to E.l"),
        // Its twin crosses it: a choice of its own, which the mirror must not double.
        (["D.r", "G.l"], "brace D.r to G.l alone"),
    ] {
        let bracing = json!({ "tube": "light", "between": [pair] });
        let told = found(&demo("hillclimb-front-subframe", bracing), Aim::Twist);
        let design = told.designs.last().unwrap();
        assert_eq!(design.set, [0], "{pair:?}");
        let option = option(&told, design, &design.model);
        let members = option["change"]["members"].as_object().unwrap();
        assert_eq!(members.keys().collect::<Vec<_>>(), [name]);
        let mut pasted = text.clone();
        pasted["members"].as_object_mut().unwrap().extend(members.clone());
        let checked = check(&model_of(&pasted).unwrap(), |_| true).ok().unwrap();
        assert_near(Aim::Twist.of_checked(&checked).unwrap(), design.checked_figure, 1e-9);
        assert_near(checked.outcome.mass.frame_kg, design.checked.outcome.mass.frame_kg, 1e-12);
    }
}

#[test]
fn a_file_without_bracing_is_told_what_to_write() {
    let folder = Scratch::new();
    let mut model = panel(&Value::Null);
    model.as_object_mut().unwrap().remove("bracing");
    model["members"]["diagonal"] = json!({ "ends": ["A", "C"], "tube": "tube" });
    folder.write("panel.json", model.to_string());
    let ran = folder.run(["triangulate", "panel.json", "--for", "twist"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
    assert!(ran.stderr.contains("the file has no \"bracing\""), "{}", ran.stderr);
    assert!(ran.stderr.contains("\"longest\": 900"), "{}", ran.stderr);
}

#[test]
fn a_brace_that_the_file_would_be_refused_with_is_named_and_in_no_design() {
    let folder = Scratch::new();
    let text = std::fs::read_to_string(repository_file("models/hillclimb-front-subframe.json")).unwrap();
    let mut model: Value = serde_json::from_str(&text).unwrap();
    // The end of the rack rides in its body: no tube may end there.
    let rides = model["bodies"].as_object().unwrap().values().find_map(|body| {
        let mounts = body["mounts"].as_object()?;
        mounts.iter().find(|(_, hold)| **hold == json!("rides")).map(|(node, _)| node.clone())
    });
    let rides = rides.unwrap();
    model["bracing"] = json!({ "tube": "light", "between": [["C.l", "E.l"], [rides, "E.l"]] });
    folder.write("frame.json", model.to_string());
    let ran = folder.run(["triangulate", "frame.json", "--for", "twist", "--json"]);
    let told: Value = serde_json::from_str(&ran.stdout).unwrap_or_else(|_| panic!("{}", ran.stderr));
    assert_eq!(told["refused"].as_array().unwrap().len(), 1, "{told}");
    assert_eq!(told["candidates"].as_array().unwrap().len(), 1);
}
