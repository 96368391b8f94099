//! A car that is not quite as the file has it: ends are what a check of the changed file gives, chances are those of
//! closed forms, and draws hang on nothing but their seed.

mod parts;

use std::sync::atomic::{AtomicU64, Ordering};

use crossbrace::checks::{Check, counting};
use crossbrace::model::Model;
use crossbrace::run::check_as_drawn;
use crossbrace::studies::Watch;
use crossbrace::studies::divided::Here;
use crossbrace::studies::scatter::{Asked, Figure, Scatter, Vary, quantities, scatter};
use serde_json::{Value, json};

use crate::support::program::Scratch;
use crate::support::{load, read, repository_file};

fn car() -> Value {
    let mut car: Value = serde_json::from_str(&read("models/car.json")).unwrap();
    car.as_object_mut().unwrap().remove("options");
    car
}

/// A clamped tube with a force at its tip that comes to 0.97 of what the weld at the wall carries.
fn cantilever() -> Value {
    let text = std::fs::read_to_string(repository_file("models/cantilever.json")).unwrap();
    let mut cantilever: Value = serde_json::from_str(&text).unwrap();
    cantilever.as_object_mut().unwrap().remove("$schema");
    cantilever["cases"]["hanging"]["forces"]["tip"] = json!([0, 0, -529.0]);
    cantilever
}

fn model(value: &Value) -> Model {
    load(&value.to_string()).base
}

fn run(model: &Model, vary: &[&str], draws: usize, seed: u64) -> Scatter {
    let vary: Vec<Vary> = vary.iter().map(|text| Vary::parse(text).unwrap()).collect();
    let asked = Asked { quantities: quantities(model, &vary).unwrap(), draws, seed };
    let (tried, total) = (AtomicU64::new(0), AtomicU64::new(0));
    scatter(model, &asked, &Here, &Watch { tried: &tried, total: &total, ends: &|| false }).unwrap().unwrap()
}

fn refused(model: &Model, vary: &str) -> String {
    quantities(model, &[Vary::parse(vary).unwrap()]).unwrap_err()
}

/// The largest utilisation by a whole check.
fn worst(model: &Model) -> f64 {
    let checked = check_as_drawn(model, |_| true).unwrap();
    counting(checked.verdict.worst_first())[0].utilisation
}

#[test]
fn an_end_of_a_quantity_is_what_a_check_of_the_changed_file_gives() {
    let found = run(&model(&car()), &["wall.rail=0.25", "nodes=3"], 100, 1);
    let end = |name: &str, high: bool| {
        let at = found.asked.quantities.iter().position(|quantity| quantity.name == name).unwrap();
        let turned = &found.turned[at];
        (if high { &turned.high } else { &turned.low }).as_ref().unwrap().worst()
    };
    let changed = |change: &dyn Fn(&mut Value)| {
        let mut car = car();
        change(&mut car);
        worst(&model(&car))
    };
    assert_eq!(found.as_drawn.worst(), changed(&|_| {}));
    assert_eq!(end("cg.height", false), changed(&|car| car["vehicle"]["cg"]["height"] = json!(360)));
    assert_eq!(end("cg.height", true), changed(&|car| car["vehicle"]["cg"]["height"] = json!(440)));
    assert_eq!(end("track.rear", true), changed(&|car| car["vehicle"]["track"]["rear"] = json!(1385)));
    assert_eq!(end("wall.rail", false), changed(&|car| car["tubes"]["rail"]["round"]["wall"] = json!(1.75)));
    assert_eq!(
        end("mounts.LR.l", false),
        changed(&|car| {
            car["mounts"]["LR.r"] = json!("bolted pad");
            car["mounts"]["LR.l"] = json!("one bolt");
        })
    );
    let at = found.asked.quantities.iter().position(|quantity| quantity.name == "nodes.UF.l").unwrap();
    let axis = found.turned[at].knob;
    let moved = changed(&|car| {
        // The twin stays where it is.
        car["nodes"]["UF.r"] = json!([120, -280, 400]);
        let place = car["nodes"]["UF.l"][axis].as_f64().unwrap();
        car["nodes"]["UF.l"][axis] = json!(place + 3.0);
    });
    assert_eq!(end("nodes.UF.l", true), moved);
}

