//! Fatigue: lines of strength of EN 1993-1-9 7.1, damage sums, equivalent ranges.

use crossbrace::checks::{Detail, FatigueCurve};
use serde_json::Value;

use super::{Answers, Case, Listed, Tally, cases, hold, is};
use crate::support::values::{list, number};

const LISTED: &[Listed] = &[];

#[test]
fn every_published_fatigue_figure_is_met() {
    let file = "checks/fatigue.json";
    let tally = hold(file, &cases(file), LISTED, answer);
    assert_eq!(tally, Tally { cases: 30, met: 30, values: 42 });
}

fn detail(case: &Case) -> Detail {
    let curve = match case.json["inputs"]["curve"].as_str().unwrap_or("normal") {
        "normal" => FatigueCurve::Normal,
        "lattice m=5" | "shear" => FatigueCurve::Shear,
        other => panic!("{}: {other}", case.id),
    };
    Detail { category_mpa: case.input("category"), curve }
}

/// Ranges and their cycles.
fn spectrum(case: &Case) -> Vec<(f64, f64)> {
    let pairs = list(&case.json["inputs"]["spectrum_MPa_cycles"]);
    pairs.iter().map(|pair| (number(&pair[0]), number(&pair[1]))).collect()
}

fn answer(case: &Case) -> Answers {
    match case.quantity() {
        "S-N constants" => {
            let one = Detail { category_mpa: 1.0, curve: FatigueCurve::Normal };
            let (limit, cut_off) = (one.range_mpa(5e6), one.range_mpa(1e8));
            vec![is("D_over_C", limit), is("L_over_D", cut_off / limit)]
        }
        "limits of a detail category" => {
            let detail = detail(case);
            vec![is("sigma_D_MPa", detail.range_mpa(5e6)), is("sigma_L_MPa", detail.range_mpa(1e8))]
        }
        "cycles to failure, variable amplitude curve" => {
            let factor = case.input("gammaMf") * case.input("gammaFf");
            let cycles = detail(case).cycles(case.input("stress_range_MPa") * factor);
            vec![is("N", cycles.map_or(Value::Null, Value::from))]
        }
        "stress range at a number of cycles" => {
            vec![is("stress_range_MPa", detail(case).range_mpa(case.input("N")))]
        }
        "Miner sum" => {
            let (detail, factor) = (detail(case), case.input("gammaMf") * case.input("gammaFf"));
            let sum: f64 = spectrum(case).into_iter().map(|(range, count)| detail.damage(range, count, factor)).sum();
            vec![is("D", sum), is("passes", sum <= 1.0)]
        }
        "equivalent range at 2 million cycles" => {
            let curve = if case.input("m") == 3.0 { FatigueCurve::Normal } else { FatigueCurve::Shear };
            let detail = Detail { category_mpa: 1.0, curve };
            vec![is("sigma_E2_MPa", detail.equivalent_mpa(spectrum(case)))]
        }
        other => panic!("{}: no answer to \"{other}\"", case.id),
    }
}
