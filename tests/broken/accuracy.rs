//! Numbers so far apart that the arithmetic fails.

use snapbox::str;

use super::stand;

#[test]
fn a_rate_far_beyond_any_tube_is_not_solved_silently() {
    stand().with("{\"x\": 4000", "{\"x\": 1e25").refused(str![[r#"
error: frame.json:46:5: cases.pulled: the answer is not accurate: forces are out of balance by more than 10 % of the largest; at most 0.01 % is let through
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
error: frame.json:26:3: members: nothing is loose, but the stiffest and the softest parts are so far apart that the frame cannot be reckoned
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
error: frame.json:26:3: members: nothing is loose, but the stiffest and the softest parts are so far apart that the frame cannot be reckoned
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
error: frame.json:20:11: nodes.E[0]: 1e308 is out of range: a length is at most 1e9 mm
   |
20 |     "E": [1e308, 400, -1e308]
   |           ^^^^^

error: frame.json:20:23: nodes.E[2]: -1e308 is out of range: a length is at most 1e9 mm
   |
20 |     "E": [1e308, 400, -1e308]
   |                       ^^^^^^

2 problems in frame.json

"#]]);
}

#[test]
fn a_section_beyond_arithmetic_is_refused() {
    stand().with("\"od\": 38, \"wall\": 2", "\"od\": 1e200, \"wall\": 1e199").refused(str![[r#"
error: frame.json:12:24: tubes.main.round.od: 1e200 is out of range: a length is at most 1e9 mm
   |
12 |     "main": {"round": {"od": 1e200, "wall": 1e199}, "material": "steel"},
   |                        ^^^^

error: frame.json:12:37: tubes.main.round.wall: 1e199 is out of range: a wall thickness is at most 1e9 mm
   |
12 |     "main": {"round": {"od": 1e200, "wall": 1e199}, "material": "steel"},
   |                                     ^^^^^^

2 problems in frame.json

"#]]);
}

#[test]
fn a_section_too_small_for_arithmetic_is_refused() {
    stand().with("\"od\": 38, \"wall\": 2", "\"od\": 1e-200, \"wall\": 1e-201").refused(str![[r#"
warning: the bend of "hoop" misses node "B", where other parts meet it, by 16.6 mm, more than half the tube
warning: the bend of "hoop" misses node "C", where other parts meet it, by 16.6 mm, more than half the tube
warning: tube size "main" is 1e-200 mm outside: a digit too few, or another unit? a bare number is in mm, inches are written "1e-200 in"
warning: tube size "main" has a wall of 1e-201 mm: a digit too few, or another unit? a bare number is in mm
error: frame.json:26:3: members: nothing is loose, but the stiffest and the softest parts are so far apart that the frame cannot be reckoned
   |
26 |   "members": {
   |   ^^^^^^^^^
   |
   = hint: look for a tube, a rate or a section figure with a wrong unit

"#]]);
}

#[test]
fn a_force_beyond_arithmetic_is_refused() {
    stand().with("[0, 0, -1000]", "[0, 0, -1e308]").refused(str![[r#"
error: frame.json:44:5: cases.hanging: what comes out of this case is no number: something in it is too large or too small to reckon with
   |
44 |     "hanging": {"forces": {"C": [0, 0, -1e308]}, "moments": {"engine": [0, 150, 0]}, "factor"
   |     ^^^^^^^^^
   |
   = hint: look for a load, a mass, a strength or a section figure with a wrong unit

"#]]);
}

#[test]
fn a_mass_beyond_arithmetic_is_refused() {
    stand().with("\"mass\": 80", "\"mass\": 1e308").refused(str![[r#"
error: frame.json:45:5: cases.weight: what comes out of this case is no number: something in it is too large or too small to reckon with
   |
45 |     "weight": {"g": {"vert": 3}, "wheels": "none"},
   |     ^^^^^^^^
   |
   = hint: look for a load, a mass, a strength or a section figure with a wrong unit

"#]]);
}

#[test]
fn a_density_beyond_arithmetic_is_refused() {
    stand().with("\"density\": 7850", "\"density\": 1e308").refused(str![[r#"
error: frame.json:45:5: cases.weight: what comes out of this case is no number: something in it is too large or too small to reckon with
   |
45 |     "weight": {"g": {"vert": 3}, "wheels": "none"},
   |     ^^^^^^^^
   |
   = hint: look for a load, a mass, a strength or a section figure with a wrong unit

"#]]);
}

#[test]
fn a_strength_beyond_arithmetic_is_refused() {
    stand().with("\"yield\": 235", "\"yield\": 1e-320").refused(str![[r#"
error: frame.json:44:5: cases.hanging: what comes out of this case is no number: something in it is too large or too small to reckon with
   |
44 |     "hanging": {"forces": {"C": [0, 0, -1000]}, "moments": {"engine": [0, 150, 0]}, "factor":
   |     ^^^^^^^^^
   |
   = hint: look for a load, a mass, a strength or a section figure with a wrong unit

error: frame.json:45:5: cases.weight: what comes out of this case is no number: something in it is too large or too small to reckon with
   |
45 |     "weight": {"g": {"vert": 3}, "wheels": "none"},
   |     ^^^^^^^^
   |
   = hint: look for a load, a mass, a strength or a section figure with a wrong unit

error: frame.json:46:5: cases.pulled: what comes out of this case is no number: something in it is too large or too small to reckon with
   |
46 |     "pulled": {"line_loads": {"hoop": [0, 0.2, 0]}, "moved": {"E": {"x": 0.5}}, "limits": {"
   |     ^^^^^^^^
   |
   = hint: look for a load, a mass, a strength or a section figure with a wrong unit

3 problems in frame.json

"#]]);
}
