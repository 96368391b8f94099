//! The text itself: encoding, syntax, depth, keys given twice, wrong types.

use crossbrace::model::load_all;
use crossbrace::source::{Document, Node, Path, Step, Value};
use snapbox::str;

use super::{Model, car, stand};
use crate::support::read;

/// The stand in a text that begins with these bytes.
fn stand_after(bytes: &[u8]) -> Model {
    Model::of([bytes, read("models/stand.json").as_bytes()].concat())
}

/// The stand with this at the top, lists and objects nested so deep (the top object is 1).
fn nested(depth: usize) -> Model {
    let value = format!("{}{}", "[".repeat(depth - 1), "]".repeat(depth - 1));
    stand().with("\"format\": 1,", &format!("\"format\": 1, \"deep\": {value},"))
}

#[test]
fn bytes_that_are_not_utf_8_are_told_at_the_first_of_them() {
    let text = read("models/stand.json").replace("over a bench", "for ?50");
    let at = text.find('?').unwrap();
    let mut bytes = text.into_bytes();
    bytes[at] = 0xa3; // a pound sign in Latin-1
    Model::of(bytes).refused(str![[r#"
error: frame.json:3:46: the file is not UTF-8 text from here on
  |
3 |   "title": "A stand that holds an engine for �50",
  |                                              ^
  |
  = hint: save it as UTF-8

"#]]);
}

#[test]
fn utf_16_is_not_utf_8() {
    let wide: Vec<u8> = read("models/stand.json").encode_utf16().flat_map(u16::to_le_bytes).collect();
    Model::of([&[0xff, 0xfe], wide.as_slice()].concat()).refused(str![[r#"
error: frame.json:1:1: the file is not UTF-8 text from here on
  |
1 | ��{�
  | ^
  |
  = hint: save it as UTF-8

"#]]);
}

#[test]
fn a_byte_order_mark_is_ignored() {
    stand_after("\u{feff}".as_bytes()).accepted();
}

#[test]
fn a_byte_order_mark_counts_as_no_column() {
    Model::of("\u{feff}{\"format\": 2}").refused(str![[r#"
error: frame.json:1:1: "tubes" is missing
  |
1 | {"format": 2}
  | ^
  |
  = hint: "tubes": the tube sizes: name to a section and its material

error: frame.json:1:1: "nodes" is missing
  |
1 | {"format": 2}
  | ^
  |
  = hint: "nodes": name to a place [x, y, z]

error: frame.json:1:1: "members" is missing
  |
1 | {"format": 2}
  | ^
  |
  = hint: "members": the tubes: name to ends and tube size

error: frame.json:1:1: "mounts" is missing
  |
1 | {"format": 2}
  | ^
  |
  = hint: "mounts": how the car's body holds the frame: {"C.l": "bolted pad"}

error: frame.json:1:1: "cases" is missing
  |
1 | {"format": 2}
  | ^
  |
  = hint: "cases": the load cases, at least one

error: frame.json:1:2: format: format 2 is not known; this version reads format 1
  |
1 | {"format": 2}
  |  ^^^^^^^^

6 problems in frame.json

"#]]);
}

#[test]
fn a_second_byte_order_mark_is_no_json() {
    stand_after("\u{feff}\u{feff}".as_bytes()).refused(str![[r#"
error: frame.json:1:1: this is not JSON: here a value is missing
  |
1 | �{
  | ^
  |
  = hint: texts stand in double quotes

"#]]);
}

#[test]
fn an_empty_file_is_no_model() {
    Model::of("").refused(str![[r#"
error: frame.json:1:1: the file is empty
  |
1 |
  | ^
  |
  = hint: a model is one JSON object; crossbrace new writes a first one, and models/FORMAT.md of the project describes it

"#]]);
}

#[test]
fn a_file_of_blanks_is_empty_too() {
    Model::of(" \n\t\r\n").refused(str![[r#"
error: frame.json:1:1: the file is empty
  |
1 |
  | ^
  |
  = hint: a model is one JSON object; crossbrace new writes a first one, and models/FORMAT.md of the project describes it

"#]]);
}

#[test]
fn an_empty_object_is_told_every_key_that_a_model_must_have() {
    Model::of("{}").refused(str![[r#"
error: frame.json:1:1: "format" is missing
  |
1 | {}
  | ^
  |
  = hint: "format": 1, the format of this file

error: frame.json:1:1: "tubes" is missing
  |
1 | {}
  | ^
  |
  = hint: "tubes": the tube sizes: name to a section and its material

error: frame.json:1:1: "nodes" is missing
  |
1 | {}
  | ^
  |
  = hint: "nodes": name to a place [x, y, z]

error: frame.json:1:1: "members" is missing
  |
1 | {}
  | ^
  |
  = hint: "members": the tubes: name to ends and tube size

error: frame.json:1:1: "mounts" is missing
  |
1 | {}
  | ^
  |
  = hint: "mounts": how the car's body holds the frame: {"C.l": "bolted pad"}

error: frame.json:1:1: "cases" is missing
  |
1 | {}
  | ^
  |
  = hint: "cases": the load cases, at least one

6 problems in frame.json

"#]]);
}

#[test]
fn a_list_at_the_top_is_no_model() {
    Model::of("[1, 2, 3]").refused(str![[r#"
error: frame.json:1:1: expected an object with the keys $schema, format, title, date, notes, mirror, materials, tubes, nodes, brackets, members, mounts and 13 more, found a list
  |
1 | [1, 2, 3]
  | ^

"#]]);
}

#[test]
fn a_comma_after_the_last_entry_is_no_json() {
    stand().with("\"hoop\"},\n    \"lug\"", "\"hoop\",},\n    \"lug\"").refused(str![[r#"
error: frame.json:23:46: this is not JSON: a comma with nothing behind it
   |
23 |     "ear": {"at": [200, 0, 540], "on": "hoop",},
   |                                              ^
   |
   = hint: take the comma out

"#]]);
}

#[test]
fn a_missing_comma_is_no_json() {
    stand().with("\"A\": [0, 0, 0],", "\"A\": [0, 0, 0]").refused(str![[r#"
error: frame.json:17:5: this is not JSON: expected `,` or `}` before this
   |
17 |     "B": [0, 0, 500],
   |     ^
   |
   = hint: a comma between two entries, or a closing bracket, is missing

"#]]);
}

#[test]
fn a_comment_is_no_json() {
    stand().with("\"format\": 1,", "\"format\": 1, // the version").refused(str![[r#"
error: frame.json:2:16: this is not JSON: there are no comments in JSON
  |
2 |   "format": 1, // the version
  |                ^
  |
  = hint: a remark goes into "note", which every object takes

"#]]);
}

#[test]
fn single_quotes_are_no_json() {
    stand().with("\"format\": 1,", "'format': 1,").refused(str![[r#"
error: frame.json:2:3: this is not JSON: keys and texts stand in double quotes
  |
2 |   'format': 1,
  |   ^
  |
  = hint: write " for '

"#]]);
}

#[test]
fn a_key_without_quotes_is_no_json() {
    stand().with("\"format\": 1,", "format: 1,").refused(str![[r#"
error: frame.json:2:3: this is not JSON: a key stands in double quotes
  |
2 |   format: 1,
  |   ^
  |
  = hint: write "key": value

"#]]);
}

#[test]
fn nan_is_no_json() {
    stand().with("\"factor\": 1.5", "\"factor\": NaN").refused(str![[r#"
error: frame.json:44:95: this is not JSON: a number is finite, and written in digits
   |
44 |  {"forces": {"C": [0, 0, -1000]}, "moments": {"engine": [0, 150, 0]}, "factor": NaN},
   |                                                                                 ^
   |
   = hint: write the number that is meant

"#]]);
}

#[test]
fn infinity_is_no_json() {
    stand().with("\"factor\": 1.5", "\"factor\": -Infinity").refused(str![[r#"
error: frame.json:44:96: this is not JSON: a number is finite, and written in digits
   |
44 | {"forces": {"C": [0, 0, -1000]}, "moments": {"engine": [0, 150, 0]}, "factor": -Infinity},
   |                                                                                 ^
   |
   = hint: write the number that is meant

"#]]);
}

#[test]
fn a_number_with_a_leading_zero_is_no_json() {
    stand().with("\"factor\": 1.5", "\"factor\": 01.5").refused(str![[r#"
error: frame.json:44:96: this is not JSON: a number as JSON does not write it
   |
44 | {"forces": {"C": [0, 0, -1000]}, "moments": {"engine": [0, 150, 0]}, "factor": 01.5},
   |                                                                                 ^
   |
   = hint: no plus and no zero before it, and digits on both sides of its point

"#]]);
}

#[test]
fn a_number_with_a_plus_is_no_json() {
    stand().with("\"factor\": 1.5", "\"factor\": +1.5").refused(str![[r#"
error: frame.json:44:95: this is not JSON: a number begins with a digit or a minus
   |
44 |  {"forces": {"C": [0, 0, -1000]}, "moments": {"engine": [0, 150, 0]}, "factor": +1.5},
   |                                                                                 ^
   |
   = hint: write 0.5 for .5, and no plus

"#]]);
}

#[test]
fn a_number_that_begins_with_its_point_is_no_json() {
    stand().with("\"factor\": 1.5", "\"factor\": .5").refused(str![[r#"
error: frame.json:44:95: this is not JSON: a number begins with a digit or a minus
   |
44 |  {"forces": {"C": [0, 0, -1000]}, "moments": {"engine": [0, 150, 0]}, "factor": .5},
   |                                                                                 ^
   |
   = hint: write 0.5 for .5, and no plus

"#]]);
}

#[test]
fn a_number_beyond_all_numbers_is_out_of_range() {
    stand().with("[600, 0, 500]", "[1e999, 0, -1e999]").refused(str![[r#"
error: frame.json:18:11: nodes.C[0]: 1e999 is out of range
   |
18 |     "C": [1e999, 0, -1e999],
   |           ^^^^^

error: frame.json:18:21: nodes.C[2]: -1e999 is out of range
   |
18 |     "C": [1e999, 0, -1e999],
   |                     ^^^^^^

2 problems in frame.json

"#]]);
}

#[test]
fn a_line_break_in_a_text_is_no_json() {
    stand().with("Invented data.", "Invented\ndata.").refused(str![[r#"
error: frame.json:4:21: this is not JSON: a line break, a tab or another control character inside a text
  |
4 |   "notes": "Invented
  |                     ^
  |
  = hint: write \n for a line break and \t for a tab

"#]]);
}

#[test]
fn an_unknown_escape_is_no_json() {
    stand().with("Invented data.", "Invented \\d.").refused(str![[r#"
error: frame.json:4:23: this is not JSON: a backslash before this letter means nothing
  |
4 |   "notes": "Invented \d.",
  |                       ^
  |
  = hint: a backslash itself is written twice

"#]]);
}

#[test]
fn half_of_a_pair_of_surrogates_is_no_text() {
    stand().with("Invented data.", "Invented \\ud83d data.").refused(str![[r#"
error: frame.json:4:22: this is not JSON: half of a pair of \u escapes is no letter
  |
4 |   "notes": "Invented \ud83d data.",
  |                      ^^^^^^^
  |
  = hint: write the letter itself: the file is UTF-8

"#]]);
}

#[test]
fn half_of_a_pair_of_surrogates_is_no_key() {
    stand().with("\"hanging\": {\"forces\"", "\"hang\\udc00ing\": {\"forces\"").refused(str![[r#"
error: frame.json:44:10: this is not JSON: half of a pair of \u escapes is no letter
   |
44 |     "hang\udc00ing": {"forces": {"C": [0, 0, -1000]}, "moments": {"engine": [0, 150, 0]}, "fact
   |          ^^^^^^
   |
   = hint: write the letter itself: the file is UTF-8

"#]]);
}

#[test]
fn a_file_that_was_cut_off_ends_too_early() {
    let text = read("models/stand.json");
    Model::of(text[..text.find("\"lug\": {\"x\"").unwrap()].to_owned()).refused(str![[r#"
error: frame.json:40:36: this is not JSON: the file ends inside an object
   |
40 |       "mounts": {"ear": "one bolt", 
   |                                    ^
   |
   = hint: a quote or a closing bracket is missing, or the file was cut off

"#]]);
}

#[test]
fn a_second_value_behind_the_first_is_no_json() {
    Model::of(format!("{}{{}}\n", read("models/stand.json"))).refused(str![[r#"
error: frame.json:55:1: this is not JSON: something stands behind the end of the model
   |
55 | {}
   | ^
   |
   = hint: a closing bracket too many, or a second model

"#]]);
}

#[test]
fn nesting_of_128_is_still_read() {
    nested(128).refused(str![[r#"
error: frame.json:2:16: deep: "deep" is not a key that is known here
  |
2 |   "format": 1, "deep": [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[
  |                ^^^^^^
  |
  = hint: known here: $schema, format, title, date, notes, mirror, materials, tubes, nodes, brackets, members, mounts and 13 more

"#]]);
}

#[test]
fn nesting_of_129_is_refused() {
    nested(129).refused(str![[r#"
error: frame.json:2:151: lists and objects are nested deeper than 128
  |
2 | [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]...
  |                                                                                 ^

"#]]);
}

#[test]
fn a_key_given_twice_at_the_top_is_refused_wherever_it_stands() {
    stand().with("\"limits\": {\"yield\": 1.5, \"column\": 1.5},", "\"limits\": {}, \"mounts\": {},").refused(str![[
        r#"
error: frame.json:48:17: mounts: "mounts" is given twice in one object, on lines 32 and 48
   |
48 |   "limits": {}, "mounts": {},
   |                 ^^^^^^^^
   |
   = hint: remove or rename one of the two

"#
    ]]);
}

#[test]
fn a_node_given_twice_is_refused() {
    stand().with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500],\n    \"A\": [0, 0, 10]").refused(str![[r#"
error: frame.json:21:5: nodes.A: "A" is given twice in one object, on lines 16 and 21
   |
21 |     "A": [0, 0, 10]
   |     ^^^
   |
   = hint: remove or rename one of the two

"#]]);
}

#[test]
fn a_key_given_twice_in_a_case_is_refused() {
    stand().with("\"factor\": 1.5", "\"factor\": 1.5, \"factor\": 2").refused(str![[r#"
error: frame.json:44:100: cases.hanging.factor: "factor" is given twice in one object, on line 44
   |
44 | rces": {"C": [0, 0, -1000]}, "moments": {"engine": [0, 150, 0]}, "factor": 1.5, "factor": 2},
   |                                                                                 ^^^^^^^^
   |
   = hint: remove or rename one of the two

"#]]);
}

#[test]
fn a_key_that_is_the_same_only_when_unescaped_is_given_twice_all_the_same() {
    stand().with("\"factor\": 1.5", "\"factor\": 1.5, \"f\\u0061ctor\": 2").refused(str![[r#"
error: frame.json:44:100: cases.hanging.factor: "factor" is given twice in one object, on line 44
   |
44 | rces": {"C": [0, 0, -1000]}, "moments": {"engine": [0, 150, 0]}, "factor": 1.5, "f\u0061ctor": 2},
   |                                                                                 ^^^^^^^^^^^^^
   |
   = hint: remove or rename one of the two

"#]]);
}

#[test]
fn a_key_given_twice_hides_no_other_mistake() {
    stand()
        .with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500],\n    \"A\": [0, 0]")
        .with("\"od\": 38", "\"od\": -38")
        .refused(str![[r#"
error: frame.json:12:24: tubes.main.round.od: od is -38 mm; it must be above 0
   |
12 |     "main": {"round": {"od": -38, "wall": 2}, "material": "steel"},
   |                        ^^^^

error: frame.json:21:5: nodes.A: "A" is given twice in one object, on lines 16 and 21
   |
21 |     "A": [0, 0]
   |     ^^^
   |
   = hint: remove or rename one of the two

2 problems in frame.json

"#]]);
}

#[test]
fn what_follows_from_a_key_given_twice_is_no_second_mistake() {
    // Half of the nodes, a link's other end, a member, the mirror, a key of its kind: all were meant.
    let once = [
        ("[600, 0, 0],\n    \"E\"", "[600, 0, 0]\n  },\n  \"nodes\": {\n    \"E\"", "nodes"),
        ("\"D\": [600, 0, 0]", "\"C\": [600, 0, 0]", "nodes.C"),
        ("\"left stay\": {", "\"right stay\": {", "members.right stay"),
        ("\"cg\": [300, 0, 700]", "\"mass\": 80", "bodies.engine.mass"),
        ("\"lug\": {\"x\": 900", "\"ear\": {\"x\": 900", "bodies.engine.mounts.ear"),
        ("\"yield\": 235", "\"density\": 235", "materials.steel.density"),
        ("\"wall\": 2}, \"material\": \"steel\"}", "\"od\": 2}, \"material\": \"steel\"}", "tubes.main.round.od"),
        ("\"D\": \"bolted pad\"", "\"A\": \"bolted pad\"", "mounts.A"),
    ];
    for (from, to, key) in once {
        stand().with(from, to).refused_once(key, "is given twice in one object");
    }
    let of_car = [
        ("\"brake_share_front\"", "\"drive_share_front\"", "vehicle.drive_share_front"),
        ("\"TI.l\": [", "\"ST.l\": [", "nodes.ST.l"),
    ];
    for (from, to, key) in of_car {
        car().with(from, to).refused_once(key, "is given twice in one object");
    }
    car().with("\"mirror\": true", "\"mirror\": false, \"mirror\": true").refused_once("mirror", "given twice");
}

#[test]
fn a_key_given_twice_in_an_option_is_told_once_and_nothing_that_follows_from_it() {
    stand()
        .with(
            "\"tubes\": {\"brace\": {\"square\": {\"wall\": 3}}}",
            "\"nodes\": {\"F\": [0, 400, 0], \"F\": [0, 500, 0]},\n      \
             \"members\": {\"leg\": {\"ends\": [\"F\", \"G\"], \"tube\": \"main\"}}",
        )
        .refused_once("options.thicker.change.nodes.F", "is given twice in one object, on line 51");
}

#[test]
fn mistakes_are_told_in_the_order_of_their_places_all_in_one_run() {
    stand()
        .with("\"title\": \"A stand that holds an engine over a bench\"", "\"title\": 5")
        .with("\"od\": 38, \"wall\": 2", "\"od\": 38, \"wall\": 20")
        .with("[300, 400, 500]", "[300, 400]")
        .with("\"through\": [\"A\", \"B\"", "\"through\": [\"A\", \"Bee\"")
        .with("\"E\": {\"x\": 4000", "\"E\": {\"x\": -4000")
        .with("\"mass\": 80", "\"mass\": \"80 N\"")
        .with("\"g\": {\"vert\": 3}", "\"g\": {\"vertical\": 3}")
        .with("\"limits\": {\"yield\": 1.2}", "\"limits\": {\"yield\": 0}")
        .refused(str![[r#"
error: frame.json:3:3: title: expected a text, found a number
  |
3 |   "title": 5,
  |   ^^^^^^^

error: frame.json:12:34: tubes.main.round.wall: wall 20 mm is not under half of the outside, 38 mm
   |
12 |     "main": {"round": {"od": 38, "wall": 20}, "material": "steel"},
   |                                  ^^^^^^
   |
   = hint: a solid section is a "bar" or a "flat"

error: frame.json:20:5: nodes.E: expected 3 elements, found 2
   |
20 |     "E": [300, 400]
   |     ^^^

error: frame.json:27:31: members.hoop.through[1]: there is no node or bracket "Bee"
   |
27 |     "hoop": {"through": ["A", "Bee", "C", "D"], "tube": "main", "bend_radius": 40},
   |                               ^^^^^
   |
   = hint: there are: A, B, C, D, ear, lug

error: frame.json:35:11: mounts.E.x: x is -4000 N/mm; it may not be below 0
   |
35 |     "E": {"x": -4000, "y": "fixed", "z": "fixed"}
   |           ^^^

error: frame.json:39:7: bodies.engine.mass: "80 N": N is a unit of force; a mass is in kg, g, t, lb
   |
39 |       "mass": "80 N", "cg": [300, 0, 700], "inertia": [2, 2, 3],
   |       ^^^^^^

error: frame.json:45:22: cases.weight.g.vertical: "vertical" is not a key that is known here
   |
45 |     "weight": {"g": {"vertical": 3}, "wheels": "none"},
   |                      ^^^^^^^^^^
   |
   = hint: known here: long, lat, vert, note

error: frame.json:46:92: cases.pulled.limits.yield: yield is 0; it must be above 0
   |
46 | ": {"line_loads": {"hoop": [0, 0.2, 0]}, "moved": {"E": {"x": 0.5}}, "limits": {"yield": 0}}
   |                                                                                 ^^^^^^^

8 problems in frame.json

"#]]);
}

#[test]
fn columns_count_characters_and_lines_end_with_their_line_feed() {
    let text = read("models/stand.json").replace('\n', "\r\n");
    Model::of(text)
        .with("\"title\": \"A stand that", "\"title\": \"Größe 5 µm – a stand that")
        .with("over a bench\",", "over a bench\", \"mirrored\": true,")
        .refused(str![[r#"
error: frame.json:3:70: mirrored: "mirrored" is not a key that is known here
  |
3 |   "title": "Größe 5 µm – a stand that holds an engine over a bench", "mirrored": true,
  |                                                                      ^^^^^^^^^^
  |
  = hint: did you mean "mirror"?

"#]]);
}

#[test]
fn of_a_file_in_one_line_only_the_part_round_the_mistake_is_shown() {
    let text = read("models/stand.json").replace('\n', " ");
    Model::of(text).with("\"mass\": 80", "\"mass\": -80").refused(str![[r#"
error: frame.json:1:1150: bodies.engine.mass: mass is -80 kg; it may not be below 0
  |
1 | "x": 4000, "y": "fixed", "z": "fixed"}   },   "bodies": {     "engine": {       "mass": -80, "cg": [300, 0, 700], "inertia": [2, 2, 3...
  |                                                                                 ^^^^^^

"#]]);
}

#[test]
fn what_could_steer_a_terminal_is_shown_as_a_replacement_character() {
    stand().with("\"material\": \"steel\"", "\"material\": \"st\\u001b[31meel\\u202e\"").refused(str![[r#"
error: frame.json:12:46: tubes.main.material: there is no material "st�[31meel�"
   |
12 |     "main": {"round": {"od": 38, "wall": 2}, "material": "st\u001b[31meel\u202e"},
   |                                              ^^^^^^^^^^
   |
   = hint: there are: steel, E215+N, E235+N, E235+C, E255+SR, E355+N, E355+C, S235JRH, S275J0H, S275J2H, S355J0H, S355J2H and 8 more; `crossbrace materials` lists the built-in ones with their strengths

"#]]);
}

#[test]
fn null_stands_only_where_the_format_page_says_so() {
    stand()
        .with("\"notes\": \"Invented data.\"", "\"notes\": null")
        .with("\"inertia\": [2, 2, 3]", "\"inertia\": null")
        .with("\"ear\": \"one bolt\"", "\"ear\": null")
        .with("\"limits\": {\"yield\": 1.5, \"column\": 1.5}", "\"limits\": null")
        .refused(str![[r#"
error: frame.json:4:3: notes: expected a text, found null
  |
4 |   "notes": null,
  |   ^^^^^^^

error: frame.json:39:40: bodies.engine.inertia: expected a list of 3, found null
   |
39 |       "mass": 80, "cg": [300, 0, 700], "inertia": null,
   |                                        ^^^^^^^^^

error: frame.json:40:18: bodies.engine.mounts.ear: expected "one bolt", "bolted pad", "rides", "clamp", or an object of directions such as {"z": "fixed"}, found null
   |
40 |       "mounts": {"ear": null, "lug": {"x": 900, "y": 900, "z": 900, "rx": 50}}
   |                  ^^^^^

error: frame.json:48:3: limits: expected an object with the keys yield, column, buckling, pickup_move, toe, camber, frequency, twist, fatigue, note, found null
   |
48 |   "limits": null,
   |   ^^^^^^^^

4 problems in frame.json

"#]]);
}

#[test]
fn an_object_where_a_list_belongs_and_the_reverse_are_refused() {
    stand()
        .with("[600, 0, 500]", "{\"x\": 600}")
        .with("\"at\": [200, 0, 540]", "\"at\": {}")
        .with("[\"B\", \"E\"]", "{\"B\": \"E\"}")
        .with("\"cg\": [300, 0, 700]", "\"cg\": 300")
        .with("{\"C\": [0, 0, -1000]}", "[0, 0, -1000]")
        .refused(str![[r#"
error: frame.json:18:10: nodes.C: "at" is missing
   |
18 |     "C": {"x": 600},
   |          ^
   |
   = hint: "at": Place

error: frame.json:18:11: nodes.C.x: "x" is not a key that is known here
   |
18 |     "C": {"x": 600},
   |           ^^^
   |
   = hint: known here: at, pickup, note

error: frame.json:23:13: brackets.ear.at: expected a list of 3, found an object
   |
23 |     "ear": {"at": {}, "on": "hoop"},
   |             ^^^^

error: frame.json:29:19: members.left stay.ends: expected a list of 2, found an object
   |
29 |     "left stay": {"ends": {"B": "E"}, "tube": "brace", "joint": ["weld", "rod-end"]},
   |                   ^^^^^^

error: frame.json:39:19: bodies.engine.cg: expected a list of 3, found a number
   |
39 |       "mass": 80, "cg": 300, "inertia": [2, 2, 3],
   |                   ^^^^

error: frame.json:44:17: cases.hanging.forces: expected an object of names, found a list
   |
44 |     "hanging": {"forces": [0, 0, -1000], "moments": {"engine": [0, 150, 0]}, "factor": 1.5},
   |                 ^^^^^^^^

6 problems in frame.json

"#]]);
}

#[test]
fn a_section_of_the_file_that_is_no_object_is_refused() {
    Model::of(
        r#"{
  "format": 1,
  "materials": [], "tubes": "main", "nodes": 4, "brackets": true, "members": [["A", "B"]],
  "mounts": null, "bodies": [], "vehicle": [], "corners": "none", "anti_roll": 0.5,
  "cases": [{"g": {}}], "limits": 1.5, "options": ["K brace"]
}
"#,
    )
    .refused(str![[r#"
error: frame.json:3:3: materials: expected an object of names, found a list
  |
3 |   "materials": [], "tubes": "main", "nodes": 4, "brackets": true, "members": [["A", "B"]],
  |   ^^^^^^^^^^^

error: frame.json:3:20: tubes: expected an object of names, found a text
  |
3 |   "materials": [], "tubes": "main", "nodes": 4, "brackets": true, "members": [["A", "B"]],
  |                    ^^^^^^^

error: frame.json:3:37: nodes: expected an object of names, found a number
  |
3 |   "materials": [], "tubes": "main", "nodes": 4, "brackets": true, "members": [["A", "B"]],
  |                                     ^^^^^^^

error: frame.json:3:49: brackets: expected an object of names, found true or false
  |
3 |   "materials": [], "tubes": "main", "nodes": 4, "brackets": true, "members": [["A", "B"]],
  |                                                 ^^^^^^^^^^

error: frame.json:3:67: members: expected an object of names, found a list
  |
3 |   "materials": [], "tubes": "main", "nodes": 4, "brackets": true, "members": [["A", "B"]],
  |                                                                   ^^^^^^^^^

error: frame.json:4:3: mounts: expected an object of names, found null
  |
4 |   "mounts": null, "bodies": [], "vehicle": [], "corners": "none", "anti_roll": 0.5,
  |   ^^^^^^^^

error: frame.json:4:19: bodies: expected an object of names, found a list
  |
4 |   "mounts": null, "bodies": [], "vehicle": [], "corners": "none", "anti_roll": 0.5,
  |                   ^^^^^^^^

error: frame.json:4:33: vehicle: expected an object with the keys mass, wheelbase, track, cg, lateral_transfer_share_front, brake_share_front, drive_share_front, tyre_grip, pneumatic_trail, note, found a list
  |
4 |   "mounts": null, "bodies": [], "vehicle": [], "corners": "none", "anti_roll": 0.5,
  |                                 ^^^^^^^^^

error: frame.json:4:48: corners: expected an object of names, found a text
  |
4 |   "mounts": null, "bodies": [], "vehicle": [], "corners": "none", "anti_roll": 0.5,
  |                                                ^^^^^^^^^

error: frame.json:4:67: anti_roll: expected an object of names, found a number
  |
4 |   "mounts": null, "bodies": [], "vehicle": [], "corners": "none", "anti_roll": 0.5,
  |                                                                   ^^^^^^^^^^^

error: frame.json:5:3: cases: expected an object of names, found a list
  |
5 |   "cases": [{"g": {}}], "limits": 1.5, "options": ["K brace"]
  |   ^^^^^^^

error: frame.json:5:25: limits: expected an object with the keys yield, column, buckling, pickup_move, toe, camber, frequency, twist, fatigue, note, found a number
  |
5 |   "cases": [{"g": {}}], "limits": 1.5, "options": ["K brace"]
  |                         ^^^^^^^^

error: frame.json:5:40: options: expected an object of names, found a list
  |
5 |   "cases": [{"g": {}}], "limits": 1.5, "options": ["K brace"]
  |                                        ^^^^^^^^^

13 problems in frame.json

"#]]);
}

#[test]
fn a_text_where_true_or_false_belongs_is_refused() {
    car().with("\"mirror\": true", "\"mirror\": \"yes\"").refused(str![[r#"
error: frame.json:5:3: mirror: expected true or false, found a text
  |
5 |   "mirror": "yes",
  |   ^^^^^^^^

"#]]);
}

#[test]
fn another_format_is_not_read() {
    stand().with("\"format\": 1", "\"format\": 2").refused(str![[r#"
error: frame.json:2:3: format: format 2 is not known; this version reads format 1
  |
2 |   "format": 2,
  |   ^^^^^^^^

"#]]);
}

#[test]
fn the_format_is_a_number_and_no_text() {
    stand().with("\"format\": 1", "\"format\": \"1\"").refused(str![[r#"
error: frame.json:2:3: format: "1" is a text; here stands a plain number, without unit and quotes
  |
2 |   "format": "1",
  |   ^^^^^^^^

"#]]);
}

#[test]
fn the_schema_of_an_editor_is_a_text() {
    stand().with("\"format\": 1", "\"$schema\": {}, \"format\": 1").refused(str![[r#"
error: frame.json:2:3: $schema: expected a text, found an object
  |
2 |   "$schema": {}, "format": 1,
  |   ^^^^^^^^^

"#]]);
}

#[test]
fn a_date_is_written_year_month_day() {
    stand().with("\"format\": 1", "\"format\": 1, \"date\": \"12.11.2026\"").refused(str![[r#"
error: frame.json:2:16: date: "12.11.2026" is no date; write year-month-day, such as "2026-11-25"
  |
2 |   "format": 1, "date": "12.11.2026",
  |                ^^^^^^

"#]]);
}

/// Every value of a document, with its path.
fn values<'n>(node: &'n Node, path: Path, found: &mut Vec<(Path, &'n Node)>) {
    match &node.value {
        Value::Object(entries) => {
            for entry in entries {
                values(&entry.node, path.then(&entry.key), found);
            }
        }
        Value::List(elements) => {
            for (index, element) in elements.iter().enumerate() {
                values(element, path.then(index), found);
            }
        }
        _ => {}
    }
    found.push((path, node));
}

#[test]
fn a_value_of_a_wrong_type_is_told_once_at_its_path_and_draws_no_other_message_after_it() {
    for model in ["models/stand.json", "models/car.json"] {
        let text = read(model);
        let document = Document::read(text.clone().into_bytes()).unwrap();
        let mut all = Vec::new();
        values(&document.root, Path::default(), &mut all);
        let count = all.len();
        for (path, node) in all {
            let wrong = if matches!(node.value, Value::Bool(_)) { "5" } else { "true" };
            let broken = format!("{}{wrong}{}", &text[..node.span.start], &text[node.span.end..]);
            let problems = load_all(&Document::read(broken.into_bytes()).unwrap()).unwrap_err();
            // Inside a change the path is that of the file as changed.
            let inside = path.0.iter().position(|step| *step == Step::from("change")).map_or(0, |change| change + 1);
            let expected = Path(path.0[if inside < path.0.len() { inside } else { 0 }..].to_vec());
            let told: Vec<&Path> = problems.iter().map(|problem| &problem.path).collect();
            assert_eq!(told, [&expected], "{model}: {path}: {problems:#?}");
        }
        assert!(count > 100, "{model} has {count} values");
    }
}
