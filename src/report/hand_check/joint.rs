//! The wall of the tube that a tube is welded onto: every resistance from its formula.

use std::f64::consts::PI;

use super::symbols::Symbols;
use super::{ByHand, HandCheck};
use crate::checks::{
    Check, ChordInGap, Curve, GapRule, Hollow, JointFailure, JointKind, JointShape, chi, sheared_across_n,
};
use crate::run::JointJudged;

impl ByHand<'_> {
    pub(super) fn joint(&self, judged: &JointJudged) -> Option<HandCheck> {
        let margin = self.report.model.cases[self.case].limits.yield_margin?;
        let (forces, result) = (&judged.forces, &judged.result);
        let resistances = [result.n_rd_n, result.in_plane_rd_nmm, result.out_of_plane_rd_nmm];
        if resistances.iter().any(|resistance| *resistance <= 0.0) {
            return None;
        }
        let mut lines = Symbols::default();
        lines.given("margin", margin, "");
        if judged.shape.chord.is_round {
            RoundJoint { judged, margin }.resistances(&mut lines);
        } else {
            BoxJoint { judged, margin }.resistances(&mut lines);
        }
        for ((demand, resisting, share), (value, resistance, unit)) in [
            (("N_Ed", "N_Rd", "n"), (forces.n_n, result.n_rd_n, "N")),
            (("M_ip,Ed", "M_ip,Rd", "m_ip"), (forces.in_plane_nmm, result.in_plane_rd_nmm, "N·mm")),
            (("M_op,Ed", "M_op,Rd", "m_op"), (forces.out_of_plane_nmm, result.out_of_plane_rd_nmm, "N·mm")),
        ] {
            lines.given(demand, value.abs(), unit);
            lines.work(share, &format!("{demand} × margin / {resisting}"), value.abs() * margin / resistance, "");
        }
        let formula = if judged.shape.chord.is_round { "n + m_ip^2 + m_op" } else { "n + m_ip + m_op" };
        match result.governing_gap() {
            None => lines.work("utilisation", formula, result.sum, ""),
            Some(gap) => {
                lines.work("sum", formula, result.sum, "of the wall, less than what the tube between both comes to");
                chord_in_gap(&mut lines, judged, gap, margin)
            }
        };
        let at = super::words::place_on_tube(self.report, self.name, judged.at_mm);
        let there = super::words::on_the_deformed_frame(judged.deformed);
        let place = format!(" {at} onto {}{there}", judged.chord);
        Some(self.sheet(Check::Joint, self.title("Joint", &place, judged.clause()), lines.lines()))
    }
}

/// The strength that a tube counts with.
fn strength(lines: &mut Symbols, name: &str, tube: &Hollow, what: &str) -> f64 {
    let whole = tube.yield_mpa.min(tube.yield_at_weld_mpa);
    let counted = tube.strength_mpa();
    let what = format!("MPa, strength of {what}, the lesser of tube and weld");
    if counted == whole {
        lines.given(name, whole, &what);
    } else {
        lines.given("f", whole, &what);
        lines.work(name, "0.9 × f", counted, "MPa, as the grade is above 355 MPa");
    }
    counted
}

/// What the chord is pushed by over its strength, at most 1.
fn push(lines: &mut Symbols, push_mpa: f64, margin: f64, strength_mpa: f64) -> f64 {
    lines.given("σ_p", push_mpa, "MPa, the chord's largest push");
    let part = push_mpa * margin / strength_mpa;
    if part < 1.0 {
        lines.work("n_p", "σ_p × margin / f_y0", part, "")
    } else {
        lines.given("n_p", 1.0, "as the chord is at yield");
        1.0
    }
}

/// The axial resistance, where tubes in other planes take a part of it.
fn axial(lines: &mut Symbols, judged: &JointJudged, formula: &str) {
    let result = &judged.result;
    let what = format!("N, {}", result.failures[0].name());
    if result.planes == 1.0 {
        lines.work("N_Rd", formula, result.n_rd_n, &what);
    } else {
        lines.work("N_1", formula, result.n_rd_n / result.planes, &what);
        lines.given("μ", result.planes, "what tubes in other planes leave");
        lines.work("N_Rd", "μ × N_1", result.n_rd_n, "N");
    }
}

