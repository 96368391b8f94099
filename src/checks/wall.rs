//! Local buckling: is the wall so thin that it dents before it yields?
//!
//! Reads: dimensions, yield strength, modulus, the material's name. Gives: slenderness over the limit of
//! class 3; above 1 the section is class 4, outside the method. Judged where the tube is pushed or bent; tubes only,
//! since a solid section has no wall.
//! Source, every wall taken as pushed evenly, which is on the safe side; c = side − 3t:
//!
//! ```text
//! steel            D/t ≤ 90 ε²    c/t ≤ 42 ε                       EN 1993-1-1 Table 5.2
//! stainless steel  D/t ≤ 90 ε²    c/t ≤ 30.7 ε                     EN 1993-1-4:2006 5.2.2, from memory
//! aluminium        D/t ≤ 90 ε², (β/3)² 250/fo    c/t ≤ β √(250/fo)    EN 1999-1-1 Table 6.2, from memory
//! ```
//! ε = √(235/fy · E/210000): the second factor, from EN 1993-1-4 5.2.2, is 1 for structural steel. Of stainless
//! steel the amendment of 2015 has 37 ε; the lower one counts. Of aluminium β is that of a section with welds, 18 where
//! the name ends in T6 or T66 (buckling class A of Table 3.2b), else 15 (class B), and a round wall counts as 3 √(D/t).
//! What is none of these metals is held against the limits of steel, which `not_judged` tells.

use crate::section::{Material, Metal, STRUCTURAL_STEEL_MPA, Section};

/// Slenderness of a wall and its limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallResult {
    /// D/t of a round tube, c/t of the wider wall of a box.
    pub slenderness: f64,
    /// Limit of class 3.
    pub limit: f64,
    /// By which rule.
    pub rule: WallRule,
}

/// The rule by which a wall is held against a limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WallRule {
    /// So many ε², of a round tube.
    Round(f64),
    /// So many ε, of a box.
    Box(f64),
    /// β of aluminium, of a round tube.
    RoundAluminium(f64),
    /// β of aluminium, of a box.
    BoxAluminium(f64),
}

impl WallRule {
    /// The clause.
    pub fn clause(self) -> &'static str {
        match self {
            WallRule::RoundAluminium(_) | WallRule::BoxAluminium(_) => {
                "EN 1999-1-1:2007 Table 6.2, limit of class 3 with welds"
            }
            WallRule::Box(STAINLESS) => "EN 1993-1-4:2006 5.2.2, limit of class 3",
            WallRule::Box(_) | WallRule::Round(_) => "EN 1993-1-1:2005 Table 5.2, limit of class 3",
        }
    }
}

/// c/t over ε of a box of stainless steel.
const STAINLESS: f64 = 30.7;

/// ε = √(235/fy · E/210000), stresses in MPa.
pub fn epsilon(material: &Material) -> f64 {
    epsilon_of(material.yield_mpa, material.youngs_modulus_mpa)
}

/// The same of a strength and a modulus, MPa.
pub(super) fn epsilon_of(yield_mpa: f64, youngs_modulus_mpa: f64) -> f64 {
    (235.0 / yield_mpa * youngs_modulus_mpa / 210_000.0).sqrt()
}

