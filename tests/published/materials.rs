//! Materials: minimum strengths by grade, strength beside a weld, elastic constants.

use super::proven::proven;
use super::{Listed, Tally, cases, hold};

const NO_YIELD: &str = "this condition is not built in: the standard gives it no yield strength";
const THICK: &str = "the built-in figures are for walls to 16 mm; frame tube is thinner";
const PLATE: &str = "EN 10025-2 is for plate and bars; only tube is built in";
const NOT_BUILT_IN: &str = "this grade or temper is not built in";
const MAKERS: &str = "a maker's or magazine's figure without strength beside a weld; not built in, the model gives it";

/// What this version does not answer.
const LISTED: &[Listed] = &[
    ("*", "A_min_percent", "no check needs the elongation"),
    ("*", "Rm_max_MPa", "no check needs the upper end of the tensile strength"),
    ("*", "fu_haz_MPa", "beside a weld yield is judged; no check needs the ultimate strength there"),
    ("*", "rho_u_haz", "beside a weld yield is judged; no check needs the ultimate strength there"),
    ("*", "np", "no check needs the strain-hardening exponent"),
    ("*", "buckling_class", "columns of aluminium are judged by EN 1993-1-1 curve c"),
    ("en10305-1-e235-a", "*", NO_YIELD),
    ("en10305-1-e255-lc", "*", NO_YIELD),
    ("en10305-1-e255-a", "*", NO_YIELD),
    ("en10305-1-e355-lc", "*", NO_YIELD),
    ("en10210-1-s235jrh-t40", "*", THICK),
    ("en10210-1-s275j2h-t40", "*", THICK),
    ("en10210-1-s355j0h-t40", "*", THICK),
    ("bluebook-s275-t40", "*", THICK),
    ("bluebook-s420-t16", "*", NOT_BUILT_IN),
    ("ec3-s355-fy-fu", "Rm_min_MPa", "the lower 470 MPa of the product standards is built in"),
    ("en10025-2-s235jr-rm-0", "*", PLATE),
    ("en10025-2-s275jr-rm-1", "*", PLATE),
    ("en10025-2-s355jr-rm-3", "*", PLATE),
    ("en10025-2-s355jr-rm-4", "*", PLATE),
    ("en1999-6060-t5-ep-t5", "*", NOT_BUILT_IN),
    ("en1999-6061-t4-ep-t25", "*", NOT_BUILT_IN),
    ("t45-motorsport", "*", MAKERS),
    ("4130-au-supplier", "*", MAKERS),
    ("dom-1020-au-supplier", "*", MAKERS),
];

#[test]
fn every_published_material_is_met_or_listed_with_its_reason() {
    let file = "checks/materials.json";
    let tally = hold(file, &cases(file), LISTED, proven);
    assert_eq!(tally, Tally { cases: 39, met: 21, values: 45 });
}
