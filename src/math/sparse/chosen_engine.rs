//! Which engine factorises a matrix.

use std::sync::Arc;

use super::block_factor::plan_blocks;
use super::block_plan::Fill;
use super::factor::{Engine, Plan};
use super::faer_engine::plan_unknowns;
use super::pattern::BlockPattern;

/// Chooses by the work that the plan predicts: our own engine where few blocks fill in, faer's where
/// products of large dense parts are most of the work.
#[derive(Debug, Clone, Copy, Default)]
pub struct ChosenEngine;

/// Products of blocks in one factorisation from which on faer is the faster (bench `solve`).
const MANY_PRODUCTS: usize = 500_000;

impl Engine for ChosenEngine {
    fn plan(&self, pattern: &Arc<BlockPattern>) -> Box<dyn Plan> {
        let fill = Fill::of(pattern);
        // The features force one engine, so that all tests can be run with either.
        let few = fill.n_products() < MANY_PRODUCTS;
        if cfg!(feature = "forced-blocks") || (few && !cfg!(feature = "forced-faer")) {
            plan_blocks(pattern, fill)
        } else {
            plan_unknowns(pattern, &fill.order)
        }
    }
}
