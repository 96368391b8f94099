//! The axial forces of a case, and the push under which a piece gives way by itself.

use std::f64::consts::PI;

use crate::beam::Diagram;
use crate::solve::{State, System};

/// The axial forces of a state, round-off taken as none.
pub(super) struct AxialForces<'s> {
    state: &'s State,
    /// Forces under this are round-off, N.
    least_n: f64,
}

impl<'s> AxialForces<'s> {
    pub(super) fn new(state: &'s State) -> Self {
        const ROUND_OFF: f64 = 1e-9;
        let largest = state.pieces.iter().fold(0.0_f64, |most, piece| most.max(largest_n(&piece.diagram)));
        AxialForces { state, least_n: ROUND_OFF * largest }
    }

    /// At a place of a piece, N, tension positive.
    pub(super) fn at(&self, piece: usize, at_mm: f64) -> f64 {
        let axial_n = self.state.pieces[piece].diagram.at(at_mm).n;
        if axial_n.abs() > self.least_n { axial_n } else { 0.0 }
    }

    /// The hardest push along a piece, N: at one of its ends, since loads along it are uniform; 0 where nothing pushes
    /// it.
    pub(super) fn hardest_push_n(&self, piece: usize) -> f64 {
        let length_mm = self.state.pieces[piece].diagram.length_mm;
        [0.0, length_mm].into_iter().map(|at_mm| -self.at(piece, at_mm)).fold(0.0, larger_or_nan)
    }
}

/// The larger of two; what is no number stays none.
pub(super) fn larger_or_nan(one: f64, other: f64) -> f64 {
    if other <= one { one } else { other }
}

/// The larger axial force of both ends, N.
pub(super) fn largest_n(diagram: &Diagram) -> f64 {
    diagram.first.n.abs().max(diagram.at(diagram.length_mm).n.abs())
}

/// A push under which a piece does not give way by itself, its nodes held, N.
///
/// ```text
/// 1/P = L²/4π²EI + 1/GA    built in at both ends        1/P = L²/π²EI + 1/GA    with joints
/// ```
/// Source: Timoshenko and Gere (1961), Theory of Elastic Stability, ch. 2.
pub(super) fn own_push_n(system: &System, piece: usize) -> f64 {
    let beam = &system.pieces[piece].beam;
    let is_welded = system.structure.pieces[piece].ends.iter().all(|end| end.joint.is_weld());
    let ends = if is_welded { 4.0 } else { 1.0 };
    let bending = beam.length_mm.powi(2) / (ends * PI.powi(2) * beam.eiy_nmm2.min(beam.eiz_nmm2));
    (bending + 1.0 / beam.gay_n.min(beam.gaz_n)).recip()
}
