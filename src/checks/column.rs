//! Column: does a pushed and bent tube bow out before it carries its load?
//!
//! Reads: largest push and moments along the buckling length (N, N·mm), section, material, shape
//! of the moment diagram. Gives: the larger sum of (6.61) and (6.62) at loads × margin; above 1
//! fails. Where the frame as a whole
//! buckles at a lower push (N_cr = λ·N), that takes the place of the Euler load, and C_m is 0.9 at least. Leaves out: giving way sideways
//! of what is bent on edge (lateral-torsional buckling): Table B.1 is for members that do not twist,
//! as tubes and bars do not. For flats see [`lateral`](super::lateral()).
//! Source: EN 1993-1-1 6.3.1 and 6.3.3 with Annex B Tables B.1 and B.3; column of class 3, elastic
//! moduli in every class, γM1 = 1.0. Tables B.1 and B.3 are from memory, and checked against
//! `tests/reference/checks/members.json`.

use std::f64::consts::PI;

use crate::section::{Finish, Material, Properties, Section};

/// A column curve of EN 1993-1-1 Table 6.1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Curve {
    /// α = 0.13
    A0,
    /// α = 0.21
    A,
    /// α = 0.34
    B,
    /// α = 0.49
    C,
    /// α = 0.76
    D,
}

impl Curve {
    /// Imperfection factor α, Table 6.1.
    pub fn imperfection(self) -> f64 {
        match self {
            Curve::A0 => 0.13,
            Curve::A => 0.21,
            Curve::B => 0.34,
            Curve::C => 0.49,
            Curve::D => 0.76,
        }
    }
}

/// The column curve of a section, Table 6.2: hot finished hollow sections a (a0 from S460), cold
/// formed c; solid sections c. Figures alone do not tell that a section is hollow: c as well.
pub fn buckling_curve(section: &Section, material: &Material) -> Curve {
    let hollow = matches!(section, Section::Round(_) | Section::Box(_));
    match material.finish {
        Finish::Hot if hollow && material.yield_mpa >= 460.0 => Curve::A0,
        Finish::Hot if hollow => Curve::A,
        _ => Curve::C,
    }
}

/// Reduction factor χ of 6.3.1.2 for a relative slenderness and an imperfection factor.
///
/// ```text
/// φ = ½ [1 + α (λ̄ − 0.2) + λ̄²]        χ = 1 / (φ + √(φ² − λ̄²)) ≤ 1
/// ```
pub fn chi(slenderness: f64, imperfection: f64) -> f64 {
    if slenderness <= 0.2 {
        return 1.0;
    }
    let phi = 0.5 * (1.0 + imperfection * (slenderness - 0.2) + slenderness * slenderness);
    (1.0 / (phi + (phi * phi - slenderness * slenderness).sqrt())).min(1.0)
}

/// Euler load of a pin-ended column, N: π² E I / L².
pub fn euler_load_n(youngs_mpa: f64, i_mm4: f64, length_mm: f64) -> f64 {
    PI * PI * youngs_mpa * i_mm4 / (length_mm * length_mm)
}

/// Length of a pin-ended column that buckles at this push, mm: π √(E I / N).
pub fn buckling_length_mm(youngs_mpa: f64, i_mm4: f64, n_cr_n: f64) -> f64 {
    PI * (youngs_mpa * i_mm4 / n_cr_n).sqrt()
}

/// Relative slenderness λ̄ = √(A fy / N_cr).
pub fn relative_slenderness(area_mm2: f64, yield_mpa: f64, n_cr_n: f64) -> f64 {
    (area_mm2 * yield_mpa / n_cr_n).sqrt()
}

/// Equivalent uniform moment factors C_m of Table B.3 for one diagram.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MomentFactors {
    /// The column for uniform load, which also serves a diagram that is a straight line.
    pub uniform: f64,
    /// The column for a point load.
    pub point: f64,
}

