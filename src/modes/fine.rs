//! A structure cut as finely as its modes need, and the modes found on it.

use nalgebra::DVector;

use crate::beam::Matrix12;
use crate::math::{ChosenEngine, Engine, Factor, Plan, SymmetricMatrix, largest_pairs};
use crate::solve::System;
use crate::structure::TubeName;

/// A value that is corrected by more than this part of itself asks for a finer cut.
const MOST_CORRECTION: f64 = 0.02;
/// So does one of which the correction leaves more than this part: 0.1 % is aimed at.
const MOST_LEFT: f64 = 5e-4;
/// Pieces that add less than this part of what the largest one adds to a correction are not cut finer.
const LITTLE: f64 = 1.0 / 16.0;
/// Most pieces that one piece of the structure is cut into.
const MOST_PIECES: usize = 64;
/// Most rounds of cutting finer.
const MOST_ROUNDS: usize = 8;
/// Most columns that a search for modes may fill.
const MOST_COLUMNS: usize = 240;
/// Values within this part of each other are one that is there several times.
pub(super) const EQUAL: f64 = 1e-6;
/// Most searches, each from another start.
const MOST_SEARCHES: u64 = 4;

/// Why modes were not found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotFound {
    /// The structure is loose, or has no stiffness that is told from round-off.
    Loose,
    /// Not all of those that there must be came out.
    NotAll,
    /// The answer would need a finer cut than the finest.
    TooFine,
}

impl NotFound {
    /// Why, in words.
    pub fn in_words(self) -> &'static str {
        match self {
            NotFound::Loose => "its stiffness is not told from round-off",
            NotFound::NotAll => "the search did not find all that the count says there are",
            NotFound::TooFine => "it would need a finer cut of the tubes than the finest",
        }
    }
}

/// A structure with its tubes cut, factorised.
pub(super) struct Fine {
    pub(super) system: System,
    plan: Box<dyn Plan>,
    factor: Box<dyn Factor>,
    /// Pieces of the cut for each piece of the structure.
    counts: Vec<usize>,
    /// For each piece of the cut, the piece of the structure that it is of and where its middle is on that, mm.
    of_whole: Vec<(usize, f64)>,
    n_parts: usize,
}

/// What is asked: the values 1/μ of B φ = μ K φ.
pub(super) trait Question {
    /// B of a piece, on the motions of its tube's ends.
    fn of_piece(&self, fine: &Fine, piece: usize) -> Matrix12;
    /// What a piece gives way by between its ends (`beam::interior`).
    fn interior(&self, fine: &Fine, piece: usize) -> Matrix12;
    /// 1 over a lower bound of the first value of a piece alone, both ends held.
    fn own(&self, fine: &Fine, piece: usize) -> f64;
    /// Adds B of parts.
    fn add_parts(&self, fine: &Fine, b: &mut SymmetricMatrix);
}

/// μ and its vector.
type Pair = (f64, DVector<f64>);

/// One value with its vector.
pub(super) struct Found {
    /// 1/μ, corrected.
    pub(super) value: f64,
    /// What the correction leaves, estimated, as a part of the value.
    pub(super) error: f64,
    /// Unknowns, φᵀ K φ = 1.
    pub(super) unknowns: DVector<f64>,
}

/// The lowest values.
pub(super) struct Lowest {
    /// The cut that they were found on.
    pub(super) fine: Fine,
    /// Rising.
    pub(super) found: Vec<Found>,
    /// How many the negative pivots count down to the last of them.
    pub(super) counted: usize,
}

impl Fine {
    /// Cuts a structure.
    pub(super) fn new(whole: &System, counts: Vec<usize>) -> Result<Fine, NotFound> {
        let (structure, numbering) = whole.cut(&counts);
        let system = System::new(structure, numbering);
        let plan = ChosenEngine.plan(&system.numbering.pattern);
        let factor = plan.factor(&system.matrix).map_err(|_| NotFound::Loose)?;
        let places = |(piece, count): (usize, &usize)| {
            let length_mm = whole.structure.pieces[piece].axes.length_mm;
            let count = *count;
            (0..count).map(move |at| (piece, length_mm * (at as f64 + 0.5) / count as f64))
        };
        let of_whole = counts.iter().enumerate().flat_map(places).collect();
        Ok(Fine { system, plan, factor, counts, of_whole, n_parts: whole.structure.parts.len() })
    }

