//! In which order a file lists its entries changes nothing but the order of the answer.

use proptest::prelude::*;
use serde_json::{Map, Value};

use super::answers::Answer;
use super::frames::{Frame, frame};
use super::{Law, cases, in_case};
use crate::support::read;

/// The entries of an object the other way round, beginning with another of them; and so within.
fn reordered(value: &Value, by: usize) -> Value {
    let Some(keys) = value.as_object() else { return value.clone() };
    let mut all: Vec<(&String, &Value)> = keys.iter().rev().collect();
    if !all.is_empty() {
        let places = by % all.len();
        all.rotate_left(places);
    }
    Value::Object(all.into_iter().map(|(key, value)| (key.clone(), reordered(value, by))).collect::<Map<_, _>>())
}

fn the_same_in_another_order(frame: &Frame, by: usize) -> Law {
    let before = frame.solved_or_passed_over()?;
    let after = Frame(reordered(&frame.0, by)).must_be_solved()?;
    for case in frame.cases() {
        in_case(&case, Answer::of(&before, &case).check(&Answer::of(&after, &case)))?;
    }
    prop_assert_eq!(&before["verdict"]["pass"], &after["verdict"]["pass"]);
    Ok(())
}

proptest! {
    #![proptest_config(cases(64))]

    #[test]
    fn a_file_whose_entries_stand_in_another_order_has_the_same_answer(frame in frame(), by in 0..100_usize) {
        the_same_in_another_order(&frame, by)?;
    }
}

/// Nothing but round-off of stiff directions holds a node there that a rod-end and a hinge let turn.
#[test]
fn a_frame_with_a_turn_that_only_round_off_holds_has_the_same_answer_in_another_order() {
    let frame = Frame(serde_json::from_str(&read("models/slack.json")).unwrap());
    the_same_in_another_order(&frame, 6).unwrap();
}
