//! What is judged, and what the verdict says that it does not cover.

mod adjusters;
mod deformed;
mod fails_only;
mod fasteners;
mod fatigue;
mod flats;
mod joints;
mod unknowns;
mod welds;

use crossbrace::source::Document;
use serde_json::{Value, json};

use crate::support::program::Scratch;
use crate::support::values::{assert_near, list, number, vector, word};
use crate::support::{load, read, result, try_result};

/// The messages of a text that is no model.
fn refusals(model: &Value) -> Vec<String> {
    let document =
        Document::read(model.to_string().into_bytes()).unwrap_or_else(|(_, problems)| panic!("{problems:#?}"));
    let problems = crossbrace::model::load_all(&document).expect_err("it must be refused");
    problems.iter().map(|problem| problem.message.clone()).collect()
}

/// A tube of this section, 600 mm along x from a bolted pad, with these cases.
fn cantilever(section: &Value, cases: &Value) -> Value {
    json!({
        "format": 1,
        "materials": {"steel": {
            "youngs_modulus": 210_000, "shear_modulus": 81_000, "density": 7850,
            "yield": 355, "ultimate": 490, "yield_at_weld": "same", "finish": "hot"
        }},
        "tubes": {"size": section},
        "nodes": {"A": [0, 0, 0], "B": [600, 0, 0]},
        "members": {"beam": {"ends": ["A", "B"], "tube": "size"}},
        "mounts": {"A": "bolted pad"},
        "cases": cases
    })
}

#[test]
fn a_hot_finished_box_whose_bore_has_no_room_for_the_inner_radius_is_refused() {
    let tube = |side: f64| {
        cantilever(
            &json!({"square": {"side": side, "wall": 10}, "material": "steel"}),
            &json!({"load": {"forces": {"B": [0, 0, -100]}}}),
        )
    };
    assert_eq!(
        refusals(&tube(30.0)),
        ["the inner radius of the standard, 10 mm, is more than half of the bore, 10 mm"]
    );
    load(&tube(40.0).to_string()); // a round bore
    let mut measured = tube(30.0);
    measured["tubes"]["size"]["square"]["outer_radius"] = json!(12);
    load(&measured.to_string());
}

#[test]
fn a_wheel_in_the_air_that_is_asked_for_friction_is_told_to_carry_nothing() {
    let mut car: Value = serde_json::from_str(&read("models/car.json")).unwrap();
    car["vehicle"].as_object_mut().unwrap().remove("tyre_grip");
    car["cases"] = json!({"tight bend": {"g": {"long": -0.5, "lat": 1.6}}});
    let result = result(&load(&car.to_string()).base);
    let force = vector(&result["cases"]["tight bend"]["wheels"]["rear.l"]["force"]);
    assert!(force.z == 0.0 && force.x < 0.0, "the wheel must be in the air and brake: {force:?}");
    let notes: Vec<&str> = list(&result["notes"]).iter().map(word).filter(|note| note.contains("friction")).collect();
    assert!(notes.iter().any(|note| note.contains("it carries nothing")), "{notes:?}");
    assert!(notes.iter().all(|note| !note.contains("inf ")), "{notes:?}");
}

/// The lines of `not_judged` of a check, as (where, why).
fn not_judged(result: &Value, check: &str) -> Vec<(String, String)> {
    list(&result["verdict"]["not_judged"])
        .iter()
        .filter(|line| line["check"] == check)
        .map(|line| (word(&line["where"]).to_owned(), word(&line["why"]).to_owned()))
        .collect()
}

/// A round tube 25×2 as a cantilever.
fn round_cantilever(cases: &Value) -> Value {
    cantilever(&json!({"round": {"od": 25, "wall": 2}, "material": "steel"}), cases)
}

/// A frame of two posts on pads, 400 mm apart in y, with a rail between their heads.
fn twisted(axle: [&str; 2], moment: f64) -> Value {
    let mut model = round_cantilever(&json!({"jig": {"twist": {"axle": axle, "moment": moment}}}));
    model["nodes"] = json!({"A": [0, 0, 0], "B": [600, 0, 0], "C": [600, 400, 0], "D": [0, 400, 0]});
    model["members"] = json!({
        "one": {"ends": ["A", "B"], "tube": "size"},
        "rail": {"ends": ["B", "C"], "tube": "size"},
        "other": {"ends": ["D", "C"], "tube": "size"}
    });
    model["mounts"] = json!({"A": "bolted pad", "D": "bolted pad"});
    model["limits"] = json!({"twist": 10});
    model
}

