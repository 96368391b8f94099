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
