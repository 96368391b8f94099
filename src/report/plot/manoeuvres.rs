//! A map of manoeuvres: the governing utilisation over `long` and `lat`, where the car's abilities
//! end, the worst that was found, and the cases of the file.

use super::drawing::{label, no_room};
use super::drawn::Board;
use super::label::{LabelSpot, Wish};
use super::letters::SMALL;
use super::paper::{Area, Colour, Dot};
use super::pen::{INK, NARROW, VERMILION, WHITE, WIDE, round, tone};
use super::sheet::{LINE, Title, frame, put, put_middle, put_right};
use super::view::Look;
use crate::math::larger_than;
use crate::studies::worst::Map;
use crate::units::{brief, decimals, figures};
use plotters::style::RGBColor;

/// What is marked on the map.
#[derive(Debug, Clone, PartialEq)]
pub struct Marked {
    /// What it is called.
    pub name: String,
    /// `[long, lat]`, g.
    pub at_g: [f64; 2],
}

/// Where the map may stand, 0.1 mm.
const CHART: Area = Area::new(330, 200, 1810, 1680);
/// Upper left corner of the explanations.
const KEY: Dot = (2250, 200);

/// The map as SVG: `lat` across, `long` up. `worst` is what the verdict is about, `cases` those of the file.
pub fn manoeuvre_map(title: &str, verdict: &str, map: &Map, worst: &Marked, cases: &[Marked], date: &str) -> String {
    let mut board = Board::new();
    let title = Title {
        title: title.to_owned(),
        shows: format!("Utilisation of what is bounded, at vert {} g", figures(map.vert_g, 3)),
        verdict: verdict.to_owned(),
        scale: String::new(),
        movement: String::new(),
        date: date.to_owned(),
        sheet: (1, 1),
        first_angle: false,
    };
    frame(&mut board.paper, &title);
    let chart = Chart::of(map);
    chart.fields(&mut board, map);
    chart.axes(&mut board);
    for edge in &map.edges {
        let line: Vec<Dot> = edge.iter().map(|[long, lat]| chart.dot(*long, *lat)).collect();
        board.paper.line(line.clone(), WIDE, INK);
        board.room.take_line(&line, WIDE);
    }
    let within = Area::new(chart.area.left - 250, chart.area.top, chart.area.right + 400, chart.area.bottom);
    let mut wishes = Vec::new();
    for case in cases.iter().filter(|case| chart.holds(case.at_g)) {
        let dot = chart.dot(case.at_g[0], case.at_g[1]);
        board.paper.disc(dot, 14, WHITE);
        board.paper.ring(dot, 14, NARROW + 1, INK);
        board.room.take(&Area::new(dot.0 - 16, dot.1 - 16, dot.0 + 16, dot.1 + 16));
        wishes.push(wish(&case.name, dot, within));
    }
    let dot = chart.dot(worst.at_g[0], worst.at_g[1]);
    board.paper.disc(dot, 20, WHITE);
    board.paper.disc(dot, 16, VERMILION);
    board.room.take(&Area::new(dot.0 - 22, dot.1 - 22, dot.0 + 22, dot.1 + 22));
    wishes.insert(0, wish(&worst.name, dot, within));
    let left_out = label(&mut board, &wishes, 700);
    legend(&mut board, (KEY.0, KEY.1));
    let words = [
        "shown: yield, welds, rod-ends,",
        "movement, toe, camber",
        "not shown: joints, columns, walls,",
        "bolts, kerbs",
        "thick line: what grip and load allow",
        "full point: the worst of these found",
        "open points: cases of the file",
    ];
    for (line, words) in words.into_iter().enumerate() {
        put(&mut board.paper, words, (KEY.0, KEY.1 + 440 + LINE * line as i32), SMALL);
    }
    board.note(&no_room(&left_out));
    board.paper.svg()
}

fn wish(name: &str, at: Dot, within: Area) -> Wish {
    Wish { text: name.to_owned(), spots: vec![LabelSpot { at, view: Look::Top, within, worse: 0.0 }] }
}

/// Where one tint ends and the next begins, utilisation: above 1 the limit is passed.
const CLASSES: [f64; 6] = [0.25, 0.5, 0.75, 1.0, 2.0, 4.0];

/// The class of a utilisation.
fn class(utilisation: f64) -> usize {
    CLASSES.iter().position(|most| !larger_than(utilisation, *most)).unwrap_or(CLASSES.len())
}

/// The tint of a class, pale enough for words on it.
fn colour(class: usize) -> Colour {
    let mixed = |colour: Colour, part: f64| {
        let mix = |value: u8| round(255.0 + (f64::from(value) - 255.0) * part, 0.0).0.clamp(0, 255) as u8;
        RGBColor(mix(colour.0), mix(colour.1), mix(colour.2))
    };
    match class {
        0..4 => mixed(tone(class as f64 / 3.0), 0.45),
        above => mixed(VERMILION, 0.45 + 0.2 * (above - 4) as f64),
    }
}