#[test]
fn a_limit_of_a_case_that_nothing_lets_judge_is_told() {
    let load_case = json!({
        "forces": {"B": [0, 0, -100]},
        "limits": {"toe": 0.1, "camber": 0.1, "pickup_move": 1, "twist": 50}
    });
    let result = result(&load(&round_cantilever(&json!({"push": load_case})).to_string()).base);
    for check in ["toe", "camber", "pickup_move", "twist"] {
        let lines = not_judged(&result, check);
        assert_eq!(lines.len(), 1, "{check}: {lines:?}");
        assert_eq!(lines[0].0, "push", "{check}");
    }
}

#[test]
fn a_limit_that_is_the_files_is_told_once() {
    let mut model = round_cantilever(&json!({
        "push": {"forces": {"B": [0, 0, -100]}}, "pull": {"forces": {"B": [0, 0, 100]}}
    }));
    model["limits"] = json!({"toe": 0.1, "twist": 50});
    let result = result(&load(&model.to_string()).base);
    assert_eq!(not_judged(&result, "toe").len(), 1);
    assert_eq!(not_judged(&result, "twist"), [("the frame".to_owned(), "no case holds a twist test".to_owned())]);
}

#[test]
fn a_twist_test_in_which_nothing_turns_is_told() {
    let fails = result(&load(&twisted(["B", "C"], 100.0).to_string()).base);
    assert!(number(&fails["twist"]["jig"]["stiffness"]) > 0.0);
    assert_eq!(not_judged(&fails, "twist"), []);
    for mount in ["bolted pad", "one bolt"] {
        let mut model = twisted(["A", "D"], 100.0);
        model["mounts"] = json!({"A": mount, "B": "bolted pad", "D": mount});
        let held = result(&load(&model.to_string()).base);
        assert!(held["twist"]["jig"].get("stiffness").is_none(), "{}", held["twist"]);
        let lines = not_judged(&held, "twist");
        assert!(lines.len() == 1 && lines[0].0 == "jig" && lines[0].1.contains("nothing turns"), "{lines:?}");
    }
}

#[test]
fn a_twist_test_without_a_moment_is_refused() {
    assert_eq!(refusals(&twisted(["B", "C"], 0.0)), ["the moment of a twist test is 0, so that nothing is twisted"]);
}

/// A solid 10×30 bar by its figures, without those that are optional.
fn given_section() -> Value {
    json!({"given": {"a": 300, "iy": 22_500, "iz": 2500, "j": 7900, "cy": 5, "cz": 15}, "material": "steel"})
}

#[test]
fn a_section_without_shear_areas_is_told_to_leave_out_their_stress() {
    let lines = |figures: &[(&str, f64)]| {
        let mut section = given_section();
        for (key, value) in figures {
            section["given"][*key] = json!(value);
        }
        let model = cantilever(&section, &json!({"push": {"forces": {"B": [0, 0, -100]}}}));
        let told = not_judged(&result(&load(&model.to_string()).base), "yield");
        assert!(told.iter().all(|line| line.0 == "tube size size"), "{told:?}");
        told.into_iter().map(|line| line.1).collect::<Vec<String>>().join("; ")
    };
    assert_eq!(lines(&[("ct", 900.0), ("ay", 250.0), ("az", 250.0)]), "");
    assert!(lines(&[("ct", 900.0), ("az", 250.0)]).contains("no \"ay\""));
    assert!(lines(&[("ct", 900.0), ("ay", 250.0)]).contains("no \"az\""));
    let all = lines(&[]);
    assert!(all.contains("no \"ct\"") && all.contains("neither \"ay\" nor \"az\""), "{all}");
}

