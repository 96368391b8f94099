//! The arithmetic of a tube's checks, so that a calculator follows it figure by figure.
//!
//! A line is `NAME = FORMULA = FIGURES = RESULT UNIT`; one with a single `=` is given: a force, a
//! dimension, a factor of the model. Figures are six digits long, so that working with them gives
//! the results to well within half a per cent.

mod column;
mod fasteners;
mod fatigue;
mod joint;
mod lateral;
mod symbols;
mod weld;

use self::symbols::Symbols;
use super::{Report, words};
use crate::beam::worst_fibre;
use crate::checks::{Check, Finding, WallRule, YieldResult, epsilon};
use crate::run::{SecondOrder, TubeJudged};
use crate::section::{InternalForces, Material, Section, StressForm};
use crate::structure::Tube;
use crate::units::brief;

/// A check of a tube worked by hand.
#[derive(Debug, Clone, PartialEq)]
pub struct HandCheck {
    /// Which check.
    pub check: Check,
    /// In which case; empty where it is of none.
    pub case: String,
    /// Of which tube, part or mount.
    pub place: String,
    /// What is worked out, where and by which clause, as a heading.
    pub title: String,
    /// The lines; the last one gives the utilisation.
    pub lines: Vec<String>,
}

/// What stands before the lines.
pub const INTRODUCTION: &str = "The checks of the tube that is nearest to its limit, or furthest above it, and of what is \
    nearest to each other limit of strength, figure by figure: a calculator gives the same to half a per cent. Internal \
    forces are those of the tables, along and about the tube's own axes. crossbrace why MODEL --tube NAME gives the same \
    of any tube.";

/// The tube that is nearest to a limit of strength, or furthest above one, and its case.
pub fn governing<'r>(report: &Report<'r>) -> Option<(&'r str, &'r str)> {
    let of_a_tube =
        |check: Check| matches!(check, Check::Yield | Check::Column | Check::Lateral | Check::Joint | Check::Weld);
    let of_a_tube = |finding: &&Finding| finding.is_as_drawn() && of_a_tube(finding.check);
    let worst = report.verdict.worst_first().into_iter().find(of_a_tube)?;
    Some((&worst.case, &worst.place))
}

/// What the page shows: the checks of the tube that governs, then the worst of each kind that is not among them.
pub fn of_page(report: &Report<'_>) -> Vec<HandCheck> {
    let mut all = governing(report).map(|(case, tube)| of_tube(report, case, tube)).unwrap_or_default();
    let mut worst_first = report.verdict.worst_first();
    worst_first.retain(|finding| finding.is_as_drawn());
    for check in [Check::Joint, Check::Weld, Check::RodEnd, Check::Bolts, Check::Fatigue] {
        let Some(worst) = worst_first.iter().find(|finding| finding.check == check) else { continue };
        let is_there = |shown: &HandCheck| {
            (shown.check, shown.case.as_str(), shown.place.as_str())
                == (check, worst.case.as_str(), worst.place.as_str())
        };
        if !all.iter().any(is_there) {
            all.extend(of_place(report, &worst.case, &worst.place).into_iter().find(is_there));
        }
    }
    all
}

/// The checks of a tube in a case, its rod-end and its fatigue among them.
pub fn of_tube(report: &Report<'_>, case: &str, name: &str) -> Vec<HandCheck> {
    let mut all = of_tube_alone(report, case, name);
    all.extend(fasteners::rod_end(report, case, name));
    all.extend(fatigue::fatigue(report, name));
    all
}

/// The checks of a tube, of a spring or of a mount.
fn of_place(report: &Report<'_>, case: &str, place: &str) -> Vec<HandCheck> {
    let mut all = of_tube(report, case, place);
    all.extend(fasteners::bolts(report, case, place));
    all
}

fn of_tube_alone(report: &Report<'_>, case: &str, name: &str) -> Vec<HandCheck> {
    let (Some(judged), Some(tube)) =
        (report.verdict.tubes.get(case).and_then(|tubes| tubes.get(name)), words::tube(report, name))
    else {
        return Vec::new();
    };
    let Some(size) = tube.size else { return Vec::new() };
    let by_hand = ByHand { report, case, name, tube, section: &report.model.tubes[size].section };
    let all = [
        by_hand.yielding(judged),
        by_hand.column(judged),
        judged.lateral.as_ref().and_then(|result| by_hand.lateral(result)),
        by_hand.wall(judged),
        judged.governing_joint().and_then(|joint| by_hand.joint(joint)),
        judged.governing_weld().and_then(|weld| by_hand.weld(weld)),
    ];
    all.into_iter().flatten().collect()
}

