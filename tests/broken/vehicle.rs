//! The car's figures, and cases that it cannot drive.

use snapbox::str;

use super::{Model, car};

/// The car with one more case.
fn case(text: &str) -> Model {
    car().with("\"cases\": {", &format!("\"cases\": {{\n    \"asked\": {text},"))
}

#[test]
fn a_vehicle_has_its_figures() {
    car()
        .with(
            "\"mass\": 600, \"wheelbase\": 2300, \"track\": {\"front\": 1400, \"rear\": 1380},",
            "\"track\": {\"front\": 1400},",
        )
        .with(
            "\"cg\": {\"behind_front_axle\": 1200, \"height\": 400},\n    \"lateral_transfer_share_front\": 0.5,",
            "\"cg\": {},",
        )
        .refused(str![[]]);
}

#[test]
fn a_mass_of_the_car_is_not_below_0() {
    car().with("\"mass\": 600", "\"mass\": -600").refused(str![[]]);
}

#[test]
fn wheelbase_and_track_are_above_0() {
    car()
        .with("\"wheelbase\": 2300", "\"wheelbase\": 0")
        .with("{\"front\": 1400, \"rear\": 1380}", "{\"front\": -1400, \"rear\": 0}")
        .refused(str![[]]);
}

#[test]
fn the_centre_of_gravity_is_above_the_ground() {
    car().with("\"height\": 400", "\"height\": 0").refused(str![[]]);
}

#[test]
fn the_centre_of_gravity_is_within_the_wheelbase() {
    car().with("\"behind_front_axle\": 1200", "\"behind_front_axle\": 2301").refused(str![[]]);
}

#[test]
fn a_share_is_from_0_to_1() {
    car()
        .with("\"lateral_transfer_share_front\": 0.5", "\"lateral_transfer_share_front\": 1.5")
        .with("\"brake_share_front\": 0.6", "\"brake_share_front\": 60")
        .with("\"drive_share_front\": 0", "\"drive_share_front\": -0.1")
        .refused(str![[]]);
}

#[test]
fn grip_is_above_0_and_a_trail_not_below() {
    car()
        .with("\"tyre_grip\": 1.4, \"pneumatic_trail\": 20", "\"tyre_grip\": 0, \"pneumatic_trail\": -20")
        .refused(str![[]]);
}

#[test]
fn parts_heavier_than_the_whole_car_are_odd_but_no_error() {
    car().with("\"mass\": 4,", "\"mass\": 580,").with("\"braking\": {\"g\": {\"long\": -1.1}},", "").with(
        "\"twist\": {\"twist\": {\"axle\": [\"ST.l\", \"ST.r\"], \"moment\": 800}}",
        "\"twist\": {\"twist\": {\"axle\": [\"ST.l\", \"ST.r\"], \"moment\": 800}, \"limits\": {\"yield\": null, \"column\": null}}",
    ).with("\"limits\": {\"pickup_move\": 2, \"toe\": 0.5, \"camber\": 0.5, \"twist\": 200}", "\"limits\": {\"yield\": 0.01, \"column\": 0.01}").warned(str![[]]);
}

#[test]
fn a_case_that_brakes_needs_the_share_of_the_brakes() {
    car().with(" \"brake_share_front\": 0.6,", "").refused(str![[]]);
}

#[test]
fn a_case_that_drives_needs_the_share_of_the_drive() {
    case("{\"g\": {\"long\": 0.3}}").with(", \"drive_share_front\": 0", "").refused(str![[]]);
}

#[test]
fn a_car_that_would_roll_over_is_told_at_what() {
    case("{\"g\": {\"lat\": 2.5}}").refused(str![[]]);
}

#[test]
fn a_car_that_would_pitch_over_its_front_axle_is_told() {
    case("{\"g\": {\"long\": -3.5}}").refused(str![[]]);
}

#[test]
fn a_car_that_would_pitch_over_backwards_is_told() {
    case("{\"g\": {\"long\": 3.5}}").refused(str![[]]);
}

#[test]
fn lift_that_takes_an_axle_off_the_ground_is_told() {
    case("{\"g\": {}, \"air\": {\"rear\": -4000}}").refused(str![[]]);
}

#[test]
fn a_centre_of_gravity_outside_the_track_lifts_a_wheel() {
    car().with("\"height\": 400", "\"height\": 400, \"left\": 720").refused(str![[]]);
}

#[test]
fn braking_beyond_the_grip_is_told_with_what_the_car_can_reach() {
    case("{\"g\": {\"long\": -1.5}}").refused(str![[]]);
}

#[test]
fn a_bend_beyond_the_grip_is_told_with_what_the_car_can_reach() {
    case("{\"g\": {\"long\": -0.4, \"lat\": 1.5}}").refused(str![[]]);
}

#[test]
fn driving_beyond_the_grip_of_the_driven_wheels_is_told() {
    case("{\"g\": {\"long\": 0.9}, \"driven\": [\"rear.l\"]}").refused(str![[]]);
}

#[test]
fn an_axle_without_load_makes_no_side_force() {
    case("{\"g\": {\"lat\": 0.5, \"vert\": 0}}").with(" \"tyre_grip\": 1.4,", "").refused(str![[]]);
}

#[test]
fn wheels_without_a_share_cannot_make_the_force() {
    case("{\"g\": {\"long\": 0.3}, \"driven\": [\"front.l\", \"front.r\"]}").refused(str![[]]);
    case("{\"g\": {\"long\": -0.3}, \"braked\": []}").refused(str![[]]);
}

#[test]
fn friction_above_1_without_a_known_grip_is_odd_but_no_error() {
    car().with(" \"tyre_grip\": 1.4,", "").warned(str![[]]);
}

#[test]
fn a_bare_force_on_a_braked_wheel_is_taken_as_braking_and_noted() {
    case("{\"g\": {\"long\": -0.3}, \"wheels\": {\"front.l\": [-500, 0, 1500]}}").warned(str![[]]);
}

#[test]
fn drive_torque_that_no_body_takes_goes_to_the_ground_and_is_noted() {
    car()
        .with("\"drive_share_front\": 0", "\"drive_share_front\": 0.5")
        .with("\"cases\": {", "\"cases\": {\n    \"launch\": {\"g\": {\"long\": 0.3}},")
        .warned(str![[]]);
}

#[test]
fn torque_of_wheels_that_are_not_modelled_is_left_out_with_a_warning() {
    car()
        .with("\"mass\": 4,", "\"mass\": 4, \"takes_drive_torque\": true,")
        .with("\"cases\": {", "\"cases\": {\n    \"launch\": {\"g\": {\"long\": 0.3}},")
        .warned(str![[]]);
}

#[test]
fn every_case_that_cannot_be_driven_is_told_in_one_run() {
    case("{\"g\": {\"lat\": 2.5}}").with("{\"g\": {\"long\": -1.1}}", "{\"g\": {\"long\": -1.5}}").refused(str![[]]);
}
