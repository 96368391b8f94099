//! Sections: tables of hollow sections, shear and torsion of bars and tubes, gauges.

use std::f64::consts::PI;

use crossbrace::beam::mass::tube_mass_kg;
use crossbrace::section::{
    Bar, BoxTube, Finish, InternalForces, Properties, RoundTube, Section, cowper_hollow_circle, rectangle_torsion,
};
use crossbrace::units::{Kind, Length, Quantity, Wall, gauge_mm};

use super::{Answers, Case, Listed, Tally, cases, hold, is};

const TWO_WALLS: &str = "a box tube takes its two walls along the force as shear area, not Cowper's thin box";
const ROARK: &str = "the tool sums the exact series; J_exact_mm4 is checked";
const THIN: &str = "the tool takes the exact annulus, not a thin-wall formula";

/// What this version does not answer.
const LISTED: &[Listed] = &[
    ("cowper-thin-box-2", "*", TWO_WALLS),
    ("cowper-thin-box-3", "*", TWO_WALLS),
    ("cowper-thin-box-4", "*", TWO_WALLS),
    ("rect-torsion-roark-40x20", "J_roark_mm4", ROARK),
    ("rect-torsion-roark-30x30", "J_roark_mm4", ROARK),
    ("tube-torsion-1", "J_thin_2pi_rm3_t_mm4", THIN),
    ("tube-torsion-1", "tau_bredt_MPa", THIN),
    ("tube-torsion-3", "J_thin_2pi_rm3_t_mm4", THIN),
    ("tube-torsion-3", "tau_bredt_MPa", THIN),
];

/// Poisson's ratio where no shear area is asked for.
const ANY_POISSON: f64 = 0.3;

#[test]
fn every_published_section_is_met_or_listed_with_its_reason() {
    let file = "checks/sections.json";
    let tally = hold(file, &cases(file), LISTED, answer);
    assert_eq!(tally, Tally { cases: 104, met: 101, values: 567 });
}

fn answer(case: &Case) -> Answers {
    match case.quantity() {
        "CHS section properties" => round_tube(case),
        "RHS section properties" => box_tube(case),
        "corner radii for section properties" => corner_radii(case),
        "Cowper shear coefficient, hollow circle" => {
            vec![is("value", shear_factor(&tube(case).into(), case.input("poisson")))]
        }
        "Cowper shear coefficient, thin-walled" => {
            assert_eq!(case.word("shape"), "round tube");
            vec![is("value", cowper_hollow_circle(1.0, case.input("poisson")))]
        }
        "torsion coefficients of a solid rectangle" => {
            let (a, b) = (case.input("long_over_short") * 7.0, 7.0);
            let (j, long, _) = rectangle_torsion(a, b);
            vec![is("beta_J", j / (a * b.powi(3))), is("alpha_tau", long / (a * b * b))]
        }
        "torsion constant of a solid rectangle, Roark approximation" => {
            let (j, _, _) = rectangle_torsion(case.input("a_mm"), case.input("b_mm"));
            vec![is("J_exact_mm4", j)]
        }
        "torsion of a thick tube" => torsion(case),
        "standard wire gauge to mm" => gauge(case),
        "competition rule minimum tube properties" => {
            let p = Section::from(tube(case)).properties(ANY_POISSON);
            vec![is("A_mm2", p.area_mm2), is("I_mm4", p.iy_mm4)]
        }
        other => panic!("{}: nothing answers \"{other}\"", case.id),
    }
}

fn tube(case: &Case) -> RoundTube {
    RoundTube { od_mm: case.input("od_mm"), wall_mm: case.input("t_mm") }
}

/// Shear area over area.
fn shear_factor(section: &Section, poisson: f64) -> f64 {
    let p = section.properties(poisson);
    p.ay_mm2.expect("the section has a shear area") / p.area_mm2
}

/// Plastic moduli about y and z, mm³.
fn plastic_mm3(p: &Properties) -> (f64, f64) {
    p.plastic_mm3.expect("the section has plastic moduli")
}

/// The value of a text with a unit.
fn parsed(kind: &Kind, text: &str) -> f64 {
    kind.parse(text).unwrap_or_else(|message| panic!("{message}"))
}