/// The tints and what they mean.
fn legend(board: &mut Board, (left, top): Dot) {
    put(&mut board.paper, "Utilisation: load over limit", (left, top), SMALL);
    let mut words = Vec::new();
    for (at, most) in CLASSES.iter().enumerate() {
        let from = if at == 0 { 0.0 } else { CLASSES[at - 1] };
        words.push(format!("{} to {}", brief(from), brief(*most)));
    }
    words.push(format!("above {}", brief(CLASSES[CLASSES.len() - 1])));
    for (class, words) in words.iter().enumerate() {
        let y = top + 60 + 50 * class as i32;
        let corners = Area::new(left, y, left + 60, y + 40).outline();
        board.paper.fill(corners.clone(), colour(class));
        board.paper.line(corners, NARROW, INK);
        put(&mut board.paper, words, (left + 80, y + 4), SMALL);
    }
}

/// The map on the paper: as many tenths of a millimetre for each g along as across.
struct Chart {
    area: Area,
    /// The least `long` and `lat`, g.
    least: [f64; 2],
    most: [f64; 2],
    per_g: f64,
}

impl Chart {
    fn of(map: &Map) -> Chart {
        let [long, lat] = map.ranges;
        let (up, across) = (long.high - long.low, lat.high - lat.low);
        let per_g = (f64::from(CHART.width()) / across).min(f64::from(CHART.height()) / up);
        let (right, top) = round(f64::from(CHART.left) + across * per_g, f64::from(CHART.bottom) - up * per_g);
        let area = Area::new(CHART.left, top, right, CHART.bottom);
        Chart { area, least: [long.low, lat.low], most: [long.high, lat.high], per_g }
    }

    fn dot(&self, long: f64, lat: f64) -> Dot {
        round(
            f64::from(self.area.left) + (lat - self.least[1]) * self.per_g,
            f64::from(self.area.bottom) - (long - self.least[0]) * self.per_g,
        )
    }

    fn holds(&self, at_g: [f64; 2]) -> bool {
        (0..2).all(|at| self.least[at] <= at_g[at] && at_g[at] <= self.most[at])
    }

    /// Fields side by side of one class are one shape, so that no seams show.
    fn fields(&self, board: &mut Board, map: &Map) {
        let [long, lat] = map.ranges;
        let count = map.fields.len();
        let at = |low: f64, high: f64, place: usize| low + (high - low) * place as f64 / count as f64;
        for column in 0..count {
            let classes: Vec<Option<usize>> = map.fields.iter().map(|row| row[column].map(class)).collect();
            let mut from = 0;
            while from < count {
                let to = (from..count).find(|row| classes[*row] != classes[from]).unwrap_or(count);
                if let Some(class) = classes[from] {
                    let corner = |long_at: usize, lat_at: usize| {
                        self.dot(at(long.low, long.high, long_at), at(lat.low, lat.high, lat_at))
                    };
                    let (one, other) = (corner(column, from), corner(column + 1, to));
                    let corners = vec![one, (other.0, one.1), other, (one.0, other.1)];
                    board.paper.fill(corners, colour(class));
                }
                from = to;
            }
        }
    }

    fn axes(&self, board: &mut Board) {
        const STEP: f64 = 0.5;
        board.paper.line(self.area.outline(), NARROW, INK);
        let ticks = |least: f64, most: f64| {
            let first = (least / STEP).ceil() as i32;
            (first..).map(|tick| f64::from(tick) * STEP).take_while(move |tick| *tick <= most + 1e-9)
        };
        for lat in ticks(self.least[1], self.most[1]) {
            let (x, _) = self.dot(0.0, lat);
            board.paper.line(vec![(x, self.area.bottom), (x, self.area.bottom + 14)], NARROW, INK);
            put_middle(&mut board.paper, &decimals(lat, 1), (x, self.area.bottom + 20), SMALL);
        }
        for long in ticks(self.least[0], self.most[0]) {
            let (_, y) = self.dot(long, 0.0);
            board.paper.line(vec![(self.area.left, y), (self.area.left - 14, y)], NARROW, INK);
            put_right(&mut board.paper, &decimals(long, 1), (self.area.left - 24, y - 18), SMALL);
        }
        let below = self.area.bottom + 64;
        put_right(&mut board.paper, "lat, g: left bends positive", (self.area.right, below), SMALL);
        put(&mut board.paper, "long, g: braking negative", (self.area.left - 240, self.area.top - 70), SMALL);
    }
}
