//! The chord itself between two braces on one side: EN 1993-1-8:2005 Tables 7.7, 7.12 and 7.16, from memory.
//!
//! One brace pulls and the other pushes, so that the chord is sheared in the gap between them while its own axial
//! force goes on: there it has less to give than elsewhere.

use std::f64::consts::PI;

use super::{JointShape, box_chord, part};
use crate::math::larger_than;

/// What a cut through the chord carries between the feet of two braces, without margin.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct GapForces {
    /// Axial force, N, tension positive.
    pub n_n: f64,
    /// Shear in the plane of the braces, N, at least 0.
    pub shear_n: f64,
    /// Shear across that plane, of braces in other planes, N, at least 0.
    pub across_n: f64,
}

/// The gap between two braces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChordGap {
    /// Distance of their walls on the chord's face, mm, at least 0.
    pub gap_mm: f64,
    /// Area of the chord, mm².
    pub area_mm2: f64,
    /// Whether braces stand on the chord in other planes too.
    pub in_planes: bool,
}

/// By what the chord is judged in the gap.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GapRule {
    /// Its axial force against what shear leaves it.
    Axial,
    /// Its shear alone.
    Shear,
    /// The squares of both, where braces stand in several planes.
    Squares,
}

/// The chord in a gap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChordInGap {
    /// What acts.
    pub forces: GapForces,
    /// Where.
    pub gap: ChordGap,
    /// What governs.
    pub rule: GapRule,
    /// A_v by that rule, in the plane of the braces and across it, mm²; across it only where the squares ask for it.
    pub shear_areas_mm2: [f64; 2],
    /// V_pl,Rd in the plane of the braces, N.
    pub v_rd_n: f64,
    /// N_0,gap,Rd, or N_pl,0,Rd for the squares, N.
    pub n_rd_n: f64,
    /// At loads × margin; of the squares the root of their sum, so that it grows as the loads do.
    pub utilisation: f64,
}

/// Judges the chord in a gap; `None` where no table asks for it: on a round chord whose braces are all in one plane.
///
/// ```text
/// box        V ≤ V_pl,Rd = fy0 A_v/√3, A_v = (2 h0 + α b0) t0, α as in Table 7.12
///            N ≤ N_0,gap,Rd = (A0 − A_v) fy0 + A_v fy0 √(1 − (V/V_pl,Rd)²)
/// braces in several planes    (N/N_pl,Rd)² + (V/V_pl,Rd)² ≤ 1, V of all braces together
///            A_v there as in EN 1993-1-1 6.2.6(3): 2 A0/π, of a box A0 h0/(b0 + h0)
/// ```
/// On a round chord V is the resultant of the shear in both directions; on a box each has its own A_v (across:
/// A0 b0/(b0 + h0)) and its own square.
/// γM5 = 1. The π/4 for round braces is not put on these: what the chord has left is no less for the shape of the
/// braces, but for α = 0.
pub fn chord_in_gap(shape: &JointShape, gap: ChordGap, forces: GapForces, margin: f64) -> Option<ChordInGap> {
    let chord = &shape.chord;
    let strength = chord.strength_mpa();
    let (n_n, shear_n) = (forces.n_n.abs() * margin, forces.shear_n * margin);
    let plastic_shear_n = |area_mm2: f64| strength * area_mm2 / 3.0_f64.sqrt();
    let of_box = (!chord.is_round).then(|| {
        let shear_area_mm2 = box_chord::shear_area_mm2(shape, gap.gap_mm);
        let v_rd_n = plastic_shear_n(shear_area_mm2);
        let sheared = shear_n / v_rd_n;
        let left = (1.0 - sheared * sheared).max(0.0).sqrt();
        let n_rd_n = strength * (gap.area_mm2 - shear_area_mm2 * (1.0 - left));
        let pulled = part(n_n, n_rd_n);
        let (rule, utilisation) =
            if larger_than(sheared, pulled) { (GapRule::Shear, sheared) } else { (GapRule::Axial, pulled) };
        let shear_areas_mm2 = [shear_area_mm2, 0.0];
        ChordInGap { forces, gap, rule, shear_areas_mm2, v_rd_n, n_rd_n, utilisation }
    });
    let of_planes = gap.in_planes.then(|| {
        let shear_areas_mm2 = if chord.is_round {
            [2.0 * gap.area_mm2 / PI; 2]
        } else {
            [chord.depth_mm, chord.width_mm].map(|side| gap.area_mm2 * side / (chord.width_mm + chord.depth_mm))
        };
        let [v_rd_n, across_rd_n] = shear_areas_mm2.map(plastic_shear_n);
        let n_rd_n = strength * gap.area_mm2;
        let sheared = (shear_n / v_rd_n).hypot(forces.across_n * margin / across_rd_n);
        let utilisation = (n_n / n_rd_n).hypot(sheared);
        ChordInGap { forces, gap, rule: GapRule::Squares, shear_areas_mm2, v_rd_n, n_rd_n, utilisation }
    });
    worst_gap([of_box, of_planes].into_iter().flatten())
}

/// The one that comes nearest to its limit, or furthest past it.
pub fn worst_gap(gaps: impl IntoIterator<Item = ChordInGap>) -> Option<ChordInGap> {
    gaps.into_iter().reduce(|worst, next| if larger_than(next.utilisation, worst.utilisation) { next } else { worst })
}

