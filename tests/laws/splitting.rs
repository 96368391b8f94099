//! Where a tube is cut, in the model or in the solver, changes nothing.

use crossbrace::math::{ChosenEngine, Engine};
use crossbrace::model::Model;
use crossbrace::report::{Report, json};
use crossbrace::run::{Prepared, judge, outcome, prepare, respond};
use crossbrace::solve::{System, solve};
use crossbrace::structure::Purpose;
use nalgebra::Vector3;
use proptest::prelude::*;
use proptest::sample::Index;
use serde_json::{Map, Value, json};

use super::answers::{Answer, carried, largest_move_mm, next_to_nothing};
use super::frames::{Frame, frame};
use super::geometry::{default_up, foot_on_segment, place_of, places_of_member};
use super::{Law, cases, in_case};
use crate::support::values::{entries, list, number, three, word};

/// The result of a model whose every straight stretch of tube is cut into so many pieces, and by
/// case the least force (N) and moment (N·mm) that the tool tells from round-off, which short pieces
/// raise.
fn in_pieces(model: &Model, pieces: usize) -> Result<(Value, Vec<[f64; 2]>), TestCaseError> {
    let refused = |faults: Vec<crossbrace::model::Fault>| TestCaseError::fail(format!("refused in pieces: {faults:?}"));
    let whole = prepare(model, Purpose::Statics).map_err(refused)?;
    let (structure, numbering) = whole.system.cut(&vec![pieces; whole.system.pieces.len()]);
    let system = System::new(structure, numbering);
    let Ok(solved) = solve(&system, ChosenEngine.plan(&system.numbering.pattern).as_ref()) else {
        return Err(TestCaseError::reject("nearly loose: short pieces are too stiff beside it"));
    };
    let prepared = Prepared { system, solved, held: whole.held };
    if prepared.solved.condition > 1e11 {
        return Err(TestCaseError::reject("nearly loose: short pieces are too stiff beside it"));
    }
    let response = respond(model, &prepared, |_| true).map_err(refused)?;
    let outcome = outcome(model, &prepared, &response);
    let verdict = judge(model, &prepared, &response, &outcome);
    let report = Report {
        file: "test.json",
        sha256: "",
        option: None,
        model,
        prepared: &prepared,
        response: &response,
        outcome: &outcome,
        verdict: &verdict,
        unknowns: None,
        positions: None,
        notes: &[],
    };
    let least = response.cases.iter().map(|case| [case.state.least.force_n, case.state.least.moment_nmm]).collect();
    Ok((serde_json::from_str(&json::text(&report)).unwrap(), least))
}

/// Everything but the stations along tubes, of which pieces have more.
fn without_stations(result: &Value, case: &str) -> Answer {
    Answer::of(result, case).only(|name| !name.contains(".along."))
}

fn same_in_pieces(frame: &Frame, pieces: usize) -> Law {
    let whole = frame.solved_or_passed_over()?;
    let (cut, least) = in_pieces(&frame.model(), pieces)?;
    for (case, least) in frame.cases().into_iter().zip(least) {
        let cut = without_stations(&cut, &case).with_nothing(least);
        in_case(&case, without_stations(&whole, &case).check(&cut))?;
    }
    Ok(())
}

/// A straight member cut in two at a part of its length.
struct Split {
    frame: Frame,
    member: String,
    /// Names of the two halves.
    halves: [String; 2],
    at_mm: f64,
}