fn mass_per_metre(case: &Case, p: &Properties) -> (String, serde_json::Value) {
    is("mass_kg_m", tube_mass_kg(p.area_mm2, 1000.0, case.input("density_kg_m3")))
}

fn round_tube(case: &Case) -> Answers {
    let mut tube = tube(case);
    if let Some(od_in) = case.json["inputs"]["od_in"].as_f64() {
        // An imperial size, read as a user would write it.
        tube.od_mm = parsed(Length::KIND, &format!("{od_in} in"));
        tube.wall_mm = parsed(Wall::KIND, &format!("{} swg", case.input("swg")));
    }
    let p = Section::from(tube).properties(ANY_POISSON);
    assert_eq!(p.iy_mm4, p.iz_mm4);
    vec![
        mass_per_metre(case, &p),
        is("A_cm2", p.area_mm2 / 1e2),
        is("I_cm4", p.iy_mm4 / 1e4),
        is("i_cm", (p.iy_mm4 / p.area_mm2).sqrt() / 10.0),
        is("Wel_cm3", p.iy_mm4 / p.cz_mm / 1e3),
        is("Wpl_cm3", plastic_mm3(&p).0 / 1e3),
        is("It_cm4", p.j_mm4 / 1e4),
        is("Ct_cm3", p.ct_mm3.expect("the section has a torsion modulus") / 1e3),
    ]
}

/// `h` lies along z and `b` along y.
fn box_tube(case: &Case) -> Answers {
    let tube = BoxTube {
        width_mm: case.input("b_mm"),
        depth_mm: case.input("h_mm"),
        wall_mm: case.input("t_mm"),
        outer_radius_mm: case.input("ro_mm"),
        inner_radius_mm: case.input("ri_mm"),
    };
    let p = Section::from(tube).properties(ANY_POISSON);
    let (plastic_y, plastic_z) = plastic_mm3(&p);
    vec![
        mass_per_metre(case, &p),
        is("A_cm2", p.area_mm2 / 1e2),
        is("Iy_cm4", p.iy_mm4 / 1e4),
        is("Iz_cm4", p.iz_mm4 / 1e4),
        is("iy_cm", (p.iy_mm4 / p.area_mm2).sqrt() / 10.0),
        is("iz_cm", (p.iz_mm4 / p.area_mm2).sqrt() / 10.0),
        is("Wel_y_cm3", p.iy_mm4 / p.cz_mm / 1e3),
        is("Wel_z_cm3", p.iz_mm4 / p.cy_mm / 1e3),
        is("Wpl_y_cm3", plastic_y / 1e3),
        is("Wpl_z_cm3", plastic_z / 1e3),
        is("It_cm4", p.j_mm4 / 1e4),
        is("Ct_cm3", p.ct_mm3.expect("the section has a torsion modulus") / 1e3),
    ]
}

fn corner_radii(case: &Case) -> Answers {
    let finish = match case.word("standard") {
        "EN 10219-2" => Finish::Cold,
        "EN 10210-2" => Finish::Hot,
        other => panic!("{}: standard {other}", case.id),
    };
    let tube = BoxTube::standard(200.0, 100.0, case.input("t_mm"), finish);
    vec![is("ro_mm", tube.outer_radius_mm), is("ri_mm", tube.inner_radius_mm)]
}

fn torsion(case: &Case) -> Answers {
    let section = Section::from(tube(case));
    let crossbrace::section::Fibres::Circle(circle) = section.fibres() else {
        panic!("a round tube is looked at all round a circle");
    };
    let torque = InternalForces { t: case.input("torque_Nm") * 1000.0, ..InternalForces::default() };
    vec![
        is("J_mm4", section.properties(ANY_POISSON).j_mm4),
        is("tau_outer_MPa", circle.stress(&torque, PI / 3.0).torsion),
    ]
}

fn gauge(case: &Case) -> Answers {
    let gauge = case.input("swg");
    let wall = gauge_mm(gauge).expect("the gauge is in the table");
    assert_eq!(parsed(Wall::KIND, &format!("{gauge} swg")), wall);
    vec![is("t_mm", wall)]
}

#[test]
fn shear_factor_of_a_bar_is_that_of_a_tube_without_a_bore() {
    let bar = shear_factor(&Bar { od_mm: 20.0 }.into(), 0.3);
    assert_eq!(bar, cowper_hollow_circle(0.0, 0.3));
}
