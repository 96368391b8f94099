//! Symbols: supports, bodies, springs, points, the axes, the projection symbol.

use nalgebra::Point3;

use super::paper::{Align, Area, Dot, Paper, Text};
use super::pen::{Broken, INK, NARROW, WHITE, arrow_head, between, distance, round};
use super::room::Room;
use super::view::Look;
use crate::model::{Held, Hold};

/// How a mount holds, in the words of the model file where it has one.
pub(super) fn holds(hold: &Hold) -> String {
    let fixed = hold.map(|held| held == Held::Fixed);
    if fixed == [true; 6] {
        return "bolted pad".to_owned();
    }
    if fixed[..3] == [true; 3] && hold[3..].iter().all(|held| *held == Held::Free) {
        return "one bolt".to_owned();
    }
    let list = |wanted: fn(&Held) -> bool| {
        let names = crate::model::MOTIONS.iter().zip(hold);
        names.filter(|(_, held)| wanted(held)).map(|(name, _)| *name).collect::<Vec<_>>().join(" ")
    };
    let (fixed, sprung) = (list(|held| *held == Held::Fixed), list(|held| matches!(held, Held::Rate(_))));
    match (fixed.as_str(), sprung.as_str()) {
        ("", sprung) => format!("{sprung} sprung"),
        (fixed, "") => format!("{fixed} fixed"),
        (fixed, sprung) => format!("{fixed} fixed, {sprung} sprung"),
    }
}

/// What kind of support is drawn for a mount.
pub(super) fn kind_of_support(hold: &Hold) -> &'static str {
    let held = |motions: std::ops::Range<usize>| hold[motions].iter().all(|held| *held != Held::Free);
    if held(0..6) {
        "mount: all six held"
    } else if held(0..3) {
        "mount: x, y, z held"
    } else {
        "mount: held in part"
    }
}

/// A support under a place: a hatched block where all six motions are held, rigidly or by a rate, a
/// hatched triangle where the three shifts are, else a triangle on rollers.
pub(super) fn support(paper: &mut Paper, room: &mut Room, at: Dot, hold: &Hold) {
    let (x, y) = at;
    let held = |motions: std::ops::Range<usize>| hold[motions].iter().all(|held| *held != Held::Free);
    let foot = if held(0..6) {
        let block = Area::new(x - 13, y, x + 13, y + 12);
        paper.fill(block.outline(), WHITE);
        paper.line(block.outline(), NARROW + 1, INK);
        y + 12
    } else {
        let triangle = vec![(x, y), (x - 14, y + 24), (x + 14, y + 24), (x, y)];
        paper.fill(triangle.clone(), WHITE);
        paper.line(triangle, NARROW + 1, INK);
        if held(0..3) {
            y + 24
        } else {
            for across in [-8, 8] {
                paper.ring((x + across, y + 28), 4, NARROW, INK);
            }
            y + 32
        }
    };
    // One line along the foot that goes down and back at each hatch.
    let mut ground = vec![(x - 20, foot)];
    for hatch in 0..5 {
        let right = x - 12 + 8 * hatch;
        ground.extend([(right, foot), (right - 8, foot + 8), (right, foot)]);
    }
    paper.line(ground, NARROW, INK);
    room.take(&Area::new(x - 22, y, x + 22, foot + 9));
}

/// A pick-up: a small open circle.
pub(super) fn pickup(paper: &mut Paper, room: &mut Room, at: Dot) {
    paper.disc(at, 7, WHITE);
    paper.ring(at, 7, NARROW + 1, INK);
    room.take(&Area::new(at.0 - 9, at.1 - 9, at.0 + 9, at.1 + 9));
}

/// A centre of gravity: a quartered circle, with chain lines to what holds the body.
pub(super) fn body(paper: &mut Paper, room: &mut Room, cg: Dot, mounts: &[Dot]) {
    for mount in mounts {
        paper.lines(Broken::Chain.cut(&[cg, *mount]), NARROW, INK);
        room.take_line(&[cg, *mount], NARROW);
    }
    let (x, y) = cg;
    let radius = 14;
    paper.disc(cg, radius, WHITE);
    for (from, to) in [(0.0_f64, 90.0_f64), (180.0, 270.0)] {
        let arc = (0..=6).map(|step| (from + (to - from) * f64::from(step) / 6.0).to_radians());
        let rim = arc.map(|angle| round(f64::from(x) + 14.0 * angle.cos(), f64::from(y) + 14.0 * angle.sin()));
        paper.fill(std::iter::once(cg).chain(rim).collect(), INK);
    }
    paper.ring(cg, radius, NARROW, INK);
    room.take(&Area::new(x - 16, y - 16, x + 16, y + 16));
}

