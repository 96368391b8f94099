//! Fatigue of a tube's weld: damage of every event and their sum.

use super::symbols::Symbols;
use super::{HandCheck, Report, words};
use crate::checks::{Check, Detail, FATIGUE_FACTOR, FatigueCurve, ROOT_SHEAR};
use crate::run::{Crack, EventDamage};

/// The worst place of a tube, where lives are asked for.
pub(super) fn fatigue(report: &Report<'_>, tube: &str) -> Option<HandCheck> {
    let lives = report.model.limits.fatigue?;
    let fatigue = report.verdict.fatigue.as_ref()?;
    let judged = fatigue.tubes.get(tube)?;
    let mut lines = Symbols::default();
    lines.given("γ_Mf", FATIGUE_FACTOR, "");
    let what = match judged.crack {
        Crack::Root => "MPa, root of a fillet weld",
        Crack::Wall => "MPa, wall of a tube welded end to end",
        Crack::Lattice => "MPa, wall at a K or N joint",
    };
    lines.given("Δσ_C", judged.detail.category_mpa, what);
    lines.given("Δτ_C", ROOT_SHEAR.category_mpa, "MPa, shear along a weld");
    let limit = judged.detail.range_mpa(5e6);
    match judged.detail.curve {
        FatigueCurve::Normal => lines.work("Δσ_D", "Δσ_C × (2 / 5)^(1 / 3)", limit, "MPa, at 5 million"),
        FatigueCurve::Shear => lines.work("Δσ_D", "Δσ_C × (2 / 5)^(1 / 5)", limit, "MPa, at 5 million"),
    };
    let mut sum = Vec::new();
    for (at, (name, event)) in fatigue.events.iter().zip(&judged.events).enumerate() {
        sum.extend(of_event(&mut lines, at + 1, name, event, &judged.detail));
    }
    let total = if sum.is_empty() { "0 × γ_Mf".to_owned() } else { sum.join(" + ") };
    lines.work("D", &total, judged.damage, "of one life");
    lines.given("lives", lives, "of the duty that are asked for");
    let used = judged.used(lives);
    if used > judged.damage * lives {
        lines.given("c", judged.ceiling, "the largest range over the most that a range may be, clause 8(1)");
        lines.work("utilisation", "1 × c", used, "as that is more than lives × D");
    } else {
        lines.work("utilisation", "lives × D", used, "");
    }
    let at = words::place_on_tube(report, tube, judged.at_mm);
    let there = words::on_the_deformed_frame(judged.deformed);
    let title = format!(
        "Fatigue of {} {at}{there}: EN 1993-1-9:2005 7.1, A.5, Tables 8.5 to 8.7",
        words::tube_title(report, tube)
    );
    Some(HandCheck { check: Check::Fatigue, case: String::new(), place: tube.into(), title, lines: lines.lines().0 })
}

/// The parts of an event in the sum: of normal stress, and of shear along the weld.
fn of_event(lines: &mut Symbols, at: usize, name: &str, event: &EventDamage, detail: &Detail) -> Vec<String> {
    let count = format!("n_{at}");
    lines.given(&count, event.count, &format!("times of {name}"));
    let normal = (event.normal_mpa, detail, "σ");
    let shear = (event.shear_mpa, &ROOT_SHEAR, "τ");
    let mut parts = Vec::new();
    for (range_mpa, detail, letter) in [normal, shear] {
        if range_mpa == 0.0 {
            continue;
        }
        let (range, cycles, damage) = (format!("Δ{letter}_{at}"), format!("N_{letter}{at}"), format!("D_{letter}{at}"));
        lines.given(
            &range,
            range_mpa,
            if letter == "σ" { "MPa, range across the crack" } else { "MPa, range along the weld" },
        );
        let with_factor = range_mpa * FATIGUE_FACTOR;
        let factored = format!("Δ{letter}_{at},f");
        lines.work(&factored, &format!("{range} × γ_Mf"), with_factor, "MPa");
        let Some(borne) = detail.cycles(with_factor) else {
            lines.given(&damage, 0.0, "as it is below the strength at 100 million");
            continue;
        };
        let formula = match detail.curve {
            FatigueCurve::Normal if with_factor >= detail.range_mpa(5e6) => format!("2000000 × (Δσ_C / {factored})^3"),
            FatigueCurve::Normal => format!("5000000 × (Δσ_D / {factored})^5"),
            FatigueCurve::Shear => format!("2000000 × (Δ{letter}_C / {factored})^5"),
        };
        lines.work(&cycles, &formula, borne, "times");
        lines.work(&damage, &format!("{count} / {cycles}"), event.count / borne, "");
        parts.push(damage);
    }
    parts
}
