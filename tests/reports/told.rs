//! What the terminal and the tables tell of a model.

use serde_json::json;

use super::svg::elements;
use crate::support::program::Scratch;
use crate::support::repository_file;

/// A folder with the demo in it, one place in its text replaced.
#[track_caller]
fn demo_with(from: &str, to: &str) -> Scratch {
    let text = std::fs::read_to_string(repository_file("models/hillclimb-front-subframe.json")).unwrap();
    assert_eq!(text.matches(from).count(), 1, "{from:?} must stand once in the model");
    let folder = Scratch::new();
    folder.write("demo.json", text.replace(from, to));
    folder
}

/// The lines of a table, from its title to the next empty line.
#[track_caller]
fn table<'t>(text: &'t str, title: &str) -> Vec<&'t str> {
    let lines: Vec<&str> = text.lines().skip_while(|line| !line.starts_with(title)).collect();
    assert!(!lines.is_empty(), "{title} is not in {text}");
    lines.into_iter().take_while(|line| !line.is_empty()).collect()
}

/// A text without its line breaks.
fn unwrapped(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_twist_test_is_named_once_where_it_is_the_worst() {
    let folder = demo_with("\"twist\": 10000}", "\"twist\": 1000000}");
    let ran = folder.run(["compare", "demo.json", "--case", "twist test", "--option", "braces by eye"]);
    assert!(unwrapped(&ran.stdout).contains("still fails: twist is at"), "{}", ran.stdout);
    let verdicts = table(&ran.stdout, "Does it hold").join("\n");
    assert!(verdicts.contains(" twist, twist"), "{verdicts}");
    let checked = folder.run(["check", "demo.json", "--case", "twist test"]).stdout;
    let cases = table(&checked, "Each case").join("\n");
    assert!(cases.contains("  twist  "), "{cases}");
    for text in [ran.stdout, checked] {
        assert!(!unwrapped(&text).contains("twist of"), "{text}");
    }
}

#[test]
fn a_pick_up_that_no_part_of_a_corner_holds_is_in_no_table_of_suspension_forces() {
    let folder = demo_with("\"N\": [430, 0, 230]", "\"N\": {\"at\": [430, 0, 230], \"pickup\": true}");
    for command in ["check", "loads"] {
        let text = folder.run([command, "demo.json"]).stdout;
        let pickups = table(&text, "Force of the suspension on each pick-up");
        assert!(pickups.iter().any(|line| line.starts_with("  UF.l ")), "{pickups:#?}");
        assert!(!pickups.iter().any(|line| line.starts_with("  N ")), "{pickups:#?}");
    }
    let json = folder.run(["check", "demo.json", "--json"]).stdout;
    let result: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert!(result["cases"]["tow pull"]["pickups"]["N"]["change"].as_f64().is_some(), "the contract has it");
}

#[test]
fn the_first_line_of_a_report_names_the_option_that_the_verdict_is_of() {
    let folder = demo_with("\"braces by eye\"", "\"braces by eye: first try\"");
    let option = ["--option", "braces by eye: first try"];
    let with = |arguments: &[&str]| folder.run(arguments.iter().chain(&option)).stdout;
    for arguments in [&["check", "demo.json"][..], &["check", "demo.json", "--quiet"]] {
        let text = with(arguments);
        assert!(text.starts_with("Fails, with option \"braces by eye: first try\": "), "{text}");
    }
    let text = with(&["loads", "demo.json"]);
    assert!(text.starts_with("With option \"braces by eye: first try\"\n"), "{text}");
    let text = with(&["why", "demo.json", "--tube", "lower rail.l", "--case", "straight braking"]);
    assert!(unwrapped(&text).contains("in \"straight braking\", with option \"braces by eye: first try\"."), "{text}");
    assert!(!folder.run(["check", "demo.json"]).stdout.contains("with option"));
}

#[test]
fn every_sheet_of_an_option_names_it_whole() {
    let long = "a far longer name, of 64 letters, for what two braces would do..";
    let folder = demo_with("\"braces by eye\"", &format!("\"{long}\""));
    for command in ["check", "draw", "why"] {
        let more: &[&str] = if command == "why" { &["--pickup", "UF.l"] } else { &[] };
        folder.run([command, "demo.json", "--out", command, "--option", long].iter().chain(more));
        let sheets: Vec<(String, Vec<u8>)> = folder
            .files()
            .into_iter()
            .filter(|(name, _)| name.starts_with(command) && name.ends_with(".svg"))
            .collect();
        assert!(!sheets.is_empty(), "{command}");
        for (name, svg) in sheets {
            let texts: Vec<String> = elements(&String::from_utf8(svg).unwrap())
                .into_iter()
                .filter(|element| element.name == "text")
                .map(|text| text.text)
                .collect();
            assert!(texts.join(" ").contains(&format!("with option \"{long}\"")), "{name}: {texts:#?}");
        }
    }
}

/// Tubes side by side whose utilisations rise in steps of less than 1e-9: each equal to the next.
#[test]
fn a_chain_of_tubes_each_equal_to_the_next_is_listed() {
    let names = |place: u32| (format!("W{place}"), format!("T{place}"), format!("a{place}"));
    let (mut nodes, mut members) = (serde_json::Map::new(), serde_json::Map::new());
    let (mut mounts, mut forces) = (serde_json::Map::new(), serde_json::Map::new());
    for place in 0..60_u32 {
        let (wall, tip, tube) = names(place);
        nodes.insert(wall.clone(), json!([0, 100 * place, 500]));
        nodes.insert(tip.clone(), json!([800, 100 * place, 500]));
        members.insert(tube, json!({"ends": [&wall, &tip], "tube": "size"}));
        mounts.insert(wall, json!("bolted pad"));
        let force = -200.0 * (1.0 + 0.6e-9 * f64::from(place * 23 % 60));
        forces.insert(tip, json!([0, 0, force]));
    }
    let model = json!({
        "format": 1,
        "tubes": {"size": {"round": {"od": 38, "wall": 2}, "material": "E235+N"}},
        "nodes": nodes, "members": members, "mounts": mounts, "cases": {"load": {"forces": forces}}
    });
    let folder = Scratch::new();
    folder.write("chain.json", model.to_string());
    let ran = folder.run(["check", "chain.json"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let listed = table(&ran.stdout, "Tubes by utilisation");
    assert_eq!(listed.iter().filter(|line| line.contains("38×2")).count(), 60, "{listed:#?}");
}

#[test]
fn a_frame_without_the_figure_is_left_out_of_the_comparing_picture_and_named_there() {
    let tip = json!({"at": [800, 0, 500], "pickup": true});
    let size = |od: u32| json!({"round": {"od": od, "wall": 2}, "material": "E235+N"});
    let mut model = json!({
        "format": 1,
        "tubes": {"wide": size(38), "thin": size(30)},
        "nodes": {"W": [0, 0, 500], "T": tip},
        "members": {"arm": {"ends": ["W", "T"], "tube": "wide"}},
        "mounts": {"W": "bolted pad"},
        "cases": {"load": {"forces": {"T": [0, 0, -300]}}},
        "options": {
            "no pick-up": {"change": {"nodes": {"T": {"pickup": false}}}},
            "thin arm": {"change": {"members": {"arm": {"tube": "thin"}}}}
        }
    });
    let folder = Scratch::new();
    folder.write("three.json", model.to_string());
    let ran = folder.run(["compare", "three.json", "--out", "three"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let svg = folder.read("three/00-Mass-against-largest-pick-up-movement.svg");
    let texts: Vec<String> = elements(&svg).into_iter().filter(|one| one.name == "text").map(|one| one.text).collect();
    assert!(!texts.iter().any(|text| text == "no pick-up"), "{texts:?}");
    assert!(texts.iter().any(|text| text == "Without such a figure, and not drawn: no pick-up."), "{texts:?}");

    model["options"].as_object_mut().unwrap().remove("thin arm");
    folder.write("two.json", model.to_string());
    let ran = folder.run(["compare", "two.json", "--out", "two"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let names = folder.names();
    assert!(names.iter().any(|name| name == "two/01-load.svg"), "{names:?}");
    assert!(!names.iter().any(|name| name.starts_with("two/") && name.contains("Mass-against")), "{names:?}");
}

#[test]
fn of_welds_that_are_twins_the_worse_one_alone_is_told() {
    let folder = Scratch::new();
    folder.write("frame.json", std::fs::read_to_string(repository_file("models/first-frame.json")).unwrap());
    let text = folder.run(["check", "frame.json"]).stdout;
    let welds = table(&text, "The five welds to look at").join("\n");
    assert!(welds.contains("front cross.l ") && !welds.contains("front cross.r "), "{welds}");
}
