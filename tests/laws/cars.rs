//! Laws of cars: a frame with a double wishbone at each side, under its wheels' loads.
//!
//! The cars are the demo car of `models/` (invented, as its file says) with every point, the car's
//! figures and the tubes drawn anew about what they are there, and an anti-roll bar in some.

use nalgebra::Vector3;
use proptest::prelude::*;
use serde_json::{Value, json};

use super::answers::{Answer, optional_entries};
use super::equilibrium::{Largest, Sum, bodies_balance, nodes_balance, of_tube, part, pull_per_kg};
use super::frames::Frame;
use super::geometry::{Stretch, place_of, stretches};
use super::mirroring::{mirror, mirrored_case, other_side, written_out};
use super::{Law, cases, in_case};
use crate::support::repository_file;
use crate::support::values::{entries, list, number, three, vector, word};

/// What a car is drawn from.
#[derive(Debug, Clone)]
struct Draft {
    /// Tenths of a millimetre along each axis, used in turn.
    jitter: Vec<[i32; 3]>,
    sizes: Vec<(i32, i32)>,
    spring_on: Value,
    spring_rod: i32,
    bar_share: Option<i32>,
    vehicle: [i32; 4],
    trail: i32,
    long: i32,
    lat: i32,
    kerb: [i32; 3],
}

fn draft() -> impl Strategy<Value = Draft> {
    let on = prop::sample::select(vec![
        json!("upright"),
        json!("lower.front"),
        json!("upper.rear"),
        json!(["lower.front", "lower.rear"]),
    ]);
    let shape = (
        prop::collection::vec(prop::array::uniform3(-80..=80), 17..=23),
        prop::collection::vec((180..=400, 10..=30), 7),
        on,
        8..=30,
        prop::option::of(5..=95),
    );
    let loads =
        ([540..=760, 1150..=1400, 330..=430, 35..=65], 0..=30, -100..=0, 40..=120, prop::array::uniform3(-3000..=3000));
    (shape, loads).prop_map(|((jitter, sizes, spring_on, spring_rod, bar_share), (vehicle, trail, long, lat, kerb))| {
        Draft { jitter, sizes, spring_on, spring_rod, bar_share, vehicle, trail, long, lat, kerb }
    })
}

pub(crate) fn car() -> impl Strategy<Value = Frame> {
    draft().prop_map(|draft| Frame(draw(&draft)))
}

fn draw(draft: &Draft) -> Value {
    let text = std::fs::read_to_string(repository_file("models/hillclimb-front-subframe.json")).expect("the demo car");
    let mut car: Value = serde_json::from_str(&text).expect("the demo car is JSON");
    car.as_object_mut().expect("a model is an object").remove("options");
    let mut jitter = draft.jitter.iter().cycle();
    // What lies in the middle of the car stays there.
    let mut shift = |at: &mut Value| {
        let drawn = jitter.next().expect("a cycle does not end").map(|tenths| f64::from(tenths) / 10.0);
        let place = vector(at);
        let aside = if place.y == 0.0 { 0.0 } else { drawn[1] };
        *at = three(&(place + Vector3::new(drawn[0], aside, drawn[2])));
    };
    for (_, node) in car["nodes"].as_object_mut().into_iter().flatten() {
        match node.get_mut("at") {
            Some(at) => shift(at),
            None => shift(node),
        }
    }
    for (_, bracket) in car["brackets"].as_object_mut().into_iter().flatten() {
        shift(&mut bracket["at"]);
    }
    let corner = &mut car["corners"]["front.l"];
    for (part, key) in [("upper", "outer"), ("lower", "outer"), ("tie_rod", "outer"), ("spring", "bottom")] {
        shift(&mut corner[part][key]);
    }
    corner["spring"]["on"] = draft.spring_on.clone();
    corner["spring"]["rod"] = json!(draft.spring_rod);
    for ((od, wall), (_, tube)) in draft.sizes.iter().zip(car["tubes"].as_object_mut().into_iter().flatten()) {
        let section = json!({ "od": f64::from(*od) / 10.0, "wall": f64::from(*wall) / 10.0 });
        if tube.get("round").is_some() {
            tube["round"] = section;
        }
    }
    let [mass, behind, height, share] = draft.vehicle;
    car["vehicle"] = json!({
        "mass": mass, "wheelbase": 2350, "track": { "front": 1400, "rear": 1380 },
        "cg": { "behind_front_axle": behind, "height": height },
        "lateral_transfer_share_front": f64::from(share) / 100.0, "brake_share_front": 0.62, "drive_share_front": 0,
        "pneumatic_trail": draft.trail,
    });
    if let Some(share) = draft.bar_share {
        let left = json!({ "bearing": "A.l", "end": [150, 520, 330], "foot": [20, 560, 180], "on": "lower.rear" });
        car["anti_roll"] = json!({ "front": { "left": left, "share": f64::from(share) / 100.0 } });
    }
    let bend = json!({ "g": { "long": f64::from(draft.long) / 100.0, "lat": f64::from(draft.lat) / 100.0 } });
    let kerb = json!({ "g": {}, "wheels": { "front.l": { "force": draft.kerb, "at": "patch" } }, "factor": 1.3 });
    let tow = json!({ "forces": { "ST.l": draft.kerb }, "moments": { "A.l": [120, -70, 40] } });
    let images = [&bend, &kerb, &tow].map(mirrored_case);
    let [right_bend, right_kerb, right_tow] = images;
    car["cases"] = json!({
        "bend": bend, "bend, mirrored": right_bend,
        "kerb": kerb, "kerb, mirrored": right_kerb,
        "tow": tow, "tow, mirrored": right_tow,
    });
    car
}

