//! What is told of wheel loads: why a case cannot be worked out, and what is odd about one that can.

use super::transfer::{Trouble, transfer};
use super::wheel_load::{Acts, WheelLoads};
use crate::math::largest;
use crate::model::{AXLES, Case, Effort, Fault, Model, Vehicle, Wheel};
use crate::path;
use crate::units::{brief, figures};

impl Trouble {
    /// The fault of a case at its place in the file.
    pub(super) fn fault(&self, name: &str, vehicle: &Vehicle, case: &Case, g: [f64; 3]) -> Fault {
        let at = path!["cases", name, "g"];
        match self {
            Trouble::PitchesOver(axle) => Fault::new(
                at.then("long"),
                format!("the car would pitch over: the {} axle would carry less than nothing", AXLES[*axle]),
            )
            .hint("ask for less, or look at the wheelbase and at the height and place of the centre of gravity"),
            Trouble::LiftsAxle(axle) => Fault::new(
                path!["cases", name, "air", AXLES[*axle]],
                format!("this takes the {} axle off the ground: it would carry less than nothing", AXLES[*axle]),
            )
            .hint("downforce is positive, lift negative"),
            Trouble::RollsOver(limit) => Fault::new(
                at.then("lat"),
                format!(
                    "the car would roll over at {} g with this track and height of the centre of gravity",
                    figures(*limit, 3)
                ),
            )
            .hint("ask for less, or look at the track and at the height of the centre of gravity"),
            Trouble::OffsetLifts(wheel) => Fault::new(
                path!["vehicle", "cg", "left"],
                format!(
                    "with the centre of gravity so far to one side, wheel {} would carry less than nothing",
                    wheel.name()
                ),
            )
            .hint("left is positive, and counts from the middle of the car"),
            Trouble::NoLoadToSteer(axle) => Fault::new(
                at,
                format!("the {} axle carries no load and cannot make the side force it is asked for", AXLES[*axle]),
            ),
            Trouble::NoShare(effort) => {
                let (key, share) = match effort {
                    Effort::Braked => ("braked", "brake_share_front"),
                    Effort::Driven => ("driven", "drive_share_front"),
                };
                let path = if case.effort.is_some() { path!["cases", name, key] } else { at };
                Fault::new(
                    path,
                    format!("\"{share}\" of the vehicle gives the wheels that are {key} no part of the force"),
                )
                .hint("list a wheel of the axle that makes the force")
            }
            Trouble::NoGrip => {
                let part = reachable(vehicle, case, g);
                Fault::new(
                    at,
                    format!(
                        "the tyres cannot give this: with tyre_grip {} the car reaches about long {} g, lat {} g",
                        brief(vehicle.tyre_grip.unwrap_or_default()),
                        figures(g[0] * part, 3),
                        figures(g[1] * part, 3)
                    ),
                )
                .hint("ask for less, or say what grip the tyres have; tyre_grip may be left out")
            }
        }
    }
}

/// The largest part of a case's `long` and `lat` together that the tyres can give.
fn reachable(vehicle: &Vehicle, case: &Case, g: [f64; 3]) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if transfer(vehicle, case, [g[0] * middle, g[1] * middle, g[2]]).is_ok() {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

/// Friction above 1 that nothing in the file vouches for.
pub(super) fn notes_of_friction(model: &Model, name: &str, loads: &mut WheelLoads) {
    /// A load below this part of the largest is the round-off of a wheel that is in the air.
    const IN_THE_AIR: f64 = 1e-9;
    if model.vehicle.as_ref().is_none_or(|vehicle| vehicle.tyre_grip.is_some()) {
        return;
    }
    let reckoned = || {
        let of_wheel = |wheel: Wheel| Some((wheel, loads.wheels[wheel.place()].filter(|load| !load.given)?.force_n));
        Wheel::ALL.into_iter().filter_map(of_wheel)
    };
    let least_n = IN_THE_AIR * reckoned().map(|(_, force_n)| force_n.z).fold(0.0, f64::max);
    let over: Vec<(Wheel, f64, f64)> = reckoned()
        .filter_map(|(wheel, force_n)| {
            let across_n = force_n.x.hypot(force_n.y);
            let times = if force_n.z > least_n { across_n / force_n.z } else { f64::INFINITY };
            (across_n > force_n.z.max(least_n)).then_some((wheel, across_n, times))
        })
        .collect();
    let worst = largest(over.iter().copied(), |(.., times)| *times);
    if let Some((wheel, across_n, times)) = worst {
        let others = match over.len() {
            1 => String::new(),
            count => format!(", as the first of {count} wheels,"),
        };
        let wheel = wheel.name();
        loads.notes.push(if times.is_finite() {
            format!(
                "case \"{name}\": wheel {wheel}{others} is asked for {} times its load in friction; give \"tyre_grip\" if its tyre can do that",
                figures(times, 3)
            )
        } else {
            format!(
                "case \"{name}\": wheel {wheel}{others} is asked for {} N in friction, and it carries nothing; give \"tyre_grip\", and the other wheels press harder instead",
                figures(across_n, 3)
            )
        });
    }
}

/// Torque that goes to the ground, or that is left out.
pub(super) fn notes_of_torque(model: &Model, name: &str, making: &[Option<Effort>; 4], loads: &mut WheelLoads) {
    let body = model.bodies.values().any(|body| body.takes_drive_torque);
    let mut to_ground = Vec::new();
    let mut left_out = Vec::new();
    for wheel in Wheel::ALL {
        let Some(load) = loads.wheels[wheel.place()].filter(|load| load.force_n.x != 0.0) else {
            continue;
        };
        match model.corner(wheel) {
            Some(_) if load.acts == Acts::Shaft && !body => to_ground.push(wheel.name()),
            None if body && making[wheel.place()] == Some(Effort::Driven) => left_out.push(wheel.name()),
            _ => {}
        }
    }
    if !to_ground.is_empty() {
        loads.notes.push(format!(
            "case \"{name}\": no body takes the drive torque, so that of {} goes to the ground",
            to_ground.join(", ")
        ));
    }
    if !left_out.is_empty() {
        loads.notes.push(format!(
            "case \"{name}\": {} drive but are not modelled; their torque is not put into the body that takes it",
            left_out.join(", ")
        ));
    }
}
