//! Stiffness of one beam and the end loads of a uniform load, in its own axes.

use std::f64::consts::PI;

use nalgebra::Vector3;

use super::plane::{Bending, Plane};
use super::{Matrix12, Vector12};

/// A straight beam of constant section: what its stiffness depends on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beam {
    /// Length, mm.
    pub length_mm: f64,
    /// Axial stiffness EA, N.
    pub ea_n: f64,
    /// Torsional stiffness GJ, N·mm².
    pub gj_nmm2: f64,
    /// Bending stiffness in the x–z plane EIy, N·mm².
    pub eiy_nmm2: f64,
    /// Bending stiffness in the x–y plane EIz, N·mm².
    pub eiz_nmm2: f64,
    /// Shear stiffness along y, N; infinite: no shear flexibility.
    pub gay_n: f64,
    /// Shear stiffness along z, N; infinite: no shear flexibility.
    pub gaz_n: f64,
}

impl Beam {
    /// Shear parameter of bending in the x–y plane, Φz = 12 EIz / (G·As,y·L²).
    pub fn phi_z(&self) -> f64 {
        12.0 * self.eiz_nmm2 / (self.gay_n * self.length_mm.powi(2))
    }

    /// Shear parameter of bending in the x–z plane, Φy = 12 EIy / (G·As,z·L²).
    pub fn phi_y(&self) -> f64 {
        12.0 * self.eiy_nmm2 / (self.gaz_n * self.length_mm.powi(2))
    }

    /// Stiffness in local axes: 12 × 12, symmetric, exact for loads at the ends.
    ///
    /// Source: Przemieniecki (1968), Theory of Matrix Structural Analysis, ch. 5 (Timoshenko beam).
    pub fn stiffness(&self) -> Matrix12 {
        let mut k = Matrix12::zeros();
        let mut pair = |i: usize, j: usize, value: f64| {
            k[(i, i)] = value;
            k[(j, j)] = value;
            k[(i, j)] = -value;
            k[(j, i)] = -value;
        };
        pair(0, 6, self.ea_n / self.length_mm);
        pair(3, 9, self.gj_nmm2 / self.length_mm);
        Bending::AboutZ.add(&mut k, &bending(self.eiz_nmm2, self.phi_z(), self.length_mm));
        Bending::AboutY.add(&mut k, &bending(self.eiy_nmm2, self.phi_y(), self.length_mm));
        k
    }

    /// Push at which the beam gives way sideways between pinned ends, N, about the axis where that is less:
    /// P = P_E / (1 + P_E / G·As) with P_E = π² EI / L².
    ///
    /// Source: Timoshenko & Gere (1961), Theory of Elastic Stability, 2.17 (from memory); after Engesser (1891).
    pub fn pinned_buckling_n(&self) -> f64 {
        let of_axis = |ei: f64, gas_n: f64| {
            let euler_n = PI * PI * ei / (self.length_mm * self.length_mm);
            euler_n / (1.0 + euler_n / gas_n)
        };
        of_axis(self.eiy_nmm2, self.gaz_n).min(of_axis(self.eiz_nmm2, self.gay_n))
    }
}

fn bending(ei: f64, phi: f64, l: f64) -> Plane {
    let c = ei / (l.powi(3) * (1.0 + phi));
    let (s, d) = (12.0 * c, 6.0 * l * c);
    let (near, far) = ((4.0 + phi) * l * l * c, (2.0 - phi) * l * l * c);
    [[s, d, -s, d], [d, near, -d, far], [-s, -d, s, -d], [d, far, -d, near]]
}

/// Work-equivalent end loads (N, N·mm) of a uniform load (N/mm, local axes) on a beam of this length.
///
/// Half of the load at each end and ±wL²/12, whatever the shear flexibility.
/// Source: Przemieniecki (1968), ch. 5.
pub fn uniform_load(load_n_mm: &Vector3<f64>, length_mm: f64) -> Vector12 {
    let half = load_n_mm * (length_mm / 2.0);
    let turn = length_mm * length_mm / 12.0;
    let (mz, my) = (load_n_mm.y * turn, -load_n_mm.z * turn);
    Vector12::from_column_slice(&[half.x, half.y, half.z, 0.0, my, mz, half.x, half.y, half.z, 0.0, -my, -mz])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::assert_near;

    fn beam(shear: f64) -> Beam {
        Beam { length_mm: 800.0, ea_n: 3e7, gj_nmm2: 2e9, eiy_nmm2: 4e9, eiz_nmm2: 5e9, gay_n: shear, gaz_n: shear }
    }

    #[test]
    fn a_rigid_motion_costs_nothing() {
        let k = beam(1e6).stiffness();
        let l = 800.0;
        for (motion, scale) in [
            (Vector12::from_column_slice(&[0., 0., 0., 0., 0., 1., 0., l, 0., 0., 0., 1.]), 1.0),
            (Vector12::from_column_slice(&[0., 0., 0., 0., 1., 0., 0., 0., -l, 0., 1., 0.]), 1.0),
            (Vector12::from_column_slice(&[1., 2., 3., 1., 0., 0., 1., 2., 3., 1., 0., 0.]), 1.0),
        ] {
            assert!((k * motion).amax() < 1e-6 * scale, "{}", k * motion);
        }
    }

    #[test]
    fn a_pinned_strut_gives_way_about_its_weaker_axis_at_eulers_load_less_the_part_of_shear() {
        // EIz 5e9 is more than EIy here; by hand for L = 800.
        let euler = |ei: f64| 9.869_604_401 * ei / 640_000.0;
        let stiff = beam(f64::INFINITY);
        assert_near(stiff.pinned_buckling_n(), euler(stiff.eiy_nmm2.min(stiff.eiz_nmm2)), 1e-9);
        // As soft in shear as its load is large: half of it.
        let soft = Beam { eiy_nmm2: 1e12, eiz_nmm2: 5e9, gay_n: euler(5e9), ..stiff };
        assert_near(soft.pinned_buckling_n(), euler(5e9) / 2.0, 1e-9);
    }

    #[test]
    fn a_cantilever_tip_moves_by_bending_and_shear() {
        let b = beam(1e6);
        let k = b.stiffness();
        let free = k.fixed_view::<6, 6>(6, 6).into_owned();
        let tip = free.try_inverse().unwrap() * nalgebra::Vector6::new(0.0, 100.0, 0.0, 0.0, 0.0, 0.0);
        assert_near(tip[1], 100.0 * 800.0_f64.powi(3) / (3.0 * 5e9) + 100.0 * 800.0 / 1e6, 1e-12);
    }
}
