//! The model taken apart for the solver: rigid parts, pieces of tube between them, ties, springs.
//!
//! Reads a model; gives a [`Structure`] for a purpose (with or without the corners) and its
//! [`Numbering`]: what moves with what, and which unknowns are left. Leaves out loads and results.
//!
//! What is rigid together (a node, its brackets, plates, feet that coincide) is one [`Part`] with
//! six motions. Bodies and uprights are parts too. Every other rigid connection (a mount, a body
//! mount, the ball of an upright) is a [`Tie`]: one condition on the motions of a part of the
//! frame and of what holds it. A part of the frame depends on the ground, a body or an upright,
//! never the other way round.

mod build;
mod chords;
mod cut;
mod feet;
mod holding;
mod numbering;
mod tube_on_tube;
mod union;

use nalgebra::{Matrix3, Matrix6, Point3, Vector3, Vector6};

use crate::beam::{Axes, Flex, Joint};
use crate::model::{Anchor, Model, TubeRef};
use crate::section::{Material, Properties};

pub use build::build;
pub use chords::{Beside, Chord, NoChord, Onto, STRAIGHT_WITHIN_DEG, WeldedEnd, beside, welded_ends};
pub use numbering::{Group, Numbering, PartMotion, Ring, number};
pub use tube_on_tube::{TurningRates, tube_on_tube, turning_rates};
pub use union::Union;

/// What a structure is built for. No tube is cut in either, see [`Structure::cut`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// Everything that carries: forces and movements.
    Statics,
    /// The frame on its mounts, with the bodies, without the corners: how it vibrates. On springs held
    /// at their drawn length a wheel's frequency would be fiction.
    Vibration,
}

/// The model taken apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Structure {
    /// What moves as one.
    pub parts: Vec<Part>,
    /// Tubes and springs.
    pub tubes: Vec<Tube>,
    /// Straight beams between parts, in the order of their tubes.
    pub pieces: Vec<Piece>,
    /// Rigid conditions.
    pub ties: Vec<Tie>,
    /// Elastic connections.
    pub springs: Vec<Spring>,
    /// For every node, then every bracket: the part that it belongs to.
    anchors: Vec<usize>,
    /// The places of the same, mm.
    places: Vec<Point3<f64>>,
    n_nodes: usize,
    /// The part of each body.
    pub bodies: Vec<usize>,
    /// The part of each corner's upright.
    pub uprights: Vec<usize>,
    /// The parts that hold the left and the right link of each anti-roll bar.
    pub bar_feet: Vec<[usize; 2]>,
}

/// What a part is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PartKind {
    /// Of the frame, or of an arm.
    Frame,
    /// A body, an index into [`Model::bodies`].
    Body(usize),
    /// An upright, an index into [`Model::corners`].
    Upright(usize),
}

/// Something rigid.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What it is.
    pub kind: PartKind,
    /// The point that its motions `[ux uy uz rx ry rz]` are those of, mm.
    pub origin: Point3<f64>,
    /// The nodes and brackets in it.
    pub anchors: Vec<Anchor>,
}

/// A tube of the model, or a spring.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TubeName {
    /// A tube.
    Tube(TubeRef),
    /// The spring of a corner, an index into [`Model::corners`].
    Spring(usize),
}

/// A tube from end to end.
#[derive(Debug, Clone, PartialEq)]
pub struct Tube {
    /// Which.
    pub name: TubeName,
    /// The section's figures.
    pub properties: Properties,
    /// Material.
    pub material: Material,
    /// Its size, an index into [`Model::tubes`]; `None`: a spring.
    pub size: Option<usize>,
    /// Its pieces, from the first end to the second.
    pub pieces: std::ops::Range<usize>,
    /// Length along the axis, mm.
    pub length_mm: f64,
    /// Where it is welded: distance from the first end, mm, rising.
    pub welds_mm: Vec<f64>,
    /// How its own ends are joined.
    pub joints: [Joint; 2],
    /// Whether a weld is at each of its own ends.
    pub welded: [bool; 2],
}

impl Tube {
    /// The piece at its first (0) or second (1) end.
    pub fn piece_at_end(&self, end: usize) -> usize {
        if end == 0 { self.pieces.start } else { self.pieces.end - 1 }
    }
}

/// One straight beam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// Its tube.
    pub tube: usize,
    /// Where it begins on its tube, mm.
    pub start_mm: f64,
    /// Local axes and length.
    pub axes: Axes,
    /// First and second end.
    pub ends: [PieceEnd; 2],
}

/// An end of a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PieceEnd {
    /// The part it is joined to.
    pub part: usize,
    /// Where, mm.
    pub at: Point3<f64>,
    /// How.
    pub joint: Joint,
}

/// One direction of motion of a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Direction {
    /// Along a unit vector.
    Shift(Vector3<f64>),
    /// About a unit vector.
    Turn(Vector3<f64>),
}

