//! Members: columns, walls, moment factors and combined loading of EN 1993-1-1.

use crossbrace::checks::{
    ColumnForces, ColumnInput, ColumnResult, Curve, WallResult, buckling_curve, chi, column, epsilon, euler_load_n,
    interaction_sums, moment_factors, relative_slenderness, wall,
};
use crossbrace::section::{BoxTube, Finish, Material, Properties, RoundTube, Section};
use serde_json::Value;

use super::{Answers, Case, Listed, Tally, cases, hold, is};
use crate::support::values::number;

const ANNEX_A: &str = "the tool takes the factors of Annex B, the other method of the standard";
const ALUMINIUM: &str = "the tool judges columns of aluminium by EN 1993-1-1 curve c, not by EN 1999-1-1";
const JOHNSON: &str = "the tool takes the curves of EN 1993-1-1, not Johnson's parabola";
const CLASS_3: &str = "the tool takes the factors and elastic moduli of class 3 for every section";
const CLASS_4_OR_NOT: &str = "the tool only asks whether a wall is of class 4";
const IN_COMPRESSION: &str = "the tool takes every wall as pushed evenly";
const K: &str = "the tool takes a buckling length (`column_length`) and knows no table of end conditions";

/// What this version does not answer.
const LISTED: &[Listed] = &[
    ("ssb05-plastic-shear", "*", "the tool judges von Mises stress at yield, not plastic shear"),
    ("ssb05-diagonal-annex-a", "*", ANNEX_A),
    ("talat-5-1-effective", "*", ALUMINIUM),
    ("talat-5-1-column", "*", ALUMINIUM),
    ("table52-internal-compression", "class1", CLASS_4_OR_NOT),
    ("table52-internal-compression", "class2", CLASS_4_OR_NOT),
    ("table52-internal-bending", "*", IN_COMPRESSION),
    ("class-box-wall-1", "section_class", CLASS_4_OR_NOT),
    ("class-box-wall-4", "section_class", IN_COMPRESSION),
    ("euler-pinned-pinned", "K", K),
    ("euler-fixed-free", "K", K),
    ("euler-fixed-pinned", "K", K),
    ("johnson-1", "*", JOHNSON),
    ("johnson-2", "*", JOHNSON),
    ("johnson-4", "*", JOHNSON),
    ("beam-column-1", "kyy", CLASS_3),
    ("beam-column-1", "kyz", CLASS_3),
    ("beam-column-1", "kzy", CLASS_3),
    ("beam-column-1", "kzz", CLASS_3),
    ("beam-column-1", "eq_6_61", CLASS_3),
    ("beam-column-1", "eq_6_62", CLASS_3),
    ("beam-column-2", "kyy", CLASS_3),
    ("beam-column-2", "kyz", CLASS_3),
    ("beam-column-2", "kzy", CLASS_3),
    ("beam-column-2", "kzz", CLASS_3),
    ("beam-column-2", "eq_6_61", CLASS_3),
    ("beam-column-2", "eq_6_62", CLASS_3),
    ("beam-column-7", "kyy", CLASS_3),
    ("beam-column-7", "kyz", CLASS_3),
    ("beam-column-7", "kzy", CLASS_3),
    ("beam-column-7", "kzz", CLASS_3),
    ("beam-column-7", "eq_6_61", CLASS_3),
    ("beam-column-7", "eq_6_62", CLASS_3),
];

#[test]
fn every_published_member_check_is_met_or_listed_with_its_reason() {
    let file = "checks/members.json";
    let tally = hold(file, &cases(file), LISTED, answer);
    assert_eq!(tally, Tally { cases: 73, met: 65, values: 176 });
}