#[test]
fn a_bracket_on_the_inner_node_of_a_tube_is_welded_to_it_as_one_on_the_tube_is() {
    let utilisation = |on: Option<&str>| {
        let mut model = round_cantilever(&json!({"push": {"forces": {"B": [0, 0, -100]}}}));
        model["materials"]["steel"]["yield_at_weld"] = json!(100);
        model["nodes"] = json!({"A": [0, 0, 0], "B": [300, 0, 0], "C": [600, 0, 0]});
        model["members"] = json!({"beam": {"through": ["A", "B", "C"], "tube": "size", "joint": {"hinge": "y"}}});
        model["mounts"] = json!({"A": "bolted pad", "C": "bolted pad"});
        if let Some(on) = on {
            model["brackets"] = json!({"tab": {"at": [300, 0, 50], "on": on}});
            model["cases"]["push"]["forces"]["tab"] = json!([0, 0, -1]);
        }
        let result = result(&load(&model.to_string()).base);
        number(&result["cases"]["push"]["members"]["beam"]["utilisation"]["yield"])
    };
    let (plain, on_tube, on_node) = (utilisation(None), utilisation(Some("beam")), utilisation(Some("B")));
    assert!(on_tube > 3.5 * plain, "{on_tube} beside {plain}: the strength beside the weld is 100 of 355 MPa");
    assert!((on_node - on_tube).abs() < 1e-9 * on_tube, "{on_node} instead of {on_tube}");
}

/// A thin flat as a cantilever, thickness along z, with a moment on its end.
fn flat_cantilever(moment: [f64; 3]) -> Value {
    result(
        &load(
            &cantilever(
                &json!({"flat": {"width": 60, "thickness": 3}, "material": "steel"}),
                &json!({"push": {"moments": {"B": moment}}}),
            )
            .to_string(),
        )
        .base,
    )
}

#[test]
fn a_flat_bent_and_twisted_at_once_is_told_to_be_stressed_more_between_the_places_that_are_judged() {
    // About the mix that makes the difference largest: σ of bending about both axes near √3 τ of torsion.
    let result = flat_cantilever([13.6, 4.0, 185.0]);
    let judged = number(&result["cases"]["push"]["members"]["beam"]["utilisation"]["yield"]);
    let lines = not_judged(&result, "yield");
    assert!(lines.len() == 1 && lines[0].0 == "tube size size", "{lines:?}");
    let figures: Vec<f64> = lines[0].1.split(' ').filter_map(|word| word.parse().ok()).collect();
    let [times, utilisation] = figures[..] else { panic!("{lines:?}") };
    assert!(times > 1.25 && times < 1.32, "{lines:?}");
    assert!((utilisation - times * judged).abs() < 0.01 * utilisation, "{utilisation} beside {times} × {judged}");
    // Bent alone, and twisted alone, it is stressed most at a corner and at a mid-side.
    assert_eq!(not_judged(&flat_cantilever([0.0, 4.0, 185.0]), "yield"), []);
    assert_eq!(not_judged(&flat_cantilever([13.6, 0.0, 0.0]), "yield"), []);
}

#[test]
fn a_flat_bent_on_edge_is_judged_for_giving_way_sideways() {
    let found = |moment: [f64; 3]| {
        let result = flat_cantilever(moment);
        assert_eq!(not_judged(&result, "lateral"), []);
        result["cases"]["push"]["members"]["beam"].clone()
    };
    let weak = found([0.0, 20.0, 0.0]);
    assert!(weak["utilisation"].get("lateral").is_none(), "bent about its weak axis it cannot");
    let bent = found([0.0, 0.0, 60.0]);
    // One end free: (π/1200) √(210000·135 · 81000·523) = 90.7 N·m; W = 3·60²/6 = 1800 mm³, W fy = 639 N·m.
    let working = &bent["working"]["lateral"];
    assert_near(number(&working["length"]), 1200.0, 1e-12);
    assert_near(number(&working["m_cr"]), 90.7, 1e-3);
    let slenderness = (639.0_f64 / 90.7).sqrt();
    assert_near(number(&working["slenderness"]), slenderness, 1e-3);
    // EN 1993-1-1 6.3.2.2 by hand, α = 0.76.
    let phi = 0.5 * (1.0 + 0.76 * (slenderness - 0.2) + slenderness * slenderness);
    let chi = 1.0 / (phi + (phi * phi - slenderness * slenderness).sqrt());
    assert_near(number(&bent["utilisation"]["lateral"]), 60.0 * 1.5 / (chi * 639.0), 2e-3);
}

