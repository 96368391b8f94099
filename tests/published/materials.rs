//! Materials: minimum strengths by grade, strength beside a weld, elastic constants.

use crossbrace::section::{BUILT_IN, BuiltIn, built_in};
use serde_json::json;

use super::{Answers, Case, Listed, Tally, cases, hold, is};
use crate::support::load;

const NO_YIELD: &str = "this condition is not built in: the standard gives it no yield strength";
const THICK: &str = "the built-in figures are for walls to 16 mm; frame tube is thinner";
const PLATE: &str = "EN 10025-2 is for plate and bars; only tube is built in";
const NOT_BUILT_IN: &str = "this grade or temper is not built in";
const MAKERS: &str = "a maker's or magazine's figure without strength beside a weld; not built in, the model gives it";

/// What this version does not answer.
const LISTED: &[Listed] = &[
    ("*", "A_min_percent", "no check needs the elongation"),
    ("*", "Rm_max_MPa", "no check needs the upper end of the tensile strength"),
    ("*", "fu_haz_MPa", "yield beside a weld is judged; the ultimate strength there comes with the weld check"),
    ("*", "rho_u_haz", "yield beside a weld is judged; the ultimate strength there comes with the weld check"),
    ("*", "np", "no check needs the strain-hardening exponent"),
    ("*", "buckling_class", "columns of aluminium are judged by EN 1993-1-1 curve c"),
    ("en10305-1-e235-a", "*", NO_YIELD),
    ("en10305-1-e255-lc", "*", NO_YIELD),
    ("en10305-1-e255-a", "*", NO_YIELD),
    ("en10305-1-e355-lc", "*", NO_YIELD),
    ("en10210-1-s235jrh-t40", "*", THICK),
    ("en10210-1-s275j2h-t40", "*", THICK),
    ("en10210-1-s355j0h-t40", "*", THICK),
    ("bluebook-s275-t40", "*", THICK),
    ("bluebook-s420-t16", "*", NOT_BUILT_IN),
    ("ec3-s355-fy-fu", "Rm_min_MPa", "the lower 470 MPa of the product standards is built in"),
    ("en10025-2-s235jr-rm-0", "*", PLATE),
    ("en10025-2-s275jr-rm-1", "*", PLATE),
    ("en10025-2-s355jr-rm-3", "*", PLATE),
    ("en10025-2-s355jr-rm-4", "*", PLATE),
    ("en1999-6060-t5-ep-t5", "*", NOT_BUILT_IN),
    ("en1999-6061-t4-ep-t25", "*", NOT_BUILT_IN),
    ("t45-motorsport", "*", MAKERS),
    ("4130-au-supplier", "*", MAKERS),
    ("dom-1020-au-supplier", "*", MAKERS),
];

#[test]
fn every_published_material_is_met_or_listed_with_its_reason() {
    let file = "checks/materials.json";
    let tally = hold(file, &cases(file), LISTED, answer);
    assert_eq!(tally, Tally { cases: 39, met: 21, values: 45 });
}

fn answer(case: &Case) -> Answers {
    match case.quantity() {
        "table: minimum properties by grade and delivery condition" => {
            let name = format!("{}{}", case.word("grade"), case.word("condition"));
            strengths(case, &[known(&name)])
        }
        "table: minimum properties by grade and thickness" => strengths(case, &of_grade(case.word("grade"))),
        "table: aluminium strength and HAZ values" => aluminium(case),
        "elastic constants" => elastic_constants(),
        "shear modulus from E and Poisson ratio" => shear_modulus(case),
        other => panic!("{}: nothing answers \"{other}\"", case.id),
    }
}

fn known(name: &str) -> &'static BuiltIn {
    built_in(name).unwrap_or_else(|| panic!("{name} is not built in"))
}

/// The hollow sections of a grade: `S355` stands for all its qualities.
fn of_grade(grade: &str) -> Vec<&'static BuiltIn> {
    BUILT_IN.iter().filter(|entry| entry.name.starts_with(grade) && entry.name.ends_with('H')).collect()
}

/// Yield and tensile strength, which all the entries must share.
fn strengths(case: &Case, entries: &[&BuiltIn]) -> Answers {
    let first = entries.first().unwrap_or_else(|| panic!("{}: nothing is built in", case.id)).material;
    for entry in entries {
        let same = entry.material.yield_mpa == first.yield_mpa && entry.material.ultimate_mpa == first.ultimate_mpa;
        assert!(same, "{} differs from the others of its grade", entry.name);
    }
    vec![is("ReH_min_MPa", first.yield_mpa), is("Rm_min_MPa", first.ultimate_mpa)]
}

fn aluminium(case: &Case) -> Answers {
    let m = known(&format!("{}-{}", case.word("alloy"), case.word("temper"))).material;
    vec![
        is("fo_MPa", m.yield_mpa),
        is("fu_MPa", m.ultimate_mpa),
        is("fo_haz_MPa", m.yield_at_weld_mpa),
        is("rho_o_haz", m.yield_at_weld_mpa / m.yield_mpa),
    ]
}

/// Of every built-in structural and precision steel.
fn elastic_constants() -> Answers {
    let is_structural = |entry: &&BuiltIn| ["E2", "E3", "S2", "S3"].iter().any(|start| entry.name.starts_with(start));
    let steels: Vec<_> = BUILT_IN.iter().filter(is_structural).map(|entry| entry.material).collect();
    let first = steels[0];
    for steel in &steels {
        assert_eq!(steel.youngs_modulus_mpa, first.youngs_modulus_mpa);
        assert_eq!(steel.density_kg_m3, first.density_kg_m3);
    }
    vec![is("E_MPa", first.youngs_modulus_mpa), is("density_kg_m3", first.density_kg_m3)]
}

/// Of a material of the file that gives no shear modulus: Poisson's ratio is then 0.3.
fn shear_modulus(case: &Case) -> Answers {
    let model = json!({
        "format": 1,
        "materials": {"m": {
            "youngs_modulus": case.input("E_MPa"), "density": 7850, "yield": 235, "ultimate": 360, "yield_at_weld": "same",
        }},
        "tubes": {"t": {"round": {"od": 25, "wall": 2}, "material": "m"}},
        "nodes": {"A": [0, 0, 0], "B": [100, 0, 0]},
        "members": {"AB": {"ends": ["A", "B"], "tube": "t"}},
        "mounts": {"A": "bolted pad"},
        "cases": {"pull": {"forces": {"B": [1, 0, 0]}}},
    });
    let material = load(&model.to_string()).base.materials["m"].material;
    assert!((material.poisson() - case.input("poisson")).abs() < 1e-15);
    vec![is("G_MPa", material.shear_modulus_mpa)]
}
