//! The car: load transfer from its figures to the wheels, and what its corners as drawn tell.
//!
//! Reads the vehicle, a case and the drawn corners. Gives the force at every contact patch with
//! the arithmetic behind it ([`wheel_loads`]), the balance of an anti-roll bar ([`bar_balance`]), and
//! what can be read from a corner as drawn ([`geometry()`]). Leaves out stiffness and solving.

mod anti_roll;
mod enclosure;
mod geometry;
mod steering;
mod told;
mod transfer;
mod upright;
mod vehicle;
mod wheel_load;

pub use anti_roll::{BarBalance, bar_balance};
pub use enclosure::{ManoeuvreBox, NearlyStraight, enclosed};
pub use geometry::{Anti, Geometry, Rise, geometry};
pub use steering::{SteeringArm, SteeringAxis, is_rack, tie_rod};
pub use transfer::Transfer;
pub use upright::{Motion, rise, spring_shortens};
pub use vehicle::{acts, trail_moment, wheel_forces, wheel_loads};
pub use wheel_load::{Acts, WheelLoad, WheelLoads};
