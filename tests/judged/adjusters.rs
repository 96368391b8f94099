//! Every position of the adjusters is solved and judged, as if it were drawn.

use serde_json::{Value, json};

use super::{refusals, round_cantilever};
use crate::support::program::Scratch;
use crate::support::values::{entries, list, number, vector, word};
use crate::support::{load, read, result, try_result};

fn car() -> Value {
    let mut car: Value = serde_json::from_str(&read("models/car.json")).unwrap();
    car.as_object_mut().unwrap().remove("options");
    car
}

fn of(model: &Value) -> Value {
    result(&load(&model.to_string()).base)
}

#[track_caller]
fn near(value: f64, wanted: f64, tolerance: f64) {
    assert!((value - wanted).abs() <= tolerance * wanted.abs(), "{value} instead of {wanted}");
}

/// A cantilever whose tip is a pick-up in one of three holes.
fn three_holes() -> Value {
    let mut model = round_cantilever(&json!({"push": {"forces": {"B": [0, 0, -100]}}}));
    model["adjusters"] = json!({"holes": {"points": ["B"], "along": [2, 0, 0], "at": [-100, 0, "15 cm"]}});
    model
}

/// F L³/3EI + F L/kAG, Timoshenko's cantilever, with the section as the result has it; the root's stress is
/// F L/W beside the weld.
#[test]
fn a_cantilever_gives_way_at_each_length_by_the_closed_form() {
    let model = three_holes();
    let result = of(&model);
    let positions = entries(&result["positions"]);
    assert_eq!(positions.keys().collect::<Vec<_>>(), ["holes -100 mm", "holes +150 mm"], "0 is `cases`");
    let (tube, steel) = (&result["tubes"]["size"], &result["materials"]["steel"]);
    let (e, g) = (number(&steel["youngs_modulus"]), number(&steel["shear_modulus"]));
    let drawn = &result["cases"];
    for (cases, length) in
        [(&positions["holes -100 mm"], 500.0), (drawn, 600.0), (&positions["holes +150 mm"], 750.0_f64)]
    {
        let bent = 100.0 * length.powi(3) / (3.0 * e * number(&tube["iy"]));
        let sheared = 100.0 * length / (g * number(&tube["az"]));
        near(vector(&cases["push"]["nodes"]["B"]["move"]).z, -(bent + sheared), 1e-9);
        let peak = number(&cases["push"]["members"]["beam"]["peak"]["von_mises"]);
        near(peak, 100.0 * length * number(&tube["cz"]) / number(&tube["iy"]), 1e-9);
    }
    let reach = &result["envelope"]["members"]["beam"];
    assert_eq!(reach["position"], json!("holes +150 mm"));
    near(number(&reach["value"]), number(&reach["as_drawn"]) * 750.0 / 600.0, 1e-9);
}

#[test]
fn the_verdict_covers_every_position() {
    let passes = |most: f64| {
        let mut model = three_holes();
        model["nodes"]["B"] = json!({"at": [600, 0, 0], "pickup": true});
        model["limits"] = json!({"pickup_move": most});
        let result = of(&model);
        let worst = list(&result["verdict"]["failing"]).first().cloned().unwrap_or_default();
        (result["verdict"]["pass"].as_bool().unwrap(), worst["position"].clone())
    };
    let result = of(&three_holes());
    let moved = |cases: &Value| vector(&cases["push"]["nodes"]["B"]["move"]).norm();
    let (drawn, furthest) = (moved(&result["cases"]), moved(&result["positions"]["holes +150 mm"]));
    assert_eq!(passes(1.01 * furthest), (true, Value::Null));
    assert_eq!(passes((drawn + furthest) / 2.0), (false, json!("holes +150 mm")));
    assert!(!passes(0.99 * drawn).0);
}

