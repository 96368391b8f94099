//! The bolts of the mounts of the ground and of bodies, judged.

use super::not_judged::NotJudged;
use super::outcome::{CaseOutcome, Wrench};
use crate::checks::{BoltResult, bolts};
use crate::model::{BodyHold, BodyMount, Bolts, Model};
use crate::source::Named;

/// The bolts of a mount, judged in one case.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoltsJudged {
    /// What they are.
    pub bolts: Bolts,
    /// Whether they fail on the deformed frame alone, whose figures these then are.
    pub deformed: bool,
    /// The figures.
    pub result: BoltResult,
}

/// What a mount of a body is called where a mount of the ground is called by its node.
pub fn body_mount_name(body: &str, node: &str) -> String {
    format!("{body} at {node}")
}

/// A moment of less than this is what is left of round-off, N·m.
const NO_MOMENT_NM: f64 = 1e-6;

/// The bolts of every mount that has them, by its name.
pub(super) fn judge_bolts(model: &Model, outcome: &CaseOutcome, margin: f64) -> Named<BoltsJudged> {
    let mut all = Named::new();
    let judge = |told: Option<Bolts>, load: Option<&Wrench>| {
        let (bolts_of, load) = (told?, load?);
        let moment_nm = if load.moment_nm.norm() < NO_MOMENT_NM { load.moment_nm * 0.0 } else { load.moment_nm };
        let result = bolts(&bolts_of, &load.force_n, &(moment_nm * 1000.0), margin);
        Some(BoltsJudged { bolts: bolts_of, deformed: false, result })
    };
    for mount in &model.mounts {
        let name = model.anchor_name(mount.at);
        if let Some(judged) = judge(mount.bolts, outcome.mounts.get(name)) {
            all.insert(name.to_owned(), judged);
        }
    }
    for (body, drawn) in &model.bodies {
        for mount in &drawn.mounts {
            let node = model.anchor_name(mount.at);
            let load = outcome.bodies.get(body).and_then(|body| body.mounts.get(node));
            if let Some(judged) = judge(mount.bolts, load) {
                all.insert(body_mount_name(body, node), judged);
            }
        }
    }
    all
}

/// Mounts without bolts, moments that nothing shares among bolts, and the plates.
pub(super) fn not_judged_bolts(model: &Model, judged: &Named<Named<BoltsJudged>>) -> Vec<NotJudged> {
    // What rides on a body or lies in a clamp is not bolted there.
    let bolted = |mount: &&BodyMount| matches!(mount.hold, BodyHold::Directions(_));
    let of_bodies = model.bodies.values().flat_map(|body| body.mounts.iter().filter(bolted).map(|mount| mount.bolts));
    let all: Vec<Option<Bolts>> = model.mounts.iter().map(|mount| mount.bolts).chain(of_bodies).collect();
    let untold = all.iter().filter(|bolts| bolts.is_none()).count();
    let mut list = Vec::new();
    if untold > 0 {
        let place = if untold == all.len() { "mounts".to_owned() } else { format!("{untold} of {} mounts", all.len()) };
        list.push(NotJudged::new("bolts", place, "no \"bolts\" tells their size, grade and number"));
    }
    let mut told: Vec<&str> = Vec::new();
    for (name, judged) in judged.values().flatten() {
        if judged.result.leaves_moment && !told.contains(&name.as_str()) {
            told.push(name);
            let why = "a moment acts there: without a \"pitch\" what it does to the bolts, in tension above all, is not judged";
            list.push(NotJudged::new("bolts", name, why));
        }
    }
    if untold < all.len() {
        let why = "the plates that bolts go through: their thickness and edges are not in the file";
        list.push(NotJudged::new("bolts", "mounts", why));
    }
    list
}
