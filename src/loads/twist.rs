//! The jig's twist test.

use nalgebra::Vector3;

use super::{Cause, Contribution, on_target};
use crate::model::{Case, Model, Target};
use crate::structure::Structure;

/// Moment ÷ distance in y, up at the first node and down at the second.
pub(super) fn add(model: &Model, structure: &Structure, case: &Case, contributions: &mut Vec<Contribution>) {
    let Some(twist) = &case.twist else { return };
    let [first, second] = twist.axle;
    let distance = (model.anchor_at(first).y - model.anchor_at(second).y).abs();
    let up = Vector3::new(0.0, 0.0, twist.moment_nmm / distance);
    let loads = vec![
        on_target(model, structure, Target::Anchor(first), up, Vector3::zeros()),
        on_target(model, structure, Target::Anchor(second), -up, Vector3::zeros()),
    ];
    contributions.push(Contribution { cause: Cause::Twist, loads });
}