fn answer(case: &Case) -> Answers {
    match case.quantity() {
        "table: imperfection factor" => vec![is("alpha", curve(case.word("curve")).imperfection())],
        "table: buckling curve of hollow sections" => vec![is("curve", letter_of_hollow(case))],
        "chi by curve" => CURVES
            .iter()
            .map(|(letter, curve)| is(&format!("chi_{letter}"), chi(case.input("lambda_bar"), curve.imperfection())))
            .collect(),
        "chi with steps" => {
            assert_eq!(case.input("lambda0"), 0.2);
            let slenderness = case.input("lambda_bar");
            let chi = chi(slenderness, case.input("alpha"));
            // χ = 1 / (φ + √(φ² − λ̄²)), solved for φ.
            vec![is("chi", chi), is("phi", 0.5 * (1.0 / chi + chi * slenderness * slenderness))]
        }
        "Euler load" => {
            let length = case.input("K") * case.input("L_mm");
            vec![is("Ncr_kN", euler_load_n(case.input("E_MPa"), case.input("I_mm4"), length) / 1e3)]
        }
        "Euler load by end condition" => {
            let length = number(&case.json["expected"]["K"]) * case.input("L_mm");
            vec![is("Pcr_N", euler_load_n(case.input("E_MPa"), case.input("I_mm4"), length))]
        }
        "relative slenderness" => {
            let n_cr = case.input("Ncr_kN") * 1e3;
            vec![is("lambda_bar", relative_slenderness(case.input("A_mm2"), case.input("fy_MPa"), n_cr))]
        }
        "column resistance from section properties" => resistance_of_figures(case),
        "hollow section column resistance" => {
            let axis = usize::from(case.json["inputs"]["axis"] == "z");
            resistance(case, &hollow(case), axis)
        }
        "beam-column sums with given factors" => sums_with_given_factors(case),
        "beam-column, Annex B, hollow section" => beam_column(case),
        "epsilon" => vec![is("epsilon", epsilon(&steel(case.input("fy_MPa"), Finish::Cold)))],
        "table: internal part limits c/t divided by epsilon" => {
            let (section, material) = (box_tube(60.0, 2.0), steel(355.0, Finish::Cold));
            vec![is("class3", tube_wall(&section, &material).limit / epsilon(&material))]
        }
        "class of a box wall" => {
            let (section, material) =
                (box_tube(case.input("width_mm"), case.input("t_mm")), steel(case.input("fy_MPa"), Finish::Cold));
            let found = tube_wall(&section, &material);
            let mut answers = vec![is("c_over_t", found.slenderness), is("epsilon", epsilon(&material))];
            answers.extend((found.slenderness > found.limit).then(|| is("section_class", 4)));
            answers
        }
        "tube is class 4 in compression" => {
            let tube = RoundTube { od_mm: case.input("od_mm"), wall_mm: case.input("t_mm") };
            let found = tube_wall(&tube.into(), &steel(case.input("fy_MPa"), Finish::Cold));
            vec![
                is("d_over_t", found.slenderness),
                is("limit", found.limit),
                is("is_class4", found.slenderness > found.limit),
            ]
        }
        "equivalent uniform moment factor" => vec![is("Cm", moment_factor(case))],
        other => panic!("{}: nothing answers \"{other}\"", case.id),
    }
}

const CURVES: [(&str, Curve); 5] =
    [("a0", Curve::A0), ("a", Curve::A), ("b", Curve::B), ("c", Curve::C), ("d", Curve::D)];

fn curve(letter: &str) -> Curve {
    CURVES.iter().find(|(known, _)| *known == letter).unwrap_or_else(|| panic!("no curve {letter}")).1
}

fn tube_wall(section: &Section, material: &Material) -> WallResult {
    wall(section, material).expect("a tube has a wall")
}

fn letter(curve: Curve) -> &'static str {
    CURVES.iter().find(|(_, known)| *known == curve).expect("every curve has a letter").0
}

/// Structural steel of a yield strength.
fn steel(yield_mpa: f64, finish: Finish) -> Material {
    Material {
        youngs_modulus_mpa: 210_000.0,
        shear_modulus_mpa: 210_000.0 / 2.6,
        density_kg_m3: 7850.0,
        yield_mpa,
        ultimate_mpa: 1.2 * yield_mpa,
        yield_at_weld_mpa: yield_mpa,
        finish,
    }
}