#[test]
fn a_load_that_may_be_a_tenth_off_passes_a_limit_as_often_as_its_even_distribution_says() {
    let found = run(&model(&cantilever()), &["wall=0", "nodes=0", "mounts=0"], 4000, 1);
    let names: Vec<&str> = found.asked.quantities.iter().map(|quantity| quantity.name.as_str()).collect();
    assert_eq!(names, ["load.hanging"]);
    let drawn = found.as_drawn.worst();
    assert!((0.96..0.98).contains(&drawn), "{drawn}");
    // Stress goes with the load f, even between 0.9 and 1.1: passed where f > 1/u.
    let chance = (1.1 - 1.0 / drawn) / 0.2;
    let any = &found.limits[0];
    assert!(any.chance.low < chance && chance < any.chance.high, "{chance}: {:?}", any.chance);
    // The part p of an even distribution is off by √(p(1−p)/n) of its width; four times that.
    for (value, part) in [(any.spreads.low, 0.05_f64), (any.spreads.middle, 0.5), (any.spreads.high, 0.95)] {
        let off = 4.0 * (part * (1.0 - part) / 4000.0).sqrt() * 0.2 * drawn;
        assert!((value - drawn * (0.9 + 0.2 * part)).abs() < off, "{part}: {value}");
    }
    let explained = found.figures[0].explained[0];
    assert_eq!(found.figures[0].figure, Figure::Worst);
    // Within each of 28 classes as many draws spread over 1/28 of the width.
    assert!((1.0 - explained).abs() < 2.0 / 28.0_f64.powi(2), "{explained}");
}

/// The stress of a weld goes with the load F over its throat, which is the wall t: of ln(F/t) the parts are the squares
/// of both relative widths, 2² and 3² of 13.
#[test]
fn the_variance_of_a_stress_is_shared_as_its_closed_form_says() {
    let found = run(&model(&cantilever()), &["wall=3 %", "load=2 %", "nodes=0", "mounts=0"], 6000, 3);
    let names: Vec<&str> = found.asked.quantities.iter().map(|quantity| quantity.name.as_str()).collect();
    assert_eq!(names, ["load.hanging", "wall.tube"]);
    assert_eq!(found.as_drawn.governed_by().unwrap().0, Check::Weld);
    for (explained, part) in found.figures[0].explained.iter().zip([4.0 / 13.0, 9.0 / 13.0]) {
        // By chance a share p is off by 2√p(1−p)/√n, as a squared correlation is: 0.007; four times that.
        assert!((explained - part).abs() < 0.027, "{explained} instead of {part}");
    }
}

#[test]
fn joints_at_their_softest_are_those_of_a_file_that_asks_for_tube_on_tube() {
    let text = std::fs::read_to_string(repository_file("models/hillclimb-front-subframe.json")).unwrap();
    let mut demo: Value = serde_json::from_str(&text).unwrap();
    let found = run(&model(&demo), &["nodes=0", "mounts=0", "wall=0", "load=0"], 100, 1);
    let at = found.asked.quantities.iter().position(|quantity| quantity.name == "joints").unwrap();
    let [low, high] = [&found.turned[at].low, &found.turned[at].high].map(|end| end.as_ref().unwrap());
    assert_eq!(low.figures, found.as_drawn.figures);
    for (_, member) in demo["members"].as_object_mut().unwrap() {
        if member.get("joint").is_none() {
            member["joint"] = json!("tube-on-tube");
        }
    }
    let asked = run(&model(&demo), &["nodes=0", "mounts=0", "wall=0", "load=0"], 100, 1);
    assert_eq!(high.figures, asked.as_drawn.figures);
    assert_ne!(high.figures, low.figures);
}

#[test]
fn draws_hang_on_the_seed_and_on_no_thread() {
    let model = model(&car());
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| run(&model, &["nodes=0"], 100, 5))
    };
    let one = with(1);
    assert!(one == with(3), "threads change the answer");
    assert!(one.limits != run(&model, &["nodes=0"], 100, 6).limits, "the seed changes nothing");
}

#[test]
fn what_does_not_vary_leaves_the_draws_of_all_else_as_they_are() {
    let cantilever = model(&cantilever());
    let alone = run(&cantilever, &["wall=0", "nodes=0", "mounts=0"], 100, 1);
    let beside = run(&cantilever, &["wall=0", "nodes.tip=1e-9", "nodes.wall=0", "mounts=0"], 100, 1);
    let off = (alone.limits[0].spreads.low - beside.limits[0].spreads.low).abs();
    assert!(off < 1e-6, "{off}");
}

#[test]
fn a_quantity_that_is_not_there_is_told_with_the_nearest() {
    let car = model(&car());
    for (vary, told) in [
        ("cg.hight=40", "there is no quantity \"cg.hight\"\nhint: did you mean \"cg.height\"?"),
        ("nodes.UF.L=2", "there is no quantity \"nodes.UF.L\"\nhint: did you mean \"nodes.UF.l\"?"),
        ("wall.rails=0.2", "there is no quantity \"wall.rails\"\nhint: did you mean \"wall.rail\"?"),
    ] {
        assert_eq!(refused(&car, vary), told);
    }
    let told = refused(&model(&cantilever()), "tyre_grip=0.1");
    assert!(told.starts_with("the model has nothing of \"tyre_grip\"\nhint: "), "{told}");
}

