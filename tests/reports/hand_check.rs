//! The arithmetic that the page prints for the governing tube, worked again from the print alone.

use crossbrace::checks::{Check, Finding, JointFailure};
use crossbrace::report::hand_check::{HandCheck, governing, of_page, of_tube};
use crossbrace::report::page::page;
use crossbrace::report::{Report, text};
use crossbrace::run::check;

use crate::support::{load, repository_file};

/// How far a calculator may be off.
const HALF_A_PER_CENT: f64 = 0.005;

/// The models whose pages are held.
const DEMOS: [&str; 12] = [
    "hillclimb-front-subframe",
    "hillclimb-rear-subframe",
    "sprint-buggy",
    "first-frame",
    "cantilever",
    "portal",
    "bench-frame",
    "fails-at-a-joint",
    "fails-at-a-rod-end",
    "fails-at-a-weld",
    "fails-by-buckling",
    "fails-by-fatigue",
];

/// Numbers that a formula may have of its own: those of the clauses.
const CONSTANTS: [f64; 47] = [
    0.0, 0.024, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 0.81, 0.85, 0.9, 0.9382, 1.0, 1.2, 1.25, 1.3, 1.33, 1.4, 1.8, 2.0,
    2.7, 2.8, 3.0, 3.46, 4.0, 4.85, 5.0, 5.2, 8.9, 10.0, 10.2, 12.0, 14.2, 32.0, 42.0, 64.0, 90.0, 235.0, 210_000.0,
    2e6, 5e6, 15.0, 18.0, 30.7, 250.0, 0.45,
];

