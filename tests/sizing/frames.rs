//! Welded frames: a published one, and random ones of which every design is checked.

use crossbrace::math::assert_near;
use crossbrace::model::Model;
use crossbrace::run::check;
use crossbrace::studies::divided::Here;
use crossbrace::studies::size::{against_twist, twist_nm_deg};
use serde_json::{Value, json};

use super::{problem, reference, size_of, sized, sized_within};
use crate::support::load;

#[test]
fn the_portal_gets_the_sizes_that_trying_all_512_designs_gives() {
    // frame-portal-with-brace of tests/reference/sizing, every combination computed there.
    let reference = reference("frame-portal-with-brace");
    let best = &reference["best_known"];
    let model = problem("portal-with-brace");
    let told = sized(&model);
    assert!(told.is_proven());
    for (group, size) in best["tubes"].as_object().unwrap() {
        assert_eq!(size_of(&told, group), size.as_str().unwrap());
    }
    let found = told.best.as_ref().unwrap();
    assert_near(found.mass_kg, best["mass_kg"].as_f64().unwrap(), 1e-8);
    assert_near(found.checked.outcome.mass.frame_kg, found.mass_kg, 1e-12);
    let moved = found.checked.outcome.cases["brake"].pickups["E z"].change_mm;
    assert_near(moved, best["largest_move_mm"].as_f64().unwrap(), 1e-6);
    let stress = found.checked.verdict.tubes["brake"]["leg right"].yielding.unwrap().stress_mpa;
    assert_near(stress, best["largest_stress_MPa"].as_f64().unwrap(), 1e-6);
    assert!(found.checked.verdict.passes());
    assert!(told.read < 512, "{}", told.read);
}

#[test]
fn a_frame_whose_standing_moves_the_ground_gets_the_lightest_size_that_its_check_lets_pass() {
    let mut text = json!({
        "format": 1,
        "tubes": {
            "a": { "round": { "od": 30, "wall": 1.5 }, "material": "E235+N" },
            "b": { "round": { "od": 40, "wall": 2 }, "material": "E235+N" },
        },
        "nodes": { "N": { "at": [900, 0, 300], "pickup": true }, "B": [1300, 0, 300], "C": [1100, 0, 600] },
        "brackets": { "M": { "at": [0, 0, 200], "on": "N" } },
        "members": {
            "rail": { "ends": ["N", "B"], "tube": "b" },
            "up": { "ends": ["N", "C"], "tube": "b" },
            "down": { "ends": ["C", "B"], "tube": "b" },
        },
        "mounts": { "M": "one bolt", "B": { "y": "fixed", "z": "fixed", "rx": "fixed" } },
        "cases": {
            "standing": { "g": {}, "wheels": "none", "moved": { "M": { "z": 2 } } },
            "gust": { "g": {}, "wheels": "none", "forces": { "C": [0, 0, -10] } },
        },
        "limits": { "pickup_move": 1.0 },
        "sizing": { "groups": { "all": ["rail", "up", "down"] }, "stock": ["a", "b"] },
    });
    let found = sized(&load(&text.to_string()).base).best.expect("as drawn it passes");
    let lightest = ["a", "b"].into_iter().position(|size| {
        for member in ["rail", "up", "down"] {
            text["members"][member]["tube"] = json!(size);
        }
        check(&load(&text.to_string()).base, |_| true).unwrap().verdict.passes()
    });
    assert_eq!(Some(found.sizes[0]), lightest);
}

#[test]
fn a_post_that_is_wider_than_its_rail_does_not_pass_because_its_joint_is_not_judged() {
    let told = sized(&problem("post-on-rail"));
    assert!(told.is_proven());
    assert_eq!([size_of(&told, "rails"), size_of(&told, "posts")], ["28", "28"]);
}

/// A small tower: two bays on four feet, or as many as the numbers make it, with loads that the numbers choose.
fn tower(random: &mut impl FnMut(f64, f64) -> f64) -> Model {
    load(&tower_text(random).to_string()).base
}

