//! What holds parts together and can be taken apart: rod-ends and bolts.

use nalgebra::Vector3;

use crate::section::{BoltClass, Thread};

/// A rod-end, its thread along the tube.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RodEnd {
    /// Thread of the shank.
    pub thread: Thread,
    /// From the centre of the ball to where the shank is held, mm.
    pub stick_out_mm: f64,
    /// The maker's static figure in the plane of the ring, N.
    pub rated_n: f64,
    /// Yield strength of the shank, MPa.
    pub yield_mpa: Option<f64>,
}

/// The bolts of a mount.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bolts {
    /// Thread.
    pub thread: Thread,
    /// Property class.
    pub class: BoltClass,
    /// How many.
    pub count: u8,
    /// The distance over which a moment levers, mm.
    pub pitch_mm: Option<f64>,
    /// Their direction, a unit vector.
    pub along: Option<Vector3<f64>>,
}
