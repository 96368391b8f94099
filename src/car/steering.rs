//! The line that an upright turns about when it is steered, and its tie rod.
//!
//! Reads a drawn corner; gives the steering axis with its angles and where it meets the ground, and
//! what the tie rod does about it. Leaves out how toe changes as the wheel rises.

use nalgebra::{Point3, Vector3};

use super::upright::{Holding, Motion, motions, of_link};
use crate::math::largest;
use crate::model::{Anchor, Body, BodyHold, Corner, CornerKind, Link, Model, Vehicle};

/// A steering axis that leans more than this has no place on the ground, cosine of the lean.
const LYING: f64 = 0.1;
/// A tie rod whose lever about the axis is less does not steer, mm.
const NO_LEVER_MM: f64 = 1e-3;

/// Names of the tie rod among five links, where no body carries one.
const TIE_RODS: [&str; 4] = ["tie_rod", "tie rod", "toe", "toe link"];

/// A line about which the upright turns when it is steered.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Axis {
    /// A point of it, mm.
    at: Point3<f64>,
    /// Unit vector, upwards.
    along: Vector3<f64>,
}

/// The steering axis and the points where it meets the ground, by the definitions of ISO 8855
/// (steering-axis inclination, castor angle, castor offset and steering-axis offset at ground; from
/// memory), in the car's axes with the wheel straight ahead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteeringAxis {
    /// Lean seen from the front, degrees; positive: its top leans inboard.
    pub inclination_deg: f64,
    /// Lean seen from the side, degrees; positive: its top leans rearward.
    pub caster_deg: f64,
    /// How far ahead of the middle of the contact patch it meets the ground, mm.
    pub trail_mm: f64,
    /// How far inboard of the middle of the contact patch it meets the ground, mm.
    pub scrub_radius_mm: f64,
}

/// What the tie rod does about the steering axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteeringArm {
    /// Distance of the tie rod's outer end from the steering axis, mm.
    pub length_mm: f64,
    /// Turn of the wheel to the left per mm that the tie rod's inner end goes to the left, degrees
    /// per mm; negative where the tie rod is behind the axis.
    pub ratio_deg_mm: f64,
    /// How much of the way its arm points to the middle of the rear axle, percent; front wheels.
    pub ackermann_percent: Option<f64>,
}

/// The tie rod or toe link of a corner, and its name among the corner's tubes: of five links the
/// one that a body carries (a rack), or that is called so.
pub fn tie_rod<'m>(model: &Model, corner: &'m Corner) -> Option<(&'m str, &'m Link)> {
    match &corner.kind {
        CornerKind::DoubleWishbone(drawn) => Some(("tie_rod", &drawn.tie_rod)),
        CornerKind::Strut(drawn) => Some(("tie_rod", &drawn.tie_rod)),
        CornerKind::TrailingArm(_) => None,
        CornerKind::Links(drawn) => {
            let links = || drawn.links.iter().map(|(name, link)| (name.as_str(), link));
            let carried: Vec<(&str, &Link)> = links().filter(|(_, link)| is_carried(model, link)).collect();
            match carried.as_slice() {
                [only] => Some(*only),
                _ => links().find(|(name, _)| TIE_RODS.contains(name)),
            }
        }
    }
}

/// Whether the inner end of a link rides on a body.
fn is_carried(model: &Model, link: &Link) -> bool {
    model.bodies.values().any(|body| carries(body, link.inner))
}

fn carries(body: &Body, anchor: Anchor) -> bool {
    body.mounts.iter().any(|mount| mount.at == anchor && mount.hold == BodyHold::Rides)
}

/// Whether a body carries a tie rod or toe link: a steering rack.
pub fn is_rack(model: &Model, body: &Body) -> bool {
    model.corners.iter().filter_map(|corner| tie_rod(model, corner)).any(|(_, link)| carries(body, link.inner))
}

/// The steering axis: through both balls; of a strut through its top and the lower ball; of five
/// links the steeper of the two lines that meet the other four.
///
/// A turn about a line that meets a link's line does not stretch that link, and in general two
/// lines meet four given ones: the upright rises about one and is steered about the other.
/// Source: classical line geometry, for instance Hunt, Kinematic Geometry of Mechanisms (from memory).
///
/// # Errors
/// A sentence that says why there is none.
pub(super) fn axis(model: &Model, corner: &Corner) -> Result<Axis, String> {
    match &corner.kind {
        CornerKind::DoubleWishbone(drawn) => through(&drawn.lower.outer, &drawn.upper.outer),
        CornerKind::Strut(drawn) => through(&drawn.lower.outer, &model.anchor_at(drawn.top)),
        CornerKind::TrailingArm(_) => Err("a trailing arm has no steering axis".to_owned()),
        CornerKind::Links(drawn) => {
            let Some((_, steers)) = tie_rod(model, corner) else {
                let names = TIE_RODS.map(|name| format!("\"{name}\"")).join(", ");
                return Err(format!(
                    "no steering axis: none of its links is carried by a rack, nor called one of {names}"
                ));
            };
            let others: Vec<Holding> =
                drawn.links.iter().filter(|(_, link)| link != steers).map(|(_, link)| of_link(model, link)).collect();
            of_four_links(&corner.wheel_centre, &others)
        }
    }
}

