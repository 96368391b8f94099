//! The chord of a joint between the feet of two braces that stand side by side on it.
//!
//! A model's tubes meet at a node, so that no piece of it is the chord in the gap. What it carries there is what
//! balances all on one side of the gap: the chord as it goes on, and the braces whose feet stand there.

use nalgebra::Vector3;

use super::second_order::Carries;
use crate::checks::{ChordGap, ChordInGap, GapForces, JointShape, chord_in_gap, worst_gap};
use crate::structure::{Onto, Structure};

/// A piece of the structure and one of its ends.
pub(super) type PieceAtEnd = (usize, usize);

/// Where the foot of a brace stands along the chord, mm, and its piece.
pub(super) struct Foot {
    pub(super) foot_mm: f64,
    pub(super) piece: PieceAtEnd,
}

/// A brace that another makes a pair with: where its foot stands along the chord, and the gap between both, mm.
pub(super) struct Beside {
    pub(super) foot_mm: f64,
    pub(super) gap_mm: f64,
}

/// A gap beside a brace.
pub(super) struct Gap {
    gap: ChordGap,
    /// What stands on the chord's first side of the gap, and on its second: its own pieces and those of the braces.
    sides: [Vec<PieceAtEnd>; 2],
    /// Braces whose feet stand in it, on other faces of the chord.
    within: Vec<PieceAtEnd>,
}

/// The gaps between a brace and those next to it on its side of the chord.
///
/// `half_foot_mm`: from the foot of the brace to its wall along the chord. `chord`: the pieces of the chord that meet at
/// the node. `in_planes`: whether there are braces in other planes.
pub(super) fn gaps(
    structure: &Structure,
    (onto, half_foot_mm): (&Onto, f64),
    chord: &[PieceAtEnd],
    braces: &[Foot],
    beside: &[Beside],
    in_planes: bool,
) -> Vec<Gap> {
    let Some((first, _)) = chord.first() else { return Vec::new() };
    let area_mm2 = structure.tubes[structure.pieces[*first].tube].properties.area_mm2;
    let is_between = |at_mm: f64, foot_mm: f64| (at_mm - onto.foot_mm) * (at_mm - foot_mm) < 0.0;
    let is_next = |foot_mm: f64| !beside.iter().any(|other| is_between(other.foot_mm, foot_mm));
    let next = beside.iter().filter(|other| other.gap_mm >= 0.0 && is_next(other.foot_mm));
    next.map(|Beside { foot_mm, gap_mm }| {
        let towards = (foot_mm - onto.foot_mm).signum();
        let middle_mm = onto.foot_mm + towards * (half_foot_mm + gap_mm / 2.0);
        let (mut sides, mut within) = ([Vec::new(), Vec::new()], Vec::new());
        for (piece, end) in chord {
            let x = structure.pieces[*piece].axes.x();
            let away = if *end == 0 { x } else { -x };
            sides[usize::from(away.dot(&onto.chord.axis) > 0.0)].push((*piece, *end));
        }
        for Foot { foot_mm, piece } in braces {
            let beyond_mm = foot_mm - middle_mm;
            if beyond_mm.abs() <= gap_mm / 2.0 {
                within.push(*piece);
            } else {
                sides[usize::from(beyond_mm > 0.0)].push(*piece);
            }
        }
        Gap { gap: ChordGap { gap_mm: *gap_mm, area_mm2, in_planes }, sides, within }
    })
    .collect()
}

impl Gap {
    /// The chord in the gap, where a table asks for it.
    ///
    /// What else is fixed at the node stands on one side of the gap or on the other, which is not known, and the cut may
    /// lie on either side of braces that stand within it: the worst is taken.
    pub(super) fn judged(
        &self,
        structure: &Structure,
        carries: &dyn Carries,
        onto: &Onto,
        shape: &JointShape,
        margin: f64,
    ) -> Option<ChordInGap> {
        let pull =
            |ends: &[PieceAtEnd]| -> Vector3<f64> { ends.iter().map(|end| pull_n(structure, carries, *end)).sum() };
        let within = pull(&self.within);
        let cuts = [(0, -1.0), (1, 1.0)].into_iter().flat_map(|(side, towards)| {
            let alone = pull(&self.sides[side]);
            [alone, alone + within].map(|pull| (pull, towards))
        });
        let judged = cuts.filter_map(|(pull, towards)| {
            let across = onto.chord.axis.cross(&onto.outward);
            let forces = GapForces {
                n_n: towards * pull.dot(&onto.chord.axis),
                shear_n: pull.dot(&onto.outward).abs(),
                across_n: pull.dot(&across).abs(),
            };
            chord_in_gap(shape, self.gap, forces, margin)
        });
        worst_gap(judged)
    }
}

/// What a piece pulls its end's node with, N.
fn pull_n(structure: &Structure, carries: &dyn Carries, (piece, end): PieceAtEnd) -> Vector3<f64> {
    let axes = &structure.pieces[piece].axes;
    let forces = carries.at(piece, if end == 0 { 0.0 } else { axes.length_mm });
    let on_first_side = axes.x() * forces.n + axes.y() * forces.vy + axes.z() * forces.vz;
    if end == 0 { on_first_side } else { -on_first_side }
}
