//! A map of manoeuvres: the governing utilisation over `long` and `lat`, where the car's abilities
//! end, the worst that was found, and the cases of the file.

use super::drawing::{label, no_room};
use super::drawn::Board;
use super::label::{LabelSpot, Wish};
use super::letters::{SMALL, width};
use super::paper::{Area, Colour, Dot};
use super::pen::{INK, NARROW, VERMILION, WHITE, WIDE, round, tone};
use super::sheet::{LINE, Title, frame, put, put_middle, put_right};
use super::view::Look;
use crate::math::larger_than;
use crate::report::words::with_option;
use crate::studies::worst::Map;
use crate::units::{brief, decimals, decimals_for, figures};
use plotters::style::RGBColor;

/// What is marked on the map.
#[derive(Debug, Clone, PartialEq)]
pub struct Marked {
    /// What it is called.
    pub name: String,
    /// `[long, lat]`, g.
    pub at_g: [f64; 2],
}

/// What stands in the title block of the map.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MapHead<'h> {
    /// Title of the model.
    pub title: &'h str,
    /// The option whose change is in the model, if any.
    pub option: Option<&'h str>,
    /// The verdict in a few words.
    pub verdict: &'h str,
    /// The date.
    pub date: &'h str,
}

/// Where the map may stand, 0.1 mm.
const CHART: Area = Area::new(330, 200, 1810, 1680);
/// Upper left corner of the explanations.
const KEY: Dot = (2250, 200);

/// The map as SVG: `lat` across, `long` up. `worst` is what the verdict is about, `cases` those of the file.
pub fn manoeuvre_map(head: &MapHead<'_>, map: &Map, worst: &Marked, cases: &[Marked]) -> String {
    let MapHead { title, option, verdict, date } = *head;
    let mut board = Board::new();
    let title = Title {
        title: title.to_owned(),
        shows: with_option(&format!("Worst manoeuvres, vert {} g", figures(map.vert_g, 3)), option),
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
    let stretched = (!chart.is_square()).then_some("long and lat at different scales");
    for (line, words) in words.into_iter().chain(stretched).enumerate() {
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

/// The map on the paper.
struct Chart {
    area: Area,
    /// The least `long` and `lat`, g.
    least: [f64; 2],
    most: [f64; 2],
    /// How many tenths of a millimetre a g is, of `long` and of `lat`.
    per_g: [f64; 2],
}

/// The map is as wide and high as its ranges are, unless that leaves it narrower than this part of the room: then
/// each axis has a scale of its own.
const NARROWEST: f64 = 0.6;

impl Chart {
    fn of(map: &Map) -> Chart {
        let [long, lat] = map.ranges;
        let (up, across) = (long.high - long.low, lat.high - lat.low);
        let filling = [f64::from(CHART.height()) / up, f64::from(CHART.width()) / across];
        let least = filling[0].min(filling[1]);
        let is_narrow = filling.iter().any(|per_g| least < NARROWEST * per_g);
        let per_g = if is_narrow { filling } else { [least; 2] };
        let (right, top) = round(f64::from(CHART.left) + across * per_g[1], f64::from(CHART.bottom) - up * per_g[0]);
        let area = Area::new(CHART.left, top, right, CHART.bottom);
        Chart { area, least: [long.low, lat.low], most: [long.high, lat.high], per_g }
    }

    /// Whether a g of `long` is as long as one of `lat`.
    fn is_square(&self) -> bool {
        self.per_g[0] == self.per_g[1]
    }

    fn dot(&self, long: f64, lat: f64) -> Dot {
        round(
            f64::from(self.area.left) + (lat - self.least[1]) * self.per_g[1],
            f64::from(self.area.bottom) - (long - self.least[0]) * self.per_g[0],
        )
    }

    fn holds(&self, at_g: [f64; 2]) -> bool {
        (0..2).all(|at| self.least[at] <= at_g[at] && at_g[at] <= self.most[at])
    }

    /// Fields side by side of one class are one shape, and each reaches under what is drawn after it, so that no
    /// seams show.
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
                    const UNDER: i32 = 3;
                    let right = (other.0 + UNDER).min(self.area.right);
                    let top = (other.1 - UNDER).max(self.area.top);
                    let corners = vec![one, (right, one.1), (right, top), (one.0, top)];
                    board.paper.fill(corners, colour(class));
                }
                from = to;
            }
        }
    }

    fn axes(&self, board: &mut Board) {
        board.paper.line(self.area.outline(), NARROW, INK);
        board.room.take_line(&self.area.outline(), NARROW);
        for tick in Ticks::of(self.least[1], self.most[1]).all() {
            let (x, _) = self.dot(0.0, tick.at);
            board.paper.line(vec![(x, self.area.bottom), (x, self.area.bottom + 14)], NARROW, INK);
            put_middle(&mut board.paper, &tick.text, (x, self.area.bottom + 20), SMALL);
        }
        for tick in Ticks::of(self.least[0], self.most[0]).all() {
            let (_, y) = self.dot(tick.at, 0.0);
            board.paper.line(vec![(self.area.left, y), (self.area.left - 14, y)], NARROW, INK);
            let right = self.area.left - 24;
            put_right(&mut board.paper, &tick.text, (right, y - 18), SMALL);
            board.room.take(&Area::new(right - width(&tick.text, SMALL), y - 18, right, y - 18 + SMALL));
        }
        let below = self.area.bottom + 64;
        put_right(&mut board.paper, "lat, g: left bends positive", (self.area.right, below), SMALL);
        put(&mut board.paper, "long, g: braking negative", (self.area.left - 240, self.area.top - 70), SMALL);
    }
}

