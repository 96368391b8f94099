//! What the terminal and the tables tell of a model.

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
