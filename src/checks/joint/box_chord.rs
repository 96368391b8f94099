//! Box or round tube on a box: EN 1993-1-8:2005 Tables 7.8, 7.11, 7.12 and 7.14, from memory.
//!
//! Letters as there: b0, h0, t0 of the chord (b0 across the plane of both axes), b1, h1, t1 of the
//! brace, η = h1/b0. A round brace: d1 for b1 and h1, and π/4 of every resistance.

use std::f64::consts::{FRAC_PI_4, PI};

use super::{JointFailure, JointKind, JointShape, Resistance, least};
use crate::checks::column::{Curve, chi};
use crate::math::larger_than;

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

/// Area of the chord that carries shear in the gap between two braces, mm²: Av = (2 h0 + α b0) t0,
/// α = 1/√(1 + 4g²/(3 t0²)), of a round brace 0.
pub(super) fn shear_area_mm2(shape: &JointShape, gap_mm: f64) -> f64 {
    let slots = 4.0 * gap_mm.powi(2) / (3.0 * shape.chord.wall_mm.powi(2));
    sheared_area_mm2(shape, if shape.brace.is_round { 0.0 } else { (1.0 + slots).sqrt().recip() })
}

fn sheared_area_mm2(shape: &JointShape, alpha: f64) -> f64 {
    let chord = &shape.chord;
    (2.0 * chord.depth_mm + alpha * chord.width_mm) * chord.wall_mm
}

/// What shears so much of the chord, N along the brace: fy0 Av/(√3 sin θ).
fn shear_n(shape: &JointShape, area_mm2: f64) -> f64 {
    shape.chord.strength_mpa() * area_mm2 / (3.0_f64.sqrt() * shape.angle_rad.sin())
}

/// Resistance of the side walls to shear between the feet of a cross joint that leans so far that they pass
/// each other, cos θ > h1/h0, N: α = 0, as no gap holds the faces, which is on the safe side.
pub fn sheared_across_n(shape: &JointShape, kind: JointKind) -> Option<f64> {
    let passes = larger_than(shape.angle_rad.cos(), shape.brace.depth_mm / shape.chord.depth_mm);
    (kind == JointKind::Cross && passes).then(|| shear_n(shape, sheared_area_mm2(shape, 0.0)))
}

/// Resistance to an axial force, N. Tables 7.11 and 7.12, γM5 = 1:
///
/// ```text
/// T, Y, X
///   face, β ≤ 0.85    kn fy0 t0²/((1 − β) sin θ) (2η/sin θ + 4√(1 − β))
///   side wall, β = 1  kn fb t0/sin θ (2 h1/sin θ + 10 t0); between 0.85 and 1 on a straight line
///   X, cos θ > h1/h0  in place of it chord shear as below with α = 0, where that is less
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
    let (b0, t0, fy0) = (chord.width_mm, chord.wall_mm, chord.strength_mpa());
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
            let shear = shear_n(shape, shear_area_mm2(shape, gap_mm));
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
            let crushed = kn * wall_mpa * t0 / sin * (2.0 * h1 / sin + 10.0 * t0);
            let wall = sheared_across_n(shape, kind).map_or(crushed, |sheared| sheared.min(crushed));
            let towards_wall = ((beta - FACE_UP_TO) / (1.0 - FACE_UP_TO)).min(1.0);
            let between = face + (wall - face) * towards_wall;
            let failure = match (towards_wall > 0.5, wall < crushed) {
                (false, _) => JointFailure::ChordFace,
                (true, false) => JointFailure::SideWall,
                (true, true) => JointFailure::ChordShear,
            };
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

/// Every figure by hand from the tables as remembered, apart from this file.
#[cfg(test)]
mod tests {
    use super::super::Hollow;
    use super::*;
    use crate::math::assert_near;

    fn tube(width_mm: f64, depth_mm: f64, wall_mm: f64, strength: f64) -> Hollow {
        Hollow {
            is_round: false,
            width_mm,
            depth_mm,
            wall_mm,
            yield_mpa: strength,
            yield_at_weld_mpa: strength,
            youngs_modulus_mpa: 210_000.0,
        }
    }

    fn shape(chord: Hollow, brace: Hollow, degrees: f64) -> JointShape {
        JointShape { chord, brace, angle_rad: degrees.to_radians() }
    }

    fn beside(width_mm: f64, depth_mm: f64, gap_mm: f64) -> JointKind {
        JointKind::Pair { gap_mm, other_mm: [width_mm, depth_mm], pushed_mm: width_mm }
    }

