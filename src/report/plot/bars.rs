//! Bars: utilisation by tube and case, the worst tube first.
//!
//! One row a tube: its worst case as a bar from zero, and every case as a tone in its own column.

use super::letters::{LARGE, SMALL, fit};
use super::paper::{Align, Area, Paper, Text};
use super::pen::{Broken, GREY, INK, NARROW, Stroke, VERMILION, WHITE};
use super::sheet::{Title, UPRIGHT_BORDER, put, put_middle, put_right, ramp, tube, upright_frame};
use crate::checks::exceeds_limit;
use crate::math::{larger_than, largest_first};
use crate::report::Report;
use crate::report::words::with_option;
use crate::source::Named;
use crate::studies::frames::utilisations;
use crate::units::decimals;

/// Height of a row, 0.1 mm.
const ROW: i32 = 40;
/// Where the rows begin and end, where names and bars stand, where numbers end, and where the tones
/// stand, 0.1 mm.
const ROWS: (i32, i32) = (640, 2650);
const NAMES: i32 = UPRIGHT_BORDER.left + 20;
const BARS: (i32, i32) = (560, 1180);
const NUMBERS: i32 = 1265;
const TONES: (i32, i32) = (1290, 2010);
/// Widest and narrowest column of tones, 0.1 mm.
const COLUMN: (i32, i32) = (60, 36);
/// The axis ends here at least and at most.
const AXIS: (f64, f64) = (1.25, 3.0);

/// A tube with what it carries in each case.
struct Row {
    name: String,
    by_case: Vec<Option<f64>>,
    worst: f64,
}

/// Utilisation of every tube in every case, as SVG sheets of A4 upright.
pub fn utilisation_bars(report: &Report<'_>, date: &str) -> Vec<String> {
    let cases: Vec<&str> = report.verdict.tubes.keys().map(String::as_str).collect();
    let rows = rows(report, &cases);
    let a_page = usize::try_from((ROWS.1 - ROWS.0) / ROW).unwrap_or(1);
    let pages: Vec<&[Row]> = if rows.is_empty() { vec![&[]] } else { rows.chunks(a_page).collect() };
    let most = rows.first().map_or(0.0, |row| row.worst);
    let chart =
        Chart { report, columns: columns(&rows, cases.len()), cases, most: (most * 1.02).clamp(AXIS.0, AXIS.1) };
    let page = |(number, rows): (usize, &&[Row])| chart.page(rows, (number + 1, pages.len()), date);
    pages.iter().enumerate().map(page).collect()
}

/// All tubes that were judged, worst first; equals in the order of the file.
fn rows(report: &Report<'_>, cases: &[&str]) -> Vec<Row> {
    let by_case: Vec<Named<f64>> = cases.iter().map(|case| utilisations(report.verdict, case)).collect();
    let mut names: Vec<&String> = Vec::new();
    for name in by_case.iter().flat_map(Named::keys) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let rows = names.into_iter().map(|name| {
        let by_case: Vec<Option<f64>> = by_case.iter().map(|case| case.get(name).copied()).collect();
        let worst = by_case.iter().flatten().copied().fold(0.0, f64::max);
        Row { name: name.clone(), by_case, worst }
    });
    largest_first(rows, |row| row.worst)
}

/// The cases that get a column: all, or as many as there is room for, those that are worst for any
/// tube first.
fn columns(rows: &[Row], n_cases: usize) -> Vec<usize> {
    let room = usize::try_from((TONES.1 - TONES.0) / COLUMN.1).unwrap_or(0);
    let worst = |case: &usize| rows.iter().filter_map(|row| row.by_case[*case]).fold(0.0, f64::max);
    let mut columns = largest_first(0..n_cases, worst);
    columns.truncate(room);
    columns.sort_unstable();
    columns
}

struct Chart<'r> {
    report: &'r Report<'r>,
    cases: Vec<&'r str>,
    /// The cases that get a column.
    columns: Vec<usize>,
    /// Where the axis ends.
    most: f64,
}

