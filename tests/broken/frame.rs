//! Nodes, brackets and members.

use snapbox::str;

use super::{Model, car, stand};

/// The stand with another diagonal.
fn diagonal(keys: &str) -> Model {
    stand().with("{\"ends\": [\"A\", \"C\"], \"tube\": \"brace\"}", &format!("{{{keys}}}"))
}

#[test]
fn a_place_has_three_coordinates() {
    stand().with("[300, 400, 500]", "[300, 400]").with("[200, 0, 540]", "[200, 0, 540, 0]").refused(str![[]]);
}

#[test]
fn a_node_is_a_place_or_an_object_with_one() {
    stand().with("[600, 0, 500]", "\"600, 0, 500\"").with("[300, 400, 500]", "{\"pickup\": true}").refused(str![[]]);
}

#[test]
fn a_pickup_is_true_or_false() {
    stand().with("[300, 400, 500]", "{\"at\": [300, 400, 500], \"pickup\": 1}").refused(str![[]]);
}

#[test]
fn a_node_that_nothing_is_attached_to_is_refused() {
    stand().with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500], \"F\": [300, -400, 500]").refused(str![[]]);
}

#[test]
fn a_mount_or_a_force_alone_does_not_use_a_node() {
    stand()
        .with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500], \"F\": [300, -400, 500]")
        .with("\"D\": \"bolted pad\"", "\"D\": \"bolted pad\", \"F\": \"one bolt\"")
        .with("{\"C\": [0, 0, -1000]}", "{\"F\": [0, 0, -1000]}")
        .refused(str![[]]);
}

#[test]
fn a_node_that_carries_only_an_idle_bracket_is_refused() {
    stand()
        .with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500], \"F\": [300, -400, 500]")
        .with("\"brackets\": {", "\"brackets\": {\n    \"tag\": {\"at\": [300, -420, 500], \"on\": \"F\"},")
        .refused(str![[]]);
}

#[test]
fn two_nodes_at_one_place_are_refused() {
    stand()
        .with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500],\n    \"F\": [300.005, 400, 500.005]")
        .with("[\"C\", \"E\"]", "[\"C\", \"F\"]")
        .refused(str![[]]);
}

#[test]
fn a_node_in_the_middle_of_the_car_has_no_room_for_a_twin() {
    car().with("\"ST.l\": [0, 300, 560]", "\"ST.l\": [0, 0, 560]").refused(str![[]]);
}

#[test]
fn a_bracket_that_nothing_is_attached_to_is_odd_but_no_error() {
    stand()
        .with("\"brackets\": {", "\"brackets\": {\n    \"tag\": {\"at\": [50, 0, 530], \"on\": \"hoop\"},")
        .warned(str![[]]);
}

#[test]
fn a_bracket_stands_on_no_bracket() {
    stand().with("540], \"on\": \"hoop\"},\n    \"lug\"", "540], \"on\": \"lug\"},\n    \"lug\"").refused(str![[]]);
}

#[test]
fn a_plate_ties_tubes_and_no_nodes() {
    stand()
        .with("540], \"on\": \"hoop\"},\n    \"lug\"", "540], \"on\": [\"hoop\", \"B\"]},\n    \"lug\"")
        .refused(str![[]]);
}

#[test]
fn a_bracket_stands_on_something() {
    stand()
        .with("540], \"on\": \"hoop\"},\n    \"lug\"", "540], \"on\": []},\n    \"lug\"")
        .with("540], \"on\": \"hoop\"}\n", "540]}\n")
        .refused(str![[]]);
}

#[test]
fn a_tube_is_listed_once_in_a_plate() {
    stand()
        .with(
            "540], \"on\": \"hoop\"},\n    \"lug\"",
            "540], \"on\": [\"hoop\", \"left stay\", \"hoop\"]},\n    \"lug\"",
        )
        .refused(str![[]]);
}

#[test]
fn a_member_has_ends_or_runs_through_nodes() {
    diagonal("\"tube\": \"brace\"").refused(str![[]]);
}

#[test]
fn a_member_does_not_have_both_ends_and_through() {
    diagonal("\"ends\": [\"A\", \"C\"], \"through\": [\"A\", \"C\"], \"tube\": \"brace\"").refused(str![[]]);
}