/// Both columns of Table B.3, from the moment at both ends and at midspan.
///
/// A diagram that is a straight line gives the table's 0.6 + 0.4 ψ ≥ 0.4 by the column for uniform
/// load. No moment at all gives 1.
pub fn moment_factors(first: f64, second: f64, middle: f64) -> MomentFactors {
    let (larger, smaller) = if first.abs() >= second.abs() { (first, second) } else { (second, first) };
    if larger == 0.0 && middle == 0.0 {
        return MomentFactors { uniform: 1.0, point: 1.0 };
    }
    let psi = if larger == 0.0 { 0.0 } else { smaller / larger };
    if middle.abs() <= larger.abs() {
        let a = middle / larger;
        if a >= 0.0 {
            let both = (0.2 + 0.8 * a).max(0.4);
            MomentFactors { uniform: both, point: both }
        } else if psi >= 0.0 {
            MomentFactors { uniform: (0.1 - 0.8 * a).max(0.4), point: (-0.8 * a).max(0.4) }
        } else {
            let uniform = (0.1 * (1.0 - psi) - 0.8 * a).max(0.4);
            MomentFactors { uniform, point: (0.2 * -psi - 0.8 * a).max(0.4) }
        }
    } else {
        let a = larger / middle;
        let turned = if a < 0.0 && psi < 0.0 { 1.0 + 2.0 * psi } else { 1.0 };
        MomentFactors { uniform: 0.95 + 0.05 * a * turned, point: 0.90 + 0.10 * a * turned }
    }
}

/// Equivalent uniform moment factor C_m of Table B.3, from the moment at both ends and at midspan.
///
/// `point_loads`: whether something stands on the tube between its ends; then the larger of the
/// columns for uniform and for point loads is taken.
pub fn equivalent_moment_factor(first: f64, second: f64, middle: f64, point_loads: bool) -> f64 {
    let MomentFactors { uniform, point } = moment_factors(first, second, middle);
    if point_loads { uniform.max(point) } else { uniform }
}

/// What acts on a column: design values without margin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColumnForces {
    /// Largest push, N, positive.
    pub push_n: f64,
    /// Largest moment about y, N·mm, as a magnitude.
    pub my_nmm: f64,
    /// Largest moment about z, N·mm, as a magnitude.
    pub mz_nmm: f64,
    /// C_m of the moments about y and about z.
    pub cm: [f64; 2],
}

/// A column.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColumnInput<'s> {
    /// The section.
    pub section: &'s Section,
    /// Its figures.
    pub properties: &'s Properties,
    /// Its material.
    pub material: &'s Material,
    /// Buckling length, mm.
    pub length_mm: f64,
    /// What acts.
    pub forces: ColumnForces,
    /// Margin on the loads.
    pub margin: f64,
    /// Push at which the frame as a whole buckles and this tube with it, N; `None`: it does not take part,
    /// or far above.
    pub frame_n_cr_n: Option<f64>,
}

/// A column judged, with the figures on the way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColumnResult {
    /// The larger sum of (6.61) and (6.62), loads × margin.
    pub sum: f64,
    /// Whether (6.61), the sum of the y axis, governs; else (6.62), that of the z axis.
    pub y_governs: bool,
    /// Critical push about y and z, N: the Euler load, or that of the frame where it is less.
    pub n_cr_n: [f64; 2],
    /// Where that of the frame is less about the axis that governs, the length of a pin-ended column that
    /// buckles at it, mm.
    pub frame_length_mm: Option<f64>,
    /// Relative slenderness about y and z.
    pub slenderness: [f64; 2],
    /// Reduction factor about y and z.
    pub chi: [f64; 2],
    /// Buckling resistance about y and z, N.
    pub n_b_rd_n: [f64; 2],
    /// Elastic moment resistance about y and z, N·mm.
    pub m_rd_nmm: [f64; 2],
    /// C_m of the moments about y and z: those of the forces, 0.9 at least where the frame buckles first.
    pub cm: [f64; 2],
    /// `[kyy, kyz, kzy, kzz]`.
    pub k: [f64; 4],
}

