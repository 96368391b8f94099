//! A frame in the air: what balances itself strains a frame alike wherever it is held, and what
//! falls freely, or is carried along, is not strained at all.

use nalgebra::Vector3;
use proptest::prelude::*;
use proptest::sample::Index;
use serde_json::{Value, json};

use super::answers::{Answer, optional_entries};
use super::equilibrium::{Largest, Sum, lone_nodes, part};
use super::frames::{Frame, frame};
use super::geometry::place_of;
use super::{Law, cases, in_case};
use crate::support::values::{entries, list, number, three, vector};

/// Nodes at which nothing but tubes is: the ground may hold them.
fn bare_nodes(model: &Value) -> Vec<String> {
    let bodies = || optional_entries(&model["bodies"]).flat_map(|(_, body)| entries(&body["mounts"]).keys());
    lone_nodes(model).into_iter().filter(|name| !bodies().any(|mount| mount == name)).collect()
}

/// Pairs of forces that pull nodes apart along the line between them, N.
fn pulled_apart(model: &Value, pairs: &[([Index; 2], i32)]) -> Value {
    let nodes: Vec<&String> = entries(&model["nodes"]).keys().collect();
    let mut forces: std::collections::BTreeMap<&String, Vector3<f64>> = std::collections::BTreeMap::new();
    for (ends, force_n) in pairs {
        let [one, other] = ends.map(|end| nodes[end.index(nodes.len())]);
        if one != other {
            let along = (place_of(model, other) - place_of(model, one)).normalize() * f64::from(*force_n);
            *forces.entry(one).or_default() -= along;
            *forces.entry(other).or_default() += along;
        }
    }
    forces.into_iter().map(|(name, force)| (name.clone(), three(&force))).collect::<serde_json::Map<_, _>>().into()
}

fn strained_alike_wherever_held(frame: &Frame, held: [Index; 2], pairs: &[([Index; 2], i32)]) -> Law {
    let bare = bare_nodes(&frame.0);
    if bare.is_empty() {
        return Err(TestCaseError::reject("no bare node"));
    }
    let [one, other] = held.map(|index| index.get(&bare[..]).clone());
    let forces = pulled_apart(&frame.0, pairs);
    if one == other || forces == json!({}) {
        return Err(TestCaseError::reject("no two nodes"));
    }
    let held_at = |node: &str| {
        let mut model = frame.0.clone();
        model["mounts"] = json!({ node: "bolted pad" });
        model["cases"] = json!({ "pulled": { "forces": forces } });
        Frame(model)
    };
    let before = held_at(&one).solved_or_passed_over()?;
    // A node that takes no moment about some line through it is a mechanism as the only one held.
    let after = held_at(&other).solved_or_passed_over()?;
    // A column may run on through a node that is not held; what each tube carries is the same.
    let carried = |name: &str| name.starts_with("members.") && !name.contains(".utilisation.");
    let answers = [&before, &after].map(|result| Answer::of(result, "pulled").only(carried));
    in_case("pulled", answers[0].check(&answers[1]))?;
    for (result, node) in [(&before, &one), (&after, &other)] {
        let case = &result["cases"]["pulled"];
        let mut sum = Sum::about(place_of(&frame.0, node));
        let mount = &case["mounts"][node];
        sum.add(&place_of(&frame.0, node), vector(&mount["force"]), vector(&mount["moment"]) * 1000.0);
        // What acts on the mount is itself the sum: only the tubes say what is large.
        in_case("pulled", sum.is_small("the one mount", part(case), &Largest::of(case)))?;
    }
    Ok(())
}

fn falling_freely(frame: &Frame) -> Law {
    let mut model = frame.0.clone();
    model["cases"] = json!({ "falling": { "g": { "vert": 0 }, "wheels": "none" } });
    let result = Frame(model).solved_or_passed_over()?;
    let case = &result["cases"]["falling"];
    for (name, member) in entries(&case["members"]) {
        for station in list(&member["along"]) {
            for key in ["n", "vy", "vz", "t", "my", "mz"] {
                prop_assert!(number(&station[key]) == 0.0, "{key} of {name} in free fall: {station}");
            }
        }
    }
    for (name, node) in entries(&case["nodes"]) {
        prop_assert!(vector(&node["move"]) == Vector3::zeros(), "{name} moves in free fall: {node}");
    }
    Ok(())
}

/// A tube that sticks out from a node into the air is not pushed and not bent where nothing acts on
/// it, however far it is carried along.
fn carried_along(frame: &Frame) -> Law {
    let mut model = frame.0.clone();
    model["tubes"]["thin"] = json!({ "square": { "side": 50, "wall": 2 }, "material": "E235+N" });
    model["nodes"]["far"] = three(&(place_of(&model, "n1") + Vector3::new(77.0, -133.0, 211.0)));
    model["members"]["free"] = json!({ "ends": ["n1", "far"], "tube": "thin" });
    let cases = model["cases"].as_object_mut().expect("cases are an object");
    cases.retain(|_, case| case.get("g").is_none());
    let frame = Frame(model);
    let result = frame.solved_or_passed_over()?;
    for name in frame.cases() {
        let utilisation = &result["cases"][&name]["members"]["free"]["utilisation"];
        for check in ["column", "wall"] {
            prop_assert!(utilisation.get(check).is_none(), "case \"{name}\" judges a free tube: {utilisation}");
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(cases(48))]

    #[test]
    fn forces_that_balance_themselves_strain_a_frame_alike_wherever_its_one_mount_is(
        frame in frame(),
        held in any::<[Index; 2]>(),
        pairs in prop::collection::vec((any::<[Index; 2]>(), 100..3000_i32), 1..4),
    ) {
        strained_alike_wherever_held(&frame, held, &pairs)?;
    }

    #[test]
    fn a_tube_that_is_only_carried_along_is_judged_neither_as_a_column_nor_by_its_wall(frame in frame()) {
        carried_along(&frame)?;
    }

    #[test]
    fn a_frame_that_falls_freely_carries_nothing(frame in frame()) {
        falling_freely(&frame)?;
    }
}
