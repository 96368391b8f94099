//! What an axial force does to the bending stiffness of one beam.

use super::Matrix12;
use super::plane::{Bending, Plane};
use super::stiffness::Beam;

impl Beam {
    /// Geometric stiffness of an axial force (N, tension positive), local axes: 12 × 12, symmetric.
    ///
    /// Consistent with the shape of the beam under end loads, shear flexibility included. Of moments,
    /// torque and shear forces the part is left out, and so is that of the axial force on the twist
    /// (Wagner), which matters for open sections.
    ///
    /// ```text
    /// N/(L (1+Φ)²) · [ 6/5+2Φ+Φ²   L/10                     −(6/5+2Φ+Φ²)   L/10                  ]
    ///                [             L² (2/15+Φ/6+Φ²/12)      −L/10         −L² (1/30+Φ/6+Φ²/12)   ]
    /// ```
    /// Source: Przemieniecki (1968), Theory of Matrix Structural Analysis, ch. 15; with shear by the
    /// same integral ∫ N v'² over the shape functions of a Timoshenko beam.
    pub fn geometric(&self, n_n: f64) -> Matrix12 {
        let mut k = Matrix12::zeros();
        Bending::AboutZ.add(&mut k, &plane(n_n, self.phi_z(), self.length_mm));
        Bending::AboutY.add(&mut k, &plane(n_n, self.phi_y(), self.length_mm));
        k
    }
}

fn plane(n: f64, phi: f64, l: f64) -> Plane {
    let c = n / (l * (1.0 + phi).powi(2));
    let s = c * (6.0 / 5.0 + 2.0 * phi + phi * phi);
    let d = c * l / 10.0;
    let near = c * l * l * (2.0 / 15.0 + phi / 6.0 + phi * phi / 12.0);
    let far = -c * l * l * (1.0 / 30.0 + phi / 6.0 + phi * phi / 12.0);
    [[s, d, -s, d], [d, near, -d, far], [-s, -d, s, -d], [d, far, -d, near]]
}

#[cfg(test)]
mod tests {
    use super::super::Vector12;
    use super::*;
    use crate::math::assert_near;

    fn beam(shear: f64) -> Beam {
        Beam { length_mm: 800.0, ea_n: 3e7, gj_nmm2: 2e9, eiy_nmm2: 4e9, eiz_nmm2: 5e9, gay_n: shear, gaz_n: shear }
    }

    #[test]
    fn a_beam_that_leans_as_a_straight_line_feels_its_axial_force_across() {
        let lean = Vector12::from_column_slice(&[0., 0., 0., 0., 0., 1e-3, 0., 0.8, 0., 0., 0., 1e-3]);
        let forces = beam(1e5).geometric(500.0) * lean;
        assert_near(forces[7], 500.0 * 1e-3, 1e-12);
        assert_near(forces[1], -500.0 * 1e-3, 1e-12);
        assert!(forces[5].abs() < 1e-12 && forces[11].abs() < 1e-12);
    }

    #[test]
    fn one_cantilever_of_one_piece_buckles_within_a_percent_of_euler() {
        let b = beam(f64::INFINITY);
        let free = |m: Matrix12| m.fixed_view::<6, 6>(6, 6).into_owned();
        let (k, g) = (free(b.stiffness()), free(b.geometric(-1.0)));
        let least = (-(k.try_inverse().unwrap() * g)).complex_eigenvalues().iter().map(|v| v.re).fold(0.0, f64::max);
        let euler = std::f64::consts::PI.powi(2) * 4e9 / (4.0 * 800.0_f64.powi(2));
        assert_near(1.0 / least / euler, 1.0075, 1e-3); // formulas for one piece: +0.75 %
    }

    #[test]
    fn a_beam_that_is_shifted_feels_nothing_of_its_axial_force_and_its_matrix_is_symmetric() {
        let k = beam(1e5).geometric(500.0);
        assert_eq!(k, k.transpose());
        for across in [1, 2] {
            let shifted = Vector12::from_fn(|row, _| if row % 6 == across { 1.0 } else { 0.0 });
            assert!((k * shifted).amax() < 1e-12 * k.amax(), "{}", k * shifted);
        }
    }
}