/// Slenderness and limit of a tube's wall; `None` for a section without one. `name`: that of the material.
pub fn wall(section: &Section, material: &Material, name: &str) -> Option<WallResult> {
    let epsilon = epsilon(material);
    let is_aluminium = material.metal() == Metal::Aluminium;
    let beta = if name.ends_with("T6") || name.ends_with("T66") { 18.0 } else { 15.0 };
    match section {
        Section::Round(tube) => {
            let by_epsilon = 90.0 * epsilon * epsilon;
            let by_beta = (beta / 3.0_f64).powi(2) * 250.0 / material.yield_mpa;
            let (limit, rule) = if is_aluminium && by_beta < by_epsilon {
                (by_beta, WallRule::RoundAluminium(beta))
            } else {
                (by_epsilon, WallRule::Round(90.0))
            };
            Some(WallResult { slenderness: tube.od_mm / tube.wall_mm, limit, rule })
        }
        Section::Box(tube) => {
            let flat = tube.width_mm.max(tube.depth_mm) - 3.0 * tube.wall_mm;
            let is_stainless = material.metal() == Metal::Steel && material.youngs_modulus_mpa < STRUCTURAL_STEEL_MPA;
            let (limit, rule) = if is_aluminium {
                (beta * (250.0 / material.yield_mpa).sqrt(), WallRule::BoxAluminium(beta))
            } else {
                let parts = if is_stainless { STAINLESS } else { 42.0 };
                (parts * epsilon, WallRule::Box(parts))
            };
            Some(WallResult { slenderness: flat / tube.wall_mm, limit, rule })
        }
        Section::Bar(_) | Section::Flat(_) | Section::Given(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::assert_near;
    use crate::section::{BoxTube, Finish, RoundTube, built_in};

    /// Limits by hand from the tables named above, from memory.
    #[test]
    fn each_metal_has_the_limit_of_its_own_standard() {
        let limit = |section: Section, name: &str| {
            let material = built_in(name).unwrap().material;
            (wall(&section, &material, name).unwrap().limit, material)
        };
        let square = || Section::from(BoxTube::standard(50.0, 50.0, 2.0, Finish::Cold));
        let round = || Section::from(RoundTube { od_mm: 50.0, wall_mm: 2.0 });
        assert_near(limit(square(), "S235JRH").0, 42.0, 1e-12);
        let (found, steel) = limit(square(), "1.4301");
        assert_near(found, 30.7 * (235.0 / steel.yield_mpa * 200_000.0 / 210_000.0).sqrt(), 1e-12);
        let (found, aluminium) = limit(square(), "EN AW-6082-T6");
        assert_near(found, 18.0 * (250.0 / aluminium.yield_mpa).sqrt(), 1e-12);
        let (found, _) = limit(round(), "EN AW-6082-T6");
        assert_near(found, 90.0 * 235.0 / aluminium.yield_mpa / 3.0, 1e-12);
        let soft = wall(&round(), &aluminium, "EN AW-6082-T4").unwrap();
        assert_near(soft.limit, 25.0 * 250.0 / aluminium.yield_mpa, 1e-12);
        let soft = wall(&square(), &aluminium, "EN AW-6082-T4").unwrap();
        assert_near(soft.limit, 15.0 * (250.0 / aluminium.yield_mpa).sqrt(), 1e-12);
    }

    #[test]
    fn slenderness_is_of_the_outside_of_a_round_tube_and_of_the_flat_of_the_wider_side_of_a_box() {
        let steel = built_in("S235JRH").unwrap().material;
        let of = |section: Section| wall(&section, &steel, "S235JRH").unwrap();
        assert_near(of(RoundTube { od_mm: 50.0, wall_mm: 2.5 }.into()).slenderness, 20.0, 1e-14);
        for (width_mm, depth_mm) in [(60.0, 30.0), (30.0, 60.0)] {
            // (60 − 3 · 2.5)/2.5.
            let tube = BoxTube::standard(width_mm, depth_mm, 2.5, Finish::Cold);
            assert_near(of(tube.into()).slenderness, 21.0, 1e-14);
        }
    }

    #[test]
    fn the_limit_goes_with_the_strength_and_is_told_with_its_clause() {
        let square = Section::from(BoxTube::standard(50.0, 50.0, 2.0, Finish::Cold));
        let round = Section::from(RoundTube { od_mm: 50.0, wall_mm: 2.0 });
        let told = |section: &Section, name: &str| {
            let found = wall(section, &built_in(name).unwrap().material, name).unwrap();
            (found.limit, found.rule.clause())
        };
        // By hand: fo = 140 MPa, 18 √(250/140); 90 · 235/355.
        let (limit, clause) = told(&square, "EN AW-6060-T6");
        assert_near(limit, 24.053_512, 1e-7);
        assert!(clause.starts_with("EN 1999-1-1"), "{clause}");
        let (limit, clause) = told(&round, "S355J2H");
        assert_near(limit, 59.577_465, 1e-7);
        assert!(clause.starts_with("EN 1993-1-1"), "{clause}");
        assert!(told(&square, "1.4301").1.starts_with("EN 1993-1-4"));
        // 205 GPa is structural steel still.
        let steel = Material { youngs_modulus_mpa: 205_000.0, ..built_in("S235JRH").unwrap().material };
        assert_eq!(wall(&square, &steel, "steel").unwrap().rule, WallRule::Box(42.0));
    }
}
