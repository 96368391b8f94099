//! A flat that is bent on edge.

use super::symbols::Symbols;
use super::{ByHand, HandCheck};
use crate::checks::{Check, Curve, LateralResult};

impl ByHand<'_> {
    pub(super) fn lateral(&self, result: &LateralResult) -> Option<HandCheck> {
        let margin = self.report.model.cases[self.case].limits.column_margin?;
        let (p, material) = (&self.tube.properties, self.material());
        let mut lines = Symbols::default();
        lines.given("E", material.youngs_modulus_mpa, "MPa");
        lines.given("G", material.shear_modulus_mpa, "MPa");
        lines.given("I", p.iy_mm4.min(p.iz_mm4), "mm⁴, about the weak axis");
        lines.given("J", p.j_mm4, "mm⁴, torsion");
        lines.given("L", result.length_mm, "mm, that nothing holds (twice the length where one end is free)");
        lines.given("f_y", material.yield_mpa, "MPa");
        let modulus = (p.iy_mm4 / p.cz_mm).max(p.iz_mm4 / p.cy_mm);
        lines.given("W", modulus, "mm³, about the strong axis");
        lines.work("M_cr", "π / L × √(E × I × G × J)", result.m_cr_nmm, "N·mm");
        lines.work("λ_LT", "√(W × f_y / M_cr)", result.slenderness, "");
        if result.slenderness <= 0.2 {
            lines.given("χ_LT", result.chi, "as λ_LT is not above 0.2");
        } else {
            let (alpha, slenderness) = (Curve::D.imperfection(), result.slenderness);
            lines.given("α_LT", alpha, "of curve d");
            let phi = 0.5 * (1.0 + alpha * (slenderness - 0.2) + slenderness * slenderness);
            lines.work("φ_LT", "0.5 × (1 + α_LT × (λ_LT − 0.2) + λ_LT^2)", phi, "");
            lines.work("χ_LT", "1 / (φ_LT + √(φ_LT^2 − λ_LT^2))", result.chi, "");
        }
        lines.work("M_b,Rd", "χ_LT × W × f_y", result.m_rd_nmm, "N·mm");
        lines.given("M_Ed", result.forces.moment_nmm, "N·mm, about the strong axis");
        lines.given("margin", margin, "");
        lines.given("n_z", result.forces.push_part, "push × margin over its resistance about the weak axis");
        lines.given("m_z", result.forces.weak_part, "moment × margin about the weak axis over its own, × k_zz");
        lines.work("utilisation", "n_z + M_Ed × margin / M_b,Rd + m_z", result.sum, "");
        let title = self.title("Sideways", "", "EN 1993-1-1:2005 6.3.2.2 with curve d, and (6.62) with k_zy = 1");
        Some(self.sheet(Check::Lateral, title, lines.lines()))
    }
}
