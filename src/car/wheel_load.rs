//! What a wheel carries in a case. Axes ISO 8855; forces are on the car.

use nalgebra::Vector3;

use super::transfer::Transfer;

/// Where the longitudinal force of a wheel acts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Acts {
    /// At the contact patch: the torque goes through the upright.
    Patch,
    /// At the wheel centre, and the shaft takes the torque to a body.
    Shaft,
    /// At the wheel centre, without a torque: the wheel rolls, or is struck.
    WheelCentre,
}

/// The load of one wheel, before the case's factor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WheelLoad {
    /// Force on the car, N.
    pub force_n: Vector3<f64>,
    /// Moment about the contact patch, N·mm.
    pub moment_nmm: Vector3<f64>,
    /// Where fx acts.
    pub acts: Acts,
    /// Whether the file gives it, rather than the load transfer.
    pub given: bool,
}

/// The loads of all wheels in a case.
#[derive(Debug, Clone, PartialEq)]
pub struct WheelLoads {
    /// By [`crate::model::Wheel::place`]; `None`: nothing known of that wheel in this case.
    pub wheels: [Option<WheelLoad>; 4],
    /// The load transfer, where it was worked out.
    pub transfer: Option<Transfer>,
    /// What is odd.
    pub notes: Vec<String>,
}
