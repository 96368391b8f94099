//! What a check costs, stage by stage, on the demo. Each bench asserts its answer.
//!
//! `cargo bench` prints times; compare stages within one run, since machines drift.

use crossbrace::math::{ChosenEngine, Engine};
use crossbrace::model::{Model, load};
use crossbrace::report::{Report, json, plot};
use crossbrace::run::{Checked, check, judge, outcome, prepare, respond};
use crossbrace::solve::{System, solve};
use crossbrace::source::Document;
use crossbrace::structure::{Numbering, Purpose, Structure, build, number};
use divan::{Bencher, black_box};

const DEMO: &[u8] = include_bytes!("../models/hillclimb-front-subframe.json");

fn main() {
    divan::main();
}

fn demo() -> Model {
    load(&Document::read(DEMO.to_vec()).expect("the demo is JSON")).expect("the demo is valid")
}

fn taken_apart(model: &Model) -> (Structure, Numbering) {
    let structure = build(model, Purpose::Statics).expect("the demo has no plate between bodies");
    let numbering = number(model, &structure, &[]).expect("the demo has no closed ring");
    (structure, numbering)
}

fn checked(model: &Model) -> Checked {
    check(model, |_| true).expect("the demo can be solved")
}

#[divan::bench]
fn read_and_validate(bencher: Bencher) {
    bencher.bench(|| {
        let document = Document::read(black_box(DEMO).to_vec()).expect("the demo is JSON");
        let model = load(&document).expect("the demo is valid");
        assert_eq!(model.members.len(), 45);
        model
    });
}

#[divan::bench]
fn take_apart_and_number(bencher: Bencher) {
    let model = demo();
    bencher.bench(|| {
        let (structure, numbering) = taken_apart(black_box(&model));
        assert!(numbering.pattern.n_unknowns() > 200);
        (structure, numbering)
    });
}

#[divan::bench]
fn assemble(bencher: Bencher) {
    let (structure, numbering) = taken_apart(&demo());
    bencher.with_inputs(|| (structure.clone(), numbering.clone())).bench_values(|(structure, numbering)| {
        let system = System::new(structure, numbering);
        assert!(system.matrix.diagonal().iter().all(|value| *value > 0.0));
        system
    });
}

#[divan::bench]
fn order_and_plan(bencher: Bencher) {
    let (_, numbering) = taken_apart(&demo());
    bencher.bench(|| ChosenEngine.plan(black_box(&numbering.pattern)));
}

#[divan::bench]
fn factorise_and_estimate_the_condition(bencher: Bencher) {
    let (structure, numbering) = taken_apart(&demo());
    let system = System::new(structure, numbering);
    let plan = ChosenEngine.plan(&system.numbering.pattern);
    bencher.bench(|| {
        let solved = solve(black_box(&system), plan.as_ref()).expect("the demo is held");
        assert!(!solved.is_suspicious());
        solved
    });
}

#[divan::bench]
fn solve_all_cases(bencher: Bencher) {
    let model = demo();
    let prepared = prepare(&model, Purpose::Statics).expect("the demo is held");
    bencher.bench(|| {
        let response = respond(black_box(&model), &prepared, |_| true).expect("the demo can be solved");
        assert!(response.cases.iter().all(|case| case.accuracy.error < 1e-6));
        response
    });
}

#[divan::bench]
fn name_and_judge(bencher: Bencher) {
    let model = demo();
    let prepared = prepare(&model, Purpose::Statics).expect("the demo is held");
    let response = respond(&model, &prepared, |_| true).expect("the demo can be solved");
    bencher.bench(|| {
        let outcome = outcome(black_box(&model), &prepared, &response);
        let verdict = judge(&model, &prepared, &response, &outcome);
        assert!(!verdict.passes());
        (outcome, verdict)
    });
}

#[divan::bench]
fn whole_check_to_json(bencher: Bencher) {
    bencher.bench(|| {
        let document = Document::read(black_box(DEMO).to_vec()).expect("the demo is JSON");
        let model = load(&document).expect("the demo is valid");
        let checked = checked(&model);
        let text = json::text(&report(&model, &checked));
        assert!(text.contains("\"pass\":false"));
        text
    });
}

#[divan::bench]
fn all_sheets(bencher: Bencher) {
    let model = demo();
    let checked = checked(&model);
    bencher.bench(|| {
        let report = report(black_box(&model), &checked);
        let sheets: Vec<_> = (0..report.response.cases.len()).map(|case| plot::case_sheet(&report, case, "")).collect();
        assert_eq!(sheets.len(), model.cases.len());
        sheets
    });
}

fn report<'r>(model: &'r Model, checked: &'r Checked) -> Report<'r> {
    Report {
        file: "demo.json",
        sha256: "",
        option: None,
        model,
        prepared: &checked.prepared,
        response: &checked.response,
        outcome: &checked.outcome,
        verdict: &checked.verdict,
        unknowns: None,
        positions: checked.positions.as_ref(),
        notes: &[],
    }
}
