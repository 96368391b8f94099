//! Forces of the tyres on the uprights, and the torque of shafts on the body that takes it.

use nalgebra::Vector3;

use super::{Cause, Contribution, Load};
use crate::car::{Acts, WheelLoads};
use crate::model::Model;
use crate::structure::Structure;

/// A contribution for each component of each modelled wheel.
pub(super) fn add(model: &Model, structure: &Structure, wheels: &WheelLoads, contributions: &mut Vec<Contribution>) {
    let body = model.bodies.values().position(|body| body.takes_drive_torque);
    for (&upright, corner) in structure.uprights.iter().zip(&model.corners) {
        let Some(load) = wheels.wheels[corner.wheel.place()] else {
            continue;
        };
        for axis in 0..3 {
            let size = load.force_n[axis];
            if size == 0.0 {
                continue;
            }
            let force_n = Vector3::ith(axis, size);
            let at_centre = axis == 0 && load.acts != Acts::Patch;
            let at = if at_centre { corner.wheel_centre } else { corner.contact_patch };
            let on_upright = Load::OnPart { part: upright, at, force_n, moment_nmm: Vector3::zeros() };
            contributions.push(Contribution { cause: Cause::Tyre(corner.wheel, axis), loads: vec![on_upright] });
            if axis == 0
                && load.acts == Acts::Shaft
                && let Some(body) = body
            {
                let radius = corner.wheel_centre.z - corner.contact_patch.z;
                let on_body = Load::OnPart {
                    part: structure.bodies[body],
                    at: model.bodies[body].cg,
                    force_n: Vector3::zeros(),
                    moment_nmm: Vector3::new(0.0, -size * radius, 0.0),
                };
                contributions.push(Contribution { cause: Cause::Shaft(corner.wheel, body), loads: vec![on_body] });
            }
        }
        if load.moment_nmm != Vector3::zeros() {
            let load = Load::OnPart {
                part: upright,
                at: corner.contact_patch,
                force_n: Vector3::zeros(),
                moment_nmm: load.moment_nmm,
            };
            contributions.push(Contribution { cause: Cause::TyreMoment(corner.wheel), loads: vec![load] });
        }
    }
}