/// A spring between two places as a zigzag, straight where it is too short for one.
pub(super) fn spring(from: Dot, to: Dot) -> Vec<Dot> {
    let length = distance(from, to);
    if length < 60.0 {
        return vec![from, to];
    }
    let (ux, uy) = (f64::from(to.0 - from.0) / length, f64::from(to.1 - from.1) / length);
    let straight = (length * 0.15).min(60.0);
    let point = |along: f64, across: f64| {
        round(f64::from(from.0) + ux * along - uy * across, f64::from(from.1) + uy * along + ux * across)
    };
    let coil = length - 2.0 * straight;
    let turns = (coil / 15.0) as i32;
    let mut points = vec![from, point(straight, 0.0)];
    for turn in 0..turns {
        let along = straight + coil * (f64::from(turn) + 0.5) / f64::from(turns);
        points.push(point(along, if turn % 2 == 0 { 16.0 } else { -16.0 }));
    }
    points.extend([point(straight + coil, 0.0), to]);
    points
}

/// The axes of a view: arrows with their letters, from a corner of an area.
pub(super) fn axes(paper: &mut Paper, room: &mut Room, look: Look, corner: Dot) {
    const LENGTH: f64 = 50.0;
    let directions = [Point3::new(1.0, 0.0, 0.0), Point3::new(0.0, 1.0, 0.0), Point3::new(0.0, 0.0, 1.0)];
    let ends = directions.map(|direction| {
        let [right, up, _] = look.flat(&direction);
        (right * LENGTH, -up * LENGTH)
    });
    // So that all of it lies right of and above the corner, the tail of a `y` too.
    let left = ends.iter().map(|end| end.0).fold(0.0, f64::min);
    let low = ends.iter().map(|end| end.1).fold(0.0, f64::max);
    let origin = round(f64::from(corner.0) - left + 30.0, f64::from(corner.1) - low - 40.0);
    for ((dx, dy), letter) in ends.into_iter().zip(["x", "y", "z"]) {
        if dx.hypot(dy) < 1.0 {
            continue;
        }
        let tip = round(f64::from(origin.0) + dx, f64::from(origin.1) + dy);
        paper.line(vec![origin, tip], NARROW, INK);
        paper.fill(arrow_head(origin, tip, 16.0), INK);
        let beyond = between(origin, tip, 1.0 + 22.0 / dx.hypot(dy));
        let at = (beyond.0, beyond.1 - super::letters::SMALL / 2);
        let size = super::letters::SMALL;
        paper.text(Text { text: letter.to_owned(), at, align: Align::Middle, size, colour: INK, upwards: false });
        room.take_line(&[origin, tip], 12);
        room.take(&Area::new(beyond.0 - 14, beyond.1 - 20, beyond.0 + 14, beyond.1 + 20));
    }
}

/// The symbol of first-angle projection (ISO 5456-2): the narrow end of a cone towards the circles
/// that stand on its right. It reaches 70 to both sides and 25 up and down, 0.1 mm.
pub(super) fn first_angle(paper: &mut Paper, centre: Dot) {
    let (x, y) = centre;
    let cone = vec![(x - 60, y - 10), (x - 60, y + 10), (x - 16, y + 20), (x - 16, y - 20), (x - 60, y - 10)];
    paper.line(cone, NARROW + 1, INK);
    paper.ring((x + 40, y), 20, NARROW + 1, INK);
    paper.ring((x + 40, y), 10, NARROW + 1, INK);
    paper.lines(Broken::Chain.cut(&[(x - 70, y), (x + 70, y)]), NARROW, INK);
    paper.lines(Broken::Chain.cut(&[(x + 40, y - 25), (x + 40, y + 25)]), NARROW, INK);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mount_is_called_what_the_file_calls_it() {
        let (free, fixed) = (Held::Free, Held::Fixed);
        assert_eq!(holds(&[fixed; 6]), "bolted pad");
        assert_eq!(holds(&[fixed, fixed, fixed, free, free, free]), "one bolt");
        assert_eq!(holds(&[fixed, Held::Rate(5.0), free, free, free, free]), "x fixed, y sprung");
        assert_eq!(holds(&[free, Held::Rate(5.0), free, free, free, free]), "y sprung");
    }

    #[test]
    fn a_spring_begins_and_ends_at_its_eyes() {
        let points = spring((0, 0), (300, 400));
        assert_eq!((points[0], points[points.len() - 1]), ((0, 0), (300, 400)));
        assert!(points.len() > 6);
    }
}
