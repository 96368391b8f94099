//! At how many times its load a frame buckles: (K + λ Kσ) φ = 0, Kσ from the axial forces of the case.
//!
//! Source: Przemieniecki (1968), Theory of Matrix Structural Analysis, ch. 15. The part of bending
//! moments, shear forces and torque in Kσ is left out, and the result says so.

use std::f64::consts::PI;

use nalgebra::Matrix6;

use super::fine::{EQUAL, Fine, Found, Lowest, NotFound, Question, SecondMatrix, counts, lowest};
use super::shape::ModeShape;
use crate::beam::{Diagram, Matrix12};
use crate::math::SymmetricMatrix;
use crate::solve::{State, System};

/// How far a piece may be on its way to buckling alone, u = L √(N/EI): an error of the factor of 2 %
/// before it is corrected (u⁴/720, measured: 0.75 % at π/2).
const FAR: f64 = 1.95;
/// A cut counts factors a little too high: this much above the bound is counted too.
const WITHIN: f64 = 1.03;
/// A tube that buckles alone well below the bound needs no finer cut to be counted: built in at both ends
/// it does at 2π.
const SURE: f64 = 8.0;

/// The cases of a structure on a cut that tells which of them buckle below a bound.
pub struct Screen<'s> {
    whole: &'s System,
    states: Vec<&'s State>,
    bound: f64,
    fine: Fine,
    /// For each piece of the cut what a pull of 1 N adds to the stiffness: block row, block column, block.
    of_pull: Vec<Vec<(usize, usize, Matrix6<f64>)>>,
}

/// The buckling of one case.
#[derive(Debug, Clone, PartialEq)]
pub struct Buckling {
    /// The lowest, rising.
    pub modes: Vec<BucklingMode>,
    /// How many the negative pivots of K + λKσ count down to the last of them, or a little above it.
    pub counted: usize,
}

/// One load factor with its shape.
#[derive(Debug, Clone, PartialEq)]
pub struct BucklingMode {
    /// So many times the load of the case.
    pub factor: f64,
    /// Estimated error, as a part of it.
    pub error: f64,
    /// The shape.
    pub shape: ModeShape,
    /// For each tube of the structure, how much its axial force does on the way, over what the pushes of
    /// all do together: the larger, the more it is the tube that buckles. Negative where it is pulled.
    pub driving: Vec<f64>,
    /// What the pushes of all do together, of a shape with the strain energy of all shapes.
    pushes: f64,
}

/// A tube whose push does this part of what that of the first one does takes part in a mode.
const TAKES_PART: f64 = 0.1;

impl Buckling {
    /// The lowest factor of a mode that a tube of the structure takes part in.
    ///
    /// Modes of one factor share what they do: which shapes stand for them is a matter of chance.
    pub fn lowest_of(&self, tube: usize) -> Option<f64> {
        self.modes.chunk_by(|one, next| next.factor <= one.factor * (1.0 + EQUAL)).find_map(|modes| {
            let together = |tube: usize| modes.iter().map(|mode| mode.driving[tube] * mode.pushes).sum::<f64>();
            let most = (0..modes[0].driving.len()).map(together).fold(0.0, f64::max);
            (together(tube) > TAKES_PART * most).then_some(modes[0].factor)
        })
    }
}

impl BucklingMode {
    /// Whether a tube of the structure buckles in this mode, or is pushed along with it.
    pub fn takes_part(&self, tube: usize) -> bool {
        let most = self.driving.iter().copied().fold(0.0, f64::max);
        self.driving[tube] > TAKES_PART * most
    }
}

/// Kσ of a state, negative: B of B φ = μ K φ with μ = 1/λ.
struct Pushed<'s> {
    state: &'s State,
    /// Axial forces under this are round-off, N.
    least_n: f64,
}

impl<'s> Pushed<'s> {
    fn new(state: &'s State) -> Self {
        const ROUND_OFF: f64 = 1e-9;
        let largest = state.pieces.iter().fold(0.0_f64, |most, piece| most.max(largest_n(&piece.diagram)));
        Pushed { state, least_n: ROUND_OFF * largest }
    }

