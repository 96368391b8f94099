//! Frames: beams, trusses, grids, space frames, joints and supports, frames in twist.
//!
//! Each case becomes a model file and is solved as a user's would be. A movement inside a member is
//! that of a bracket there; [`the_shape_between_the_ends_meets_the_published_movements`] looks at
//! the same places without one.

use std::f64::consts::FRAC_PI_2;

use crossbrace::run::check;
use crossbrace::section::{Bar, Circle, Fibres, InternalForces, Section, cowper_hollow_circle};
use nalgebra::{Point3, Vector3};
use serde_json::{Value, json};

use super::frame_model::{Frame, gauss, member, node, station};
use super::{Answers, Case, Listed, Tally, cases, hold, is};
use crate::support::values::{list, number, vector, word};
use crate::support::{load, result};

/// What this version does not answer: of the static cases nothing.
const LISTED: &[Listed] = &[];

#[test]
fn every_published_beam_is_met() {
    let file = "frames/1-beams.json";
    assert_eq!(hold(file, &cases(file), LISTED, answer), Tally { cases: 30, met: 30, values: 93 });
}

#[test]
fn every_published_frame_is_met() {
    let file = "frames/2-frames.json";
    assert_eq!(hold(file, &cases(file), LISTED, answer), Tally { cases: 16, met: 16, values: 75 });
}

#[test]
fn every_published_joint_and_support_is_met() {
    let file = "frames/3-joints-and-supports.json";
    assert_eq!(hold(file, &cases(file), LISTED, answer), Tally { cases: 11, met: 11, values: 37 });
}

#[test]
fn every_published_frame_in_twist_is_met() {
    let file = "frames/7-frame-torsion.json";
    assert_eq!(hold(file, &cases(file), LISTED, answer), Tally { cases: 5, met: 5, values: 12 });
}

fn answer(case: &Case) -> Answers {
    match case.id.as_str() {
        "shear-factor-round-sections" => return shear_factors(case),
        "shaft-with-distributed-torque" => return shaft_with_distributed_torque(case),
        _ => assert_eq!(case.json["analysis"], json!({"kind": "static"}), "{}", case.id),
    }
    let quantities = list(&case.json["expected"]);
    let with_stress = quantities.iter().any(|entry| word(&entry["quantity"]).contains("stress"));
    let stations: Vec<(&str, f64)> = quantities.iter().filter_map(|entry| station(entry["at"].as_str()?)).collect();
    let frame = Frame::new(&case.json, with_stress);
    let solved = Solved::new(frame, &stations);
    quantities
        .iter()
        .zip(&case.expected)
        .map(|(entry, expected)| {
            let (quantity, at) = (word(&entry["quantity"]), word(&entry["at"]));
            is(&expected.name, solved.quantity(quantity, at))
        })
        .collect()
}

/// Directions by the last letters of a quantity: `ux`, `Ry`, `RMz`, `end Fx`.
fn axis(quantity: &str) -> usize {
    let letter = quantity.chars().last();
    letter.and_then(|letter| "xyz".find(letter)).unwrap_or_else(|| panic!("no axis in {quantity}"))
}

/// A frame and the answer to its case.
struct Solved<'c> {
    frame: Frame<'c>,
    model: crossbrace::model::Model,
    result: Value,
}

impl<'c> Solved<'c> {
    fn new(frame: Frame<'c>, stations: &[(&str, f64)]) -> Self {
        let mut file = frame.file(stations);
        if let Some((axle, moment_nm)) = twist_test(&frame) {
            file["cases"]["twist"] = json!({"twist": {"axle": axle, "moment": moment_nm}});
        }
        let model = load(&file.to_string()).base;
        let result = result(&model);
        Self { frame, model, result }
    }

    fn case(&self) -> &Value {
        &self.result["cases"]["case"]
    }

