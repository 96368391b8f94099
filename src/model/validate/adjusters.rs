//! Adjusters: what they move, and the model at each position, read as any other.

use std::collections::HashSet;

use super::{Checker, entry, validate};
use crate::model::adjusters::{Adjuster, MOST_ADJUSTERS, MOST_COMBINATIONS, Position, position_name, settings};
use crate::model::file::{self, File};
use crate::model::mirror::other_side;
use crate::model::{Fault, Model};
use crate::path;
use crate::source::{Named, Node, Path, Value};
use crate::units::Length;

/// Checks the adjusters of a file; names and directions of what each moves.
pub(super) fn adjusters(file: &File, model: &mut Model, checker: &mut Checker<'_>) {
    if file.adjusters.is_empty() {
        return;
    }
    let mut file = file.clone();
    let names: Vec<String> = places(&mut file).into_iter().map(|(name, _)| name).collect();
    let known: HashSet<&str> = names.iter().map(String::as_str).collect();
    for (name, given) in &file.adjusters {
        let at = entry("adjusters", name);
        let mut points: Vec<(String, [f64; 3])> = Vec::new();
        let length = given.along.iter().map(|part| part * part).sum::<f64>().sqrt();
        if length == 0.0 {
            checker.fault(at.then("along"), "a direction may not be [0, 0, 0]");
        }
        let along = given.along.map(|part| part / length);
        if given.points.is_empty() && checker.is_whole(&at) {
            checker.fault(at.then("points"), "there is no point; an adjuster moves at least one");
        }
        for (index, point) in given.points.iter().enumerate() {
            let path = at.then("points").then(index);
            if !known.contains(point.as_str()) {
                let left_out = match point.split_once('/') {
                    Some((corner, _)) => !file.corners.contains_key(corner) && checker.is_written("corners", corner),
                    None => checker.is_written("nodes", point) || checker.is_written("brackets", point),
                };
                if !left_out {
                    let what = "node, bracket or place of the car";
                    checker.unknown(path, what, point, names.iter().map(String::as_str));
                }
                continue;
            }
            let mut moved = vec![(point.clone(), along)];
            if given.both {
                let twin = twin_of(point);
                if twin == *point || !known.contains(twin.as_str()) {
                    checker.fault_with_hint(
                        path,
                        format!("\"both\" moves mirror twins, and \"{point}\" has none"),
                        "take it out of this adjuster, or put it into one without \"both\"",
                    );
                    continue;
                }
                moved.push((twin, [along[0], -along[1], along[2]]));
            }
            for (moves, along) in moved {
                if points.iter().any(|(known, _)| *known == moves) {
                    checker.fault(path.clone(), format!("\"{moves}\" is moved twice by this adjuster"));
                } else {
                    points.push((moves, along));
                }
            }
        }
        let at_mm: Vec<f64> = given.at.iter().map(|at| at.0).collect();
        if at_mm.iter().all(|at_mm| *at_mm == 0.0) && checker.is_whole(&at) {
            checker.fault(at.then("at"), "it never moves: \"at\" must hold a position other than 0, as drawn");
        }
        for (index, at_mm) in at_mm.iter().enumerate() {
            if given.at[..index].iter().any(|known| known.0 == *at_mm) {
                checker.fault(at.then("at").then(index), "this position is listed twice");
            }
        }
        model.adjusters.insert(name.clone(), Adjuster { points, at_mm });
    }
}

/// Says that there is nothing to move where somebody wrote so.
pub(super) fn empty(root: &Node) -> Option<String> {
    let written = root.get("adjusters")?;
    let is_empty = matches!(written.value, Value::Object(ref entries) if entries.is_empty());
    is_empty.then(|| "\"adjusters\" is empty: nothing can be moved, and the car as drawn alone is judged".to_owned())
}

/// Builds the model at every position; one that is no model is told at the first adjuster that is
/// not as drawn.
pub(super) fn positions(
    file: &File,
    root: &Node,
    unread: &[Path],
    repeated: &[Path],
    model: &mut Model,
    checker: &mut Checker<'_>,
) {
    let adjusters: Vec<&Adjuster> = model.adjusters.values().collect();
    if adjusters.is_empty() {
        return;
    }
    let count: f64 = adjusters.iter().map(|adjuster| adjuster.at_mm.len() as f64).product();
    if count > MOST_COMBINATIONS as f64 && adjusters.len() > MOST_ADJUSTERS {
        checker.fault_with_hint(
            path!["adjusters"],
            format!(
                "{} adjusters have {count} positions in all; more than {MOST_COMBINATIONS} are run by the corners of the range, of at most {MOST_ADJUSTERS} adjusters",
                adjusters.len()
            ),
            "leave out those that matter least, or put what moves together into one",
        );
        return;
    }
    let mut told: Vec<(Path, String)> = Vec::new();
    let mut built = Vec::new();
    for set_mm in settings(&adjusters) {
        let name = position_name(model.adjusters.keys().map(String::as_str).zip(set_mm.iter().copied()));
        if name.is_empty() {
            continue;
        }
        let moved = at_position(file, &model.adjusters, &set_mm);
        let (of_position, faults) = validate(&moved, root, unread, repeated);
        for fault in faults {
            if told.contains(&(fault.path.clone(), fault.message.clone())) {
                continue;
            }
            told.push((fault.path.clone(), fault.message.clone()));
            let first = model.adjusters.iter().zip(&set_mm).find(|(_, at_mm)| **at_mm != 0.0);
            let at = first.map_or(path!["adjusters"], |((adjuster, given), at_mm)| {
                let index = given.at_mm.iter().position(|known| known == at_mm).unwrap_or(0);
                entry("adjusters", adjuster).then("at").then(index)
            });
            let mut of_adjuster = Fault::new(at, format!("with {name}: {}: {}", fault.path, fault.message));
            of_adjuster.hint = fault.hint;
            checker.faults.push(of_adjuster);
        }
        built.push(Position { name, set_mm, model: of_position });
    }
    model.positions = built;
}