impl Chart<'_> {
    fn x(&self, utilisation: f64) -> i32 {
        let part = (utilisation / self.most).min(1.0);
        BARS.0 + (f64::from(BARS.1 - BARS.0) * part + 0.5) as i32
    }

    fn page(&self, rows: &[Row], sheet: (usize, usize), date: &str) -> String {
        let mut paper = Paper::portrait();
        let report = self.report;
        let failing = rows.iter().filter(|row| exceeds_limit(row.worst)).count();
        let title = Title {
            title: report.model.title.clone().unwrap_or_else(|| report.file.to_owned()),
            shows: with_option(
                if report.positions.is_some() { "All cases, adjusters as drawn" } else { "All cases" },
                report.option,
            ),
            verdict: match failing {
                0 => "No tube on this sheet is above 1.".to_owned(),
                1 => "One tube on this sheet is above 1.".to_owned(),
                count => format!("{count} tubes on this sheet are above 1."),
            },
            scale: String::new(),
            movement: String::new(),
            date: date.to_owned(),
            sheet,
            first_angle: false,
        };
        upright_frame(&mut paper, &title);
        self.head(&mut paper);
        let bottom = ROWS.0 + ROW * rows.len() as i32;
        self.grid(&mut paper, bottom);
        for (place, row) in rows.iter().enumerate() {
            self.row(&mut paper, row, ROWS.0 + ROW * place as i32);
        }
        let one = self.x(1.0);
        paper.line(vec![(one, ROWS.0 - 8), (one, bottom)], NARROW + 1, INK);
        paper.svg()
    }

    fn head(&self, paper: &mut Paper) {
        put(paper, "Utilisation of each tube", (NAMES, UPRIGHT_BORDER.top + 25), LARGE);
        put(paper, "bar: its worst case", (NAMES, UPRIGHT_BORDER.top + 95), SMALL);
        put(paper, "tones: each case, the worst one framed", (NAMES, UPRIGHT_BORDER.top + 139), SMALL);
        put(paper, "a thin wall counts only where it fails", (NAMES, UPRIGHT_BORDER.top + 183), SMALL);
        let dropped = self.cases.len() - self.columns.len();
        if dropped > 0 {
            let text = format!("{dropped} cases have no column, the bars count them");
            put(paper, &text, (NAMES, UPRIGHT_BORDER.top + 227), SMALL);
        }
        ramp(paper, (NAMES, UPRIGHT_BORDER.top + 300));
        let across = self.column_width();
        for (place, case) in self.columns.iter().enumerate() {
            let x = TONES.0 + across * place as i32 + (across - SMALL) / 2;
            let text = fit(self.cases[*case], SMALL, ROWS.0 - UPRIGHT_BORDER.top - 60);
            let at = (x, ROWS.0 - 20);
            paper.text(Text { text, at, align: Align::Left, size: SMALL, colour: INK, upwards: true });
        }
    }

    fn column_width(&self) -> i32 {
        ((TONES.1 - TONES.0) / (self.columns.len().max(1) as i32)).clamp(COLUMN.1, COLUMN.0)
    }

    fn grid(&self, paper: &mut Paper, bottom: i32) {
        let steps = (self.most / 0.5 + 1e-9) as i32;
        for step in 0..=steps {
            let value = f64::from(step) * 0.5;
            let x = self.x(value);
            put_middle(paper, &decimals(value, 1), (x, ROWS.0 - 50), SMALL);
            if step == 0 {
                paper.line(vec![(x, ROWS.0 - 8), (x, bottom)], NARROW, INK);
            } else if step != 2 {
                paper.lines(Broken::Dashed.cut(&[(x, ROWS.0 - 8), (x, bottom)]), NARROW, GREY);
            }
        }
    }

    fn row(&self, paper: &mut Paper, row: &Row, top: i32) {
        put(paper, &fit(&row.name, SMALL, BARS.0 - NAMES - 20), (NAMES, top + 2), SMALL);
        let (y, end) = (top + ROW / 2, self.x(row.worst));
        let fails = exceeds_limit(row.worst);
        let stroke = Stroke { width: 24, core: if fails { 8 } else { 0 }, ..Stroke::of_utilisation(row.worst) };
        if end > BARS.0 {
            tube(paper, vec![(BARS.0, y), (end, y)], &stroke);
        }
        if row.worst > self.most {
            // Cut off: the bar is longer than the axis.
            for off in [40, 56] {
                paper.line(vec![(end - off - 6, y + 16), (end - off + 6, y - 16)], 6, WHITE);
            }
        }
        put_right(paper, &number(row.worst), (NUMBERS, top + 2), SMALL);
        self.tones(paper, row, top);
    }

    fn tones(&self, paper: &mut Paper, row: &Row, top: i32) {
        let across = self.column_width();
        let framed =
            self.columns.iter().position(|case| row.by_case[*case].is_some_and(|value| !larger_than(row.worst, value)));
        let cell = |place: usize| {
            let left = TONES.0 + across * place as i32;
            Area::new(left + 1, top + 1, left + across - 1, top + ROW - 1)
        };
        for (place, case) in self.columns.iter().enumerate() {
            let area = cell(place);
            match row.by_case[*case] {
                None => {}
                Some(value) if exceeds_limit(value) => {
                    paper.fill(area.outline(), VERMILION);
                    paper.fill(Area::new(area.left + 5, top + 15, area.right - 5, top + 25).outline(), WHITE);
                }
                Some(value) => paper.fill(area.outline(), super::pen::tone(value)),
            }
        }
        if let Some(place) = framed.filter(|_| row.worst > 0.0) {
            paper.line(cell(place).outline(), 4, INK);
        }
    }
}

/// A utilisation as it is written beside its bar.
fn number(value: f64) -> String {
    if value >= 1000.0 { "≥ 1000".to_owned() } else { decimals(value, 2) }
}
