//! What is judged of the welds at the ends of tubes.

use std::f64::consts::PI;

use serde_json::{Value, json};

use super::{cantilever, not_judged, round_cantilever};
use crate::support::values::{assert_near, list, number, word};
use crate::support::{load, read, result};

fn solved(model: &Value) -> Value {
    result(&load(&model.to_string()).base)
}

/// The welds of a member in the case `push`: what is judged, and the figures on the way.
fn weld<'r>(result: &'r Value, member: &str) -> (f64, &'r Value) {
    let member = &result["cases"]["push"]["members"][member];
    (number(&member["utilisation"]["weld"]), &member["working"]["weld"])
}

/// 100 N across the end of 600 mm: bending about y at the root, its shear along z.
fn pushed_aside() -> Value {
    round_cantilever(&json!({"push": {"forces": {"B": [0, 0, -100]}}}))
}

#[test]
fn a_ring_bent_at_its_root_is_what_a_calculator_gives() {
    let mut model = pushed_aside();
    model["weld"] = json!({"throat": 2.5});
    let solved = solved(&model);
    let (value, working) = weld(&solved, "beam");
    // Line force M/(π r²), so that σ⊥ = τ⊥ = that over √2 a; against fu/(βw γM2) of 490 MPa with βw = 1. As the
    // shear flows there is none at the top; spread evenly, V/(2πr), it points inward there and eases τ⊥,
    // but adds to the resultant of the simplified method.
    let (r, a) = (12.5, 2.5);
    let (axial, outward) = (100.0 * 600.0 / (PI * r * r), 100.0 / (2.0 * PI * r));
    let stress = 2.0_f64.sqrt() * axial / a;
    assert_near(value, 1.5 * stress / (490.0 / 1.25), 1e-9);
    assert_near(number(&working["s_eq"]), stress, 1e-9);
    assert_near(number(&working["m_y_ed"]).abs(), 60.0, 1e-9);
    let resultant = axial.hypot(outward);
    assert_near(number(&working["simplified"]), 1.5 * resultant / (a * 490.0 / (3.0_f64.sqrt() * 1.25)), 1e-9);
    assert_eq!(word(&working["clause"]), "EN 1993-1-8 4.5.3.2");
    assert_eq!(number(&working["at"]), 0.0);
}

#[test]
fn a_member_says_of_its_welds_what_counts_before_what_the_file_says() {
    let figures = |file: Value, own: Value| {
        let mut model = pushed_aside();
        model["weld"] = file;
        model["members"]["beam"]["weld"] = own;
        let solved = solved(&model);
        let working = weld(&solved, "beam").1;
        [number(&working["throat"]), number(&working["f_u"])]
    };
    assert_eq!(figures(json!({}), json!({})), [2.0, 490.0]);
    assert_eq!(figures(json!({"throat": 3, "filler_ultimate": 400}), json!({})), [3.0, 400.0]);
    assert_eq!(figures(json!({"throat": 3, "filler_ultimate": 400}), json!({"throat": 2.5})), [2.5, 400.0]);
    assert_eq!(figures(json!({"throat": 3}), json!({"filler_ultimate": 600})), [3.0, 490.0]);
}

#[test]
fn a_weld_is_as_strong_as_the_weaker_of_what_it_joins() {
    let mut model = pushed_aside();
    let steel = model["materials"]["steel"].clone();
    model["materials"]["S235 of the rail"] = steel;
    model["materials"]["S235 of the rail"]["ultimate"] = json!(360);
    model["tubes"]["rail"] = json!({"round": {"od": 40, "wall": 3}, "material": "S235 of the rail"});
    model["nodes"] = json!({"A": [0, 0, 0], "B": [600, 0, 0], "C": [0, -200, 0], "D": [0, 200, 0]});
    model["members"]["rail"] = json!({"through": ["C", "A", "D"], "tube": "rail"});
    model["mounts"] = json!({"C": "bolted pad", "D": "bolted pad"});
    let solved = solved(&model);
    let (_, working) = weld(&solved, "beam");
    // 360/0.8 is more than 490/1.0, which is therefore the weaker.
    assert_eq!([number(&working["f_u"]), number(&working["beta_w"])], [360.0, 0.8]);
    let rails = weld(&solved, "rail").1;
    assert_eq!([number(&rails["f_u"]), number(&rails["beta_w"])], [360.0, 0.8]);
}

