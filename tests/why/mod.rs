//! Why a tube is stressed, a pick-up moves, a wheel turns: parts that add up, and that are so.

mod command;

use crossbrace::loads::Cause;
use crossbrace::model::{Model, Target, Wheel};
use crossbrace::report::why::cause_name;
use crossbrace::run::{Prepared, Response, prepare, respond};
use crossbrace::structure::{Purpose, TubeName};
use crossbrace::studies::{Question, Reasons, Why};
use serde_json::{Value, json};

use crate::support::values::{entries, number};
use crate::support::{load, read, repository_file, result, test_file};

/// The text of every model of a folder.
fn models_in(folder: &str) -> Vec<(String, String)> {
    let mut models = Vec::new();
    for entry in std::fs::read_dir(repository_file(folder)).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if name.ends_with(".json") && name != "model.schema.json" {
            models.push((name, std::fs::read_to_string(path).unwrap()));
        }
    }
    models.sort();
    models
}

fn solved(model: &Model) -> (Prepared, Response) {
    let prepared = prepare(model, Purpose::Statics).unwrap();
    let response = respond(model, &prepared, |_| true).unwrap();
    (prepared, response)
}

/// Everything that can be asked of a model.
fn questions(model: &Model, prepared: &Prepared) -> Vec<Question> {
    let structure = &prepared.system.structure;
    let tubes = (0..structure.tubes.len())
        .filter(|tube| !matches!(structure.tubes[*tube].name, TubeName::Spring(_)))
        .map(Question::Stress);
    let corners = (0..model.corners.len()).flat_map(|corner| [Question::Toe(corner), Question::Camber(corner)]);
    tubes.chain(model.anchors().map(Question::Movement)).chain(corners).collect()
}

#[track_caller]
fn assert_adds_up(why: &Why, floor: f64, what: &str) {
    let sum: f64 = why.parts.iter().map(|(_, value)| value).sum();
    let largest = why.parts.iter().map(|(_, value)| value.abs()).fold(why.total.abs(), f64::max);
    // Figures of a thousandth of the floor are round-off of the case's larger ones.
    assert!(
        (sum - why.total).abs() <= 1e-9 * largest.max(floor),
        "{what}: parts make {sum}, the whole is {}",
        why.total
    );
}

#[test]
fn the_parts_of_every_answer_of_every_model_add_up() {
    for (name, text) in ["models", "tests/models", "tests/reference/models"].into_iter().flat_map(models_in) {
        let model = load(&text).base;
        let (prepared, response) = solved(&model);
        let reasons = Reasons::new(&model, &prepared, &response).unwrap();
        // A question costs a solution of every case: of each model the cases take turns.
        for (at, question) in questions(&model, &prepared).into_iter().enumerate() {
            let case = &response.cases[at % response.cases.len()];
            let answer = reasons.why(case, question).unwrap();
            let floor = if matches!(question, Question::Stress(_)) { 1.0 } else { 1e-2 };
            assert_adds_up(&answer, floor, &format!("{name}, {}, {question:?}", case.name));
        }
    }
}

#[test]
fn every_tube_of_every_demo_in_every_case_adds_up_to_its_peak_stress() {
    for (name, text) in models_in("models") {
        let model = load(&text).base;
        let (prepared, response) = solved(&model);
        let reasons = Reasons::new(&model, &prepared, &response).unwrap();
        let all = result(&model);
        for case in &response.cases {
            for question in questions(&model, &prepared) {
                let Question::Stress(tube) = question else { continue };
                let answer = reasons.why(case, question).unwrap();
                let tube = prepared.system.structure.tube_name(&model, tube);
                assert_adds_up(&answer, 1.0, &format!("{name}, {}, {tube}", case.name));
                let peak = number(&all["cases"][&case.name]["members"][&tube]["peak"]["von_mises"]);
                assert!((answer.total - peak).abs() <= 1e-9 * peak.max(1.0), "{tube}: {} and {peak}", answer.total);
            }
        }
    }
}

/// A model with half of the load at a path: of its only load no case can do without.
fn with_half(model: &Value, path: &[&str]) -> Model {
    fn halve(value: &mut Value) {
        match value {
            Value::Array(list) => list.iter_mut().for_each(halve),
            Value::Object(entries) => entries.values_mut().for_each(halve),
            number => *number = json!(0.5 * number.as_f64().unwrap()),
        }
    }
    let mut model = model.clone();
    halve(path.iter().fold(&mut model, |value, key| value.get_mut(*key).unwrap()));
    load(&model.to_string()).base
}

