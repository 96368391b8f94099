//! What can be read from a drawn corner before anything is solved.
//!
//! Reads a corner and the car's figures; gives the angles and offsets of its steering axis, where
//! its wheel turns about as it rises, what that does to toe, camber and spring, and which part of a
//! load transfer its arms carry. First order: true for the first millimetres from the drawn place.

use nalgebra::{Point3, Vector3};

use super::steering::{SteeringArm, SteeringAxis, axis, tie_rod};
use super::upright::{Motion, rise, spring_shortens};
use crate::model::{Corner, CornerKind, Model, Torque, Vehicle};

/// An instant centre farther away than this is told as none: the arms are parallel, mm.
const FAR_MM: f64 = 100_000.0;

/// The read-outs of a corner; what does not apply or has no value is left out.
#[derive(Debug, Clone, PartialEq)]
pub struct Geometry {
    /// The steering axis.
    pub steering_axis: Option<SteeringAxis>,
    /// The tie rod's arm about it.
    pub steering_arm: Option<SteeringArm>,
    /// What the wheel does as it rises.
    pub rise: Option<Rise>,
    /// Sentences that say why a part that one would expect is left out.
    pub left_out: Vec<String>,
}

/// What the wheel does as its centre rises.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rise {
    /// Seen from the front, the point that the wheel turns about: y and z in the cross plane of the
    /// wheel centre, mm.
    pub centre_front_mm: Option<[f64; 2]>,
    /// Seen from the side: x and z in the plane y of the wheel centre, mm.
    pub centre_side_mm: Option<[f64; 2]>,
    /// Height over the ground at which the line square to the path of the contact patch, seen from
    /// the front, meets the middle of the car, mm. On a car that is its own mirror image: the
    /// height of the axle's roll centre.
    pub roll_centre_height_mm: Option<f64>,
    /// Shortening of the spring or strut over rise of the wheel centre.
    pub motion_ratio: f64,
    /// Rate of the spring at the wheel, N/mm, where its rate is given.
    pub wheel_rate_n_mm: Option<f64>,
    /// Change of camber, degrees per 10 mm of rise.
    pub camber_gain_deg: f64,
    /// Change of toe-in, degrees per 10 mm of rise.
    pub bump_steer_deg: f64,
    /// Part of the load transfer that the arms carry in place of the springs, percent.
    pub anti: Anti,
}

/// Part of the load transfer that the arms carry, percent; 100: the springs feel nothing of it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Anti {
    /// Front wheel, braking.
    pub dive: Option<f64>,
    /// Rear wheel, braking.
    pub lift_braked: Option<f64>,
    /// Front wheel, driving.
    pub lift_driven: Option<f64>,
    /// Rear wheel, driving.
    pub squat: Option<f64>,
}

/// The read-outs of a corner.
pub fn geometry(model: &Model, corner: &Corner) -> Geometry {
    let mut left_out = Vec::new();
    let axis = axis(model, corner);
    let rise = rise(model, corner);
    if let Err(why) = &rise {
        left_out.push(format!("how its wheel rises is left out: {why}"));
    }
    let is_trailing_arm = matches!(corner.kind, CornerKind::TrailingArm(_));
    if let Err(why) = axis.as_ref()
        && !is_trailing_arm
    {
        left_out.push(why.clone());
    }
    let axis = axis.ok();
    let arm = axis.zip(tie_rod(model, corner));
    Geometry {
        steering_axis: axis.map(|axis| axis.read(corner)),
        steering_arm: arm.and_then(|(axis, (_, rod))| axis.steered_by(model, corner, rod, model.vehicle.as_ref())),
        rise: rise.ok().map(|motion| Rise::of(model, corner, &motion)),
        left_out,
    }
}

impl Rise {
    /// From the motion of the upright for 1 mm of rise of the wheel centre.
    fn of(model: &Model, corner: &Corner, motion: &Motion) -> Self {
        let sign = corner.wheel.turn_sign();
        let for_ten_mm = |turn: f64| sign * (10.0 * turn).to_degrees();
        let motion_ratio = spring_shortens(model, corner, motion);
        Self {
            centre_front_mm: front_centre(corner, motion),
            centre_side_mm: side_centre(corner, motion),
            roll_centre_height_mm: roll_centre_height(&corner.contact_patch, &motion.of(&corner.contact_patch)),
            motion_ratio,
            wheel_rate_n_mm: spring_rate(corner).map(|rate| wheel_rate(rate, motion_ratio)),
            camber_gain_deg: for_ten_mm(motion.turn.x),
            bump_steer_deg: for_ten_mm(motion.turn.z),
            anti: model.vehicle.as_ref().map_or_else(Anti::default, |vehicle| anti(vehicle, corner, motion)),
        }
    }
}