/// Another way to the same: the points written where the adjusters put them.
#[test]
fn a_position_is_the_model_with_the_points_drawn_there() {
    let mut model = car();
    model["adjusters"] = json!({
        "camber shim": {"points": ["UF.l", "UR.l", "front.l/upper.outer"], "along": [0, 1, 0], "at": [0, 5], "both": true},
        "rack height": {"points": ["RC.l", "TI.l"], "along": [0, 0, -3], "at": [4, 0], "both": true},
        "link": {"points": ["front/right.foot"], "along": [1, 0, 0], "at": [-20]}
    });
    let result = of(&model);
    let positions = entries(&result["positions"]);
    assert_eq!(
        positions.keys().collect::<Vec<_>>(),
        [
            "rack height +4 mm, link -20 mm",
            "link -20 mm",
            "camber shim +5 mm, rack height +4 mm, link -20 mm",
            "camber shim +5 mm, link -20 mm"
        ]
    );
    let mut drawn = car();
    for (node, along) in [("UF.l", [0.0, 5.0, 0.0]), ("UR.l", [0.0, 5.0, 0.0]), ("TI.l", [0.0, 0.0, -4.0])] {
        shift(&mut drawn["nodes"][node], along);
    }
    shift(&mut drawn["brackets"]["RC.l"]["at"], [0.0, 0.0, -4.0]);
    shift(&mut drawn["corners"]["front.l"]["upper"]["outer"], [0.0, 5.0, 0.0]);
    let left = drawn["anti_roll"]["front"]["left"].clone();
    let mut right = left.clone();
    right["bearing"] = json!("BB.r");
    for end in ["end", "foot"] {
        right[end][1] = json!(-number(&left[end][1]));
    }
    shift(&mut right["foot"], [-20.0, 0.0, 0.0]);
    drawn["anti_roll"]["front"]["right"] = right;
    assert_eq!(positions["camber shim +5 mm, rack height +4 mm, link -20 mm"], self::of(&drawn)["cases"]);
}

fn length(along: [f64; 3]) -> f64 {
    along.iter().map(|part| part * part).sum::<f64>().sqrt()
}

fn shift(place: &mut Value, by: [f64; 3]) {
    for (at, part) in by.iter().enumerate() {
        place[at] = json!(number(&place[at]) + part);
    }
}

/// What is moved on one side alone answers to a left bend as its mirror image does to a right one.
#[test]
fn a_point_of_one_side_moves_alone_and_its_mirror_image_gives_the_mirrored_answer() {
    let moved = |point: &str, along: f64| {
        let mut model = car();
        model.as_object_mut().unwrap().remove("anti_roll");
        model["brackets"].as_object_mut().unwrap().remove("BB.l");
        model["cases"] = json!({"left": {"g": {"lat": 0.8}}, "right": {"g": {"lat": -0.8}}});
        model["adjusters"] = json!({"eye": {"points": [point], "along": [0, along, 0], "at": [12]}});
        of(&model)["positions"]["eye +12 mm"].clone()
    };
    let (left, right) = (moved("UF.l", 1.0), moved("UF.r", -1.0));
    for (one, other) in [("left", "right"), ("right", "left")] {
        for tube in ["upper rail", "front post", "diagonal"] {
            for (side, twin) in [(".l", ".r"), (".r", ".l")] {
                let stress = |cases: &Value, case: &str, side: &str| {
                    number(&cases[case]["members"][format!("{tube}{side}")]["peak"]["von_mises"])
                };
                near(stress(&left, one, side), stress(&right, other, twin), 1e-9);
            }
        }
    }
    let sides =
        [".l", ".r"].map(|side| number(&left["left"]["members"][format!("upper rail{side}")]["peak"]["von_mises"]));
    let mirrored = number(&left["right"]["members"]["upper rail.r"]["peak"]["von_mises"]);
    assert!((sides[0] - mirrored).abs() > 1e-6 * mirrored, "one side alone must make a difference: {sides:?}");
}