    fn axial_n(&self, fine: &Fine, piece: usize) -> f64 {
        let (whole, middle_mm) = fine.of_whole(piece);
        let axial_n = self.state.pieces[whole].diagram.at(middle_mm).n;
        if axial_n.abs() > self.least_n { axial_n } else { 0.0 }
    }
}

impl SecondMatrix for Pushed<'_> {
    fn of_piece(&self, fine: &Fine, piece: usize) -> Matrix12 {
        fine.system.pieces[piece].beam.geometric(-self.axial_n(fine, piece))
    }

    fn add_parts(&self, _: &Fine, _: &mut SymmetricMatrix) {}
}

impl Question for Pushed<'_> {
    fn interior(&self, fine: &Fine, piece: usize) -> Matrix12 {
        fine.system.pieces[piece].beam.interior_of_force(self.axial_n(fine, piece))
    }

    // 1/P = L²/4π²EI + 1/GA built in at both ends, L²/π²EI + 1/GA with joints.
    fn own(&self, fine: &Fine, piece: usize) -> f64 {
        let beam = &fine.system.pieces[piece].beam;
        let welded = fine.system.structure.pieces[piece].ends.iter().all(|end| end.joint.is_weld());
        let ends = if welded { 4.0 } else { 1.0 };
        let bending = beam.length_mm.powi(2) / (ends * PI.powi(2) * beam.eiy_nmm2.min(beam.eiz_nmm2));
        -self.axial_n(fine, piece) * (bending + 1.0 / beam.gay_n.min(beam.gaz_n))
    }
}

