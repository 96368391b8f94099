//! Limits: of the file, and of a case.

use snapbox::str;

use super::{Model, car, stand};

const LIMITS: &str = "\"limits\": {\"pickup_move\": 2, \"toe\": 0.5, \"camber\": 0.5, \"twist\": 200}";

fn limits(keys: &str) -> Model {
    car().with(LIMITS, &format!("\"limits\": {{{keys}}}"))
}

#[test]
fn a_margin_is_above_0() {
    limits("\"yield\": 0, \"column\": -1.5, \"buckling\": 0").refused(str![[r#"
error: frame.json:70:14: limits.yield: yield is 0; it must be above 0
   |
70 |   "limits": {"yield": 0, "column": -1.5, "buckling": 0},
   |              ^^^^^^^

error: frame.json:70:26: limits.column: column is -1.5; it must be above 0
   |
70 |   "limits": {"yield": 0, "column": -1.5, "buckling": 0},
   |                          ^^^^^^^^

error: frame.json:70:42: limits.buckling: buckling is 0; it must be above 0
   |
70 |   "limits": {"yield": 0, "column": -1.5, "buckling": 0},
   |                                          ^^^^^^^^^^

3 problems in frame.json

"#]]);
}

#[test]
fn a_limit_is_not_below_0() {
    limits("\"pickup_move\": -1, \"toe\": -0.1, \"camber\": -0.1, \"frequency\": -20, \"twist\": -5, \"fatigue\": -3")
        .refused(str![[r#"
error: frame.json:70:14: limits.pickup_move: pickup_move is -1 mm; it may not be below 0
   |
70 |   "limits": {"pickup_move": -1, "toe": -0.1, "camber": -0.1, "frequency": -20, "twist": -5, "fatigue": -3}
   |              ^^^^^^^^^^^^^

error: frame.json:70:33: limits.toe: toe is -0.1 deg; it may not be below 0
   |
70 |   "limits": {"pickup_move": -1, "toe": -0.1, "camber": -0.1, "frequency": -20, "twist": -5, "fatigue": -3},
   |                                 ^^^^^

error: frame.json:70:46: limits.camber: camber is -0.1 deg; it may not be below 0
   |
70 |   "limits": {"pickup_move": -1, "toe": -0.1, "camber": -0.1, "frequency": -20, "twist": -5, "fatigue": -3},
   |                                              ^^^^^^^^

error: frame.json:70:62: limits.frequency: frequency is -20 Hz; it may not be below 0
   |
70 |   "limits": {"pickup_move": -1, "toe": -0.1, "camber": -0.1, "frequency": -20, "twist": -5, "fatigue": -3},
   |                                                              ^^^^^^^^^^^

error: frame.json:70:80: limits.twist: twist is -5 N m/deg; it may not be below 0
   |
70 |   "limits": {"pickup_move": -1, "toe": -0.1, "camber": -0.1, "frequency": -20, "twist": -5, "fatigue": -3},
   |                                                                                ^^^^^^^

error: frame.json:70:93: limits.fatigue: fatigue is -3; it may not be below 0
   |
70 | {"pickup_move": -1, "toe": -0.1, "camber": -0.1, "frequency": -20, "twist": -5, "fatigue": -3},
   |                                                                                 ^^^^^^^^^

6 problems in frame.json

"#]]);
}

#[test]
fn a_limit_of_0_is_allowed_and_fails_whatever_moves() {
    let result = super::result(&limits("\"pickup_move\": 0, \"toe\": 0"));
    let failing: Vec<&str> =
        result["verdict"]["failing"].as_array().unwrap().iter().filter_map(|one| one["check"].as_str()).collect();
    assert!(failing.contains(&"pickup_move") && failing.contains(&"toe"), "{failing:?}");
}

#[test]
fn a_check_without_a_limit_to_set_is_no_limit() {
    limits("\"wall\": 1").refused(str![[r#"
error: frame.json:70:14: limits.wall: "wall" is not a key that is known here
   |
70 |   "limits": {"wall": 1},
   |              ^^^^^^
   |
   = hint: known here: yield, column, buckling, pickup_move, toe, camber, frequency, twist, fatigue, note

"#]]);
}

#[test]
fn a_limit_that_is_not_there_names_the_nearest() {
    limits("\"pickup_moves\": 1").refused(str![[r#"
error: frame.json:70:14: limits.pickup_moves: "pickup_moves" is not a key that is known here
   |
70 |   "limits": {"pickup_moves": 1},
   |              ^^^^^^^^^^^^^^
   |
   = hint: did you mean "pickup_move"?

"#]]);
}

#[test]
fn a_margin_is_a_number_without_unit() {
    limits("\"yield\": \"150 %\"").refused(str![[r#"
error: frame.json:70:14: limits.yield: "150 %" is a text; here stands a plain number, without unit and quotes
   |
70 |   "limits": {"yield": "150 %"},
   |              ^^^^^^^

"#]]);
}

#[test]
fn a_limit_of_the_file_is_not_null() {
    limits("\"toe\": null").refused(str![[r#"
error: frame.json:70:14: limits.toe: expected an angle (deg, or a text with its unit), found null
   |
70 |   "limits": {"toe": null},
   |              ^^^^^

"#]]);
}

#[test]
fn a_limit_of_a_case_may_be_null() {
    car()
        .with("{\"long\": -1.1}", "{\"long\": -1.1}, \"limits\": {\"toe\": null, \"yield\": null, \"twist\": null}")
        .accepted();
}

#[test]
fn frequency_and_fatigue_are_no_limits_of_a_case() {
    stand().with("\"limits\": {\"yield\": 1.2}", "\"limits\": {\"frequency\": 30, \"fatigue\": 2}").refused(str![[
        r#"
error: frame.json:46:92: cases.pulled.limits.frequency: "frequency" is not a key that is known here
   |
46 | ": {"line_loads": {"hoop": [0, 0.2, 0]}, "moved": {"E": {"x": 0.5}}, "limits": {"frequency": 30, "fatigue": 2}}
   |                                                                                 ^^^^^^^^^^^
   |
   = hint: known here: yield, column, buckling, pickup_move, toe, camber, twist, note

error: frame.json:46:109: cases.pulled.limits.fatigue: "fatigue" is not a key that is known here
   |
46 |  {"hoop": [0, 0.2, 0]}, "moved": {"E": {"x": 0.5}}, "limits": {"frequency": 30, "fatigue": 2}}
   |                                                                                 ^^^^^^^^^
   |
   = hint: known here: yield, column, buckling, pickup_move, toe, camber, twist, note

2 problems in frame.json

"#
    ]]);
}

#[test]
fn the_limits_of_a_case_have_the_same_ranges() {
    stand()
        .with(
            "\"limits\": {\"yield\": 1.2}",
            "\"limits\": {\"yield\": -1, \"column\": 0, \"buckling\": 0, \"pickup_move\": -1, \"toe\": -1, \"camber\": -1, \"twist\": -1}",
        )
        .refused(str![[r#"
error: frame.json:46:92: cases.pulled.limits.yield: yield is -1; it must be above 0
   |
46 | ": {"line_loads": {"hoop": [0, 0.2, 0]}, "moved": {"E": {"x": 0.5}}, "limits": {"yield": -1, "column": 0, "buckling": 0, "pickup_mov...
   |                                                                                 ^^^^^^^

error: frame.json:46:105: cases.pulled.limits.column: column is 0; it must be above 0
   |
46 | ds": {"hoop": [0, 0.2, 0]}, "moved": {"E": {"x": 0.5}}, "limits": {"yield": -1, "column": 0, "buckling": 0, "pickup_move": -1, "toe"...
   |                                                                                 ^^^^^^^^

error: frame.json:46:118: cases.pulled.limits.buckling: buckling is 0; it must be above 0
   |
46 |  [0, 0.2, 0]}, "moved": {"E": {"x": 0.5}}, "limits": {"yield": -1, "column": 0, "buckling": 0, "pickup_move": -1, "toe": -1, "camber...
   |                                                                                 ^^^^^^^^^^

error: frame.json:46:133: cases.pulled.limits.pickup_move: pickup_move is -1 mm; it may not be below 0
   |
46 | "moved": {"E": {"x": 0.5}}, "limits": {"yield": -1, "column": 0, "buckling": 0, "pickup_move": -1, "toe": -1, "camber": -1, "twist":...
   |                                                                                 ^^^^^^^^^^^^^

error: frame.json:46:152: cases.pulled.limits.toe: toe is -1 deg; it may not be below 0
   |
46 | : 0.5}}, "limits": {"yield": -1, "column": 0, "buckling": 0, "pickup_move": -1, "toe": -1, "camber": -1, "twist": -1}}
   |                                                                                 ^^^^^

error: frame.json:46:163: cases.pulled.limits.camber: camber is -1 deg; it may not be below 0
   |
46 | imits": {"yield": -1, "column": 0, "buckling": 0, "pickup_move": -1, "toe": -1, "camber": -1, "twist": -1}}
   |                                                                                 ^^^^^^^^

error: frame.json:46:177: cases.pulled.limits.twist: twist is -1 N m/deg; it may not be below 0
   |
46 | d": -1, "column": 0, "buckling": 0, "pickup_move": -1, "toe": -1, "camber": -1, "twist": -1}}
   |                                                                                 ^^^^^^^

7 problems in frame.json

"#]]);
}
