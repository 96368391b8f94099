//! A structure cut as finely as its modes need, and the modes found on it.

use nalgebra::{DMatrix, DVector};

use crate::beam::{Matrix12, Vector12};
use crate::math::{ChosenEngine, Engine, Factor, Plan, Search, SymmetricMatrix, largest_pairs, symmetric_eigen};
use crate::solve::System;
use crate::structure::TubeName;

/// A value that is corrected by more than this part of itself asks for a finer cut.
const MOST_CORRECTION: f64 = 0.02;
/// So does one of which the correction leaves more than this part: 0.1 % is aimed at.
const MOST_LEFT: f64 = 5e-4;
/// Pieces that add less than this part of what the largest one adds to a correction are not cut finer.
const LITTLE: f64 = 1.0 / 16.0;
/// Most pieces that one piece of the structure is cut into: a strip that is pulled hard bends at its ends alone, as a
/// string does, and that is short.
const MOST_PIECES: usize = 512;
/// Most rounds of cutting finer.
const MOST_ROUNDS: usize = 12;
/// So many values more than are wanted are found: they change the last of these as they are corrected.
const BESIDE: usize = 4;
/// Rounds in which a corrected value settles.
const CORRECTIONS: usize = 20;
/// It has settled once it changes by less than this part of itself.
const SETTLED: f64 = 1e-12;
/// Columns of a block, where a search takes blocks: as many as the solver takes side by side.
const TOGETHER: usize = 4;
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
    /// Something in its stiffness, its mass or its forces is no number.
    NoNumber,
}

