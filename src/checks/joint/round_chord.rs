//! Round tube on round tube: EN 1993-1-8:2005 Tables 7.1, 7.2 and 7.5, from memory.

use std::f64::consts::PI;

use super::{JointFailure, JointKind, JointShape, Resistance, least};

/// What lies outside Table 7.1.
///
/// ```text
/// 0.2 ≤ d1/d0 ≤ 1.0    10 ≤ d0/t0 ≤ 50, of a cross joint ≤ 40    d1/t1 ≤ 50
/// ```
pub(super) fn out_of_range(shape: &JointShape, is_across: bool) -> Option<String> {
    if !shape.brace.is_round {
        return Some("a box on a round tube: the tables have plates and open sections there".to_owned());
    }
    let beta = shape.beta();
    if !(0.2 - 1e-9..=1.0 + 1e-9).contains(&beta) {
        return Some(format!("its diameter is {beta:.2} times that of the tube it stands on, outside 0.2 to 1"));
    }
    let slender = shape.chord.width_mm / shape.chord.wall_mm;
    let most = if is_across { 40.0 } else { 50.0 };
    if !(10.0 - 1e-9..=most + 1e-9).contains(&slender) {
        return Some(format!(
            "the diameter of the tube it stands on is {slender:.1} times its wall, outside 10 to {most:.0}"
        ));
    }
    let own = shape.brace.width_mm / shape.brace.wall_mm;
    (own > 50.0 + 1e-9).then(|| format!("its diameter is {own:.1} times its wall, more than 50"))
}

/// What the push in the chord leaves: k_p = 1 − 0.3 n_p (1 + n_p), n_p = push / strength.
///
/// The push is the largest on either side, bending included; the standard lets the part that the
/// braces bring at the node be left out. A chord pushed beyond yield counts as at yield: it fails
/// by itself.
pub(super) fn push_factor(shape: &JointShape, push_mpa: f64) -> f64 {
    let np = (push_mpa / shape.chord.strength_mpa()).clamp(0.0, 1.0);
    1.0 - 0.3 * np * (1.0 + np)
}

/// fy0 t0²/sin θ.
fn face_n(shape: &JointShape) -> f64 {
    shape.chord.strength_mpa() * shape.chord.wall_mm.powi(2) / shape.angle_rad.sin()
}

/// Whether the brace stands on the wall and not beside it: d1 ≤ d0 − 2 t0.
fn can_punch(shape: &JointShape) -> bool {
    shape.brace.width_mm <= shape.chord.width_mm - 2.0 * shape.chord.wall_mm
}

/// Shear strength of the wall, N/mm.
fn shear_n_mm(shape: &JointShape) -> f64 {
    shape.chord.strength_mpa() / 3.0_f64.sqrt() * shape.chord.wall_mm
}

/// Resistance to an axial force, N. Table 7.2, γM5 = 1:
///
/// ```text
/// face   T, Y  γ^0.2 kp fy0 t0²/sin θ (2.8 + 14.2 β²)
///        X     kp fy0 t0²/sin θ · 5.2/(1 − 0.81 β)
///        K, N  kg kp fy0 t0²/sin θ (1.8 + 10.2 d1/d0), d1 that of the pushed brace,
///              kg = γ^0.2 (1 + 0.024 γ^1.2/(1 + exp(0.5 g/t0 − 1.33)))
/// punching     fy0/√3 t0 π d1 (1 + sin θ)/(2 sin² θ)
/// ```
pub(super) fn axial_n(shape: &JointShape, kind: JointKind, push_mpa: f64) -> Resistance {
    let (beta, gamma, kp) = (shape.beta(), shape.gamma(), push_factor(shape, push_mpa));
    let face = match kind {
        JointKind::Alone => gamma.powf(0.2) * (2.8 + 14.2 * beta * beta),
        JointKind::Cross => 5.2 / (1.0 - 0.81 * beta),
        JointKind::Pair { gap_mm, pushed_mm, .. } => {
            let kg = gap_factor(gamma, gap_mm / shape.chord.wall_mm);
            kg * (1.8 + 10.2 * pushed_mm / shape.chord.width_mm)
        }
    };
    let sin = shape.angle_rad.sin();
    let punching = shear_n_mm(shape) * PI * shape.brace.width_mm * (1.0 + sin) / (2.0 * sin * sin);
    least([
        Some((kp * face_n(shape) * face, JointFailure::ChordFace)),
        can_punch(shape).then_some((punching, JointFailure::Punching)),
    ])
}

/// k_g of a K joint, from the gap in walls of the chord (below zero: overlap).
pub(super) fn gap_factor(gamma: f64, gap_in_walls: f64) -> f64 {
    gamma.powf(0.2) * (1.0 + 0.024 * gamma.powf(1.2) / (1.0 + (0.5 * gap_in_walls - 1.33).exp()))
}

/// Resistance to a moment in the plane of both axes, N·mm. Table 7.5:
///
/// ```text
/// face 4.85 fy0 t0² d1/sin θ √γ β kp        punching fy0 t0 d1²/√3 (1 + 3 sin θ)/(4 sin² θ)
/// ```
/// The table has it for T, X and Y; it is used for K too.
pub(super) fn in_plane_nmm(shape: &JointShape, push_mpa: f64) -> Resistance {
    let (d1, sin) = (shape.brace.width_mm, shape.angle_rad.sin());
    let face = 4.85 * face_n(shape) * d1 * shape.gamma().sqrt() * shape.beta() * push_factor(shape, push_mpa);
    let punching = shear_n_mm(shape) * d1 * d1 * (1.0 + 3.0 * sin) / (4.0 * sin * sin);
    least([Some((face, JointFailure::ChordFace)), can_punch(shape).then_some((punching, JointFailure::Punching))])
}

