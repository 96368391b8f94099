//! A straight stretch of tube by the force method: unit loads, integrated, and inverted.

use nalgebra::{Matrix3, Matrix6, Vector3, Vector6};

use super::section::{Figures, gauss};

/// A straight stretch of tube, held at its first end and free at its second.
///
/// Its six forces are what acts on the second end in local axes; its six deformations are how the
/// second end moves against the first. Both are (x, y, z, about x, about y, about z).
#[derive(Debug, Clone)]
pub(super) struct Piece {
    pub(super) length_mm: f64,
    /// Local axes as rows.
    pub(super) axes: Matrix3<f64>,
    /// Forces from deformations: the flexibility, inverted.
    pub(super) stiffness: Matrix6<f64>,
    pub(super) figures: Figures,
}

/// Internal forces so far from the second end, from the forces on that end:
/// everything beyond a section acts on it, moments with their arm.
fn carried_back(forces: &Vector6<f64>, from_end_mm: f64) -> Vector6<f64> {
    let [n, vy, vz, t, my, mz] = forces.data.0[0];
    Vector6::new(n, vy, vz, t, my - vz * from_end_mm, mz + vy * from_end_mm)
}

/// The same from a uniform load (N/mm, local axes) between the section and the second end.
fn under_load(load: &Vector3<f64>, from_end_mm: f64) -> Vector6<f64> {
    let (force, arm) = (load * from_end_mm, 0.5 * from_end_mm);
    Vector6::new(force.x, force.y, force.z, 0.0, -force.z * arm, force.y * arm)
}

impl Figures {
    /// Strains of a section from its internal forces.
    fn strains(&self, forces: &Vector6<f64>) -> Vector6<f64> {
        let per = [
            1.0 / self.ea_n,
            self.per_shear[0],
            self.per_shear[1],
            1.0 / self.gj_nmm2,
            1.0 / self.ei_nmm2[0],
            1.0 / self.ei_nmm2[1],
        ];
        Vector6::from(per).component_mul(forces)
    }
}

impl Piece {
    pub(super) fn new(length_mm: f64, axes: Matrix3<f64>, figures: Figures) -> Piece {
        let mut flexibility = Matrix6::zeros();
        for (at, weight) in gauss(0.0, length_mm) {
            for (column, unit) in Matrix6::identity().column_iter().enumerate() {
                let strains = figures.strains(&carried_back(&unit.into_owned(), length_mm - at));
                for (row, other) in Matrix6::identity().column_iter().enumerate() {
                    let virtual_forces = carried_back(&other.into_owned(), length_mm - at);
                    flexibility[(row, column)] += weight * virtual_forces.dot(&strains);
                }
            }
        }
        let stiffness = flexibility.cholesky().expect("a flexibility is positive").inverse();
        Piece { length_mm, axes, stiffness, figures }
    }

    /// Deformations under a uniform load (N/mm, local axes) with nothing on the second end.
    pub(super) fn deformation_under(&self, load: &Vector3<f64>) -> Vector6<f64> {
        let mut sum = Vector6::zeros();
        for (at, weight) in gauss(0.0, self.length_mm) {
            let strains = self.figures.strains(&under_load(load, self.length_mm - at));
            for (row, unit) in Matrix6::identity().column_iter().enumerate() {
                sum[row] += weight * carried_back(&unit.into_owned(), self.length_mm - at).dot(&strains);
            }
        }
        sum
    }

    /// Internal forces at a distance from the first end: n, vy, vz, t, my, mz.
    pub(super) fn internal(&self, forces: &Vector6<f64>, load: &Vector3<f64>, at_mm: f64) -> Vector6<f64> {
        carried_back(forces, self.length_mm - at_mm) + under_load(load, self.length_mm - at_mm)
    }
}
