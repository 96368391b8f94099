//! Tubes welded onto tubes: what is told of each joint, and what of none.

use std::f64::consts::PI;

use serde_json::{Value, json};

use super::not_judged;
use crate::support::program::Scratch;
use crate::support::values::{entries, list, number, word};
use crate::support::{load, repository_file, result};

/// A rail along x from pad to pad, 500 mm each way of the node M, with these stays from M to their
/// tips and these loads on the tips.
pub(super) fn rail_with(stays: &[(&str, [f64; 3], [f64; 3])]) -> Value {
    let mut model = json!({
        "format": 1,
        "tubes": {
            "rail": {"round": {"od": 60, "wall": 3}, "material": "E235+N"},
            "stay": {"round": {"od": 25, "wall": 2.5}, "material": "E235+N"}
        },
        "nodes": {"A": [-500, 0, 0], "M": [0, 0, 0], "B": [500, 0, 0]},
        "members": {"rail": {"through": ["A", "M", "B"], "tube": "rail"}},
        "mounts": {"A": "bolted pad", "B": "bolted pad"},
        "cases": {"push": {"forces": {}}}
    });
    for (name, tip, force) in stays {
        let node = format!("tip of {name}");
        model["nodes"][&node] = json!(tip);
        model["members"][*name] = json!({"ends": ["M", node], "tube": "stay"});
        model["cases"]["push"]["forces"][&node] = json!(force);
    }
    model
}

pub(super) fn checked(model: &Value) -> Value {
    result(&load(&model.to_string()).base)
}

/// What is told of the joint of a member in the case `push`; null: nothing.
fn joint(result: &Value, member: &str) -> Value {
    let told = &result["cases"]["push"]["members"][member];
    let working = told["working"]["joint"].clone();
    assert_eq!(working.is_null(), told["utilisation"].get("joint").is_none(), "{told}");
    working
}

