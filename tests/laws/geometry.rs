//! Geometry of a frame, read from the text of its model by the format page alone.

use nalgebra::{Matrix3, Rotation3, Unit, Vector3};
use serde_json::Value;

use crate::support::values::{list, number, vector, word};

/// The place of a node or bracket.
pub(crate) fn place_of(model: &Value, name: &str) -> Vector3<f64> {
    match &model["nodes"][name] {
        Value::Null => vector(&model["brackets"][name]["at"]),
        Value::Array(_) => vector(&model["nodes"][name]),
        keys => vector(&keys["at"]),
    }
}

/// The names of the nodes that a member runs through.
pub(crate) fn nodes_of_member(member: &Value) -> Vec<String> {
    let key = if member.get("ends").is_some() { "ends" } else { "through" };
    list(&member[key]).iter().map(|name| word(name).to_owned()).collect()
}

/// The points of a member's axis: its own ends and the nodes between.
pub(crate) fn places_of_member(model: &Value, member: &Value) -> Vec<Vector3<f64>> {
    let mut points: Vec<Vector3<f64>> = nodes_of_member(member).iter().map(|name| place_of(model, name)).collect();
    if let Some(ends) = member.get("end_at") {
        let last = points.len() - 1;
        for (end, at) in list(ends).iter().enumerate().filter(|(_, at)| !at.is_null()) {
            points[end * last] = vector(at);
        }
    }
    points
}

/// Where local z of a tube points to if nothing is said: up, or forward for a tube within 5 degrees
/// of the vertical. For an axis that needs both, a direction that is off all its stretches.
pub(crate) fn default_up(points: &[Vector3<f64>]) -> Vector3<f64> {
    let near_vertical = |stretch: &[Vector3<f64>]| {
        let along = stretch[1] - stretch[0];
        along.x.hypot(along.y) <= 5.0_f64.to_radians().tan() * along.z.abs()
    };
    let vertical: Vec<bool> = points.windows(2).map(near_vertical).collect();
    match (vertical.contains(&true), vertical.contains(&false)) {
        (false, _) => Vector3::z(),
        (true, false) => Vector3::x(),
        (true, true) => {
            let off = |up: &Vector3<f64>| {
                let sine = |stretch: &[Vector3<f64>]| (stretch[1] - stretch[0]).normalize().cross(up).norm();
                points.windows(2).map(sine).fold(f64::INFINITY, f64::min)
            };
            let candidates = [Vector3::x(), Vector3::y(), Vector3::new(0.6, 0.0, 0.8), Vector3::new(0.0, 0.6, 0.8)];
            candidates.into_iter().fold(Vector3::z(), |best, next| if off(&next) > off(&best) { next } else { best })
        }
    }
}

/// Local axes as rows: z is the part of `up` square to the tube, y = z × x, then `roll` about x.
fn local_axes(along: &Vector3<f64>, up: &Vector3<f64>, roll_deg: f64) -> Matrix3<f64> {
    let x = along.normalize();
    let z = (up - x * up.dot(&x)).normalize();
    let roll = Rotation3::from_axis_angle(&Unit::new_unchecked(x), roll_deg.to_radians());
    Matrix3::from_rows(&[x.transpose(), (roll * z.cross(&x)).transpose(), (roll * z).transpose()])
}

/// A straight part of a tube.
#[derive(Debug, Clone)]
pub(crate) struct Stretch {
    /// Where it begins.
    first: Vector3<f64>,
    /// Distance along the tube to there, mm.
    pub(crate) start_mm: f64,
    pub(crate) length_mm: f64,
    /// Local axes as rows.
    pub(crate) axes: Matrix3<f64>,
}

impl Stretch {
    /// The place at a distance along the whole tube.
    pub(crate) fn point(&self, at_mm: f64) -> Vector3<f64> {
        self.first + self.axes.row(0).transpose() * (at_mm - self.start_mm)
    }
}

/// The straight parts of a tube through points; `drawn` may have `up` and `roll`.
pub(crate) fn stretches(points: &[Vector3<f64>], drawn: &Value) -> Vec<Stretch> {
    let mut start_mm = 0.0;
    let roll_deg = drawn.get("roll").map_or(0.0, number);
    points
        .windows(2)
        .map(|pair| {
            let along = pair[1] - pair[0];
            let up = drawn.get("up").map_or_else(|| default_up(pair), vector);
            let axes = local_axes(&along, &up, roll_deg);
            let stretch = Stretch { first: pair[0], start_mm, length_mm: along.norm(), axes };
            start_mm += along.norm();
            stretch
        })
        .collect()
}

/// The straight parts of a member.
pub(crate) fn stretches_of_member(model: &Value, member: &Value) -> Vec<Stretch> {
    stretches(&places_of_member(model, member), member)
}

/// The stretch that a distance along a tube lies in.
pub(crate) fn stretch_at(stretches: &[Stretch], at_mm: f64) -> &Stretch {
    let inside = stretches.iter().find(|stretch| at_mm <= stretch.start_mm + stretch.length_mm);
    inside.or(stretches.last()).expect("a tube has a straight part")
}

/// How far along a segment, 0 to 1, its nearest point to another is.
pub(crate) fn foot_on_segment(point: &Vector3<f64>, first: &Vector3<f64>, second: &Vector3<f64>) -> f64 {
    let along = second - first;
    ((point - first).dot(&along) / along.norm_squared()).clamp(0.0, 1.0)
}
