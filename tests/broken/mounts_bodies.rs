//! Mounts and bodies, and closed rings of rigid ties.

use snapbox::str;

use super::{Model, car, stand};

const ENGINE_MOUNTS: &str = "{\"ear\": \"one bolt\", \"lug\": {\"x\": 900, \"y\": 900, \"z\": 900, \"rx\": 50}}";

/// The stand whose engine is held like this.
fn engine(mounts: &str) -> Model {
    stand().with(ENGINE_MOUNTS, mounts)
}

#[test]
fn a_mount_is_a_known_word() {
    stand().with("\"D\": \"bolted pad\"", "\"D\": \"bolted pads\"").refused(str![[]]);
}

#[test]
fn the_words_of_a_body_are_not_for_the_ground() {
    stand().with("\"D\": \"bolted pad\"", "\"D\": \"rides\"").refused(str![[]]);
}

#[test]
fn a_mount_by_direction_names_six_motions() {
    stand().with("\"E\": {\"x\": 4000", "\"E\": {\"w\": 4000").refused(str![[]]);
}

#[test]
fn a_mount_holds_a_node_that_is_there() {
    stand().with("\"D\": \"bolted pad\"", "\"D2\": \"bolted pad\"").refused(str![[]]);
}

#[test]
fn a_member_is_no_place_for_a_mount() {
    stand().with("\"D\": \"bolted pad\"", "\"hoop\": \"bolted pad\"").refused(str![[]]);
}

#[test]
fn a_rate_is_not_below_0() {
    stand().with("{\"x\": 4000, \"y\"", "{\"x\": -4000, \"rz\": -5, \"y\"").refused(str![[]]);
}

#[test]
fn a_rate_is_a_number_or_the_word_fixed() {
    stand()
        .with("\"y\": \"fixed\", \"z\": \"fixed\"", "\"y\": \"held\", \"z\": true, \"rx\": \"stiff\"")
        .refused(str![[]]);
}

#[test]
fn there_is_no_default_for_mounts() {
    stand().with("\"mounts\": {\n    \"A\"", "\"supports\": {\n    \"A\"").refused(str![[]]);
}

#[test]
fn a_mass_is_not_below_0() {
    stand().with("\"mass\": 80", "\"mass\": -80").refused(str![[]]);
}

#[test]
fn an_inertia_is_three_numbers_none_below_0() {
    stand().with("\"inertia\": [2, 2, 3]", "\"inertia\": [2, -2, -3]").refused(str![[]]);
    stand().with("\"inertia\": [2, 2, 3]", "\"inertia\": 2").refused(str![[]]);
}

#[test]
fn a_body_has_a_mass_a_centre_of_gravity_and_mounts() {
    stand()
        .with("\"mass\": 80, \"cg\": [300, 0, 700], \"inertia\": [2, 2, 3],\n      \"mounts\": ", "\"mount\": ")
        .refused(str![[]]);
}

#[test]
fn a_body_is_mounted_on_nodes_that_are_there() {
    engine("{\"ear\": \"bolted pad\", \"lgu\": \"rides\"}").refused(str![[]]);
}

#[test]
fn a_clamp_needs_a_second_one() {
    engine("{\"ear\": \"clamp\", \"lug\": {\"x\": 900}}").refused(str![[]]);
}

#[test]
fn a_third_clamp_is_one_too_many() {
    engine("{\"ear\": \"clamp\", \"lug\": \"clamp\", \"E\": \"clamp\"}").refused(str![[]]);
}

#[test]
fn two_clamps_at_one_place_have_no_line_between_them() {
    engine("{\"ear\": \"clamp\", \"lug\": \"clamp\"}").with("[400, 0, 540]", "[200, 0, 540]").refused(str![[]]);
}

#[test]
fn a_node_that_rides_on_a_body_carries_no_tube() {
    engine("{\"ear\": \"one bolt\", \"E\": \"rides\"}").refused(str![[]]);
}

