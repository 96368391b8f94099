//! What `crossbrace prove` answers to the cases of the reference files.
//!
//! Those cases are solved there and nowhere else. Here each published value is looked for in the
//! files of `src/proof/cases/`, where it must stand as the reference file has it, with a tolerance
//! that is not looser; so that none is left out, and none is there that the reference has not.

use std::sync::LazyLock;

use crossbrace::proof::{Figure, ProvenTopic, ProvenValue, Topic, topics};
use serde_json::Value;

use super::{Answers, Case, Expected, is};

static TOPICS: LazyLock<Vec<Topic>> = LazyLock::new(topics);

/// Every topic, proven.
static PROVEN: LazyLock<Vec<ProvenTopic<'static>>> =
    LazyLock::new(|| TOPICS.iter().map(|topic| ProvenTopic::of(topic, |_| true)).collect());

/// The answers to a case. One that needs several models is proven as several: `ID: PART`.
pub(super) fn proven(case: &Case) -> Answers {
    let part = format!("{}: ", case.id);
    let mut values: Vec<&ProvenValue<'_>> = PROVEN
        .iter()
        .flat_map(|topic| &topic.cases)
        .filter(|proven| proven.case.id == case.id || proven.case.id.starts_with(&part))
        // Two files may name a case alike.
        .filter(|proven| proven.case.source == case.json["source"])
        .flat_map(|proven| &proven.values)
        .collect();
    let mut answers = Vec::new();
    for expected in &case.expected {
        let found = values.iter().position(|value| is_the_same(expected, value));
        if let Some(Ok(computed)) = found.map(|at| &values.remove(at).computed) {
            answers.push(is(&expected.name, as_published(&expected.value, computed)));
        }
    }
    assert!(values.is_empty(), "{}: not in the reference file: {values:#?}", case.id);
    answers
}

/// Whether a value of `prove` is the one of the reference file, and no easier to meet.
fn is_the_same(expected: &Expected, value: &ProvenValue<'_>) -> bool {
    let ask = value.ask;
    as_published(&expected.value, &ask.published) == expected.value && ask.tolerance <= expected.within * (1.0 + 1e-12)
}

/// A figure in the way of the reference files: `yes` and `no` are true and false there,
/// `no damage` is null.
fn as_published(expected: &Value, figure: &Figure) -> Value {
    match figure {
        Figure::Number(number) if expected.is_u64() && number.fract() == 0.0 && *number >= 0.0 => {
            Value::from(*number as u64)
        }
        Figure::Number(number) if expected.is_i64() && number.fract() == 0.0 => Value::from(*number as i64),
        Figure::Number(number) => Value::from(*number),
        Figure::Word(word) if expected.is_null() && word == "no damage" => Value::Null,
        Figure::Word(word) if expected.is_boolean() => Value::from(word == "yes"),
        Figure::Word(word) => Value::from(word.as_str()),
    }
}

#[test]
fn every_published_case_holds() {
    let cases: Vec<_> = PROVEN.iter().flat_map(|topic| &topic.cases).collect();
    let failing: Vec<&str> =
        cases.iter().filter(|proven| !proven.holds()).map(|proven| proven.case.id.as_str()).collect();
    assert!(failing.is_empty(), "{failing:#?}");
    let values: usize = cases.iter().map(|proven| proven.values.len()).sum();
    // What the tallies of the reference files add up to, and four strips that give way sideways.
    assert_eq!((cases.len(), values), (383, 1520));
}

#[test]
fn no_two_cases_have_the_same_name() {
    let mut names: Vec<&str> = TOPICS.iter().flat_map(|topic| &topic.cases).map(|case| case.id.as_str()).collect();
    names.extend(TOPICS.iter().map(|topic| topic.name.as_str()));
    names.sort_unstable();
    let twice: Vec<&[&str]> = names.windows(2).filter(|pair| pair[0] == pair[1]).collect();
    assert!(twice.is_empty(), "{twice:?}");
}
