//! What is asked of a frame: load cases and limits.

use nalgebra::Vector3;

use super::Model;
use super::car::Wheel;
use super::file::ActsAt;
use super::frame::{Anchor, TubeRef};

/// Name of the case that the car stands still in.
pub const STANDING: &str = "standing";

/// A load case.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// The car's acceleration `[long, lat, vert]`, g.
    pub g: Option<[f64; 3]>,
    /// Whether wheel forces are left out altogether.
    pub no_wheels: bool,
    /// Wheel forces in place of the worked-out ones.
    pub wheels: Vec<(Wheel, GivenWheel)>,
    /// Which wheels make the longitudinal force, and how; `None`: as `long` has it.
    pub effort: Option<(Effort, Vec<Wheel>)>,
    /// Downforce of the front and the rear axle, N.
    pub air_n: [f64; 2],
    /// Forces, N.
    pub forces: Vec<(Target, Vector3<f64>)>,
    /// Moments, N·mm.
    pub moments: Vec<(Target, Vector3<f64>)>,
    /// Loads on the length of tubes, N/mm.
    pub line_loads: Vec<(TubeRef, Vector3<f64>)>,
    /// Movement of the ground side of mounts: index into [`Model::mounts`](super::Model::mounts), motion, mm or rad.
    pub moved: Vec<(usize, usize, f64)>,
    /// The jig's twist test.
    pub twist: Option<Twist>,
    /// Multiplies the finished loads.
    pub factor: f64,
    /// What counts as good enough in this case.
    pub limits: Limits,
}

impl Case {
    /// A case of nothing but accelerations `[long, lat, vert]` in g, if any.
    pub fn of(g: Option<[f64; 3]>, limits: Limits) -> Case {
        Case {
            g,
            no_wheels: false,
            wheels: Vec::new(),
            effort: None,
            air_n: [0.0; 2],
            forces: Vec::new(),
            moments: Vec::new(),
            line_loads: Vec::new(),
            moved: Vec::new(),
            twist: None,
            factor: 1.0,
            limits,
        }
    }
}

/// How wheels make a longitudinal force.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effort {
    /// By their brakes.
    Braked,
    /// By the engine.
    Driven,
}

/// A wheel force given in the file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GivenWheel {
    /// Force on the car, N.
    pub force_n: Vector3<f64>,
    /// Moment about the contact patch, N·mm; `None`: the trail's.
    pub moment_nmm: Option<Vector3<f64>>,
    /// Where its fx acts; `None`: as that wheel is braked or driven.
    pub acts: Option<ActsAt>,
    /// Whether it was a bare list.
    pub bare: bool,
}

/// What a force or a moment acts on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Target {
    /// A node or bracket.
    Anchor(Anchor),
    /// A body, at its centre of gravity; an index into [`Model::bodies`](super::Model::bodies).
    Body(usize),
}

/// The jig's twist test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Twist {
    /// First (up) and second (down) node.
    pub axle: [Anchor; 2],
    /// Moment, N·mm.
    pub moment_nmm: f64,
}

impl Twist {
    /// Distance of both nodes in y, mm.
    pub fn lever_mm(&self, model: &Model) -> f64 {
        let [first, second] = self.axle.map(|anchor| model.anchor_at(anchor).y);
        (first - second).abs()
    }

    /// The forces of the jig, N: up at the first node, down at the second, before the case's factor.
    pub fn forces(&self, model: &Model) -> [(Target, Vector3<f64>); 2] {
        let up = Vector3::z() * (self.moment_nmm / self.lever_mm(model));
        let [first, second] = self.axle.map(Target::Anchor);
        [(first, up), (second, -up)]
    }
}

/// What counts as good enough; `None`: not judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Margin on yield.
    pub yield_margin: Option<f64>,
    /// Margin of the column check.
    pub column_margin: Option<f64>,
    /// Margin on the frame's buckling load.
    pub buckling_margin: Option<f64>,
    /// Largest change of a pick-up's place, mm.
    pub pickup_move_mm: Option<f64>,
    /// Largest change of toe, degrees.
    pub toe_deg: Option<f64>,
    /// Largest change of camber, degrees.
    pub camber_deg: Option<f64>,
    /// Lowest natural frequency, Hz.
    pub frequency_hz: Option<f64>,
    /// Lowest twist stiffness, N·m/deg.
    pub twist_nm_deg: Option<f64>,
    /// Lives of `duty`.
    pub fatigue: Option<f64>,
}

/// Something that happens again and again: the frame goes from one case to another and back.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// The case that it starts from; `None`: the frame without load.
    pub from: Option<String>,
    /// The case that it goes to.
    pub to: String,
    /// How many times in one life.
    pub count: f64,
}
