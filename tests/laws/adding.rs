//! The answer is linear in the loads: they add up and scale.

use proptest::prelude::*;
use proptest::sample::Index;
use serde_json::{Map, Value, json};

use super::answers::Answer;
use super::frames::{Frame, frame};
use super::{Law, cases, in_case};
use crate::support::values::{entries, number, three, vector};

/// The cases that may be added: all but the twist test, of which a case holds one.
const SUMMANDS: [&str; 6] = ["push", "turn", "wind", "weight", "bend", "settled"];

/// Both parts of a case added up: vectors by what they act on, numbers by their keys.
fn sum(one: &Value, other: &Value) -> Value {
    match (one, other) {
        (Value::Null, part) | (part, Value::Null) => part.clone(),
        (Value::Array(_), _) => three(&(vector(one) + vector(other))),
        (Value::Number(_), _) => json!(number(one) + number(other)),
        (Value::Object(parts), _) => {
            let mut all: Map<String, Value> = parts.clone();
            for (key, part) in entries(other) {
                let both = sum(&one[key], part);
                all.insert(key.clone(), both);
            }
            Value::Object(all)
        }
        _ => one.clone(),
    }
}

/// A case without its factor, and its weight written out.
fn plain(case: &Value) -> Value {
    let mut plain = case.clone();
    let keys = plain.as_object_mut().expect("a case is an object");
    keys.remove("factor");
    keys.remove("limits");
    if let Some(g) = keys.get_mut("g").and_then(Value::as_object_mut) {
        g.entry("vert").or_insert(json!(1.0));
    }
    plain
}

fn both_are_the_sum(frame: &Frame, which: [Index; 2]) -> Law {
    let known: Vec<&str> = SUMMANDS.into_iter().filter(|name| frame.0["cases"].get(name).is_some()).collect();
    let [one, other] = which.map(|index| plain(&frame.0["cases"][known[index.index(known.len())]]));
    let mut model = frame.0.clone();
    model["cases"] = json!({ "both": sum(&one, &other), "one": one, "other": other });
    let result = Frame(model).solved_or_passed_over()?;
    let added = Answer::of(&result, "one").plus(&Answer::of(&result, "other"));
    in_case("both", added.check(&Answer::of(&result, "both")))
}

/// A peak and the utilisation of yield of each member that is judged.
fn strained(case: &Value) -> Vec<(&String, f64, f64)> {
    let judged = entries(&case["members"]).iter().filter(|(_, member)| member.get("peak").is_some());
    judged
        .map(|(name, member)| (name, number(&member["peak"]["von_mises"]), number(&member["utilisation"]["yield"])))
        .collect()
}

fn so_many_times_the_loads(frame: &Frame, times: f64) -> Law {
    let mut model = frame.0.clone();
    let all = model["cases"].as_object_mut().expect("cases are an object");
    // The factor of a case leaves the movement of its mounts as it is.
    all.retain(|_, case| case.get("moved").is_none());
    for (name, case) in all.clone() {
        let mut more = case.clone();
        more["factor"] = json!(case.get("factor").map_or(1.0, number) * times);
        all.insert(format!("more of {name}"), more);
    }
    let frame = Frame(model);
    let result = frame.solved_or_passed_over()?;
    for name in frame.cases().into_iter().filter(|name| !name.starts_with("more of ")) {
        let more = format!("more of {name}");
        in_case(&name, Answer::of(&result, &name).times(times).check(&Answer::of(&result, &more)))?;
        let (once, often) = (strained(&result["cases"][&name]), strained(&result["cases"][&more]));
        let largest =
            often.iter().fold([1e-3_f64, 1e-5], |most, (_, peak, part)| [most[0].max(*peak), most[1].max(*part)]);
        let error = [&name, &more].map(|case| number(&result["cases"][case]["accuracy"]["error"]));
        let tolerance = 1e-9 + error[0] + error[1];
        for ((member, peak, part), (_, peaks, parts)) in once.into_iter().zip(often) {
            let apart =
                [(peaks - peak * times.abs()).abs() / largest[0], (parts - part * times.abs()).abs() / largest[1]];
            prop_assert!(apart.iter().all(|apart| *apart <= tolerance), "case \"{name}\", {member}: {apart:?}");
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(cases(48))]

    #[test]
    fn loads_of_two_cases_together_give_the_sum_of_their_answers(frame in frame(), which in any::<[Index; 2]>()) {
        both_are_the_sum(&frame, which)?;
    }

    #[test]
    fn so_many_times_the_loads_give_so_many_times_the_answer(frame in frame(), times in prop_oneof![-9.0..-0.1, 0.1..9.0]) {
        so_many_times_the_loads(&frame, times)?;
    }
}