impl<'s> Screen<'s> {
    /// Cuts a structure so that it tells which of the cases, solved on it, buckle below `bound` times
    /// their load.
    ///
    /// # Errors
    /// Where the structure is not stiff.
    pub fn new(whole: &'s System, states: Vec<&'s State>, bound: f64) -> Result<Screen<'s>, NotFound> {
        let far = |piece: usize| states.iter().map(|state| way_to_buckling(whole, state, piece)).fold(0.0, f64::max);
        let varies = |piece: usize| states.iter().map(|state| pieces_for_change(state, piece)).max().unwrap_or(1);
        let counts = counts(whole, |piece| pieces_for((far(piece) * bound.sqrt()).min(SURE)).max(varies(piece)));
        let fine = Fine::new(whole, counts)?;
        let of_pull = (0..fine.system.pieces.len())
            .map(|at| {
                let piece = &fine.system.pieces[at];
                let mut blocks = Vec::with_capacity(3);
                let own = piece.joined.carried(&piece.beam.geometric(1.0));
                fine.system.each_block(at, &own, |row, column, block| blocks.push((row, column, block)));
                blocks
            })
            .collect();
        Ok(Screen { whole, states, bound, fine, of_pull })
    }

    /// How many load factors of each case lie below the bound, or hardly above it, by the signs of a factorisation.
    ///
    /// Kσ of a piece is its axial force times a matrix without negative eigenvalues, so that K + λ Kσ of a case is
    /// nowhere softer than the same under the hardest push that each piece has in any of several cases. Where that
    /// has positive pivots alone none of these cases has a factor there, and one factorisation tells it of all; where it
    /// has not, they are looked at in halves.
    ///
    /// # Errors
    /// For a case of which the digits do not tell.
    pub fn below(&self) -> Vec<Result<usize, NotFound>> {
        let pushed: Vec<Pushed<'_>> = self.states.iter().map(|state| Pushed::new(state)).collect();
        let mut counted = Vec::with_capacity(pushed.len());
        self.count(&pushed, &mut counted);
        counted
    }

    fn count(&self, cases: &[Pushed<'_>], counted: &mut Vec<Result<usize, NotFound>>) {
        match cases {
            [] => {}
            all if self.stands(all) => counted.extend(all.iter().map(|_| Ok(0))),
            [case] => {
                let count = self.fine.count(&self.fine.matrix(case), self.bound * WITHIN);
                counted.push(count.map(|(count, _)| count).ok_or(NotFound::NotAll));
            }
            several => {
                let (first, second) = several.split_at(several.len() / 2);
                self.count(first, counted);
                self.count(second, counted);
            }
        }
    }

    /// Whether the frame stands at the bound where each piece has the hardest push of some cases.
    fn stands(&self, cases: &[Pushed<'_>]) -> bool {
        let mut matrix = self.fine.system.matrix.clone();
        for (piece, blocks) in self.of_pull.iter().enumerate() {
            let n = cases.iter().map(|case| case.axial_n(&self.fine, piece)).fold(f64::INFINITY, f64::min);
            for (row, column, block) in blocks {
                matrix.add(*row, *column, &(block * (n * self.bound * WITHIN)));
            }
        }
        self.fine.is_positive(&matrix)
    }

    /// The lowest load factors of a case, as many as are wanted or as there are.
    ///
    /// # Errors
    /// Where they did not all come out.
    pub fn lowest(&self, case: usize, wanted: usize) -> Result<Buckling, NotFound> {
        let question = Pushed::new(self.states[case]);
        let cut = counts(self.whole, |piece| {
            let far = way_to_buckling(self.whole, question.state, piece) * self.bound.sqrt();
            pieces_for(far.min(SURE)).max(pieces_for_change(question.state, piece))
        });
        let Lowest { fine, found, counted } =
            lowest(self.whole, Fine::new(self.whole, cut)?, &question, wanted, self.bound)?;
        let modes = found
            .iter()
            .map(|found| {
                let (driving, pushes) = driving(&fine, &question, found);
                let shape = ModeShape::new(&fine, &found.unknowns);
                BucklingMode { factor: found.value, error: found.error, shape, driving, pushes }
            })
            .collect();
        Ok(Buckling { modes, counted })
    }
}

/// How far a piece is on its way to buckling alone: u = L √(N/EI) for its axial force and its weaker axis, as a
/// piece built in at both ends that would buckle as soon; with joints it does at half the length, and shear adds to it.
pub(super) fn way_to_buckling(whole: &System, state: &State, piece: usize) -> f64 {
    let beam = &whole.pieces[piece].beam;
    let diagram = &state.pieces[piece].diagram;
    let axial_n = largest_n(diagram);
    let is_welded = whole.structure.pieces[piece].ends.iter().all(|end| end.joint.is_weld());
    let ends = if is_welded { 1.0 } else { 4.0 };
    let bending = ends * beam.length_mm.powi(2) / beam.eiy_nmm2.min(beam.eiz_nmm2);
    (axial_n * (bending + 4.0 * PI.powi(2) / beam.gay_n.min(beam.gaz_n))).sqrt()
}

/// The larger axial force of both ends, N.
fn largest_n(diagram: &Diagram) -> f64 {
    diagram.first.n.abs().max(diagram.at(diagram.length_mm).n.abs())
}

/// Pieces that an axial force which changes along a piece asks for, since each piece of the cut takes that of its middle:
/// the error falls with the square of the count, and is under 0.1 % with these (a force that falls to nothing).
fn pieces_for_change(state: &State, piece: usize) -> usize {
    const FALLING_TO_NOTHING: f64 = 12.0;
    let diagram = &state.pieces[piece].diagram;
    let change = (diagram.load_n_mm.x * diagram.length_mm).abs();
    let part = change / largest_n(diagram).max(f64::MIN_POSITIVE);
    (FALLING_TO_NOTHING * part.min(1.0).sqrt()).ceil().max(1.0) as usize
}

fn pieces_for(far: f64) -> usize {
    (far / FAR).ceil().max(1.0) as usize
}

/// The work of each tube's axial force, over that of all pushes; and that.
fn driving(fine: &Fine, question: &Pushed<'_>, found: &Found) -> (Vec<f64>, f64) {
    let mut of_tube = fine.work_of_tubes(question, &found.unknowns);
    let pushes: f64 = of_tube.iter().filter(|work| **work > 0.0).sum();
    if pushes > 0.0 {
        of_tube.iter_mut().for_each(|work| *work /= pushes);
    }
    (of_tube, pushes)
}
