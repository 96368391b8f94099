//! At how many times its bending a strip gives way sideways: (K + λ Kσ) φ = 0 with Kσ from the moments, the shear forces
//! and the torque of strips, and from all that acts beside their axes on what they carry.
//!
//! The whole frame gives way with them as it can: a tube across that is soft holds a strip little. What hangs on strips
//! alone, be it a bracket, a body, a post or an arm, falls over with them, and has its whole Kσ. Axial forces of strips,
//! and all forces in what is held otherwise, are left out: this is the critical moment that a check of members asks for.
//!
//! Source: Beam::geometric_of_bending; forces beside the axis as dead loads on turns that are rotation vectors.

use nalgebra::{DVector, Matrix3, Matrix6, Point3, Vector3};

use super::fine::{Fine, NotFound, Pair, SecondMatrix, counts};
use crate::beam::Matrix12;
use crate::loads::Load;
use crate::math::SymmetricMatrix;
use crate::solve::{State, System};
use crate::structure::{Direction, Piece, Structure};

/// Pieces of each strip at first, and at most. Over the turn of a strip about itself, which is linear within a piece, the
/// error falls with the square of their number: 0.3 % with as many as at first.
const AT_FIRST: usize = 16;
const AT_MOST: usize = 64;
/// Pieces of a strip to one of a tube that hangs on it, which takes less part in its shapes.
const TO_ONE_THAT_HANGS: usize = 4;
/// A cut in two that changes a factor by no more than this part leaves a third of it: 0.1 % is aimed at.
const MOST_CHANGE: f64 = 3e-3;
/// Most factors that are worked out.
const MOST_FACTORS: usize = 12;
/// A cut counts factors a little too high: so much above the bound is counted too.
const WITHIN: f64 = 1.03;
/// A strip takes part in a shape where its forces do at least this part of what those of the strip do that do most there,
/// and at least this part of what all forces do: of a column that buckles elsewhere it does not.
const TAKES_PART: f64 = 0.1;
const OF_ALL: f64 = 1e-3;

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

/// Works out the factors below a bound of the tubes of which `is_strip` says so; `loads`: what acts in the case. Where
/// there are none, those below a bound further on.
///
/// A factor is told once a cut in two leaves it as it is. Of many the higher ones never come to that: where those do that
/// each strip takes part in first, the others are not waited for, and no strip is told to have a factor above the last
/// of them.
///
/// # Errors
/// Where the structure is not stiff, or not even the lowest factor came out.
pub fn lateral_buckling(
    whole: &System,
    state: &State,
    loads: &[Load],
    is_strip: &[bool],
    [bound, further]: [f64; 2],
) -> Result<LateralBuckling, NotFound> {
    let hanging = Hanging::of(&whole.structure, is_strip);
    let on_parts = beside_origins(whole, state, loads, is_strip, &hanging);
    let bent = Bent { state, is_strip, hangs: &hanging.pieces, on_parts };
    let cut = |pieces: usize| {
        let of_piece = |piece: usize| {
            let others = if hanging.pieces[piece] { pieces / TO_ONE_THAT_HANGS } else { 1 };
            if is_strip[whole.structure.pieces[piece].tube] { pieces } else { others }
        };
        Fine::new(whole, counts(whole, of_piece))
    };
    let (mut fine, mut pieces) = (cut(AT_FIRST)?, AT_FIRST);
    let mut b = fine.matrix(&bent);
    let below = |b: &SymmetricMatrix, bound: f64| fine.count(b, bound * WITHIN).map(|(count, _)| count);
    let none_below = |below: f64| LateralBuckling { modes: Vec::new(), below };
    let mut known = Err(NotFound::TooFine);
    let (mut bound, mut count) = (bound, below(&b, bound).ok_or(NotFound::NotAll)?);
    if count == 0 {
        known = Ok(none_below(bound));
        match below(&b, further) {
            Some(0) => return Ok(none_below(further)),
            Some(some) => (bound, count) = (further, some),
            None => return known,
        }
    }
    let wanted = count.min(MOST_FACTORS);
    let mut coarse: Vec<f64> = Vec::new();
    while pieces <= AT_MOST {
        let pairs: Vec<Pair> = match fine.pairs(&b, wanted) {
            Ok(pairs) => pairs.into_iter().take(wanted).collect(),
            Err(why) => return known.map_err(|_| why),
        };
        let factors: Vec<f64> = pairs.iter().map(|(mu, _)| 1.0 / mu).collect();
        let is_settled = |(coarse, factor): &(&f64, &f64)| (*coarse - *factor).abs() <= MOST_CHANGE * *factor;
        // Both cuts are too stiff, the finer one by a third of their difference.
        let settled = coarse.iter().zip(&factors).take_while(is_settled);
        let better = settled.map(|(coarse, factor)| factor - (coarse - factor) / 3.0);
        let modes: Vec<(f64, Vec<usize>)> =
            better.zip(&pairs).map(|(factor, (_, unknowns))| (factor, bent.taking_part(&fine, unknowns))).collect();
        let are_all = modes.len() == factors.len() && !factors.is_empty();
        let takes_part = |strip: usize| modes.iter().any(|(_, tubes)| tubes.contains(&strip));
        let is_enough = are_all || (0..is_strip.len()).all(|tube| !is_strip[tube] || takes_part(tube));
        if let Some((last, _)) = modes.last() {
            let below = if are_all && count == wanted { bound } else { *last };
            known = Ok(LateralBuckling { below, modes });
        }
        if is_enough {
            break;
        }
        coarse = factors;
        pieces *= 2;
        if pieces <= AT_MOST {
            fine = cut(pieces)?;
            b = fine.matrix(&bent);
        }
    }
    known
}

