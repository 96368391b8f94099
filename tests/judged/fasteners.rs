//! What is judged of rod-ends and bolts.

use serde_json::{Value, json};

use super::{not_judged, refusals, round_cantilever};
use crate::support::values::{assert_near, list, number, word};
use crate::support::{load, read, result};

fn solved(model: &Value) -> Value {
    result(&load(&model.to_string()).base)
}

/// The small car with these rod-ends on all parts of its front corners.
fn car_on(rod_end: &Value) -> Value {
    let mut car: Value = serde_json::from_str(&read("models/car.json")).unwrap();
    for part in ["upper", "lower", "tie_rod", "spring"] {
        car["corners"]["front.l"][part]["rod_end"] = rod_end.clone();
    }
    car
}

#[test]
fn a_rod_end_bears_what_its_tube_does_at_that_end() {
    let solved = solved(&car_on(&json!({"thread": "M12x1.25", "stick_out": 30, "rated": 28_000, "yield": 640})));
    // M12×1.25: d = 12 − 0.9382·1.25.
    let d: f64 = 12.0 - 0.9382 * 1.25;
    let (area, modulus) = (std::f64::consts::PI / 4.0 * d * d, std::f64::consts::PI / 32.0 * d.powi(3));
    for (case, of_case) in solved["cases"].as_object().unwrap() {
        for side in ["l", "r"] {
            for (part, ends) in [("lower.front", 1), ("upper.rear", 1), ("tie_rod", 2), ("spring", 2)] {
                let member = &of_case["members"][format!("front.{side}/{part}")];
                let along = list(&member["along"]);
                let used = [&along[0], &along[along.len() - 1]][..ends]
                    .iter()
                    .map(|end| {
                        let [n, vy, vz] = ["n", "vy", "vz"].map(|key| number(&end[key]));
                        let across = vy.hypot(vz);
                        let shank = (n.abs() / area + across * 30.0 / modulus) / 640.0;
                        1.5 * (n.hypot(across) / 28_000.0).max(across / 5600.0).max(shank)
                    })
                    .fold(0.0, f64::max);
                assert_near(number(&member["utilisation"]["rod_end"]), used, 1e-9);
                let found = list(&solved["verdict"]["failing"]).iter().any(|finding| {
                    finding["check"] == "rod_end"
                        && finding["case"] == *case
                        && finding["where"] == format!("front.{side}/{part}")
                });
                assert_eq!(found, used > 1.0, "{case}: front.{side}/{part}");
            }
        }
    }
}

#[test]
fn parts_without_rod_ends_and_shanks_without_strength_are_told() {
    let told = |car: &Value| not_judged(&solved(car), "rod_end");
    let bare: Value = serde_json::from_str(&read("models/car.json")).unwrap();
    let lines = told(&bare);
    assert_eq!(lines[0].0, "front.l/upper, front.l/lower, front.l/tie_rod and 5 more");
    assert_eq!(lines[1].0, "outer balls of the arms");
    let without_strength = told(&car_on(&json!({"thread": "M12", "stick_out": 30, "rated": 28_000})));
    assert!(without_strength[0].1.contains("\"yield\""), "{without_strength:?}");
    let whole = told(&car_on(&json!({"thread": "M12", "stick_out": 30, "rated": 28_000, "yield": 640})));
    assert_eq!(whole.len(), 1, "{whole:?}");
}

/// A round tube on a mount, pushed by 100 N across its end, 600 mm away.
fn mounted(mount: Value) -> Value {
    let mut model = round_cantilever(&json!({"push": {"forces": {"B": [0, 0, -100]}}}));
    model["mounts"]["A"] = mount;
    model
}

#[test]
fn a_mount_holds_by_a_word_as_by_the_same_word_in_hold() {
    let plain = solved(&mounted(json!("bolted pad")));
    let keyed = solved(&mounted(json!({"hold": "bolted pad"})));
    assert_eq!(plain["cases"], keyed["cases"]);
}

