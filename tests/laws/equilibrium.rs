//! What the result says acts on anything adds up to nothing, worked out from the file and the
//! result alone.

use std::collections::BTreeMap;

use nalgebra::Vector3;
use proptest::prelude::*;
use serde_json::Value;

use super::answers::{largest_move_mm, optional_entries};
use super::frames::{Frame, frame};
use super::geometry::{
    Stretch, foot_on_segment, nodes_of_member, place_of, places_of_member, stretch_at, stretches_of_member,
};
use super::{Law, cases, in_case};
use crate::support::values::{entries, list, number, vector, word};

/// Standard gravity, 3rd CGPM (1901), m/s².
pub(super) const GRAVITY_M_S2: f64 = 9.80665;
/// A bracket's foot within so much of a tube's end or of an inner node is taken as that, mm.
const AT_AN_END_MM: f64 = 2.0;
/// Places nearer than this are the same, mm.
const SAME_MM: f64 = 0.02;

/// Forces (N) and moments (N·mm) on one thing, about a point.
#[derive(Debug, Clone)]
pub(super) struct Sum {
    about: Vector3<f64>,
    force: Vector3<f64>,
    moment: Vector3<f64>,
    /// Largest force, and largest moment, that was added.
    largest: [f64; 2],
}

impl Sum {
    pub(super) fn about(about: Vector3<f64>) -> Sum {
        Sum { about, force: Vector3::zeros(), moment: Vector3::zeros(), largest: [0.0; 2] }
    }

    pub(super) fn add(&mut self, at: &Vector3<f64>, force: Vector3<f64>, moment: Vector3<f64>) {
        let moment = moment + (at - self.about).cross(&force);
        self.force += force;
        self.moment += moment;
        self.largest = [self.largest[0].max(force.norm()), self.largest[1].max(moment.norm())];
    }

    /// Whether it is nothing, within a part of the largest force and moment, its own parts too.
    pub(super) fn is_nothing(&self, what: &str, part: f64, largest: &Largest) -> Result<(), String> {
        let force_n = self.largest[0].max(largest.force_n);
        let moment_nmm = self.largest[1].max(largest.moment_nmm);
        self.is_small(what, part, &Largest { force_n, moment_nmm })
    }

    /// The same without the moment about z.
    pub(super) fn without_yaw(mut self) -> Sum {
        self.moment.z = 0.0;
        self
    }

    /// Whether its force is nothing, whatever its moment.
    pub(super) fn has_no_force(mut self, what: &str, part: f64, largest: &Largest) -> Result<(), String> {
        self.moment = Vector3::zeros();
        self.is_nothing(what, part, largest)
    }

    /// Whether it is nothing, within a part of the largest force and moment in the tubes.
    pub(super) fn is_small(&self, what: &str, part: f64, largest: &Largest) -> Result<(), String> {
        let Largest { force_n, moment_nmm } = largest;
        let off = [self.force.norm() / force_n, self.moment.norm() / moment_nmm];
        if off.iter().all(|off| *off <= part) {
            return Ok(());
        }
        Err(format!(
            "{what} is out of balance by {} N and {} N·mm: {off:?} of the largest, allowed {part:e}",
            self.force, self.moment
        ))
    }
}

/// The largest force and moment in the tubes of a case.
#[derive(Debug)]
pub(super) struct Largest {
    pub(super) force_n: f64,
    pub(super) moment_nmm: f64,
}

impl Largest {
    /// No less than what round-off is told from: 1 N and 1 N·m for each mm that nodes move.
    pub(super) fn of(case: &Value) -> Largest {
        let floor = largest_move_mm(case).max(1.0);
        let mut largest = Largest { force_n: floor, moment_nmm: 1000.0 * floor };
        for station in entries(&case["members"]).values().flat_map(|member| list(&member["along"])) {
            let [force, moment] = internal(station);
            largest.force_n = largest.force_n.max(force.amax());
            largest.moment_nmm = largest.moment_nmm.max(moment.amax());
        }
        largest
    }
}

