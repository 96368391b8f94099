//! What moves the worst: a bar for each quantity alone, from the worst at its one end to that at its other, and
//! above them what all draws spread over.

use super::letters::{LARGE, SMALL, fit};
use super::paper::{Area, Paper};
use super::pen::{Broken, GREY, INK, NARROW, Stroke, VERMILION, tone};
use super::sheet::{Title, UPRIGHT_BORDER, put, put_middle, put_right, tube, upright_frame};
use crate::report::scatter::{ScatterReport, in_short, quantity_name};
use crate::report::words::with_option;
use crate::studies::scatter::{Scatter, Solved, Turned};
use crate::units::decimals;

/// Height of a row, 0.1 mm.
const ROW: i32 = 56;
/// Where the rows begin and end, 0.1 mm.
const ROWS: (i32, i32) = (400, 2600);
const NAMES: i32 = UPRIGHT_BORDER.left + 20;
/// Where the spreads end, and the shares.
const SPREADS: i32 = 930;
const SHARES: i32 = 1060;
/// Where bars stand.
const BARS: Area = Area::new(1130, ROWS.0, 1960, ROWS.1);

/// The sheet as SVG, A4 upright.
pub fn scatter_bars(report: &ScatterReport<'_>, date: &str) -> String {
    let scatter = report.scatter;
    let mut paper = Paper::portrait();
    let title = Title {
        title: report.about.model.title.clone().unwrap_or_else(|| report.about.file.to_owned()),
        shows: with_option("What moves the worst", report.about.option),
        verdict: in_short(report),
        scale: String::new(),
        movement: String::new(),
        date: date.to_owned(),
        sheet: (1, 1),
        first_angle: false,
    };
    upright_frame(&mut paper, &title);
    put(&mut paper, "What moves the worst utilisation", (NAMES, UPRIGHT_BORDER.top + 25), LARGE);
    let remarks = [
        "bar: from one end of the quantity to the other, all else as drawn; grey: less, tone: more than as drawn",
        "line: as drawn; red line: the limit; %: part of the variance of all draws that the quantity explains alone",
    ];
    for (line, remark) in remarks.into_iter().enumerate() {
        put(&mut paper, remark, (NAMES, UPRIGHT_BORDER.top + 105 + 48 * line as i32), SMALL);
    }
    put_right(&mut paper, "off by", (SPREADS, ROWS.0 - 55), SMALL);
    put_right(&mut paper, "%", (SHARES, ROWS.0 - 55), SMALL);
    let room = usize::try_from((ROWS.1 - ROWS.0) / ROW).unwrap_or(3) - 2;
    let mut order = scatter.by_what_moves();
    let left_out = order.len().saturating_sub(room);
    order.truncate(room);
    let chart = Chart::of(scatter, &order);
    let bottom = ROWS.0 + ROW * (order.len() as i32 + 1);
    chart.grid(&mut paper, bottom);
    chart.draws(&mut paper, ROWS.0);
    for (place, at) in order.iter().enumerate() {
        chart.row(&mut paper, *at, ROWS.0 + ROW * (place as i32 + 1));
    }
    let drawn = chart.x(scatter.as_drawn.worst());
    paper.line(vec![(drawn, ROWS.0 - 8), (drawn, bottom)], NARROW + 1, INK);
    if left_out > 0 {
        put(&mut paper, &format!("and {left_out} more that move it less"), (NAMES, bottom + 12), SMALL);
    }
    paper.svg()
}

struct Chart<'r> {
    scatter: &'r Scatter,
    least: f64,
    most: f64,
    step: f64,
}

impl<'r> Chart<'r> {
    fn of(scatter: &'r Scatter, order: &[usize]) -> Self {
        let ends = order.iter().flat_map(|at| scatter.turned[*at].solved().map(Solved::worst));
        let spreads = scatter.limits.first().filter(|_| scatter.solved > 0).map(|any| any.spreads);
        let draws = spreads.into_iter().flat_map(|of| [of.low, of.high]);
        let all: Vec<f64> = ends.chain(draws).chain([scatter.as_drawn.worst()]).collect();
        let least = all.iter().copied().fold(f64::INFINITY, f64::min);
        let most = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let step = step((most - least).max(0.02 * most.abs()).max(1e-3));
        Chart { scatter, least: (least / step).floor() * step, most: (most / step).ceil() * step, step }
    }

