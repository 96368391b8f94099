//! What acts in a case, by the format page.

use nalgebra::{Vector3, Vector6};
use serde_json::Value;

use super::frame::{DIRECTIONS, Frame, Motion, optional_entries};
use super::solved::Loads;
use crate::support::values::{number, vector, word};

/// Standard gravity, 3rd CGPM (1901), m/s².
const GRAVITY_M_S2: f64 = 9.80665;

/// What acts in a case, from its text; the wheels' forces are those of the result.
pub(super) fn loads(model: &Value, frame: &Frame, case: &Value, result: &Value) -> Loads {
    let factor = case.get("factor").map_or(1.0, number);
    let mut loads = Loads { on_variables: vec![0.0; frame.n_variables], ..Loads::default() };
    let target = |name: &str| -> Motion {
        let (thing, at) = frame.nodes.get(name).or(frame.bodies.get(name)).expect("a node or a body");
        thing.at(at)
    };
    let force = |v: Vector3<f64>| Vector6::new(v.x, v.y, v.z, 0.0, 0.0, 0.0);
    let moment = |v: Vector3<f64>| Vector6::new(0.0, 0.0, 0.0, v.x, v.y, v.z);
    for (name, load) in optional_entries(&case["forces"]) {
        loads.add(&target(name), &force(vector(load) * factor));
    }
    for (name, load) in optional_entries(&case["moments"]) {
        loads.add(&target(name), &moment(vector(load) * (1000.0 * factor)));
    }
    for (name, load) in optional_entries(&case["line_loads"]) {
        *loads.on_tubes.entry(name.clone()).or_default() += vector(load) * factor;
    }
    if let Some(g) = case.get("g") {
        let part = |key: &str, default: f64| g.get(key).map_or(default, number);
        let pull = Vector3::new(part("long", 0.0), part("lat", 0.0), part("vert", 1.0)) * (-GRAVITY_M_S2 * factor);
        for (name, tube) in &frame.tubes {
            *loads.on_tubes.entry(name.clone()).or_default() += pull * tube.kg_per_mm;
        }
        for (name, (thing, at)) in &frame.bodies {
            loads.add(&thing.at(at), &force(pull * number(&model["bodies"][name]["mass"])));
        }
        for (name, thing) in &frame.uprights {
            let corner = &model["corners"][name];
            let unsprung = corner.get("unsprung").map_or(0.0, number);
            loads.add(&thing.at(&vector(&corner["wheel_centre"])), &force(pull * unsprung));
        }
    }
    for (name, thing) in &frame.uprights {
        if let Some(wheel) = result["wheels"].get(name) {
            let patch = thing.at(&vector(&model["corners"][name]["contact_patch"]));
            loads.add(&patch, &force(vector(&wheel["force"])));
            loads.add(&patch, &moment(vector(&wheel["moment"]) * 1000.0));
        }
    }
    if let Some(twist) = case.get("twist") {
        let [first, second] = [0, 1].map(|end: usize| word(&twist["axle"][end]));
        let lever = (frame.nodes[first].1.y - frame.nodes[second].1.y).abs();
        let lift = Vector3::z() * (number(&twist["moment"]) * 1000.0 * factor / lever);
        loads.add(&target(first), &force(lift));
        loads.add(&target(second), &force(-lift));
    }
    for (node, moved) in optional_entries(&case["moved"]) {
        for (direction, key) in DIRECTIONS.into_iter().enumerate() {
            if let Some(amount) = moved.get(key).map(number) {
                let amount = if direction < 3 { amount } else { amount.to_radians() };
                loads.moved.insert((node.clone(), direction), amount);
            }
        }
    }
    loads
}