#[test]
fn bolts_bear_the_force_and_the_couple_of_their_mount() {
    let bolts = |more: Value| {
        let mut bolts = json!({"size": "M8", "grade": "8.8", "count": 2});
        bolts.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
        let solved = solved(&mounted(json!({"hold": "bolted pad", "bolts": bolts})));
        let found = solved["cases"]["push"]["mounts"]["A"]["bolts"].clone();
        (found, not_judged(&solved, "bolts"))
    };
    // As = π/4 (8 − 0.9382·1.25)² = 36.61 mm²; 0.6·800·As/1.25 = 14 058 N, 0.9·800·As/1.25 = 21 087 N.
    let (found, told) = bolts(json!({"along": [1, 0, 0], "pitch": 50}));
    assert_near(number(&found["f_v_rd"]), 14_058.0, 1e-4);
    assert_near(number(&found["f_t_rd"]), 21_087.0, 1e-4);
    assert_near(number(&found["f_v_ed"]), 100.0 / 2.0, 1e-9);
    assert_near(number(&found["f_t_ed"]), 60_000.0 / 50.0, 1e-9);
    // Tension alone is more than 50/F_v + 1200/(1.4 F_t).
    assert_near(number(&found["utilisation"]), 1.5 * 1200.0 / 21_087.0, 1e-4);
    assert_eq!(told.len(), 1, "only the plates: {told:?}");
    // Nobody says where the bolts point: any of them, in the worst direction.
    let (found, _) = bolts(json!({"pitch": 50}));
    let whole = 50.0 + 1200.0;
    assert_near(number(&found["f_v_ed"]), whole, 1e-9);
    // √(1/F_v² + 1/(1.4 F_t)²) = √(1 + (0.6/1.26)²)/F_v.
    assert_near(number(&found["utilisation"]), 1.5 * whole / 14_058.0 * 1.10759, 1e-4);
    // Nobody says how far apart they are: the moment is left out, and told.
    let (found, told) = bolts(json!({"along": [1, 0, 0]}));
    assert_eq!(number(&found["f_t_ed"]), 0.0);
    assert!(told.iter().any(|line| line.0 == "A" && line.1.contains("\"pitch\"")), "{told:?}");
}

#[test]
fn bolts_of_a_body_are_judged_and_a_twins_point_the_other_way() {
    let mut car: Value = serde_json::from_str(&read("models/car.json")).unwrap();
    let bolts = json!({"size": "M10", "grade": "10.9", "count": 1, "along": [0, 1, 1], "pitch": 40});
    car["mounts"]["LR.l"] = json!({"hold": "bolted pad", "bolts": bolts.clone()});
    car["bodies"]["engine"] = json!({
        "mass": 90, "cg": [0, 0, 300], "mounts": {"LF.l": {"x": 900, "y": 900, "z": 2000, "ry": 500, "bolts": bolts}}
    });
    car["cases"] = json!({"standing": {"g": {}}});
    let solved = solved(&car);
    let case = &solved["cases"]["standing"];
    let of_body = &case["bodies"]["engine"]["mounts"];
    let [left, right] = ["LF.l", "LF.r"].map(|node| number(&of_body[node]["bolts"]["utilisation"]));
    assert!(left > 0.0);
    assert_near(left, right, 1e-6);
    let [left, right] = ["LR.l", "LR.r"].map(|node| number(&case["mounts"][node]["bolts"]["utilisation"]));
    assert_near(left, right, 1e-6);
    let untold = not_judged(&solved, "bolts");
    assert!(untold.iter().any(|line| line.0 == "2 of 6 mounts"), "{untold:?}");
}

#[test]
fn what_is_wrong_with_bolts_and_rod_ends_is_told() {
    let told = |mount: Value| refusals(&mounted(mount)).join("\n");
    let bolts = |key: &str, value: Value| {
        let mut bolts = json!({"size": "M8", "grade": "8.8", "count": 2});
        bolts[key] = value;
        told(json!({"hold": "bolted pad", "bolts": bolts}))
    };
    assert_eq!(
        told(json!({"hold": "bolted pad", "x": "fixed"})),
        "a mount holds by a word in \"hold\" or by directions, not both"
    );
    assert_eq!(
        told(json!({"bolts": {"size": "M8", "grade": "8.8", "count": 2}})),
        "bolts alone do not tell how the mount holds; it needs \"hold\" or directions"
    );
    assert!(bolts("size", json!("M7")).starts_with("\"M7\" is no thread that is known; write M and the diameter"));
    assert_eq!(bolts("size", json!("M8x2")), "\"M8x2\": the pitch of M8 is from 0.35 to 1.25 mm");
    assert_eq!(bolts("grade", json!("12.9")), "EN 1993-1-8 Table 3.1 ends at class 10.9");
    assert!(bolts("grade", json!("9.9")).contains("\"8.8\""), "{}", bolts("grade", json!("9.9")));
    assert_eq!(bolts("count", json!(1.5)), "1.5 is no number of bolts; it is a whole number from 1 to 100");
    assert_eq!(bolts("pitch", json!(0)), "pitch is 0 mm; it must be above 0");
    assert_eq!(bolts("along", json!([0, 0, 0])), "a direction may not be [0, 0, 0]");
    let rod_end = json!({"thread": "M12", "stick_out": 0, "rated": 0, "yield": -1});
    let faults = refusals(&car_on(&rod_end)).join("\n");
    for fault in ["stick_out is 0 mm", "rated is 0 N", "yield is -1 MPa"] {
        assert!(faults.contains(fault), "{faults}");
    }
}

#[test]
fn a_clause_stands_beside_the_figures_of_bolts() {
    let bolts = json!({"size": "M8", "grade": "8.8", "count": 2});
    let solved = solved(&mounted(json!({"hold": "bolted pad", "bolts": bolts})));
    assert_eq!(word(&solved["cases"]["push"]["mounts"]["A"]["bolts"]["clause"]), "EN 1993-1-8 Table 3.4");
}