/// α_v, by which the faces of a box carry shear between two tubes.
fn shear_factor(lines: &mut Symbols, shape: &JointShape, gap_mm: f64) {
    if shape.brace.is_round {
        lines.given("α_v", 0.0, "for a round tube");
        return;
    }
    lines.given("g", gap_mm, "mm, between both");
    let alpha = (1.0 + 4.0 * gap_mm.powi(2) / (3.0 * shape.chord.wall_mm.powi(2))).sqrt().recip();
    lines.work("α_v", "1 / √(1 + 4 × g^2 / (3 × t_0^2))", alpha, "");
}

/// The tube that is welded onto, between this tube and the one beside it.
fn chord_in_gap(lines: &mut Symbols, judged: &JointJudged, found: &ChordInGap, margin: f64) -> f64 {
    let chord = &judged.shape.chord;
    lines.given("A_0", found.gap.area_mm2, "mm², of the tube that is welded onto");
    let [area_mm2, across_mm2] = found.shear_areas_mm2;
    if chord.is_round {
        lines.work("A_v", "2 × A_0 / π", area_mm2, "mm²");
    } else if found.rule == GapRule::Squares {
        lines.work("A_v", "A_0 × h_0 / (b_0 + h_0)", area_mm2, "mm²");
    } else {
        shear_factor(lines, &judged.shape, found.gap.gap_mm);
        lines.work("A_v", "(2 × h_0 + α_v × b_0) × t_0", area_mm2, "mm²");
    }
    lines.work("V_Rd", "f_y0 × A_v / √(3)", found.v_rd_n, "N");
    lines.given("V_0", found.forces.shear_n, "N, shear between both tubes, in their plane");
    let mut v = lines.work("v", "V_0 × margin / V_Rd", found.forces.shear_n * margin / found.v_rd_n, "");
    if found.rule == GapRule::Squares {
        let across_rd_n = found.v_rd_n * across_mm2 / area_mm2;
        if chord.is_round {
            lines.given("V_a,Rd", across_rd_n, "N, alike all round");
        } else {
            lines.work("V_a,Rd", "f_y0 × A_0 × b_0 / (b_0 + h_0) / √(3)", across_rd_n, "N");
        }
        lines.given("V_a", found.forces.across_n, "N, shear across their plane");
        let across = lines.work("v_a", "V_a × margin / V_a,Rd", found.forces.across_n * margin / across_rd_n, "");
        v = lines.work("v_0", "√(v^2 + v_a^2)", v.hypot(across), "");
    }
    if found.rule == GapRule::Shear {
        return lines.work("utilisation", "v", v, "");
    }
    lines.given("N_0", found.forces.n_n.abs(), "N, along it between both tubes");
    if found.rule == GapRule::Squares {
        lines.work("N_0,Rd", "f_y0 × A_0", found.n_rd_n, "N");
        let n = lines.work("n_0", "N_0 × margin / N_0,Rd", found.forces.n_n.abs() * margin / found.n_rd_n, "");
        return lines.work("utilisation", "√(n_0^2 + v_0^2)", n.hypot(v), "");
    }
    lines.work("N_0,Rd", "f_y0 × (A_0 − A_v) + f_y0 × A_v × √(1 − v^2)", found.n_rd_n, "N");
    lines.work("utilisation", "N_0 × margin / N_0,Rd", found.utilisation, "")
}

/// A round tube on a round tube.
struct RoundJoint<'r> {
    judged: &'r JointJudged,
    margin: f64,
}