    /// An answer in the units of the case.
    fn quantity(&self, quantity: &str, at: &str) -> f64 {
        let units = self.frame.units;
        match quantity {
            "ux" | "uy" | "uz" => vector(&self.place(at)["move"])[axis(quantity)] / units.length_mm,
            "rx" | "ry" | "rz" => vector(&self.place(at)["turn"])[axis(quantity)].to_radians(),
            "Rx" | "Ry" | "Rz" => self.reaction(at).0[axis(quantity)] / units.force_n,
            "RMx" | "RMy" | "RMz" => self.reaction(at).1[axis(quantity)] / units.moment_nmm(),
            "end Fx" | "end Fy" | "end Fz" | "end Mx" | "end My" | "end Mz" => self.end_force(quantity, at),
            "N" | "Vy" | "Vz" => self.internal(quantity, at) / units.force_n,
            "T" | "My" | "Mz" => self.internal(quantity, at) * 1000.0 / units.moment_nmm(),
            "twist stiffness" => self.twist_stiffness(),
            other => self.stress(other, at),
        }
    }

    /// Movement of a node, or of the bracket at a fraction of a member.
    fn place(&self, at: &str) -> &Value {
        let nodes = &self.case()["nodes"];
        let Some((name, part)) = station(at) else {
            return &nodes[&node(at)];
        };
        let start = format!("{} at ", member(name));
        let wanted = part * self.frame.length_mm(name);
        let place = |bracket: &str| bracket.strip_prefix(&start).and_then(|rest| rest.parse::<f64>().ok());
        let found = nodes
            .as_object()
            .into_iter()
            .flatten()
            .find(|(bracket, _)| place(bracket).is_some_and(|at| (at - wanted).abs() < 1e-6));
        found.unwrap_or_else(|| panic!("no bracket at {at}")).1
    }

    /// What the ground does to a node, N and N·mm.
    fn reaction(&self, at: &str) -> (Vector3<f64>, Vector3<f64>) {
        let mount = &self.case()["mounts"][node(at)];
        if mount.is_null() {
            return (Vector3::zeros(), Vector3::zeros());
        }
        (vector(&mount["force"]), vector(&mount["moment"]) * 1000.0)
    }

    fn along(&self, name: &str) -> &[Value] {
        list(&self.case()["members"][member(name)]["along"])
    }

    /// What the joint does to an end of a member, local axes: the internal force at the second
    /// end, its opposite at the first.
    fn end_force(&self, quantity: &str, at: &str) -> f64 {
        let (name, end) = at.split_once(':').unwrap_or_else(|| panic!("no end in {at}"));
        let (place, sign) = match end {
            "first" => (&self.along(name)[0], -1.0),
            "second" => (self.along(name).last().expect("a tube has two ends"), 1.0),
            other => panic!("end {other}"),
        };
        let (key, scale) = match quantity {
            "end Fx" => ("n", 1.0 / self.frame.units.force_n),
            "end Fy" => ("vy", 1.0 / self.frame.units.force_n),
            "end Fz" => ("vz", 1.0 / self.frame.units.force_n),
            "end Mx" => ("t", 1000.0 / self.frame.units.moment_nmm()),
            "end My" => ("my", 1000.0 / self.frame.units.moment_nmm()),
            _ => ("mz", 1000.0 / self.frame.units.moment_nmm()),
        };
        sign * scale * number(&place[key])
    }

    /// An internal force at a fraction of a member (the same on both sides of the place), or of
    /// the whole member, along which it must then be constant. N or N·m.
    fn internal(&self, quantity: &str, at: &str) -> f64 {
        let (name, part) = station(at).map_or((at, None), |(name, part)| (name, Some(part)));
        let key = quantity.to_lowercase();
        let length = self.frame.length_mm(name);
        let here = |entry: &&Value| part.is_none_or(|part| (number(&entry["at"]) - part * length).abs() < 1e-6);
        let values: Vec<f64> = self.along(name).iter().filter(here).map(|entry| number(&entry[&key])).collect();
        let first = *values.first().unwrap_or_else(|| panic!("nothing at {at}"));
        assert!(values.iter().all(|value| (value - first).abs() <= 1e-9 * first.abs()), "{quantity} {at}: {values:?}");
        first
    }

