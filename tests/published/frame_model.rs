//! From the format of `tests/reference/frames/` to a model file.
//!
//! The cases stand in the units of their sources. They are linear, so that a model in mm, N, N·m
//! and MPa gives the same answers scaled back ([`Units`]). Nodes and members may share a name
//! there and not in a model, hence [`node`] and [`member`]. What this does not understand panics:
//! no part of a case is left out.

use nalgebra::{Point3, Rotation3, Unit, Vector3};
use serde_json::{Map, Value, json};

use crate::support::values::{list, number, three, word};

/// A case of a frame file as a model is made of it.
pub(crate) struct Frame<'c> {
    model: &'c Value,
    units: Units,
    /// Whether sections are drawn as the round tubes that they are, for the stress in them.
    round: bool,
}

/// One unit of length and of force of a case.
#[derive(Debug, Clone, Copy)]
struct Units {
    length_mm: f64,
    force_n: f64,
}

impl Units {
    fn of(case: &Value) -> Units {
        let word =
            |key: &str| case["units"][key].as_str().unwrap_or_else(|| panic!("{}: no unit of {key}", case["id"]));
        let length_mm = match word("length") {
            "mm" => 1.0,
            "m" => 1000.0,
            "in" => 25.4,
            other => panic!("unit of length {other}"),
        };
        let force_n = match word("force") {
            "N" => 1.0,
            "kN" => 1000.0,
            // 0.45359237 kg × 9.80665 m/s²
            "lbf" => 4.448_221_615_260_5,
            "kip" => 4_448.221_615_260_5,
            other => panic!("unit of force {other}"),
        };
        let consistent =
            [("mm", "N", "MPa"), ("m", "N", "Pa"), ("m", "kN", "kPa"), ("in", "lbf", "psi"), ("in", "kip", "ksi")];
        assert!(consistent.contains(&(word("length"), word("force"), word("stress"))), "{}", case["units"]);
        Units { length_mm, force_n }
    }

    /// One unit of moment, N·mm.
    fn moment_nmm(self) -> f64 {
        self.force_n * self.length_mm
    }

    /// One unit of stress, MPa.
    fn stress_mpa(self) -> f64 {
        self.force_n / self.length_mm.powi(2)
    }
}

/// Name of a node in the model.
fn node(name: &str) -> String {
    format!("node {name}")
}

/// Name of a member in the model.
fn member(name: &str) -> String {
    format!("member {name}")
}

/// Places and weights of Gauss's rule between two places: exact to the fifth power.
fn gauss(from: f64, to: f64) -> [(f64, f64); 3] {
    let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
    let out = half * 0.6_f64.sqrt();
    [(middle - out, half * 5.0 / 9.0), (middle, half * 8.0 / 9.0), (middle + out, half * 5.0 / 9.0)]
}

const MOTIONS: [&str; 6] = ["ux", "uy", "uz", "rx", "ry", "rz"];

/// The key of the model file for a direction of a case.
fn motion(direction: &str) -> &str {
    assert!(MOTIONS.contains(&direction), "direction {direction}");
    direction.strip_prefix('u').unwrap_or(direction)
}

/// Refuses keys that would otherwise be left out silently.
#[track_caller]
fn only(object: &Value, known: &[&str]) {
    for key in object.as_object().unwrap_or(&Map::new()).keys() {
        assert!(known.contains(&key.as_str()), "key \"{key}\" of a case is not understood");
    }
}

/// Three numbers of a list, from the given place on; missing ones are 0.
fn from_place(list: &Value, from: usize) -> Vector3<f64> {
    Vector3::from_fn(|row, _| list.get(from + row).map_or(0.0, number))
}

fn entries(object: &Value) -> impl Iterator<Item = (&String, &Value)> {
    object.as_object().into_iter().flatten()
}

/// Points on members that carry a load or are looked at: brackets of the model, on the axis.
struct Brackets<'f, 'c> {
    frame: &'f Frame<'c>,
    places: Vec<(String, f64)>,
    json: Map<String, Value>,
}