#[test]
fn of_too_many_combinations_the_corners_of_the_range_are_run_and_the_notes_say_so() {
    let mut model = three_holes();
    let holes: Vec<i32> = (0..9).collect();
    for (name, along) in [("holes", [1, 0, 0]), ("slot", [0, 1, 0])] {
        model["adjusters"][name] = json!({"points": ["B"], "along": along, "at": holes});
    }
    let result = of(&model);
    let names: Vec<&String> = entries(&result["positions"]).keys().collect();
    assert_eq!(names, ["slot +8 mm", "holes +8 mm", "holes +8 mm, slot +8 mm"]);
    let told =
        |note: &Value| word(note).contains("of 81 combinations the corners of the range, 3 beside the car as drawn");
    assert!(list(&result["notes"]).iter().any(told), "{}", result["notes"]);
}

#[test]
fn adjusters_that_make_no_sense_are_refused_in_words() {
    let refused = |adjuster: Value| {
        let mut model = car();
        model["adjusters"] = json!({"shim": adjuster});
        refusals(&model)
    };
    let shim = |points: Value, along: [f64; 3], at: Value| json!({"points": points, "along": along, "at": at});
    let up = [0.0, 0.0, 1.0];
    let cases = [
        (shim(json!(["UF"]), up, json!([1])), "there is no node, bracket or place of the car \"UF\""),
        (
            shim(json!(["front.l/uper.outer"]), up, json!([1])),
            "there is no node, bracket or place of the car \"front.l/uper.outer\"",
        ),
        (shim(json!([]), up, json!([1])), "there is no point; an adjuster moves at least one"),
        (shim(json!(["UF.l"]), [0.0; 3], json!([1])), "a direction may not be [0, 0, 0]"),
        (shim(json!(["UF.l"]), up, json!([0])), "it never moves: \"at\" must hold a position other than 0, as drawn"),
        (shim(json!(["UF.l"]), up, json!([1, 0, 1])), "this position is listed twice"),
        (shim(json!(["UF.l", "UF.l"]), up, json!([1])), "\"UF.l\" is moved twice by this adjuster"),
        (
            json!({"points": ["UF.l", "UF.r"], "along": up, "at": [1], "both": true}),
            "\"UF.r\" is moved twice by this adjuster",
        ),
        // From there to LF.l.
        (
            shim(json!(["UF.l"]), [30.0, -30.0, -250.0], json!([length([30.0, -30.0, -250.0])])),
            "with shim +253.574 mm: nodes.UF.l: ",
        ),
        (shim(json!(["front.l/wheel_centre"]), [0.0, 1.0, 0.0], json!([-900])), "with shim -900 mm: corners.front.l"),
    ];
    for (adjuster, message) in cases {
        let told = refused(adjuster);
        assert!(told.iter().any(|told| told.starts_with(message)), "{message}: {told:#?}");
    }
}

#[test]
fn a_position_that_cannot_be_solved_is_named() {
    // With the tie rod through the steering axis nothing steers the wheel.
    let mut model = car();
    model["adjusters"] = json!({"pin": {
        "points": ["front.l/tie_rod.outer"], "along": [120, 15, -40],
        "at": [0, length([120.0, 15.0, -40.0])]
    }});
    let faults = try_result(&load(&model.to_string()).base).expect_err("it must be a mechanism");
    assert!(faults[0].message.starts_with("with pin +127.377 mm: "), "{faults:#?}");
}

#[test]
fn what_is_wrong_alike_at_several_positions_is_told_once() {
    let mut model = car();
    let along = [120.0, 15.0, -40.0];
    model["adjusters"] = json!({
        "pin": {"points": ["front.l/tie_rod.outer"], "along": along, "at": [length(along)]},
        "eye": {"points": ["ST.l"], "along": [0, 0, 1], "at": [0, 5, 10]}
    });
    let faults = try_result(&load(&model.to_string()).base).expect_err("it must be a mechanism");
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert!(faults[0].message.starts_with("with pin +127.377 mm: "), "{faults:#?}");
}

#[test]
fn adjusters_without_one_are_told_as_a_warning() {
    let mut model = three_holes();
    model["adjusters"] = json!({});
    let result = of(&model);
    let told = "\"adjusters\" is empty: nothing can be moved, and the car as drawn alone is judged";
    assert!(list(&result["notes"]).iter().any(|note| word(note) == told), "{}", result["notes"]);
    assert_eq!(result["positions"], Value::Null);
    let of_holes = self::of(&three_holes());
    assert!(!list(&of_holes["notes"]).iter().any(|note| word(note) == told), "{}", of_holes["notes"]);
}