fn mirrored_loads_give_the_mirrored_answer(car: &Frame) -> Law {
    let result = car.solved_or_passed_over()?;
    let written = Frame(written_out(&car.0)).must_be_solved()?;
    prop_assert_eq!(&result["cases"], &written["cases"], "twins written out are not the tool's");
    // A tube across the middle is its own twin the other way round.
    let across: Vec<String> = entries(&car.0["members"])
        .keys()
        .filter(|name| !name.ends_with(".l"))
        .map(|name| format!("members.{name}.along"))
        .collect();
    let both = |name: &str| !across.iter().any(|across| name.starts_with(across));
    for case in ["bend", "kerb", "tow", "standing"] {
        let twin = if case == "standing" { case.to_owned() } else { format!("{case}, mirrored") };
        let bars = |name: &str| match name {
            "bar.l" => "bar.r".to_owned(),
            "bar.r" => "bar.l".to_owned(),
            _ => other_side(name),
        };
        let image = Answer::renamed(&result, case, bars).turned(&mirror()).only(both);
        in_case(case, image.check(&Answer::of(&result, &twin).only(both)))?;
    }
    Ok(())
}

/// The place where a part of a corner meets the frame.
fn inner(car: &Value, corner: &Value, [arm, side]: [&str; 2]) -> Vector3<f64> {
    place_of(car, word(&corner[arm][side]))
}

/// The tubes of a corner: name of the part, its keys, where its outer end is.
const CORNER_TUBES: [(&str, [&str; 2]); 5] = [
    ("upper.front", ["upper", "front"]),
    ("upper.rear", ["upper", "rear"]),
    ("lower.front", ["lower", "front"]),
    ("lower.rear", ["lower", "rear"]),
    ("tie_rod", ["tie_rod", "inner"]),
];

/// What a corner's tubes, its wheel, its weight and its spring do to the upright adds up to nothing,
/// and the ball at the end of an arm carries no moment.
fn uprights_balance(car: &Value, case: &Value, loads: &Value) -> Result<(), String> {
    let largest = Largest::of(case);
    for (name, corner) in entries(&car["corners"]) {
        let patch = vector(&corner["contact_patch"]);
        let mut sum = Sum::about(patch);
        let wheel = &case["wheels"][name];
        sum.add(&patch, vector(&wheel["force"]), vector(&wheel["moment"]) * 1000.0);
        let unsprung = number(&corner["unsprung"]);
        sum.add(&vector(&corner["wheel_centre"]), pull_per_kg(loads) * unsprung, Vector3::zeros());
        for arm in ["upper", "lower", "tie_rod"] {
            let outer = vector(&corner[arm]["outer"]);
            let mut ball = Sum::about(outer);
            for (part, keys) in CORNER_TUBES.into_iter().filter(|(_, keys)| keys[0] == arm) {
                let axis: Vec<Stretch> = stretches(&[inner(car, corner, keys), outer], &json!({}));
                let last =
                    list(&case["members"][format!("{name}/{part}")]["along"]).last().expect("a tube has stations");
                let [force, moment] = of_tube(last, &axis[0], -1.0);
                sum.add(&outer, force, Vector3::zeros());
                ball.add(&outer, Vector3::zeros(), moment);
            }
            ball.is_nothing(&format!("the moment at the ball of {name}/{arm}"), part(case), &largest)?;
        }
        let spring = &corner["spring"];
        if spring["on"] == "upright" {
            let bottom = vector(&spring["bottom"]);
            let up = (place_of(car, word(&spring["top"])) - bottom).normalize();
            let tension = number(&case["members"][format!("{name}/spring")]["along"][0]["n"]);
            sum.add(&bottom, up * tension, Vector3::zeros());
        }
        sum.is_nothing(&format!("the upright of {name}"), part(case), &largest)?;
    }
    Ok(())
}

