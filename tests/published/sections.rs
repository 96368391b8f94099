//! Sections: tables of hollow sections, shear and torsion of bars and tubes, gauges.

use crossbrace::section::{Bar, Section, cowper_hollow_circle};

use super::proven::proven;
use super::{Listed, Tally, cases, hold};

const TWO_WALLS: &str = "a box tube takes its two walls along the force as shear area, not Cowper's thin box";
const ROARK: &str = "the tool sums the exact series; J_exact_mm4 is checked";
const THIN: &str = "the tool takes the exact annulus, not a thin-wall formula";

/// What this version does not answer.
const LISTED: &[Listed] = &[
    ("cowper-thin-box-2", "*", TWO_WALLS),
    ("cowper-thin-box-3", "*", TWO_WALLS),
    ("cowper-thin-box-4", "*", TWO_WALLS),
    ("rect-torsion-roark-40x20", "J_roark_mm4", ROARK),
    ("rect-torsion-roark-30x30", "J_roark_mm4", ROARK),
    ("tube-torsion-1", "J_thin_2pi_rm3_t_mm4", THIN),
    ("tube-torsion-1", "tau_bredt_MPa", THIN),
    ("tube-torsion-3", "J_thin_2pi_rm3_t_mm4", THIN),
    ("tube-torsion-3", "tau_bredt_MPa", THIN),
];

#[test]
fn every_published_section_is_met_or_listed_with_its_reason() {
    let file = "checks/sections.json";
    let tally = hold(file, &cases(file), LISTED, proven);
    assert_eq!(tally, Tally { cases: 104, met: 101, values: 567 });
}

#[test]
fn shear_factor_of_a_bar_is_that_of_a_tube_without_a_bore() {
    let bar = Section::from(Bar { od_mm: 20.0 }).properties(0.3);
    assert_eq!(bar.ay_mm2.expect("a bar has a shear area") / bar.area_mm2, cowper_hollow_circle(0.0, 0.3));
}