    /// Torque over twist, N·m/deg: the torque of what acts on the loaded end, loads and ground,
    /// about the frame's axis (global x); the twist is the work of the loads over the torque.
    fn twist_stiffness(&self) -> f64 {
        let loaded: Vec<&str> = self.frame.nodes().filter(|name| self.frame.load(name) != Default::default()).collect();
        let end = self.frame.node_mm(loaded[0]).x;
        let (mut torque, mut work) = (0.0, 0.0);
        for name in self.frame.nodes().filter(|name| self.frame.node_mm(name).x == end) {
            let (at, load, ground) = (self.frame.node_mm(name), self.frame.load(name), self.reaction(name));
            torque += (at.coords.cross(&(load.0 + ground.0)) + load.1 + ground.1).x;
            let moved = self.place(name);
            work += load.0.dot(&vector(&moved["move"])) + load.1.dot(&vector(&moved["turn"]).map(f64::to_radians));
        }
        assert!(loaded.iter().all(|name| self.frame.node_mm(name).x == end));
        let stiffness = torque / 1000.0 / (work / torque).to_degrees();
        if let Some(by_test) = self.result["twist"]["twist"]["stiffness"].as_f64() {
            assert!((by_test - stiffness).abs() < 1e-9 * stiffness, "the twist test gives {by_test}, not {stiffness}");
        }
        stiffness
    }

    /// The circle on which stress is looked for, and the internal forces at a place (N, N·mm).
    fn circle(&self, at: &str) -> (Circle, InternalForces) {
        let Some((name, 0.0)) = station(at) else { panic!("stress is asked for at {at}") };
        let tube = self.model.members[&member(name)].tube;
        let Fibres::Circle(circle) = self.model.tubes[tube].section.fibres() else {
            panic!("{name} is not round");
        };
        let entry = &self.along(name)[0];
        let [n, vy, vz, t, my, mz] = ["n", "vy", "vz", "t", "my", "mz"].map(|key| number(&entry[key]));
        (circle, InternalForces { n, vy, vz, t: t * 1000.0, my: my * 1000.0, mz: mz * 1000.0 })
    }

    fn stress(&self, quantity: &str, at: &str) -> f64 {
        let peak = |name: &str, key: &str| number(&self.case()["members"][member(name)]["peak"][key]);
        let unit = self.frame.units.stress_mpa();
        if quantity == "shear stress" {
            return (peak(at, "torsion") + peak(at, "shear")).abs() / unit;
        }
        let (circle, forces) = self.circle(at);
        // Where bending pulls most; the neutral axis is a quarter turn from there.
        let bent = forces.my.atan2(-forces.mz);
        let outermost = circle.stress(&forces, bent);
        let neutral = [bent - FRAC_PI_2, bent + FRAC_PI_2].map(|angle| circle.stress(&forces, angle));
        let name = at.trim_end_matches("@0");
        match quantity {
            "bending moment" => forces.my.hypot(forces.mz) / 1e6, // kN·m
            "bending stress" => outermost.bending / unit,
            "largest normal stress" => {
                assert_eq!(peak(name, "at"), 0.0);
                (peak(name, "axial") + peak(name, "bending")) / unit
            }
            "torsion shear stress" => outermost.torsion / unit,
            "transverse shear stress at the neutral axis" => neutral[0].shear.abs() / unit,
            "shear stress at the neutral axis, both" => {
                neutral.map(|stress| (stress.torsion + stress.shear).abs()).into_iter().fold(0.0, f64::max) / unit
            }
            "von Mises stress" => peak(name, "von_mises") / unit,
            other => panic!("nothing answers \"{other}\""),
        }
    }
}

/// The jig's twist test of a frame with one loaded corner whose twin across the car is held: both
/// nodes, and the moment in N·m.
fn twist_test(frame: &Frame<'_>) -> Option<([String; 2], f64)> {
    let mut loaded = frame.nodes().filter(|name| frame.load(name) != Default::default());
    let (down, None) = (loaded.next()?, loaded.next()) else {
        return None;
    };
    let (at, (force, moment)) = (frame.node_mm(down), frame.load(down));
    let twin = frame.nodes().find(|name| frame.node_mm(name) == Point3::new(at.x, -at.y, at.z) && *name != down)?;
    let straight_down = force.x == 0.0 && force.y == 0.0 && force.z < 0.0 && moment == Vector3::zeros();
    straight_down.then(|| ([node(twin), node(down)], -force.z * 2.0 * at.y.abs() / 1000.0))
}