#[test]
fn a_flat_that_two_tubes_hold_has_its_own_length_one_with_a_tab_that_of_its_frame_and_one_that_spins_lies_over() {
    let model = |joint: &str, bracket: bool| {
        let mut model = cantilever(
            &json!({"flat": {"width": 60, "thickness": 3}, "material": "S355J2H"}),
            &json!({"push": {"forces": {"M": [0, 300, 0]}}}),
        );
        model["nodes"] = json!({
            "A": [0, 0, 0], "M": [300, 0, 0], "B": [600, 0, 0], "C": [0, 0, 300], "D": [600, 0, 300], "E": [0, 300, 0], "F": [600, 300, 0]
        });
        model["tubes"]["post"] = json!({"round": {"od": 30, "wall": 2}, "material": "S355J2H"});
        model["members"] = json!({
            "beam": {"through": ["A", "M", "B"], "tube": "size", "joint": joint},
            "one": {"ends": ["C", "A"], "tube": "post"}, "two": {"ends": ["D", "B"], "tube": "post"},
            "three": {"ends": ["E", "A"], "tube": "post"}, "four": {"ends": ["F", "B"], "tube": "post"}
        });
        model["mounts"] = json!({"C": "bolted pad", "D": "bolted pad", "E": "bolted pad", "F": "bolted pad"});
        if bracket {
            model["brackets"] = json!({"tab": {"at": [300, 0, 40], "on": "M"}});
            model["cases"] = json!({"push": {"forces": {"tab": [0, 300, 0]}}});
        }
        result(&load(&model.to_string()).base)
    };
    let held = model("weld", false);
    assert_near(number(&held["cases"]["push"]["members"]["beam"]["working"]["lateral"]["length"]), 600.0, 1e-12);
    assert_eq!(not_judged(&held, "lateral"), []);
    // A tab beside the axis between both: no closed form, and the frame's answer in its place.
    let tabbed = model("weld", true);
    assert_eq!(not_judged(&tabbed, "lateral"), []);
    let working = &tabbed["cases"]["push"]["members"]["beam"]["working"]["lateral"];
    assert!(working.get("factor").or_else(|| working.get("factor_at_least")).is_some(), "{working}");
    // Between rod-ends it lies over: M = 300·600/4 N·mm about W = 60·3²/6 = 90 mm³.
    let loose = model("rod-end", false);
    assert_eq!(not_judged(&loose, "lateral"), []);
    let beam = &loose["cases"]["push"]["members"]["beam"];
    assert_eq!(beam["working"]["lateral"]["lies_over"], json!(true));
    assert_near(number(&beam["utilisation"]["lateral"]), 45_000.0 * 1.5 / (90.0 * 355.0), 1e-3);
}

/// A strip of 60 by 3 mm, built in at one end, with a force on its edge at so much above its axis at the other.
fn strip_pushed_from(above_mm: f64) -> Value {
    let mut model = cantilever(
        &json!({"flat": {"width": 60, "thickness": 3}, "material": "steel"}),
        &json!({"push": {"forces": {"tab": [0, -100, 0]}}}),
    );
    model["materials"] = json!({"steel": {
        "youngs_modulus": 210_000, "shear_modulus": 81_000, "density": 7850,
        "yield": 355, "ultimate": 490, "yield_at_weld": "same"
    }});
    model["brackets"] = json!({"tab": {"at": [600, above_mm, 0], "on": "B"}});
    result(&load(&model.to_string()).base)
}

