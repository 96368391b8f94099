//! Solid sections: round bar and flat bar.

use std::f64::consts::PI;

use super::fibre::{Circle, StressForm};
use super::round::cowper_hollow_circle;
use super::{Properties, Section};

/// A solid round bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// Diameter, mm.
    pub od_mm: f64,
}

impl From<Bar> for Section {
    fn from(bar: Bar) -> Self {
        Section::Bar(bar)
    }
}

impl Bar {
    fn area_mm2(&self) -> f64 {
        PI * self.od_mm.powi(2) / 4.0
    }

    fn i_mm4(&self) -> f64 {
        PI * self.od_mm.powi(4) / 64.0
    }

    pub(super) fn properties(&self, poisson: f64) -> Properties {
        let (area, i) = (self.area_mm2(), self.i_mm4());
        let shear = cowper_hollow_circle(0.0, poisson) * area;
        let plastic = self.od_mm.powi(3) / 6.0;
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
            plastic_mm3: Some((plastic, plastic)),
        }
    }

    /// Stress coefficients of the surface; the shear stress is 4V/3A at the neutral axis.
    pub(super) fn circle(&self) -> Circle {
        let i = self.i_mm4();
        Circle {
            per_axial: 1.0 / self.area_mm2(),
            per_moment: self.od_mm / 2.0 / i,
            per_torque: self.od_mm / 2.0 / (2.0 * i),
            per_shear: 4.0 / 3.0 / self.area_mm2(),
        }
    }
}

/// A flat bar, a sharp rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flat {
    /// Dimension along y, mm.
    pub width_mm: f64,
    /// Dimension along z, mm.
    pub thickness_mm: f64,
}

impl From<Flat> for Section {
    fn from(flat: Flat) -> Self {
        Section::Flat(flat)
    }
}

/// Torsion of a solid rectangle with sides a ≥ b: the constant J, mm⁴, and the torsion moduli
/// (torque over shear stress), mm³, at the middle of the long and of the short side.
///
/// ```text
/// J = a b³ [1/3 − (64 b / π⁵ a) Σ tanh(nπa/2b)/n⁵]                        n = 1, 3, 5, …
/// τ long  = (T b / J) [1 − (8/π²) Σ 1/(n² cosh(nπa/2b))]
/// τ short = (T b / J) (8/π²) Σ (−1)^((n−1)/2) tanh(nπa/2b)/n²
/// ```
/// Source: Timoshenko & Goodier, Theory of Elasticity, torsion of rectangular bars (series of
/// Saint-Venant).
pub fn rectangle_torsion(a_mm: f64, b_mm: f64) -> (f64, f64, f64) {
    let ratio = PI * a_mm / (2.0 * b_mm);
    let odd = || (0_u32..).map(|k| f64::from(2 * k + 1));
    let fifth: f64 = odd().take(200).map(|n| (n * ratio).tanh() / n.powi(5)).sum();
    let j = a_mm * b_mm.powi(3) * (1.0 / 3.0 - 64.0 * b_mm / (PI.powi(5) * a_mm) * fifth);
    let cosh_sum: f64 = odd().take(40).map(|n| 1.0 / (n * n * (n * ratio).cosh())).sum();
    let long = 1.0 - 8.0 / (PI * PI) * cosh_sum;
    // tanh = 1 − (1 − tanh): the plain alternating sum is Catalan's constant, the rest falls fast.
    const CATALAN: f64 = 0.915_965_594_177_219;
    let rest: f64 = odd()
        .take(40)
        .enumerate()
        .map(|(k, n)| {
            let sign = if k % 2 == 0 { 1.0 } else { -1.0 };
            let one_minus_tanh = 2.0 / (1.0 + (2.0 * n * ratio).exp());
            sign * one_minus_tanh / (n * n)
        })
        .sum();
    let short = 8.0 / (PI * PI) * (CATALAN - rest);
    (j, j / (b_mm * long), j / (b_mm * short))
}

impl Flat {
    fn area_mm2(&self) -> f64 {
        self.width_mm * self.thickness_mm
    }

    /// Torsion constant, and moduli at the middle of a side along y and of a side along z.
    fn torsion(&self) -> (f64, f64, f64) {
        if self.width_mm >= self.thickness_mm {
            rectangle_torsion(self.width_mm, self.thickness_mm)
        } else {
            let (j, long, short) = rectangle_torsion(self.thickness_mm, self.width_mm);
            (j, short, long)
        }
    }

    pub(super) fn properties(&self) -> Properties {
        let (w, t, area) = (self.width_mm, self.thickness_mm, self.area_mm2());
        let (j, along_y, along_z) = self.torsion();
        Properties {
            area_mm2: area,
            iy_mm4: w * t.powi(3) / 12.0,
            iz_mm4: t * w.powi(3) / 12.0,
            j_mm4: j,
            ay_mm2: Some(5.0 / 6.0 * area),
            az_mm2: Some(5.0 / 6.0 * area),
            cy_mm: w / 2.0,
            cz_mm: t / 2.0,
            ct_mm3: Some(along_y.min(along_z)),
            plastic_mm3: Some((w * t * t / 4.0, t * w * w / 4.0)),
        }
    }

    /// The four corners, where no shear stress reaches, and the four mid-sides.
    pub(super) fn stress_forms(&self) -> Vec<StressForm> {
        let p = self.properties();
        let (_, along_y, along_z) = self.torsion();
        let shear = 1.5 / p.area_mm2;
        let at = |y: f64, z: f64| StressForm {
            per_axial: 1.0 / p.area_mm2,
            per_my: z / p.iy_mm4,
            per_mz: -y / p.iz_mm4,
            ..StressForm::default()
        };
        let (cy, cz) = (p.cy_mm, p.cz_mm);
        let mut forms = vec![at(cy, cz), at(-cy, cz), at(-cy, -cz), at(cy, -cz)];
        for side in [1.0, -1.0] {
            forms.push(StressForm { per_torque: -side / along_y, per_vy: shear, ..at(0.0, side * cz) });
            forms.push(StressForm { per_torque: side / along_z, per_vz: shear, ..at(side * cy, 0.0) });
        }
        forms
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::assert_near;

    #[test]
    fn torsion_of_a_square_is_the_same_on_both_sides() {
        let (_, long, short) = rectangle_torsion(10.0, 10.0);
        assert_near(long, short, 1e-13);
    }

    #[test]
    fn a_thin_strip_has_a_b_cubed_over_three() {
        let (j, long, _) = rectangle_torsion(1000.0, 1.0);
        assert_near(j, 1000.0 / 3.0, 1e-3);
        assert_near(long, 1000.0 / 3.0, 1e-3);
    }
}