#[test]
fn a_weld_of_aluminium_is_judged_by_the_strength_of_its_filler_and_without_it_not_at_all() {
    let mut model = pushed_aside();
    model["tubes"]["size"]["material"] = json!("EN AW-6082-T6");
    let without = solved(&model);
    assert!(without["cases"]["push"]["members"]["beam"]["utilisation"].get("weld").is_none());
    let told = not_judged(&without, "weld");
    assert!(told.len() == 1 && told[0].0 == "welds of EN AW-6082-T6", "{told:?}");
    assert!(told[0].1.contains("filler_ultimate"), "{told:?}");
    model["weld"] = json!({"filler_ultimate": 190});
    let with = solved(&model);
    let (value, working) = weld(&with, "beam");
    assert_near(value, 1.5 * number(&working["s_eq"]) / (190.0 / 1.25), 1e-12);
    assert_eq!(word(&working["clause"]), "EN 1999-1-1 8.6");
    assert!(working.get("simplified").is_none() && working.get("beta_w").is_none(), "{working}");
    assert_eq!(not_judged(&with, "weld"), []);
}

#[test]
fn what_no_weld_joins_and_what_tells_no_outline_stand_under_not_judged() {
    let mut model = pushed_aside();
    model["tubes"]["other"] = json!({"round": {"od": 25, "wall": 2}, "material": "EN AW-6082-T6"});
    model["weld"] = json!({"filler_ultimate": 190});
    model["nodes"]["C"] = json!([600, 0, 300]);
    model["members"]["other"] = json!({"ends": ["B", "C"], "tube": "other"});
    let told = not_judged(&solved(&model), "weld");
    assert!(told.len() == 1 && told[0].1.contains("steel and aluminium"), "{told:?}");

    model["tubes"]["other"]["material"] = json!("steel");
    model["materials"]["steel"]["youngs_modulus"] = json!(110_000);
    model["materials"]["steel"]["shear_modulus"] = json!(42_000);
    let told = not_judged(&solved(&model), "weld");
    assert!(told.len() == 1 && told[0].1.contains("neither steel nor aluminium"), "{told:?}");

    let given =
        json!({"given": {"a": 300, "iy": 22_500, "iz": 2500, "j": 7900, "cy": 5, "cz": 15}, "material": "steel"});
    let told = not_judged(&solved(&cantilever(&given, &json!({"push": {"forces": {"B": [0, 0, -100]}}}))), "weld");
    assert!(told.len() == 1 && told[0].0 == "tube size size", "{told:?}");
}

#[test]
fn an_end_that_is_no_weld_is_not_judged_as_one() {
    let mut model = pushed_aside();
    model["nodes"]["C"] = json!([600, 0, -300]);
    model["members"]["link"] = json!({"ends": ["B", "C"], "tube": "size", "joint": "rod-end"});
    model["mounts"]["C"] = json!("one bolt");
    let solved = solved(&model);
    let members = &solved["cases"]["push"]["members"];
    assert!(members["link"]["utilisation"].get("weld").is_none(), "{}", members["link"]);
    assert!(number(&members["beam"]["utilisation"]["weld"]) > 0.0);
}

#[test]
fn the_outer_ends_of_a_corners_arms_are_welds() {
    let mut car: Value = serde_json::from_str(&read("models/car.json")).unwrap();
    car["weld"] = json!({"throat": 3.5});
    let solved = solved(&car);
    let (_, members) =
        solved["cases"].as_object().unwrap().iter().next().map(|(name, case)| (name, &case["members"])).unwrap();
    let arm = &members["front.l/lower.front"];
    let length = number(&list(&arm["along"]).last().unwrap()["at"]);
    assert_near(number(&arm["working"]["weld"]["at"]), length, 1e-12);
    assert_eq!(number(&arm["working"]["weld"]["throat"]), 3.5);
    assert!(members["front.l/tie_rod"]["utilisation"].get("weld").is_none());
    assert!(not_judged(&solved, "weld").iter().any(|line| line.0 == "brackets and feet on tubes"));
}

#[test]
fn what_is_assumed_of_welds_is_told_once() {
    let notes = |model: &Value| -> Vec<String> {
        let solved = solved(model);
        list(&solved["notes"]).iter().map(word).filter(|note| note.starts_with("welds")).map(str::to_owned).collect()
    };
    let told = notes(&pushed_aside());
    assert_eq!(told.len(), 3, "{told:?}");
    assert!(told[0].contains("no throat is given"), "{told:?}");
    assert!(told[1].contains("walls down to 2.00 mm are outside the range"), "{told:?}");
    assert!(told[2].starts_with("welds of steel: the grade is not in EN 1993-1-8 Table 4.1"), "{told:?}");
    let mut known = cantilever(
        &json!({"round": {"od": 60, "wall": 4}, "material": "S355J2H"}),
        &json!({"push": {"forces": {"B": [0, 0, -100]}}}),
    );
    known["weld"] = json!({"throat": 4});
    assert_eq!(notes(&known), Vec::<String>::new());
}

#[test]
fn a_throat_and_a_filler_strength_are_above_0() {
    let mut model = pushed_aside();
    model["weld"] = json!({"throat": 0});
    model["members"]["beam"]["weld"] = json!({"filler_ultimate": -1});
    assert_eq!(
        super::refusals(&model),
        ["filler_ultimate is -1 MPa; it must be above 0", "throat is 0 mm; it must be above 0"]
    );
}
