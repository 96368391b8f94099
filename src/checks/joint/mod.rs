//! Joint: does the wall of a tube that another is welded onto hold?
//!
//! Reads: both sections and strengths, the angle, how other tubes stand beside it, axial force and
//! moments at the chord's face (N, N·mm), the push in the chord (MPa).
//! Gives: the sum of the clause at loads × margin; above 1 fails.
//! Between two braces on one side the chord itself is judged too ([`chord_in_gap`]).
//! Leaves out: shear force and torque of the brace, the weld itself, tubes welded on at other nodes
//! nearby, an end of the chord nearby, and all that lies outside the ranges of the tables
//! ([`out_of_range`]).
//! Source: EN 1993-1-8:2005 section 7 with γM5 = 1.0. Every formula and range here is **from memory**:
//! the standard was not at hand.

mod box_chord;
mod chord_in_gap;
mod round_chord;

pub use box_chord::{sheared_across_n, stands_apart};
pub use chord_in_gap::{ChordGap, ChordInGap, GapForces, GapRule, chord_in_gap, worst_gap};

use crate::math::larger_than;
use crate::section::STRUCTURAL_STEEL_MPA;

use super::wall::epsilon_of;

/// A hollow section at a joint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hollow {
    /// Round, or a box.
    pub is_round: bool,
    /// Outside square to the plane of both axes, mm.
    pub width_mm: f64,
    /// Outside in that plane, square to the tube itself, mm.
    pub depth_mm: f64,
    /// Wall, mm.
    pub wall_mm: f64,
    /// Yield strength in the tube, MPa.
    pub yield_mpa: f64,
    /// Yield strength beside a weld, MPa.
    pub yield_at_weld_mpa: f64,
    /// Young's modulus, MPa.
    pub youngs_modulus_mpa: f64,
}

/// Strength from which resistances count less, and above which the section does not reach, MPa:
/// EN 1993-1-8 7.1.1(4), from memory.
const REDUCED_ABOVE_MPA: f64 = 355.0;
const NOT_ABOVE_MPA: f64 = 460.0;
const REDUCTION: f64 = 0.9;

/// Walls from this on are within the range of section 7, mm: EN 1993-1-8 7.1.1(5), from memory.
const LEAST_WALL_MM: f64 = 2.5;

impl Hollow {
    /// The strength that a joint counts on, MPa: the lesser of the tube and of the metal beside the
    /// weld; × 0.9 where the grade is above 355 MPa.
    pub fn strength_mpa(&self) -> f64 {
        let strength = self.yield_mpa.min(self.yield_at_weld_mpa);
        if self.yield_mpa > REDUCED_ABOVE_MPA { REDUCTION * strength } else { strength }
    }

    /// Whether the wall is thinner than section 7 is for.
    pub fn is_thin(&self) -> bool {
        self.wall_mm < LEAST_WALL_MM
    }

    /// Whether the section is of class 2 when pushed: D/t ≤ 70 ε², c/t ≤ 38 ε with c = side − 3t. EN
    /// 1993-1-1 Table 5.2; 70 from memory.
    fn is_of_class_2(&self) -> bool {
        let epsilon = epsilon_of(self.yield_mpa, self.youngs_modulus_mpa);
        let side = self.width_mm.max(self.depth_mm);
        if self.is_round {
            side / self.wall_mm <= 70.0 * epsilon * epsilon
        } else {
            side / self.wall_mm - 3.0 <= 38.0 * epsilon
        }
    }
}

/// A brace on its chord.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointShape {
    /// The tube that runs through.
    pub chord: Hollow,
    /// The tube that is welded onto it.
    pub brace: Hollow,
    /// Acute angle between their axes, rad.
    pub angle_rad: f64,
}

impl JointShape {
    /// β: width of the brace over that of the chord.
    pub fn beta(&self) -> f64 {
        self.brace.width_mm / self.chord.width_mm
    }

    /// γ: width of the chord over twice its wall.
    pub fn gamma(&self) -> f64 {
        self.chord.width_mm / (2.0 * self.chord.wall_mm)
    }
}

/// How the force of a brace goes on beyond the chord's face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum JointKind {
    /// Carried off by the chord: T, or Y where it leans.
    Alone,
    /// Through the chord into a brace on the other side.
    Cross,
    /// Back into a brace on the same side: K or N.
    Pair {
        /// Distance of their walls on the chord's face, mm; below zero they overlap.
        gap_mm: f64,
        /// Width and depth of the other brace, mm.
        other_mm: [f64; 2],
        /// Width of that of both which is pushed, mm.
        pushed_mm: f64,
    },
}