impl Brackets<'_, '_> {
    /// The bracket on a member at so far from its first end.
    fn at(&mut self, name: &str, at_mm: f64) -> String {
        let known = self.places.iter().find(|(on, place)| on == name && (place - at_mm).abs() < 1e-6);
        let at_mm = known.map_or(at_mm, |(_, place)| *place);
        let bracket = format!("{} at {at_mm}", member(name));
        if known.is_none() {
            let ends = self.frame.ends_mm(self.frame.member(name));
            let place = ends[0] + (ends[1] - ends[0]).normalize() * at_mm;
            self.json.insert(bracket.clone(), json!({"at": three(&place.coords), "on": member(name)}));
            self.places.push((name.to_owned(), at_mm));
        }
        bracket
    }

    /// Where a member already carries brackets, from the first end, mm.
    fn on(&self, name: &str) -> Vec<f64> {
        self.places.iter().filter(|(on, _)| on == name).map(|(_, place)| *place).collect()
    }
}

impl<'c> Frame<'c> {
    pub(crate) fn new(case: &'c Value, round: bool) -> Self {
        let model = &case["model"];
        only(model, &["plane", "nodes", "sections", "members", "supports", "springs", "loads"]);
        Self { model, units: Units::of(case), round }
    }

    fn member(&self, name: &str) -> &'c Value {
        let members = list(&self.model["members"]);
        members.iter().find(|drawn| drawn["name"] == name).unwrap_or_else(|| panic!("no member {name}"))
    }

    fn node_mm(&self, name: &str) -> Point3<f64> {
        Point3::from(from_place(&self.model["nodes"][name], 0) * self.units.length_mm)
    }

    /// Names of the nodes.
    fn nodes(&self) -> impl Iterator<Item = &'c str> {
        entries(&self.model["nodes"]).map(|(name, _)| name.as_str())
    }

    /// Force (N) and moment (N·mm) that a case puts on a node.
    fn load(&self, name: &str) -> (Vector3<f64>, Vector3<f64>) {
        let load = &self.model["loads"]["nodes"][name];
        (from_place(load, 0) * self.units.force_n, from_place(load, 3) * self.units.moment_nmm())
    }

    /// The ends of a member's axis: its nodes, or off them.
    fn ends_mm(&self, drawn: &Value) -> [Point3<f64>; 2] {
        [0, 1].map(|end: usize| {
            let off = from_place(&drawn["offsets"][end], 0) * self.units.length_mm;
            self.node_mm(word(&drawn["ends"][end])) + off
        })
    }

    fn length_mm(&self, name: &str) -> f64 {
        let [first, second] = self.ends_mm(self.member(name));
        (second - first).norm()
    }

    /// The model file; `stations` are points on members to be looked at. Its case is `case`.
    pub(crate) fn file(&self, stations: &[(&str, f64)]) -> Value {
        let mut brackets = Brackets { frame: self, places: Vec::new(), json: Map::new() };
        for (name, part) in stations {
            brackets.at(name, part * self.length_mm(name));
        }
        let (mounts, moved) = self.mounts();
        let case = self.case(&mut brackets, &moved);
        let (materials, tubes) = self.sections();
        let nodes: Map<String, Value> =
            self.nodes().map(|name| (node(name), three(&self.node_mm(name).coords))).collect();
        json!({
            "format": 1,
            "materials": materials,
            "tubes": tubes,
            "nodes": nodes,
            "brackets": brackets.json,
            "members": self.members(),
            "mounts": mounts,
            "cases": {"case": case},
        })
    }

    fn sections(&self) -> (Map<String, Value>, Map<String, Value>) {
        let (mut materials, mut tubes) = (Map::new(), Map::new());
        for (name, section) in entries(&self.model["sections"]) {
            only(section, &["A", "Iy", "Iz", "J", "ky", "kz", "E", "G", "density"]);
            let power = |key: &str, power: i32| number(&section[key]) * self.units.length_mm.powi(power);
            let modulus = |key: &str| number(&section[key]) * self.units.stress_mpa();
            // Strength and density do not come into the answers.
            materials.insert(
                name.clone(),
                json!({
                    "youngs_modulus": modulus("E"), "shear_modulus": modulus("G"), "density": 7850,
                    "yield": 355, "ultimate": 490, "yield_at_weld": "same",
                }),
            );
            let area = power("A", 2);
            let mut tube = Map::new();
            if self.round {
                let i = power("Iy", 4);
                assert_eq!(section["Iy"], section["Iz"]);
                tube = round_of(area, i);
            } else {
                let mut given = json!({
                    "a": area, "iy": power("Iy", 4), "iz": power("Iz", 4), "j": power("J", 4), "cy": 1, "cz": 1,
                });
                for (factor, key) in [("ky", "ay"), ("kz", "az")] {
                    if let Some(factor) = section[factor].as_f64() {
                        given[key] = json!(factor * area);
                    }
                }
                tube.insert("given".to_owned(), given);
            }
            tube.insert("material".to_owned(), json!(name));
            tubes.insert(name.clone(), Value::Object(tube));
        }
        (materials, tubes)
    }

    fn members(&self) -> Map<String, Value> {
        let mut members = Map::new();
        for drawn in list(&self.model["members"]) {
            only(drawn, &["name", "ends", "section", "kind", "roll", "y_axis", "releases", "rates", "offsets"]);
            let ends = self.ends_mm(drawn);
            let names = [0, 1].map(|end: usize| node(word(&drawn["ends"][end])));
            let mut entry = json!({"ends": names, "tube": drawn["section"], "joint": joints(drawn, self.units)});
            if drawn.get("offsets").is_some() {
                entry["end_at"] = json!([three(&ends[0].coords), three(&ends[1].coords)]);
            }
            let [_, z] = local_axes(drawn, &ends);
            // Near the vertical the model's own rule is another one, so the axis is told.
            if (ends[1] - ends[0]).normalize().z.abs() > 5.0_f64.to_radians().cos() {
                entry["up"] = three(&z);
            } else if let Some(roll) = drawn.get("roll") {
                entry["roll"] = roll.clone();
            }
            members.insert(member(word(&drawn["name"])), entry);
        }
        members
    }

    /// Mounts of all nodes that are held, and the imposed movements.
    fn mounts(&self) -> (Map<String, Value>, Map<String, Value>) {
        let plane: &[&str] = match self.model["plane"].as_str() {
            None => &[],
            Some("xy") => &["uz", "rx", "ry"],
            Some("grid xy") => &["ux", "uy", "rz"],
            Some(other) => panic!("plane {other}"),
        };
        let (mut mounts, mut all_moved) = (Map::new(), Map::new());
        for name in self.nodes() {
            let support = &self.model["supports"][name];
            let fixed = if support.is_object() {
                only(support, &["fixed", "moved"]);
                &support["fixed"]
            } else {
                support
            };
            let mut held: Vec<&str> = plane.to_vec();
            match fixed {
                Value::Null => {}
                Value::String(all) if all == "all" => held.extend(MOTIONS),
                Value::String(pinned) if pinned == "pinned" => held.extend(["ux", "uy", "uz"]),
                Value::Array(directions) => held.extend(directions.iter().map(word)),
                other => panic!("support {other}"),
            }
            let mut mount: Map<String, Value> =
                held.into_iter().map(|direction| (motion(direction).to_owned(), json!("fixed"))).collect();
            for (direction, rate) in entries(&self.model["springs"][name]) {
                let scale = if direction.starts_with('u') {
                    self.units.force_n / self.units.length_mm
                } else {
                    self.units.moment_nmm() / 1000.0
                };
                let before = mount.insert(motion(direction).to_owned(), json!(number(rate) * scale));
                assert_eq!(before, None, "{name} is held and sprung along {direction}");
            }
            let mut moved = Map::new();
            for (direction, by) in entries(&support["moved"]) {
                let by = number(by);
                let by = if direction.starts_with('u') { by * self.units.length_mm } else { by.to_degrees() };
                moved.insert(motion(direction).to_owned(), json!(by));
            }
            if !mount.is_empty() {
                mounts.insert(node(name), Value::Object(mount));
            }
            if !moved.is_empty() {
                all_moved.insert(node(name), Value::Object(moved));
            }
        }
        (mounts, all_moved)
    }

    fn case(&self, brackets: &mut Brackets<'_, '_>, moved: &Map<String, Value>) -> Value {
        let loads = &self.model["loads"];
        only(loads, &["nodes", "members"]);
        let mut acting = Acting::default();
        for (name, load) in entries(&loads["nodes"]) {
            assert!(list(load).len() <= 6);
            let (force, moment) = self.load(name);
            acting.add(node(name), force, moment);
        }
        let mut line_loads = Map::new();
        for load in loads["members"].as_array().into_iter().flatten() {
            only(load, &["member", "kind", "w", "w1", "w2", "a", "F", "M", "from", "to"]);
            let name = word(&load["member"]);
            let length = self.length_mm(name);
            let per_mm = self.units.force_n / self.units.length_mm;
            match load["kind"].as_str() {
                Some("point") => {
                    let bracket = brackets.at(name, number(&load["a"]) * self.units.length_mm);
                    let moment = from_place(&load["M"], 0) * self.units.moment_nmm();
                    acting.add(bracket, from_place(&load["F"], 0) * self.units.force_n, moment);
                }
                Some("uniform") if load.get("from").is_none() => {
                    let before = line_loads.insert(member(name), three(&(from_place(&load["w"], 0) * per_mm)));
                    assert_eq!(before, None, "two uniform loads on {name}");
                }
                Some("uniform" | "linear") => {
                    let end = |key: &str, other: f64| {
                        load.get(key).map_or(other, |value| number(value) * self.units.length_mm)
                    };
                    let (from, to) = (end("from", 0.0), end("to", length));
                    let (first, second) = if load["kind"] == "linear" { ("w1", "w2") } else { ("w", "w") };
                    let (w1, w2) = (from_place(&load[first], 0) * per_mm, from_place(&load[second], 0) * per_mm);
                    let at = |x: f64| w1 + (w2 - w1) * ((x - from) / (to - from));
                    spread(name, [from, to], at, brackets, &mut acting);
                }
                other => panic!("load {other:?}"),
            }
        }
        let (forces, moments) = acting.json();
        json!({"forces": forces, "moments": moments, "line_loads": line_loads, "moved": moved})
    }
}

