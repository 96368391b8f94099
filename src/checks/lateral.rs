//! Giving way sideways: does a flat that is bent on edge swing out and twist (lateral-torsional buckling)?
//!
//! Reads: largest moment about the strong axis, what push and bending about the weak axis take (parts of a
//! sum), section, material, the critical moment. Gives: the larger sum at loads × margin; above 1 fails.
//! The critical moment is that of an even strip ([`sideways_moment_nmm`]) or of the flat in its frame.
//! Source: EN 1993-1-1 6.3.2.1 to 6.3.2.2, the general case, with curve d of Table 6.4 (all sections but I),
//! and (6.61) and (6.62), k_zy = 1, which is above all that Annex B has; γM1 = 1.0. Table 6.4 is from memory.

use std::f64::consts::PI;

use super::column::{Curve, chi};
use crate::math::larger_than;
use crate::section::{Material, Properties};

/// What acts on a flat between the places that hold it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LateralForces {
    /// Largest moment about the strong axis, N·mm.
    pub moment_nmm: f64,
    /// Push × margin over the column's resistance about the strong and about the weak axis.
    pub push_parts: [f64; 2],
    /// Moment about the weak axis × margin over its resistance.
    pub weak_part: f64,
    /// k of the moments about the strong and about the weak axis, each by its own axis; 1 where nothing pushes.
    pub k: [f64; 2],
}

/// Where the critical moment comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CriticalMoment {
    /// An even strip over the length that nothing holds, mm.
    EvenStrip(f64),
    /// The flat in its frame gives way at so many times the moments of the case.
    InFrame(f64),
    /// In its frame it does not below so many times them.
    InFrameAtLeast(f64),
}

/// Which sum governs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LateralSum {
    /// (6.61), with the column about the strong axis.
    Strong,
    /// (6.62), with the column about the weak axis.
    Weak,
}

/// What giving way sideways leaves of a resistance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sideways {
    /// Where M_cr comes from.
    pub source: CriticalMoment,
    /// M_cr, N·mm.
    pub m_cr_nmm: f64,
    /// λ_LT.
    pub slenderness: f64,
    /// χ_LT.
    pub chi: f64,
}

/// With M_cr at least so many times M_Ed, margin and all, giving way sideways is not looked at: EN 1993-1-1 6.3.2.2(4),
/// M_Ed/M_cr ≤ λ_LT,0² with the 0.2 of 6.3.2.2.
pub const NOT_SIDEWAYS: f64 = 25.0;

/// A flat that is bent on edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LateralResult {
    /// What acts.
    pub forces: LateralForces,
    /// How giving way sideways lessens its resistance; `None`: it lies over.
    pub sideways: Option<Sideways>,
    /// M_b,Rd; of what lies over the resistance about its weak axis, N·mm.
    pub m_rd_nmm: f64,
    /// The larger sum at loads × margin.
    pub sum: f64,
    /// Which that is.
    pub governs: LateralSum,
}