/// What acts on a brace at the chord's face, without margin.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct JointForces {
    /// Axial force, N, tension positive.
    pub n_n: f64,
    /// Moment in the plane of both axes, N·mm.
    pub in_plane_nmm: f64,
    /// Moment square to it, N·mm.
    pub out_of_plane_nmm: f64,
    /// Largest push in the chord on either side of the node, MPa, at least 0.
    pub chord_push_mpa: f64,
}

/// What gives way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JointFailure {
    /// The face of the chord is pushed in or pulled out.
    ChordFace,
    /// The brace punches or tears through the chord's wall.
    Punching,
    /// A side wall of a box chord is crushed or buckles.
    SideWall,
    /// A box chord is sheared between two braces, on one side or across.
    ChordShear,
    /// A box chord goes out of square.
    Distortion,
    /// The brace itself, carried by part of its width only.
    Brace,
    /// The chord between two braces on one side, by its own force and what they shear it with.
    ChordInGap,
}

impl JointFailure {
    /// In words, as a subject.
    pub fn words(self) -> &'static str {
        match self {
            JointFailure::ChordFace => "the face of that wall folds",
            JointFailure::Punching => "the wall is torn or punched through round its foot",
            JointFailure::SideWall => "the side walls of that box are crushed",
            JointFailure::ChordShear => "that box is sheared between it and the tube beside it or across",
            JointFailure::Distortion => "that box goes out of square",
            JointFailure::Brace => "the tube itself, which the wall holds over part of its width only",
            JointFailure::ChordInGap => {
                "the tube it stands on, sheared between it and the tube beside it while it is pulled or pushed itself"
            }
        }
    }

    /// As a word of the result.
    pub fn name(self) -> &'static str {
        match self {
            JointFailure::ChordFace => "chord face",
            JointFailure::Punching => "punching",
            JointFailure::SideWall => "side wall",
            JointFailure::ChordShear => "chord shear",
            JointFailure::Distortion => "distortion",
            JointFailure::Brace => "brace",
            JointFailure::ChordInGap => "chord in gap",
        }
    }
}

/// A resistance and what gives way at it.
type Resistance = (f64, JointFailure);

/// The resistances of a joint, N and N·mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointResult {
    /// To an axial force, N.
    pub n_rd_n: f64,
    /// To a moment in the plane of both axes, N·mm.
    pub in_plane_rd_nmm: f64,
    /// To one square to it, N·mm.
    pub out_of_plane_rd_nmm: f64,
    /// What gives way at each of the three.
    pub failures: [JointFailure; 3],
    /// As what kind of joint the axial force counts.
    pub kind: JointKind,
    /// What braces in other planes leave of the axial resistance.
    pub planes: f64,
    /// k_p of a round chord, k_n of a box: what the push in the chord leaves.
    pub chord_factor: f64,
    /// The sum of the clause at loads × margin.
    pub sum: f64,
    /// The chord in the worst of the gaps beside the brace, where there is one to judge.
    pub in_gap: Option<ChordInGap>,
    /// What gives way first: in the largest part of the sum, or the chord in the gap.
    pub failure: JointFailure,
}

impl JointResult {
    /// The larger of the sum and of what the chord in the gap comes to; above 1 fails.
    pub fn utilisation(&self) -> f64 {
        self.governing_gap().map_or(self.sum, |gap| gap.utilisation)
    }

    /// The chord in the gap, where it comes to more than the sum.
    pub fn governing_gap(&self) -> Option<&ChordInGap> {
        self.in_gap.as_ref().filter(|gap| larger_than(gap.utilisation, self.sum))
    }

    /// With the chord in the gaps beside the brace, of which the worst is kept.
    #[must_use]
    pub fn with_gaps(mut self, gaps: impl IntoIterator<Item = ChordInGap>) -> JointResult {
        self.in_gap = worst_gap(gaps);
        if self.governing_gap().is_some() {
            self.failure = JointFailure::ChordInGap;
        }
        self
    }
}

