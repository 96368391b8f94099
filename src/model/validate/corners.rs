//! The vehicle, its corners and anti-roll bars.

use nalgebra::Point3;

use super::frame::{TOO_CLOSE_MM, orientation, piece, point};
use super::{Checker, entry};
use crate::model::file::{self, File};
use crate::model::{
    AXLES, AntiRoll, BarSide, Corner, CornerKind, DoubleWishbone, Fault, Link, LinkFoot, Links, Model, Orientation,
    RodEnd, Spring, Strut, TrailingArm, UPPER, Vehicle, Wheel, Wishbone,
};
use crate::path;
use crate::source::Path;
use crate::units::{Rate, brief};

/// A wishbone's points nearer to a line than this are a fault, mm.
const NEARLY_A_LINE_MM: f64 = 1.0;

/// The car's figures.
pub(super) fn vehicle(file: &File, model: &mut Model, checker: &mut Checker<'_>) {
    let Some(given) = &file.vehicle else {
        return;
    };
    let at = path!["vehicle"];
    checker.not_below_zero(at.then("mass"), given.mass);
    let wheelbase = checker.above_zero(at.then("wheelbase"), given.wheelbase);
    checker.above_zero(at.then("track").then("front"), given.track.front);
    checker.above_zero(at.then("track").then("rear"), given.track.rear);
    if given.cg.height.0 <= 0.0 {
        checker.fault(
            at.then("cg").then("height"),
            format!("the centre of gravity is {} mm over the ground; it must be above it", brief(given.cg.height.0)),
        );
    }
    let behind = given.cg.behind_front_axle.0;
    if wheelbase && !(0.0..=given.wheelbase.0).contains(&behind) {
        checker.fault(
            at.then("cg").then("behind_front_axle"),
            format!(
                "the centre of gravity is {} mm behind the front axle, outside the wheelbase of {} mm",
                brief(behind),
                brief(given.wheelbase.0)
            ),
        );
    }
    checker.share(at.then("lateral_transfer_share_front"), given.lateral_transfer_share_front);
    for (key, share) in [("brake_share_front", given.brake_share_front), ("drive_share_front", given.drive_share_front)]
    {
        if let Some(share) = share {
            checker.share(at.then(key), share);
        }
    }
    if let Some(grip) = given.tyre_grip {
        checker.number_above_zero(at.then("tyre_grip"), grip);
    }
    if let Some(trail) = given.pneumatic_trail {
        checker.not_below_zero(at.then("pneumatic_trail"), trail);
    }
    model.vehicle = Some(Vehicle {
        mass_kg: given.mass.0,
        wheelbase_mm: given.wheelbase.0,
        track_mm: [given.track.front.0, given.track.rear.0],
        cg_behind_front_axle_mm: behind,
        cg_height_mm: given.cg.height.0,
        cg_left_mm: given.cg.left.0,
        lateral_transfer_share_front: given.lateral_transfer_share_front,
        brake_share_front: given.brake_share_front,
        drive_share_front: given.drive_share_front,
        tyre_grip: given.tyre_grip,
        pneumatic_trail_mm: given.pneumatic_trail.map(|trail| trail.0),
    });
}

/// The wheels' suspensions.
pub(super) fn corners(file: &File, model: &mut Model, checker: &mut Checker<'_>) {
    for (name, given) in &file.corners {
        let at = entry("corners", name);
        let Some(wheel) = wheel(&at, name, checker) else {
            continue;
        };
        let drawn = given.wheel();
        let (wheel_centre, contact_patch) = (point(&drawn.centre), point(&drawn.contact_patch));
        for (key, place) in [("wheel_centre", &wheel_centre), ("contact_patch", &contact_patch)] {
            if (place.y > 0.0) != wheel.is_left() || place.y == 0.0 {
                let side = if wheel.is_left() { "left, where y is above 0" } else { "right, where y is below 0" };
                checker.fault(at.then(key), format!("\"{name}\" is on the {side}; here y is {} mm", brief(place.y)));
            }
        }
        checker.not_below_zero(at.then("unsprung"), drawn.unsprung);
        let kind = match given {
            file::Corner::DoubleWishboneCorner(given) => double_wishbone(model, given, &at, checker),
            file::Corner::StrutCorner(given) => strut(model, given, &at, checker),
            file::Corner::TrailingArmCorner(given) => trailing_arm(model, given, &at, checker),
            file::Corner::LinksCorner(given) => links(model, given, &at, checker),
        };
        if let Some(kind) = kind {
            model.corners.push(Corner {
                wheel,
                wheel_centre,
                contact_patch,
                brakes: drawn.brakes,
                drive: drawn.drive,
                unsprung_kg: drawn.unsprung.0,
                kind,
            });
        }
    }
}