    fn assert_resists((found, failure): Resistance, expected: f64, by: JointFailure) {
        assert_near(found, expected, 1e-9);
        assert_eq!(failure, by);
    }

    #[test]
    fn two_braces_on_one_side_fold_the_face_shear_the_chord_tear_it_or_give_way_themselves() {
        let pair = |shape: &JointShape, kind| axial_n(shape, kind, 0.0, true);
        let sin = 50.0_f64.to_radians().sin();
        // γ = 10, β = (40 + 50 + 50 + 30)/320 = 0.53125.
        let face = shape(tube(80.0, 60.0, 4.0, 355.0), tube(40.0, 50.0, 3.0, 355.0), 50.0);
        let by_hand = 8.9 * 355.0 * 16.0 * 10.0_f64.sqrt() * 0.53125 / sin;
        assert_resists(pair(&face, beside(50.0, 30.0, 25.0)), by_hand, JointFailure::ChordFace);
        // α² = 1/(1 + 4 · 225/48) = 1/19.75.
        let shear = shape(tube(60.0, 40.0, 4.0, 355.0), tube(45.0, 50.0, 4.0, 355.0), 50.0);
        let by_hand = 355.0 * (80.0 + 60.0 / 19.75_f64.sqrt()) * 4.0 / (3.0_f64.sqrt() * sin);
        assert_resists(pair(&shear, beside(40.0, 60.0, 15.0)), by_hand, JointFailure::ChordShear);
        // Round braces: α = 0, and π/4 of all.
        let brace = Hollow { is_round: true, ..tube(45.0, 45.0, 4.0, 355.0) };
        let round = shape(tube(60.0, 30.0, 4.0, 355.0), brace, 50.0);
        let by_hand = PI / 4.0 * 355.0 * 60.0 * 4.0 / (3.0_f64.sqrt() * sin);
        assert_resists(pair(&round, beside(45.0, 45.0, 15.0)), by_hand, JointFailure::ChordShear);
        // b_eff: 10/12 · 355 · 5/(235 · 1.5) is above 1, so all of b1.
        let own = shape(tube(60.0, 80.0, 5.0, 355.0), tube(40.0, 30.0, 1.5, 235.0), 50.0);
        let by_hand = 235.0 * 1.5 * (2.0 * 30.0 - 4.0 * 1.5 + 40.0 + 40.0);
        assert_resists(pair(&own, beside(50.0, 50.0, 15.0)), by_hand, JointFailure::Brace);
        // b_e,p = 10/25 · 50 = 20.
        let torn = shape(tube(100.0, 100.0, 4.0, 355.0), tube(50.0, 26.0, 4.0, 355.0), 90.0);
        let by_hand = 355.0 * 4.0 / 3.0_f64.sqrt() * (2.0 * 26.0 + 50.0 + 20.0);
        assert_resists(pair(&torn, beside(100.0, 100.0, 25.0)), by_hand, JointFailure::Punching);
    }

    #[test]
    fn a_wide_brace_alone_is_held_by_face_and_side_walls_in_part_or_gives_way_itself() {
        let alone = |shape: &JointShape, is_pushed| axial_n(shape, JointKind::Alone, 0.0, is_pushed);
        let sin = 60.0_f64.to_radians().sin();
        let mid = |face: f64, wall: f64, beta: f64| face + (wall - face) * (beta - 0.85) / 0.15;
        // η = 0.5; pulled: fb = fy0. β = 0.95, beyond b0 − 2 t0; then 0.86, where the face leads.
        let chord = tube(60.0, 80.0, 4.0, 355.0);
        let face = 355.0 * 16.0 / (0.15 * sin) * (2.0 * 0.5 / sin + 4.0 * 0.15_f64.sqrt());
        let wall = 355.0 * 4.0 / sin * (2.0 * 30.0 / sin + 10.0 * 4.0);
        let wide = shape(chord, tube(57.0, 30.0, 6.0, 355.0), 60.0);
        assert_resists(alone(&wide, false), mid(face, wall, 0.95), JointFailure::SideWall);
        let narrower = shape(chord, tube(51.6, 30.0, 6.0, 355.0), 60.0);
        assert_resists(alone(&narrower, false), mid(face, wall, 0.86), JointFailure::ChordFace);
        // Upright, β = 1: b_eff = 10/24 · 2.5/1.8 · 60 = 625/18.
        let own = shape(tube(60.0, 80.0, 2.5, 355.0), tube(60.0, 40.0, 1.8, 355.0), 90.0);
        let by_hand = 355.0 * 1.8 * (2.0 * 40.0 - 4.0 * 1.8 + 2.0 * 625.0 / 18.0);
        assert_resists(alone(&own, false), by_hand, JointFailure::Brace);
    }

