//! Box or round tube on a box: EN 1993-1-8:2005 Tables 7.8, 7.11, 7.12 and 7.14, from memory.
//!
//! Letters as there: b0, h0, t0 of the chord (b0 across the plane of both axes), b1, h1, t1 of the
//! brace, η = h1/b0. A round brace: d1 for b1 and h1, and π/4 of every resistance.

use std::f64::consts::{FRAC_PI_4, PI};

use super::{JointFailure, JointKind, JointShape, Resistance, least};
use crate::checks::column::{Curve, chi};

/// Up to this β the face of the chord bends; from there to 1 its side walls take over.
const FACE_UP_TO: f64 = 0.85;

/// What lies outside Table 7.8 with 7.9's rule for round braces:
///
/// ```text
/// b1/b0 ≥ 0.25, in a K joint also ≥ 0.35 and ≥ 0.1 + 0.01 b0/t0    round brace 0.4 ≤ d1/b0 ≤ 0.8
/// b/t, h/t ≤ 35, d1/t1 ≤ 50    0.5 ≤ h/b ≤ 2
/// K joint: g ≥ 0.5 (1 − β) b0 (an overlap is not judged on a box)
/// ```
pub(super) fn out_of_range(shape: &JointShape, kinds: &[JointKind]) -> Option<String> {
    let (chord, brace) = (&shape.chord, &shape.brace);
    let beta = shape.beta();
    let (least, most) = if brace.is_round { (0.4, 0.8) } else { (0.25, 1.0) };
    if !(least - 1e-9..=most + 1e-9).contains(&beta) {
        return Some(format!("it is {beta:.2} times as wide as the box it stands on, outside {least} to {most}"));
    }
    for (tube, what) in [(chord, "the box it stands on"), (brace, "the tube itself")] {
        let slender = tube.width_mm.max(tube.depth_mm) / tube.wall_mm;
        let most = if tube.is_round { 50.0 } else { 35.0 };
        if slender > most + 1e-9 {
            return Some(format!("the wider side of {what} is {slender:.1} times its wall, more than {most}"));
        }
        let flat = tube.depth_mm / tube.width_mm;
        if !(0.5 - 1e-9..=2.0 + 1e-9).contains(&flat) {
            return Some(format!("one side of {what} is more than twice the other"));
        }
    }
    for kind in kinds {
        let JointKind::Pair { gap_mm, other_mm, .. } = kind else { continue };
        let narrow = 0.35_f64.max(0.1 + 0.01 * chord.width_mm / chord.wall_mm);
        if beta < narrow - 1e-9 {
            return Some(format!(
                "beside another tube it must be at least {narrow:.2} times as wide as the box; it is {beta:.2} times"
            ));
        }
        let least_mm = 0.5 * (1.0 - mean_beta(shape, *other_mm)) * chord.width_mm;
        if *gap_mm < least_mm.max(brace.wall_mm) {
            return Some(format!(
                "the gap to the tube beside it on the box is {gap_mm:.1} mm; it must be {:.1} mm at least",
                least_mm.max(brace.wall_mm)
            ));
        }
    }
    None
}

/// Whether two braces on one side of a box stand so far apart that each counts as alone: g above
/// 1.5 (1 − β) b0.
pub fn stands_apart(shape: &JointShape, gap_mm: f64, other_mm: [f64; 2]) -> bool {
    gap_mm > 1.5 * (1.0 - mean_beta(shape, other_mm)) * shape.chord.width_mm
}

/// β of a K joint: (b1 + b2 + h1 + h2)/(4 b0).
fn mean_beta(shape: &JointShape, other_mm: [f64; 2]) -> f64 {
    let all = shape.brace.width_mm + shape.brace.depth_mm + other_mm[0] + other_mm[1];
    all / (4.0 * shape.chord.width_mm)
}

fn beta_of(shape: &JointShape, kind: JointKind) -> f64 {
    match kind {
        JointKind::Alone | JointKind::Cross => shape.beta(),
        JointKind::Pair { other_mm, .. } => mean_beta(shape, other_mm),
    }
}

/// What the push in the chord leaves: k_n = 1.3 − 0.4 n/β, between 0 and 1, n = push / strength.
pub(super) fn push_factor(shape: &JointShape, kind: JointKind, push_mpa: f64) -> f64 {
    let n = (push_mpa / shape.chord.strength_mpa()).clamp(0.0, 1.0);
    (1.3 - 0.4 * n / beta_of(shape, kind)).clamp(0.0, 1.0)
}

fn round_part(shape: &JointShape) -> f64 {
    if shape.brace.is_round { FRAC_PI_4 } else { 1.0 }
}

/// b_eff = 10/(b0/t0) · fy0 t0/(fy1 t1) · b1 ≤ b1.
fn effective_mm(shape: &JointShape) -> f64 {
    let (chord, brace) = (&shape.chord, &shape.brace);
    let stronger = chord.strength_mpa() * chord.wall_mm / (brace.strength_mpa() * brace.wall_mm);
    (10.0 * chord.wall_mm / chord.width_mm * stronger * brace.width_mm).min(brace.width_mm)
}

