//! Quantities: a number in the default unit, or a text with its unit.

use snapbox::str;

use super::{car, stand};
use crate::support::program::Scratch;
use crate::support::read;

#[test]
fn a_text_without_a_unit_is_refused() {
    stand().with("\"od\": 38", "\"od\": \"38\"").refused(str![[r#"
error: frame.json:12:24: tubes.main.round.od: "38" has no unit; write "38 mm", or 38 without quotes
   |
12 |     "main": {"round": {"od": "38", "wall": 2}, "material": "steel"},
   |                        ^^^^

"#]]);
}

#[test]
fn a_fraction_is_refused() {
    stand().with("\"od\": 38", "\"od\": \"1 1/2 in\"").with("\"side\": 25", "\"side\": \"1/2 in\"").refused(str![[r#"
error: frame.json:12:24: tubes.main.round.od: "1 1/2 in" has a fraction in it; write a decimal number with a point: "1.5 in"
   |
12 |     "main": {"round": {"od": "1 1/2 in", "wall": 2}, "material": "steel"},
   |                        ^^^^

error: frame.json:13:26: tubes.brace.square.side: "1/2 in" has a fraction in it; write a decimal number with a point: "0.5 in"
   |
13 |     "brace": {"square": {"side": "1/2 in", "wall": 2}, "material": "E235+N"}
   |                          ^^^^^^

2 problems in frame.json

"#]]);
}

#[test]
fn a_decimal_comma_is_refused() {
    stand().with("\"od\": 38", "\"od\": \"38,1 mm\"").refused(str![[r#"
error: frame.json:12:24: tubes.main.round.od: "38,1 mm" has a decimal comma; write a decimal number with a point: "38.1 mm"
   |
12 |     "main": {"round": {"od": "38,1 mm", "wall": 2}, "material": "steel"},
   |                        ^^^^

"#]]);
}

#[test]
fn two_blanks_before_a_unit_are_one_too_many() {
    stand().with("\"od\": 38", "\"od\": \"38  mm\"").refused(str![[r#"
error: frame.json:12:24: tubes.main.round.od: "38  mm" is not a number and a unit; write a decimal number with a point, at most one blank, and one of mm, cm, m, in, ft, thou
   |
12 |     "main": {"round": {"od": "38  mm", "wall": 2}, "material": "steel"},
   |                        ^^^^

"#]]);
}

#[test]
fn a_blank_behind_a_unit_is_refused() {
    stand().with("\"od\": 38", "\"od\": \"38 mm \"").refused(str![[r#"
error: frame.json:12:24: tubes.main.round.od: "38 mm ": a unit is written in its exact letters, here "mm"
   |
12 |     "main": {"round": {"od": "38 mm ", "wall": 2}, "material": "steel"},
   |                        ^^^^

"#]]);
}

#[test]
fn a_unit_has_its_exact_letters() {
    stand().with("\"od\": 38", "\"od\": \"38 MM\"").refused(str![[r#"
error: frame.json:12:24: tubes.main.round.od: "38 MM": a unit is written in its exact letters, here "mm"
   |
12 |     "main": {"round": {"od": "38 MM", "wall": 2}, "material": "steel"},
   |                        ^^^^

"#]]);
}

#[test]
fn a_unit_written_in_another_way_is_answered_with_its_own_letters() {
    stand()
        .with("\"od\": 38", "\"od\": \"1.5 inches\"")
        .with("\"mass\": 80", "\"mass\": \"176 lbs\"")
        .with("[0, 0, -1000]", "[\"0 pounds\", \"5 Newton\", \"-1 kilonewton\"]")
        .with("[0, 150, 0]", "[\"1 ft lbs\", \"2 in-lb\", \"3 ftlb\"]")
        .with("\"E\": {\"x\": 4000", "\"E\": {\"x\": \"20 lbs/inch\"")
        .with("\"rx\": 50", "\"rx\": \"50 N m/degree\"")
        .with("\"density\": 7850", "\"density\": \"7850 kg/m^3\"")
        .refused(str![[r#"
error: frame.json:7:57: materials.steel.density: "7850 kg/m^3": a unit is written in its exact letters, here "kg/m3"
  |
7 |       "youngs_modulus": 210000, "shear_modulus": 81000, "density": "7850 kg/m^3",
  |                                                         ^^^^^^^^^

error: frame.json:12:24: tubes.main.round.od: "1.5 inches": a unit is written in its exact letters, here "in"
   |
12 |     "main": {"round": {"od": "1.5 inches", "wall": 2}, "material": "steel"},
   |                        ^^^^

error: frame.json:35:11: mounts.E.x: "20 lbs/inch": a unit is written in its exact letters, here "lbf/in"
   |
35 |     "E": {"x": "20 lbs/inch", "y": "fixed", "z": "fixed"}
   |           ^^^

error: frame.json:39:7: bodies.engine.mass: "176 lbs": a unit is written in its exact letters, here "lb"
   |
39 |       "mass": "176 lbs", "cg": [300, 0, 700], "inertia": [2, 2, 3],
   |       ^^^^^^

error: frame.json:40:75: bodies.engine.mounts.lug.rx: "50 N m/degree": a unit is written in its exact letters, here "N m/deg"
   |
40 |       "mounts": {"ear": "one bolt", "lug": {"x": 900, "y": 900, "z": 900, "rx": "50 N m/degree"}}
   |                                                                           ^^^^

error: frame.json:44:34: cases.hanging.forces.C[0]: "0 pounds": a unit is written in its exact letters, here "lbf"
   |
44 |     "hanging": {"forces": {"C": ["0 pounds", "5 Newton", "-1 kilonewton"]}, "moments": {"engine": ["1 ft lbs", "2 in-lb", "
   |                                  ^^^^^^^^^^

error: frame.json:44:46: cases.hanging.forces.C[1]: "5 Newton": a unit is written in its exact letters, here "N"
   |
44 |     "hanging": {"forces": {"C": ["0 pounds", "5 Newton", "-1 kilonewton"]}, "moments": {"engine": ["1 ft lbs", "2 in-lb", "3 ftlb"]}, "
   |                                              ^^^^^^^^^^

error: frame.json:44:58: cases.hanging.forces.C[2]: "-1 kilonewton": a unit is written in its exact letters, here "kN"
   |
44 |     "hanging": {"forces": {"C": ["0 pounds", "5 Newton", "-1 kilonewton"]}, "moments": {"engine": ["1 ft lbs", "2 in-lb", "3 ftlb"]}...
   |                                                          ^^^^^^^^^^^^^^^

error: frame.json:44:100: cases.hanging.moments.engine[0]: "1 ft lbs": a unit is written in its exact letters, here "lbf ft"
   |
44 | rces": {"C": ["0 pounds", "5 Newton", "-1 kilonewton"]}, "moments": {"engine": ["1 ft lbs", "2 in-lb", "3 ftlb"]}, "factor": 1.5},
   |                                                                                 ^^^^^^^^^^

error: frame.json:44:112: cases.hanging.moments.engine[1]: "2 in-lb": a unit is written in its exact letters, here "lbf in"
   |
44 |  ["0 pounds", "5 Newton", "-1 kilonewton"]}, "moments": {"engine": ["1 ft lbs", "2 in-lb", "3 ftlb"]}, "factor": 1.5},
   |                                                                                 ^^^^^^^^^

error: frame.json:44:123: cases.hanging.moments.engine[2]: "3 ftlb": a unit is written in its exact letters, here "lbf ft"
   |
44 | ", "5 Newton", "-1 kilonewton"]}, "moments": {"engine": ["1 ft lbs", "2 in-lb", "3 ftlb"]}, "factor": 1.5},
   |                                                                                 ^^^^^^^^

11 problems in frame.json

"#]]);
}

#[test]
fn another_wire_gauge_than_the_standard_one_is_answered_with_what_is_known() {
    stand()
        .with("\"wall\": 2}, \"material\": \"steel\"", "\"wall\": \"14 SWG\"}, \"material\": \"steel\"")
        .refused(str![[r#"
error: frame.json:12:34: tubes.main.round.wall: "14 SWG": of the wire gauges only the standard one is known, as "14 swg"; else give the wall in mm or in
   |
12 |     "main": {"round": {"od": 38, "wall": "14 SWG"}, "material": "steel"},
   |                                  ^^^^^^

"#]]);
    stand()
        .with("\"wall\": 2}, \"material\": \"steel\"", "\"wall\": \"14 gauge\"}, \"material\": \"steel\"")
        .refused(str![[r#"
error: frame.json:12:34: tubes.main.round.wall: "14 gauge": of the wire gauges only the standard one is known, as "14 swg"; else give the wall in mm or in
   |
12 |     "main": {"round": {"od": 38, "wall": "14 gauge"}, "material": "steel"},
   |                                  ^^^^^^

"#]]);
}

#[test]
fn an_infinite_number_with_a_unit_is_refused() {
    stand().with("\"od\": 38", "\"od\": \"1e999 mm\"").refused(str![[r#"
error: frame.json:12:24: tubes.main.round.od: "1e999 mm" is out of range
   |
12 |     "main": {"round": {"od": "1e999 mm", "wall": 2}, "material": "steel"},
   |                        ^^^^

"#]]);
}

#[test]
fn a_number_that_its_unit_makes_infinite_is_refused() {
    stand().with("\"od\": 38", "\"od\": \"1e308 m\"").refused(str![[r#"
error: frame.json:12:24: tubes.main.round.od: "1e308 m" is out of range: a length is at most 1e9 mm
   |
12 |     "main": {"round": {"od": "1e308 m", "wall": 2}, "material": "steel"},
   |                        ^^^^

"#]]);
}

#[test]
fn a_text_that_does_not_begin_with_a_number_is_refused() {
    stand().with("\"od\": 38", "\"od\": \"about 38 mm\"").refused(str![[r#"
error: frame.json:12:24: tubes.main.round.od: "about 38 mm" does not start with a number; write for instance "12.5 mm"
   |
12 |     "main": {"round": {"od": "about 38 mm", "wall": 2}, "material": "steel"},
   |                        ^^^^

"#]]);
}

#[test]
fn a_word_is_no_length() {
    stand().with("\"od\": 38", "\"od\": \"\"").refused(str![[r#"
error: frame.json:12:24: tubes.main.round.od: "" does not start with a number; write for instance "12.5 mm"
   |
12 |     "main": {"round": {"od": "", "wall": 2}, "material": "steel"},
   |                        ^^^^

"#]]);
}

#[test]
fn a_mass_in_newtons_is_refused_with_what_a_newton_is() {
    stand().with("\"mass\": 80", "\"mass\": \"785 N\"").refused(str![[r#"
error: frame.json:39:7: bodies.engine.mass: "785 N": N is a unit of force; a mass is in kg, g, t, lb
   |
39 |       "mass": "785 N", "cg": [300, 0, 700], "inertia": [2, 2, 3],
   |       ^^^^^^

"#]]);
}

#[test]
fn a_moment_in_newtons_is_refused() {
    stand().with("[0, 150, 0]", "[0, \"150 N\", 0]").refused(str![[r#"
error: frame.json:44:75: cases.hanging.moments.engine[1]: "150 N": N is a unit of force; a moment is in N m, N mm, kN m, lbf ft, lbf in
   |
44 |     "hanging": {"forces": {"C": [0, 0, -1000]}, "moments": {"engine": [0, "150 N", 0]}, "factor": 1.5},
   |                                                                           ^^^^^^^

"#]]);
}

#[test]
fn a_turning_rate_per_millimetre_is_refused() {
    stand().with("\"rx\": 50", "\"rx\": \"50 N/mm\"").refused(str![[r#"
error: frame.json:40:75: bodies.engine.mounts.lug.rx: "50 N/mm": N/mm is a unit of rate; a turning rate is in N m/rad, N m/deg, lbf ft/rad, lbf ft/deg
   |
40 |       "mounts": {"ear": "one bolt", "lug": {"x": 900, "y": 900, "z": 900, "rx": "50 N/mm"}}
   |                                                                           ^^^^

"#]]);
}

#[test]
fn a_rate_per_radian_is_refused() {
    stand().with("{\"x\": 4000", "{\"x\": \"4 N m/rad\"").refused(str![[r#"
error: frame.json:35:11: mounts.E.x: "4 N m/rad": N m/rad is a unit of turning rate; a rate is in N/mm, N/m, kN/m, kN/mm, lbf/in, lbf/ft
   |
35 |     "E": {"x": "4 N m/rad", "y": "fixed", "z": "fixed"}
   |           ^^^

"#]]);
}

#[test]
fn a_stress_in_kilonewtons_is_refused() {
    stand().with("\"yield\": 235", "\"yield\": \"235 kN/mm2\"").refused(str![[r#"
error: frame.json:8:7: materials.steel.yield: "235 kN/mm2": "kN/mm2" is not a known unit; a stress is in MPa, N/mm2, GPa, kPa, Pa, psi, ksi
  |
8 |       "yield": "235 kN/mm2", "ultimate": 360, "yield_at_weld": "same", "finish": "cold"
  |       ^^^^^^^

"#]]);
}

#[test]
fn a_density_in_pounds_per_foot_is_refused() {
    stand().with("\"density\": 7850", "\"density\": \"490 lb/ft3\"").refused(str![[r#"
error: frame.json:7:57: materials.steel.density: "490 lb/ft3": "lb/ft3" is not a known unit; a density is in kg/m3, g/cm3, lb/in3
  |
7 |       "youngs_modulus": 210000, "shear_modulus": 81000, "density": "490 lb/ft3",
  |                                                         ^^^^^^^^^

"#]]);
}

#[test]
fn a_wire_gauge_is_for_walls_only() {
    stand().with("\"od\": 38", "\"od\": \"16 swg\"").refused(str![[r#"
error: frame.json:12:24: tubes.main.round.od: "16 swg": wire gauges are for "wall" only; a length is in mm, cm, m, in, ft, thou
   |
12 |     "main": {"round": {"od": "16 swg", "wall": 2}, "material": "steel"},
   |                        ^^^^

"#]]);
}

#[test]
fn a_wire_gauge_is_whole() {
    stand().with("\"od\": 38, \"wall\": 2", "\"od\": 38, \"wall\": \"16.5 swg\"").refused(str![[r#"
error: frame.json:12:34: tubes.main.round.wall: "16.5 swg" is not in the wire gauge table: whole gauges from 1 to 50
   |
12 |     "main": {"round": {"od": 38, "wall": "16.5 swg"}, "material": "steel"},
   |                                  ^^^^^^

"#]]);
}

#[test]
fn a_wire_gauge_beyond_the_table_is_refused() {
    stand().with("\"od\": 38, \"wall\": 2", "\"od\": 38, \"wall\": \"0 swg\"").refused(str![[r#"
error: frame.json:12:34: tubes.main.round.wall: "0 swg" is not in the wire gauge table: whole gauges from 1 to 50
   |
12 |     "main": {"round": {"od": 38, "wall": "0 swg"}, "material": "steel"},
   |                                  ^^^^^^

"#]]);
}

#[test]
fn a_wall_in_kilograms_is_refused() {
    stand().with("\"od\": 38, \"wall\": 2", "\"od\": 38, \"wall\": \"2 kg\"").refused(str![[r#"
error: frame.json:12:34: tubes.main.round.wall: "2 kg": kg is a unit of mass; a wall thickness is in mm, cm, m, in, ft, thou, swg
   |
12 |     "main": {"round": {"od": 38, "wall": "2 kg"}, "material": "steel"},
   |                                  ^^^^^^

"#]]);
}

#[test]
fn a_number_without_a_unit_takes_no_text() {
    stand().with("\"factor\": 1.5", "\"factor\": \"1.5 x\"").refused(str![[r#"
error: frame.json:44:85: cases.hanging.factor: "1.5 x" is a text; here stands a plain number, without unit and quotes
   |
44 | "hanging": {"forces": {"C": [0, 0, -1000]}, "moments": {"engine": [0, 150, 0]}, "factor": "1.5 x"},
   |                                                                                 ^^^^^^^^

"#]]);
}

#[test]
fn a_length_that_is_true_is_refused() {
    stand().with("\"od\": 38", "\"od\": true").refused(str![[r#"
error: frame.json:12:24: tubes.main.round.od: expected a length (mm, or a text with its unit), found true or false
   |
12 |     "main": {"round": {"od": true, "wall": 2}, "material": "steel"},
   |                        ^^^^

"#]]);
}

#[test]
fn an_acceleration_in_newtons_is_refused() {
    car().with("\"long\": -1.1", "\"long\": \"-1.1 N\"").refused(str![[r#"
error: frame.json:64:23: cases.braking.g.long: "-1.1 N": N is a unit of force; an acceleration is in g, m/s2
   |
64 |     "braking": {"g": {"long": "-1.1 N"}},
   |                       ^^^^^^

"#]]);
}

#[test]
fn an_angle_in_millimetres_is_refused() {
    car().with("\"toe\": 0.5", "\"toe\": \"0.5 mm\"").refused(str![[r#"
error: frame.json:70:32: limits.toe: "0.5 mm": mm is a unit of length; an angle is in deg, rad
   |
70 |   "limits": {"pickup_move": 2, "toe": "0.5 mm", "camber": 0.5, "twist": 200},
   |                                ^^^^^

"#]]);
}

#[test]
fn a_twist_stiffness_per_radian_is_refused() {
    car().with("\"twist\": 200}", "\"twist\": \"200 N m/rad\"}").refused(str![[r#"
error: frame.json:70:59: limits.twist: "200 N m/rad": N m/rad is a unit of turning rate; a twist stiffness is in N m/deg, lbf ft/deg
   |
70 |   "limits": {"pickup_move": 2, "toe": 0.5, "camber": 0.5, "twist": "200 N m/rad"},
   |                                                           ^^^^^^^

"#]]);
}

#[test]
fn a_frequency_in_revolutions_is_refused() {
    car().with("\"twist\": 200}", "\"frequency\": \"3000 1/min\"}").refused(str![[r#"
error: frame.json:70:59: limits.frequency: "3000 1/min" is not a number and a unit; write a decimal number with a point, at most one blank, and one of Hz
   |
70 |   "limits": {"pickup_move": 2, "toe": 0.5, "camber": 0.5, "frequency": "3000 1/min"},
   |                                                           ^^^^^^^^^^^

"#]]);
}

#[test]
fn an_inertia_in_kilograms_is_refused() {
    stand().with("\"inertia\": [2, 2, 3]", "\"inertia\": [2, \"2 kg\", 3]").refused(str![[r#"
error: frame.json:39:55: bodies.engine.inertia[1]: "2 kg": kg is a unit of mass; an inertia is in kg m2, lb ft2
   |
39 |       "mass": 80, "cg": [300, 0, 700], "inertia": [2, "2 kg", 3],
   |                                                       ^^^^^^

"#]]);
}

#[test]
fn a_line_load_in_newtons_is_refused() {
    stand().with("[0, 0.2, 0]", "[0, \"0.2 N\", 0]").refused(str![[r#"
error: frame.json:46:43: cases.pulled.line_loads.hoop[1]: "0.2 N": N is a unit of force; a line load is in N/mm, N/m, kN/m, kN/mm, lbf/in, lbf/ft
   |
46 |     "pulled": {"line_loads": {"hoop": [0, "0.2 N", 0]}, "moved": {"E": {"x": 0.5}}, "limits": {"yield": 1.2}}
   |                                           ^^^^^^^

"#]]);
}

#[test]
fn figures_of_a_given_section_keep_their_power_of_a_length() {
    stand()
        .with(
            "{\"square\": {\"side\": 25, \"wall\": 2}",
            "{\"given\": {\"a\": \"180 mm\", \"iy\": \"1.6 cm2\", \"iz\": \"16000 mm4\", \"j\": 26000, \"ay\": \"80 mm3\", \"cy\": 12.5, \"cz\": 12.5, \"ct\": \"2 cm4\"}",
        )
        .refused(str![[r#"
error: frame.json:13:25: tubes.brace.given.a: "180 mm": mm is a unit of length; an area is in mm2, cm2, m2, in2
   |
13 |     "brace": {"given": {"a": "180 mm", "iy": "1.6 cm2", "iz": "16000 mm4", "j": 26000, "ay": "80 mm3", "cy"
   |                         ^^^

error: frame.json:13:40: tubes.brace.given.iy: "1.6 cm2": cm2 is a unit of area; a second moment of area is in mm4, cm4, m4, in4
   |
13 |     "brace": {"given": {"a": "180 mm", "iy": "1.6 cm2", "iz": "16000 mm4", "j": 26000, "ay": "80 mm3", "cy": 12.5, "cz": 12
   |                                        ^^^^

error: frame.json:13:88: tubes.brace.given.ay: "80 mm3": mm3 is a unit of section modulus; an area is in mm2, cm2, m2, in2
   |
13 | ace": {"given": {"a": "180 mm", "iy": "1.6 cm2", "iz": "16000 mm4", "j": 26000, "ay": "80 mm3", "cy": 12.5, "cz": 12.5, "ct": "2 cm4...
   |                                                                                 ^^^^

error: frame.json:13:128: tubes.brace.given.ct: "2 cm4": cm4 is a unit of second moment of area; a section modulus is in mm3, cm3, m3, in3
   |
13 | .6 cm2", "iz": "16000 mm4", "j": 26000, "ay": "80 mm3", "cy": 12.5, "cz": 12.5, "ct": "2 cm4"}, "material": "E235+N"}
   |                                                                                 ^^^^

error: frame.json:51:27: tubes.brace.square: a tube has one section, here are "square" and "given" (in option "thicker")
   |
51 |       "tubes": {"brace": {"square": {"wall": 3}}}
   |                           ^^^^^^^^
   |
   = hint: take one of the two out; the change of an option takes out the old one with "given": null

error: frame.json:51:37: tubes.brace.square: "side" is missing (in option "thicker")
   |
51 |       "tubes": {"brace": {"square": {"wall": 3}}}
   |                                     ^
   |
   = hint: "side": Outside dimension

6 problems in frame.json

"#]]);
}

#[test]
fn units_in_every_allowed_spelling_are_read() {
    stand()
        .with("\"od\": 38", "\"od\": \"1.5 in\"")
        .with("[0, 150, 0]", "[\"0 N·m\", \"150Nm\", \"0 N*m\"]")
        .with("\"side\": 25, \"wall\": 2", "\"side\": \"2.5 cm\", \"wall\": \"14 swg\"")
        .with("\"inertia\": [2, 2, 3]", "\"inertia\": [\"2 kg·m²\", \"2 kg m2\", \"3 kg*m²\"]")
        .accepted();
}

/// What `draw`, which judges nothing, warns of.
fn warnings_of_drawing(model: &str) -> String {
    let folder = Scratch::new();
    folder.write("frame.json", model);
    let ran = folder.run(["draw", "frame.json"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    ran.stderr
}

#[test]
fn a_node_in_metres_is_asked_about() {
    let text = read("models/car.json");
    let warnings = warnings_of_drawing(&text.replace("[-110, 270, 190]", "[-0.11, 0.27, 0.19]"));
    let told = "warning: \"TI.l\" is 0.35 mm from the origin: are its numbers in m? a bare number is in mm\n";
    assert!(warnings.contains(told), "{warnings}");
    // A node at the origin is none.
    assert_eq!(warnings_of_drawing(&read("models/stand.json")), "");
}

#[test]
fn a_tube_between_nodes_in_metres_is_asked_about() {
    let metres = r#"{"format": 1, "nodes": {"A": [0, 0, 0], "B": [0.5, 0, 0]}, "mounts": {"A": "bolted pad"},
        "tubes": {"t": {"round": {"od": 30, "wall": 2}, "material": "E235+N"}},
        "members": {"m": {"ends": ["A", "B"], "tube": "t"}}, "cases": {"push": {"forces": {"B": [0, 0, 100]}}}}"#;
    let warnings = warnings_of_drawing(metres);
    assert!(warnings.contains("; is one of its ends in another unit? a bare number is in mm\n"), "{warnings}");
}

#[test]
fn a_tube_size_in_metres_is_named_where_nothing_can_be_solved() {
    let text = read("models/car.json").replace("{\"od\": 38, \"wall\": 2}", "{\"od\": 0.038, \"wall\": 0.002}");
    let folder = Scratch::new();
    let ran = folder.write("frame.json", text).run(["check", "frame.json"]);
    assert_ne!(ran.code, Some(0), "{}", ran.stdout);
    let told =
        "warning: tube size \"rail\" is 0.038 mm outside: a digit too few, or another unit? a bare number is in mm";
    assert!(ran.stderr.starts_with(told), "{}", ran.stderr);
}

#[test]
fn a_wall_and_an_outside_in_another_unit_raise_the_question() {
    let told = |from: &str, to: &str| {
        let folder = Scratch::new();
        folder.write("cantilever.json", read("../models/cantilever.json").replace(from, to));
        folder.run(["check", "cantilever.json", "--quiet"])
    };
    for (wall, meant) in [("0.0015", "0.0015 m"), ("0.065", "0.065 in")] {
        let ran = told("\"wall\": 2", &format!("\"wall\": {wall}"));
        let question = format!("tube size \"tube\" has a wall of {wall} mm: is \"{meant}\" meant?");
        assert!(ran.stderr.contains(&question), "{}", ran.stderr);
        // The size is shown with digits that tell it.
        assert!(ran.stdout.contains(&format!("38×{wall}")), "{}", ran.stdout);
    }
    let ran = told("\"od\": 38", "\"od\": 0.038");
    let outside = "tubes.tube.round.od: od is 0.038 mm, which leaves no bore in a wall of 2 mm\n";
    assert!(ran.code == Some(2) && ran.stderr.contains(outside), "{}", ran.stderr);
    assert!(ran.stderr.contains("write \"0.038 m\" or \"0.038 in\" if that is meant"), "{}", ran.stderr);
}

#[test]
fn a_size_as_a_text_is_told_as_an_object_of_its_own_figures() {
    let hint = |text: &str| {
        let folder = Scratch::new();
        let round = format!("\"round\": \"{text}\"");
        let model = read("../models/cantilever.json");
        folder.write("cantilever.json", model.replace("\"round\": {\"od\": 38, \"wall\": 2}", &round));
        folder.run(["check", "cantilever.json"]).stderr
    };
    for (text, written) in [
        ("30x1.5", "write {\"od\": 30, \"wall\": 1.5}"),
        ("1.5 in × 16 swg", "write {\"od\": \"1.5 in\", \"wall\": \"16 swg\"}"),
        ("thirty", "write {\"od\": …, \"wall\": …}"),
        ("1x2x3", "write {\"od\": …, \"wall\": …}"),
    ] {
        assert!(hint(text).contains(written), "{}", hint(text));
    }
}

#[test]
fn sentences_give_huge_figures_as_powers_of_ten() {
    let folder = Scratch::new();
    folder.write("cantilever.json", read("../models/cantilever.json").replace("-1000]", "-1.76e27]"));
    let ran = folder.run(["check", "cantilever.json", "--quiet"]);
    let longest = |text: &str| {
        let runs = text.split(|letter: char| !letter.is_ascii_digit()).map(str::len);
        runs.max().unwrap_or(0)
    };
    assert!(longest(&ran.stdout) <= 8 && longest(&ran.stderr) <= 8, "{}{}", ran.stdout, ran.stderr);
    // The moment of 1.76e27 N at 0.8 m.
    assert!(ran.stdout.contains("bent by 1.41 × 10^27 N·m"), "{}", ran.stdout);
}
