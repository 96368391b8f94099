//! Corners and anti-roll bars.

use snapbox::str;

use super::{Model, car};

const BAR: &str =
    "{\"bearing\": \"BB.l\", \"end\": [-20, 540, 110], \"foot\": [-20, 545, 190], \"on\": \"lower.rear\"}";

/// The car whose anti-roll bar is like this on its left.
fn bar(left: &str) -> Model {
    car().with(BAR, left)
}

#[test]
fn a_corner_has_a_kind() {
    car().with("\"kind\": \"double wishbone\",", "").refused(str![[]]);
}

#[test]
fn a_kind_of_corner_is_a_known_word() {
    car().with("\"double wishbone\"", "\"double wishbones\"").refused(str![[]]);
    car().with("\"double wishbone\"", "\"swing axle\"").refused(str![[]]);
}

#[test]
fn all_parts_of_a_corner_are_required() {
    car()
        .with("\"kind\": \"double wishbone\",\n      \"wheel_centre\": [0, 700, 280], \"contact_patch\": [0, 700, 0], \"unsprung\": 20,", "\"kind\": \"double wishbone\",")
        .with("\"tie_rod\": {\"inner\": \"TI.l\", \"outer\": [-110, 625, 200], \"tube\": \"arm\"},", "")
        .refused(str![[]]);
}

#[test]
fn a_wishbone_needs_two_nodes_an_outer_point_and_a_tube() {
    car()
        .with(
            "\"upper\": {\"front\": \"UF.l\", \"rear\": \"UR.l\", \"outer\": [-10, 610, 410], \"tube\": \"arm\"}",
            "\"upper\": {}",
        )
        .refused(str![[]]);
}

#[test]
fn an_outer_point_is_no_node() {
    car().with("\"outer\": [-10, 610, 410]", "\"outer\": \"UB.l\"").refused(str![[]]);
}

#[test]
fn the_points_of_a_wishbone_do_not_lie_on_a_line() {
    car().with("\"outer\": [-10, 610, 410]", "\"outer\": [300, 280.5, 400]").refused(str![[]]);
}

#[test]
fn a_wishbone_has_two_different_nodes() {
    car().with("\"rear\": \"UR.l\"", "\"rear\": \"UF.l\"").refused(str![[]]);
}

#[test]
fn a_left_wheel_is_on_the_left() {
    car().with("\"wheel_centre\": [0, 700, 280]", "\"wheel_centre\": [0, -700, 280]").refused(str![[]]);
}

#[test]
fn a_contact_patch_is_on_the_side_of_its_wheel() {
    car().with("\"contact_patch\": [0, 700, 0]", "\"contact_patch\": [0, 0, 0]").refused(str![[]]);
}

#[test]
fn a_right_wheel_is_on_the_right() {
    car().with("\"mirror\": true", "\"mirror\": false").with("\"front.l\": {\n", "\"front.r\": {\n").refused(str![[]]);
}

#[test]
fn an_unsprung_mass_is_not_below_0() {
    car().with("\"unsprung\": 20", "\"unsprung\": \"-20 kg\"").refused(str![[]]);
}

#[test]
fn the_rod_of_a_spring_is_above_0() {
    car().with("\"rod\": 14", "\"rod\": 0").refused(str![[]]);
}

#[test]
fn a_spring_has_a_length() {
    car().with("\"bottom\": [10, 520, 180]", "\"bottom\": [0, 300, 560]").refused(str![[]]);
}

#[test]
fn a_tie_rod_has_a_length() {
    car().with("\"outer\": [-110, 625, 200]", "\"outer\": [-110, 270, 190]").refused(str![[]]);
}

#[test]
fn a_spring_stands_on_a_tube_of_an_arm_or_on_the_upright() {
    car().with("\"on\": [\"lower.front\", \"lower.rear\"]", "\"on\": \"lower\"").refused(str![[]]);
    car().with("\"on\": [\"lower.front\", \"lower.rear\"]", "\"on\": \"tie_rod\"").refused(str![[]]);
    car().with("\"on\": [\"lower.front\", \"lower.rear\"]", "\"on\": [\"upright\"]").refused(str![[]]);
}

#[test]
fn a_spring_stands_on_tubes_of_one_arm() {
    car()
        .with("\"on\": [\"lower.front\", \"lower.rear\"]", "\"on\": [\"lower.front\", \"upper.front\"]")
        .refused(str![[]]);
}

