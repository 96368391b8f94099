//! The answer to one case as a list of quantities that can be turned, mirrored, added and compared.

use std::collections::BTreeMap;

use nalgebra::{Matrix3, Vector3};
use serde_json::Value;

use crate::support::values::number;

/// Relative tolerance of all laws: round-off of a few hundred operations on 16 digits, times what
/// differences of large moves lose in a frame of soft and stiff parts. What the tool itself says of
/// the error of the two cases (`accuracy.error`) is added.
const TOLERANCE: f64 = 1e-9;

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
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    Move,
    Turn,
    Force,
    Moment,
    Stress,
    Place,
    Utilisation(String),
}

impl Kind {
    /// The least that counts as the largest: mm, degrees, N, N·m, MPa, mm, 1.
    fn floor(&self) -> f64 {
        match self {
            Kind::Move | Kind::Turn => 1e-3,
            Kind::Force | Kind::Moment | Kind::Stress | Kind::Place => 1.0,
            Kind::Utilisation(_) => 1e-2,
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
}

impl Answer {
    /// The answer to a case of a result.
    pub(super) fn of(result: &Value, case: &str) -> Answer {
        Answer::renamed(result, case, str::to_owned)
    }

    /// The same, with nodes, bodies, wheels and members under other names.
    pub(super) fn renamed(result: &Value, case: &str, name: impl Fn(&str) -> String) -> Answer {
        let value = &result["cases"][case];
        let mut collector = Collector { quantities: BTreeMap::new(), name: &name };
        collector.nodes(value);
        collector.wheels(value);
        collector.members(value);
        if let Some(twist) = result["twist"].get(case) {
            collector.put("twist.angle", Kind::Turn, Nature::Same, true, &[number(&twist["angle"])]);
        }
        Answer { quantities: collector.quantities, error: number(&value["accuracy"]["error"]) }
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
    /// A utilisation that is not there is one of 0: there is no column where nothing pushes.
    pub(super) fn check(&self, other: &Answer) -> Result<(), String> {
        let linear_only = |answer: &Answer| answer.quantities.values().all(|quantity| quantity.linear);
        let skip_others = linear_only(self) || linear_only(other);
        let mut largest: BTreeMap<Kind, f64> = BTreeMap::new();
        for quantity in self.quantities.values().chain(other.quantities.values()) {
            let size = quantity.values.iter().fold(quantity.kind.floor(), |most, value| most.max(value.abs()));
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
            let nothing = vec![0.0; known.values.len()];
            let may_be_missing = matches!(known.kind, Kind::Utilisation(_));
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
                if !((one - two).abs() <= tolerance * scale) {
                    return Err(format!(
                        "{name}: {one} and {two}, apart by {:e} of the largest of its kind, {scale}; allowed {tolerance:e}",
                        (one - two).abs() / scale
                    ));
                }
            }
        }
        Ok(())
    }
}

/// The entries of an object; none where its key is not there.
fn optional_entries(value: &Value) -> impl Iterator<Item = (&String, &Value)> {
    value.as_object().into_iter().flatten()
}

struct Collector<'n> {
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
                let kind = Kind::Utilisation(check.clone());
                self.put(&format!("{name}.utilisation.{check}"), kind, Nature::Same, false, &[number(utilisation)]);
            }
        }
    }
}
