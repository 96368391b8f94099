//! Round tube.

use std::f64::consts::PI;

use super::fibre::Circle;
use super::{Properties, Section};

/// A round tube, an exact annulus.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoundTube {
    /// Outside diameter, mm.
    pub od_mm: f64,
    /// Wall, mm; under half of the outside diameter.
    pub wall_mm: f64,
}

impl From<RoundTube> for Section {
    fn from(tube: RoundTube) -> Self {
        Section::Round(tube)
    }
}

/// Cowper's shear factor of a hollow circle, `m` the inner over the outer diameter (0: solid).
///
/// ```text
/// k = 6(1+ν)(1+m²)² / ((7+6ν)(1+m²)² + (20+12ν)m²)
/// ```
/// Source: Cowper (1966), The shear coefficient in Timoshenko's beam theory, J. Appl. Mech. 33.
pub fn cowper_hollow_circle(m: f64, poisson: f64) -> f64 {
    let square = (1.0 + m * m).powi(2);
    6.0 * (1.0 + poisson) * square / ((7.0 + 6.0 * poisson) * square + (20.0 + 12.0 * poisson) * m * m)
}

impl RoundTube {
    /// Inside diameter, mm.
    pub fn id_mm(&self) -> f64 {
        self.od_mm - 2.0 * self.wall_mm
    }

    /// Area of the annulus, mm²: π (D − t) t, without the cancellation of D² − d².
    pub fn area_mm2(&self) -> f64 {
        PI * (self.od_mm - self.wall_mm) * self.wall_mm
    }

    /// Second moment of the annulus about any diameter, mm⁴: A (D² + d²)/16.
    pub fn i_mm4(&self) -> f64 {
        self.area_mm2() * (self.od_mm.powi(2) + self.id_mm().powi(2)) / 16.0
    }

    /// Plastic modulus, mm³: (D³ − d³)/6.
    pub fn plastic_mm3(&self) -> f64 {
        (self.od_mm.powi(3) - self.id_mm().powi(3)) / 6.0
    }

    pub(super) fn properties(&self, poisson: f64) -> Properties {
        let (area, i) = (self.area_mm2(), self.i_mm4());
        let shear = cowper_hollow_circle(self.id_mm() / self.od_mm, poisson) * area;
        Properties {
            area_mm2: area,
            iy_mm4: i,
            iz_mm4: i,
            j_mm4: 2.0 * i,
            ay_mm2: Some(shear),
            az_mm2: Some(shear),
            cy_mm: self.od_mm / 2.0,
            cz_mm: self.od_mm / 2.0,
            ct_mm3: Some(4.0 * i / self.od_mm),
            plastic_mm3: Some((self.plastic_mm3(), self.plastic_mm3())),
        }
    }

