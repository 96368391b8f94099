//! What is possible but hardly meant: a sign, a unit or a side that slipped.
//!
//! The bounds are common practice, no source: wide enough that no car or frame for one is outside
//! them, narrow enough to find metres or inches that were taken for millimetres.

use std::ops::RangeInclusive;

use nalgebra::Point3;

use crate::model::{Anchor, Model};
use crate::section::Section;
use crate::units::{brief, figures};

const CAR_MASS_KG: RangeInclusive<f64> = 100.0..=4000.0;
const WHEELBASE_MM: RangeInclusive<f64> = 1000.0..=4000.0;
const TRACK_MM: RangeInclusive<f64> = 700.0..=2200.0;
const CG_HEIGHT_MM: RangeInclusive<f64> = 100.0..=1200.0;
const WHEEL_RADIUS_MM: RangeInclusive<f64> = 100.0..=600.0;
/// Outside of a tube.
pub(super) const OUTSIDE_MM: RangeInclusive<f64> = 4.0..=300.0;
/// Least wall of a tube, or thickness of a flat, mm.
const THIN_MM: f64 = 0.3;
/// Walls of the tubes that frames are made of.
const USUAL_WALL_MM: RangeInclusive<f64> = 0.5..=12.0;
/// A node farther than this from the middle of all nodes, mm.
const FAR_MM: f64 = 4000.0;
/// A node nearer to the origin than this, but not at it, may be in metres, mm; if so, it is as far
/// from the others at most.
const METRES_MM: f64 = 5.0;
const ROUND_MM: f64 = 100.0;
/// How far a contact patch may lie from z = 0, mm.
const GROUND_MM: f64 = 60.0;
/// How far across the middle a point of one side may lie, mm.
const ACROSS_MM: f64 = 1.0;

/// Warnings for figures and places that no car has.
pub(super) fn odd(model: &Model) -> Vec<String> {
    let mut warnings = Vec::new();
    tubes(model, &mut warnings);
    vehicle(model, &mut warnings);
    let anchors: Vec<_> = model.anchors().map(|anchor| (model.anchor_name(anchor), model.anchor_at(anchor))).collect();
    warnings.extend(places(&anchors, model.nodes.len()));
    axles(model, &mut warnings);
    corners(model, &mut warnings);
    cases(model, &mut warnings);
    warnings
}

fn tubes(model: &Model, warnings: &mut Vec<String>) {
    for (name, size) in &model.tubes {
        let outside = size.section.largest_mm();
        if !matches!(size.section, Section::Given(_)) && !OUTSIDE_MM.contains(&outside) {
            let small = outside < *OUTSIDE_MM.start();
            warnings.push(format!(
                "tube size \"{name}\" is {} mm outside: a digit too {}, or another unit? a bare number is in mm, inches are written \"{} in\"",
                brief(outside),
                if small { "few" } else { "many" },
                brief(outside)
            ));
        }
        let thin = match &size.section {
            Section::Round(tube) => Some(("wall", tube.wall_mm)),
            Section::Box(tube) => Some(("wall", tube.wall_mm)),
            Section::Flat(flat) => Some(("thickness", flat.thickness_mm)),
            Section::Bar(_) | Section::Given(_) => None,
        };
        if let Some((what, mm)) = thin.filter(|(_, mm)| *mm < THIN_MM) {
            let units = [("m", 1000.0), ("in", 25.4)];
            let meant = units.into_iter().find(|(_, size)| USUAL_WALL_MM.contains(&(mm * size)));
            let mm = brief(mm);
            let way_out = match meant {
                Some((unit, _)) => format!("is \"{mm} {unit}\" meant? a bare number is in mm"),
                None => "a digit too few, or another unit? a bare number is in mm".to_owned(),
            };
            warnings.push(format!("tube size \"{name}\" has a {what} of {mm} mm: {way_out}"));
        }
    }
}

fn vehicle(model: &Model, warnings: &mut Vec<String>) {
    let Some(vehicle) = &model.vehicle else { return };
    let mut ask = |key: &str, value: f64, unit: &str, usual: &RangeInclusive<f64>| {
        if !usual.contains(&value) {
            warnings.push(format!(
                "vehicle.{key} is {} {unit}; cars have {} to {} {unit}: is it in another unit?",
                brief(value),
                brief(*usual.start()),
                brief(*usual.end())
            ));
        }
    };
    ask("mass", vehicle.mass_kg, "kg", &CAR_MASS_KG);
    ask("wheelbase", vehicle.wheelbase_mm, "mm", &WHEELBASE_MM);
    ask("track.front", vehicle.track_mm[0], "mm", &TRACK_MM);
    ask("track.rear", vehicle.track_mm[1], "mm", &TRACK_MM);
    ask("cg.height", vehicle.cg_height_mm, "mm", &CG_HEIGHT_MM);
}