#[test]
fn a_force_above_the_axis_of_a_flat_helps_it_over_and_one_below_holds_it_back_as_the_book_has_it() {
    let factor = |above_mm: f64| {
        let result = strip_pushed_from(above_mm);
        assert_eq!(not_judged(&result, "lateral"), []);
        number(&result["cases"]["push"]["members"]["beam"]["working"]["lateral"]["factor"])
    };
    // Timoshenko & Gere, Theory of Elastic Stability, ch. 6, for a small height a above the axis:
    // P = 4.013 √(E I G J)/L² (1 − a/L √(E I/(G J))). I = 135 mm⁴, J = 60·27/3·(1 − 0.63/20) = 523.0 mm⁴.
    let (bends, twists) = (210_000.0 * 135.0, 81_000.0 * 523.0);
    let book = |above_mm: f64| {
        let at_the_axis: f64 = 4.013 * f64::sqrt(bends * twists) / 360_000.0 / 100.0;
        at_the_axis * (1.0 - above_mm / 600.0 * f64::sqrt(bends / twists))
    };
    for above_mm in [-10.0, -5.0, 5.0, 10.0] {
        assert_near(factor(above_mm), book(above_mm), 2e-3);
    }
    assert!(factor(30.0) < factor(10.0) && factor(-30.0) > factor(-10.0));
}

#[test]
fn a_stout_flat_twists_over_where_a_force_times_its_height_is_what_the_flat_resists() {
    let mut model = cantilever(
        &json!({"flat": {"width": 30, "thickness": 20}, "material": "steel"}),
        &json!({"push": {"forces": {"tab": [0, -1000, 0]}}}),
    );
    model["brackets"] = json!({"tab": {"at": [600, 1000, 0], "on": "B"}});
    let result = result(&load(&model.to_string()).base);
    let factor = number(&result["cases"]["push"]["members"]["beam"]["working"]["lateral"]["factor"]);
    // It twists over where the force times its height is G J/L, J = 0.196·30·20³ (Timoshenko & Goodier); that it
    // swings out as well makes it a little less: of the force at the axis it would take seven times as much.
    let twists_over = 81_000.0 * 0.1958 * 30.0 * 8000.0 / 600.0 / 1000.0 / 1000.0;
    assert!(factor < twists_over && factor > 0.94 * twists_over, "{factor} beside {twists_over}");
}

#[test]
fn a_flat_between_two_soft_tubes_gives_way_sooner_than_between_forks() {
    let found = |od: f64| {
        let mut model = cantilever(
            &json!({"flat": {"width": 60, "thickness": 3}, "material": "S355J2H"}),
            &json!({"push": {"moments": {"A": [0, 0, -40], "B": [0, 0, 40]}}}),
        );
        // Posts that stand on the flat's own plane: they twist as it lies over.
        model["nodes"] = json!({"A": [0, 0, 0], "B": [600, 0, 0], "C": [0, 900, 0], "D": [600, 900, 0]});
        model["tubes"]["post"] = json!({"round": {"od": od, "wall": 1}, "material": "S355J2H"});
        model["members"] = json!({
            "beam": {"ends": ["A", "B"], "tube": "size"},
            "one": {"ends": ["C", "A"], "tube": "post"}, "two": {"ends": ["D", "B"], "tube": "post"}
        });
        model["mounts"] = json!({"C": "bolted pad", "D": "bolted pad"});
        result(&load(&model.to_string()).base)["cases"]["push"]["members"]["beam"].clone()
    };
    let (stiff, soft) = (found(60.0), found(8.0));
    assert_near(number(&stiff["working"]["lateral"]["length"]), 600.0, 1e-12);
    assert!(soft["working"]["lateral"].get("length").is_none(), "{soft}");
    assert!(number(&soft["working"]["lateral"]["factor"]) < 10.0);
}

#[test]
fn a_flat_is_held_by_a_mount_that_takes_its_own_turn_stiffly_and_by_no_other() {
    let length = |mount: Value| {
        let mut model = cantilever(
            &json!({"flat": {"width": 60, "thickness": 3}, "material": "S355J2H"}),
            &json!({"push": {"moments": {"B": [0, 0, 60]}}}),
        );
        model["mounts"]["B"] = mount;
        let result = result(&load(&model.to_string()).base);
        number(&result["cases"]["push"]["members"]["beam"]["working"]["lateral"]["length"])
    };
    // G J/L of the flat is 81000·523/600 = 71 N·m/rad; ten times that holds it.
    for (mount, expected) in [
        (json!({"y": "fixed", "z": "fixed"}), 1200.0),
        (json!({"y": "fixed", "z": "fixed", "ry": "fixed"}), 1200.0),
        (json!({"y": "fixed", "z": "fixed", "rz": 1.0}), 1200.0),
        (json!({"y": "fixed", "z": "fixed", "rx": 1.0}), 1200.0),
        (json!({"y": "fixed", "z": "fixed", "rx": 1000.0}), 600.0),
        (json!({"y": "fixed", "z": "fixed", "rx": "fixed"}), 600.0),
    ] {
        assert_near(length(mount), expected, 1e-12);
    }
}

