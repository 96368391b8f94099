//! A frame in a mirror: under mirrored loads it answers as its mirror image.

use nalgebra::{Matrix3, Vector3};
use proptest::prelude::*;
use serde_json::{Map, Value, json};

use super::answers::Answer;
use super::frames::{Frame, frame};
use super::{Law, cases, in_case};
use crate::support::values::{entries, number, three, vector};

/// The mirror in the plane y = 0.
pub(super) fn mirror() -> Matrix3<f64> {
    Matrix3::from_diagonal(&Vector3::new(1.0, -1.0, 1.0))
}

/// A name on the other side, that of a corner's tube too.
pub(super) fn other_side(name: &str) -> String {
    let (place, part) = name.split_once('/').map_or((name, None), |(place, part)| (place, Some(part)));
    let place = match (place.strip_suffix(".l"), place.strip_suffix(".r")) {
        (Some(stem), _) => format!("{stem}.r"),
        (_, Some(stem)) => format!("{stem}.l"),
        _ => place.to_owned(),
    };
    part.map_or(place.clone(), |part| format!("{place}/{part}"))
}

/// The mirror image of an entry of the file: three numbers are a place or a direction, but for an
/// inertia; a roll turns the other way; names change sides.
pub(super) fn mirrored(key: &str, value: &Value) -> Value {
    match value {
        Value::Array(parts) if key != "inertia" && parts.len() == 3 && parts.iter().all(Value::is_number) => {
            three(&(mirror() * vector(value)))
        }
        Value::Array(parts) => parts.iter().map(|part| mirrored(key, part)).collect(),
        Value::Object(keys) => keys.iter().map(|(key, value)| (other_side(key), mirrored(key, value))).collect(),
        Value::Number(_) if key == "roll" => json!(-number(value)),
        Value::String(name) => json!(other_side(name)),
        _ => value.clone(),
    }
}

/// A case whose loads are the mirror image of another's.
pub(super) fn mirrored_case(case: &Value) -> Value {
    let negated = |value: &Value, keys: &[&str]| -> Value {
        let sign = |key: &String| if keys.contains(&key.as_str()) { -1.0 } else { 1.0 };
        Value::Object(
            entries(value).iter().map(|(key, value)| (key.clone(), json!(sign(key) * number(value)))).collect(),
        )
    };
    let each = |value: &Value, change: &dyn Fn(&Value) -> Value| -> Value {
        Value::Object(entries(value).iter().map(|(name, value)| (other_side(name), change(value))).collect())
    };
    let axial = |value: &Value| three(&-(mirror() * vector(value)));
    let mut image = Map::new();
    for (key, value) in entries(case) {
        let value = match key.as_str() {
            "g" => negated(value, &["lat"]),
            "moments" => each(value, &axial),
            "moved" => each(value, &|moved| negated(moved, &["y", "rx", "rz"])),
            _ => mirrored(key, value),
        };
        image.insert(key.clone(), value);
    }
    Value::Object(image)
}

/// The file with its twins written out after their originals, without the key `mirror`.
pub(crate) fn written_out(model: &Value) -> Value {
    let mut out = model.clone();
    out.as_object_mut().expect("a model is an object").remove("mirror");
    for section in ["nodes", "brackets", "members", "mounts", "bodies", "corners"] {
        let mut all = Map::new();
        for (name, entry) in model.get(section).and_then(Value::as_object).into_iter().flatten() {
            all.insert(name.clone(), entry.clone());
            if name.ends_with(".l") {
                all.insert(other_side(name), mirrored(name, entry));
            } else if section == "bodies" {
                let mut mounts = Map::new();
                for (node, how) in entries(&entry["mounts"]) {
                    mounts.insert(node.clone(), how.clone());
                    mounts.insert(other_side(node), how.clone());
                }
                all[name]["mounts"] = Value::Object(mounts);
            }
        }
        if !all.is_empty() {
            out[section] = Value::Object(all);
        }
    }
    for (_, bar) in out.get_mut("anti_roll").and_then(Value::as_object_mut).into_iter().flatten() {
        bar["right"] = mirrored("right", &bar["left"]);
    }
    out
}

