//! Forces and movements: of wheels, pick-ups, mounts and bodies, and along every tube.

use crate::math::{larger_than, largest};
use crate::model::Wheel;
use crate::report::Report;
use crate::report::table::{Cell, Table};
use crate::run::{CaseOutcome, Giver, Sources, WheelMoved, Wrench, body_mount_name};
use crate::source::Named;

/// Where the changes of toe and camber come from: for each wheel the cases with the largest ones, or
/// `all` of them.
pub fn sources(report: &Report<'_>, all: bool) -> Option<Table> {
    let columns = [("angle", ""), ("wheel", ""), ("case", ""), ("change", "°")];
    let columns: Vec<(&str, &str)> = columns.into_iter().chain(Giver::ALL.map(|giver| (giver.name(), "°"))).collect();
    let mut table = Table::new("sources", "Where the largest changes of toe and camber come from", &columns);
    if all {
        "Where changes of toe and camber come from".clone_into(&mut table.title);
    }
    let toe = |moved: &WheelMoved| (moved.change.toe_deg, moved.sources.toe_deg);
    let camber = |moved: &WheelMoved| (moved.change.camber_deg, moved.sources.camber_deg);
    for (angle, of) in [("toe", &toe as &dyn Fn(&WheelMoved) -> (f64, Sources)), ("camber", &camber)] {
        for wheel in Wheel::NAMES {
            let mut changes: Vec<(&str, f64, Sources)> = Vec::new();
            for (case, outcome) in &report.outcome.cases {
                if let Some(moved) = outcome.wheels.get(wheel).and_then(|wheel| wheel.moved.as_ref()) {
                    let (change, sources) = of(moved);
                    changes.push((case, change, sources));
                }
            }
            if !all {
                changes = largest(changes, |(_, change, _)| change.abs())
                    .filter(|(_, change, _)| *change != 0.0)
                    .into_iter()
                    .collect();
            }
            for (case, change, sources) in changes {
                let mut row = vec![Cell::text(angle), Cell::text(wheel), Cell::text(case), Cell::Number(change, 3)];
                row.extend(Giver::ALL.map(|giver| Cell::Number(sources.of(giver), 3)));
                table.row(row);
            }
        }
    }
    (!table.rows.is_empty()).then_some(table)
}

/// The force on the car at each wheel in each case; `all`: also where no corner is modelled.
pub fn wheel_loads(report: &Report<'_>, all: bool) -> Option<Table> {
    let mut table = Table::new(
        "wheel-loads",
        "Force on the car at each wheel (x forward, y left, z up)",
        &[("case", ""), ("wheel", ""), ("fx", "kN"), ("fy", "kN"), ("fz", "kN"), ("mz", "N·m"), ("from", "")],
    );
    for case in &report.response.cases {
        let outcome = &report.outcome.cases[&case.name];
        for wheel in Wheel::ALL {
            let (Some(load), Some(shown)) = (case.wheels.wheels[wheel.place()], outcome.wheels.get(wheel.name()))
            else {
                continue;
            };
            if !all && shown.moved.is_none() {
                continue;
            }
            let from = if load.given { "file" } else { "car" };
            table.row(vec![
                Cell::text(&case.name),
                Cell::text(wheel.name()),
                Cell::Number(shown.load.force_n.x / 1000.0, 3),
                Cell::Number(shown.load.force_n.y / 1000.0, 3),
                Cell::Number(shown.load.force_n.z / 1000.0, 3),
                Cell::Number(shown.load.moment_nm.z, 1),
                Cell::text(from),
            ]);
        }
    }
    (!table.rows.is_empty()).then_some(table)
}

/// Force and moment columns of a wrench.
fn wrench_cells(wrench: &Wrench) -> Vec<Cell> {
    let force = wrench.force_n / 1000.0;
    vec![
        Cell::Number(force.x, 3),
        Cell::Number(force.y, 3),
        Cell::Number(force.z, 3),
        Cell::Number(force.norm(), 3),
        Cell::Number(wrench.moment_nm.norm(), 1),
    ]
}

const WRENCH_COLUMNS: [(&str, &str); 5] =
    [("fx", "kN"), ("fy", "kN"), ("fz", "kN"), ("force", "kN"), ("moment", "N·m")];

