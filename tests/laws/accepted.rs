//! The generators draw models that the tool can use, and the tool refuses the rest for a reason.

use crossbrace::run::prepare;
use crossbrace::structure::Purpose;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;

use super::cases;
use super::frames::{Frame, frame};
use crate::engines::accuracy::largest_backward_error;
use crate::support::read;

/// How many of so many draws the tool solves, and the reasons why it refuses the others.
fn accepted(strategy: impl Strategy<Value = Frame>, draws: usize) -> (usize, Vec<String>) {
    let mut runner = TestRunner::default();
    let mut reasons = Vec::new();
    for _ in 0..draws {
        let drawn = strategy.new_tree(&mut runner).expect("no draw is filtered out").current();
        reasons.extend(drawn.solved().err());
    }
    (draws - reasons.len(), reasons)
}

#[test]
fn at_least_half_of_the_random_frames_are_solved() {
    let (solved, reasons) = accepted(frame(), 200);
    assert!(solved >= 100, "{solved} of 200: {reasons:#?}");
}

/// Whether a frame is so nearly a mechanism that 16 digits do not carry far: its stiffness matrix
/// loses more than 11 of them.
pub(super) fn is_nearly_loose(frame: &Frame) -> bool {
    prepare(&frame.model(), Purpose::Statics).is_ok_and(|prepared| prepared.solved.condition > 1e11)
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn a_frame_is_refused_for_what_is_loose_or_held_twice_and_never_for_the_arithmetic(frame in frame()) {
        if let Err(reason) = frame.solved() {
            let sound = ["the frame is a mechanism", "a closed ring of rigid", "nothing takes a moment"];
            let sound = sound.iter().any(|known| reason.starts_with(known));
            prop_assert!(sound || is_nearly_loose(&frame), "{reason}");
        }
    }
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn the_backward_error_of_a_random_frame_is_at_most_1e_14(frame in frame()) {
        let error = largest_backward_error(&frame.solved_or_passed_over()?);
        prop_assert!(error <= 1e-14, "{error:e}");
    }
}

/// What is left over of the forces there is round-off, which clamps close together make larger.
#[test]
fn a_frame_in_which_a_moved_mount_strains_nothing_is_not_refused() {
    Frame(serde_json::from_str(&read("models/settled.json")).unwrap()).must_be_solved().unwrap();
}