/// What the corners do to the frame is what their wheels and their weight are.
fn pickups_carry_the_wheels(car: &Value, result: &Value, name: &str) -> Result<(), String> {
    let (case, loads) = (&result["cases"][name], &car["cases"][name]);
    let mut sum = Sum::about(Vector3::zeros());
    for (node, load) in optional_entries(&case["pickups"]) {
        sum.add(&place_of(car, node), -vector(&load["force"]), -vector(&load["moment"]) * 1000.0);
    }
    let mut weight = number(&result["mass"]["arms"]);
    for (corner, drawn) in entries(&car["corners"]) {
        sum.add(&vector(&drawn["contact_patch"]), vector(&case["wheels"][corner]["force"]), Vector3::zeros());
        weight += number(&drawn["unsprung"]);
    }
    sum.add(&Vector3::zeros(), pull_per_kg(loads) * weight, Vector3::zeros());
    sum.has_no_force("what the corners hand on", part(case), &Largest::of(case))
}

/// The wheels of a car give it its acceleration and do not tip it, where none is given in the case.
///
/// Moments about the axes x and y through the centre of gravity, which stands 0 mm aside.
fn wheels_drive_the_car(car: &Value, case: &Value, loads: &Value) -> Result<(), String> {
    let vehicle = &car["vehicle"];
    let behind = number(&vehicle["cg"]["behind_front_axle"]);
    let centre = Vector3::new(-behind, 0.0, number(&vehicle["cg"]["height"]));
    let mut sum = Sum::about(centre);
    for (name, wheel) in entries(&case["wheels"]) {
        let (axle, side) = name.split_once('.').expect("a wheel has an axle and a side");
        let x = if axle == "front" { 0.0 } else { -number(&vehicle["wheelbase"]) };
        let y = number(&vehicle["track"][axle]) / if side == "l" { 2.0 } else { -2.0 };
        let moment = vector(&wheel["moment"]) * 1000.0;
        sum.add(&Vector3::new(x, y, 0.0), vector(&wheel["force"]), moment);
    }
    sum.add(&centre, pull_per_kg(loads) * number(&vehicle["mass"]), Vector3::zeros());
    sum.without_yaw().is_nothing("the whole car", 1e-9, &Largest::of(case))
}

fn all_is_in_equilibrium(car: &Frame) -> Law {
    let result = car.solved_or_passed_over()?;
    let written = written_out(&car.0);
    for name in car.cases() {
        let (case, loads) = (&result["cases"][&name], &written["cases"][&name]);
        in_case(&name, nodes_balance(&written, case, loads))?;
        in_case(&name, bodies_balance(&written, case, loads))?;
        in_case(&name, uprights_balance(&written, case, loads))?;
        in_case(&name, pickups_carry_the_wheels(&written, &result, &name))?;
        if name.starts_with("bend") {
            in_case(&name, wheels_drive_the_car(&written, case, loads))?;
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(cases(24))]

    #[test]
    fn a_symmetrical_car_answers_mirrored_loads_with_the_mirrored_answer(car in car()) {
        mirrored_loads_give_the_mirrored_answer(&car)?;
    }

    #[test]
    fn every_node_body_and_upright_of_a_car_is_in_equilibrium_and_its_wheels_give_its_acceleration(car in car()) {
        all_is_in_equilibrium(&car)?;
    }
}
