//! The tables of a report.

use std::collections::HashMap;

use super::Report;
use super::table::{Cell, Table};
use super::words::{bolts_name, check_and_place, check_name, crack_name, section_name, short_place_of, unit};
use crate::checks::{Check, Finding, counting};
use crate::math::{larger_than, largest, largest_first};
use crate::model::{TubeRef, Wheel, entry_at};
use crate::run::{CaseOutcome, Giver, Sources, WheelMoved, Wrench, body_mount_name};
use crate::source::Named;
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
    for finding in report.verdict.worst_first().into_iter().filter(|finding| finding.fails()) {
        match by_check.iter_mut().find(|(check, _)| *check == finding.check) {
            Some((_, found)) if found.iter().any(|known| known.place == finding.place) => {}
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
                judged.lateral.map_or(String::new(), |result| format!("over {} mm", figures(result.length_mm, 3)))
            }
            Check::Joint => judged
                .joint
                .as_ref()
                .map_or(String::new(), |joint| short_place_of(report.model, structure, tube, joint.at_mm)),
            Check::Weld => {
                judged.weld.map_or(String::new(), |weld| short_place_of(report.model, structure, tube, weld.at_mm))
            }
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
        let of_cases = report.verdict.tubes.iter().filter_map(|(case, tubes)| Some((case, tubes.get(&name)?.weld?)));
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