#[test]
fn a_tube_is_listed_once_under_a_spring() {
    car()
        .with("\"on\": [\"lower.front\", \"lower.rear\"]", "\"on\": [\"lower.front\", \"lower.front\"]")
        .refused(str![[]]);
}

#[test]
fn a_torque_is_outboard_or_inboard() {
    car().with("\"unsprung\": 20", "\"brakes\": \"on the hub\", \"drive\": \"inbord\"").refused(str![[]]);
}

#[test]
fn a_part_of_a_corner_names_nodes_and_tube_sizes_that_are_there() {
    car()
        .with("{\"front\": \"UF.l\"", "{\"front\": \"UF\"")
        .with(
            "\"outer\": [10, 640, 160], \"tube\": \"arm\"",
            "\"outer\": [10, 640, 160], \"tube\": \"arms\", \"rear_tube\": \"rear arm\"",
        )
        .with("\"inner\": \"TI.l\"", "\"inner\": \"rack\"")
        .with("\"top\": \"ST.l\"", "\"top\": \"ST.r.l\"")
        .refused(str![[]]);
}

#[test]
fn up_of_an_arm_does_not_lie_along_it() {
    car()
        .with(
            "\"outer\": [-110, 625, 200], \"tube\": \"arm\"",
            "\"outer\": [-110, 625, 200], \"tube\": \"arm\", \"up\": [0, 355, 10]",
        )
        .refused(str![[]]);
}

#[test]
fn contact_patches_that_do_not_fit_the_track_are_odd_but_no_error() {
    car().with("\"track\": {\"front\": 1400", "\"track\": {\"front\": 1300").warned(str![[]]);
}

#[test]
fn a_square_arm_that_stands_upright_without_up_is_odd_but_no_error() {
    car()
        .with(
            "\"arm\": {",
            "\"post\": {\"square\": {\"side\": 20, \"wall\": 2}, \"material\": \"E235+N\"},\n    \"arm\": {",
        )
        .with("\"TI.l\": [-110, 270, 190]", "\"TI.l\": [-110, 620, 600]")
        .with("\"outer\": [-110, 625, 200], \"tube\": \"arm\"", "\"outer\": [-110, 625, 200], \"tube\": \"post\"")
        .warned(str![[]]);
}

#[test]
fn the_share_of_an_anti_roll_bar_is_from_0_to_1() {
    car().with("\"share\": 0.4", "\"share\": 40").refused(str![[]]);
}

#[test]
fn the_right_side_of_a_bar_may_be_left_out_with_mirror_only() {
    Model::of(
        crate::support::read("models/car.json")
            .replace("\"mirror\": true", "\"mirror\": false")
            .replace(".r\"", ".l\""),
    )
    .refused(str![[]]);
}

#[test]
fn an_anti_roll_bar_needs_both_corners_of_its_axle() {
    car().with("\"anti_roll\": {\n    \"front\"", "\"anti_roll\": {\n    \"rear\"").refused(str![[]]);
}

#[test]
fn a_bearing_is_a_node_that_is_there() {
    bar("{\"bearing\": \"BB\", \"end\": [-20, 540, 110], \"foot\": [-20, 545, 190], \"on\": \"lower.rear\"}")
        .refused(str![[]]);
}

#[test]
fn the_link_of_a_bar_has_a_length() {
    bar("{\"bearing\": \"BB.l\", \"end\": [-20, 540, 110], \"foot\": [-20, 540, 110], \"on\": \"lower.rear\"}")
        .refused(str![[]]);
}

#[test]
fn the_link_of_a_bar_stands_on_an_arm_or_on_the_upright() {
    bar("{\"bearing\": \"BB.l\", \"end\": [-20, 540, 110], \"foot\": [-20, 545, 190], \"on\": \"strut\"}")
        .refused(str![[]]);
}

#[test]
fn the_link_of_a_bar_turns_it() {
    bar("{\"bearing\": \"BB.l\", \"end\": [-20, 540, 110], \"foot\": [150, 540, 120], \"on\": \"upright\"}")
        .refused(str![[]]);
}

#[test]
fn the_bearings_of_a_bar_are_at_two_places() {
    car()
        .with(
            "\"BB.l\": {\"at\": [150, 200, 120], \"on\": \"front cross\"}",
            "\"BB\": {\"at\": [150, 0, 120], \"on\": \"front cross\"}",
        )
        .with("\"bearing\": \"BB.l\"", "\"bearing\": \"BB\"")
        .refused(str![[]]);
}
