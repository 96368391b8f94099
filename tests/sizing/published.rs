//! A published truss, the sizes cut down to those that its best design has.
//!
//! Ten-bar cantilever, areas from the list of Rajeev & Krishnamoorthy (J. Struct. Eng. ASCE 118(5), 1992, 1233–1250; from
//! memory), best design of Camp & Bichon (J. Struct. Eng. ASCE 130(5), 2004, 741–751; from memory), recomputed in
//! `tests/reference/sizing/`, where its proof for the whole list of 42 is told.

use crossbrace::math::assert_near;
use serde_json::{Value, json};

use super::bars::Truss;
use super::{reference, size_of, sized};
use crate::support::{load, read};

/// Pound.
const LB_KG: f64 = 0.453_592_37;

#[test]
fn of_the_sizes_of_the_best_published_ten_bar_truss_that_truss_is_the_lightest() {
    let reference = reference("truss-10-bar-case-1-discrete-42");
    let mut text: Value = serde_json::from_str(&read("models/sizing/truss-10-bar.json")).unwrap();
    text["sizing"]["stock"] = json!(["1.62", "7.97", "14.2", "22", "22.9", "33.5"]);
    let told = sized(&load(&text.to_string()).base);
    assert!(told.is_proven());
    let best = told.best.as_ref().unwrap();
    assert_near(best.mass_kg, reference["best_known"]["weight"].as_f64().unwrap() * LB_KG, 1e-8);
    // Judged by a truss of its own.
    let truss = Truss::read(&reference);
    let design: Vec<usize> = truss.groups.iter().map(|group| truss.section(size_of(&told, group))).collect();
    assert!(truss.worst(&design) <= 1.0 + 1e-6, "{}", truss.worst(&design));
    let utilisation = reference["best_known"]["worst_constraint"]["utilisation"].as_f64().unwrap();
    assert_near(truss.worst(&design), utilisation, 1e-6);
    let own = design.iter().enumerate().map(|(group, size)| truss.mass(group, *size)).sum::<f64>();
    assert_near(best.mass_kg, own, 1e-9);
    for (bar, area) in reference["best_known"]["design"].as_object().unwrap() {
        assert_eq!(size_of(&told, &format!("group {bar}")), area.to_string().trim_end_matches(".0"));
    }
}
