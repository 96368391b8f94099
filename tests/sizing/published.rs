//! Published trusses: the best published discrete weight is reached, and a proof is claimed only where there is one.
//!
//! Sources of the designs stand in each file of `tests/reference/sizing/`. `reports/sizing.md` keeps what whole searches
//! came to.

use crossbrace::math::assert_near;
use crossbrace::studies::size::Sizing;
use serde_json::{Value, json};

use super::bars::Truss;
use super::certificate::Own;
use super::{problem, reference, size_of, sized, sized_within};
use crate::support::{load, read, repository_file};

/// Model file and reference file of each problem.
const PROBLEMS: [[&str; 2]; 5] = [
    ["truss-10-bar", "truss-10-bar-case-1-discrete-42"],
    ["truss-15-bar", "truss-15-bar-layout-a-discrete"],
    ["truss-25-bar", "truss-25-bar-discrete"],
    ["truss-52-bar", "truss-52-bar-discrete"],
    ["truss-72-bar", "truss-72-bar-discrete-32"],
];

/// Pound.
const LB_KG: f64 = 0.453_592_37;

/// What a reference gives its weights in, kg.
fn unit_kg(reference: &Value) -> f64 {
    if reference["units"]["weight"] == "kg" { 1.0 } else { LB_KG }
}

fn best_known_kg(reference: &Value) -> f64 {
    reference["best_known"]["weight"].as_f64().unwrap() * unit_kg(reference)
}

/// Holds a design, the size of each group by name, against its limits and the best known; its mass, kg.
fn held_against(reference: &Value, sizes: &[&str]) -> f64 {
    // Judged by a truss of its own.
    let truss = Truss::read(reference);
    let design: Vec<usize> = sizes.iter().map(|size| truss.section(size)).collect();
    assert_eq!(design.len(), truss.groups().len());
    assert!(truss.worst(&design) <= 1.0 + 1e-6, "{}: {}", reference["id"], truss.worst(&design));
    let mass_kg = design.iter().enumerate().map(|(group, size)| truss.mass(group, *size)).sum::<f64>();
    let best_kg = best_known_kg(reference);
    assert!(mass_kg <= best_kg * (1.0 + 1e-6), "{}: {mass_kg} kg is above {best_kg}", reference["id"]);
    if reference["best_known"]["proven"] == true {
        assert!(mass_kg >= best_kg * (1.0 - 1e-6), "{}: nothing is lighter", reference["id"]);
    }
    mass_kg
}

/// The sizes that were found.
fn found<'s>(told: &'s Sizing, reference: &Value) -> Vec<&'s str> {
    Truss::read(reference).groups().iter().map(|group| size_of(told, group)).collect()
}

#[test]
fn of_the_sizes_of_the_best_published_ten_bar_truss_that_truss_is_the_lightest() {
    // Best design of Camp & Bichon, J. Struct. Eng. ASCE 130(5), 2004, 741–751 (from memory, recomputed).
    let reference = reference("truss-10-bar-case-1-discrete-42");
    let mut text: Value = serde_json::from_str(&read("models/sizing/truss-10-bar.json")).unwrap();
    text["sizing"]["stock"] = json!(["1.62", "7.97", "14.2", "22", "22.9", "33.5"]);
    let told = sized(&load(&text.to_string()).base);
    assert!(told.is_proven());
    assert_near(told.best.as_ref().unwrap().mass_kg, held_against(&reference, &found(&told, &reference)), 1e-9);
    for (bar, area) in reference["best_known"]["design"].as_object().unwrap() {
        assert_eq!(size_of(&told, &format!("group {bar}")), area.to_string().trim_end_matches(".0"));
    }
}

#[test]
fn the_best_published_weight_is_reached_before_any_box_is_looked_at() {
    // The larger ones, and proofs, take long in debug: reports/sizing.md keeps them.
    for [model, file] in [PROBLEMS[0], PROBLEMS[2]] {
        let told = sized_within(&problem(model), 0);
        let reference = reference(file);
        assert_near(told.best.as_ref().unwrap().mass_kg, held_against(&reference, &found(&told, &reference)), 1e-9);
        assert!(!told.is_proven() && told.least_kg < told.best.as_ref().unwrap().mass_kg);
    }
}

#[test]
fn the_designs_of_the_kept_table_are_within_their_limits_and_weigh_what_it_says() {
    let page = std::fs::read_to_string(repository_file("reports/sizing.md")).unwrap();
    for [model, file] in PROBLEMS {
        let reference = reference(file);
        let is_own = |line: &&str| line.starts_with(&format!("| {model} |"));
        let line = page.lines().find(is_own).unwrap_or_else(|| panic!("{model} is not in the table"));
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        let sizes: Vec<&str> = cells[12].split(", ").collect();
        let weight = |cell: &str| cell.split(' ').next().unwrap().parse::<f64>().unwrap();
        let own = held_against(&reference, &sizes) / unit_kg(&reference);
        assert!((weight(cells[4]) - own).abs() <= 0.0005, "{model}: {own}");
        assert_eq!(weight(cells[3]), (reference["best_known"]["weight"].as_f64().unwrap() * 1e3).round() / 1e3);
        match cells[5] {
            "optimum" => assert!((weight(cells[6]) - own).abs() <= 0.005),
            other => assert!(other == "not proven" && weight(cells[6]) < own, "{line}"),
        }
    }
}
