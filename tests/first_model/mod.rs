//! `crossbrace new`: the model that it writes, and how it is asked for.

mod command;
mod geometry;

use std::fs;

use crossbrace::model::{Corner, Model, STANDING};
use crossbrace::run::check;
use crossbrace::studies::first_frame::{Driven, Figures, Front, RackTube, Schema, Use, Weight, first_frame};

use crate::support::{load, repository_file};

/// The figures that `models/first-frame.json` is made of.
fn demo() -> Figures {
    Figures {
        title: "First frame of a 520 kg loose-surface car (invented)".to_owned(),
        weight: Weight::Scales([118.0, 116.0, 144.0, 142.0]),
        wheelbase_mm: 2150.0,
        track_front_mm: 1380.0,
        track_rear_mm: Some(1360.0),
        tyre_radius_mm: 290.0,
        purpose: Use::LooseSurfaceSprint,
        front: Front::DoubleWishbone,
        cg_height_mm: None,
        tube: Some(RackTube::read("38x2").unwrap()),
        brace: None,
        material: None,
        brake_share_front: None,
        driven: Some(Driven::Rear),
        unsprung_kg: None,
        rack_height_mm: None,
        tyre_grip: None,
    }
}

/// Cars far apart: mass (kg), the front's share, wheelbase, track, tyre radius (mm), driven axle.
const CARS: [(f64, f64, f64, f64, f64, Driven); 5] = [
    (300.0, 0.40, 1900.0, 1250.0, 270.0, Driven::Rear),
    (420.0, 0.50, 1800.0, 1000.0, 250.0, Driven::None),
    (640.0, 0.45, 2350.0, 1400.0, 280.0, Driven::Rear),
    (900.0, 0.60, 2400.0, 1450.0, 300.0, Driven::Front),
    (1600.0, 0.55, 2800.0, 1580.0, 330.0, Driven::Both),
];

/// Every layout for every use and car.
fn all() -> impl Iterator<Item = Figures> {
    Front::ALL.into_iter().flat_map(|(_, front)| {
        Use::ALL.into_iter().flat_map(move |(_, purpose)| {
            CARS.into_iter().map(move |(mass_kg, share, wheelbase, track, radius, driven)| Figures {
                title: format!("{mass_kg} kg, {}, {}", front.word(), purpose.word()),
                weight: Weight::Whole { mass_kg, front_share: Some(share) },
                wheelbase_mm: wheelbase,
                track_front_mm: track,
                track_rear_mm: Some(track - 20.0),
                tyre_radius_mm: radius,
                purpose,
                front,
                driven: Some(driven),
                tube: None,
                ..demo()
            })
        })
    })
}

fn front_left(model: &Model) -> &Corner {
    model.corners.iter().find(|corner| corner.wheel.name() == "front.l").unwrap()
}

#[test]
fn every_layout_for_every_use_and_car_passes_and_explains_its_warnings() {
    let mut count = 0;
    for figures in all() {
        let first = first_frame(&figures, Schema::Absent).unwrap_or_else(|why| panic!("{}: {why}", figures.title));
        // Read again from the text alone, as `check` does.
        let model = load(&first.text).base;
        let checked = check(&model, |_| true).unwrap();
        let failing: Vec<String> = checked.verdict.failing().iter().map(|finding| format!("{finding:?}")).collect();
        assert!(failing.is_empty(), "{} ({}): {failing:#?}", figures.title, first.sizes);
        let explained = |warning: &String| {
            let told = |words: &str, by: &str| warning.contains(words) && first.text.contains(by);
            told("are not modelled; their torque is not put into the body", "check warns that")
                || told("anti-dive is -1", "braking pulls the nose down (negative anti-dive)")
                || ["anti-lift is 1", "anti-lift is 2"]
                    .into_iter()
                    .any(|large| told(large, "so does the drive (anti-lift above 100 %)"))
        };
        assert!(checked.warnings.iter().all(explained), "{}: {:?}", figures.title, checked.warnings);
        let cases =
            ["straight braking", "braking while reversing", "left bend", "right bend", "braking into a left bend"];
        for case in cases.into_iter().chain(["lifted by the nose", "twist test", STANDING]) {
            assert!(model.cases.contains_key(case), "{}: no case {case}", figures.title);
        }
        assert_eq!(model.cases.contains_key("accelerating"), figures.driven != Some(Driven::None));
        count += 1;
    }
    assert_eq!(count, 4 * 3 * 5);
}

