//! Loads do as much work as the frame stores.
//!
//! Source: Clapeyron's theorem, as in any text on the theory of structures: the strain energy of a
//! linear elastic structure is half the work of its loads. The energy is summed from the forces of
//! the result: n²/EA + vy²/GAy + vz²/GAz + t²/GJ + my²/EIy + mz²/EIz, half of it along each tube, and
//! half of force²/rate in each rate.

use nalgebra::Vector3;
use proptest::prelude::*;
use serde_json::Value;

use super::answers::optional_entries;
use super::equilibrium::{has_a_bracket_at_a_joint, internal};
use super::frames::{Frame, frame};
use super::geometry::place_of;
use super::{Law, cases};
use crate::support::values::{entries, list, number, vector, word};

/// Cases whose loads act on nodes and bodies alone: the work of a load along a tube needs its shape.
const ON_NODES: [&str; 3] = ["push", "turn", "twisted"];
/// Directions of a mount.
const DIRECTIONS: [[&str; 3]; 2] = [["x", "y", "z"], ["rx", "ry", "rz"]];

/// Energy in a tube, N·mm.
fn in_tube(result: &Value, model: &Value, name: &str, along: &[Value]) -> f64 {
    let tube = word(&model["members"][name]["tube"]);
    let size = &result["tubes"][tube];
    let material = &result["materials"][word(&model["tubes"][tube]["material"])];
    let (e, g) = (number(&material["youngs_modulus"]), number(&material["shear_modulus"]));
    let over = |modulus: f64, key: &str| size.get(key).map_or(0.0, |figure| 1.0 / (modulus * number(figure)));
    let soft = [
        Vector3::new(over(e, "a"), over(g, "ay"), over(g, "az")),
        Vector3::new(over(g, "j"), over(e, "iy"), over(e, "iz")),
    ];
    along
        .chunks(3)
        .map(|piece| {
            let length = number(&piece[2]["at"]) - number(&piece[0]["at"]);
            // Forces are linear along a piece without loads of its own: Simpson's rule is exact.
            let at = |station: &Value| -> f64 {
                let forces = internal(station);
                (0..2).map(|kind: usize| forces[kind].component_mul(&forces[kind]).dot(&soft[kind])).sum()
            };
            length / 12.0 * (at(&piece[0]) + 4.0 * at(&piece[1]) + at(&piece[2]))
        })
        .sum()
}

/// Energy in the rates of a tube's joints, N·mm.
fn in_joints(member: &Value, along: &[Value]) -> f64 {
    let joint = |end: usize| match member.get("joint") {
        Some(Value::Array(joints)) => joints[end].clone(),
        Some(joint) => joint.clone(),
        None => Value::Null,
    };
    let stations = [&along[0], &along[along.len() - 1]];
    let mut energy = 0.0;
    for (end, station) in stations.into_iter().enumerate() {
        for (key, rate) in optional_entries(&joint(end)["rate"]).filter(|(_, rate)| number(rate) > 0.0) {
            energy += (number(&station[key]) * 1000.0).powi(2) / (2000.0 * number(rate));
        }
    }
    energy
}

/// Energy in the rates of a mount, N·mm.
fn in_mount(how: &Value, held: &Value) -> f64 {
    let mut energy = 0.0;
    for (keys, (of, size)) in DIRECTIONS.into_iter().zip([("force", 1.0), ("moment", 1000.0)]) {
        for (key, force) in keys.into_iter().zip(list(&held[of])) {
            if let Some(rate) = how.get(key).and_then(Value::as_f64) {
                energy += (number(force) * size).powi(2) / (2.0 * rate * size);
            }
        }
    }
    energy
}

fn stored(result: &Value, model: &Value, case: &Value) -> f64 {
    let mut energy = 0.0;
    for (name, member) in entries(&model["members"]) {
        let along = list(&case["members"][name]["along"]);
        energy += in_tube(result, model, name, along) + in_joints(member, along);
    }
    for (node, how) in entries(&model["mounts"]) {
        energy += in_mount(how, &case["mounts"][node]);
    }
    for (name, body) in optional_entries(&model["bodies"]) {
        for (node, how) in entries(&body["mounts"]) {
            energy += in_mount(how, &case["bodies"][name]["mounts"][node]);
        }
    }
    energy
}

/// Half the work of the loads of a case, and the sum of its parts without their signs, N·mm.
fn done(model: &Value, case: &Value, loads: &Value) -> [f64; 2] {
    let moved = |name: &str, key: &str| {
        let section = if model["bodies"].get(name).is_some() { "bodies" } else { "nodes" };
        vector(&case[section][name][key])
    };
    let mut parts: Vec<Vector3<f64>> = Vec::new();
    for (name, force) in optional_entries(&loads["forces"]) {
        parts.push(vector(force).component_mul(&moved(name, "move")));
    }
    for (name, moment) in optional_entries(&loads["moments"]) {
        parts.push(vector(moment).component_mul(&moved(name, "turn")) * 1000.0_f64.to_radians());
    }
    if let Some(twist) = loads.get("twist") {
        let [first, second] = [0, 1].map(|end: usize| word(&twist["axle"][end]));
        let force = number(&twist["moment"]) * 1000.0 / (place_of(model, first).y - place_of(model, second).y).abs();
        parts.push((moved(first, "move") - moved(second, "move")).component_mul(&(Vector3::z() * force)));
    }
    let all = || parts.iter().flat_map(Vector3::iter);
    [all().sum::<f64>() / 2.0, all().map(|part| part.abs()).sum::<f64>() / 2.0]
}

fn work_is_stored(frame: &Frame) -> Law {
    let mut model = frame.0.clone();
    let names = model["cases"].as_object_mut().expect("cases are an object");
    names.retain(|name, _| ON_NODES.contains(&name.as_str()));
    if has_a_bracket_at_a_joint(&model) {
        // It lies on the tube's side of the joint: the joint carries what is not in the result.
        return Err(TestCaseError::reject("a bracket at an end"));
    }
    let frame = Frame(model);
    let result = frame.solved_or_passed_over()?;
    for name in frame.cases() {
        let (case, loads) = (&result["cases"][&name], &frame.0["cases"][&name]);
        let ([work, size], energy) = (done(&frame.0, case, loads), stored(&result, &frame.0, case));
        let tolerance = 1e-9 + 2.0 * number(&case["accuracy"]["error"]);
        let largest = size.max(energy).max(1e-6);
        prop_assert!(
            (work - energy).abs() <= tolerance * largest,
            "case \"{name}\": {work} done, {energy} N·mm stored"
        );
    }
    Ok(())
}

proptest! {
    #![proptest_config(cases(96))]

    #[test]
    fn half_the_work_of_the_loads_is_stored_in_tubes_joints_and_mounts(frame in frame()) {
        work_is_stored(&frame)?;
    }
}
