//! What a frame is made of: nodes, brackets, tubes, mounts and bodies.

use nalgebra::{Point3, Vector3};

use super::fastener::Bolts;
use crate::beam::Joint;

/// A node of the frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Node {
    /// Place, mm.
    pub at: Point3<f64>,
    /// Reported as a pick-up even if no corner part is attached.
    pub pickup: bool,
}

/// A node or a bracket: what things are attached to and loaded at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Anchor {
    /// An index into [`Model::nodes`](super::Model::nodes).
    Node(usize),
    /// An index into [`Model::brackets`](super::Model::brackets).
    Bracket(usize),
}

/// A point held rigidly to tubes or to a node.
#[derive(Debug, Clone, PartialEq)]
pub struct Bracket {
    /// Place, mm.
    pub at: Point3<f64>,
    /// What holds it.
    pub on: BracketFoot,
}

/// What a bracket is welded to.
#[derive(Debug, Clone, PartialEq)]
pub enum BracketFoot {
    /// A node, an index into [`Model::nodes`](super::Model::nodes).
    Node(usize),
    /// One tube, or several that a rigid plate ties.
    Tubes(Vec<TubeRef>),
}

/// A tube of the frame or of a corner.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TubeRef {
    /// An index into [`Model::members`](super::Model::members).
    Member(usize),
    /// A tube of a corner.
    Corner {
        /// An index into [`Model::corners`](super::Model::corners).
        corner: usize,
        /// An index into [`Corner::tube_names`](super::Corner::tube_names).
        tube: usize,
    },
}

/// A tube of the frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// The nodes it runs through, its ends first and last.
    pub nodes: Vec<Anchor>,
    /// Its size, an index into [`Model::tubes`](super::Model::tubes).
    pub tube: usize,
    /// Radius of its bends to the centre line, mm.
    pub bend_radius_mm: Option<f64>,
    /// Where its own ends lie, if not at their nodes, mm.
    pub end_at: [Option<Point3<f64>>; 2],
    /// Length for the column check, mm.
    pub column_length_mm: Option<f64>,
    /// Which way local y and z point.
    pub orientation: Orientation,
    /// How its ends are joined to their nodes.
    pub joints: [Joint; 2],
    /// Whether a weld is at each end (joined by `weld`, `rate` or `tube-on-tube`).
    pub welded: [bool; 2],
    /// Whether each end is asked to turn as a tube on a tube does; its joint here is then a weld.
    pub tube_on_tube: [bool; 2],
    /// Its welds: its own keys, else the file's.
    pub weld: WeldKeys,
}

/// What the file says of welds.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct WeldKeys {
    /// Throat, mm; `None`: by the section.
    pub throat_mm: Option<f64>,
    /// Tensile strength of the filler, of aluminium that of the weld metal, MPa.
    pub filler_ultimate_mpa: Option<f64>,
}

/// Which way local y and z of a tube point.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Orientation {
    /// Direction that z points to.
    pub up: Option<Vector3<f64>>,
    /// Turn of y and z about the tube's own axis, rad.
    pub roll_rad: f64,
}

/// How one motion is held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Held {
    /// Not at all.
    Free,
    /// Rigidly.
    Fixed,
    /// By a rate above 0: N/mm for a shift, N·mm/rad for a turn.
    Rate(f64),
}

/// How the six motions `x y z rx ry rz` (global) of a node are held.
pub type Hold = [Held; 6];

/// `one bolt`: three shifts held.
pub const ONE_BOLT: Hold = [Held::Fixed, Held::Fixed, Held::Fixed, Held::Free, Held::Free, Held::Free];
/// `bolted pad`: all six held.
pub const BOLTED_PAD: Hold = [Held::Fixed; 6];

/// Names of the six motions, as in the file.
pub const MOTIONS: [&str; 6] = ["x", "y", "z", "rx", "ry", "rz"];

/// Where the ground holds the frame, and how.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mount {
    /// Where.
    pub at: Anchor,
    /// How.
    pub hold: Hold,
    /// Whether the file says `one bolt` or `bolted pad`, and no rates.
    pub in_a_word: bool,
    /// With which bolts.
    pub bolts: Option<Bolts>,
}

/// A rigid mass.
#[derive(Debug, Clone, PartialEq)]
pub struct Body {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Centre of gravity, mm.
    pub cg: Point3<f64>,
    /// Moments of inertia about the centre of gravity, kg·m²; nothing uses them before vibration is worked
    /// out.
    pub inertia_kg_m2: Option<[f64; 3]>,
    /// How it holds the frame.
    pub mounts: Vec<BodyMount>,
    /// Inboard brake or drive torque goes into it.
    pub takes_drive_torque: bool,
}

/// Where a body holds the frame, and how.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BodyMount {
    /// Where.
    pub at: Anchor,
    /// How.
    pub hold: BodyHold,
    /// Whether the file says `one bolt` or `bolted pad`, and no rates.
    pub in_a_word: bool,
    /// With which bolts.
    pub bolts: Option<Bolts>,
}

/// How a body holds a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BodyHold {
    /// By direction.
    Directions(Hold),
    /// The node is part of the body.
    Rides,
    /// The three shifts, and the turn about this line (unit vector) between the two clamps.
    Clamp(Vector3<f64>),
}
