//! The answer for one right side: motions of parts, forces in tubes, ties and springs.

use nalgebra::{Matrix3, Vector3, Vector6};

use super::assemble::System;
use crate::beam::{Diagram, Vector12};
use crate::structure::{Direction, Origin, Structure, Tube};

/// The state of one piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PieceState {
    /// Forces on the tube's ends, local axes, N and N·mm.
    pub end_forces: Vector12,
    /// Motions of the tube's own ends, local axes, mm and rad.
    pub tube_motions: Vector12,
    /// Uniform load, local axes, N/mm.
    pub load_n_mm: Vector3<f64>,
    /// Internal forces along it.
    pub diagram: Diagram,
}

/// The answer for one right side.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// Motions of each part at its origin, mm and rad.
    pub parts: Vec<Vector6<f64>>,
    /// State of each piece.
    pub pieces: Vec<PieceState>,
    /// Force that each tie's holder exerts on its part, N or N·mm, in the tie's direction.
    pub ties: Vec<f64>,
    /// Force that each spring's holder exerts on its part, N or N·mm, in its direction.
    pub springs: Vec<f64>,
    /// What is told from round-off.
    pub least: RoundOff,
    /// Out-of-balance of the whole and of each part, over the largest end force.
    pub balance: f64,
    /// The part of which a held turn would have to carry a moment, if one would; of several the one with the largest.
    pub unheld: Option<usize>,
}

/// The least force and the least moment that are told from round-off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoundOff {
    /// N.
    pub force_n: f64,
    /// N·mm.
    pub moment_nmm: f64,
}

impl State {
    /// Motion of a point of a part: shift (mm) and turn (rad).
    pub fn motion(&self, system: &System, part: usize, at: &nalgebra::Point3<f64>) -> (Vector3<f64>, Vector3<f64>) {
        let six = system.structure.parts[part].carry(at) * self.parts[part];
        (six.fixed_rows::<3>(0).into_owned(), six.fixed_rows::<3>(3).into_owned())
    }

    /// Where each piece of a tube begins, mm from the tube's first end, and its internal forces.
    pub fn diagrams<'s>(&'s self, structure: &'s Structure, tube: &Tube) -> impl Iterator<Item = (f64, Diagram)> + 's {
        tube.pieces.clone().map(|piece| (structure.pieces[piece].start_mm, self.pieces[piece].diagram))
    }

    /// What the holders of ties and springs of one origin do to the part that they hold: force (N)
    /// and moment (N·mm) at the place of the origin.
    pub fn held_by(&self, system: &System, origin: Origin) -> (Vector3<f64>, Vector3<f64>) {
        let (mut force, mut moment) = (Vector3::zeros(), Vector3::zeros());
        let mut add = |direction: &Direction, size: f64| match direction {
            Direction::Shift(d) => force += d * size,
            Direction::Turn(d) => moment += d * size,
        };
        for (tie, size) in system.numbering.ties.iter().zip(&self.ties).filter(|(tie, _)| tie.origin == origin) {
            add(&tie.direction, *size);
        }
        for (spring, size) in
            system.structure.springs.iter().zip(&self.springs).filter(|(spring, _)| spring.origin == origin)
        {
            add(&spring.direction, *size);
        }
        (force, moment)
    }

    /// Force and moment that an end of a piece exerts on its part, at that end, global axes.
    pub fn on_part(&self, rotation: &Matrix3<f64>, piece: usize, end: usize) -> (Vector3<f64>, Vector3<f64>) {
        let forces = &self.pieces[piece].end_forces;
        let force: Vector3<f64> = forces.fixed_rows::<3>(6 * end).into_owned();
        let moment: Vector3<f64> = forces.fixed_rows::<3>(6 * end + 3).into_owned();
        (-(rotation.transpose() * force), -(rotation.transpose() * moment))
    }
}
