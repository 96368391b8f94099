//! Published cases: tables of standards and handbooks, textbook examples, closed forms.
//!
//! `tests/reference/README.md` says where the files come from. Each value is held against the
//! digits that its source prints (the tolerance in the file). What this version does not answer,
//! or answers otherwise stands in the table beside the test with the reason, case by case or value
//! by value; a value that is neither met nor listed fails, and so does an entry of the table that
//! is met or is not in the file.

mod fatigue;
pub(crate) mod frame_model;
mod frames;
mod materials;
mod members;
mod proven;
mod sections;
mod shape;
mod vehicle;
mod welds;

use serde_json::Value;

use crate::support::read;

/// A value that a case asks for.
#[derive(Debug, Clone)]
struct Expected {
    /// What: a key of `expected`, or quantity and place with a blank between.
    name: String,
    /// A number, or a word or flag that must be met as it is.
    value: Value,
    /// How far a number may be off.
    within: f64,
}

/// A case of a reference file.
#[derive(Debug, Clone)]
struct Case {
    id: String,
    /// The case as the file has it.
    json: Value,
    expected: Vec<Expected>,
}

/// What the crate answers: the name of the value and the value.
type Answers = Vec<(String, Value)>;

/// What is not met: the case or `*` for every case, the value or `*` for all of the case, and why.
type Listed = (&'static str, &'static str, &'static str);

/// How much of a file was held against the crate.
#[derive(Debug, PartialEq, Eq)]
struct Tally {
    /// Cases in the file.
    cases: usize,
    /// Cases of which at least one value was met.
    met: usize,
    /// Values that were met.
    values: usize,
}

impl Case {
    fn new(json: Value) -> Self {
        let id = json["id"].as_str().expect("a case has an id").to_owned();
        let expected = expected(&json, &id);
        Self { id, json, expected }
    }
}

/// The cases of a file under `tests/reference/`.
fn cases(file: &str) -> Vec<Case> {
    let text = read(&format!("reference/{file}"));
    let json: Value = serde_json::from_str(&text).unwrap_or_else(|error| panic!("{file}: {error}"));
    let list = json["cases"].as_array().unwrap_or_else(|| panic!("{file} has no list of cases"));
    list.iter().cloned().map(Case::new).collect()
}

/// The three shapes of `expected`: one number, values by name, or a list of quantities.
fn expected(case: &Value, id: &str) -> Vec<Expected> {
    let all = &case["tolerance"];
    match &case["expected"] {
        Value::Object(values) => values
            .iter()
            .map(|(name, value)| Expected {
                name: name.clone(),
                value: value.clone(),
                within: within(all, name, value),
            })
            .collect(),
        Value::Array(quantities) => quantities
            .iter()
            .map(|entry| {
                let quantity = entry["quantity"].as_str().unwrap_or_else(|| panic!("{id}: a quantity has no name"));
                let name = entry["at"].as_str().map_or(quantity.to_owned(), |at| format!("{quantity} {at}"));
                let value = entry["value"].clone();
                let own = entry.get("tolerance").unwrap_or(all);
                Expected { within: within(own, &name, &value), name, value }
            })
            .collect(),
        Value::Null => panic!("{id} expects nothing"),
        value => vec![Expected { name: "value".into(), value: value.clone(), within: within(all, "value", value) }],
    }
}

/// How far a value may be off by a tolerance of the file.
fn within(tolerance: &Value, name: &str, value: &Value) -> f64 {
    let size = |part: &Value| part.as_f64().or_else(|| part[name].as_f64());
    if let Some(absolute) = tolerance.get("absolute") {
        // A table value without one of its own: to be met exactly.
        return size(absolute).unwrap_or(0.0);
    }
    let relative = tolerance.get("relative").and_then(size).expect("a tolerance is absolute or relative");
    relative * value.as_f64().unwrap_or(0.0).abs()
}

/// Holds the cases of a file against what `answer` gives for each, and against what is listed.
#[track_caller]
fn hold(file: &str, cases: &[Case], listed: &[Listed], answer: impl Fn(&Case) -> Answers) -> Tally {
    let mut used = vec![false; listed.len()];
    let mut faults = Vec::new();
    let mut tally = Tally { cases: cases.len(), met: 0, values: 0 };
    for (at, case) in cases.iter().enumerate() {
        if cases[..at].iter().any(|other| other.id == case.id) {
            faults.push(format!("{}: two cases have this id", case.id));
        }
        let whole = mark(listed, &mut used, |(id, value, _)| *id == case.id && *value == "*");
        if whole {
            continue;
        }
        let answers = answer(case);
        let before = tally.values;
        for expected in &case.expected {
            let name = format!("{}: {}", case.id, expected.name);
            let set_aside = mark(listed, &mut used, |(id, value, _)| {
                (*id == "*" || *id == case.id) && *value == expected.name.as_str()
            });
            let answer = answers.iter().find(|(known, _)| *known == expected.name);
            match (answer.map(|(_, given)| difference(expected, given)), set_aside) {
                (Some(None), false) => tally.values += 1,
                (Some(Some(difference)), false) => faults.push(format!("{name} {difference}")),
                (None, false) => faults.push(format!("{name} is neither answered nor listed with a reason")),
                (Some(None), true) => faults.push(format!("{name} is listed, and is met: take it off the list")),
                (Some(Some(_)) | None, true) => {}
            }
        }
        tally.met += usize::from(tally.values > before);
    }
    for ((id, value, why), _) in listed.iter().zip(&used).filter(|(_, used)| !**used) {
        faults.push(format!("{id}: {value} is listed ({why}), but is not in the file"));
    }
    let count = faults.len();
    faults.truncate(40);
    assert!(faults.is_empty(), "{file}: {count} faults\n{}", faults.join("\n"));
    tally
}

/// Whether any entry fits; marks every one that does.
fn mark(listed: &[Listed], used: &mut [bool], fits: impl Fn(&Listed) -> bool) -> bool {
    let mut any = false;
    for (entry, used) in listed.iter().zip(used).filter(|(entry, _)| fits(entry)) {
        assert!(!entry.2.is_empty(), "{} is listed without a reason", entry.0);
        *used = true;
        any = true;
    }
    any
}

/// How a value differs by more than it may.
fn difference(expected: &Expected, given: &Value) -> Option<String> {
    let same = match (expected.value.as_f64(), given.as_f64()) {
        // Written so that a NaN differs.
        (Some(wanted), Some(given)) => (given - wanted).abs() <= expected.within,
        _ => *given == expected.value,
    };
    (!same).then(|| format!("is {given}, not {} within {:e}", expected.value, expected.within))
}

/// An answer by name.
fn is(name: &str, value: impl Into<Value>) -> (String, Value) {
    (name.to_owned(), value.into())
}

/// A case with one value, 2.5 to be met within 0.1, and a table that may list it.
fn hold_one(listed: &[Listed], answers: &[(String, Value)]) -> Tally {
    let case = serde_json::json!({"id": "one", "expected": {"a": 2.5}, "tolerance": {"absolute": {"a": 0.1}}});
    hold("a file", &[Case::new(case)], listed, |_| answers.to_vec())
}

#[test]
fn a_value_within_its_tolerance_is_met() {
    assert_eq!(hold_one(&[], &[is("a", 2.59)]), Tally { cases: 1, met: 1, values: 1 });
}

#[test]
#[should_panic(expected = "one: a is 2.61, not 2.5 within 1e-1")]
fn a_value_outside_its_tolerance_fails() {
    hold_one(&[], &[is("a", 2.61)]);
}

#[test]
#[should_panic(expected = "one: a is null, not 2.5")]
fn a_value_that_is_no_number_fails() {
    hold_one(&[], &[is("a", f64::NAN)]);
}

#[test]
#[should_panic(expected = "one: a is neither answered nor listed with a reason")]
fn a_value_that_nothing_answers_fails() {
    hold_one(&[], &[is("b", 2.5)]);
}

#[test]
fn a_listed_value_may_be_answered_otherwise_or_not_at_all() {
    let nothing = Tally { cases: 1, met: 0, values: 0 };
    assert_eq!(hold_one(&[("one", "a", "why")], &[is("a", 3.0)]), nothing);
    assert_eq!(hold_one(&[("*", "a", "why")], &[]), nothing);
    assert_eq!(hold_one(&[("one", "*", "why")], &[]), nothing);
}

#[test]
#[should_panic(expected = "one: a is listed, and is met")]
fn a_listed_value_that_is_met_fails() {
    hold_one(&[("one", "a", "why")], &[is("a", 2.5)]);
}

#[test]
#[should_panic(expected = "two: * is listed (why), but is not in the file")]
fn an_entry_for_what_is_not_in_the_file_fails() {
    hold_one(&[("two", "*", "why")], &[is("a", 2.5)]);
}
