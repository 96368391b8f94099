//! Options combined.

use serde_json::{Value, json};

use crate::support::program::Scratch;

fn model() -> Value {
    let size = |od: u32| json!({ "round": { "od": od, "wall": 2 }, "material": "E235+N" });
    json!({
        "format": 1,
        "tubes": { "wide": size(38), "thin": size(30) },
        "nodes": { "W": [0, 0, 500], "V": [0, 300, 500], "T": { "at": [800, 0, 500], "pickup": true } },
        "members": { "arm": { "ends": ["W", "T"], "tube": "wide" } , "stay": { "ends": ["V", "T"], "tube": "thin" } },
        "mounts": { "W": "bolted pad", "V": "bolted pad" },
        "cases": { "load": { "forces": { "T": [0, 0, -300] } } },
        "options": {
            "thin arm": { "change": { "members": { "arm": { "tube": "thin" } } } },
            "wide stay": { "change": { "members": { "stay": { "tube": "wide" } } } },
            "no stay": { "change": { "members": { "stay": null }, "nodes": { "V": null }, "mounts": { "V": null } } }
        }
    })
}

#[test]
fn every_combination_of_options_that_do_not_contradict_stands_in_the_tables_once() {
    let folder = Scratch::new();
    folder.write("frame.json", model().to_string());
    let ran = folder.run(["compare", "frame.json", "--combine", "--out", "sheets"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let told: String = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    for name in ["thin arm + wide stay", "thin arm + no stay", "Worst joint and weld, the frame as a whole"] {
        assert!(told.contains(name), "{name}: {}", ran.stdout);
    }
    assert!(!told.contains("wide stay + no stay"), "they contradict: {}", ran.stdout);
    let alone = folder.run(["compare", "frame.json", "--out", "alone"]);
    assert!(!alone.stdout.contains(" + "), "{}", alone.stdout);
}

#[test]
fn a_combination_that_makes_no_valid_model_is_named_and_left_out() {
    let folder = Scratch::new();
    let mut model = model();
    model["options"]["no node"] = json!({ "change": { "members": { "stay": { "ends": ["W", "T"], "end_at": [[0, 100, 500], null] } }, "nodes": { "V": null }, "mounts": { "V": null } } });
    model["options"]["brace"] = json!({ "change": { "members": { "brace": { "ends": ["V", "T"], "tube": "thin" } } } });
    folder.write("frame.json", model.to_string());
    let ran = folder.run([
        "compare",
        "frame.json",
        "--combine",
        "--option",
        "no node",
        "--option",
        "brace",
        "--out",
        "sheets",
    ]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let told: String = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("left out: no node + brace, which together make no valid model"), "{}", ran.stdout);
}

#[test]
fn an_option_that_is_not_there_is_refused_combined_or_not() {
    let folder = Scratch::new();
    folder.write("frame.json", model().to_string());
    for combine in [&["--combine"][..], &[]] {
        let ran =
            folder.run([&["compare", "frame.json", "--option", "thin arms", "--out", "sheets"], combine].concat());
        assert_eq!(ran.code, Some(2), "{}", ran.stdout);
        assert!(ran.stderr.contains("thin arms") && ran.stderr.contains("thin arm"), "{}", ran.stderr);
    }
}

#[test]
fn options_that_all_contradict_are_told_and_one_named_twice_stands_once() {
    let folder = Scratch::new();
    folder.write("frame.json", model().to_string());
    let ran = folder.run(["compare", "frame.json", "--combine", "--out", "sheets"].into_iter().chain([
        "--option",
        "wide stay",
        "--option",
        "no stay",
        "--option",
        "no stay",
    ]));
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let told: String = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("no two of these options can be combined"), "{}", ran.stdout);
    let rows = ran.stdout.lines().filter(|line| line.trim_start().starts_with("no stay ")).count();
    // It adds no mass: the table of what each kilogram buys has no row for it.
    assert_eq!(rows, 3, "one row a table: {}", ran.stdout);
}