#[test]
fn a_flat_of_a_short_and_a_long_run_is_judged_alike_drawn_whole_and_cut() {
    let worst = |members: Value| {
        let mut model = cantilever(
            &json!({"flat": {"width": 60, "thickness": 6}, "material": "S355J2H"}),
            &json!({"push": {"forces": {"B": [-20_000, 0, 0], "M": [0, -450, 0]}}}),
        );
        model["nodes"] = json!({"A": [0, 0, 0], "M": [150, 0, 0], "B": [1350, 0, 0], "C": [150, 0, 300]});
        model["tubes"]["post"] = json!({"round": {"od": 30, "wall": 2}, "material": "S355J2H"});
        model["members"] = members;
        model["members"]["post"] = json!({"ends": ["C", "M"], "tube": "post"});
        model["mounts"] =
            json!({"A": "bolted pad", "C": "bolted pad", "B": {"y": "fixed", "z": "fixed", "rx": "fixed"}});
        let result = result(&load(&model.to_string()).base);
        let members = result["cases"]["push"]["members"].as_object().unwrap().clone();
        members.values().filter_map(|member| member["utilisation"]["lateral"].as_f64()).fold(0.0, f64::max)
    };
    let whole = worst(json!({"beam": {"through": ["A", "M", "B"], "tube": "size"}}));
    let cut = worst(json!({"one": {"ends": ["A", "M"], "tube": "size"}, "two": {"ends": ["M", "B"], "tube": "size"}}));
    assert!(whole > 0.5, "{whole}");
    assert_near(whole, cut, 4e-3);
}

#[test]
fn a_section_by_its_figures_that_is_bent_about_its_stronger_axis_is_told_to_give_way_sideways() {
    let lines = |moment: [f64; 3]| {
        let model = cantilever(&given_section(), &json!({"push": {"moments": {"B": moment}}}));
        not_judged(&result(&load(&model.to_string()).base), "lateral")
    };
    assert_eq!(lines([0.0, 0.0, 50.0]), []);
    assert_eq!(lines([0.0, 50.0, 0.0])[0].0, "beam");
    let round = round_cantilever(&json!({"push": {"moments": {"B": [0, 50, 0]}}}));
    assert_eq!(not_judged(&result(&load(&round.to_string()).base), "lateral"), []);
}

/// The small car with another suspension on its front wheels, and without what hangs on the old one.
fn car_with_corner(corner: &Value) -> Value {
    let mut car: Value = serde_json::from_str(&read("models/car.json")).unwrap();
    for key in ["anti_roll", "options"] {
        car.as_object_mut().unwrap().remove(key);
    }
    car["brackets"].as_object_mut().unwrap().remove("BB.l");
    let mut whole = json!({"wheel_centre": [0, 700, 280], "contact_patch": [0, 700, 0]});
    whole.as_object_mut().unwrap().extend(corner.as_object().unwrap().clone());
    car["corners"]["front.l"] = whole;
    car
}

