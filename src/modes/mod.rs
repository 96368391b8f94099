//! How a frame gives way as a whole, and how it vibrates.
//!
//! Reads a solved structure and the axial forces of a case. Gives load factors ([`Screen`]) and
//! natural frequencies ([`vibration`]) with their shapes, and the answer of a case in equilibrium on
//! the deformed frame ([`Deformed`]). Leaves out limits and wording.
//!
//! Tubes are cut here, as finely as the answer needs, and nowhere else; a cut is never seen outside.
//! Eigenpairs are those of K⁻¹(−Kσ) and of K⁻¹M, so that one factor of K serves both; how many there
//! must be is told by the negative pivots of K + λKσ and of K − ω²M (Sylvester).

mod buckling;
mod fine;
mod lateral;
mod pushes;
mod second_order;
mod shape;
mod standing;
mod vibration;

pub use buckling::{Buckling, BucklingMode, Screen};
pub use fine::NotFound;
pub use lateral::{LateralBuckling, LateralFactor, lateral_buckling};
pub use second_order::{Collapses, Deformed, Settled};
pub use shape::{ModeShape, Moving};
pub use vibration::{Vibration, VibrationMode, vibration};