/// Force (N) and moment (N·mm) on the face whose outward normal is +x, local axes.
pub(super) fn internal(station: &Value) -> [Vector3<f64>; 2] {
    let three = |keys: [&str; 3]| Vector3::from(keys.map(|key| number(&station[key])));
    [three(["n", "vy", "vz"]), three(["t", "my", "mz"]) * 1000.0]
}

/// What a tube's end does to what it ends at: `sign` is 1 at the first end, −1 at the last.
pub(super) fn of_tube(station: &Value, stretch: &Stretch, sign: f64) -> [Vector3<f64>; 2] {
    internal(station).map(|local| stretch.axes.transpose() * local * sign)
}

/// How accurate a case has to add up: round-off, and what the tool says of its own error.
pub(super) fn part(case: &Value) -> f64 {
    1e-9 + number(&case["accuracy"]["error"])
}

/// The factor on a case's loads.
pub(super) fn factor(case: &Value) -> f64 {
    case.get("factor").map_or(1.0, number)
}

/// What each kg is loaded with in a case, N.
pub(super) fn pull_per_kg(case: &Value) -> Vector3<f64> {
    let Some(g) = case.get("g") else { return Vector3::zeros() };
    let part = |key: &str, default: f64| g.get(key).map_or(default, number);
    Vector3::new(part("long", 0.0), part("lat", 0.0), part("vert", 1.0)) * (-GRAVITY_M_S2 * factor(case))
}

/// Names that are rigidly one thing, each under the name of one of them.
#[derive(Debug, Default)]
struct Joined(BTreeMap<String, String>);

impl Joined {
    fn head<'n>(&'n self, name: &'n str) -> &'n str {
        let mut name = name;
        while let Some(next) = self.0.get(name) {
            name = next;
        }
        name
    }

    fn join(&mut self, one: &str, other: &str) {
        let (one, other) = (self.head(one).to_owned(), self.head(other).to_owned());
        if one != other {
            self.0.insert(other, one);
        }
    }
}

/// The names in a bracket's `on`.
fn feet(bracket: &Value) -> Vec<&str> {
    match &bracket["on"] {
        Value::Array(names) => names.iter().map(word).collect(),
        name => vec![word(name)],
    }
}

/// Nodes and brackets along a member: distance from its first end, and the name.
fn held_along(model: &Value, name: &str, member: &Value) -> Vec<(f64, String)> {
    let points = places_of_member(model, member);
    let mut ends = vec![0.0];
    ends.extend(points.windows(2).scan(0.0, |sum, pair| {
        *sum += (pair[1] - pair[0]).norm();
        Some(*sum)
    }));
    let mut held: Vec<(f64, String)> = ends.iter().copied().zip(nodes_of_member(member)).collect();
    for (bracket, _) in optional_entries(&model["brackets"]).filter(|(_, drawn)| feet(drawn).contains(&name)) {
        let at = place_of(model, bracket);
        let mut nearest = (f64::INFINITY, 0.0);
        for (pair, start) in points.windows(2).zip(&ends) {
            let along = foot_on_segment(&at, &pair[0], &pair[1]);
            let distance = (pair[0].lerp(&pair[1], along) - at).norm();
            if distance < nearest.0 - 1e-9 {
                nearest = (distance, start + along * (pair[1] - pair[0]).norm());
            }
        }
        let end = ends.iter().copied().find(|end| (end - nearest.1).abs() <= AT_AN_END_MM);
        held.push((end.unwrap_or(nearest.1), bracket.clone()));
    }
    held
}

/// Whether a bracket is taken to be at an end of a tube whose joints are not all welds.
pub(super) fn has_a_bracket_at_a_joint(model: &Value) -> bool {
    entries(&model["members"]).iter().filter(|(_, member)| member.get("joint").is_some()).any(|(name, member)| {
        let held = held_along(model, name, member);
        let n_nodes = nodes_of_member(member).len();
        let ends = [held[0].0, held[n_nodes - 1].0];
        held[n_nodes..].iter().any(|(at, _)| ends.iter().any(|end| (end - at).abs() < SAME_MM))
    })
}

