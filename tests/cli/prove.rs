//! `crossbrace prove`: the published cases as a user sees them.

use crossbrace::proof::topics;
use serde_json::Value;

use crate::support::program::{Ran, Scratch};

fn prove(arguments: &[&str]) -> Ran {
    Scratch::new().run([&["prove"], arguments].concat())
}

#[test]
fn every_case_is_shown_in_80_columns_and_all_of_them_hold() {
    let ran = prove(&[]);
    assert_eq!((ran.code, ran.stderr.as_str()), (Some(0), ""));
    for topic in topics() {
        let heading = topic.title.split(',').next().unwrap();
        assert!(ran.stdout.contains(heading) && ran.stdout.contains(&format!("({})\n", topic.name)), "{heading}");
        for case in topic.cases {
            assert!(ran.stdout.contains(&format!("\n  {}: ", case.id)), "{}", case.id);
        }
    }
    let wide: Vec<&str> = ran.stdout.lines().filter(|line| line.chars().count() > 80).collect();
    assert!(wide.is_empty(), "{wide:#?}");
    assert!(ran.stdout.contains("\nHOLDS: all of "), "{}", ran.stdout);
    assert!(!ran.stdout.contains("FAIL"));
}

#[test]
fn one_case_is_told_with_its_source_its_values_and_what_may_differ() {
    let ran = prove(&["cantilever-end-force"]);
    assert_eq!((ran.code, ran.stderr.as_str()), (Some(0), ""));
    let expected = "\
Beams and shafts: movement, reactions, moments, stress (beams)
                                     published      computed difference  allowed

  cantilever-end-force: Cantilever with a transverse force at the free end.
    Young & Budynas, Roark's Formulas for Stress and Strain, 7th ed. 2002, Table
    8.1, case 1a (closed form)
     move y of B, mm              -21.66342587    -21.663426          0  2.17e-5
     turn z of B, rad           -0.03249513881  -0.032495139          0  3.25e-8
     mount moment z of A, N mm          500000        500000          0      0.5
     mount force y of A, N                 500           500          0   0.0005

HOLDS: all of 4 published values in 1 case (cases 0 published and read, 1 closed
  form, 0 from memory)
";
    snapbox::assert_data_eq!(ran.stdout, expected.to_owned());
}

#[test]
fn topics_and_cases_are_chosen_by_name_and_a_wrong_name_is_told_with_the_nearest() {
    let ran = prove(&["materials", "cruciform", "--quiet"]);
    assert_eq!(ran.code, Some(0));
    assert!(ran.stdout.starts_with("HOLDS: all of ") && ran.stdout.contains(" in 22 cases"), "{}", ran.stdout);
    let ran = prove(&["materails"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
    assert!(ran.stderr.contains("no topic and no case is named \"materails\""), "{}", ran.stderr);
    assert!(ran.stderr.contains("did you mean \"materials\"?"), "{}", ran.stderr);
    let ran = prove(&["gearboxes"]);
    assert!(topics().iter().all(|topic| ran.stderr.contains(&topic.name)), "{}", ran.stderr);
    assert!(ran.stderr.contains("the topics are beams, frames"), "{}", ran.stderr);
}

#[test]
fn json_holds_every_value_in_full() {
    let ran = prove(&["--json"]);
    assert_eq!(ran.code, Some(0));
    let json: Value = serde_json::from_str(&ran.stdout).unwrap();
    assert_eq!(json["holds"], true);
    let topics = json["topics"].as_array().unwrap();
    let cases: Vec<&Value> = topics.iter().flat_map(|topic| topic["cases"].as_array().unwrap()).collect();
    let cantilever = cases.iter().find(|case| case["id"] == "cantilever-end-force").unwrap();
    assert_eq!(cantilever["provenance"], "closed form");
    assert_eq!(cantilever["values"][0]["published"], -21.66342587);
    assert_eq!(cantilever["values"][0]["unit"], "mm");
    assert_eq!(cantilever["values"][0]["holds"], true);
    // Every case that was read on a public page says where.
    let read = cases.iter().filter(|case| case["provenance"] == "published and read");
    assert!(read.clone().count() > 0 && read.into_iter().all(|case| case["page"].is_string()));
}

#[test]
fn help_names_every_topic() {
    let help = prove(&["--help"]).stdout;
    for topic in topics() {
        assert!(help.contains(&topic.name), "{}", topic.name);
    }
}
