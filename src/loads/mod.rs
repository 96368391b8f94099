//! One load case as named contributions: what acts, on what, and why.
//!
//! Reads a structure, a case and its wheel loads. Gives contributions ([`case_loads`]) such as
//! `front.l fx` or `weight of engine`, which add up to the case, and [`anti_roll`]: for each bar a
//! contribution of unit size that the solution itself scales. Leaves out stiffness.

mod anti_roll;
mod given;
mod inertia;
mod twist;
mod tyre;

pub use anti_roll::anti_roll;

use nalgebra::{Point3, Vector3};

use crate::car::WheelLoads;
use crate::model::{Case, Model, Target, TubeRef, Wheel};
use crate::structure::Structure;

/// Something that acts on the structure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Load {
    /// A force and a moment at a point of a part.
    OnPart {
        /// The part.
        part: usize,
        /// Where, mm.
        at: Point3<f64>,
        /// Force, N.
        force_n: Vector3<f64>,
        /// Moment, N·mm.
        moment_nmm: Vector3<f64>,
    },
    /// A uniform load on the length of a tube.
    OnTube {
        /// The tube.
        tube: usize,
        /// Load, N/mm, global axes.
        load_n_mm: Vector3<f64>,
    },
    /// The ground side of a mount moves.
    Moved {
        /// The mount, an index into [`Model::mounts`].
        mount: usize,
        /// Which of its motions: 0 to 2 the shifts along global x, y, z, 3 to 5 the turns about them.
        motion: usize,
        /// How far, mm, or rad right-handed.
        amount: f64,
    },
}

/// Why something acts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// The force of a tyre along x, y or z (0, 1, 2).
    Tyre(Wheel, usize),
    /// The torque of a wheel's shaft on the body that takes it, an index into [`Model::bodies`].
    Shaft(Wheel, usize),
    /// The moment of a tyre about its contact patch.
    TyreMoment(Wheel),
    /// Weight of a mass.
    Weight(Heavy),
    /// Inertia of a mass.
    Inertia(Heavy),
    /// A force given on a node or body.
    Force(Target),
    /// A moment given on a node or body.
    Moment(Target),
    /// A load given on the length of a tube.
    LineLoad(TubeRef),
    /// A mount, an index into [`Model::mounts`], whose ground side moves.
    Moved(usize),
    /// The twist test.
    Twist,
    /// The anti-roll bar of an axle (0 front, 1 rear).
    AntiRoll(usize),
}

/// What has mass.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Heavy {
    /// All tubes.
    Tubes,
    /// A body, an index into [`Model::bodies`].
    Body(usize),
    /// The unsprung mass of a wheel.
    Unsprung(Wheel),
}

/// Loads that act together, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Contribution {
    /// Why they act.
    pub cause: Cause,
    /// What acts.
    pub loads: Vec<Load>,
}

impl Load {
    /// The load times a factor; a movement of the ground is not multiplied.
    fn times(self, factor: f64) -> Load {
        match self {
            Load::OnPart { part, at, force_n, moment_nmm } => {
                Load::OnPart { part, at, force_n: force_n * factor, moment_nmm: moment_nmm * factor }
            }
            Load::OnTube { tube, load_n_mm } => Load::OnTube { tube, load_n_mm: load_n_mm * factor },
            moved @ Load::Moved { .. } => moved,
        }
    }
}

/// The loads of a case on a structure, multiplied by the case's factor.
pub fn case_loads(model: &Model, structure: &Structure, case: &Case, wheels: &WheelLoads) -> Vec<Contribution> {
    let mut contributions = Vec::new();
    tyre::add(model, structure, wheels, &mut contributions);
    if let Some(g) = case.g {
        inertia::add(model, structure, g, &mut contributions);
    }
    given::add(model, structure, case, &mut contributions);
    twist::add(model, structure, case, &mut contributions);
    for load in contributions.iter_mut().flat_map(|contribution| &mut contribution.loads) {
        *load = load.times(case.factor);
    }
    contributions
}

/// A force and a moment on a node, bracket or body, at its own place.
fn on_target(
    model: &Model,
    structure: &Structure,
    target: Target,
    force_n: Vector3<f64>,
    moment_nmm: Vector3<f64>,
) -> Load {
    let (part, at) = match target {
        Target::Anchor(anchor) => (structure.part_of(anchor), model.anchor_at(anchor)),
        Target::Body(body) => (structure.bodies[body], model.bodies[body].cg),
    };
    Load::OnPart { part, at, force_n, moment_nmm }
}