/// Resistance to a moment square to that plane, N·mm. Table 7.5:
///
/// ```text
/// face fy0 t0² d1/sin θ · 2.7/(1 − 0.81 β) kp        punching fy0 t0 d1²/√3 (3 + sin θ)/(4 sin² θ)
/// ```
pub(super) fn out_of_plane_nmm(shape: &JointShape, push_mpa: f64) -> Resistance {
    let (d1, sin) = (shape.brace.width_mm, shape.angle_rad.sin());
    let face = face_n(shape) * d1 * 2.7 / (1.0 - 0.81 * shape.beta()) * push_factor(shape, push_mpa);
    let punching = shear_n_mm(shape) * d1 * d1 * (3.0 + sin) / (4.0 * sin * sin);
    least([Some((face, JointFailure::ChordFace)), can_punch(shape).then_some((punching, JointFailure::Punching))])
}

/// Every figure by hand from Tables 7.2 and 7.5 as remembered, apart from this file.
#[cfg(test)]
mod tests {
    use super::super::Hollow;
    use super::*;
    use crate::math::assert_near;

    fn tube(od_mm: f64, wall_mm: f64) -> Hollow {
        Hollow {
            is_round: true,
            width_mm: od_mm,
            depth_mm: od_mm,
            wall_mm,
            yield_mpa: 235.0,
            yield_at_weld_mpa: 235.0,
            youngs_modulus_mpa: 210_000.0,
        }
    }

    /// γ = 5: the thickest chord of the table.
    fn on_a_thick_chord(od_mm: f64, degrees: f64) -> JointShape {
        JointShape { chord: tube(60.0, 6.0), brace: tube(od_mm, 3.0), angle_rad: degrees.to_radians() }
    }

    #[test]
    fn a_thick_wall_is_torn_out_before_it_folds() {
        let joint = on_a_thick_chord(30.0, 50.0);
        let sin = 50.0_f64.to_radians().sin();
        let shear = 235.0 / 3.0_f64.sqrt() * 6.0;
        let (along, failure) = axial_n(&joint, JointKind::Alone, 0.0);
        // The face folds: 5^0.2 · 235 · 36/sin θ (2.8 + 14.2/4).
        assert_near(along, 5.0_f64.powf(0.2) * 235.0 * 36.0 / sin * 6.35, 1e-12);
        assert_eq!(failure, JointFailure::ChordFace);
        let (in_plane, failure) = in_plane_nmm(&joint, 0.0);
        assert_near(in_plane, shear * 900.0 * (1.0 + 3.0 * sin) / (4.0 * sin * sin), 1e-12);
        assert_eq!(failure, JointFailure::Punching);
        let (out_of_plane, failure) = out_of_plane_nmm(&joint, 0.0);
        assert_near(out_of_plane, shear * 900.0 * (3.0 + sin) / (4.0 * sin * sin), 1e-12);
        assert_eq!(failure, JointFailure::Punching);
    }

    #[test]
    fn a_brace_as_wide_as_the_bore_tears_nothing_out() {
        // d0 − 2 t0 = 48 mm.
        for (od_mm, tears) in [(48.0, true), (48.1, false), (57.0, false)] {
            let joint = on_a_thick_chord(od_mm, 90.0);
            let found = [axial_n(&joint, JointKind::Alone, 0.0), in_plane_nmm(&joint, 0.0)].map(|(_, failure)| failure);
            let expected = if tears { JointFailure::Punching } else { JointFailure::ChordFace };
            assert_eq!(found, [expected; 2], "{od_mm}");
        }
    }

    #[test]
    fn a_push_in_a_thin_chord_lessens_both_moments_that_fold_its_face() {
        // γ = 15, β = 0.5; n_p = 0.5: k_p = 1 − 0.15 · 1.5 = 0.775.
        let joint = JointShape { chord: tube(60.0, 2.0), brace: tube(30.0, 2.0), angle_rad: PI / 2.0 };
        let (in_plane, failure) = in_plane_nmm(&joint, 117.5);
        assert_near(in_plane, 4.85 * 235.0 * 4.0 * 30.0 * 15.0_f64.sqrt() * 0.5 * 0.775, 1e-12);
        assert_eq!(failure, JointFailure::ChordFace);
        let (out_of_plane, failure) = out_of_plane_nmm(&joint, 117.5);
        assert_near(out_of_plane, 235.0 * 4.0 * 30.0 * 2.7 / 0.595 * 0.775, 1e-12);
        assert_eq!(failure, JointFailure::ChordFace);
    }

    #[test]
    fn a_brace_more_than_fifty_walls_wide_is_outside_the_table() {
        let on = |wall_mm: f64| {
            let brace = tube(50.0, wall_mm);
            out_of_range(&JointShape { chord: tube(60.0, 3.0), brace, angle_rad: PI / 2.0 }, false)
        };
        assert_eq!(on(1.0), None);
        assert!(on(0.98).is_some_and(|why| why.contains("more than 50")));
    }

    #[test]
    fn what_stands_at_the_very_ends_of_the_table_is_judged() {
        let on = |chord: Hollow, brace: Hollow, is_across: bool| {
            out_of_range(&JointShape { chord, brace, angle_rad: PI / 2.0 }, is_across)
        };
        for od_mm in [12.0, 60.0] {
            assert_eq!(on(tube(60.0, 6.0), tube(od_mm, 3.0), false), None, "{od_mm}");
        }
        assert_eq!(on(tube(60.0, 1.2), tube(30.0, 3.0), false), None);
        assert_eq!(on(tube(60.0, 1.5), tube(30.0, 3.0), true), None);
    }
}
