//! Corners drawn for the read-outs, each on ground mounts with a car round it.

use crossbrace::car::{Geometry, geometry};
use crossbrace::model::Model;
use serde_json::{Map, Value, json};

use crate::support::load;
use crate::support::values::{assert_near, number};

pub(super) const WHEELBASE: f64 = 2400.0;
pub(super) const CG_HEIGHT: f64 = 400.0;

/// A corner and the nodes it is attached to.
#[derive(Clone)]
pub(super) struct Drawn {
    wheel: &'static str,
    nodes: Map<String, Value>,
    pub(super) corner: Value,
}

impl Drawn {
    fn new(wheel: &'static str, corner: Value, nodes: &[(&str, [f64; 3])]) -> Self {
        let nodes = nodes.iter().map(|(name, at)| ((*name).to_owned(), json!(at))).collect();
        Drawn { wheel, nodes, corner }
    }

    /// Places a node.
    pub(super) fn node(&mut self, name: &str, at: [f64; 3]) {
        self.nodes.insert(name.to_owned(), json!(at));
    }

    /// Level arms of 300 mm, one over the other, and a tie rod beside the lower one.
    pub(super) fn level_wishbones() -> Self {
        Drawn::new(
            "front.l",
            json!({
                "kind": "double wishbone", "wheel_centre": [0, 700, 300], "contact_patch": [0, 700, 0],
                "upper": {"front": "UF", "rear": "UR", "outer": [0, 650, 420], "tube": "t"},
                "lower": {"front": "LF", "rear": "LR", "outer": [0, 650, 180], "tube": "t"},
                "tie_rod": {"inner": "T", "outer": [60, 650, 180], "tube": "t"},
                "spring": {"top": "S", "bottom": [0, 600, 200], "on": "upright"},
            }),
            &[
                ("UF", [120.0, 350.0, 420.0]),
                ("UR", [-120.0, 350.0, 420.0]),
                ("LF", [150.0, 350.0, 180.0]),
                ("LR", [-150.0, 350.0, 180.0]),
                ("T", [60.0, 350.0, 180.0]),
                ("S", [0.0, 400.0, 560.0]),
            ],
        )
    }

    /// Arms that are level, parallel and square in nothing, as on a real car.
    pub(super) fn skew_wishbones() -> Self {
        Drawn::new(
            "front.l",
            json!({
                "kind": "double wishbone", "wheel_centre": [3, 702, 298], "contact_patch": [0, 705, 0],
                "upper": {"front": "UF", "rear": "UR", "outer": [-17, 618, 428], "tube": "t"},
                "lower": {"front": "LF", "rear": "LR", "outer": [9, 655, 172], "tube": "t"},
                "tie_rod": {"inner": "T", "outer": [-108, 640, 221], "tube": "t"},
                "spring": {"top": "S", "bottom": [5, 590, 205], "on": "upright", "rate": 35},
            }),
            &[
                ("UF", [131.0, 362.0, 391.0]),
                ("UR", [-114.0, 351.0, 377.0]),
                ("LF", [148.0, 301.0, 161.0]),
                ("LR", [-162.0, 318.0, 149.0]),
                ("T", [-101.0, 312.0, 196.0]),
                ("S", [18.0, 402.0, 566.0]),
            ],
        )
    }

    /// A strut that leans in and a lower arm that falls outwards; the tie rod points at the centre
    /// of both, so that the motion stays plane.
    pub(super) fn strut() -> Self {
        let outer = [80.0, 640.0, 215.0];
        let [y, z] = strut_centre();
        let inner = [80.0, outer[1] + 0.1 * (y - outer[1]), outer[2] + 0.1 * (z - outer[2])];
        Drawn::new(
            "front.l",
            json!({
                "kind": "strut", "wheel_centre": [0, 700, 300], "contact_patch": [0, 700, 0],
                "lower": {"front": "LF", "rear": "LR", "outer": [0, 650, 180], "tube": "t"},
                "tie_rod": {"inner": "T", "outer": outer, "tube": "t"},
                "strut": {"top": "S", "bottom": [0, 600, 250], "tube": "t", "rate": 25},
            }),
            &[("LF", [150.0, 300.0, 200.0]), ("LR", [-150.0, 300.0, 200.0]), ("T", inner), ("S", [0.0, 560.0, 700.0])],
        )
    }

    /// An arm with pivots square to the car, and a spring straight up from it.
    pub(super) fn trailing_arm(axle: &str) -> Self {
        Drawn::new(
            if axle == "front" { "front.l" } else { "rear.l" },
            json!({
                "kind": "trailing arm", "wheel_centre": [0, 700, 290], "contact_patch": [0, 700, 0],
                "arm": {"pivots": ["P1", "P2"], "hub": [0, 620, 280], "tube": "t"},
                "spring": {"top": "S", "bottom": [100, 540, 280], "on": ["arm.1", "arm.2"], "rate": 40},
            }),
            &[("P1", [400.0, 600.0, 250.0]), ("P2", [400.0, 420.0, 250.0]), ("S", [100.0, 540.0, 600.0])],
        )
    }

    /// The wishbones of this corner as four links.
    pub(super) fn as_links(&self) -> Self {
        let mut drawn = self.clone();
        let mut links = Map::new();
        for arm in ["upper", "lower"] {
            for end in ["front", "rear"] {
                let of = &self.corner[arm];
                let link = json!({"inner": of[end], "outer": of["outer"], "tube": "t"});
                links.insert(format!("{arm} {end}"), link);
            }
        }
        links.insert("tie_rod".to_owned(), self.corner["tie_rod"].clone());
        let corner = drawn.corner.as_object_mut().unwrap();
        corner.retain(|key, _| !["upper", "lower", "tie_rod"].contains(&key.as_str()));
        drawn.corner["kind"] = json!("links");
        drawn.corner["links"] = Value::Object(links);
        drawn
    }

