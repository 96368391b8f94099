//! Mechanisms in words: what moves, how, and what would stop it.

use snapbox::str;

use super::{Model, car, stand};

/// A frame of these members and mounts on a few nodes, pulled at C.
fn frame(members: &str, mounts: &str) -> Model {
    Model::of(format!(
        r#"{{
  "format": 1,
  "tubes": {{"tube": {{"round": {{"od": 30, "wall": 2}}, "material": "E235+N"}}}},
  "nodes": {{
    "A": [0, 0, 0],
    "B": [0, 0, 500],
    "C": [700, 0, 500],
    "D": [700, 0, 0]
  }},
  "members": {{
    {members}
  }},
  "mounts": {{{mounts}}},
  "cases": {{"pulled": {{"forces": {{"C": [100, 0, 0]}}}}}}
}}
"#
    ))
}

const FOUR_BAR: &str = r#""post": {"ends": ["A", "B"], "tube": "tube", "joint": "rod-end"},
    "beam": {"ends": ["B", "C"], "tube": "tube", "joint": "rod-end"},
    "other post": {"ends": ["C", "D"], "tube": "tube", "joint": "rod-end"}"#;

const WELDED: &str = r#""post": {"ends": ["A", "B"], "tube": "tube"},
    "beam": {"ends": ["B", "C"], "tube": "tube"},
    "other post": {"ends": ["C", "D"], "tube": "tube"}"#;