#[test]
fn a_spread_that_cannot_be_is_refused_with_its_reason() {
    let car = model(&car());
    for (vary, told) in [
        ("cg.height=-4", "cg.height=-4: a spread goes to both sides; write it without its sign"),
        ("cg.height=400", "cg.height is 400 ± 400, which reaches 0; it must stay above 0"),
        (
            "cg.behind_front_axle=1150",
            "cg.behind_front_axle is 1200 ± 1150, which reaches 2350; it must stay below 2300",
        ),
        ("wall=60 kg", "wall=60 kg: \"60 kg\": kg is a unit of mass; a length is in mm, cm, m, in, ft, thou"),
        ("wall=much", "wall=much: \"much\" does not start with a number; write for instance \"12.5 mm\""),
        ("load=x%", "load=x%: expected a number before %"),
        ("load=5 mm", "load=5 mm: expected a number, or one followed by %"),
        ("mounts=1", "mounts=1: it has two ends and no width; only 0 can be said, which leaves it as the file has it"),
        ("nodes=5 %", "nodes.LF.l is a place: how far it may be off is a length, such as 2 (mm)"),
        ("wall.arm=20", "wall.arm is 2.5 ± 20, which reaches -17.5; it must stay above 0"),
    ] {
        assert_eq!(refused(&car, vary), told);
    }
    for text in ["cg.height", "=4", "cg.height="] {
        assert!(Vary::parse(text).unwrap_err().starts_with("write a quantity and how far"), "{text}");
    }
    let none = ["load=0", "wall=0", "nodes=0", "mounts=0"].map(|text| Vary::parse(text).unwrap());
    let told = quantities(&model(&cantilever()), &none).unwrap_err();
    assert_eq!(told, "nothing is left that varies\nhint: give a quantity a spread: --vary cg.height=40");
}

/// Held by one bolt alone a tube swings freely: those draws have no answer, and are told and not counted.
#[test]
fn draws_that_cannot_be_solved_are_told_and_not_counted() {
    let found = run(&model(&cantilever()), &["wall=0", "nodes=0"], 200, 1);
    let (unsolved, why) = found.unsolved.unwrap();
    assert_eq!(unsolved + found.solved, 200);
    // Each of both words is as likely: 100 ± 7, four times that.
    assert!((72..=128).contains(&unsolved), "{unsolved}");
    assert!(!why.is_empty());
}

#[test]
fn a_study_that_is_ended_early_tells_what_was_drawn_so_far() {
    let model = model(&cantilever());
    let asked = Asked { quantities: quantities(&model, &[]).unwrap(), draws: 5000, seed: 1 };
    let (tried, total) = (AtomicU64::new(0), AtomicU64::new(0));
    let ends = || tried.load(Ordering::Relaxed) >= 400;
    let watch = Watch { tried: &tried, total: &total, ends: &ends };
    let found = scatter(&model, &asked, &Here, &watch).unwrap().unwrap();
    assert!(found.ended_early);
    let counted = found.solved + found.unsolved.map_or(0, |(count, _)| count);
    assert!((200..1000).contains(&counted), "{counted}");
    assert_eq!(total.into_inner(), 5000 + 1 + 2 * 9);
}

#[test]
fn the_command_says_what_to_measure_next_and_draws_it() {
    let folder = Scratch::new();
    folder.write("car.json", car().to_string());
    let told = folder.run(["scatter", "car.json", "--draws", "100", "--vary", "nodes=0"]);
    assert_eq!((told.code, told.stderr.as_str()), (Some(0), ""));
    for part in [
        "Measure next: ",
        "A limit is exceeded in 0 of 100 draws",
        "Varied: mass ± 3 %",
        "Seed 1.",
        "2 files in reports/car/scatter",
    ] {
        assert!(told.stdout.contains(part), "{part}: {}", told.stdout);
    }
    assert!(told.stdout.lines().all(|line| line.chars().count() <= 80), "{}", told.stdout);
    assert_eq!(
        folder.names(),
        [
            "car.json",
            "reports/car/scatter/01-What-moves-the-worst.svg",
            "reports/car/scatter/files.json",
            "reports/car/scatter/report.html"
        ]
    );
    let json = folder.run(["scatter", "car.json", "--draws", "100", "--vary", "nodes=0", "--json"]);
    let json: Value = serde_json::from_str(&json.stdout).unwrap();
    assert_eq!((json["draws"].as_u64(), json["seed"].as_u64()), (Some(100), Some(1)));
    let moves: Vec<f64> =
        json["quantities"].as_array().unwrap().iter().map(|quantity| quantity["moves"].as_f64().unwrap()).collect();
    assert!(moves.windows(2).all(|pair| pair[0] >= pair[1] * (1.0 - 1e-9)), "most first: {moves:?}");
}
