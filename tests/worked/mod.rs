//! Worked models against an independent solver.
//!
//! `tests/reference/models/*.expected.json.gz` were made by a solver of another formulation
//! (member flexibility by integration, rigid parts and joints as constraints, extended-precision
//! refinement) from the format page alone, to 12 digits. Compared to 1e-7 of the largest quantity
//! of the kind in the case; at ties the place of a peak, and so the signs of its parts, may differ.

use serde_json::Value;

use crate::support::values::{entries, list, number};
use crate::support::{load, read, read_compressed, result};

const TOLERANCE: f64 = 1e-7;

/// Quantities that compare with each other.
fn kind(path: &[String]) -> &'static str {
    let has = |key: &str| path.iter().any(|step| step == key);
    let last = path.iter().rev().find(|step| step.parse::<usize>().is_err()).map(String::as_str).unwrap_or("");
    match last {
        "move" | "change" => "move",
        "turn" => "turn",
        "toe" | "camber" | "caster" => "wheel angle",
        "force" | "n" | "vy" | "vz" | "left" | "right" => "force",
        "moment" | "t" | "my" | "mz" => "moment",
        "von_mises" | "axial" | "bending" | "torsion" | "shear" => "stress",
        "at" => "at",
        "cg" => "cg",
        "yield" if has("utilisation") => "utilisation",
        "yield" => "own",
        _ => "own",
    }
}

fn numbers(value: &Value, path: &mut Vec<String>, found: &mut Vec<(Vec<String>, f64)>) {
    match value {
        Value::Number(_) => found.push((path.clone(), number(value))),
        Value::Array(elements) => {
            for (index, element) in elements.iter().enumerate() {
                path.push(index.to_string());
                numbers(element, path, found);
                path.pop();
            }
        }
        Value::Object(entries) => {
            for (key, entry) in entries {
                path.push(key.clone());
                numbers(entry, path, found);
                path.pop();
            }
        }
        _ => {}
    }
}

fn at<'v>(value: &'v Value, path: &[String]) -> Option<&'v Value> {
    path.iter().try_fold(value, |value, step| match value {
        Value::Array(elements) => elements.get(step.parse::<usize>().ok()?),
        other => other.get(step),
    })
}

/// Every number of `expected` must be in `actual`, within the tolerance of its kind.
fn compare(what: &str, expected: &Value, actual: &Value, differences: &mut Vec<String>) {
    let mut found = Vec::new();
    numbers(expected, &mut Vec::new(), &mut found);
    let largest = |wanted: &str| {
        found.iter().filter(|(path, _)| kind(path) == wanted).map(|(_, value)| value.abs()).fold(0.0, f64::max)
    };
    let kinds: Vec<(&str, f64)> =
        ["move", "turn", "wheel angle", "force", "moment", "stress", "utilisation", "at", "cg"]
            .map(|kind| (kind, largest(kind)))
            .into();
    for (path, wanted) in &found {
        if path.iter().any(|step| step == "peak") {
            continue; // looked at by `compare_peak`
        }
        let name = format!("{what}: {}", path.join("/"));
        let Some(given) = at(actual, path).and_then(Value::as_f64) else {
            differences.push(format!("{name} is missing"));
            continue;
        };
        let scale = kinds.iter().find(|(known, _)| *known == kind(path)).map_or(wanted.abs(), |(_, scale)| *scale);
        if (given - wanted).abs() > TOLERANCE * scale {
            differences.push(format!("{name}: {given} instead of {wanted}"));
        }
    }
}

