//! Load factors and frequencies of random frames against exact members.
//!
//! The frames are those of the laws, loaded at their nodes alone, so that the axial force of a piece is one
//! number, and so much that they buckle below ten times the load. Sections have their shear flexibility, or
//! none where they are given without. A tube that would spin freely between its ends is held from spinning
//! by one of them, and a frame that has a motion without strain all the same is passed over: what the tool
//! holds of it is the tool's to choose.

use std::cell::Cell;

use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use serde_json::{Value, json};

use super::super::frame::Frame;
use super::super::loads::loads;
use super::super::solved::Solver;
use super::count::{Exact, root};
use crate::laws::cases;
use crate::laws::frames::{Frame as Drawn, frame};
use crate::support::values::{entries, list, number, vector};

/// What the tool promises of its factors and frequencies, as a part of them.
const PROMISED: f64 = 1e-3;

/// Whether a joint lets its end spin.
fn spins(joint: &Value) -> bool {
    joint == "rod-end" || joint["rate"]["t"] == 0
}

/// The frame with one load, whose tubes do not spin.
fn loaded(Drawn(mut model): Drawn) -> Drawn {
    for (_, member) in model["members"].as_object_mut().into_iter().flatten() {
        let both = match &member["joint"] {
            Value::Array(both) => both.clone(),
            one => vec![one.clone(), one.clone()],
        };
        if both.iter().all(spins) {
            member["joint"] = json!([both[0], { "rate": { "my": 0, "mz": 0 } }]);
        }
    }
    model["cases"] = json!({ "push": { "forces": model["cases"]["push"]["forces"] } });
    Drawn(model)
}

fn exact(model: &Value, result: &Value) -> Option<Exact> {
    let frame = Frame::of(model, result);
    let solver = Solver::new(&frame);
    let loads = loads(model, &frame, &model["cases"]["push"], &result["cases"]["push"]);
    solver.strains_always().then(|| Exact::new(model, &frame, &solver, &loads))
}

/// The first value that is not a root with its number, within what is promised.
fn check(what: &str, told: &Value, below: impl Fn(f64) -> usize) -> Result<(), String> {
    for (at, value) in list(told).iter().map(number).enumerate() {
        let [under, over] = [below(value * (1.0 - PROMISED)), below(value * (1.0 + PROMISED))];
        if under > at || over <= at {
            let found = root(at + 1, 2.0 * value + 1.0, 1e-8, &below);
            return Err(format!("{what} {}: told {value}, counted {under} to {over}, exactly {found:?}", at + 1));
        }
    }
    Ok(())
}

#[test]
fn a_hundred_random_frames_buckle_and_vibrate_as_exact_members_do() {
    let (buckled, pinned) = (Cell::new(0), Cell::new(0));
    let strategy = (frame().prop_map(loaded), 5..=95);
    let ran = TestRunner::new(cases(100)).run(&strategy, |(mut drawn, tenths)| {
        let refused = TestCaseError::reject;
        let Some(as_drawn) = exact(&drawn.0, &drawn.solved().map_err(refused)?) else {
            return Err(refused("something moves without strain".to_owned()));
        };
        // Loads of 1 N and more to some MN; a frame that nothing pushes does not buckle.
        let Some(factor) = root(1, 1e5, 1e-6, |factor| as_drawn.factors_below(factor)) else {
            return Err(refused("nothing is pushed".to_owned()));
        };
        let times = factor / (f64::from(tenths) / 10.0);
        let forces = entries(&drawn.0["cases"]["push"]["forces"]).clone();
        for (node, force) in forces {
            drawn.0["cases"]["push"]["forces"][node] = crate::support::values::three(&(vector(&force) * times));
        }
        let result = drawn.solved().map_err(TestCaseError::fail)?;
        let exact = exact(&drawn.0, &result).expect("it was strained before");
        check("frequency", &result["frequencies"], |frequency| exact.frequencies_below(frequency))
            .and_then(|()| check("factor", &result["buckling"]["push"], |factor| exact.factors_below(factor)))
            .map_err(TestCaseError::fail)?;
        prop_assert_eq!(list(&result["frequencies"]).len(), 6);
        prop_assert!(!list(&result["buckling"]["push"]).is_empty(), "it buckles at {} times", f64::from(tenths) / 10.0);
        buckled.set(buckled.get() + list(&result["buckling"]["push"]).len());
        pinned.set(pinned.get() + usize::from(drawn.0["members"].to_string().contains("\"my\":0,\"mz\":0")));
        Ok(())
    });
    ran.unwrap_or_else(|difference| panic!("{difference}"));
    assert!(
        buckled.get() >= 200 && pinned.get() >= 10,
        "{} factors, {} frames with struts",
        buckled.get(),
        pinned.get()
    );
}
