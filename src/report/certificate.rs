//! Why no lighter design passes, as JSON that a program can check on its own.
//!
//! `nodes` are boxes: sizes that each group may have. The first holds all; `split` cuts one in two by the sizes of a
//! group; every other says why it is closed. A `cut` is a reading of one design that is over its limit: with its own
//! stiffness matrix a program can work out what it says of a box (`solve::assortment` has the formula).

use serde_json::{Value, json};

use super::json::Number;
use crate::model::Model;
use crate::studies::size::{Closed, EQUAL, Fails, MARGIN, Node, Sizing, Told, Used, What, in_set};

/// The certificate of a search.
pub fn certificate(told: &Sizing, model: &Model, file: &str, sha256: &str) -> Value {
    let groups = told.groups.iter().zip(&told.members).zip(&told.mass_kg).map(|((name, members), masses)| {
        json!({
            "name": name,
            "members": members,
            "mass": masses.iter().map(|mass| Number(*mass)).collect::<Vec<_>>(),
        })
    });
    let sizes = |design: &[usize]| design.iter().map(|size| told.sizes[*size].clone()).collect::<Vec<String>>();
    let nodes = told.proof.nodes.iter().map(|node| of_node(node, told));
    json!({
        "format": 1,
        "tool": { "name": super::TOOL.0, "version": super::TOOL.1 },
        "model": { "title": model.title, "file": file, "sha256": sha256 },
        "proven": told.is_proven(),
        "best": told.best.as_ref().map(|best| json!({ "sizes": sizes(&best.sizes), "mass": Number(best.mass_kg) })),
        "none_under": told.least_kg.is_finite().then_some(Number(told.least_kg)),
        "equal_within": EQUAL,
        "over_by_more_than": MARGIN,
        "stock": told.sizes,
        "groups": groups.collect::<Vec<_>>(),
        "kept": Number(told.proof.kept_kg),
        "cuts": told.proof.cuts.iter().map(|cut| of_cut(cut, told)).collect::<Vec<_>>(),
        "nodes": nodes.collect::<Vec<_>>(),
    })
}

fn of_cut(cut: &Told, told: &Sizing) -> Value {
    let mut value = json!({
        "check": cut.check.name(),
        "case": cut.case,
        "position": cut.position,
        "where": cut.place,
        "value": Number(cut.value),
        "allowed": Number(cut.allowed),
        "design": cut.at.iter().map(|size| &told.sizes[*size]).collect::<Vec<_>>(),
    });
    match &cut.what {
        What::Along(direction) => value["along"] = json!(direction.map(Number)),
        What::Angle => {}
        What::Stress { at_mm, end, per } => {
            value["at"] = json!(Number(*at_mm));
            value["end"] = json!(end);
            value["per_n_my_mz"] = json!(per.map(Number));
        }
    }
    if let Some((group, size)) = cut.only_with {
        value["only_with"] = json!({ "group": told.groups[group], "size": told.sizes[size] });
    }
    value
}

fn of_node(node: &Node, told: &Sizing) -> Value {
    match node {
        Node::Open => json!({ "open": true }),
        Node::Split(group, sets, places) => {
            let into = sets.iter().zip(places).map(|(set, place)| {
                json!({ "sizes": in_set(*set).map(|size| &told.sizes[size]).collect::<Vec<_>>(), "node": place })
            });
            json!({ "split": told.groups[*group], "into": into.collect::<Vec<_>>() })
        }
        Node::Closed(Closed::Heavier) => json!({ "closed": "no design is lighter than the best" }),
        Node::Closed(Closed::Passes) => json!({ "closed": "this design passes" }),
        Node::Closed(Closed::Cuts(by)) => {
            let used = |used: &Used| json!({ "cut": used.cut, "t2": Number(used.t2), "times": Number(used.times) });
            json!({ "closed": "cuts", "by": by.iter().map(used).collect::<Vec<_>>() })
        }
        Node::Closed(Closed::Fails(fails)) => of_failing(fails),
    }
}

fn of_failing(fails: &Fails) -> Value {
    let mut value = json!({ "closed": "this design fails" });
    match (&fails.check, &fails.fault) {
        (_, Some(fault)) => value["fault"] = json!(fault),
        (Some(check), None) => {
            value["check"] = json!(check.name());
            value["case"] = json!(fails.case);
            value["position"] = json!(fails.position);
            value["where"] = json!(fails.place);
            value["value"] = json!(Number(fails.value));
            value["allowed"] = json!(Number(fails.allowed));
        }
        (None, None) => {}
    }
    value
}
