//! What governs each case, and no more: for models of which nothing else is told.

use super::bench::Bench;
use super::judge::BesideTubes;
use super::lateral::Laterals;
use super::least::Least;
use super::outcome::Outcome;
use super::prepared::Prepared;
use super::response::{CaseResponse, Response};
use super::tubes::Held;
use crate::checks::{Finding, ratio, tube_stress, yielding};
use crate::model::Model;

/// What is under so much of the largest known need not be worked out: what is equal to it may come first and so be told.
pub(super) const CLEARLY_LESS: f64 = 1.0 - 1e-6;

/// Findings of each case among which is its worst, in the order of a verdict: most that cannot be the worst are not
/// worked out. Fatigue, and what is of no case, is left out.
///
/// The stress along a tube and that round its welds take most work. Both have bounds that take little, and of most
/// tubes these lie well under what governs.
pub(super) fn governing(model: &Model, prepared: &Prepared, response: &Response, outcome: &Outcome) -> Vec<Finding> {
    let bench = Bench::new(model, prepared, &outcome.modes);
    let laterals = bench.laterals();
    let of_case = |case: &CaseResponse| {
        let beside = BesideTubes::of(model, prepared, case, outcome).findings;
        let mut findings = match outcome.settled(&case.name) {
            // On the deformed frame every tube is judged another time.
            Some(settled) => {
                let tubes = bench.tubes(case, &laterals, Some(settled));
                let held = tubes.iter().map(|(name, judged)| (name, judged.held()));
                held.flat_map(|(name, held)| held.findings(&case.name, name, bench.limits(case)).collect::<Vec<_>>())
                    .collect()
            }
            None => of_tubes(prepared, &bench, &laterals, case, largest_counting(&beside)),
        };
        findings.extend(beside);
        findings
    };
    response.cases.iter().flat_map(of_case).collect()
}

/// The findings of tubes that may be larger than the largest known.
fn of_tubes(
    prepared: &Prepared,
    bench: &Bench<'_>,
    laterals: &Laterals<'_>,
    case: &CaseResponse,
    known: f64,
) -> Vec<Finding> {
    let structure = &prepared.system.structure;
    let (limits, least) = (bench.limits(case), Least::of(case));
    let mut known = known;
    let mut findings = Vec::new();
    // What is no number is not under it either.
    let may_govern = |at_most: f64, known: f64| at_most.total_cmp(&(CLEARLY_LESS * known)).is_ge();
    for (at, tube, fibres) in bench.judged() {
        let shape = bench.shape(case, laterals, &least, at);
        let (mut yields, mut weld) = (None, None);
        if let Some(margin) = limits.yield_margin {
            let [of_yield, of_weld] = bench.at_most(case, at, margin).map(|most| may_govern(most, known));
            if of_yield {
                let pieces: Vec<_> = case.state.diagrams(structure, tube).collect();
                yields = Some(yielding(&tube_stress(fibres, &pieces, &tube.welds_mm), &tube.material, margin));
            }
            if of_weld {
                weld = bench.weld(case, at);
            }
        }
        let held = Held {
            yielding: yields.as_ref(),
            column: shape.column.as_ref().map(|(_, _, result)| result),
            lateral: shape.lateral.as_ref(),
            wall: shape.wall.as_ref(),
            joint: shape.joint.as_ref(),
            weld: weld.as_ref(),
        };
        for (check, value, limit) in held.values(limits) {
            if may_govern(ratio(value, limit), known) {
                let finding = Finding::at_most(check, &case.name, &bench.names[at], value, limit);
                known = known.max(largest_counting(std::slice::from_ref(&finding)));
                findings.push(finding);
            }
        }
    }
    findings
}

/// The largest utilisation of some findings that count.
fn largest_counting(findings: &[Finding]) -> f64 {
    findings.iter().filter(|finding| finding.counts()).map(|finding| finding.utilisation).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::super::outcome::outcome_of_cases;
    use super::super::second_order::second_order;
    use super::super::{judge, prepare, respond};
    use super::*;
    use crate::checks::counting;
    use crate::math::largest;
    use crate::model::load_all;
    use crate::source::Document;
    use crate::structure::Purpose;

    #[test]
    fn the_worst_of_each_case_of_the_demos_is_that_of_the_whole_verdict() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/models");
        let mut left_out = 0;
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let is_model = path.extension().is_some_and(|ending| ending == "json");
            if !is_model || path.ends_with("model.schema.json") {
                continue;
            }
            let document = Document::read(std::fs::read(&path).unwrap()).unwrap();
            let model = load_all(&document).unwrap().base;
            let prepared = prepare(&model, Purpose::Statics).unwrap();
            let response = respond(&model, &prepared, |_| true).unwrap();
            let mut outcome = outcome_of_cases(&model, &prepared, &response);
            outcome.second_order = second_order(&model, &prepared, &response, &outcome.modes, |_| false);
            let (all, few) = (
                judge(&model, &prepared, &response, &outcome).findings,
                governing(&model, &prepared, &response, &outcome),
            );
            for case in model.cases.keys() {
                let worst = |findings: &[Finding]| {
                    let of_case = findings.iter().filter(|finding| finding.case == *case).collect();
                    largest(counting(of_case), |finding| finding.utilisation).cloned()
                };
                assert_eq!(worst(&few), worst(&all), "{case} of {}", path.display());
            }
            left_out += all.len() - few.len();
        }
        assert!(left_out > 1000, "only {left_out} findings were left out");
    }
}
