//! Small models that pass everything but one thing, each with its story in its notes and its way out
//! as an option.

use serde_json::Value;

use crate::support::values::{list, word};
use crate::support::{load, read, result};

/// Holds that a model of `models/` fails at nothing but one check, tells a story, and passes with
/// its one option.
#[track_caller]
fn fails_only(name: &str, check: &str, told: &str) {
    let loaded = load(&read(&format!("../models/{name}.json")));
    let notes = loaded.base.notes.as_deref().unwrap_or_default();
    assert!(notes.contains(told), "{notes}");
    let drawn = result(&loaded.base);
    let failing: Vec<&Value> = list(&drawn["verdict"]["failing"]).iter().collect();
    assert!(!failing.is_empty());
    assert!(failing.iter().all(|finding| word(&finding["check"]) == check), "{failing:?}");
    assert_eq!(loaded.options.len(), 1);
    for (option, model, _) in &loaded.options {
        let mended = result(model);
        assert_eq!(mended["verdict"]["pass"], true, "{option}: {}", mended["verdict"]["failing"]);
    }
}

#[test]
fn an_outrigger_may_fail_at_its_weld_alone() {
    fails_only("fails-at-a-weld", "weld", "the weld reaches 1.3 times");
}

#[test]
fn a_corner_may_fail_at_a_rod_end_alone() {
    fails_only("fails-at-a-rod-end", "rod_end", "M8");
}

#[test]
fn a_torque_arm_may_fail_by_fatigue_alone() {
    fails_only("fails-by-fatigue", "fatigue", "after twelve seasons");
}