/// Cuts a member between its ends, if there is one that a new node fits on.
fn split(frame: &Frame, which: Index, part: f64) -> Option<Split> {
    let straight: Vec<&String> = entries(&frame.0["members"])
        .iter()
        .filter(|(_, member)| member.get("ends").is_some())
        .map(|(name, _)| name)
        .collect();
    let name = straight[which.index(straight.len())].clone();
    let member = &frame.0["members"][&name];
    let points = places_of_member(&frame.0, member);
    let (first, second) = (points[0], points[1]);
    let place = first + (second - first) * part;
    let length = (second - first).norm();
    // What stands on the tube must clearly stand on one of the halves.
    let on_it = |on: &Value| on == &json!(name) || on.as_array().is_some_and(|names| names.contains(&json!(name)));
    let brackets: Vec<&String> = entries(&frame.0["brackets"])
        .iter()
        .filter(|(_, bracket)| on_it(&bracket["on"]))
        .map(|(name, _)| name)
        .collect();
    let foot = |bracket: &str| foot_on_segment(&place_of(&frame.0, bracket), &first, &second) * length;
    if brackets.iter().any(|bracket| (foot(bracket) - part * length).abs() < 5.0) {
        return None;
    }
    let mut model = frame.0.clone();
    let halves = [format!("{name} first"), format!("{name} second")];
    model["nodes"]["middle"] = three(&place);
    for bracket in brackets {
        let half = &halves[usize::from(foot(bracket) > part * length)];
        let on = &mut model["brackets"][bracket]["on"];
        *on = match on.as_array() {
            None => json!(half),
            Some(names) => names.iter().map(|other| if *other == name { json!(half) } else { other.clone() }).collect(),
        };
    }
    cut_member(&mut model, &name, &halves, &points);
    for (_, case) in model["cases"].as_object_mut()? {
        let load = case.get_mut("line_loads").and_then(|loads| loads.as_object_mut()?.remove(&name));
        if let Some(load) = load {
            case["line_loads"][&halves[0]] = load.clone();
            case["line_loads"][&halves[1]] = load;
        }
    }
    Some(Split { frame: Frame(model), member: name, halves, at_mm: part * length })
}

/// Replaces a member by its halves, joined to each other by a weld at the node `middle`.
fn cut_member(model: &mut Value, name: &str, halves: &[String; 2], points: &[Vector3<f64>]) {
    let mut member = model["members"][name].clone();
    let ends = [word(&member["ends"][0]).to_owned(), word(&member["ends"][1]).to_owned()];
    let joint = member.get("joint").cloned().unwrap_or(json!("weld"));
    let joints = match joint.as_array() {
        Some(joints) => [joints[0].clone(), joints[1].clone()],
        None => [joint.clone(), joint],
    };
    let end_at = member.get("end_at").map_or([Value::Null, Value::Null], |ends| [ends[0].clone(), ends[1].clone()]);
    if member.get("up").is_none() {
        member["up"] = three(&default_up(points));
    }
    let members = std::mem::take(&mut model["members"]);
    let mut all = Map::new();
    for (other, drawn) in entries(&members) {
        if other != name {
            all.insert(other.clone(), drawn.clone());
            continue;
        }
        for half in [0, 1] {
            let mut drawn = member.clone();
            let mut new_ends = [json!(ends[0]), json!("middle")];
            let mut new_joints = [joints[0].clone(), json!("weld")];
            let mut own = [end_at[0].clone(), Value::Null];
            if half == 1 {
                new_ends = [json!("middle"), json!(ends[1])];
                new_joints = [json!("weld"), joints[1].clone()];
                own = [Value::Null, end_at[1].clone()];
            }
            drawn["ends"] = json!(new_ends);
            drawn["joint"] = json!(new_joints);
            drawn["end_at"] = json!(own);
            all.insert(halves[half].clone(), drawn);
        }
    }
    model["members"] = Value::Object(all);
}

/// The internal forces of a tube at a distance from its first end: the parabola through the three
/// stations of the piece there.
fn inside(member: &Value, at_mm: f64) -> [f64; 6] {
    let stations = list(&member["along"]);
    let at = |station: &Value| number(&station["at"]);
    let piece = stations.chunks(3).find(|piece| at_mm <= at(&piece[2])).unwrap_or(&stations[stations.len() - 3..]);
    let x = (at_mm - at(&piece[0])) / (at(&piece[2]) - at(&piece[0]));
    let weights = [(1.0 - x) * (1.0 - 2.0 * x), 4.0 * x * (1.0 - x), x * (2.0 * x - 1.0)];
    ["n", "vy", "vz", "t", "my", "mz"]
        .map(|key| piece.iter().zip(weights).map(|(station, weight)| number(&station[key]) * weight).sum())
}