/// The size of a peak; and its place and parts, unless another place is as large.
fn compare_peak(what: &str, expected: &Value, actual: &Value, scale: f64, differences: &mut Vec<String>) {
    let of = |value: &Value, key: &str| value["peak"][key].as_f64().unwrap_or(f64::NAN);
    let (wanted, given) = (of(expected, "von_mises"), of(actual, "von_mises"));
    let same = (given - wanted).abs() <= TOLERANCE * scale;
    if !same {
        differences.push(format!("{what}: peak {given} instead of {wanted}"));
        return;
    }
    let length = list(&expected["along"]).last().map_or(0.0, |end| number(&end["at"]));
    // A flat maximum: the place is only as sharp as the square root of the tolerance.
    if (of(expected, "at") - of(actual, "at")).abs() > 1e-3 * length {
        return;
    }
    let parts = ["axial", "bending", "torsion", "shear"];
    let same = parts.iter().all(|part| (of(expected, part) - of(actual, part)).abs() <= 1e-4 * scale);
    let mirrored = parts.iter().all(|part| (of(expected, part).abs() - of(actual, part).abs()).abs() <= 1e-4 * scale);
    if !same && !mirrored {
        differences.push(format!("{what}: peak parts {} instead of {}", actual["peak"], expected["peak"]));
    }
}

#[track_caller]
fn check_model(name: &str, option: Option<&str>) {
    let loaded = load(&read(&format!("reference/models/{name}.json")));
    let (model, file) = match option {
        None => (&loaded.base, format!("{name}.expected")),
        Some(option) => {
            let (_, model, _) =
                loaded.options.iter().find(|(known, _, _)| known == option).expect("the option is there");
            (model, format!("{name}.{}.expected", option.replace(' ', "-")))
        }
    };
    let expected = read_compressed(&format!("reference/models/{file}.json.gz"));
    let actual = result(model);
    let mut differences = Vec::new();
    for part in ["twist", "mass", "materials", "tubes"] {
        if let Some(expected) = expected.get(part) {
            compare(part, expected, &actual[part], &mut differences);
        }
    }
    for (case, expected) in entries(&expected["cases"]) {
        let actual = &actual["cases"][case];
        compare(case, expected, actual, &mut differences);
        let members = entries(&expected["members"]);
        let peaks = members.values().filter_map(|member| member["peak"]["von_mises"].as_f64());
        let scale = peaks.fold(0.0, f64::max);
        for (member, expected) in members.iter().filter(|(_, member)| member.get("peak").is_some()) {
            compare_peak(&format!("{case}: {member}"), expected, &actual["members"][member], scale, &mut differences);
        }
    }
    let count = differences.len();
    differences.truncate(25);
    assert!(differences.is_empty(), "{file}: {count} differences\n{}", differences.join("\n"));
}

#[test]
fn frame_000_agrees() {
    check_model("frame-000", None);
}

#[test]
fn frame_003_agrees() {
    check_model("frame-003", None);
}

#[test]
fn frame_006_agrees() {
    check_model("frame-006", None);
}

#[test]
fn frame_009_agrees() {
    check_model("frame-009", None);
}

#[test]
fn frame_012_agrees() {
    check_model("frame-012", None);
}

#[test]
fn front_double_wishbone_001_agrees() {
    check_model("front-double-wishbone-001", None);
}

#[test]
fn rear_double_wishbone_007_agrees() {
    check_model("rear-double-wishbone-007", None);
}

#[test]
fn front_strut_002_agrees() {
    check_model("front-strut-002", None);
}

#[test]
fn front_trailing_arm_004_agrees() {
    check_model("front-trailing-arm-004", None);
}

#[test]
fn front_links_005_agrees() {
    check_model("front-links-005", None);
}

#[test]
fn rear_strut_008_agrees() {
    check_model("rear-strut-008", None);
}

#[test]
fn rear_trailing_arm_010_agrees() {
    check_model("rear-trailing-arm-010", None);
}

#[test]
fn rear_links_011_agrees() {
    check_model("rear-links-011", None);
}

#[test]
fn front_double_wishbone_013_agrees() {
    check_model("front-double-wishbone-013", None);
}

#[test]
fn the_example_front_frame_agrees() {
    check_model("example-front", None);
}

#[test]
fn the_floor_k_option_of_the_example_agrees() {
    check_model("example-front", Some("floor K"));
}
