//! Flats bent on edge: what hangs on them, what holds them and what spins with them, however the model is written.

use std::f64::consts::PI;

use serde_json::{Value, json};

use crate::support::values::{assert_near, list, number};
use crate::support::{load, result};

/// A model of flats of 60 × 3 and round tubes of 40 × 3; its one case is `push`.
fn model(nodes: &Value, members: &Value, mounts: &Value, forces: &Value) -> Value {
    json!({
        "format": 1,
        "materials": {"steel": {
            "youngs_modulus": 210_000, "shear_modulus": 81_000, "density": 7850,
            "yield": 355, "ultimate": 490, "yield_at_weld": "same"
        }},
        "tubes": {
            "flat": {"flat": {"width": 60, "thickness": 3}, "material": "steel"},
            "round": {"round": {"od": 40, "wall": 3}, "material": "steel"}
        },
        "nodes": nodes,
        "members": members,
        "mounts": mounts,
        "cases": {"push": {"forces": forces}}
    })
}

fn solved(model: &Value) -> Value {
    result(&load(&model.to_string()).base)
}

/// The utilisation of a flat, and how it was worked out.
fn lateral(result: &Value, flat: &str) -> (f64, Value) {
    let judged = &result["cases"]["push"]["members"][flat];
    (number(&judged["utilisation"]["lateral"]), judged["working"]["lateral"].clone())
}

/// A cantilever of 1.5 m with a tab on its end, and a force on the tab 10 mm above the axis.
fn loaded_above(push_n: f64) -> Value {
    let mut model = model(
        &json!({"A": [0, 0, 0], "B": [1500, 0, 0]}),
        &json!({"beam": {"ends": ["A", "B"], "tube": "flat"}}),
        &json!({"A": "bolted pad"}),
        &json!({"tab": [0, -push_n, 0]}),
    );
    model["brackets"] = json!({"tab": {"at": [1500, 10, 0], "on": "B"}});
    model
}

/// √(E I G J) of the flat, N·mm²; J by the sum of its series, Timoshenko and Goodier (1970), art. 109.
fn root() -> f64 {
    let (width, thickness) = (60.0_f64, 3.0_f64);
    let series: f64 =
        (0..40).map(|at| f64::from(2 * at + 1)).map(|n| (n * PI * width / (2.0 * thickness)).tanh() / n.powi(5)).sum();
    let j = width * thickness.powi(3) / 3.0 * (1.0 - 192.0 * thickness / (PI.powi(5) * width) * series);
    (210_000.0 * width * thickness.powi(3) / 12.0 * 81_000.0 * j).sqrt()
}

/// Timoshenko and Gere (1961), art. 6.3: 4.013/L² √(E I G J) (1 − a/L √(E I/G J)); a/L is small.
#[test]
fn the_factor_of_a_flat_falls_as_its_load_grows_however_far_it_is_overloaded() {
    let (length, above) = (1500.0_f64, 10.0_f64);
    let bending_over_torsion = 210_000.0 * 60.0 * 27.0 / 12.0 / root();
    let book_n = 4.013 / length.powi(2) * root() * (1.0 - above / length * bending_over_torsion);
    for push_n in [2.0, 5.0, 20.0, 40.0, 60.0, 80.0, 600.0] {
        let result = solved(&loaded_above(push_n));
        let (_, told) = lateral(&result, "beam");
        assert_near(number(&told["factor"]), book_n / push_n, 2e-3);
        assert!(!list(&result["verdict"]["not_judged"]).iter().any(|it| it["check"] == "lateral"));
    }
}

#[test]
fn a_flat_beside_one_that_is_overloaded_is_judged_as_alone_or_more_strictly() {
    let both = |push_n: f64| {
        let mut model = loaded_above(push_n);
        model["nodes"]["C"] = json!([0, 500, 0]);
        model["nodes"]["D"] = json!([900, 500, 0]);
        model["members"]["other"] = json!({"ends": ["C", "D"], "tube": "flat"});
        model["mounts"]["C"] = json!("bolted pad");
        model["cases"]["push"]["forces"]["D"] = json!([0, -20, 0]);
        lateral(&solved(&model), "other").0
    };
    let alone = both(2.0);
    assert_near(both(25.0), alone, 1e-9);
    // The other's shapes come before its own: more than "at least" is not found.
    assert!([60.0, 300.0].into_iter().all(|push_n| both(push_n) > alone));
}