/// The file with each adjuster set, without the adjusters.
fn at_position(file: &File, adjusters: &Named<Adjuster>, set_mm: &[f64]) -> File {
    let mut moved = file.clone();
    moved.adjusters.clear();
    for (name, place) in places(&mut moved) {
        for (adjuster, at_mm) in adjusters.values().zip(set_mm) {
            for (_, along) in adjuster.points.iter().filter(|(point, _)| *point == name) {
                for (coordinate, part) in place.iter_mut().zip(along) {
                    coordinate.0 += part * at_mm;
                }
            }
        }
    }
    moved
}

/// Every place of a file that an adjuster may move, by its name.
fn places(file: &mut File) -> Vec<(String, &mut [Length; 3])> {
    let mut places: Vec<(String, &mut [Length; 3])> = Vec::new();
    places.extend(file.nodes.iter_mut().map(|(name, node)| (name.clone(), &mut node.at)));
    places.extend(file.brackets.iter_mut().map(|(name, bracket)| (name.clone(), &mut bracket.at)));
    for (wheel, corner) in &mut file.corners {
        let of_kind = of_corner(corner);
        places.extend(of_kind.into_iter().map(|(place, at)| (format!("{wheel}/{place}"), at)));
    }
    for (axle, bar) in &mut file.anti_roll {
        let sides = [("left", Some(&mut bar.left)), ("right", bar.right.as_mut())];
        for (side, of_side) in sides {
            let Some(of_side) = of_side else { continue };
            places.push((format!("{axle}/{side}.end"), &mut of_side.end));
            places.push((format!("{axle}/{side}.foot"), &mut of_side.foot));
        }
    }
    places
}

/// The places of a corner, named as in a table of points.
fn of_corner(corner: &mut file::Corner) -> Vec<(String, &mut [Length; 3])> {
    let named = |name: &str| name.to_owned();
    match corner {
        file::Corner::DoubleWishboneCorner(drawn) => vec![
            (named("wheel_centre"), &mut drawn.wheel_centre),
            (named("contact_patch"), &mut drawn.contact_patch),
            (named("upper.outer"), &mut drawn.upper.outer),
            (named("lower.outer"), &mut drawn.lower.outer),
            (named("tie_rod.outer"), &mut drawn.tie_rod.outer),
            (named("spring.bottom"), &mut drawn.spring.bottom),
        ],
        file::Corner::StrutCorner(drawn) => vec![
            (named("wheel_centre"), &mut drawn.wheel_centre),
            (named("contact_patch"), &mut drawn.contact_patch),
            (named("lower.outer"), &mut drawn.lower.outer),
            (named("tie_rod.outer"), &mut drawn.tie_rod.outer),
            (named("strut.bottom"), &mut drawn.strut.bottom),
        ],
        file::Corner::TrailingArmCorner(drawn) => vec![
            (named("wheel_centre"), &mut drawn.wheel_centre),
            (named("contact_patch"), &mut drawn.contact_patch),
            (named("arm.hub"), &mut drawn.arm.hub),
            (named("spring.bottom"), &mut drawn.spring.bottom),
        ],
        file::Corner::LinksCorner(drawn) => {
            let mut of_links = vec![
                (named("wheel_centre"), &mut drawn.wheel_centre),
                (named("contact_patch"), &mut drawn.contact_patch),
                (named("spring.bottom"), &mut drawn.spring.bottom),
            ];
            let links = drawn.links.iter_mut();
            of_links.extend(links.map(|(name, link)| (format!("links.{name}.outer"), &mut link.outer)));
            of_links
        }
    }
}

/// The name of the mirror twin of a place; the same where there can be none.
fn twin_of(name: &str) -> String {
    match name.split_once('/') {
        Some((axle, end)) if end.starts_with("left.") => format!("{axle}/right.{}", &end["left.".len()..]),
        Some((axle, end)) if end.starts_with("right.") => format!("{axle}/left.{}", &end["right.".len()..]),
        Some((corner, end)) => format!("{}/{end}", other_side(corner)),
        None => other_side(name),
    }
}