/// What is told of half a load is the difference that the model makes with the other half: for how far
/// each node moves, in the direction in which it moves in the end.
#[test]
fn half_of_a_load_taken_out_of_the_model_takes_away_half_of_what_it_was_told_to_make() {
    let stand: Value = serde_json::from_str(&read("models/stand.json")).unwrap();
    let loads: [(&Value, &[&str]); 6] = [
        (&stand, &["cases", "hanging", "forces", "C"]),
        (&stand, &["cases", "hanging", "moments", "engine"]),
        (&stand, &["cases", "pulled", "line_loads", "hoop"]),
        (&stand, &["cases", "pulled", "moved", "E"]),
        (&demo(), &["cases", "jack under the nose", "forces", "NE"]),
        (&demo(), &["cases", "tow pull", "forces", "NE"]),
    ];
    for (text, path) in loads {
        let (with, less) = (load(&text.to_string()).base, with_half(text, path));
        let (prepared, response) = solved(&with);
        let reasons = Reasons::new(&with, &prepared, &response).unwrap();
        let case = response.cases.iter().find(|case| case.name == path[1]).unwrap();
        let [whole, rest] = [&with, &less].map(result);
        let place = |of: &Value, node: &str| {
            let [case, standing] = [path[1], "standing"].map(|case| of["cases"][case]["nodes"].get(node).cloned());
            let relative = with.cases[path[1]].g.is_some();
            let of = |node: &Value| [0, 1, 2].map(|axis| number(&node["move"][axis]));
            let standing = standing.filter(|_| relative).map_or([0.0; 3], |node| of(&node));
            let moved = of(&case.unwrap());
            [0, 1, 2].map(|axis| moved[axis] - standing[axis])
        };
        for anchor in with.anchors() {
            let name = with.anchor_name(anchor);
            let answer = reasons.why(case, Question::Movement(anchor)).unwrap();
            let is_told = |cause: &Cause| match (cause, path[2]) {
                (Cause::Force(Target::Anchor(on)), "forces") => with.anchor_name(*on) == path[3],
                (Cause::Moment(Target::Body(_)), "moments") => true,
                (Cause::LineLoad(_), "line_loads") | (Cause::Moved(_), "moved") => true,
                _ => false,
            };
            let claimed: f64 = answer.parts.iter().filter(|(cause, _)| is_told(cause)).map(|(_, value)| value).sum();
            let (whole, rest) = (place(&whole, name), place(&rest, name));
            let size = whole.iter().map(|value| value * value).sum::<f64>().sqrt();
            let found: f64 =
                if size > 0.0 { (0..3).map(|axis| (whole[axis] - rest[axis]) * whole[axis] / size).sum() } else { 0.0 };
            assert!((0.5 * claimed - found).abs() <= 1e-9, "{path:?}, {name}: half of {claimed}, and {found}");
        }
    }
}

/// A demo whose case `kerb` has wheel forces given, and those of one wheel.
fn with_wheels(mut model: Value, force: [f64; 3]) -> Model {
    // Without a moment of its own: the trail's would go with fy.
    let wheel = json!({"force": force, "moment": [0, 0, 0], "at": "patch"});
    let case = json!({"g": {}, "wheels": {"front.l": wheel}});
    model["cases"].as_object_mut().unwrap().insert("asked".to_owned(), case);
    load(&model.to_string()).base
}

fn demo() -> Value {
    let text = std::fs::read_to_string(repository_file("models/hillclimb-front-subframe.json")).unwrap();
    serde_json::from_str(&text).unwrap()
}

fn part(answer: &Why, cause: Cause) -> f64 {
    answer.parts.iter().find(|(known, _)| *known == cause).map_or(0.0, |(_, value)| *value)
}

