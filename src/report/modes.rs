//! Buckling and vibration, told: tables, and what a shape does in words.

use super::Report;
use super::table::{Cell, Table};
use crate::model::{Model, entry_at, other_side};
use crate::modes::{BucklingMode, VibrationMode};
use crate::run::{CaseBuckling, CaseOutcome, SecondOrder};
use crate::source::name_list;
use crate::structure::Structure;
use crate::units::figures;

/// Most tubes that a shape names.
const MOST_NAMED: usize = 3;

/// At how many times its load each case buckles the frame.
pub fn buckling(report: &Report<'_>) -> Table {
    let columns = [("case", ""), ("buckles at", "× its load"), ("next", ""), ("what buckles", "")];
    let mut table = Table::new("buckling", "At how many times its load the frame buckles", &columns);
    for (case, buckling) in &report.outcome.modes.buckling {
        let row = match buckling {
            CaseBuckling::Over(bound) => [Cell::text(format!("over {}", figures(*bound, 3))), Cell::Empty, Cell::Empty],
            CaseBuckling::Unknown(why) => [Cell::text("not told"), Cell::Empty, Cell::text(why.in_words())],
            CaseBuckling::Found(found) => {
                let next: Vec<String> = found.modes.iter().skip(1).map(|mode| figures(mode.factor, 3)).collect();
                let lowest = found.modes.first();
                [
                    lowest.map_or(Cell::Empty, |mode| Cell::text(figures(mode.factor, 3))),
                    Cell::text(next.join(", ")),
                    lowest.map_or(Cell::Empty, |mode| Cell::text(tubes_that_buckle(report, mode))),
                ]
            }
        };
        table.row([Cell::text(case)].into_iter().chain(row).collect());
    }
    table
}

