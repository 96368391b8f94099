//! One straight beam: its axes, stiffness, joints, loads, internal forces, shape and peak stress.
//!
//! Reads end places, a section, a material, joints, a uniform load. Gives matrices in the order
//! `[ux uy uz rx ry rz]` at the first end, then at the second, and diagrams along the beam.
//! Leaves out names of nodes, supports, cases.
//!
//! Signs: local x runs from the first end to the second; right-handed axes; internal forces act
//! on the face whose outward normal is +x, tension positive; angles by the right hand. Units mm,
//! N, N·mm, MPa, rad; mass in tonnes here ([`mass`]) and in kg everywhere else.

mod axes;
mod diagram;
mod geometric;
mod interior;
mod joint;
pub mod mass;
mod peak;
mod plane;
mod stiffness;
mod worst_angle;

pub use axes::{Axes, VERTICAL_WITHIN_DEG, is_near_vertical};
pub use diagram::Diagram;
pub use joint::{Flex, Joined, Joint};
pub use peak::{Peak, end_peaks, peak, worst_fibre};
pub use stiffness::{Beam, uniform_load};

/// A vector of the twelve motions or forces of both ends.
pub type Vector12 = nalgebra::SVector<f64, 12>;
/// A matrix on the twelve motions of both ends.
pub type Matrix12 = nalgebra::SMatrix<f64, 12, 12>;
