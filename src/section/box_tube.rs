//! Square and rectangular tube with rounded corners.

use std::f64::consts::PI;

use super::fibre::StressForm;
use super::{Finish, Properties, Section};

/// A square or rectangular tube.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoxTube {
    /// Outside dimension along y, mm.
    pub width_mm: f64,
    /// Outside dimension along z, mm.
    pub depth_mm: f64,
    /// Wall, mm.
    pub wall_mm: f64,
    /// Outer corner radius, mm.
    pub outer_radius_mm: f64,
    /// Inner corner radius, mm.
    pub inner_radius_mm: f64,
}

impl From<BoxTube> for Section {
    fn from(tube: BoxTube) -> Self {
        Section::Box(tube)
    }
}

/// Outer and inner corner radius, mm, that the standards use for section properties.
///
/// Cold formed: EN 10219-2 Annex B (2.0 and 1.0 wall to 6 mm, 2.5 and 1.5 to 10 mm, 3.0 and 2.0
/// above). Hot finished: EN 10210-2 Annex A (1.5 and 1.0 wall).
pub fn standard_radii_mm(wall_mm: f64, finish: Finish) -> (f64, f64) {
    let (outer, inner) = match finish {
        Finish::Hot => (1.5, 1.0),
        Finish::Cold if wall_mm <= 6.0 => (2.0, 1.0),
        Finish::Cold if wall_mm <= 10.0 => (2.5, 1.5),
        Finish::Cold => (3.0, 2.0),
    };
    (outer * wall_mm, inner * wall_mm)
}

/// What is missing at a rounded corner: area, distance of its centroid from mid-height, second
/// moment about its own centroid. `half` is the half-height of the sharp outline.
struct Corner {
    area: f64,
    arm: f64,
    own: f64,
}

impl Corner {
    fn new(radius: f64, half: f64) -> Self {
        Self {
            area: (1.0 - PI / 4.0) * radius * radius,
            arm: half - radius * (10.0 - 3.0 * PI) / (12.0 - 3.0 * PI),
            own: radius.powi(4) * (1.0 / 3.0 - PI / 16.0 - 1.0 / (3.0 * (12.0 - 3.0 * PI))),
        }
    }

    fn second_moment(&self) -> f64 {
        self.own + self.area * self.arm * self.arm
    }
}

impl BoxTube {
    /// A tube with the corner radii of its standard.
    pub fn standard(width_mm: f64, depth_mm: f64, wall_mm: f64, finish: Finish) -> Self {
        let (outer_radius_mm, inner_radius_mm) = standard_radii_mm(wall_mm, finish);
        Self { width_mm, depth_mm, wall_mm, outer_radius_mm, inner_radius_mm }
    }

    /// A tube with its own outer corner radius; the inner is one wall smaller, at least 0.
    pub fn with_radius(width_mm: f64, depth_mm: f64, wall_mm: f64, outer_radius_mm: f64) -> Self {
        let inner_radius_mm = (outer_radius_mm - wall_mm).max(0.0);
        Self { width_mm, depth_mm, wall_mm, outer_radius_mm, inner_radius_mm }
    }

    /// Area, mm². Source for this and the next three: EN 10219-2 Annex B, EN 10210-2 Annex A.
    pub fn area_mm2(&self) -> f64 {
        let (b, h, t) = (self.width_mm, self.depth_mm, self.wall_mm);
        let radii = self.outer_radius_mm.powi(2) - self.inner_radius_mm.powi(2);
        2.0 * t * (b + h - 2.0 * t) - (4.0 - PI) * radii
    }

    /// Second moment, mm⁴, and plastic modulus, mm³, with `h` along the bending plane and `b` across.
    fn bending(&self, h: f64, b: f64) -> (f64, f64) {
        let t = self.wall_mm;
        let (hi, bi) = (h - 2.0 * t, b - 2.0 * t);
        let outer = Corner::new(self.outer_radius_mm, h / 2.0);
        let inner = Corner::new(self.inner_radius_mm, hi / 2.0);
        let i =
            b * h.powi(3) / 12.0 - bi * hi.powi(3) / 12.0 - 4.0 * outer.second_moment() + 4.0 * inner.second_moment();
        let plastic =
            b * h * h / 4.0 - bi * hi * hi / 4.0 - 4.0 * outer.area * outer.arm + 4.0 * inner.area * inner.arm;
        (i, plastic)
    }

