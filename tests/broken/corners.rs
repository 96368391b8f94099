//! Corners and anti-roll bars.

use snapbox::str;

use super::{Model, car};

const BAR: &str =
    "{\"bearing\": \"BB.l\", \"end\": [-20, 540, 110], \"foot\": [-20, 545, 190], \"on\": \"lower.rear\"}";

/// The car whose anti-roll bar is like this on its left.
fn bar(left: &str) -> Model {
    car().with(BAR, left)
}

#[test]
fn a_corner_has_a_kind() {
    car().with("\"kind\": \"double wishbone\",", "").refused(str![[r#"
error: frame.json:48:16: corners.front.l: "kind" is missing
   |
48 |     "front.l": {
   |                ^
   |
   = hint: "kind": one of "double wishbone", "strut", "trailing arm", "links"

"#]]);
}

#[test]
fn a_kind_of_corner_is_a_known_word() {
    car().with("\"double wishbone\"", "\"double wishbones\"").refused(str![[r#"
error: frame.json:49:7: corners.front.l.kind: expected "double wishbone", "strut", "trailing arm" or "links", found "double wishbones"
   |
49 |       "kind": "double wishbones",
   |       ^^^^^^
   |
   = hint: did you mean "double wishbone"?

"#]]);
    car().with("\"double wishbone\"", "\"swing axle\"").refused(str![[r#"
error: frame.json:49:7: corners.front.l.kind: expected "double wishbone", "strut", "trailing arm" or "links", found "swing axle"
   |
49 |       "kind": "swing axle",
   |       ^^^^^^

"#]]);
}

#[test]
fn all_parts_of_a_corner_are_required() {
    car()
        .with("\"kind\": \"double wishbone\",\n      \"wheel_centre\": [0, 700, 280], \"contact_patch\": [0, 700, 0], \"unsprung\": 20,", "\"kind\": \"double wishbone\",")
        .with("\"tie_rod\": {\"inner\": \"TI.l\", \"outer\": [-110, 625, 200], \"tube\": \"arm\"},", "")
        .refused(str![[r#"
error: frame.json:48:16: corners.front.l: "wheel_centre" is missing
   |
48 |     "front.l": {
   |                ^
   |
   = hint: "wheel_centre": Centre of the wheel

error: frame.json:48:16: corners.front.l: "contact_patch" is missing
   |
48 |     "front.l": {
   |                ^
   |
   = hint: "contact_patch": Middle of the contact patch

error: frame.json:48:16: corners.front.l: "tie_rod" is missing
   |
48 |     "front.l": {
   |                ^
   |
   = hint: "tie_rod": Tie rod; on a rear corner its toe link

3 problems in frame.json

"#]]);
}

#[test]
fn a_wishbone_needs_two_nodes_an_outer_point_and_a_tube() {
    car()
        .with(
            "\"upper\": {\"front\": \"UF.l\", \"rear\": \"UR.l\", \"outer\": [-10, 610, 410], \"tube\": \"arm\"}",
            "\"upper\": {}",
        )
        .refused(str![[r#"
error: frame.json:51:16: corners.front.l.upper: "front" is missing
   |
51 |       "upper": {},
   |                ^
   |
   = hint: "front": Node of the front tube

error: frame.json:51:16: corners.front.l.upper: "rear" is missing
   |
51 |       "upper": {},
   |                ^
   |
   = hint: "rear": Node of the rear tube

error: frame.json:51:16: corners.front.l.upper: "outer" is missing
   |
51 |       "upper": {},
   |                ^
   |
   = hint: "outer": Place of the outer ball

error: frame.json:51:16: corners.front.l.upper: "tube" is missing
   |
51 |       "upper": {},
   |                ^
   |
   = hint: "tube": Tube size

4 problems in frame.json

"#]]);
}

#[test]
fn an_outer_point_is_no_node() {
    car().with("\"outer\": [-10, 610, 410]", "\"outer\": \"UB.l\"").refused(str![[r#"
error: frame.json:51:50: corners.front.l.upper.outer: expected a list of 3, found a text
   |
51 |       "upper": {"front": "UF.l", "rear": "UR.l", "outer": "UB.l", "tube": "arm"},
   |                                                  ^^^^^^^

"#]]);
}

#[test]
fn the_points_of_a_wishbone_do_not_lie_on_a_line() {
    car().with("\"outer\": [-10, 610, 410]", "\"outer\": [300, 280.5, 400]").refused(str![[r#"
error: frame.json:51:50: corners.front.l.upper.outer: the wishbone's three points lie within 1 mm of a line
   |
51 |       "upper": {"front": "UF.l", "rear": "UR.l", "outer": [300, 280.5, 400], "tube": "arm"},
   |                                                  ^^^^^^^

"#]]);
}

#[test]
fn a_wishbone_has_two_different_nodes() {
    car().with("\"rear\": \"UR.l\"", "\"rear\": \"UF.l\"").refused(str![[r#"
error: frame.json:51:34: corners.front.l.upper.rear: "UF.l" is listed twice, as front and as rear node
   |
51 |       "upper": {"front": "UF.l", "rear": "UF.l", "outer": [-10, 610, 410], "tube": "arm"},
   |                                  ^^^^^^

"#]]);
}

#[test]
fn a_left_wheel_is_on_the_left() {
    car().with("\"wheel_centre\": [0, 700, 280]", "\"wheel_centre\": [0, -700, 280]").refused(str![[r#"
error: frame.json:50:7: corners.front.l.wheel_centre: "front.l" is on the left, where y is above 0; here y is -700 mm
   |
50 |       "wheel_centre": [0, -700, 280], "contact_patch": [0, 700, 0], "unsprung": 20,
   |       ^^^^^^^^^^^^^^

"#]]);
}

#[test]
fn a_contact_patch_is_on_the_side_of_its_wheel() {
    car().with("\"contact_patch\": [0, 700, 0]", "\"contact_patch\": [0, 0, 0]").refused(str![[r#"
error: frame.json:50:38: corners.front.l.contact_patch: "front.l" is on the left, where y is above 0; here y is 0 mm
   |
50 |       "wheel_centre": [0, 700, 280], "contact_patch": [0, 0, 0], "unsprung": 20,
   |                                      ^^^^^^^^^^^^^^^

"#]]);
}

#[test]
fn a_right_wheel_is_on_the_right() {
    car().with("\"mirror\": true", "\"mirror\": false").with("\"front.l\": {\n", "\"front.r\": {\n").refused(str![[r#"
error: frame.json:30:38: members.front cross.ends[1]: there is no node or bracket "LF.r"
   |
30 |     "front cross": {"ends": ["LF.l", "LF.r"], "tube": "rail"},
   |                                      ^^^^^^
   |
   = hint: no name gets a twin, because "mirror": true is not set

error: frame.json:31:37: members.rear cross.ends[1]: there is no node or bracket "LR.r"
   |
31 |     "rear cross": {"ends": ["LR.l", "LR.r"], "tube": "rail"},
   |                                     ^^^^^^
   |
   = hint: no name gets a twin, because "mirror": true is not set

error: frame.json:32:38: members.tower cross.ends[1]: there is no node or bracket "ST.r"
   |
32 |     "tower cross": {"ends": ["ST.l", "ST.r"], "tube": "rail"}
   |                                      ^^^^^^
   |
   = hint: no name gets a twin, because "mirror": true is not set

error: frame.json:39:58: bodies.rack.mounts.RC.l: "clamp" is for two nodes of a body, between which a line runs; here it stands at one
   |
39 |     "rack": {"mass": 4, "cg": [-130, 0, 190], "mounts": {"RC.l": "clamp", "TI.l": "rides"}}
   |                                                          ^^^^^^

error: frame.json:50:7: corners.front.r.wheel_centre: "front.r" is on the right, where y is below 0; here y is 700 mm
   |
50 |       "wheel_centre": [0, 700, 280], "contact_patch": [0, 700, 0], "unsprung": 20,
   |       ^^^^^^^^^^^^^^

error: frame.json:50:38: corners.front.r.contact_patch: "front.r" is on the right, where y is below 0; here y is 700 mm
   |
50 |       "wheel_centre": [0, 700, 280], "contact_patch": [0, 700, 0], "unsprung": 20,
   |                                      ^^^^^^^^^^^^^^^

error: frame.json:58:14: anti_roll.front: "right" is missing
   |
58 |     "front": {
   |              ^
   |
   = hint: it may be left out with "mirror": true only

error: frame.json:68:42: cases.twist.twist.axle[1]: there is no node or bracket "ST.r"
   |
68 |     "twist": {"twist": {"axle": ["ST.l", "ST.r"], "moment": 800}}
   |                                          ^^^^^^
   |
   = hint: no name gets a twin, because "mirror": true is not set

8 problems in frame.json

"#]]);
}

#[test]
fn an_unsprung_mass_is_not_below_0() {
    car().with("\"unsprung\": 20", "\"unsprung\": \"-20 kg\"").refused(str![[r#"
error: frame.json:50:68: corners.front.l.unsprung: unsprung is -20 kg; it may not be below 0
   |
50 |       "wheel_centre": [0, 700, 280], "contact_patch": [0, 700, 0], "unsprung": "-20 kg",
   |                                                                    ^^^^^^^^^^

"#]]);
}

#[test]
fn the_rod_of_a_spring_is_above_0() {
    car().with("\"rod\": 14", "\"rod\": 0").refused(str![[r#"
error: frame.json:54:96: corners.front.l.spring.rod: rod is 0 mm; it must be above 0
   |
54 |  {"top": "ST.l", "bottom": [10, 520, 180], "on": ["lower.front", "lower.rear"], "rod": 0}
   |                                                                                 ^^^^^

"#]]);
}

#[test]
fn a_spring_has_a_length() {
    car().with("\"bottom\": [10, 520, 180]", "\"bottom\": [0, 300, 560]").refused(str![[r#"
error: frame.json:54:7: corners.front.l.spring: its two ends are 0 mm apart; less than 0.01 mm is no tube
   |
54 |       "spring": {"top": "ST.l", "bottom": [0, 300, 560], "on": ["lower.front", "lower.rear"],
   |       ^^^^^^^^

"#]]);
}

#[test]
fn a_tie_rod_has_a_length() {
    car().with("\"outer\": [-110, 625, 200]", "\"outer\": [-110, 270, 190]").refused(str![[r#"
error: frame.json:53:7: corners.front.l.tie_rod: its two ends are 0 mm apart; less than 0.01 mm is no tube
   |
53 |       "tie_rod": {"inner": "TI.l", "outer": [-110, 270, 190], "tube": "arm"},
   |       ^^^^^^^^^

"#]]);
}

#[test]
fn a_spring_stands_on_a_tube_of_an_arm_or_on_the_upright() {
    car().with("\"on\": [\"lower.front\", \"lower.rear\"]", "\"on\": \"lower\"").refused(str![[r#"
error: frame.json:54:59: corners.front.l.spring.on: there is no arm tube "lower"
   |
54 |       "spring": {"top": "ST.l", "bottom": [10, 520, 180], "on": "lower", "rod": 14}
   |                                                           ^^^^
   |
   = hint: there are: upper.front, upper.rear, lower.front, lower.rear, upright

"#]]);
    car().with("\"on\": [\"lower.front\", \"lower.rear\"]", "\"on\": \"tie_rod\"").refused(str![[r#"
error: frame.json:54:59: corners.front.l.spring.on: there is no arm tube "tie_rod"
   |
54 |       "spring": {"top": "ST.l", "bottom": [10, 520, 180], "on": "tie_rod", "rod": 14}
   |                                                           ^^^^
   |
   = hint: there are: upper.front, upper.rear, lower.front, lower.rear, upright

"#]]);
    car().with("\"on\": [\"lower.front\", \"lower.rear\"]", "\"on\": [\"upright\"]").refused(str![[r#"
error: frame.json:54:66: corners.front.l.spring.on[0]: "upright" stands alone and in no list
   |
54 |       "spring": {"top": "ST.l", "bottom": [10, 520, 180], "on": ["upright"], "rod": 14}
   |                                                                  ^^^^^^^^^

"#]]);
}

#[test]
fn a_spring_stands_on_tubes_of_one_arm() {
    car().with("\"on\": [\"lower.front\", \"lower.rear\"]", "\"on\": [\"lower.front\", \"upper.front\"]").refused(
        str![[r#"
error: frame.json:54:81: corners.front.l.spring.on[1]: "upper.front" is of another arm; a list holds tubes of one arm
   |
54 |       "spring": {"top": "ST.l", "bottom": [10, 520, 180], "on": ["lower.front", "upper.front"], "rod": 14}
   |                                                                                 ^^^^^^^^^^^^^

"#]],
    );
}

#[test]
fn a_tube_is_listed_once_under_a_spring() {
    car().with("\"on\": [\"lower.front\", \"lower.rear\"]", "\"on\": [\"lower.front\", \"lower.front\"]").refused(
        str![[r#"
error: frame.json:54:81: corners.front.l.spring.on[1]: "lower.front" is listed twice
   |
54 |       "spring": {"top": "ST.l", "bottom": [10, 520, 180], "on": ["lower.front", "lower.front"], "rod": 14}
   |                                                                                 ^^^^^^^^^^^^^

"#]],
    );
}

#[test]
fn a_torque_is_outboard_or_inboard() {
    car().with("\"unsprung\": 20", "\"brakes\": \"on the hub\", \"drive\": \"inbord\"").refused(str![[r#"
error: frame.json:50:68: corners.front.l.brakes: expected "outboard" or "inboard", found "on the hub"
   |
50 |       "wheel_centre": [0, 700, 280], "contact_patch": [0, 700, 0], "brakes": "on the hub", "drive": "inbord",
   |                                                                    ^^^^^^^^

error: frame.json:50:92: corners.front.l.drive: expected "outboard" or "inboard", found "inbord"
   |
50 | l_centre": [0, 700, 280], "contact_patch": [0, 700, 0], "brakes": "on the hub", "drive": "inbord",
   |                                                                                 ^^^^^^^
   |
   = hint: did you mean "inboard"?

2 problems in frame.json

"#]]);
}

#[test]
fn a_part_of_a_corner_names_nodes_and_tube_sizes_that_are_there() {
    car()
        .with("{\"front\": \"UF.l\"", "{\"front\": \"UF\"")
        .with(
            "\"outer\": [10, 640, 160], \"tube\": \"arm\"",
            "\"outer\": [10, 640, 160], \"tube\": \"arms\", \"rear_tube\": \"rear arm\"",
        )
        .with("\"inner\": \"TI.l\"", "\"inner\": \"rack\"")
        .with("\"top\": \"ST.l\"", "\"top\": \"ST.r.l\"")
        .refused(str![[r#"
error: frame.json:51:17: corners.front.l.upper.front: there is no node or bracket "UF"
   |
51 |       "upper": {"front": "UF", "rear": "UR.l", "outer": [-10, 610, 410], "tube": "arm"},
   |                 ^^^^^^^
   |
   = hint: did you mean "UF.l"?

error: frame.json:52:75: corners.front.l.lower.tube: there is no tube size "arms"
   |
52 |       "lower": {"front": "LF.l", "rear": "LR.l", "outer": [10, 640, 160], "tube": "arms", "rear_tube": "rear arm"},
   |                                                                           ^^^^^^
   |
   = hint: did you mean "arm"?

error: frame.json:52:91: corners.front.l.lower.rear_tube: there is no tube size "rear arm"
   |
52 | er": {"front": "LF.l", "rear": "LR.l", "outer": [10, 640, 160], "tube": "arms", "rear_tube": "rear arm"},
   |                                                                                 ^^^^^^^^^^^
   |
   = hint: there are: rail, arm

error: frame.json:53:19: corners.front.l.tie_rod.inner: there is no node or bracket "rack"
   |
53 |       "tie_rod": {"inner": "rack", "outer": [-110, 625, 200], "tube": "arm"},
   |                   ^^^^^^^
   |
   = hint: "rack" is a body: name a node that it holds; what rides on a body, as an end of a rack, stands in "nodes" with its place, and in the body's "mounts" as "rides"

error: frame.json:54:18: corners.front.l.spring.top: there is no node or bracket "ST.r.l"
   |
54 |       "spring": {"top": "ST.r.l", "bottom": [10, 520, 180], "on": ["lower.front", "lower.rear"], "rod"
   |                  ^^^^^
   |
   = hint: did you mean "ST.l"?

5 problems in frame.json

"#]]);
}

#[test]
fn the_end_of_a_rack_is_a_node_too() {
    car()
        .with("\"TI.l\": [-110, 270, 190]", "\"TE.l\": [-110, 270, 190]")
        .with("\"RC.l\": \"clamp\", \"TI.l\": \"rides\"", "\"RC.l\": \"clamp\", \"end.l\": \"rides\"")
        .refused(str![[r#"
error: frame.json:16:5: nodes.TE.l: no member, body or corner part is attached to node "TE.l"
   |
16 |     "TE.l": [-110, 270, 190]
   |     ^^^^^^
   |
   = hint: take it out, or attach what belongs there

error: frame.json:39:75: bodies.rack.mounts.end.l: there is no node or bracket "end.l"
   |
39 |     "rack": {"mass": 4, "cg": [-130, 0, 190], "mounts": {"RC.l": "clamp", "end.l": "rides"}}
   |                                                                           ^^^^^^^
   |
   = hint: there are: LF.l, LF.r, LR.l, LR.r, UF.l, UF.r, UR.l, UR.r, ST.l, ST.r, TE.l, TE.r and 4 more; what rides on a body, as an end of a rack, stands in "nodes" with its place, and in the body's "mounts" as "rides"

error: frame.json:53:19: corners.front.l.tie_rod.inner: there is no node or bracket "TI.l"
   |
53 |       "tie_rod": {"inner": "TI.l", "outer": [-110, 625, 200], "tube": "arm"},
   |                   ^^^^^^^
   |
   = hint: did you mean "TE.l"? what rides on a body, as an end of a rack, stands in "nodes" with its place, and in the body's "mounts" as "rides"

3 problems in frame.json

"#]]);
}

#[test]
fn up_of_an_arm_does_not_lie_along_it() {
    car()
        .with(
            "\"outer\": [-110, 625, 200], \"tube\": \"arm\"",
            "\"outer\": [-110, 625, 200], \"tube\": \"arm\", \"up\": [0, 355, 10]",
        )
        .refused(str![[r#"
error: frame.json:53:78: corners.front.l.tie_rod.up: "up" lies along the tube; it must point to one side of it
   |
53 |       "tie_rod": {"inner": "TI.l", "outer": [-110, 625, 200], "tube": "arm", "up": [0, 355, 10]},
   |                                                                              ^^^^

"#]]);
}

#[test]
fn contact_patches_that_do_not_fit_the_track_are_odd_but_no_error() {
    car().with("\"track\": {\"front\": 1400", "\"track\": {\"front\": 1300").warned(str![[r#"
warning: the front contact patches are 1400 mm apart as drawn, but vehicle.track.front is 1300 mm

"#]]);
}

#[test]
fn a_square_arm_that_stands_upright_without_up_is_odd_but_no_error() {
    car()
        .with(
            "\"arm\": {",
            "\"post\": {\"square\": {\"side\": 20, \"wall\": 2}, \"material\": \"E235+N\"},\n    \"arm\": {",
        )
        .with("\"TI.l\": [-110, 270, 190]", "\"TI.l\": [-110, 620, 600]")
        .with("\"outer\": [-110, 625, 200], \"tube\": \"arm\"", "\"outer\": [-110, 625, 200], \"tube\": \"post\"")
        .with(
            "{\"pickup_move\": 2, \"toe\": 0.5, \"camber\": 0.5, \"twist\": 200}",
            "{\"yield\": 0.001, \"column\": 0.001, \"buckling\": 0.001}",
        )
        .warned(str![[r#"
warning: tube "front.l/tie_rod" is within 5 degrees of vertical and its section is not the same all round: its local z was taken towards global X; give "up" to choose
warning: limits.yield is 0.001: with a margin below 1 what passes is past its strength
warning: limits.column is 0.001: with a margin below 1 what passes is past its strength
warning: case "reversing" collapses at about 0.55 times the load
warning: case "bend" collapses before its load is reached
warning: case "kerb" collapses before its load is reached
warning: front.l and front.r: camber gain is 7.95° per 10 mm; look at the heights of the arms' inner and outer points
warning: front.l and front.r: bump steer is -99.6° per 10 mm; look at the height of the tie rod's or toe link's two ends
warning: front.l and front.r: roll-centre height is -2807 mm; look at the heights of the arms' inner and outer points
warning: front.l and front.r: anti-dive is -2447 %; look at the slopes of both wishbones' pivot lines seen from the side

"#]]);
}

#[test]
fn the_share_of_an_anti_roll_bar_is_from_0_to_1() {
    car().with("\"share\": 0.4", "\"share\": 40").refused(str![[r#"
error: frame.json:60:7: anti_roll.front.share: share is 40; a share is from 0 to 1: 40 % is 0.4
   |
60 |       "share": 40
   |       ^^^^^^^

"#]]);
}

#[test]
fn the_right_side_of_a_bar_may_be_left_out_with_mirror_only() {
    Model::of(
        crate::support::read("models/car.json")
            .replace("\"mirror\": true", "\"mirror\": false")
            .replace(".r\"", ".l\""),
    )
    .refused(str![[r#"
error: frame.json:30:38: members.front cross.ends[1]: "LF.l" is listed twice
   |
30 |     "front cross": {"ends": ["LF.l", "LF.l"], "tube": "rail"},
   |                                      ^^^^^^

error: frame.json:31:37: members.rear cross.ends[1]: "LR.l" is listed twice
   |
31 |     "rear cross": {"ends": ["LR.l", "LR.l"], "tube": "rail"},
   |                                     ^^^^^^

error: frame.json:32:38: members.tower cross.ends[1]: "ST.l" is listed twice
   |
32 |     "tower cross": {"ends": ["ST.l", "ST.l"], "tube": "rail"}
   |                                      ^^^^^^

error: frame.json:39:58: bodies.rack.mounts.RC.l: "clamp" is for two nodes of a body, between which a line runs; here it stands at one
   |
39 |     "rack": {"mass": 4, "cg": [-130, 0, 190], "mounts": {"RC.l": "clamp", "TI.l": "rides"}}
   |                                                          ^^^^^^

error: frame.json:58:14: anti_roll.front: "right" is missing
   |
58 |     "front": {
   |              ^
   |
   = hint: it may be left out with "mirror": true only

error: frame.json:65:61: cases.reversing.braked[1]: "front.l" is listed twice
   |
65 |     "reversing": {"g": {"long": 0.4}, "braked": ["front.l", "front.l"]},
   |                                                             ^^^^^^^^^

error: frame.json:68:42: cases.twist.twist.axle[1]: "ST.l" is listed twice
   |
68 |     "twist": {"twist": {"axle": ["ST.l", "ST.l"], "moment": 800}}
   |                                          ^^^^^^

7 problems in frame.json

"#]]);
}

#[test]
fn an_anti_roll_bar_needs_both_corners_of_its_axle() {
    car().with("\"anti_roll\": {\n    \"front\"", "\"anti_roll\": {\n    \"rear\"").refused(str![[r#"
error: frame.json:58:5: anti_roll.rear: an anti-roll bar needs both corners of its axle; "rear.l" and "rear.r" are not there
   |
58 |     "rear": {
   |     ^^^^^^

"#]]);
}

#[test]
fn a_bearing_is_a_node_that_is_there() {
    bar("{\"bearing\": \"BB\", \"end\": [-20, 540, 110], \"foot\": [-20, 545, 190], \"on\": \"lower.rear\"}").refused(
        str![[r#"
error: frame.json:59:16: anti_roll.front.left.bearing: there is no node or bracket "BB"
   |
59 |       "left": {"bearing": "BB", "end": [-20, 540, 110], "foot": [-20, 545, 190], "on": "lower.rear"},
   |                ^^^^^^^^^
   |
   = hint: did you mean "BB.l"?

"#]],
    );
}

#[test]
fn the_link_of_a_bar_has_a_length() {
    bar("{\"bearing\": \"BB.l\", \"end\": [-20, 540, 110], \"foot\": [-20, 540, 110], \"on\": \"lower.rear\"}")
        .refused(str![[r#"
error: frame.json:59:59: anti_roll.front.left.foot: the link has no length: the bar's end and the foot are at one place
   |
59 |       "left": {"bearing": "BB.l", "end": [-20, 540, 110], "foot": [-20, 540, 110], "on": "lower.rear"},
   |                                                           ^^^^^^

"#]]);
}

#[test]
fn the_link_of_a_bar_stands_on_an_arm_or_on_the_upright() {
    bar("{\"bearing\": \"BB.l\", \"end\": [-20, 540, 110], \"foot\": [-20, 545, 190], \"on\": \"strut\"}").refused(
        str![[r#"
error: frame.json:59:84: anti_roll.front.left.on: there is no arm tube "strut"
   |
59 |    "left": {"bearing": "BB.l", "end": [-20, 540, 110], "foot": [-20, 545, 190], "on": "strut"},
   |                                                                                 ^^^^
   |
   = hint: there are: upper.front, upper.rear, lower.front, lower.rear, upright

"#]],
    );
}

#[test]
fn the_link_of_a_bar_turns_it() {
    bar("{\"bearing\": \"BB.l\", \"end\": [-20, 540, 110], \"foot\": [150, 540, 120], \"on\": \"upright\"}")
        .refused(str![[r#"
error: frame.json:59:7: anti_roll.front.left: the link points at the line of the bearings, so that it cannot turn the bar
   |
59 |       "left": {"bearing": "BB.l", "end": [-20, 540, 110], "foot": [150, 540, 120], "on": "up
   |       ^^^^^^

"#]]);
}

#[test]
fn the_bearings_of_a_bar_are_at_two_places() {
    car()
        .with(
            "\"BB.l\": {\"at\": [150, 200, 120], \"on\": \"front cross\"}",
            "\"BB\": {\"at\": [150, 0, 120], \"on\": \"front cross\"}",
        )
        .with("\"bearing\": \"BB.l\"", "\"bearing\": \"BB\"")
        .refused(str![[r#"
error: frame.json:58:5: anti_roll.front: the two bearings are at one place, so the bar has no line to turn about
   |
58 |     "front": {
   |     ^^^^^^^

"#]]);
}
