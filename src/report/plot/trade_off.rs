//! Mass against stiffness: what each option costs, which ones nothing beats, and the limit.

use super::drawing::{label, no_room};
use super::drawn::Board;
use super::forces::round_below;
use super::label::{LabelSpot, Wish};
use super::letters::SMALL;
use super::paper::{Align, Area, Dot, Text};
use super::pen::{Broken, GREY, INK, NARROW, VERMILION, WIDE, round};
use super::sheet::{Title, frame, put_middle, put_right};
use super::view::Look;
use crate::source::name_list;
use crate::studies::unbeaten;
use crate::units::{decimals, decimals_for, figures};

/// A frame among others: what it weighs, and how stiff it is or how far it moves.
#[derive(Debug, Clone, PartialEq)]
pub struct TradePoint {
    /// What it is called.
    pub name: String,
    /// Mass, kg.
    pub mass_kg: f64,
    /// The figure that mass is held against.
    pub value: f64,
}

/// What mass is held against.
#[derive(Debug, Clone, PartialEq)]
pub struct TradeFigure {
    /// Whose mass: `all tubes`, `the frame`.
    pub mass_of: &'static str,
    /// Its name: `Twist stiffness`.
    pub name: String,
    /// Its unit: `N·m/deg`.
    pub unit: String,
    /// Whether more of it is better.
    pub more_is_better: bool,
    /// The least (where more is better) or the most that is allowed.
    pub limit: Option<f64>,
}

/// Where the picture stands, 0.1 mm.
const CHART: Area = Area::new(330, 190, 2780, 1640);
/// Of more points than these only those are named that nothing beats.
const MOST_NAMED: usize = 40;
/// About how many numbers an axis gets.
const TICKS: f64 = 6.0;

/// Mass across, another figure up, every option named at its point, those that nothing beats
/// joined by a step line, the limit as a line with its value; as SVG. `without`: frames that have no
/// such figure, which the note names.
pub fn trade_off(title: &str, points: &[TradePoint], without: &[String], figure: &TradeFigure, date: &str) -> String {
    let mut board = Board::new();
    let unbeaten_means = if figure.more_is_better { "as much of it" } else { "as little of it" };
    let title = Title {
        title: title.to_owned(),
        shows: format!("Mass and {}", figure.name.to_lowercase()),
        verdict: format!("Full points are unbeaten: no other is as light and has {unbeaten_means}."),
        scale: String::new(),
        movement: String::new(),
        date: date.to_owned(),
        sheet: (1, 1),
        first_angle: false,
    };
    frame(&mut board.paper, &title);
    let x = Axis::of(points.iter().map(|point| point.mass_kg), (CHART.left, CHART.right));
    let y = Axis::of(points.iter().map(|point| point.value).chain(figure.limit), (CHART.bottom, CHART.top));
    let chart = Chart { x, y };
    chart.axes(&mut board, figure);
    if let Some(limit) = figure.limit {
        chart.limit(&mut board, limit, figure);
    }
    let front =
        unbeaten(&points.iter().map(|point| (point.mass_kg, point.value)).collect::<Vec<_>>(), figure.more_is_better);
    chart.steps(&mut board, points, &front);
    let dots: Vec<Dot> = points.iter().map(|point| chart.dot(point.mass_kg, point.value)).collect();
    for (dot, unbeaten) in dots.iter().zip(&front) {
        if *unbeaten {
            board.paper.disc(*dot, 14, INK);
        } else {
            board.paper.disc(*dot, 13, super::pen::WHITE);
            board.paper.ring(*dot, 13, NARROW + 1, INK);
        }
        board.room.take(&Area::new(dot.0 - 15, dot.1 - 15, dot.0 + 15, dot.1 + 15));
    }
    // What nothing beats is named first, and alone where there are many.
    let (first, beaten): (Vec<usize>, Vec<usize>) = (0..points.len()).partition(|at| front[*at]);
    let names_beaten = points.len() <= MOST_NAMED;
    let named = first.iter().chain(beaten.iter().filter(|_| names_beaten));
    let wishes: Vec<Wish> = named
        .map(|at| {
            let (point, dot) = (&points[*at], &dots[*at]);
            let within = Area::new(CHART.left + 10, CHART.top - 60, CHART.right + 100, CHART.bottom - 10);
            Wish { text: point.name.clone(), spots: vec![LabelSpot { at: *dot, view: Look::Top, within, worse: 0.0 }] }
        })
        .collect();
    let left_out = label(&mut board, &wishes, CHART.width() / 2);
    let missing = match without {
        [] => String::new(),
        names => format!("Without such a figure, and not drawn: {}.", name_list(names.iter().map(String::as_str))),
    };
    let unnamed = if names_beaten { String::new() } else { format!("Open points: {} more.", beaten.len()) };
    let told = [unnamed, missing, no_room(&left_out)].into_iter().filter(|part| !part.is_empty());
    board.note(&told.collect::<Vec<_>>().join(" "));
    board.paper.svg()
}

/// An axis: from where to where, in the figure and on the paper, and its ticks.
struct Axis {
    from: f64,
    to: f64,
    step: f64,
    ends: (i32, i32),
}

impl Axis {
    /// An axis that holds some values with a little room, with round ticks.
    fn of(values: impl Iterator<Item = f64>, ends: (i32, i32)) -> Axis {
        let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
        for value in values {
            (least, most) = (least.min(value), most.max(value));
        }
        if least > most {
            (least, most) = (0.0, 1.0);
        }
        // Alike to the digits that are shown: a range that shows them in the middle.
        let span = (most - least).max(0.02 * most.abs()).max(1e-6);
        let step = round_above(span / TICKS);
        let from = ((least - 0.1 * span) / step).floor() * step;
        let to = ((most + 0.1 * span) / step).ceil() * step;
        Axis { from: if least >= 0.0 { from.max(0.0) } else { from }, to, step, ends }
    }

