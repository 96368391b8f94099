//! The shape of a mode: how points move, and which tubes and bodies take part.

use nalgebra::{DVector, Point3, Vector3, Vector6};

use super::fine::Fine;
use crate::beam::{Diagram, Vector12};
use crate::math::larger_than;
use crate::structure::{PartKind, Structure};

/// Movement of a point of a mode: shift and turn, in the mode's own scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moving {
    /// Shift, mm.
    pub shift: Vector3<f64>,
    /// Turn, rad.
    pub turn: Vector3<f64>,
}

/// The shape of a mode, scaled so that the largest shift of a tube, node or body is 1 mm.
#[derive(Debug, Clone, PartialEq)]
pub struct ModeShape {
    /// Motions of each part of the structure at its origin, mm and rad.
    pub parts: Vec<Vector6<f64>>,
    /// For each tube of the structure: distance from its first end (mm) and shift of its axis (mm), from end
    /// to end.
    pub tubes: Vec<Vec<(f64, Vector3<f64>)>>,
    /// For each tube of the structure its part of the strain energy of all tubes.
    pub strain: Vec<f64>,
}

/// Places on a piece of the cut at which its shape is kept.
const PLACES: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];

impl ModeShape {
    /// The shape of some unknowns.
    pub(super) fn new(fine: &Fine, unknowns: &DVector<f64>) -> ModeShape {
        let (system, structure) = (&fine.system, &fine.system.structure);
        let parts = system.motions_of_parts(unknowns);
        let mut tubes: Vec<Vec<(f64, Vector3<f64>)>> = vec![Vec::new(); structure.tubes.len()];
        let mut strain = vec![0.0; structure.tubes.len()];
        for (at, drawn) in structure.pieces.iter().enumerate() {
            let (piece, motions) = (&system.pieces[at], system.motions_of_piece(at, &parts));
            strain[drawn.tube] += motions.dot(&(piece.joined.node() * motions));
            let ends = piece.joined.tube_motions(&motions, &Vector12::zeros());
            let forces = piece.joined.tube * ends;
            let diagram = Diagram::from_end_forces(&forces, Vector3::zeros(), drawn.axes.length_mm);
            for part in PLACES {
                let x_mm = part * drawn.axes.length_mm;
                let shift = drawn.axes.rotation.transpose() * diagram.shift(&piece.beam, &ends, x_mm);
                tubes[drawn.tube].push((drawn.start_mm + x_mm, shift));
            }
        }
        let all: f64 = strain.iter().sum();
        if all > 0.0 {
            strain.iter_mut().for_each(|of_tube| *of_tube /= all);
        }
        let mut shape = ModeShape { parts, tubes, strain };
        shape.scale(structure);
        // What was cut has its parts after those of the structure, which keep their places.
        shape.parts.truncate(fine.n_parts());
        shape
    }

    /// Brings the largest shift to 1 mm; its largest component becomes positive.
    fn scale(&mut self, structure: &Structure) {
        let anchors = structure.anchor_points().map(|(part, at)| self.moving(structure, part, &at).shift);
        let bodies = structure.bodies.iter().map(|part| self.parts[*part].fixed_rows::<3>(0).into_owned());
        let shifts = anchors.chain(bodies).chain(self.tubes.iter().flatten().map(|(_, shift)| *shift));
        let largest =
            shifts.fold(
                Vector3::zeros(),
                |largest: Vector3<f64>, next| {
                    if larger_than(next.norm(), largest.norm()) { next } else { largest }
                },
            );
        let size = largest.norm();
        if size == 0.0 {
            return;
        }
        let times = if largest[largest.iamax()] < 0.0 { -1.0 / size } else { 1.0 / size };
        self.parts.iter_mut().for_each(|six| *six *= times);
        self.tubes.iter_mut().flatten().for_each(|(_, shift)| *shift *= times);
    }

    /// Movement of a point of a part of the structure.
    pub fn moving(&self, structure: &Structure, part: usize, at: &Point3<f64>) -> Moving {
        let six = structure.parts[part].carry(at) * self.parts[part];
        Moving { shift: six.fixed_rows::<3>(0).into_owned(), turn: six.fixed_rows::<3>(3).into_owned() }
    }

    /// Shift of the axis of a tube at a distance from its first end, mm.
    pub fn shift_along(&self, tube: usize, at_mm: f64) -> Vector3<f64> {
        let places = &self.tubes[tube];
        let next = places.iter().position(|(place, _)| *place >= at_mm).unwrap_or(places.len() - 1);
        let ((from_mm, from), (to_mm, to)) = (places[next.saturating_sub(1)], places[next]);
        let part = if to_mm > from_mm { (at_mm - from_mm) / (to_mm - from_mm) } else { 1.0 };
        from + (to - from) * part.clamp(0.0, 1.0)
    }

    /// The direction (0 to 2: along x, y, z) that most of the movement of some tubes has.
    pub fn direction(&self, tubes: impl Iterator<Item = usize>) -> usize {
        let mut squares = Vector3::zeros();
        for tube in tubes {
            for (_, shift) in &self.tubes[tube] {
                squares += shift.component_mul(shift);
            }
        }
        squares.imax()
    }
}

/// The parts of a structure that are bodies: part, body.
pub(super) fn bodies(fine: &Fine) -> impl Iterator<Item = (usize, usize)> {
    fine.system.structure.parts.iter().enumerate().filter_map(|(at, part)| match part.kind {
        PartKind::Body(body) => Some((at, body)),
        PartKind::Frame | PartKind::Upright(_) => None,
    })
}
