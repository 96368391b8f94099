//! The answer to one case as a list of quantities that can be turned, mirrored, added and compared.

use std::collections::BTreeMap;

use nalgebra::{Matrix3, Vector3};
use serde_json::Value;

use super::equilibrium::{Largest, internal};
use crate::support::values::{entries, list, number};

/// Relative tolerance of all laws: round-off of a few hundred operations on 16 digits, times what
/// differences of large moves lose in a frame of soft and stiff parts. What the tool itself says of
/// the error of the two cases (`accuracy.error`) is added.
const TOLERANCE: f64 = 1e-9;

/// Relative tolerance of what hangs on a load factor, in both answers: 0.1 % is aimed at, whatever the cut
/// that it is found on.
const OF_MODES: f64 = 4e-3;

/// How a quantity answers a turn or a mirror.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Nature {
    /// A shift or a force: turns along.
    Polar,
    /// A turn or a moment: turns along, and keeps its sense where a shift changes it in a mirror.
    Axial,
    /// In local axes or without direction, and the same in a mirror.
    Same,
    /// In local axes, and the opposite in a mirror.
    Opposite,
}

/// What can be compared with what, and how small its largest value may be before it counts as so
/// large: a frame that moves by less than a micrometre everywhere has nothing but round-off in it.
///
/// A frame that is carried along has forces that are differences of far larger ones: an end that
/// moved alone would make 100 N, 100 N·m and 100 MPa for each mm and more (E/L is 65 MPa/mm for a metre
/// of the softest tube drawn, 2600 for a piece of 80 mm of steel). The error of a case is relative to
/// those.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    Move,
    Turn,
    Force,
    Moment,
    Stress,
    Place,
    Utilisation(String),
    /// Of a column whose critical push is that of the frame, and of a check that adds what such a column takes.
    FrameColumn(String),
    /// What follows from a factor that is told as "at least": how far the search for it came is no matter of mechanics.
    Bound,
}

impl Kind {
    /// The least that counts as the largest where nodes move by up to so many mm: mm, degrees, N,
    /// N·m, MPa, mm, 1.
    fn floor(&self, moved_mm: f64) -> f64 {
        match self {
            Kind::Move | Kind::Turn => 1e-3,
            Kind::Force | Kind::Moment | Kind::Stress => (100.0 * moved_mm).max(1.0),
            Kind::Place => 1.0,
            Kind::Utilisation(check) if check == "wall" => 1e-2,
            Kind::Utilisation(_) | Kind::FrameColumn(_) | Kind::Bound => 1e-2 * moved_mm.max(1.0),
        }
    }
}

#[derive(Debug, Clone)]
struct Quantity {
    kind: Kind,
    nature: Nature,
    /// Whether it is proportional to the loads.
    linear: bool,
    values: Vec<f64>,
}

/// All quantities of a case, by the way to them in the result.
#[derive(Debug, Clone)]
pub(super) struct Answer {
    quantities: BTreeMap<String, Quantity>,
    /// What the tool says of its own accuracy.
    error: f64,
    /// Largest move of a node along an axis, mm.
    moved_mm: f64,
    /// What each member carries, see [`carried`].
    carried: BTreeMap<String, [f64; 3]>,
    /// See [`next_to_nothing`].
    nothing: [f64; 2],
}

impl Answer {
    /// The answer to a case of a result.
    pub(super) fn of(result: &Value, case: &str) -> Answer {
        Answer::renamed(result, case, str::to_owned)
    }

    /// The same, with nodes, bodies, wheels and members under other names.
    pub(super) fn renamed(result: &Value, case: &str, name: impl Fn(&str) -> String) -> Answer {
        let value = &result["cases"][case];
        let buckles = !list(&result["buckling"][case]).is_empty();
        let mut collector = Collector { quantities: BTreeMap::new(), name: &name, buckles };
        collector.nodes(value);
        collector.wheels(value);
        collector.members(value);
        if let Some(twist) = result["twist"].get(case) {
            collector.put("twist.angle", Kind::Turn, Nature::Same, true, &[number(&twist["angle"])]);
        }
        let carried = entries(&value["members"])
            .iter()
            .map(|(member, drawn)| (format!("members.{}", name(member)), carried(drawn)))
            .collect();
        Answer {
            quantities: collector.quantities,
            error: number(&value["accuracy"]["error"]),
            moved_mm: largest_move_mm(value),
            carried,
            nothing: next_to_nothing(value),
        }
    }

