//! Load transfer: from the car's figures and accelerations to the force at each wheel.
//!
//! Source: equilibrium of a rigid car, as in any vehicle-dynamics text, for instance Milliken &
//! Milliken, Race Car Vehicle Dynamics, ch. 18. Axes ISO 8855; forces are on the car.

use nalgebra::Vector3;

use crate::beam::mass::force_n;
use crate::model::{Case, Effort, Vehicle, Wheel};

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

/// What keeps a case from being worked out.
pub(super) enum Trouble {
    PitchesOver(usize),
    LiftsAxle(usize),
    RollsOver(f64),
    OffsetLifts(Wheel),
    NoLoadToSteer(usize),
    NoShare(Effort),
    NoGrip,
}

/// Load transfer, and from it the force at each wheel.
pub(super) fn transfer(
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
