//! Materials and tube sizes.

use snapbox::str;

use super::{Model, stand};

/// The stand with another section for its brace.
fn brace(section: &str) -> Model {
    stand().with("{\"square\": {\"side\": 25, \"wall\": 2}, \"material\"", &format!("{{{section}, \"material\"")).with(
        ",\n  \"options\": {\n    \"thicker\": {\"change\": {\n      \"tubes\": {\"brace\": {\"square\": {\"wall\": 3}}}\n    }}\n  }",
        "",
    )
}

#[test]
fn youngs_modulus_is_above_0() {
    stand().with("\"youngs_modulus\": 210000", "\"youngs_modulus\": 0").refused(str![[r#"
error: frame.json:7:7: materials.steel.youngs_modulus: youngs_modulus is 0 MPa; it must be above 0
  |
7 |       "youngs_modulus": 0, "shear_modulus": 81000, "density": 7850,
  |       ^^^^^^^^^^^^^^^^

"#]]);
}

#[test]
fn the_shear_modulus_is_above_0() {
    stand().with("\"shear_modulus\": 81000", "\"shear_modulus\": -81000").refused(str![[r#"
error: frame.json:7:33: materials.steel.shear_modulus: shear_modulus is -81000 MPa; it must be above 0
  |
7 |       "youngs_modulus": 210000, "shear_modulus": -81000, "density": 7850,
  |                                 ^^^^^^^^^^^^^^^

"#]]);
}

#[test]
fn poissons_ratio_is_not_above_a_half() {
    stand().with("\"shear_modulus\": 81000", "\"shear_modulus\": 60000").refused(str![[r#"
error: frame.json:7:33: materials.steel.shear_modulus: Poisson's ratio, youngs_modulus/(2 shear_modulus) − 1, comes to 0.75; it must be from 0 to 0.5
  |
7 |       "youngs_modulus": 210000, "shear_modulus": 60000, "density": 7850,
  |                                 ^^^^^^^^^^^^^^^
  |
  = hint: without "shear_modulus", youngs_modulus/2.6 is taken

"#]]);
}

#[test]
fn poissons_ratio_is_not_below_0() {
    stand().with("\"shear_modulus\": 81000", "\"shear_modulus\": \"106 GPa\"").refused(str![[r#"
error: frame.json:7:33: materials.steel.shear_modulus: Poisson's ratio, youngs_modulus/(2 shear_modulus) − 1, comes to -0.00943396; it must be from 0 to 0.5
  |
7 |       "youngs_modulus": 210000, "shear_modulus": "106 GPa", "density": 7850,
  |                                 ^^^^^^^^^^^^^^^
  |
  = hint: without "shear_modulus", youngs_modulus/2.6 is taken

"#]]);
}

#[test]
fn a_density_is_not_below_0() {
    stand().with("\"density\": 7850", "\"density\": -7850").refused(str![[r#"
error: frame.json:7:57: materials.steel.density: density is -7850 kg/m3; it may not be below 0
  |
7 |       "youngs_modulus": 210000, "shear_modulus": 81000, "density": -7850,
  |                                                         ^^^^^^^^^

"#]]);
}

#[test]
fn a_density_of_0_is_allowed() {
    stand().with("\"density\": 7850", "\"density\": 0").accepted();
}

#[test]
fn strengths_are_above_0() {
    stand().with("\"yield\": 235, \"ultimate\": 360", "\"yield\": 0, \"ultimate\": -1").refused(str![[r#"
error: frame.json:8:7: materials.steel.yield: yield is 0 MPa; it must be above 0
  |
8 |       "yield": 0, "ultimate": -1, "yield_at_weld": "same", "finish": "cold"
  |       ^^^^^^^

error: frame.json:8:19: materials.steel.ultimate: ultimate is -1 MPa; it must be above 0
  |
8 |       "yield": 0, "ultimate": -1, "yield_at_weld": "same", "finish": "cold"
  |                   ^^^^^^^^^^

2 problems in frame.json

"#]]);
}

#[test]
fn the_strength_beside_a_weld_is_above_0() {
    stand().with("\"yield_at_weld\": \"same\"", "\"yield_at_weld\": 0").refused(str![[r#"
error: frame.json:8:38: materials.steel.yield_at_weld: yield_at_weld is 0 MPa; it must be above 0
  |
8 |       "yield": 235, "ultimate": 360, "yield_at_weld": 0, "finish": "cold"
  |                                      ^^^^^^^^^^^^^^^

"#]]);
}

#[test]
fn the_strength_beside_a_weld_has_no_default() {
    stand().with(", \"yield_at_weld\": \"same\"", "").refused(str![[r#"
error: frame.json:6:14: materials.steel: "yield_at_weld" is missing
  |
6 |     "steel": {
  |              ^
  |
  = hint: "yield_at_weld": Strength left beside a weld; "same" for normalised and hot finished tube

"#]]);
}

#[test]
fn the_strength_beside_a_weld_is_a_stress_or_the_word_same() {
    stand().with("\"yield_at_weld\": \"same\"", "\"yield_at_weld\": \"as yield\"").refused(str![[r#"
error: frame.json:8:38: materials.steel.yield_at_weld: "as yield" is neither a stress nor the word "same"
  |
8 |       "yield": 235, "ultimate": 360, "yield_at_weld": "as yield", "finish": "cold"
  |                                      ^^^^^^^^^^^^^^^

"#]]);
}

#[test]
fn a_finish_is_hot_or_cold() {
    stand().with("\"finish\": \"cold\"", "\"finish\": \"cold drawn\"").refused(str![[r#"
error: frame.json:8:63: materials.steel.finish: expected "hot" or "cold", found "cold drawn"
  |
8 |       "yield": 235, "ultimate": 360, "yield_at_weld": "same", "finish": "cold drawn"
  |                                                               ^^^^^^^^

"#]]);
}

#[test]
fn a_material_lacks_several_keys_at_once() {
    stand().with("\"youngs_modulus\": 210000, \"shear_modulus\": 81000, \"density\": 7850,", "").refused(str![[r#"
error: frame.json:6:14: materials.steel: "youngs_modulus" is missing
  |
6 |     "steel": {
  |              ^
  |
  = hint: "youngs_modulus": Young's modulus

error: frame.json:6:14: materials.steel: "density" is missing
  |
6 |     "steel": {
  |              ^

2 problems in frame.json

"#]]);
}

#[test]
fn a_tube_has_a_section() {
    brace("\"note\": \"to be measured\"").refused(str![[r#"
error: frame.json:13:14: tubes.brace: a tube needs a section: "round", "square", "rect", "bar", "flat" or "given"
   |
13 |     "brace": {"note": "to be measured", "material": "E235+N"}
   |              ^

"#]]);
}

#[test]
fn a_tube_has_one_section_only() {
    brace("\"square\": {\"side\": 25, \"wall\": 2}, \"round\": {\"od\": 25, \"wall\": 2}").refused(str![[r#"
error: frame.json:13:50: tubes.brace.round: a tube has one section, here are "round" and "square"
   |
13 |     "brace": {"square": {"side": 25, "wall": 2}, "round": {"od": 25, "wall": 2}, "material": "E235+N"}
   |                                                  ^^^^^^^
   |
   = hint: take one of the two out; the change of an option takes out the old one with "square": null

"#]]);
}

#[test]
fn an_unknown_section_names_the_nearest() {
    brace("\"sqare\": {\"side\": 25, \"wall\": 2}").refused(str![[r#"
error: frame.json:13:15: tubes.brace.sqare: "sqare" is not a key that is known here
   |
13 |     "brace": {"sqare": {"side": 25, "wall": 2}, "material": "E235+N"}
   |               ^^^^^^^
   |
   = hint: did you mean "square"?

"#]]);
}

#[test]
fn a_tube_has_a_material() {
    stand().with(", \"material\": \"E235+N\"", "").refused(str![[r#"
error: frame.json:13:14: tubes.brace: "material" is missing
   |
13 |     "brace": {"square": {"side": 25, "wall": 2}}
   |              ^
   |
   = hint: "material": Name of a material

"#]]);
}

#[test]
fn a_diameter_is_above_0() {
    brace("\"round\": {\"od\": 0, \"wall\": 2}").refused(str![[r#"
error: frame.json:13:25: tubes.brace.round.od: od is 0 mm; it must be above 0
   |
13 |     "brace": {"round": {"od": 0, "wall": 2}, "material": "E235+N"}
   |                         ^^^^

"#]]);
}

#[test]
fn a_wall_is_above_0() {
    brace("\"round\": {\"od\": 25, \"wall\": -2}").refused(str![[r#"
error: frame.json:13:35: tubes.brace.round.wall: wall is -2 mm; it must be above 0
   |
13 |     "brace": {"round": {"od": 25, "wall": -2}, "material": "E235+N"}
   |                                   ^^^^^^

"#]]);
}

#[test]
fn the_wall_of_a_round_tube_is_under_half_of_the_outside() {
    brace("\"round\": {\"od\": 25, \"wall\": 12.5}").refused(str![[r#"
error: frame.json:13:35: tubes.brace.round.wall: wall 12.5 mm is not under half of the outside, 25 mm
   |
13 |     "brace": {"round": {"od": 25, "wall": 12.5}, "material": "E235+N"}
   |                                   ^^^^^^
   |
   = hint: a solid section is a "bar" or a "flat"

"#]]);
}

#[test]
fn the_wall_of_a_square_tube_is_under_half_of_the_outside() {
    brace("\"square\": {\"side\": 25, \"wall\": 13}").refused(str![[r#"
error: frame.json:13:38: tubes.brace.square.wall: wall 13 mm is not under half of the outside, 25 mm
   |
13 |     "brace": {"square": {"side": 25, "wall": 13}, "material": "E235+N"}
   |                                      ^^^^^^
   |
   = hint: a solid section is a "bar" or a "flat"

"#]]);
}

#[test]
fn the_wall_of_a_rectangular_tube_is_under_half_of_the_smaller_side() {
    brace("\"rect\": {\"width\": 50, \"depth\": 20, \"wall\": 10}").refused(str![[r#"
error: frame.json:13:50: tubes.brace.rect.wall: wall 10 mm is not under half of the outside, 20 mm
   |
13 |     "brace": {"rect": {"width": 50, "depth": 20, "wall": 10}, "material": "E235+N"}
   |                                                  ^^^^^^
   |
   = hint: a solid section is a "bar" or a "flat"

"#]]);
}

#[test]
fn an_outer_radius_is_not_below_0() {
    brace("\"square\": {\"side\": 25, \"wall\": 2, \"outer_radius\": -1}").refused(str![[r#"
error: frame.json:13:49: tubes.brace.square.outer_radius: outer_radius is -1 mm; it may not be below 0
   |
13 |     "brace": {"square": {"side": 25, "wall": 2, "outer_radius": -1}, "material": "E235+N"}
   |                                                 ^^^^^^^^^^^^^^

"#]]);
}

#[test]
fn an_outer_radius_is_at_most_half_the_smaller_side() {
    brace("\"rect\": {\"width\": 50, \"depth\": 20, \"wall\": 2, \"outer_radius\": 10.5}").refused(str![[r#"
error: frame.json:13:61: tubes.brace.rect.outer_radius: the outer radius, 10.5 mm, is more than half of the smaller side, 10 mm
   |
13 |     "brace": {"rect": {"width": 50, "depth": 20, "wall": 2, "outer_radius": 10.5}, "material": "E235+N"}
   |                                                             ^^^^^^^^^^^^^^
   |
   = hint: left out, it is taken from the standard

"#]]);
}

#[test]
fn a_radius_of_the_standard_that_does_not_fit_is_told_where_it_could_be_given() {
    brace("\"square\": {\"side\": 25, \"wall\": 10}").refused(str![[r#"
error: frame.json:13:15: tubes.brace.square: the outer radius of the standard, 25 mm, is more than half of the smaller side, 12.5 mm
   |
13 |     "brace": {"square": {"side": 25, "wall": 10}, "material": "E235+N"}
   |               ^^^^^^^^
   |
   = hint: give "outer_radius" as measured on the tube

"#]]);
}

#[test]
fn a_bar_and_a_flat_have_sizes_above_0() {
    brace("\"bar\": {\"od\": 0}").refused(str![[r#"
error: frame.json:13:23: tubes.brace.bar.od: od is 0 mm; it must be above 0
   |
13 |     "brace": {"bar": {"od": 0}, "material": "E235+N"}
   |                       ^^^^

"#]]);
    brace("\"flat\": {\"width\": 40, \"thickness\": 0}").refused(str![[r#"
error: frame.json:13:37: tubes.brace.flat.thickness: thickness is 0 mm; it must be above 0
   |
13 |     "brace": {"flat": {"width": 40, "thickness": 0}, "material": "E235+N"}
   |                                     ^^^^^^^^^^^

"#]]);
}

#[test]
fn a_flat_has_a_thickness_and_no_wall() {
    brace("\"flat\": {\"width\": 40, \"wall\": 5}").refused(str![[r#"
error: frame.json:13:23: tubes.brace.flat: "thickness" is missing
   |
13 |     "brace": {"flat": {"width": 40, "wall": 5}, "material": "E235+N"}
   |                       ^
   |
   = hint: "thickness": Dimension along the member's local z

error: frame.json:13:37: tubes.brace.flat.wall: "wall" is not a key that is known here
   |
13 |     "brace": {"flat": {"width": 40, "wall": 5}, "material": "E235+N"}
   |                                     ^^^^^^
   |
   = hint: known here: width, thickness, note

2 problems in frame.json

"#]]);
}

#[test]
fn a_given_section_has_all_its_figures() {
    brace("\"given\": {\"a\": 180, \"iy\": 16000, \"cy\": 12.5}").refused(str![[r#"
error: frame.json:13:24: tubes.brace.given: "iz" is missing
   |
13 |     "brace": {"given": {"a": 180, "iy": 16000, "cy": 12.5}, "material": "E235+N"}
   |                        ^
   |
   = hint: "iz": Second moment for bending in the local x–y plane

error: frame.json:13:24: tubes.brace.given: "j" is missing
   |
13 |     "brace": {"given": {"a": 180, "iy": 16000, "cy": 12.5}, "material": "E235+N"}
   |                        ^
   |
   = hint: "j": Torsion constant

error: frame.json:13:24: tubes.brace.given: "cz" is missing
   |
13 |     "brace": {"given": {"a": 180, "iy": 16000, "cy": 12.5}, "material": "E235+N"}
   |                        ^
   |
   = hint: "cz": Largest distance of a fibre along z

3 problems in frame.json

"#]]);
}

#[test]
fn the_figures_of_a_given_section_are_above_0() {
    brace(
        "\"given\": {\"a\": 0, \"iy\": -1, \"iz\": 0, \"j\": 0, \"ay\": 0, \"az\": -5, \"cy\": 0, \"cz\": 0, \"ct\": 0}",
    )
    .refused(str![[r#"
error: frame.json:13:25: tubes.brace.given.a: a is 0 mm2; it must be above 0
   |
13 |     "brace": {"given": {"a": 0, "iy": -1, "iz": 0, "j": 0, "ay": 0, "az": -5, "cy": 0, "cz": 0, "ct": 0}, "
   |                         ^^^

error: frame.json:13:33: tubes.brace.given.iy: iy is -1 mm4; it must be above 0
   |
13 |     "brace": {"given": {"a": 0, "iy": -1, "iz": 0, "j": 0, "ay": 0, "az": -5, "cy": 0, "cz": 0, "ct": 0}, "material"
   |                                 ^^^^

error: frame.json:13:43: tubes.brace.given.iz: iz is 0 mm4; it must be above 0
   |
13 |     "brace": {"given": {"a": 0, "iy": -1, "iz": 0, "j": 0, "ay": 0, "az": -5, "cy": 0, "cz": 0, "ct": 0}, "material": "E235+N"
   |                                           ^^^^

error: frame.json:13:52: tubes.brace.given.j: j is 0 mm4; it must be above 0
   |
13 |     "brace": {"given": {"a": 0, "iy": -1, "iz": 0, "j": 0, "ay": 0, "az": -5, "cy": 0, "cz": 0, "ct": 0}, "material": "E235+N"}
   |                                                    ^^^

error: frame.json:13:60: tubes.brace.given.ay: ay is 0 mm2; it must be above 0
   |
13 |     "brace": {"given": {"a": 0, "iy": -1, "iz": 0, "j": 0, "ay": 0, "az": -5, "cy": 0, "cz": 0, "ct": 0}, "material": "E235+N"}
   |                                                            ^^^^

error: frame.json:13:69: tubes.brace.given.az: az is -5 mm2; it must be above 0
   |
13 |     "brace": {"given": {"a": 0, "iy": -1, "iz": 0, "j": 0, "ay": 0, "az": -5, "cy": 0, "cz": 0, "ct": 0}, "material": "E235+N"}
   |                                                                     ^^^^

error: frame.json:13:79: tubes.brace.given.cy: cy is 0 mm; it must be above 0
   |
13 |     "brace": {"given": {"a": 0, "iy": -1, "iz": 0, "j": 0, "ay": 0, "az": -5, "cy": 0, "cz": 0, "ct": 0}, "material": "E235+N"}
   |                                                                               ^^^^

error: frame.json:13:88: tubes.brace.given.cz: cz is 0 mm; it must be above 0
   |
13 | ace": {"given": {"a": 0, "iy": -1, "iz": 0, "j": 0, "ay": 0, "az": -5, "cy": 0, "cz": 0, "ct": 0}, "material": "E235+N"}
   |                                                                                 ^^^^

error: frame.json:13:97: tubes.brace.given.ct: ct is 0 mm3; it must be above 0
   |
13 | iven": {"a": 0, "iy": -1, "iz": 0, "j": 0, "ay": 0, "az": -5, "cy": 0, "cz": 0, "ct": 0}, "material": "E235+N"}
   |                                                                                 ^^^^

9 problems in frame.json

"#]]);
}

#[test]
fn a_section_written_as_a_text_is_told_how_it_is_written() {
    stand().with("{\"od\": 38, \"wall\": 2}", "\"38x2\"").refused(str![[r#"
error: frame.json:12:14: tubes.main.round: expected an object with the keys od, wall, note, found a text
   |
12 |     "main": {"round": "38x2", "material": "steel"},
   |              ^^^^^^^
   |
   = hint: write {"od": 38, "wall": 2}

"#]]);
}

#[test]
fn a_round_tube_needs_a_wall() {
    stand().with("{\"od\": 38, \"wall\": 2}", "{\"od\": 38}").refused(str![[r#"
error: frame.json:12:23: tubes.main.round: "wall" is missing
   |
12 |     "main": {"round": {"od": 38}, "material": "steel"},
   |                       ^
   |
   = hint: "wall": Thickness of the wall, as 2 or "16 swg"

"#]]);
}