/// What is at one place of a tube is one thing, so is a node and the brackets on it.
fn joined(model: &Value) -> Joined {
    let mut joined = Joined::default();
    for (bracket, drawn) in optional_entries(&model["brackets"]) {
        for name in feet(drawn).into_iter().filter(|name| model["nodes"].get(name).is_some()) {
            joined.join(name, bracket);
        }
    }
    for (name, member) in entries(&model["members"]) {
        let held = held_along(model, name, member);
        for (at, one) in &held {
            held.iter()
                .filter(|(other, _)| (other - at).abs() < SAME_MM)
                .for_each(|(_, other)| joined.join(one, other));
        }
    }
    joined
}

/// Nodes with which nothing else is rigid.
pub(super) fn lone_nodes(model: &Value) -> Vec<String> {
    let joined = joined(model);
    let others = |node: &str| {
        let names = ["nodes", "brackets"].into_iter().flat_map(|section| optional_entries(&model[section]));
        names.filter(|(name, _)| *name != node && joined.head(name) == joined.head(node)).count()
    };
    entries(&model["nodes"]).keys().filter(|node| others(node) == 0).cloned().collect()
}

/// Nodes that are part of a body.
fn riding(model: &Value) -> Vec<&String> {
    let mounts = optional_entries(&model["bodies"]).flat_map(|(_, body)| entries(&body["mounts"]));
    mounts.filter(|(_, how)| *how == "rides").map(|(node, _)| node).collect()
}

/// The given forces and moments (N, N·mm) of a case, by what they act on.
fn given<'m>(model: &Value, case: &'m Value) -> Vec<(&'m str, [Vector3<f64>; 2])> {
    let mut all = Vec::new();
    for (name, force) in optional_entries(&case["forces"]) {
        all.push((name.as_str(), [vector(force) * factor(case), Vector3::zeros()]));
    }
    for (name, moment) in optional_entries(&case["moments"]) {
        all.push((name.as_str(), [Vector3::zeros(), vector(moment) * (1000.0 * factor(case))]));
    }
    if let Some(twist) = case.get("twist") {
        let [first, second] = [0, 1].map(|end: usize| word(&twist["axle"][end]));
        let distance = (place_of(model, first).y - place_of(model, second).y).abs();
        let force = number(&twist["moment"]) * 1000.0 / distance * factor(case);
        all.push((first, [Vector3::z() * force, Vector3::zeros()]));
        all.push((second, [Vector3::z() * -force, Vector3::zeros()]));
    }
    all
}

fn wrench(value: &Value) -> [Vector3<f64>; 2] {
    [vector(&value["force"]), vector(&value["moment"]) * 1000.0]
}

/// Everything that acts on each node with what is rigid with it, joints of its tubes included.
fn on_nodes(model: &Value, case: &Value, loads: &Value) -> Result<BTreeMap<String, Sum>, String> {
    let joined = joined(model);
    let riding = riding(model);
    let mut sums: BTreeMap<String, Sum> = BTreeMap::new();
    let mut add = |name: &str, at: &Vector3<f64>, [force, moment]: [Vector3<f64>; 2]| {
        if !riding.iter().any(|node| *node == name) {
            let head = joined.head(name);
            let sum = sums.entry(head.to_owned()).or_insert_with(|| Sum::about(place_of(model, head)));
            sum.add(at, force, moment);
        }
    };
    for (name, member) in entries(&model["members"]) {
        let held = held_along(model, name, member);
        let stretches = stretches_of_member(model, member);
        for piece in list(&case["members"][name]["along"]).chunks(3) {
            let stretch = stretch_at(&stretches, number(&piece[1]["at"]));
            for (station, sign) in [(&piece[0], 1.0), (&piece[2], -1.0)] {
                let along = number(&station["at"]);
                let holder = held.iter().find(|(at, _)| (at - along).abs() < SAME_MM);
                let (_, holder) = holder.ok_or_else(|| format!("nothing holds {name} at {along} mm: {held:?}"))?;
                add(holder, &stretch.point(along), of_tube(station, stretch, sign));
            }
        }
    }
    let places = |name: &str| place_of(model, name);
    for (name, load) in given(model, loads) {
        if model["bodies"].get(name).is_none() {
            add(name, &places(name), load);
        }
    }
    let in_bodies = optional_entries(&case["bodies"]).flat_map(|(_, body)| optional_entries(&body["mounts"]));
    for (name, held) in optional_entries(&case["mounts"]).chain(in_bodies).chain(optional_entries(&case["pickups"])) {
        add(name, &places(name), wrench(held));
    }
    Ok(sums)
}

