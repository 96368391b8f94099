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
    Model::of(format!("{}\"cases\": {{}},\n  {}", &text[..start], &text[end..])).refused(str![[r#"
error: frame.json:43:3: cases: there is no load case; a frame is judged in at least one
   |
43 |   "cases": {},
   |   ^^^^^^^

"#]]);
    Model::of(format!("{}{}", &text[..start], &text[end..])).refused(str![[r#"
error: frame.json:1:1: "cases" is missing
  |
1 | {
  | ^
  |
  = hint: "cases": the load cases, at least one

"#]]);
}

#[test]
fn a_case_that_loads_nothing_is_refused() {
    loaded("{\"factor\": 2}").refused(str![[r#"
error: frame.json:44:16: cases.hanging: the case loads nothing; it needs one of g, wheels, forces, moments, line_loads, moved, twist
   |
44 |     "hanging": {"factor": 2},
   |                ^

"#]]);
    loaded("{\"forces\": {}, \"air\": {}}").refused(str![[r#"
error: frame.json:44:16: cases.hanging: the case loads nothing; it needs one of g, wheels, forces, moments, line_loads, moved, twist
   |
44 |     "hanging": {"forces": {}, "air": {}},
   |                ^

error: frame.json:44:31: cases.hanging.air: "air" needs "g": without it no wheel load is worked out
   |
44 |     "hanging": {"forces": {}, "air": {}},
   |                               ^^^^^

2 problems in frame.json

"#]]);
}

#[test]
fn acceleration_without_a_car_needs_to_know_the_wheels() {
    loaded("{\"g\": {}}").refused(str![[r#"
error: frame.json:44:17: cases.hanging.g: a case with "g" needs "vehicle" and a corner, to know the forces at the wheels
   |
44 |     "hanging": {"g": {}},
   |                 ^^^
   |
   = hint: say "wheels": "none" for a frame alone, or give the force of every wheel in "wheels"

"#]]);
}

#[test]
fn acceleration_without_a_vehicle_needs_every_modelled_wheel() {
    let text = crate::support::read("models/car.json");
    let (start, end) = (text.find("  \"vehicle\": {").unwrap(), text.find("  \"corners\": {").unwrap());
    let text = format!("{}{}", &text[..start], &text[end..]);
    let text = text.replace("\"reversing\": {\"g\": {\"long\": 0.4}, \"braked\": [\"front.l\", \"front.r\"]},", "");
    Model::of(text.replace("\"bend\": {\"g\": {\"lat\": 1.0}, \"air\": {\"front\": 100}},", "")).refused(str![[r#"
error: frame.json:58:17: cases.braking.g: a case with "g" needs "vehicle", to know the forces at the wheels
   |
58 |     "braking": {"g": {"long": -1.1}},
   |                 ^^^
   |
   = hint: say "wheels": "none" for a frame alone, or give the force of every wheel in "wheels"

error: frame.json:61:23: cases.kerb.wheels: a case with "g" needs "vehicle" unless every modelled wheel is given its force
   |
61 |     "kerb": {"g": {}, "wheels": {"front.l": {"force": [-2000, 0, 5000], "at": "wheel_centre"}}},
   |                       ^^^^^^^^

2 problems in frame.json

"#]]);
}

#[test]
fn acceleration_without_a_corner_needs_one() {
    car_without_corners("{\"g\": {\"long\": -1}}").refused(str![[r#"
error: frame.json:45:17: cases.hanging.g: a case with "g" needs a corner, to know the forces at the wheels
   |
45 |     "hanging": {"g": {"long": -1}},
   |                 ^^^
   |
   = hint: say "wheels": "none" for a frame alone, or give the force of every wheel in "wheels"

"#]]);
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
    driven("{\"g\": {}, \"wheels\": \"nune\"}").refused(str![[r#"
error: frame.json:64:26: cases.braking.wheels: expected "none", or an object of wheels such as {"front.l": [0, 0, 2000]}, found "nune"
   |
64 |     "braking": {"g": {}, "wheels": "nune"},
   |                          ^^^^^^^^
   |
   = hint: did you mean "none"?

"#]]);
    driven("{\"g\": {}, \"wheels\": \"all\"}").refused(str![[r#"
error: frame.json:64:26: cases.braking.wheels: expected "none", or an object of wheels such as {"front.l": [0, 0, 2000]}, found "all"
   |
64 |     "braking": {"g": {}, "wheels": "all"},
   |                          ^^^^^^^^

"#]]);
    driven("{\"g\": {}, \"wheels\": {\"front\": [0, 0, 1]}}").refused(str![[r#"
error: frame.json:64:37: cases.braking.wheels.front: there is no corner "front"
   |
64 |     "braking": {"g": {}, "wheels": {"front": [0, 0, 1]}},
   |                                     ^^^^^^^
   |
   = hint: did you mean "front.l"?

"#]]);
    driven("{\"g\": {}, \"wheels\": [0, 0, 1]}").refused(str![[r#"
error: frame.json:64:26: cases.braking.wheels: expected "none", or an object of wheels such as {"front.l": [0, 0, 2000]}, found a list
   |
64 |     "braking": {"g": {}, "wheels": [0, 0, 1]},
   |                          ^^^^^^^^

"#]]);
}

#[test]
fn without_wheels_nothing_brakes_drives_or_presses_down() {
    driven("{\"g\": {}, \"wheels\": \"none\", \"braked\": [\"front.l\"], \"air\": {\"front\": 100}}").refused(str![[
        r#"
error: frame.json:64:44: cases.braking.braked: "wheels": "none" leaves nothing for "braked" to act on
   |
64 |     "braking": {"g": {}, "wheels": "none", "braked": ["front.l"], "air": {"front": 100}},
   |                                            ^^^^^^^^

error: frame.json:64:67: cases.braking.air: "wheels": "none" leaves nothing for "air" to act on
   |
64 |     "braking": {"g": {}, "wheels": "none", "braked": ["front.l"], "air": {"front": 100}},
   |                                                                   ^^^^^

2 problems in frame.json

"#
    ]]);
    driven("{\"g\": {}, \"wheels\": \"none\", \"driven\": [\"rear.l\"]}").refused(str![[r#"
error: frame.json:64:44: cases.braking.driven: "wheels": "none" leaves nothing for "driven" to act on
   |
64 |     "braking": {"g": {}, "wheels": "none", "driven": ["rear.l"]},
   |                                            ^^^^^^^^

"#]]);
}

#[test]
fn a_wheel_force_is_three_numbers_or_an_object_with_them() {
    driven("{\"g\": {}, \"wheels\": {\"front.l\": [0, 1000]}}").refused(str![[r#"
error: frame.json:64:37: cases.braking.wheels.front.l: expected 3 elements, found 2
   |
64 |     "braking": {"g": {}, "wheels": {"front.l": [0, 1000]}},
   |                                     ^^^^^^^^^

"#]]);
    driven("{\"g\": {}, \"wheels\": {\"front.l\": {\"moment\": [0, 0, 1]}}}").refused(str![[r#"
error: frame.json:64:48: cases.braking.wheels.front.l: "force" is missing
   |
64 |     "braking": {"g": {}, "wheels": {"front.l": {"moment": [0, 0, 1]}}},
   |                                                ^

"#]]);
    driven("{\"g\": {}, \"wheels\": {\"front.l\": 1000}}").refused(str![[r#"
error: frame.json:64:37: cases.braking.wheels.front.l: expected [fx, fy, fz] or {"force": [fx, fy, fz]}, found a number
   |
64 |     "braking": {"g": {}, "wheels": {"front.l": 1000}},
   |                                     ^^^^^^^^^

"#]]);
}

#[test]
fn a_wheel_force_acts_at_the_patch_or_at_the_wheel_centre() {
    driven("{\"g\": {}, \"wheels\": {\"front.l\": {\"force\": [0, 0, 1000], \"at\": \"wheel centre\"}}}").refused(
        str![[r#"
error: frame.json:64:72: cases.braking.wheels.front.l.at: expected "patch" or "wheel_centre", found "wheel centre"
   |
64 |     "braking": {"g": {}, "wheels": {"front.l": {"force": [0, 0, 1000], "at": "wheel centre"}}},
   |                                                                        ^^^^
   |
   = hint: did you mean "wheel_centre"?

"#]],
    );
}

#[test]
fn a_case_is_braked_or_driven() {
    driven("{\"g\": {\"long\": -0.5}, \"braked\": [\"front.l\"], \"driven\": [\"front.r\"]}").refused(str![[r#"
error: frame.json:64:61: cases.braking.driven: a case has "braked" or "driven", not both
   |
64 |     "braking": {"g": {"long": -0.5}, "braked": ["front.l"], "driven": ["front.r"]},
   |                                                             ^^^^^^^^

"#]]);
}

#[test]
fn a_wheel_is_listed_once() {
    driven("{\"g\": {\"long\": -0.5}, \"braked\": [\"front.l\", \"front.l\"]}").refused(str![[r#"
error: frame.json:64:60: cases.braking.braked[1]: "front.l" is listed twice
   |
64 |     "braking": {"g": {"long": -0.5}, "braked": ["front.l", "front.l"]},
   |                                                            ^^^^^^^^^

"#]]);
}

#[test]
fn braked_is_a_list() {
    driven("{\"g\": {\"long\": -0.5}, \"braked\": \"front.l\"}").refused(str![[r#"
error: frame.json:64:38: cases.braking.braked: expected a list, found a text
   |
64 |     "braking": {"g": {"long": -0.5}, "braked": "front.l"},
   |                                      ^^^^^^^^

"#]]);
}

#[test]
fn downforce_needs_acceleration() {
    driven("{\"forces\": {\"ST.l\": [0, 0, -100]}, \"air\": {\"front\": 500}}").refused(str![[r#"
error: frame.json:64:51: cases.braking.air: "air" needs "g": without it no wheel load is worked out
   |
64 |     "braking": {"forces": {"ST.l": [0, 0, -100]}, "air": {"front": 500}},
   |                                                   ^^^^^

"#]]);
}

#[test]
fn acceleration_has_three_parts() {
    driven("{\"g\": {\"longitudinal\": -1}}").refused(str![[r#"
error: frame.json:64:23: cases.braking.g.longitudinal: "longitudinal" is not a key that is known here
   |
64 |     "braking": {"g": {"longitudinal": -1}},
   |                       ^^^^^^^^^^^^^^
   |
   = hint: known here: long, lat, vert, note

"#]]);
    driven("{\"g\": -1}").refused(str![[r#"
error: frame.json:64:17: cases.braking.g: expected an object with the keys long, lat, vert, note, found a number
   |
64 |     "braking": {"g": -1},
   |                 ^^^

"#]]);
}

#[test]
fn a_force_is_three_numbers() {
    loaded("{\"forces\": {\"C\": [0, -1000]}, \"moments\": {\"C\": 20}}").refused(str![[r#"
error: frame.json:44:28: cases.hanging.forces.C: expected 3 elements, found 2
   |
44 |     "hanging": {"forces": {"C": [0, -1000]}, "moments": {"C": 20}},
   |                            ^^^

error: frame.json:44:58: cases.hanging.moments.C: expected a list of 3, found a number
   |
44 |     "hanging": {"forces": {"C": [0, -1000]}, "moments": {"C": 20}},
   |                                                          ^^^

2 problems in frame.json

"#]]);
}

#[test]
fn a_moment_on_a_node_where_only_rod_ends_meet_is_refused() {
    loaded("{\"moments\": {\"E\": [0, 20, 0]}}")
        .with(
            "\"right stay\": {\"ends\": [\"C\", \"E\"], \"tube\": \"brace\"}",
            "\"right stay\": {\"ends\": [\"C\", \"E\"], \"tube\": \"brace\", \"joint\": [\"weld\", \"rod-end\"]}",
        )
        .refused(str![[r#"
error: frame.json:44:29: cases.hanging.moments.E: nothing takes a moment at "E": only rod-ends meet there
   |
44 |     "hanging": {"moments": {"E": [0, 20, 0]}},
   |                             ^^^
   |
   = hint: weld a tube to it, or load another node

"#]]);
}

#[test]
fn a_line_load_acts_on_a_tube_that_is_there() {
    loaded("{\"line_loads\": {\"hoops\": [0, 0, 1]}}").refused(str![[r#"
error: frame.json:44:32: cases.hanging.line_loads.hoops: there is no member or corner tube "hoops"
   |
44 |     "hanging": {"line_loads": {"hoops": [0, 0, 1]}},
   |                                ^^^^^^^
   |
   = hint: did you mean "hoop"?

"#]]);
    driven("{\"line_loads\": {\"front.l/lower.middle\": [0, 0, 1]}}").refused(str![[r#"
error: frame.json:64:32: cases.braking.line_loads.front.l/lower.middle: there is no member or corner tube "front.l/lower.middle"
   |
64 |     "braking": {"line_loads": {"front.l/lower.middle": [0, 0, 1]}},
   |                                ^^^^^^^^^^^^^^^^^^^^^^
   |
   = hint: there are: lower rail.l, lower rail.r, upper rail.l, upper rail.r, front post.l, front post.r, rear post.l, rear post.r, diagonal.l, diagonal.r, tower front.l, tower front.r and 15 more

"#]]);
}

#[test]
fn only_the_ground_side_of_a_mount_moves() {
    loaded("{\"moved\": {\"C\": {\"z\": 2}}}").refused(str![[r#"
error: frame.json:44:27: cases.hanging.moved.C: "C" has no mount on the ground that could be moved
   |
44 |     "hanging": {"moved": {"C": {"z": 2}}},
   |                           ^^^

"#]]);
}

#[test]
fn a_mount_moves_in_a_direction_that_it_holds_or_springs() {
    loaded("{\"moved\": {\"E\": {\"x\": 1, \"ry\": 0.5}}}").refused(str![[r#"
error: frame.json:44:41: cases.hanging.moved.E.ry: the mount at "E" leaves ry free, so that nothing can be moved there
   |
44 |     "hanging": {"moved": {"E": {"x": 1, "ry": 0.5}}},
   |                                         ^^^^

"#]]);
}

#[test]
fn a_mount_moves_by_lengths_and_angles() {
    loaded("{\"moved\": {\"D\": {\"x\": \"1 deg\", \"ry\": \"1 mm\", \"up\": 3}}}").refused(str![[r#"
error: frame.json:44:33: cases.hanging.moved.D.x: "1 deg": deg is a unit of angle; a length is in mm, cm, m, in, ft, thou
   |
44 |     "hanging": {"moved": {"D": {"x": "1 deg", "ry": "1 mm", "up": 3}}},
   |                                 ^^^

error: frame.json:44:47: cases.hanging.moved.D.ry: "1 mm": mm is a unit of length; an angle is in deg, rad
   |
44 |     "hanging": {"moved": {"D": {"x": "1 deg", "ry": "1 mm", "up": 3}}},
   |                                               ^^^^

error: frame.json:44:61: cases.hanging.moved.D.up: "up" is not a key that is known here
   |
44 |     "hanging": {"moved": {"D": {"x": "1 deg", "ry": "1 mm", "up": 3}}},
   |                                                             ^^^^
   |
   = hint: known here: x, y, z, rx, ry, rz, note

3 problems in frame.json

"#]]);
}

#[test]
fn moved_is_not_for_bodies() {
    loaded("{\"moved\": {\"engine\": {\"z\": 2}}}").refused(str![[r#"
error: frame.json:44:27: cases.hanging.moved.engine: "engine" is a body, and "moved" is for mounts on the ground
   |
44 |     "hanging": {"moved": {"engine": {"z": 2}}},
   |                           ^^^^^^^^

"#]]);
}

#[test]
fn a_twist_test_needs_two_nodes() {
    driven("{\"twist\": {\"axle\": [\"ST.l\", \"ST.l\"], \"moment\": 800}}").refused(str![[r#"
error: frame.json:64:44: cases.braking.twist.axle[1]: "ST.l" is listed twice
   |
64 |     "braking": {"twist": {"axle": ["ST.l", "ST.l"], "moment": 800}},
   |                                            ^^^^^^

"#]]);
    driven("{\"twist\": {\"axle\": [\"ST.l\"], \"moment\": 800}}").refused(str![[r#"
error: frame.json:64:27: cases.braking.twist.axle: expected 2 elements, found 1
   |
64 |     "braking": {"twist": {"axle": ["ST.l"], "moment": 800}},
   |                           ^^^^^^

"#]]);
    driven("{\"twist\": {\"axle\": [\"ST.l\", \"rack\"], \"moment\": 800}}").refused(str![[r#"
error: frame.json:64:44: cases.braking.twist.axle[1]: there is no node or bracket "rack"
   |
64 |     "braking": {"twist": {"axle": ["ST.l", "rack"], "moment": 800}},
   |                                            ^^^^^^
   |
   = hint: "rack" is a body: name a node that it holds

"#]]);
}

#[test]
fn the_nodes_of_a_twist_test_are_apart_in_y() {
    driven("{\"twist\": {\"axle\": [\"LF.l\", \"LR.l\"], \"moment\": 800}}").refused(str![[r#"
error: frame.json:64:27: cases.braking.twist.axle: the two nodes of a twist test stand at different y; these have the same
   |
64 |     "braking": {"twist": {"axle": ["LF.l", "LR.l"], "moment": 800}},
   |                           ^^^^^^

"#]]);
}

/// The jig's force is the moment over their distance, which would have no bound.
#[test]
fn the_nodes_of_a_twist_test_are_at_least_1_mm_apart_in_y() {
    driven("{\"twist\": {\"axle\": [\"LF.l\", \"LR.l\"], \"moment\": 800}}")
        .with("\"LR.l\": [-150, 250, 150]", "\"LR.l\": [-150, 250.000000001, 150]")
        .refused(str![[r#"
error: frame.json:64:27: cases.braking.twist.axle: the two nodes of a twist test stand at different y; these are 9.99989e-10 mm apart, and need at least 1 mm
   |
64 |     "braking": {"twist": {"axle": ["LF.l", "LR.l"], "moment": 800}},
   |                           ^^^^^^

"#]]);
}

#[test]
fn a_twist_test_needs_a_moment() {
    driven("{\"twist\": {\"axle\": [\"ST.l\", \"ST.r\"], \"load\": 800}}").refused(str![[r#"
error: frame.json:64:26: cases.braking.twist: "moment" is missing
   |
64 |     "braking": {"twist": {"axle": ["ST.l", "ST.r"], "load": 800}},
   |                          ^

error: frame.json:64:53: cases.braking.twist.load: "load" is not a key that is known here
   |
64 |     "braking": {"twist": {"axle": ["ST.l", "ST.r"], "load": 800}},
   |                                                     ^^^^^^
   |
   = hint: known here: axle, moment, note

2 problems in frame.json

"#]]);
}

#[test]
fn a_case_of_its_own_may_be_called_standing() {
    car().with("\"cases\": {", "\"cases\": {\n    \"standing\": {\"g\": {}, \"factor\": 1.1},").accepted();
}