/// Judges a brace on its chord.
///
/// `kinds`: every kind of joint that the brace may count as; the least resistance is taken.
/// `planes`: what braces in other planes leave of the axial resistance. `margin` is on all loads.
///
/// ```text
/// round chord: N/NRd + (Mip/Mip,Rd)² + Mop/Mop,Rd        box chord: N/NRd + Mip/Mip,Rd + Mop/Mop,Rd
/// ```
/// Source: EN 1993-1-8 (7.3) and 7.5.2.1, from memory.
pub fn joint(shape: &JointShape, kinds: &[JointKind], planes: f64, forces: &JointForces, margin: f64) -> JointResult {
    let push_mpa = forces.chord_push_mpa * margin;
    let is_round = shape.chord.is_round;
    let of_kind = |kind: &JointKind| {
        if is_round {
            round_chord::axial_n(shape, *kind, push_mpa)
        } else {
            box_chord::axial_n(shape, *kind, push_mpa, forces.n_n < 0.0)
        }
    };
    let ((n_rd_n, n_failure), kind) = kinds
        .iter()
        .map(|kind| (of_kind(kind), *kind))
        .reduce(|least, next| if larger_than(least.0.0, next.0.0) { next } else { least })
        .expect("a brace counts as one kind of joint at least");
    let n_rd_n = n_rd_n * planes;
    let (in_plane, out_of_plane) = if is_round {
        (round_chord::in_plane_nmm(shape, push_mpa), round_chord::out_of_plane_nmm(shape, push_mpa))
    } else {
        let is_cross = kinds.contains(&JointKind::Cross);
        (box_chord::in_plane_nmm(shape, is_cross, push_mpa), box_chord::out_of_plane_nmm(shape, is_cross, push_mpa))
    };
    let of_moment = part(forces.in_plane_nmm.abs() * margin, in_plane.0);
    let parts = [
        (part(forces.n_n.abs() * margin, n_rd_n), n_failure),
        (if is_round { (of_moment * of_moment).min(WITHOUT_BOUND) } else { of_moment }, in_plane.1),
        (part(forces.out_of_plane_nmm.abs() * margin, out_of_plane.0), out_of_plane.1),
    ];
    let largest = parts.iter().reduce(|best, next| if larger_than(next.0, best.0) { next } else { best });
    JointResult {
        n_rd_n,
        in_plane_rd_nmm: in_plane.0,
        out_of_plane_rd_nmm: out_of_plane.0,
        failures: [n_failure, in_plane.1, out_of_plane.1],
        kind,
        planes,
        chord_factor: if is_round {
            round_chord::push_factor(shape, push_mpa)
        } else {
            box_chord::push_factor(shape, kind, push_mpa)
        },
        sum: parts.iter().map(|part| part.0).sum(),
        in_gap: None,
        failure: largest.map_or(n_failure, |part| part.1),
    }
}

/// The largest part of a sum, where nothing resists.
const WITHOUT_BOUND: f64 = 1e9;

fn part(demand: f64, resistance: f64) -> f64 {
    if demand <= 0.0 {
        0.0
    } else if resistance <= 0.0 {
        WITHOUT_BOUND
    } else {
        (demand / resistance).min(WITHOUT_BOUND)
    }
}

/// Of resistances the least.
fn least(all: impl IntoIterator<Item = Option<Resistance>>) -> Resistance {
    all.into_iter()
        .flatten()
        .reduce(|least, next| if larger_than(least.0, next.0) { next } else { least })
        .expect("the chord's face or its walls always resist")
}

/// What keeps a joint from being judged: the first thing that lies outside the ranges of the tables.
///
/// Source: EN 1993-1-8 7.1.1, 7.1.2, Table 7.1 (round chords) and Table 7.8 (boxes), from memory.
pub fn out_of_range(shape: &JointShape, kinds: &[JointKind], is_across: bool) -> Option<String> {
    for (tube, what) in [(&shape.chord, "the tube it stands on"), (&shape.brace, "the tube itself")] {
        if tube.youngs_modulus_mpa < STRUCTURAL_STEEL_MPA {
            return Some(format!("{what} is not of structural steel, which the tables are for"));
        }
        if tube.yield_mpa.min(tube.yield_at_weld_mpa) > NOT_ABOVE_MPA {
            return Some(format!("the strength of {what} is above {NOT_ABOVE_MPA} MPa"));
        }
        if !tube.is_of_class_2() {
            return Some(format!("the wall of {what} is too thin for its size (not of class 2)"));
        }
    }
    let degrees = shape.angle_rad.to_degrees();
    if degrees < 30.0 - 1e-6 {
        return Some(format!("the angle between both tubes is {degrees:.1}°, less than 30°"));
    }
    if shape.chord.is_round {
        round_chord::out_of_range(shape, is_across)
    } else {
        box_chord::out_of_range(shape, kinds)
    }
}

