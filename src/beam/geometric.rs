//! What the forces in one beam do to its stiffness.

use super::plane::{Bending, Plane};
use super::stiffness::Beam;
use super::{Matrix12, Vector12};
use crate::section::InternalForces;

impl Beam {
    /// Geometric stiffness of an axial force (N, tension positive), local axes: 12 × 12, symmetric.
    ///
    /// Consistent with the shape of the beam under end loads, shear flexibility included. The part of moments,
    /// torque and shear forces is [`geometric_of_bending`](Beam::geometric_of_bending); that of the axial force on the
    /// twist (Wagner), which matters for open sections, is left out.
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

    /// Geometric stiffness of moments, torque and shear forces, those in the middle of the beam; local axes: 12 × 12,
    /// symmetric. Moments change along the beam as the shear forces have it.
    ///
    /// The second-order work of the forces on the turns θ = (φ, −w', v'), each a part of one rotation vector, so that
    /// moments at nodes and where tubes meet at an angle need nothing more:
    ///
    /// ```text
    /// ∫ [ −½ M·(θ × θ') + ½ φ (Vy w' − Vz v') ] dx        M = (T, My, Mz), My' = Vz, Mz' = −Vy
    /// ```
    /// v, w cubic and φ linear between the ends, without shear flexibility. Source: the second variation of the work of
    /// the internal forces with rotation vectors; between held ends by parts the same as −φ'(My v' + Mz w') +
    /// φ (Vy w' − Vz v') of McGuire, Gallagher & Ziemian, ch. 9 (from memory).
    pub fn geometric_of_bending(&self, middle: &InternalForces) -> Matrix12 {
        // Two points are exact for all of it, which is of the third degree.
        let gauss = 0.5 / 3.0_f64.sqrt();
        let l = self.length_mm;
        let mut k = Matrix12::zeros();
        for xi in [0.5 - gauss, 0.5 + gauss] {
            let from_middle_mm = (xi - 0.5) * l;
            let my = middle.my + middle.vz * from_middle_mm;
            let mz = middle.mz - middle.vy * from_middle_mm;
            let Turns { phi, dphi, dv, ddv, dw, ddw } = Turns::at(xi, l);
            let weight = 0.5 * l;
            for (times, one, other) in [
                (-0.5 * my, &dv, &dphi),
                (0.5 * my, &phi, &ddv),
                (-0.5 * mz, &dw, &dphi),
                (0.5 * mz, &phi, &ddw),
                (0.5 * middle.vy, &phi, &dw),
                (-0.5 * middle.vz, &phi, &dv),
                (-0.5 * middle.t, &dv, &ddw),
                (0.5 * middle.t, &dw, &ddv),
            ] {
                k += (one * other.transpose() + other * one.transpose()) * (times * weight);
            }
        }
        k
    }
}

/// How the turns of a beam at one place hang on the motions of its ends, and how these change along it.
struct Turns {
    phi: Vector12,
    dphi: Vector12,
    dv: Vector12,
    ddv: Vector12,
    dw: Vector12,
    ddw: Vector12,
}

