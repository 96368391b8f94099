//! A frame does not know which way it faces, nor where it stands.

use nalgebra::{Matrix3, Rotation3, Unit, Vector3};
use proptest::prelude::*;
use serde_json::{Map, Value, json};

use super::answers::Answer;
use super::frames::{Frame, frame};
use super::geometry::{default_up, places_of_member};
use super::{Law, cases, in_case};
use crate::support::values::{entries, number, three, vector};

/// Turned by a rotation, then shifted.
#[derive(Debug, Clone)]
struct Motion {
    turn: Matrix3<f64>,
    shift: Vector3<f64>,
}

impl Motion {
    fn place(&self, at: &Value) -> Value {
        three(&(self.turn * vector(at) + self.shift))
    }

    fn direction(&self, direction: &Value) -> Value {
        three(&(self.turn * vector(direction)))
    }

    /// The frame in its new place; all that has a direction turns along.
    fn of(&self, frame: &Frame) -> Frame {
        let mut model = frame.0.clone();
        each(&mut model["nodes"], |node| match node.get("at") {
            Some(at) => node["at"] = self.place(at),
            None => *node = self.place(node),
        });
        each(&mut model["brackets"], |bracket| bracket["at"] = self.place(&bracket["at"]));
        each(&mut model["members"], |member| {
            member["up"] = self.direction(&member["up"]);
            if let Some(ends) = member.get_mut("end_at").and_then(Value::as_array_mut) {
                ends.iter_mut().filter(|end| !end.is_null()).for_each(|end| *end = self.place(end));
            }
        });
        each(&mut model["bodies"], |body| body["cg"] = self.place(&body["cg"]));
        each(&mut model["cases"], |case| self.turn_case(case));
        Frame(model)
    }

    fn turn_case(&self, case: &mut Value) {
        for loads in ["forces", "moments", "line_loads"] {
            each(&mut case[loads], |load| *load = self.direction(load));
        }
        each(&mut case["moved"], |motion| self.turn_keys(motion, [["x", "y", "z"], ["rx", "ry", "rz"]]));
        if let Some(g) = case.get_mut("g") {
            g.as_object_mut().map(|g| g.entry("vert").or_insert(json!(1.0)));
            self.turn_keys(g, [["long", "lat", "vert"]]);
        }
        let case = case.as_object_mut().expect("a case is an object");
        case.retain(|_, part| !part.is_null());
    }

    /// Turns vectors whose three parts have a key each.
    fn turn_keys<const N: usize>(&self, object: &mut Value, keys: [[&str; 3]; N]) {
        for keys in keys {
            let drawn = keys.map(|key| object.get(key).map_or(0.0, number));
            if drawn != [0.0; 3] {
                let turned = self.turn * Vector3::from(drawn);
                for (key, part) in keys.into_iter().zip(turned.iter()) {
                    object[key] = json!(part);
                }
            }
        }
    }
}

fn each(section: &mut Value, mut change: impl FnMut(&mut Value)) {
    for (_, entry) in section.as_object_mut().into_iter().flatten() {
        change(entry);
    }
}

/// A frame whose every `up` is written out, and which holds alike in all directions where it is
/// mounted: what a turn leaves as it is. The jig's twist test knows up and down, and is left out.
fn without_directions(frame: &Frame) -> Frame {
    let mut model = frame.0.clone();
    for (name, member) in entries(&frame.0["members"]) {
        if member.get("up").is_none() {
            model["members"][name]["up"] = three(&default_up(&places_of_member(&frame.0, member)));
        }
    }
    each(&mut model["mounts"], |mount| *mount = alike_all_round(mount));
    each(&mut model["bodies"], |body| each(&mut body["mounts"], |mount| *mount = alike_all_round(mount)));
    let cases = model["cases"].as_object_mut().expect("cases are an object");
    cases.remove("twisted");
    let held = model["mounts"].clone();
    each(&mut model["cases"], |case| {
        let moved = case.get("moved").map(|moved| only_held(moved, &held));
        if let Some(moved) = moved {
            case["moved"] = moved;
        }
    });
    Frame(model)
}

