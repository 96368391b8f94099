//! Names and keys: what a name may be, names that are not there, keys that are not known.

use snapbox::str;

use super::{Model, car, stand};
use crate::support::program::Scratch;

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
    stand_with_node(&"ä".repeat(65)).refused(str![[r#"
error: frame.json:21:5: nodes.äääääääääääääääääääääääääääääääääääääääääääääääääääääääääääääääää: a name may have at most 64 characters
   |
21 |     "äääääääääääääääääääääääääääääääääääääääääääääääääääääääääääääääää": [300, 400, 900]
   |     ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^

"#]]);
}

#[test]
fn a_name_is_not_empty() {
    stand_with_node("").refused(str![[r#"
error: frame.json:21:5: nodes.: a name may not be empty or blank
   |
21 |     "": [300, 400, 900]
   |     ^^

"#]]);
}

#[test]
fn a_name_is_not_blank() {
    stand_with_node("   ").refused(str![[r#"
error: frame.json:21:5: nodes.   : a name may not be empty or blank
   |
21 |     "   ": [300, 400, 900]
   |     ^^^^^

"#]]);
}

#[test]
fn a_name_holds_no_slash() {
    stand_with_node("front/left").refused(str![[r#"
error: frame.json:21:5: nodes.front/left: a name may not hold "/"
   |
21 |     "front/left": [300, 400, 900]
   |     ^^^^^^^^^^^^

"#]]);
}

#[test]
fn a_name_holds_no_control_character() {
    stand_with_node("top\\tleft").refused(str![[r#"
error: frame.json:21:5: nodes.top�left: a name may not hold the invisible character U+0009
   |
21 |     "top\tleft": [300, 400, 900]
   |     ^^^^^^^^^^^

"#]]);
}

#[test]
fn a_name_holds_no_invisible_character() {
    stand_with_node("top\u{200b}left").refused(str![[r#"
error: frame.json:21:5: nodes.top�left: a name may not hold the invisible character U+200B
   |
21 |     "top�left": [300, 400, 900]
   |     ^^^^^^^^^^

"#]]);
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
        .refused(str![[r#"
error: frame.json:6:5: materials.: a name may not be empty or blank
  |
6 |     "": {
  |     ^^

error: frame.json:12:5: tubes.a/b: a name may not hold "/"
   |
12 |     "a/b": {"round": {"od": 38, "wall": 2}, "material": ""},
   |     ^^^^^

error: frame.json:44:5: cases./: a name may not hold "/"
   |
44 |     "/": {"forces": {"C": [0, 0, -1000]}, "moments": {"engine": [0, 150, 0]}, "factor":
   |     ^^^

error: frame.json:50:5: options. : a name may not be empty or blank
   |
50 |     " ": {"change": {
   |     ^^^

4 problems in frame.json

"#]]);
}

#[test]
fn a_member_and_a_node_may_not_share_a_name() {
    stand().with("\"diagonal\":", "\"A\":").refused(str![[r#"
error: frame.json:28:5: members.A: a node is called "A" too; nodes, brackets, members and bodies do not share names
   |
28 |     "A": {"ends": ["A", "C"], "tube": "brace"},
   |     ^^^
   |
   = hint: rename one of the two

"#]]);
}

#[test]
fn a_body_and_a_bracket_may_not_share_a_name() {
    stand()
        .with("\"engine\": {\n", "\"ear\": {\n")
        .with("{\"engine\": [0, 150, 0]}", "{\"ear\": [0, 150, 0]}")
        .refused(str![[r#"
error: frame.json:38:5: bodies.ear: a bracket is called "ear" too; nodes, brackets, members and bodies do not share names
   |
38 |     "ear": {
   |     ^^^^^
   |
   = hint: rename one of the two

"#]]);
}

#[test]
fn a_bracket_and_a_node_may_not_share_a_name() {
    stand()
        .with("\"ear\": {\"at\"", "\"A\": {\"at\"")
        .with("\"ear\": \"one bolt\"", "\"A\": {\"x\": 900, \"y\": 900, \"z\": 900}")
        .refused(str![[r#"
error: frame.json:23:5: brackets.A: a node is called "A" too; nodes, brackets, members and bodies do not share names
   |
23 |     "A": {"at": [200, 0, 540], "on": "hoop"},
   |     ^^^
   |
   = hint: rename one of the two

"#]]);
}

#[test]
fn a_member_on_a_node_that_is_not_there_names_the_nearest() {
    stand().with("[\"B\", \"E\"]", "[\"B\", \"eE\"]").refused(str![[r#"
error: frame.json:29:33: members.left stay.ends[1]: there is no node or bracket "eE"
   |
29 |     "left stay": {"ends": ["B", "eE"], "tube": "brace", "joint": ["weld", "rod-end"]},
   |                                 ^^^^
   |
   = hint: did you mean "E"?

"#]]);
}

#[test]
fn a_name_unlike_any_other_is_answered_with_all_of_them() {
    stand().with("[\"B\", \"E\"]", "[\"B\", \"gearbox\"]").refused(str![[r#"
error: frame.json:29:33: members.left stay.ends[1]: there is no node or bracket "gearbox"
   |
29 |     "left stay": {"ends": ["B", "gearbox"], "tube": "brace", "joint": ["weld", "rod-end"]},
   |                                 ^^^^^^^^^
   |
   = hint: there are: A, B, C, D, E, ear, lug

"#]]);
}

#[test]
fn capitals_count() {
    stand().with("[\"B\", \"E\"]", "[\"b\", \"E\"]").refused(str![[r#"
error: frame.json:29:28: members.left stay.ends[0]: there is no node or bracket "b"
   |
29 |     "left stay": {"ends": ["b", "E"], "tube": "brace", "joint": ["weld", "rod-end"]},
   |                            ^^^
   |
   = hint: did you mean "B"?

"#]]);
}

#[test]
fn a_tube_size_that_is_not_there_names_the_nearest() {
    stand().with("\"tube\": \"main\"", "\"tube\": \"mian\"").refused(str![[r#"
error: frame.json:27:47: members.hoop.tube: there is no tube size "mian"
   |
27 |     "hoop": {"through": ["A", "B", "C", "D"], "tube": "mian", "bend_radius": 40},
   |                                               ^^^^^^
   |
   = hint: did you mean "main"?

"#]]);
}

#[test]
fn a_material_that_is_not_there_names_the_nearest_built_in_one() {
    stand().with("\"material\": \"E235+N\"", "\"material\": \"E235N\"").refused(str![[r#"
error: frame.json:13:50: tubes.brace.material: there is no material "E235N"
   |
13 |     "brace": {"square": {"side": 25, "wall": 2}, "material": "E235N"}
   |                                                  ^^^^^^^^^^
   |
   = hint: did you mean "E235+N"? `crossbrace materials` lists the built-in ones with their strengths

"#]]);
}

#[test]
fn a_material_unlike_any_other_is_answered_with_those_that_are_there() {
    stand().with("\"material\": \"E235+N\"", "\"material\": \"mild steel\"").refused(str![[r#"
error: frame.json:13:50: tubes.brace.material: there is no material "mild steel"
   |
13 |     "brace": {"square": {"side": 25, "wall": 2}, "material": "mild steel"}
   |                                                  ^^^^^^^^^^
   |
   = hint: there are: steel, E215+N, E235+N, E235+C, E255+SR, E355+N, E355+C, S235JRH, S275J0H, S275J2H, S355J0H, S355J2H and 8 more; `crossbrace materials` lists the built-in ones with their strengths

"#]]);
}

#[test]
fn a_bracket_on_a_tube_that_is_not_there_is_refused() {
    stand().with("540], \"on\": \"hoop\"},\n    \"lug\"", "540], \"on\": \"hop\"},\n    \"lug\"").refused(str![[r#"
error: frame.json:23:34: brackets.ear.on: there is no member or corner tube "hop"
   |
23 |     "ear": {"at": [200, 0, 540], "on": "hop"},
   |                                  ^^^^
   |
   = hint: did you mean "hoop"?

"#]]);
}

#[test]
fn a_bracket_on_a_spring_is_refused_because_a_spring_is_no_tube() {
    car().with("\"on\": \"front cross\"", "\"on\": \"front.l/spring\"").refused(str![[r#"
error: frame.json:20:37: brackets.BB.l.on: there is no member or corner tube "front.l/spring"
   |
20 |     "BB.l": {"at": [150, 200, 120], "on": "front.l/spring"}
   |                                     ^^^^
   |
   = hint: there are: lower rail.l, lower rail.r, upper rail.l, upper rail.r, front post.l, front post.r, rear post.l, rear post.r, diagonal.l, diagonal.r, tower front.l, tower front.r and 15 more

"#]]);
}

#[test]
fn an_unknown_key_names_the_nearest() {
    stand().with("\"bend_radius\": 40", "\"bend_radus\": 40").refused(str![[r#"
error: frame.json:27:63: members.hoop.bend_radus: "bend_radus" is not a key that is known here
   |
27 |     "hoop": {"through": ["A", "B", "C", "D"], "tube": "main", "bend_radus": 40},
   |                                                               ^^^^^^^^^^^^
   |
   = hint: did you mean "bend_radius"?

"#]]);
}

#[test]
fn an_unknown_key_unlike_any_other_is_answered_with_those_that_are_known() {
    stand().with("\"factor\": 1.5", "\"safety\": 1.5").refused(str![[r#"
error: frame.json:44:85: cases.hanging.safety: "safety" is not a key that is known here
   |
44 | "hanging": {"forces": {"C": [0, 0, -1000]}, "moments": {"engine": [0, 150, 0]}, "safety": 1.5},
   |                                                                                 ^^^^^^^^
   |
   = hint: known here: g, wheels, braked, driven, air, forces, moments, line_loads, moved, twist, factor, limits and 1 more

"#]]);
}

#[test]
fn an_unknown_key_at_the_top_is_refused() {
    stand().with("\"format\": 1,", "\"format\": 1, \"author\": \"me\",").refused(str![[r#"
error: frame.json:2:16: author: "author" is not a key that is known here
  |
2 |   "format": 1, "author": "me",
  |                ^^^^^^^^
  |
  = hint: known here: $schema, format, title, date, notes, mirror, materials, tubes, nodes, brackets, members, mounts and 13 more

"#]]);
}

#[test]
fn a_mistyped_key_is_not_told_again_as_missing() {
    stand().with("\"cg\": [300", "\"gc\": [300").refused(str![[r#"
error: frame.json:39:19: bodies.engine.gc: "gc" is not a key that is known here
   |
39 |       "mass": 80, "gc": [300, 0, 700], "inertia": [2, 2, 3],
   |                   ^^^^
   |
   = hint: did you mean "cg"?

"#]]);
}

#[test]
fn a_missing_key_is_told_at_the_object_that_lacks_it() {
    stand().with("\"mass\": 80, ", "").with(", \"material\": \"steel\"}", "}").refused(str![[r#"
error: frame.json:12:13: tubes.main: "material" is missing
   |
12 |     "main": {"round": {"od": 38, "wall": 2}},
   |             ^
   |
   = hint: "material": Name of a material

error: frame.json:38:15: bodies.engine: "mass" is missing
   |
38 |     "engine": {
   |               ^

2 problems in frame.json

"#]]);
}

#[test]
fn a_key_written_with_a_capital_is_not_known() {
    stand().with("\"factor\": 1.5", "\"Factor\": 1.5").refused(str![[r#"
error: frame.json:44:85: cases.hanging.Factor: "Factor" is not a key that is known here
   |
44 | "hanging": {"forces": {"C": [0, 0, -1000]}, "moments": {"engine": [0, 150, 0]}, "Factor": 1.5},
   |                                                                                 ^^^^^^^^
   |
   = hint: did you mean "factor"?

"#]]);
}

#[test]
fn a_note_is_allowed_wherever_keys_are_given_and_is_a_text() {
    stand().with("\"od\": 38", "\"note\": \"measured\", \"od\": 38").with("\"factor\": 1.5", "\"note\": 3").refused(
        str![[r#"
error: frame.json:44:85: cases.hanging.note: expected a text, found a number
   |
44 | "hanging": {"forces": {"C": [0, 0, -1000]}, "moments": {"engine": [0, 150, 0]}, "note": 3},
   |                                                                                 ^^^^^^

"#]],
    );
}

#[test]
fn a_force_on_a_node_that_is_not_there_is_refused() {
    stand().with("{\"C\": [0, 0, -1000]}", "{\"C2\": [0, 0, -1000]}").refused(str![[r#"
error: frame.json:44:28: cases.hanging.forces.C2: there is no node or bracket "C2"
   |
44 |     "hanging": {"forces": {"C2": [0, 0, -1000]}, "moments": {"engine": [0, 150, 0]}, "factor": 1.5},
   |                            ^^^^
   |
   = hint: did you mean "C"?

"#]]);
}

#[test]
fn a_force_on_a_member_is_refused() {
    stand().with("{\"C\": [0, 0, -1000]}", "{\"diagonal\": [0, 0, -1000]}").refused(str![[r#"
error: frame.json:44:28: cases.hanging.forces.diagonal: there is no node or bracket "diagonal"
   |
44 |     "hanging": {"forces": {"diagonal": [0, 0, -1000]}, "moments": {"engine": [0, 150, 0]}, "factor": 1.5},
   |                            ^^^^^^^^^^
   |
   = hint: "diagonal" is a member: name one of its nodes, or put a bracket on it

"#]]);
}

#[test]
fn a_wheel_has_one_of_four_names() {
    car().with("\"braked\": [\"front.l\", \"front.r\"]", "\"braked\": [\"front.l\", \"front.right\"]").refused(str![[
        r#"
error: frame.json:65:61: cases.reversing.braked[1]: there is no corner "front.right"
   |
65 |     "reversing": {"g": {"long": 0.4}, "braked": ["front.l", "front.right"]},
   |                                                             ^^^^^^^^^^^^^
   |
   = hint: there are: front.l, front.r, rear.l, rear.r

"#
    ]]);
}

#[test]
fn a_corner_has_one_of_four_names() {
    car().with("\"front.l\": {\n", "\"left front\": {\n").refused(str![[r#"
error: frame.json:48:5: corners.left front: there is no corner "left front"
   |
48 |     "left front": {
   |     ^^^^^^^^^^^^
   |
   = hint: there are: front.l, front.r, rear.l, rear.r

"#]]);
}

#[test]
fn an_anti_roll_bar_is_at_the_front_or_at_the_rear() {
    car().with("\"front\": {\n", "\"frnot\": {\n").refused(str![[r#"
error: frame.json:58:5: anti_roll.frnot: there is no axle "frnot"
   |
58 |     "frnot": {
   |     ^^^^^^^
   |
   = hint: did you mean "front"?

"#]]);
}

#[test]
fn of_very_many_problems_the_first_hundred_are_told_and_how_many_there_are() {
    let stays: Vec<String> =
        (0..150).map(|number| format!("\"stay {number}\": {{\"ends\": [\"F\", \"E\"], \"tube\": \"main\"}}")).collect();
    let stand = stand().with("\"right stay\":", &format!("{},\n    \"right stay\":", stays.join(",\n    ")));
    let folder = Scratch::new();
    folder.write("frame.json", &stand.text);
    for options in [&["check", "frame.json"][..], &["check", "frame.json", "--json"]] {
        let ran = folder.run(options);
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
        assert_eq!(ran.stderr.lines().filter(|line| line.starts_with("error: ")).count(), 100);
        assert!(ran.stderr.ends_with("\n\nand 50 more\n\n150 problems in frame.json\n"), "{}", ran.stderr);
    }
}
