//! Nodes, brackets and members.

use snapbox::str;

use super::{Model, car, stand};

/// The stand with another diagonal.
fn diagonal(keys: &str) -> Model {
    stand().with("{\"ends\": [\"A\", \"C\"], \"tube\": \"brace\"}", &format!("{{{keys}}}"))
}

#[test]
fn a_decimal_comma_in_a_place_is_told_as_what_it_is() {
    stand()
        .with("\"E\": [300, 400, 500]", "\"E\": {\"at\": [300,5, 400, 500]}")
        .with("[600, 0, 500]", "[600,2, -0,5, 500,1]")
        .with("[400, 0, 540]", "[400, 0, 540, 5]")
        .refused(str![[r#"
error: frame.json:18:5: nodes.C: expected 3 elements, found 6
   |
18 |     "C": [600,2, -0,5, 500,1],
   |     ^^^
   |
   = hint: a decimal is written with a point: 600.2, not 600,2

error: frame.json:20:11: nodes.E.at: expected 3 elements, found 4
   |
20 |     "E": {"at": [300,5, 400, 500]}
   |           ^^^^
   |
   = hint: a decimal is written with a point: 300.5, not 300,5

error: frame.json:24:13: brackets.lug.at: expected 3 elements, found 4
   |
24 |     "lug": {"at": [400, 0, 540, 5], "on": "hoop"}
   |             ^^^^
   |
   = hint: a decimal is written with a point, as 200.5

3 problems in frame.json

"#]]);
}

#[test]
fn a_place_has_three_coordinates() {
    stand().with("[300, 400, 500]", "[300, 400]").with("[200, 0, 540]", "[200, 0, 540, 0]").refused(str![[r#"
error: frame.json:20:5: nodes.E: expected 3 elements, found 2
   |
20 |     "E": [300, 400]
   |     ^^^

error: frame.json:23:13: brackets.ear.at: expected 3 elements, found 4
   |
23 |     "ear": {"at": [200, 0, 540, 0], "on": "hoop"},
   |             ^^^^
   |
   = hint: a decimal is written with a point, as 200.5

2 problems in frame.json

"#]]);
}

#[test]
fn a_node_is_a_place_or_an_object_with_one() {
    stand().with("[600, 0, 500]", "\"600, 0, 500\"").with("[300, 400, 500]", "{\"pickup\": true}").refused(str![[r#"
error: frame.json:18:5: nodes.C: expected [x, y, z] or {"at": [x, y, z]}, found a text
   |
18 |     "C": "600, 0, 500",
   |     ^^^

error: frame.json:20:10: nodes.E: "at" is missing
   |
20 |     "E": {"pickup": true}
   |          ^
   |
   = hint: "at": Place

2 problems in frame.json

"#]]);
}

#[test]
fn a_pickup_is_true_or_false() {
    stand().with("[300, 400, 500]", "{\"at\": [300, 400, 500], \"pickup\": 1}").refused(str![[r#"
error: frame.json:20:34: nodes.E.pickup: expected true or false, found a number
   |
20 |     "E": {"at": [300, 400, 500], "pickup": 1}
   |                                  ^^^^^^^^

"#]]);
}

#[test]
fn a_node_that_nothing_is_attached_to_is_refused() {
    stand().with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500], \"F\": [300, -400, 500]").refused(str![[r#"
error: frame.json:20:27: nodes.F: no member, body or corner part is attached to node "F"
   |
20 |     "E": [300, 400, 500], "F": [300, -400, 500]
   |                           ^^^
   |
   = hint: take it out, or attach what belongs there

"#]]);
}

#[test]
fn a_mount_or_a_force_alone_does_not_use_a_node() {
    stand()
        .with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500], \"F\": [300, -400, 500]")
        .with("\"D\": \"bolted pad\"", "\"D\": \"bolted pad\", \"F\": \"one bolt\"")
        .with("{\"C\": [0, 0, -1000]}", "{\"F\": [0, 0, -1000]}")
        .refused(str![[r#"
error: frame.json:20:27: nodes.F: no member, body or corner part is attached to node "F"
   |
20 |     "E": [300, 400, 500], "F": [300, -400, 500]
   |                           ^^^
   |
   = hint: take it out, or attach what belongs there

"#]]);
}

#[test]
fn a_node_that_carries_only_an_idle_bracket_is_refused() {
    stand()
        .with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500], \"F\": [300, -400, 500]")
        .with("\"brackets\": {", "\"brackets\": {\n    \"tag\": {\"at\": [300, -420, 500], \"on\": \"F\"},")
        .refused(str![[r#"
error: frame.json:20:27: nodes.F: no member, body or corner part is attached to node "F"
   |
20 |     "E": [300, 400, 500], "F": [300, -400, 500]
   |                           ^^^
   |
   = hint: take it out, or attach what belongs there

"#]]);
}

#[test]
fn two_nodes_at_one_place_are_refused() {
    stand()
        .with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500],\n    \"F\": [300.005, 400, 500.005]")
        .with("[\"C\", \"E\"]", "[\"C\", \"F\"]")
        .refused(str![[r#"
error: frame.json:21:5: nodes.F: "F" and "E" are closer than 0.01 mm
   |
21 |     "F": [300.005, 400, 500.005]
   |     ^^^
   |
   = hint: use one node for both

"#]]);
}

#[test]
fn a_node_in_the_middle_of_the_car_has_no_room_for_a_twin() {
    car().with("\"ST.l\": [0, 300, 560]", "\"ST.l\": [0, 0, 560]").refused(str![[r#"
error: frame.json:15:5: nodes.ST.l: "ST.l" lies in the middle of the car, where its twin "ST.r" would lie too
   |
15 |     "ST.l": [0, 0, 560],
   |     ^^^^^^
   |
   = hint: give a node in the middle a name that does not end in .l

error: frame.json:32:5: members.tower cross: its two ends are 0 mm apart; less than 0.01 mm is no tube
   |
32 |     "tower cross": {"ends": ["ST.l", "ST.r"], "tube": "rail"}
   |     ^^^^^^^^^^^^^

error: frame.json:68:25: cases.twist.twist.axle: the two nodes of a twist test stand at different y; these have the same
   |
68 |     "twist": {"twist": {"axle": ["ST.l", "ST.r"], "moment": 800}}
   |                         ^^^^^^

3 problems in frame.json

"#]]);
}

#[test]
fn a_bracket_that_nothing_is_attached_to_is_odd_but_no_error() {
    stand().with("\"brackets\": {", "\"brackets\": {\n    \"tag\": {\"at\": [50, 0, 530], \"on\": \"hoop\"},").warned(
        str![[r#"
warning: nothing is attached to bracket "tag" and nothing loads it

"#]],
    );
}

#[test]
fn a_bracket_stands_on_no_bracket() {
    stand().with("540], \"on\": \"hoop\"},\n    \"lug\"", "540], \"on\": \"lug\"},\n    \"lug\"").refused(str![[r#"
error: frame.json:23:34: brackets.ear.on: "lug" is a bracket, and a bracket may not stand on a bracket
   |
23 |     "ear": {"at": [200, 0, 540], "on": "lug"},
   |                                  ^^^^
   |
   = hint: name the tube or the node that carries it

"#]]);
}

#[test]
fn a_plate_ties_tubes_and_no_nodes() {
    stand().with("540], \"on\": \"hoop\"},\n    \"lug\"", "540], \"on\": [\"hoop\", \"B\"]},\n    \"lug\"").refused(
        str![[r#"
error: frame.json:23:49: brackets.ear.on[1]: there is no member or corner tube "B"
   |
23 |     "ear": {"at": [200, 0, 540], "on": ["hoop", "B"]},
   |                                                 ^^^
   |
   = hint: "B" is a node: here stands a tube

"#]],
    );
}

#[test]
fn a_bracket_stands_on_something() {
    stand()
        .with("540], \"on\": \"hoop\"},\n    \"lug\"", "540], \"on\": []},\n    \"lug\"")
        .with("540], \"on\": \"hoop\"}\n", "540]}\n")
        .refused(str![[r#"
error: frame.json:23:34: brackets.ear.on: the list is empty; it needs a name
   |
23 |     "ear": {"at": [200, 0, 540], "on": []},
   |                                  ^^^^

error: frame.json:24:12: brackets.lug: "on" is missing
   |
24 |     "lug": {"at": [400, 0, 540]}
   |            ^
   |
   = hint: "on": A member, a tube of a corner (front.l/lower.front), a node, or a list of tubes

2 problems in frame.json

"#]]);
}

#[test]
fn a_tube_is_listed_once_in_a_plate() {
    stand()
        .with(
            "540], \"on\": \"hoop\"},\n    \"lug\"",
            "540], \"on\": [\"hoop\", \"left stay\", \"hoop\"]},\n    \"lug\"",
        )
        .refused(str![[r#"
error: frame.json:23:62: brackets.ear.on[2]: "hoop" is listed twice
   |
23 |     "ear": {"at": [200, 0, 540], "on": ["hoop", "left stay", "hoop"]},
   |                                                              ^^^^^^

"#]]);
}

#[test]
fn a_member_has_ends_or_runs_through_nodes() {
    diagonal("\"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:17: members.diagonal: a member needs "ends" or "through"
   |
28 |     "diagonal": {"tube": "brace"},
   |                 ^

"#]]);
}

#[test]
fn a_member_does_not_have_both_ends_and_through() {
    diagonal("\"ends\": [\"A\", \"C\"], \"through\": [\"A\", \"C\"], \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:38: members.diagonal.through: a member has "ends" or "through", not both
   |
28 |     "diagonal": {"ends": ["A", "C"], "through": ["A", "C"], "tube": "brace"},
   |                                      ^^^^^^^^^
   |
   = hint: take one of the two out; the change of an option takes out the old one with "ends": null

"#]]);
}

#[test]
fn a_member_has_two_ends() {
    diagonal("\"ends\": [\"A\"], \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:18: members.diagonal.ends: expected 2 elements, found 1
   |
28 |     "diagonal": {"ends": ["A"], "tube": "brace"},
   |                  ^^^^^^

"#]]);
    diagonal("\"ends\": [\"A\", \"E\", \"C\"], \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:18: members.diagonal.ends: expected 2 elements, found 3
   |
28 |     "diagonal": {"ends": ["A", "E", "C"], "tube": "brace"},
   |                  ^^^^^^

"#]]);
}

#[test]
fn a_tube_runs_through_at_least_two_nodes() {
    diagonal("\"through\": [\"A\"], \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:18: members.diagonal.through: a tube runs through at least two nodes
   |
28 |     "diagonal": {"through": ["A"], "tube": "brace"},
   |                  ^^^^^^^^^

"#]]);
}

#[test]
fn the_ends_of_a_member_are_two_nodes() {
    diagonal("\"ends\": [\"A\", \"A\"], \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:32: members.diagonal.ends[1]: "A" is listed twice
   |
28 |     "diagonal": {"ends": ["A", "A"], "tube": "brace"},
   |                                ^^^

"#]]);
}

#[test]
fn a_tube_passes_a_node_once() {
    diagonal("\"through\": [\"A\", \"E\", \"C\", \"E\", \"D\"], \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:45: members.diagonal.through[3]: "E" is listed twice
   |
28 |     "diagonal": {"through": ["A", "E", "C", "E", "D"], "tube": "brace"},
   |                                             ^^^

"#]]);
}

#[test]
fn a_tube_may_end_where_it_began() {
    diagonal("\"through\": [\"A\", \"E\", \"D\", \"A\"], \"tube\": \"brace\"").accepted();
}

#[test]
fn a_tube_needs_a_size() {
    diagonal("\"ends\": [\"A\", \"C\"]").refused(str![[r#"
error: frame.json:28:17: members.diagonal: "tube" is missing
   |
28 |     "diagonal": {"ends": ["A", "C"]},
   |                 ^
   |
   = hint: "tube": Name of a tube size

"#]]);
}

#[test]
fn the_ends_of_a_tube_that_lie_on_one_another_leave_it_no_length() {
    diagonal("\"ends\": [\"A\", \"C\"], \"end_at\": [[300, 0, 250], [300, 0, 250.001]], \"tube\": \"brace\"").refused(
        str![[r#"
error: frame.json:28:5: members.diagonal: its two ends are 0.001 mm apart; less than 0.01 mm is no tube
   |
28 |     "diagonal": {"ends": ["A", "C"], "end_at": [[300, 0, 250], [300, 0, 250.001]], "tube": "br
   |     ^^^^^^^^^^

"#]],
    );
}

#[test]
fn places_of_ends_are_two_each_a_place_or_null() {
    diagonal("\"ends\": [\"A\", \"C\"], \"end_at\": [[0, 0, 20]], \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:38: members.diagonal.end_at: expected 2 elements, found 1
   |
28 |     "diagonal": {"ends": ["A", "C"], "end_at": [[0, 0, 20]], "tube": "brace"},
   |                                      ^^^^^^^^

"#]]);
    diagonal("\"ends\": [\"A\", \"C\"], \"end_at\": [null, \"C\"], \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:55: members.diagonal.end_at[1]: expected a list of 3, found a text
   |
28 |     "diagonal": {"ends": ["A", "C"], "end_at": [null, "C"], "tube": "brace"},
   |                                                       ^^^

"#]]);
    diagonal("\"ends\": [\"A\", \"C\"], \"end_at\": [null, [580, 0, 490]], \"tube\": \"brace\"").accepted();
}

#[test]
fn up_is_no_zero_vector() {
    diagonal("\"ends\": [\"A\", \"C\"], \"up\": [0, 0, 0], \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:38: members.diagonal.up: a direction may not be [0, 0, 0]
   |
28 |     "diagonal": {"ends": ["A", "C"], "up": [0, 0, 0], "tube": "brace"},
   |                                      ^^^^

"#]]);
}

#[test]
fn up_does_not_lie_along_the_tube() {
    diagonal("\"ends\": [\"A\", \"C\"], \"up\": [6, 0, 5], \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:38: members.diagonal.up: "up" lies along the tube; it must point to one side of it
   |
28 |     "diagonal": {"ends": ["A", "C"], "up": [6, 0, 5], "tube": "brace"},
   |                                      ^^^^

"#]]);
}

#[test]
fn up_has_no_unit() {
    diagonal("\"ends\": [\"A\", \"C\"], \"up\": [0, 0, \"1 mm\"], \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:51: members.diagonal.up[2]: "1 mm" is a text; here stands a plain number, without unit and quotes
   |
28 |     "diagonal": {"ends": ["A", "C"], "up": [0, 0, "1 mm"], "tube": "brace"},
   |                                                   ^^^^^^

"#]]);
}

#[test]
fn a_joint_is_a_known_word() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": \"welded\", \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:38: members.diagonal.joint: expected "weld", "tube-on-tube", "rod-end", "slide", {"hinge": …} or {"rate": …}, found "welded"
   |
28 |     "diagonal": {"ends": ["A", "C"], "joint": "welded", "tube": "brace"},
   |                                      ^^^^^^^
   |
   = hint: did you mean "weld"?

"#]]);
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": \"bolted\", \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:38: members.diagonal.joint: expected "weld", "tube-on-tube", "rod-end", "slide", {"hinge": …} or {"rate": …}, found "bolted"
   |
28 |     "diagonal": {"ends": ["A", "C"], "joint": "bolted", "tube": "brace"},
   |                                      ^^^^^^^

"#]]);
}

#[test]
fn a_list_of_joints_has_two() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": [\"weld\"], \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:38: members.diagonal.joint: expected 2 elements, found 1
   |
28 |     "diagonal": {"ends": ["A", "C"], "joint": ["weld"], "tube": "brace"},
   |                                      ^^^^^^^

"#]]);
}

#[test]
fn a_joint_is_a_word_or_an_object() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": [null, 5], \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:48: members.diagonal.joint[0]: expected "weld", "tube-on-tube", "rod-end", "slide", {"hinge": …} or {"rate": …}, found null
   |
28 |     "diagonal": {"ends": ["A", "C"], "joint": [null, 5], "tube": "brace"},
   |                                                ^^^^

error: frame.json:28:54: members.diagonal.joint[1]: expected "weld", "tube-on-tube", "rod-end", "slide", {"hinge": …} or {"rate": …}, found a number
   |
28 |     "diagonal": {"ends": ["A", "C"], "joint": [null, 5], "tube": "brace"},
   |                                                      ^

2 problems in frame.json

"#]]);
}

#[test]
fn a_hinge_turns_about_local_y_or_z() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": {\"hinge\": \"x\"}, \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:48: members.diagonal.joint.hinge: expected "y" or "z", found "x"
   |
28 |     "diagonal": {"ends": ["A", "C"], "joint": {"hinge": "x"}, "tube": "brace"},
   |                                                ^^^^^^^

"#]]);
}

#[test]
fn a_joint_written_as_an_object_says_what_it_is() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": {}, \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:47: members.diagonal.joint: a joint written as an object needs "hinge" or "rate"
   |
28 |     "diagonal": {"ends": ["A", "C"], "joint": {}, "tube": "brace"},
   |                                               ^

"#]]);
}

#[test]
fn a_joint_is_a_hinge_or_has_rates() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": {\"hinge\": \"y\", \"rate\": {\"my\": 100}}, \"tube\": \"brace\"")
        .refused(str![[r#"
error: frame.json:28:62: members.diagonal.joint.rate: a joint is a "hinge" or has a "rate", not both
   |
28 |     "diagonal": {"ends": ["A", "C"], "joint": {"hinge": "y", "rate": {"my": 100}}, "tube": "brace"},
   |                                                              ^^^^^^
   |
   = hint: take one of the two out; the change of an option takes out the old one with "hinge": null

"#]]);
}

#[test]
fn a_turning_rate_of_a_joint_is_not_below_0() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": [{\"rate\": {\"my\": -100}}, {\"rate\": {\"t\": -1}}], \"tube\": \"brace\"")
        .refused(str![[r#"
error: frame.json:28:58: members.diagonal.joint[0].rate.my: my is -100 N m/rad; it may not be below 0
   |
28 |     "diagonal": {"ends": ["A", "C"], "joint": [{"rate": {"my": -100}}, {"rate": {"t": -1}}], "tube": "brace"},
   |                                                          ^^^^

error: frame.json:28:82: members.diagonal.joint[1].rate.t: t is -1 N m/rad; it may not be below 0
   |
28 |    "diagonal": {"ends": ["A", "C"], "joint": [{"rate": {"my": -100}}, {"rate": {"t": -1}}], "tube": "brace"},
   |                                                                                 ^^^

2 problems in frame.json

"#]]);
}

#[test]
fn a_joint_has_no_rate_along_the_tube() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": {\"rate\": {\"n\": 100}}, \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:57: members.diagonal.joint.rate.n: "n" is not a key that is known here
   |
28 |     "diagonal": {"ends": ["A", "C"], "joint": {"rate": {"n": 100}}, "tube": "brace"},
   |                                                         ^^^
   |
   = hint: known here: t, my, mz, note

"#]]);
}

#[test]
fn a_tube_that_slides_at_both_ends_is_held_nowhere() {
    diagonal("\"ends\": [\"A\", \"C\"], \"joint\": \"slide\", \"tube\": \"brace\"").refused(str![[r#"
error: frame.json:28:38: members.diagonal.joint: the tube can slide along itself, "slide" at both ends holds it nowhere
   |
28 |     "diagonal": {"ends": ["A", "C"], "joint": "slide", "tube": "brace"},
   |                                      ^^^^^^^
   |
   = hint: give one end another joint

"#]]);
}

#[test]
fn a_bend_radius_and_a_column_length_are_above_0() {
    diagonal("\"ends\": [\"A\", \"C\"], \"bend_radius\": 0, \"column_length\": -700, \"tube\": \"brace\"").refused(
        str![[r#"
error: frame.json:28:38: members.diagonal.bend_radius: bend_radius is 0 mm; it must be above 0
   |
28 |     "diagonal": {"ends": ["A", "C"], "bend_radius": 0, "column_length": -700, "tube": "brace"},
   |                                      ^^^^^^^^^^^^^

error: frame.json:28:56: members.diagonal.column_length: column_length is -700 mm; it must be above 0
   |
28 |     "diagonal": {"ends": ["A", "C"], "bend_radius": 0, "column_length": -700, "tube": "brace"},
   |                                                        ^^^^^^^^^^^^^^^

2 problems in frame.json

"#]],
    );
}

#[test]
fn a_tube_shorter_than_its_diameter_is_odd_but_no_error() {
    stand()
        .with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500], \"F\": [300, 400, 520]")
        .with("\"right stay\":", "\"stub\": {\"ends\": [\"E\", \"F\"], \"tube\": \"main\"},\n    \"right stay\":")
        .warned(str![[r#"
warning: tube "stub" is 20.0 mm long, less than its outside of 38 mm: so short a tube does not bend as this model has it

"#]]);
}

#[test]
fn a_square_tube_that_stands_upright_without_up_is_odd_but_no_error() {
    stand()
        .with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500], \"F\": [310, 400, 900]")
        .with("\"right stay\":", "\"mast\": {\"ends\": [\"E\", \"F\"], \"tube\": \"brace\"},\n    \"right stay\":")
        .warned(str![[r#"
warning: tube "mast" is within 5 degrees of vertical and its section or joint is not the same all round: its local z was taken towards global X; give "up" to choose

"#]]);
}

#[test]
fn a_round_tube_that_stands_upright_on_a_hinge_is_odd_too() {
    stand()
        .with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500], \"F\": [310, 400, 900]")
        .with("\"right stay\":", "\"mast\": {\"ends\": [\"E\", \"F\"], \"tube\": \"main\", \"joint\": {\"rate\": {\"my\": 900}}},\n    \"right stay\":")
        .warned(str![[r#"
warning: tube "mast" is within 5 degrees of vertical and its section or joint is not the same all round: its local z was taken towards global X; give "up" to choose

"#]]);
}

#[test]
fn up_settles_which_way_an_upright_tube_stands() {
    stand()
        .with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500], \"F\": [310, 400, 900]")
        .with(
            "\"right stay\":",
            "\"mast\": {\"ends\": [\"E\", \"F\"], \"tube\": \"brace\", \"up\": [0, 1, 0]},\n    \"right stay\":",
        )
        .accepted();
}

#[test]
fn a_bend_that_misses_its_node_is_odd_but_no_error() {
    stand().with("\"bend_radius\": 40", "\"bend_radius\": 100").warned(str![[r#"
warning: the bend of "hoop" misses node "B", where other parts meet it, by 41.4 mm, more than half the tube
warning: the bend of "hoop" misses node "C", where other parts meet it, by 41.4 mm, more than half the tube

"#]]);
}

#[test]
fn a_tube_that_turns_back_on_itself_is_odd_but_no_error() {
    Model::of(
        r#"{
  "format": 1,
  "tubes": {"size": {"round": {"od": 38, "wall": 2}, "material": "E235+N"}},
  "nodes": {"W": [0, 0, 500], "T": [800, 0, 500], "V": [100, 0, 500]},
  "members": {
    "arm": {"through": ["W", "T", "V"], "tube": "size", "bend_radius": 100},
    "stay": {"ends": ["T", "V"], "tube": "size"}
  },
  "mounts": {"W": "bolted pad"},
  "cases": {"hanging": {"forces": {"V": [0, 0, -30]}}}
}
"#,
    )
    .warned(str![[r#"
warning: tube "arm" turns back on itself at node "T", by 180°, which no bend does: are its nodes in order?
warning: member "stay" lies on "arm" over 700 mm: if it is drawn twice, take one out

"#]]);
}

#[test]
fn bends_that_need_more_than_the_tube_between_their_nodes_are_odd_but_no_error() {
    stand().with("\"bend_radius\": 40", "\"bend_radius\": 700").warned(str![[r#"
warning: the bends of "hoop" need 700 mm of the 500 mm between nodes "A" and "B": a smaller "bend_radius" would fit
warning: the bends of "hoop" need 1400 mm of the 600 mm between nodes "B" and "C": a smaller "bend_radius" would fit
warning: the bends of "hoop" need 700 mm of the 500 mm between nodes "C" and "D": a smaller "bend_radius" would fit
warning: the bend of "hoop" misses node "B", where other parts meet it, by 290 mm, more than half the tube
warning: the bend of "hoop" misses node "C", where other parts meet it, by 290 mm, more than half the tube

"#]]);
}

#[test]
fn a_member_that_is_not_its_own_mirror_image_is_odd_but_no_error() {
    car()
        .with(
            "\"front cross\":",
            "\"floor diagonal\": {\"ends\": [\"LF.l\", \"LR.r\"], \"tube\": \"rail\"},\n    \"front cross\":",
        )
        .warned(str![[r#"
warning: member "floor diagonal" is not its own mirror image and has no twin; if both sides have one, end its name in .l

"#]]);
}

/// The car with one more member in front of its cross tube.
fn with_member(name: &str, ends: &str) -> Model {
    let more = format!("\"{name}\": {{\"ends\": {ends}, \"tube\": \"rail\"}},\n    \"front cross\":");
    car().with("\"front cross\":", &more)
}

#[test]
fn a_tube_that_is_drawn_twice_is_odd_but_no_error() {
    with_member("copy", "[\"LF.l\", \"LF.r\"]").warned(str![[r#"
warning: member "front cross" lies on "copy" over 500 mm: if it is drawn twice, take one out

"#]]);
    with_member("copy", "[\"LF.r\", \"LF.l\"]").warned(str![[r#"
warning: member "front cross" lies on "copy" over 500 mm: if it is drawn twice, take one out

"#]]);
    // Twins are told once.
    with_member("copy.l", "[\"LR.l\", \"LF.l\"]").warned(str![[r#"
warning: member "copy.l" lies on "lower rail.l" over 300 mm: if it is drawn twice, take one out

"#]]);
}

#[test]
fn a_tube_that_lies_over_part_of_another_is_odd_but_no_error() {
    with_member("half.l", "[\"LF.l\", \"J\"]").with("\"TI.l\": [", "\"J\": [150, 0, 150],\n    \"TI.l\": [").warned(
        str![[r#"
warning: member "half.l" lies on "front cross" over 250 mm: if it is drawn twice, take one out

"#]],
    );
}

#[test]
fn a_tube_that_lies_on_two_pieces_of_another_is_told_with_the_whole_length() {
    with_member("again.l", "[\"LF.l\", \"UF.l\"]")
        .with(
            "\"front post.l\": {\"ends\": [\"LF.l\", \"UF.l\"], \"tube\": \"rail\"}",
            "\"front post.l\": {\"through\": [\"LF.l\", \"H.l\", \"UF.l\", \"UR.l\"], \"tube\": \"rail\"}",
        )
        .with("\"upper rail.l\": {\"ends\": [\"UF.l\", \"UR.l\"], \"tube\": \"rail\"},\n    ", "")
        .with("\"TI.l\": [", "\"H.l\": [135, 265, 275],\n    \"TI.l\": [")
        .warned(str![[r#"
warning: member "again.l" lies on "front post.l" over 254 mm: if it is drawn twice, take one out

"#]]);
}

#[test]
fn a_twin_in_the_middle_of_the_car_lies_on_its_original() {
    with_member("spine.l", "[\"J\", \"K\"]")
        .with("\"TI.l\": [", "\"J\": [150, 0, 150],\n    \"K\": [-150, 0, 150],\n    \"TI.l\": [")
        .with("\"front cross\": {\"ends\": [\"LF.l\", \"LF.r\"]", "\"front cross\": {\"through\": [\"LF.l\", \"J\", \"LF.r\"]")
        .with("\"rear cross\": {\"ends\": [\"LR.l\", \"LR.r\"]", "\"rear cross\": {\"through\": [\"LR.l\", \"K\", \"LR.r\"]")
        .warned(str![[r#"
warning: member "spine.r" lies on its twin "spine.l" over 300 mm: a tube in the middle of the car takes a name that does not end in .l

"#]]);
}

#[test]
fn a_mistake_in_a_mirrored_entry_is_told_once() {
    car()
        .with("\"TI.l\": [-110, 270, 190]", "\"TI.l\": [-110, 270, 190], \"X.l\": [0, 100, 0]")
        .with(
            "{\"ends\": [\"LF.l\", \"LR.l\"], \"tube\": \"rail\"}",
            "{\"ends\": [\"LF.l\", \"LR.left\"], \"tube\": \"rail\"}",
        )
        .with("\"unsprung\": 20", "\"unsprung\": -20")
        .with("[-110, 625, 200]", "[-110, 270, 190]")
        .refused(str![[r#"
error: frame.json:16:31: nodes.X.l: no member, body or corner part is attached to node "X.l"
   |
16 |     "TI.l": [-110, 270, 190], "X.l": [0, 100, 0]
   |                               ^^^^^
   |
   = hint: take it out, or attach what belongs there

error: frame.json:23:39: members.lower rail.l.ends[1]: there is no node or bracket "LR.left"
   |
23 |     "lower rail.l": {"ends": ["LF.l", "LR.left"], "tube": "rail"},
   |                                       ^^^^^^^^^
   |
   = hint: there are: LF.l, LF.r, LR.l, LR.r, UF.l, UF.r, UR.l, UR.r, ST.l, ST.r, TI.l, TI.r and 6 more

error: frame.json:50:68: corners.front.l.unsprung: unsprung is -20 kg; it may not be below 0
   |
50 |       "wheel_centre": [0, 700, 280], "contact_patch": [0, 700, 0], "unsprung": -20,
   |                                                                    ^^^^^^^^^^

error: frame.json:53:7: corners.front.l.tie_rod: its two ends are 0 mm apart; less than 0.01 mm is no tube
   |
53 |       "tie_rod": {"inner": "TI.l", "outer": [-110, 270, 190], "tube": "arm"},
   |       ^^^^^^^^^

4 problems in frame.json

"#]]);
}

#[test]
fn a_mistake_that_only_the_twin_has_is_told_of_the_twin() {
    car()
        .with(
            "\"front cross\":",
            "\"upper rail.r\": {\"ends\": [\"UF.r\", \"UF.r\"], \"tube\": \"rail\"},\n    \"front cross\":",
        )
        .refused(str![[r#"
error: frame.json:30:39: members.upper rail.r.ends[1]: "UF.r" is listed twice
   |
30 |     "upper rail.r": {"ends": ["UF.r", "UF.r"], "tube": "rail"},
   |                                       ^^^^^^

"#]]);
    car()
        .with("\"ST.l\": [0, 300, 560],", "\"ST.l\": [0, 300, 560], \"T\": [0, -300, 560],")
        .with("\"front cross\":", "\"stay\": {\"ends\": [\"T\", \"UF.r\"], \"tube\": \"rail\"},\n    \"front cross\":")
        .refused(str![[r#"
error: frame.json:15:28: nodes.T: "T" and "ST.r" are closer than 0.01 mm
   |
15 |     "ST.l": [0, 300, 560], "T": [0, -300, 560],
   |                            ^^^
   |
   = hint: use one node for both

"#]]);
}

#[test]
fn warnings_of_a_mirrored_entry_are_told_once() {
    car()
        .with("\"TI.l\": [-110, 270, 190]", "\"TI.l\": [-110, 270, 190], \"X.l\": [150, 250, 120]")
        .with(
            "\"front cross\":",
            "\"stub.l\": {\"ends\": [\"LF.l\", \"X.l\"], \"tube\": \"rail\"},\n    \"front cross\":",
        )
        .with("\"brackets\": {", "\"brackets\": {\n    \"tag.l\": {\"at\": [0, 270, 150], \"on\": \"lower rail.l\"},")
        .warned(str![[r#"
warning: tube "stub.l" is 30.0 mm long, less than its outside of 38 mm: so short a tube does not bend as this model has it
warning: nothing is attached to bracket "tag.l" and nothing loads it

"#]]);
}