    fn x(&self, value: f64) -> i32 {
        let part = (value - self.least) / (self.most - self.least).max(1e-12);
        BARS.left + (f64::from(BARS.width()) * part.clamp(0.0, 1.0) + 0.5) as i32
    }

    fn grid(&self, paper: &mut Paper, bottom: i32) {
        let steps = ((self.most - self.least) / self.step + 0.5) as i32;
        let digits = if self.step < 0.01 {
            3
        } else if self.step < 0.1 {
            2
        } else {
            1
        };
        for step in 0..=steps {
            let value = self.least + f64::from(step) * self.step;
            let x = self.x(value);
            put_middle(paper, &decimals(value, digits), (x, ROWS.0 - 55), SMALL);
            paper.lines(Broken::Dashed.cut(&[(x, ROWS.0 - 8), (x, bottom)]), NARROW, GREY);
        }
        if self.least < 1.0 && 1.0 < self.most {
            let x = self.x(1.0);
            paper.line(vec![(x, ROWS.0 - 8), (x, bottom)], NARROW + 2, VERMILION);
        }
    }

    /// The row of all draws: from 5 to 95 %.
    fn draws(&self, paper: &mut Paper, top: i32) {
        let Some(any) = self.scatter.limits.first().filter(|_| self.scatter.solved > 0) else { return };
        put(paper, "all together, 5 to 95 % of the draws", (NAMES, top + 10), SMALL);
        self.bar(paper, [any.spreads.low, any.spreads.high], top);
        let middle = self.x(any.spreads.middle);
        paper.line(vec![(middle, top + 8), (middle, top + ROW - 8)], NARROW + 2, INK);
        paper.line(vec![(NAMES, top + ROW - 2), (BARS.right, top + ROW - 2)], NARROW, INK);
    }

    fn row(&self, paper: &mut Paper, at: usize, top: i32) {
        let (quantity, turned) = (&self.scatter.asked.quantities[at], &self.scatter.turned[at]);
        let spread = quantity.spread_in_words();
        let spread = fit(&spread, SMALL, 430);
        let room = SPREADS - NAMES - super::letters::width(&spread, SMALL) - 20;
        put(paper, &fit(&quantity_name(quantity, turned), SMALL, room), (NAMES, top + 10), SMALL);
        put_right(paper, &spread, (SPREADS, top + 10), SMALL);
        let share = self.scatter.figures.first().and_then(|figure| figure.explained.get(at));
        if let Some(share) = share {
            put_right(paper, &decimals(100.0 * share.max(0.0), 1), (SHARES, top + 10), SMALL);
        }
        self.ends(paper, turned, top);
    }

    fn ends(&self, paper: &mut Paper, turned: &Turned, top: i32) {
        let ends: Vec<f64> = turned.solved().map(Solved::worst).collect();
        if ends.len() < 2 {
            put(paper, "no answer at an end", (BARS.left + 10, top + 10), SMALL);
        }
        let drawn = self.scatter.as_drawn.worst();
        let all = || ends.iter().copied().chain([drawn]);
        self.bar(paper, [all().fold(drawn, f64::min), all().fold(drawn, f64::max)], top);
    }

    /// A bar: grey below what is as drawn, a tone above.
    fn bar(&self, paper: &mut Paper, [low, high]: [f64; 2], top: i32) {
        let drawn = self.scatter.as_drawn.worst();
        let y = top + ROW / 2;
        for (from, to, colour) in [(low, drawn.min(high), GREY), (drawn.max(low), high, tone(0.8))] {
            let (from, to) = (self.x(from), self.x(to));
            if to - from > 1 {
                tube(paper, vec![(from, y), (to, y)], &Stroke { width: 30, colour, core: 0 });
            }
        }
    }
}

/// A step of the axis, 1, 2 or 5 times a power of ten: at most eight of them make the range.
fn step(range: f64) -> f64 {
    let power = 10_f64.powf((range / 8.0).log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|times| times * power)
        .find(|step| range / step <= 8.0)
        .unwrap_or(10.0 * power)
}
