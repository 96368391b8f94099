//! From the car's figures to the contact patches, quasi-statically.
//!
//! Source: equilibrium of a rigid car, as in any vehicle-dynamics text, for instance Milliken &
//! Milliken, Race Car Vehicle Dynamics, ch. 18. Axes ISO 8855; forces are on the car.

use nalgebra::Vector3;

use crate::beam::mass::force_n;
use crate::math::largest;
use crate::model::{AXLES, ActsAt, Case, Effort, Fault, Model, Torque, Vehicle, Wheel};
use crate::path;
use crate::units::{brief, figures};

/// Where the longitudinal force of a wheel acts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Acts {
    /// At the contact patch: the torque goes through the upright.
    Patch,
    /// At the wheel centre, and the shaft takes the torque to a body.
    Shaft,
    /// At the wheel centre, without a torque: the wheel rolls, or is struck.
    WheelCentre,
}

/// The load of one wheel, before the case's factor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WheelLoad {
    /// Force on the car, N.
    pub force_n: Vector3<f64>,
    /// Moment about the contact patch, N·mm.
    pub moment_nmm: Vector3<f64>,
    /// Where fx acts.
    pub acts: Acts,
    /// Whether the file gives it, rather than the load transfer.
    pub given: bool,
}

/// The figures of the load transfer on the way, N.
#[derive(Debug, Clone, PartialEq)]
pub struct Transfer {
    /// Weight of the car, mass × g.
    pub weight_n: f64,
    /// Load of each axle.
    pub axle_n: [f64; 2],
    /// What the braking or driving moves onto the front axle (off it when negative).
    pub to_front_n: f64,
    /// What the offset of the centre of gravity moves onto the left wheel of each axle.
    pub offset_to_left_n: [f64; 2],
    /// What the bend moves from the left to the right wheel of each axle.
    pub to_right_n: [f64; 2],
    /// What would have moved without wheel lift.
    pub to_right_asked_n: [f64; 2],
    /// Side force of each axle.
    pub side_n: [f64; 2],
    /// Longitudinal force of the car.
    pub long_n: f64,
    /// How the wheels make it.
    pub effort: Option<Effort>,
    /// Each wheel's part of the longitudinal force as its share has it, 0 to 1 (no unit).
    pub share: [f64; 4],
    /// The most each wheel can give within its grip; `None`: no grip given.
    pub most_n: Option<[f64; 4]>,
}

/// The loads of all wheels in a case.
#[derive(Debug, Clone, PartialEq)]
pub struct WheelLoads {
    /// By [`Wheel::place`]; `None`: nothing known of that wheel in this case.
    pub wheels: [Option<WheelLoad>; 4],
    /// The load transfer, where it was worked out.
    pub transfer: Option<Transfer>,
    /// What is odd.
    pub notes: Vec<String>,
}

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