/// Every figure by hand from the tables as remembered, apart from this file.
#[cfg(test)]
mod tests {
    use super::super::Hollow;
    use super::*;
    use crate::math::assert_near;

    fn tube(is_round: bool, width_mm: f64, depth_mm: f64, wall_mm: f64) -> Hollow {
        Hollow {
            is_round,
            width_mm,
            depth_mm,
            wall_mm,
            yield_mpa: 355.0,
            yield_at_weld_mpa: 355.0,
            youngs_modulus_mpa: 210_000.0,
        }
    }

    fn on(chord: Hollow, brace: Hollow) -> JointShape {
        JointShape { chord, brace, angle_rad: 50.0_f64.to_radians() }
    }

    #[test]
    fn a_box_that_is_sheared_in_the_gap_has_less_left_along_itself() {
        let shape = on(tube(false, 60.0, 40.0, 4.0), tube(false, 40.0, 40.0, 3.0));
        let gap = ChordGap { gap_mm: 15.0, area_mm2: 736.0, in_planes: false };
        // α² = 1/(1 + 4 · 225/48) = 1/19.75.
        let area = (80.0 + 60.0 / 19.75_f64.sqrt()) * 4.0;
        let whole = 355.0 * area / 3.0_f64.sqrt();
        let forces = GapForces { n_n: -80_000.0, shear_n: 20_000.0, across_n: 0.0 };
        let found = chord_in_gap(&shape, gap, forces, 1.5).unwrap();
        let left = 355.0 * (736.0 - area) + 355.0 * area * (1.0 - (30_000.0 / whole).powi(2)).sqrt();
        assert_near(found.shear_areas_mm2[0], area, 1e-12);
        assert_near(found.v_rd_n, whole, 1e-12);
        assert_near(found.n_rd_n, left, 1e-12);
        assert_near(found.utilisation, 120_000.0 / left, 1e-12);
        assert_eq!(found.rule, GapRule::Axial);
        // Without shear all of the section is left.
        let pulled = chord_in_gap(&shape, gap, GapForces { n_n: 60_000.0, ..GapForces::default() }, 1.5).unwrap();
        assert_near(pulled.utilisation, 90_000.0 / (355.0 * 736.0), 1e-12);
    }

    #[test]
    fn shear_above_all_that_the_side_walls_have_fails_whatever_the_axial_force() {
        let shape = on(tube(false, 60.0, 40.0, 4.0), tube(true, 30.0, 30.0, 3.0));
        let gap = ChordGap { gap_mm: 15.0, area_mm2: 736.0, in_planes: false };
        // A round brace: α = 0, and no π/4.
        let whole = 355.0 * 320.0 / 3.0_f64.sqrt();
        let found =
            chord_in_gap(&shape, gap, GapForces { n_n: 1.0, shear_n: 2.0 * whole, across_n: 0.0 }, 1.0).unwrap();
        assert_eq!(found.rule, GapRule::Shear);
        assert_near(found.utilisation, 2.0, 1e-12);
        assert_near(found.n_rd_n, 355.0 * (736.0 - 320.0), 1e-12);
    }

    #[test]
    fn braces_in_several_planes_ask_for_the_squares_of_both_and_in_one_plane_a_round_chord_for_nothing() {
        let round = on(tube(true, 60.0, 60.0, 4.0), tube(true, 30.0, 30.0, 3.0));
        let area = PI * 56.0 * 4.0;
        let forces = GapForces { n_n: 80_000.0, shear_n: 24_000.0, across_n: 32_000.0 };
        let gap = ChordGap { gap_mm: 15.0, area_mm2: area, in_planes: false };
        assert_eq!(chord_in_gap(&round, gap, forces, 1.5), None);
        let found = chord_in_gap(&round, ChordGap { in_planes: true, ..gap }, forces, 1.5).unwrap();
        // A_v = 2 A/π = 2 · 56 · 4 = 448 mm²; 24 and 32 kN are 40.
        let by_hand = (120_000.0 / (355.0 * area)).hypot(60_000.0 / (355.0 * 448.0 / 3.0_f64.sqrt()));
        assert_near(found.utilisation, by_hand, 1e-12);
        assert_eq!(found.rule, GapRule::Squares);
        // A box of 60 by 40: A_v = A 40/100 in the plane of its depth, A 60/100 across.
        let shape = on(tube(false, 60.0, 40.0, 4.0), tube(false, 40.0, 40.0, 3.0));
        let gap = ChordGap { gap_mm: 15.0, area_mm2: 736.0, in_planes: true };
        let found = chord_in_gap(&shape, gap, forces, 1.5).unwrap();
        let of_shear = |force: f64, part: f64| force / (355.0 * 736.0 * part / 3.0_f64.sqrt());
        let squares = (120_000.0_f64 / (355.0 * 736.0)).powi(2)
            + of_shear(36_000.0, 0.4).powi(2)
            + of_shear(48_000.0, 0.6).powi(2);
        let by_hand = squares.sqrt();
        assert_eq!(found.rule, GapRule::Squares);
        assert_near(found.utilisation, by_hand, 1e-12);
    }
}