    /// Stress coefficients of the outer surface; shear by Q of half the annulus, 2/3 (R³ − r³).
    pub(super) fn circle(&self) -> Circle {
        let i = self.i_mm4();
        let half_first_moment = self.plastic_mm3() / 2.0;
        Circle {
            per_axial: 1.0 / self.area_mm2(),
            per_moment: self.od_mm / 2.0 / i,
            per_torque: self.od_mm / 2.0 / (2.0 * i),
            per_shear: half_first_moment / (i * 2.0 * self.wall_mm),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::assert_near;

    #[test]
    fn second_moment_of_a_round_tube_three_ways() {
        let tube = RoundTube { od_mm: 25.0, wall_mm: 2.0 };
        let bar = RoundTube { od_mm: 25.0, wall_mm: 12.5 };
        assert_near(bar.i_mm4(), PI * 25.0_f64.powi(4) / 64.0, 1e-15); // limit: no bore left
        let rings = 10_000;
        let by_rings: f64 = (0..rings)
            .map(|ring| {
                let dr = 2.0 / f64::from(rings);
                let r = 10.5 + (f64::from(ring) + 0.5) * dr;
                PI * r.powi(3) * dr
            })
            .sum();
        assert_near(tube.i_mm4(), by_rings, 1e-8); // another route: thin rings
        assert_near(tube.i_mm4(), PI * (25.0_f64.powi(4) - 21.0_f64.powi(4)) / 64.0, 1e-14); // the book's form
    }

    #[test]
    fn shear_factor_tends_to_cowpers_solid_and_thin_values() {
        let nu = 0.3;
        assert_near(cowper_hollow_circle(0.0, nu), 6.0 * (1.0 + nu) / (7.0 + 6.0 * nu), 1e-15);
        assert_near(cowper_hollow_circle(1.0, nu), 2.0 * (1.0 + nu) / (4.0 + 3.0 * nu), 1e-15);
    }

    #[test]
    fn a_solid_bar_has_cowpers_shear_area_and_four_thirds_of_the_mean_shear_stress() {
        // 6 · 1.3/(7 + 6 · 0.3) of the area; the peak 4V/3A is that of every handbook.
        let bar = RoundTube { od_mm: 20.0, wall_mm: 10.0 };
        let p = bar.properties(0.3);
        assert_near(p.ay_mm2.unwrap(), 7.8 / 8.8 * PI * 100.0, 1e-14);
        assert_eq!(p.ay_mm2, p.az_mm2);
        assert_near(bar.circle().per_shear, 4.0 / (3.0 * PI * 100.0), 1e-14);
        // A thin ring: twice the mean.
        let ring = RoundTube { od_mm: 100.0, wall_mm: 0.01 };
        assert_near(ring.circle().per_shear, 2.0 / ring.area_mm2(), 1e-3);
    }

    /// EN 10210-2, 48.3×3.2 as printed: A 4.53 cm², I 11.6 cm⁴, It 23.2 cm⁴, Wel 4.80, Wpl 6.52 and Ct 9.59 cm³.
    #[test]
    fn a_round_tube_has_the_figures_of_the_table_and_the_stress_that_follows_from_them() {
        let tube = RoundTube { od_mm: 48.3, wall_mm: 3.2 };
        let p = tube.properties(0.3);
        for (found, printed, digit) in [
            (p.area_mm2 / 1e2, 4.53, 0.005),
            (p.iy_mm4 / 1e4, 11.6, 0.05),
            (p.iz_mm4 / 1e4, 11.6, 0.05),
            (p.j_mm4 / 1e4, 23.2, 0.05),
            (p.iy_mm4 / p.cz_mm / 1e3, 4.80, 0.005),
            (p.iz_mm4 / p.cy_mm / 1e3, 4.80, 0.005),
            (p.ct_mm3.unwrap() / 1e3, 9.59, 0.005),
            (p.plastic_mm3.unwrap().0 / 1e3, 6.52, 0.005),
            (1.0 / tube.circle().per_moment / 1e3, 4.80, 0.005),
            (1.0 / tube.circle().per_torque / 1e3, 9.59, 0.005),
            (1.0 / tube.circle().per_axial / 1e2, 4.53, 0.005),
        ] {
            assert!((found - printed).abs() <= digit, "{found} is printed as {printed}");
        }
        // Cowper's factor at m = 0.87 lies between those of a thin ring and of a solid bar, nearer to the first.
        assert!(p.ay_mm2.unwrap() > 0.53 * p.area_mm2 && p.ay_mm2.unwrap() < 0.55 * p.area_mm2);
    }

    #[test]
    fn the_shear_round_a_thin_tube_adds_up_to_force_and_torque() {
        let tube = RoundTube { od_mm: 50.0, wall_mm: 0.005 };
        let forces = crate::section::InternalForces { vy: 300.0, vz: -200.0, t: 4e4, ..Default::default() };
        let (mut vy, mut vz, mut t) = (0.0, 0.0, 0.0);
        for step in 0..360 {
            let angle = f64::from(step).to_radians();
            let stress = tube.circle().stress(&forces, angle);
            let along = (stress.torsion + stress.shear) * 0.005 * 25.0 * PI / 180.0;
            (vy, vz, t) = (vy - along * angle.sin(), vz + along * angle.cos(), t + along * 25.0);
        }
        assert_near(vy, 300.0, 1e-3);
        assert_near(vz, -200.0, 1e-3);
        assert_near(t, 4e4, 1e-3);
    }
}
