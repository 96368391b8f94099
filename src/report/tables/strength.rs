//! What is nearest to its limit: tubes, welds, rod-ends, bolts, lives.

use std::collections::HashMap;

use super::worst;
use crate::checks::{Check, CriticalMoment, Finding, counting};
use crate::math::{larger_than, largest, largest_first};
use crate::report::Report;
use crate::report::table::{Cell, Table};
use crate::report::words::{bolts_name, check_name, crack_name, section_name, short_place_of};
use crate::source::Named;
use crate::units::figures;

/// Every tube by utilisation, with the check and the case that govern.
pub fn tubes(report: &Report<'_>) -> Table {
    let mut table = Table::new(
        "tubes",
        "Tubes by utilisation (above 1 fails; a wall counts only where it fails)",
        &[("tube", ""), ("size", ""), ("worst", "× limit"), ("governed by", ""), ("case", "")],
    );
    table.one_line = true;
    let structure = &report.prepared.system.structure;
    let mut by_tube: HashMap<&str, Vec<&Finding>> = HashMap::new();
    for finding in report.verdict.findings.iter().filter(|finding| finding.check.is_of_a_tube()) {
        by_tube.entry(&finding.place).or_default().push(finding);
    }
    let mut rows: Vec<(f64, Vec<Cell>)> = Vec::new();
    for (at, tube) in structure.tubes.iter().enumerate() {
        let Some(size) = tube.size else { continue };
        let name = structure.tube_name(report.model, at);
        let Some(found) = by_tube.get(name.as_str()) else { continue };
        let Some(worst) = worst(counting(found.clone()).into_iter()) else { continue };
        let judged = &report.verdict.tubes[&worst.case][&name];
        let place = match worst.check {
            Check::Yield => judged
                .yielding
                .map_or(String::new(), |result| short_place_of(report.model, structure, tube, result.at_mm)),
            Check::Column => judged.column.map_or(String::new(), |(length_mm, _, result)| {
                let with_frame =
                    result.frame_length_mm.map(|frame| format!(", {} mm with the frame", figures(frame, 3)));
                format!("over {} mm{}", figures(length_mm, 3), with_frame.unwrap_or_default())
            }),
            Check::Lateral => {
                judged.lateral.map_or(String::new(), |result| match result.sideways.map(|sideways| sideways.source) {
                    Some(CriticalMoment::EvenStrip(length_mm)) => format!("over {} mm", figures(length_mm, 3)),
                    Some(CriticalMoment::InFrame(factor)) => format!("in the frame at {} times", figures(factor, 3)),
                    Some(CriticalMoment::InFrameAtLeast(factor)) => format!("over {} times", figures(factor, 3)),
                    None => "lies over".to_owned(),
                })
            }
            Check::Joint => judged
                .governing_joint()
                .map_or(String::new(), |joint| short_place_of(report.model, structure, tube, joint.at_mm)),
            Check::Weld => judged
                .governing_weld()
                .map_or(String::new(), |weld| short_place_of(report.model, structure, tube, weld.at_mm)),
            _ => String::new(),
        };
        let row = vec![
            Cell::text(&name),
            Cell::text(section_name(&report.model.tubes[size].section)),
            Cell::Number(worst.utilisation, 2),
            Cell::text(format!("{} {place}", check_name(worst.check)).trim_end()),
            Cell::text(&worst.case),
        ];
        rows.push((worst.utilisation, row));
    }
    for (_, row) in largest_first(rows, |(worst, _)| *worst) {
        table.row(row);
    }
    table
}