    #[test]
    fn a_push_through_a_box_buckles_its_side_walls_at_four_fifths_of_a_column() {
        // λ = 3.46 (20 − 2) √(1/sin 60°)/(π √(210000/355)) = 0.875867, curve c: χ = 0.614729.
        let sin = 60.0_f64.to_radians().sin();
        let crossing = shape(tube(60.0, 80.0, 4.0, 355.0), tube(60.0, 70.0, 6.0, 355.0), 60.0);
        let across = axial_n(&crossing, JointKind::Cross, 0.0, true).0;
        let walls = 355.0 * 4.0 / sin * (2.0 * 70.0 / sin + 10.0 * 4.0);
        assert_near(across, 0.8 * 0.614_729_4 * sin * walls, 1e-7);
        assert_near(axial_n(&crossing, JointKind::Alone, 0.0, true).0, 0.614_729_4 * walls, 1e-7);
    }

    /// The footnote of Table 7.11, from memory.
    #[test]
    fn across_a_tall_box_a_leaning_brace_with_a_short_foot_shears_its_side_walls() {
        // cos 40° = 0.766 > 40/80: pulled, 355 · 2 · 80 · 4/(√3 sin θ) is less than 355 · 4/sin θ (80/sin θ + 40).
        let sin = 40.0_f64.to_radians().sin();
        let leaning = |width_mm: f64, depth_mm: f64, degrees: f64| {
            shape(tube(60.0, 80.0, 4.0, 355.0), tube(width_mm, depth_mm, 8.0, 355.0), degrees)
        };
        let of = |width_mm: f64, depth_mm: f64, kind| axial_n(&leaning(width_mm, depth_mm, 40.0), kind, 0.0, false);
        let sheared = 355.0 * 640.0 / (3.0_f64.sqrt() * sin);
        assert_resists(of(60.0, 40.0, JointKind::Cross), sheared, JointFailure::ChordShear);
        // β = 0.95: two thirds of the way from the face to that.
        let face = 355.0 * 16.0 / (0.15 * sin) * (2.0 * 40.0 / 60.0 / sin + 4.0 * 0.15_f64.sqrt());
        assert_resists(of(57.0, 40.0, JointKind::Cross), face + (sheared - face) * 2.0 / 3.0, JointFailure::ChordShear);
        // Not where the feet overlap, nor where nothing stands across: the brace itself comes first, b_eff = 20.
        let own = |depth_mm: f64| 355.0 * 8.0 * (2.0 * depth_mm - 32.0 + 40.0);
        assert_resists(of(60.0, 62.0, JointKind::Cross), own(62.0), JointFailure::Brace);
        assert_resists(of(60.0, 40.0, JointKind::Alone), own(40.0), JointFailure::Brace);
        // cos 60° = 40/80, whatever the last digit: the feet just meet.
        assert_eq!(sheared_across_n(&leaning(60.0, 40.0, 60.0), JointKind::Cross), None);
    }

    #[test]
    fn a_moment_in_the_plane_crushes_side_walls_or_the_brace() {
        // h1 + 5 t0 = 77; in a cross joint 0.8 of it.
        let wall = shape(tube(60.0, 80.0, 4.0, 355.0), tube(57.0, 57.0, 6.0, 355.0), 90.0);
        assert_resists(in_plane_nmm(&wall, false, 0.0), 0.5 * 355.0 * 4.0 * 5929.0, JointFailure::SideWall);
        assert_resists(in_plane_nmm(&wall, true, 0.0), 0.4 * 355.0 * 4.0 * 5929.0, JointFailure::SideWall);
        // b_eff = 10/15 · 4/6 · 57 = 76/3, Wpl = (57 · 900 − 45 · 324)/4 = 9180, lost (57 − 76/3) · 24 · 6 = 4560.
        let own = shape(tube(60.0, 80.0, 4.0, 355.0), tube(57.0, 30.0, 6.0, 355.0), 90.0);
        assert_resists(in_plane_nmm(&own, false, 0.0), 355.0 * (9180.0 - 4560.0), JointFailure::Brace);
    }