    fn place(&self, value: f64) -> f64 {
        let part = (value - self.from) / (self.to - self.from);
        f64::from(self.ends.0) + f64::from(self.ends.1 - self.ends.0) * part
    }

    fn ticks(&self) -> impl Iterator<Item = f64> {
        /// No range that has digits left asks for more.
        const MOST: f64 = 20.0;
        let count = ((self.to - self.from) / self.step + 0.5).min(MOST) as i32;
        (0..=count).map(|tick| self.from + f64::from(tick) * self.step)
    }

    /// A tick's number, with the digits that its step needs.
    fn text(&self, value: f64) -> String {
        decimals(value, decimals_for(self.step, 1))
    }
}

/// The least of 1, 2, 5 times a power of ten that is not below a value.
fn round_above(value: f64) -> f64 {
    let below = round_below(value);
    if below >= value * (1.0 - 1e-9) {
        return below;
    }
    // After 1 and 5 follows the double; after 2, whose double is none of these, 5.
    let double = round_below(2.0 * below);
    if double > 1.5 * below { double } else { round_below(2.5 * below) }
}

struct Chart {
    x: Axis,
    y: Axis,
}

impl Chart {
    fn dot(&self, mass_kg: f64, value: f64) -> Dot {
        round(self.x.place(mass_kg), self.y.place(value))
    }

    fn axes(&self, board: &mut Board, figure: &TradeFigure) {
        for tick in self.x.ticks() {
            let (x, _) = round(self.x.place(tick), 0.0);
            board.paper.line(vec![(x, CHART.bottom), (x, CHART.bottom + 14)], NARROW, INK);
            put_middle(&mut board.paper, &self.x.text(tick), (x, CHART.bottom + 22), SMALL);
        }
        for tick in self.y.ticks() {
            let (_, y) = round(0.0, self.y.place(tick));
            board.paper.line(vec![(CHART.left, y), (CHART.left - 14, y)], NARROW, INK);
            put_right(&mut board.paper, &self.y.text(tick), (CHART.left - 24, y - 18), SMALL);
        }
        let corner = [(CHART.left, CHART.top - 30), (CHART.left, CHART.bottom), (CHART.right + 30, CHART.bottom)];
        board.paper.line(corner.to_vec(), NARROW + 1, INK);
        put_right(
            &mut board.paper,
            &format!("Mass of {}, kg", figure.mass_of),
            (CHART.right + 30, CHART.bottom + 66),
            SMALL,
        );
        let better = if figure.more_is_better { "more is better" } else { "less is better" };
        let text = format!("{}, {} ({better})", figure.name, figure.unit);
        // Under the note.
        board.text_at(&text, (CHART.left - 200, CHART.top - 66));
    }

    fn limit(&self, board: &mut Board, limit: f64, figure: &TradeFigure) {
        let (_, y) = round(0.0, self.y.place(limit));
        let line = [(CHART.left, y), (CHART.right + 30, y)];
        board.paper.line(line.to_vec(), WIDE - 1, VERMILION);
        board.room.take_line(&line, WIDE);
        let word = if figure.more_is_better { "at least" } else { "at most" };
        let text = format!("limit: {word} {} {}", figures(limit, 3), figure.unit);
        // On the side where the limit is kept.
        let top = if figure.more_is_better { y - 48 } else { y + 12 };
        let at = (CHART.right + 30, top);
        let text = Text { text, at, align: Align::Right, size: SMALL, colour: INK, upwards: false };
        board.room.take(&text.area());
        board.paper.text(text);
    }

    /// From each unbeaten point across to the mass of the next, then up or down to it.
    fn steps(&self, board: &mut Board, points: &[TradePoint], front: &[bool]) {
        let mut best: Vec<&TradePoint> =
            points.iter().zip(front).filter(|(_, unbeaten)| **unbeaten).map(|(point, _)| point).collect();
        best.sort_by(|one, other| one.mass_kg.total_cmp(&other.mass_kg));
        let mut line: Vec<Dot> = Vec::new();
        for point in best {
            let dot = self.dot(point.mass_kg, point.value);
            if let Some(last) = line.last().copied() {
                line.push((dot.0, last.1));
            }
            line.push(dot);
        }
        if let Some(last) = line.last().copied() {
            line.push((CHART.right + 30, last.1));
        }
        board.room.take_line(&line, NARROW + 1);
        board.paper.lines(Broken::Dashed.cut(&line), NARROW + 1, GREY);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_hold_all_values() {
        let axis = Axis::of([11.93, 14.2, 13.0].into_iter(), (0, 1000));
        assert_eq!(axis.step, 0.5);
        assert!(axis.from <= 11.93 && axis.to >= 14.2);
        assert_eq!(axis.text(12.0), "12.0");
        let round = [0.1, 0.11, 0.2, 0.3, 0.5, 0.6, 7.0].map(round_above);
        assert_eq!(round, [0.1, 0.2, 0.2, 0.5, 0.5, 1.0, 10.0]);
        let alike = Axis::of([5.0, 5.0].into_iter(), (0, 1000));
        assert!(alike.from < 5.0 && alike.to > 5.0);
        assert!(Axis::of(std::iter::empty(), (0, 1000)).to > 0.0);
    }
}