/// The halves carry what the whole carried, and the larger of what both are judged at is the same.
///
/// Where the frame `buckles` below ten times the load, the column is left out: which tubes take part in that is told of
/// each half, and one may do less than a tenth of what the first tube does.
fn halves_are_the_whole(before: &Value, after: &Value, split: &Split, buckles: bool) -> Result<(), String> {
    let whole = &before["members"][&split.member];
    let halves = [0, 1].map(|half: usize| &after["members"][&split.halves[half]]);
    let error = number(&before["accuracy"]["error"]) + number(&after["accuracy"]["error"]);
    let floor = largest_move_mm(before).max(1.0);
    let mut largest = [floor; 2];
    for member in entries(&before["members"]).values() {
        for station in list(&member["along"]) {
            largest[0] = ["n", "vy", "vz"].iter().fold(largest[0], |most, key| most.max(number(&station[*key]).abs()));
            largest[1] = ["t", "my", "mz"].iter().fold(largest[1], |most, key| most.max(number(&station[*key]).abs()));
        }
    }
    for (half, start) in halves.iter().zip([0.0, split.at_mm]) {
        for station in list(&half["along"]) {
            // At a jump the whole has two values; its stations there are those of the half's own end.
            let at = number(&station["at"]) + start;
            let own = ["n", "vy", "vz", "t", "my", "mz"].map(|key| number(&station[key]));
            let near = [inside(whole, at - 1e-7), inside(whole, at + 1e-7)];
            for (place, value) in own.into_iter().enumerate() {
                let apart = near.iter().map(|whole| (whole[place] - value).abs()).fold(f64::INFINITY, f64::min);
                if apart > (1e-8 + error) * largest[place / 3] {
                    return Err(format!(
                        "{} at {at}: {value} is off by {apart:e} of {}",
                        split.member,
                        largest[place / 3]
                    ));
                }
            }
        }
    }
    let same = |what: &str, read: &dyn Fn(&Value) -> f64, floor: f64| {
        let (one, two) = (read(whole), read(halves[0]).max(read(halves[1])));
        let most = entries(&before["members"]).values().map(read).fold(floor, f64::max);
        if (one - two).abs() <= (1e-9 + error) * most {
            Ok(())
        } else {
            Err(format!("{what} of {}: {one}, and {two} of its halves; the largest is {most}", split.member))
        }
    };
    same("peak", &|member| number(&member["peak"]["von_mises"]), floor)?;
    // Yield differs: there is a weld in the middle now.
    let (carried, nothing) = (carried(whole), [next_to_nothing(before), next_to_nothing(after)]);
    let is_nothing = [0, 1].map(|kind: usize| carried[kind] <= nothing[0][kind] + nothing[1][kind]);
    if !is_nothing[0] && !buckles {
        same("column", &|member| member["utilisation"]["column"].as_f64().unwrap_or(0.0), 1e-2 * floor)?;
    }
    if !(is_nothing[0] && is_nothing[1]) {
        same("wall", &|member| member["utilisation"]["wall"].as_f64().unwrap_or(0.0), 1e-2)?;
    }
    Ok(())
}

proptest! {
    #![proptest_config(cases(64))]

    #[test]
    fn a_tube_cut_by_a_node_in_two_carries_the_same(frame in frame(), which in any::<Index>(), part in 0.1..0.9) {
        let Some(split) = split(&frame, which, part) else { return Err(TestCaseError::reject("a bracket is in the way")) };
        let before = frame.solved_or_passed_over()?;
        let after = split.frame.must_be_solved()?;
        for case in frame.cases() {
            let all_else = |name: &str| {
                !name.starts_with(&format!("members.{}.", split.member))
                    && !split.halves.iter().any(|half| name.starts_with(&format!("members.{half}.")))
                    && !name.starts_with("nodes.middle.")
            };
            let (one, two) = (Answer::of(&before, &case).only(all_else), Answer::of(&after, &case).only(all_else));
            in_case(&case, one.check(&two))?;
            in_case(&case, {
                let buckles = !list(&before["buckling"][&case]).is_empty() || !list(&after["buckling"][&case]).is_empty();
                halves_are_the_whole(&before["cases"][&case], &after["cases"][&case], &split, buckles)
            })?;
        }
    }

    #[test]
    fn a_frame_cut_into_pieces_in_the_solver_moves_and_is_judged_the_same(frame in frame(), pieces in 2..5_usize) {
        same_in_pieces(&frame, pieces)?;
    }
}