impl RoundJoint<'_> {
    fn resistances(&self, lines: &mut Symbols) {
        let JointJudged { shape, result, forces, .. } = self.judged;
        let f_y0 = strength(lines, "f_y0", &shape.chord, "the wall that is welded onto");
        lines.given("d_0", shape.chord.width_mm, "mm");
        lines.given("t_0", shape.chord.wall_mm, "mm");
        lines.given("d_1", shape.brace.width_mm, "mm, of the tube itself");
        lines.given("sin θ", shape.angle_rad.sin(), "of the angle between both");
        push(lines, forces.chord_push_mpa, self.margin, f_y0);
        lines.work("k_p", "1 − 0.3 × n_p × (1 + n_p)", result.chord_factor, "");
        lines.work("β", "d_1 / d_0", shape.beta(), "");
        lines.work("γ", "d_0 / (2 × t_0)", shape.gamma(), "");
        let face = f_y0 * shape.chord.wall_mm.powi(2) / shape.angle_rad.sin();
        lines.work("F", "f_y0 × t_0^2 / sin θ", face, "N");
        self.axial(lines);
        let what = |failure: JointFailure| format!("N·mm, {}", failure.name());
        let formula = match result.failures[1] {
            JointFailure::Punching => "f_y0 × t_0 × d_1^2 / √(3) × (1 + 3 × sin θ) / (4 × sin θ^2)",
            _ => "4.85 × F × d_1 × √(γ) × β × k_p",
        };
        lines.work("M_ip,Rd", formula, result.in_plane_rd_nmm, &what(result.failures[1]));
        let formula = match result.failures[2] {
            JointFailure::Punching => "f_y0 × t_0 × d_1^2 / √(3) × (3 + sin θ) / (4 × sin θ^2)",
            _ => "F × d_1 × 2.7 / (1 − 0.81 × β) × k_p",
        };
        lines.work("M_op,Rd", formula, result.out_of_plane_rd_nmm, &what(result.failures[2]));
    }

    fn axial(&self, lines: &mut Symbols) {
        let JointJudged { shape, result, .. } = self.judged;
        let formula = match (result.failures[0], result.kind) {
            (JointFailure::Punching, _) => "f_y0 × t_0 / √(3) × π × d_1 × (1 + sin θ) / (2 × sin θ^2)",
            (_, JointKind::Alone) => "γ^0.2 × k_p × F × (2.8 + 14.2 × β^2)",
            (_, JointKind::Cross) => "k_p × F × 5.2 / (1 − 0.81 × β)",
            (_, JointKind::Pair { gap_mm, pushed_mm, .. }) => {
                lines.given("g", gap_mm, "mm, gap to the tube beside it; below zero they overlap");
                lines.given("d_p", pushed_mm, "mm, of the one of both that is pushed");
                let gamma = shape.gamma();
                let gap = (0.5 * gap_mm / shape.chord.wall_mm - 1.33).exp();
                let k_g = gamma.powf(0.2) * (1.0 + 0.024 * gamma.powf(1.2) / (1.0 + gap));
                let formula = "γ^0.2 × (1 + 0.024 × γ^1.2 / (1 + exp(0.5 × g / t_0 − 1.33)))";
                lines.work("k_g", formula, k_g, "");
                "k_g × k_p × F × (1.8 + 10.2 × d_p / d_0)"
            }
        };
        axial(lines, self.judged, formula);
    }
}

/// A box or a round tube on a box.
struct BoxJoint<'r> {
    judged: &'r JointJudged,
    margin: f64,
}

/// Up to this β the face of a box bends.
const FACE_UP_TO: f64 = 0.85;

