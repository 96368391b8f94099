//! The car: load transfer from its figures to the wheels, and what its corners are made of.
//!
//! Reads the vehicle, a case and the drawn corners. Gives the force at every contact patch with
//! the arithmetic behind it ([`wheel_loads`]), and the balance of an anti-roll bar
//! ([`bar_balance`]). Leaves out stiffness and solving.

mod anti_roll;
mod vehicle;

pub use anti_roll::{BarBalance, bar_balance};
pub use vehicle::{Acts, Transfer, WheelLoad, WheelLoads, wheel_loads};
