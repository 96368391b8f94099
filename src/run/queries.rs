//! Does the drawn geometry look like a car? Values that hardly any car has are queried.
//!
//! Reads the read-outs of the corners; gives sentences for the warnings, each with what to look at.
//! They judge nothing: all ranges are common practice, no source, and wide on purpose.

use super::Outcome;
use crate::car::{Geometry, Rise, SteeringArm, SteeringAxis};
use crate::math::largest;
use crate::model::{CornerKind, Model, Wheel};
use crate::source::Named;
use crate::units::{figures, spoken};

/// A read-out, the range outside which it is queried, and what to look at then.
struct Query {
    what: &'static str,
    unit: &'static str,
    least: f64,
    most: f64,
    look_at: &'static str,
}

const TRAIL: Query = Query {
    what: "trail",
    unit: " mm",
    least: -15.0,
    most: 100.0,
    look_at: "no car steers well with that: are front and rear swapped, or the two outer points of the axis?",
};
const CASTER: Query = Query {
    what: "caster",
    unit: "°",
    least: -5.0,
    most: 20.0,
    look_at: "look at x of the two outer points of the steering axis",
};
const INCLINATION: Query = Query {
    what: "steering-axis inclination",
    unit: "°",
    least: -5.0,
    most: 30.0,
    look_at: "look at y of the two outer points of the steering axis",
};
const SCRUB_RADIUS: Query = Query {
    what: "scrub radius",
    unit: " mm",
    least: -150.0,
    most: 150.0,
    look_at: "look at y of the contact patch and of the lower outer point",
};
const STEERING_ARM: Query = Query {
    what: "steering arm",
    unit: " mm",
    least: 30.0,
    most: 250.0,
    look_at: "look at the outer end of the tie rod",
};
const MOTION_RATIO: Query = Query {
    what: "spring's motion ratio",
    unit: "",
    least: 0.2,
    most: 1.5,
    look_at: "look at both eyes of the spring, and at what its foot is on",
};
const CAMBER_GAIN: Query = Query {
    what: "camber gain",
    unit: "° per 10 mm",
    least: -2.0,
    most: 1.0,
    look_at: "look at the heights of the arms' inner and outer points",
};
const BUMP_STEER: Query = Query {
    what: "bump steer",
    unit: "° per 10 mm",
    least: -1.0,
    most: 1.0,
    look_at: "look at the height of the tie rod's or toe link's two ends",
};
/// Without the car's figures there is no upper end.
const ROLL_CENTRE: Query = Query {
    what: "roll-centre height",
    unit: " mm",
    least: -200.0,
    most: f64::INFINITY,
    look_at: "look at the heights of the arms' inner and outer points",
};
/// What it is called, and what to look at, the corner tells: see [`slopes`].
const ANTI: Query = Query { what: "", unit: " %", least: -150.0, most: 150.0, look_at: "" };

impl Query {
    /// The sentence, where a value is out of the range.
    fn ask(&self, value: f64) -> Option<String> {
        (value < self.least || value > self.most).then(|| {
            let shown = figures(value, 3);
            let Query { what, unit, look_at, .. } = self;
            format!("{what} is {shown}{unit}; {look_at}")
        })
    }
}

/// What is odd about the corners, in the order of the file; equal words of both sides of an axle
/// are told once.
pub(super) fn queries(model: &Model, geometry: &Named<Geometry>) -> Vec<String> {
    let mut told: Vec<(Vec<&str>, String)> = Vec::new();
    for corner in &model.corners {
        let Some(read) = geometry.get(corner.wheel.name()) else { continue };
        for sentence in of_corner(model, corner.wheel, &corner.kind, read) {
            let other_side = |wheels: &[&str]| Wheel::named(wheels[0]).map(Wheel::axle) == Some(corner.wheel.axle());
            match told.iter_mut().find(|(wheels, known)| *known == sentence && other_side(wheels)) {
                Some((wheels, _)) => wheels.push(corner.wheel.name()),
                None => told.push((vec![corner.wheel.name()], sentence)),
            }
        }
    }
    told.into_iter().map(|(wheels, sentence)| format!("{}: {sentence}", wheels.join(" and "))).collect()
}