/// Judges a flat.
///
/// ```text
/// λ_LT = √(W fy/M_cr)    M_b,Rd = χ_LT W fy
/// (6.61)  n_y + k_yy M margin/M_b,Rd + k_zz m_z ≤ 1      (6.62)  n_z + M margin/M_b,Rd + k_zz m_z ≤ 1
/// ```
/// y is the strong axis and z the weak one; k_yz = k_zz as of class 3 in Table B.1.
///
/// `source` is `None` where nothing holds the flat against turning about itself: it lies over under any load and turns
/// all of its moments about its weak axis, n_z + k_zz √(M² + M_z²) margin/(W_z fy).
pub fn lateral(
    material: &Material,
    properties: &Properties,
    source: Option<CriticalMoment>,
    forces: LateralForces,
    margin: f64,
) -> LateralResult {
    let [about_y, about_z] = [properties.iy_mm4 / properties.cz_mm, properties.iz_mm4 / properties.cy_mm];
    let Some(source) = source else {
        let m_rd_nmm = about_y.min(about_z) * material.yield_mpa;
        let bent = (forces.moment_nmm * margin / m_rd_nmm).hypot(forces.weak_part);
        let sum = forces.push_parts[1] + forces.k[1] * bent;
        return LateralResult { forces, sideways: None, m_rd_nmm, sum, governs: LateralSum::Weak };
    };
    let m_cr_nmm = match source {
        CriticalMoment::EvenStrip(length_mm) => sideways_moment_nmm(material, properties, length_mm),
        CriticalMoment::InFrame(factor) | CriticalMoment::InFrameAtLeast(factor) => factor * forces.moment_nmm,
    };
    let whole_nmm = about_y.max(about_z) * material.yield_mpa;
    let slenderness = (whole_nmm / m_cr_nmm).sqrt();
    let stays = matches!(source, CriticalMoment::InFrameAtLeast(factor) if factor >= margin * NOT_SIDEWAYS);
    let chi = if stays { 1.0 } else { chi(slenderness, Curve::D.imperfection()) };
    let m_rd_nmm = chi * whole_nmm;
    let (bent, weak) = (forces.moment_nmm * margin / m_rd_nmm, forces.k[1] * forces.weak_part);
    let strong_sum = forces.push_parts[0] + forces.k[0] * bent + weak;
    let weak_sum = forces.push_parts[1] + bent + weak;
    let (sum, governs) =
        if larger_than(strong_sum, weak_sum) { (strong_sum, LateralSum::Strong) } else { (weak_sum, LateralSum::Weak) };
    let sideways = Some(Sideways { source, m_cr_nmm, slenderness, chi });
    LateralResult { forces, sideways, m_rd_nmm, sum, governs }
}