    /// How many parts the structure has that was cut.
    pub(super) fn n_parts(&self) -> usize {
        self.n_parts
    }

    /// The piece of the structure that a piece is of, and where its middle is on that, mm.
    pub(super) fn of_whole(&self, piece: usize) -> (usize, f64) {
        self.of_whole[piece]
    }

    /// B on the unknowns; joints let go of what they let go.
    pub(super) fn matrix(&self, question: &dyn Question) -> SymmetricMatrix {
        let mut b = self
            .system
            .sum_of_pieces(|piece| self.system.pieces[piece].joined.carried(&question.of_piece(self, piece)));
        question.add_parts(self, &mut b);
        b
    }

    /// How many values lie between 0 and a bound, by the negative pivots of K − bound·B; and the bound,
    /// which is raised a little where a pivot is lost in round-off.
    pub(super) fn count(&self, b: &SymmetricMatrix, bound: f64) -> Option<(usize, f64)> {
        [0.0, 1e-6, 1e-5, 1e-4, 1e-3].into_iter().find_map(|more| {
            let bound = bound * (1.0 + more);
            let mut shifted = self.system.matrix.clone();
            shifted.add_times(b, -bound);
            self.plan.factor_and_count(&shifted).ok().map(|(_, count)| (count, bound))
        })
    }

    /// The largest μ with their vectors, as many as are wanted or as there are; as many as the count says that
    /// there are.
    fn pairs(&self, b: &SymmetricMatrix, wanted: usize) -> Result<Vec<Pair>, NotFound> {
        if b.n() == 0 {
            return Ok(Vec::new());
        }
        let mut ask = wanted;
        for start in 0..MOST_SEARCHES {
            let pairs = largest_pairs(self.factor.as_ref(), b, ask, MOST_COLUMNS, start);
            let last = pairs.values.last().ok_or(NotFound::NotAll)?;
            // A little above the last one, so that it is counted whatever its round-off.
            let (counted, bound) = self.count(b, (1.0 + 1e-5) / last).ok_or(NotFound::NotAll)?;
            if pairs.values.iter().filter(|mu| 1.0 / **mu < bound).count() == counted {
                let vectors = pairs.vectors.column_iter().map(nalgebra::Matrix::into_owned);
                let found: Vec<_> = pairs.values.iter().copied().zip(vectors).collect();
                // What is the same as the last one that is wanted goes with it.
                let wanted = found.get(wanted.max(1) - 1).map_or(0.0, |(mu, _)| mu * (1.0 - EQUAL));
                return Ok(found.into_iter().take_while(|(mu, _)| *mu >= wanted).collect());
            }
            // A cluster was cut in two, or something was missed.
            ask = counted.max(ask) + 2;
        }
        Err(NotFound::NotAll)
    }

    /// What each piece of the cut gives way by between its ends, for a vector with φᵀ K φ = 1.
    fn given_way(&self, interior: &[Matrix12], unknowns: &DVector<f64>) -> Vec<f64> {
        let parts = self.system.motions_of_parts(unknowns);
        interior
            .iter()
            .enumerate()
            .map(|(piece, x)| {
                let motions = self.system.motions_of_piece(piece, &parts);
                motions.dot(&(x * motions))
            })
            .collect()
    }

    /// Doubles the counts of the pieces that give way most.
    fn cut_finer(&self, whole: &System, given_way: &[f64], counts: &mut [usize]) -> Result<(), NotFound> {
        let mut of_whole = vec![0.0; counts.len()];
        for ((piece, _), part) in self.of_whole.iter().zip(given_way) {
            of_whole[*piece] += part;
        }
        let most = of_whole.iter().copied().fold(0.0, f64::max);
        for (piece, part) in of_whole.iter().enumerate() {
            if *part > LITTLE * most && is_cut(whole, piece) {
                counts[piece] = counts[piece].max(2 * self.counts[piece]);
                if counts[piece] > MOST_PIECES {
                    return Err(NotFound::TooFine);
                }
            }
        }
        Ok(())
    }
}