/// The natural frequencies and what swings; `None` where there are none.
pub fn vibration(report: &Report<'_>) -> Option<Table> {
    let columns = [("mode", ""), ("frequency", "Hz"), ("what swings", "")];
    let title = "Natural frequencies on the mounts, bodies in, corners off, nothing damped";
    let mut table = Table::new("vibration", title, &columns);
    let vibration = report.outcome.modes.vibration.as_ref().ok()?;
    for (at, mode) in vibration.modes.iter().enumerate() {
        table.row(vec![
            Cell::text(format!("{}", at + 1)),
            Cell::Number(mode.frequency_hz, 1),
            Cell::text(what_swings(report.model, &vibration.structure, mode)),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// Cases in equilibrium on the deformed frame; `None` where none was asked for or called for.
pub fn second_order(report: &Report<'_>) -> Option<Table> {
    let columns =
        [("case", ""), ("rounds", ""), ("pick-up", "mm"), ("grows by", "%"), ("stress", "MPa"), ("grows by", "%")];
    let title = "On the deformed frame (second order): largest movement and stress, and growth";
    let mut table = Table::new("second-order", title, &columns);
    for (name, found) in &report.outcome.second_order {
        let mut row = vec![Cell::text(name)];
        match found {
            SecondOrder::Collapses(_) => {
                row.push(Cell::text("collapses"));
                row.extend([Cell::Empty, Cell::Empty, Cell::Empty, Cell::Empty]);
            }
            SecondOrder::Settled(settled) => {
                let moves = |case: &CaseOutcome| {
                    let nodes = case.nodes.values().map(|moved| moved.move_mm.norm());
                    let pickups = case.pickups.values().map(|pickup| pickup.change_mm);
                    if case.pickups.is_empty() { nodes.fold(0.0, f64::max) } else { pickups.fold(0.0, f64::max) }
                };
                let first_stress = report.verdict.tubes.get(name).into_iter().flat_map(|tubes| tubes.values());
                let first_stress = first_stress.map(|judged| judged.stress.peak.von_mises_mpa).fold(0.0, f64::max);
                let stress = settled.stresses.values().map(|stress| stress.peak.von_mises_mpa).fold(0.0, f64::max);
                row.push(Cell::Number(settled.rounds as f64, 0));
                for (value, first, digits) in
                    [(moves(&settled.case), moves(&report.outcome.cases[name]), 2), (stress, first_stress, 0)]
                {
                    row.push(Cell::Number(value, digits));
                    row.push(if first > 0.0 { Cell::Number((value / first - 1.0) * 100.0, 1) } else { Cell::Empty });
                }
            }
        }
        table.row(row);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// How sure the figures are, and how it is known that none is missing, in one line.
pub fn counted(report: &Report<'_>) -> String {
    let modes = &report.outcome.modes;
    let mut lines = Vec::new();
    let found: Vec<_> = modes
        .buckling
        .values()
        .filter_map(|buckling| match buckling {
            CaseBuckling::Found(found) => Some(found),
            CaseBuckling::Over(_) | CaseBuckling::Unknown(_) => None,
        })
        .collect();
    let within = |errors: &mut dyn Iterator<Item = f64>| {
        let worst = errors.fold(0.0, f64::max);
        format!("within an estimated {} %", figures((worst * 100.0).max(0.001), 1))
    };
    if !found.is_empty() {
        let (cases, factors) = (found.len(), found.iter().map(|found| found.modes.len()).sum::<usize>());
        let errors = within(&mut found.iter().flat_map(|found| &found.modes).map(|mode| mode.error));
        lines.push(format!(
            "{factors} load factors of {cases} {} {errors}; the signs of the pivots count as many, so that none is missed.",
            if cases == 1 { "case" } else { "cases" }
        ));
    }
    if let Ok(vibration) = &modes.vibration
        && !vibration.modes.is_empty()
    {
        let errors = within(&mut vibration.modes.iter().map(|mode| mode.error));
        lines.push(format!(
            "{} frequencies {errors}; up to the last of them the signs of the pivots count {}.",
            vibration.modes.len(),
            vibration.counted
        ));
    }
    lines.join(" ")
}

/// What buckles in one mode of a case.
pub fn what_buckles(report: &Report<'_>, mode: &BucklingMode) -> String {
    tubes_that_buckle(report, mode)
}

/// What buckles first in a case: `rail.l and rail.r buckle sideways together`.
pub fn buckling_shape(report: &Report<'_>, case: &str) -> Option<String> {
    match &report.outcome.modes.buckling[case] {
        CaseBuckling::Found(found) => found.modes.first().map(|mode| tubes_that_buckle(report, mode)),
        CaseBuckling::Over(_) | CaseBuckling::Unknown(_) => None,
    }
}

/// What swings in a mode of vibration.
pub fn vibration_shape(report: &Report<'_>, mode: usize) -> Option<String> {
    let vibration = report.outcome.modes.vibration.as_ref().ok()?;
    vibration.modes.get(mode).map(|mode| what_swings(report.model, &vibration.structure, mode))
}

/// Why a tube counts as a longer column than it is drawn.
pub fn longer_column(length_mm: f64) -> String {
    format!("; as the frame buckles it gives way as one of {} mm would", figures(length_mm, 3))
}

/// Words for movement along x, y, z.
const ALONG: [&str; 3] = ["fore and aft", "sideways", "up and down"];

fn tubes_that_buckle(report: &Report<'_>, mode: &BucklingMode) -> String {
    let structure = &report.prepared.system.structure;
    let mut taking: Vec<usize> = (0..structure.tubes.len()).filter(|tube| mode.takes_part(*tube)).collect();
    taking.sort_by(|one, other| mode.driving[*other].total_cmp(&mode.driving[*one]));
    let names: Vec<String> = taking.iter().map(|tube| structure.tube_name(report.model, *tube)).collect();
    let direction = ALONG[mode.shape.direction(taking.iter().copied())];
    match names.as_slice() {
        [one] => format!("{one} buckles {direction}"),
        all => format!("{} buckle {direction} together", named(all)),
    }
}

/// Words for the motions of a body.
const MOTIONS: [&str; 6] = ["moves fore and aft", "moves sideways", "bounces", "rolls", "pitches", "yaws"];

fn what_swings(model: &Model, structure: &Structure, mode: &VibrationMode) -> String {
    if let Some((body, motion)) = mode.mostly() {
        return format!("{} {}", entry_at(&model.bodies, body).0, MOTIONS[motion]);
    }
    let names: Vec<String> = mode.largest_strains().map(|(tube, _)| structure.tube_name(model, tube)).collect();
    match names.as_slice() {
        [] => "the frame on its mounts".to_owned(),
        [one] => format!("{one} bends"),
        all => format!("{} bend", named(all)),
    }
}

/// The first names, twins side by side, and how many more.
pub(super) fn named(names: &[String]) -> String {
    let mut first: Vec<&str> = Vec::new();
    for name in names {
        if first.contains(&name.as_str()) {
            continue;
        }
        first.push(name);
        let twin = other_side(name);
        first.extend(names.iter().map(String::as_str).find(|other| *other == twin && twin != *name));
    }
    match first.as_slice() {
        all if all.len() <= MOST_NAMED + 1 => name_list(all.iter().copied()),
        all => format!("{} and {} more", all[..MOST_NAMED].join(", "), all.len() - MOST_NAMED),
    }
}