#[test]
fn a_member_has_two_ends() {
    diagonal("\"ends\": [\"A\"], \"tube\": \"brace\"").refused(str![[]]);
    diagonal("\"ends\": [\"A\", \"E\", \"C\"], \"tube\": \"brace\"").refused(str![[]]);
}

#[test]
fn a_tube_runs_through_at_least_two_nodes() {
    diagonal("\"through\": [\"A\"], \"tube\": \"brace\"").refused(str![[]]);
}

#[test]
fn the_ends_of_a_member_are_two_nodes() {
    diagonal("\"ends\": [\"A\", \"A\"], \"tube\": \"brace\"").refused(str![[]]);
}

#[test]
fn a_tube_passes_a_node_once() {
    diagonal("\"through\": [\"A\", \"E\", \"C\", \"E\", \"D\"], \"tube\": \"brace\"").refused(str![[]]);
}

#[test]
fn a_tube_may_end_where_it_began() {
    diagonal("\"through\": [\"A\", \"C\", \"E\", \"A\"], \"tube\": \"brace\"").accepted();
}

#[test]
fn a_tube_needs_a_size() {
    diagonal("\"ends\": [\"A\", \"C\"]").refused(str![[]]);
}

#[test]
fn the_ends_of_a_tube_that_lie_on_one_another_leave_it_no_length() {
    diagonal("\"ends\": [\"A\", \"C\"], \"end_at\": [[300, 0, 250], [300, 0, 250.001]], \"tube\": \"brace\"")
        .refused(str![[]]);
}

#[test]
fn places_of_ends_are_two_each_a_place_or_null() {
    diagonal("\"ends\": [\"A\", \"C\"], \"end_at\": [[0, 0, 20]], \"tube\": \"brace\"").refused(str![[]]);
    diagonal("\"ends\": [\"A\", \"C\"], \"end_at\": [null, \"C\"], \"tube\": \"brace\"").refused(str![[]]);
    diagonal("\"ends\": [\"A\", \"C\"], \"end_at\": [null, [580, 0, 490]], \"tube\": \"brace\"").accepted();
}

#[test]
fn up_is_no_zero_vector() {
    diagonal("\"ends\": [\"A\", \"C\"], \"up\": [0, 0, 0], \"tube\": \"brace\"").refused(str![[]]);
}

#[test]
fn up_does_not_lie_along_the_tube() {
    diagonal("\"ends\": [\"A\", \"C\"], \"up\": [6, 0, 5], \"tube\": \"brace\"").refused(str![[]]);
}

#[test]
fn up_has_no_unit() {
    diagonal("\"ends\": [\"A\", \"C\"], \"up\": [0, 0, \"1 mm\"], \"tube\": \"brace\"").refused(str![[]]);
}

#[test]
fn a_joint_is_a_known_word() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": \"welded\", \"tube\": \"brace\"").refused(str![[]]);
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": \"bolted\", \"tube\": \"brace\"").refused(str![[]]);
}

#[test]
fn a_list_of_joints_has_two() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": [\"weld\"], \"tube\": \"brace\"").refused(str![[]]);
}

#[test]
fn a_joint_is_a_word_or_an_object() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": [null, 5], \"tube\": \"brace\"").refused(str![[]]);
}

#[test]
fn a_hinge_turns_about_local_y_or_z() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": {\"hinge\": \"x\"}, \"tube\": \"brace\"").refused(str![[]]);
}

#[test]
fn a_joint_written_as_an_object_says_what_it_is() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": {}, \"tube\": \"brace\"").refused(str![[]]);
}

#[test]
fn a_joint_is_a_hinge_or_has_rates() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": {\"hinge\": \"y\", \"rate\": {\"my\": 100}}, \"tube\": \"brace\"")
        .refused(str![[]]);
}

#[test]
fn a_turning_rate_of_a_joint_is_not_below_0() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": [{\"rate\": {\"my\": -100}}, {\"rate\": {\"t\": -1}}], \"tube\": \"brace\"")
        .refused(str![[]]);
}

#[test]
fn a_joint_has_no_rate_along_the_tube() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": {\"rate\": {\"n\": 100}}, \"tube\": \"brace\"").refused(str![[]]);
}

#[test]
fn a_tube_that_slides_at_both_ends_is_held_nowhere() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": \"slide\", \"tube\": \"brace\"").refused(str![[]]);
}