    /// Turned (or mirrored) by an orthogonal matrix.
    pub(super) fn turned(mut self, by: &Matrix3<f64>) -> Answer {
        let mirror = by.determinant().signum();
        for quantity in self.quantities.values_mut() {
            let sign = match quantity.nature {
                Nature::Polar | Nature::Same => 1.0,
                Nature::Axial | Nature::Opposite => mirror,
            };
            if matches!(quantity.nature, Nature::Polar | Nature::Axial) {
                let turned = by * Vector3::from_column_slice(&quantity.values);
                quantity.values = turned.as_slice().to_vec();
            }
            for value in &mut quantity.values {
                *value *= sign;
            }
        }
        self
    }

    /// What is proportional to the loads, so many times.
    pub(super) fn times(mut self, factor: f64) -> Answer {
        self.quantities.retain(|_, quantity| quantity.linear);
        for value in self.quantities.values_mut().flat_map(|quantity| &mut quantity.values) {
            *value *= factor;
        }
        self.moved_mm *= factor.abs();
        self
    }

    /// What is proportional to the loads, of both together.
    pub(super) fn plus(mut self, other: &Answer) -> Answer {
        self.quantities.retain(|_, quantity| quantity.linear);
        for (name, quantity) in &mut self.quantities {
            let more = other.quantities.get(name).map_or(&[][..], |more| &more.values);
            assert_eq!(more.len(), quantity.values.len(), "{name} is missing in one of two cases");
            for (value, more) in quantity.values.iter_mut().zip(more) {
                *value += more;
            }
        }
        self.error = self.error.max(other.error);
        self.moved_mm = self.moved_mm.max(other.moved_mm);
        self
    }

    /// Whether the member of a utilisation is loaded so little that it may be judged or not: not
    /// pushed as a column, for its wall not bent either, and for giving way sideways not bent about both axes.
    fn carries_next_to_nothing(&self, other: &Answer, utilisation: &str) -> bool {
        let Some((member, check)) = utilisation.split_once(".utilisation.") else { return false };
        let counts: &[usize] = match check {
            "column" => &[0],
            "lateral" => &[2],
            _ => &[0, 1],
        };
        counts.iter().all(|kind| {
            let carried = |answer: &Answer| answer.carried.get(member).map_or(0.0, |carried| carried[*kind]);
            let least = (*kind).min(1);
            carried(self).max(carried(other)) <= self.nothing[least] + other.nothing[least]
        })
    }

    /// Tubes that carry no more than so much (N, N·mm) may be judged or not as well.
    pub(super) fn with_nothing(mut self, nothing: [f64; 2]) -> Answer {
        self.nothing = [0, 1].map(|kind: usize| self.nothing[kind].max(nothing[kind]));
        self
    }

    /// Only the quantities whose names pass.
    pub(super) fn only(mut self, wanted: impl Fn(&str) -> bool) -> Answer {
        self.quantities.retain(|name, _| wanted(name));
        self
    }

