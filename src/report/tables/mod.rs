//! The tables of a report.

mod forces;
mod strength;

pub use forces::{body_mounts, every_force, every_movement, mounts, pickups, sources, wheel_loads};
pub use strength::{bolts, fatigue, rod_ends, tubes, welds};

use super::Report;
use super::table::{Cell, Table};
use super::words::{check_and_place, check_name, section_name, unit};
use crate::checks::{Check, Finding, counting};
use crate::math::largest;
use crate::model::{TubeRef, entry_at};
use crate::structure::TubeName;
use crate::units::figures;

/// The finding with the largest utilisation among some; the first of equals.
fn worst<'f>(findings: impl Iterator<Item = &'f Finding>) -> Option<&'f Finding> {
    largest(findings, |finding| finding.utilisation)
}

/// What is over its limit: for each check how many places, and the worst of them.
pub fn over_the_limit(report: &Report<'_>) -> Option<Table> {
    let mut columns = vec![("check", ""), ("places", ""), ("worst", ""), ("case", ""), ("value", ""), ("limit", "")];
    let adjusted = report.positions.is_some();
    if adjusted {
        columns.push(("adjusters", ""));
    }
    let title = format!("What is over its limit{}", super::positions::order(report));
    let mut table = Table::new("over-the-limit", title, &columns);
    let mut by_check: Vec<(Check, Vec<&Finding>)> = Vec::new();
    for finding in report.verdict.failing_places() {
        match by_check.iter_mut().find(|(check, _)| *check == finding.check) {
            Some((_, found)) => found.push(finding),
            None => by_check.push((finding.check, vec![finding])),
        }
    }
    for (check, found) in by_check {
        let worst = found[0];
        let with_unit = |value: f64| Cell::text(format!("{}{}", figures(value, 3), unit(check)));
        let mut row = vec![
            Cell::text(check_name(check)),
            Cell::Number(found.len() as f64, 0),
            Cell::text(&worst.place),
            Cell::text(&worst.case),
            with_unit(worst.value),
            with_unit(worst.limit),
        ];
        if adjusted {
            row.push(Cell::text(super::positions::shown(report, &worst.position)));
        }
        table.row(row);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// Each case: its worst utilisation and where, and its largest pick-up movement and where.
pub fn cases(report: &Report<'_>) -> Table {
    let columns = [("case", ""), ("worst", "× limit"), ("governed by", ""), ("pick-up", "mm"), ("which", "")];
    let mut table =
        Table::new("cases", "Each case, walls only where they fail, and what moves most from standing", &columns);
    for (name, case) in &report.outcome.cases {
        let of_case = report.verdict.findings.iter().filter(|finding| finding.case == *name).collect();
        let worst = worst(counting(of_case).into_iter());
        let moves = case.pickups.iter().map(|(node, pickup)| (node.as_str(), pickup.change_mm));
        let moved = largest(moves, |(_, change)| *change);
        table.row(vec![
            Cell::text(name),
            worst.map_or(Cell::Empty, |finding| Cell::Number(finding.utilisation, 2)),
            worst.map_or(Cell::Empty, |finding| Cell::text(check_and_place(finding))),
            moved.map_or(Cell::Empty, |(_, change)| Cell::Number(change, 2)),
            moved.filter(|(_, change)| *change > 0.0).map_or(Cell::Empty, |(node, _)| Cell::text(node)),
        ]);
    }
    table
}

/// Change of toe, camber and caster at each modelled wheel in each case, from standing.
pub fn wheel_angles(report: &Report<'_>) -> Option<Table> {
    let mut table = Table::new(
        "wheel-angles",
        "What each wheel changes from standing (toe-in, camber and caster positive)",
        &[("case", ""), ("wheel", ""), ("toe", "°"), ("camber", "°"), ("caster", "°")],
    );
    for (name, case) in &report.outcome.cases {
        for (wheel, outcome) in &case.wheels {
            if let Some(moved) = &outcome.moved {
                table.row(vec![
                    Cell::text(name),
                    Cell::text(wheel),
                    Cell::Number(moved.change.toe_deg, 3),
                    Cell::Number(moved.change.camber_deg, 3),
                    Cell::Number(moved.change.caster_deg, 3),
                ]);
            }
        }
    }
    (!table.rows.is_empty()).then_some(table)
}

/// The tubes of the frame and of the corners by size: number, length, mass.
pub fn tube_list(report: &Report<'_>) -> Table {
    let mut table = Table::new(
        "tube-list",
        "Tube by size",
        &[
            ("size", ""),
            ("section", ""),
            ("material", ""),
            ("pieces", ""),
            ("length", "m"),
            ("mass", "kg"),
            ("used in", ""),
        ],
    );
    let structure = &report.prepared.system.structure;
    for (at, (name, size)) in report.model.tubes.iter().enumerate() {
        for of_frame in [true, false] {
            let tubes: Vec<_> = structure
                .tubes
                .iter()
                .filter(|tube| {
                    tube.size == Some(at) && matches!(tube.name, TubeName::Tube(TubeRef::Member(_))) == of_frame
                })
                .collect();
            if tubes.is_empty() {
                continue;
            }
            let length_mm: f64 = tubes.iter().map(|tube| tube.length_mm).sum();
            let (material_name, used) = entry_at(&report.model.materials, size.material);
            let density = used.material.density_kg_m3;
            let mass_kg = crate::beam::mass::tube_mass_kg(size.properties.area_mm2, length_mm, density);
            table.row(vec![
                Cell::text(name),
                Cell::text(section_name(&size.section)),
                Cell::text(material_name),
                Cell::Number(tubes.len() as f64, 0),
                Cell::Number(length_mm / 1000.0, 2),
                Cell::Number(mass_kg, 2),
                Cell::text(if of_frame { "frame" } else { "suspension" }),
            ]);
        }
    }
    table
}

/// The materials that were used, with their source.
pub fn materials(report: &Report<'_>) -> Table {
    let mut table = Table::new(
        "materials",
        "Materials",
        &[
            ("material", ""),
            ("E", "GPa"),
            ("yield", "MPa"),
            ("at weld", "MPa"),
            ("ultimate", "MPa"),
            ("finish", ""),
            ("source", ""),
        ],
    );
    for (name, used) in &report.model.materials {
        let material = &used.material;
        table.row(vec![
            Cell::text(name),
            Cell::Number(material.youngs_modulus_mpa / 1000.0, 0),
            Cell::Number(material.yield_mpa, 0),
            Cell::Number(material.yield_at_weld_mpa, 0),
            Cell::Number(material.ultimate_mpa, 0),
            Cell::text(material.finish.word()),
            Cell::text(used.source.unwrap_or("given in the file")),
        ]);
    }
    table
}

/// Twist tests.
pub fn twist(report: &Report<'_>) -> Option<Table> {
    let mut table = Table::new(
        "twist",
        "Twist tests",
        &[("case", ""), ("moment", "N·m"), ("angle", "°"), ("stiffness", "N·m/deg")],
    );
    for (name, twist) in &report.outcome.twist {
        table.row(vec![
            Cell::text(name),
            Cell::Number(twist.moment_nm, 0),
            Cell::Number(twist.angle_deg, 4),
            twist.stiffness_nm_deg.map_or(Cell::Empty, |stiffness| Cell::Number(stiffness, 0)),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// How accurate each case is.
pub fn accuracy(report: &Report<'_>) -> Table {
    let columns = [("case", ""), ("residual", "1e-16"), ("balance", "1e-16"), ("error at most", "1e-16")];
    let mut table = Table::new("accuracy", "How accurate the arithmetic is, relatively", &columns);
    for (name, case) in &report.outcome.cases {
        let accuracy = &case.accuracy;
        table.row(vec![
            Cell::text(name),
            Cell::Number(accuracy.residual * 1e16, 1),
            Cell::Number(accuracy.balance * 1e16, 0),
            Cell::Number(accuracy.error * 1e16, 0),
        ]);
    }
    table
}

/// What is not judged.
pub fn not_judged(report: &Report<'_>) -> Table {
    let mut table =
        Table::new("not-judged", "What this verdict does not cover", &[("check", ""), ("where", ""), ("why", "")]);
    for item in &report.verdict.not_judged {
        table.row(vec![Cell::text(&item.check), Cell::text(&item.place), Cell::text(&item.why)]);
    }
    table
}
