//! The arithmetic that the page prints for the governing tube, worked again from the print alone.

use crossbrace::checks::Check;
use crossbrace::report::hand_check::{HandCheck, governing, of_tube};
use crossbrace::report::page::page;
use crossbrace::report::{Report, text};
use crossbrace::run::check;

use crate::support::{load, repository_file};

/// How far a calculator may be off.
const HALF_A_PER_CENT: f64 = 0.005;

/// The models whose pages are held.
const DEMOS: [&str; 7] = [
    "hillclimb-front-subframe",
    "hillclimb-rear-subframe",
    "sprint-buggy",
    "first-frame",
    "cantilever",
    "portal",
    "bench-frame",
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
                let is_constant =
                    [0.2, 0.5, 0.6, 0.8, 0.9, 1.0, 1.25, 2.0, 3.0, 4.0, 12.0, 42.0, 64.0, 90.0, 235.0, 210_000.0]
                        .contains(&number);
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

/// A sum as it is printed: numbers, π, + − × / ^, roots and brackets.
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

/// Holds the checks of a tube in a case against the verdict; gives how many.
#[track_caller]
fn hold(report: &Report<'_>, case: &str, tube: &str) -> usize {
    let checks = of_tube(report, case, tube);
    for check in &checks {
        let (result, lines) = worked(check).unwrap_or_else(|why| panic!("{}\n{why}\n{:#?}", check.title, check.lines));
        assert!(lines >= 3, "{}: {lines} lines", check.title);
        let found = report
            .verdict
            .findings
            .iter()
            .find(|finding| finding.check == check.check && finding.case == case && finding.place == tube)
            .unwrap_or_else(|| panic!("no finding for {}", check.title));
        let off = (result - found.utilisation).abs();
        assert!(off <= HALF_A_PER_CENT * found.utilisation, "{}: {result}, not {}", check.title, found.utilisation);
    }
    checks.len()
}

#[test]
fn a_calculator_follows_the_page_of_every_demo_to_half_a_per_cent() {
    for demo in DEMOS {
        with_report(demo, |report| {
            let (case, tube) = governing(report).unwrap_or_else(|| panic!("{demo}: no tube governs"));
            assert!(hold(report, case, tube) >= 2, "{demo}");
            let page = page(report, &[], "");
            for check in of_tube(report, case, tube) {
                for line in check.lines {
                    assert!(page.contains(&format!("<li>{line}</li>")), "{demo}: {line}");
                }
            }
        });
    }
}

#[test]
fn a_calculator_follows_any_tube_in_any_case() {
    for demo in ["hillclimb-front-subframe", "sprint-buggy"] {
        with_report(demo, |report| {
            let mut columns = 0;
            for (case, tubes) in &report.verdict.tubes {
                for (tube, judged) in tubes {
                    hold(report, case, tube);
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
        r#""flat": {"width": 40, "thickness": 12}"#,
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
            assert!(hold(report, "push", "AB") >= 2, "{section}");
            let told = text::by_hand(report, "push", "AB", 80);
            assert!(told.contains("\n  utilisation = σ_v × margin / f = "), "{told}");
            assert!(told.contains("Column of AB"), "{told}");
        });
    }
}

#[test]
fn a_wrong_result_and_a_figure_from_nowhere_are_seen() {
    let check = |lines: &[&str]| {
        let lines = lines.iter().map(|line| (*line).to_owned()).collect();
        worked(&HandCheck { check: Check::Yield, title: String::new(), lines })
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