#[test]
fn only_one_body_takes_the_drive_torque() {
    stand()
        .with("\"mass\": 80,", "\"mass\": 80, \"takes_drive_torque\": true,")
        .with(
            "\"bodies\": {",
            "\"bodies\": {\n    \"gearbox\": {\"mass\": 30, \"cg\": [300, 0, 600], \"mounts\": {\"B\": \"bolted pad\"}, \"takes_drive_torque\": true},",
        )
        .refused(str![[]]);
}

#[test]
fn ground_and_body_do_not_hold_one_node_in_the_same_direction() {
    engine("{\"ear\": \"bolted pad\", \"D\": {\"z\": \"fixed\"}}").refused(str![[]]);
}

#[test]
fn two_bodies_do_not_hold_one_node_in_the_same_direction() {
    stand()
        .with(
            "\"bodies\": {",
            "\"bodies\": {\n    \"gearbox\": {\"mass\": 30, \"cg\": [300, 0, 600], \"mounts\": {\"ear\": \"bolted pad\"}},",
        )
        .refused(str![[]]);
}

#[test]
fn two_bolts_to_the_ground_on_one_bracket_piece_close_a_ring() {
    stand()
        .with(
            "\"brackets\": {",
            "\"brackets\": {\n    \"foot 1\": {\"at\": [580, -30, 0], \"on\": \"D\"},\n    \"foot 2\": {\"at\": [620, 30, 0], \"on\": \"D\"},",
        )
        .with("\"D\": \"bolted pad\"", "\"foot 1\": \"one bolt\", \"foot 2\": \"one bolt\"")
        .refused(str![[]]);
}

#[test]
fn two_bolts_to_one_body_on_one_bracket_piece_close_a_ring() {
    stand()
        .with("\"brackets\": {", "\"brackets\": {\n    \"ear 2\": {\"at\": [200, 40, 540], \"on\": \"hoop\"},")
        .with(
            ENGINE_MOUNTS,
            "{\"ear\": \"one bolt\", \"ear 2\": \"one bolt\", \"lug\": {\"x\": 900, \"y\": 900, \"z\": 900}}",
        )
        .refused(str![[]]);
}

#[test]
fn two_brackets_that_ride_on_one_body_from_one_piece_close_a_ring() {
    stand()
        .with("\"brackets\": {", "\"brackets\": {\n    \"ear 2\": {\"at\": [200, 40, 540], \"on\": \"hoop\"},")
        .with(ENGINE_MOUNTS, "{\"ear\": \"rides\", \"ear 2\": \"rides\"}")
        .refused(str![[]]);
}

#[test]
fn two_bolts_on_one_piece_are_allowed_where_one_has_a_rate() {
    stand()
        .with(
            "\"brackets\": {",
            "\"brackets\": {\n    \"foot 1\": {\"at\": [580, -30, 0], \"on\": \"D\"},\n    \"foot 2\": {\"at\": [620, 30, 0], \"on\": \"D\"},",
        )
        .with("\"D\": \"bolted pad\"", "\"foot 1\": \"one bolt\", \"foot 2\": {\"x\": 90000, \"y\": 90000, \"z\": 90000}")
        .accepted();
}

#[test]
fn every_closed_ring_is_told_in_one_run() {
    engine("{\"ear\": \"bolted pad\", \"A\": \"one bolt\", \"D\": {\"z\": \"fixed\"}}").refused(str![[]]);
}

#[test]
fn a_closed_ring_in_a_mirrored_entry_is_told_once() {
    car()
        .with("\"brackets\": {", "\"brackets\": {\n    \"P.l\": {\"at\": [-150, 270, 150], \"on\": \"LR.l\"},")
        .with("\"UR.l\": \"one bolt\"", "\"UR.l\": \"one bolt\", \"P.l\": \"one bolt\"")
        .refused(str![[]]);
}
