//! The model as tables: what was read, in the units it was understood in.

use super::table::{Cell, Table};
use super::words::{bolts_name, force, section_name, size_mm};
use crate::beam::{Flex, Joint};
use crate::model::{
    Anchor, BodyHold, Bolts, BracketFoot, Case, CornerKind, Effort, Held, Hold, LinkFoot, MOTIONS, Model, RodEnd,
    STRUT, Target, Torque, Wheel, entry_at,
};
use crate::units::{brief, figures};
use nalgebra::{Point3, Vector3};

/// All tables of the inputs, in the order of the file.
pub fn tables(model: &Model) -> Vec<Table> {
    let all = [
        vehicle(model),
        Some(sizes(model)),
        Some(nodes(model)),
        brackets(model),
        Some(members(model)),
        Some(mounts(model)),
        bodies(model),
        corners(model),
        anti_roll(model),
        Some(cases(model)),
        duty(model),
        adjusters(model),
        Some(limits(model)),
    ];
    all.into_iter().flatten().filter(|table| !table.rows.is_empty()).collect()
}

fn place_cells(at: &Point3<f64>) -> Vec<Cell> {
    at.iter().map(|value| Cell::Number(*value, 1)).collect()
}

fn place(at: &Point3<f64>) -> String {
    format!("[{}]", at.iter().map(|value| size_mm(*value)).collect::<Vec<_>>().join(", "))
}

fn vector(of: &Vector3<f64>) -> String {
    format!("[{}]", of.iter().map(|value| figures(*value, 4)).collect::<Vec<_>>().join(", "))
}

fn vehicle(model: &Model) -> Option<Table> {
    let vehicle = model.vehicle.as_ref()?;
    let mut table = Table::new("vehicle", "The car", &[("figure", ""), ("value", ""), ("unit", "")]);
    let mut add = |what: &str, value: Option<f64>, digits: usize, unit: &str| {
        if let Some(value) = value {
            table.row(vec![Cell::text(what), Cell::Number(value, digits), Cell::text(unit)]);
        }
    };
    add("mass, ready to race", Some(vehicle.mass_kg), 1, "kg");
    add("wheelbase", Some(vehicle.wheelbase_mm), 0, "mm");
    add("track, front", Some(vehicle.track_mm[0]), 0, "mm");
    add("track, rear", Some(vehicle.track_mm[1]), 0, "mm");
    add("centre of gravity behind the front axle", Some(vehicle.cg_behind_front_axle_mm), 0, "mm");
    add("centre of gravity over the ground", Some(vehicle.cg_height_mm), 0, "mm");
    add("centre of gravity left of the middle", Some(vehicle.cg_left_mm), 0, "mm");
    add("lateral transfer, share of the front", Some(vehicle.lateral_transfer_share_front), 3, "");
    add("braking, share of the front", vehicle.brake_share_front, 3, "");
    add("drive, share of the front", vehicle.drive_share_front, 3, "");
    add("tyre grip", vehicle.tyre_grip, 2, "");
    add("pneumatic trail", vehicle.pneumatic_trail_mm, 0, "mm");
    Some(table)
}

fn sizes(model: &Model) -> Table {
    let columns = [
        ("tube size", ""),
        ("section", ""),
        ("material", ""),
        ("A", "mm²"),
        ("Iy", "mm⁴"),
        ("Iz", "mm⁴"),
        ("It", "mm⁴"),
        ("mass", "kg/m"),
    ];
    let mut table = Table::new("sizes", "Tube sizes", &columns);
    for (name, size) in &model.tubes {
        let (material, used) = entry_at(&model.materials, size.material);
        let density = used.material.density_kg_m3;
        let p = &size.properties;
        table.row(vec![
            Cell::text(name),
            Cell::text(section_name(&size.section)),
            Cell::text(material),
            Cell::Number(p.area_mm2, 1),
            Cell::Number(p.iy_mm4, 0),
            Cell::Number(p.iz_mm4, 0),
            Cell::Number(p.j_mm4, 0),
            Cell::Number(crate::beam::mass::tube_mass_kg(p.area_mm2, 1000.0, density), 3),
        ]);
    }
    table
}

fn nodes(model: &Model) -> Table {
    let mut table = Table::new("nodes", "Nodes", &[("node", ""), ("x", "mm"), ("y", "mm"), ("z", "mm")]);
    for (name, node) in &model.nodes {
        let mut row = vec![Cell::text(name)];
        row.extend(place_cells(&node.at));
        table.row(row);
    }
    table
}

