//! Numbers so far apart that the arithmetic fails.

use snapbox::str;

use super::stand;

#[test]
fn a_rate_far_beyond_any_tube_is_not_solved_silently() {
    stand().with("{\"x\": 4000", "{\"x\": 1e25").refused(str![[r#"
error: frame.json:46:5: cases.pulled: the answer is not accurate: its error may be 0.000000000018, its out-of-balance is 0.80
   |
46 |     "pulled": {"line_loads": {"hoop": [0, 0.2, 0]}, "moved": {"E": {"x": 0.5}}, "limits": {"
   |     ^^^^^^^^
   |
   = hint: look for a tube, a rate or a section figure with a wrong unit

"#]]);
}

#[test]
fn a_modulus_far_beyond_any_metal_is_not_solved_silently() {
    stand().with("\"youngs_modulus\": 210000, \"shear_modulus\": 81000", "\"youngs_modulus\": 1e300").refused(str![[r#"
error: frame.json:26:3: members: the stiffest and the softest parts are so far apart that the arithmetic fails, though nothing is loose
   |
26 |   "members": {
   |   ^^^^^^^^^
   |
   = hint: look for a tube, a rate or a section figure with a wrong unit

"#]]);
}

#[test]
fn a_modulus_far_below_any_metal_is_not_solved_silently() {
    stand().with("\"youngs_modulus\": 210000, \"shear_modulus\": 81000", "\"youngs_modulus\": 1e-300").refused(str![[r#"
error: frame.json:26:3: members: the stiffest and the softest parts are so far apart that the arithmetic fails, though nothing is loose
   |
26 |   "members": {
   |   ^^^^^^^^^
   |
   = hint: look for a tube, a rate or a section figure with a wrong unit

"#]]);
}

#[test]
fn a_place_beyond_arithmetic_is_refused() {
    stand().with("[300, 400, 500]", "[1e308, 400, -1e308]").refused(str![[r#"
error: frame.json:16:5: nodes.A: the frame is a mechanism: node A can turn about a line through [NaN, NaN, NaN] along [NaN, NaN, NaN], while node B can turn about a line through [NaN, NaN, NaN] along [NaN, NaN, NaN], while node C can turn about a line through [NaN, NaN, NaN] along [NaN, NaN, NaN], while node D can turn about a line through [NaN, NaN, NaN] along [NaN, NaN, NaN], while node E can turn about a line through [NaN, NaN, NaN] along [NaN, NaN, NaN], while node ear can turn about a line through [NaN, NaN, NaN] along [NaN, NaN, NaN], while node lug can turn about a line through [NaN, NaN, NaN] along [NaN, NaN, NaN]
   |
16 |     "A": [0, 0, 0],
   |     ^^^
   |
   = hint: add a brace or a mount that resists this motion, or weld a joint that is a rod-end or a hinge

error: frame.json:38:5: bodies.engine: the frame is a mechanism: body engine can turn about a line through [NaN, NaN, NaN] along [NaN, NaN, NaN]
   |
38 |     "engine": {
   |     ^^^^^^^^
   |
   = hint: give the body one more mount, or hold it in more directions

2 problems in frame.json

"#]]);
}

#[test]
fn a_section_beyond_arithmetic_is_refused() {
    stand().with("\"od\": 38, \"wall\": 2", "\"od\": 1e200, \"wall\": 1e199").refused(str![[r#"
error: frame.json:26:3: members: the stiffest and the softest parts are so far apart that the arithmetic fails, though nothing is loose
   |
26 |   "members": {
   |   ^^^^^^^^^
   |
   = hint: look for a tube, a rate or a section figure with a wrong unit

"#]]);
}

#[test]
fn a_section_too_small_for_arithmetic_is_refused() {
    stand().with("\"od\": 38, \"wall\": 2", "\"od\": 1e-200, \"wall\": 1e-201").refused(str![[r#"
error: frame.json:26:3: members: the stiffest and the softest parts are so far apart that the arithmetic fails, though nothing is loose
   |
26 |   "members": {
   |   ^^^^^^^^^
   |
   = hint: look for a tube, a rate or a section figure with a wrong unit

"#]]);
}

#[test]
fn a_force_beyond_arithmetic_is_refused() {
    stand().with("[0, 0, -1000]", "[0, 0, -1e308]").refused(str![]);
}

#[test]
fn a_mass_beyond_arithmetic_is_refused() {
    stand().with("\"mass\": 80", "\"mass\": 1e308").refused(str![]);
}

#[test]
fn a_density_beyond_arithmetic_is_refused() {
    stand().with("\"density\": 7850", "\"density\": 1e308").refused(str![]);
}

#[test]
fn a_strength_beyond_arithmetic_is_refused() {
    stand().with("\"yield\": 235", "\"yield\": 1e-320").refused(str![]);
}