fn through(lower: &Point3<f64>, upper: &Point3<f64>) -> Result<Axis, String> {
    upright_axis(lower, &(upper - lower))
}

/// The axis through a point along a vector, turned so that it points up.
fn upright_axis(at: &Point3<f64>, along: &Vector3<f64>) -> Result<Axis, String> {
    match along.try_normalize(0.0) {
        Some(unit) if unit.z.abs() >= LYING => Ok(Axis { at: *at, along: unit * unit.z.signum() }),
        _ => Err("no steering axis: the line it would turn about lies nearly flat".to_owned()),
    }
}

fn of_four_links(centre: &Point3<f64>, links: &[Holding]) -> Result<Axis, String> {
    let free = motions(centre, links);
    let [one, other] = free.as_slice() else {
        return Err("no steering axis: its links without the tie rod leave more than rise and steer".to_owned());
    };
    // A motion is a turn about a line where its shift is square to its turn: a quadratic in the
    // parts of both motions.
    let mixed = one.shift.dot(&other.turn) + other.shift.dot(&one.turn);
    let parts = ratios(one.shift.dot(&one.turn), mixed, other.shift.dot(&other.turn));
    let lines = parts.into_iter().filter_map(|(a, b)| {
        let motion =
            Motion { at: *centre, shift: one.shift * a + other.shift * b, turn: one.turn * a + other.turn * b };
        // Without a turn it is a shift: arms that are parallel.
        let turn = motion.turn.try_normalize(1e-9)?;
        let at = centre + motion.turn.cross(&motion.shift) / motion.turn.norm_squared();
        Some((at, turn))
    });
    let Some((at, along)) = largest(lines, |(_, along)| along.z.abs()) else {
        return Err("no steering axis: no line meets its four other links".to_owned());
    };
    upright_axis(&at, &along)
}

/// The ratios a : b at which c0·a² + c1·a·b + c2·b² is zero.
fn ratios(c0: f64, c1: f64, c2: f64) -> Vec<(f64, f64)> {
    let discriminant = c1 * c1 - 4.0 * c0 * c2;
    if discriminant < 0.0 {
        return Vec::new();
    }
    // The stable form: neither root is a difference of nearly equal numbers.
    let q = -0.5 * (c1 + discriminant.sqrt().copysign(c1));
    [(q, c0), (c2, q)].into_iter().filter(|(a, b)| *a != 0.0 || *b != 0.0).map(unit).collect()
}

fn unit((a, b): (f64, f64)) -> (f64, f64) {
    let size = a.hypot(b);
    (a / size, b / size)
}

impl Axis {
    /// Its angles, and where it meets the ground at the height of the contact patch.
    pub(super) fn read(&self, corner: &Corner) -> SteeringAxis {
        let inboard = if corner.wheel.is_left() { -1.0 } else { 1.0 };
        let patch = &corner.contact_patch;
        let ground = self.at_height(patch.z);
        SteeringAxis {
            inclination_deg: (inboard * self.along.y).atan2(self.along.z).to_degrees(),
            caster_deg: (-self.along.x).atan2(self.along.z).to_degrees(),
            trail_mm: ground.x - patch.x,
            scrub_radius_mm: inboard * (ground.y - patch.y),
        }
    }

    fn at_height(&self, z: f64) -> Point3<f64> {
        self.at + self.along * ((z - self.at.z) / self.along.z)
    }

    /// What a tie rod does about it; `None`: it does not steer.
    ///
    /// Steering: the turn about the axis that keeps the tie rod's length while its inner end goes
    /// 1 mm to the left.
    pub(super) fn steered_by(
        &self,
        model: &Model,
        corner: &Corner,
        link: &Link,
        vehicle: Option<&Vehicle>,
    ) -> Option<SteeringArm> {
        let rod = of_link(model, link);
        let arm = rod.at - self.at;
        let path = self.along.cross(&arm);
        let lever_mm = path.dot(&rod.along);
        if lever_mm.abs() < NO_LEVER_MM {
            return None;
        }
        let turn_rad_mm = rod.along.y / lever_mm;
        let front = vehicle.filter(|_| corner.wheel.axle() == 0);
        Some(SteeringArm {
            length_mm: path.norm(),
            ratio_deg_mm: (turn_rad_mm * self.along.z).to_degrees(),
            ackermann_percent: front.and_then(|vehicle| self.ackermann(corner, &rod.at, vehicle.wheelbase_mm)),
        })
    }

    /// Slope of the steering arm in plan view over the slope that leads to the middle of the rear
    /// axle, percent: 0 for an arm along the car, 100 for the arms of Jeantaud's trapezium.
    ///
    /// Source: the construction of Jeantaud (1878) for Ackermann's steering, as in any text on
    /// steering (from memory). It says nothing of where the rack is: common practice, no source.
    fn ackermann(&self, corner: &Corner, outer: &Point3<f64>, wheelbase_mm: f64) -> Option<f64> {
        let axis = self.at_height(outer.z);
        let along_mm = outer.x - axis.x;
        let to_rear_mm = axis.x - (corner.wheel_centre.x - wheelbase_mm);
        if along_mm.abs() < 1.0 || to_rear_mm <= 0.0 || axis.y == 0.0 {
            return None;
        }
        let slope = (outer.y - axis.y) / along_mm;
        Some(slope * to_rear_mm / axis.y * 100.0)
    }
}
