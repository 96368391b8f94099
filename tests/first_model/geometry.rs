//! What a driver feels of the drawn geometry, by constructions in side and front view that know
//! nothing of how it was drawn.

use crossbrace::model::{Corner, CornerKind, Model};
use crossbrace::studies::first_frame::{Figures, Front, Schema, Use, first_frame};
use nalgebra::{Point2, Point3};

use super::{all, demo, front_left};

/// Every steered first frame for one use; the geometry does not depend on it.
fn steered() -> Vec<(Figures, Model)> {
    all()
        .filter(|figures| figures.purpose == Use::Road && figures.front != Front::TrailingArm)
        .map(|figures| {
            let model = first_frame(&figures, Schema::Absent).unwrap().model;
            (figures, model)
        })
        .collect()
}

/// Where two lines in the front view (y, z) meet.
fn meet([a, b]: [Point2<f64>; 2], [c, d]: [Point2<f64>; 2]) -> Point2<f64> {
    let (u, v) = (b - a, d - c);
    let part = (c - a).perp(&v) / u.perp(&v);
    a + u * part
}

fn front_view(point: &Point3<f64>) -> Point2<f64> {
    Point2::new(point.y, point.z)
}

/// Lower and upper end of the steering axis; of links where their lines meet in the top view.
fn steering_axis(model: &Model, corner: &Corner) -> [Point3<f64>; 2] {
    match &corner.kind {
        CornerKind::DoubleWishbone(kind) => [kind.lower.outer, kind.upper.outer],
        CornerKind::Strut(kind) => [kind.lower.outer, model.anchor_at(kind.top)],
        CornerKind::Links(kind) => {
            let line = |name: &str| {
                let link = &kind.links.iter().find(|(each, _)| each == name).unwrap().1;
                [model.anchor_at(link.inner), link.outer]
            };
            let top = |point: Point3<f64>| Point2::new(point.x, point.y);
            let virtual_ball = |front: &str, rear: &str| {
                let (front, rear) = (line(front), line(rear));
                let at = meet(front.map(top), rear.map(top));
                let part = (at.y - front[0].y) / (front[1].y - front[0].y);
                Point3::new(at.x, at.y, front[0].z + (front[1].z - front[0].z) * part)
            };
            [virtual_ball("lower front", "lower rear"), virtual_ball("upper front", "upper rear")]
        }
        CornerKind::TrailingArm(_) => panic!("a trailing arm does not steer"),
    }
}

/// Lines in front view that the wheel turns about the meeting point of: two arms, or an arm and
/// the square to a strut.
fn arms(model: &Model, corner: &Corner) -> [[Point2<f64>; 2]; 2] {
    let arm = |inner, outer: &Point3<f64>| [front_view(&model.anchor_at(inner)), front_view(outer)];
    match &corner.kind {
        CornerKind::DoubleWishbone(kind) => {
            [arm(kind.lower.inner[0], &kind.lower.outer), arm(kind.upper.inner[0], &kind.upper.outer)]
        }
        CornerKind::Strut(kind) => {
            let (top, bottom) = (front_view(&model.anchor_at(kind.top)), front_view(&kind.bottom));
            let along = top - bottom;
            [arm(kind.lower.inner[0], &kind.lower.outer), [top, top + nalgebra::Vector2::new(-along.y, along.x)]]
        }
        CornerKind::Links(kind) => ["lower front", "upper front"].map(|name| {
            let link = &kind.links.iter().find(|(each, _)| each == name).unwrap().1;
            arm(link.inner, &link.outer)
        }),
        CornerKind::TrailingArm(_) => panic!("a trailing arm swings in side view"),
    }
}

fn tie_rod(model: &Model, corner: &Corner) -> [Point3<f64>; 2] {
    let link = match &corner.kind {
        CornerKind::DoubleWishbone(kind) => &kind.tie_rod,
        CornerKind::Strut(kind) => &kind.tie_rod,
        CornerKind::Links(kind) => &kind.links.iter().find(|(name, _)| name == "toe").unwrap().1,
        CornerKind::TrailingArm(_) => panic!("a trailing arm has no tie rod"),
    };
    [model.anchor_at(link.inner), link.outer]
}

