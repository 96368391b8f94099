//! Welds: fillet welds of EN 1993-1-8 4.5 and EN 1999-1-1 8.6, rings round tubes, lines.

use crossbrace::checks::{
    LineFigures, LineForce, Run, Spread, ThroatStress, Weld, WeldLine, WeldMetal, WeldResult, correlation,
};
use crossbrace::section::InternalForces;

use super::{Answers, Case, Listed, Tally, cases, hold, is};

const LISTED: &[Listed] = &[];

#[test]
fn every_published_weld_is_met() {
    let file = "checks/welds.json";
    let tally = hold(file, &cases(file), LISTED, answer);
    assert_eq!(tally, Tally { cases: 37, met: 37, values: 120 });
}

fn answer(case: &Case) -> Answers {
    match case.quantity() {
        "table: correlation factor" => {
            vec![is("beta_w", correlation(case.word("grade")).expect("the grade is in the table"))]
        }
        "full-strength double fillet throat ratio" => {
            // Two welds as strong as the plate: √2 N/(2 a) = fu/(βw γM2) with N = fy t.
            assert_eq!((case.input("gammaM2"), case.input("gammaM0")), (1.25, 1.0));
            let force = LineForce { axial: case.input("fy_MPa") / 2.0, ..LineForce::default() };
            let per_throat = ThroatStress::of(&force, 1.0).comparison_mpa();
            vec![is("a_over_t", per_throat / steel(case).resistance_mpa())]
        }
        "throat from stresses per mm throat" => {
            let stress = ThroatStress {
                normal: case.input("n_perp_N_mm"),
                across: case.input("t_perp_N_mm"),
                along: case.input("t_par_N_mm"),
            };
            let metal = steel(case);
            let most = metal.normal_resistance_mpa().expect("steel has a limit of its own");
            vec![
                is("a1_min_mm", stress.comparison_mpa() / metal.resistance_mpa()),
                is("a2_min_mm", stress.normal.abs() / most),
            ]
        }
        "fillet weld design shear strength" => vec![is("fvw_d_MPa", shear_strength(case))],
        "fillet weld resistance per mm run" => {
            // Square to the throat's plane by 45 degrees: the directional method, solved for the force.
            assert_eq!(case.input("force_to_throat_deg"), 45.0);
            let throat = case.input("throat_mm");
            let one = LineForce { axial: 1.0, ..LineForce::default() };
            let across = steel(case).resistance_mpa() / ThroatStress::of(&one, throat).comparison_mpa();
            vec![is("F_long_kN_mm", throat * shear_strength(case) / 1e3), is("F_trans_kN_mm", across / 1e3)]
        }
        "fillet weld, directional method" => directional(case),
        "fillet weld, simplified method" => {
            let parts = ["n_normal_N_mm", "n_along_N_mm", "n_across_N_mm"].map(|part| case.input(part));
            let force = parts.iter().map(|part| part * part).sum::<f64>().sqrt();
            let resistance = shear_strength(case) * case.input("throat_mm");
            vec![is("F_w_Ed_N_mm", force), is("F_w_Rd_N_mm", resistance), is("util", force / resistance)]
        }
        "fillet weld ring round a tube" => ring(case),
        "weld group as a line" => line(case),
        "aluminium fillet weld" => {
            assert_eq!(case.input("gammaMw"), 1.25);
            let metal = WeldMetal::Aluminium { strength_mpa: case.input("fw_MPa") };
            let stress = ThroatStress {
                normal: case.input("sigma_perp_MPa"),
                across: case.input("tau_perp_MPa"),
                along: case.input("tau_par_MPa"),
            };
            let found = stress.comparison_mpa();
            vec![is("sigma_c_MPa", found), is("util", found / metal.resistance_mpa())]
        }
        other => panic!("{}: no answer to \"{other}\"", case.id),
    }
}

fn steel(case: &Case) -> WeldMetal {
    assert_eq!(case.input("gammaM2"), 1.25);
    WeldMetal::Steel { ultimate_mpa: case.input("fu_MPa"), correlation: case.input("beta_w") }
}

