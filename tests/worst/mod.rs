//! The worst that tyres can do: no manoeuvre passes the bounds, and what is found is what a check gives.

use std::sync::atomic::AtomicU64;

use crossbrace::math::Interval;
use crossbrace::model::{Case, Model};
use crossbrace::run::check_as_drawn;
use crossbrace::studies::Watch;
use crossbrace::studies::divided::Here;
use crossbrace::studies::worst::{Found, Manoeuvres, NEAR_ENOUGH, Searched, Worst, with_grip, worst};
use serde_json::{Value, json};

use crate::support::program::Scratch;
use crate::support::values::{list, number, word};
use crate::support::{load, read, repository_file};

fn demo() -> Model {
    load(&std::fs::read_to_string(repository_file("models/hillclimb-front-subframe.json")).unwrap()).base
}

fn searched_here(model: &Model, manoeuvres: Manoeuvres) -> Worst {
    let (tried, total) = (AtomicU64::new(0), AtomicU64::new(0));
    let watch = Watch { tried: &tried, total: &total, ends: &|| false };
    worst(model, manoeuvres, &Here, &watch).unwrap().unwrap()
}

fn car() -> Value {
    let mut car: Value = serde_json::from_str(&read("models/car.json")).unwrap();
    car.as_object_mut().unwrap().remove("options");
    car
}

fn around(grip: f64, vert: [f64; 2]) -> Manoeuvres {
    let both = Interval::new(-grip, grip);
    Manoeuvres { grip, ranges: [both, both, Interval::new(vert[0], vert[1])] }
}

/// Numbers from 0 to 1 by Marsaglia's xorshift (Journal of Statistical Software 8, 2003), the same everywhere.
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn within(&mut self, range: Interval) -> f64 {
        range.low + (range.high - range.low) * self.next()
    }
}

/// Holds random manoeuvres against the bounds: half of them anywhere, half beside those that were
/// found to be the worst. Gives the largest value over its bound.
#[track_caller]
fn tried(searched: &Searched<'_>, found: &[Found], manoeuvres: Manoeuvres, count: usize) -> f64 {
    let measures = &searched.superposed.measures;
    let mut chance = Chance(0x5eed_1234_9876_abcd);
    let (mut driven, mut nearest) = (0, 0.0_f64);
    while driven < count {
        let anywhere: [f64; 3] = std::array::from_fn(|at| chance.within(manoeuvres.ranges[at]));
        let beside = &found[(chance.next() * found.len() as f64) as usize].at_g;
        let g = if driven % 2 == 0 {
            anywhere
        } else {
            let size = 0.1 * chance.next().powi(3);
            std::array::from_fn(|at| {
                let Interval { low, high } = manoeuvres.ranges[at];
                (beside[at] + size * (2.0 * chance.next() - 1.0)).clamp(low, high)
            })
        };
        let Some(coefficients) = searched.driven(g) else { continue };
        driven += 1;
        for (measure, found) in measures.iter().zip(found) {
            let value = measure.value(&coefficients);
            assert!(
                value <= found.never_above,
                "{:?} of {} reaches {value} at {g:?}, above {}",
                measure.check,
                measure.place,
                found.never_above
            );
            nearest = nearest.max(value / found.never_above);
        }
    }
    nearest
}

/// The full million: `CROSSBRACE_MANOEUVRES=1000000 cargo test --release --test main worst::no_random`.
fn how_many() -> usize {
    std::env::var("CROSSBRACE_MANOEUVRES").ok().map_or(2000, |count| count.parse().expect("a number of manoeuvres"))
}

#[test]
fn no_random_manoeuvre_passes_a_bound_of_the_demo() {
    let manoeuvres = around(1.5, [1.0, 1.0]);
    let model = with_grip(&demo(), manoeuvres.grip);
    let searched = Searched::new(&model, manoeuvres).unwrap();
    let found: Vec<Found> = searched.search().into_iter().map(Option::unwrap).collect();
    assert!(found.len() > 100, "tubes, welds, pick-ups and wheels are measured: {}", found.len());
    for (measure, found) in searched.superposed.measures.iter().zip(&found) {
        let gap = found.never_above / found.value - 1.0;
        assert!(gap <= NEAR_ENOUGH, "{:?} of {}: {gap}", measure.check, measure.place);
    }
    let nearest = tried(&searched, &found, manoeuvres, how_many());
    assert!(nearest > 0.98, "manoeuvres beside the worst must come near the bounds, or they say nothing: {nearest}");
}

