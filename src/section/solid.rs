//! Solid sections: round bar and flat bar.

use std::f64::consts::PI;

use super::fibre::{Circle, StressForm};
use super::round::RoundTube;
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
    /// A round tube whose wall leaves no bore: every formula of the annulus holds.
    fn as_tube(&self) -> RoundTube {
        RoundTube { od_mm: self.od_mm, wall_mm: self.od_mm / 2.0 }
    }

    pub(super) fn properties(&self, poisson: f64) -> Properties {
        self.as_tube().properties(poisson)
    }

    /// Stress coefficients of the surface; the shear stress is 4V/3A at the neutral axis.
    pub(super) fn circle(&self) -> Circle {
        self.as_tube().circle()
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
    let fifth: f64 = odd(200).map(|n| (n * ratio).tanh() / n.powi(5)).sum();
    let j = a_mm * b_mm.powi(3) * (1.0 / 3.0 - 64.0 * b_mm / (PI.powi(5) * a_mm) * fifth);
    let cosh_sum: f64 = odd(40).map(|n| 1.0 / (n * n * (n * ratio).cosh())).sum();
    let long = 1.0 - 8.0 / (PI * PI) * cosh_sum;
    // tanh = 1 − (1 − tanh): the plain alternating sum is Catalan's constant, the rest falls fast.
    const CATALAN: f64 = 0.915_965_594_177_219;
    let rest: f64 = odd(40)
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

/// Shear stress per torque, 1/mm³, on the long side (a) of a solid rectangle, at a distance from
/// its middle.
///
/// ```text
/// τ = (T b / J) [1 − (8/π²) Σ cosh(nπs/b) / (n² cosh(nπa/2b))]                n = 1, 3, 5, …
/// ```
/// Source: as [`rectangle_torsion`].
pub fn shear_on_long_side(a_mm: f64, b_mm: f64, from_middle_mm: f64) -> f64 {
    let (j, _, _) = rectangle_torsion(a_mm, b_mm);
    let (here, end) = (PI * from_middle_mm.abs() / b_mm, PI * a_mm / (2.0 * b_mm));
    let sum: f64 = odd(400)
        .map(|n| {
            // cosh x / cosh y without overflow: x ≤ y.
            let (x, y) = (n * here, n * end);
            (x - y).exp() * (1.0 + (-2.0 * x).exp()) / (1.0 + (-2.0 * y).exp()) / (n * n)
        })
        .sum();
    b_mm / j * (1.0 - 8.0 / (PI * PI) * sum)
}

/// Shear stress per torque, 1/mm³, on the short side (b) of a solid rectangle, at a distance from
/// its middle.
///
/// ```text
/// τ = (T b / J) (8/π²) Σ (−1)^((n−1)/2) tanh(nπa/2b) cos(nπs/b) / n²           n = 1, 3, 5, …
/// ```
/// Source: as [`rectangle_torsion`].
pub fn shear_on_short_side(a_mm: f64, b_mm: f64, from_middle_mm: f64) -> f64 {
    let (j, _, _) = rectangle_torsion(a_mm, b_mm);
    let sum: f64 = odd(1000)
        .enumerate()
        .map(|(k, n)| {
            let sign = if k % 2 == 0 { 1.0 } else { -1.0 };
            sign * (n * PI * a_mm / (2.0 * b_mm)).tanh() * (n * PI * from_middle_mm / b_mm).cos() / (n * n)
        })
        .sum();
    b_mm / j * 8.0 / (PI * PI) * sum
}

/// So many of the numbers 1, 3, 5, …
fn odd(count: usize) -> impl Iterator<Item = f64> {
    (0_u32..).map(|k| f64::from(2 * k + 1)).take(count)
}

/// Distances from the middle of a side of a rectangle at which stress is looked for, between the
/// middle and the corner, mm; `b_mm` is the shorter side of the rectangle.
///
/// Torsion shear falls to nothing within about one thickness of the corner: that stretch is looked
/// at closely.
fn places_along(side_mm: f64, b_mm: f64) -> Vec<f64> {
    let half = side_mm / 2.0;
    let near_the_corner = (1..=20).map(|step| half - 0.06 * f64::from(step) * b_mm);
    let evenly = (1..16).map(|step| half * f64::from(step) / 16.0);
    near_the_corner.chain(evenly).filter(|place| *place > 0.0).collect()
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

    /// Stress from the axial force and the moments at a place.
    fn normal_at(&self, p: &Properties, y: f64, z: f64) -> StressForm {
        StressForm { per_axial: 1.0 / p.area_mm2, per_my: z / p.iy_mm4, per_mz: -y / p.iz_mm4, ..StressForm::default() }
    }

    /// The four corners, where no shear stress reaches, and the four mid-sides.
    ///
    /// Twisted and bent at once a flat is stressed more between them, see
    /// [`Flat::stress_forms_between`].
    pub(super) fn stress_forms(&self) -> Vec<StressForm> {
        let p = self.properties();
        let (_, along_y, along_z) = self.torsion();
        let shear = 1.5 / p.area_mm2;
        let at = |y: f64, z: f64| self.normal_at(&p, y, z);
        let (cy, cz) = (p.cy_mm, p.cz_mm);
        let mut forms = vec![at(cy, cz), at(-cy, cz), at(-cy, -cz), at(cy, -cz)];
        for side in [1.0, -1.0] {
            forms.push(StressForm { per_torque: -side / along_y, per_vy: shear, ..at(0.0, side * cz) });
            forms.push(StressForm { per_torque: side / along_z, per_vz: shear, ..at(side * cy, 0.0) });
        }
        forms
    }

    /// Places on the four sides between the corners and the mid-sides, torsion by the series and
    /// transverse shear as a parabola over the side along the force.
    ///
    /// On a thin flat the shear of torsion is nearly whole until about one thickness from the
    /// corner, where bending about both axes is nearly whole too: the stress there is up to 1.3 times
    /// that at the corners and mid-sides (1.29 on 60×3, 1.23 on 40×5, 1.09 on 25×10, 1.04 on a square).
    pub(super) fn stress_forms_between(&self) -> Vec<StressForm> {
        let p = self.properties();
        let (w, t) = (self.width_mm, self.thickness_mm);
        let (long, short) = (w.max(t), w.min(t));
        let torsion = |side: f64, place: f64| {
            if side == long { shear_on_long_side(long, short, place) } else { shear_on_short_side(long, short, place) }
        };
        let transverse = |side: f64, place: f64| 1.5 / p.area_mm2 * (1.0 - (2.0 * place / side).powi(2));
        let mut forms = Vec::new();
        for (place, end) in places_along(w, short).into_iter().flat_map(|place| [(place, 1.0), (place, -1.0)]) {
            for side in [1.0, -1.0] {
                forms.push(StressForm {
                    per_torque: -side * torsion(w, place),
                    per_vy: transverse(w, place),
                    ..self.normal_at(&p, end * place, side * p.cz_mm)
                });
            }
        }
        for (place, end) in places_along(t, short).into_iter().flat_map(|place| [(place, 1.0), (place, -1.0)]) {
            for side in [1.0, -1.0] {
                forms.push(StressForm {
                    per_torque: side * torsion(t, place),
                    per_vz: transverse(t, place),
                    ..self.normal_at(&p, side * p.cy_mm, end * place)
                });
            }
        }
        forms
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::assert_near;
    use crate::section::InternalForces;

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

    #[test]
    fn torsion_shear_along_a_side_meets_the_middle_and_falls_to_nothing_at_the_corner() {
        for (a, b) in [(60.0, 3.0), (25.0, 10.0), (10.0, 10.0)] {
            let (j, long, short) = rectangle_torsion(a, b);
            assert_near(shear_on_long_side(a, b, 0.0), 1.0 / long, 1e-9);
            assert_near(shear_on_short_side(a, b, 0.0), 1.0 / short, 1e-6);
            assert!(shear_on_long_side(a, b, a / 2.0).abs() < 1e-3 * b / j);
            assert!(shear_on_short_side(a, b, b / 2.0).abs() < 1e-3 * b / j);
        }
        // A square is alike on both: two series for one number.
        for place in [0.5, 2.0, 4.0, 4.8] {
            assert_near(shear_on_long_side(10.0, 10.0, place), shear_on_short_side(10.0, 10.0, place), 1e-4);
        }
    }

    /// The largest ratio of the stress on the sides to that at corners and mid-sides, for every mix
    /// of torque, push and both moments that is tried, with places so far apart (mm).
    fn worst_ratio(flat: Flat, between: &[StressForm]) -> f64 {
        let p = flat.properties();
        let (wy, wz, wt) = (p.iy_mm4 / p.cz_mm, p.iz_mm4 / p.cy_mm, p.ct_mm3.unwrap());
        let eight = flat.stress_forms();
        let largest = |forms: &[StressForm], forces: &InternalForces| {
            forms.iter().map(|form| form.stress(forces).von_mises()).fold(0.0, f64::max)
        };
        let mut worst: f64 = 1.0;
        for step in 0..=40 {
            let (bent, twisted) = (f64::from(step) * PI / 80.0).sin_cos();
            for share in (0..=10).map(|tenth| f64::from(tenth) / 10.0) {
                let forces = InternalForces {
                    t: 100.0 * wt * twisted / 3.0_f64.sqrt(),
                    my: 100.0 * wy * bent * share,
                    mz: 100.0 * wz * bent * (1.0 - share),
                    ..InternalForces::default()
                };
                worst = worst.max(largest(between, &forces) / largest(&eight, &forces));
            }
        }
        worst
    }

    #[test]
    fn a_flat_bent_and_twisted_at_once_is_stressed_most_between_corner_and_mid_side() {
        for (width_mm, thickness_mm, ratio) in
            [(60.0, 3.0, 1.29), (40.0, 5.0, 1.225), (25.0, 10.0, 1.09), (10.0, 10.0, 1.038), (8.0, 40.0, 1.175)]
        {
            let flat = Flat { width_mm, thickness_mm };
            let found = worst_ratio(flat, &flat.stress_forms_between());
            assert!((found - ratio).abs() < 0.006, "{width_mm}×{thickness_mm}: {found}");
        }
    }

    #[test]
    fn a_flat_has_the_shear_areas_and_plastic_moduli_of_a_rectangle() {
        let p = Flat { width_mm: 40.0, thickness_mm: 6.0 }.properties();
        assert_eq!((p.ay_mm2, p.az_mm2), (Some(200.0), Some(200.0)));
        assert_eq!(p.plastic_mm3, Some((40.0 * 36.0 / 4.0, 6.0 * 1600.0 / 4.0)));
    }

    fn worst(forms: &[StressForm], forces: &InternalForces) -> f64 {
        forms.iter().map(|form| form.stress(forces).von_mises()).fold(0.0, f64::max)
    }

    #[test]
    fn torque_and_shear_add_on_one_side_of_a_flat_and_a_moment_pulls_it() {
        // A positive torque turns from y to z: upwards at +y, along a positive vz, and to −y at +z. A positive mz
        // pushes at +y, a positive my pulls at +z.
        let flat = Flat { width_mm: 40.0, thickness_mm: 8.0 };
        let (_, along_y, along_z) = flat.torsion();
        let narrow = InternalForces { n: -3200.0, vz: 640.0, t: 1e4, mz: 6e4, ..InternalForces::default() };
        let broad = InternalForces { n: -3200.0, vy: -640.0, t: 1e4, my: -2e4, ..InternalForces::default() };
        for (forces, bending, torsion) in
            [(narrow, 6e4 / (8.0 * 1600.0 / 6.0), 1e4 / along_z), (broad, 2e4 / (40.0 * 64.0 / 6.0), 1e4 / along_y)]
        {
            let (sigma, tau): (f64, f64) = (10.0 + bending, 3.0 + torsion);
            assert_near(worst(&flat.stress_forms(), &forces), sigma.hypot(3.0_f64.sqrt() * tau), 1e-12);
        }
    }

    #[test]
    fn stress_is_looked_for_on_both_halves_of_each_side_of_a_flat() {
        let forms = Flat { width_mm: 40.0, thickness_mm: 5.0 }.stress_forms_between();
        for form in &forms {
            for (y, z) in [(1.0, -1.0), (-1.0, 1.0)] {
                let opposite = |other: &StressForm| {
                    let mirrored = [other.per_my - z * form.per_my, other.per_mz - y * form.per_mz];
                    mirrored.iter().all(|difference| difference.abs() < 1e-15)
                };
                assert!(forms.iter().any(opposite), "nothing opposite {form:?}");
            }
        }
    }

    #[test]
    fn where_a_broad_side_is_sheared_twisted_and_bent_its_worst_place_lies_off_the_middle() {
        // Far from the corners torsion shear is as in the middle: σ = 100 + 2s, τ = 40 + 60 (1 − s²/900) MPa
        // on one side, s from its middle.
        let lying = Flat { width_mm: 60.0, thickness_mm: 6.0 };
        let bent = 2.0 * 6.0 * 60.0_f64.powi(3) / 12.0;
        let forces = InternalForces { n: 36_000.0, t: 40.0 * lying.torsion().1, ..InternalForces::default() };
        let along_y = InternalForces { vy: 14_400.0, mz: bent, ..forces };
        let along_z = InternalForces { vz: 14_400.0, my: bent, ..forces };
        let by_hand = (0..=150).map(|step| f64::from(step) / 10.0).map(|s| {
            let (sigma, tau): (f64, f64) = (100.0 + 2.0 * s, 40.0 + 60.0 * (1.0 - s * s / 900.0));
            sigma.hypot(3.0_f64.sqrt() * tau)
        });
        let expected = by_hand.fold(0.0, f64::max);
        for (flat, forces) in [(lying, along_y), (Flat { width_mm: 6.0, thickness_mm: 60.0 }, along_z)] {
            assert_near(worst(&flat.stress_forms_between(), &forces), expected, 5e-4);
            assert!(worst(&flat.stress_forms(), &forces) < 0.99 * expected);
        }
    }

    /// Timoshenko & Goodier's table for bars of rectangular section: T = k₁ G θ a b³, τ = T/(k₂ a b²); from memory.
    #[test]
    fn torsion_of_a_rectangle_is_that_of_the_printed_table() {
        for (ratio, k1, k2) in [(1.0, 0.1406, 0.208), (1.5, 0.196, 0.231), (2.0, 0.229, 0.246), (10.0, 0.312, 0.312)] {
            let (j, long, _) = rectangle_torsion(3.0 * ratio, 3.0);
            let (a, b) = (3.0 * ratio, 3.0_f64);
            assert!((j / (a * b.powi(3)) - k1).abs() < 6e-4, "{ratio}: {}", j / (a * b.powi(3)));
            assert!((long / (a * b.powi(2)) - k2).abs() < 6e-4, "{ratio}: {}", long / (a * b.powi(2)));
        }
    }

    #[test]
    fn a_flat_is_looked_at_on_both_faces_whichever_is_stressed_more() {
        // On one face the push and the bending push together, and torque and shear are along one way.
        let flat = Flat { width_mm: 40.0, thickness_mm: 8.0 };
        let (_, along_y, _) = flat.torsion();
        for face in [1.0, -1.0] {
            let forces =
                InternalForces { n: -3200.0, vy: -640.0 * face, t: 1e4, my: -2e4 * face, ..InternalForces::default() };
            let (sigma, tau): (f64, f64) = (10.0 + 2e4 / (40.0 * 64.0 / 6.0), 3.0 + 1e4 / along_y);
            let expected = sigma.hypot(3.0_f64.sqrt() * tau);
            assert_near(worst(&flat.stress_forms(), &forces), expected, 1e-12);
            // 1.25 mm off the middle, the nearest place on the side, shear is less by 1/256, torsion by next to nothing.
            let beside = worst(&flat.stress_forms_between(), &forces);
            assert!(beside < expected && beside > 0.998 * expected, "{beside} {expected}");
        }
    }

    #[test]
    fn near_a_corner_stress_is_looked_for_every_sixteenth_of_a_thickness_at_least() {
        for (side_mm, b_mm) in [(60.0, 3.0), (25.0, 10.0)] {
            let mut places = places_along(side_mm, b_mm);
            places.sort_by(f64::total_cmp);
            places.push(side_mm / 2.0);
            let from = side_mm / 2.0 - 1.2 * b_mm;
            for pair in places.windows(2).filter(|pair| pair[0] >= from - 1e-9) {
                assert!(pair[1] - pair[0] <= b_mm / 16.0, "{side_mm}×{b_mm}: {pair:?}");
            }
            assert!(places.windows(2).all(|pair| pair[1] - pair[0] <= side_mm / 32.0 + 1e-9));
            assert!(places.iter().any(|place| (place - from).abs() < 1e-9) || from < 0.0);
        }
    }
}