#[test]
fn a_loose_wheel_is_told_what_holds_a_wheel_of_its_kind() {
    let lower = json!({"front": "LF.l", "rear": "LR.l", "outer": [10, 640, 160], "tube": "arm"});
    let spring = json!({"top": "ST.l", "bottom": [10, 640, 160], "on": "upright"});
    let link = |inner: &str, outer: [i32; 3]| json!({"inner": inner, "outer": outer, "tube": "arm"});
    let loose = [
        // The tie rod ends on the ball of the arm, so that it does not steer.
        (
            json!({
                "kind": "strut", "lower": lower, "tie_rod": link("TI.l", [10, 640, 160]),
                "strut": {"top": "ST.l", "bottom": [5, 630, 300], "tube": "arm"}
            }),
            "an arm, a tie rod and a strut",
        ),
        // The spring points at a pivot of the arm.
        (
            json!({
                "kind": "trailing arm", "arm": {"pivots": ["LF.l", "LR.l"], "hub": [0, 640, 250], "tube": "arm"},
                "spring": {"top": "LF.l", "bottom": [0, 600, 300], "on": "upright"}
            }),
            "an arm on two pivots and a spring",
        ),
        // All of them end on one of two points, and nothing holds the turn about the line between.
        (
            json!({
                "kind": "links", "spring": spring,
                "links": {
                    "a": link("LF.l", [10, 640, 160]), "b": link("LR.l", [10, 640, 160]),
                    "c": link("UF.l", [-10, 610, 410]), "d": link("UR.l", [-10, 610, 410]),
                    "e": link("TI.l", [-10, 610, 410])
                }
            }),
            "five links and a spring",
        ),
    ];
    for (corner, hint) in loose {
        let model = load(&car_with_corner(&corner).to_string()).base;
        let faults = try_result(&model).expect_err("it must be a mechanism");
        let told = faults.iter().find(|fault| fault.message.contains("mechanism")).expect("a mechanism");
        assert!(told.hint.as_ref().is_some_and(|told| told.starts_with(hint)), "{told:?}");
    }
}

/// The wall is as slender in every case: where it holds, it says nothing of what a case does.
#[test]
fn a_wall_that_holds_governs_no_case_in_text_and_on_sheets_and_one_that_fails_does() {
    let frame = |wall: f64| {
        cantilever(
            &json!({"round": {"od": 60, "wall": wall}, "material": "steel"}),
            &json!({"light": {"forces": {"B": [0, 0, -10]}}, "heavy": {"forces": {"B": [0, 0, -100]}}}),
        )
    };
    for (wall, fails) in [(1.5, false), (0.8, true)] {
        let folder = Scratch::new();
        folder.write("frame.json", frame(wall).to_string());
        let ran = folder.run(["check", "frame.json"]);
        assert_eq!(ran.code, Some(i32::from(fails)), "{}", ran.stderr);
        let sheet = folder.read("reports/frame/01-light.svg");
        let page = folder.read("reports/frame/report.html");
        for (what, text) in [("terminal", &ran.stdout), ("sheet", &sheet), ("page", &page)] {
            assert_eq!(text.contains("wall of beam"), fails, "{what}, wall {wall}: {text}");
        }
        let line = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(line.contains("Nearest to its limit: the weld of beam (60×1.5, steel) at"), !fails, "{line}");
        // Other programs read the whole of it.
        let result: Value = serde_json::from_str(&folder.run(["check", "frame.json", "--json"]).stdout).unwrap();
        assert_eq!(word(&result["verdict"]["worst"]["check"]), "wall");
    }
}

/// A tube of 2 m in two stretches, pushed along x, with something at its middle.
fn pushed(more: impl Fn(&mut Value)) -> Value {
    let mut model = json!({
        "format": 1,
        "tubes": {"size": {"round": {"od": 20, "wall": 1.5}, "material": "E235+N"}},
        "nodes": {"A": [0, 0, 100], "M": [1000, 0, 100], "B": [2000, 0, 100]},
        "brackets": {},
        "members": {"strut": {"through": ["A", "M", "B"], "tube": "size"}},
        "mounts": {"A": "one bolt", "B": {"y": "fixed", "z": "fixed", "rx": "fixed"}},
        "bodies": {},
        "cases": {"pushed": {"forces": {"B": [-2000, 0, 0]}}}
    });
    more(&mut model);
    model
}

/// What a model is warned of that a column is cut where nothing holds it.
fn cut_columns(model: &Value) -> Vec<String> {
    let result = result(&load(&model.to_string()).base);
    let notes = list(&result["notes"]).iter().map(word);
    notes.filter(|note| note.contains("column_length")).map(str::to_owned).collect()
}

