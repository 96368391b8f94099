//! Options, and what a search may choose from.

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
    stand().with("\"change\": {\n", "\"chagne\": {\n").refused(str![[r#"
error: frame.json:50:17: options.thicker.chagne: "chagne" is not a key that is known here
   |
50 |     "thicker": {"chagne": {
   |                 ^^^^^^^^
   |
   = hint: did you mean "change"?

"#]]);
    stand().with("{\"change\": {\n      \"tubes\": {\"brace\": {\"square\": {\"wall\": 3}}}\n    }}", "{}").refused(
        str![[r#"
error: frame.json:50:16: options.thicker: "change" is missing
   |
50 |     "thicker": {}
   |                ^
   |
   = hint: "change": A JSON Merge Patch (RFC 7396) on this file as written, before the mirror

"#]],
    );
}

#[test]
fn a_change_is_an_object() {
    change("[{\"op\": \"remove\", \"path\": \"/members/diagonal\"}]").refused(str![[r#"
error: frame.json:50:17: options.thicker.change: expected an object with the keys to change, found a list
   |
50 |     "thicker": {"change": [{"op": "remove", "path": "/members/diagonal"}]}
   |                 ^^^^^^^^

"#]]);
}

#[test]
fn a_change_may_not_touch_options() {
    change("{\"limits\": {\"yield\": 2}, \"options\": {\"thicker\": null}}").refused(str![[r#"
error: frame.json:50:52: options.thicker.change.options: a change may not touch "options"
   |
50 |     "thicker": {"change": {"limits": {"yield": 2}, "options": {"thicker": null}}}
   |                                                    ^^^^^^^^^
   |
   = hint: give each option its whole change

"#]]);
}

#[test]
fn a_mistake_in_a_change_points_at_its_text_and_names_the_option() {
    change("{\"tubes\": {\"brace\": {\"square\": {\"wall\": 13}}}}").refused(str![[r#"
error: frame.json:50:59: tubes.brace.square.wall: wall 13 mm is not under half of the outside, 25 mm (in option "thicker")
   |
50 |     "thicker": {"change": {"tubes": {"brace": {"square": {"wall": 13}}}}}
   |                                                           ^^^^^^
   |
   = hint: a solid section is a "bar" or a "flat"

"#]]);
}

#[test]
fn a_mistyped_key_in_a_change_is_refused() {
    change("{\"members\": {\"diagonal\": {\"tubes\": \"main\"}}}").refused(str![[r#"
error: frame.json:50:53: members.diagonal.tubes: "tubes" is not a key that is known here (in option "thicker")
   |
50 |     "thicker": {"change": {"members": {"diagonal": {"tubes": "main"}}}}
   |                                                     ^^^^^^^
   |
   = hint: did you mean "tube"?

"#]]);
}

#[test]
fn a_mistyped_name_in_a_change_that_should_be_merged_is_told_with_the_name_it_is_near() {
    change("{\"members\": {\"diagnal\": {\"tube\": \"main\"}}}").refused(str![[r#"
error: frame.json:50:51: members.diagnal: a member needs "ends" or "through" (in option "thicker")
   |
50 |     "thicker": {"change": {"members": {"diagnal": {"tube": "main"}}}}
   |                                                   ^
   |
   = hint: "diagnal" is new with this option; did you mean "diagonal"?

"#]]);
}

#[test]
fn a_mistyped_name_that_a_change_takes_out_is_refused() {
    change("{\"members\": {\"diagnal\": null}}").refused(str![[r#"
error: frame.json:50:40: options.thicker.change.members.diagnal: there is no "diagnal" to take out
   |
50 |     "thicker": {"change": {"members": {"diagnal": null}}}
   |                                        ^^^^^^^^^
   |
   = hint: did you mean "diagonal"?

"#]]);
}

#[test]
fn a_wrong_type_in_a_change_is_refused() {
    change("{\"nodes\": {\"E\": [\"300\", 400]}, \"cases\": null}").refused(str![[r#"
error: frame.json:50:38: nodes.E: expected 3 elements, found 2 (in option "thicker")
   |
50 |     "thicker": {"change": {"nodes": {"E": ["300", 400]}, "cases": null}}
   |                                      ^^^

error: frame.json:50:58: "cases" is missing (in option "thicker")
   |
50 |     "thicker": {"change": {"nodes": {"E": ["300", 400]}, "cases": null}}
   |                                                          ^^^^^^^
   |
   = hint: "cases": the load cases, at least one

2 problems in frame.json

"#]]);
}

#[test]
fn a_change_that_takes_out_what_is_still_used_points_at_the_user() {
    change("{\"nodes\": {\"E\": null}}").refused(str![[r#"
error: frame.json:50:38: members.left stay.ends[1]: there is no node or bracket "E" (in option "thicker")
   |
50 |     "thicker": {"change": {"nodes": {"E": null}}}
   |                                      ^^^
   |
   = hint: there are: A, B, C, D, ear, lug

error: frame.json:50:38: members.right stay.ends[1]: there is no node or bracket "E" (in option "thicker")
   |
50 |     "thicker": {"change": {"nodes": {"E": null}}}
   |                                      ^^^
   |
   = hint: there are: A, B, C, D, ear, lug

error: frame.json:50:38: mounts.E: there is no node or bracket "E" (in option "thicker")
   |
50 |     "thicker": {"change": {"nodes": {"E": null}}}
   |                                      ^^^
   |
   = hint: there are: A, B, C, D, ear, lug

error: frame.json:50:38: cases.pulled.moved.E: there is no node or bracket "E" (in option "thicker")
   |
50 |     "thicker": {"change": {"nodes": {"E": null}}}
   |                                      ^^^
   |
   = hint: there are: A, B, C, D, ear, lug

4 problems in frame.json

"#]]);
}

#[test]
fn a_change_that_leaves_a_node_alone_is_refused() {
    change("{\"members\": {\"left stay\": null, \"right stay\": null}}").refused(str![[r#"
error: frame.json:20:5: nodes.E: no member, body or corner part is attached to node "E" (in option "thicker")
   |
20 |     "E": [300, 400, 500]
   |     ^^^
   |
   = hint: take it out, or attach what belongs there

"#]]);
}

#[test]
fn a_new_section_needs_the_old_one_written_as_null() {
    change("{\"tubes\": {\"brace\": {\"round\": {\"od\": 25, \"wall\": 2}}}}").refused(str![[r#"
error: frame.json:50:48: tubes.brace.round: a tube has one section, here are "round" and "square" (in option "thicker")
   |
50 |     "thicker": {"change": {"tubes": {"brace": {"round": {"od": 25, "wall": 2}}}}}
   |                                                ^^^^^^^
   |
   = hint: take one of the two out; the change of an option takes out the old one with "square": null

"#]]);
}

#[test]
fn through_needs_the_old_ends_written_as_null() {
    change("{\"members\": {\"diagonal\": {\"through\": [\"A\", \"E\", \"C\"]}}}").refused(str![[r#"
error: frame.json:50:53: members.diagonal.through: a member has "ends" or "through", not both (in option "thicker")
   |
50 |     "thicker": {"change": {"members": {"diagonal": {"through": ["A", "E", "C"]}}}}
   |                                                     ^^^^^^^^^
   |
   = hint: take one of the two out; the change of an option takes out the old one with "ends": null

"#]]);
}

#[test]
fn ends_need_the_old_through_written_as_null() {
    change("{\"members\": {\"hoop\": {\"ends\": [\"A\", \"D\"]}}}").refused(str![[r#"
error: frame.json:50:49: members.hoop.ends: a member has "ends" or "through", not both (in option "thicker")
   |
50 |     "thicker": {"change": {"members": {"hoop": {"ends": ["A", "D"]}}}}
   |                                                 ^^^^^^
   |
   = hint: take one of the two out; the change of an option takes out the old one with "through": null

"#]]);
}

#[test]
fn a_hinge_needs_the_old_rate_written_as_null() {
    change("{\"members\": {\"diagonal\": {\"joint\": {\"hinge\": \"y\"}}}}")
        .with(
            "\"diagonal\": {\"ends\": [\"A\", \"C\"],",
            "\"diagonal\": {\"ends\": [\"A\", \"C\"], \"joint\": {\"rate\": {\"my\": 200}},",
        )
        .refused(str![[r#"
error: frame.json:50:63: members.diagonal.joint.hinge: a joint is a "hinge" or has a "rate", not both (in option "thicker")
   |
50 |     "thicker": {"change": {"members": {"diagonal": {"joint": {"hinge": "y"}}}}}
   |                                                               ^^^^^^^
   |
   = hint: take one of the two out; the change of an option takes out the old one with "rate": null

"#]]);
}

#[test]
fn what_is_wrong_in_the_file_itself_is_not_told_again_for_each_option() {
    stand().with("\"mass\": 80", "\"mass\": -80").refused(str![[r#"
error: frame.json:39:7: bodies.engine.mass: mass is -80 kg; it may not be below 0
   |
39 |       "mass": -80, "cg": [300, 0, 700], "inertia": [2, 2, 3],
   |       ^^^^^^

"#]]);
}

#[test]
fn every_option_is_validated_whether_asked_for_or_not() {
    stand()
        .with(
            "\"options\": {",
            "\"options\": {\n    \"lighter\": {\"change\": {\"tubes\": {\"main\": {\"round\": {\"wall\": -1}}}}},",
        )
        .with("\"wall\": 3", "\"wall\": \"3\"")
        .refused(str![[r#"
error: frame.json:50:57: tubes.main.round.wall: wall is -1 mm; it must be above 0 (in option "lighter")
   |
50 |     "lighter": {"change": {"tubes": {"main": {"round": {"wall": -1}}}}},
   |                                                         ^^^^^^

error: frame.json:52:38: tubes.brace.square.wall: "3" has no unit; write "3 mm", or 3 without quotes (in option "thicker")
   |
52 |       "tubes": {"brace": {"square": {"wall": "3"}}}
   |                                      ^^^^^^

2 problems in frame.json

"#]]);
}

#[test]
fn a_mechanism_in_an_option_is_told_only_when_the_option_is_asked_for() {
    let loose = "{\"mounts\": {\"D\": null, \"A\": \"one bolt\", \"E\": {\"y\": null, \"z\": null}}}";
    change(loose).accepted();
    change(loose).option("thicker").refused(str![[r#"
error: frame.json:32:3: mounts: the frame is a mechanism: nodes A, B, C, D, E, ear, lug and body engine can turn about the line A–D and turn about a line through A along [0.00, 0.62, 0.78] (in option "thicker")
   |
32 |   "mounts": {
   |   ^^^^^^^^
   |
   = hint: too few mounts hold the frame: add one, or hold a node in more directions

"#]]);
}

#[test]
fn an_option_that_is_not_there_names_the_nearest() {
    stand().option("thiker").refused(str![[r#"
error: there is no option "thiker"
hint: did you mean "thicker"?

"#]]);
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
        .refused(str![[r#"
error: frame.json:51:62: cases.pulled.line_loads.diagonal: there is no member or corner tube "diagonal" (in option "no node + on it")
   |
51 |     "on it": {"change": {"cases": {"pulled": {"line_loads": {"diagonal": [0, 0, 1]}}}}},
   |                                                              ^^^^^^^^^^
   |
   = hint: there are: hoop, left stay, right stay

"#]]);
}

/// The stand with a `sizing`.
fn sizing(text: &str) -> Model {
    stand().with("\"format\": 1,", &format!("\"format\": 1,\n  \"sizing\": {text},"))
}

#[test]
fn a_size_that_is_not_there_is_no_stock() {
    sizing("{\"stock\": [\"main\", \"mian\"]}").refused(str![[r#"
error: frame.json:3:32: sizing.stock[1]: there is no tube size "mian"
  |
3 |   "sizing": {"stock": ["main", "mian"]},
  |                                ^^^^^^
  |
  = hint: did you mean "main"?

"#]]);
    sizing("{\"stock\": []}").refused(str![[r#"
error: frame.json:3:14: sizing.stock: there is no size to choose from
  |
3 |   "sizing": {"stock": []},
  |              ^^^^^^^

"#]]);
    sizing("{\"groups\": {}}").refused(str![[r#"
error: frame.json:3:13: sizing: "stock" is missing
  |
3 |   "sizing": {"groups": {}},
  |             ^
  |
  = hint: "stock": Names of the tube sizes to choose from

"#]]);
}

#[test]
fn a_member_is_sized_once() {
    let groups = "{\"a\": [\"hoop\"], \"b\": [\"hoop\"], \"c\": []}";
    sizing(&format!("{{\"groups\": {groups}, \"stock\": [\"main\"]}}")).refused(str![[r#"
error: frame.json:3:46: sizing.groups.b[0]: "hoop" is in "a" already; a member has one size
  |
3 |   "sizing": {"groups": {"a": ["hoop"], "b": ["hoop"], "c": []}, "stock": ["main"]},
  |                                              ^^^^^^

error: frame.json:3:55: sizing.groups.c: there is no member in this group
  |
3 |   "sizing": {"groups": {"a": ["hoop"], "b": ["hoop"], "c": []}, "stock": ["main"]},
  |                                                       ^^^

2 problems in frame.json

"#]]);
}

#[test]
fn a_group_is_of_members_of_the_frame() {
    let groups = "{\"a\": [\"hop\"], \"b\": [\"front.l/lower.front\"]}";
    sizing(&format!("{{\"groups\": {groups}, \"stock\": [\"main\"]}}")).refused(str![[r#"
error: frame.json:3:31: sizing.groups.a[0]: there is no member "hop"
  |
3 |   "sizing": {"groups": {"a": ["hop"], "b": ["front.l/lower.front"]}, "stock": ["main"]},
  |                               ^^^^^
  |
  = hint: did you mean "hoop"?

error: frame.json:3:45: sizing.groups.b[0]: "front.l/lower.front" is a tube of a corner; these stay as they are drawn
  |
3 |   "sizing": {"groups": {"a": ["hop"], "b": ["front.l/lower.front"]}, "stock": ["main"]},
  |                                             ^^^^^^^^^^^^^^^^^^^^^
  |
  = hint: name members of the frame alone

2 problems in frame.json

"#]]);
}

#[test]
fn where_all_is_kept_there_is_nothing_to_size() {
    let keep = "[\"hoop\", \"diagonal\", \"left stay\", \"right stay\"]";
    sizing(&format!("{{\"stock\": [\"main\"], \"keep\": {keep}}}")).refused_once("sizing", "every member is kept");
}

#[test]
fn a_strut_has_keys_of_its_own() {
    car().with("\"kind\": \"double wishbone\"", "\"kind\": \"strut\", \"strut\": {}").refused(str![[r#"
error: frame.json:49:33: corners.front.l.strut: "top" is missing
   |
49 |       "kind": "strut", "strut": {},
   |                                 ^
   |
   = hint: "top": Node of the top

error: frame.json:49:33: corners.front.l.strut: "bottom" is missing
   |
49 |       "kind": "strut", "strut": {},
   |                                 ^
   |
   = hint: "bottom": Place on its axis where it is welded to the upright

error: frame.json:49:33: corners.front.l.strut: "tube" is missing
   |
49 |       "kind": "strut", "strut": {},
   |                                 ^
   |
   = hint: "tube": Tube size

error: frame.json:51:7: corners.front.l.upper: "upper" is not a key that is known here
   |
51 |       "upper": {"front": "UF.l", "rear": "UR.l", "outer": [-10, 610, 410], "tube": "arm"},
   |       ^^^^^^^
   |
   = hint: known here: kind, wheel_centre, contact_patch, brakes, drive, unsprung, lower, tie_rod, strut, note

error: frame.json:54:7: corners.front.l.spring: "spring" is not a key that is known here
   |
54 |       "spring": {"top": "ST.l", "bottom": [10, 520, 180], "on": ["lower.front", "lower.rear"],
   |       ^^^^^^^^
   |
   = hint: known here: kind, wheel_centre, contact_patch, brakes, drive, unsprung, lower, tie_rod, strut, note

5 problems in frame.json

"#]]);
}

#[test]
fn a_trailing_arm_has_keys_of_its_own() {
    car().with("\"kind\": \"double wishbone\"", "\"kind\": \"trailing arm\"").refused(str![[r#"
error: frame.json:48:16: corners.front.l: "arm" is missing
   |
48 |     "front.l": {
   |                ^
   |
   = hint: "arm": Nodes of its two pivots, place of its hub, and a tube size

error: frame.json:51:7: corners.front.l.upper: "upper" is not a key that is known here
   |
51 |       "upper": {"front": "UF.l", "rear": "UR.l", "outer": [-10, 610, 410], "tube": "arm"},
   |       ^^^^^^^
   |
   = hint: known here: kind, wheel_centre, contact_patch, brakes, drive, unsprung, arm, spring, note

error: frame.json:52:7: corners.front.l.lower: "lower" is not a key that is known here
   |
52 |       "lower": {"front": "LF.l", "rear": "LR.l", "outer": [10, 640, 160], "tube": "arm"},
   |       ^^^^^^^
   |
   = hint: known here: kind, wheel_centre, contact_patch, brakes, drive, unsprung, arm, spring, note

error: frame.json:53:7: corners.front.l.tie_rod: "tie_rod" is not a key that is known here
   |
53 |       "tie_rod": {"inner": "TI.l", "outer": [-110, 625, 200], "tube": "arm"},
   |       ^^^^^^^^^
   |
   = hint: known here: kind, wheel_centre, contact_patch, brakes, drive, unsprung, arm, spring, note

4 problems in frame.json

"#]]);
}

#[test]
fn a_corner_of_links_has_keys_of_its_own() {
    car().with("\"kind\": \"double wishbone\"", "\"kind\": \"links\"").refused(str![[r#"
error: frame.json:48:16: corners.front.l: "links" is missing
   |
48 |     "front.l": {
   |                ^
   |
   = hint: "links": Exactly five links by name

error: frame.json:51:7: corners.front.l.upper: "upper" is not a key that is known here
   |
51 |       "upper": {"front": "UF.l", "rear": "UR.l", "outer": [-10, 610, 410], "tube": "arm"},
   |       ^^^^^^^
   |
   = hint: known here: kind, wheel_centre, contact_patch, brakes, drive, unsprung, links, spring, note

error: frame.json:52:7: corners.front.l.lower: "lower" is not a key that is known here
   |
52 |       "lower": {"front": "LF.l", "rear": "LR.l", "outer": [10, 640, 160], "tube": "arm"},
   |       ^^^^^^^
   |
   = hint: known here: kind, wheel_centre, contact_patch, brakes, drive, unsprung, links, spring, note

error: frame.json:53:7: corners.front.l.tie_rod: "tie_rod" is not a key that is known here
   |
53 |       "tie_rod": {"inner": "TI.l", "outer": [-110, 625, 200], "tube": "arm"},
   |       ^^^^^^^^^
   |
   = hint: known here: kind, wheel_centre, contact_patch, brakes, drive, unsprung, links, spring, note

4 problems in frame.json

"#]]);
}

#[test]
fn a_bracket_that_a_change_takes_out_is_told_where_it_is_taken_out() {
    change("{\"brackets\": {\"lug\": null}}").refused(str![[r#"
error: frame.json:50:41: bodies.engine.mounts.lug: there is no node or bracket "lug" (in option "thicker")
   |
50 |     "thicker": {"change": {"brackets": {"lug": null}}}
   |                                         ^^^^^
   |
   = hint: there are: A, B, C, D, E, ear

"#]]);
}

#[test]
fn a_change_that_takes_out_a_key_that_must_be_there_points_at_the_null() {
    change("{\"tubes\": {\"main\": {\"material\": null}}, \"mounts\": null}").refused(str![[r#"
error: frame.json:50:47: tubes.main: "material" is missing (in option "thicker")
   |
50 |     "thicker": {"change": {"tubes": {"main": {"material": null}}, "mounts": null}}
   |                                               ^^^^^^^^^^
   |
   = hint: "material": Name of a material

error: frame.json:50:67: "mounts" is missing (in option "thicker")
   |
50 |     "thicker": {"change": {"tubes": {"main": {"material": null}}, "mounts": null}}
   |                                                                   ^^^^^^^^
   |
   = hint: "mounts": how the car's body holds the frame: {"C.l": "bolted pad"}

2 problems in frame.json

"#]]);
}
