//! The jig's twist test.

use nalgebra::Vector3;

use super::{Cause, Contribution, on_target};
use crate::model::{Case, Model};
use crate::structure::Structure;

/// The forces of the jig on both nodes.
pub(super) fn add(model: &Model, structure: &Structure, case: &Case, contributions: &mut Vec<Contribution>) {
    let Some(twist) = &case.twist else { return };
    let forces = twist.forces(model).into_iter();
    let loads = forces.map(|(node, force_n)| on_target(model, structure, node, force_n, Vector3::zeros())).collect();
    contributions.push(Contribution { cause: Cause::Twist, loads });
}