/// The wrench at each name in the case where its force is largest (or its moment, where there is
/// no force).
fn largest_wrenches(
    report: &Report<'_>,
    of_case: impl Fn(&CaseOutcome) -> Named<Wrench>,
) -> Vec<(String, String, Wrench)> {
    let mut all: Named<(String, Wrench)> = Named::new();
    for (case, outcome) in &report.outcome.cases {
        for (name, wrench) in of_case(outcome) {
            let size = |wrench: &Wrench| (wrench.force_n.norm(), wrench.moment_nm.norm());
            match all.get_mut(&name) {
                None => {
                    all.insert(name, (case.clone(), wrench));
                }
                Some(known) => {
                    let ((force, moment), (known_force, known_moment)) = (size(&wrench), size(&known.1));
                    if larger_than(force, known_force) || (known_force == 0.0 && larger_than(moment, known_moment)) {
                        *known = (case.clone(), wrench);
                    }
                }
            }
        }
    }
    all.into_iter().map(|(name, (case, wrench))| (name, case, wrench)).collect()
}

fn wrench_table(
    report: &Report<'_>,
    key: &'static str,
    title: &str,
    first: &'static str,
    of_case: impl Fn(&CaseOutcome) -> Named<Wrench>,
) -> Option<Table> {
    let mut columns = vec![(first, ""), ("case", "")];
    columns.extend(WRENCH_COLUMNS);
    let mut table = Table::new(key, title, &columns);
    for (name, case, wrench) in largest_wrenches(report, of_case) {
        let mut row = vec![Cell::text(name), Cell::text(case)];
        row.extend(wrench_cells(&wrench));
        table.row(row);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// What the corner parts do to each pick-up, in the case where that is largest; without nodes that
/// are only reported as pick-ups and hold no part of a corner.
pub fn pickups(report: &Report<'_>) -> Option<Table> {
    let held: Vec<&str> = report.model.pickups().into_iter().map(|anchor| report.model.anchor_name(anchor)).collect();
    wrench_table(
        report,
        "pick-ups",
        "Force of the suspension on each pick-up, where it is largest",
        "pick-up",
        |case| {
            let loads = case.pickups.iter().filter(|(name, _)| held.contains(&name.as_str()));
            loads.map(|(name, pickup)| (name.clone(), pickup.load)).collect()
        },
    )
}

/// What the ground does to the frame at each mount, in the case where that is largest.
pub fn mounts(report: &Report<'_>) -> Option<Table> {
    wrench_table(report, "mounts", "Force of the car's body on each mount, where it is largest", "mount", |case| {
        case.mounts.clone()
    })
}

/// What each body does to the frame at each of its mounts, in the case where that is largest.
pub fn body_mounts(report: &Report<'_>) -> Option<Table> {
    wrench_table(
        report,
        "body-mounts",
        "Force of each body on the frame, where it is largest",
        "body at node",
        |case| {
            case.bodies
                .iter()
                .flat_map(|(body, outcome)| {
                    outcome.mounts.iter().map(move |(node, load)| (body_mount_name(body, node), *load))
                })
                .collect()
        },
    )
}

/// The same for every case, for files: pick-ups, mounts and body mounts.
pub fn every_force(report: &Report<'_>) -> Table {
    let mut table = Table::new(
        "forces",
        "Force at every pick-up, mount and body mount in every case",
        &[
            ("case", ""),
            ("kind", ""),
            ("name", ""),
            ("fx", "N"),
            ("fy", "N"),
            ("fz", "N"),
            ("mx", "N·m"),
            ("my", "N·m"),
            ("mz", "N·m"),
        ],
    );
    for (case, outcome) in &report.outcome.cases {
        let mut add = |kind: &str, name: &str, wrench: &Wrench| {
            let mut row = vec![Cell::text(case), Cell::text(kind), Cell::text(name)];
            row.extend(wrench.force_n.iter().map(|force| Cell::Number(*force, 1)));
            row.extend(wrench.moment_nm.iter().map(|moment| Cell::Number(*moment, 2)));
            table.row(row);
        };
        for (name, pickup) in &outcome.pickups {
            add("pick-up", name, &pickup.load);
        }
        for (name, mount) in &outcome.mounts {
            add("mount", name, mount);
        }
        for (body, of_body) in &outcome.bodies {
            for (node, load) in &of_body.mounts {
                add("body mount", &format!("{body} at {node}"), load);
            }
        }
    }
    table
}

/// Movement of every node and bracket in every case, from unloaded, for files.
pub fn every_movement(report: &Report<'_>) -> Table {
    let mut table = Table::new(
        "movements",
        "Movement of every node and bracket in every case, from unloaded",
        &[("case", ""), ("node", ""), ("ux", "mm"), ("uy", "mm"), ("uz", "mm"), ("rx", "°"), ("ry", "°"), ("rz", "°")],
    );
    for (case, outcome) in &report.outcome.cases {
        for (node, moved) in &outcome.nodes {
            let mut row = vec![Cell::text(case), Cell::text(node)];
            row.extend(moved.move_mm.iter().map(|shift| Cell::Number(*shift, 3)));
            row.extend(moved.turn_deg.iter().map(|turn| Cell::Number(*turn, 4)));
            table.row(row);
        }
    }
    table
}