/// Runs something on the report of a demo.
fn with_report<T>(demo: &str, of: impl Fn(&Report<'_>) -> T) -> T {
    let text = std::fs::read_to_string(repository_file(&format!("models/{demo}.json"))).unwrap();
    with_report_of(&text, of)
}

fn with_report_of<T>(text: &str, of: impl Fn(&Report<'_>) -> T) -> T {
    let model = load(text).base;
    let checked = check(&model, |_| true).unwrap_or_else(|faults| panic!("{faults:#?}"));
    of(&Report {
        file: "frame.json",
        sha256: "",
        option: None,
        model: &model,
        prepared: &checked.prepared,
        response: &checked.response,
        outcome: &checked.outcome,
        verdict: &checked.verdict,
        unknowns: None,
        positions: checked.positions.as_ref(),
        notes: &checked.notes(),
    })
}

/// Works a check again from its lines: every result from the figures before it, every figure from a
/// line above. Gives the last result, and how many lines were worked.
fn worked(check: &HandCheck) -> Result<(f64, usize), String> {
    let mut known: Vec<f64> = Vec::new();
    let mut lines = 0;
    let mut last = f64::NAN;
    for line in &check.lines {
        let parts: Vec<&str> = line.split(" = ").collect();
        let (result, figures) = match parts.as_slice() {
            [_, result] => (result, None),
            [_, _, figures, result] => (result, Some(figures)),
            _ => return Err(format!("neither given nor worked: {line}")),
        };
        let result = result.split([' ', ',']).next().unwrap_or_default();
        last = result.parse().map_err(|_| format!("no result: {line}"))?;
        if let Some(figures) = figures {
            let mut sum = Sum::new(figures);
            let value = sum.whole().ok_or_else(|| format!("cannot be worked: {line}"))?;
            if (value - last).abs() > HALF_A_PER_CENT * last.abs() {
                return Err(format!("gives {value}: {line}"));
            }
            for number in sum.numbers {
                let is_constant = CONSTANTS.contains(&number);
                if !is_constant && !known.iter().any(|known| known.abs() == number) {
                    return Err(format!("{number} is on no line above: {line}"));
                }
            }
            lines += 1;
        }
        known.push(last);
    }
    Ok((last, lines))
}

/// A sum as it is printed: numbers, π, + − × / ^, roots, exp and brackets.
struct Sum<'s> {
    rest: &'s str,
    numbers: Vec<f64>,
}

impl<'s> Sum<'s> {
    fn new(text: &'s str) -> Self {
        Sum { rest: text, numbers: Vec::new() }
    }

    fn takes(&mut self, sign: &str) -> bool {
        self.rest = self.rest.trim_start();
        let found = self.rest.strip_prefix(sign);
        self.rest = found.unwrap_or(self.rest);
        found.is_some()
    }

    fn whole(&mut self) -> Option<f64> {
        let value = self.sum()?;
        self.rest.trim().is_empty().then_some(value)
    }

    fn sum(&mut self) -> Option<f64> {
        let mut value = self.product()?;
        loop {
            if self.takes("+") {
                value += self.product()?;
            } else if self.takes("−") {
                value -= self.product()?;
            } else {
                return Some(value);
            }
        }
    }

    fn product(&mut self) -> Option<f64> {
        let mut value = self.power()?;
        loop {
            if self.takes("×") {
                value *= self.power()?;
            } else if self.takes("/") {
                value /= self.power()?;
            } else {
                return Some(value);
            }
        }
    }

    fn power(&mut self) -> Option<f64> {
        let base = self.one()?;
        if self.takes("^") { Some(base.powf(self.one()?)) } else { Some(base) }
    }

    fn one(&mut self) -> Option<f64> {
        if self.takes("√(") {
            return self.bracket().map(f64::sqrt);
        }
        if self.takes("exp(") {
            return self.bracket().map(f64::exp);
        }
        if self.takes("(") {
            return self.bracket();
        }
        if self.takes("π") {
            return Some(std::f64::consts::PI);
        }
        if self.takes("-") {
            return self.one().map(|value| -value);
        }
        let mut end = 0;
        for (at, letter) in self.rest.char_indices() {
            let in_exponent = letter == '-' && self.rest[..at].ends_with('e');
            if !(letter.is_ascii_digit() || letter == '.' || letter == 'e' || in_exponent) {
                break;
            }
            end = at + letter.len_utf8();
        }
        let value = self.rest[..end].parse().ok()?;
        self.numbers.push(value);
        self.rest = &self.rest[end..];
        Some(value)
    }

    fn bracket(&mut self) -> Option<f64> {
        let value = self.sum()?;
        self.takes(")").then_some(value)
    }
}

/// Holds checks against the verdict; gives what they are.
#[track_caller]
fn hold(report: &Report<'_>, checks: &[HandCheck]) -> Vec<Check> {
    for check in checks {
        let (result, lines) = worked(check).unwrap_or_else(|why| panic!("{}\n{why}\n{:#?}", check.title, check.lines));
        assert!(lines >= 3, "{}: {lines} lines", check.title);
        let is_of = |finding: &&Finding| {
            finding.is_as_drawn()
                && (finding.check, finding.case.as_str(), finding.place.as_str())
                    == (check.check, check.case.as_str(), check.place.as_str())
        };
        let found =
            report.verdict.findings.iter().find(is_of).unwrap_or_else(|| panic!("no finding for {}", check.title));
        let off = (result - found.utilisation).abs();
        assert!(off <= HALF_A_PER_CENT * found.utilisation, "{}: {result}, not {}", check.title, found.utilisation);
    }
    checks.iter().map(|check| check.check).collect()
}

#[test]
fn a_calculator_follows_the_page_of_every_demo_to_half_a_per_cent() {
    let mut all = Vec::new();
    for demo in DEMOS {
        all.extend(with_report(demo, |report| {
            let checks = of_page(report);
            assert!(governing(report).is_some() && checks.len() >= 2, "{demo}");
            let worked = hold(report, &checks);
            // The worst of each kind of strength that is judged is shown.
            for check in [Check::Joint, Check::Weld, Check::RodEnd, Check::Bolts, Check::Fatigue] {
                let worst = report.verdict.worst_first().into_iter().find(|it| it.check == check && it.is_as_drawn());
                let is_shown = |place: &str| checks.iter().any(|shown| shown.check == check && shown.place == place);
                assert!(worst.is_none_or(|worst| is_shown(&worst.place)), "{demo}: {worst:?}");
            }
            let page = page(report, &[], "");
            for line in checks.iter().flat_map(|check| &check.lines) {
                assert!(page.contains(&format!("<li>{line}</li>")), "{demo}: {line}");
            }
            worked
        }));
    }
    for check in [Check::Joint, Check::Weld, Check::RodEnd, Check::Fatigue] {
        assert!(all.contains(&check), "{check:?}");
    }
}

#[test]
fn a_calculator_follows_any_tube_in_any_case() {
    for demo in ["hillclimb-front-subframe", "sprint-buggy"] {
        with_report(demo, |report| {
            let mut columns = 0;
            for (case, tubes) in &report.verdict.tubes {
                for (tube, judged) in tubes {
                    hold(report, &of_tube(report, case, tube));
                    columns += usize::from(judged.column.is_some());
                }
            }
            assert!(columns > 20, "{demo}: {columns} columns");
        });
    }
}

#[test]
fn a_calculator_follows_every_kind_of_section() {
    for section in [
        r#""square": {"side": 30, "wall": 2}"#,
        r#""rect": {"width": 50, "depth": 30, "wall": 3}"#,
        r#""bar": {"od": 20}"#,
        r#""flat": {"width": 12, "thickness": 40}"#,
        r#""given": {"a": 300, "iy": 40000, "iz": 30000, "j": 50000, "cy": 20, "cz": 18, "ct": 2500, "ay": 150, "az": 140}"#,
    ] {
        let model = format!(
            r#"{{
                "format": 1,
                "tubes": {{"t": {{{section}, "material": "S355J2H"}}}},
                "nodes": {{"A": [0, 0, 0], "B": [700, 0, 0]}},
                "members": {{"AB": {{"ends": ["A", "B"], "tube": "t"}}}},
                "mounts": {{"A": "bolted pad"}},
                "cases": {{"push": {{"forces": {{"B": [-3000, 120, -200]}}, "moments": {{"B": [60, 0, 0]}}}}}}
            }}"#
        );
        with_report_of(&model, |report| {
            assert!(hold(report, &of_tube(report, "push", "AB")).len() >= 2, "{section}");
            let told = text::by_hand(report, "push", "AB", 80);
            assert!(told.contains("\n  utilisation = σ_v × margin / f = "), "{told}");
            assert!(told.contains("Column of AB"), "{told}");
        });
    }
}