#[test]
fn caster_trail_and_inclination_are_those_of_a_car() {
    for (figures, model) in steered() {
        let corner = front_left(&model);
        let [lower, upper] = steering_axis(&model, corner);
        let rise = upper.z - lower.z;
        let caster = ((lower.x - upper.x) / rise).atan().to_degrees();
        let inclination = ((lower.y - upper.y) / rise).atan().to_degrees();
        let ground = lower + (lower - upper) * (lower.z / rise);
        let (trail, scrub) = (ground.x - corner.contact_patch.x, corner.contact_patch.y - ground.y);
        let title = &figures.title;
        assert!((4.0..=8.0).contains(&caster), "{title}: caster {caster}");
        assert!((5.0..=15.0).contains(&inclination), "{title}: inclination {inclination}");
        assert!((15.0..=45.0).contains(&trail), "{title}: trail {trail}");
        assert!((-60.0..=60.0).contains(&scrub), "{title}: scrub radius {scrub}");
    }
}

#[test]
fn the_roll_centre_lies_a_tenth_of_the_tyre_radius_over_the_ground() {
    for (figures, model) in steered() {
        let corner = front_left(&model);
        let [one, other] = arms(&model, corner);
        let centre = meet(one, other);
        let patch = front_view(&corner.contact_patch);
        let height = patch.y + (centre.y - patch.y) * patch.x / (patch.x - centre.x);
        let asked = 0.1 * figures.tyre_radius_mm;
        // Places are whole millimetres over arms of a few hundred.
        assert!((height - asked).abs() < 6.0, "{}: {height} mm, not {asked}", figures.title);
    }
}

#[test]
fn the_tie_rod_aims_at_the_instant_centre_so_that_bump_hardly_steers() {
    let high_rack = Figures { rack_height_mm: Some(260.0), ..demo() };
    let model = first_frame(&high_rack, Schema::Absent).unwrap().model;
    for (figures, model) in steered().into_iter().chain([(high_rack, model)]) {
        let corner = front_left(&model);
        let [one, other] = arms(&model, corner);
        let centre = meet(one, other);
        let [inner, outer] = tie_rod(&model, corner);
        let slope = |a: Point2<f64>, b: Point2<f64>| ((b.y - a.y) / (b.x - a.x)).atan().to_degrees();
        let off = slope(front_view(&inner), front_view(&outer)) - slope(centre, front_view(&outer));
        assert!(off.abs() < 0.35, "{}: the tie rod is {off} degrees off", figures.title);
    }
}

#[test]
fn a_steering_arm_behind_the_axle_points_at_the_middle_of_the_rear_axle() {
    let figures = demo();
    let model = first_frame(&figures, Schema::Absent).unwrap().model;
    let corner = front_left(&model);
    let [lower, upper] = steering_axis(&model, corner);
    let [_, outer] = tie_rod(&model, corner);
    let axis = lower + (upper - lower) * ((outer.z - lower.z) / (upper.z - lower.z));
    let meets_middle_at = axis.x - axis.y * (axis.x - outer.x) / (axis.y - outer.y);
    assert!((meets_middle_at + figures.wheelbase_mm).abs() < 0.06 * figures.wheelbase_mm, "{meets_middle_at}");
}

#[test]
fn no_spring_is_in_line_with_its_arm_or_lies_flat() {
    for figures in all().filter(|figures| figures.purpose == Use::Road && figures.front != Front::Strut) {
        let model = first_frame(&figures, Schema::Absent).unwrap().model;
        let corner = front_left(&model);
        let spring = corner.kind.spring().unwrap();
        let along = model.anchor_at(spring.top) - spring.bottom;
        let upright = (along.z / along.norm()).asin().to_degrees();
        assert!((45.0..=85.0).contains(&upright), "{}: the spring stands at {upright} degrees", figures.title);
    }
}
