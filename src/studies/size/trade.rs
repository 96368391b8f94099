//! Mass against twist stiffness: the lightest design for each stiffness that is reached.
//!
//! Each point is the lightest design, under all other limits, that is stiffer than the one before by a step at least;
//! the first has no limit of stiffness. It is a search of its own, and as sure as that.

use super::{Sizing, size};
use crate::model::{Fault, Model};
use crate::path;
use crate::run::Checked;
use crate::studies::Watch;
use crate::studies::divided::Here;

/// A point of the curve.
pub struct TradePoint {
    /// The lowest stiffness of the twist tests, N·m/deg.
    pub twist_nm_deg: f64,
    /// The least stiffness that was asked for; `None`: whatever it is.
    pub at_least_nm_deg: Option<f64>,
    /// The search.
    pub sizing: Sizing,
}

/// The lowest stiffness of all twist tests, at every position of the adjusters, N·m/deg.
pub fn twist_nm_deg(checked: &Checked) -> Option<f64> {
    let positions = checked.positions.iter().flat_map(|positions| positions.named().map(|(_, checked)| checked));
    let tests = std::iter::once(checked).chain(positions).flat_map(|checked| checked.outcome.twist.values());
    tests.filter_map(|test| test.stiffness_nm_deg).reduce(f64::min)
}

/// The curve from the lightest design on, each point stiffer than the one before by `step`, a part of it.
///
/// # Errors
/// No twist test; all faults of [`size`].
pub fn against_twist(model: &Model, step: f64, at_most: u64, watch: &Watch<'_>) -> Result<Vec<TradePoint>, Vec<Fault>> {
    if model.cases.values().all(|case| case.twist.is_none()) {
        let fault = Fault::new(path!["cases"], "no case has a twist test: there is no stiffness to hold mass against");
        let hint = "such as \"twist test\": {\"twist\": {\"axle\": [left node, right node], \"moment\": 1000}}";
        return Err(vec![fault.hint(hint)]);
    }
    let mut points = Vec::new();
    let mut at_least_nm_deg = None;
    loop {
        let Some(sizing) = size(&asked_for(model, at_least_nm_deg), at_most, watch, &Here)? else { break };
        let reached = sizing.best.as_ref().and_then(|best| twist_nm_deg(&best.checked));
        let Some(twist_nm_deg) = reached else { break };
        points.push(TradePoint { twist_nm_deg, at_least_nm_deg, sizing });
        if (watch.ends)() {
            break;
        }
        at_least_nm_deg = Some(twist_nm_deg * (1.0 + step));
    }
    Ok(points)
}

/// The model with this limit of its twist tests in place of its own.
fn asked_for(model: &Model, at_least_nm_deg: Option<f64>) -> Model {
    let mut model = model.clone();
    let put = |model: &mut Model| {
        for case in model.cases.values_mut().filter(|case| case.twist.is_some()) {
            case.limits.twist_nm_deg = at_least_nm_deg;
        }
    };
    put(&mut model);
    model.positions.iter_mut().for_each(|position| put(&mut position.model));
    model
}
