//! How many designs a second: every subset of sixteen candidate braces on the front demo.
//!
//! `cargo bench --bench what_if` prints the table that `reports/speed.md` keeps, on one core: every subset from the
//! one before it, all motions of parts and internal forces of pieces in ten cases kept or their maxima alone, braces
//! welded (beams) or rod-ended (axial), their weight among the loads; beside it every sixteenth of the same designs
//! summed, factorised and solved afresh with the plan reused, without its end forces, in turns with it. What both give
//! is compared and asserted. Times are the processor's, so that others on the machine do not count.

use std::io::Write as _;
use std::ops::ControlFlow;

use crossbrace::car::wheel_loads;
use crossbrace::loads::case_loads;
use crossbrace::math::{ChosenEngine, Engine as _, Keep, Seen};
use crossbrace::model::{Model, load};
use crossbrace::solve::{Readouts, RightSide, Subsets, System};
use crossbrace::source::Document;
use crossbrace::structure::{Purpose, build, number};
use nalgebra::DMatrix;
use nix::sys::resource::{UsageWho, getrusage};
use nix::sys::time::TimeValLike as _;
use serde_json::{Value, json};

const DEMO: &str = include_str!("../models/hillclimb-front-subframe.json");
const BRACES: usize = 16;

fn print(text: &str) {
    std::io::stdout().write_all(text.as_bytes()).expect("stdout takes it");
}

/// Processor time of this process, s.
fn spent_s() -> f64 {
    let usage = getrusage(UsageWho::RUSAGE_SELF).expect("the system counts");
    (usage.user_time() + usage.system_time()).num_microseconds() as f64 * 1e-6
}

fn model(value: &Value) -> Model {
    load(&Document::read(value.to_string().into_bytes()).expect("it is JSON")).expect("it is a model")
}

/// Sixteen pairs of nodes 200 to 700 mm apart that no tube joins, spread over the list of all such pairs.
fn pairs(model: &Model) -> Vec<(String, String)> {
    let joined = |one: &str, other: &str| {
        model.members.values().any(|member| {
            let names: Vec<&str> = member.nodes.iter().map(|anchor| model.anchor_name(*anchor)).collect();
            names.windows(2).any(|two| two == [one, other] || two == [other, one])
        })
    };
    let nodes: Vec<(String, nalgebra::Point3<f64>)> = model
        .members
        .values()
        .flat_map(|member| member.nodes.iter())
        .map(|anchor| (model.anchor_name(*anchor).to_owned(), model.anchor_at(*anchor)))
        .fold(Vec::new(), |mut nodes, node| {
            if !nodes.contains(&node) {
                nodes.push(node);
            }
            nodes
        });
    let mut found = Vec::new();
    for (at, (one, place)) in nodes.iter().enumerate() {
        for (other, there) in &nodes[at + 1..] {
            if (200.0..700.0).contains(&(place - there).norm()) && !joined(one, other) {
                found.push((one.clone(), other.clone()));
            }
        }
    }
    let step = found.len() / BRACES;
    assert!(step > 0, "the demo has many pairs of nodes");
    found.into_iter().step_by(step).take(BRACES).collect()
}

fn subsets(joint: &str) -> Subsets {
    let mut drawn: Value = serde_json::from_str(DEMO).expect("the demo is JSON");
    for (at, (one, other)) in pairs(&model(&drawn)).iter().enumerate() {
        drawn["members"][format!("candidate {at}")] = json!({ "ends": [one, other], "tube": "light", "joint": joint });
    }
    let model = model(&drawn);
    let structure = build(&model, Purpose::Statics).expect("the demo has no plate between bodies");
    let numbering = number(&model, &structure, &[]).expect("the demo has no closed ring");
    let system = System::new(structure, numbering);
    let sides: Vec<RightSide> = model
        .cases
        .iter()
        .take(10)
        .map(|(name, case)| {
            let wheels = wheel_loads(&model, name, case).expect("the car can drive the case");
            system.right_side(&case_loads(&model, &system.structure, case, &wheels))
        })
        .collect();
    assert_eq!(sides.len(), 10, "the demo has ten cases");
    let is_candidate = |tube: &usize| system.structure.tube_name(&model, *tube).starts_with("candidate");
    let candidates: Vec<Vec<usize>> =
        (0..system.structure.tubes.len()).filter(is_candidate).map(|tube| vec![tube]).collect();
    assert_eq!(candidates.len(), BRACES);
    let readouts = Readouts::all(&system, &candidates);
    Subsets::new(system, &candidates, &sides, readouts)
}