#[test]
fn a_heavier_car_gets_more_tube() {
    let mass_of = |mass_kg: f64| {
        let figures = Figures { weight: Weight::Whole { mass_kg, front_share: Some(0.5) }, tube: None, ..demo() };
        first_frame(&figures, Schema::Absent).unwrap().checked.outcome.mass.frame_kg
    };
    assert!(mass_of(1400.0) > 1.2 * mass_of(400.0));
}

#[test]
fn a_named_tube_is_kept_as_it_was_named() {
    let figures = Figures {
        tube: Some(RackTube::read("45x2.5").unwrap()),
        brace: Some(RackTube::read("1.5 in x 14 swg").unwrap()),
        ..demo()
    };
    let first = first_frame(&figures, Schema::Absent).unwrap();
    assert!(first.checked.verdict.passes());
    assert!(
        first.text.contains(r#""od": 45, "wall": 2.5}"#) && first.text.contains(r#""od": "1.5 in", "wall": "14 swg""#)
    );
}

#[test]
fn a_case_that_the_car_cannot_do_is_lowered_and_says_why() {
    let figures = Figures {
        purpose: Use::Hillclimb,
        weight: Weight::Whole { mass_kg: 520.0, front_share: Some(0.45) },
        track_front_mm: 1000.0,
        track_rear_mm: Some(1000.0),
        cg_height_mm: Some(600.0),
        ..demo()
    };
    let first = first_frame(&figures, Schema::Absent).unwrap();
    let file: serde_json::Value = serde_json::from_str(&first.text).unwrap();
    let bend = &file["cases"]["left bend"];
    // It rolls over at half the track over the height: 0.833 g; 0.95 of that, in steps of 0.05 g.
    assert_eq!(bend["g"]["lat"], 0.75);
    assert!(bend["note"].as_str().unwrap().contains("roll over at 0.833 g"), "{bend}");
    let demo = first_frame(&demo(), Schema::Absent).unwrap();
    assert!(!demo.text.contains("is more than this car can do"));
}

#[test]
fn what_was_not_given_is_named_and_what_was_given_is_not() {
    let bare = Figures {
        driven: None,
        track_rear_mm: None,
        weight: Weight::Whole { mass_kg: 520.0, front_share: None },
        ..demo()
    };
    let assumed = first_frame(&bare, Schema::Absent).unwrap().assumed.join("\n");
    let words = [
        "rear track",
        "half of the mass",
        "centre of gravity",
        "grip",
        "brake share",
        "rear axle is driven",
        "unsprung",
        "material",
    ];
    for word in words {
        assert!(assumed.contains(word), "{word}: {assumed}");
    }
    let full = Figures {
        cg_height_mm: Some(450.0),
        tyre_grip: Some(1.0),
        brake_share_front: Some(0.6),
        unsprung_kg: Some(20.0),
        material: Some("E355+N".to_owned()),
        ..demo()
    };
    let first = first_frame(&full, Schema::Absent).unwrap();
    let assumed = first.assumed.join("\n");
    for word in
        ["rear track", "of the mass on", "height of", "grip", "brake share", "is driven", "unsprung", "material"]
    {
        assert!(!assumed.contains(word), "{word}: {assumed}");
    }
    assert!(first.text.contains("E355+N"));
}

#[test]
fn the_kept_first_frame_is_what_new_writes() {
    let kept = fs::read_to_string(repository_file("models/first-frame.json")).unwrap();
    let made = first_frame(&demo(), Schema::Beside).unwrap();
    assert!(kept == made.text, "models/first-frame.json is old: write it anew with the command in README.md");
    assert!(made.checked.verdict.passes());
}

#[test]
fn figures_that_are_given_are_written_in_full() {
    let figures = Figures {
        weight: Weight::Whole { mass_kg: 640.125, front_share: Some(0.5) },
        wheelbase_mm: 2350.375,
        track_front_mm: 1400.625,
        tyre_radius_mm: 279.875,
        cg_height_mm: Some(441.125),
        tube: Some(RackTube::read("38.125x1.625").unwrap()),
        brake_share_front: Some(0.6125),
        unsprung_kg: Some(27.375),
        tyre_grip: Some(1.0625),
        ..demo()
    };
    let text = first_frame(&figures, Schema::Absent).unwrap().text;
    for written in [
        "\"mass\": 640.125",
        "\"wheelbase\": 2350.375",
        "\"front\": 1400.625",
        "\"height\": 441.125",
        "\"od\": 38.125, \"wall\": 1.625",
        "\"brake_share_front\": 0.6125",
        "\"unsprung\": 27.375",
        "\"tyre_grip\": 1.0625",
        "279.875]",
    ] {
        assert!(text.contains(written), "{written} is not in {text}");
    }
}