#[test]
fn four_rod_ended_bars_swing() {
    frame(FOUR_BAR, r#""A": "one bolt", "D": "one bolt""#).refused(str![[r#"
error: frame.json:6:5: nodes.B: the frame is a mechanism: nodes B and C can shift along x
  |
6 |     "B": [0, 0, 500],
  |     ^^^
  |
  = hint: add a brace or a mount that resists this motion, or weld a joint that is a rod-end or a hinge

error: frame.json:6:5: nodes.B: the frame is a mechanism: node B can shift along y
  |
6 |     "B": [0, 0, 500],
  |     ^^^
  |
  = hint: add a brace or a mount that resists this motion, or weld a joint that is a rod-end or a hinge

error: frame.json:7:5: nodes.C: the frame is a mechanism: node C can shift along y
  |
7 |     "C": [700, 0, 500],
  |     ^^^
  |
  = hint: add a brace or a mount that resists this motion, or weld a joint that is a rod-end or a hinge

3 problems in frame.json

"#]]);
}

#[test]
fn a_portal_on_two_bolts_turns_about_the_line_between_them() {
    frame(WELDED, r#""A": "one bolt", "D": "one bolt""#).refused(str![[r#"
error: frame.json:15:3: mounts: the frame is a mechanism: nodes A, B, C and D can turn about the line A–D
   |
15 |   "mounts": {"A": "one bolt", "D": "one bolt"},
   |   ^^^^^^^^
   |
   = hint: too few mounts hold the frame: add one, or hold a node in more directions

"#]]);
}

#[test]
fn a_frame_without_mounts_moves_in_six_ways() {
    frame(WELDED, "").refused(str![[r#"
error: frame.json:15:3: mounts: the frame is a mechanism: nodes A, B, C and D can move any way
   |
15 |   "mounts": {},
   |   ^^^^^^^^
   |
   = hint: too few mounts hold the frame: add one, or hold a node in more directions

"#]]);
}

#[test]
fn a_frame_on_one_bolt_turns_about_it_in_three_ways() {
    frame(WELDED, r#""A": "one bolt""#).refused(str![[r#"
error: frame.json:15:3: mounts: the frame is a mechanism: nodes A, B, C and D can turn any way about A
   |
15 |   "mounts": {"A": "one bolt"},
   |   ^^^^^^^^
   |
   = hint: too few mounts hold the frame: add one, or hold a node in more directions

"#]]);
}

#[test]
fn a_frame_on_rollers_shifts() {
    frame(WELDED, r#""A": {"y": "fixed", "z": "fixed", "rx": "fixed"}, "D": {"y": "fixed", "z": "fixed"}"#).refused(
        str![[r#"
error: frame.json:15:3: mounts: the frame is a mechanism: nodes A, B, C and D can shift along x
   |
15 |   "mounts": {"A": {"y": "fixed", "z": "fixed", "rx": "fixed"}, "D": {"y": "fixed", "z": "f
   |   ^^^^^^^^
   |
   = hint: too few mounts hold the frame: add one, or hold a node in more directions

"#]],
    );
}

#[test]
fn a_part_that_is_joined_to_nothing_is_told() {
    frame(
        r#""post": {"ends": ["A", "B"], "tube": "tube"},
    "loose": {"ends": ["C", "D"], "tube": "tube"}"#,
        r#""A": "bolted pad""#,
    )
    .refused(str![[r#"
error: frame.json:7:5: nodes.C: the frame is a mechanism: nodes C and D can shift along x, y and z, turn about the line B–C and turn about a line through C along y
  |
7 |     "C": [700, 0, 500],
  |     ^^^
  |
  = hint: add a brace or a mount that resists this motion, or weld a joint that is a rod-end or a hinge

"#]]);
}

#[test]
fn a_tube_on_hinges_that_line_up_swings() {
    frame(
        r#""post": {"ends": ["A", "B"], "tube": "tube"},
    "door": {"ends": ["B", "C"], "tube": "tube", "joint": [{"hinge": "z"}, "weld"]},
    "other post": {"ends": ["C", "D"], "tube": "tube"}"#,
        r#""A": "bolted pad""#,
    )
    .refused(str![[r#"
error: frame.json:7:5: nodes.C: the frame is a mechanism: nodes C and D can turn about the line A–B
  |
7 |     "C": [700, 0, 500],
  |     ^^^
  |
  = hint: add a brace or a mount that resists this motion, or weld a joint that is a rod-end or a hinge

"#]]);
}

#[test]
fn a_tube_that_slides_off_is_told() {
    frame(
        r#""post": {"ends": ["A", "B"], "tube": "tube"},
    "beam": {"ends": ["B", "C"], "tube": "tube", "joint": ["slide", "weld"]},
    "other post": {"ends": ["C", "D"], "tube": "tube"}"#,
        r#""A": "bolted pad""#,
    )
    .refused(str![[r#"
error: frame.json:7:5: nodes.C: the frame is a mechanism: nodes C and D can shift along x
  |
7 |     "C": [700, 0, 500],
  |     ^^^
  |
  = hint: add a brace or a mount that resists this motion, or weld a joint that is a rod-end or a hinge

"#]]);
}

#[test]
fn an_inner_node_of_two_tubes_in_line_that_nothing_steadies_is_told() {
    frame(
        r#""post": {"ends": ["A", "B"], "tube": "tube"},
    "other post": {"ends": ["C", "D"], "tube": "tube"},
    "left half": {"ends": ["B", "M"], "tube": "tube", "joint": "rod-end"},
    "right half": {"ends": ["M", "C"], "tube": "tube", "joint": "rod-end"}"#,
        r#""A": "bolted pad", "D": "bolted pad""#,
    )
    .with("\"D\": [700, 0, 0]", "\"D\": [700, 0, 0],\n    \"M\": [350, 0, 500]")
    .refused(str![[r#"
error: frame.json:9:5: nodes.M: the frame is a mechanism: node M can shift along y and z
  |
9 |     "M": [350, 0, 500]
  |     ^^^
  |
  = hint: add a brace or a mount that resists this motion, or weld a joint that is a rod-end or a hinge

"#]]);
}

#[test]
fn a_body_on_one_bolt_swings() {
    stand()
        .with(
            "{\"ear\": \"one bolt\", \"lug\": {\"x\": 900, \"y\": 900, \"z\": 900, \"rx\": 50}}",
            "{\"ear\": \"one bolt\"}",
        )
        .refused(str![[r#"
warning: nothing is attached to bracket "lug" and nothing loads it
error: frame.json:38:5: bodies.engine: the frame is a mechanism: body engine can turn any way about ear
   |
38 |     "engine": {
   |     ^^^^^^^^
   |
   = hint: give the body one more mount, or hold it in more directions

"#]]);
}

#[test]
fn a_body_on_two_bolts_turns_about_the_line_between_them() {
    stand()
        .with(
            "{\"ear\": \"one bolt\", \"lug\": {\"x\": 900, \"y\": 900, \"z\": 900, \"rx\": 50}}",
            "{\"ear\": \"one bolt\", \"lug\": \"one bolt\"}",
        )
        .refused(str![[r#"
error: frame.json:38:5: bodies.engine: the frame is a mechanism: body engine can turn about the line ear–lug
   |
38 |     "engine": {
   |     ^^^^^^^^
   |
   = hint: give the body one more mount, or hold it in more directions

"#]]);
}

#[test]
fn a_body_without_mounts_is_loose() {
    stand()
        .with("{\"ear\": \"one bolt\", \"lug\": {\"x\": 900, \"y\": 900, \"z\": 900, \"rx\": 50}}", "{}")
        .with("\"moments\": {\"engine\": [0, 150, 0]}", "\"moments\": {\"B\": [0, 150, 0]}")
        .refused(str![[r#"
warning: nothing is attached to bracket "ear" and nothing loads it
warning: nothing is attached to bracket "lug" and nothing loads it
error: frame.json:38:5: bodies.engine: the frame is a mechanism: body engine can move any way
   |
38 |     "engine": {
   |     ^^^^^^^^
   |
   = hint: give the body one more mount, or hold it in more directions

"#]]);
}

#[test]
fn a_bracket_on_a_tube_with_rod_ends_at_both_ends_spins_with_it() {
    stand()
        .with(
            "\"right stay\": {\"ends\": [\"C\", \"E\"], \"tube\": \"brace\"}",
            "\"right stay\": {\"ends\": [\"C\", \"E\"], \"tube\": \"brace\", \"joint\": \"rod-end\"}",
        )
        .with("\"brackets\": {", "\"brackets\": {\n    \"tab\": {\"at\": [450, 200, 540], \"on\": \"right stay\"},")
        .with("{\"C\": [0, 0, -1000]}", "{\"tab\": [0, 0, -1000]}")
        .refused(str![[r#"
error: frame.json:23:5: brackets.tab: the frame is a mechanism: node tab can turn about the line C–E
   |
23 |     "tab": {"at": [450, 200, 540], "on": "right stay"},
   |     ^^^^^
   |
   = hint: a tube with rod-ends at both ends can spin, so that nothing can stand on it: weld one end

"#]]);
}

#[test]
fn a_mount_that_is_missing_on_the_car_is_told() {
    car()
        .with("\"LR.l\": \"bolted pad\",", "\"LR.l\": {\"z\": \"fixed\"},")
        .with("\"UR.l\": \"one bolt\"", "\"UR.l\": {\"y\": \"fixed\"}")
        .refused(str![[r#"
error: frame.json:34:3: mounts: the frame is a mechanism: nodes LF.l, LF.r, LR.l, LR.r, UF.l, UF.r, UR.l, UR.r and 11 more can shift along x, turn about a line through [-120, 250, 150] along z and turn about the line LR.l–LR.r
   |
34 |   "mounts": {
   |   ^^^^^^^^
   |
   = hint: too few mounts hold the frame: add one, or hold a node in more directions

"#]]);
}

#[test]
fn a_tie_rod_that_points_at_the_steering_axis_holds_no_wheel() {
    car()
        .with("\"outer\": [-110, 625, 200]", "\"outer\": [7, 635.5, 197.5]")
        .with("\"TI.l\": [-110, 270, 190]", "\"TI.l\": [7, 235.5, 197.5]")
        .refused(str![[r#"
error: frame.json:48:5: corners.front.l: the frame is a mechanism: the upright of front.l can turn about a line through [8, 637, 185] along [0.08, 0.12, -0.99]
   |
48 |     "front.l": {
   |     ^^^^^^^^^
   |
   = hint: two arms, a tie rod and a spring hold a wheel, none of them in line with another: look at their points

"#]]);
}

#[test]
fn a_spring_along_its_arm_holds_no_wheel() {
    car()
        .with(
            "\"spring\": {\"top\": \"ST.l\", \"bottom\": [10, 520, 180]",
            "\"spring\": {\"top\": \"LR.l\", \"bottom\": [10, 520, 157]",
        )
        .refused(str![[r#"
error: frame.json:48:5: corners.front.l: the frame is a mechanism: the upright of front.l can move roughly along [0.00, 0.03, -1.00], while tubes front.l/upper.front and front.l/upper.rear can turn about the line UF.l–UR.l, while tubes front.l/lower.front, front.l/lower.rear and front.l/spring can turn about the line LF.l–LR.l
   |
48 |     "front.l": {
   |     ^^^^^^^^^
   |
   = hint: two arms, a tie rod and a spring hold a wheel, none of them in line with another: look at their points

"#]]);
}

#[test]
fn a_rack_in_one_direction_only_slides() {
    car()
        .with("\"RC.l\": \"clamp\"", "\"RC.l\": {\"x\": \"fixed\", \"z\": \"fixed\", \"rx\": \"fixed\"}")
        .refused(str![[r#"
error: frame.json:16:5: nodes.TI.l: the frame is a mechanism: nodes TI.l, TI.r and body rack can turn about the line RC.l–RC.r, while the upright of front.l can turn about a line through [8, 637, 185] along [-0.08, -0.12, 0.99], while the upright of front.r can turn about a line through [3, -630, 244] along [0.08, -0.12, -0.99]
   |
16 |     "TI.l": [-110, 270, 190]
   |     ^^^^^^
   |
   = hint: give the body one more mount, or hold it in more directions

error: frame.json:16:5: nodes.TI.l: the frame is a mechanism: nodes TI.l, TI.r and body rack can shift along y, while the upright of front.l can turn about a line through [8, 637, 185] along [0.08, 0.12, -0.99], while the upright of front.r can turn about a line through [3, -630, 244] along [0.08, -0.12, -0.99]
   |
16 |     "TI.l": [-110, 270, 190]
   |     ^^^^^^
   |
   = hint: give the body one more mount, or hold it in more directions

2 problems in frame.json

"#]]);
}

#[test]
fn a_mechanism_in_a_mirrored_entry_is_told_once() {
    car()
        .with("\"TI.l\": [-110, 270, 190]", "\"TI.l\": [-110, 270, 190], \"X.l\": [300, 250, 150]")
        .with("\"front cross\":", "\"horn.l\": {\"ends\": [\"LF.l\", \"X.l\"], \"tube\": \"rail\", \"joint\": [\"rod-end\", \"weld\"]},\n    \"front cross\":")
        .refused(str![[r#"
error: frame.json:16:31: nodes.X.l: the frame is a mechanism: node X.l can turn about a line through LF.l along z and turn about the line LF.l–LF.r
   |
16 |     "TI.l": [-110, 270, 190], "X.l": [300, 250, 150]
   |                               ^^^^^
   |
   = hint: add a brace or a mount that resists this motion, or weld a joint that is a rod-end or a hinge

"#]]);
}

#[test]
fn mechanisms_and_cases_that_cannot_be_driven_are_told_in_one_run() {
    car()
        .with("\"RC.l\": \"clamp\"", "\"RC.l\": {\"x\": \"fixed\", \"z\": \"fixed\", \"rx\": \"fixed\"}")
        .with("{\"long\": -1.1}", "{\"long\": -1.5}")
        .refused(str![[r#"
error: frame.json:16:5: nodes.TI.l: the frame is a mechanism: nodes TI.l, TI.r and body rack can turn about the line RC.l–RC.r, while the upright of front.l can turn about a line through [8, 637, 185] along [-0.08, -0.12, 0.99], while the upright of front.r can turn about a line through [3, -630, 244] along [0.08, -0.12, -0.99]
   |
16 |     "TI.l": [-110, 270, 190]
   |     ^^^^^^
   |
   = hint: give the body one more mount, or hold it in more directions

error: frame.json:16:5: nodes.TI.l: the frame is a mechanism: nodes TI.l, TI.r and body rack can shift along y, while the upright of front.l can turn about a line through [8, 637, 185] along [0.08, 0.12, -0.99], while the upright of front.r can turn about a line through [3, -630, 244] along [0.08, -0.12, -0.99]
   |
16 |     "TI.l": [-110, 270, 190]
   |     ^^^^^^
   |
   = hint: give the body one more mount, or hold it in more directions

error: frame.json:64:17: cases.braking.g: the tyres cannot give this: with tyre_grip 1.4 the car reaches about long -1.40 g, lat 0 g
   |
64 |     "braking": {"g": {"long": -1.5}},
   |                 ^^^
   |
   = hint: ask for less, or say what grip the tyres have; tyre_grip may be left out

3 problems in frame.json

"#]]);
}

#[test]
fn two_hinges_in_line_leave_a_panel_swinging_about_them() {
    frame(
        r#""post": {"ends": ["A", "B"], "tube": "tube"},
    "upper": {"ends": ["B", "C"], "tube": "tube", "joint": ["rod-end", "weld"]},
    "lower": {"ends": ["A", "D"], "tube": "tube", "joint": ["rod-end", "weld"]},
    "edge": {"ends": ["C", "D"], "tube": "tube"}"#,
        r#""A": "bolted pad""#,
    )
    .refused(str![[r#"
error: frame.json:7:5: nodes.C: the frame is a mechanism: nodes C and D can turn about the line A–B
  |
7 |     "C": [700, 0, 500],
  |     ^^^
  |
  = hint: add a brace or a mount that resists this motion, or weld a joint that is a rod-end or a hinge

"#]]);
}

#[test]
fn a_node_is_told_as_a_node_whatever_its_name_begins_with() {
    Model::of(
        r#"{
  "format": 1,
  "tubes": {"size": {"round": {"od": 38, "wall": 2}, "material": "E235+N"}},
  "nodes": {"the upright post": [0, 0, 500], "body shell": [800, 0, 500]},
  "members": {"arm": {"ends": ["the upright post", "body shell"], "tube": "size"}},
  "mounts": {"the upright post": "one bolt"},
  "cases": {"pulled": {"forces": {"body shell": [0, 0, -3]}}}
}
"#,
    )
    .refused(str![[r#"
error: frame.json:6:3: mounts: the frame is a mechanism: nodes the upright post and body shell can turn about a line through the upright post along y and turn about a line through the upright post along z
  |
6 |   "mounts": {"the upright post": "one bolt"},
  |   ^^^^^^^^
  |
  = hint: too few mounts hold the frame: add one, or hold a node in more directions

"#]]);
}
