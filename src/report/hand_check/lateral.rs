//! A flat that is bent on edge.

use super::symbols::Symbols;
use super::{ByHand, HandCheck};
use crate::checks::{Check, CriticalMoment, Curve, LateralResult, LateralSum, Sideways};

/// What a factor of moments about an axis is, whichever letter that has in the section.
const K_OF: &str = "of the column about that axis; 1 where nothing pushes it";

impl ByHand<'_> {
    pub(super) fn lateral(&self, result: &LateralResult) -> Option<HandCheck> {
        let margin = self.report.model.cases[self.case].limits.column_margin?;
        let (p, material) = (&self.tube.properties, self.material());
        let mut lines = Symbols::default();
        lines.given("M_Ed", result.forces.moment_nmm, "N·mm, about the strong axis");
        lines.given("f_y", material.yield_mpa, "MPa");
        let Some(Sideways { source, m_cr_nmm, slenderness, chi }) = result.sideways else {
            return Some(self.lying_over(result, margin, lines));
        };
        let modulus = (p.iy_mm4 / p.cz_mm).max(p.iz_mm4 / p.cy_mm);
        lines.given("W", modulus, "mm³, about the strong axis");
        match source {
            CriticalMoment::EvenStrip(length_mm) => {
                lines.given("E", material.youngs_modulus_mpa, "MPa");
                lines.given("G", material.shear_modulus_mpa, "MPa");
                lines.given("I", p.iy_mm4.min(p.iz_mm4), "mm⁴, about the weak axis");
                lines.given("J", p.j_mm4, "mm⁴, torsion");
                lines.given("L", length_mm, "mm, that nothing holds (twice the length where one end is free)");
                lines.work("M_cr", "π / L × √(E × I × G × J)", m_cr_nmm, "N·mm");
            }
            CriticalMoment::InFrame(factor) => {
                lines.given("λ", factor, "times its moments the flat gives way sideways in its frame");
                lines.work("M_cr", "λ × M_Ed", m_cr_nmm, "N·mm");
            }
            CriticalMoment::InFrameAtLeast(factor) => {
                lines.given("λ", factor, "times its moments the flat does not give way sideways in its frame");
                lines.work("M_cr", "λ × M_Ed", m_cr_nmm, "N·mm at least");
            }
        }
        lines.work("λ_LT", "√(W × f_y / M_cr)", slenderness, "");
        if chi == 1.0 && slenderness > 0.2 {
            lines.given("χ_LT", chi, "as M_Ed × margin / M_cr is not above 0.04");
        } else if slenderness <= 0.2 {
            lines.given("χ_LT", chi, "as λ_LT is not above 0.2");
        } else {
            let alpha = Curve::D.imperfection();
            lines.given("α_LT", alpha, "of curve d");
            let phi = 0.5 * (1.0 + alpha * (slenderness - 0.2) + slenderness * slenderness);
            lines.work("φ_LT", "0.5 × (1 + α_LT × (λ_LT − 0.2) + λ_LT^2)", phi, "");
            lines.work("χ_LT", "1 / (φ_LT + √(φ_LT^2 − λ_LT^2))", chi, "");
        }
        lines.work("M_b,Rd", "χ_LT × W × f_y", result.m_rd_nmm, "N·mm");
        lines.given("margin", margin, "");
        let (n, axis) = match result.governs {
            LateralSum::Strong => (("n_strong", result.forces.push_parts[0]), "strong"),
            LateralSum::Weak => (("n_weak", result.forces.push_parts[1]), "weak"),
        };
        lines.given(n.0, n.1, &format!("push × margin over its resistance about the {axis} axis"));
        lines.given("m_weak", result.forces.weak_part, "moment × margin about the weak axis over its own");
        lines.given("k_weak", result.forces.k[1], K_OF);
        let clause = match result.governs {
            LateralSum::Strong => {
                lines.given("k_strong", result.forces.k[0], K_OF);
                let formula = "n_strong + k_strong × M_Ed × margin / M_b,Rd + k_weak × m_weak";
                lines.work("utilisation", formula, result.sum, "");
                "EN 1993-1-1:2005 6.3.2.2 with curve d, and (6.61)"
            }
            LateralSum::Weak => {
                lines.work("utilisation", "n_weak + M_Ed × margin / M_b,Rd + k_weak × m_weak", result.sum, "");
                "EN 1993-1-1:2005 6.3.2.2 with curve d, and (6.62) with 1 for the factor of M_Ed"
            }
        };
        let title = self.title("Sideways", "", clause);
        Some(self.sheet(Check::Lateral, title, lines.lines()))
    }

    /// A flat that nothing holds against turning about itself.
    fn lying_over(&self, result: &LateralResult, margin: f64, mut lines: Symbols) -> HandCheck {
        let p = &self.tube.properties;
        lines.given(
            "W",
            (p.iy_mm4 / p.cz_mm).min(p.iz_mm4 / p.cy_mm),
            "mm³, about the weak axis, onto which it lies over",
        );
        lines.work("M_Rd", "W × f_y", result.m_rd_nmm, "N·mm");
        lines.given("margin", margin, "");
        lines.given("n_weak", result.forces.push_parts[1], "push × margin over its resistance about the weak axis");
        lines.given("m_weak", result.forces.weak_part, "moment × margin about the weak axis over its own");
        lines.given("k_weak", result.forces.k[1], K_OF);
        lines.work("m", "M_Ed × margin / M_Rd", result.forces.moment_nmm * margin / result.m_rd_nmm, "");
        lines.work("utilisation", "n_weak + k_weak × √(m^2 + m_weak^2)", result.sum, "");
        let title = self.title("Sideways", "", "EN 1993-1-1:2005 (6.62), all moments about the weak axis");
        self.sheet(Check::Lateral, title, lines.lines())
    }
}