/// A tube in a case.
struct ByHand<'r> {
    report: &'r Report<'r>,
    case: &'r str,
    name: &'r str,
    tube: &'r Tube,
    section: &'r Section,
}

/// Lines in the making.
#[derive(Default)]
struct Lines(Vec<String>);

impl Lines {
    /// A figure that is given.
    fn given(&mut self, name: &str, value: f64, unit: &str) {
        self.0.push(format!("{name} = {}", with_unit(value, unit)));
    }

    /// Internal forces, and of what they are.
    fn internal_forces(&mut self, f: &InternalForces, of: &str) {
        self.given("n", f.n, &format!("N{of}"));
        for (name, value) in [("vy", f.vy), ("vz", f.vz)] {
            self.given(name, value, "N");
        }
        for (name, value) in [("t", f.t), ("my", f.my), ("mz", f.mz)] {
            self.given(name, value, "N·mm");
        }
    }

    /// A figure that is worked out and is a part of `whole`; one that is next to nothing beside it is
    /// given as nothing, since what is left of terms that cancel is round-off.
    fn part(&mut self, name: &str, formula: &str, figures: &str, value: f64, whole: f64, unit: &str) -> f64 {
        const LEAST: f64 = 1e-4;
        if value.abs() > LEAST * whole {
            self.line(name, formula, figures, value, unit);
            return value;
        }
        self.given(name, 0.0, &format!("{unit}, next to nothing"));
        0.0
    }

    /// A part of a stress.
    fn stress(&mut self, name: &str, formula: &str, figures: &str, value: f64, whole: f64) -> f64 {
        self.part(name, formula, figures, value, whole, "MPa")
    }

    /// A figure that is worked out: its formula, and the same with figures in it.
    fn line(&mut self, name: &str, formula: &str, figures: &str, value: f64, unit: &str) {
        self.0.push(format!("{name} = {formula} = {figures} = {}", with_unit(value, unit)));
    }
}

fn with_unit(value: f64, unit: &str) -> String {
    format!("{} {unit}", brief(value)).trim_end().to_owned()
}

/// A figure among others: a negative one stands in brackets.
fn figure(value: f64) -> String {
    if value < 0.0 { format!("({})", brief(value)) } else { brief(value) }
}

