//! The read-outs of the corners as a table.

use super::Report;
use super::table::{Cell, Table};
use crate::car::{Geometry, Rise, SteeringArm, SteeringAxis};
use crate::model::Wheel;

/// A read-out of a corner, as shown.
type Read = fn(&Geometry) -> Cell;

/// Each read-out: its name with the sign that is positive, its unit, and how it is had.
const READ_OUTS: [(&str, &str, Read); 20] = [
    ("steering-axis inclination", "°", |of| {
        from(of.steering_axis, |axis: SteeringAxis| Some(axis.inclination_deg), 2)
    }),
    ("caster", "°", |of| from(of.steering_axis, |axis: SteeringAxis| Some(axis.caster_deg), 2)),
    ("trail", "mm", |of| from(of.steering_axis, |axis: SteeringAxis| Some(axis.trail_mm), 1)),
    ("scrub radius", "mm", |of| from(of.steering_axis, |axis: SteeringAxis| Some(axis.scrub_radius_mm), 1)),
    ("steering arm", "mm", |of| from(of.steering_arm, |arm: SteeringArm| Some(arm.length_mm), 1)),
    ("steering", "°/mm", |of| from(of.steering_arm, |arm: SteeringArm| Some(arm.ratio_deg_mm), 3)),
    ("Ackermann", "%", |of| from(of.steering_arm, |arm: SteeringArm| arm.ackermann_percent, 0)),
    ("toe-in in bump", "°/10 mm", |of| from(of.rise, |rise: Rise| Some(rise.bump_steer_deg), 3)),
    ("camber in bump", "°/10 mm", |of| from(of.rise, |rise: Rise| Some(rise.camber_gain_deg), 3)),
    ("spring / wheel travel", "", |of| from(of.rise, |rise: Rise| Some(rise.motion_ratio), 3)),
    ("wheel rate", "N/mm", |of| from(of.rise, |rise: Rise| rise.wheel_rate_n_mm, 1)),
    ("roll-centre height", "mm", |of| from(of.rise, |rise: Rise| rise.roll_centre_height_mm, 1)),
    ("front-view centre, y", "mm", |of| centre(of, |rise| rise.centre_front_mm, 0)),
    ("front-view centre, z", "mm", |of| centre(of, |rise| rise.centre_front_mm, 1)),
    ("side-view centre, x", "mm", |of| centre(of, |rise| rise.centre_side_mm, 0)),
    ("side-view centre, z", "mm", |of| centre(of, |rise| rise.centre_side_mm, 1)),
    ("anti-dive, braked", "%", |of| from(of.rise, |rise: Rise| rise.anti.dive, 0)),
    ("anti-lift, braked", "%", |of| from(of.rise, |rise: Rise| rise.anti.lift_braked, 0)),
    ("anti-lift, driven", "%", |of| from(of.rise, |rise: Rise| rise.anti.lift_driven, 0)),
    ("anti-squat, driven", "%", |of| from(of.rise, |rise: Rise| rise.anti.squat, 0)),
];

fn from<T>(part: Option<T>, value: impl Fn(T) -> Option<f64>, digits: usize) -> Cell {
    part.and_then(value).map_or(Cell::Empty, |value| Cell::Number(value, digits))
}

/// A coordinate of an instant centre; arms that are parallel have it nowhere.
fn centre(of: &Geometry, which: fn(&Rise) -> Option<[f64; 2]>, axis: usize) -> Cell {
    match of.rise.as_ref().map(which) {
        None => Cell::Empty,
        Some(None) => Cell::text("far"),
        Some(Some(at)) => Cell::Number(at[axis], 0),
    }
}

/// The geometry of each corner as drawn, one read-out a row, without rows that no corner has.
pub fn corners(report: &Report<'_>) -> Option<Table> {
    let geometry = &report.outcome.geometry;
    let wheels: Vec<(&'static str, &Geometry)> =
        Wheel::ALL.into_iter().filter_map(|wheel| geometry.get(wheel.name()).map(|of| (wheel.name(), of))).collect();
    let mut columns = vec![("read-out", ""), ("in", "")];
    columns.extend(wheels.iter().map(|(name, _)| (*name, "")));
    let mut table = Table::new("corner-geometry", "Corner geometry as drawn", &columns);
    for (what, unit, read) in READ_OUTS {
        let cells: Vec<Cell> = wheels.iter().map(|(_, of)| read(of)).collect();
        if cells.iter().any(|cell| *cell != Cell::Empty) {
            let mut row = vec![Cell::text(what), Cell::text(unit)];
            row.extend(cells);
            table.row(row);
        }
    }
    (!table.rows.is_empty()).then_some(table)
}

/// What is positive in [`corners`], for a reader of the table.
pub const SIGNS: &str = "First order, with the rack and all pick-ups still. Inclination: top leans inboard; caster: \
                         top leans rearward; trail and scrub radius: the axis meets the ground ahead of and inboard \
                         of the contact patch; steering: wheel to the left per mm of the tie rod's inner end to the \
                         left; bump: the wheel rises; negative camber leans inboard.";