/// Moment at which a strip bent on edge gives way sideways and twists, N·mm: elastic, evenly bent, its
/// ends held against turning about the tube's axis.
///
/// ```text
/// M = (π/L) √(E I G J)        I about the weak axis
/// ```
/// A moment that falls off along the length may be larger; a load above the axis may make it smaller. With one
/// end free it is that of twice the length.
/// Source: Timoshenko & Gere, Theory of Elastic Stability, lateral buckling of a beam of narrow
/// rectangular section in pure bending.
pub fn sideways_moment_nmm(material: &Material, properties: &Properties, length_mm: f64) -> f64 {
    let weak = material.youngs_modulus_mpa * properties.iy_mm4.min(properties.iz_mm4);
    let torsion = material.shear_modulus_mpa * properties.j_mm4;
    PI / length_mm * (weak * torsion).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::assert_near;
    use crate::section::{Flat, Section, built_in};

    /// A strip of 60 by 3 mm: steel, and its figures.
    fn strip() -> (Material, Properties) {
        let material = built_in("S355J2H").expect("it is built in").material;
        (material, Section::from(Flat { width_mm: 60.0, thickness_mm: 3.0 }).properties(0.3))
    }

    #[test]
    fn a_thin_strip_gives_way_sideways_at_the_moment_of_the_book() {
        let material = Material { shear_modulus_mpa: 81_000.0, ..built_in("S355J2H").unwrap().material };
        let flat = Section::from(Flat { width_mm: 60.0, thickness_mm: 3.0 });
        let moment = sideways_moment_nmm(&material, &flat.properties(0.3), 600.0);
        // By hand: I = 60·3³/12 = 135 mm⁴, J = 60·3³/3 (1 − 0.63·3/60) = 523.0 mm⁴.
        let e = material.youngs_modulus_mpa;
        assert_near(moment, PI / 600.0 * (e * 135.0 * 81_000.0 * 523.0_f64).sqrt(), 1e-3);
    }

    #[test]
    fn a_strip_with_a_free_end_may_be_loaded_by_less_than_the_book_has_for_a_force_there() {
        // Timoshenko & Gere, ch. 6: P = 4.013 √(E I G J)/L², so that M = P L = 4.013/L √(E I G J); bent evenly
        // by a moment at the free end π/(2 L) of it, which is what is taken.
        let (material, p) = strip();
        let root = (material.youngs_modulus_mpa * p.iy_mm4.min(p.iz_mm4) * material.shear_modulus_mpa * p.j_mm4).sqrt();
        let taken = sideways_moment_nmm(&material, &p, 2.0 * 600.0);
        assert_near(taken, PI / 2.0 / 600.0 * root, 1e-12);
        assert!(taken < 4.013 / 600.0 * root);
    }

    #[test]
    fn what_is_slender_carries_little_less_than_its_critical_moment_and_what_is_stout_its_strength() {
        let (material, p) = strip();
        let forces = LateralForces { moment_nmm: 1e5, push_parts: [0.02, 0.1], weak_part: 0.05, k: [1.0, 1.2] };
        let slender = lateral(&material, &p, Some(CriticalMoment::EvenStrip(4000.0)), forces, 1.5);
        let Sideways { m_cr_nmm, slenderness, .. } = slender.sideways.unwrap();
        assert!(slenderness > 2.0 && slender.m_rd_nmm < m_cr_nmm);
        assert!(slender.m_rd_nmm > 0.7 * m_cr_nmm, "{slender:?}");
        assert_near(slender.sum, 0.1 + 1.5e5 / slender.m_rd_nmm + 0.06, 1e-12);
        assert_eq!(slender.governs, LateralSum::Weak);
        let stout = lateral(&material, &p, Some(CriticalMoment::EvenStrip(5.0)), forces, 1.5);
        // W = 3·60²/6 = 1800 mm³.
        assert_near(stout.m_rd_nmm, 1800.0 * material.yield_mpa, 1e-12);
    }

    #[test]
    fn a_column_that_adds_to_the_moment_about_its_strong_axis_is_held_by_the_first_sum() {
        let (material, p) = strip();
        let forces = LateralForces { moment_nmm: 1e5, push_parts: [0.2, 0.25], weak_part: 0.0, k: [1.3, 1.1] };
        let found = lateral(&material, &p, Some(CriticalMoment::EvenStrip(1000.0)), forces, 1.5);
        assert_eq!(found.governs, LateralSum::Strong);
        assert_near(found.sum, 0.2 + 1.3 * 1.5e5 / found.m_rd_nmm, 1e-12);
    }

    #[test]
    fn a_flat_in_its_frame_has_the_moment_at_which_that_gives_way() {
        let (material, p) = strip();
        let forces = LateralForces { moment_nmm: 1e5, push_parts: [0.0; 2], weak_part: 0.0, k: [1.0; 2] };
        let even = lateral(&material, &p, Some(CriticalMoment::EvenStrip(1000.0)), forces, 1.5);
        let factor = even.sideways.unwrap().m_cr_nmm / 1e5;
        for source in [CriticalMoment::InFrame(factor), CriticalMoment::InFrameAtLeast(factor)] {
            assert_near(lateral(&material, &p, Some(source), forces, 1.5).sum, even.sum, 1e-12);
        }
    }

    #[test]
    fn a_flat_that_lies_over_carries_all_of_its_moments_about_its_weak_axis() {
        let (material, p) = strip();
        // W = 60·3²/6 = 90 mm³.
        let weak_nmm = 90.0 * material.yield_mpa;
        let forces =
            LateralForces { moment_nmm: 4e3, push_parts: [0.05, 0.2], weak_part: 4.5e3 / weak_nmm, k: [1.0, 1.1] };
        let found = lateral(&material, &p, None, forces, 1.5);
        assert_near(found.sum, 0.2 + 1.1 * 7.5e3 / weak_nmm, 1e-12);
        assert!(found.sideways.is_none());
    }

    #[test]
    fn a_flat_that_stands_is_judged_as_one_that_lies_is() {
        let material = built_in("S355J2H").unwrap().material;
        let forces = LateralForces { moment_nmm: 1e5, push_parts: [0.05, 0.1], weak_part: 0.05, k: [1.1, 1.2] };
        let of = |width_mm: f64, thickness_mm: f64| {
            let p = Section::from(Flat { width_mm, thickness_mm }).properties(0.3);
            lateral(&material, &p, Some(CriticalMoment::EvenStrip(800.0)), forces, 1.5)
        };
        let (lying, standing) = (of(60.0, 3.0), of(3.0, 60.0));
        assert_near(standing.m_rd_nmm, lying.m_rd_nmm, 1e-12);
        assert_near(standing.sum, lying.sum, 1e-12);
    }
}