/// b_e,p = 10/(b0/t0) · b1 ≤ b1.
fn effective_punching_mm(shape: &JointShape) -> f64 {
    let (chord, brace) = (&shape.chord, &shape.brace);
    (10.0 * chord.wall_mm / chord.width_mm * brace.width_mm).min(brace.width_mm)
}

/// Strength of a side wall, MPa: fy0 where it is pulled; pushed χ fy0, and 0.8 χ sin θ fy0 in a cross
/// joint, χ of the column curve of a cold formed box at the slenderness
///
/// ```text
/// λ = 3.46 (h0/t0 − 2) √(1/sin θ) / (π √(E/fy0))
/// ```
fn side_wall_mpa(shape: &JointShape, is_cross: bool, is_pushed: bool) -> f64 {
    let (chord, sin) = (&shape.chord, shape.angle_rad.sin());
    let strength = chord.strength_mpa();
    if !is_pushed {
        return strength;
    }
    let slenderness = 3.46 * (chord.depth_mm / chord.wall_mm - 2.0) * sin.recip().sqrt()
        / (PI * (chord.youngs_modulus_mpa / strength).sqrt());
    let chi = chi(slenderness, Curve::C.imperfection());
    if is_cross { 0.8 * chi * sin * strength } else { chi * strength }
}

/// Resistance to an axial force, N. Tables 7.11 and 7.12, γM5 = 1:
///
/// ```text
/// T, Y, X
///   face, β ≤ 0.85    kn fy0 t0²/((1 − β) sin θ) (2η/sin θ + 4√(1 − β))
///   side wall, β = 1  kn fb t0/sin θ (2 h1/sin θ + 10 t0); between 0.85 and 1 on a straight line
///   brace, β ≥ 0.85   fy1 t1 (2 h1 − 4 t1 + 2 b_eff)
///   punching, 0.85 ≤ β ≤ 1 − 1/γ    fy0 t0/(√3 sin θ) (2 h1/sin θ + 2 b_e,p)
/// K, N with a gap
///   face              8.9 kn fy0 t0² √γ/sin θ · (b1 + b2 + h1 + h2)/(4 b0)
///   chord shear       fy0 Av/(√3 sin θ), Av = (2 h0 + α b0) t0, α = 1/√(1 + 4g²/(3 t0²)), round: 0
///   brace             fy1 t1 (2 h1 − 4 t1 + b1 + b_eff)
///   punching, β ≤ 1 − 1/γ           fy0 t0/(√3 sin θ) (2 h1/sin θ + b1 + b_e,p)
/// ```
pub(super) fn axial_n(shape: &JointShape, kind: JointKind, push_mpa: f64, is_pushed: bool) -> Resistance {
    let (chord, brace, sin) = (&shape.chord, &shape.brace, shape.angle_rad.sin());
    let (b0, h0, t0, fy0) = (chord.width_mm, chord.depth_mm, chord.wall_mm, chord.strength_mpa());
    let (b1, h1, t1, fy1) = (brace.width_mm, brace.depth_mm, brace.wall_mm, brace.strength_mpa());
    let (beta, kn, round) = (beta_of(shape, kind), push_factor(shape, kind, push_mpa), round_part(shape));
    let stands_inside = shape.beta() <= 1.0 - 1.0 / shape.gamma() + 1e-9;
    let punching = |width_mm: f64| {
        let n = fy0 * t0 / (3.0_f64.sqrt() * sin) * (2.0 * h1 / sin + width_mm);
        (stands_inside, n * round)
    };
    let of = |(applies, n): (bool, f64), failure: JointFailure| applies.then_some((n, failure));
    match kind {
        JointKind::Pair { gap_mm, .. } => {
            let face = 8.9 * kn * fy0 * t0 * t0 * shape.gamma().sqrt() / sin * beta;
            let alpha =
                if brace.is_round { 0.0 } else { (1.0 + 4.0 * gap_mm.powi(2) / (3.0 * t0 * t0)).sqrt().recip() };
            let shear = fy0 * (2.0 * h0 + alpha * b0) * t0 / (3.0_f64.sqrt() * sin);
            let own = fy1 * t1 * (2.0 * h1 - 4.0 * t1 + b1 + effective_mm(shape));
            least([
                Some((face * round, JointFailure::ChordFace)),
                Some((shear * round, JointFailure::ChordShear)),
                Some((own * round, JointFailure::Brace)),
                of(punching(b1 + effective_punching_mm(shape)), JointFailure::Punching),
            ])
        }
        JointKind::Alone | JointKind::Cross => {
            let bent_at = beta.min(FACE_UP_TO);
            let eta = h1 / b0;
            let face = kn * fy0 * t0 * t0 / ((1.0 - bent_at) * sin) * (2.0 * eta / sin + 4.0 * (1.0 - bent_at).sqrt());
            if beta <= FACE_UP_TO {
                return (face * round, JointFailure::ChordFace);
            }
            let wall_mpa = side_wall_mpa(shape, kind == JointKind::Cross, is_pushed);
            let wall = kn * wall_mpa * t0 / sin * (2.0 * h1 / sin + 10.0 * t0);
            let towards_wall = ((beta - FACE_UP_TO) / (1.0 - FACE_UP_TO)).min(1.0);
            let between = face + (wall - face) * towards_wall;
            let failure = if towards_wall > 0.5 { JointFailure::SideWall } else { JointFailure::ChordFace };
            let own = fy1 * t1 * (2.0 * h1 - 4.0 * t1 + 2.0 * effective_mm(shape));
            least([
                Some((between * round, failure)),
                Some((own * round, JointFailure::Brace)),
                of(punching(2.0 * effective_punching_mm(shape)), JointFailure::Punching),
            ])
        }
    }
}