/// With much grip and a high centre of gravity wheels lift, and the car rolls over before it slides.
#[test]
fn no_random_manoeuvre_passes_a_bound_where_wheels_lift_and_loads_vary() {
    let mut model = car();
    model["vehicle"]["cg"]["height"] = json!(560);
    model["vehicle"]["cg"]["left"] = json!(25);
    model["vehicle"]["drive_share_front"] = json!(0.3);
    let manoeuvres = around(2.2, [0.6, 1.3]);
    let model = with_grip(&load(&model.to_string()).base, manoeuvres.grip);
    let mut searched = Searched::new(&model, manoeuvres).unwrap();
    // Some of each kind: all would take long without saying more.
    let mut place = 0;
    searched.superposed.measures.retain(|_| {
        place += 1;
        place % 7 == 0
    });
    let found: Vec<Found> = searched.search().into_iter().map(Option::unwrap).collect();
    tried(&searched, &found, manoeuvres, how_many() / 2);
    let lifts = found.iter().any(|found| {
        let case = Case::of(Some(found.at_g), model.limits);
        let forces = crossbrace::car::wheel_loads(&model, "worst", &case).unwrap().wheels;
        forces.iter().flatten().any(|wheel| wheel.force_n.z == 0.0)
    });
    assert!(lifts, "one of the worst must lift a wheel: {found:?}");
}

/// Another route: whole checks of cases of a fine row of manoeuvres.
#[test]
fn along_one_line_the_worst_is_that_of_whole_checks_of_its_cases() {
    let manoeuvres =
        Manoeuvres { grip: 1.4, ranges: [Interval::new(-1.4, 0.0), Interval::point(0.9), Interval::point(1.0)] };
    let model = with_grip(&load(&car().to_string()).base, manoeuvres.grip);
    let answer = searched_here(&model, manoeuvres);
    assert!(answer.largest_difference() < 1e-9, "{}", answer.largest_difference());
    let mut row = model.clone();
    let drives = |long: f64| {
        let case = Case::of(Some([long, 0.9, 1.0]), model.limits);
        crossbrace::car::wheel_loads(&model, "row", &case).is_ok().then_some(case)
    };
    for at in 0..=280 {
        if let Some(case) = drives(-0.005 * f64::from(at)) {
            row.cases.insert(format!("row {at}"), case);
        }
    }
    assert!((100..280).contains(&row.cases.len()), "the grip ends before the row does: {}", row.cases.len());
    let checked = check_as_drawn(&row, |_| true).unwrap();
    let mut seen = 0;
    for of in &answer.worst {
        let all = checked.outcome.cases.iter().filter_map(|(case, outcome)| {
            let tubes = &checked.verdict.tubes[case];
            match of.check.name() {
                "yield" => tubes.get(&of.place)?.yielding.map(|result| result.utilisation),
                "weld" => tubes.get(&of.place)?.weld.map(|weld| weld.result.directional),
                "pickup_move" => outcome.pickups.get(&of.place).map(|pickup| pickup.change_mm),
                "toe" => outcome.wheels[&of.place].moved.map(|moved| moved.change.toe_deg.abs()),
                _ => None,
            }
        });
        if let Some(most) = all.reduce(f64::max) {
            seen += 1;
            assert!(most <= of.never_above, "{:?} of {}: {most}, {}", of.check, of.place, of.never_above);
            // Between two cases of the row it changes little; the end of the grip is not in the row.
            assert!(of.value <= most * 1.02, "{:?} of {}: {most}, {}", of.check, of.place, of.value);
        }
    }
    assert!(seen > 40, "{seen}");
}

#[test]
fn a_limit_between_what_is_found_and_the_bound_is_decided() {
    let manoeuvres = around(1.2, [1.0, 1.0]);
    let with_limit = |limit: f64| {
        let mut model = car();
        model["limits"] = json!({"toe": limit});
        let model = with_grip(&load(&model.to_string()).base, manoeuvres.grip);
        let searched = Searched::new(&model, manoeuvres).unwrap();
        let measures = &searched.superposed.measures;
        let toe = measures.iter().find(|measure| measure.check.name() == "toe").unwrap();
        searched.worst_of(toe).unwrap()
    };
    let loose = with_limit(100.0);
    assert!(loose.never_above > 1.001 * loose.value, "the bound is found with a gap: {loose:?}");
    let limit = 1.001 * loose.value;
    let tight = with_limit(limit);
    assert!(tight.value <= limit && tight.never_above <= limit, "{tight:?}, limit {limit}");
}

#[test]
fn more_grip_or_wider_bounds_never_lower_what_is_found() {
    let model = load(&car().to_string()).base;
    let found = |grip: f64, vert: [f64; 2]| {
        let manoeuvres = around(grip, vert);
        let model = with_grip(&model, grip);
        let searched = Searched::new(&model, manoeuvres).unwrap();
        let measures = searched.superposed.measures.iter().step_by(9);
        measures.map(|measure| searched.worst_of(measure).unwrap()).collect::<Vec<_>>()
    };
    let (less, more, wider) = (found(0.8, [1.0, 1.0]), found(1.1, [1.0, 1.0]), found(1.1, [0.9, 1.2]));
    for ((less, more), wider) in less.iter().zip(&more).zip(&wider) {
        assert!(less.value <= more.never_above && more.value <= wider.never_above, "{less:?} {more:?} {wider:?}");
    }
}

