//! Why no lighter design passes, as JSON that a program can check on its own.
//!
//! `nodes` are boxes: sizes that each group may have. The first holds all; `split` cuts one in two by the sizes of a
//! group; every other says why it is closed. A `cut` is a reading of one design that is over its limit: with its own
//! stiffness matrix a program can work out what it says of a box (`solve::assortment` has the formula).

use serde_json::{Map, Value, json};

use super::About;
use super::json::{Number, result};
use crate::model::entry_at;
use crate::studies::size::{
    Closed, Dual, EQUAL, Fails, Limited, MARGIN, Narrowed, Node, Sizing, Told, Used, What, in_set,
};

/// The certificate of a search.
pub fn certificate(told: &Sizing, about: &About<'_>) -> Value {
    let groups = told.groups.iter().zip(&told.members).zip(&told.mass_kg).map(|((name, members), masses)| {
        json!({
            "name": name,
            "members": members,
            "mass": masses.iter().map(|mass| Number(*mass)).collect::<Vec<_>>(),
        })
    });
    let sizes = |design: &[usize]| design.iter().map(|size| told.sizes[*size].clone()).collect::<Vec<String>>();
    let mut nodes: Vec<Value> = told.proof.nodes.iter().map(|node| of_node(node, told)).collect();
    for (node, narrowed) in &told.proof.narrowed {
        nodes[*node]["narrowed"] = narrowed.iter().map(|to| of_narrowed(to, told)).collect();
    }
    let bars = told.proof.names.iter().flat_map(|names| &names.bars);
    let bars: Vec<&str> = bars.map(|member| entry_at(&about.model.members, *member).0).collect();
    let own = json!({
        "proven": told.is_proven(),
        "best": told.best.as_ref().map(|best| json!({ "sizes": sizes(&best.sizes), "mass": Number(best.mass_kg) })),
        "none_under": told.least_kg.is_finite().then_some(Number(told.least_kg)),
        "equal_within": EQUAL,
        "over_by_more_than": MARGIN,
        "stock": told.sizes,
        "groups": groups.collect::<Vec<_>>(),
        "kept": Number(told.proof.kept_kg),
        "cuts": told.proof.cuts.iter().map(|cut| of_cut(cut, told)).collect::<Vec<_>>(),
        "bars": bars,
        "nodes": nodes,
    });
    result(about, own)
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
        What::Angle | What::Push => {}
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
        Node::Closed(Closed::Program(dual)) => {
            let mut value = of_dual(dual, told);
            value["closed"] = json!("a linear program");
            value
        }
        Node::Closed(Closed::Empty) => json!({ "closed": "no stretch is left" }),
        Node::Closed(Closed::Fails(fails)) => of_failing(fails),
    }
}

/// Virtual movements of nodes (`v`), virtual forces of members (`w`) and multipliers of limits, case by case.
fn of_dual(dual: &Dual, told: &Sizing) -> Value {
    let Some(names) = &told.proof.names else { return json!({}) };
    let of_side = |(at, (case, places)): (usize, &(String, Vec<Limited>))| {
        let moves = names.nodes.iter().enumerate().map(|(node, (name, _))| (name, names.movement(node, &dual.v[at])));
        let moves = moves.filter(|(_, v)| *v != [0.0; 3]);
        let limits = places.iter().zip(&dual.limits[at]).filter(|(_, times)| **times != [0.0; 2]);
        json!({
            "case": case,
            "v": moves.map(|(name, v)| (name.clone(), json!(v.map(Number)))).collect::<Map<String, Value>>(),
            "w": dual.w[at].iter().map(|w| Number(*w)).collect::<Vec<_>>(),
            "limits": limits.map(|(place, times)| {
                json!({ "where": place.place, "axis": place.axis, "times": times.map(Number) })
            }).collect::<Vec<_>>(),
        })
    };
    json!({ "cases": names.sides.iter().enumerate().map(of_side).collect::<Vec<_>>(), "mass": Number(dual.mass) })
}

fn of_narrowed(to: &Narrowed, told: &Sizing) -> Value {
    let mut value = of_dual(&to.by, told);
    value["bar"] = json!(to.bar);
    value["side"] = json!(to.side);
    value["end"] = json!(to.end);
    value["to"] = json!(Number(to.to_mm));
    value["at_most"] = json!(Number(to.at_most_kg));
    value
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