#[test]
fn a_wheel_force_taken_away_takes_away_what_it_was_told_to_make() {
    let force = [-2200.0, -500.0, 5600.0];
    let model = with_wheels(demo(), force);
    let (prepared, response) = solved(&model);
    let reasons = Reasons::new(&model, &prepared, &response).unwrap();
    let case = response.cases.iter().find(|case| case.name == "asked").unwrap();
    let corner = model.corners.iter().position(|corner| corner.wheel.name() == "front.l").unwrap();
    let with = result(&model);
    let wheel = Wheel::named("front.l").unwrap();
    for axis in 0..3 {
        let mut less = force;
        less[axis] = 0.0;
        let without = result(&with_wheels(demo(), less));
        let angle = |of: &Value, key: &str| number(&of["cases"]["asked"]["wheels"]["front.l"][key]);
        for (question, key) in [(Question::Toe(corner), "toe"), (Question::Camber(corner), "camber")] {
            let answer = reasons.why(case, question).unwrap();
            // The standing car has a share of this tyre's force too, which `why` takes off.
            let standing = response.cases.iter().find(|case| case.name == "standing").unwrap();
            let rest = part(&reasons.why(standing, question).unwrap(), Cause::Tyre(wheel, axis));
            assert!(rest.abs() < 1e-12, "standing does not change from standing: {rest}");
            let claimed = part(&answer, Cause::Tyre(wheel, axis));
            let at_rest = number(&with["cases"]["standing"]["wheels"]["front.l"]["force"][axis]);
            let found = (angle(&with, key) - angle(&without, key)) * (force[axis] - at_rest) / force[axis];
            assert!((claimed - found).abs() < 1e-9, "{key}, axis {axis}: {claimed} and {found}");
        }
    }
}

#[test]
fn the_torque_of_a_shaft_on_the_body_that_takes_it_is_told_apart_from_its_tyre() {
    let text = std::fs::read_to_string(test_file("reference/models/front-double-wishbone-001.json")).unwrap();
    let model = load(&text).base;
    let without: Value =
        serde_json::from_str(&text.replace("\"takes_drive_torque\": true", "\"takes_drive_torque\": false")).unwrap();
    let (with, without) = (result(&model), result(&load(&without.to_string()).base));
    let (prepared, response) = solved(&model);
    let reasons = Reasons::new(&model, &prepared, &response).unwrap();
    let mut told = 0;
    for case in &response.cases {
        for (at, corner) in model.corners.iter().enumerate() {
            let wheel = corner.wheel.name();
            let answer = reasons.why(case, Question::Toe(at)).unwrap();
            let on_shafts = || answer.parts.iter().filter(|(cause, _)| matches!(cause, Cause::Shaft(..)));
            let names: Vec<String> = on_shafts().map(|(cause, _)| cause_name(&model, *cause)).collect();
            let toe = |of: &Value| number(&of["cases"][&case.name]["wheels"][wheel]["toe"]);
            let claimed: f64 = on_shafts().map(|(_, value)| value).sum();
            assert!((claimed - (toe(&with) - toe(&without))).abs() < 1e-9, "{}, {wheel}: {claimed}", case.name);
            assert!(names.iter().all(|name| name.starts_with("shaft of ") && name.contains(" on ")), "{names:?}");
            told += names.len();
        }
    }
    assert!(told > 0, "a case drives or brakes through shafts");
}

#[test]
fn the_sources_of_every_change_of_a_wheel_add_up_to_it() {
    for (name, text) in ["models", "tests/models", "tests/reference/models"].into_iter().flat_map(models_in) {
        let all = result(&load(&text).base);
        for (case, outcome) in entries(&all["cases"]) {
            for (wheel, moved) in entries(&outcome["wheels"]).iter().filter(|(_, wheel)| wheel.get("sources").is_some())
            {
                for angle in ["toe", "camber"] {
                    let sum: f64 = entries(&moved["sources"][angle]).values().map(number).sum();
                    let change = number(&moved["change"][angle]);
                    assert!((sum - change).abs() < 1e-9, "{name}, {case}, {wheel}, {angle}: {sum} and {change}");
                }
            }
        }
    }
}

/// A rack on soft mounts moves the tie rods and so the toe; a frame of bars that hardly give adds little.
#[test]
fn a_soft_rack_is_told_as_steering() {
    let mut model = demo();
    let rack = json!({"x": 400, "y": 400, "z": 400, "ry": 4e4, "rz": 4e4, "rx": 4e4});
    model["bodies"]["steering rack"]["mounts"]["RC.l"] = rack;
    let all = result(&load(&model.to_string()).base);
    let stiff = result(&load(&demo().to_string()).base);
    let steering = |of: &Value| number(&of["cases"]["left bend"]["wheels"]["front.r"]["sources"]["toe"]["steering"]);
    assert!(steering(&all).abs() > 20.0 * steering(&stiff).abs(), "{} and {}", steering(&all), steering(&stiff));
}