/// Kσ of a state, negative.
struct Bent<'s> {
    state: &'s State,
    is_strip: &'s [bool],
    /// Of the pieces of the structure.
    hangs: &'s [bool],
    on_parts: Vec<OnPart>,
}

/// What hangs on strips alone: nothing else leads from it to the ground.
struct Hanging {
    pieces: Vec<bool>,
    parts: Vec<bool>,
}

impl Hanging {
    fn of(structure: &Structure, is_strip: &[bool]) -> Hanging {
        let mut beside: Vec<Vec<usize>> = vec![Vec::new(); structure.parts.len()];
        let mut next: Vec<usize> = Vec::new();
        let others = structure.pieces.iter().filter(|piece| !is_strip[piece.tube]);
        let joined = others.map(|piece| (piece.ends[0].part, Some(piece.ends[1].part)));
        let ties = structure.ties.iter().map(|tie| (tie.part, tie.holder));
        let springs = structure.springs.iter().map(|spring| (spring.part, spring.holder));
        for (part, other) in joined.chain(ties).chain(springs) {
            match other {
                Some(other) => {
                    beside[part].push(other);
                    beside[other].push(part);
                }
                None => next.push(part),
            }
        }
        let mut parts = vec![true; structure.parts.len()];
        while let Some(part) = next.pop() {
            if std::mem::replace(&mut parts[part], false) {
                next.extend(&beside[part]);
            }
        }
        let hangs = |piece: &Piece| !is_strip[piece.tube] && parts[piece.ends[0].part];
        Hanging { pieces: structure.pieces.iter().map(hangs).collect(), parts }
    }
}

/// A part, and what forces beside its origin add to Kσ there.
struct OnPart {
    part: usize,
    /// The strips that end at it.
    strips: Vec<usize>,
    /// On the motions of the part.
    stiffness: Matrix6<f64>,
}

impl Bent<'_> {
    /// The strips that take part in a shape: what acts beside their axes on parts at which they end counts as theirs.
    fn taking_part(&self, fine: &Fine, unknowns: &DVector<f64>) -> Vec<usize> {
        let mut work = fine.work_of_tubes(self, unknowns);
        let motions = fine.system.motions_of_parts(unknowns);
        let of_tubes: f64 = work.iter().map(|work| work.max(0.0)).sum();
        let mut of_parts = 0.0;
        for OnPart { part, strips, stiffness } in &self.on_parts {
            let own = -motions[*part].dot(&(stiffness * motions[*part]));
            of_parts += own.max(0.0);
            strips.iter().for_each(|tube| work[*tube] += own);
        }
        let strips = || (0..work.len()).filter(|tube| self.is_strip[*tube]);
        let most = strips().map(|tube| work[tube]).fold(0.0, f64::max);
        let least = (TAKES_PART * most).max(OF_ALL * (of_tubes + of_parts));
        strips().filter(|tube| work[*tube] > least).collect()
    }
}

impl SecondMatrix for Bent<'_> {
    fn of_piece(&self, fine: &Fine, piece: usize) -> Matrix12 {
        let beam = &fine.system.pieces[piece].beam;
        let (whole, middle_mm) = fine.of_whole(piece);
        let middle = self.state.pieces[whole].diagram.at(middle_mm);
        if self.is_strip[fine.system.structure.pieces[piece].tube] {
            -beam.geometric_of_bending(&middle)
        } else if self.hangs[whole] {
            -(beam.geometric_of_bending(&middle) + beam.geometric(middle.n))
        } else {
            Matrix12::zeros()
        }
    }

    fn add_parts(&self, fine: &Fine, b: &mut SymmetricMatrix) {
        for OnPart { part, stiffness, .. } in &self.on_parts {
            fine.system.add_on_part_to(b, *part, &-stiffness);
        }
    }
}

/// For each part that hangs on strips, that holds one or is tied to one that does, what all forces at arms r on it add to
/// the stiffness of its turns,
///
/// ```text
/// Σ [ (f·r) I − ½ (f rᵀ + r fᵀ) ]
/// ```
/// from their work −f·½ θ × (θ × r).
fn beside_origins(whole: &System, state: &State, loads: &[Load], is_strip: &[bool], hanging: &Hanging) -> Vec<OnPart> {
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
    let holds = |part: usize| !strips[part].is_empty();
    let mut counts: Vec<bool> = (0..strips.len()).map(|part| hanging.parts[part] || holds(part)).collect();
    for (part, holder) in structure.ties.iter().filter_map(|tie| Some((tie.part, tie.holder?))) {
        counts[part] |= holds(holder);
        counts[holder] |= holds(part);
    }
    strips
        .into_iter()
        .zip(of_turns)
        .enumerate()
        .filter(|(part, _)| counts[*part])
        .map(|(part, (strips, turns))| {
            let mut stiffness = Matrix6::zeros();
            stiffness.fixed_view_mut::<3, 3>(3, 3).copy_from(&turns);
            OnPart { part, strips, stiffness }
        })
        .collect()
}
