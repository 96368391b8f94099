//! The shape of a mode: how points move, and which tubes and bodies take part.

use nalgebra::{DVector, Vector3, Vector6};

use super::fine::Fine;
use crate::beam::{Diagram, Vector12};
use crate::structure::{PartKind, TubeName};

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
    /// Nodes, then brackets.
    pub anchors: Vec<Moving>,
    /// Bodies, at their centres of gravity.
    pub bodies: Vec<Moving>,
    /// For each tube of the structure: distance from its first end (mm) and shift of its axis (mm), from end
    /// to end.
    pub tubes: Vec<Vec<(f64, Vector3<f64>)>>,
    /// For each tube of the structure its name.
    pub names: Vec<TubeName>,
    /// For each tube of the structure its part of the strain energy of all tubes.
    pub strain: Vec<f64>,
}

/// Places on a piece of the cut at which its shape is kept.
const PLACES: [f64; 3] = [0.0, 0.5, 1.0];

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
        let moving = |part: usize, six: &Vector6<f64>, at: &nalgebra::Point3<f64>| {
            let six = structure.parts[part].carry(at) * six;
            Moving { shift: six.fixed_rows::<3>(0).into_owned(), turn: six.fixed_rows::<3>(3).into_owned() }
        };
        let anchors = structure.anchor_points().map(|(part, at)| moving(part, &parts[part], &at)).collect();
        let bodies =
            structure.bodies.iter().map(|part| moving(*part, &parts[*part], &structure.parts[*part].origin)).collect();
        let mut shape =
            ModeShape { anchors, bodies, tubes, names: structure.tubes.iter().map(|tube| tube.name).collect(), strain };
        shape.scale();
        shape
    }

    /// Brings the largest shift to 1 mm; its largest component becomes positive.
    fn scale(&mut self) {
        let points = self.anchors.iter().chain(&self.bodies).map(|moving| moving.shift);
        let shifts = points.chain(self.tubes.iter().flatten().map(|(_, shift)| *shift));
        let largest =
            shifts.fold(
                Vector3::zeros(),
                |largest: Vector3<f64>, next| {
                    if next.norm() > largest.norm() * (1.0 + 1e-9) { next } else { largest }
                },
            );
        let size = largest.norm();
        if size == 0.0 {
            return;
        }
        let times = if largest[largest.iamax()] < 0.0 { -1.0 / size } else { 1.0 / size };
        for moving in self.anchors.iter_mut().chain(&mut self.bodies) {
            moving.shift *= times;
            moving.turn *= times;
        }
        self.tubes.iter_mut().flatten().for_each(|(_, shift)| *shift *= times);
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
