//! Why something is as it is: a bar for each thing that acts, from a common zero.

use super::letters::{LARGE, SMALL, fit};
use super::paper::{Area, Paper};
use super::pen::{GREY, INK, NARROW, Stroke, tone};
use super::sheet::{Title, UPRIGHT_BORDER, put, put_right, tube, upright_frame};
use crate::report::why::Explained;
use crate::report::words::with_option;
use crate::units::{decimals, decimals_for};

/// Height of a row, 0.1 mm.
const ROW: i32 = 56;
/// Where the rows begin and end, 0.1 mm.
const ROWS: (i32, i32) = (430, 2600);
const NAMES: i32 = UPRIGHT_BORDER.left + 20;
/// Where numbers end.
const NUMBERS: i32 = 1000;
/// Where bars stand.
const BARS: Area = Area::new(1040, ROWS.0, 2000, ROWS.1);

/// The parts of an answer as an SVG sheet of A4 upright.
pub fn why_bars(title: &str, answer: &Explained, sheet: (usize, usize), date: &str) -> String {
    let mut paper = Paper::portrait();
    let title = Title {
        title: title.to_owned(),
        shows: with_option(&format!("Why: {} of {}", answer.figure, answer.place), answer.option.as_deref()),
        verdict: format!("{}.", answer.sentence),
        scale: String::new(),
        movement: String::new(),
        date: date.to_owned(),
        sheet,
        first_angle: false,
    };
    upright_frame(&mut paper, &title);
    put(
        &mut paper,
        &format!("What makes the {} of {}", answer.figure, answer.place),
        (NAMES, UPRIGHT_BORDER.top + 25),
        LARGE,
    );
    let across = UPRIGHT_BORDER.right - NAMES - 20;
    for (line, remark) in answer.remarks().iter().enumerate() {
        put(&mut paper, &fit(remark, SMALL, across), (NAMES, UPRIGHT_BORDER.top + 105 + 48 * line as i32), SMALL);
    }
    put_right(&mut paper, answer.unit, (NUMBERS, ROWS.0 - 55), SMALL);
    let room = usize::try_from((ROWS.1 - ROWS.0) / ROW).unwrap_or(2) - 2;
    let chart = Chart::of(answer);
    let shown = answer.parts.len().min(room);
    for (place, (name, value)) in answer.parts[..shown].iter().enumerate() {
        chart.row(&mut paper, name, *value, ROWS.0 + ROW * place as i32);
    }
    let mut top = ROWS.0 + ROW * shown as i32;
    let rest: f64 = answer.parts[shown..].iter().map(|(_, value)| value).sum();
    if shown < answer.parts.len() {
        chart.row(&mut paper, &format!("{} smaller ones", answer.parts.len() - shown), rest, top);
        top += ROW;
    }
    paper.line(vec![(NAMES, top + 4), (BARS.right, top + 4)], NARROW, INK);
    chart.row(&mut paper, "together", answer.total, top + 8);
    paper.line(vec![(chart.zero, ROWS.0 - 8), (chart.zero, top + 8 + ROW)], NARROW + 1, INK);
    paper.svg()
}

struct Chart {
    zero: i32,
    per_unit: f64,
    digits: usize,
}

impl Chart {
    /// Zero lies left where all bars go right, else as far in as the longest bar to the left needs.
    fn of(answer: &Explained) -> Chart {
        let values = || answer.parts.iter().map(|(_, value)| *value).chain([answer.total]);
        let (least, most) = (values().fold(0.0, f64::min), values().fold(0.0, f64::max));
        let span = if most > least { most - least } else { 1.0 };
        let per_unit = f64::from(BARS.width()) / span;
        Chart { zero: BARS.left + (-least * per_unit) as i32, per_unit, digits: decimals_for(answer.largest(), 4) }
    }

    fn row(&self, paper: &mut Paper, name: &str, value: f64, top: i32) {
        put(paper, &fit(name, SMALL, NUMBERS - NAMES - 210), (NAMES, top + 10), SMALL);
        put_right(paper, &decimals(value, self.digits), (NUMBERS, top + 10), SMALL);
        let (y, end) = (top + ROW / 2, self.zero + (value * self.per_unit) as i32);
        let colour = if value < 0.0 { GREY } else { tone(0.8) };
        if (end - self.zero).abs() > 1 {
            let ends = vec![(self.zero.min(end), y), (self.zero.max(end), y)];
            tube(paper, ends, &Stroke { width: 30, colour, core: 0 });
        }
    }
}
