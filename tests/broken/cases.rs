//! Load cases.

use snapbox::str;

use super::{Model, car, stand};

/// The stand with this as its first case.
fn loaded(case: &str) -> Model {
    stand().with("{\"forces\": {\"C\": [0, 0, -1000]}, \"moments\": {\"engine\": [0, 150, 0]}, \"factor\": 1.5}", case)
}

/// The car with this as its first case.
fn driven(case: &str) -> Model {
    car().with("{\"g\": {\"long\": -1.1}}", case)
}

#[test]
fn a_frame_is_judged_for_at_least_one_case() {
    let text = crate::support::read("models/stand.json");
    let (start, end) = (text.find("\"cases\": {").unwrap(), text.find("\"limits\": {\"yield\": 1.5").unwrap());
    Model::of(format!("{}\"cases\": {{}},\n  {}", &text[..start], &text[end..])).refused(str![[]]);
    Model::of(format!("{}{}", &text[..start], &text[end..])).refused(str![[]]);
}

#[test]
fn a_case_that_loads_nothing_is_refused() {
    loaded("{\"factor\": 2}").refused(str![[]]);
    loaded("{\"forces\": {}, \"air\": {}}").refused(str![[]]);
}

#[test]
fn acceleration_without_a_car_needs_to_know_the_wheels() {
    loaded("{\"g\": {}}").refused(str![[]]);
}

#[test]
fn acceleration_without_a_vehicle_needs_every_modelled_wheel() {
    let text = crate::support::read("models/car.json");
    let (start, end) = (text.find("  \"vehicle\": {").unwrap(), text.find("  \"corners\": {").unwrap());
    let text = format!("{}{}", &text[..start], &text[end..]);
    let text = text.replace("\"reversing\": {\"g\": {\"long\": 0.4}, \"braked\": [\"front.l\", \"front.r\"]},", "");
    Model::of(text.replace("\"bend\": {\"g\": {\"lat\": 1.0}, \"air\": {\"front\": 100}},", "")).refused(str![[]]);
}

#[test]
fn acceleration_without_a_corner_needs_one() {
    car_without_corners("{\"g\": {\"long\": -1}}").refused(str![[]]);
}

/// A vehicle, and a frame without corners.
fn car_without_corners(case: &str) -> Model {
    loaded(case).with(
        "\"bodies\": {",
        "\"vehicle\": {\"mass\": 600, \"wheelbase\": 2300, \"track\": {\"front\": 1400, \"rear\": 1380}, \"cg\": {\"behind_front_axle\": 1200, \"height\": 400}, \"lateral_transfer_share_front\": 0.5},\n  \"bodies\": {",
    )
}

#[test]
fn wheels_are_none_or_by_name() {
    driven("{\"g\": {}, \"wheels\": \"nune\"}").refused(str![[]]);
    driven("{\"g\": {}, \"wheels\": \"all\"}").refused(str![[]]);
    driven("{\"g\": {}, \"wheels\": {\"front\": [0, 0, 1]}}").refused(str![[]]);
    driven("{\"g\": {}, \"wheels\": [0, 0, 1]}").refused(str![[]]);
}

#[test]
fn without_wheels_nothing_brakes_drives_or_presses_down() {
    driven("{\"g\": {}, \"wheels\": \"none\", \"braked\": [\"front.l\"], \"air\": {\"front\": 100}}").refused(str![[]]);
    driven("{\"g\": {}, \"wheels\": \"none\", \"driven\": [\"rear.l\"]}").refused(str![[]]);
}

#[test]
fn a_wheel_force_is_three_numbers_or_an_object_with_them() {
    driven("{\"g\": {}, \"wheels\": {\"front.l\": [0, 1000]}}").refused(str![[]]);
    driven("{\"g\": {}, \"wheels\": {\"front.l\": {\"moment\": [0, 0, 1]}}}").refused(str![[]]);
    driven("{\"g\": {}, \"wheels\": {\"front.l\": 1000}}").refused(str![[]]);
}