/// A number at an axis.
struct Tick {
    at: f64,
    text: String,
}

/// Round numbers along an axis.
struct Ticks {
    least: f64,
    most: f64,
    step: f64,
}

impl Ticks {
    /// Half a g apart, or closer where that leaves fewer than three.
    fn of(least: f64, most: f64) -> Ticks {
        let step = [0.5, 0.2, 0.1, 0.05, 0.02].into_iter().find(|step| most - least >= 2.0 * step).unwrap_or(0.01);
        Ticks { least, most, step }
    }

    fn all(&self) -> Vec<Tick> {
        let digits = decimals_for(self.step, 1);
        let first = (self.least / self.step - 1e-9).ceil() as i64;
        let ticks = (first..).map(|tick| tick as f64 * self.step).take_while(|at| *at <= self.most + 1e-9);
        /// More than any axis has room for.
        const MOST: usize = 400;
        ticks.take(MOST).map(|at| Tick { at, text: decimals(at, digits) }).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::Interval;

    fn chart(long: [f64; 2], lat: [f64; 2]) -> Chart {
        let ranges = [Interval::new(long[0], long[1]), Interval::new(lat[0], lat[1])];
        Chart::of(&Map { vert_g: 1.0, ranges, fields: Vec::new(), edges: Vec::new() })
    }

    #[test]
    fn a_map_of_narrow_ranges_fills_its_room() {
        let wide = chart([-1.5, 1.5], [-1.5, 1.5]);
        assert!(wide.is_square() && wide.area.width() == CHART.width());
        let less = chart([-1.2, 1.2], [-1.5, 1.5]);
        assert!(less.is_square() && less.area.height() < CHART.height());
        for narrow in [chart([-0.2, 0.0], [-1.5, 1.5]), chart([-1.5, 1.5], [0.0, 0.3])] {
            assert!(!narrow.is_square());
            assert_eq!((narrow.area.width(), narrow.area.height()), (CHART.width(), CHART.height()));
        }
    }

    #[test]
    fn a_short_axis_has_numbers_too() {
        let texts = |least, most| Ticks::of(least, most).all().into_iter().map(|tick| tick.text).collect::<Vec<_>>();
        assert_eq!(texts(-1.5, 1.5).len(), 7);
        assert_eq!(texts(0.0, 0.3), ["0.0", "0.1", "0.2", "0.3"]);
        assert_eq!(texts(0.93, 0.99), ["0.94", "0.96", "0.98"]);
    }
}
