//! Limits: of the file, and of a case.

use snapbox::str;

use super::{Model, car, stand};

const LIMITS: &str = "\"limits\": {\"pickup_move\": 2, \"toe\": 0.5, \"camber\": 0.5, \"twist\": 200}";

fn limits(keys: &str) -> Model {
    car().with(LIMITS, &format!("\"limits\": {{{keys}}}"))
}

#[test]
fn a_margin_is_above_0() {
    limits("\"yield\": 0, \"column\": -1.5, \"buckling\": 0").refused(str![[]]);
}

#[test]
fn a_limit_is_not_below_0() {
    limits("\"pickup_move\": -1, \"toe\": -0.1, \"camber\": -0.1, \"frequency\": -20, \"twist\": -5, \"fatigue\": -3")
        .refused(str![[]]);
}

#[test]
fn a_limit_of_0_is_allowed_and_fails_whatever_moves() {
    let result = super::result(&limits("\"pickup_move\": 0, \"toe\": 0"));
    let failing: Vec<&str> =
        result["verdict"]["failing"].as_array().unwrap().iter().filter_map(|one| one["check"].as_str()).collect();
    assert!(failing.contains(&"pickup_move") && failing.contains(&"toe"), "{failing:?}");
}

#[test]
fn a_check_without_a_limit_to_set_is_no_limit() {
    limits("\"wall\": 1").refused(str![[]]);
}

#[test]
fn a_limit_that_is_not_there_names_the_nearest() {
    limits("\"pickup_moves\": 1").refused(str![[]]);
}

#[test]
fn a_margin_is_a_number_without_unit() {
    limits("\"yield\": \"150 %\"").refused(str![[]]);
}

#[test]
fn a_limit_of_the_file_is_not_null() {
    limits("\"toe\": null").refused(str![[]]);
}

#[test]
fn a_limit_of_a_case_may_be_null() {
    car()
        .with("{\"long\": -1.1}", "{\"long\": -1.1}, \"limits\": {\"toe\": null, \"yield\": null, \"twist\": null}")
        .accepted();
}

#[test]
fn frequency_and_fatigue_are_no_limits_of_a_case() {
    stand().with("\"limits\": {\"yield\": 1.2}", "\"limits\": {\"frequency\": 30, \"fatigue\": 2}").refused(str![[]]);
}

#[test]
fn the_limits_of_a_case_have_the_same_ranges() {
    stand()
        .with(
            "\"limits\": {\"yield\": 1.2}",
            "\"limits\": {\"yield\": -1, \"column\": 0, \"buckling\": 0, \"pickup_move\": -1, \"toe\": -1, \"camber\": -1, \"twist\": -1}",
        )
        .refused(str![[]]);
}