/// A wheel by its name.
pub(super) fn wheel(path: &Path, name: &str, checker: &mut Checker<'_>) -> Option<Wheel> {
    let wheel = Wheel::named(name);
    if wheel.is_none() {
        checker.unknown(path.clone(), "corner", name, Wheel::NAMES.into_iter());
    }
    wheel
}

/// A tube of an arm that a spring or a bar's link may stand on.
#[derive(Clone, Copy)]
struct ArmTube<'n> {
    /// Its place in [`Corner::tube_names`].
    place: usize,
    name: &'n str,
    arm: &'n str,
}

impl<'n> ArmTube<'n> {
    const fn new(place: usize, name: &'n str, arm: &'n str) -> Self {
        ArmTube { place, name, arm }
    }
}

const OF_DOUBLE_WISHBONE: [ArmTube<'_>; 4] = [
    ArmTube::new(0, "upper.front", UPPER),
    ArmTube::new(1, "upper.rear", UPPER),
    ArmTube::new(2, "lower.front", "lower"),
    ArmTube::new(3, "lower.rear", "lower"),
];
const OF_TRAILING_ARM: [ArmTube<'_>; 2] = [ArmTube::new(0, "arm.1", "arm"), ArmTube::new(1, "arm.2", "arm")];

fn double_wishbone(
    model: &Model,
    given: &file::DoubleWishboneCorner,
    at: &Path,
    checker: &mut Checker<'_>,
) -> Option<CornerKind> {
    let upper = wishbone(model, &given.upper, &at.then("upper"), checker);
    let lower = wishbone(model, &given.lower, &at.then("lower"), checker);
    let tie_rod = link(model, &given.tie_rod, &at.then("tie_rod"), checker);
    let spring = spring(model, &given.spring, &OF_DOUBLE_WISHBONE, &at.then("spring"), checker);
    let (upper, lower, tie_rod, spring) = (upper?, lower?, tie_rod?, spring?);
    Some(CornerKind::DoubleWishbone(DoubleWishbone { upper, lower, tie_rod, spring }))
}

fn strut(model: &Model, given: &file::StrutCorner, at: &Path, checker: &mut Checker<'_>) -> Option<CornerKind> {
    let lower = wishbone(model, &given.lower, &at.then("lower"), checker);
    let tie_rod = link(model, &given.tie_rod, &at.then("tie_rod"), checker);
    let (at, given) = (at.then("strut"), &given.strut);
    let top = checker.anchor(model, at.then("top"), &given.top);
    let tube = checker.tube_size(model, at.then("tube"), &given.tube);
    let orientation = orientation(given.up, given.roll.rad(), &at, checker);
    let (top, bottom) = (top?, point(&given.bottom));
    piece(&model.anchor_at(top), &bottom, &orientation, &at, checker);
    let (lower, tie_rod, tube) = (lower?, tie_rod?, tube?);
    let rate_n_mm = rate(given.rate, &at, checker);
    let rod_end = rod_end(given.rod_end.as_ref(), &at, checker);
    Some(CornerKind::Strut(Strut { lower, tie_rod, top, bottom, tube, orientation, rate_n_mm, rod_end }))
}

fn trailing_arm(
    model: &Model,
    given: &file::TrailingArmCorner,
    at: &Path,
    checker: &mut Checker<'_>,
) -> Option<CornerKind> {
    let spring = spring(model, &given.spring, &OF_TRAILING_ARM, &at.then("spring"), checker);
    let (at, given) = (at.then("arm"), &given.arm);
    let pivots = [0, 1].map(|place: usize| checker.anchor(model, at.then("pivots").then(place), &given.pivots[place]));
    let tube = checker.tube_size(model, at.then("tube"), &given.tube);
    let orientation = orientation(given.up, given.roll.rad(), &at, checker);
    let hub = point(&given.hub);
    if !checker.no_repetition(&at.then("pivots"), &given.pivots) {
        return None;
    }
    let pivots = [pivots[0]?, pivots[1]?];
    let places = pivots.map(|pivot| model.anchor_at(pivot));
    if nearly_a_line(&places[0], &places[1], &hub) {
        checker.fault(
            at.then("hub"),
            format!("the hub lies within {} mm of the line of its pivots", brief(NEARLY_A_LINE_MM)),
        );
    }
    for place in &places {
        piece(place, &hub, &orientation, &at, checker);
    }
    let rod_end = rod_end(given.rod_end.as_ref(), &at, checker);
    Some(CornerKind::TrailingArm(TrailingArm { pivots, hub, tube: tube?, orientation, spring: spring?, rod_end }))
}

/// How many links hold an upright, each in one direction, so that the spring's is left.
const N_LINKS: usize = 5;

/// What a link may not be called: the spring, and parts of later versions.
const RESERVED: [&str; 4] = ["spring", "bush", "cross", "rocker"];

fn links(model: &Model, given: &file::LinksCorner, at: &Path, checker: &mut Checker<'_>) -> Option<CornerKind> {
    let spring = spring(model, &given.spring, &[], &at.then("spring"), checker);
    let at = at.then("links");
    if given.links.len() != N_LINKS && checker.is_whole(&at) {
        let count = given.links.len();
        checker.fault(at.clone(), format!("a corner of links has exactly {N_LINKS}; here there are {count}"));
    }
    let mut links = Vec::new();
    for (name, drawn) in &given.links {
        if RESERVED.contains(&name.as_str()) {
            checker.fault_with_hint(
                at.then(name),
                format!("a link may not be called \"{name}\""),
                "the word is kept for another part of the corner; call the link otherwise",
            );
        }
        links.push(link(model, drawn, &at.then(name), checker).map(|link| (name.clone(), link)));
    }
    let links: Option<Vec<(String, Link)>> = links.into_iter().collect();
    Some(CornerKind::Links(Links { links: links.filter(|links| links.len() == N_LINKS)?, spring: spring? }))
}

fn wishbone(model: &Model, given: &file::Wishbone, at: &Path, checker: &mut Checker<'_>) -> Option<Wishbone> {
    let front = checker.anchor(model, at.then("front"), &given.front);
    let rear = checker.anchor(model, at.then("rear"), &given.rear);
    let tube = checker.tube_size(model, at.then("tube"), &given.tube);
    let rear_tube = match &given.rear_tube {
        Some(name) => checker.tube_size(model, at.then("rear_tube"), name),
        None => tube,
    };
    let orientation = orientation(given.up, given.roll.rad(), at, checker);
    let outer = point(&given.outer);
    let (front, rear) = (front?, rear?);
    if given.front == given.rear {
        checker.fault(at.then("rear"), format!("\"{}\" is listed twice, as front and as rear node", given.rear));
        return None;
    }
    let places = [model.anchor_at(front), model.anchor_at(rear)];
    if nearly_a_line(&places[0], &places[1], &outer) {
        checker.fault(
            at.then("outer"),
            format!("the wishbone's three points lie within {} mm of a line", brief(NEARLY_A_LINE_MM)),
        );
    }
    for place in &places {
        piece(place, &outer, &orientation, at, checker);
    }
    let rod_end = rod_end(given.rod_end.as_ref(), at, checker);
    Some(Wishbone { inner: [front, rear], outer, tubes: [tube?, rear_tube?], orientation, rod_end })
}

/// Whether the smallest height of a triangle is under [`NEARLY_A_LINE_MM`].
fn nearly_a_line(a: &Point3<f64>, b: &Point3<f64>, c: &Point3<f64>) -> bool {
    let longest = (b - a).norm().max((c - b).norm()).max((a - c).norm());
    (b - a).cross(&(c - a)).norm() < NEARLY_A_LINE_MM * longest || longest == 0.0
}

fn link(model: &Model, given: &file::TieRod, at: &Path, checker: &mut Checker<'_>) -> Option<Link> {
    let inner = checker.carried_anchor(model, at.then("inner"), &given.inner);
    let tube = checker.tube_size(model, at.then("tube"), &given.tube);
    let orientation = orientation(given.up, given.roll.rad(), at, checker);
    let outer = point(&given.outer);
    let inner = inner?;
    piece(&model.anchor_at(inner), &outer, &orientation, at, checker);
    let rod_end = rod_end(given.rod_end.as_ref(), at, checker);
    Some(Link { inner, outer, tube: tube?, orientation, rod_end })
}

fn spring(
    model: &Model,
    given: &file::Spring,
    arms: &[ArmTube<'_>],
    at: &Path,
    checker: &mut Checker<'_>,
) -> Option<Spring> {
    let top = checker.anchor(model, at.then("top"), &given.top);
    checker.above_zero(at.then("rod"), given.rod);
    let on = link_foot(&given.on, arms, &at.then("on"), checker);
    let (top, bottom) = (top?, point(&given.bottom));
    piece(&model.anchor_at(top), &bottom, &Orientation::default(), at, checker);
    let rod_end = rod_end(given.rod_end.as_ref(), at, checker);
    Some(Spring { top, bottom, on: on?, rod_mm: given.rod.0, rate_n_mm: rate(given.rate, at, checker), rod_end })
}

/// The rod-ends of a part.
fn rod_end(given: Option<&file::RodEnd>, at: &Path, checker: &mut Checker<'_>) -> Option<RodEnd> {
    let (given, at) = (given?, at.then("rod_end"));
    checker.above_zero(at.then("stick_out"), given.stick_out);
    checker.above_zero(at.then("rated"), given.rated);
    if let Some(strength) = given.yield_strength {
        checker.above_zero(at.then("yield"), strength);
    }
    Some(RodEnd {
        thread: given.thread.0,
        stick_out_mm: given.stick_out.0,
        rated_n: given.rated.0,
        yield_mpa: given.yield_strength.map(|strength| strength.0),
    })
}

/// The rate of a spring, N/mm.
fn rate(given: Option<Rate>, at: &Path, checker: &mut Checker<'_>) -> Option<f64> {
    given.map(|rate| {
        checker.not_below_zero(at.then("rate"), rate);
        rate.0
    })
}

/// What a spring or a bar's link is held to: the upright, or tubes of one arm.
fn link_foot(on: &file::OneOrMany, arms: &[ArmTube<'_>], at: &Path, checker: &mut Checker<'_>) -> Option<LinkFoot> {
    if matches!(on, file::OneOrMany::One(name) if name == "upright") {
        return Some(LinkFoot::Upright);
    }
    let names = on.names();
    checker.no_repetition(at, names);
    let mut tubes = Vec::new();
    let mut arm_of_first: Option<&str> = None;
    for (index, name) in names.iter().enumerate() {
        let place = if matches!(on, file::OneOrMany::One(_)) { at.clone() } else { at.then(index) };
        let Some(tube) = arms.iter().find(|tube| tube.name == name) else {
            if name == "upright" {
                checker.fault(place, "\"upright\" stands alone and in no list");
            } else {
                let known = arms.iter().map(|tube| tube.name).chain(["upright"]);
                checker.unknown(place, "arm tube", name, known);
            }
            continue;
        };
        if arm_of_first.is_some_and(|arm| arm != tube.arm) {
            checker.fault(place, format!("\"{name}\" is of another arm; a list holds tubes of one arm"));
        }
        arm_of_first = arm_of_first.or(Some(tube.arm));
        tubes.push(tube.place);
    }
    (tubes.len() == names.len()).then_some(LinkFoot::Tubes(tubes))
}

/// The anti-roll bars.
pub(super) fn anti_roll(file: &File, model: &mut Model, checker: &mut Checker<'_>) {
    for (name, given) in &file.anti_roll {
        let at = entry("anti_roll", name);
        let Some(axle) = AXLES.iter().position(|axle| axle == name) else {
            checker.unknown(at, "axle", name, AXLES.into_iter());
            continue;
        };
        checker.share(at.then("share"), given.share);
        let Some(right) = &given.right else {
            if checker.is_whole(&at) {
                let fault = Fault::lacking(at.clone(), "\"right\" is missing");
                checker.faults.push(fault.hint("it may be left out with \"mirror\": true only"));
            }
            continue;
        };
        let missing: Vec<&str> = [true, false]
            .map(|side| Wheel::of_axle(axle, side))
            .into_iter()
            .filter(|wheel| model.corner(*wheel).is_none())
            .map(Wheel::name)
            .collect();
        let complete = missing.is_empty();
        let misnamed = file.corners.keys().any(|corner| Wheel::named(corner).is_none());
        if !complete && !misnamed && !missing.iter().any(|corner| checker.is_written("corners", corner)) {
            let missing: Vec<String> = missing.iter().map(|corner| format!("\"{corner}\"")).collect();
            let there = if missing.len() == 1 { "is" } else { "are" };
            let missing = missing.join(" and ");
            checker.fault(
                at.clone(),
                format!("an anti-roll bar needs both corners of its axle; {missing} {there} not there"),
            );
        }
        let sides = [
            bar_side(model, axle, true, &given.left, &at.then("left"), checker),
            bar_side(model, axle, false, right, &at.then("right"), checker),
        ];
        let [Some(left), Some(right)] = sides else {
            continue;
        };
        if complete && levers(model, &left, &right, &at, checker) {
            model.anti_roll.push(AntiRoll { axle, sides: [left, right], share: given.share });
        }
    }
}

fn bar_side(
    model: &Model,
    axle: usize,
    left: bool,
    given: &file::BarSide,
    at: &Path,
    checker: &mut Checker<'_>,
) -> Option<BarSide> {
    let bearing = checker.anchor(model, at.then("bearing"), &given.bearing);
    let (end, foot) = (point(&given.end), point(&given.foot));
    let corner = model.corner(Wheel::of_axle(axle, left))?;
    let tubes = corner.kind.tubes();
    let arms: Vec<ArmTube<'_>> = tubes
        .iter()
        .enumerate()
        .filter_map(|(place, tube)| tube.arm.map(|arm| ArmTube::new(place, &tube.name, arm)))
        .collect();
    let on = link_foot(&given.on, &arms, &at.then("on"), checker);
    if (foot - end).norm() < TOO_CLOSE_MM {
        checker.fault(at.then("foot"), "the link has no length: the bar's end and the foot are at one place");
        return None;
    }
    Some(BarSide { bearing: bearing?, end, foot, on: on? })
}

/// Whether both links have a lever about the line of the bearings.
fn levers(model: &Model, left: &BarSide, right: &BarSide, at: &Path, checker: &mut Checker<'_>) -> bool {
    let bearing = model.anchor_at(left.bearing);
    let Some(line) = (model.anchor_at(right.bearing) - bearing).try_normalize(TOO_CLOSE_MM) else {
        checker.fault(at.clone(), "the two bearings are at one place, so the bar has no line to turn about");
        return false;
    };
    let mut sound = true;
    for (key, side) in [("left", left), ("right", right)] {
        let along = (side.foot - side.end).normalize();
        let lever = (side.end - bearing).cross(&along).dot(&line);
        if lever.abs() < 1e-3 {
            checker.fault(at.then(key), "the link points at the line of the bearings, so that it cannot turn the bar");
            sound = false;
        }
    }
    sound
}