/// What a tie or a spring belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// A mount of the ground, an index into [`Model::mounts`].
    Mount(usize),
    /// A mount of a body: indices into [`Model::bodies`] and its mounts.
    BodyMount(usize, usize),
    /// The ball of an arm on its upright, an index into [`Model::corners`].
    Ball(usize),
    /// The joint of a tube (an index into [`Structure::tubes`]) at its first or second end.
    Joint(usize, usize),
    /// A turn that nothing needs to resist, held.
    HeldTurn,
    /// A part that nothing carries once the corners are taken off, held.
    LeftOut,
}

/// A rigid condition: a part and what holds it have the same motion in one direction at a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tie {
    /// The part that is held.
    pub part: usize,
    /// What holds it; `None`: the ground.
    pub holder: Option<usize>,
    /// Where, mm.
    pub at: Point3<f64>,
    /// In which direction.
    pub direction: Direction,
    /// What it belongs to.
    pub origin: Origin,
    /// Which motion of its origin this is: 0 to 2 the shifts along x, y, z, 3 to 5 the turns about
    /// them; global axes, of a tube's joint the tube's local ones. 3 of a clamp is the turn about the
    /// line between both, 3 of a held turn any turn.
    pub motion: usize,
}

/// An elastic connection of a part and what holds it, in one direction at a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spring {
    /// The part.
    pub part: usize,
    /// What holds it; `None`: the ground.
    pub holder: Option<usize>,
    /// Where, mm.
    pub at: Point3<f64>,
    /// In which direction.
    pub direction: Direction,
    /// Rate: N/mm or N·mm/rad.
    pub rate: f64,
    /// What it belongs to.
    pub origin: Origin,
    /// Which motion of its origin this is, counted as in [`Tie::motion`].
    pub motion: usize,
}

impl Direction {
    /// The motion of a point in this direction, from the motions of its part: a row of six.
    pub fn row(&self, arm: &Vector3<f64>) -> Vector6<f64> {
        match self {
            // d · (u + θ × arm) = d · u + (arm × d) · θ
            Direction::Shift(d) => {
                let turn = arm.cross(d);
                Vector6::new(d.x, d.y, d.z, turn.x, turn.y, turn.z)
            }
            Direction::Turn(d) => Vector6::new(0.0, 0.0, 0.0, d.x, d.y, d.z),
        }
    }
}

impl Part {
    /// The motions of a point of the part from those of its origin: 6 × 6.
    pub fn carry(&self, at: &Point3<f64>) -> Matrix6<f64> {
        let arm = at - self.origin;
        let mut carry = Matrix6::identity();
        // u = u₀ + θ × arm = u₀ − [arm]× θ
        carry.fixed_view_mut::<3, 3>(0, 3).copy_from(&(-arm.cross_matrix()));
        carry
    }
}

/// Motions in local axes from global ones: both shifts and turns.
pub fn into_axes(rotation: &Matrix3<f64>) -> Matrix6<f64> {
    let mut both = Matrix6::zeros();
    both.fixed_view_mut::<3, 3>(0, 0).copy_from(rotation);
    both.fixed_view_mut::<3, 3>(3, 3).copy_from(rotation);
    both
}

impl Structure {
    /// The part that a node or bracket belongs to.
    pub fn part_of(&self, anchor: Anchor) -> usize {
        match anchor {
            Anchor::Node(at) => self.anchors[at],
            Anchor::Bracket(at) => self.anchors[self.n_nodes + at],
        }
    }

    /// The parts that hold nodes and brackets, with their places.
    pub fn anchor_points(&self) -> impl Iterator<Item = (usize, Point3<f64>)> {
        self.anchors.iter().copied().zip(self.places.iter().copied())
    }

    /// Whether a tube is free to turn about itself, because neither end carries torque.
    pub fn spins(&self, tube: usize) -> bool {
        self.tubes[tube].joints.iter().all(|joint| joint.t == Flex::Free)
    }

    /// A tube of the model.
    pub fn tube(&self, name: TubeName) -> Option<usize> {
        self.tubes.iter().position(|tube| tube.name == name)
    }

    /// The place at a distance along a tube, and the piece it is on.
    pub fn along(&self, tube: &Tube, at_mm: f64) -> (usize, Point3<f64>) {
        let piece =
            tube.pieces.clone().rev().find(|piece| self.pieces[*piece].start_mm <= at_mm).unwrap_or(tube.pieces.start);
        let drawn = &self.pieces[piece];
        (piece, drawn.ends[0].at + drawn.axes.x() * (at_mm - drawn.start_mm))
    }

    /// Name of a tube in results.
    pub fn tube_name(&self, model: &Model, tube: usize) -> String {
        match self.tubes[tube].name {
            TubeName::Tube(name) => model.tube_name(name),
            TubeName::Spring(corner) => format!("{}/spring", model.corners[corner].wheel.name()),
        }
    }
}