    /// The first difference from another answer that is more than the tolerance of its kind; what
    /// is only proportional to loads on one side is compared on both.
    ///
    /// A utilisation that is not there is one of 0: there is no column where nothing pushes. Whether
    /// a tube that carries next to nothing is judged at all may differ.
    pub(super) fn check(&self, other: &Answer) -> Result<(), String> {
        let linear_only = |answer: &Answer| answer.quantities.values().all(|quantity| quantity.linear);
        let skip_others = linear_only(self) || linear_only(other);
        let mut largest: BTreeMap<Kind, f64> = BTreeMap::new();
        let moved_mm = self.moved_mm.max(other.moved_mm);
        for quantity in self.quantities.values().chain(other.quantities.values()) {
            let size = quantity.values.iter().fold(quantity.kind.floor(moved_mm), |most, value| most.max(value.abs()));
            let known = largest.entry(quantity.kind.clone()).or_insert(0.0);
            *known = known.max(size);
        }
        let tolerance = TOLERANCE + self.error + other.error;
        let names: std::collections::BTreeSet<&String> =
            self.quantities.keys().chain(other.quantities.keys()).collect();
        for name in names {
            let (one, two) = (self.quantities.get(name), other.quantities.get(name));
            let Some(known) = one.or(two) else { continue };
            if skip_others && !known.linear {
                continue;
            }
            if [one, two].into_iter().flatten().any(|quantity| quantity.kind == Kind::Bound) {
                continue;
            }
            // Only a utilisation can be missing in one of both.
            if one.is_some() != two.is_some() && self.carries_next_to_nothing(other, name) {
                continue;
            }
            let nothing = vec![0.0; known.values.len()];
            let of_frame =
                [one, two].into_iter().flatten().any(|quantity| matches!(quantity.kind, Kind::FrameColumn(_)));
            let tolerance = if of_frame { tolerance + OF_MODES } else { tolerance };
            let may_be_missing = matches!(known.kind, Kind::Utilisation(_) | Kind::FrameColumn(_));
            let values = |quantity: Option<&Quantity>| match quantity {
                Some(quantity) => Some(quantity.values.clone()),
                None if may_be_missing => Some(nothing.clone()),
                None => None,
            };
            let (Some(one), Some(two)) = (values(one), values(two)) else {
                return Err(format!("{name} is there in one answer only"));
            };
            let scale = largest[&known.kind];
            for (one, two) in one.iter().zip(&two) {
                let apart = (one - two).abs();
                if apart.is_nan() || apart > tolerance * scale {
                    return Err(format!(
                        "{name}: {one} and {two}, apart by {:e} of the largest of its kind, {scale}; allowed {tolerance:e}",
                        apart / scale
                    ));
                }
            }
        }
        Ok(())
    }
}

/// What a member carries that it is judged for: push (N), the larger and the lesser of the bending moments about its axes (N·mm).
pub(super) fn carried(member: &Value) -> [f64; 3] {
    let [push, about_y, about_z] =
        list(&member["along"]).iter().map(internal).fold([0.0_f64; 3], |most, [force, moment]| {
            [most[0].max(-force.x), most[1].max(moment.y.abs()), most[2].max(moment.z.abs())]
        });
    [push, about_y.max(about_z), about_y.min(about_z)]
}

/// Push (N) and bending moment (N·mm) under which a tube may be judged in one answer and not in
/// another: ten times what the tool says of the error of the case, and a thousand times the 1e-9
/// within which it counts values as equal, of the largest; and for the round-off of movements, which
/// is not in the result, 0.001 N and 1 N·mm for each mm moved: a million roundings of 4.5e6 N/mm, which
/// 500 mm² of steel are in a piece of 23 mm.
pub(super) fn next_to_nothing(case: &Value) -> [f64; 2] {
    let largest = Largest::of(case);
    let part = 1e-6 + 10.0 * number(&case["accuracy"]["error"]);
    let moved_mm = largest_move_mm(case);
    [part * largest.force_n + 1e-3 * moved_mm, part * largest.moment_nmm + moved_mm]
}

/// The largest move of a node along an axis in a case, mm.
pub(super) fn largest_move_mm(case: &Value) -> f64 {
    let moves = entries(&case["nodes"]).values().flat_map(|node| list(&node["move"]));
    moves.fold(0.0, |most, value| most.max(number(value).abs()))
}

/// The entries of an object; none where its key is not there.
pub(super) fn optional_entries(value: &Value) -> impl Iterator<Item = (&String, &Value)> {
    value.as_object().into_iter().flatten()
}

struct Collector<'n> {
    /// Whether columns hang on how the frame buckles.
    buckles: bool,
    quantities: BTreeMap<String, Quantity>,
    name: &'n dyn Fn(&str) -> String,
}

