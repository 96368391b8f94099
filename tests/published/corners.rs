//! One front left corner on ground mounts, for published link and joint forces.
//!
//! The arms of those cases are two links each, or bodies in equilibrium. An arm of the tool is two
//! tubes welded at the ball, whose bending shares the force along the pivot line; tubes of next to
//! no second moment make two links of them to the digits that are asked.

use nalgebra::Vector3;
use serde_json::{Value, json};

use crate::support::values::{number, three, vector};
use crate::support::{load, result};

/// Points of a corner, mm, and what acts on it.
pub(super) struct Corner {
    /// Upper arm: front, rear, outer.
    pub(super) upper: [Vector3<f64>; 3],
    /// Lower arm: front, rear, outer.
    pub(super) lower: [Vector3<f64>; 3],
    /// Tie rod: inner, outer.
    pub(super) tie_rod: [Vector3<f64>; 2],
    /// Spring, damper or push rod: top, bottom.
    pub(super) spring: [Vector3<f64>; 2],
    /// What its bottom is held to: `"upright"` or tubes of the lower arm.
    pub(super) spring_on: Value,
    /// Middle of the contact patch and centre of the wheel.
    pub(super) patch: Vector3<f64>,
    pub(super) wheel_centre: Vector3<f64>,
    /// Force on the tyre of the braked wheel, N.
    pub(super) force_n: Vector3<f64>,
    /// `"outboard"` or `"inboard"`.
    pub(super) brakes: String,
}

/// A solved corner.
pub(super) struct SolvedCorner(Value);

impl Corner {
    /// Solves the corner on ground mounts, with a body that takes the torque of an inboard brake.
    #[track_caller]
    pub(super) fn solve(&self) -> SolvedCorner {
        let section = |second_moment: f64| {
            json!({
                "given": {"a": 500, "iy": second_moment, "iz": second_moment, "j": second_moment, "cy": 1, "cz": 1},
                "material": "E235+N",
            })
        };
        // An arm that carries the spring bends and needs its stiffness; its own sharing is not asked.
        let lower = if self.spring_on == "upright" { "link" } else { "arm" };
        let inner = [
            ("upper front", self.upper[0]),
            ("upper rear", self.upper[1]),
            ("lower front", self.lower[0]),
            ("lower rear", self.lower[1]),
            ("tie rod", self.tie_rod[0]),
            ("push rod", self.spring[0]),
        ];
        let mut nodes = serde_json::Map::new();
        let mut mounts = serde_json::Map::new();
        for (name, at) in inner {
            nodes.insert(name.to_owned(), three(&at));
            mounts.insert(name.to_owned(), json!("one bolt"));
        }
        nodes.insert("stub".to_owned(), json!([0, 0, 300]));
        nodes.insert("stub foot".to_owned(), json!([0, 0, 200]));
        mounts.insert("stub foot".to_owned(), json!("bolted pad"));
        let arm = |name: &str, outer: &Vector3<f64>, tube: &str| json!({"front": format!("{name} front"), "rear": format!("{name} rear"), "outer": three(outer), "tube": tube});
        let model = json!({
            "format": 1,
            "tubes": {"link": section(1e-3), "arm": section(1e5)},
            "nodes": nodes,
            "members": {"stub tube": {"ends": ["stub foot", "stub"], "tube": "arm"}},
            "mounts": mounts,
            "bodies": {"gearbox": {
                "mass": 40, "cg": [0, 0, 300], "mounts": {"stub": "bolted pad"}, "takes_drive_torque": true,
            }},
            "corners": {"front.l": {
                "kind": "double wishbone",
                "wheel_centre": three(&self.wheel_centre),
                "contact_patch": three(&self.patch),
                "brakes": self.brakes,
                "upper": arm("upper", &self.upper[2], "link"),
                "lower": arm("lower", &self.lower[2], lower),
                "tie_rod": {"inner": "tie rod", "outer": three(&self.tie_rod[1]), "tube": "link"},
                "spring": {"top": "push rod", "bottom": three(&self.spring[1]), "on": self.spring_on},
            }},
            "cases": {"case": {"wheels": {"front.l": three(&self.force_n)}, "braked": ["front.l"]}},
        });
        SolvedCorner(result(&load(&model.to_string()).base)["cases"]["case"].take())
    }
}

impl SolvedCorner {
    /// Tension of a link, N: `upper front`, `tie rod`, `push rod`.
    pub(super) fn tension(&self, link: &str) -> f64 {
        let tube = match link {
            "push rod" => "spring".to_owned(),
            "tie rod" => "tie_rod".to_owned(),
            arm => arm.replace(' ', "."),
        };
        number(&self.0["members"][format!("front.l/{tube}")]["along"][0]["n"])
    }

    /// What the corner does to the frame at a pick-up, N.
    pub(super) fn on_frame(&self, pickup: &str) -> Vector3<f64> {
        vector(&self.0["pickups"][pickup]["force"])
    }

    /// What the frame does to both pivots of an arm, N.
    pub(super) fn on_arm(&self, arm: &str) -> Vector3<f64> {
        -(self.on_frame(&format!("{arm} front")) + self.on_frame(&format!("{arm} rear")))
    }

    /// Moment that the body with the shaft hands on to the frame, N·mm.
    pub(super) fn on_body_nmm(&self) -> Vector3<f64> {
        vector(&self.0["bodies"]["gearbox"]["mounts"]["stub"]["moment"]) * 1000.0
    }
}