#[test]
fn a_calculator_follows_a_flat_that_gives_way_sideways_in_its_frame() {
    let told = |force: f64, joint: &str, supports: &str| {
        let model = format!(
            r#"{{
                "format": 1,
                "tubes": {{"t": {{"flat": {{"width": 60, "thickness": 3}}, "material": "S355J2H"}}}},
                "nodes": {{"A": [0, 0, 0], "B": [700, 0, 0]}},
                "members": {{"AB": {{"ends": ["A", "B"], "tube": "t", "joint": "{joint}"}}}},
                "brackets": {{"tab": {{"at": [700, 20, 0], "on": "B"}}}},
                "mounts": {{"A": "bolted pad"{supports}}},
                "cases": {{"push": {{"forces": {{"tab": [-20, {force}, 0]}}, "line_loads": {{"AB": [0, 0.02, 0]}}}}}}
            }}"#
        );
        with_report_of(&model, |report| {
            assert!(hold(report, &of_tube(report, "push", "AB")).contains(&Check::Lateral));
            text::by_hand(report, "push", "AB", 80)
        })
    };
    assert!(told(-100.0, "weld", "").contains("M_cr = λ × M_Ed"));
    assert!(told(-5.0, "weld", "").contains("N·mm at least"));
    assert!(told(0.0, "rod-end", r#", "B": "bolted pad""#).contains("lies over"));
}

/// A chord along x with tubes welded onto its middle, and the joints' failures that were worked.
fn joints(chord: &str, braces: &[(&str, [f64; 3])], force: [f64; 3]) -> Vec<JointFailure> {
    with_report_of(&chord_of(chord, braces, force, ""), |report| {
        let mut failures = Vec::new();
        for (tube, judged) in &report.verdict.tubes["push"] {
            let worked = hold(report, &of_tube(report, "push", tube));
            if let Some(joint) = &judged.joint {
                assert!(worked.contains(&Check::Joint), "{tube}");
                failures.extend(joint.result.failures);
            }
        }
        failures
    })
}

/// Such a chord as a model; `more` goes after the forces on the braces' ends.
fn chord_of(chord: &str, braces: &[(&str, [f64; 3])], force: [f64; 3], more: &str) -> String {
    let mut nodes = String::new();
    let mut members = String::new();
    let mut forces = String::new();
    let mut tubes = String::new();
    for (at, (size, end)) in braces.iter().enumerate() {
        nodes.push_str(&format!(r#", "E{at}": [{}, {}, {}]"#, end[0], end[1], end[2]));
        members.push_str(&format!(r#", "brace {at}": {{"ends": ["M", "E{at}"], "tube": "b{at}"}}"#));
        tubes.push_str(&format!(r#", "b{at}": {{{size}, "material": "S355J2H"}}"#));
        let sign = if at == 0 { 1.0 } else { -0.3 };
        let [x, y, z] = force.map(|part| part * sign);
        forces.push_str(&format!(r#"{}"E{at}": [{x}, {y}, {z}]"#, if at == 0 { "" } else { ", " }));
    }
    format!(
        r#"{{
            "format": 1,
            "tubes": {{"c": {{{chord}, "material": "S355J2H"}}{tubes}}},
            "nodes": {{"A": [-400, 0, 0], "M": [0, 0, 0], "B": [400, 0, 0]{nodes}}},
            "members": {{"chord": {{"through": ["A", "M", "B"], "tube": "c"}}{members}}},
            "mounts": {{"A": "bolted pad", "B": "bolted pad"}},
            "cases": {{"push": {{"forces": {{{forces}{more}}}}}}}
        }}"#
    )
}

#[test]
fn a_calculator_follows_the_resistance_of_every_kind_of_joint() {
    let round = r#""round": {"od": 60.3, "wall": 4}"#;
    let thick = r#""round": {"od": 33.7, "wall": 3.2}"#;
    let wide = r#""round": {"od": 60.3, "wall": 3.2}"#;
    let square = r#""square": {"side": 80, "wall": 4}"#;
    let narrow = r#""square": {"side": 40, "wall": 4}"#;
    let (up, down) = ([0.0, 0.0, 300.0], [0.0, 0.0, -300.0]);
    let (fore, aft) = ([250.0, 0.0, 250.0], [-250.0, 0.0, 250.0]);
    let aside = [0.0, 300.0, 0.0];
    let push = [150.0, 200.0, -4000.0];
    let mut seen = Vec::new();
    for (chord, sizes) in [
        (round, vec![thick, wide]),
        (square, vec![narrow, r#""square": {"side": 80, "wall": 3}"#, r#""square": {"side": 72, "wall": 5}"#, thick]),
        (r#""rect": {"width": 60, "depth": 120, "wall": 4}"#, vec![r#""square": {"side": 60, "wall": 4}"#]),
    ] {
        for size in sizes {
            for ends in [vec![up], vec![up, down], vec![fore, aft], vec![up, aside], vec![fore]] {
                let braces: Vec<(&str, [f64; 3])> = ends.into_iter().map(|end| (size, end)).collect();
                seen.extend(joints(chord, &braces, push));
                seen.extend(joints(chord, &braces, push.map(|part| -part)));
            }
        }
    }
    let apart = [[320.0, 0.0, 250.0], [-320.0, 0.0, 250.0]].map(|end| (narrow, end));
    seen.extend(joints(r#""square": {"side": 60, "wall": 4}"#, &apart, push));
    // Feet that pass each other across a tall box.
    let passing = [fore, fore.map(|part| -part)].map(|end| (r#""square": {"side": 60, "wall": 5}"#, end));
    seen.extend(joints(r#""rect": {"width": 60, "depth": 120, "wall": 4}"#, &passing, push.map(|part| -part)));
    // A chord that is pulled hard through the gap between two tubes, a box and a round one with a third tube aside.
    let hard = |braces: &[(&str, [f64; 3])], chord: &str| {
        with_report_of(&chord_of(chord, braces, [10.0, 0.0, 10.0], r#", "M": [400000, 0, 0]"#), |report| {
            let of_tube = of_tube(report, "push", "brace 0");
            hold(report, &of_tube);
            report.verdict.tubes["push"]["brace 0"].joint.as_ref().map(|joint| joint.result.failure)
        })
    };
    for (chord, braces) in [
        (r#""square": {"side": 60, "wall": 4}"#, vec![(narrow, apart[0].1), (narrow, apart[1].1)]),
        (round, vec![(thick, fore), (thick, aft), (thick, aside)]),
    ] {
        assert_eq!(hard(&braces, chord), Some(JointFailure::ChordInGap), "{chord}");
    }
    for failure in [
        JointFailure::ChordFace,
        JointFailure::Punching,
        JointFailure::SideWall,
        JointFailure::ChordShear,
        JointFailure::Distortion,
        JointFailure::Brace,
    ] {
        assert!(seen.contains(&failure), "{failure:?}");
    }
}

#[test]
fn a_calculator_follows_bolts_whose_direction_is_told_and_whose_is_not() {
    for bolts in [
        r#"{"size": "M10", "grade": "8.8", "count": 2, "pitch": 60, "along": [0, 0, 1]}"#,
        r#"{"size": "M10", "grade": "8.8", "count": 2, "pitch": 60}"#,
        r#"{"size": "M8", "grade": "10.9", "count": 4, "along": [1, 0, 0]}"#,
    ] {
        let model = format!(
            r#"{{
                "format": 1,
                "tubes": {{"t": {{"round": {{"od": 40, "wall": 3}}, "material": "S355J2H"}}}},
                "nodes": {{"A": [0, 0, 0], "B": [700, 0, 0]}},
                "members": {{"AB": {{"ends": ["A", "B"], "tube": "t"}}}},
                "mounts": {{"A": {{"hold": "bolted pad", "bolts": {bolts}}}}},
                "cases": {{"push": {{"forces": {{"B": [-3000, 120, -200]}}}}}}
            }}"#
        );
        with_report_of(&model, |report| {
            assert!(hold(report, &of_page(report)).contains(&Check::Bolts), "{bolts}");
        });
    }
}

#[test]
fn a_wrong_result_and_a_figure_from_nowhere_are_seen() {
    let check = |lines: &[&str]| {
        let lines = lines.iter().map(|line| (*line).to_owned()).collect();
        worked(&HandCheck {
            check: Check::Yield,
            case: String::new(),
            place: String::new(),
            title: String::new(),
            lines,
        })
    };
    assert_eq!(check(&["D = 40 mm", "A = π × D² / 4 = π × 40^2 / 4 = 1256.64 mm²"]), Ok((1256.64, 1)));
    assert!(
        check(&["D = 40 mm", "A = π × D² / 4 = π × 40^2 / 4 = 1266.64 mm²"]).unwrap_err().starts_with("gives 1256")
    );
    assert!(check(&["A = π × D² / 4 = π × 40^2 / 4 = 1256.64 mm²"]).unwrap_err().starts_with("40 is on no line above"));
    assert!(check(&["D = 40 mm", "A = D = 40 ) = 40 mm"]).unwrap_err().starts_with("cannot be worked"));
    let value = |text: &str| Sum::new(text).whole();
    assert_eq!(value("2 + 3 × (-4) − 8 / 2^2 / 2"), Some(-11.0));
    assert_eq!(value("√(3^2 + 16) × 1e-3"), Some(0.005));
    assert_eq!(value("2 +"), None);
}