/// In forks at both ends, 900 mm apart, and loaded 300 mm above its middle.
fn in_forks(load: &Value) -> Value {
    let fork = json!({"y": "fixed", "z": "fixed", "rx": "fixed"});
    let mut model = model(
        &json!({"A": [0, 0, 0], "M": [450, 0, 0], "B": [900, 0, 0]}),
        &json!({"beam": {"through": ["A", "M", "B"], "tube": "flat"}}),
        &json!({"A": {"x": "fixed", "y": "fixed", "z": "fixed", "rx": "fixed"}, "B": fork}),
        load,
    );
    model["tubes"]["post"] = json!({"round": {"od": 60, "wall": 3}, "material": "steel"});
    model
}

#[test]
fn a_load_above_a_flat_does_the_same_on_a_bracket_a_body_and_a_stiff_post() {
    let mut on_bracket = in_forks(&json!({"T": [0, -300, 0]}));
    on_bracket["brackets"] = json!({"T": {"at": [450, 300, 0], "on": "M"}});
    let mut on_body = in_forks(&json!({"engine": [0, -300, 0]}));
    on_body["bodies"] = json!({"engine": {"mass": 1, "cg": [450, 300, 0], "mounts": {"M": "bolted pad"}}});
    let mut on_post = in_forks(&json!({"T": [0, -300, 0]}));
    on_post["nodes"]["T"] = json!([450, 300, 0]);
    on_post["members"]["post"] = json!({"ends": ["M", "T"], "tube": "post"});
    let factor = |model: &Value| number(&lateral(&solved(model), "beam").1["factor"]);
    let bracket = factor(&on_bracket);
    assert!(bracket < 1.5, "{bracket}");
    assert_near(factor(&on_body), bracket, 1e-6);
    // The post gives way a little itself.
    assert_near(factor(&on_post), bracket, 1e-3);
    // Hung below it holds the flat.
    on_body["bodies"]["engine"]["cg"] = json!([450, -300, 0]);
    assert!(factor(&on_body) > 2.0 * bracket);
}

#[test]
fn a_couple_that_tubes_bring_to_the_end_of_a_flat_does_what_brackets_bring() {
    let ends = json!({"A": [0, 0, 0], "B": [900, 0, 0]});
    let beam = json!({"beam": {"ends": ["A", "B"], "tube": "flat"}});
    let pushes = json!({"U": [220, 0, 0], "V": [-220, 0, 0]});
    let mut brackets = model(&ends, &beam, &json!({"A": "bolted pad"}), &pushes);
    brackets["brackets"] = json!({"U": {"at": [900, -100, 0], "on": "B"}, "V": {"at": [900, 100, 0], "on": "B"}});
    let mut tubes = model(&ends, &beam, &json!({"A": "bolted pad"}), &pushes);
    tubes["nodes"]["U"] = json!([900, -100, 0]);
    tubes["nodes"]["V"] = json!([900, 100, 0]);
    tubes["members"]["up"] = json!({"ends": ["B", "U"], "tube": "round"});
    tubes["members"]["down"] = json!({"ends": ["B", "V"], "tube": "round"});
    // π/2L √(E I G J): dead forces at arms along the axis of the moment's plane.
    let critical = PI / 1800.0 * root() / 1000.0;
    for model in [brackets, tubes] {
        assert_near(number(&lateral(&solved(&model), "beam").1["m_cr"]), critical, 2e-3);
    }
}