/// Resistance to a moment in the plane of both axes, N·mm. Table 7.14 for θ = 90°, which is on the
/// safe side where the brace leans and its foot is longer; γM5 = 1:
///
/// ```text
/// face, β ≤ 0.85       kn fy0 t0² h1 (1/(2η) + 2/√(1 − β) + η/(1 − β))
/// side wall, β > 0.85  0.5 fyk t0 (h1 + 5 t0)², fyk = fy0, in a cross joint 0.8 fy0
/// brace, β > 0.85      fy1 (Wpl − (1 − b_eff/b1) b1 (h1 − t1) t1)
/// ```
pub(super) fn in_plane_nmm(shape: &JointShape, is_cross: bool, push_mpa: f64) -> Resistance {
    let (chord, brace) = (&shape.chord, &shape.brace);
    let (t0, fy0) = (chord.wall_mm, chord.strength_mpa());
    let (b1, h1, t1) = (brace.width_mm, brace.depth_mm, brace.wall_mm);
    let (beta, kn, round) = (shape.beta(), push_factor(shape, JointKind::Alone, push_mpa), round_part(shape));
    if beta <= FACE_UP_TO {
        let eta = h1 / chord.width_mm;
        let face = 1.0 / (2.0 * eta) + 2.0 / (1.0 - beta).sqrt() + eta / (1.0 - beta);
        return (kn * fy0 * t0 * t0 * h1 * face * round, JointFailure::ChordFace);
    }
    let wall_mpa = if is_cross { 0.8 * fy0 } else { fy0 };
    let lost = (1.0 - effective_mm(shape) / b1) * b1 * (h1 - t1) * t1;
    let own = brace.strength_mpa() * (plastic_mm3(h1, b1, t1) - lost);
    least([
        Some((0.5 * wall_mpa * t0 * (h1 + 5.0 * t0).powi(2) * round, JointFailure::SideWall)),
        Some((own * round, JointFailure::Brace)),
    ])
}

/// Resistance to a moment square to that plane, N·mm. Table 7.14, as above:
///
/// ```text
/// face, β ≤ 0.85       kn fy0 t0² (h1 (1 + β)/(2 (1 − β)) + √(2 b0 b1 (1 + β)/(1 − β)))
/// side wall, β > 0.85  fyk t0 (b0 − t0)(h1 + 5 t0)
/// distortion, not of a cross joint    2 fy0 t0 (h1 t0 + √(b0 h0 t0 (b0 + h0)))
/// brace, β > 0.85      fy1 (Wpl − 0.5 (1 − b_eff/b1)² b1² t1)
/// ```
pub(super) fn out_of_plane_nmm(shape: &JointShape, is_cross: bool, push_mpa: f64) -> Resistance {
    let (chord, brace) = (&shape.chord, &shape.brace);
    let (b0, h0, t0, fy0) = (chord.width_mm, chord.depth_mm, chord.wall_mm, chord.strength_mpa());
    let (b1, h1, t1) = (brace.width_mm, brace.depth_mm, brace.wall_mm);
    let (beta, kn, round) = (shape.beta(), push_factor(shape, JointKind::Alone, push_mpa), round_part(shape));
    let skew = 2.0 * fy0 * t0 * (h1 * t0 + (b0 * h0 * t0 * (b0 + h0)).sqrt());
    let distortion = (!is_cross).then_some((skew * round, JointFailure::Distortion));
    if beta <= FACE_UP_TO {
        let leaning = (1.0 + beta) / (1.0 - beta);
        let face = kn * fy0 * t0 * t0 * (h1 * leaning / 2.0 + (2.0 * b0 * b1 * leaning).sqrt());
        return least([Some((face * round, JointFailure::ChordFace)), distortion]);
    }
    let wall_mpa = if is_cross { 0.8 * fy0 } else { fy0 };
    let lost = 0.5 * (1.0 - effective_mm(shape) / b1).powi(2) * b1 * b1 * t1;
    let own = brace.strength_mpa() * (plastic_mm3(b1, h1, t1) - lost);
    least([
        Some((wall_mpa * t0 * (b0 - t0) * (h1 + 5.0 * t0) * round, JointFailure::SideWall)),
        Some((own * round, JointFailure::Brace)),
        distortion,
    ])
}

/// Plastic modulus of a box with square corners, mm³: `along` is its outside in the plane of bending.
fn plastic_mm3(along: f64, across: f64, wall: f64) -> f64 {
    (across * along * along - (across - 2.0 * wall) * (along - 2.0 * wall).powi(2)) / 4.0
}