fn box_tube(side_mm: f64, wall_mm: f64) -> Section {
    BoxTube::standard(side_mm, side_mm, wall_mm, Finish::Cold).into()
}

/// The curve of round, square and rectangular tube at both ends of a range of grades.
fn letter_of_hollow(case: &Case) -> Value {
    let finish = match case.word("process") {
        "hot finished" => Finish::Hot,
        "cold formed" => Finish::Cold,
        other => panic!("{}: process {other}", case.id),
    };
    let yields: &[f64] = match case.word("grade") {
        "S235..S420" => &[235.0, 420.0],
        "S460" => &[460.0],
        other => panic!("{}: grade {other}", case.id),
    };
    let mut letters: Vec<&str> = Vec::new();
    for yield_mpa in yields {
        let round: Section = RoundTube { od_mm: 40.0, wall_mm: 3.0 }.into();
        let rectangle: Section = BoxTube::standard(50.0, 30.0, 3.0, finish).into();
        for section in [round, rectangle] {
            letters.push(letter(buckling_curve(&section, &steel(*yield_mpa, finish))));
        }
    }
    letters.dedup();
    assert_eq!(letters.len(), 1, "{}: {letters:?}", case.id);
    letters[0].into()
}

fn hollow(case: &Case) -> Section {
    match case.word("shape") {
        "CHS" => RoundTube { od_mm: case.input("od_mm"), wall_mm: case.input("t_mm") }.into(),
        "RHS" => BoxTube {
            width_mm: case.input("b_mm"),
            depth_mm: case.input("h_mm"),
            wall_mm: case.input("t_mm"),
            outer_radius_mm: case.input("ro_mm"),
            inner_radius_mm: case.input("ri_mm"),
        }
        .into(),
        other => panic!("{}: shape {other}", case.id),
    }
}

/// The material of a case: the finish is the one whose tubes have the curve of the case.
fn material(case: &Case) -> Material {
    let finish = match case.word("curve") {
        "a" => Finish::Hot,
        "c" => Finish::Cold,
        other => panic!("{}: no finish has curve {other}", case.id),
    };
    assert_eq!(case.input("E_MPa"), 210_000.0);
    steel(case.input("fy_MPa"), finish)
}

/// A column of a case under the forces, with a margin on them.
fn judged(case: &Case, section: &Section, length_mm: f64, forces: ColumnForces, margin: f64) -> ColumnResult {
    let material = material(case);
    assert_eq!(letter(buckling_curve(section, &material)), case.word("curve"), "{}", case.id);
    let properties: Properties = section.properties(material.poisson());
    column(&ColumnInput {
        section,
        properties: &properties,
        material: &material,
        length_mm,
        forces,
        margin,
        frame_n_cr_n: None,
    })
}

/// A column about the y (0) or z (1) axis; γM1 is the margin on the loads, and the resistance is
/// the push at which the sum reaches 1.
fn resistance(case: &Case, section: &Section, axis: usize) -> Answers {
    let push_n = 1000.0;
    let forces = ColumnForces { push_n, my_nmm: 0.0, mz_nmm: 0.0, cm: [1.0; 2] };
    let result = judged(case, section, case.input("Lcr_mm"), forces, case.input("gammaM1"));
    assert!(result.n_b_rd_n[axis] <= result.n_b_rd_n[1 - axis], "{}: the other axis governs", case.id);
    vec![
        is("Nc_Rd_kN", result.n_b_rd_n[axis] / result.chi[axis] / 1e3),
        is("Ncr_kN", result.n_cr_n[axis] / 1e3),
        is("lambda_bar", result.slenderness[axis]),
        is("chi", result.chi[axis]),
        is("Nb_Rd_kN", push_n / result.sum / 1e3),
    ]
}

