//! At how many times its bending a strip gives way sideways: (K + λ Kσ) φ = 0 with Kσ from the moments, the shear
//! forces and the torque of strips alone, and from what is fixed to them beside their axes.
//!
//! The whole frame gives way with them as it can: a tube across that is soft holds a strip little. Axial forces, and the
//! bending of all that is no strip, are left out: this is the critical moment that a check of members asks for.
//!
//! Source: Beam::geometric_of_bending; forces beside the axis as dead loads on turns that are rotation vectors.

use nalgebra::{DVector, Matrix3, Matrix6, Point3, Vector3};

use super::fine::{Fine, NotFound, Pair, SecondMatrix, counts};
use crate::beam::Matrix12;
use crate::loads::Load;
use crate::math::SymmetricMatrix;
use crate::solve::{State, System};
use crate::structure::Direction;

/// Pieces of each strip at first, and at most. Over the turn of a strip about itself, which is linear within a piece, the
/// error falls with the square of their number: 0.3 % with as many as at first.
const AT_FIRST: usize = 16;
const AT_MOST: usize = 128;
/// A cut in two that changes a factor by no more than this part leaves a third of it: 0.1 % is aimed at.
const MOST_CHANGE: f64 = 3e-3;
/// Most factors that are worked out.
const MOST_FACTORS: usize = 12;
/// A cut counts factors a little too high: so much above the bound is counted too.
const WITHIN: f64 = 1.03;
/// A strip takes part in a shape where its forces do at least this part of what those of the first one do.
const TAKES_PART: f64 = 0.1;

/// Strips of a structure that give way sideways in a case.
#[derive(Debug, Clone, PartialEq)]
pub struct LateralBuckling {
    /// Factors, rising, and for each the tubes of the structure that take part.
    modes: Vec<(f64, Vec<usize>)>,
    /// No strip has a factor below this one beside these.
    below: f64,
}

/// At how many times the moments of a case a strip gives way sideways.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LateralFactor {
    /// At so many.
    At(f64),
    /// Not below so many.
    AtLeast(f64),
}

impl LateralBuckling {
    /// The factor of a tube of the structure.
    pub fn factor(&self, tube: usize) -> LateralFactor {
        let found = self.modes.iter().find(|(_, tubes)| tubes.contains(&tube));
        found.map_or(LateralFactor::AtLeast(self.below), |(factor, _)| LateralFactor::At(*factor))
    }
}

/// Works out the factors below a bound of the tubes of which `is_strip` says so; `loads`: what acts in the case.
///
/// # Errors
/// Where the structure is not stiff, or not all factors came out.
pub fn lateral_buckling(
    whole: &System,
    state: &State,
    loads: &[Load],
    is_strip: &[bool],
    bound: f64,
) -> Result<LateralBuckling, NotFound> {
    let bent = Bent { state, is_strip, on_parts: beside_strips(whole, state, loads, is_strip) };
    let cut = |pieces: usize| {
        let of_piece = |piece: usize| if is_strip[whole.structure.pieces[piece].tube] { pieces } else { 1 };
        Fine::new(whole, counts(whole, of_piece))
    };
    let (mut fine, mut pieces) = (cut(AT_FIRST)?, AT_FIRST);
    let mut b = fine.matrix(&bent);
    let (count, _) = fine.count(&b, bound * WITHIN).ok_or(NotFound::NotAll)?;
    if count == 0 {
        return Ok(LateralBuckling { modes: Vec::new(), below: bound });
    }
    let wanted = count.min(MOST_FACTORS);
    let mut coarse: Option<Vec<f64>> = None;
    loop {
        let pairs: Vec<Pair> = fine.pairs(&b, wanted)?.into_iter().take(wanted).collect();
        let factors: Vec<f64> = pairs.iter().map(|(mu, _)| 1.0 / mu).collect();
        let settled = coarse.filter(|coarse| {
            coarse.iter().zip(&factors).all(|(coarse, factor)| (coarse - factor).abs() <= MOST_CHANGE * factor)
        });
        if let Some(coarse) = settled {
            // Both cuts are too stiff, this one by a third of their difference.
            let better = factors.iter().zip(&coarse).map(|(factor, coarse)| factor - (coarse - factor) / 3.0);
            let tubes = pairs.iter().map(|(_, unknowns)| bent.taking_part(&fine, unknowns));
            let modes: Vec<_> = better.zip(tubes).collect();
            let last = modes.last().map_or(bound, |(factor, _)| *factor);
            return Ok(LateralBuckling { below: if count > wanted { last } else { bound }, modes });
        }
        coarse = Some(factors);
        pieces *= 2;
        if pieces > AT_MOST {
            return Err(NotFound::TooFine);
        }
        fine = cut(pieces)?;
        b = fine.matrix(&bent);
    }
}

