//! The load of every wheel in a case: worked out from the car's figures, or as the case gives it, and
//! where it acts. Axes ISO 8855; forces are on the car.

use nalgebra::Vector3;

use super::told::{notes_of_friction, notes_of_torque};
use super::transfer::transfer;
use super::wheel_load::{Acts, WheelLoad, WheelLoads};
use crate::model::{ActsAt, Case, Effort, Fault, Model, Torque, Vehicle, Wheel};

/// Works out the wheel loads of a case.
///
/// # Errors
/// The car pitches or rolls over, a wheel pulls, or the tyres cannot give what is asked.
pub fn wheel_loads(model: &Model, name: &str, case: &Case) -> Result<WheelLoads, Fault> {
    let mut loads = WheelLoads { wheels: [None; 4], transfer: None, notes: Vec::new() };
    if case.no_wheels {
        return Ok(loads);
    }
    let making = effort_of_wheels(model, case);
    if let (Some(g), Some(vehicle)) = (case.g, &model.vehicle) {
        let transfer = transfer(vehicle, case, g).map_err(|trouble| trouble.fault(name, vehicle, case, g))?;
        for wheel in Wheel::ALL {
            let at = wheel.place();
            let force = Vector3::new(transfer.1[at].x, transfer.1[at].y, transfer.1[at].z);
            loads.wheels[at] = Some(WheelLoad {
                force_n: force,
                moment_nmm: trail_moment(vehicle, force.y),
                acts: acts(model, wheel, making[at]),
                given: false,
            });
        }
        loads.transfer = Some(transfer.0);
    }
    for (wheel, given) in &case.wheels {
        let effort = making[wheel.place()];
        let acts = match given.acts {
            Some(ActsAt::Patch) => Acts::Patch,
            Some(ActsAt::WheelCentre) => Acts::WheelCentre,
            None => acts(model, *wheel, effort),
        };
        if given.bare && effort.is_some() {
            let word = if effort == Some(Effort::Braked) { "braking" } else { "driving" };
            loads.notes.push(format!(
                "case \"{name}\": the force given at {} is taken as {word}; for a blow say \"at\": \"wheel_centre\"",
                wheel.name()
            ));
        }
        let trail =
            model.vehicle.as_ref().map_or_else(Vector3::zeros, |vehicle| trail_moment(vehicle, given.force_n.y));
        loads.wheels[wheel.place()] = Some(WheelLoad {
            force_n: given.force_n,
            moment_nmm: given.moment_nmm.unwrap_or(trail),
            acts,
            given: true,
        });
    }
    notes_of_friction(model, name, &mut loads);
    notes_of_torque(model, name, &making, &mut loads);
    Ok(loads)
}

/// The force of every wheel at these accelerations `[long, lat, vert]`, g, by
/// [`Wheel::place`](crate::model::Wheel::place); `None`: the car cannot drive them.
pub fn wheel_forces(vehicle: &Vehicle, case: &Case, g: [f64; 3]) -> Option<[Vector3<f64>; 4]> {
    transfer(vehicle, case, g).ok().map(|(_, forces)| forces)
}

/// Side force times pneumatic trail, about z: −p·fy.
pub fn trail_moment(vehicle: &Vehicle, side_n: f64) -> Vector3<f64> {
    let moment = -vehicle.pneumatic_trail_mm.unwrap_or(0.0) * side_n;
    Vector3::new(0.0, 0.0, if moment == 0.0 { 0.0 } else { moment })
}

/// Whether each wheel is braked, driven or neither.
fn effort_of_wheels(model: &Model, case: &Case) -> [Option<Effort>; 4] {
    let mut making = [None; 4];
    let long = case.g.map_or(0.0, |g| g[0]);
    match &case.effort {
        Some((effort, wheels)) => {
            for wheel in wheels {
                making[wheel.place()] = Some(*effort);
            }
        }
        None if long < 0.0 => making = [Some(Effort::Braked); 4],
        None if long > 0.0 => {
            let front = model.vehicle.as_ref().and_then(|vehicle| vehicle.drive_share_front);
            for wheel in Wheel::ALL {
                let share = front.map_or(0.0, |front| if wheel.axle() == 0 { front } else { 1.0 - front });
                if share > 0.0 {
                    making[wheel.place()] = Some(Effort::Driven);
                }
            }
        }
        None => {}
    }
    making
}

/// Where the fx of a wheel acts, from how it is made and where that torque goes.
pub fn acts(model: &Model, wheel: Wheel, effort: Option<Effort>) -> Acts {
    let corner = model.corner(wheel);
    let torque = match effort {
        None => return Acts::WheelCentre,
        Some(Effort::Braked) => corner.map_or(Torque::Outboard, |corner| corner.brakes),
        Some(Effort::Driven) => corner.map_or(Torque::Inboard, |corner| corner.drive),
    };
    match torque {
        Torque::Outboard => Acts::Patch,
        Torque::Inboard => Acts::Shaft,
    }
}
