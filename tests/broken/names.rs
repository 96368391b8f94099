//! Names and keys: what a name may be, names that are not there, keys that are not known.

use snapbox::str;

use super::{Model, car, stand};

/// The stand with one more node of this name (as JSON writes it), held by one more tube.
fn stand_with_node(name: &str) -> Model {
    stand().with("\"E\": [300, 400, 500]", &format!("\"E\": [300, 400, 500],\n    \"{name}\": [300, 400, 900]")).with(
        "\"right stay\":",
        &format!("\"mast\": {{\"ends\": [\"E\", \"{name}\"], \"tube\": \"main\"}},\n    \"right stay\":"),
    )
}

#[test]
fn a_name_of_64_characters_is_read() {
    stand_with_node(&"ä".repeat(64)).accepted();
}

#[test]
fn a_name_of_65_characters_is_too_long() {
    stand_with_node(&"ä".repeat(65)).refused(str![[]]);
}

#[test]
fn a_name_is_not_empty() {
    stand_with_node("").refused(str![[]]);
}

#[test]
fn a_name_is_not_blank() {
    stand_with_node("   ").refused(str![[]]);
}

#[test]
fn a_name_holds_no_slash() {
    stand_with_node("front/left").refused(str![[]]);
}

#[test]
fn a_name_holds_no_control_character() {
    stand_with_node("top\\tleft").refused(str![[]]);
}

#[test]
fn a_name_holds_no_invisible_character() {
    stand_with_node("top\u{200b}left").refused(str![[]]);
}

#[test]
fn names_of_cases_tubes_materials_and_options_follow_the_same_rule() {
    stand()
        .with("\"hanging\": {", "\"/\": {")
        .with("\"thicker\": {", "\" \": {")
        .with("\"steel\": {", "\"\": {")
        .with("\"main\": {", "\"a/b\": {")
        .with("\"tube\": \"main\"", "\"tube\": \"a/b\"")
        .with("\"wall\": 2}, \"material\": \"steel\"", "\"wall\": 2}, \"material\": \"\"")
        .refused(str![[]]);
}

#[test]
fn a_member_and_a_node_may_not_share_a_name() {
    stand().with("\"diagonal\":", "\"A\":").refused(str![[]]);
}

#[test]
fn a_body_and_a_bracket_may_not_share_a_name() {
    stand()
        .with("\"engine\": {\n", "\"ear\": {\n")
        .with("{\"engine\": [0, 150, 0]}", "{\"ear\": [0, 150, 0]}")
        .refused(str![[]]);
}

#[test]
fn a_bracket_and_a_node_may_not_share_a_name() {
    stand()
        .with("\"ear\": {\"at\"", "\"A\": {\"at\"")
        .with("\"ear\": \"one bolt\"", "\"A\": {\"x\": 900, \"y\": 900, \"z\": 900}")
        .refused(str![[]]);
}

#[test]
fn a_member_on_a_node_that_is_not_there_names_the_nearest() {
    stand().with("[\"B\", \"E\"]", "[\"B\", \"eE\"]").refused(str![[]]);
}

#[test]
fn a_name_unlike_any_other_is_answered_with_all_of_them() {
    stand().with("[\"B\", \"E\"]", "[\"B\", \"gearbox\"]").refused(str![[]]);
}

#[test]
fn capitals_count() {
    stand().with("[\"B\", \"E\"]", "[\"b\", \"E\"]").refused(str![[]]);
}

#[test]
fn a_tube_size_that_is_not_there_names_the_nearest() {
    stand().with("\"tube\": \"main\"", "\"tube\": \"mian\"").refused(str![[]]);
}

#[test]
fn a_material_that_is_not_there_names_the_nearest_built_in_one() {
    stand().with("\"material\": \"E235+N\"", "\"material\": \"E235N\"").refused(str![[]]);
}

#[test]
fn a_material_unlike_any_other_is_answered_with_those_that_are_there() {
    stand().with("\"material\": \"E235+N\"", "\"material\": \"mild steel\"").refused(str![[]]);
}

#[test]
fn a_bracket_on_a_tube_that_is_not_there_is_refused() {
    stand().with("540], \"on\": \"hoop\"},\n    \"lug\"", "540], \"on\": \"hop\"},\n    \"lug\"").refused(str![[]]);
}

#[test]
fn a_bracket_on_a_spring_is_refused_because_a_spring_is_no_tube() {
    car().with("\"on\": \"front cross\"", "\"on\": \"front.l/spring\"").refused(str![[]]);
}

#[test]
fn an_unknown_key_names_the_nearest() {
    stand().with("\"bend_radius\": 40", "\"bend_radus\": 40").refused(str![[]]);
}

#[test]
fn an_unknown_key_unlike_any_other_is_answered_with_those_that_are_known() {
    stand().with("\"factor\": 1.5", "\"safety\": 1.5").refused(str![[]]);
}

#[test]
fn an_unknown_key_at_the_top_is_refused() {
    stand().with("\"format\": 1,", "\"format\": 1, \"author\": \"me\",").refused(str![[]]);
}

#[test]
fn a_mistyped_key_is_not_told_again_as_missing() {
    stand().with("\"cg\": [300", "\"gc\": [300").refused(str![[]]);
}

#[test]
fn a_missing_key_is_told_at_the_object_that_lacks_it() {
    stand().with("\"mass\": 80, ", "").with(", \"material\": \"steel\"}", "}").refused(str![[]]);
}

#[test]
fn a_key_written_with_a_capital_is_not_known() {
    stand()
        .with("\"Limits\"".to_lowercase().as_str(), "\"limits\"")
        .with("\"factor\": 1.5", "\"Factor\": 1.5")
        .refused(str![[]]);
}

#[test]
fn a_note_is_allowed_wherever_keys_are_given_and_is_a_text() {
    stand()
        .with("\"od\": 38", "\"note\": \"measured\", \"od\": 38")
        .with("\"factor\": 1.5", "\"note\": 3")
        .refused(str![[]]);
}

#[test]
fn a_force_on_a_node_that_is_not_there_is_refused() {
    stand().with("{\"C\": [0, 0, -1000]}", "{\"C2\": [0, 0, -1000]}").refused(str![[]]);
}

#[test]
fn a_force_on_a_member_is_refused() {
    stand().with("{\"C\": [0, 0, -1000]}", "{\"diagonal\": [0, 0, -1000]}").refused(str![[]]);
}

#[test]
fn a_wheel_has_one_of_four_names() {
    car()
        .with("\"braked\": [\"front.l\", \"front.r\"]", "\"braked\": [\"front.l\", \"front.right\"]")
        .refused(str![[]]);
}

#[test]
fn a_corner_has_one_of_four_names() {
    car().with("\"front.l\": {\n", "\"left front\": {\n").refused(str![[]]);
}

#[test]
fn an_anti_roll_bar_is_at_the_front_or_at_the_rear() {
    car().with("\"front\": {\n", "\"frnot\": {\n").refused(str![[]]);
}