/// The same as a file has it.
pub(super) fn tower_text(random: &mut impl FnMut(f64, f64) -> f64) -> Value {
    let mut near =
        |x: f64, y: f64, z: f64| json!([x + random(-40.0, 40.0), y + random(-40.0, 40.0), z + random(-40.0, 40.0)]);
    let nodes = json!({
        "A": near(0.0, 0.0, 0.0), "B": near(400.0, 0.0, 0.0), "C": near(0.0, 400.0, 0.0),
        "D": near(0.0, 0.0, 350.0), "E": near(400.0, 0.0, 350.0), "F": near(0.0, 400.0, 350.0),
    });
    let force = [0, 1, 2].map(|_| random(-1000.0, 1000.0));
    let other = [0, 1, 2].map(|_| random(-600.0, 600.0));
    let moment = random(-60.0, 60.0);
    let text = json!({
        "format": 1,
        "tubes": {
            "20x1.5": { "round": { "od": 20, "wall": 1.5 }, "material": "E235+N" },
            "25x1.5": { "round": { "od": 25, "wall": 1.5 }, "material": "E235+N" },
            "20x3": { "round": { "od": 20, "wall": 3 }, "material": "E355+N" },
            "30x2": { "round": { "od": 30, "wall": 2 }, "material": "E235+N" },
            "box": { "rect": { "width": 40, "depth": 25, "wall": 2 }, "material": "S235JRH" },
        },
        "nodes": nodes,
        "members": {
            "post A": { "ends": ["A", "D"], "tube": "30x2", "up": [1, 0.2, 0] },
            "post B": { "ends": ["B", "E"], "tube": "30x2", "up": [1, 0.2, 0] },
            "post C": { "ends": ["C", "F"], "tube": "30x2", "up": [1, 0.2, 0] },
            "top 1": { "ends": ["D", "E"], "tube": "30x2" },
            "top 2": { "ends": ["D", "F"], "tube": "30x2" },
            "top 3": { "ends": ["E", "F"], "tube": "30x2" },
            "brace": { "ends": ["A", "E"], "tube": "30x2", "joint": ["rod-end", { "hinge": "y" }] },
        },
        "weld": { "throat": 4 },
        "mounts": { "A": "bolted pad", "B": "bolted pad", "C": "one bolt" },
        "cases": {
            "one": { "forces": { "E": force }, "moments": { "F": [0, 0, moment] } },
            "other": { "forces": { "F": other, "D": force } },
            "twist": { "twist": { "axle": ["F", "D"], "moment": 300 } },
        },
        "limits": { "yield": 1.5, "pickup_move": random(0.9, 2.2), "twist": random(6000.0, 20000.0) },
        "sizing": {
            "groups": { "posts": ["post A", "post B", "post C"], "tops": ["top 1", "top 2", "top 3"] },
            "stock": ["20x1.5", "25x1.5", "20x3", "30x2", "box"],
        },
    });
    let mut text: Value = text;
    for node in ["E", "F"] {
        text["nodes"][node] = json!({ "at": text["nodes"][node], "pickup": true });
    }
    text
}

/// The least mass of all designs that pass, kg.
fn lightest_of_all(model: &Model) -> Option<f64> {
    designs_that_pass(model).into_iter().map(|(mass, _)| mass).reduce(f64::min)
}

/// Mass (kg) and twist stiffness (N·m/deg) of all designs that pass: every one is checked.
fn designs_that_pass(model: &Model) -> Vec<(f64, f64)> {
    let sizing = model.sizing.as_ref().unwrap();
    let (groups, stock) = (&sizing.groups, &sizing.stock);
    let mut passing = Vec::new();
    for number in 0..stock.len().pow(u32::try_from(groups.len()).unwrap()) {
        let mut sized = model.clone();
        let mut rest = number;
        for members in groups.values() {
            members.iter().for_each(|member| sized.members[*member].tube = stock[rest % stock.len()]);
            rest /= stock.len();
        }
        let Ok(checked) = check(&sized, |_| true) else { continue };
        if checked.verdict.passes() {
            passing.push((checked.outcome.mass.frame_kg, twist_nm_deg(&checked).unwrap()));
        }
    }
    passing
}

#[test]
fn random_frames_get_the_mass_that_a_check_of_every_design_gives() {
    let mut state = 0x5eed_u64;
    let mut random = |low: f64, high: f64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * ((state >> 11) as f64 / (1_u64 << 53) as f64)
    };
    let (mut some_pass, mut read) = (0, 0);
    for number in 0..6 {
        let model = tower(&mut random);
        let told = sized(&model);
        assert!(told.is_proven(), "{number}");
        let found = told.best.as_ref().map(|best| best.mass_kg);
        match (found, lightest_of_all(&model)) {
            (Some(found), Some(best)) => assert_near(found, best, 1e-9),
            (None, None) => assert_eq!(told.least_kg, f64::INFINITY),
            other => panic!("{number}: {other:?}"),
        }
        some_pass += usize::from(found.is_some());
        read += told.read;
    }
    assert!(some_pass >= 3, "{some_pass} of the frames have a design that passes");
    // Bounds save something.
    assert!(read < 6 * 125, "{read}");
}

/// A tower whose posts have one length and a size each, so that designs in which two of them are exchanged weigh the same.
pub(super) fn equal_posts_text() -> Value {
    let mut tower = tower_text(&mut |low, high| 0.5 * (low + high));
    tower["limits"] = json!({ "yield": 1.1 });
    tower["sizing"]["groups"] = json!({ "A": ["post A"], "B": ["post B"], "C": ["post C"] });
    tower["sizing"]["keep"] = json!(["top 1", "top 2", "top 3", "brace"]);
    tower
}