    /// Torsion constant, mm⁴, and torsion modulus, mm³.
    pub fn torsion(&self) -> (f64, f64) {
        let (b, h, t) = (self.width_mm, self.depth_mm, self.wall_mm);
        let radius = (self.outer_radius_mm + self.inner_radius_mm) / 2.0;
        let wall_line = 2.0 * ((b - t) + (h - t)) - 2.0 * radius * (4.0 - PI);
        let enclosed = (b - t) * (h - t) - radius * radius * (4.0 - PI);
        let k = 2.0 * enclosed * t / wall_line;
        let j = t.powi(3) * wall_line / 3.0 + 2.0 * k * enclosed;
        (j, j / (t + k / t))
    }

    pub(super) fn properties(&self) -> Properties {
        let (iy, plastic_y) = self.bending(self.depth_mm, self.width_mm);
        let (iz, plastic_z) = self.bending(self.width_mm, self.depth_mm);
        let (j, ct) = self.torsion();
        let walls_along = |outer: f64| 2.0 * self.wall_mm * (outer - self.wall_mm);
        Properties {
            area_mm2: self.area_mm2(),
            iy_mm4: iy,
            iz_mm4: iz,
            j_mm4: j,
            ay_mm2: Some(walls_along(self.width_mm)),
            az_mm2: Some(walls_along(self.depth_mm)),
            cy_mm: self.width_mm / 2.0,
            cz_mm: self.depth_mm / 2.0,
            ct_mm3: Some(ct),
            plastic_mm3: Some((plastic_y, plastic_z)),
        }
    }