impl Turns {
    /// At a part `xi` of the length `l`, mm.
    fn at(xi: f64, l: f64) -> Turns {
        let slope = [
            (6.0 * xi * xi - 6.0 * xi) / l,
            1.0 - 4.0 * xi + 3.0 * xi * xi,
            (6.0 * xi - 6.0 * xi * xi) / l,
            3.0 * xi * xi - 2.0 * xi,
        ];
        let bend =
            [(12.0 * xi - 6.0) / (l * l), (6.0 * xi - 4.0) / l, (6.0 - 12.0 * xi) / (l * l), (6.0 * xi - 2.0) / l];
        let of_plane = |plane: Bending, shape: &[f64; 4]| {
            let mut row = Vector12::zeros();
            plane.add_loads(&mut row, shape);
            row
        };
        let mut phi = Vector12::zeros();
        (phi[3], phi[9]) = (1.0 - xi, xi);
        let mut dphi = Vector12::zeros();
        (dphi[3], dphi[9]) = (-1.0 / l, 1.0 / l);
        Turns {
            phi,
            dphi,
            dv: of_plane(Bending::AboutZ, &slope),
            ddv: of_plane(Bending::AboutZ, &bend),
            dw: of_plane(Bending::AboutY, &slope),
            ddw: of_plane(Bending::AboutY, &bend),
        }
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

    /// A strip of 600 mm, stiff about z: E I about y, G J.
    const STRIP: (f64, f64) = (3e7, 4e7);
    /// E I about z.
    const STIFF: f64 = 1e11;

    /// The lowest positive and negative factors of a strip in equal pieces under moments about z and a shear along y
    /// as they are told of each middle; `free`: which of the motions of the first and the last node are free.
    fn factors(forces: impl Fn(f64) -> InternalForces, free: [[bool; 6]; 2], length_mm: f64) -> [f64; 2] {
        const PIECES: usize = 32;
        let l = length_mm / PIECES as f64;
        let b = Beam {
            length_mm: l,
            ea_n: 1e9,
            gj_nmm2: STRIP.1,
            eiy_nmm2: STRIP.0,
            eiz_nmm2: STIFF,
            gay_n: f64::INFINITY,
            gaz_n: f64::INFINITY,
        };
        let n = 6 * (PIECES + 1);
        let (mut k, mut g) = (nalgebra::DMatrix::<f64>::zeros(n, n), nalgebra::DMatrix::<f64>::zeros(n, n));
        for piece in 0..PIECES {
            let at = 6 * piece;
            let add = |to: &mut nalgebra::DMatrix<f64>, own: Matrix12| {
                let mut view = to.view_mut((at, at), (12, 12));
                view += own;
            };
            add(&mut k, b.stiffness());
            add(&mut g, b.geometric_of_bending(&forces((piece as f64 + 0.5) * l)));
        }
        let is_free = |row: &usize| match *row {
            row if row < 6 => free[0][row],
            row if row >= 6 * PIECES => free[1][row - 6 * PIECES],
            _ => true,
        };
        let rows: Vec<usize> = (0..n).filter(is_free).collect();
        let (k, g) = (k.select_rows(&rows).select_columns(&rows), g.select_rows(&rows).select_columns(&rows));
        // Up to the factor K + λ Kσ has a Cholesky factor, and beyond it none.
        [1.0, -1.0].map(|sign| {
            let stands = |factor: f64| (&k + &g * (sign * factor)).cholesky().is_some();
            let (mut below, mut above) = (0.0, 1.0);
            while stands(above) {
                (below, above) = (above, 2.0 * above);
            }
            while above - below > 1e-6 * above {
                let middle = (below + above) / 2.0;
                if stands(middle) { below = middle } else { above = middle }
            }
            sign * above
        })
    }

    const HELD: [bool; 6] = [false; 6];
    const FREE: [bool; 6] = [true; 6];
    /// Held against shifts and against turning about itself.
    const FORKED: [bool; 6] = [false, false, false, false, true, true];

    #[test]
    fn a_strip_bent_evenly_gives_way_sideways_at_the_moment_of_the_book_whichever_way_it_is_bent() {
        // Timoshenko & Gere, Theory of Elastic Stability, ch. 6: M = (π/L) √(E I G J), ends in forks.
        let even = |_: f64| InternalForces { mz: 1.0, ..Default::default() };
        let book = std::f64::consts::PI / 600.0 * (STRIP.0 * STRIP.1).sqrt();
        let [one, other] = factors(even, [FORKED, [true, false, false, false, true, true]], 600.0);
        assert_near(one / book, 1.0, 1e-3);
        assert_near(other / -book, 1.0, 1e-3);
    }

    #[test]
    fn a_strip_with_a_force_at_its_free_end_gives_way_sideways_at_that_of_the_book() {
        // The same: P = 4.013 √(E I G J)/L².
        let force = |x: f64| InternalForces { vy: 1.0, mz: 600.0 - x, ..Default::default() };
        let book = 4.013 / 600.0_f64.powi(2) * (STRIP.0 * STRIP.1).sqrt();
        assert_near(factors(force, [HELD, FREE], 600.0)[0] / book, 1.0, 1e-3);
    }

    #[test]
    fn a_strip_with_a_force_in_its_middle_gives_way_sideways_at_that_of_the_book() {
        // The same: P = 16.94 √(E I G J)/L², ends in forks.
        let force = |x: f64| {
            let side = if x < 300.0 { 1.0 } else { -1.0 };
            InternalForces { vy: -side * 0.5, mz: 0.5 * x.min(600.0 - x), ..Default::default() }
        };
        let book = 16.94 / 600.0_f64.powi(2) * (STRIP.0 * STRIP.1).sqrt();
        let found = factors(force, [FORKED, [true, false, false, false, true, true]], 600.0)[0];
        assert_near(found / book, 1.0, 1e-3);
    }

    #[test]
    fn a_shaft_that_is_built_in_is_bent_out_by_a_torque_of_the_closed_form() {
        // With r = v + i w of a round shaft EI r⁗ = i T r‴, which between built-in ends asks for
        // tan(T L/2EI) = T L/2EI: T = 8.987 EI/L; of one that is not round with √(EIy EIz) in place of EI.
        let torque = |_: f64| InternalForces { t: 1.0, ..Default::default() };
        let found = factors(torque, [HELD, [true, false, false, false, false, false]], 600.0);
        let closed = 2.0 * 4.493_409_458 / 600.0 * (STRIP.0 * STIFF).sqrt();
        assert_near(found[0] / closed, 1.0, 1e-3);
        assert_near(found[1] / -closed, 1.0, 1e-3);
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
