//! Frames: beams, trusses, grids, space frames, joints and supports, frames in twist.

use super::proven::proven;
use super::{Listed, Tally, cases, hold};

/// What this version does not answer: of the static cases nothing.
const LISTED: &[Listed] = &[];

#[test]
fn every_published_beam_is_met() {
    let file = "frames/1-beams.json";
    assert_eq!(hold(file, &cases(file), LISTED, proven), Tally { cases: 30, met: 30, values: 93 });
}

#[test]
fn every_published_frame_is_met() {
    let file = "frames/2-frames.json";
    assert_eq!(hold(file, &cases(file), LISTED, proven), Tally { cases: 16, met: 16, values: 75 });
}

#[test]
fn every_published_joint_and_support_is_met() {
    let file = "frames/3-joints-and-supports.json";
    assert_eq!(hold(file, &cases(file), LISTED, proven), Tally { cases: 11, met: 11, values: 37 });
}

#[test]
fn every_published_frame_in_twist_is_met() {
    let file = "frames/7-frame-torsion.json";
    assert_eq!(hold(file, &cases(file), LISTED, proven), Tally { cases: 5, met: 5, values: 12 });
}
