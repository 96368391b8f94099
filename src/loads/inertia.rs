//! Weight and inertia of tubes, bodies and unsprung masses.

use nalgebra::{Point3, Vector3};

use super::{Cause, Contribution, Heavy, Load};
use crate::beam::mass::{force_n, line_load_n_mm};
use crate::model::Model;
use crate::structure::Structure;

/// Each kilogram is loaded with −long·g, −lat·g (inertia) and −vert·g (weight).
pub(super) fn add(model: &Model, structure: &Structure, g: [f64; 3], contributions: &mut Vec<Contribution>) {
    let weight = Vector3::new(0.0, 0.0, -g[2]);
    let inertia = Vector3::new(-g[0], -g[1], 0.0);
    for (accel_g, cause) in [(weight, Cause::Weight as fn(Heavy) -> Cause), (inertia, Cause::Inertia)] {
        if accel_g == Vector3::zeros() {
            continue;
        }
        let tubes = structure
            .tubes
            .iter()
            .enumerate()
            .filter(|(_, tube)| tube.size.is_some())
            .map(|(at, tube)| {
                let load_n_mm =
                    accel_g.map(|accel| line_load_n_mm(tube.properties.area_mm2, tube.material.density_kg_m3, accel));
                Load::OnTube { tube: at, load_n_mm }
            })
            .collect();
        contributions.push(Contribution { cause: cause(Heavy::Tubes), loads: tubes });
        for (at, body) in model.bodies.values().enumerate() {
            let load = on_mass(structure.bodies[at], body.cg, body.mass_kg, &accel_g);
            contributions.push(Contribution { cause: cause(Heavy::Body(at)), loads: vec![load] });
        }
        for (&upright, corner) in
            structure.uprights.iter().zip(&model.corners).filter(|(_, corner)| corner.unsprung_kg > 0.0)
        {
            let load = on_mass(upright, corner.wheel_centre, corner.unsprung_kg, &accel_g);
            contributions.push(Contribution { cause: cause(Heavy::Unsprung(corner.wheel)), loads: vec![load] });
        }
    }
}

fn on_mass(part: usize, at: Point3<f64>, mass_kg: f64, accel_g: &Vector3<f64>) -> Load {
    Load::OnPart { part, at, force_n: accel_g.map(|accel| force_n(mass_kg, accel)), moment_nmm: Vector3::zeros() }
}
