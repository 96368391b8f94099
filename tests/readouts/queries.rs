//! Odd read-outs are queried in the notes, and the demos' are not odd.

use crossbrace::model::Model;
use crossbrace::run::check;
use serde_json::json;

use super::drawn::Drawn;
use crate::support::{load, read, repository_file};

/// The warnings of a model that name a corner.
#[track_caller]
fn queried(model: &Model) -> Vec<String> {
    let checked = check(model, |_| true).unwrap_or_else(|faults| panic!("{faults:#?}"));
    assert_eq!(checked.notes()[..checked.warnings.len()], checked.warnings);
    checked
        .warnings
        .into_iter()
        .filter(|warning| warning.starts_with("front.") || warning.starts_with("rear."))
        .collect()
}

#[test]
fn a_trail_to_the_rear_is_queried_with_what_to_look_at() {
    let mut drawn = Drawn::level_wishbones();
    drawn.corner["lower"]["outer"] = json!([-10, 650, 180]);
    drawn.corner["upper"]["outer"] = json!([30, 650, 420]);
    assert_eq!(
        queried(&drawn.model()),
        [
            "front.l: trail is -40.0 mm; no car steers well with that: are front and rear swapped, or the two outer \
             points of the axis?",
            "front.l: caster is -9.46°; look at x of the two outer points of the steering axis",
        ]
    );
}

#[test]
fn what_both_sides_have_is_queried_once() {
    let one = Drawn::trailing_arm("rear");
    let mut text = one.text();
    // The arm reversed: it leads. The spring's foot goes with it.
    let mirror = |name: &str| format!("{name}.l");
    let nodes = [("P1", [-400, 600, 250]), ("P2", [-400, 420, 250]), ("S", [-100, 540, 600])];
    text["nodes"] = nodes.iter().map(|(name, at)| (mirror(name), json!(at))).collect();
    text["mounts"] = nodes.iter().map(|(name, _)| (mirror(name), json!("one bolt"))).collect();
    text["mirror"] = json!(true);
    let corner = &mut text["corners"]["rear.l"];
    corner["arm"]["pivots"] = json!(["P1.l", "P2.l"]);
    corner["spring"]["top"] = json!("S.l");
    corner["spring"]["bottom"] = json!([-100, 540, 280]);
    assert_eq!(
        queried(&load(&text.to_string()).base),
        [
            "rear.l and rear.r: anti-lift is -150 %; look at the height of the arm's pivots over the ground, and at \
             their distance from the wheel centre, seen from the side",
            "rear.l and rear.r: both pivots of its trailing arm are behind the wheel centre, so that it leads; look at x of \
          the pivots: are front and rear swapped?"
        ]
    );
}

#[test]
fn anti_dive_and_its_like_are_queried_with_what_each_kind_of_corner_has() {
    let looks_at = Drawn::all().into_iter().map(|drawn| {
        let mut text = drawn.text();
        // The lower the centre of gravity, the larger the percentage of the same slopes.
        text["vehicle"]["cg"]["height"] = json!(1);
        if drawn.corner["kind"] == "strut" {
            text["nodes"]["LF"] = json!([150, 300, 240]);
        }
        let queried = queried(&load(&text.to_string()).base);
        let anti = queried.iter().find(|query| query.contains(": anti-")).unwrap_or_else(|| panic!("{queried:?}"));
        anti.split_once("; look at ").unwrap().1.to_owned()
    });
    assert_eq!(
        looks_at.collect::<Vec<_>>(),
        [
            "the slopes of both wishbones' pivot lines seen from the side",
            "the slope of the lower arm's pivot line and at the lean of the strut, both seen from the side",
            "the height of the arm's pivots over the ground, and at their distance from the wheel centre, seen from the side",
            "the slopes of the links seen from the side",
        ]
    );
}

#[test]
fn a_spring_that_hardly_moves_is_queried() {
    let mut drawn = Drawn::level_wishbones();
    drawn.node("S", [0.0, 390.0, 560.0]);
    drawn.corner["spring"] = json!({"top": "S", "bottom": [0, 390, 200], "on": ["lower.front", "lower.rear"]});
    assert_eq!(
        queried(&drawn.model()),
        ["front.l: spring's motion ratio is 0.133; look at both eyes of the spring, and at what its foot is on"]
    );
}

#[test]
fn no_demo_is_queried_and_of_the_worked_models_only_a_strut_that_leans_36_degrees() {
    let mut found = Vec::new();
    for folder in ["models", "tests/models", "tests/reference/models"] {
        let mut files: Vec<_> =
            std::fs::read_dir(repository_file(folder)).unwrap().map(|entry| entry.unwrap().path()).collect();
        files.retain(|file| file.extension().is_some_and(|ending| ending == "json"));
        files.retain(|file| file.file_name().is_none_or(|name| name != "model.schema.json"));
        files.sort();
        for file in files {
            let name = file.file_name().unwrap().to_string_lossy().into_owned();
            let text = read(&file.to_string_lossy());
            found.extend(queried(&load(&text).base).into_iter().map(|query| format!("{name}: {query}")));
        }
    }
    assert_eq!(
        found,
        ["front-strut-002.json: front.l and front.r: steering-axis inclination is 35.8°; look at y of the two outer \
          points of the steering axis"]
    );
}