impl BoxJoint<'_> {
    /// A formula of boxes; of a round tube π/4 of it.
    fn of_shape(&self, formula: &str) -> String {
        if self.judged.shape.brace.is_round { format!("π / 4 × ({formula})") } else { formula.to_owned() }
    }

    fn resistances(&self, lines: &mut Symbols) {
        let JointJudged { shape, result, forces, .. } = self.judged;
        let (chord, brace) = (&shape.chord, &shape.brace);
        let f_y0 = strength(lines, "f_y0", chord, "the box that is welded onto");
        for (name, value, what) in [
            ("b_0", chord.width_mm, "mm, across the plane of both tubes"),
            ("h_0", chord.depth_mm, "mm"),
            ("t_0", chord.wall_mm, "mm"),
            ("b_1", brace.width_mm, "mm, of the tube itself"),
            ("h_1", brace.depth_mm, "mm"),
            ("t_1", brace.wall_mm, "mm"),
        ] {
            lines.given(name, value, what);
        }
        lines.given("sin θ", shape.angle_rad.sin(), "of the angle between both");
        let n_p = push(lines, forces.chord_push_mpa, self.margin, f_y0);
        if result.failures.contains(&JointFailure::Brace) {
            self.effective_width(lines);
        }
        self.axial(lines, n_p);
        if matches!(result.kind, JointKind::Pair { .. }) {
            let beta = lines.work("β", "b_1 / b_0", shape.beta(), "of the tube itself");
            factor(lines, n_p, beta);
        }
        if result.failures[1] == JointFailure::ChordFace {
            lines.work("η", "h_1 / b_0", brace.depth_mm / chord.width_mm, "");
        }
        self.in_plane(lines);
        self.out_of_plane(lines);
    }

    /// b_eff, over which the box holds the end of the tube.
    fn effective_width(&self, lines: &mut Symbols) {
        let (chord, brace) = (&self.judged.shape.chord, &self.judged.shape.brace);
        let f_y1 = strength(lines, "f_y1", brace, "the tube itself");
        let stronger = chord.strength_mpa() * chord.wall_mm / (f_y1 * brace.wall_mm);
        let width = 10.0 * chord.wall_mm / chord.width_mm * stronger * brace.width_mm;
        if width < brace.width_mm {
            lines.work("b_eff", "10 × t_0 / b_0 × f_y0 × t_0 / (f_y1 × t_1) × b_1", width, "mm");
        } else {
            lines.given("b_eff", brace.width_mm, "mm, not more than b_1");
        }
    }

    /// b_e,p, over which the box is punched.
    fn punching_width(&self, lines: &mut Symbols) {
        let (chord, brace) = (&self.judged.shape.chord, &self.judged.shape.brace);
        let width = 10.0 * chord.wall_mm / chord.width_mm * brace.width_mm;
        if width < brace.width_mm {
            lines.work("b_ep", "10 × t_0 / b_0 × b_1", width, "mm");
        } else {
            lines.given("b_ep", brace.width_mm, "mm, not more than b_1");
        }
    }

    fn axial(&self, lines: &mut Symbols, n_p: f64) {
        let JointJudged { shape, result, .. } = self.judged;
        let (chord, brace) = (&shape.chord, &shape.brace);
        let is_alone = !matches!(result.kind, JointKind::Pair { .. });
        let beta = match result.kind {
            JointKind::Pair { other_mm: [b, h], gap_mm, .. } => {
                lines.given("b_2", b, "mm, of the tube beside it");
                lines.given("h_2", h, "mm");
                lines.given("g", gap_mm, "mm, between both");
                let all = brace.width_mm + brace.depth_mm + b + h;
                lines.work("β", "(b_1 + b_2 + h_1 + h_2) / (4 × b_0)", all / (4.0 * chord.width_mm), "")
            }
            JointKind::Alone | JointKind::Cross => lines.work("β", "b_1 / b_0", shape.beta(), ""),
        };
        lines.work("γ", "b_0 / (2 × t_0)", shape.gamma(), "");
        let k_n = factor(lines, n_p, beta);
        let formula = match (result.failures[0], is_alone) {
            (JointFailure::Brace, true) => "f_y1 × t_1 × (2 × h_1 − 4 × t_1 + 2 × b_eff)",
            (JointFailure::Brace, false) => "f_y1 × t_1 × (2 × h_1 − 4 × t_1 + b_1 + b_eff)",
            (JointFailure::Punching, alone) => {
                self.punching_width(lines);
                if alone {
                    "f_y0 × t_0 / (√(3) × sin θ) × (2 × h_1 / sin θ + 2 × b_ep)"
                } else {
                    "f_y0 × t_0 / (√(3) × sin θ) × (2 × h_1 / sin θ + b_1 + b_ep)"
                }
            }
            (JointFailure::ChordShear, false) => {
                let JointKind::Pair { gap_mm, .. } = result.kind else { unreachable!("shear is between two tubes") };
                shear_factor(lines, shape, gap_mm);
                "f_y0 × (2 × h_0 + α_v × b_0) × t_0 / (√(3) × sin θ)"
            }
            (_, false) => "8.9 × k_n × f_y0 × t_0^2 × √(γ) / sin θ × β",
            (_, true) if beta <= FACE_UP_TO => {
                lines.work("η", "h_1 / b_0", brace.depth_mm / chord.width_mm, "");
                "k_n × f_y0 × t_0^2 / ((1 − β) × sin θ) × (2 × η / sin θ + 4 × √(1 − β))"
            }
            (_, true) => {
                if self.face_and_side_wall(lines, k_n) {
                    "N_face + (N_shear − N_face) × (β − 0.85) / 0.15"
                } else {
                    "N_face + (N_wall − N_face) × (β − 0.85) / 0.15"
                }
            }
        };
        axial(lines, self.judged, &self.of_shape(formula));
    }

    /// Between a face that bends (β = 0.85) and side walls that are crushed (β = 1), or sheared: then it tells so.
    fn face_and_side_wall(&self, lines: &mut Symbols, k_n: f64) -> bool {
        let JointJudged { shape, result, forces, .. } = self.judged;
        let (chord, sin) = (&shape.chord, shape.angle_rad.sin());
        let (f_y0, t_0, h_1) = (chord.strength_mpa(), chord.wall_mm, shape.brace.depth_mm);
        let eta = lines.work("η", "h_1 / b_0", h_1 / chord.width_mm, "");
        let bent = 1.0 - FACE_UP_TO;
        let face = k_n * f_y0 * t_0 * t_0 / (bent * sin) * (2.0 * eta / sin + 4.0 * bent.sqrt());
        let formula = "k_n × f_y0 × t_0^2 / (0.15 × sin θ) × (2 × η / sin θ + 4 × √(0.15))";
        lines.work("N_face", formula, face, "N, for β of 0.85");
        let wall_mpa = if forces.n_n < 0.0 {
            lines.given("E", chord.youngs_modulus_mpa, "MPa");
            let slenderness = 3.46 * (chord.depth_mm / t_0 - 2.0) * sin.recip().sqrt()
                / (PI * (chord.youngs_modulus_mpa / f_y0).sqrt());
            lines.work("λ", "3.46 × (h_0 / t_0 − 2) × √(1 / sin θ) / (π × √(E / f_y0))", slenderness, "");
            let alpha = Curve::C.imperfection();
            let chi = chi(slenderness, alpha);
            if slenderness <= 0.2 {
                lines.given("χ", chi, "as λ is not above 0.2");
            } else {
                lines.given("α", alpha, "of buckling curve c");
                let phi = 0.5 * (1.0 + alpha * (slenderness - 0.2) + slenderness * slenderness);
                lines.work("φ", "0.5 × (1 + α × (λ − 0.2) + λ^2)", phi, "");
                lines.work("χ", "1 / (φ + √(φ^2 − λ^2))", chi, "");
            }
            if result.kind == JointKind::Cross {
                lines.work("f_b", "0.8 × χ × sin θ × f_y0", 0.8 * chi * sin * f_y0, "MPa")
            } else {
                lines.work("f_b", "χ × f_y0", chi * f_y0, "MPa")
            }
        } else {
            lines.work("f_b", "1 × f_y0", f_y0, "MPa, as the wall is pulled")
        };
        let wall = k_n * wall_mpa * t_0 / sin * (2.0 * h_1 / sin + 10.0 * t_0);
        lines.work("N_wall", "k_n × f_b × t_0 / sin θ × (2 × h_1 / sin θ + 10 × t_0)", wall, "N, for β of 1");
        let sheared = sheared_across_n(shape, result.kind).filter(|sheared| *sheared < wall);
        if let Some(sheared) = sheared {
            let what = "N, less than that: the feet across pass each other";
            lines.work("N_shear", "f_y0 × 2 × h_0 × t_0 / (√(3) × sin θ)", sheared, what);
        }
        sheared.is_some()
    }

    /// Strength of the side walls under a moment.
    fn side_wall(&self, lines: &mut Symbols) {
        let f_y0 = self.judged.shape.chord.strength_mpa();
        if self.judged.kind == "X" {
            lines.work("f_yk", "0.8 × f_y0", 0.8 * f_y0, "MPa");
        } else {
            lines.work("f_yk", "1 × f_y0", f_y0, "MPa");
        }
    }

    fn in_plane(&self, lines: &mut Symbols) {
        let JointJudged { shape, result, .. } = self.judged;
        let brace = &shape.brace;
        let formula = match result.failures[1] {
            JointFailure::Brace => {
                plastic_modulus(lines, ("h_1", brace.depth_mm), ("b_1", brace.width_mm), brace.wall_mm);
                "f_y1 × (W_pl − (1 − b_eff / b_1) × b_1 × (h_1 − t_1) × t_1)"
            }
            JointFailure::SideWall => {
                self.side_wall(lines);
                "0.5 × f_yk × t_0 × (h_1 + 5 × t_0)^2"
            }
            _ => "k_n × f_y0 × t_0^2 × h_1 × (1 / (2 × η) + 2 / √(1 − β) + η / (1 − β))",
        };
        let what = format!("N·mm, {}", result.failures[1].name());
        lines.work("M_ip,Rd", &self.of_shape(formula), result.in_plane_rd_nmm, &what);
    }

    fn out_of_plane(&self, lines: &mut Symbols) {
        let JointJudged { shape, result, .. } = self.judged;
        let brace = &shape.brace;
        let formula = match result.failures[2] {
            JointFailure::Brace => {
                plastic_modulus(lines, ("b_1", brace.width_mm), ("h_1", brace.depth_mm), brace.wall_mm);
                "f_y1 × (W_pl − 0.5 × (1 − b_eff / b_1)^2 × b_1^2 × t_1)"
            }
            JointFailure::SideWall => {
                self.side_wall(lines);
                "f_yk × t_0 × (b_0 − t_0) × (h_1 + 5 × t_0)"
            }
            JointFailure::Distortion => "2 × f_y0 × t_0 × (h_1 × t_0 + √(b_0 × h_0 × t_0 × (b_0 + h_0)))",
            _ => {
                let beta = shape.beta();
                lines.work("r", "(1 + β) / (1 − β)", (1.0 + beta) / (1.0 - beta), "");
                "k_n × f_y0 × t_0^2 × (h_1 × r / 2 + √(2 × b_0 × b_1 × r))"
            }
        };
        let what = format!("N·mm, {}", result.failures[2].name());
        lines.work("M_op,Rd", &self.of_shape(formula), result.out_of_plane_rd_nmm, &what);
    }
}

/// W_pl of a box tube with square corners, from its outside in the plane of bending and across it, each by its name.
fn plastic_modulus(lines: &mut Symbols, (along, h): (&str, f64), (across, b): (&str, f64), wall_mm: f64) {
    let inside = (b - 2.0 * wall_mm) * (h - 2.0 * wall_mm).powi(2);
    let formula = format!("({across} × {along}^2 − ({across} − 2 × t_1) × ({along} − 2 × t_1)^2) / 4");
    lines.work("W_pl", &formula, (b * h * h - inside) / 4.0, "mm³");
}

/// k_n for a β.
fn factor(lines: &mut Symbols, n_p: f64, beta: f64) -> f64 {
    let factor = 1.3 - 0.4 * n_p / beta;
    if factor < 1.0 {
        lines.work("k_n", "1.3 − 0.4 × n_p / β", factor, "")
    } else {
        lines.given("k_n", 1.0, "at most");
        1.0
    }
}
