//! What a drawn corner says, in the machine-readable result.

use serde::Serialize;

use super::Number;
use crate::car::Geometry;

/// The read-outs of a corner.
#[derive(Serialize)]
pub(super) struct GeometryJson {
    #[serde(flatten)]
    axis: Option<SteeringAxisJson>,
    #[serde(flatten)]
    arm: Option<SteeringArmJson>,
    #[serde(flatten)]
    rise: Option<RiseJson>,
}

#[derive(Serialize)]
struct SteeringAxisJson {
    steering_axis_inclination: Number,
    caster: Number,
    trail: Number,
    scrub_radius: Number,
}

#[derive(Serialize)]
struct SteeringArmJson {
    steering_arm: Number,
    steering_ratio: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    ackermann: Option<Number>,
}

#[derive(Serialize)]
struct RiseJson {
    #[serde(skip_serializing_if = "Option::is_none")]
    instant_centre_front: Option<[Number; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    instant_centre_side: Option<[Number; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    roll_centre_height: Option<Number>,
    motion_ratio: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    wheel_rate: Option<Number>,
    camber_gain: Number,
    bump_steer: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    anti_dive: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    anti_lift: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    anti_squat: Option<Number>,
}

impl GeometryJson {
    pub(super) fn of(read: &Geometry) -> Self {
        Self {
            axis: read.steering_axis.as_ref().map(|axis| SteeringAxisJson {
                steering_axis_inclination: Number(axis.inclination_deg),
                caster: Number(axis.caster_deg),
                trail: Number(axis.trail_mm),
                scrub_radius: Number(axis.scrub_radius_mm),
            }),
            arm: read.steering_arm.as_ref().map(|arm| SteeringArmJson {
                steering_arm: Number(arm.length_mm),
                steering_ratio: Number(arm.ratio_deg_mm),
                ackermann: arm.ackermann_percent.map(Number),
            }),
            rise: read.rise.as_ref().map(|rise| RiseJson {
                instant_centre_front: rise.centre_front_mm.map(|at| at.map(Number)),
                instant_centre_side: rise.centre_side_mm.map(|at| at.map(Number)),
                roll_centre_height: rise.roll_centre_height_mm.map(Number),
                motion_ratio: Number(rise.motion_ratio),
                wheel_rate: rise.wheel_rate_n_mm.map(Number),
                camber_gain: Number(rise.camber_gain_deg),
                bump_steer: Number(rise.bump_steer_deg),
                anti_dive: rise.anti.dive.map(Number),
                anti_lift: rise.anti.lift_braked.or(rise.anti.lift_driven).map(Number),
                anti_squat: rise.anti.squat.map(Number),
            }),
        }
    }
}
