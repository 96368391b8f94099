//! Equilibrium on the deformed frame: (K + Kσ(N)) u = f, N the axial forces that come of u.
//!
//! Repeated until N settles. A negative pivot on the way says that the load is above the critical one.
//! Source: Livesley & Chandler (1956), Stability Functions for Structural Frameworks; with the geometric
//! stiffness of `beam::geometric`, the next term of the exact one (`beam::interior`), and tubes cut so that what
//! is left out is under 0.1 %.

use nalgebra::DMatrix;

use super::buckling::way_to_buckling;
use super::fine::counts;
use crate::math::{ChosenEngine, Engine};
use crate::solve::{RightSide, Solved, State, System, condition, error_bound};
use crate::structure::{Numbering, Structure};

/// How far a piece may be on its way to buckling alone, u = L √(N/EI): the moment between its ends is then 0.01 %
/// off, and the stiffness of its ends far less.
const FAR: f64 = 0.45;
/// A tube further on its way than this buckles whatever its ends do, and needs no finer cut to show it.
const SURE: f64 = 8.0;
/// Axial forces that change by less than this part of the largest, or by what is uncertain of them, have settled.
const SETTLED: f64 = 1e-10;
/// Most rounds.
const MOST_ROUNDS: usize = 60;

/// The answer of a case in equilibrium on the deformed frame.
pub struct Settled {
    /// The cut structure with the axial forces that came out.
    pub system: System,
    /// Its factor.
    pub solved: Solved,
    /// The right side on it.
    pub right: RightSide,
    /// Motions and forces.
    pub state: State,
    /// Backward error.
    pub residual: f64,
    /// For each piece of the cut the piece of the whole and where it begins on that, mm.
    pub of_whole: Vec<(usize, f64)>,
    /// Rounds until the axial forces had settled.
    pub rounds: usize,
    /// The last change of an axial force, over the largest.
    pub change: f64,
}

/// The frame does not carry the load: on the way to equilibrium it lost its stiffness, or the axial
/// forces did not settle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Collapses;

/// A structure cut for some of its cases.
pub struct Deformed {
    structure: Structure,
    numbering: Numbering,
    /// For each piece of the cut the piece of the whole and where it begins on that, mm.
    of_whole: Vec<(usize, f64)>,
}

impl Deformed {
    /// Cuts a structure so that each of these states can be solved on it.
    pub fn new(whole: &System, states: &[&State]) -> Self {
        let far = |piece: usize| states.iter().map(|state| way_to_buckling(whole, state, piece)).fold(0.0, f64::max);
        let counts = counts(whole, |piece| (far(piece).min(SURE) / FAR).ceil().max(1.0) as usize);
        let (structure, numbering) = whole.cut(&counts);
        let of_whole = counts
            .iter()
            .enumerate()
            .flat_map(|(piece, &count)| {
                let length_mm = whole.structure.pieces[piece].axes.length_mm;
                (0..count).map(move |at| (piece, length_mm * at as f64 / count as f64))
            })
            .collect();
        Self { structure, numbering, of_whole }
    }

    /// Solves a right side of the whole structure, from its first-order state on.
    ///
    /// # Errors
    /// Where the frame does not carry it.
    pub fn settle(&self, right: &RightSide, first_order: &State) -> Result<Settled, Collapses> {
        let middles = self.structure.pieces.iter().map(|piece| piece.axes.length_mm / 2.0);
        let mut axial_n: Vec<f64> = self
            .of_whole
            .iter()
            .zip(middles)
            .map(|((piece, start_mm), middle_mm)| first_order.pieces[*piece].diagram.at(start_mm + middle_mm).n)
            .collect();
        let plan = ChosenEngine.plan(&self.numbering.pattern);
        for rounds in 1..=MOST_ROUNDS {
            let system = System::under_axial_forces(self.structure.clone(), self.numbering.clone(), &axial_n);
            let Ok((factor, 0)) = plan.factor_and_count(&system.matrix) else { return Err(Collapses) };
            let condition = condition(&system.matrix, factor.as_ref());
            let solved = Solved { factor, condition };
            let right = system.right_side_on_cut(right);
            let (x, residuals) =
                solved.unknowns(&system, &DMatrix::from_columns(std::slice::from_ref(&right.unknowns)));
            let state = system.state(&right, &x.column(0).into_owned());
            let next: Vec<f64> = state
                .pieces
                .iter()
                .zip(&system.structure.pieces)
                .map(|(piece, drawn)| piece.diagram.at(drawn.axes.length_mm / 2.0).n)
                .collect();
            let largest = next.iter().chain(&axial_n).fold(0.0_f64, |most, n| most.max(n.abs()));
            let change = next.iter().zip(&axial_n).map(|(n, before)| (n - before).abs()).fold(0.0, f64::max);
            let change = if largest > 0.0 { change / largest } else { 0.0 };
            if !change.is_finite() {
                return Err(Collapses);
            }
            if change <= SETTLED.max(error_bound(residuals[0], condition)) {
                let of_whole = self.of_whole.clone();
                return Ok(Settled { system, solved, right, state, residual: residuals[0], of_whole, rounds, change });
            }
            axial_n = next;
        }
        Err(Collapses)
    }
}