/// Goes through all subsets; how many a second, and a number that all of it went into.
fn tree(subsets: &Subsets, keep: Keep) -> (f64, f64) {
    let start = spent_s();
    let (mut count, mut sum) = (0_u32, 0.0);
    let walked = subsets.walk(keep).each(&[], 0, &mut |_, seen| {
        count += 1;
        sum += match seen {
            Seen::Table(table) => table.read(7, 3),
            Seen::Maxima(maxima) => maxima[7],
            Seen::Nothing => panic!("the demo stands without braces"),
        };
        ControlFlow::Continue(())
    });
    assert!(walked.is_continue() && count == 1 << BRACES, "every subset is seen once");
    (f64::from(count) / (spent_s() - start), sum)
}

/// Every `step`-th subset afresh: sum, factor, solution of ten cases; how many a second.
fn fresh(subsets: &Subsets, step: usize) -> (f64, f64) {
    let plan = ChosenEngine.plan(&subsets.system().numbering.pattern);
    let start = spent_s();
    let (mut count, mut sum) = (0_u32, 0.0);
    for number in (0..1 << BRACES).step_by(step) {
        let set: Vec<usize> = (0..BRACES).filter(|at| number >> at & 1 == 1).collect();
        let factor = plan.factor(&subsets.matrix(&set)).expect("the demo stands");
        let mut x: DMatrix<f64> = subsets.right_sides(&set);
        factor.solve(&mut x);
        sum += x[(0, 0)];
        count += 1;
    }
    (f64::from(count) / (spent_s() - start), sum)
}

/// The largest difference of any read-out from that of a fresh solution, over the largest of its case and kind.
fn difference(subsets: &Subsets, step: usize) -> f64 {
    let mut worst: f64 = 0.0;
    let mut at = 0;
    let walked = subsets.walk(Keep::All).each(&[], 0, &mut |set, seen| {
        at += 1;
        if at % step == 0
            && let Seen::Table(table) = seen
        {
            let afresh = subsets.afresh(set, BRACES).expect("the demo stands");
            worst = worst.max(subsets.difference(set, table, &afresh));
        }
        ControlFlow::Continue(())
    });
    assert!(walked.is_continue(), "nothing ended the walk");
    worst
}

fn main() {
    let once = std::env::args().any(|argument| argument == "--test");
    let rounds = if once { 1 } else { 5 };
    print(
        "| braces | rows | kept | designs a second | fresh with the plan reused | ratio | largest difference from fresh |\n",
    );
    print("| --- | ---: | --- | ---: | ---: | ---: | ---: |\n");
    for (name, joint) in [("beam", "weld"), ("axial", "rod-end")] {
        let subsets = subsets(joint);
        let rows = subsets.n_rows();
        let differs = difference(&subsets, if once { 4099 } else { 61 });
        assert!(differs < 1e-10, "{differs:e}");
        for (kept, keep) in [("all", Keep::All), ("maxima", Keep::Maxima)] {
            let (mut of_tree, mut of_fresh) = (Vec::new(), Vec::new());
            for _ in 0..rounds {
                of_tree.push(tree(&subsets, keep).0);
                of_fresh.push(fresh(&subsets, if once { 4099 } else { 16 }).0);
            }
            let median = |values: &mut Vec<f64>| {
                values.sort_by(f64::total_cmp);
                values[values.len() / 2]
            };
            let (tree, fresh) = (median(&mut of_tree), median(&mut of_fresh));
            print(&format!(
                "| {name} | {rows} | {kept} | {tree:.0} | {fresh:.0} | {:.1} | {differs:.1e} |\n",
                tree / fresh
            ));
        }
    }
}