/// The weld of every tube that is nearest to its limit, in the case where it is; at most so many.
pub fn welds(report: &Report<'_>, most: usize) -> Option<Table> {
    let mut table = Table::new(
        "welds",
        "Welds by utilisation, by both methods (the directional one counts)",
        &[
            ("weld of", ""),
            ("at", ""),
            ("throat", "mm"),
            ("directional", "× limit"),
            ("simplified", "× limit"),
            ("case", ""),
        ],
    );
    table.one_line = true;
    let structure = &report.prepared.system.structure;
    let mut rows: Vec<(f64, Vec<Cell>)> = Vec::new();
    for (at, tube) in structure.tubes.iter().enumerate() {
        let name = structure.tube_name(report.model, at);
        let of_cases =
            report.verdict.tubes.iter().filter_map(|(case, tubes)| Some((case, tubes.get(&name)?.governing_weld()?)));
        let Some((case, worst)) = largest(of_cases, |(_, weld)| weld.result.directional) else { continue };
        let place = short_place_of(report.model, structure, tube, worst.at_mm);
        let row = vec![
            Cell::text(&name),
            Cell::text(place.trim_start_matches("at ")),
            Cell::Number(worst.result.weld.throat_mm, 2),
            Cell::Number(worst.result.directional, 2),
            worst.result.simplified.map_or(Cell::Empty, |simplified| Cell::Number(simplified, 2)),
            Cell::text(case),
        ];
        rows.push((worst.result.directional, row));
    }
    for (_, row) in largest_first(rows, |(worst, _)| *worst).into_iter().take(most) {
        table.row(row);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// The entries of all cases by name, each in the case where it is used most; most used first.
fn worst_of_each<T>(by_case: &Named<Named<T>>, utilisation: impl Fn(&T) -> f64) -> Vec<(&str, &str, &T)> {
    let mut worst: Named<(&str, &str, &T)> = Named::new();
    for (case, entries) in by_case {
        for (name, judged) in entries {
            match worst.get_mut(name) {
                Some(known) if !larger_than(utilisation(judged), utilisation(known.2)) => {}
                Some(known) => *known = (name, case, judged),
                None => {
                    worst.insert(name.clone(), (name, case, judged));
                }
            }
        }
    }
    largest_first(worst.into_values(), |(_, _, judged)| utilisation(judged))
}

/// Every rod-end in the case where it is used most.
pub fn rod_ends(report: &Report<'_>) -> Option<Table> {
    let mut table = Table::new(
        "rod-ends",
        "Rod-ends by utilisation: maker's figure, across the thread, shank",
        &[
            ("rod-end", ""),
            ("thread", ""),
            ("along", "kN"),
            ("across", "kN"),
            ("maker's", "× limit"),
            ("across", "× limit"),
            ("shank", "× limit"),
            ("case", ""),
        ],
    );
    for (name, case, judged) in worst_of_each(&report.verdict.rod_ends, |judged| judged.result.utilisation) {
        let result = &judged.result;
        table.row(vec![
            Cell::text(name),
            Cell::text(judged.part.thread.name()),
            Cell::Number(result.along_n / 1000.0, 2),
            Cell::Number(result.across_n / 1000.0, 2),
            Cell::Number(result.rating, 2),
            Cell::Number(result.along_bolt, 2),
            result.shank.map_or(Cell::Empty, |shank| Cell::Number(shank, 2)),
            Cell::text(case),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// The bolts of every mount in the case where they are used most.
pub fn bolts(report: &Report<'_>) -> Option<Table> {
    let mut table = Table::new(
        "bolts",
        "Bolts by utilisation, what the worst of a mount bears",
        &[("mount", ""), ("bolts", ""), ("shear", "kN"), ("tension", "kN"), ("used", "× limit"), ("case", "")],
    );
    for (name, case, judged) in worst_of_each(&report.verdict.bolts, |judged| judged.result.utilisation) {
        table.row(vec![
            Cell::text(name),
            Cell::text(bolts_name(&judged.bolts)),
            Cell::Number(judged.result.shear_n / 1000.0, 2),
            Cell::Number(judged.result.tension_n / 1000.0, 2),
            Cell::Number(judged.result.utilisation, 2),
            Cell::text(case),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// What the duty uses up of each tube's life, the shortest life first; at most so many.
pub fn fatigue(report: &Report<'_>, most: usize) -> Option<Table> {
    let fatigue = report.verdict.fatigue.as_ref()?;
    let mut table = Table::new(
        "fatigue",
        "Lives of the duty until a weld may crack, the shortest first",
        &[
            ("tube", ""),
            ("at", ""),
            ("cracks from", ""),
            ("lives", ""),
            ("damage of one", ""),
            ("mostly from", ""),
            ("part", "%"),
        ],
    );
    let structure = &report.prepared.system.structure;
    let judged = fatigue.tubes.iter().filter(|(_, judged)| judged.damage > 0.0);
    for (name, judged) in largest_first(judged, |(_, judged)| judged.damage).into_iter().take(most) {
        let tube = (0..structure.tubes.len()).find(|at| structure.tube_name(report.model, *at) == *name);
        let place = tube
            .map_or(String::new(), |at| short_place_of(report.model, structure, &structure.tubes[at], judged.at_mm));
        let worst = judged.worst_event();
        table.row(vec![
            Cell::text(name),
            Cell::text(place.trim_start_matches("at ")),
            Cell::text(crack_name(judged.crack).trim_start_matches("the ")),
            judged.lives().map_or(Cell::Empty, |lives| Cell::text(figures(lives, 3))),
            Cell::text(figures(judged.damage, 2)),
            worst.map_or(Cell::Empty, |event| Cell::text(&fatigue.events[event])),
            worst.map_or(Cell::Empty, |event| Cell::Number(100.0 * judged.events[event].damage / judged.damage, 0)),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}