#[test]
fn what_leads_nowhere_does_not_hold_the_end_of_a_flat() {
    let mut stub = model(
        &json!({"A": [0, 0, 0], "B": [900, 0, 0], "S": [900, 0, 200]}),
        &json!({"beam": {"ends": ["A", "B"], "tube": "flat"}, "stub": {"ends": ["B", "S"], "tube": "round"}}),
        &json!({"A": "bolted pad"}),
        &json!({"B": [0, -50, 0]}),
    );
    let (alone, told) = lateral(&solved(&stub), "beam");
    assert_near(number(&told["length"]), 1800.0, 1e-12);
    stub["mounts"]["S"] = json!("bolted pad");
    // Held by a tube that gives way a little, the flat has the lesser of the frame's answer and of the length between.
    let (held, told) = lateral(&solved(&stub), "beam");
    assert_ne!(told["length"], json!(1800.0));
    assert!(held < 0.6 * alone, "{held}");
}

/// Two round tubes and a flat in one line, with rod-ends at the far ends: all spin together.
#[test]
fn all_that_spins_together_lies_over_in_whatever_order_it_is_written() {
    let places = [("N0", 0), ("N1", 300), ("N2", 600), ("N3", 1200)];
    let members = [
        ("t0", json!({"ends": ["N0", "N1"], "tube": "round", "joint": ["rod-end", "weld"]})),
        ("t1", json!({"ends": ["N1", "N2"], "tube": "round"})),
        ("flat", json!({"ends": ["N2", "N3"], "tube": "flat", "joint": ["weld", "rod-end"]})),
    ];
    let written = |reversed: bool| {
        let mut nodes: Vec<_> = places.iter().map(|(name, x)| (name.to_string(), json!([x, 0, 0]))).collect();
        let mut tubes: Vec<_> = members.iter().map(|(name, member)| (name.to_string(), member.clone())).collect();
        if reversed {
            nodes.reverse();
            tubes.reverse();
        }
        let model = model(
            &nodes.into_iter().collect(),
            &tubes.into_iter().collect(),
            &json!({"N0": "bolted pad", "N3": "bolted pad"}),
            &json!({"N2": [0, -100, 0]}),
        );
        lateral(&solved(&model), "flat")
    };
    for reversed in [false, true] {
        let (utilisation, told) = written(reversed);
        assert_eq!(told["lies_over"], json!(true), "{reversed}: {told}");
        assert!(utilisation > 1.0);
    }
}

#[test]
fn a_flat_that_is_held_in_its_middle_or_at_one_end_does_not_lie_over() {
    let held_in_the_middle = |joint: &str| {
        let mut model = model(
            &json!({"A": [0, 0, 500], "M": [300, 0, 500], "B": [600, 0, 500], "L": [300, 200, 500], "R": [300, -200, 500]}),
            &json!({
                "strip": {"through": ["A", "M", "B"], "tube": "flat", "up": [0, 1, 0], "joint": joint},
                "cross": {"through": ["L", "M", "R"], "tube": "round"}
            }),
            &json!({"L": "bolted pad", "R": "bolted pad"}),
            &json!({"A": [0, 0, -150], "B": [0, 0, -150]}),
        );
        model["tubes"]["round"]["round"]["wall"] = json!(3);
        lateral(&solved(&model), "strip")
    };
    let held_at_one_end = |joint: Value| {
        let model = model(
            &json!({"A": [0, 0, 500], "M": [300, 0, 500], "B": [600, 0, 500]}),
            &json!({"strip": {"through": ["A", "M", "B"], "tube": "flat", "up": [0, 1, 0], "joint": [joint, "weld"]}}),
            &json!({"A": "one bolt", "B": "bolted pad"}),
            &json!({"M": [0, 0, -300]}),
        );
        lateral(&solved(&model), "strip")
    };
    let turned_loose = held_at_one_end(json!({"rate": {"t": 0}}));
    for (loose, welded) in [
        (held_in_the_middle("rod-end"), held_in_the_middle("weld")),
        (turned_loose.clone(), held_at_one_end(json!("weld"))),
        (turned_loose, held_at_one_end(json!("rod-end"))),
    ] {
        assert!(loose.1.get("lies_over").is_none(), "{}", loose.1);
        assert_near(loose.0, welded.0, 1e-9);
    }
}