/// C_m at least of a member whose ends shift sideways as it buckles: Table B.3, from memory.
const SWAY: f64 = 0.9;

/// Interaction factors `[kyy, kyz, kzy, kzz]` of Table B.1, class 3, from the slendernesses and
/// from N_Ed over the buckling resistance of each axis.
pub fn interaction(cm: [f64; 2], slenderness: [f64; 2], n: [f64; 2]) -> [f64; 4] {
    let own = |axis: usize| {
        let bracket = (1.0 + 0.6 * slenderness[axis] * n[axis]).min(1.0 + 0.6 * n[axis]);
        cm[axis] * bracket
    };
    let (kyy, kzz) = (own(0), own(1));
    [kyy, kzz, 0.8 * kyy, kzz]
}

/// The sums of (6.61) and (6.62): `n` is N_Ed over the buckling resistance of each axis, `m` M_Ed
/// over the moment resistance about y and z, `k` `[kyy, kyz, kzy, kzz]`.
pub fn interaction_sums(n: [f64; 2], m: [f64; 2], k: [f64; 4]) -> [f64; 2] {
    [n[0] + k[0] * m[0] + k[1] * m[1], n[1] + k[2] * m[0] + k[3] * m[1]]
}

/// Judges a column.
pub fn column(input: &ColumnInput<'_>) -> ColumnResult {
    let (p, material) = (input.properties, input.material);
    let imperfection = buckling_curve(input.section, material).imperfection();
    let second_moment = [p.iy_mm4, p.iz_mm4];
    let euler_n = second_moment.map(|i| euler_load_n(material.youngs_modulus_mpa, i, input.length_mm));
    let of_frame_n = input.frame_n_cr_n.unwrap_or(f64::INFINITY);
    let n_cr_n = euler_n.map(|euler| euler.min(of_frame_n));
    let slenderness = n_cr_n.map(|n_cr| relative_slenderness(p.area_mm2, material.yield_mpa, n_cr));
    let chi = slenderness.map(|lambda| chi(lambda, imperfection));
    let n_b_rd_n = chi.map(|chi| chi * p.area_mm2 * material.yield_mpa);
    let modulus = [p.iy_mm4 / p.cz_mm, p.iz_mm4 / p.cy_mm];
    let m_rd_nmm = modulus.map(|modulus| modulus * material.yield_mpa);
    let n = n_b_rd_n.map(|resistance| input.forces.push_n * input.margin / resistance);
    let m = [input.forces.my_nmm * input.margin / m_rd_nmm[0], input.forces.mz_nmm * input.margin / m_rd_nmm[1]];
    let cm = [0, 1].map(|axis| {
        let cm = input.forces.cm[axis];
        if of_frame_n < euler_n[axis] { cm.max(SWAY) } else { cm }
    });
    let k = interaction(cm, slenderness, n);
    let [about_y, about_z] = interaction_sums(n, m, k);
    let y_governs = about_y >= about_z;
    let axis = usize::from(!y_governs);
    let frame_length_mm = (of_frame_n < euler_n[axis])
        .then(|| buckling_length_mm(material.youngs_modulus_mpa, second_moment[axis], of_frame_n));
    ColumnResult {
        sum: about_y.max(about_z),
        y_governs,
        n_cr_n,
        frame_length_mm,
        slenderness,
        chi,
        n_b_rd_n,
        m_rd_nmm,
        cm,
        k,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::section::{Bar, Flat, Given, RoundTube, built_in};

    #[test]
    fn only_a_section_that_is_known_to_be_hollow_has_the_curve_of_hot_finished_hollow_sections() {
        let mut hot = built_in("S355J2H").unwrap().material;
        hot.finish = Finish::Hot;
        let given = Given(Properties {
            area_mm2: 300.0,
            iy_mm4: 4e4,
            iz_mm4: 3e4,
            j_mm4: 5e4,
            ay_mm2: None,
            az_mm2: None,
            cy_mm: 20.0,
            cz_mm: 18.0,
            ct_mm3: None,
            plastic_mm3: None,
        });
        assert_eq!(buckling_curve(&RoundTube { od_mm: 30.0, wall_mm: 2.0 }.into(), &hot), Curve::A);
        assert_eq!(buckling_curve(&given.into(), &hot), Curve::C);
        assert_eq!(buckling_curve(&Bar { od_mm: 18.0 }.into(), &hot), Curve::C);
        assert_eq!(buckling_curve(&Flat { width_mm: 40.0, thickness_mm: 8.0 }.into(), &hot), Curve::C);
    }

    fn near(found: f64, expected: f64, relative: f64) {
        crate::math::assert_near(found, expected, relative);
    }

    #[test]
    fn buckling_load_and_slenderness_are_eulers() {
        near(euler_load_n(210_000.0, 5e4, 1000.0), 103_630.846, 1e-8); // π² · 210 000 · 50 000/10⁶
        near(buckling_length_mm(210_000.0, 5e4, 103_630.846), 1000.0, 1e-8);
        near(relative_slenderness(200.0, 355.0, 71_000.0), 1.0, 1e-15);
        near(relative_slenderness(200.0, 355.0, 17_750.0), 2.0, 1e-15);
    }

    /// Tables of χ that handbooks print for 6.3.1.2, from memory.
    #[test]
    fn at_a_slenderness_of_1_each_curve_leaves_what_the_printed_tables_say() {
        for (curve, printed) in [(Curve::A, 0.6656), (Curve::B, 0.5970), (Curve::C, 0.5399), (Curve::D, 0.4671)] {
            assert!((chi(1.0, curve.imperfection()) - printed).abs() < 5.1e-5, "{curve:?}");
        }
    }

    /// Table B.3, from memory, by hand for one diagram of each of its rows.
    #[test]
    fn moment_factors_are_those_of_each_row_of_table_b_3() {
        for ([first, second, middle], uniform, point) in [
            ([10.0, -5.0, 2.5], 0.4, 0.4),     // straight: 0.6 − 0.4 · 0.5
            ([10.0, 5.0, 7.5], 0.8, 0.8),      // straight: 0.6 + 0.4 · 0.5
            ([-10.0, -4.0, -6.0], 0.68, 0.68), // αs = 0.6
            ([10.0, 5.0, -7.0], 0.66, 0.56),   // αs = −0.7, ψ = 0.5
            ([5.0, 10.0, -3.0], 0.4, 0.4),     // αs = −0.3, ψ = 0.5: 0.34 and 0.24, not below 0.4
            ([10.0, -5.0, -7.0], 0.71, 0.66),  // αs = −0.7, ψ = −0.5: 0.15 + 0.56, 0.1 + 0.56
            ([5.0, 2.0, 10.0], 0.975, 0.95),   // αh = 0.5
            ([5.0, -2.0, 10.0], 0.975, 0.95),  // αh = 0.5, ψ = −0.4
            ([-5.0, -2.0, 10.0], 0.925, 0.85), // αh = −0.5, ψ = 0.4
            ([-5.0, 2.0, 10.0], 0.945, 0.89),  // αh = −0.5, ψ = −0.4: × (1 − 0.8)
            ([0.0, 0.0, 3.0], 0.95, 0.90),
        ] {
            let found = moment_factors(first, second, middle);
            near(found.uniform, uniform, 1e-12);
            near(found.point, point, 1e-12);
        }
    }

    fn judged(frame_n_cr_n: Option<f64>) -> ColumnResult {
        let properties = Properties {
            area_mm2: 500.0,
            iy_mm4: 8e4,
            iz_mm4: 4e4,
            j_mm4: 5e4,
            ay_mm2: None,
            az_mm2: None,
            cy_mm: 20.0,
            cz_mm: 25.0,
            ct_mm3: None,
            plastic_mm3: None,
        };
        let forces = ColumnForces { push_n: 3e4, my_nmm: 2e5, mz_nmm: 1e5, cm: [0.7, 0.6] };
        column(&ColumnInput {
            section: &Given(properties).into(),
            properties: &properties,
            material: &built_in("S355J2H").unwrap().material,
            length_mm: 600.0,
            forces,
            margin: 1.5,
            frame_n_cr_n,
        })
    }

    /// Worked apart from the program from 6.3.1, (6.61), (6.62) and Table B.1 (from memory), curve c.
    #[test]
    fn a_pushed_column_bent_about_both_axes_comes_out_as_by_hand() {
        let found = judged(None);
        for (found, expected) in [
            (found.n_cr_n, [460_581.538_7, 230_290.769_4]),
            (found.slenderness, [0.620_791_719_7, 0.877_932_069_4]),
            (found.chi, [0.772_993_263_9, 0.613_449_410_9]),
            (found.n_b_rd_n, [137_206.304_3, 108_887.270_4]),
            // 355 · 80 000/25 and 355 · 40 000/20.
            (found.m_rd_nmm, [1_136_000.0, 710_000.0]),
            // kyy and kzz, both below slenderness 1.
            ([found.k[0], found.k[3]], [0.785_513_297_4, 0.730_616_732_9]),
        ] {
            near(found[0], expected[0], 1e-9);
            near(found[1], expected[1], 1e-9);
        }
        // n_y + kyy m_y + kzz m_z = 0.68977; n_z + 0.8 kyy m_y + kzz m_z governs.
        near(found.sum, 0.733_580_610_1, 1e-9);
        assert!(!found.y_governs && found.frame_length_mm.is_none());
    }

    #[test]
    fn a_frame_that_buckles_first_takes_the_place_of_the_euler_load() {
        let found = judged(Some(1e5));
        assert_eq!((found.n_cr_n, found.cm), ([1e5, 1e5], [0.9, 0.9]));
        // Slenderness 1.33: k = 0.9 (1 + 0.6 · 0.67522), no more than at 1.
        near(found.k[0], 1.264_619_801_7, 1e-9);
        near(found.sum, 1.276_361_549_4, 1e-9);
        assert!(found.y_governs);
        // π √(210 000 · 80 000/100 000).
        near(found.frame_length_mm.unwrap(), 1_287.669_81, 1e-8);
        assert_eq!(judged(Some(1e7)), judged(None));
    }

    #[test]
    fn hot_finished_hollow_sections_have_curve_a_and_from_460_mpa_on_a0() {
        let mut hot = built_in("S355J2H").unwrap().material;
        hot.finish = Finish::Hot;
        for (strength, curve) in [(459.0, Curve::A), (460.0, Curve::A0), (500.0, Curve::A0)] {
            hot.yield_mpa = strength;
            assert_eq!(buckling_curve(&RoundTube { od_mm: 30.0, wall_mm: 2.0 }.into(), &hot), curve, "{strength}");
        }
    }

    #[test]
    fn without_a_moment_the_factor_is_1_and_with_point_loads_it_is_the_larger_of_both_columns() {
        let none = moment_factors(0.0, 0.0, 0.0);
        assert_eq!((none.uniform, none.point), (1.0, 1.0));
        // Equal and opposite at both ends: 0.6 − 0.4, not below 0.4.
        let turning = moment_factors(10.0, -10.0, 0.0);
        assert_eq!((turning.uniform, turning.point), (0.4, 0.4));
        // αh = −0.5, ψ = 0.4: 0.925 and 0.85.
        for point_loads in [false, true] {
            near(equivalent_moment_factor(-5.0, -2.0, 10.0, point_loads), 0.925, 1e-12);
        }
        // αs = −0.9, ψ = −1: 0.1 · 2 + 0.72 and 0.2 + 0.72.
        near(equivalent_moment_factor(10.0, -10.0, -9.0, true), 0.92, 1e-12);
    }
}