/// Whether two braces on one side stand neither apart by both walls nor in each other by a quarter of
/// this one's foot: EN 1993-1-8 Table 7.1 and 7.1.2, from memory.
///
/// On a round chord the formula of the face goes from a gap to an overlap without a step: what the
/// range guards there is the welding. Judged all the same, the lower of both kinds taken, and told.
pub fn is_too_tight(shape: &JointShape, gap_mm: f64, other_wall_mm: f64) -> bool {
    let own_foot_mm = shape.brace.depth_mm / shape.angle_rad.sin();
    gap_mm < shape.brace.wall_mm + other_wall_mm && -gap_mm < 0.25 * own_foot_mm
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::assert_near;

    fn round(od_mm: f64, wall_mm: f64) -> Hollow {
        let strength = 235.0;
        Hollow {
            is_round: true,
            width_mm: od_mm,
            depth_mm: od_mm,
            wall_mm,
            yield_mpa: strength,
            yield_at_weld_mpa: strength,
            youngs_modulus_mpa: 210_000.0,
        }
    }

    fn square(side_mm: f64, wall_mm: f64) -> Hollow {
        Hollow { is_round: false, yield_mpa: 355.0, yield_at_weld_mpa: 355.0, ..round(side_mm, wall_mm) }
    }

    fn shape(chord: Hollow, brace: Hollow, degrees: f64) -> JointShape {
        JointShape { chord, brace, angle_rad: degrees.to_radians() }
    }

    const ALONE: [JointKind; 1] = [JointKind::Alone];
    const PULL: JointForces =
        JointForces { n_n: 1000.0, in_plane_nmm: 0.0, out_of_plane_nmm: 0.0, chord_push_mpa: 0.0 };

    fn axial_n(shape: &JointShape, kind: JointKind, push_mpa: f64) -> f64 {
        joint(shape, &[kind], 1.0, &JointForces { chord_push_mpa: push_mpa, n_n: -1000.0, ..PULL }, 1.0).n_rd_n
    }

    /// All formulas from memory; the figures of this test by pocket calculator from those formulas.
    #[test]
    fn round_joints_resist_what_a_calculator_finds_by_the_same_formulas() {
        // Chord 60.3×3.0, brace 33.7×2.6, S235: β = 0.558872, γ = 10.05, γ^0.2 = 1.586475.
        let square_on = shape(round(60.3, 3.0), round(33.7, 2.6), 90.0);
        // T: 1.586475 · 235 · 9 · (2.8 + 14.2 · 0.312338 = 7.235203) = 24 277 N; punching would take 43 093 N.
        assert_near(axial_n(&square_on, JointKind::Alone, 0.0), 24_276.96, 1e-6);
        // X: 235 · 9 · 5.2/(1 − 0.81 · 0.558872 = 0.547313) = 20 095 N.
        assert_near(axial_n(&square_on, JointKind::Cross, 0.0), 20_094.52, 1e-6);
        let result = joint(&square_on, &ALONE, 1.0, &PULL, 1.0);
        // In plane the face takes 4.85 · 2115 · 33.7 · √10.05 · 0.558872 = 612.46 N·m, but punching
        // 235 · 3 · 33.7²/√3 = 462.26 N·m; out of plane 2115 · 33.7 · 2.7/0.547313 = 351.62 N·m.
        assert_near(result.in_plane_rd_nmm, 462_262.1, 1e-6);
        assert_near(result.out_of_plane_rd_nmm, 351_615.4, 1e-6);
        // Y at 45°: T/sin 45°. K at 45° with a gap of 6 mm: kg = 1.939648; 1.939648 · 2115/0.707107 · (1.8 + 10.2 · 0.558872).
        let leaning = shape(round(60.3, 3.0), round(33.7, 2.6), 45.0);
        assert_near(axial_n(&leaning, JointKind::Alone, 0.0), 34_332.81, 1e-6);
        let pair = JointKind::Pair { gap_mm: 6.0, other_mm: [33.7; 2], pushed_mm: 33.7 };
        assert_near(axial_n(&leaning, pair, 0.0), 43_514.93, 1e-6);
    }

    /// As above: formulas from memory, figures by pocket calculator.
    #[test]
    fn box_joints_resist_what_a_calculator_finds_by_the_same_formulas() {
        // Chord 60×60×4, brace 40×40×3, S355, T: β = η = 2/3, 1 − β = 1/3, √ = 0.577350.
        let boxes = shape(square(60.0, 4.0), square(40.0, 3.0), 90.0);
        let result = joint(&boxes, &ALONE, 1.0, &PULL, 1.0);
        // 355 · 16/(1/3) · (4/3 + 4 · 0.577350 = 3.642734) = 62 072 N.
        assert_near(result.n_rd_n, 62_072.19, 1e-6);
        // 355 · 16 · 40 · (0.75 + 3.464102 + 2 = 6.214102) = 1411.8 N·m.
        assert_near(result.in_plane_rd_nmm, 1_411_843.9, 1e-6);
        // 355 · 16 · (40 · 5/2 + √(2 · 60 · 40 · 5) = 254.9193) = 1447.9 N·m; distortion would take 4187.7 N·m.
        assert_near(result.out_of_plane_rd_nmm, 1_447_941.8, 1e-6);
        assert_eq!(result.failure, JointFailure::ChordFace);
        // A round brace of 40 mm: π/4 of it.
        let on_box = shape(square(60.0, 4.0), Hollow { is_round: true, ..square(40.0, 3.0) }, 90.0);
        let of_round = joint(&on_box, &ALONE, 1.0, &PULL, 1.0);
        assert_near(of_round.n_rd_n, 62_072.19 * std::f64::consts::FRAC_PI_4, 1e-6);
    }

    #[test]
    fn a_pushed_chord_leaves_less_and_a_pulled_one_nothing_less() {
        let square_on = shape(round(60.3, 3.0), round(33.7, 2.6), 90.0);
        let unloaded = axial_n(&square_on, JointKind::Alone, 0.0);
        // n_p = 0.5: 1 − 0.3 · 0.5 · 1.5 = 0.775.
        assert_near(axial_n(&square_on, JointKind::Alone, 117.5), 0.775 * unloaded, 1e-12);
        // At yield 0.4, and no less beyond: there the chord itself has failed.
        assert_near(axial_n(&square_on, JointKind::Alone, 235.0), 0.4 * unloaded, 1e-12);
        assert_near(axial_n(&square_on, JointKind::Alone, 400.0), 0.4 * unloaded, 1e-12);
        let boxes = shape(square(60.0, 4.0), square(40.0, 3.0), 90.0);
        let (free, half) = (axial_n(&boxes, JointKind::Alone, 0.0), axial_n(&boxes, JointKind::Alone, 0.5 * 355.0));
        // k_n stays 1 up to n = 0.75 β = 0.5, then falls with 0.4/β.
        assert_near(half, free, 1e-12);
        assert_near(axial_n(&boxes, JointKind::Alone, 355.0), free * (1.3 - 0.4 * 1.5), 1e-12);
    }

    #[test]
    fn a_thicker_chord_a_wider_brace_and_a_leaning_one_resist_more() {
        for kind in [JointKind::Alone, JointKind::Cross] {
            let of = |wall: f64, od: f64, degrees: f64| {
                axial_n(&shape(round(60.3, wall), round(od, 2.6), degrees), kind, 0.0)
            };
            assert!(of(4.0, 33.7, 90.0) > of(3.0, 33.7, 90.0));
            assert!(of(3.0, 48.3, 90.0) > of(3.0, 33.7, 90.0));
            assert!(of(3.0, 33.7, 40.0) > of(3.0, 33.7, 90.0));
            let on_box =
                |side: f64, degrees: f64| axial_n(&shape(square(60.0, 4.0), square(side, 3.0), degrees), kind, 0.0);
            assert!(on_box(45.0, 90.0) > on_box(30.0, 90.0));
            assert!(on_box(30.0, 40.0) > on_box(30.0, 90.0));
        }
    }

    #[test]
    fn far_apart_two_round_braces_are_as_in_a_joint_without_a_gap_term() {
        let gamma = 10.0_f64;
        assert_near(round_chord::gap_factor(gamma, 1e3), gamma.powf(0.2), 1e-12);
        // Deep in each other: γ^0.2 (1 + 0.024 γ^1.2).
        assert_near(round_chord::gap_factor(gamma, -1e3), gamma.powf(0.2) * (1.0 + 0.024 * gamma.powf(1.2)), 1e-12);
        let gaps = [-20.0, -2.0, 0.0, 2.0, 20.0].map(|gap| round_chord::gap_factor(gamma, gap));
        assert!(gaps.windows(2).all(|pair| pair[1] < pair[0]), "closer braces hold each other more: {gaps:?}");
    }

    #[test]
    fn from_face_to_side_wall_a_box_goes_without_a_step() {
        let of = |side: f64| axial_n(&shape(square(60.0, 4.0), square(side, 6.0), 90.0), JointKind::Alone, 0.0);
        let (below, above) = (of(0.85 * 60.0 - 1e-7), of(0.85 * 60.0 + 1e-7));
        // At β = 0.85 the walls of a thick brace that is carried over part of its width hold more than the face.
        assert_near(above, below, 1e-6);
        // β = 1: kn χ fy0 t0 (2 h1 + 10 t0).
        let slenderness = 3.46 * (15.0 - 2.0) / (std::f64::consts::PI * (210_000.0_f64 / 355.0).sqrt());
        let chi = crate::checks::chi(slenderness, 0.49);
        assert_near(of(60.0), chi * 355.0 * 4.0 * (2.0 * 60.0 + 10.0 * 4.0), 1e-9);
        // Where nothing pushes they do not buckle.
        let idle = JointForces { n_n: 0.0, ..PULL };
        let walls = joint(&shape(square(60.0, 4.0), square(60.0, 6.0), 90.0), &ALONE, 1.0, &idle, 1.0);
        assert_near(walls.n_rd_n, 355.0 * 4.0 * (2.0 * 60.0 + 10.0 * 4.0), 1e-9);
    }

    #[test]
    fn the_sum_adds_squares_in_plane_on_a_round_chord_and_plain_parts_on_a_box() {
        let forces =
            JointForces { n_n: -6000.0, in_plane_nmm: 90_000.0, out_of_plane_nmm: -40_000.0, chord_push_mpa: 0.0 };
        for (shape, power) in [
            (shape(round(60.3, 3.0), round(33.7, 2.6), 90.0), 2),
            (shape(square(60.0, 4.0), square(40.0, 3.0), 90.0), 1),
        ] {
            let margin = 1.5;
            let result = joint(&shape, &ALONE, 1.0, &forces, margin);
            let parts = [
                margin * 6000.0 / result.n_rd_n,
                (margin * 90_000.0 / result.in_plane_rd_nmm).powi(power),
                margin * 40_000.0 / result.out_of_plane_rd_nmm,
            ];
            assert_near(result.sum, parts.iter().sum(), 1e-12);
        }
    }

    #[test]
    fn strength_above_355_counts_nine_tenths_and_above_460_is_not_judged() {
        let grade = |strength: f64| Hollow { yield_mpa: strength, yield_at_weld_mpa: strength, ..round(38.0, 2.5) };
        assert_near(grade(355.0).strength_mpa(), 355.0, 0.0);
        assert_near(grade(420.0).strength_mpa(), 378.0, 1e-12);
        let told = |strength: f64| out_of_range(&shape(grade(strength), grade(235.0), 60.0), &ALONE, false);
        assert_eq!(told(460.0), None);
        assert!(told(461.0).is_some_and(|why| why.contains("460")));
        // Cold-drawn tube counts with what is left beside the weld.
        let drawn = Hollow { yield_mpa: 512.0, yield_at_weld_mpa: 355.0, ..round(38.0, 2.5) };
        assert_near(drawn.strength_mpa(), 0.9 * 355.0, 1e-12);
    }

    #[test]
    fn what_lies_outside_the_tables_is_named() {
        let told = |chord: Hollow, brace: Hollow, degrees: f64, is_across: bool| {
            out_of_range(&shape(chord, brace, degrees), &ALONE, is_across)
        };
        let chord = round(60.3, 3.0);
        assert_eq!(told(chord, round(33.7, 2.6), 30.0, true), None);
        for (found, word) in [
            (told(chord, round(33.7, 2.6), 29.9, false), "29.9°"),
            (told(chord, round(11.9, 2.0), 90.0, false), "outside 0.2 to 1"),
            (told(chord, round(63.5, 2.6), 90.0, false), "outside 0.2 to 1"),
            (told(round(60.3, 6.1), round(33.7, 2.6), 90.0, false), "outside 10 to 50"),
            (told(round(60.3, 1.45), round(33.7, 2.6), 90.0, true), "outside 10 to 40"),
            (told(round(60.3, 1.1), round(33.7, 2.6), 90.0, false), "outside 10 to 50"),
            (told(chord, Hollow { youngs_modulus_mpa: 70_000.0, ..round(33.7, 2.6) }, 90.0, false), "structural steel"),
            (
                told(chord, Hollow { yield_mpa: 355.0, yield_at_weld_mpa: 355.0, ..round(48.0, 1.0) }, 90.0, false),
                "class 2",
            ),
            (told(chord, square(30.0, 2.5), 90.0, false), "a box on a round tube"),
            (told(square(60.0, 4.0), square(12.0, 2.5), 90.0, false), "outside 0.25 to 1"),
            (told(square(60.0, 4.0), round(50.0, 2.5), 90.0, false), "outside 0.4 to 0.8"),
        ] {
            assert!(found.as_ref().is_some_and(|why| why.contains(word)), "{word}: {found:?}");
        }
    }

    #[test]
    fn a_gap_is_too_tight_between_both_walls_and_a_quarter_of_overlap() {
        let shape = shape(round(38.0, 2.5), round(25.0, 2.5), 90.0);
        // Both walls: 5 mm. A quarter of the foot of 25 mm: 6.25 mm.
        for (gap_mm, is_tight) in [(5.0, false), (4.9, true), (0.0, true), (-6.0, true), (-6.25, false)] {
            assert_eq!(is_too_tight(&shape, gap_mm, 2.5), is_tight, "{gap_mm}");
        }
        assert!(round(38.0, 2.49).is_thin() && !round(38.0, 2.5).is_thin());
    }

    #[test]
    fn a_joint_without_any_resistance_left_gives_a_number() {
        let narrow = shape(square(60.0, 4.0), square(15.0, 3.0), 90.0);
        let forces = JointForces { chord_push_mpa: 355.0, ..PULL };
        let result = joint(&narrow, &ALONE, 1.0, &forces, 1.0);
        assert!(result.chord_factor == 0.0 && result.sum == WITHOUT_BOUND, "{result:?}");
    }

    #[test]
    fn a_box_is_of_class_2_up_to_38_epsilon_of_its_flat() {
        // ε = √(235/355) = 0.813617: c/t ≤ 30.917, so sides up to 33.917 walls.
        let told = |side: f64| out_of_range(&shape(square(side, 2.0), square(40.0, 3.0), 90.0), &ALONE, false);
        assert_eq!(told(67.8), None);
        assert!(told(67.9).is_some_and(|why| why.contains("class 2")));
        // 205 GPa is structural steel still.
        let steel = |e: f64| Hollow { youngs_modulus_mpa: e, ..round(60.3, 3.0) };
        assert_eq!(out_of_range(&shape(steel(205_000.0), round(33.7, 2.6), 90.0), &ALONE, false), None);
    }

    #[test]
    fn the_margin_is_on_the_push_in_the_chord_too_and_other_planes_leave_their_part() {
        let square_on = shape(round(60.3, 3.0), round(33.7, 2.6), 90.0);
        let forces = JointForces { chord_push_mpa: 78.333_333_333_333_33, ..PULL };
        // n_p = 1.5 · 78.33/235 = 0.5: 0.775.
        let result = joint(&square_on, &ALONE, 0.8, &forces, 1.5);
        assert_near(result.chord_factor, 0.775, 1e-12);
        assert_near(result.n_rd_n, 0.8 * 0.775 * 24_276.96, 1e-6);
    }

    #[test]
    fn a_leaning_brace_has_a_longer_foot() {
        // 25/sin 30° = 50 mm, a quarter 12.5 mm.
        let shape = shape(round(38.0, 2.5), round(25.0, 2.5), 30.0);
        assert!(is_too_tight(&shape, -12.4, 2.5) && !is_too_tight(&shape, -12.6, 2.5));
    }

    #[test]
    fn what_gives_way_has_words_and_a_name_of_its_own() {
        use JointFailure::{Brace, ChordFace, ChordShear, Distortion, Punching, SideWall};
        for (failure, name, word) in [
            (ChordFace, "chord face", "folds"),
            (Punching, "punching", "punched"),
            (SideWall, "side wall", "crushed"),
            (ChordShear, "chord shear", "sheared"),
            (Distortion, "distortion", "out of square"),
            (Brace, "brace", "tube itself"),
        ] {
            assert!(failure.name() == name && failure.words().contains(word), "{failure:?}");
        }
    }
}
