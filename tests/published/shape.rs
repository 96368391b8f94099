//! The shape of a tube between its ends, with which sheets are drawn, against published movements.
//!
//! `prove` looks at those places through a bracket, which cuts the tube inside the solver. Here the
//! bracket is taken out of the model.

use crossbrace::model::load;
use crossbrace::proof::{Figure, Quantity, Subject, topics};
use crossbrace::run::check;
use crossbrace::source::Document;
use nalgebra::{Point3, Vector3};
use serde_json::Value;

use crate::support::values::{vector, word};

#[test]
fn the_shape_between_the_ends_meets_the_published_movements() {
    let mut places = 0;
    for case in topics().iter().flat_map(|topic| &topic.cases) {
        let Subject::Model(document, _) = &case.subject else { continue };
        let model: Value = serde_json::from_str(&document.text).expect("the case holds a model");
        for ask in &case.asks {
            let Some(Quantity::Move(axis)) = ask.quantity else { continue };
            let bracket = &model["brackets"][&ask.of[0]];
            // A load on a tube through brackets is no load that the shape knows.
            let is_loaded = |name: &String| !model["cases"]["published"]["forces"][name].is_null();
            let brackets = model["brackets"].as_object();
            if bracket.is_null() || brackets.is_some_and(|all| all.keys().any(is_loaded)) {
                continue;
            }
            let given = shape(&model, word(&bracket["on"]), &vector(&bracket["at"]))[axis] / ask.unit_is;
            let Figure::Number(wanted) = ask.published else { panic!("a movement is a number") };
            assert!((given - wanted).abs() <= ask.tolerance, "{}: {}: {given}", case.id, ask.words());
            places += 1;
        }
    }
    assert!(places >= 8, "only {places} places are looked at");
}

/// Movement of a place on a member from the shape of its axis, mm, global axes.
fn shape(model: &Value, member: &str, at: &Vector3<f64>) -> Vector3<f64> {
    let mut without = model.clone();
    without.as_object_mut().expect("a model is an object").remove("brackets");
    let document = Document::read(without.to_string().into_bytes()).expect("this is JSON");
    let model = load(&document).unwrap_or_else(|problems| panic!("{problems:#?}"));
    let checked = check(&model, |_| true).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let system = &checked.prepared.system;
    let tube = checked.outcome.cases["published"].members[member].tube;
    let first = model.member_axis(&model.members[member])[0];
    let x = (Point3::from(*at) - first).norm();
    let holds = |piece: &usize| {
        let drawn = &system.structure.pieces[*piece];
        (drawn.start_mm..=drawn.start_mm + drawn.axes.length_mm).contains(&x)
    };
    let piece = system.structure.tubes[tube].pieces.clone().find(holds).expect("the pieces fill the tube");
    let (drawn, state) = (&system.structure.pieces[piece], &checked.response.cases[0].state.pieces[piece]);
    let local = state.diagram.shift(&system.pieces[piece].beam, &state.tube_motions, x - drawn.start_mm);
    drawn.axes.rotation.transpose() * local
}