#[test]
fn the_curve_of_mass_against_twist_is_that_of_a_check_of_every_design() {
    let mut state = 0x71_u64;
    let mut random = |low: f64, high: f64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * ((state >> 11) as f64 / (1_u64 << 53) as f64)
    };
    let mut model = tower(&mut random);
    for case in model.cases.values_mut() {
        case.limits.pickup_move_mm = None;
        case.limits.twist_nm_deg = None;
    }
    is_the_whole_curve(&model);
    is_the_whole_curve(&load(&equal_posts_text().to_string()).base);
}

/// Holds the curve of a model against all of its designs.
fn is_the_whole_curve(model: &Model) {
    let all = designs_that_pass(model);
    assert!(all.len() > 10, "{}", all.len());
    let (tried, total) = (std::sync::atomic::AtomicU64::new(0), std::sync::atomic::AtomicU64::new(0));
    let watch = crossbrace::studies::Watch { tried: &tried, total: &total, ends: &|| false };
    let curve = against_twist(model, 0.05, u64::MAX, &watch, &Here).unwrap_or_else(|faults| panic!("{faults:?}"));
    let points = curve.expect("all of it is done here").points;
    assert!(points.len() > 2, "{}", points.len());
    let least = |at_least: f64| {
        let stiff_enough = all.iter().filter(|(_, twist)| *twist >= at_least);
        stiff_enough.map(|(mass, _)| *mass).reduce(f64::min)
    };
    for (at, point) in points.iter().enumerate() {
        let at_least = point.at_least_nm_deg.unwrap_or(0.0);
        assert_near(point.mass_kg, least(at_least).unwrap(), 1e-9);
        assert!(point.twist_nm_deg >= at_least * (1.0 - 1e-9) && point.is_proven);
        let before = at.checked_sub(1).map(|before| &points[before]);
        assert!(before.is_none_or(|before| before.mass_kg < point.mass_kg && before.twist_nm_deg < point.twist_nm_deg));
    }
    // Whatever power of 1.05 is asked for, the curve has the lightest design that is so stiff.
    let stiffest = all.iter().map(|(_, twist)| *twist).fold(0.0, f64::max);
    let asked: Vec<f64> =
        std::iter::successors(Some(1.0), |power| Some(power * 1.05)).take_while(|power| *power <= stiffest).collect();
    assert!(asked.len() > points.len());
    for at_least in asked {
        let stiff_enough = points.iter().filter(|point| point.twist_nm_deg >= at_least);
        let told = stiff_enough.map(|point| point.mass_kg).reduce(f64::min);
        assert_near(told.unwrap(), least(at_least).unwrap(), 1e-9);
    }
}

#[test]
fn a_search_that_ends_early_claims_no_optimum_and_its_bound_is_not_above_it() {
    let model = problem("portal-with-brace");
    let optimum = sized(&model).best.unwrap().mass_kg;
    for boxes in [0, 1, 20] {
        let told = sized_within(&model, boxes);
        assert!(told.least_kg <= optimum * (1.0 + 1e-9), "{boxes}: {}", told.least_kg);
        assert!(told.best.as_ref().unwrap().mass_kg >= optimum * (1.0 - 1e-9));
        assert_eq!(told.is_proven(), boxes > 64, "{boxes}");
        let said = crossbrace::report::sizing::sentences(&told).concat();
        assert!(!said.contains("optimum") && said.contains("not proven"), "{said}");
    }
}

#[test]
fn a_stock_from_which_nothing_passes_is_proven_to_be_too_weak() {
    let mut text: Value = serde_json::from_str(&crate::support::read("models/sizing/portal-with-brace.json")).unwrap();
    text["sizing"]["stock"] = json!(["20x1.5", "25x1.5", "25x2"]);
    let told = sized(&load(&text.to_string()).base);
    assert!(told.best.is_none() && told.is_proven());
    let said = crossbrace::report::sizing::sentences(&told).concat();
    assert!(said.contains("no choice from this stock passes"), "{said}");
    // The largest of the three comes nearest, and still fails: what to mend is told.
    let nearest = told.nearest.as_ref().unwrap();
    assert_eq!(told.sizes[nearest.size], "25x2");
    let places = nearest.checked.verdict.failing_places();
    assert!(!places.is_empty() && places.len() <= nearest.checked.verdict.failing().len());
    let line = format!("nearest with one size for all groups: 25x2, over its limits at {} place", places.len());
    assert!(said.contains(&line) && said.contains("times its limit"), "{said}");
}

#[test]
fn the_same_comes_out_whatever_the_number_of_threads() {
    let model = problem("portal-with-brace");
    let of = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let told = pool.install(|| sized(&model));
        super::certificate_of(&told, &model)
    };
    assert_eq!(of(1), of(3));
}