#[test]
fn a_wheel_force_acts_at_the_patch_or_at_the_wheel_centre() {
    driven("{\"g\": {}, \"wheels\": {\"front.l\": {\"force\": [0, 0, 1000], \"at\": \"wheel centre\"}}}")
        .refused(str![[]]);
}

#[test]
fn a_case_is_braked_or_driven() {
    driven("{\"g\": {\"long\": -0.5}, \"braked\": [\"front.l\"], \"driven\": [\"front.r\"]}").refused(str![[]]);
}

#[test]
fn a_wheel_is_listed_once() {
    driven("{\"g\": {\"long\": -0.5}, \"braked\": [\"front.l\", \"front.l\"]}").refused(str![[]]);
}

#[test]
fn braked_is_a_list() {
    driven("{\"g\": {\"long\": -0.5}, \"braked\": \"front.l\"}").refused(str![[]]);
}

#[test]
fn downforce_needs_acceleration() {
    driven("{\"forces\": {\"ST.l\": [0, 0, -100]}, \"air\": {\"front\": 500}}").refused(str![[]]);
}

#[test]
fn acceleration_has_three_parts() {
    driven("{\"g\": {\"longitudinal\": -1}}").refused(str![[]]);
    driven("{\"g\": -1}").refused(str![[]]);
}

#[test]
fn a_force_is_three_numbers() {
    loaded("{\"forces\": {\"C\": [0, -1000]}, \"moments\": {\"C\": 20}}").refused(str![[]]);
}

#[test]
fn a_moment_on_a_node_where_only_rod_ends_meet_is_refused() {
    loaded("{\"moments\": {\"E\": [0, 20, 0]}}")
        .with(
            "\"right stay\": {\"ends\": [\"C\", \"E\"], \"tube\": \"brace\"}",
            "\"right stay\": {\"ends\": [\"C\", \"E\"], \"tube\": \"brace\", \"joint\": [\"weld\", \"rod-end\"]}",
        )
        .refused(str![[]]);
}

#[test]
fn a_line_load_acts_on_a_tube_that_is_there() {
    loaded("{\"line_loads\": {\"hoops\": [0, 0, 1]}}").refused(str![[]]);
    driven("{\"line_loads\": {\"front.l/lower.middle\": [0, 0, 1]}}").refused(str![[]]);
}

#[test]
fn only_the_ground_side_of_a_mount_moves() {
    loaded("{\"moved\": {\"C\": {\"z\": 2}}}").refused(str![[]]);
}

#[test]
fn a_mount_moves_in_a_direction_that_it_holds_or_springs() {
    loaded("{\"moved\": {\"E\": {\"x\": 1, \"ry\": 0.5}}}").refused(str![[]]);
}

#[test]
fn a_mount_moves_by_lengths_and_angles() {
    loaded("{\"moved\": {\"D\": {\"x\": \"1 deg\", \"ry\": \"1 mm\", \"up\": 3}}}").refused(str![[]]);
}

#[test]
fn moved_is_not_for_bodies() {
    loaded("{\"moved\": {\"engine\": {\"z\": 2}}}").refused(str![[]]);
}

#[test]
fn a_twist_test_needs_two_nodes() {
    driven("{\"twist\": {\"axle\": [\"ST.l\", \"ST.l\"], \"moment\": 800}}").refused(str![[]]);
    driven("{\"twist\": {\"axle\": [\"ST.l\"], \"moment\": 800}}").refused(str![[]]);
    driven("{\"twist\": {\"axle\": [\"ST.l\", \"rack\"], \"moment\": 800}}").refused(str![[]]);
}

#[test]
fn the_nodes_of_a_twist_test_are_apart_in_y() {
    driven("{\"twist\": {\"axle\": [\"LF.l\", \"LR.l\"], \"moment\": 800}}").refused(str![[]]);
}

#[test]
fn a_twist_test_needs_a_moment() {
    driven("{\"twist\": {\"axle\": [\"ST.l\", \"ST.r\"], \"load\": 800}}").refused(str![[]]);
}

#[test]
fn a_case_of_its_own_may_be_called_standing() {
    car().with("\"cases\": {", "\"cases\": {\n    \"standing\": {\"g\": {}, \"factor\": 1.1},").accepted();
}
