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
        .refused(str![[r#"
error: frame.json:41:14: vehicle: "mass" is missing
   |
41 |   "vehicle": {
   |              ^

error: frame.json:41:14: vehicle: "wheelbase" is missing
   |
41 |   "vehicle": {
   |              ^
   |
   = hint: "wheelbase": Distance between the axles

error: frame.json:41:14: vehicle: "lateral_transfer_share_front" is missing
   |
41 |   "vehicle": {
   |              ^
   |
   = hint: "lateral_transfer_share_front": The front's part of the left–right load difference in a bend, 0 to 1

error: frame.json:42:14: vehicle.track: "rear" is missing
   |
42 |     "track": {"front": 1400},
   |              ^

error: frame.json:43:11: vehicle.cg: "behind_front_axle" is missing
   |
43 |     "cg": {}, "brake_share_front": 0.6, "drive_share_front": 0,
   |           ^
   |
   = hint: "behind_front_axle": Distance behind the front axle

error: frame.json:43:11: vehicle.cg: "height" is missing
   |
43 |     "cg": {}, "brake_share_front": 0.6, "drive_share_front": 0,
   |           ^
   |
   = hint: "height": Height over the ground

6 problems in frame.json

"#]]);
}

#[test]
fn a_mass_of_the_car_is_not_below_0() {
    car().with("\"mass\": 600", "\"mass\": -600").refused(str![[r#"
error: frame.json:42:5: vehicle.mass: mass is -600 kg; it may not be below 0
   |
42 |     "mass": -600, "wheelbase": 2300, "track": {"front": 1400, "rear": 1380},
   |     ^^^^^^

"#]]);
}

#[test]
fn wheelbase_and_track_are_above_0() {
    car()
        .with("\"wheelbase\": 2300", "\"wheelbase\": 0")
        .with("{\"front\": 1400, \"rear\": 1380}", "{\"front\": -1400, \"rear\": 0}")
        .refused(str![[r#"
error: frame.json:42:18: vehicle.wheelbase: wheelbase is 0 mm; it must be above 0
   |
42 |     "mass": 600, "wheelbase": 0, "track": {"front": -1400, "rear": 0},
   |                  ^^^^^^^^^^^

error: frame.json:42:44: vehicle.track.front: front is -1400 mm; it must be above 0
   |
42 |     "mass": 600, "wheelbase": 0, "track": {"front": -1400, "rear": 0},
   |                                            ^^^^^^^

error: frame.json:42:60: vehicle.track.rear: rear is 0 mm; it must be above 0
   |
42 |     "mass": 600, "wheelbase": 0, "track": {"front": -1400, "rear": 0},
   |                                                            ^^^^^^

3 problems in frame.json

"#]]);
}

#[test]
fn the_centre_of_gravity_is_above_the_ground() {
    car().with("\"height\": 400", "\"height\": 0").refused(str![[r#"
error: frame.json:43:39: vehicle.cg.height: the centre of gravity is 0 mm over the ground; it must be above it
   |
43 |     "cg": {"behind_front_axle": 1200, "height": 0},
   |                                       ^^^^^^^^

"#]]);
}

#[test]
fn the_centre_of_gravity_is_within_the_wheelbase() {
    car().with("\"behind_front_axle\": 1200", "\"behind_front_axle\": 2301").refused(str![[r#"
error: frame.json:43:12: vehicle.cg.behind_front_axle: the centre of gravity is 2301 mm behind the front axle, outside the wheelbase of 2300 mm
   |
43 |     "cg": {"behind_front_axle": 2301, "height": 400},
   |            ^^^^^^^^^^^^^^^^^^^

"#]]);
}

#[test]
fn a_share_is_from_0_to_1() {
    car()
        .with("\"lateral_transfer_share_front\": 0.5", "\"lateral_transfer_share_front\": 1.5")
        .with("\"brake_share_front\": 0.6", "\"brake_share_front\": 60")
        .with("\"drive_share_front\": 0", "\"drive_share_front\": -0.1")
        .refused(str![[r#"
error: frame.json:44:5: vehicle.lateral_transfer_share_front: lateral_transfer_share_front is 1.5; a share is from 0 to 1
   |
44 |     "lateral_transfer_share_front": 1.5, "brake_share_front": 60, "drive_share_front": -0.1,
   |     ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^

error: frame.json:44:42: vehicle.brake_share_front: brake_share_front is 60; a share is from 0 to 1: 60 % is 0.6
   |
44 |     "lateral_transfer_share_front": 1.5, "brake_share_front": 60, "drive_share_front": -0.1,
   |                                          ^^^^^^^^^^^^^^^^^^^

error: frame.json:44:67: vehicle.drive_share_front: drive_share_front is -0.1; a share is from 0 to 1
   |
44 |     "lateral_transfer_share_front": 1.5, "brake_share_front": 60, "drive_share_front": -0.1,
   |                                                                   ^^^^^^^^^^^^^^^^^^^

3 problems in frame.json

"#]]);
}

#[test]
fn grip_is_above_0_and_a_trail_not_below() {
    car().with("\"tyre_grip\": 1.4, \"pneumatic_trail\": 20", "\"tyre_grip\": 0, \"pneumatic_trail\": -20").refused(
        str![[r#"
error: frame.json:45:5: vehicle.tyre_grip: tyre_grip is 0; it must be above 0
   |
45 |     "tyre_grip": 0, "pneumatic_trail": -20
   |     ^^^^^^^^^^^

error: frame.json:45:21: vehicle.pneumatic_trail: pneumatic_trail is -20 mm; it may not be below 0
   |
45 |     "tyre_grip": 0, "pneumatic_trail": -20
   |                     ^^^^^^^^^^^^^^^^^

2 problems in frame.json

"#]],
    );
}

/// The car with so heavy a rack (kg), in cases and with limits that let it pass.
fn with_rack_of(mass: &str) -> Model {
    car().with("\"mass\": 4,", &format!("\"mass\": {mass},")).with("\"braking\": {\"g\": {\"long\": -1.1}},", "").with(
        "\"twist\": {\"twist\": {\"axle\": [\"ST.l\", \"ST.r\"], \"moment\": 800}}",
        "\"twist\": {\"twist\": {\"axle\": [\"ST.l\", \"ST.r\"], \"moment\": 800}, \"limits\": {\"yield\": null, \"column\": null}}",
    ).with("\"limits\": {\"pickup_move\": 2, \"toe\": 0.5, \"camber\": 0.5, \"twist\": 200}", "\"limits\": {\"yield\": 0.01, \"column\": 0.01}")
}

#[test]
fn parts_heavier_than_the_whole_car_are_odd_but_no_error() {
    with_rack_of("580").warned(str![[r#"
warning: bodies, unsprung masses and tubes come to 636 kg, more than vehicle.mass of 600 kg
warning: limits.yield is 0.01: with a margin below 1 what passes is past its strength
warning: limits.column is 0.01: with a margin below 1 what passes is past its strength

"#]]);
}

#[test]
fn parts_hardly_heavier_than_the_car_are_told_in_as_many_figures_as_tell_them_apart() {
    // All else comes to 55.7212 kg.
    with_rack_of("544.3").warned(str![[r#"
warning: bodies, unsprung masses and tubes come to 600.02 kg, more than vehicle.mass of 600.00 kg
warning: limits.yield is 0.01: with a margin below 1 what passes is past its strength
warning: limits.column is 0.01: with a margin below 1 what passes is past its strength

"#]]);
    with_rack_of("544.279").warned(str![[r#"
warning: limits.yield is 0.01: with a margin below 1 what passes is past its strength
warning: limits.column is 0.01: with a margin below 1 what passes is past its strength

"#]]);
}

#[test]
fn a_case_that_brakes_needs_the_share_of_the_brakes() {
    car().with(" \"brake_share_front\": 0.6,", "").refused(str![[r#"
error: frame.json:64:17: cases.braking.g: a case that brakes needs "brake_share_front" in "vehicle"
   |
64 |     "braking": {"g": {"long": -1.1}},
   |                 ^^^
   |
   = hint: "brake_share_front": the front's part of the braking force, 0 to 1

error: frame.json:65:19: cases.reversing.g: a case that brakes needs "brake_share_front" in "vehicle"
   |
65 |     "reversing": {"g": {"long": 0.4}, "braked": ["front.l", "front.r"]},
   |                   ^^^
   |
   = hint: "brake_share_front": the front's part of the braking force, 0 to 1

2 problems in frame.json

"#]]);
}

#[test]
fn a_case_that_drives_needs_the_share_of_the_drive() {
    case("{\"g\": {\"long\": 0.3}}").with(", \"drive_share_front\": 0", "").refused(str![[r#"
error: frame.json:64:15: cases.asked.g: a case that drives needs "drive_share_front" in "vehicle"
   |
64 |     "asked": {"g": {"long": 0.3}},
   |               ^^^
   |
   = hint: "drive_share_front": the front's part of the driving force, 0 to 1

"#]]);
}

#[test]
fn a_car_that_would_roll_over_is_told_at_what() {
    case("{\"g\": {\"lat\": 2.5}}").refused(str![[r#"
error: frame.json:64:21: cases.asked.g.lat: the car would roll over at 1.74 g with this track and height of the centre of gravity
   |
64 |     "asked": {"g": {"lat": 2.5}},
   |                     ^^^^^
   |
   = hint: ask for less, or look at the track and at the height of the centre of gravity

"#]]);
}

#[test]
fn a_car_that_would_pitch_over_its_front_axle_is_told() {
    case("{\"g\": {\"long\": -3.5}}").refused(str![[r#"
error: frame.json:64:21: cases.asked.g.long: the car would pitch over: the rear axle would carry less than nothing
   |
64 |     "asked": {"g": {"long": -3.5}},
   |                     ^^^^^^
   |
   = hint: ask for less, or look at the wheelbase and at the height and place of the centre of gravity

"#]]);
}

#[test]
fn a_car_that_would_pitch_over_backwards_is_told() {
    case("{\"g\": {\"long\": 3.5}}").refused(str![[r#"
error: frame.json:64:21: cases.asked.g.long: the car would pitch over: the front axle would carry less than nothing
   |
64 |     "asked": {"g": {"long": 3.5}},
   |                     ^^^^^^
   |
   = hint: ask for less, or look at the wheelbase and at the height and place of the centre of gravity

"#]]);
}

#[test]
fn lift_that_takes_an_axle_off_the_ground_is_told() {
    case("{\"g\": {}, \"air\": {\"rear\": -4000}}").refused(str![[r#"
error: frame.json:64:32: cases.asked.air.rear: this takes the rear axle off the ground: it would carry less than nothing
   |
64 |     "asked": {"g": {}, "air": {"rear": -4000}},
   |                                ^^^^^^
   |
   = hint: downforce is positive, lift negative

"#]]);
}

#[test]
fn a_centre_of_gravity_outside_the_track_lifts_a_wheel() {
    car().with("\"height\": 400", "\"height\": 400, \"left\": 720").refused(str![[r#"
error: frame.json:43:54: vehicle.cg.left: with the centre of gravity so far to one side, wheel rear.r would carry less than nothing
   |
43 |     "cg": {"behind_front_axle": 1200, "height": 400, "left": 720},
   |                                                      ^^^^^^
   |
   = hint: left is positive, and counts from the middle of the car

"#]]);
}

#[test]
fn braking_beyond_the_grip_is_told_with_what_the_car_can_reach() {
    case("{\"g\": {\"long\": -1.5}}").refused(str![[r#"
error: frame.json:64:15: cases.asked.g: the tyres cannot give this: with tyre_grip 1.4 the car reaches about long -1.40 g, lat 0 g
   |
64 |     "asked": {"g": {"long": -1.5}},
   |               ^^^
   |
   = hint: ask for less, or say what grip the tyres have; tyre_grip may be left out

"#]]);
}

#[test]
fn a_bend_beyond_the_grip_is_told_with_what_the_car_can_reach() {
    case("{\"g\": {\"long\": -0.4, \"lat\": 1.5}}").refused(str![[r#"
error: frame.json:64:15: cases.asked.g: the tyres cannot give this: with tyre_grip 1.4 the car reaches about long -0.332 g, lat 1.25 g
   |
64 |     "asked": {"g": {"long": -0.4, "lat": 1.5}},
   |               ^^^
   |
   = hint: ask for less, or say what grip the tyres have; tyre_grip may be left out

"#]]);
}

#[test]
fn driving_beyond_the_grip_of_the_driven_wheels_is_told() {
    case("{\"g\": {\"long\": 0.9}, \"driven\": [\"rear.l\"]}").refused(str![[r#"
error: frame.json:64:15: cases.asked.g: the tyres cannot give this: with tyre_grip 1.4 the car reaches about long 0.416 g, lat 0 g
   |
64 |     "asked": {"g": {"long": 0.9}, "driven": ["rear.l"]},
   |               ^^^
   |
   = hint: ask for less, or say what grip the tyres have; tyre_grip may be left out

"#]]);
}

#[test]
fn an_axle_without_load_makes_no_side_force() {
    case("{\"g\": {\"lat\": 0.5, \"vert\": 0}}").with(" \"tyre_grip\": 1.4,", "").refused(str![[r#"
error: frame.json:64:21: cases.asked.g.lat: the car would roll over at 0 g with this track and height of the centre of gravity
   |
64 |     "asked": {"g": {"lat": 0.5, "vert": 0}},
   |                     ^^^^^
   |
   = hint: ask for less, or look at the track and at the height of the centre of gravity

"#]]);
}

#[test]
fn wheels_without_a_share_cannot_make_the_force() {
    case("{\"g\": {\"long\": 0.3}, \"driven\": [\"front.l\", \"front.r\"]}").refused(str![[r#"
error: frame.json:64:35: cases.asked.driven: "drive_share_front" of the vehicle gives the wheels that are driven no part of the force
   |
64 |     "asked": {"g": {"long": 0.3}, "driven": ["front.l", "front.r"]},
   |                                   ^^^^^^^^
   |
   = hint: list a wheel of the axle that makes the force

"#]]);
    case("{\"g\": {\"long\": -0.3}, \"braked\": []}").refused(str![[r#"
error: frame.json:64:36: cases.asked.braked: "brake_share_front" of the vehicle gives the wheels that are braked no part of the force
   |
64 |     "asked": {"g": {"long": -0.3}, "braked": []},
   |                                    ^^^^^^^^
   |
   = hint: list a wheel of the axle that makes the force

"#]]);
}

#[test]
fn friction_above_1_without_a_known_grip_is_odd_but_no_error() {
    car().with(" \"tyre_grip\": 1.4,", "").warned(str![[r#"
warning: case "braking": wheel rear.l, as the first of 2 wheels, is asked for 1.33 times its load in friction; give "tyre_grip" if its tyre can do that

"#]]);
}

#[test]
fn a_bare_force_on_a_braked_wheel_is_taken_as_braking_and_noted() {
    case("{\"g\": {\"long\": -0.3}, \"wheels\": {\"front.l\": [-500, 0, 1500]}}").warned(str![[r#"
warning: case "asked": the force given at front.l is taken as braking; for a blow say "at": "wheel_centre"

"#]]);
}

#[test]
fn drive_torque_that_no_body_takes_goes_to_the_ground_and_is_noted() {
    car()
        .with("\"drive_share_front\": 0", "\"drive_share_front\": 0.5")
        .with("\"cases\": {", "\"cases\": {\n    \"launch\": {\"g\": {\"long\": 0.3}},")
        .warned(str![[r#"
warning: case "launch": no body takes the drive torque, so that of front.l, front.r goes to the ground

"#]]);
}

#[test]
fn torque_of_wheels_that_are_not_modelled_is_left_out_with_a_warning() {
    car()
        .with("\"mass\": 4,", "\"mass\": 4, \"takes_drive_torque\": true,")
        .with("\"cases\": {", "\"cases\": {\n    \"launch\": {\"g\": {\"long\": 0.3}},")
        .warned(str![[r#"
warning: case "launch": rear.l, rear.r drive but are not modelled; their torque is not put into the body that takes it

"#]]);
}

#[test]
fn every_case_that_cannot_be_driven_is_told_in_one_run() {
    case("{\"g\": {\"lat\": 2.5}}").with("{\"g\": {\"long\": -1.1}}", "{\"g\": {\"long\": -1.5}}").refused(str![[r#"
error: frame.json:64:21: cases.asked.g.lat: the car would roll over at 1.74 g with this track and height of the centre of gravity
   |
64 |     "asked": {"g": {"lat": 2.5}},
   |                     ^^^^^
   |
   = hint: ask for less, or look at the track and at the height of the centre of gravity

error: frame.json:65:17: cases.braking.g: the tyres cannot give this: with tyre_grip 1.4 the car reaches about long -1.40 g, lat 0 g
   |
65 |     "braking": {"g": {"long": -1.5}},
   |                 ^^^
   |
   = hint: ask for less, or say what grip the tyres have; tyre_grip may be left out

2 problems in frame.json

"#]]);
}
