//! Members: columns, walls, moment factors and combined loading of EN 1993-1-1.

use super::proven::proven;
use super::{Listed, Tally, cases, hold};

const ANNEX_A: &str = "the tool takes the factors of Annex B, the other method of the standard";
const ALUMINIUM: &str = "the tool judges columns of aluminium by EN 1993-1-1 curve c, not by EN 1999-1-1";
const JOHNSON: &str = "the tool takes the curves of EN 1993-1-1, not Johnson's parabola";
const CLASS_3: &str = "the tool takes the factors and elastic moduli of class 3 for every section";
const CLASS_4_OR_NOT: &str = "the tool only asks whether a wall is of class 4";
const IN_COMPRESSION: &str = "the tool takes every wall as pushed evenly";
const K: &str = "the tool takes a buckling length (`column_length`) and knows no table of end conditions";

/// What this version does not answer.
const LISTED: &[Listed] = &[
    ("ssb05-plastic-shear", "*", "the tool judges von Mises stress at yield, not plastic shear"),
    ("ssb05-diagonal-annex-a", "*", ANNEX_A),
    ("talat-5-1-effective", "*", ALUMINIUM),
    ("talat-5-1-column", "*", ALUMINIUM),
    ("table52-internal-compression", "class1", CLASS_4_OR_NOT),
    ("table52-internal-compression", "class2", CLASS_4_OR_NOT),
    ("table52-internal-bending", "*", IN_COMPRESSION),
    ("class-box-wall-1", "section_class", CLASS_4_OR_NOT),
    ("class-box-wall-4", "section_class", IN_COMPRESSION),
    ("euler-pinned-pinned", "K", K),
    ("euler-fixed-free", "K", K),
    ("euler-fixed-pinned", "K", K),
    ("johnson-1", "*", JOHNSON),
    ("johnson-2", "*", JOHNSON),
    ("johnson-4", "*", JOHNSON),
    ("beam-column-1", "kyy", CLASS_3),
    ("beam-column-1", "kyz", CLASS_3),
    ("beam-column-1", "kzy", CLASS_3),
    ("beam-column-1", "kzz", CLASS_3),
    ("beam-column-1", "eq_6_61", CLASS_3),
    ("beam-column-1", "eq_6_62", CLASS_3),
    ("beam-column-2", "kyy", CLASS_3),
    ("beam-column-2", "kyz", CLASS_3),
    ("beam-column-2", "kzy", CLASS_3),
    ("beam-column-2", "kzz", CLASS_3),
    ("beam-column-2", "eq_6_61", CLASS_3),
    ("beam-column-2", "eq_6_62", CLASS_3),
    ("beam-column-7", "kyy", CLASS_3),
    ("beam-column-7", "kyz", CLASS_3),
    ("beam-column-7", "kzy", CLASS_3),
    ("beam-column-7", "kzz", CLASS_3),
    ("beam-column-7", "eq_6_61", CLASS_3),
    ("beam-column-7", "eq_6_62", CLASS_3),
];

#[test]
fn every_published_member_check_is_met_or_listed_with_its_reason() {
    let file = "checks/members.json";
    let tally = hold(file, &cases(file), LISTED, proven);
    assert_eq!(tally, Tally { cases: 73, met: 65, values: 176 });
}