fn brackets(model: &Model) -> Option<Table> {
    let mut table =
        Table::new("brackets", "Brackets", &[("bracket", ""), ("x", "mm"), ("y", "mm"), ("z", "mm"), ("on", "")]);
    for (name, bracket) in &model.brackets {
        let on = match &bracket.on {
            BracketFoot::Node(node) => model.anchor_name(Anchor::Node(*node)).to_owned(),
            BracketFoot::Tubes(tubes) => {
                tubes.iter().map(|tube| model.tube_name(*tube)).collect::<Vec<_>>().join(" + ")
            }
        };
        let mut row = vec![Cell::text(name)];
        row.extend(place_cells(&bracket.at));
        row.push(Cell::text(on));
        table.row(row);
    }
    Some(table)
}

/// A joint in a few words.
fn joint_words(joint: &Joint) -> String {
    if joint.is_weld() {
        return "weld".to_owned();
    }
    if *joint == Joint::ROD_END {
        return "rod-end".to_owned();
    }
    let parts: Vec<String> = [("n", joint.n), ("t", joint.t), ("my", joint.my), ("mz", joint.mz)]
        .into_iter()
        .filter_map(|(name, flex)| match flex {
            Flex::Rigid => None,
            Flex::Free => Some(format!("{name} free")),
            Flex::Rate(rate) => Some(format!("{name} {} N·m/rad", figures(rate / 1000.0, 3))),
        })
        .collect();
    parts.join(", ")
}

fn members(model: &Model) -> Table {
    let mut table = Table::new(
        "members",
        "Members",
        &[("member", ""), ("through", ""), ("tube", ""), ("length", "mm"), ("joints", "")],
    );
    for (name, member) in &model.members {
        let axis = model.member_axis(member);
        let length: f64 = axis.windows(2).map(|piece| (piece[1] - piece[0]).norm()).sum();
        let nodes: Vec<&str> = member.nodes.iter().map(|anchor| model.anchor_name(*anchor)).collect();
        let words = |end: usize| match member.tube_on_tube[end] {
            true => "tube-on-tube".to_owned(),
            false => joint_words(&member.joints[end]),
        };
        let joints = [0, 1].map(words);
        let joints = if joints[0] == joints[1] { joints[0].clone() } else { joints.join(" | ") };
        table.row(vec![
            Cell::text(name),
            Cell::text(nodes.join(" – ")),
            Cell::text(entry_at(&model.tubes, member.tube).0),
            Cell::Number(length, 0),
            Cell::text(joints),
        ]);
    }
    table
}

/// How a node is held, in a few words.
fn hold_words(hold: &Hold) -> String {
    let fixed = |range: std::ops::Range<usize>| range.clone().all(|at| hold[at] == Held::Fixed);
    let free = |range: std::ops::Range<usize>| range.clone().all(|at| hold[at] == Held::Free);
    if fixed(0..6) {
        return "bolted pad (all six held)".to_owned();
    }
    if fixed(0..3) && free(3..6) {
        return "one bolt (three shifts held)".to_owned();
    }
    let parts: Vec<String> = hold
        .iter()
        .zip(MOTIONS)
        .filter_map(|(held, name)| match held {
            Held::Free => None,
            Held::Fixed => Some(format!("{name} fixed")),
            Held::Rate(rate) if name.starts_with('r') => Some(format!("{name} {} N·m/rad", figures(rate / 1000.0, 3))),
            Held::Rate(rate) => Some(format!("{name} {} N/mm", figures(*rate, 3))),
        })
        .collect();
    parts.join(", ")
}

/// The bolts of a mount behind how it holds: `, 2 × M10 8.8`.
fn with_bolts(bolts: Option<&Bolts>) -> String {
    bolts.map_or(String::new(), |bolts| format!(", {}", bolts_name(bolts)))
}

fn mounts(model: &Model) -> Table {
    let mut table = Table::new("mount-kinds", "Mounts on the car's body", &[("mount", ""), ("holds", "")]);
    for mount in &model.mounts {
        let words = format!("{}{}", hold_words(&mount.hold), with_bolts(mount.bolts.as_ref()));
        table.row(vec![Cell::text(model.anchor_name(mount.at)), Cell::text(words)]);
    }
    table
}

fn bodies(model: &Model) -> Option<Table> {
    let mut table =
        Table::new("bodies", "Bodies", &[("body", ""), ("mass", "kg"), ("centre of gravity", ""), ("holds", "")]);
    for (name, body) in &model.bodies {
        let mounts: Vec<String> = body
            .mounts
            .iter()
            .map(|mount| {
                let words = match &mount.hold {
                    BodyHold::Directions(hold) => hold_words(hold),
                    BodyHold::Rides => "rides on it".to_owned(),
                    BodyHold::Clamp(_) => "clamp".to_owned(),
                };
                format!("{}: {words}{}", model.anchor_name(mount.at), with_bolts(mount.bolts.as_ref()))
            })
            .collect();
        let torque = if body.takes_drive_torque { "; takes the drive torque" } else { "" };
        table.row(vec![
            Cell::text(name),
            Cell::Number(body.mass_kg, 1),
            Cell::text(place(&body.cg)),
            Cell::text(format!("{}{torque}", mounts.join("; "))),
        ]);
    }
    Some(table)
}