    #[test]
    fn a_moment_square_to_the_plane_crushes_side_walls_skews_the_box_or_breaks_the_brace() {
        let wall = shape(tube(60.0, 80.0, 4.0, 355.0), tube(57.0, 30.0, 6.0, 355.0), 90.0);
        assert_resists(out_of_plane_nmm(&wall, false, 0.0), 355.0 * 4.0 * 56.0 * 50.0, JointFailure::SideWall);
        assert_resists(out_of_plane_nmm(&wall, true, 0.0), 0.8 * 355.0 * 4.0 * 56.0 * 50.0, JointFailure::SideWall);
        // h1 t0 = 280; b0 h0 t0 (b0 + h0) = 960 000. Across, the other brace keeps the box in square.
        let skewed = shape(tube(60.0, 40.0, 4.0, 355.0), tube(57.0, 70.0, 6.0, 355.0), 90.0);
        let by_hand = 2.0 * 355.0 * 4.0 * (280.0 + 960_000.0_f64.sqrt());
        assert_resists(out_of_plane_nmm(&skewed, false, 0.0), by_hand, JointFailure::Distortion);
        let across = 0.8 * 355.0 * 4.0 * 56.0 * 90.0;
        assert_resists(out_of_plane_nmm(&skewed, true, 0.0), across, JointFailure::SideWall);
        // b_eff = 29.6875, Wpl = (40 · 57² − 36 · 53²)/4 = 7209, lost 0.5 (57 − 29.6875)² · 2 = 27.3125².
        let own = shape(tube(60.0, 80.0, 2.5, 355.0), tube(57.0, 40.0, 2.0, 355.0), 90.0);
        let by_hand = 355.0 * (7209.0 - 27.3125 * 27.3125);
        assert_resists(out_of_plane_nmm(&own, false, 0.0), by_hand, JointFailure::Brace);
    }

    #[test]
    fn what_stands_within_the_table_is_judged_and_a_gap_has_a_least_width() {
        let chord = tube(60.0, 80.0, 4.0, 355.0);
        let within = shape(chord, tube(40.0, 30.0, 3.0, 355.0), 60.0);
        assert_eq!(out_of_range(&within, &[JointKind::Alone, JointKind::Cross]), None);
        // β = (40 + 30 + 50 + 40)/240 = 2/3: from 0.5 · (1/3) · 60 = 10 mm on, alone above 30.
        let told = |gap_mm: f64| out_of_range(&within, &[beside(50.0, 40.0, gap_mm)]);
        assert_eq!(told(10.001), None);
        assert!(told(9.999).is_some_and(|why| why.contains("10.0 mm at least")));
        assert!(!stands_apart(&within, 29.999, [50.0, 40.0]) && stands_apart(&within, 30.001, [50.0, 40.0]));
        for (flat, word) in [
            (tube(40.0, 19.9, 3.0, 355.0), "more than twice"),
            (tube(36.0, 72.1, 3.0, 355.0), "more than twice"),
            (tube(40.0, 40.0, 1.1, 355.0), "more than 35"),
        ] {
            let found = out_of_range(&shape(chord, flat, 60.0), &[JointKind::Alone]);
            assert!(found.as_ref().is_some_and(|why| why.contains(word)), "{word}: {found:?}");
        }
        let narrow = out_of_range(&shape(chord, tube(20.0, 20.0, 3.0, 355.0), 60.0), &[beside(50.0, 50.0, 30.0)]);
        assert!(narrow.is_some_and(|why| why.contains("at least 0.35")));
        // b0/t0 = 30: 0.1 + 0.3.
        let thin = shape(tube(90.0, 90.0, 3.0, 355.0), tube(35.0, 35.0, 3.0, 355.0), 60.0);
        let narrow = out_of_range(&thin, &[beside(60.0, 60.0, 60.0)]);
        assert!(narrow.is_some_and(|why| why.contains("at least 0.40")));
    }