/// A mount by direction with the rate of x for all shifts, and that of one turn for all turns.
fn alike_all_round(mount: &Value) -> Value {
    let Some(directions) = mount.as_object() else { return mount.clone() };
    let mut keys = Map::new();
    for group in [["x", "y", "z"], ["rx", "ry", "rz"]] {
        if let Some(held) = group.iter().find_map(|key| directions.get(*key)) {
            keys.extend(group.map(|key| (key.to_owned(), held.clone())));
        }
    }
    Value::Object(keys)
}

/// The movements in directions that a mount still holds.
fn only_held(moved: &Value, mounts: &Value) -> Value {
    let kept = entries(moved).iter().map(|(name, motion)| {
        let mount = &mounts[name];
        let holds = |key: &str| mount == "bolted pad" || mount.get(key).is_some() || !key.starts_with('r');
        let motion: Map<String, Value> =
            entries(motion).iter().filter(|(key, _)| holds(key)).map(|(key, by)| (key.clone(), by.clone())).collect();
        (name.clone(), Value::Object(motion))
    });
    Value::Object(kept.collect())
}

/// The answers of the frame as it was agree with those of the frame in its new place.
fn the_same_in_another_place(frame: &Frame, motion: &Motion) -> Law {
    let before = frame.solved_or_passed_over()?;
    let after = motion.of(frame).must_be_solved()?;
    for case in frame.cases() {
        let turned = Answer::of(&before, &case).turned(&motion.turn);
        in_case(&case, turned.check(&Answer::of(&after, &case)))?;
    }
    Ok(())
}

fn shift() -> impl Strategy<Value = Vector3<f64>> {
    prop::array::uniform3(-3000.0..3000.0).prop_map(Vector3::from)
}

fn turn_about_z() -> impl Strategy<Value = Motion> {
    (-3.1..3.1, shift()).prop_map(|(angle, shift)| Motion {
        turn: Rotation3::from_axis_angle(&Vector3::z_axis(), angle).into_inner(),
        shift,
    })
}

fn any_turn() -> impl Strategy<Value = Motion> {
    (prop::array::uniform3(-1.0..1.0), -3.1..3.1, shift()).prop_map(|(axis, angle, shift)| {
        let axis = Unit::try_new(Vector3::from(axis), 1e-3).unwrap_or(Vector3::y_axis());
        Motion { turn: Rotation3::from_axis_angle(&axis, angle).into_inner(), shift }
    })
}

proptest! {
    #![proptest_config(cases(64))]

    #[test]
    fn a_frame_turned_about_the_vertical_and_moved_has_the_same_stresses(frame in frame(), motion in turn_about_z()) {
        the_same_in_another_place(&without_directions(&frame), &motion)?;
    }

    #[test]
    fn a_frame_turned_any_way_has_the_same_stresses_where_up_turns_along(frame in frame(), motion in any_turn()) {
        the_same_in_another_place(&without_directions(&frame), &motion)?;
    }

    #[test]
    fn the_default_up_written_out_is_the_default(frame in frame()) {
        let mut written = frame.clone();
        for (name, member) in entries(&frame.0["members"]) {
            let points = places_of_member(&frame.0, member);
            let ups: Vec<Vector3<f64>> = points.windows(2).map(default_up).collect();
            // A tube through several nodes takes the default for each stretch.
            if member.get("up").is_none() && ups.windows(2).all(|pair| pair[0] == pair[1]) {
                written.0["members"][name]["up"] = three(&ups[0]);
            }
        }
        let result = frame.solved_or_passed_over()?;
        prop_assert_eq!(&written.must_be_solved()?["cases"], &result["cases"]);
    }
}