    /// One or two of each kind.
    pub(super) fn all() -> Vec<Self> {
        let skew = Drawn::skew_wishbones();
        let links = skew.as_links();
        vec![skew, Drawn::strut(), Drawn::trailing_arm("rear"), links]
    }

    /// The corner on the other side of the car.
    pub(super) fn mirrored(&self) -> Self {
        let mut drawn = self.clone();
        drawn.wheel = if self.wheel == "front.l" { "front.r" } else { "rear.r" };
        drawn.nodes.values_mut().for_each(negate_y);
        negate_y(&mut drawn.corner);
        drawn
    }

    /// The text of the model.
    pub(super) fn text(&self) -> Value {
        let mounts: Map<String, Value> = self.nodes.keys().map(|name| (name.clone(), json!("one bolt"))).collect();
        json!({
            "format": 1,
            "tubes": {"t": {"round": {"od": 25, "wall": 2}, "material": "E235+N"}},
            "nodes": self.nodes,
            "members": {},
            "mounts": mounts,
            "vehicle": {
                "mass": 600, "wheelbase": WHEELBASE, "track": {"front": 1400, "rear": 1400},
                "cg": {"behind_front_axle": 1200, "height": CG_HEIGHT}, "lateral_transfer_share_front": 0.5,
                "brake_share_front": 0.6, "drive_share_front": 0.3,
            },
            "corners": {self.wheel: self.corner},
            "cases": {"pushed": {"wheels": {self.wheel: {"force": [-900, 1300, 2500], "at": "patch"}}}},
        })
    }

    /// The model.
    #[track_caller]
    pub(super) fn model(&self) -> Model {
        load(&self.text().to_string()).base
    }

    /// What is read from the corner.
    #[track_caller]
    pub(super) fn read(&self) -> Geometry {
        let model = self.model();
        geometry(&model, &model.corners[0])
    }
}

/// Where the line square to the strut at its top meets the line of its lower arm: y and z.
pub(super) fn strut_centre() -> [f64; 2] {
    // (y − 560)(560 − 600) + (z − 700)(700 − 250) = 0 and z = 200 − (y − 300)·20/350.
    let slope = -20.0 / 350.0;
    let across = 40.0 / 450.0;
    let y = (700.0 - 560.0 * across - 200.0 + 300.0 * slope) / (slope - across);
    [y, 200.0 + (y - 300.0) * slope]
}

fn negate_y(value: &mut Value) {
    match value {
        Value::Array(place) if place.len() == 3 && place.iter().all(Value::is_number) => {
            place[1] = json!(-number(&place[1]));
        }
        Value::Array(items) => items.iter_mut().for_each(negate_y),
        Value::Object(keys) => keys.values_mut().for_each(negate_y),
        _ => {}
    }
}

/// Holds two read-outs against each other; `y` is the sign of the second's places across the car.
#[track_caller]
pub(super) fn assert_alike(one: &Geometry, other: &Geometry, y: f64) {
    let (one, other) = (values(one, 1.0), values(other, y));
    assert_eq!(one.len(), other.len());
    for ((name, one), (_, other)) in one.into_iter().zip(other) {
        match (one, other) {
            (Some(one), Some(other)) if one.abs() > 1e-9 => assert_near(other, one, 1e-10),
            (Some(one), Some(other)) => assert!((one - other).abs() < 1e-9, "{name}: {one} {other}"),
            (one, other) => assert_eq!(one, other, "{name}"),
        }
    }
}

/// Every value of the read-outs by name.
fn values(read: &Geometry, y: f64) -> Vec<(&'static str, Option<f64>)> {
    let (axis, arm, rise) = (read.steering_axis.as_ref(), read.steering_arm.as_ref(), read.rise.as_ref());
    vec![
        ("inclination", axis.map(|axis| axis.inclination_deg)),
        ("caster", axis.map(|axis| axis.caster_deg)),
        ("trail", axis.map(|axis| axis.trail_mm)),
        ("scrub radius", axis.map(|axis| axis.scrub_radius_mm)),
        ("steering arm", arm.map(|arm| arm.length_mm)),
        ("steering", arm.map(|arm| arm.ratio_deg_mm)),
        ("ackermann", arm.and_then(|arm| arm.ackermann_percent)),
        ("front centre y", rise.and_then(|rise| rise.centre_front_mm).map(|at| y * at[0])),
        ("front centre z", rise.and_then(|rise| rise.centre_front_mm).map(|at| at[1])),
        ("side centre x", rise.and_then(|rise| rise.centre_side_mm).map(|at| at[0])),
        ("side centre z", rise.and_then(|rise| rise.centre_side_mm).map(|at| at[1])),
        ("roll centre", rise.and_then(|rise| rise.roll_centre_height_mm)),
        ("motion ratio", rise.map(|rise| rise.motion_ratio)),
        ("wheel rate", rise.and_then(|rise| rise.wheel_rate_n_mm)),
        ("camber gain", rise.map(|rise| rise.camber_gain_deg)),
        ("bump steer", rise.map(|rise| rise.bump_steer_deg)),
        ("anti-dive", rise.and_then(|rise| rise.anti.dive)),
        ("anti-lift, braked", rise.and_then(|rise| rise.anti.lift_braked)),
        ("anti-lift, driven", rise.and_then(|rise| rise.anti.lift_driven)),
        ("anti-squat", rise.and_then(|rise| rise.anti.squat)),
    ]
}
