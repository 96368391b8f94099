//! Anti-roll bars: contributions of unit size, scaled by a condition on the answer.

use nalgebra::Vector3;

use super::{Cause, Contribution, Load, on_target};
use crate::car::bar_balance;
use crate::model::{Model, Target};
use crate::structure::Structure;

/// For each bar the forces of a tension of 1 N in its left link, on its feet and its bearings.
pub fn anti_roll(model: &Model, structure: &Structure) -> Vec<Contribution> {
    model
        .anti_roll
        .iter()
        .zip(&structure.bar_feet)
        .map(|(bar, feet)| {
            let balance = bar_balance(model, bar);
            let mut loads = Vec::new();
            for (place, side) in bar.sides.iter().enumerate() {
                loads.push(Load::OnPart {
                    part: feet[place],
                    at: side.foot,
                    force_n: balance.on_foot_n[place],
                    moment_nmm: Vector3::zeros(),
                });
                let bearing = Target::Anchor(side.bearing);
                loads.push(on_target(model, structure, bearing, balance.on_bearing_n[place], Vector3::zeros()));
            }
            Contribution { cause: Cause::AntiRoll(bar.axle), loads }
        })
        .collect()
}