/// A random frame shifted to the left of the plane y = 0, so that nothing meets its own twin, with
/// all names ending in `.l` and one tube across; its loads act on both sides alike.
fn left_half(frame: &Frame) -> Frame {
    let named = |name: &str| format!("{name}.l");
    let mut model = json!({ "mirror": true });
    for (section, value) in entries(&frame.0) {
        model[section] = match section.as_str() {
            "nodes" | "brackets" | "members" | "mounts" | "bodies" => shifted(section, value),
            _ => value.clone(),
        };
    }
    model["members"]["across"] = json!({ "ends": ["n1.l", "n1.r"], "tube": "t1" });
    let mut both = Map::new();
    for (name, case) in entries(&frame.0["cases"]).iter().filter(|(_, case)| case.get("twist").is_none()) {
        let mut case = case.clone();
        for key in ["forces", "moments", "line_loads", "moved"] {
            if let Some(loads) = case.get(key) {
                let left = entries(loads).iter().map(|(name, load)| (named(name), load.clone()));
                case[key] = Value::Object(left.collect());
                let image = mirrored_case(&json!({ key: case[key] }));
                case[key].as_object_mut().expect("loads are an object").extend(entries(&image[key]).clone());
            }
        }
        if let Some(g) = case.get_mut("g").and_then(Value::as_object_mut) {
            g.insert("lat".to_owned(), json!(0.0));
        }
        both.insert(name.clone(), case);
    }
    model["cases"] = Value::Object(both);
    Frame(model)
}

/// A section's entries under names of the left side, 2 m further left.
fn shifted(key: &str, value: &Value) -> Value {
    let all_names = ["n", "b", "m", "bent", "body", "q"];
    let is_name = |text: &str| {
        text == "rack"
            || all_names.iter().any(|stem| text.strip_prefix(stem).is_some_and(|rest| rest.parse::<u32>().is_ok()))
    };
    match value {
        Value::Array(parts)
            if !["inertia", "up"].contains(&key) && parts.len() == 3 && parts.iter().all(Value::is_number) =>
        {
            three(&(vector(value) + Vector3::new(0.0, 2000.0, 0.0)))
        }
        Value::Array(parts) => parts.iter().map(|part| shifted(key, part)).collect(),
        Value::Object(keys) => {
            let name = |key: &String| if is_name(key) { format!("{key}.l") } else { key.clone() };
            keys.iter().map(|(key, value)| (name(key), shifted(key, value))).collect()
        }
        Value::String(text) if is_name(text) => json!(format!("{text}.l")),
        _ => value.clone(),
    }
}

fn the_same_in_a_mirror(frame: &Frame) -> Law {
    let mut image = frame.0.clone();
    for section in ["nodes", "brackets", "members", "mounts", "bodies"] {
        image[section] = mirrored(section, &frame.0[section]);
    }
    for (_, case) in image["cases"].as_object_mut().into_iter().flatten() {
        *case = mirrored_case(case);
    }
    let before = frame.solved_or_passed_over()?;
    let after = Frame(image).must_be_solved()?;
    for case in frame.cases() {
        in_case(&case, Answer::of(&before, &case).turned(&mirror()).check(&Answer::of(&after, &case)))?;
    }
    Ok(())
}

fn both_halves_are_mirror_images(frame: &Frame) -> Law {
    let frame = left_half(frame);
    let result = frame.solved_or_passed_over()?;
    let written = Frame(written_out(&frame.0)).must_be_solved()?;
    prop_assert_eq!(&result["cases"], &written["cases"], "twins written out are not the tool's");
    // The tube across is its own twin the other way round.
    let both = |name: &str| !name.starts_with("members.across.along");
    for case in frame.cases() {
        let image = Answer::renamed(&result, &case, other_side).turned(&mirror()).only(both);
        in_case(&case, image.check(&Answer::of(&result, &case).only(both)))?;
    }
    Ok(())
}

proptest! {
    #![proptest_config(cases(40))]

    #[test]
    fn a_frame_in_a_mirror_answers_as_its_mirror_image(frame in frame()) {
        the_same_in_a_mirror(&frame)?;
    }

    #[test]
    fn the_twins_of_a_mirrored_file_answer_as_mirror_images_of_each_other(frame in frame()) {
        both_halves_are_mirror_images(&frame)?;
    }
}