/// The lowest values, as many as are wanted or as there are, on a cut that is fine enough for them. Those above `needed`
/// are left out where no cut is.
pub(super) fn lowest(
    whole: &System,
    fine: Fine,
    question: &dyn Question,
    wanted: usize,
    needed: f64,
) -> Result<Lowest, NotFound> {
    let mut fine = fine;
    for _ in 0..MOST_ROUNDS {
        let b = fine.matrix(question);
        let pairs = fine.pairs(&b, wanted)?;
        let interior: Vec<Matrix12> = (0..fine.system.pieces.len())
            .map(|piece| {
                let joined = &fine.system.pieces[piece].joined;
                joined.carried(&question.interior(&fine, piece)) + joined.given_way(&question.of_piece(&fine, piece))
            })
            .collect();
        let own: Vec<f64> = (0..fine.system.pieces.len()).map(|piece| question.own(&fine, piece)).collect();
        let mut counts = fine.counts.clone();
        let mut found: Vec<Found> = Vec::with_capacity(pairs.len());
        for (mu, unknowns) in pairs {
            let given_way = fine.given_way(&interior, &unknowns);
            let x: f64 = given_way.iter().sum();
            // φᵀ (K − λ B − λ² X) φ = 1 − λ μ − λ² x = 0, in the form that loses no digits.
            let value = 2.0 / (mu + (mu * mu + 4.0 * x).sqrt());
            let correction = (1.0 / mu - value) / value;
            // Of a piece alone the terms fall like powers of how far it is on its way to its own first value.
            let left: Vec<f64> = given_way.iter().zip(&own).map(|(x, own)| beyond(*x, value * own)).collect();
            let error = value * value * left.iter().sum::<f64>();
            let mut finer = counts.clone();
            let cut = if correction > MOST_CORRECTION || error > MOST_LEFT {
                fine.cut_finer(whole, if error > MOST_LEFT { &left } else { &given_way }, &mut finer)
            } else {
                Ok(())
            };
            // A piece beyond its own first value hides one from the count.
            let hidden: Vec<f64> = own.iter().map(|own| f64::from(u8::from(value * own >= 1.0))).collect();
            match cut.and_then(|()| fine.cut_finer(whole, &hidden, &mut finer)) {
                Ok(()) => counts = finer,
                // What lies above all that is asked for is left out rather than told wrong.
                Err(_) if value > needed && !found.is_empty() => break,
                Err(why) => return Err(why),
            }
            found.push(Found { value, error, unknowns });
        }
        if counts == fine.counts {
            found.sort_by(|one, other| one.value.total_cmp(&other.value));
            // The count has been held against all that were found; so many of them are kept.
            let counted = found.len();
            return Ok(Lowest { fine, found, counted });
        }
        fine = Fine::new(whole, counts)?;
    }
    Err(NotFound::TooFine)
}

/// What a geometric series leaves after its first term.
fn beyond(first: f64, ratio: f64) -> f64 {
    const NO_END: f64 = 1e30;
    if ratio < 1.0 { first * ratio / (1.0 - ratio) } else { first * NO_END }
}

/// Whether a piece is cut at all: a spring stands for a coil, and its bar has no shape of its own.
fn is_cut(whole: &System, piece: usize) -> bool {
    matches!(whole.structure.tubes[whole.structure.pieces[piece].tube].name, TubeName::Tube(_))
}

/// Into how many pieces each piece of a structure is cut.
pub(super) fn counts(whole: &System, of_piece: impl Fn(usize) -> usize) -> Vec<usize> {
    (0..whole.pieces.len())
        .map(|piece| if is_cut(whole, piece) { of_piece(piece).clamp(1, MOST_PIECES) } else { 1 })
        .collect()
}
