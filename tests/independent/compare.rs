//! The two answers to a case side by side.

use std::collections::BTreeMap;

use nalgebra::{Vector3, Vector6};
use serde_json::Value;

use super::frame::{Frame, Holder, Motion, Placed, Tube, optional_entries};
use super::loads::loads;
use super::solved::{Answer, Solver};
use crate::support::values::{entries, list, number, vector};

/// The largest difference of a kind, its place, and the largest value of the kind.
#[derive(Debug, Default)]
struct Differences {
    apart: f64,
    what: String,
    largest: f64,
}

/// The differences of a case: moves (mm), turns (degrees), forces (N) and moments (N·m).
#[derive(Debug, Default)]
pub(super) struct Compared(BTreeMap<&'static str, Differences>);

impl Compared {
    fn add(&mut self, kind: &'static str, what: impl FnOnce() -> String, tool: &Vector3<f64>, own: &Vector3<f64>) {
        let known = self.0.entry(kind).or_default();
        let apart = (tool - own).amax();
        if apart.is_nan() || apart > known.apart {
            (known.apart, known.what) = (apart, format!("{}: {tool:?} and {own:?}", what()));
        }
        known.largest = known.largest.max(tool.amax()).max(own.amax());
    }

    /// Whether no kind differs by more than a part of its largest value.
    ///
    /// A case without anything but round-off has a largest value too: 0.001 of each unit. Where mounts
    /// move and nothing else acts, forces are told from those that an end would make that moved
    /// alone: 100 N and 100 N·m for each mm and more (E A/L of the softest tube drawn is several times that).
    pub(super) fn is_within(&self, part: f64, case: &Value) -> Result<(), String> {
        let moved_only = optional_entries(case).all(|(key, _)| key == "moved");
        let carried = if moved_only { 100.0 * self.0["move"].largest } else { 0.0 };
        for (kind, known) in &self.0 {
            let is_force = matches!(*kind, "force" | "moment");
            let largest = known.largest.max(if is_force { carried } else { 0.0 }).max(1e-3);
            if known.apart.is_nan() || known.apart > part * largest {
                let off = known.apart / largest;
                return Err(format!("{kind} of {}, apart by {off:e} of the largest; allowed {part:e}", known.what));
            }
        }
        Ok(())
    }
}

/// Shift (mm) and turn (degrees) of a motion.
fn shift_and_turn(motion: &Motion, answer: &Answer) -> [Vector3<f64>; 2] {
    let mut six = Vector6::zeros();
    for (variable, own) in motion {
        six += own * answer.variables[*variable];
    }
    [six.fixed_rows::<3>(0).into_owned(), six.fixed_rows::<3>(3).map(f64::to_degrees)]
}

/// Force (N) and moment (N·m) of a wrench in N and N·mm.
fn force_and_moment(wrench: Option<&Vector6<f64>>) -> [Vector3<f64>; 2] {
    let six = wrench.copied().unwrap_or_default();
    [six.fixed_rows::<3>(0).into_owned(), six.fixed_rows::<3>(3) / 1000.0]
}

/// Internal forces along a tube against the result's, N and N·m.
fn compare_along(compared: &mut Compared, name: &str, tube: &Tube, first: usize, answer: &Answer, along: &[Value]) {
    for (place, station) in along.iter().enumerate() {
        let at = number(&station["at"]);
        let same = |other: Option<&Value>| other.is_some_and(|other| (number(&other["at"]) - at).abs() < 1e-9);
        let (again, before) = (same(along.get(place + 1)), place > 0 && same(along.get(place - 1)));
        // At a jump the piece before it comes first.
        let within = |piece: &Placed| {
            let (start, end) = (piece.start_mm, piece.start_mm + piece.piece.length_mm);
            let tolerance = 1e-6;
            match (again, before) {
                (true, _) => at > start + tolerance && at <= end + tolerance,
                (_, true) => at >= start - tolerance && at < end - tolerance,
                _ => at >= start - tolerance && at <= end + tolerance,
            }
        };
        let found = tube.pieces.iter().position(within).expect("every station lies on a piece");
        let placed = &tube.pieces[found];
        let (forces, load) = (&answer.pieces[first + found], &answer.loads[first + found]);
        let own = force_and_moment(Some(&placed.piece.internal(forces, load, at - placed.start_mm)));
        for (keys, kind, own) in [(["n", "vy", "vz"], "force", own[0]), (["t", "my", "mz"], "moment", own[1])] {
            let tool = Vector3::from(keys.map(|key| number(&station[key])));
            compared.add(kind, || format!("{name} at {at}"), &tool, &own);
        }
    }
}

/// Everything of a case, the tool's against ours.
pub(super) fn compare(model: &Value, frame: &Frame, solver: &Solver<'_>, case: &Value, told: &Value) -> Compared {
    let answer = solver.answer(&loads(model, frame, case, told));
    let mut compared = Compared::default();
    for (name, node) in entries(&told["nodes"]) {
        let (thing, at) = &frame.nodes[name];
        let [shift, turn] = shift_and_turn(&thing.at(at), &answer);
        compared.add("move", || name.clone(), &vector(&node["move"]), &shift);
        if !(3..6).any(|turn| solver.is_slack(thing.first + turn)) {
            compared.add("turn", || name.clone(), &vector(&node["turn"]), &turn);
        }
    }
    for (name, body) in optional_entries(&told["bodies"]) {
        let (thing, at) = &frame.bodies[name];
        let [shift, turn] = shift_and_turn(&thing.at(at), &answer);
        compared.add("move", || name.clone(), &vector(&body["move"]), &shift);
        compared.add("turn", || name.clone(), &vector(&body["turn"]), &turn);
        for (node, load) in entries(&body["mounts"]) {
            // What rides is part of the body: nothing between them is told.
            if model["bodies"][name]["mounts"][node] != "rides" {
                let own = force_and_moment(answer.holders.get(&(Holder::Body(name.clone()), node.clone())));
                compared.add("force", || format!("{name} at {node}"), &vector(&load["force"]), &own[0]);
                compared.add("moment", || format!("{name} at {node}"), &vector(&load["moment"]), &own[1]);
            }
        }
    }
    for (node, load) in optional_entries(&told["mounts"]) {
        let own = force_and_moment(answer.holders.get(&(Holder::Ground, node.clone())));
        compared.add("force", || node.clone(), &vector(&load["force"]), &own[0]);
        compared.add("moment", || node.clone(), &vector(&load["moment"]), &own[1]);
    }
    let springs =
        answer.holders.iter().filter(|((holder, name), _)| *holder == Holder::Weld && name.ends_with("/spring"));
    for ((_, name), pull) in springs {
        let tension = number(&list(&told["members"][name]["along"])[0]["n"]);
        let along = frame.spring_axes[name];
        let own = -along.dot(&pull.fixed_rows::<3>(0));
        compared.add("force", || name.clone(), &Vector3::new(tension, 0.0, 0.0), &Vector3::new(own, 0.0, 0.0));
    }
    let mut first = 0;
    for (name, tube) in &frame.tubes {
        compare_along(&mut compared, name, tube, first, &answer, list(&told["members"][name]["along"]));
        first += tube.pieces.len();
    }
    for (corner, thing) in &frame.uprights {
        let (drawn, wheel) = (&model["corners"][corner], &told["wheels"][corner]);
        let [shift, turn] = shift_and_turn(&thing.at(&vector(&drawn["contact_patch"])), &answer);
        compared.add("move", || corner.clone(), &vector(&wheel["move"]), &shift);
        let outward = if corner.ends_with(".l") { -1.0 } else { 1.0 };
        let angles = Vector3::from(["camber", "caster", "toe"].map(|key| number(&wheel[key])));
        let own = Vector3::new(outward * turn.x, -turn.y, outward * turn.z);
        compared.add("turn", || corner.clone(), &angles, &own);
    }
    compared
}
