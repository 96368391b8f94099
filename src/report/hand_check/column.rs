//! A pushed and bent tube.

use super::{ByHand, HandCheck, Lines};
use crate::checks::{Check, ColumnForces, ColumnResult, Curve, buckling_curve, euler_load_n};
use crate::math::larger_than;
use crate::run::TubeJudged;
use crate::section::{Material, Properties};
use crate::units::brief;

impl ByHand<'_> {
    pub(super) fn column(&self, judged: &TubeJudged) -> Option<HandCheck> {
        let (length_mm, forces, result) = judged.column.as_ref()?;
        let margin = self.report.model.cases[self.case].limits.column_margin?;
        let mut lines = Lines::default();
        self.figures_of_section(&mut lines);
        let material = self.material();
        lines.given("E", material.youngs_modulus_mpa, "MPa");
        lines.given("f_y", material.yield_mpa, "MPa");
        lines.given("L", *length_mm, "mm");
        let curve = buckling_curve(self.section, material);
        lines.given("α", curve.imperfection(), &format!("of buckling curve {}", letter(curve)));
        lines.given("N_Ed", forces.push_n, "N");
        lines.given("M_y", forces.my_nmm, "N·mm");
        lines.given("M_z", forces.mz_nmm, "N·mm");
        lines.given("margin", margin, "");
        lines.given("C_my", result.cm[0], "");
        lines.given("C_mz", result.cm[1], "");
        let column =
            Column { p: &self.tube.properties, material, curve, length_mm: *length_mm, forces, result, margin };
        column.axes(&mut lines, self.section.is_round());
        column.sum(&mut lines, self.section.is_round());
        let title = self.title("Column", "", "EN 1993-1-1:2005 6.3.1.2 and 6.3.3 with Annex B, Tables B.1 and B.3");
        Some(self.sheet(Check::Column, title, lines))
    }
}

fn letter(curve: Curve) -> &'static str {
    match curve {
        Curve::A0 => "a0",
        Curve::A => "a",
        Curve::B => "b",
        Curve::C => "c",
        Curve::D => "d",
    }
}

/// A column with what was found.
struct Column<'r> {
    p: &'r Properties,
    material: &'r Material,
    curve: Curve,
    length_mm: f64,
    forces: &'r ColumnForces,
    result: &'r ColumnResult,
    margin: f64,
}