    #[test]
    fn of_a_round_brace_every_resistance_is_less_by_a_quarter_of_pi() {
        let round = |od_mm: f64, wall_mm: f64, strength: f64| Hollow {
            is_round: true,
            ..tube(od_mm, od_mm, wall_mm, strength)
        };
        let quarter = PI / 4.0;
        // β = 2/3, n = 0.8: k_n = 1.3 − 0.32 · 1.5 = 0.82.
        let on = shape(tube(60.0, 60.0, 4.0, 355.0), round(40.0, 3.0, 355.0), 90.0);
        let (kn, face) = (0.82, 0.75 + 2.0 * 3.0_f64.sqrt() + 2.0);
        let by_hand = quarter * kn * 355.0 * 16.0 * 40.0 * face;
        assert_resists(in_plane_nmm(&on, false, 284.0), by_hand, JointFailure::ChordFace);
        let by_hand = quarter * kn * 355.0 * 16.0 * (100.0 + 24_000.0_f64.sqrt());
        assert_resists(out_of_plane_nmm(&on, false, 284.0), by_hand, JointFailure::ChordFace);
        // β = 0.8 on a low thick box: h1 t0 = 288, b0 h0 t0 (b0 + h0) = 972 000.
        let low = shape(tube(60.0, 30.0, 6.0, 355.0), round(48.0, 3.0, 355.0), 90.0);
        let by_hand = quarter * 2.0 * 355.0 * 6.0 * (288.0 + 972_000.0_f64.sqrt());
        assert_resists(out_of_plane_nmm(&low, false, 0.0), by_hand, JointFailure::Distortion);
        // Beside another: γ = 10, β = 0.5, n = 0.5: k_n = 0.9.
        let pair = |shape: &JointShape, push_mpa, kind| axial_n(shape, kind, push_mpa, true);
        let sin = 50.0_f64.to_radians().sin();
        let folds = shape(tube(80.0, 60.0, 4.0, 355.0), round(40.0, 3.0, 355.0), 50.0);
        let by_hand = quarter * 8.9 * 0.9 * 355.0 * 16.0 * 10.0_f64.sqrt() * 0.5 / sin;
        assert_resists(pair(&folds, 177.5, beside(40.0, 40.0, 25.0)), by_hand, JointFailure::ChordFace);
        let own = shape(tube(60.0, 80.0, 5.0, 355.0), round(40.0, 1.5, 235.0), 50.0);
        let by_hand = quarter * 235.0 * 1.5 * (80.0 - 6.0 + 40.0 + 40.0);
        assert_resists(pair(&own, 0.0, beside(50.0, 50.0, 15.0)), by_hand, JointFailure::Brace);
        let torn = shape(tube(100.0, 100.0, 4.0, 355.0), round(50.0, 8.0, 355.0), 90.0);
        let by_hand = quarter * 355.0 * 4.0 / 3.0_f64.sqrt() * (100.0 + 50.0 + 20.0);
        assert_resists(pair(&torn, 0.0, beside(120.0, 120.0, 25.0)), by_hand, JointFailure::Punching);
    }

    #[test]
    fn a_brace_as_wide_as_may_be_between_the_side_walls_can_still_tear_the_face() {
        // γ = 20, β = 0.95 = 1 − 1/γ: b_e,p = 10/40 · 152 = 38.
        let torn = shape(tube(160.0, 160.0, 4.0, 355.0), tube(152.0, 76.0, 8.0, 355.0), 90.0);
        let by_hand = 355.0 * 4.0 / 3.0_f64.sqrt() * (2.0 * 76.0 + 2.0 * 38.0);
        assert_resists(axial_n(&torn, JointKind::Alone, 0.0, false), by_hand, JointFailure::Punching);
    }

    #[test]
    fn what_stands_at_the_very_ends_of_the_table_is_judged() {
        let (chord, alone) = (tube(60.0, 60.0, 4.0, 355.0), [JointKind::Alone]);
        let round = |od_mm: f64| Hollow { is_round: true, ..tube(od_mm, od_mm, 3.0, 355.0) };
        for brace in [
            tube(15.0, 15.0, 2.0, 355.0),
            tube(60.0, 60.0, 2.0, 355.0),
            round(24.0),
            round(48.0),
            tube(35.0, 35.0, 1.0, 355.0),
            tube(40.0, 20.0, 2.0, 355.0),
            tube(30.0, 60.0, 2.0, 355.0),
        ] {
            assert_eq!(out_of_range(&shape(chord, brace, 90.0), &alone), None, "{brace:?}");
        }
        // Beside another from β = 0.35 on, and with no room left between wide ones a gap of one wall.
        let narrow = shape(chord, tube(21.0, 21.0, 3.0, 355.0), 90.0);
        assert_eq!(out_of_range(&narrow, &[beside(50.0, 50.0, 60.0)]), None);
        let wide = shape(chord, tube(60.0, 60.0, 3.0, 355.0), 90.0);
        assert_eq!(out_of_range(&wide, &[beside(60.0, 60.0, 3.0)]), None);
        assert!(out_of_range(&wide, &[beside(60.0, 60.0, 2.9)]).is_some());
        assert!(!stands_apart(&wide, 0.0, [60.0, 60.0]) && stands_apart(&wide, 0.1, [60.0, 60.0]));
    }
}
