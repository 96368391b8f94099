//! The weld at a tube's end.

use super::{ByHand, HandCheck, Lines, figure};
use crate::checks::{Check, LineForce, Spread, ThroatStress, WeldLine, WeldMetal, on_weld};
use crate::run::WeldJudged;
use crate::units::brief;

/// γM2 and γMw, as the lines show it.
const PARTIAL_FACTOR: &str = "1.25";

impl ByHand<'_> {
    pub(super) fn weld(&self, judged: &WeldJudged) -> Option<HandCheck> {
        let margin = self.report.model.cases[self.case].limits.yield_margin?;
        let result = &judged.result;
        let mut lines = Lines::default();
        let throat = result.weld.throat_mm;
        lines.given("a", throat, "mm, throat");
        let stress = match (result.weld.line, result.angle_rad) {
            (WeldLine::Ring { radius_mm }, Some(angle)) => {
                let force = self.force_on_ring(&mut lines, judged, radius_mm, angle);
                throat_stress(&mut lines, &force, throat, &result.stress)
            }
            _ => {
                lines.given("σ⊥", result.stress.normal, "MPa, of the forces at the worst place of the line");
                lines.given("τ⊥", result.stress.across, "MPa");
                lines.given("τ∥", result.stress.along, "MPa");
                result.stress
            }
        };
        let [normal, across, along] = [stress.normal, stress.across, stress.along].map(figure);
        let found = result.stress.comparison_mpa();
        let figures = format!("√({normal}^2 + 3 × ({across}^2 + {along}^2))");
        lines.line("σ_w", "√(σ⊥² + 3 × (τ⊥² + τ∥²))", &figures, found, "MPa");
        let resistance = result.weld.metal.resistance_mpa();
        let clause = match result.weld.metal {
            WeldMetal::Steel { ultimate_mpa, correlation } => {
                lines.given("f_u", ultimate_mpa, "MPa");
                lines.given("β_w", correlation, "");
                let figures = format!("{} / ({} × {PARTIAL_FACTOR})", brief(ultimate_mpa), brief(correlation));
                lines.line("f_w,Rd", &format!("f_u / (β_w × {PARTIAL_FACTOR})"), &figures, resistance, "MPa");
                "EN 1993-1-8:2005 4.5.3.2"
            }
            WeldMetal::Aluminium { strength_mpa } => {
                lines.given("f_w", strength_mpa, "MPa");
                let figures = format!("{} / {PARTIAL_FACTOR}", brief(strength_mpa));
                lines.line("f_w,Rd", &format!("f_w / {PARTIAL_FACTOR}"), &figures, resistance, "MPa");
                "EN 1999-1-1:2007 8.6.3"
            }
        };
        lines.given("margin", margin, "");
        match result.weld.metal.normal_resistance_mpa() {
            Some(most) if result.stress.normal.abs() / most > found / resistance => {
                let ultimate = most * 1.25 / 0.9;
                let figures = format!("0.9 × {} / {PARTIAL_FACTOR}", brief(ultimate));
                lines.line("σ_Rd", &format!("0.9 × f_u / {PARTIAL_FACTOR}"), &figures, most, "MPa");
                let figures = format!("{} × {} / {}", brief(stress.normal.abs()), brief(margin), brief(most));
                lines.line("utilisation", "|σ⊥| × margin / σ_Rd", &figures, result.directional, "");
            }
            _ => {
                let figures = format!("{} × {} / {}", brief(found), brief(margin), brief(resistance));
                lines.line("utilisation", "σ_w × margin / f_w,Rd", &figures, result.directional, "");
            }
        }
        let at = super::words::place_on_tube(self.report, self.name, judged.at_mm);
        let place = format!(" {at}{}", super::words::on_the_deformed_frame(judged.deformed));
        Some(self.sheet(Check::Weld, self.title("Weld", &place, clause), lines))
    }

    /// The force on a millimetre of the ring at the angle where it is stressed most.
    fn force_on_ring(&self, lines: &mut Lines, judged: &WeldJudged, radius: f64, angle: f64) -> LineForce {
        let result = &judged.result;
        let f = on_weld(&result.forces, judged.end);
        let exact = WeldLine::round(radius, &f, result.spread).at(angle);
        let whole = exact.axial.hypot(exact.outward).hypot(exact.along);
        lines.given("r", radius, "mm, radius of the line of weld");
        lines.internal_forces(&f, ", of the tube on the weld");
        // The cosine of a right angle is round-off.
        let [sin, cos] = [angle.sin(), angle.cos()].map(|part| if part.abs() < 1e-9 { 0.0 } else { part });
        lines.given("cos θ", cos, "where it is stressed most, from y towards z");
        lines.given("sin θ", sin, "");
        let [n, vy, vz, t, my, mz] = [f.n, f.vy, f.vz, f.t, f.my, f.mz].map(figure);
        let (cos, sin, r) = (figure(cos), figure(sin), brief(radius));
        let figures = format!("{n} / (2 × π × {r}) + ({my} × {sin} − {mz} × {cos}) / (π × {r}^2)");
        let formula = "n / (2 × π × r) + (my × sin θ − mz × cos θ) / (π × r²)";
        let axial = lines.part("f_axial", formula, &figures, exact.axial, whole, "N/mm");
        let across = format!("({vz} × {cos} − {vy} × {sin})");
        let (spread, outward) = match result.spread {
            Spread::Flow => ("", 0.0),
            Spread::Even => {
                let figures = format!("({vy} × {cos} + {vz} × {sin}) / (2 × π × {r})");
                let formula = "(vy × cos θ + vz × sin θ) / (2 × π × r)";
                ("2 × ", lines.part("f_outward", formula, &figures, exact.outward, whole, "N/mm"))
            }
        };
        let figures = format!("{t} / (2 × π × {r}^2) + {across} / ({spread}π × {r})");
        let formula = format!("t / (2 × π × r²) + (vz × cos θ − vy × sin θ) / ({spread}π × r)");
        let along = lines.part("f_along", &formula, &figures, exact.along, whole, "N/mm");
        LineForce { axial, outward, along }
    }
}

/// The stresses in the throat of a force on a millimetre of weld.
fn throat_stress(lines: &mut Lines, force: &LineForce, throat: f64, exact: &ThroatStress) -> ThroatStress {
    let whole = exact.comparison_mpa();
    let [axial, outward, along] = [force.axial, force.outward, force.along].map(figure);
    let a = brief(throat);
    let names = if force.outward == 0.0 {
        ["f_axial", "f_axial"]
    } else {
        ["(f_axial − f_outward)", "(f_axial + f_outward)"]
    };
    let sums = if force.outward == 0.0 {
        [axial.clone(), axial]
    } else {
        [format!("({axial} − {outward})"), format!("({axial} + {outward})")]
    };
    let mut part = |name: &str, of: &str, sum: &str, value: f64| {
        let formula = format!("{of} / (√(2) × a)");
        lines.part(name, &formula, &format!("{sum} / (√(2) × {a})"), value, whole, "MPa")
    };
    let normal = part("σ⊥", names[0], &sums[0], exact.normal);
    let across = part("τ⊥", names[1], &sums[1], exact.across);
    let along = lines.part("τ∥", "f_along / a", &format!("{along} / {a}"), exact.along, whole, "MPa");
    ThroatStress { normal, across, along }
}