fn shear_strength(case: &Case) -> f64 {
    steel(case).shear_resistance_mpa().expect("steel has the simplified method")
}

/// A force square to the plate and one along the weld.
fn directional(case: &Case) -> Answers {
    let force = LineForce { axial: case.input("n_normal_N_mm"), outward: 0.0, along: case.input("n_along_N_mm") };
    let (stress, metal) = (ThroatStress::of(&force, case.input("throat_mm")), steel(case));
    let (first, second) = (metal.resistance_mpa(), metal.normal_resistance_mpa().expect("a limit of its own"));
    vec![
        is("sigma_perp_MPa", stress.normal),
        is("tau_perp_MPa", stress.across),
        is("tau_par_MPa", stress.along),
        is("sigma_eq_MPa", stress.comparison_mpa()),
        is("limit1_MPa", first),
        is("limit2_MPa", second),
        is("util", (stress.comparison_mpa() / first).max(stress.normal.abs() / second)),
    ]
}

fn ring(case: &Case) -> Answers {
    let (od, throat) = (case.input("od_mm"), case.input("throat_mm"));
    let radius_mm = match case.word("line_radius") {
        "tube outer radius" => od / 2.0,
        "centre of the throat, od/2 + a/(2 sqrt2)" => od / 2.0 + throat / (2.0 * 2.0_f64.sqrt()),
        other => panic!("{}: {other}", case.id),
    };
    let spread = match case.word("shear_distribution") {
        "tube flow" => Spread::Flow,
        "uniform vector" => Spread::Even,
        other => panic!("{}: {other}", case.id),
    };
    // The angle 0 of the file is +y here: the moment that pulls there is −mz, the force along it vy.
    let forces = InternalForces {
        n: case.input("N_N"),
        vy: case.input("V_N"),
        t: case.input("T_Nmm"),
        mz: -case.input("M_Nmm"),
        ..InternalForces::default()
    };
    let weld = Weld { line: WeldLine::Ring { radius_mm }, throat_mm: throat, metal: steel(case) };
    let WeldResult { stress, angle_rad, directional, line_force_n_mm, simplified, .. } =
        weld.judge_spread(&forces, 0, 1.0, spread);
    let angle = angle_rad.expect("a ring has an angle").to_degrees();
    vec![
        is("r_mm", radius_mm),
        is("sigma_eq_max_MPa", stress.comparison_mpa()),
        is("phi_at_max_deg", if angle > 359.97 { angle - 360.0 } else { angle }),
        is("F_w_max_N_mm", line_force_n_mm),
        is("util_directional", directional),
        is("util_simplified", simplified.expect("steel has the simplified method")),
    ]
}

fn line(case: &Case) -> Answers {
    let (figures, half) = match case.word("shape") {
        "circle" => {
            let radius_mm = case.input("d_mm") / 2.0;
            (WeldLine::Ring { radius_mm }.figures(), radius_mm)
        }
        "box" => {
            let (width_mm, depth_mm) = (case.input("b_mm"), case.input("d_mm"));
            (WeldLine::Box { width_mm, depth_mm }.figures(), depth_mm / 2.0)
        }
        "two parallel lines along d" => {
            // A flat on edge: d along y, both lines b apart in z.
            let (width_mm, thickness_mm) = (case.input("d_mm"), case.input("b_mm"));
            let LineFigures { length_mm, iy_mm3, iz_mm3 } = WeldLine::Flat { width_mm, thickness_mm }.figures();
            (LineFigures { length_mm, iy_mm3: iz_mm3, iz_mm3: iy_mm3 }, width_mm / 2.0)
        }
        "single line" => {
            let half = case.input("d_mm") / 2.0;
            (LineFigures::of_runs(&[Run { from_mm: [0.0, -half], to_mm: [0.0, half] }]), half)
        }
        other => panic!("{}: {other}", case.id),
    };
    vec![is("L_mm", figures.length_mm), is("S_mm2", figures.iy_mm3 / half), is("J_mm3", figures.polar_mm3())]
}
