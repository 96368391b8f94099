//! Random frames and cars of which some tubes are added, taken away or made of another size.

use crossbrace::solve::{Base, Change, Route};
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use serde_json::{Value, json};

use super::{Differences, model_of, names, solved};
use crate::laws::cars::car;
use crate::laws::frames::{Frame, frame};
use crate::support::values::entries;

/// What becomes of one tube.
#[derive(Debug, Clone)]
enum Act {
    Add,
    Remove,
    Resize(Index),
}

fn act() -> impl Strategy<Value = (Index, Act)> {
    let act = prop_oneof![
        2 => Just(Act::Add),
        2 => Just(Act::Remove),
        3 => any::<Index>().prop_map(Act::Resize),
    ];
    (any::<Index>(), act)
}

/// The text without a member, and without what names it.
pub(super) fn without(text: &mut Value, member: &str) {
    text["members"].as_object_mut().unwrap().shift_remove(member);
    for case in text["cases"].as_object_mut().unwrap().values_mut() {
        if let Some(lines) = case.get_mut("line_loads").and_then(Value::as_object_mut) {
            lines.shift_remove(member);
            if lines.is_empty() {
                case.as_object_mut().unwrap().shift_remove("line_loads");
            }
        }
    }
}

/// How the answer differs, and whether it came from the factor of the base; `None` where one of the frames does not
/// stand well, or the change cannot be drawn.
fn tried(frame: &Frame, acts: &[(Index, Act)]) -> Option<(f64, Route)> {
    let whole = model_of(&frame.0)?;
    let (prepared, sides) = solved(&whole)?;
    let all = names(&whole, &prepared);
    let members: Vec<String> = entries(&frame.0["members"]).keys().cloned().collect();
    let sizes: Vec<String> = entries(&frame.0["tubes"]).keys().cloned().collect();
    let (mut text, mut base_text) = (frame.0.clone(), frame.0.clone());
    let (mut absent, mut touched): (Vec<usize>, Vec<String>) = (Vec::new(), Vec::new());
    for (which, act) in acts {
        let member = &members[which.index(members.len())];
        if touched.contains(member) {
            continue;
        }
        touched.push(member.clone());
        match act {
            Act::Add => {
                without(&mut base_text, member);
                absent.extend(all.iter().enumerate().filter(|(_, name)| is_of(name, member)).map(|(at, _)| at));
            }
            Act::Remove => without(&mut text, member),
            Act::Resize(to) => text["members"][member]["tube"] = json!(sizes[to.index(sizes.len())]),
        }
    }
    // A tube that something stands on is not taken away.
    model_of(&base_text)?;
    let changed = model_of(&text)?;
    let (fresh, fresh_sides) = solved(&changed)?;
    let now = names(&changed, &fresh);
    let changes: Vec<Change> = all
        .iter()
        .enumerate()
        .filter(|(_, name)| touched.iter().any(|member| is_of(name, member)))
        .map(|(tube, name)| {
            let to = now.iter().position(|other| other == name);
            Change {
                tube,
                to: to.map(|to| fresh.system.structure.tubes[to].clone()),
                loads_n_mm: fresh_sides
                    .iter()
                    .map(|side| to.map_or_else(nalgebra::Vector3::zeros, |to| side.on_tubes[to]))
                    .collect(),
            }
        })
        .collect();
    let base = Base::new(&prepared.system, &absent, &sides).ok()?;
    let Ok(answer) = base.with(&changes) else {
        // The turn of a node that nothing resists any more is held in a numbering of its own.
        assert!(!fresh.held.is_empty(), "it stands when it is solved whole: {frame:?}");
        return None;
    };
    let mut worst: f64 = 0.0;
    for (case, side) in fresh_sides.iter().enumerate() {
        let mut differences = Differences::default();
        let (x, _) = fresh
            .solved
            .unknowns(&fresh.system, &nalgebra::DMatrix::from_columns(std::slice::from_ref(&side.unknowns)));
        let state = fresh.system.state(side, &x.column(0).into_owned());
        for (one, other) in answer.parts[case].iter().zip(&state.parts) {
            differences.add_motions(one, other);
        }
        for (tube, name) in fresh.system.structure.tubes.iter().zip(&now) {
            let before = &prepared.system.structure.tubes[all.iter().position(|other| other == name).unwrap()];
            for (one, other) in before.pieces.clone().zip(tube.pieces.clone()) {
                let one = answer.diagrams[case][one].as_ref().expect("the tube is there");
                differences.add_forces(one, &state.pieces[other].diagram);
            }
        }
        worst = worst.max(differences.worst(&state.least));
    }
    Some((worst, answer.route))
}

/// Whether a tube of a structure is a member of the text or the twin that its mirror makes of it.
pub(super) fn is_of(name: &str, member: &str) -> bool {
    name == member || member.strip_suffix(".l").is_some_and(|stem| name == format!("{stem}.r"))
}

#[test]
fn a_thousand_changes_of_random_frames_and_cars_give_what_a_whole_new_solution_gives_to_1e_8() {
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[7; 32]);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let strategy = (prop_oneof![4 => frame(), 1 => car()], prop::collection::vec(act(), 1..=4));
    let (mut compared, mut corrected, mut cars, mut draws) = (0, 0, 0, 0);
    let mut worst: f64 = 0.0;
    while compared < 1000 {
        draws += 1;
        assert!(draws < 20_000, "{compared} of {draws} could be compared");
        let (frame, acts) = strategy.new_tree(&mut runner).expect("no draw is filtered out").current();
        let Some((differs, route)) = tried(&frame, &acts) else { continue };
        assert!(differs <= 1e-8, "{differs:e} after {acts:?}, {route:?}: {frame:?}");
        compared += 1;
        worst = worst.max(differs);
        corrected += usize::from(matches!(route, Route::Corrected(_)));
        cars += usize::from(frame.0.get("corners").is_some());
    }
    assert!(corrected > 900, "only {corrected} came from the factor of the base");
    assert!(cars > 100, "only {cars} had corners");
    println!("{worst:e} at worst; {corrected} corrected, {cars} cars, {draws} draws");
}