#[test]
fn the_text_says_what_is_of_the_car_as_drawn_and_shows_the_first_tubes_that_a_position_governs() {
    let folder = Scratch::new();
    let mut model = car();
    model["adjusters"] = json!({
        "shim": {"points": ["UF.l", "UR.l", "front.l/upper.outer"], "along": [0, 1, 0], "at": [-8, 0, 8], "both": true}
    });
    folder.write("car.json", model.to_string());
    let ran = folder.run(["check", "car.json"]);
    assert!(matches!(ran.code, Some(0 | 1)), "{}", ran.stderr);
    let text: String = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("The figures that follow are of the car as drawn"), "{}", ran.stdout);
    let (_, after) = ran.stdout.split_once("Tubes that another position of the adjusters governs").unwrap();
    let lines: Vec<&str> = after.lines().skip(1).take_while(|line| !line.is_empty()).collect();
    assert_eq!(lines.len(), 2 + 8 + 1, "{lines:#?}");
    assert!(lines[10].contains(" more that it governs: report.html and --json have them all"), "{lines:#?}");
    let page = folder.read("reports/car/report.html");
    assert!(page.contains("The figures that follow are of the car as drawn"));
    assert!(folder.read("reports/car/01-braking.svg").contains("Adjusters as drawn."));
    assert!(ran.stdout.lines().all(|line| line.chars().count() <= 80), "{}", ran.stdout);
}

#[test]
fn more_adjusters_than_corners_can_be_run_are_refused() {
    let mut model = three_holes();
    for at in 0..7 {
        model["adjusters"][format!("slot {at}")] = json!({"points": ["B"], "along": [1, 0, 0], "at": [0, 1]});
    }
    let told = refusals(&model);
    assert!(told[0].starts_with("8 adjusters have 384 positions in all"), "{told:?}");
}

#[test]
fn text_page_and_tables_tell_which_position_governs() {
    let folder = Scratch::new();
    let mut model = three_holes();
    model["limits"] = json!({"yield": 4});
    folder.write("frame.json", model.to_string());
    let ran = folder.run(["check", "frame.json", "--csv", "tables"]);
    assert_eq!(ran.code, Some(1), "{}", ran.stderr);
    assert!(ran.stdout.starts_with("Fails: with holes +150 mm, "), "{}", ran.stdout);
    for title in
        ["What the adjusters do, over all their positions", "Tubes that another position of the adjusters governs"]
    {
        assert!(ran.stdout.contains(title), "{title}: {}", ran.stdout);
    }
    let page = folder.read("reports/frame/report.html");
    assert!(page.contains("What the adjusters do") && page.contains("with holes +150 mm"));
    assert!(folder.read("tables/adjusters-tubes.csv").contains("+150"));
    let loads = folder.run(["loads", "frame.json"]);
    assert_eq!(loads.code, Some(0), "{}", loads.stderr);
    let why = folder.run(["why", "frame.json", "--tube", "beam"]);
    assert_eq!(why.code, Some(0), "{}", why.stderr);
}

#[test]
fn a_comparison_takes_the_worst_of_all_positions() {
    let folder = Scratch::new();
    let mut model = three_holes();
    model["nodes"]["B"] = json!({"at": [600, 0, 0], "pickup": true});
    model["limits"] = json!({"yield": 1.2});
    model["options"] = json!({"no holes": {"change": {"adjusters": null}}});
    folder.write("frame.json", model.to_string());
    let ran = folder.run(["compare", "frame.json"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let result = self::of(&model);
    let moved = |cases: &Value| format!("{:.2}", vector(&cases["push"]["nodes"]["B"]["move"]).norm());
    for cases in [&result["cases"], &result["positions"]["holes +150 mm"]] {
        assert!(ran.stdout.contains(&moved(cases)), "{}: {}", moved(cases), ran.stdout);
    }
}