fn corners(model: &Model) -> Option<Table> {
    let mut table = Table::new(
        "corners",
        "Suspension corners",
        &[("corner", ""), ("part", ""), ("from", ""), ("to", ""), ("tube", "")],
    );
    for corner in &model.corners {
        let wheel = corner.wheel.name();
        let torque = |torque: Torque| if torque == Torque::Outboard { "outboard" } else { "inboard" };
        let mut add = |part: &str, from: String, to: String, tube: String| {
            table.row(vec![Cell::text(wheel), Cell::text(part), Cell::text(from), Cell::text(to), Cell::text(tube)]);
        };
        let words = format!(
            "brakes {}, drive {}, unsprung {} kg",
            torque(corner.brakes),
            torque(corner.drive),
            figures(corner.unsprung_kg, 3)
        );
        add("wheel", place(&corner.wheel_centre), format!("patch {}", place(&corner.contact_patch)), words);
        for tube in corner.kind.tubes() {
            let mut size = entry_at(&model.tubes, tube.tube).0.to_owned();
            if let (CornerKind::Strut(strut), STRUT) = (&corner.kind, &*tube.name) {
                size.push_str(&rate(strut.rate_n_mm));
            }
            size.push_str(&rod_end(tube.rod_ends[0].as_ref()));
            add(&tube.name, model.anchor_name(tube.inner).to_owned(), place(&tube.outer), size);
        }
        if let Some(spring) = corner.kind.spring() {
            let on = link_foot(model, corner.wheel, &spring.on);
            let rod = format!(
                "as stiff as a steel bar of {} mm{}{}",
                size_mm(spring.rod_mm),
                rate(spring.rate_n_mm),
                rod_end(spring.rod_end.as_ref())
            );
            add("spring", model.anchor_name(spring.top).to_owned(), format!("{} on {on}", place(&spring.bottom)), rod);
        }
    }
    Some(table)
}

/// A rod-end, where it is given: `; rod-end M12, held 30 mm off, rated 28.0 kN`.
fn rod_end(told: Option<&RodEnd>) -> String {
    told.map_or(String::new(), |told| {
        let (thread, off) = (told.thread.name(), size_mm(told.stick_out_mm));
        format!("; rod-end {thread}, held {off} mm off, rated {}", force(told.rated_n))
    })
}

/// The rate of a spring, where it is given.
fn rate(rate_n_mm: Option<f64>) -> String {
    rate_n_mm.map_or_else(String::new, |rate| format!("; rate {} N/mm", figures(rate, 3)))
}

fn link_foot(model: &Model, wheel: Wheel, foot: &LinkFoot) -> String {
    match (foot, model.corner(wheel)) {
        (LinkFoot::Tubes(tubes), Some(corner)) => {
            let names = corner.tube_names();
            tubes.iter().filter_map(|tube| names.get(*tube).cloned()).collect::<Vec<_>>().join(" + ")
        }
        _ => "the upright".to_owned(),
    }
}

fn anti_roll(model: &Model) -> Option<Table> {
    let columns =
        [("side", ""), ("bearing", ""), ("end of the bar", ""), ("foot of the link", ""), ("on", ""), ("share", "")];
    let mut table = Table::new("anti-roll", "Anti-roll bars", &columns);
    for bar in &model.anti_roll {
        for (at, side) in bar.sides.iter().enumerate() {
            let wheel = Wheel::of_axle(bar.axle, at == 0);
            table.row(vec![
                Cell::text(wheel.name()),
                Cell::text(model.anchor_name(side.bearing)),
                Cell::text(place(&side.end)),
                Cell::text(place(&side.foot)),
                Cell::text(link_foot(model, wheel, &side.on)),
                Cell::Number(bar.share, 2),
            ]);
        }
    }
    Some(table)
}

fn target(model: &Model, target: Target) -> String {
    match target {
        Target::Anchor(anchor) => model.anchor_name(anchor).to_owned(),
        Target::Body(body) => entry_at(&model.bodies, body).0.to_owned(),
    }
}

