//! Local buckling: is the wall so thin that it dents before it yields?
//!
//! Reads: dimensions, yield strength. Gives: slenderness over the limit of class 3; above 1 the
//! section is class 4, outside the method. Judged where the tube is pushed or bent; tubes only,
//! since a solid section has no wall.
//! Source: EN 1993-1-1 Table 5.2: D/t ≤ 90 ε², c/t ≤ 42 ε with c = side − 3t, every wall taken as
//! pushed evenly, which is on the safe side. ε = √(235/fy · E/210000): the second factor, from EN
//! 1993-1-4 5.2.2, is 1 for structural steel. The 42 stays that of structural steel whatever the
//! material, and is above that of others: aluminium 22 √(250/fo) without welds (ENV 1999-1-1, as the
//! lectures TALAT 2301 have it) and 18 with (EN 1999-1-1, from memory), where this gives 23.5 √(250/fo);
//! stainless steel 30.7 ε or 37 ε (EN 1993-1-4:2006 and its A1:2015, from memory). `not_judged` says so.

use crate::section::{Material, Section};

/// Slenderness of a wall and its limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallResult {
    /// D/t of a round tube, c/t of the wider wall of a box.
    pub slenderness: f64,
    /// Limit of class 3.
    pub limit: f64,
}

/// ε = √(235/fy · E/210000), stresses in MPa.
pub fn epsilon(material: &Material) -> f64 {
    epsilon_of(material.yield_mpa, material.youngs_modulus_mpa)
}

/// The same of a strength and a modulus, MPa.
pub(super) fn epsilon_of(yield_mpa: f64, youngs_modulus_mpa: f64) -> f64 {
    (235.0 / yield_mpa * youngs_modulus_mpa / 210_000.0).sqrt()
}

/// Slenderness and limit of a tube's wall; `None` for a section without one.
pub fn wall(section: &Section, material: &Material) -> Option<WallResult> {
    let epsilon = epsilon(material);
    match section {
        Section::Round(tube) => {
            Some(WallResult { slenderness: tube.od_mm / tube.wall_mm, limit: 90.0 * epsilon * epsilon })
        }
        Section::Box(tube) => {
            let flat = tube.width_mm.max(tube.depth_mm) - 3.0 * tube.wall_mm;
            Some(WallResult { slenderness: flat / tube.wall_mm, limit: 42.0 * epsilon })
        }
        Section::Bar(_) | Section::Flat(_) | Section::Given(_) => None,
    }
}
