//! When a wheel or an axle carries nothing any more, found by raising the acceleration.

use super::quantities::Threshold;
use crate::car::{Transfer, WheelLoads, wheel_loads};
use crate::model::{Case, Model};

/// Above this nothing is looked for, g.
const LARGEST_G: f64 = 10.0;

/// The wheel loads under an acceleration (g); `None` where the car pitches or rolls over.
fn under(model: &Model, name: &str, case: &Case, g: [f64; 3]) -> Option<WheelLoads> {
    wheel_loads(model, name, &Case { g: Some(g), ..case.clone() }).ok()
}

/// The acceleration, g, or the angle of the slope, degrees.
pub(super) fn threshold(
    model: &Model,
    name: &str,
    case: &Case,
    asked: Threshold,
    axle: Option<usize>,
) -> Result<f64, String> {
    let stands = |g: [f64; 3]| under(model, name, case, g).is_some();
    match asked {
        Threshold::RollOver => largest(LARGEST_G, |lat| stands([0.0, lat, 1.0])),
        Threshold::SideSlope => {
            let right_angle = std::f64::consts::FRAC_PI_2;
            largest(right_angle, |angle: f64| stands([0.0, angle.sin(), angle.cos()])).map(f64::to_degrees)
        }
        Threshold::RearAxle => largest(LARGEST_G, |g| stands([-g, 0.0, 1.0])),
        Threshold::FrontAxle => largest(LARGEST_G, |g| stands([g, 0.0, 1.0])),
        Threshold::InnerWheel => {
            let axle = axle.ok_or("an inner wheel is that of an axle")?;
            let at_1_g = under(model, name, case, [0.0, 1.0, 1.0]).and_then(|loads| loads.transfer);
            let transfer: Transfer = at_1_g.ok_or("the car does not stand at 1 g")?;
            Ok(transfer.axle_n[axle] / 2.0 / transfer.to_right_asked_n[axle])
        }
    }
}

/// The largest size up to `most` for which something holds, to the last digit.
fn largest(most: f64, holds: impl Fn(f64) -> bool) -> Result<f64, String> {
    let (mut low, mut high) = (0.0, most);
    if !holds(low) || holds(high) {
        return Err(format!("there is no threshold between 0 and {most}"));
    }
    loop {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            return Ok(low);
        }
        if holds(middle) { low = middle } else { high = middle }
    }
}
