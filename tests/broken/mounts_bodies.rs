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
    stand().with("\"D\": \"bolted pad\"", "\"D\": \"bolted pads\"").refused(str![[r#"
error: frame.json:34:5: mounts.D: expected "one bolt", "bolted pad", or an object of directions such as {"z": "fixed"}, found "bolted pads"
   |
34 |     "D": "bolted pads",
   |     ^^^
   |
   = hint: did you mean "bolted pad"?

"#]]);
}

#[test]
fn the_words_of_a_body_are_not_for_the_ground() {
    stand().with("\"D\": \"bolted pad\"", "\"D\": \"rides\"").refused(str![[r#"
error: frame.json:34:5: mounts.D: expected "one bolt", "bolted pad", or an object of directions such as {"z": "fixed"}, found "rides"
   |
34 |     "D": "rides",
   |     ^^^

"#]]);
}

#[test]
fn a_mount_by_direction_names_six_motions() {
    stand().with("\"E\": {\"x\": 4000", "\"E\": {\"w\": 4000").refused(str![[r#"
error: frame.json:35:11: mounts.E.w: "w" is not a key that is known here
   |
35 |     "E": {"w": 4000, "y": "fixed", "z": "fixed"}
   |           ^^^
   |
   = hint: known here: hold, x, y, z, rx, ry, rz, bolts, note

"#]]);
}

#[test]
fn a_mount_holds_a_node_that_is_there() {
    stand().with("\"D\": \"bolted pad\"", "\"D2\": \"bolted pad\"").refused(str![[r#"
error: frame.json:34:5: mounts.D2: there is no node or bracket "D2"
   |
34 |     "D2": "bolted pad",
   |     ^^^^
   |
   = hint: did you mean "D"?

"#]]);
}

#[test]
fn a_member_is_no_place_for_a_mount() {
    stand().with("\"D\": \"bolted pad\"", "\"hoop\": \"bolted pad\"").refused(str![[r#"
error: frame.json:34:5: mounts.hoop: there is no node or bracket "hoop"
   |
34 |     "hoop": "bolted pad",
   |     ^^^^^^
   |
   = hint: "hoop" is a member: name one of its nodes, or put a bracket on it

"#]]);
}

#[test]
fn a_rate_is_not_below_0() {
    stand().with("{\"x\": 4000, \"y\"", "{\"x\": -4000, \"rz\": -5, \"y\"").refused(str![[r#"
error: frame.json:35:11: mounts.E.x: x is -4000 N/mm; it may not be below 0
   |
35 |     "E": {"x": -4000, "rz": -5, "y": "fixed", "z": "fixed"}
   |           ^^^

error: frame.json:35:23: mounts.E.rz: rz is -5 N m/rad; it may not be below 0
   |
35 |     "E": {"x": -4000, "rz": -5, "y": "fixed", "z": "fixed"}
   |                       ^^^^

2 problems in frame.json

"#]]);
}

#[test]
fn a_rate_is_a_number_or_the_word_fixed() {
    stand().with("\"y\": \"fixed\", \"z\": \"fixed\"", "\"y\": \"held\", \"z\": true, \"rx\": \"stiff\"").refused(
        str![[r#"
error: frame.json:35:22: mounts.E.y: "held" is neither a rate nor the word "fixed"
   |
35 |     "E": {"x": 4000, "y": "held", "z": true, "rx": "stiff"}
   |                      ^^^

error: frame.json:35:35: mounts.E.z: expected a rate (N/mm, or a text with its unit), found true or false
   |
35 |     "E": {"x": 4000, "y": "held", "z": true, "rx": "stiff"}
   |                                   ^^^

error: frame.json:35:46: mounts.E.rx: "stiff" is neither a rate nor the word "fixed"
   |
35 |     "E": {"x": 4000, "y": "held", "z": true, "rx": "stiff"}
   |                                              ^^^^

3 problems in frame.json

"#]],
    );
}

#[test]
fn there_is_no_default_for_mounts() {
    stand().with("\"mounts\": {\n    \"A\"", "\"supports\": {\n    \"A\"").refused(str![[r#"
error: frame.json:32:3: supports: "supports" is not a key that is known here
   |
32 |   "supports": {
   |   ^^^^^^^^^^
   |
   = hint: known here: $schema, format, title, date, notes, mirror, materials, tubes, nodes, brackets, members, mounts and 13 more

error: frame.json:1:1: "mounts" is missing
  |
1 | {
  | ^
  |
  = hint: "mounts": how the car's body holds the frame: {"C.l": "bolted pad"}

2 problems in frame.json

"#]]);
}

#[test]
fn a_mass_is_not_below_0() {
    stand().with("\"mass\": 80", "\"mass\": -80").refused(str![[r#"
error: frame.json:39:7: bodies.engine.mass: mass is -80 kg; it may not be below 0
   |
39 |       "mass": -80, "cg": [300, 0, 700], "inertia": [2, 2, 3],
   |       ^^^^^^

"#]]);
}

#[test]
fn an_inertia_is_three_numbers_none_below_0() {
    stand().with("\"inertia\": [2, 2, 3]", "\"inertia\": [2, -2, -3]").refused(str![[r#"
error: frame.json:39:55: bodies.engine.inertia[1]: inertia is -2 kg m2; it may not be below 0
   |
39 |       "mass": 80, "cg": [300, 0, 700], "inertia": [2, -2, -3],
   |                                                       ^^

error: frame.json:39:59: bodies.engine.inertia[2]: inertia is -3 kg m2; it may not be below 0
   |
39 |       "mass": 80, "cg": [300, 0, 700], "inertia": [2, -2, -3],
   |                                                           ^^

2 problems in frame.json

"#]]);
    stand().with("\"inertia\": [2, 2, 3]", "\"inertia\": 2").refused(str![[r#"
error: frame.json:39:40: bodies.engine.inertia: expected a list of 3, found a number
   |
39 |       "mass": 80, "cg": [300, 0, 700], "inertia": 2,
   |                                        ^^^^^^^^^

"#]]);
}

#[test]
fn a_body_has_a_mass_a_centre_of_gravity_and_mounts() {
    stand()
        .with("\"mass\": 80, \"cg\": [300, 0, 700], \"inertia\": [2, 2, 3],\n      \"mounts\": ", "\"mount\": ")
        .refused(str![[r#"
error: frame.json:38:15: bodies.engine: "mass" is missing
   |
38 |     "engine": {
   |               ^

error: frame.json:38:15: bodies.engine: "cg" is missing
   |
38 |     "engine": {
   |               ^
   |
   = hint: "cg": Centre of gravity

error: frame.json:39:7: bodies.engine.mount: "mount" is not a key that is known here
   |
39 |       "mount": {"ear": "one bolt", "lug": {"x": 900, "y": 900, "z": 900, "rx": 50}}
   |       ^^^^^^^
   |
   = hint: did you mean "mounts"?

3 problems in frame.json

"#]]);
}

#[test]
fn a_body_is_mounted_on_nodes_that_are_there() {
    engine("{\"ear\": \"bolted pad\", \"lgu\": \"rides\"}").refused(str![[r#"
error: frame.json:40:39: bodies.engine.mounts.lgu: there is no node or bracket "lgu"
   |
40 |       "mounts": {"ear": "bolted pad", "lgu": "rides"}
   |                                       ^^^^^
   |
   = hint: did you mean "lug"? what rides on a body, as an end of a rack, stands in "nodes" with its place, and in the body's "mounts" as "rides"

"#]]);
}

#[test]
fn a_clamp_needs_a_second_one() {
    engine("{\"ear\": \"clamp\", \"lug\": {\"x\": 900}}").refused(str![[r#"
error: frame.json:40:18: bodies.engine.mounts.ear: "clamp" is for two nodes of a body, between which a line runs; here it stands at one
   |
40 |       "mounts": {"ear": "clamp", "lug": {"x": 900}}
   |                  ^^^^^

"#]]);
}

#[test]
fn a_third_clamp_is_one_too_many() {
    engine("{\"ear\": \"clamp\", \"lug\": \"clamp\", \"E\": \"clamp\"}").refused(str![[r#"
error: frame.json:40:50: bodies.engine.mounts.E: "clamp" is for two nodes of a body, between which a line runs; here it stands at 3
   |
40 |       "mounts": {"ear": "clamp", "lug": "clamp", "E": "clamp"}
   |                                                  ^^^

"#]]);
}

#[test]
fn two_clamps_at_one_place_have_no_line_between_them() {
    engine("{\"ear\": \"clamp\", \"lug\": \"clamp\"}").with("[400, 0, 540]", "[200, 0, 540]").refused(str![[r#"
error: frame.json:40:34: bodies.engine.mounts.lug: the two clamps are at one place; the line between them has no direction
   |
40 |       "mounts": {"ear": "clamp", "lug": "clamp"}
   |                                  ^^^^^

"#]]);
}

#[test]
fn a_node_that_rides_on_a_body_carries_no_tube() {
    engine("{\"ear\": \"one bolt\", \"E\": \"rides\"}").refused(str![[r#"
error: frame.json:40:37: bodies.engine.mounts.E: "E" rides on the body, so it may carry no tube of the frame
   |
40 |       "mounts": {"ear": "one bolt", "E": "rides"}
   |                                     ^^^
   |
   = hint: "bolted pad" or "one bolt" holds a node of the frame

"#]]);
}

#[test]
fn only_one_body_takes_the_drive_torque() {
    stand()
        .with("\"mass\": 80,", "\"mass\": 80, \"takes_drive_torque\": true,")
        .with(
            "\"bodies\": {",
            "\"bodies\": {\n    \"gearbox\": {\"mass\": 30, \"cg\": [300, 0, 600], \"mounts\": {\"B\": \"bolted pad\"}, \"takes_drive_torque\": true},",
        )
        .refused(str![[r#"
error: frame.json:40:19: bodies.engine.takes_drive_torque: "engine" and "gearbox" both take the drive torque; it can go into one body only
   |
40 |       "mass": 80, "takes_drive_torque": true, "cg": [300, 0, 700], "inertia": [2, 2, 3],
   |                   ^^^^^^^^^^^^^^^^^^^^

"#]]);
}

#[test]
fn ground_and_body_do_not_hold_one_node_in_the_same_direction() {
    engine("{\"ear\": \"bolted pad\", \"D\": {\"z\": \"fixed\"}}").refused(str![[r#"
warning: nothing is attached to bracket "lug" and nothing loads it
error: frame.json:40:39: bodies.engine.mounts.D: the ground and body "engine" both hold "D" rigidly in the same direction
   |
40 |       "mounts": {"ear": "bolted pad", "D": {"z": "fixed"}}
   |                                       ^^^
   |
   = hint: let one of the two go in that direction, or give it a rate

"#]]);
}

#[test]
fn two_bodies_do_not_hold_one_node_in_the_same_direction() {
    stand()
        .with(
            "\"bodies\": {",
            "\"bodies\": {\n    \"gearbox\": {\"mass\": 30, \"cg\": [300, 0, 600], \"mounts\": {\"ear\": \"bolted pad\"}},",
        )
        .refused(str![[r#"
error: frame.json:41:18: bodies.engine.mounts.ear: body "gearbox" and body "engine" both hold "ear" rigidly in the same direction
   |
41 |       "mounts": {"ear": "one bolt", "lug": {"x": 900, "y": 900, "z": 900, "rx": 50}}
   |                  ^^^^^
   |
   = hint: let one of the two go in that direction, or give it a rate

"#]]);
}

#[test]
fn two_bolts_to_the_ground_on_one_bracket_piece_close_a_ring() {
    stand()
        .with(
            "\"brackets\": {",
            "\"brackets\": {\n    \"foot 1\": {\"at\": [580, -30, 0], \"on\": \"D\"},\n    \"foot 2\": {\"at\": [620, 30, 0], \"on\": \"D\"},",
        )
        .with("\"D\": \"bolted pad\"", "\"foot 1\": \"one bolt\", \"foot 2\": \"one bolt\"")
        .refused(str![[r#"
error: frame.json:36:27: mounts.foot 2: a closed ring of rigid ties: "foot 2" and "foot 1" are on one rigid piece and hold it twice in one direction
   |
36 |     "foot 1": "one bolt", "foot 2": "one bolt",
   |                           ^^^^^^^^
   |
   = hint: make them one bracket with "bolted pad", or give one of them a rate

"#]]);
}

#[test]
fn two_bolts_to_one_body_on_one_bracket_piece_close_a_ring() {
    stand()
        .with("\"brackets\": {", "\"brackets\": {\n    \"ear 2\": {\"at\": [200, 40, 540], \"on\": \"hoop\"},")
        .with(
            ENGINE_MOUNTS,
            "{\"ear\": \"one bolt\", \"ear 2\": \"one bolt\", \"lug\": {\"x\": 900, \"y\": 900, \"z\": 900}}",
        )
        .refused(str![[r#"
error: frame.json:41:37: bodies.engine.mounts.ear 2: a closed ring of rigid ties: "ear 2" and "ear" are on one rigid piece and hold it twice in one direction
   |
41 |       "mounts": {"ear": "one bolt", "ear 2": "one bolt", "lug": {"x": 900, "y": 900, "z": 900}}
   |                                     ^^^^^^^
   |
   = hint: make them one bracket with "bolted pad", or give one of them a rate

"#]]);
}

#[test]
fn two_brackets_that_ride_on_one_body_from_one_piece_close_a_ring() {
    stand()
        .with("\"brackets\": {", "\"brackets\": {\n    \"ear 2\": {\"at\": [200, 40, 540], \"on\": \"hoop\"},")
        .with(ENGINE_MOUNTS, "{\"ear\": \"rides\", \"ear 2\": \"rides\"}")
        .refused(str![[r#"
warning: nothing is attached to bracket "lug" and nothing loads it
error: frame.json:41:34: bodies.engine.mounts.ear 2: a closed ring of rigid ties: "ear 2" and "ear" are on one rigid piece and hold it twice in one direction
   |
41 |       "mounts": {"ear": "rides", "ear 2": "rides"}
   |                                  ^^^^^^^
   |
   = hint: make them one bracket with "bolted pad", or give one of them a rate

"#]]);
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
    engine("{\"ear\": \"bolted pad\", \"A\": \"one bolt\", \"D\": {\"z\": \"fixed\"}}").refused(str![[r#"
warning: nothing is attached to bracket "lug" and nothing loads it
error: frame.json:40:39: bodies.engine.mounts.A: the ground and body "engine" both hold "A" rigidly in the same direction
   |
40 |       "mounts": {"ear": "bolted pad", "A": "one bolt", "D": {"z": "fixed"}}
   |                                       ^^^
   |
   = hint: let one of the two go in that direction, or give it a rate

error: frame.json:40:56: bodies.engine.mounts.D: the ground and body "engine" both hold "D" rigidly in the same direction
   |
40 |       "mounts": {"ear": "bolted pad", "A": "one bolt", "D": {"z": "fixed"}}
   |                                                        ^^^
   |
   = hint: let one of the two go in that direction, or give it a rate

2 problems in frame.json

"#]]);
}

#[test]
fn a_closed_ring_in_a_mirrored_entry_is_told_once() {
    car()
        .with("\"brackets\": {", "\"brackets\": {\n    \"P.l\": {\"at\": [-150, 270, 150], \"on\": \"LR.l\"},")
        .with("\"UR.l\": \"one bolt\"", "\"UR.l\": \"one bolt\", \"P.l\": \"one bolt\"")
        .refused(str![[r#"
error: frame.json:37:25: mounts.P.l: a closed ring of rigid ties: "P.l" and "LR.l" are on one rigid piece and hold it twice in one direction
   |
37 |     "UR.l": "one bolt", "P.l": "one bolt"
   |                         ^^^^^
   |
   = hint: make them one bracket with "bolted pad", or give one of them a rate

"#]]);
}