/// What a case asks, in words.
pub fn case_words(model: &Model, case: &Case) -> String {
    let mut parts = Vec::new();
    if let Some([long, lat, vert]) = case.g {
        parts.push(format!("g: long {}, lat {}, vert {}", figures(long, 3), figures(lat, 3), figures(vert, 3)));
    }
    if case.no_wheels {
        parts.push("no wheel forces".to_owned());
    }
    for (wheel, given) in &case.wheels {
        parts.push(format!("{} {} N", wheel.name(), vector(&given.force_n)));
    }
    if let Some((effort, wheels)) = &case.effort {
        let word = if *effort == Effort::Braked { "braked" } else { "driven" };
        parts.push(format!("{word}: {}", wheels.iter().map(|wheel| wheel.name()).collect::<Vec<_>>().join(", ")));
    }
    if case.air_n != [0.0; 2] {
        parts.push(format!("downforce front {} N, rear {} N", figures(case.air_n[0], 3), figures(case.air_n[1], 3)));
    }
    for (at, force) in &case.forces {
        parts.push(format!("force at {} {} N", target(model, *at), vector(force)));
    }
    for (at, moment) in &case.moments {
        parts.push(format!("moment at {} {} N·m", target(model, *at), vector(&(moment / 1000.0))));
    }
    for (tube, load) in &case.line_loads {
        parts.push(format!("on {} {} N/mm", model.tube_name(*tube), vector(load)));
    }
    for (mount, motion, amount) in &case.moved {
        let (amount, unit) = if *motion < 3 { (*amount, "mm") } else { (amount.to_degrees(), "°") };
        let node = model.anchor_name(model.mounts[*mount].at);
        parts.push(format!("mount {node} moved {} {} {unit}", MOTIONS[*motion], figures(amount, 3)));
    }
    if let Some(twist) = &case.twist {
        let [first, second] = twist.axle.map(|anchor| model.anchor_name(anchor).to_owned());
        parts
            .push(format!("twist test {} N·m, up at {first}, down at {second}", figures(twist.moment_nmm / 1000.0, 3)));
    }
    if case.factor != 1.0 {
        parts.push(format!("all × {}", figures(case.factor, 3)));
    }
    parts.join("; ")
}

fn cases(model: &Model) -> Table {
    let mut table = Table::new("case-inputs", "Load cases", &[("case", ""), ("asks", ""), ("limits of its own", "")]);
    for (name, case) in &model.cases {
        let own = limit_values(&case.limits)
            .into_iter()
            .zip(limit_values(&model.limits))
            .filter(|(own, file)| own.1 != file.1)
            .map(|((name, value, unit), _)| match value {
                Some(value) => format!("{name} {}{unit}", figures(value, 3)),
                None => format!("{name} not judged"),
            })
            .collect::<Vec<_>>()
            .join(", ");
        table.row(vec![Cell::text(name), Cell::text(case_words(model, case)), Cell::text(own)]);
    }
    table
}

/// Name, value and unit of each limit.
fn duty(model: &Model) -> Option<Table> {
    let columns = [("event", ""), ("from", ""), ("to", ""), ("times in one life", "")];
    let mut table = Table::new("duty", "Duty: what happens how often in one life", &columns);
    for (name, event) in &model.duty {
        table.row(vec![
            Cell::text(name),
            Cell::text(event.from.as_deref().unwrap_or("without load")),
            Cell::text(&event.to),
            Cell::text(figures(event.count, 6)),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}

fn limit_values(limits: &crate::model::Limits) -> [(&'static str, Option<f64>, &'static str); 9] {
    [
        ("yield", limits.yield_margin, " margin"),
        ("column", limits.column_margin, " margin"),
        ("buckling", limits.buckling_margin, " margin"),
        ("pickup_move", limits.pickup_move_mm, " mm"),
        ("toe", limits.toe_deg, "°"),
        ("camber", limits.camber_deg, "°"),
        ("frequency", limits.frequency_hz, " Hz"),
        ("twist", limits.twist_nm_deg, " N·m/deg"),
        ("fatigue", limits.fatigue, " lives"),
    ]
}

/// What can be moved, and how far.
fn adjusters(model: &Model) -> Option<Table> {
    let columns = [("adjuster", ""), ("moves", ""), ("along", ""), ("positions, mm", "")];
    let mut table = Table::new("adjusters", "Adjusters", &columns);
    for (name, adjuster) in &model.adjusters {
        let at = adjuster.at_mm.iter().map(|at_mm| brief(*at_mm)).collect::<Vec<_>>().join(", ");
        for (point, along) in &adjuster.points {
            let along = vector(&Vector3::from(*along));
            table.row(vec![Cell::text(name), Cell::text(point), Cell::text(along), Cell::text(&at)]);
        }
    }
    Some(table)
}

fn limits(model: &Model) -> Table {
    let mut table = Table::new("limits", "Limits", &[("limit", ""), ("value", ""), ("unit", "")]);
    for (name, value, unit) in limit_values(&model.limits) {
        if let Some(value) = value {
            table.row(vec![Cell::text(name), Cell::Number(value, 2), Cell::text(unit.trim())]);
        }
    }
    table
}