/// An uneven load as three forces in each stretch between the places that are looked at.
///
/// That is exact for motions and forces at the ends and at those places: as a function of where on
/// the stretch a force stands they are polynomials of the third degree, and times a load that is
/// linear of the fourth, which Gauss's rule with three places integrates exactly.
fn spread(
    name: &str,
    [from, to]: [f64; 2],
    load_n_mm: impl Fn(f64) -> Vector3<f64>,
    brackets: &mut Brackets<'_, '_>,
    acting: &mut Acting,
) {
    let mut breaks: Vec<f64> = brackets.on(name).into_iter().filter(|place| *place > from && *place < to).collect();
    breaks.extend([from, to]);
    breaks.sort_by(f64::total_cmp);
    for stretch in breaks.windows(2) {
        for (x, weight) in gauss(stretch[0], stretch[1]) {
            acting.add(brackets.at(name, x), load_n_mm(x) * weight, Vector3::zeros());
        }
    }
}

/// Forces and moments by the node or bracket that they act on.
#[derive(Default)]
struct Acting(Vec<(String, Vector3<f64>, Vector3<f64>)>);

impl Acting {
    fn add(&mut self, at: String, force_n: Vector3<f64>, moment_nmm: Vector3<f64>) {
        match self.0.iter_mut().find(|(known, _, _)| *known == at) {
            Some((_, force, moment)) => {
                *force += force_n;
                *moment += moment_nmm;
            }
            None => self.0.push((at, force_n, moment_nmm)),
        }
    }