/// By the format's rule each of these ends the column at M; none of them keeps M from moving sideways.
#[test]
fn a_column_that_ends_where_nothing_holds_it_sideways_is_told() {
    type Add = fn(&mut Value);
    let idle: [(&str, Add); 5] = [
        ("bracket \"tab\"", |model| model["brackets"]["tab"] = json!({"at": [1000, 0, 130], "on": "M"})),
        ("body \"box\"", |model| {
            model["bodies"]["box"] = json!({"mass": 1, "cg": [1000, 0, 150], "mounts": {"M": "bolted pad"}});
        }),
        ("its mount", |model| model["mounts"]["M"] = json!({"x": 0})),
        ("its mount", |model| model["mounts"]["M"] = json!({"x": 10, "rx": 10})),
        ("member \"stub\"", |model| {
            model["nodes"]["F"] = json!([1000, 0, 400]);
            model["members"]["stub"] = json!({"ends": ["M", "F"], "tube": "size"});
        }),
    ];
    for (what, add) in idle {
        let model = pushed(add);
        assert_eq!(
            cut_columns(&model),
            [format!(
                "the column of \"strut\" is cut at node \"M\", as if held sideways there, but what is attached there leads to \
                 nothing that holds across the tube ({what}): if nothing else holds it, give \"strut\" a \"column_length\""
            )]
        );
        let mut with_length = model.clone();
        with_length["members"]["strut"]["column_length"] = json!(2000);
        assert_eq!(cut_columns(&with_length), Vec::<String>::new(), "{what}");
        let mut pulled = model;
        pulled["cases"]["pushed"]["forces"]["B"] = json!([2000, 0, 0]);
        assert_eq!(cut_columns(&pulled), Vec::<String>::new(), "{what}, pulled");
    }
    // Two members that meet at M, each with its name.
    let two = pushed(|model| {
        model["members"] = json!({
            "first": {"ends": ["A", "M"], "tube": "size"}, "second": {"ends": ["M", "B"], "tube": "size"}
        });
        model["brackets"]["tab"] = json!({"at": [1000, 0, 130], "on": "M"});
    });
    assert_eq!(cut_columns(&two).len(), 1);
    assert!(cut_columns(&two)[0].starts_with("the columns of \"first\" and \"second\" are cut at node \"M\""));
}

#[test]
fn a_column_that_ends_where_it_is_held_is_not_told() {
    type Add = fn(&mut Value);
    let held: [Add; 5] = [
        |_| {},
        |model| model["mounts"]["M"] = json!({"z": 100}),
        |model| {
            model["nodes"]["G"] = json!([1000, 400, 100]);
            model["mounts"]["G"] = json!("one bolt");
            model["members"]["brace"] = json!({"ends": ["M", "G"], "tube": "size"});
        },
        |model| {
            model["brackets"]["tab"] = json!({"at": [1000, 0, 130], "on": "M"});
            model["mounts"]["tab"] = json!("one bolt");
        },
        |model| {
            model["nodes"]["C"] = json!([0, 0, 600]);
            model["members"]["post"] = json!({"ends": ["A", "C"], "tube": "size"});
            model["members"]["stay"] = json!({"ends": ["C", "M"], "tube": "size"});
        },
    ];
    for add in held {
        assert_eq!(cut_columns(&pushed(add)), Vec::<String>::new());
    }
}

#[test]
fn a_wall_of_a_metal_that_no_standard_here_has_is_told_to_be_held_against_the_limit_of_steel() {
    for (section, material, told) in [
        (json!({"square": {"side": 50, "wall": 2}}), "EN AW-6082-T6", 0),
        (json!({"square": {"side": 50, "wall": 2}}), "1.4301", 0),
        (json!({"square": {"side": 50, "wall": 2}}), "titanium", 1),
        (json!({"round": {"od": 50, "wall": 2}}), "titanium", 1),
    ] {
        let mut section = section;
        section["material"] = json!(material);
        let mut model = cantilever(&section, &json!({"load": {"forces": {"B": [0, 0, -10]}}}));
        model["materials"]["titanium"] = json!({
            "youngs_modulus": 110000, "density": 4430, "yield": 480, "ultimate": 620, "yield_at_weld": "same"
        });
        let result = result(&load(&model.to_string()).base);
        let walls = list(&result["verdict"]["not_judged"]).iter().filter(|entry| entry["check"] == "wall");
        assert_eq!(walls.count(), told, "{material}");
    }
}