impl ByHand<'_> {
    fn material(&self) -> &Material {
        &self.tube.material
    }

    fn sheet(&self, check: Check, title: String, lines: Lines) -> HandCheck {
        HandCheck { check, case: self.case.to_owned(), place: self.name.to_owned(), title, lines: lines.0 }
    }

    fn title(&self, what: &str, place: &str, clause: &str) -> String {
        let title = words::tube_title(self.report, self.name);
        format!("{what} of {title}{place} in \"{}\": {clause}", self.case)
    }

    /// Area and second moments; of a round section from its diameters.
    fn figures_of_section(&self, lines: &mut Lines) {
        let p = &self.tube.properties;
        match self.diameters() {
            Some((od, id)) => {
                lines.given("D", od, "mm");
                lines.given("d", id, "mm");
                let [outer, inner] = [od, id].map(brief);
                lines.line("A", "π × (D² − d²) / 4", &format!("π × ({outer}^2 − {inner}^2) / 4"), p.area_mm2, "mm²");
                lines.line("I", "π × (D⁴ − d⁴) / 64", &format!("π × ({outer}^4 − {inner}^4) / 64"), p.iy_mm4, "mm⁴");
            }
            None => {
                lines.given("A", p.area_mm2, "mm²");
                lines.given("I_y", p.iy_mm4, "mm⁴");
                lines.given("I_z", p.iz_mm4, "mm⁴");
            }
        }
    }

    /// The two second moments by name.
    fn second_moments(&self) -> [&'static str; 2] {
        if self.section.is_round() { ["I", "I"] } else { ["I_y", "I_z"] }
    }

    fn yielding(&self, judged: &TubeJudged) -> Option<HandCheck> {
        // Where the deformed frame alone is over the limit, it is what is judged.
        let result = judged.deformed.or(judged.yielding)?;
        let margin = self.report.model.cases[self.case].limits.yield_margin?;
        let forces = match judged.deformed {
            Some(_) => self.forces_on_the_deformed_frame(&result)?,
            None => self.forces_at(&result)?,
        };
        let form = worst_fibre(&self.section.fibres(), &forces);
        let mut lines = Lines::default();
        self.figures_of_section(&mut lines);
        lines.internal_forces(&forces, "");
        let normal = self.normal_stress(&mut lines, &forces, &form);
        let shear = self.shear_stress(&mut lines, &forces, &form);
        let [axial, bending] = normal.map(figure);
        let [torsion, transverse] = shear.map(figure);
        lines.line(
            "σ_v",
            "√((σ_n + σ_b)² + 3 × (τ_t + τ_v)²)",
            &format!("√(({axial} + {bending})^2 + 3 × ({torsion} + {transverse})^2)"),
            result.stress_mpa,
            "MPa",
        );
        let strength = if result.at_weld { "strength beside the weld" } else { "yield strength" };
        lines.given("f", result.strength_mpa, &format!("MPa, {strength}"));
        lines.given("margin", margin, "");
        let stress = brief(result.stress_mpa);
        let figures = format!("{stress} × {} / {}", brief(margin), brief(result.strength_mpa));
        lines.line("utilisation", "σ_v × margin / f", &figures, result.utilisation, "");
        let mut place = format!(" {}", words::place_on_tube(self.report, self.name, result.at_mm));
        if judged.deformed.is_some() {
            place.push_str(" on the deformed frame");
        }
        let title = self.title("Yield", &place, "EN 1993-1-1:2005 6.2.1(5), von Mises stress of beam theory");
        Some(self.sheet(Check::Yield, title, lines))
    }

    /// The same of the case in equilibrium on the deformed frame, where it is told there.
    fn forces_on_the_deformed_frame(&self, result: &YieldResult) -> Option<InternalForces> {
        let SecondOrder::Settled(settled) = self.report.outcome.second_order.get(self.case)? else { return None };
        let along = &settled.case.members.get(self.name)?.along;
        let here = along.iter().filter(|station| (station.at_mm - result.at_mm).abs() < 1e-6);
        self.nearest_to(result, here.map(|station| station.forces))
    }

    /// Those of several internal forces that give the stress of a result.
    fn nearest_to(&self, result: &YieldResult, all: impl Iterator<Item = InternalForces>) -> Option<InternalForces> {
        let fibres = self.section.fibres();
        let off = |forces: &InternalForces| {
            (worst_fibre(&fibres, forces).stress(forces).von_mises() - result.stress_mpa).abs()
        };
        all.min_by(|one, other| off(one).total_cmp(&off(other)))
    }

    /// The internal forces where yield governs; at a jump those of the side that is stressed more.
    fn forces_at(&self, result: &YieldResult) -> Option<InternalForces> {
        let structure = &self.report.prepared.system.structure;
        let case = self.report.response.cases.iter().find(|case| case.name == self.case)?;
        let all = case
            .state
            .diagrams(structure, self.tube)
            .filter(|(start, diagram)| (-1e-6..=diagram.length_mm + 1e-6).contains(&(result.at_mm - start)))
            .map(|(start, diagram)| diagram.at((result.at_mm - start).clamp(0.0, diagram.length_mm)));
        self.nearest_to(result, all)
    }

    /// Axial and bending stress at the fibre that is stressed most.
    fn normal_stress(&self, lines: &mut Lines, forces: &InternalForces, form: &StressForm) -> [f64; 2] {
        let p = &self.tube.properties;
        let stress = form.stress(forces);
        // The sign with which a given section takes each part as a magnitude.
        let sign = if form.per_axial < 0.0 { "-" } else { "" };
        let figures = format!("{sign}{} / {}", figure(forces.n), brief(p.area_mm2));
        let axial = lines.stress("σ_n", &format!("{sign}n / A"), &figures, stress.axial, stress.von_mises());
        let (y, z) = (-form.per_mz * p.iz_mm4, form.per_my * p.iy_mm4);
        lines.given("y", y, "mm, the fibre that is stressed most");
        lines.given("z", z, "mm");
        let [iy, iz] = self.second_moments();
        let figures = format!(
            "{} × {} / {} − {} × {} / {}",
            figure(forces.my),
            figure(z),
            brief(p.iy_mm4),
            figure(forces.mz),
            figure(y),
            brief(p.iz_mm4)
        );
        let formula = format!("my × z / {iy} − mz × y / {iz}");
        let bending = lines.stress("σ_b", &formula, &figures, stress.bending, stress.von_mises());
        [axial, bending]
    }

    /// Torsion and transverse shear stress at that fibre.
    fn shear_stress(&self, lines: &mut Lines, forces: &InternalForces, form: &StressForm) -> [f64; 2] {
        let p = &self.tube.properties;
        let (stress, whole) = (form.stress(forces), form.stress(forces).von_mises());
        let (t, vy, vz) = (figure(forces.t), figure(forces.vy), figure(forces.vz));
        let Some((od, id)) = self.diameters() else {
            lines.given("1/W_t", form.per_torque, "1/mm³, torsion at this fibre");
            let figures = format!("{t} × {}", figure(form.per_torque));
            let torsion = lines.stress("τ_t", "t × 1/W_t", &figures, stress.torsion, whole);
            lines.given("q_y", form.per_vy, "1/mm², shear along y at this fibre");
            lines.given("q_z", form.per_vz, "1/mm², shear along z at this fibre");
            let figures = format!("{vy} × {} + {vz} × {}", figure(form.per_vy), figure(form.per_vz));
            let transverse = lines.stress("τ_v", "vy × q_y + vz × q_z", &figures, stress.shear, whole);
            return [torsion, transverse];
        };
        let (radius, i) = (0.5 * od, brief(p.iy_mm4));
        lines.line("R", "D / 2", &format!("{} / 2", brief(od)), radius, "mm");
        lines.line("J", "2 × I", &format!("2 × {i}"), p.j_mm4, "mm⁴");
        let figures = format!("{t} × {} / {}", brief(radius), brief(p.j_mm4));
        let torsion = lines.stress("τ_t", "t × R / J", &figures, stress.torsion, whole);
        let (first_moment, width) = ((od.powi(3) - id.powi(3)) / 12.0, od - id);
        lines.line("Q", "(D³ − d³) / 12", &format!("({}^3 − {}^3) / 12", brief(od), brief(id)), first_moment, "mm³");
        lines.line("b", "D − d", &format!("{} − {}", brief(od), brief(id)), width, "mm");
        let (y, z) = (-form.per_mz * p.iz_mm4, form.per_my * p.iy_mm4);
        let figures = format!(
            "({vz} × {} − {vy} × {}) / {} × {} / ({i} × {})",
            figure(y),
            figure(z),
            brief(radius),
            brief(first_moment),
            brief(width)
        );
        let formula = "(vz × y − vy × z) / R × Q / (I × b)";
        [torsion, lines.stress("τ_v", formula, &figures, stress.shear, whole)]
    }

    /// Outer and inner diameter of a round section, mm.
    fn diameters(&self) -> Option<(f64, f64)> {
        match self.section {
            Section::Round(tube) => Some((tube.od_mm, tube.id_mm())),
            Section::Bar(bar) => Some((bar.od_mm, 0.0)),
            Section::Box(_) | Section::Flat(_) | Section::Given(_) => None,
        }
    }

    fn wall(&self, judged: &TubeJudged) -> Option<HandCheck> {
        let result = judged.wall?;
        let material = self.material();
        let mut lines = Symbols::default();
        lines.given("f_y", material.yield_mpa, "MPa");
        match self.section {
            Section::Round(tube) => {
                lines.given("D", tube.od_mm, "mm");
                lines.given("t", tube.wall_mm, "mm");
                lines.work("slenderness", "D / t", result.slenderness, "");
            }
            Section::Box(tube) => {
                lines.given("h", tube.width_mm.max(tube.depth_mm), "mm, the wider side");
                lines.given("t", tube.wall_mm, "mm");
                lines.work("slenderness", "(h − 3 × t) / t", result.slenderness, "");
            }
            Section::Bar(_) | Section::Flat(_) | Section::Given(_) => return None,
        }
        if let WallRule::Round(_) | WallRule::Box(_) = result.rule {
            lines.given("E", material.youngs_modulus_mpa, "MPa");
            lines.work("ε", "√(235 / f_y × E / 210000)", epsilon(material), "");
        }
        let formula = match result.rule {
            WallRule::Round(parts) => format!("{parts} × ε^2"),
            WallRule::Box(parts) => format!("{parts} × ε"),
            WallRule::RoundAluminium(beta) => format!("({beta} / 3)^2 × 250 / f_y"),
            WallRule::BoxAluminium(beta) => format!("{beta} × √(250 / f_y)"),
        };
        lines.work("limit", &formula, result.limit, "");
        lines.work("utilisation", "slenderness / limit", result.slenderness / result.limit, "");
        let title = self.title("Wall", "", result.rule.clause());
        Some(self.sheet(Check::Wall, title, lines.lines()))
    }
}