impl Collector<'_> {
    fn put(&mut self, name: &str, kind: Kind, nature: Nature, linear: bool, values: &[f64]) {
        self.quantities.insert(name.to_owned(), Quantity { kind, nature, linear, values: values.to_vec() });
    }

    fn vector(&mut self, name: &str, value: &Value, kind: Kind, nature: Nature) {
        let values: Vec<f64> = value.as_array().into_iter().flatten().map(number).collect();
        self.put(name, kind, nature, true, &values);
    }

    fn wrench(&mut self, name: &str, value: &Value) {
        self.vector(&format!("{name}.force"), &value["force"], Kind::Force, Nature::Polar);
        self.vector(&format!("{name}.moment"), &value["moment"], Kind::Moment, Nature::Axial);
    }

    fn moved(&mut self, name: &str, value: &Value) {
        self.vector(&format!("{name}.move"), &value["move"], Kind::Move, Nature::Polar);
        self.vector(&format!("{name}.turn"), &value["turn"], Kind::Turn, Nature::Axial);
    }

    fn nodes(&mut self, case: &Value) {
        for (node, moved) in optional_entries(&case["nodes"]) {
            self.moved(&format!("nodes.{}", (self.name)(node)), moved);
        }
        for (node, load) in optional_entries(&case["mounts"]) {
            self.wrench(&format!("mounts.{}", (self.name)(node)), load);
        }
        for (body, value) in optional_entries(&case["bodies"]) {
            let name = format!("bodies.{}", (self.name)(body));
            self.moved(&name, value);
            for (node, load) in optional_entries(&value["mounts"]) {
                self.wrench(&format!("{name}.{}", (self.name)(node)), load);
            }
        }
        for (node, pickup) in optional_entries(&case["pickups"]) {
            let name = format!("pickups.{}", (self.name)(node));
            self.wrench(&name, pickup);
            self.put(&format!("{name}.change"), Kind::Move, Nature::Same, false, &[number(&pickup["change"])]);
        }
        for (axle, links) in optional_entries(&case["anti_roll"]) {
            for side in ["left", "right"] {
                let other = (self.name)(if side == "left" { "bar.l" } else { "bar.r" });
                self.put(
                    &format!("anti_roll.{axle}.{other}"),
                    Kind::Force,
                    Nature::Same,
                    true,
                    &[number(&links[side])],
                );
            }
        }
    }

    fn wheels(&mut self, case: &Value) {
        for (wheel, value) in optional_entries(&case["wheels"]) {
            let name = format!("wheels.{}", (self.name)(wheel));
            self.wrench(&name, value);
            if value.get("move").is_none() {
                continue;
            }
            self.vector(&format!("{name}.move"), &value["move"], Kind::Move, Nature::Polar);
            for angle in ["toe", "camber", "caster"] {
                self.put(&format!("{name}.{angle}"), Kind::Turn, Nature::Same, true, &[number(&value[angle])]);
                let change = number(&value["change"][angle]);
                self.put(&format!("{name}.change.{angle}"), Kind::Turn, Nature::Same, false, &[change]);
            }
        }
    }

    fn members(&mut self, case: &Value) {
        for (member, value) in optional_entries(&case["members"]) {
            let name = format!("members.{}", (self.name)(member));
            for (at, station) in value["along"].as_array().into_iter().flatten().enumerate() {
                self.put(&format!("{name}.along.{at}.at"), Kind::Place, Nature::Same, false, &[number(&station["at"])]);
                for (key, kind, nature) in [
                    ("n", Kind::Force, Nature::Same),
                    ("vy", Kind::Force, Nature::Opposite),
                    ("vz", Kind::Force, Nature::Same),
                    ("t", Kind::Moment, Nature::Opposite),
                    ("my", Kind::Moment, Nature::Same),
                    ("mz", Kind::Moment, Nature::Opposite),
                ] {
                    self.put(&format!("{name}.along.{at}.{key}"), kind, nature, true, &[number(&station[key])]);
                }
            }
            if let Some(peak) = value.get("peak") {
                let stress = number(&peak["von_mises"]);
                self.put(&format!("{name}.peak"), Kind::Stress, Nature::Same, false, &[stress]);
            }
            for (check, utilisation) in optional_entries(&value["utilisation"]) {
                // A flat that gives way sideways adds what its column takes, and may do so with the frame.
                let sideways = check == "lateral" && value["working"]["lateral"].get("factor").is_some();
                let of_frame = sideways || (matches!(check.as_str(), "column" | "lateral") && self.buckles);
                let told = &value["working"]["lateral"];
                let is_bound =
                    check == "lateral" && told.get("factor_at_least").is_some() && number(&told["chi"]) < 1.0;
                let kind = match () {
                    () if is_bound => Kind::Bound,
                    () if of_frame => Kind::FrameColumn(check.clone()),
                    () => Kind::Utilisation(check.clone()),
                };
                self.put(&format!("{name}.utilisation.{check}"), kind, Nature::Same, false, &[number(utilisation)]);
            }
        }
    }
}
