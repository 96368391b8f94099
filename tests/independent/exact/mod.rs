//! Buckling loads and natural frequencies by exact members and counted roots.
//!
//! A member is exact for any axial force and any frequency ([`member`]); how many roots of the frame lie
//! below a load factor or a frequency is counted, so that none is missed ([`count`]).

mod count;
mod frames;
mod member;

use serde_json::{Value, json};

use super::frame::Frame;
use super::loads::loads;
use super::solved::Solver;
use crate::published::frame_model;
use crate::support::read;
use crate::support::values::{assert_near, list, number, word};
use count::{Exact, root};

/// The exact frame of a model under one of its cases; nothing acts where it has no such case.
fn exact(model: &Value, case: &str) -> Exact {
    let frame = Frame::of(model, &Value::Null);
    let solver = Solver::new(&frame);
    Exact::new(model, &frame, &solver, &loads(model, &frame, &model["cases"][case], &Value::Null))
}

/// The cases of a file of frames with values published or worked out from closed forms.
fn published(file: &str) -> Vec<Value> {
    let file: Value = serde_json::from_str(&read(&format!("reference/frames/{file}"))).unwrap();
    list(&file["cases"]).to_vec()
}

/// The published roots of a case that lie where the count has none, within a part of themselves.
///
/// A case in a plane lists what happens in it; the count has the other plane's roots and those of
/// torsion too, so that a value is a root, and the lowest of all where `lowest` says so.
fn missed(case: &Value, quantity: &str, below: impl Fn(f64) -> usize) -> (usize, Vec<String>) {
    let mut compared = 0;
    let mut missed = Vec::new();
    for expected in list(&case["expected"]) {
        let Some(at) = word(&expected["quantity"]).strip_prefix(quantity) else { continue };
        let (at, value): (usize, f64) = (at.trim().parse().expect("a number of a root"), number(&expected["value"]));
        // What is from memory has few digits; the file says how few.
        let part = if case["provenance"] == "closed form" { 1e-6 } else { number(&case["tolerance"]["relative"]) };
        let [under, over] = [below(value * (1.0 - part)), below(value * (1.0 + part))];
        if under == over || under + 1 < at {
            missed.push(format!("{} {at}: {value}, {under} to {over} roots", case["id"]));
        }
        compared += 1;
    }
    (compared, missed)
}

#[test]
fn exact_members_buckle_at_the_published_loads() {
    let mut all = 0;
    for case in published("4-buckling.json") {
        // Exact members have no part of moments; rigid links are no part of such a file.
        if case["analysis"].get("moments").is_some() || case["model"].get("rigid").is_some() {
            continue;
        }
        let model = frame_model::Frame::new(&case, false).file(&[]);
        let exact = exact(&model, "case");
        let (compared, missed) = missed(&case, "load factor", |factor| exact.factors_below(factor));
        assert!(missed.is_empty(), "{missed:#?}");
        all += compared;
    }
    assert!(all >= 19, "{all} load factors");
}

/// A straight beam of 1 m along x, cut into two members, on these mounts.
fn beam(given: &Value, mounts: &Value) -> Value {
    json!({
        "materials": {"steel": {"youngs_modulus": 200_000, "shear_modulus": 80_000, "density": 8000}},
        "tubes": {"tube": {"given": given, "material": "steel"}},
        "nodes": {"A": [0, 0, 0], "B": [400, 0, 0], "C": [1000, 0, 0]},
        "members": {"first": {"ends": ["A", "B"], "tube": "tube"}, "second": {"ends": ["B", "C"], "tube": "tube"}},
        "mounts": mounts,
        "cases": {},
    })
}

/// Natural frequencies of a slender beam, ω = (βL)² √(EI/ρA)/L².
///
/// Source: Blevins, Formulas for Natural Frequency and Mode Shape, table 8-1, from memory; roots of
/// cos βL cosh βL = ±1. Rotary inertia takes less than 1e-6 off.
#[test]
fn exact_members_of_a_slender_beam_have_the_frequencies_of_the_closed_forms() {
    // Bends up and down alone at such frequencies.
    let slender = json!({"a": 1000, "iy": 10, "iz": 1e7, "j": 1e7, "cy": 1, "cz": 1});
    let pinned = json!({"x": "fixed", "y": "fixed", "z": "fixed", "rx": "fixed", "rz": "fixed"});
    for (mounts, roots) in [
        (json!({"A": "bolted pad"}), [1.875_104_069, 4.694_091_133, 7.854_757_438]),
        (json!({"A": "bolted pad", "C": "bolted pad"}), [4.730_040_745, 7.853_204_624, 10.995_607_838]),
        (json!({"A": pinned, "C": pinned}), [1.0, 2.0, 3.0].map(|n| n * std::f64::consts::PI)),
    ] {
        let exact = exact(&beam(&slender, &mounts), "none");
        for (at, beta) in roots.into_iter().enumerate() {
            let omega = beta * beta * (200_000.0 * 10.0 / (8e-9 * 1000.0_f64)).sqrt() / 1e6;
            let found = root(at + 1, 1e6, 1e-10, |frequency| exact.frequencies_below(frequency)).unwrap();
            assert_near(found, omega / (2.0 * std::f64::consts::PI), 1e-6 * found);
        }
    }
}

#[test]
fn exact_members_vibrate_at_the_published_frequencies() {
    let mut all = 0;
    for case in published("6-vibration.json") {
        let id = word(&case["id"]);
        if !["timoshenko-simple-beam", "timoshenko-clamped-free", "rod-axial-fixed-free"].contains(&id) {
            continue;
        }
        let mut model = frame_model::Frame::new(&case, false).file(&[]);
        for (name, section) in case["model"]["sections"].as_object().unwrap() {
            model["materials"][name]["density"] = section["density"].clone();
        }
        let exact = exact(&model, "none");
        let (compared, missed) = missed(&case, "frequency", |frequency| exact.frequencies_below(frequency));
        assert!(missed.is_empty(), "{missed:#?}");
        all += compared;
    }
    assert!(all >= 8, "{all} frequencies");
}
