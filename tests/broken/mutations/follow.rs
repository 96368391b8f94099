//! The way of a damaged text through the program.
//!
//! It is read and validated; where it is valid it is solved, told as JSON and drawn. A mistake must
//! have a place in the text and a message that steers no terminal, a result must hold finite numbers
//! alone, and a sheet must be text that XML allows.

use annotate_snippets::Renderer;
use crossbrace::model::{Fault, Model, load_all};
use crossbrace::report::plot::{case_sheet, drawing_sheets};
use crossbrace::report::{Report, json, text};
use crossbrace::run::{Checked, check};
use crossbrace::source::{Document, Problem, line_and_column, render};
use serde_json::Value;

/// How far a mutated text came.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Came {
    /// It is not JSON, or no model.
    Refused,
    /// It is a model that cannot be solved.
    NotSolved,
    /// It has a result.
    Solved,
}

/// Follows a text through the program as far as it comes.
pub(super) fn follow(text: Vec<u8>) -> Came {
    let document = match Document::read(text) {
        Ok(document) => document,
        Err((text, problems)) => {
            told(&problems, &text);
            return Came::Refused;
        }
    };
    let loaded = match load_all(&document) {
        Ok(loaded) => loaded,
        Err(problems) => {
            told(&problems, &document.text);
            return Came::Refused;
        }
    };
    match solve(&loaded.base) {
        Ok(()) => Came::Solved,
        Err(faults) => {
            told(&loaded.written.problems(&faults), &document.text);
            Came::NotSolved
        }
    }
}

/// Solves and judges a model, and tells it in JSON, on a terminal and on sheets.
fn solve(model: &Model) -> Result<(), Vec<Fault>> {
    let checked = check(model, |_| true)?;
    let first = checked.response.cases.first().map(|case| case.name.clone()).unwrap_or_default();
    let notes = checked.notes();
    finite(&serde_json::from_str(&json::text(&report(model, &checked, &notes))).unwrap(), "");
    // Every case is solved; one alone is enough to draw, and is told too.
    let checked = check(model, |name| name == first)?;
    let notes = checked.notes();
    let report = report(model, &checked, &notes);
    harmless(&text::check(&report, 80).replace("\u{1b}[", ""));
    let cases = (0..report.response.cases.len()).map(|case| case_sheet(&report, case, "2026-11-25"));
    let sheets = cases.chain(drawing_sheets(model, &checked.prepared.system.structure, None, "2026-11-25"));
    for (_, svg) in sheets.take(2) {
        harmless(&svg);
    }
    Ok(())
}

fn report<'r>(model: &'r Model, checked: &'r Checked, notes: &'r [String]) -> Report<'r> {
    Report {
        file: "mutated.json",
        sha256: "",
        option: None,
        model,
        prepared: &checked.prepared,
        response: &checked.response,
        outcome: &checked.outcome,
        verdict: &checked.verdict,
        unknowns: None,
        positions: checked.positions.as_ref(),
        notes,
    }
}

/// Problems have places in the text and messages that a terminal can show.
fn told(problems: &[Problem], text: &str) {
    assert!(!problems.is_empty(), "refused without a word");
    for problem in problems {
        assert!(problem.span.start <= text.len(), "{problem:?} is beyond the text");
        assert!(!problem.message.trim().is_empty(), "{problem:?} says nothing");
        let (line, column) = line_and_column(text, problem.span.start);
        let shown = render(problem, "mutated.json", text, &Renderer::plain());
        assert!(shown.starts_with(&format!("error: mutated.json:{line}:{column}: ")), "{shown}");
        harmless(&shown);
    }
}

/// No control character but line ends: none steers a terminal, and XML allows none.
fn harmless(text: &str) {
    let steers = text.chars().find(|letter| letter.is_control() && *letter != '\n');
    assert_eq!(steers, None, "in {text:?}");
}

/// A result has a number wherever one belongs: what is none is written as null.
fn finite(value: &Value, path: &str) {
    match value {
        Value::Null => panic!("{path} is no number"),
        Value::Array(list) => list.iter().enumerate().for_each(|(at, value)| finite(value, &format!("{path}[{at}]"))),
        Value::Object(entries) => entries.iter().for_each(|(key, value)| finite(value, &format!("{path}.{key}"))),
        Value::Number(number) => assert!(number.as_f64().is_some_and(f64::is_finite), "{path} is {number}"),
        Value::Bool(_) | Value::String(_) => {}
    }
}