#[test]
fn a_mirrored_car_has_mirrored_worsts() {
    let manoeuvres = around(1.3, [1.0, 1.0]);
    let model = with_grip(&load(&car().to_string()).base, manoeuvres.grip);
    let searched = Searched::new(&model, manoeuvres).unwrap();
    let of = |place: &str| {
        let measures = &searched.superposed.measures;
        let measure = measures.iter().find(|measure| measure.place == place).unwrap();
        searched.worst_of(measure).unwrap()
    };
    for (left, right) in [("lower rail.l", "lower rail.r"), ("ST.l", "ST.r"), ("front.l", "front.r")] {
        let (left, right) = (of(left), of(right));
        assert!(left.value <= right.never_above && right.value <= left.never_above, "{left:?} {right:?}");
    }
}

#[test]
fn the_command_tells_draws_and_exits_by_what_it_proves() {
    let folder = Scratch::new();
    folder.write("car.json", car().to_string());
    let ran = folder.run(["worst", "car.json", "--grip", "0.3"]);
    assert_eq!(ran.code, Some(0), "{}{}", ran.stdout, ran.stderr);
    let first: String = ran.stdout.split("\n\n").next().unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(first.starts_with("Holds: "), "{}", ran.stdout);
    assert!(
        first.contains(
            "; no manoeuvre within 0.3 g of grip, long -0.3 to 0.3 g, lat -0.3 to 0.3 g, vert 1 g takes it above "
        ),
        "{first}"
    );
    // What is judged in the manoeuvres found alone is told though it holds.
    assert!(first.contains("In the manoeuvres found, ") && first.contains("; the bounds do not cover it."), "{first}");
    let svg = folder.read("reports/car/worst/01-Worst-manoeuvres.svg");
    assert!(svg.contains("worst: ") && svg.contains("lat, g"));
    assert!(folder.read("reports/car/worst/report.html").contains("The worst that the tyres can do"));
    // A range that begins with a minus needs no `=`.
    let ran = folder.run(["worst", "car.json", "--grip", "0.3", "--lat", "-0.1..0.1", "--long", "-0.1", "--json"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let answer: Value = serde_json::from_str(&ran.stdout).unwrap();
    assert_eq!(answer["bounds"], json!({"long": [-0.1, -0.1], "lat": [-0.1, 0.1], "vert": [1.0, 1.0]}));
    let mut weak = car();
    weak["limits"] = json!({"pickup_move": 1e-3});
    folder.write("weak.json", weak.to_string());
    let ran = folder.run(["worst", "weak.json", "--vert=0.9..1.1", "--json"]);
    assert_eq!(ran.code, Some(1), "{}", ran.stderr);
    let answer: Value = serde_json::from_str(&ran.stdout).unwrap();
    assert_eq!(answer["holds"], json!(false));
    assert_eq!(answer["bounds"], json!({"long": [-1.4, 1.4], "lat": [-1.4, 1.4], "vert": [0.9, 1.1]}));
    let worst = &list(&answer["worst"])[0];
    assert_eq!((word(&worst["check"]), worst["limit"].clone()), ("pickup_move", json!(1e-3)));
    assert!(number(&worst["value"]) <= number(&worst["never_above"]));
    assert!(number(&answer["largest_difference"]) < 1e-9);
    // The manoeuvre as a case of the file gives the same.
    let mut again = car();
    let [long, lat, vert] = [0, 1, 2].map(|at| worst["g"][at].clone());
    again["cases"] = json!({"worst": {"g": {"long": long, "lat": lat, "vert": vert}}});
    let result = crate::support::result(&load(&again.to_string()).base);
    let change = number(&result["cases"]["worst"]["pickups"][word(&worst["where"])]["change"]);
    assert!((change - number(&worst["value"])).abs() < 1e-9 * change, "{change} {worst}");
}

#[test]
fn bounds_that_make_no_sense_are_refused_in_words() {
    let folder = Scratch::new();
    let mut without_grip = car();
    without_grip["vehicle"].as_object_mut().unwrap().remove("tyre_grip");
    folder.write("car.json", car().to_string());
    folder.write("no-grip.json", without_grip.to_string());
    folder.write("beam.json", read("../models/cantilever.json"));
    let refused = [
        (vec!["no-grip.json"], "gives no \"tyre_grip\""),
        (vec!["car.json", "--grip", "0"], "--grip is 0; it must be above 0"),
        (vec!["car.json", "--grip", "1e9"], "--grip: 1e9 g is more than any car does; at most 50 g is taken"),
        (vec!["car.json", "--lat=-1e200..1"], "--lat: "),
        (vec!["car.json", "--grip", "1.3 furlongs"], "--grip: "),
        (vec!["car.json", "--lat=1..-1"], "--lat goes from 1 to -1, which is backwards"),
        (vec!["car.json", "--vert=-2..-1"], "no manoeuvre in these bounds was found"),
        (vec!["car.json", "--lat", "nan"], "--lat: "),
        (vec!["beam.json", "--grip", "1"], "the file has no \"vehicle\": without the car's mass"),
        (vec!["car.json", "--option", "nothing"], "there is no option \"nothing\""),
    ];
    for (arguments, message) in refused {
        let ran = folder.run(["worst"].into_iter().chain(arguments.iter().copied()));
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{arguments:?}");
        assert!(ran.stderr.contains(message), "{arguments:?}: {}", ran.stderr);
    }
}
