//! A model written in other units of the format page is the same model.
//!
//! Sizes of units: inch and pound by the international agreement of 1959 (0.0254 m, 0.45359237 kg),
//! standard gravity by the 3rd CGPM of 1901 (9.80665 m/s²), and what follows from them.

use proptest::prelude::*;
use serde_json::{Value, json};

use super::answers::{Answer, optional_entries};
use super::frames::{Frame, frame};
use super::{Law, cases, in_case};
use crate::support::values::{entries, number};

const INCH_MM: f64 = 25.4;
const FOOT_MM: f64 = 12.0 * INCH_MM;
const POUND_KG: f64 = 0.453_592_37;
const GRAVITY_M_S2: f64 = 9.80665;
const POUND_FORCE_N: f64 = POUND_KG * GRAVITY_M_S2;
const DEGREES: f64 = 180.0 / std::f64::consts::PI;

/// Units of a quantity, and how many default units each is.
type Units = [(&'static str, f64)];

const LENGTHS: &Units =
    &[("in", INCH_MM), ("cm", 10.0), ("thou", INCH_MM / 1000.0), ("mm", 1.0), ("ft", FOOT_MM), ("m", 1000.0)];
const AREAS: &Units = &[("in2", INCH_MM * INCH_MM), ("cm2", 100.0), ("m2", 1e6)];
const MODULI: &Units = &[("in3", INCH_MM * INCH_MM * INCH_MM), ("cm3", 1000.0), ("m3", 1e9)];
const SECOND_MOMENTS: &Units = &[("in4", INCH_MM * INCH_MM * INCH_MM * INCH_MM), ("cm4", 1e4), ("m4", 1e12)];
const FORCES: &Units = &[("lbf", POUND_FORCE_N), ("kN", 1000.0), ("kgf", GRAVITY_M_S2), ("N", 1.0)];
const MOMENTS: &Units = &[
    ("lbf ft", POUND_FORCE_N * FOOT_MM / 1000.0),
    ("N mm", 0.001),
    ("lbf in", POUND_FORCE_N * INCH_MM / 1000.0),
    ("kN m", 1000.0),
    ("Nm", 1.0),
];
const RATES: &Units = &[
    ("lbf/in", POUND_FORCE_N / INCH_MM),
    ("N/m", 0.001),
    ("kN/mm", 1000.0),
    ("lbf/ft", POUND_FORCE_N / FOOT_MM),
    ("kN/m", 1.0),
];
const TURNING_RATES: &Units = &[
    ("N m/deg", DEGREES),
    ("lbf ft/rad", POUND_FORCE_N * FOOT_MM / 1000.0),
    ("lbf ft/deg", POUND_FORCE_N * FOOT_MM / 1000.0 * DEGREES),
];
const MASSES: &Units = &[("lb", POUND_KG), ("g", 0.001), ("t", 1000.0)];
const INERTIAS: &Units = &[("lb ft2", POUND_KG * FOOT_MM * FOOT_MM * 1e-6), ("kg m2", 1.0)];
const DENSITIES: &Units =
    &[("lb/in3", POUND_KG / (INCH_MM * INCH_MM * INCH_MM) * 1e9), ("g/cm3", 1000.0), ("kg/m3", 1.0)];
const STRESSES: &Units = &[
    ("psi", POUND_FORCE_N / (INCH_MM * INCH_MM)),
    ("GPa", 1000.0),
    ("ksi", 1000.0 * POUND_FORCE_N / (INCH_MM * INCH_MM)),
    ("Pa", 1e-6),
    ("N/mm2", 1.0),
    ("kPa", 1e-3),
];
const ANGLES: &Units = &[("rad", DEGREES), ("deg", 1.0)];
const ACCELERATIONS: &Units = &[("m/s2", 1.0 / GRAVITY_M_S2), ("g", 1.0)];
/// The gauges of the imperial table that the frames are drawn with, mm.
const GAUGES: [(&str, f64); 5] =
    [("10 swg", 3.2512), ("12 swg", 2.6416), ("14 swg", 2.032), ("16 swg", 1.6256), ("18 swg", 1.2192)];

/// Writes bare numbers with a unit, another one each time.
struct Writer {
    next: usize,
}

impl Writer {
    /// Every number in a value; texts stay.
    fn write(&mut self, value: &mut Value, units: &Units) {
        match value {
            Value::Number(_) => {
                let (unit, size) = units[self.next % units.len()];
                self.next += 1;
                *value = json!(format!("{} {unit}", number(value) / size));
            }
            Value::Array(parts) => parts.iter_mut().for_each(|part| self.write(part, units)),
            _ => {}
        }
    }

    /// The entries of an object by their keys; others stay.
    fn keys(&mut self, object: &mut Value, known: &[(&[&str], &Units)]) {
        for (keys, units) in known {
            for key in *keys {
                if let Some(value) = object.get_mut(*key) {
                    self.write(value, units);
                }
            }
        }
    }

    fn each(&mut self, section: &mut Value, mut write: impl FnMut(&mut Self, &mut Value)) {
        for (_, entry) in section.as_object_mut().into_iter().flatten() {
            write(self, entry);
        }
    }

    fn mount(&mut self, mount: &mut Value) {
        self.keys(mount, &[(&["x", "y", "z"], RATES), (&["rx", "ry", "rz"], TURNING_RATES)]);
    }

    fn section(&mut self, tube: &mut Value) {
        for (kind, size) in tube.as_object_mut().into_iter().flatten() {
            if kind == "given" {
                let figures: [(&[&str], &Units); 4] = [
                    (&["a", "ay", "az"], AREAS),
                    (&["iy", "iz", "j"], SECOND_MOMENTS),
                    (&["cy", "cz"], LENGTHS),
                    (&["ct"], MODULI),
                ];
                self.keys(size, &figures);
                continue;
            }
            for (key, value) in size.as_object_mut().into_iter().flatten() {
                match GAUGES.iter().find(|(_, mm)| key == "wall" && *value == *mm) {
                    Some((gauge, _)) => *value = json!(gauge),
                    None => self.write(value, LENGTHS),
                }
            }
        }
    }

    fn member(&mut self, member: &mut Value) {
        self.keys(member, &[(&["end_at", "column_length"], LENGTHS), (&["roll"], ANGLES)]);
        let rates = |writer: &mut Self, joint: &mut Value| {
            if let Some(rate) = joint.get_mut("rate") {
                writer.keys(rate, &[(&["t", "my", "mz"], TURNING_RATES)]);
            }
        };
        match member.get_mut("joint") {
            Some(Value::Array(joints)) => joints.iter_mut().for_each(|joint| rates(self, joint)),
            Some(joint) => rates(self, joint),
            None => {}
        }
    }

    fn case(&mut self, case: &mut Value) {
        for (loads, units) in [("forces", FORCES), ("moments", MOMENTS), ("line_loads", RATES)] {
            self.each(&mut case[loads], |writer, load| writer.write(load, units));
        }
        self.each(&mut case["moved"], |writer, moved| {
            writer.keys(moved, &[(&["x", "y", "z"], LENGTHS), (&["rx", "ry", "rz"], ANGLES)]);
        });
        self.keys(&mut case["g"], &[(&["long", "lat", "vert"], ACCELERATIONS)]);
        self.keys(&mut case["twist"], &[(&["moment"], MOMENTS)]);
        case.as_object_mut().expect("a case is an object").retain(|_, part| !part.is_null());
    }

    fn model(&mut self, frame: &Frame) -> Frame {
        let mut model = frame.0.clone();
        let strengths: &[&str] = &["youngs_modulus", "shear_modulus", "yield", "ultimate", "yield_at_weld"];
        self.each(&mut model["materials"], |writer, material| {
            writer.keys(material, &[(strengths, STRESSES), (&["density"], DENSITIES)]);
        });
        self.each(&mut model["tubes"], Writer::section);
        self.each(&mut model["nodes"], |writer, node| match node.get_mut("at") {
            Some(at) => writer.write(at, LENGTHS),
            None => writer.write(node, LENGTHS),
        });
        self.each(&mut model["brackets"], |writer, bracket| writer.write(&mut bracket["at"], LENGTHS));
        self.each(&mut model["members"], Writer::member);
        self.each(&mut model["mounts"], Writer::mount);
        self.each(&mut model["bodies"], |writer, body| {
            writer.keys(body, &[(&["mass"], MASSES), (&["cg"], LENGTHS), (&["inertia"], INERTIAS)]);
            writer.each(&mut body["mounts"], Writer::mount);
        });
        self.keys(&mut model["limits"], &[(&["pickup_move"], LENGTHS)]);
        self.each(&mut model["cases"], Writer::case);
        Frame(model)
    }
}

fn the_same_in_other_units(frame: &Frame, first: usize) -> Law {
    let before = frame.solved_or_passed_over()?;
    let other = Writer { next: first }.model(frame);
    let after = other.must_be_solved()?;
    for case in frame.cases() {
        in_case(&case, Answer::of(&before, &case).check(&Answer::of(&after, &case)))?;
    }
    for (tube, figures) in optional_entries(&before["tubes"]) {
        for (key, figure) in entries(figures) {
            let (one, two) = (number(figure), number(&after["tubes"][tube][key]));
            prop_assert!((one - two).abs() <= 1e-12 * one.abs(), "{key} of {tube}: {one} and {two}");
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(cases(48))]

    #[test]
    fn a_model_in_other_units_has_the_same_answer(frame in frame(), first in 0..60_usize) {
        the_same_in_other_units(&frame, first)?;
    }
}