#[test]
fn a_bend_radius_and_a_column_length_are_above_0() {
    diagonal("\"ends\": [\"A\", \"C\"], \"bend_radius\": 0, \"column_length\": -700, \"tube\": \"brace\"")
        .refused(str![[]]);
}

#[test]
fn a_tube_shorter_than_its_diameter_is_odd_but_no_error() {
    stand()
        .with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500], \"F\": [300, 400, 520]")
        .with("\"right stay\":", "\"stub\": {\"ends\": [\"E\", \"F\"], \"tube\": \"main\"},\n    \"right stay\":")
        .warned(str![[]]);
}

#[test]
fn a_square_tube_that_stands_upright_without_up_is_odd_but_no_error() {
    stand()
        .with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500], \"F\": [310, 400, 900]")
        .with("\"right stay\":", "\"mast\": {\"ends\": [\"E\", \"F\"], \"tube\": \"brace\"},\n    \"right stay\":")
        .warned(str![[]]);
}

#[test]
fn a_round_tube_that_stands_upright_on_a_hinge_is_odd_too() {
    stand()
        .with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500], \"F\": [310, 400, 900]")
        .with("\"right stay\":", "\"mast\": {\"ends\": [\"E\", \"F\"], \"tube\": \"main\", \"joint\": {\"rate\": {\"my\": 900}}},\n    \"right stay\":")
        .warned(str![[]]);
}

#[test]
fn up_settles_which_way_an_upright_tube_stands() {
    stand()
        .with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500], \"F\": [310, 400, 900]")
        .with(
            "\"right stay\":",
            "\"mast\": {\"ends\": [\"E\", \"F\"], \"tube\": \"brace\", \"up\": [0, 1, 0]},\n    \"right stay\":",
        )
        .accepted();
}

#[test]
fn a_bend_that_misses_its_node_is_odd_but_no_error() {
    stand().with("\"bend_radius\": 40", "\"bend_radius\": 100").warned(str![[]]);
}

#[test]
fn a_member_that_is_not_its_own_mirror_image_is_odd_but_no_error() {
    car()
        .with(
            "\"front cross\":",
            "\"floor diagonal\": {\"ends\": [\"LF.l\", \"LR.r\"], \"tube\": \"rail\"},\n    \"front cross\":",
        )
        .warned(str![[]]);
}

#[test]
fn a_mistake_in_a_mirrored_entry_is_told_once() {
    car()
        .with("\"TI.l\": [-110, 270, 190]", "\"TI.l\": [-110, 270, 190], \"X.l\": [0, 100, 0]")
        .with(
            "{\"ends\": [\"LF.l\", \"LR.l\"], \"tube\": \"rail\"}",
            "{\"ends\": [\"LF.l\", \"LR.left\"], \"tube\": \"rail\"}",
        )
        .with("\"unsprung\": 20", "\"unsprung\": -20")
        .with("[-110, 625, 200]", "[-110, 270, 190]")
        .refused(str![[]]);
}

#[test]
fn a_mistake_that_only_the_twin_has_is_told_of_the_twin() {
    car()
        .with(
            "\"front cross\":",
            "\"upper rail.r\": {\"ends\": [\"UF.r\", \"UF.r\"], \"tube\": \"rail\"},\n    \"front cross\":",
        )
        .refused(str![[]]);
    car()
        .with("\"ST.l\": [0, 300, 560],", "\"ST.l\": [0, 300, 560], \"T\": [0, -300, 560],")
        .with("\"front cross\":", "\"stay\": {\"ends\": [\"T\", \"UF.r\"], \"tube\": \"rail\"},\n    \"front cross\":")
        .refused(str![[]]);
}

#[test]
fn warnings_of_a_mirrored_entry_are_told_once() {
    car()
        .with("\"TI.l\": [-110, 270, 190]", "\"TI.l\": [-110, 270, 190], \"X.l\": [150, 250, 120]")
        .with(
            "\"front cross\":",
            "\"stub.l\": {\"ends\": [\"LF.l\", \"X.l\"], \"tube\": \"rail\"},\n    \"front cross\":",
        )
        .with("\"brackets\": {", "\"brackets\": {\n    \"tag.l\": {\"at\": [0, 270, 150], \"on\": \"lower rail.l\"},")
        .warned(str![[]]);
}
