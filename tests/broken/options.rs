//! Options, and keys that a later version reads.

use snapbox::str;

use super::{Model, car, stand};

/// The stand whose option makes this change.
fn change(text: &str) -> Model {
    stand().with(
        "{\"change\": {\n      \"tubes\": {\"brace\": {\"square\": {\"wall\": 3}}}\n    }}",
        &format!("{{\"change\": {text}}}"),
    )
}

#[test]
fn an_option_has_a_change() {
    stand().with("\"change\": {\n", "\"chagne\": {\n").refused(str![[]]);
    stand()
        .with("{\"change\": {\n      \"tubes\": {\"brace\": {\"square\": {\"wall\": 3}}}\n    }}", "{}")
        .refused(str![[]]);
}

#[test]
fn a_change_is_an_object() {
    change("[{\"op\": \"remove\", \"path\": \"/members/diagonal\"}]").refused(str![[]]);
}

#[test]
fn a_change_may_not_touch_options() {
    change("{\"limits\": {\"yield\": 2}, \"options\": {\"thicker\": null}}").refused(str![[]]);
}

#[test]
fn a_mistake_in_a_change_points_at_its_text_and_names_the_option() {
    change("{\"tubes\": {\"brace\": {\"square\": {\"wall\": 13}}}}").refused(str![[]]);
}

#[test]
fn a_mistyped_key_in_a_change_is_refused() {
    change("{\"members\": {\"diagonal\": {\"tubes\": \"main\"}}}").refused(str![[]]);
}

#[test]
fn a_mistyped_name_in_a_change_that_should_be_merged_lacks_everything_else() {
    change("{\"members\": {\"diagnal\": {\"tube\": \"main\"}}}").refused(str![[]]);
}

#[test]
fn a_wrong_type_in_a_change_is_refused() {
    change("{\"nodes\": {\"E\": [\"300\", 400]}, \"cases\": null}").refused(str![[]]);
}

#[test]
fn a_change_that_takes_out_what_is_still_used_points_at_the_user() {
    change("{\"nodes\": {\"E\": null}}").refused(str![[]]);
}

#[test]
fn a_change_that_leaves_a_node_alone_is_refused() {
    change("{\"members\": {\"left stay\": null, \"right stay\": null}}").refused(str![[]]);
}

#[test]
fn a_new_section_needs_the_old_one_written_as_null() {
    change("{\"tubes\": {\"brace\": {\"round\": {\"od\": 25, \"wall\": 2}}}}").refused(str![[]]);
}

#[test]
fn through_needs_the_old_ends_written_as_null() {
    change("{\"members\": {\"diagonal\": {\"through\": [\"A\", \"E\", \"C\"]}}}").refused(str![[]]);
}

#[test]
fn ends_need_the_old_through_written_as_null() {
    change("{\"members\": {\"hoop\": {\"ends\": [\"A\", \"D\"]}}}").refused(str![[]]);
}

#[test]
fn a_hinge_needs_the_old_rate_written_as_null() {
    change("{\"members\": {\"diagonal\": {\"joint\": {\"hinge\": \"y\"}}}}")
        .with(
            "\"diagonal\": {\"ends\": [\"A\", \"C\"],",
            "\"diagonal\": {\"ends\": [\"A\", \"C\"], \"joint\": {\"rate\": {\"my\": 200}},",
        )
        .refused(str![[]]);
}

#[test]
fn what_is_wrong_in_the_file_itself_is_not_told_again_for_each_option() {
    stand().with("\"mass\": 80", "\"mass\": -80").refused(str![[]]);
}

#[test]
fn every_option_is_validated_whether_asked_for_or_not() {
    stand()
        .with(
            "\"options\": {",
            "\"options\": {\n    \"lighter\": {\"change\": {\"tubes\": {\"main\": {\"round\": {\"wall\": -1}}}}},",
        )
        .with("\"wall\": 3", "\"wall\": \"3\"")
        .refused(str![[]]);
}

#[test]
fn a_mechanism_in_an_option_is_told_only_when_the_option_is_asked_for() {
    let loose = "{\"mounts\": {\"D\": null, \"A\": \"one bolt\", \"E\": {\"x\": null, \"z\": null}}}";
    change(loose).accepted();
    change(loose).option("thicker").refused(str![[]]);
}

#[test]
fn an_option_that_is_not_there_names_the_nearest() {
    stand().option("thiker").refused(str![[]]);
}

#[test]
fn options_that_are_sound_alone_may_not_go_together() {
    stand()
        .with(
            "\"options\": {",
            "\"options\": {\n    \"no node\": {\"change\": {\"members\": {\"diagonal\": null}, \"bodies\": null, \"cases\": {\"hanging\": {\"moments\": null}}}},\n    \"on it\": {\"change\": {\"cases\": {\"pulled\": {\"line_loads\": {\"diagonal\": [0, 0, 1]}}}}},",
        )
        .option("no node")
        .option("on it")
        .refused(str![[]]);
}

#[test]
fn a_key_of_a_later_version_is_refused_and_never_ignored() {
    stand()
        .with(
            "\"format\": 1,",
            "\"format\": 1,\n  \"sizing\": {\"groups\": {\"rails\": [\"hoop\"]}, \"stock\": [\"main\"]},\n  \"bracing\": {\"tube\": \"brace\", \"between\": [[\"A\", \"E\"]]},\n  \"adjusters\": {\"shim\": {\"points\": [\"E\"], \"along\": [0, 1, 0], \"at\": [-6, 0, 6]}},\n  \"duty\": {\"events\": {\"lift\": {\"from\": \"weight\", \"to\": \"hanging\", \"count\": 4000}}},",
        )
        .refused(str![[]]);
}

#[test]
fn a_strut_is_of_a_later_version_and_that_alone_is_told() {
    car().with("\"kind\": \"double wishbone\"", "\"kind\": \"strut\", \"strut\": {}").refused(str![[]]);
}

#[test]
fn a_trailing_arm_is_of_a_later_version() {
    car().with("\"kind\": \"double wishbone\"", "\"kind\": \"trailing arm\"").refused(str![[]]);
}

#[test]
fn a_corner_of_links_is_of_a_later_version() {
    car().with("\"kind\": \"double wishbone\"", "\"kind\": \"links\"").refused(str![[]]);
}
