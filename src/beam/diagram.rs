//! Internal forces and deflected shape along one beam.

use nalgebra::Vector3;

use super::{Beam, Vector12};
use crate::section::InternalForces;

/// Internal forces along a beam under a uniform load: axial and shear forces are linear, bending
/// moments quadratic, the torque is constant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Diagram {
    /// Internal forces at the first end.
    pub first: InternalForces,
    /// Uniform load in local axes, N/mm.
    pub load_n_mm: Vector3<f64>,
    /// Length, mm.
    pub length_mm: f64,
}

impl Diagram {
    /// From the forces that the first end of the tube feels, in local axes.
    pub fn from_end_forces(forces: &Vector12, load_n_mm: Vector3<f64>, length_mm: f64) -> Self {
        let first = InternalForces {
            n: -forces[0],
            vy: -forces[1],
            vz: -forces[2],
            t: -forces[3],
            my: -forces[4],
            mz: -forces[5],
        };
        Self { first, load_n_mm, length_mm }
    }

    /// Internal forces at the distance `x_mm` from the first end.
    ///
    /// ```text
    /// n' = −qx    vy' = −qy    vz' = −qz    mz' = −vy    my' = +vz
    /// ```
    pub fn at(&self, x_mm: f64) -> InternalForces {
        let (f, q, x) = (&self.first, &self.load_n_mm, x_mm);
        InternalForces {
            n: f.n - q.x * x,
            vy: f.vy - q.y * x,
            vz: f.vz - q.z * x,
            t: f.t,
            my: f.my + f.vz * x - q.z * x * x / 2.0,
            mz: f.mz - f.vy * x + q.y * x * x / 2.0,
        }
    }

    /// Movement of the axis at `x_mm`, local axes, from the motions of the tube's own first end.
    ///
    /// Source: integration of the beam equations (Timoshenko) from the first end.
    pub fn shift(&self, beam: &Beam, first_end: &Vector12, x_mm: f64) -> Vector3<f64> {
        let (f, q, x) = (&self.first, &self.load_n_mm, x_mm);
        let d = first_end;
        let u = d[0] + (f.n * x - q.x * x * x / 2.0) / beam.ea_n;
        let v = d[1]
            + d[5] * x
            + (f.mz * x.powi(2) / 2.0 - f.vy * x.powi(3) / 6.0 + q.y * x.powi(4) / 24.0) / beam.eiz_nmm2
            + (f.vy * x - q.y * x * x / 2.0) / beam.gay_n;
        let w = d[2]
            - d[4] * x
            - (f.my * x.powi(2) / 2.0 + f.vz * x.powi(3) / 6.0 - q.z * x.powi(4) / 24.0) / beam.eiy_nmm2
            + (f.vz * x - q.z * x * x / 2.0) / beam.gaz_n;
        Vector3::new(u, v, w)
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Joined, Joint, uniform_load};
    use super::*;

    #[test]
    fn the_shape_from_the_first_end_arrives_at_the_second() {
        let beam =
            Beam { length_mm: 600.0, ea_n: 3e6, gj_nmm2: 1e8, eiy_nmm2: 4e8, eiz_nmm2: 5e8, gay_n: 2e5, gaz_n: 3e5 };
        let load = Vector3::new(0.4, -0.7, 1.1);
        let f = uniform_load(&load, beam.length_mm);
        let motions = Vector12::from_fn(|row, _| (row as f64 * 1.7).sin() * 0.01);
        let joined = Joined::new(beam.stiffness(), &Joint::WELD, &Joint::WELD);
        let forces = joined.end_forces(&motions, &f);
        let diagram = Diagram::from_end_forces(&forces, load, beam.length_mm);
        let arrived = diagram.shift(&beam, &motions, beam.length_mm);
        let expected = Vector3::new(motions[6], motions[7], motions[8]);
        assert!((arrived - expected).amax() < 1e-12, "{arrived} {expected}");
        let end = diagram.at(beam.length_mm);
        for (inside, outside) in [(end.n, 6), (end.vy, 7), (end.vz, 8), (end.t, 9), (end.my, 10), (end.mz, 11)] {
            assert!((inside - forces[outside]).abs() < 1e-9 * forces.amax(), "{inside} {}", forces[outside]);
        }
    }
}
