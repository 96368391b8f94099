//! Numbers without mechanics: sparse symmetric systems, roots, small linear algebra.
//!
//! Reads patterns and matrices; gives factorisations behind one small trait ([`Engine`], [`Plan`],
//! [`Factor`]), condition estimates, real roots, null spaces, the largest of values. Names nothing of frames.

mod condition;
mod elimination;
mod equal;
mod factor;
mod faer_engine;
mod near;
mod null_space;
mod pattern;
mod roots;

pub use condition::inverse_norm_1;
pub use elimination::{Elimination, eliminate};
pub use equal::{larger_than, largest, largest_first};
pub use factor::{Engine, Factor, NotPositive, Plan};
pub use faer_engine::FaerEngine;
pub use near::assert_near;
pub use null_space::{column_space, null_space};
pub use pattern::{BlockPattern, SymmetricMatrix};
pub use roots::real_roots;