impl NotFound {
    /// Why, in words.
    pub fn in_words(self) -> &'static str {
        match self {
            NotFound::Loose => "its stiffness is not told from round-off",
            NotFound::NotAll => "the search did not find all that the count says there are",
            NotFound::TooFine => "it would need a finer cut of the tubes than the finest",
            NotFound::NoNumber => "something in its stiffness, its mass or its forces is no number",
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

/// B of B φ = μ K φ.
pub(super) trait SecondMatrix {
    /// B of a piece, on the motions of its tube's ends.
    fn of_piece(&self, fine: &Fine, piece: usize) -> Matrix12;
    /// Adds B of parts.
    fn add_parts(&self, fine: &Fine, b: &mut SymmetricMatrix);
}

/// What is asked: the values 1/μ of B φ = μ K φ, of tubes whose exact stiffness has a next term.
pub(super) trait Question: SecondMatrix {
    /// What a piece gives way by between its ends (`beam::interior`).
    fn interior(&self, fine: &Fine, piece: usize) -> Matrix12;
    /// 1 over a lower bound of the first value of a piece alone, both ends held; negative where it has such values on
    /// the other side of zero alone, as a pulled tube has.
    fn own(&self, fine: &Fine, piece: usize) -> f64;
}

/// μ and its vector.
pub(super) type Pair = (f64, DVector<f64>);

/// A value that has been corrected.
struct Corrected {
    value: f64,
    /// What was taken off, as a part of it.
    correction: f64,
    unknowns: DVector<f64>,
    /// What each piece of the cut gives way by between its ends.
    given_way: Vec<f64>,
}

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
    pub(super) fn matrix(&self, question: &dyn SecondMatrix) -> SymmetricMatrix {
        let mut b = self
            .system
            .sum_of_pieces(|piece| self.system.pieces[piece].joined.carried(&question.of_piece(self, piece)));
        question.add_parts(self, &mut b);
        b
    }

    /// φᵀ B φ of each tube.
    pub(super) fn work_of_tubes(&self, question: &dyn SecondMatrix, unknowns: &DVector<f64>) -> Vec<f64> {
        let parts = self.system.motions_of_parts(unknowns);
        let mut work = vec![0.0; self.system.structure.tubes.len()];
        for (piece, drawn) in self.system.structure.pieces.iter().enumerate() {
            let motions = self.system.motions_of_piece(piece, &parts);
            let b = self.system.pieces[piece].joined.carried(&question.of_piece(self, piece));
            work[drawn.tube] += motions.dot(&(b * motions));
        }
        work
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

    /// The largest μ with their vectors: as many as are wanted and some beside, or as there are; as many as the
    /// count says that there are.
    pub(super) fn pairs(&self, b: &SymmetricMatrix, wanted: usize) -> Result<Vec<Pair>, NotFound> {
        if b.n() == 0 {
            return Ok(Vec::new());
        }
        let mut ask = wanted + BESIDE;
        for start in 0..MOST_SEARCHES {
            // One column at a time needs the fewest; what is there several times comes out of blocks alone.
            let together = if start == 0 { 1 } else { TOGETHER };
            let search = Search { wanted: ask, most: MOST_COLUMNS, together, start };
            let pairs = largest_pairs(&self.system.matrix, self.factor.as_ref(), b, search);
            // A little above the last one, so that it is counted whatever its round-off.
            let counted = pairs.values.last().and_then(|last| self.count(b, (1.0 + 1e-5) / last));
            if let Some((counted, bound)) = counted {
                if pairs.values.iter().filter(|mu| 1.0 / **mu < bound).count() == counted {
                    let vectors = pairs.vectors.column_iter().map(nalgebra::Matrix::into_owned);
                    return Ok(pairs.values.iter().copied().zip(vectors).collect());
                }
                ask = counted.max(ask);
            }
            // A cluster was cut in two, something was missed, or the count fell on a value: from another start, and
            // with more.
            ask += 2;
        }
        Err(NotFound::NotAll)
    }

    /// The values corrected by what the pieces give way by between their ends, rising.
    ///
    /// With φ the vectors found, φᵀ K φ = 1 and φᵀ B φ = D, the corrected ones are those of
    ///
    /// ```text
    /// φᵀ (K − λ B − λ² X) φ y = (1 − λ (D + λ x)) y = 0
    /// ```
    /// so that neighbours change each other as they must.
    ///
    /// # Errors
    /// Where something in them is no number.
    fn corrected(&self, pairs: &[Pair], interior: &[Matrix12]) -> Result<Vec<Corrected>, NotFound> {
        let parts: Vec<_> = pairs.iter().map(|(_, vector)| self.system.motions_of_parts(vector)).collect();
        let motions: Vec<Vec<Vector12>> = (0..interior.len())
            .map(|piece| parts.iter().map(|parts| self.system.motions_of_piece(piece, parts)).collect())
            .collect();
        let mut x = DMatrix::zeros(pairs.len(), pairs.len());
        for (motions, own) in motions.iter().zip(interior) {
            for (row, one) in motions.iter().enumerate() {
                let work = own * one;
                for (column, other) in motions.iter().enumerate() {
                    x[(row, column)] += work.dot(other);
                }
            }
        }
        let d = DMatrix::from_diagonal(&DVector::from_iterator(pairs.len(), pairs.iter().map(|(mu, _)| *mu)));
        (0..pairs.len())
            .map(|at| {
                let found = 1.0 / pairs[at].0;
                let (mut value, mut y) = (found, DVector::zeros(pairs.len()));
                for _ in 0..CORRECTIONS {
                    let eigen = symmetric_eigen(&d + &x * value).ok_or(NotFound::NoNumber)?;
                    let mut order: Vec<usize> = (0..pairs.len()).collect();
                    order.sort_by(|one, other| eigen.eigenvalues[*other].total_cmp(&eigen.eigenvalues[*one]));
                    let before = std::mem::replace(&mut value, 1.0 / eigen.eigenvalues[order[at]]);
                    y = eigen.eigenvectors.column(order[at]).into_owned();
                    if (value - before).abs() <= SETTLED * value {
                        break;
                    }
                }
                let unknowns = pairs
                    .iter()
                    .zip(&y)
                    .fold(DVector::zeros(self.system.matrix.n()), |sum, (pair, part)| sum + &pair.1 * *part);
                let given_way = motions
                    .iter()
                    .zip(interior)
                    .map(|(motions, own)| {
                        let own_motions =
                            motions.iter().zip(&y).fold(Vector12::zeros(), |sum, (m, part)| sum + m * *part);
                        own_motions.dot(&(own * own_motions))
                    })
                    .collect();
                Ok(Corrected { value, correction: (found - value) / value, unknowns, given_way })
            })
            .collect()
    }

    /// What each piece gives way by between its ends; a spring stands for a coil, and by nothing.
    fn interior(&self, question: &dyn Question) -> Vec<Matrix12> {
        let of_piece = |piece: usize| {
            if !is_cut(&self.system, piece) {
                return Matrix12::zeros();
            }
            let joined = &self.system.pieces[piece].joined;
            joined.carried(&question.interior(self, piece)) + joined.given_way(&question.of_piece(self, piece))
        };
        (0..self.system.pieces.len()).map(of_piece).collect()
    }

    /// The values that are wanted with their errors, and how finely each piece must be cut for them: as it is
    /// where all are right. `own`: [`Question::own`] of each piece.
    fn accepted(
        &self,
        whole: &System,
        corrected: Vec<Corrected>,
        own: &[f64],
        wanted: usize,
        needed: f64,
    ) -> Result<(Vec<Found>, Vec<usize>), NotFound> {
        let mut counts = self.counts.clone();
        let mut found: Vec<Found> = Vec::with_capacity(corrected.len());
        for Corrected { value, correction, unknowns, given_way } in corrected {
            // What is the same as the last one that is wanted goes with it.
            if found.len() >= wanted && value > found[wanted - 1].value * (1.0 + EQUAL) {
                break;
            }
            // Of a piece alone the terms fall like powers of how far it is on its way to its own first value.
            let left: Vec<f64> = given_way.iter().zip(own).map(|(x, own)| beyond(x.max(0.0), value * own)).collect();
            let error = value * value * left.iter().sum::<f64>();
            let mut finer = counts.clone();
            let cut = if correction > MOST_CORRECTION || error > MOST_LEFT {
                self.cut_finer(whole, if error > MOST_LEFT { &left } else { &given_way }, &mut finer)
            } else {
                Ok(())
            };
            // A piece beyond its own first value hides one from the count.
            let hidden: Vec<f64> = own.iter().map(|own| f64::from(u8::from(value * own >= 1.0))).collect();
            match cut.and_then(|()| self.cut_finer(whole, &hidden, &mut finer)) {
                Ok(()) => counts = finer,
                // What lies above all that is asked for is left out rather than told wrong.
                Err(_) if value > needed && !found.is_empty() => break,
                Err(why) => return Err(why),
            }
            found.push(Found { value, error, unknowns });
        }
        Ok((found, counts))
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
        let pairs = fine.pairs(&fine.matrix(question), wanted)?;
        let corrected = fine.corrected(&pairs, &fine.interior(question))?;
        let own_of = |piece: usize| if is_cut(&fine.system, piece) { question.own(&fine, piece) } else { 0.0 };
        let own: Vec<f64> = (0..fine.system.pieces.len()).map(own_of).collect();
        let (found, counts) = fine.accepted(whole, corrected, &own, wanted, needed)?;
        if counts == fine.counts {
            // The count has been held against all that were found; so many of them are kept.
            let counted = found.len();
            return Ok(Lowest { fine, found, counted });
        }
        fine = Fine::new(whole, counts)?;
    }
    Err(NotFound::TooFine)
}

/// What a geometric series leaves after its first term, as a magnitude; of one that alternates, which a pulled tube's
/// does, that is less than the term itself whatever the ratio.
fn beyond(first: f64, ratio: f64) -> f64 {
    const NO_END: f64 = 1e30;
    if ratio < 0.0 {
        first * -ratio / (1.0 - ratio)
    } else if ratio < 1.0 {
        first * ratio / (1.0 - ratio)
    } else {
        first * NO_END
    }
}

/// Whether a piece is cut at all: a spring stands for a coil, and its bar has no shape of its own.
pub(super) fn is_cut(whole: &System, piece: usize) -> bool {
    matches!(whole.structure.tubes[whole.structure.pieces[piece].tube].name, TubeName::Tube(_))
}

/// Into how many pieces each piece of a structure is cut.
pub(super) fn counts(whole: &System, of_piece: impl Fn(usize) -> usize) -> Vec<usize> {
    (0..whole.pieces.len())
        .map(|piece| if is_cut(whole, piece) { of_piece(piece).clamp(1, MOST_PIECES) } else { 1 })
        .collect()
}