impl Column<'_> {
    /// Whether the frame's own buckling gives the critical push about an axis, and not the length of the tube.
    fn is_of_frame(&self, axis: usize) -> bool {
        let second = [self.p.iy_mm4, self.p.iz_mm4][axis];
        larger_than(euler_load_n(self.material.youngs_modulus_mpa, second, self.length_mm), self.result.n_cr_n[axis])
    }

    /// Buckling resistance about each axis; of a round section once.
    fn axes(&self, lines: &mut Lines, is_round: bool) {
        let of_axis: &[(usize, &str)] = if is_round { &[(0, "")] } else { &[(0, ",y"), (1, ",z")] };
        let second = [self.p.iy_mm4, self.p.iz_mm4];
        for (axis, suffix) in of_axis.iter().copied() {
            let i = if is_round { "I".to_owned() } else { format!("I_{}", ["y", "z"][axis]) };
            let [n_cr, slenderness, chi] =
                [self.result.n_cr_n[axis], self.result.slenderness[axis], self.result.chi[axis]];
            if self.is_of_frame(axis) {
                let factor = n_cr / self.forces.push_n;
                lines.given(&format!("λ_cr{suffix}"), factor, "times the load buckles the frame and this tube with it");
                let figures = format!("{} × {}", brief(factor), brief(self.forces.push_n));
                lines.line(&format!("N_cr{suffix}"), &format!("λ_cr{suffix} × N_Ed"), &figures, n_cr, "N");
            } else {
                let (e, length) = (brief(self.material.youngs_modulus_mpa), brief(self.length_mm));
                let figures = format!("π^2 × {e} × {} / {length}^2", brief(second[axis]));
                lines.line(&format!("N_cr{suffix}"), &format!("π² × E × {i} / L²"), &figures, n_cr, "N");
            }
            let (area, yielding) = (brief(self.p.area_mm2), brief(self.material.yield_mpa));
            let figures = format!("√({area} × {yielding} / {})", brief(n_cr));
            lines.line(&format!("λ{suffix}"), &format!("√(A × f_y / N_cr{suffix})"), &figures, slenderness, "");
            if slenderness <= 0.2 {
                lines.given(&format!("χ{suffix}"), chi, "as λ is not above 0.2");
            } else {
                let alpha = self.curve.imperfection();
                let phi = 0.5 * (1.0 + alpha * (slenderness - 0.2) + slenderness * slenderness);
                let (alpha, lambda) = (brief(alpha), brief(slenderness));
                let figures = format!("0.5 × (1 + {alpha} × ({lambda} − 0.2) + {lambda}^2)");
                let formula = format!("0.5 × (1 + α × (λ{suffix} − 0.2) + λ{suffix}²)");
                lines.line(&format!("φ{suffix}"), &formula, &figures, phi, "");
                let phi = brief(phi);
                let figures = format!("1 / ({phi} + √({phi}^2 − {lambda}^2))");
                let formula = format!("1 / (φ{suffix} + √(φ{suffix}² − λ{suffix}²))");
                lines.line(&format!("χ{suffix}"), &formula, &figures, chi, "");
            }
            let resistance = self.result.n_b_rd_n[axis];
            let figures = format!("{} × {area} × {yielding}", brief(chi));
            lines.line(&format!("N_b,Rd{suffix}"), &format!("χ{suffix} × A × f_y"), &figures, resistance, "N");
            let figures = format!("{} × {} / {}", brief(self.forces.push_n), brief(self.margin), brief(resistance));
            lines.line(
                &format!("n{suffix}"),
                &format!("N_Ed × margin / N_b,Rd{suffix}"),
                &figures,
                self.push(axis),
                "",
            );
        }
    }

    /// N_Ed over the buckling resistance about an axis.
    fn push(&self, axis: usize) -> f64 {
        self.forces.push_n * self.margin / self.result.n_b_rd_n[axis]
    }

    /// Moments over resistances, factors, and the sum that governs.
    fn sum(&self, lines: &mut Lines, is_round: bool) {
        let suffixes = if is_round { ["", ""] } else { [",y", ",z"] };
        let modulus = [self.p.iy_mm4 / self.p.cz_mm, self.p.iz_mm4 / self.p.cy_mm];
        let moments = [self.forces.my_nmm, self.forces.mz_nmm];
        let mut m = [0.0; 2];
        for (axis, name) in ["y", "z"].into_iter().enumerate() {
            let (i, c) = ([self.p.iy_mm4, self.p.iz_mm4][axis], [self.p.cz_mm, self.p.cy_mm][axis]);
            let i_name = if is_round { "I".to_owned() } else { format!("I_{name}") };
            lines.given(&format!("c_{name}"), c, "mm, from the axis to the outermost fibre");
            let figures = format!("{} / {}", brief(i), brief(c));
            lines.line(&format!("W_{name}"), &format!("{i_name} / c_{name}"), &figures, modulus[axis], "mm³");
            m[axis] = moments[axis] * self.margin / self.result.m_rd_nmm[axis];
            let yielding = brief(self.material.yield_mpa);
            let figures =
                format!("{} × {} / ({} × {yielding})", brief(moments[axis]), brief(self.margin), brief(modulus[axis]));
            lines.line(&format!("m_{name}"), &format!("M_{name} × margin / (W_{name} × f_y)"), &figures, m[axis], "");
        }
        let [kyy, kyz, kzy, kzz] = self.result.k;
        for (axis, k) in [kyy, kzz].into_iter().enumerate() {
            let (name, suffix) = (["y", "z"][axis], suffixes[axis]);
            let (cm, n) = (brief(self.result.cm[axis]), brief(self.push(axis)));
            let slenderness = self.result.slenderness[axis];
            let (formula, figures) = if slenderness < 1.0 {
                (
                    format!("C_m{name} × (1 + 0.6 × λ{suffix} × n{suffix})"),
                    format!("{cm} × (1 + 0.6 × {} × {n})", brief(slenderness)),
                )
            } else {
                (format!("C_m{name} × (1 + 0.6 × n{suffix})"), format!("{cm} × (1 + 0.6 × {n})"))
            };
            lines.line(&format!("k_{name}{name}"), &formula, &figures, k, "");
        }
        let [my, mz] = m.map(brief);
        if self.result.y_governs {
            let figures = format!("{} + {} × {my} + {} × {mz}", brief(self.push(0)), brief(kyy), brief(kyz));
            let formula = format!("n{} + k_yy × m_y + k_zz × m_z", suffixes[0]);
            lines.line("utilisation (6.61)", &formula, &figures, self.result.sum, "");
        } else {
            lines.line("k_zy", "0.8 × k_yy", &format!("0.8 × {}", brief(kyy)), kzy, "");
            let figures = format!("{} + {} × {my} + {} × {mz}", brief(self.push(1)), brief(kzy), brief(kzz));
            let formula = format!("n{} + k_zy × m_y + k_zz × m_z", suffixes[1]);
            lines.line("utilisation (6.62)", &formula, &figures, self.result.sum, "");
        }
    }
}