/// Kσ of a state, negative.
struct Bent<'s> {
    state: &'s State,
    is_strip: &'s [bool],
    on_parts: Vec<OnPart>,
}

/// A part that holds strips.
struct OnPart {
    part: usize,
    strips: Vec<usize>,
    /// What forces beside their axes add to Kσ there, on the motions of the part.
    stiffness: Matrix6<f64>,
}

impl Bent<'_> {
    /// The strips that take part in a shape: what acts beside their axes counts as theirs.
    fn taking_part(&self, fine: &Fine, unknowns: &DVector<f64>) -> Vec<usize> {
        let mut work = fine.work_of_tubes(self, unknowns);
        let motions = fine.system.motions_of_parts(unknowns);
        for OnPart { part, strips, stiffness } in &self.on_parts {
            let own = -motions[*part].dot(&(stiffness * motions[*part]));
            strips.iter().for_each(|tube| work[*tube] += own);
        }
        let most = work.iter().copied().fold(0.0, f64::max);
        (0..work.len()).filter(|tube| work[*tube] > TAKES_PART * most).collect()
    }
}

impl SecondMatrix for Bent<'_> {
    fn of_piece(&self, fine: &Fine, piece: usize) -> Matrix12 {
        let drawn = &fine.system.structure.pieces[piece];
        if !self.is_strip[drawn.tube] {
            return Matrix12::zeros();
        }
        let (whole, middle_mm) = fine.of_whole(piece);
        -fine.system.pieces[piece].beam.geometric_of_bending(&self.state.pieces[whole].diagram.at(middle_mm))
    }

    fn add_parts(&self, fine: &Fine, b: &mut SymmetricMatrix) {
        for OnPart { part, stiffness, .. } in &self.on_parts {
            fine.system.add_on_part_to(b, *part, &-stiffness);
        }
    }
}

/// For each part that holds a strip: what all forces at arms r on it add to the stiffness of its turns,
///
/// ```text
/// Σ [ (f·r) I − ½ (f rᵀ + r fᵀ) ]
/// ```
/// from their work −f·½ θ × (θ × r).
fn beside_strips(whole: &System, state: &State, loads: &[Load], is_strip: &[bool]) -> Vec<OnPart> {
    let structure = &whole.structure;
    let mut strips: Vec<Vec<usize>> = vec![Vec::new(); structure.parts.len()];
    for piece in structure.pieces.iter().filter(|piece| is_strip[piece.tube]) {
        for end in &piece.ends {
            if !strips[end.part].contains(&piece.tube) {
                strips[end.part].push(piece.tube);
            }
        }
    }
    let mut of_turns = vec![Matrix3::<f64>::zeros(); structure.parts.len()];
    let mut add = |part: usize, at: &Point3<f64>, force: Vector3<f64>| {
        let arm = at - structure.parts[part].origin;
        let outer = force * arm.transpose();
        of_turns[part] += Matrix3::from_diagonal_element(force.dot(&arm)) - (outer + outer.transpose()) * 0.5;
    };
    for (piece, own) in structure.pieces.iter().zip(&state.pieces) {
        for (at, end) in piece.ends.iter().enumerate() {
            let on_tube = piece.axes.rotation.transpose() * own.end_forces.fixed_rows::<3>(6 * at);
            add(end.part, &end.at, -on_tube);
        }
    }
    let ties = structure
        .ties
        .iter()
        .zip(&state.ties)
        .map(|(tie, force)| (tie.part, tie.holder, tie.at, tie.direction, *force));
    let springs = structure.springs.iter().zip(&state.springs);
    let springs = springs.map(|(it, force)| (it.part, it.holder, it.at, it.direction, *force));
    for (part, holder, at, direction, force) in ties.chain(springs) {
        let Direction::Shift(along) = direction else { continue };
        add(part, &at, along * force);
        if let Some(holder) = holder {
            add(holder, &at, -along * force);
        }
    }
    for load in loads {
        if let Load::OnPart { part, at, force_n, .. } = load {
            add(*part, at, *force_n);
        }
    }
    let held = strips.into_iter().zip(of_turns).enumerate().filter(|(_, (strips, _))| !strips.is_empty());
    held.map(|(part, (strips, turns))| {
        let mut stiffness = Matrix6::zeros();
        stiffness.fixed_view_mut::<3, 3>(3, 3).copy_from(&turns);
        OnPart { part, strips, stiffness }
    })
    .collect()
}