/// A column by its figures: the formulas with the curve of the case. The tool itself judges a given
/// section by curve c, since nothing says that it is hollow.
fn resistance_of_figures(case: &Case) -> Answers {
    let (area_mm2, yield_mpa) = (case.input("A_mm2"), case.input("fy_MPa"));
    let n_cr = euler_load_n(case.input("E_MPa"), case.input("I_mm4"), case.input("Lcr_mm"));
    let slenderness = relative_slenderness(area_mm2, yield_mpa, n_cr);
    let chi = chi(slenderness, curve(case.word("curve")).imperfection());
    vec![
        is("Nc_Rd_kN", area_mm2 * yield_mpa / 1e3),
        is("Ncr_kN", n_cr / 1e3),
        is("lambda_bar", slenderness),
        is("chi", chi),
        is("Nb_Rd_kN", chi * area_mm2 * yield_mpa / case.input("gammaM1") / 1e3),
    ]
}

fn sums_with_given_factors(case: &Case) -> Answers {
    assert_eq!(case.input("gammaM1"), 1.0);
    let yield_mpa = case.input("fy_MPa");
    let n = ["chi_y_total", "chi_z_total"]
        .map(|chi| case.input("N_Ed_N") / (case.input(chi) * case.input("A_mm2") * yield_mpa));
    let m = [0.0, case.input("Mz_Ed_Nmm") / (case.input("Wz_mm3") * yield_mpa)];
    // The moment about y is 0, so that its factors do not matter.
    let [about_y, about_z] = interaction_sums(n, m, [1.0, case.input("kyz"), 1.0, case.input("kzz")]);
    vec![is("eq_6_61", about_y), is("eq_6_62", about_z)]
}

fn beam_column(case: &Case) -> Answers {
    assert_eq!(case.input("Lcr_y_mm"), case.input("Lcr_z_mm"));
    let forces = ColumnForces {
        push_n: case.input("N_Ed_N"),
        my_nmm: case.input("My_Ed_Nmm"),
        mz_nmm: case.input("Mz_Ed_Nmm"),
        cm: [case.input("Cmy"), case.input("Cmz")],
    };
    let result = judged(case, &hollow(case), case.input("Lcr_y_mm"), forces, case.input("gammaM1"));
    let mut answers = vec![
        is("lambda_y", result.slenderness[0]),
        is("lambda_z", result.slenderness[1]),
        is("chi_y", result.chi[0]),
        is("chi_z", result.chi[1]),
    ];
    if case.input("section_class_used") == 3.0 {
        let n = result.n_b_rd_n.map(|resistance| forces.push_n / resistance);
        let m = [forces.my_nmm / result.m_rd_nmm[0], forces.mz_nmm / result.m_rd_nmm[1]];
        let sums = interaction_sums(n, m, result.k);
        assert_eq!(result.sum, sums[0].max(sums[1]), "{}", case.id);
        let [kyy, kyz, kzy, kzz] = result.k;
        answers.extend([is("kyy", kyy), is("kyz", kyz), is("kzy", kzy), is("kzz", kzz)]);
        answers.extend([is("eq_6_61", sums[0]), is("eq_6_62", sums[1])]);
    }
    answers
}

fn moment_factor(case: &Case) -> f64 {
    let psi = case.input("psi");
    let factors = match case.word("diagram") {
        "linear" => moment_factors(1.0, psi, 0.5 * (1.0 + psi)),
        "alpha_s" => moment_factors(1.0, psi, case.input("alpha")),
        "alpha_h" => moment_factors(case.input("alpha"), psi * case.input("alpha"), 1.0),
        other => panic!("{}: diagram {other}", case.id),
    };
    match case.json["inputs"]["load"].as_str() {
        None | Some("uniform") => factors.uniform,
        Some("concentrated") => factors.point,
        Some(other) => panic!("{}: load {other}", case.id),
    }
}
