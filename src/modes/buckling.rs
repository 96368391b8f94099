//! At how many times its load a frame buckles: (K + λ Kσ) φ = 0, Kσ from the axial forces of the case.
//!
//! Source: Przemieniecki (1968), Theory of Matrix Structural Analysis, ch. 15. The part of bending
//! moments, shear forces and torque in Kσ is left out, and the result says so.

use std::f64::consts::PI;

use super::fine::{EQUAL, Fine, Found, Lowest, NotFound, Question, SecondMatrix, counts, lowest};
use super::pushes::{AxialForces, largest_n, own_push_n};
use super::shape::ModeShape;
use super::standing::standing;
use crate::beam::Matrix12;
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

/// The cases of a structure, to be told by whether they buckle below a bound.
pub struct Screen<'s> {
    whole: &'s System,
    states: Vec<&'s State>,
    bound: f64,
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
    forces: AxialForces<'s>,
}

impl<'s> Pushed<'s> {
    fn new(state: &'s State) -> Self {
        Pushed { forces: AxialForces::new(state) }
    }

    fn axial_n(&self, fine: &Fine, piece: usize) -> f64 {
        let (whole, middle_mm) = fine.of_whole(piece);
        self.forces.at(whole, middle_mm)
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

    fn own(&self, fine: &Fine, piece: usize) -> f64 {
        -self.axial_n(fine, piece) / own_push_n(&fine.system, piece)
    }
}

impl<'s> Screen<'s> {
    /// Of cases solved on a structure.
    pub fn new(whole: &'s System, states: Vec<&'s State>, bound: f64) -> Screen<'s> {
        Screen { whole, states, bound }
    }

    /// How many load factors of each case lie below the bound, or hardly above it, by the signs of a factorisation.
    ///
    /// # Errors
    /// For a case of which the digits do not tell; for all that do not stand by far where the structure is not stiff.
    pub fn below(&self) -> Vec<Result<usize, NotFound>> {
        let standing = standing(self.whole, &self.states, self.bound);
        let unsure = || standing.iter().zip(&self.states).filter(|(stands, _)| !**stands).map(|(_, state)| *state);
        let far = |piece: usize| unsure().map(|state| way_to_buckling(self.whole, state, piece)).fold(0.0, f64::max);
        let cut = unsure().next().map(|_| self.cut(|piece| far(piece) * self.bound.sqrt(), unsure));
        let count = |fine: &Fine, state| {
            let counted = fine.count(&fine.matrix(&Pushed::new(state)), self.bound * WITHIN);
            counted.map(|(count, _)| count).ok_or(NotFound::NotAll)
        };
        let below = |(stands, state): (&bool, &&'s State)| match &cut {
            Some(cut) if !stands => cut.as_ref().map_err(|why| *why).and_then(|fine| count(fine, state)),
            _ => Ok(0),
        };
        standing.iter().zip(&self.states).map(below).collect()
    }

    /// Cuts the structure as finely as some cases ask, each piece so far on its way to buckling at the bound.
    fn cut<C: Iterator<Item = &'s State>>(
        &self,
        far: impl Fn(usize) -> f64,
        cases: impl Fn() -> C,
    ) -> Result<Fine, NotFound> {
        let varies = |piece: usize| cases().map(|state| pieces_for_change(state, piece)).max().unwrap_or(1);
        Fine::new(self.whole, counts(self.whole, |piece| pieces_for(far(piece).min(SURE)).max(varies(piece))))
    }

    /// The lowest load factors of a case, as many as are wanted or as there are.
    ///
    /// # Errors
    /// Where they did not all come out.
    pub fn lowest(&self, case: usize, wanted: usize) -> Result<Buckling, NotFound> {
        let state = self.states[case];
        let question = Pushed::new(state);
        let far = |piece: usize| way_to_buckling(self.whole, state, piece) * self.bound.sqrt();
        let cut = self.cut(far, || std::iter::once(state))?;
        let Lowest { fine, found, counted } = lowest(self.whole, cut, &question, wanted, self.bound)?;
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