    /// `forces` and `moments` (N·m) of a case, without those that are 0.
    fn json(&self) -> (Map<String, Value>, Map<String, Value>) {
        let (mut forces, mut moments) = (Map::new(), Map::new());
        for (at, force, moment) in &self.0 {
            if *force != Vector3::zeros() {
                forces.insert(at.clone(), three(force));
            }
            if *moment != Vector3::zeros() {
                moments.insert(at.clone(), three(&(moment / 1000.0)));
            }
        }
        (forces, moments)
    }
}

/// The round tube, or bar, of an area (mm²) and a second moment (mm⁴).
///
/// ```text
/// D² − d² = 4 A / π        D² + d² = 16 I / A
/// ```
fn round_of(area: f64, i: f64) -> Map<String, Value> {
    let (difference, sum) = (4.0 * area / std::f64::consts::PI, 16.0 * i / area);
    let (od, id) = ((0.5 * (sum + difference)).sqrt(), (0.5 * (sum - difference)).max(0.0).sqrt());
    let mut tube = Map::new();
    // A printed area is good to ten digits, the root of a difference of squares to five.
    if id < 1e-3 * od {
        tube.insert("bar".to_owned(), json!({"od": od}));
    } else {
        tube.insert("round".to_owned(), json!({"od": od, "wall": 0.5 * (od - id)}));
    }
    tube
}