    /// The four outer corners, drawn square and with magnitudes added, and the four mid-sides.
    ///
    /// Shear at a corner by the first moment of a whole flange on its middle line, at a mid-side
    /// by half the plastic modulus.
    pub(super) fn stress_forms(&self) -> Vec<StressForm> {
        let p = self.properties();
        let t = self.wall_mm;
        let (plastic_y, plastic_z) = p.plastic_mm3.unwrap_or_default();
        let torque = p.ct_mm3.map_or(0.0, f64::recip);
        let flange = (self.width_mm - t) * (self.depth_mm - t) * t / 2.0;
        let middle_y = plastic_z / 2.0 / (p.iz_mm4 * 2.0 * t);
        let middle_z = plastic_y / 2.0 / (p.iy_mm4 * 2.0 * t);
        let at = |y: f64, z: f64| StressForm {
            per_axial: 1.0 / p.area_mm2,
            per_my: z / p.iy_mm4,
            per_mz: -y / p.iz_mm4,
            ..StressForm::default()
        };
        let (cy, cz) = (p.cy_mm, p.cz_mm);
        let mut forms: Vec<StressForm> = [(cy, cz), (-cy, cz), (-cy, -cz), (cy, -cz)]
            .into_iter()
            .map(|(y, z)| StressForm {
                per_torque: torque,
                per_vy: flange / (p.iz_mm4 * 2.0 * t),
                per_vz: flange / (p.iy_mm4 * 2.0 * t),
                shear_as_magnitudes: true,
                ..at(y, z)
            })
            .collect();
        for side in [1.0, -1.0] {
            forms.push(StressForm { per_torque: -side * torque, per_vy: middle_y, ..at(0.0, side * cz) });
            forms.push(StressForm { per_torque: side * torque, per_vz: middle_z, ..at(side * cy, 0.0) });
        }
        forms
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::assert_near;

    #[test]
    fn without_radii_a_box_is_the_difference_of_two_rectangles() {
        let p = BoxTube::with_radius(50.0, 30.0, 3.0, 0.0).properties();
        assert_near(p.area_mm2, 50.0 * 30.0 - 44.0 * 24.0, 1e-14);
        assert_near(p.iy_mm4, (50.0 * 30.0_f64.powi(3) - 44.0 * 24.0_f64.powi(3)) / 12.0, 1e-14);
        assert_near(p.iz_mm4, (30.0 * 50.0_f64.powi(3) - 24.0 * 44.0_f64.powi(3)) / 12.0, 1e-14);
    }

    #[test]
    fn a_box_that_is_all_corner_radius_is_a_round_tube() {
        let p = BoxTube::with_radius(40.0, 40.0, 2.0, 20.0).properties();
        assert_near(p.area_mm2, PI * 38.0 * 2.0, 1e-13);
        assert_near(p.iy_mm4, PI * (40.0_f64.powi(4) - 36.0_f64.powi(4)) / 64.0, 1e-13);
        let (plastic, _) = p.plastic_mm3.unwrap();
        assert_near(plastic, (40.0_f64.powi(3) - 36.0_f64.powi(3)) / 6.0, 1e-13);
    }

    #[test]
    fn a_box_that_is_all_corner_radius_is_twisted_as_a_ring() {
        // Bredt and the open strip on the middle line of radius r: J = 2πr³t + 2πr t³/3, Ct = J/(t + r).
        let (j, ct) = BoxTube::with_radius(40.0, 40.0, 2.0, 20.0).torsion();
        let expected = 2.0 * PI * 19.0_f64.powi(3) * 2.0 + 2.0 * PI * 19.0 * 8.0 / 3.0;
        assert_near(j, expected, 1e-13);
        assert_near(ct, expected / 21.0, 1e-13);
    }

    /// Two-decimal table of EN 10219-2, 50×30×2.5 cold formed.
    #[test]
    fn the_printed_torsion_figures_of_a_cold_formed_box_come_out() {
        let tube = BoxTube::standard(50.0, 30.0, 2.5, Finish::Cold);
        let (j, ct) = tube.torsion();
        assert!((j / 1e4 - 11.74).abs() < 0.005 && (ct / 1e3 - 5.72).abs() < 0.005, "{j} {ct}");
        assert!((tube.area_mm2() / 100.0 - 3.59).abs() < 0.005);
    }

    #[test]
    fn corners_are_as_round_as_the_annexes_of_both_standards_take_them() {
        assert_eq!(standard_radii_mm(4.0, Finish::Hot), (6.0, 4.0));
        for (wall, radii) in [(6.0, (12.0, 6.0)), (8.0, (20.0, 12.0)), (12.0, (36.0, 24.0))] {
            assert_eq!(standard_radii_mm(wall, Finish::Cold), radii);
        }
    }

    #[test]
    fn each_place_of_a_box_without_radii_has_the_stress_that_statics_gives_it() {
        let tube = BoxTube::with_radius(50.0, 30.0, 3.0, 0.0);
        let p = tube.properties();
        // Both walls along the force: 2 · 3 · 47 and 2 · 3 · 27.
        assert_eq!((p.ay_mm2, p.az_mm2), (Some(282.0), Some(162.0)));
        // V Q/(I 2t). Iz = (30 · 50³ − 24 · 44³)/12 = 142 132, Iy = (50 · 30³ − 44 · 24³)/12 = 61 812. Q of a whole
        // flange on its middle line 27 · 3 · 23.5 = 47 · 3 · 13.5 = 1903.5; of half of the section
        // 30 · 25 · 12.5 − 24 · 22 · 11 = 3567 and 50 · 15 · 7.5 − 44 · 12 · 6 = 2457.
        let (iz, iy) = (142_132.0 * 6.0, 61_812.0 * 6.0);
        let torque = p.ct_mm3.unwrap().recip();
        let mut expected = vec![(0.0, 15.0, -torque, 3567.0 / iz, 0.0), (0.0, -15.0, torque, 3567.0 / iz, 0.0)];
        expected.extend([(25.0, 0.0, torque, 0.0, 2457.0 / iy), (-25.0, 0.0, -torque, 0.0, 2457.0 / iy)]);
        for (y, z) in [(25.0, 15.0), (-25.0, 15.0), (-25.0, -15.0), (25.0, -15.0)] {
            expected.push((y, z, torque, 1903.5 / iz, 1903.5 / iy));
        }
        let forms = tube.stress_forms();
        assert_eq!(forms.len(), 8);
        for (y, z, torque, vy, vz) in expected {
            let near = |a: f64, b: f64| (a - b).abs() < 1e-12;
            let is_there = |form: &&StressForm| near(form.per_my, z / 61_812.0) && near(form.per_mz, -y / 142_132.0);
            let form = forms.iter().find(is_there).unwrap_or_else(|| panic!("nothing at {y}, {z}"));
            assert!(near(form.per_axial, 1.0 / 444.0) && near(form.per_torque, torque), "{form:?}");
            assert!(near(form.per_vy, vy) && near(form.per_vz, vz), "{form:?}");
            // A corner has the shear of both sides that meet there.
            assert_eq!(form.shear_as_magnitudes, y != 0.0 && z != 0.0);
        }
    }
}
