//! Mass, weight and inertia: the one place where kilograms turn into tonnes (N = t · mm/s²).

use super::Matrix12;
use super::plane::{Bending, Plane};
use super::stiffness::Beam;
use crate::section::{Material, Properties};
use crate::units::GRAVITY_M_S2;

/// Kilograms in a tonne.
const KG_PER_TONNE: f64 = 1000.0;
/// Standard gravity, mm/s².
const GRAVITY_MM_S2: f64 = GRAVITY_M_S2 * 1000.0;

/// Mass of a length of tube, kg, from area (mm²), length (mm) and density (kg/m³).
pub fn tube_mass_kg(area_mm2: f64, length_mm: f64, density_kg_m3: f64) -> f64 {
    area_mm2 * length_mm * density_kg_m3 * 1e-9
}

/// Force of a mass under an acceleration in g, N.
pub fn force_n(mass_kg: f64, accel_g: f64) -> f64 {
    mass_kg / KG_PER_TONNE * (accel_g * GRAVITY_MM_S2)
}

/// Force per length of a tube under an acceleration in g, N/mm.
pub fn line_load_n_mm(area_mm2: f64, density_kg_m3: f64, accel_g: f64) -> f64 {
    force_n(tube_mass_kg(area_mm2, 1.0, density_kg_m3), accel_g)
}

/// Mass of a rigid body in tonnes, from kg.
pub fn mass_t(mass_kg: f64) -> f64 {
    mass_kg / KG_PER_TONNE
}

/// Moment of inertia in t·mm², from kg·m².
pub fn inertia_t_mm2(inertia_kg_m2: f64) -> f64 {
    inertia_kg_m2 / KG_PER_TONNE * 1e6
}

/// What the inertia of a beam depends on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineMass {
    /// Mass per length, t/mm.
    pub shift_t_mm: f64,
    /// Rotary inertia per length about y, ρ·Iy, t·mm.
    pub about_y_t_mm: f64,
    /// Rotary inertia per length about z, ρ·Iz, t·mm.
    pub about_z_t_mm: f64,
}

impl LineMass {
    /// Of a section in a material.
    pub fn new(properties: &Properties, material: &Material) -> Self {
        let density_t_mm3 = material.density_kg_m3 / KG_PER_TONNE * 1e-9;
        Self {
            shift_t_mm: density_t_mm3 * properties.area_mm2,
            about_y_t_mm: density_t_mm3 * properties.iy_mm4,
            about_z_t_mm: density_t_mm3 * properties.iz_mm4,
        }
    }

    /// Rotary inertia per length about the beam's own axis, ρ (Iy + Iz), t·mm.
    pub fn about_x_t_mm(&self) -> f64 {
        self.about_y_t_mm + self.about_z_t_mm
    }

    /// Consistent mass of a beam with rotary inertia, local axes: 12 × 12, symmetric; t, t·mm, t·mm².
    ///
    /// By the shape of the beam under end loads, shear flexibility included.
    /// Source: Przemieniecki (1968), Theory of Matrix Structural Analysis, ch. 11; with shear Davis,
    /// Henshell & Warburton, J. Sound Vib. 22 (1972) 475–487.
    pub fn consistent(&self, beam: &Beam) -> Matrix12 {
        let l = beam.length_mm;
        let mut m = Matrix12::zeros();
        for (at, per_length) in [(0, self.shift_t_mm), (3, self.about_x_t_mm())] {
            let whole = per_length * l;
            for (row, column, part) in [(at, at, 3.0), (at + 6, at + 6, 3.0), (at, at + 6, 6.0), (at + 6, at, 6.0)] {
                m[(row, column)] = whole / part;
            }
        }
        let of_plane = |phi: f64, rotary: f64| {
            let (shift, turn) = (shifting(self.shift_t_mm, phi, l), turning(rotary, phi, l));
            std::array::from_fn(|i| std::array::from_fn(|j| shift[i][j] + turn[i][j]))
        };
        Bending::AboutZ.add(&mut m, &of_plane(beam.phi_z(), self.about_z_t_mm));
        Bending::AboutY.add(&mut m, &of_plane(beam.phi_y(), self.about_y_t_mm));
        m
    }
}