#[track_caller]
fn near(value: &Value, wanted: f64) {
    let value = number(value);
    assert!((value - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{value} instead of {wanted}");
}

#[test]
fn forces_of_a_joint_are_those_where_the_stay_meets_the_face_of_the_rail() {
    let result = checked(&rail_with(&[("stay", [0.0, 0.0, 300.0], [100.0, 50.0, -2000.0])]));
    let told = joint(&result, "stay");
    assert_eq!((word(&told["kind"]), word(&told["chord"]), &told["end"]), ("T", "rail", &json!(1)));
    near(&told["theta"], 90.0);
    near(&told["beta"], 25.0 / 60.0);
    near(&told["gamma"], 10.0);
    near(&told["n_ed"], -2000.0);
    // The face is 30 mm from the axis, the tip 270 mm from there.
    near(&json!(number(&told["m_ip_ed"]).abs()), 100.0 * 0.270);
    near(&json!(number(&told["m_op_ed"]).abs()), 50.0 * 0.270);
    let part = |demand: f64, resistance: &str| 1.5 * demand / number(&told[resistance]);
    let sum = part(2000.0, "n_rd") + part(27.0, "m_ip_rd").powi(2) + part(13.5, "m_op_rd");
    near(&result["cases"]["push"]["members"]["stay"]["utilisation"]["joint"], sum);
}

#[test]
fn a_rail_drawn_as_one_tube_or_as_two_end_to_end_is_the_same_chord() {
    let mut model = rail_with(&[("stay", [120.0, 0.0, 300.0], [100.0, 50.0, -2000.0])]);
    let one = joint(&checked(&model), "stay");
    model["members"].as_object_mut().unwrap().remove("rail");
    model["members"]["rail"] = json!({"ends": ["A", "M"], "tube": "rail"});
    model["members"]["rest of the rail"] = json!({"ends": ["M", "B"], "tube": "rail"});
    let two = joint(&checked(&model), "stay");
    for (key, value) in entries(&one) {
        match value.as_f64() {
            Some(value) => near(&two[key], value),
            None => assert_eq!(*value, two[key], "{key}"),
        }
    }
    assert_eq!(word(&one["kind"]), "Y");
    // A rail that changes its size there is no chord.
    model["tubes"]["other"] = json!({"round": {"od": 60, "wall": 3.5}, "material": "E235+N"});
    model["members"]["rest of the rail"]["tube"] = json!("other");
    assert!(joint(&checked(&model), "stay").is_null());
}

#[test]
fn an_end_where_no_tube_runs_through_is_told_and_not_judged() {
    let mut model = rail_with(&[("stay", [0.0, 0.0, 300.0], [0.0, 0.0, -2000.0])]);
    model["mounts"]["tip of stay"] = json!("one bolt");
    model["nodes"]["far"] = json!([300, 0, 300]);
    model["mounts"]["far"] = json!("bolted pad");
    model["members"]["other"] = json!({"ends": ["tip of stay", "far"], "tube": "stay"});
    model["cases"]["push"]["forces"] = json!({"M": [0, 0, 100]});
    let result = checked(&model);
    let lines = not_judged(&result, "joint");
    let (places, why) = &lines[0];
    assert_eq!(places, "tip of stay", "the ends of the rail and the far one stand on no tube");
    assert!(why.contains("no tube runs through there"), "{why}");
    assert_eq!(joint(&result, "rail"), Value::Null);
}

#[test]
fn a_stay_that_leans_too_far_is_told_and_not_judged() {
    let at = |degrees: f64| {
        let (sin, cos) = degrees.to_radians().sin_cos();
        checked(&rail_with(&[("stay", [300.0 * cos, 0.0, 300.0 * sin], [0.0, 0.0, -100.0])]))
    };
    assert!(joint(&at(30.5), "stay").is_object());
    let result = at(29.0);
    assert!(joint(&result, "stay").is_null());
    let told = not_judged(&result, "joint");
    assert!(told.iter().any(|(place, why)| place == "stay at M" && why.contains("29.0°, less than 30°")), "{told:?}");
    assert!(list(&result["verdict"]["failing"]).iter().all(|finding| finding["check"] != "joint"));
}

#[test]
fn two_stays_that_balance_are_a_pair_with_the_gap_between_their_walls() {
    let (up, down) = ([300.0, 0.0, 300.0], [-300.0, 0.0, 300.0]);
    // Along the stays: one pushes, the other pulls as much.
    let balanced = checked(&rail_with(&[("one", up, [-700.0, 0.0, -700.0]), ("other", down, [-700.0, 0.0, 700.0])]));
    for name in ["one", "other"] {
        let told = joint(&balanced, name);
        assert_eq!(word(&told["kind"]), "K");
        // At 45° the axes meet the face 60 mm apart, and each foot is 25·√2 mm long.
        near(&told["gap"], 60.0 - 25.0 * 2.0_f64.sqrt());
    }
    let pushed = checked(&rail_with(&[("one", up, [-700.0, 0.0, -700.0]), ("other", down, [700.0, 0.0, -700.0])]));
    assert_eq!(word(&joint(&pushed, "one")["kind"]), "Y");
    // Neither kind lends the other its resistance.
    let resists = |result: &Value| number(&joint(result, "one")["n_rd"]);
    assert!(resists(&pushed) <= resists(&balanced));
}

/// A box as rail with two stays at 45°, one pushed and one pulled as much, and a force along the rail at their node.
fn box_with_a_gap(along_n: f64, scale: f64) -> Value {
    let stays = [
        ("one", [300.0, 0.0, 300.0], [-700.0 * scale, 0.0, -700.0 * scale]),
        ("other", [-300.0, 0.0, 300.0], [-700.0 * scale, 0.0, 700.0 * scale]),
    ];
    let mut model = rail_with(&stays);
    model["tubes"]["rail"] = json!({"square": {"side": 50, "wall": 3, "outer_radius": 0}, "material": "E235+N"});
    model["tubes"]["stay"] = json!({"square": {"side": 25, "wall": 2.5}, "material": "E235+N"});
    model["cases"]["push"]["forces"]["M"] = json!([along_n, 0, 0]);
    model
}

#[test]
fn the_rail_between_two_stays_carries_what_balances_each_side_of_the_gap() {
    // Axes 50 mm apart on the face, feet of 25·√2: a gap of 14.6 mm. The rail is pulled and pushed by 700 N on either
    // side, which the stays take over in the gap; what is left is their shear, and half of a force at the node.
    let told = joint(&checked(&box_with_a_gap(20_000.0, 1.0)), "one");
    near(&told["gap"], 50.0 - 25.0 * 2.0_f64.sqrt());
    near(&json!(number(&told["in_gap"]["n_ed"]).abs()), 10_000.0);
    near(&told["in_gap"]["v_ed"], 700.0);
    let gap = 50.0 - 25.0 * 2.0_f64.sqrt();
    let shear_area = (100.0 + 50.0 / (1.0 + 4.0 * gap * gap / 27.0).sqrt()) * 3.0;
    let shear = 235.0 * shear_area / 3.0_f64.sqrt();
    near(&told["in_gap"]["v_rd"], shear);
    let left = 235.0 * (564.0 - shear_area + shear_area * (1.0 - (1050.0 / shear).powi(2)).sqrt());
    near(&told["in_gap"]["n_rd"], left);
    near(&told["in_gap"]["utilisation"], 15_000.0 / left);
}

#[test]
fn a_rail_that_gives_way_between_two_stays_is_what_the_joint_fails_by() {
    let result = checked(&box_with_a_gap(180_000.0, 1.0));
    let told = joint(&result, "one");
    assert_eq!(word(&told["failure"]), "chord in gap");
    let utilisation = &result["cases"]["push"]["members"]["one"]["utilisation"]["joint"];
    near(utilisation, number(&told["in_gap"]["utilisation"]));
    assert!(number(utilisation) > 1.0);
    assert!(word(&told["clause"]).contains("7.12"), "{told}");
}

#[test]
fn a_round_rail_is_judged_in_the_gap_where_tubes_stand_on_it_in_other_planes() {
    let stays =
        [("one", [300.0, 0.0, 300.0], [-700.0, 0.0, -700.0]), ("other", [-300.0, 0.0, 300.0], [-700.0, 0.0, 700.0])];
    assert!(joint(&checked(&rail_with(&stays)), "one").get("in_gap").is_none());
    let aside = ("aside", [0.0, 300.0, 0.0], [0.0, 0.0, 0.0]);
    let told = joint(&checked(&rail_with(&[stays[0], stays[1], aside])), "one");
    near(&told["in_gap"]["v_ed"], 700.0);
    // A_v = 2 A/π = 2 · 57 · 3.
    near(&told["in_gap"]["v_rd"], 235.0 * 342.0 / 3.0_f64.sqrt());
}

#[test]
fn a_round_rail_is_sheared_in_the_gap_by_what_the_stays_of_all_planes_do_together() {
    // Two K joints whose planes lie at 45° to z: each gives 700 N across the gap in its own plane.
    let a = 300.0 / 2.0_f64.sqrt();
    let f = 700.0 / 2.0_f64.sqrt();
    let stays = [
        ("one", [300.0, a, a], [-700.0, -f, -f]),
        ("other", [-300.0, a, a], [-700.0, f, f]),
        ("third", [300.0, -a, a], [-700.0, f, -f]),
        ("fourth", [-300.0, -a, a], [-700.0, -f, f]),
    ];
    let told = joint(&checked(&rail_with(&stays)), "one");
    let [along, across] = ["v_ed", "v_across_ed"].map(|key| number(&told["in_gap"][key]));
    near(&json!(along.hypot(across)), 700.0 * 2.0_f64.sqrt());
    let shear = along.hypot(across) * 1.5 / (235.0 * 342.0 / 3.0_f64.sqrt());
    near(&told["in_gap"]["utilisation"], shear.hypot(number(&told["in_gap"]["n_ed"]) * 1.5 / (235.0 * 171.0 * PI)));
}

#[test]
fn the_gap_between_unlike_stays_lies_between_their_walls_and_not_midway_between_their_axes() {
    // Walls of the gap at −19 and 20 mm; a third stay on the other side at −17, in the gap: the rail is cut beside it.
    let rail = |down_mm: f64| {
        let end_at = |x: f64| json!([[x, 0, 0], null]);
        let mut model = rail_with(&[]);
        model["tubes"]["rail"] = json!({"square": {"side": 60, "wall": 4, "outer_radius": 0}, "material": "E235+N"});
        model["tubes"]["big"] = json!({"square": {"side": 40, "wall": 3, "outer_radius": 0}, "material": "E235+N"});
        model["tubes"]["small"] = json!({"square": {"side": 22, "wall": 2.5, "outer_radius": 0}, "material": "E235+N"});
        for (name, tube, x, z) in
            [("big", "big", 40.0, 300.0), ("small", "small", -30.0, 300.0), ("down", "big", down_mm, -300.0)]
        {
            model["nodes"][format!("end of {name}")] = json!([x, 0, z]);
            model["members"][name] =
                json!({"ends": ["M", format!("end of {name}")], "tube": tube, "end_at": end_at(x)});
        }
        model["cases"]["push"]["forces"] = json!({"end of small": [0, 0, -6000], "end of down": [0, 0, 6000]});
        number(&joint(&checked(&model), "big")["in_gap"]["v_ed"])
    };
    for inside_mm in [-18.0, -17.0, 0.0, 19.0] {
        assert!(rail(inside_mm) > 5000.0, "{inside_mm}: {}", rail(inside_mm));
    }
}

#[test]
fn a_stay_aside_that_stands_in_the_gap_counts_on_the_side_where_it_is_worse() {
    let stays = [
        ("one", [300.0, 0.0, 300.0], [-700.0, 0.0, -700.0]),
        ("other", [-300.0, 0.0, 300.0], [-700.0, 0.0, 700.0]),
        ("aside", [0.0, 300.0, 0.0], [400.0, 0.0, 0.0]),
    ];
    let mut model = rail_with(&stays);
    model["nodes"]["A"] = json!([-300, 0, 0]);
    // Of 1000 N along the rail the short end takes 625 N and the long one 375; each stay gives 700 N to its own side.
    let told = joint(&checked(&model), "one");
    near(&json!(number(&told["in_gap"]["n_ed"]).abs()), 700.0 - 375.0);
}

#[test]
fn a_stay_on_the_other_side_makes_a_cross_which_resists_less() {
    let up = ("up", [0.0, 0.0, 300.0], [0.0, 0.0, -2000.0]);
    let alone = joint(&checked(&rail_with(&[up])), "up");
    let both = checked(&rail_with(&[up, ("down", [0.0, 0.0, -300.0], [0.0, 0.0, 2000.0])]));
    for name in ["up", "down"] {
        let told = joint(&both, name);
        assert_eq!(word(&told["kind"]), "X");
        // The rail is bent by one alone; what that costs is told apart.
        let unbent = |told: &Value| number(&told["n_rd"]) / number(&told["k_p"]);
        assert!(unbent(&told) < unbent(&alone), "{told}");
    }
    // One beside it, square to both, is in another plane: no cross.
    let aside = checked(&rail_with(&[up, ("aside", [0.0, 300.0, 0.0], [0.0, 1.0, 0.0])]));
    assert_eq!(word(&joint(&aside, "up")["kind"]), "T");
}

#[test]
fn a_case_without_a_margin_on_yield_judges_no_joint() {
    let mut model = rail_with(&[("stay", [0.0, 0.0, 300.0], [0.0, 0.0, -2000.0])]);
    model["cases"]["push"]["limits"] = json!({"yield": null});
    assert!(joint(&checked(&model), "stay").is_null());
}

#[test]
fn a_stay_on_a_bracket_within_the_wall_is_welded_onto_that_tube_and_one_that_stands_off_is_not() {
    let on_bracket = |z: f64| {
        let mut model = rail_with(&[("stay", [0.0, 0.0, 300.0], [0.0, 0.0, -2000.0])]);
        model["members"]["rail"] = json!({"ends": ["A", "B"], "tube": "rail"});
        model["nodes"].as_object_mut().unwrap().remove("M");
        model["brackets"] = json!({"M": {"at": [0, 0, z], "on": "rail"}});
        checked(&model)
    };
    let drawn_on_a_node = joint(&checked(&rail_with(&[("stay", [0.0, 0.0, 300.0], [0.0, 0.0, -2000.0])])), "stay");
    for z in [0.0, 30.0] {
        let told = joint(&on_bracket(z), "stay");
        near(&told["n_rd"], number(&drawn_on_a_node["n_rd"]));
        near(&told["n_ed"], -2000.0);
    }
    let off = on_bracket(45.0);
    assert!(joint(&off, "stay").is_null());
    let told = not_judged(&off, "joint");
    assert!(told.iter().any(|(place, why)| place == "stay at M" && why.contains("bracket")), "{told:?}");
}

#[test]
fn a_box_rail_is_judged_by_the_sum_of_plain_parts() {
    let mut model = rail_with(&[("stay", [0.0, 0.0, 300.0], [100.0, 50.0, -2000.0])]);
    model["tubes"]["rail"] = json!({"square": {"side": 60, "wall": 3}, "material": "E235+N"});
    let result = checked(&model);
    let told = joint(&result, "stay");
    let part = |demand: f64, resistance: &str| 1.5 * demand / number(&told[resistance]);
    let sum = part(2000.0, "n_rd") + part(27.0, "m_ip_rd") + part(13.5, "m_op_rd");
    near(&result["cases"]["push"]["members"]["stay"]["utilisation"]["joint"], sum);
    assert!(told.get("k_n").is_some() && told.get("k_p").is_none(), "{told}");
}

#[test]
fn thin_walls_are_judged_and_told_by_their_sizes() {
    let mut model = rail_with(&[("stay", [0.0, 0.0, 300.0], [0.0, 0.0, -2000.0])]);
    let told = |model: &Value| {
        let lines = not_judged(&checked(model), "joint");
        lines.into_iter().filter(|(_, why)| why.contains("2.5 mm")).map(|(place, _)| place).collect::<Vec<_>>()
    };
    assert_eq!(told(&model), [""; 0]);
    model["tubes"]["stay"]["round"]["wall"] = json!(2.4);
    assert_eq!(told(&model), ["joints of tube size stay"]);
    assert!(joint(&checked(&model), "stay").is_object());
}

#[test]
fn the_stay_of_the_demo_fails_at_its_joint_and_nothing_else_fails() {
    let text = std::fs::read_to_string(repository_file("models/fails-at-a-joint.json")).unwrap();
    let loaded = load(&text);
    let drawn = result(&loaded.base);
    let failing: Vec<(&str, &str, &str)> = list(&drawn["verdict"]["failing"])
        .iter()
        .map(|finding| (word(&finding["check"]), word(&finding["case"]), word(&finding["where"])))
        .collect();
    assert_eq!(failing, [("joint", "pull", "stay")]);
    let (name, thicker, _) = &loaded.options[0];
    assert_eq!(name, "rail wall 2");
    assert_eq!(result(thicker)["verdict"]["pass"], json!(true));
}

#[test]
fn the_sentence_of_a_joint_names_the_wall_that_gives_way() {
    let folder = Scratch::new();
    let model = std::fs::read(repository_file("models/fails-at-a-joint.json")).unwrap();
    folder.write("stay.json", model);
    let told = folder.run(["check", "stay.json", "--quiet"]);
    assert_eq!(told.code, Some(1), "{}", told.stderr);
    let sentence = "Fails: stay (20×2, E235+N) loads the wall of rail, onto which it is welded, to 1.78 times what it may \
                    carry, at its end on M, in \"pull\": it is pulled 4.00 kN; what gives way first: the face of that wall \
                    folds.";
    assert_eq!(told.stdout.trim_end(), sentence);
    let whole = folder.run(["check", "stay.json", "--out", "sheets"]);
    for part in ["How far what nobody knows moves the answer", "joint at M", "repeated loads crack welds"] {
        assert!(
            whole.stdout.split_whitespace().collect::<Vec<_>>().join(" ").contains(part),
            "{part}: {}",
            whole.stdout
        );
    }
    let page = folder.read("sheets/report.html");
    assert!(page.contains("What nobody knows"), "the page has a section for it");
}