/// Axles the wrong way round, or as far apart as the figures do not say.
fn axles(model: &Model, warnings: &mut Vec<String>) {
    let of_axle = |axle: usize| model.corners.iter().find(|corner| corner.wheel.axle() == axle);
    let (Some(vehicle), Some(front), Some(rear)) = (&model.vehicle, of_axle(0), of_axle(1)) else { return };
    let drawn = front.contact_patch.x - rear.contact_patch.x;
    if drawn <= 0.0 {
        warnings.push("the front axle is drawn behind the rear one; x points forward".to_owned());
    } else if (drawn - vehicle.wheelbase_mm).abs() > 0.02 * vehicle.wheelbase_mm {
        warnings.push(format!(
            "the axles are {} mm apart as drawn, but vehicle.wheelbase is {} mm",
            brief(drawn),
            brief(vehicle.wheelbase_mm)
        ));
    }
}

/// Points far from all others, and names of one side whose point lies on the other.
///
/// `anchors`: nodes, `n_nodes` of them, then brackets.
pub(in crate::model) fn places(anchors: &[(&str, Point3<f64>)], n_nodes: usize) -> Vec<String> {
    let mut warnings = Vec::new();
    let nodes = &anchors[..n_nodes.min(anchors.len())];
    let (mut middle, mut ranges) = ([0.0; 3], [(0.0, 0.0); 3]);
    for axis in 0..3 {
        let mut along: Vec<f64> = nodes.iter().map(|(_, at)| at[axis]).collect();
        along.sort_by(f64::total_cmp);
        middle[axis] = along.get(along.len() / 2).copied().unwrap_or_default();
        ranges[axis] = (along.first().copied().unwrap_or_default(), along.last().copied().unwrap_or_default());
    }
    // Whether a point would be among the others if its numbers were metres.
    let is_in_metres = |at: &Point3<f64>| {
        let away = at.coords.norm();
        let within =
            |(axis, (from, to)): (usize, &(f64, f64))| (from - ROUND_MM..=to + ROUND_MM).contains(&(at[axis] * 1000.0));
        away > 0.0 && away < METRES_MM && away * 1000.0 > ROUND_MM && ranges.iter().enumerate().all(within)
    };
    for &(name, at) in anchors {
        let away = (at - Point3::from(middle)).norm();
        if is_in_metres(&at) {
            warnings.push(format!(
                "\"{name}\" is {} mm from the origin: are its numbers in m? a bare number is in mm",
                figures(at.coords.norm(), 2)
            ));
        }
        if away > FAR_MM {
            warnings.push(format!(
                "\"{name}\" is {} m from the middle of the frame: a digit too many, or another unit?",
                figures(away / 1000.0, 2)
            ));
        }
        // Told alike of both twins, so that it is told once.
        if (name.ends_with(".l") && at.y < -ACROSS_MM) || (name.ends_with(".r") && at.y > ACROSS_MM) {
            warnings.push(format!("\"{name}\" lies on the other side of the car than its name says: a sign of y?"));
        }
    }
    warnings
}

/// Points of a corner on the other side of the car, wheels off the ground, springs under it.
fn corners(model: &Model, warnings: &mut Vec<String>) {
    for corner in &model.corners {
        let name = corner.wheel.name();
        let side = if corner.wheel.is_left() { 1.0 } else { -1.0 };
        let mut points: Vec<(String, Point3<f64>)> = Vec::new();
        let anchor = |anchor: Anchor| format!("node \"{}\"", model.anchor_name(anchor));
        for tube in corner.kind.tubes() {
            points.push((format!("the outer end of {}", tube.name), tube.outer));
            points.push((anchor(tube.inner), model.anchor_at(tube.inner)));
        }
        if let Some(spring) = corner.kind.spring() {
            points.push(("the bottom of the spring".to_owned(), spring.bottom));
            points.push((anchor(spring.top), model.anchor_at(spring.top)));
            if spring.bottom.z < 0.0 {
                let below = brief(-spring.bottom.z);
                warnings.push(format!("corner \"{name}\": the bottom of the spring is {below} mm under the ground"));
            }
        }
        for (what, at) in points {
            if at.y * side < -ACROSS_MM {
                warnings.push(format!(
                    "corner \"{name}\": {what} lies on the other side of the car: a sign of y, or a name of the other side?"
                ));
            }
        }
        if corner.contact_patch.z.abs() > GROUND_MM {
            warnings.push(format!(
                "corner \"{name}\": the contact patch is at z = {} mm; z = 0 is the ground",
                brief(corner.contact_patch.z)
            ));
        }
        let radius = corner.wheel_centre.z - corner.contact_patch.z;
        if !WHEEL_RADIUS_MM.contains(&radius) {
            warnings.push(format!(
                "corner \"{name}\": the wheel centre is {} mm over the contact patch, which no wheel's radius is",
                brief(radius)
            ));
        }
    }
}

fn cases(model: &Model, warnings: &mut Vec<String>) {
    for (name, case) in &model.cases {
        for (wheel, given) in &case.wheels {
            if given.force_n.z * case.factor < 0.0 {
                warnings.push(format!(
                    "case \"{name}\": the ground pulls {} down by {} N; z is up, and a tyre only pushes",
                    wheel.name(),
                    brief(-given.force_n.z)
                ));
            }
        }
    }
    for (what, margin) in [("yield", model.limits.yield_margin), ("column", model.limits.column_margin)] {
        if let Some(margin) = margin.filter(|margin| *margin < 1.0) {
            warnings.push(format!(
                "limits.{what} is {}: with a margin below 1 what passes is past its strength",
                brief(margin)
            ));
        }
    }
}