/// Inertia of shifting across.
fn shifting(per_length: f64, phi: f64, l: f64) -> Plane {
    let c = per_length * l / (1.0 + phi).powi(2);
    let p2 = phi * phi;
    let near = c * (13.0 / 35.0 + 7.0 * phi / 10.0 + p2 / 3.0);
    let far = c * (9.0 / 70.0 + 3.0 * phi / 10.0 + p2 / 6.0);
    let own = c * l * (11.0 / 210.0 + 11.0 * phi / 120.0 + p2 / 24.0);
    let other = c * l * (13.0 / 420.0 + 3.0 * phi / 40.0 + p2 / 24.0);
    let turn_near = c * l * l * (1.0 / 105.0 + phi / 60.0 + p2 / 120.0);
    let turn_far = c * l * l * (1.0 / 140.0 + phi / 60.0 + p2 / 120.0);
    [
        [near, own, far, -other],
        [own, turn_near, other, -turn_far],
        [far, other, near, -own],
        [-other, -turn_far, -own, turn_near],
    ]
}

/// Inertia of the sections' turning.
fn turning(rotary: f64, phi: f64, l: f64) -> Plane {
    let c = rotary / (l * (1.0 + phi).powi(2));
    let p2 = phi * phi;
    let s = c * 6.0 / 5.0;
    let d = c * l * (1.0 / 10.0 - phi / 2.0);
    let near = c * l * l * (2.0 / 15.0 + phi / 6.0 + p2 / 3.0);
    let far = c * l * l * (-1.0 / 30.0 - phi / 6.0 + p2 / 6.0);
    [[s, d, -s, d], [d, near, -d, far], [-s, -d, s, -d], [d, far, -d, near]]
}

#[cfg(test)]
mod tests {
    use super::super::Vector12;
    use super::*;
    use crate::math::assert_near;

    fn beam(shear: f64) -> Beam {
        Beam { length_mm: 700.0, ea_n: 3e7, gj_nmm2: 2e9, eiy_nmm2: 4e9, eiz_nmm2: 5e9, gay_n: shear, gaz_n: shear }
    }

    #[test]
    fn a_beam_that_moves_as_one_has_the_mass_and_inertia_of_a_rod() {
        let mass = LineMass { shift_t_mm: 2e-6, about_y_t_mm: 3e-4, about_z_t_mm: 5e-4 };
        let m = mass.consistent(&beam(2e5));
        let l = 700.0;
        let shift = Vector12::from_column_slice(&[0., 1., 0., 0., 0., 0., 0., 1., 0., 0., 0., 0.]);
        assert_near(shift.dot(&(m * shift)), 2e-6 * l, 1e-12);
        // Turning about its first end: m L³/3 + ρI L.
        let about_z = Vector12::from_column_slice(&[0., 0., 0., 0., 0., 1., 0., l, 0., 0., 0., 1.]);
        assert_near(about_z.dot(&(m * about_z)), 2e-6 * l.powi(3) / 3.0 + 5e-4 * l, 1e-12);
        let about_y = Vector12::from_column_slice(&[0., 0., 0., 0., 1., 0., 0., 0., -l, 0., 1., 0.]);
        assert_near(about_y.dot(&(m * about_y)), 2e-6 * l.powi(3) / 3.0 + 3e-4 * l, 1e-12);
        let spin = Vector12::from_column_slice(&[0., 0., 0., 1., 0., 0., 0., 0., 0., 1., 0., 0.]);
        assert_near(spin.dot(&(m * spin)), 8e-4 * l, 1e-12);
    }

    #[test]
    fn a_kilogram_weighs_9_80665_newtons_and_a_kilogram_square_metre_is_a_thousand_tonne_square_millimetres() {
        // Standard gravity, ISO 80000-3; 1 kg·m² = 1e-3 t · 1e6 mm².
        assert_near(force_n(1.0, 1.0), 9.806_65, 1e-14);
        assert_near(force_n(2.5, -3.0), -73.549_875, 1e-14);
        assert_near(inertia_t_mm2(1.0), 1000.0, 1e-14);
    }

    #[test]
    fn a_metre_of_tube_weighs_what_the_standard_says() {
        // EN 10305-1: M = 0.0246615 (D − T) T kg/m, density 7.85 kg/dm³; 25 × 2: 1.13 kg/m.
        let area = std::f64::consts::PI * (25.0 - 2.0) * 2.0;
        assert_near(tube_mass_kg(area, 1000.0, 7850.0), 0.024_661_5 * (25.0 - 2.0) * 2.0, 1e-5);
        assert_near(tube_mass_kg(area, 400.0, 7850.0), 0.024_661_5 * (25.0 - 2.0) * 2.0 * 0.4, 1e-5);
        // Under 2.5 g, N/mm: the mass of a metre over 1000, times 2.5 × 9.80665.
        assert_near(line_load_n_mm(area, 7850.0, -2.5), -0.024_661_5 * 46.0 / 1000.0 * 2.5 * 9.806_65, 1e-5);
        assert_near(mass_t(250.0), 0.25, 1e-15);
    }
}