fn shear_factors(case: &Case) -> Answers {
    let poisson = case.input("poisson");
    let bar = Section::from(Bar { od_mm: 10.0 }).properties(poisson);
    vec![
        is("k thin tube m = 1", cowper_hollow_circle(1.0, poisson)),
        is("k solid bar m = 0", bar.ay_mm2.expect("a bar has a shear area") / bar.area_mm2),
    ]
}

/// The torque per length grows from nothing at A: three torques by Gauss's rule, which is exact for
/// the twist (of first degree in the place of a torque) and for the torque at A.
fn shaft_with_distributed_torque(case: &Case) -> Answers {
    let [diameter, length, peak, g] =
        ["diameter", "length", "peak_torque_per_length", "G"].map(|name| case.input(name));
    let i = std::f64::consts::PI * diameter.powi(4) / 64.0;
    let area = std::f64::consts::PI * diameter.powi(2) / 4.0;
    let torques = gauss(0.0, length)
        .map(|(x, weight)| json!({"member": "AB", "kind": "point", "a": x, "M": [peak * x / length * weight, 0, 0]}));
    let shaft = json!({
        "id": case.id,
        "units": case.json["units"],
        "model": {
            "nodes": {"A": [0, 0, 0], "B": [length, 0, 0]},
            "sections": {"s": {"A": area, "Iy": i, "Iz": i, "J": 2.0 * i, "E": 2.6 * g, "G": g}},
            "members": [{"name": "AB", "ends": ["A", "B"], "section": "s"}],
            "supports": {"A": "all"},
            "loads": {"members": torques},
        },
    });
    let solved = Solved::new(Frame::new(&shaft, true), &[]);
    let largest = &solved.case()["members"][member("AB")]["peak"];
    assert_eq!(largest["at"], json!(0.0));
    vec![
        is("shear stress A", solved.quantity("shear stress", "AB")),
        is("twist B", solved.quantity("rx", "B").to_degrees()),
    ]
}

#[test]
fn the_shape_between_the_ends_meets_the_published_movements() {
    let mut places = 0;
    for file in ["1-beams", "2-frames", "3-joints-and-supports", "7-frame-torsion"] {
        for case in cases(&format!("frames/{file}.json")) {
            if case.json["model"].is_null() {
                continue;
            }
            let frame = Frame::new(&case.json, false);
            for (entry, expected) in list(&case.json["expected"]).iter().zip(&case.expected) {
                let quantity = word(&entry["quantity"]);
                let Some((name, part)) = entry["at"].as_str().and_then(station) else { continue };
                if !quantity.starts_with('u') || frame.has_uneven_loads() {
                    continue;
                }
                let given = shape(&frame, name, part)[axis(quantity)] / frame.units.length_mm;
                let wanted = number(&expected.value);
                assert!((given - wanted).abs() <= expected.within, "{}: {}: {given}", case.id, expected.name);
                places += 1;
            }
        }
    }
    assert_eq!(places, 11);
}

/// Movement at a fraction of a member from the shape of its axis, mm, global axes.
fn shape(frame: &Frame<'_>, name: &str, part: f64) -> Vector3<f64> {
    let model = load(&frame.file(&[]).to_string()).base;
    let checked = check(&model, |_| true).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let system = &checked.prepared.system;
    let tube = checked.outcome.cases["case"].members[&member(name)].tube;
    let x = part * frame.length_mm(name);
    let holds = |piece: &usize| {
        let drawn = &system.structure.pieces[*piece];
        (drawn.start_mm..=drawn.start_mm + drawn.axes.length_mm).contains(&x)
    };
    let piece = system.structure.tubes[tube].pieces.clone().find(holds).expect("the pieces fill the tube");
    let (drawn, state) = (&system.structure.pieces[piece], &checked.response.cases[0].state.pieces[piece]);
    let local = state.diagram.shift(&system.pieces[piece].beam, &state.tube_motions, x - drawn.start_mm);
    drawn.axes.rotation.transpose() * local
}
