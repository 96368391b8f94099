//! Sparse symmetric systems of blocks: patterns, matrices, factorisations, residuals.
//!
//! A matrix has a [`BlockPattern`]; an [`Engine`] looks at the pattern once and gives a [`Plan`], and
//! the plan factorises every matrix of the pattern. [`ChosenEngine`] takes the engine that the plan
//! predicts to be the faster: [`BlockEngine`], our own, or [`FaerEngine`].

#![expect(clippy::needless_range_loop, reason = "formulas of matrices are read by their indices")]

mod block_factor;
mod block_plan;
mod chosen_engine;
mod condition;
mod factor;
mod faer_engine;
mod ordering;
mod panel;
mod pattern;
mod residual;

pub use block_factor::BlockEngine;
pub use chosen_engine::ChosenEngine;
pub use condition::inverse_norm_1;
pub use factor::{Engine, Factor, NoPivot, NotPositive, Plan};
pub use faer_engine::FaerEngine;
pub use pattern::{BLOCK, Block, BlockPattern, SymmetricMatrix};