/// Side force times pneumatic trail, about z: −p·fy.
fn trail_moment(vehicle: &Vehicle, side_n: f64) -> Vector3<f64> {
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
fn acts(model: &Model, wheel: Wheel, effort: Option<Effort>) -> Acts {
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

/// What keeps a case from being worked out.
enum Trouble {
    PitchesOver(usize),
    LiftsAxle(usize),
    RollsOver(f64),
    OffsetLifts(Wheel),
    NoLoadToSteer(usize),
    NoShare(Effort),
    NoGrip,
}

impl Trouble {
    fn fault(&self, name: &str, vehicle: &Vehicle, case: &Case, g: [f64; 3]) -> Fault {
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

/// Load transfer, and from it the force at each wheel.
fn transfer(
    vehicle: &Vehicle,
    case: &Case,
    [long, lat, vert]: [f64; 3],
) -> Result<(Transfer, [Vector3<f64>; 4]), Trouble> {
    let weight = force_n(vehicle.mass_kg, 1.0);
    let wheelbase = vehicle.wheelbase_mm;
    let to_rear = vehicle.cg_behind_front_axle_mm;
    let arms = [wheelbase - to_rear, to_rear]; // b for the front, a for the rear
    let to_front = -weight * long * vehicle.cg_height_mm / wheelbase;
    let axle: [f64; 2] = std::array::from_fn(|at| {
        let pitch = if at == 0 { to_front } else { -to_front };
        weight * vert * arms[at] / wheelbase + pitch + case.air_n[at]
    });
    if let Some(at) = axle.iter().position(|load| *load < 0.0) {
        let by_air = case.air_n[at] < 0.0 && axle[at] - case.air_n[at] >= 0.0;
        return Err(if by_air { Trouble::LiftsAxle(at) } else { Trouble::PitchesOver(at) });
    }
    let offset: [f64; 2] =
        std::array::from_fn(|at| weight * vert * vehicle.cg_left_mm * arms[at] / wheelbase / vehicle.track_mm[at]);
    let before = |wheel: Wheel| {
        let side = if wheel.is_left() { 1.0 } else { -1.0 };
        axle[wheel.axle()] / 2.0 + side * offset[wheel.axle()]
    };
    if let Some(wheel) = Wheel::ALL.into_iter().find(|wheel| before(*wheel) < 0.0) {
        return Err(Trouble::OffsetLifts(wheel));
    }
    let inner = |at: usize| before(Wheel::of_axle(at, lat > 0.0));
    let (asked, moved) = lateral_transfer(vehicle, weight, lat, [inner(0), inner(1)])?;
    let fz: [f64; 4] = Wheel::ALL.map(|wheel| {
        let side = if wheel.is_left() { -1.0 } else { 1.0 };
        let load = before(wheel) + side * moved[wheel.axle()];
        // A wheel that has just lifted carries nothing, not a rounding error.
        if load.abs() < 1e-12 * weight { 0.0 } else { load }
    });
    let side: [f64; 2] = std::array::from_fn(|at| weight * lat * arms[at] / wheelbase);
    let mut fy = [0.0; 4];
    for (at, side_n) in side.into_iter().enumerate().filter(|(_, side_n)| *side_n != 0.0) {
        let (left, right) = (Wheel::of_axle(at, true).place(), Wheel::of_axle(at, false).place());
        let load = fz[left] + fz[right];
        if load <= 0.0 {
            return Err(Trouble::NoLoadToSteer(at));
        }
        fy[left] = side_n * fz[left] / load;
        fy[right] = side_n * fz[right] / load;
    }
    let long_n = weight * long;
    let most_n = match vehicle.tyre_grip {
        Some(grip) => Some(grip_left(grip, &fz, &fy)?),
        None => None,
    };
    let (effort, share) = shares(vehicle, case, long)?;
    let fx = longitudinal(long_n, &share, most_n.as_ref())?;
    let forces = std::array::from_fn(|at| Vector3::new(fx[at], fy[at], fz[at]));
    let transfer = Transfer {
        weight_n: weight,
        axle_n: axle,
        to_front_n: to_front,
        offset_to_left_n: offset,
        to_right_n: moved,
        to_right_asked_n: asked,
        side_n: side,
        long_n,
        effort,
        share,
        most_n,
    };
    Ok((transfer, forces))
}

/// What moves from the left to the right wheel of each axle: as the shares have it, and with wheel
/// lift, where an axle whose inner wheel carries nothing leaves the rest to the other.
fn lateral_transfer(
    vehicle: &Vehicle,
    weight: f64,
    lat: f64,
    inner_n: [f64; 2],
) -> Result<([f64; 2], [f64; 2]), Trouble> {
    let track = vehicle.track_mm;
    let moment = weight * lat.abs() * vehicle.cg_height_mm;
    let front = vehicle.lateral_transfer_share_front;
    let capacity = [inner_n[0] * track[0], inner_n[1] * track[1]];
    let mut part = [front * moment, (1.0 - front) * moment];
    let asked = part;
    if moment > capacity[0] + capacity[1] {
        return Err(Trouble::RollsOver((capacity[0] + capacity[1]) / (weight * vehicle.cg_height_mm)));
    }
    for at in 0..2 {
        if part[at] > capacity[at] {
            part = if at == 0 { [capacity[0], moment - capacity[0]] } else { [moment - capacity[1], capacity[1]] };
        }
    }
    let signed = |part: [f64; 2]| {
        std::array::from_fn(|at| (part[at] / track[at]).copysign(lat) * f64::from(u8::from(lat != 0.0)))
    };
    Ok((signed(asked), signed(part)))
}

/// The most longitudinal force each wheel can give beside its side force.
fn grip_left(grip: f64, fz: &[f64; 4], fy: &[f64; 4]) -> Result<[f64; 4], Trouble> {
    let mut most = [0.0; 4];
    for at in 0..4 {
        let limit = grip * fz[at].max(0.0);
        if fy[at].abs() > limit * (1.0 + 1e-12) {
            return Err(Trouble::NoGrip);
        }
        most[at] = (limit * limit - fy[at] * fy[at]).max(0.0).sqrt();
    }
    Ok(most)
}

/// How the wheels make the longitudinal force, and each wheel's share of it.
fn shares(vehicle: &Vehicle, case: &Case, long: f64) -> Result<(Option<Effort>, [f64; 4]), Trouble> {
    let mut share = [0.0; 4];
    if long == 0.0 {
        return Ok((None, share));
    }
    let (effort, wheels) = match &case.effort {
        Some((effort, wheels)) => (*effort, wheels.clone()),
        None if long < 0.0 => (Effort::Braked, Wheel::ALL.to_vec()),
        None => (Effort::Driven, Wheel::ALL.to_vec()),
    };
    let front = match effort {
        Effort::Braked => vehicle.brake_share_front,
        Effort::Driven => vehicle.drive_share_front,
    };
    let of_axle = front.map_or([0.0; 2], |front| [front, 1.0 - front]);
    for (at, part) in of_axle.into_iter().enumerate() {
        let listed: Vec<&Wheel> = wheels.iter().filter(|wheel| wheel.axle() == at).collect();
        for wheel in &listed {
            share[wheel.place()] = part / listed.len() as f64;
        }
    }
    let total: f64 = share.iter().sum();
    if total <= 0.0 {
        return Err(Trouble::NoShare(effort));
    }
    Ok((Some(effort), share.map(|part| part / total)))
}

/// The longitudinal force of each wheel: its share, up to the most it can give; the others then
/// press harder, all by one factor, until the sum is made.
fn longitudinal(long_n: f64, share: &[f64; 4], most_n: Option<&[f64; 4]>) -> Result<[f64; 4], Trouble> {
    let Some(most) = most_n else {
        return Ok(share.map(|part| part * long_n));
    };
    let asked = long_n.abs();
    let mut at_most = [false; 4];
    loop {
        let given: f64 = (0..4).filter(|at| at_most[*at]).map(|at| most[at]).sum();
        let left: f64 = (0..4).filter(|at| !at_most[*at]).map(|at| share[at]).sum();
        if left <= 0.0 {
            if asked > given * (1.0 + 1e-12) {
                return Err(Trouble::NoGrip);
            }
            return Ok(std::array::from_fn(|at| most[at].copysign(long_n) * f64::from(u8::from(share[at] > 0.0))));
        }
        let scale = (asked - given) / left;
        let newly: Vec<usize> = (0..4).filter(|at| !at_most[*at] && share[*at] * scale > most[*at]).collect();
        if newly.is_empty() {
            return Ok(std::array::from_fn(|at| {
                let size = if at_most[at] { most[at] } else { share[at] * scale };
                if size == 0.0 { 0.0 } else { size.copysign(long_n) }
            }));
        }
        for at in newly {
            at_most[at] = true;
        }
    }
}

/// Friction above 1 that nothing in the file vouches for.
fn notes_of_friction(model: &Model, name: &str, loads: &mut WheelLoads) {
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
fn notes_of_torque(model: &Model, name: &str, making: &[Option<Effort>; 4], loads: &mut WheelLoads) {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::assert_near;

    #[test]
    fn the_others_press_harder_when_one_wheel_has_no_more() {
        let fx = longitudinal(-1000.0, &[0.25; 4], Some(&[100.0, 400.0, 400.0, 400.0])).ok().unwrap();
        assert_near(fx[0], -100.0, 1e-15);
        assert_near(fx[1], -300.0, 1e-14);
        assert!(longitudinal(-1500.0, &[0.25; 4], Some(&[100.0, 400.0, 400.0, 400.0])).is_err());
    }
}