/// Local y and z as the frame files have them, roll included.
fn local_axes(drawn: &Value, ends: &[Point3<f64>; 2]) -> [Vector3<f64>; 2] {
    let x = (ends[1] - ends[0]).normalize();
    let across = Vector3::z().cross(&x);
    let y = if across.norm() < 1e-12 { Vector3::y() } else { across.normalize() };
    let roll = drawn.get("roll").map_or(0.0, number).to_radians();
    let turn = Rotation3::from_axis_angle(&Unit::new_normalize(x), roll);
    let [y, z] = [turn * y, turn * x.cross(&y)];
    if let Some(told) = drawn.get("y_axis") {
        assert!((y - from_place(told, 0)).norm() < 1e-9, "local y of {} is {y}, not {told}", drawn["name"]);
    }
    [y, z]
}

/// The joints at both ends of a member.
fn joints(drawn: &Value, units: Units) -> Value {
    if let Some(kind) = drawn.get("kind") {
        assert_eq!(kind, "rod");
        assert!(drawn.get("releases").is_none() && drawn.get("rates").is_none());
        return json!("rod-end");
    }
    let both = ["first", "second"].map(|end| {
        let (released, rates) = (&drawn["releases"][end], &drawn["rates"][end]);
        match (released.as_array(), rates.as_object()) {
            (None, None) => json!("weld"),
            (Some(released), None) => {
                assert_eq!(released.len(), 1, "released {released:?}");
                match released[0].as_str() {
                    Some("my") => json!({"hinge": "y"}),
                    Some("mz") => json!({"hinge": "z"}),
                    other => panic!("released {other:?}"),
                }
            }
            (None, Some(rates)) => {
                let scaled = rates.iter().map(|(key, rate)| {
                    assert!(["t", "my", "mz"].contains(&key.as_str()), "rate of {key}");
                    (key.clone(), json!(number(rate) * units.moment_nmm() / 1000.0))
                });
                json!({"rate": scaled.collect::<Map<String, Value>>()})
            }
            (Some(_), Some(_)) => panic!("an end is released and sprung"),
        }
    });
    for key in ["releases", "rates"] {
        only(&drawn[key], &["first", "second"]);
    }
    json!(both)
}