fn of_corner(model: &Model, wheel: Wheel, kind: &CornerKind, read: &Geometry) -> Vec<String> {
    let mut all = Vec::new();
    // A rear wheel is not steered: its axis may stand as it likes.
    if wheel.axle() == 0 {
        all.extend(read.steering_axis.iter().flat_map(of_axis));
        all.extend(read.steering_arm.iter().filter_map(|arm: &SteeringArm| STEERING_ARM.ask(arm.length_mm)));
    }
    let Some(rise) = &read.rise else { return all };
    all.extend(of_rise(rise, kind));
    let height = model.vehicle.as_ref().map_or(f64::INFINITY, |vehicle| vehicle.cg_height_mm / 2.0);
    let high = rise.roll_centre_height_mm.filter(|at| *at > height).map(|at| {
        format!(
            "roll centre is {} mm over the ground, above half the height of the centre of gravity; {}",
            figures(at, 3),
            ROLL_CENTRE.look_at
        )
    });
    all.extend(high);
    if let (CornerKind::TrailingArm(arm), Some(corner)) = (kind, model.corner(wheel)) {
        let pivots = arm.pivots.map(|pivot| model.anchor_at(pivot).x);
        if pivots.iter().all(|x| *x < corner.wheel_centre.x) {
            all.push(
                "both pivots of its trailing arm are behind the wheel centre, so that it leads; look at x of the \
                 pivots: are front and rear swapped?"
                    .to_owned(),
            );
        }
    }
    all
}

fn of_axis(axis: &SteeringAxis) -> Vec<String> {
    let all = [
        TRAIL.ask(axis.trail_mm),
        CASTER.ask(axis.caster_deg),
        INCLINATION.ask(axis.inclination_deg),
        SCRUB_RADIUS.ask(axis.scrub_radius_mm),
    ];
    all.into_iter().flatten().collect()
}

fn of_rise(rise: &Rise, kind: &CornerKind) -> Vec<String> {
    let mut all = vec![
        MOTION_RATIO.ask(rise.motion_ratio),
        CAMBER_GAIN.ask(rise.camber_gain_deg),
        BUMP_STEER.ask(rise.bump_steer_deg),
        rise.roll_centre_height_mm.and_then(|height| ROLL_CENTRE.ask(height)),
    ];
    let anti = &rise.anti;
    for (what, percent) in
        [("anti-dive", anti.dive), ("anti-lift", anti.lift_braked.or(anti.lift_driven)), ("anti-squat", anti.squat)]
    {
        all.push(percent.and_then(|percent| Query { what, look_at: slopes(kind), ..ANTI }.ask(percent)));
    }
    all.into_iter().flatten().collect()
}

/// What of a corner says how its wheel moves seen from the side, and so how much of a braking or
/// driving force its links carry.
fn slopes(kind: &CornerKind) -> &'static str {
    match kind {
        CornerKind::DoubleWishbone(_) => "look at the slopes of both wishbones' pivot lines seen from the side",
        CornerKind::Strut(_) => {
            "look at the slope of the lower arm's pivot line and at the lean of the strut, both seen from the side"
        }
        CornerKind::TrailingArm(_) => {
            "look at the height of the arm's pivots over the ground, and at their distance from the wheel centre, seen \
             from the side"
        }
        CornerKind::Links(_) => "look at the slopes of the links seen from the side",
    }
}

/// Movements beyond this part of the frame's largest extent are not small.
const SMALL_PART: f64 = 0.05;

/// Cases whose movements are too large for a model of small movements.
pub(super) fn not_small(model: &Model, outcome: &Outcome) -> Vec<String> {
    let places = || model.nodes.values().map(|node| node.at.coords);
    let Some((low, high)) = places().map(|at| (at, at)).reduce(|(low, high), (at, _)| (low.inf(&at), high.sup(&at)))
    else {
        return Vec::new();
    };
    let extent_mm = (high - low).norm();
    let mut warnings = Vec::new();
    for (name, case) in &outcome.cases {
        let moved = case.nodes.iter().map(|(node, moved)| (node, moved.move_mm.norm()));
        let most = largest(moved, |(_, moved_mm)| *moved_mm);
        if let Some((node, moved_mm)) = most.filter(|(_, moved_mm)| *moved_mm > SMALL_PART * extent_mm) {
            warnings.push(format!(
                "case \"{name}\": {node} moves {} mm, no small movement, so the figures of this case mean little: look for a joint or a mount that lets it go, or a tube far too thin",
                spoken(moved_mm, 3)
            ));
        }
    }
    warnings
}