/// The point of the cross plane of the wheel centre that stands still in that plane.
///
/// Source: the instant centre of plane kinematics; for the front and the side view of a suspension
/// Milliken & Milliken, Race Car Vehicle Dynamics, ch. 17 (from memory).
fn front_centre(corner: &Corner, motion: &Motion) -> Option<[f64; 2]> {
    let (at, shift, turn) = (&corner.wheel_centre, &motion.shift, motion.turn.x);
    near(at.y - shift.z / turn, at.z + shift.y / turn, at.y, at.z)
}

/// The point of the plane y of the wheel centre that stands still in that plane.
fn side_centre(corner: &Corner, motion: &Motion) -> Option<[f64; 2]> {
    let (at, shift, turn) = (&corner.wheel_centre, &motion.shift, motion.turn.y);
    near(at.x + shift.z / turn, at.z - shift.x / turn, at.x, at.z)
}

/// A place, unless it is far from another or nowhere.
fn near(a: f64, b: f64, from_a: f64, from_b: f64) -> Option<[f64; 2]> {
    ((a - from_a).hypot(b - from_b) < FAR_MM).then_some([a, b])
}

/// Height over the ground where the line through the patch square to its path meets y = 0.
///
/// Source: the roll centre as the point where a side force turns nothing, by the paths of both
/// patches; SAE J670 and Milliken & Milliken ch. 17 have the definition (from memory).
fn roll_centre_height(patch: &Point3<f64>, path: &Vector3<f64>) -> Option<f64> {
    let height = patch.z + patch.y * path.y / path.z;
    (height.abs() < FAR_MM).then_some(height)
}

/// Rate of the spring or strut, where the file gives it, N/mm.
fn spring_rate(corner: &Corner) -> Option<f64> {
    match &corner.kind {
        CornerKind::Strut(drawn) => drawn.rate_n_mm,
        kind => kind.spring().and_then(|spring| spring.rate_n_mm),
    }
}

/// Rate of a spring at the wheel, N/mm: rate × (motion ratio)².
///
/// Source: virtual work, as in Milliken & Milliken ch. 16 (from memory). Leaves out what the motion
/// ratio's own change brings under load, and the tyre.
fn wheel_rate(rate_n_mm: f64, motion_ratio: f64) -> f64 {
    rate_n_mm * motion_ratio * motion_ratio
}

/// Part of the load transfer of braking or driving that the arms carry.
///
/// ```text
/// share of the wheel's axle × (dx/dz) × wheelbase / cg height, with the sign of each case
/// ```
/// dx is the shift of the point where the longitudinal force acts: the contact patch where the
/// torque goes through the upright, the wheel centre where the shaft takes it; dz is the rise of the
/// contact patch, where the load transfer acts. Source: virtual work; the same as the side-view
/// swing-arm angles of Milliken & Milliken ch. 17 (from memory).
fn anti(vehicle: &Vehicle, corner: &Corner, motion: &Motion) -> Anti {
    let front = corner.wheel.axle() == 0;
    let patch = motion.of(&corner.contact_patch);
    let slope = |torque: Torque| match torque {
        Torque::Outboard => patch.x / patch.z,
        Torque::Inboard => motion.shift.x / patch.z,
    };
    // An axle without a share makes no force that its arms could carry.
    let carried = |share_front: Option<f64>, torque: Torque| {
        let share = share_front.map(|share| if front { share } else { 1.0 - share }).filter(|share| *share > 0.0)?;
        let percent = share * slope(torque) * vehicle.wheelbase_mm / vehicle.cg_height_mm * 100.0;
        percent.is_finite().then_some(percent)
    };
    let braking = carried(vehicle.brake_share_front, corner.brakes);
    let driving = carried(vehicle.drive_share_front, corner.drive);
    if front {
        Anti { dive: braking, lift_driven: driving, ..Anti::default() }
    } else {
        Anti { lift_braked: braking.map(|part| -part), squat: driving.map(|part| -part), ..Anti::default() }
    }
}