/// Every node of the frame, with what is rigid with it, is in equilibrium.
pub(super) fn nodes_balance(model: &Value, case: &Value, loads: &Value) -> Result<(), String> {
    let largest = Largest::of(case);
    for (name, sum) in on_nodes(model, case, loads)? {
        sum.is_nothing(&name, part(case), &largest)?;
    }
    Ok(())
}

/// Every body is: its weight, its loads and those on what rides on it, against its mounts.
pub(super) fn bodies_balance(model: &Value, case: &Value, loads: &Value) -> Result<(), String> {
    let largest = Largest::of(case);
    for (name, body) in optional_entries(&model["bodies"]) {
        let cg = vector(&body["cg"]);
        let mut sum = Sum::about(cg);
        sum.add(&cg, pull_per_kg(loads) * number(&body["mass"]), Vector3::zeros());
        let rides = |node: &str| body["mounts"].get(node).is_some_and(|how| how == "rides");
        for (target, [force, moment]) in given(model, loads) {
            if target == name {
                sum.add(&cg, force, moment);
            } else if rides(target) {
                sum.add(&place_of(model, target), force, moment);
            }
        }
        for (node, load) in optional_entries(&case["pickups"]).filter(|(node, _)| rides(node)) {
            let [force, moment] = wrench(load);
            sum.add(&place_of(model, node), force, moment);
        }
        for (node, load) in optional_entries(&case["bodies"][name]["mounts"]).filter(|(node, _)| !rides(node)) {
            let [force, moment] = wrench(load);
            sum.add(&place_of(model, node), -force, -moment);
        }
        sum.is_nothing(name, part(case), &largest)?;
    }
    Ok(())
}

/// The ground carries all that acts on the frame and its bodies.
fn the_whole_balances(model: &Value, result: &Value, name: &str) -> Result<(), String> {
    let (case, loads) = (&result["cases"][name], &model["cases"][name]);
    let mut sum = Sum::about(vector(&result["mass"]["cg"]));
    let pull = pull_per_kg(loads);
    sum.add(&vector(&result["mass"]["cg"]), pull * number(&result["mass"]["frame"]), Vector3::zeros());
    for (_, body) in optional_entries(&model["bodies"]) {
        sum.add(&vector(&body["cg"]), pull * number(&body["mass"]), Vector3::zeros());
    }
    for (target, [force, moment]) in given(model, loads) {
        let at = model["bodies"].get(target).map_or_else(|| place_of(model, target), |body| vector(&body["cg"]));
        sum.add(&at, force, moment);
    }
    for (member, load) in optional_entries(&loads["line_loads"]) {
        for stretch in stretches_of_member(model, &model["members"][member]) {
            let (middle, length_mm) = (stretch.start_mm + stretch.length_mm / 2.0, stretch.length_mm);
            sum.add(&stretch.point(middle), vector(load) * (length_mm * factor(loads)), Vector3::zeros());
        }
    }
    for (node, held) in optional_entries(&case["mounts"]) {
        let [force, moment] = wrench(held);
        sum.add(&place_of(model, node), force, moment);
    }
    sum.is_nothing("the whole frame", part(case), &Largest::of(case))
}

fn all_is_in_equilibrium(frame: &Frame) -> Law {
    let result = frame.solved_or_passed_over()?;
    for name in frame.cases() {
        let (case, loads) = (&result["cases"][&name], &frame.0["cases"][&name]);
        in_case(&name, nodes_balance(&frame.0, case, loads))?;
        in_case(&name, bodies_balance(&frame.0, case, loads))?;
        in_case(&name, the_whole_balances(&frame.0, &result, &name))?;
    }
    Ok(())
}

proptest! {
    #![proptest_config(cases(96))]

    #[test]
    fn every_node_every_body_and_the_whole_frame_are_in_equilibrium(frame in frame()) {
        all_is_in_equilibrium(&frame)?;
    }
}
