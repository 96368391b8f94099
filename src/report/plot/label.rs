//! Where names and numbers go: never over one another or over a tube, with a leader line where
//! there is no room beside what they belong to.
//!
//! Places are decided in whole tenths of a millimetre and in a fixed order of candidates, so that
//! the same model gives the same sheet.

use super::depth::cross;
use super::letters::{SMALL, fit_figure, width};
use super::paper::{Align, Area, Dot, Paper, Text};
use super::pen::{INK, NARROW, off_segment, round};
use super::room::Room;
use super::view::Look;

/// A text that wants a place, in one of several views.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Wish {
    /// The text.
    pub text: String,
    /// What it belongs to in each view where it may stand.
    pub spots: Vec<LabelSpot>,
}

/// What a label belongs to in one view.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct LabelSpot {
    /// The place that it belongs to.
    pub at: Dot,
    /// The view.
    pub view: Look,
    /// Where the label may stand.
    pub within: Area,
    /// How much worse this view is than others, 0.1 mm of leader line.
    pub worse: f64,
}

/// A label in its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// The text as written.
    pub text: String,
    /// The room of its letters.
    pub area: Area,
    /// The place that it belongs to.
    pub at: Dot,
    /// From the label to that place; `None` where it stands right beside it.
    pub leader: Option<[Dot; 2]>,
}

/// Distances of a label from its place that are tried, 0.1 mm.
const DISTANCES: [f64; 20] = [
    14.0, 22.0, 30.0, 38.0, 55.0, 75.0, 98.0, 125.0, 155.0, 190.0, 230.0, 275.0, 330.0, 400.0, 480.0, 580.0, 700.0,
    840.0, 1000.0, 1200.0,
];
/// Directions that are tried, x right and y down: right first, since names beside their point are
/// read most easily there, then up and round in sixteenths of a turn. Written out so that places
/// do not hang on how a processor works out a cosine.
const DIRECTIONS: [(f64, f64); 16] = [
    (1.0, 0.0),
    (0.924, -0.383),
    (0.707, -0.707),
    (0.383, -0.924),
    (0.0, -1.0),
    (-0.383, -0.924),
    (-0.707, -0.707),
    (-0.924, -0.383),
    (-1.0, 0.0),
    (-0.924, 0.383),
    (-0.707, 0.707),
    (-0.383, 0.924),
    (0.0, 1.0),
    (0.383, 0.924),
    (0.707, 0.707),
    (0.924, 0.383),
];
/// A label nearer than this needs no leader line, 0.1 mm.
const BESIDE: f64 = 22.0;
/// A leader line nearer than this to a place seems to point at it, 0.1 mm.
const NEAR: f64 = 7.0;
/// What that costs, 0.1 mm of leader line.
const OVER_A_PLACE: f64 = 120.0;
/// What it costs a leader line to cross another, so much that it is done only where a name would be
/// left out else, 0.1 mm of leader line.
const OVER_A_LEADER: f64 = 2000.0;
/// Clear room round a label, 0.1 mm.
const CLEAR: i32 = 4;
/// The widest label of a drawing, 0.1 mm.
pub(super) const WIDEST: i32 = 460;

/// Finds places for labels.
#[derive(Debug)]
pub(super) struct Placer {
    /// What is taken by tubes, arrows, symbols, captions, labels and leader lines.
    pub room: Room,
    labels: Vec<Label>,
    /// Labels are cut off at this width, 0.1 mm.
    widest: i32,
    /// Places that labels of others may not cover, and leader lines of others had better not.
    pub keep_off: Vec<Dot>,
}

impl Placer {
    /// On a sheet on which this much is taken, for labels at most so wide (0.1 mm).
    pub(super) fn new(room: Room, widest: i32) -> Placer {
        Placer { room, labels: Vec::new(), widest, keep_off: Vec::new() }
    }

    /// The labels so far.
    pub(super) fn labels(&self) -> &[Label] {
        &self.labels
    }

    /// Gives a label its place, and which of its spots that belongs to; `None` where there is none.
    pub(super) fn place(&mut self, wish: &Wish) -> Option<usize> {
        let text = fit_figure(&wish.text, SMALL, self.widest);
        let (across, down) = (width(&text, SMALL), SMALL);
        let mut best: Option<(f64, Label, usize)> = None;
        // The best views first: they spare looking far in the others.
        let mut spots: Vec<(usize, &LabelSpot)> = wish.spots.iter().enumerate().collect();
        spots.sort_by(|one, other| one.1.worse.total_cmp(&other.1.worse));
        for (place, spot) in spots {
            let others = self.others(spot);
            for far in DISTANCES {
                if best.as_ref().is_some_and(|(cost, _, _)| *cost <= far + spot.worse) {
                    break;
                }
                for direction in DIRECTIONS {
                    let area = candidate(spot.at, far, direction, across, down);
                    if !spot.within.holds(&area) || !self.room.is_free(&area.grown(CLEAR)) {
                        continue;
                    }
                    let around = area.grown(CLEAR);
                    if others.iter().any(|dot| around.holds_dot(*dot)) {
                        continue;
                    }
                    let label = Label { text: text.clone(), area, at: spot.at, leader: None };
                    let Some((cost, label)) = self.with_leader(label, far, &others) else { continue };
                    let cost = cost + spot.worse;
                    if best.as_ref().is_none_or(|(least, _, _)| cost < *least - 1e-6) {
                        best = Some((cost, label, place));
                    }
                }
            }
        }
        let (_, label, place) = best?;
        self.room.take(&label.area);
        if let Some(leader) = label.leader {
            self.room.take_line(&leader, NARROW);
        }
        self.labels.push(label);
        Some(place)
    }

    /// The places in a view that other labels belong to.
    fn others(&self, spot: &LabelSpot) -> Vec<Dot> {
        let all = self.keep_off.iter().copied();
        all.filter(|dot| *dot != spot.at && spot.within.holds_dot(*dot)).collect()
    }

    /// A candidate with its leader line and what it costs: its distance, and more for each tube
    /// and each leader line that the line crosses. `None` where the line would cross a label.
    fn with_leader(&self, mut label: Label, far: f64, others: &[Dot]) -> Option<(f64, Label)> {
        if far <= BESIDE {
            return Some((far, label));
        }
        let from = nearest_on(&label.area, label.at);
        let leader = [from, label.at];
        if self.labels.iter().any(|other| crosses_area(&leader, &other.area.grown(CLEAR))) {
            return None;
        }
        // Two lines to one place meet there.
        let lines = self.labels.iter().filter(|other| other.at != label.at).filter_map(|other| other.leader);
        let over_leaders = lines.filter(|line| cross(line[0], line[1], from, label.at).is_some()).count();
        let over = others.iter().filter(|dot| off_segment(**dot, from, label.at) < NEAR);
        let crossed = self.room.taken_along(from, label.at) as f64;
        let over_places = OVER_A_PLACE * over.count() as f64;
        let cost = far + 10.0 + 3.0 * crossed + over_places + OVER_A_LEADER * over_leaders as f64;
        label.leader = Some(leader);
        Some((cost, label))
    }

    /// Writes the labels with their leader lines, which end in a dot on what they belong to.
    pub(super) fn draw(&self, paper: &mut Paper) {
        for label in &self.labels {
            if let Some([from, to]) = label.leader {
                paper.line(vec![from, to], NARROW, INK);
                paper.disc(to, 4, INK);
            }
        }
        for label in &self.labels {
            // The end of the text that the leader line comes to is the one that stands fast.
            let (middle, _) = label.area.centre();
            let (left, right) = (label.area.left, label.area.right);
            let to_the_right = label.at.0 >= label.area.right;
            let (x, align) = match label.at.0 {
                x if x <= left => (left, Align::Left),
                _ if to_the_right => (right, Align::Right),
                _ => (middle, Align::Middle),
            };
            let at = (x, label.area.top);
            paper.text(Text { text: label.text.clone(), at, align, size: SMALL, colour: INK, upwards: false });
        }
    }
}

/// The room of a label at a distance from its place in a direction.
fn candidate(at: Dot, far: f64, (dx, dy): (f64, f64), across: i32, down: i32) -> Area {
    let (half_x, half_y) = (f64::from(across) / 2.0, f64::from(down) / 2.0);
    // The middle lies so far out that the edge of the label touches the circle of that distance.
    let push = |direction: f64, half: f64| direction * far + (direction * 1.5).clamp(-1.0, 1.0) * half;
    let (x, y) = round(f64::from(at.0) + push(dx, half_x), f64::from(at.1) + push(dy, half_y));
    let (left, top) = (x - across / 2, y - down / 2);
    Area::new(left, top, left + across, top + down)
}

/// The place just off an area that is nearest to a dot.
fn nearest_on(area: &Area, dot: Dot) -> Dot {
    let off = area.grown(3);
    (dot.0.clamp(off.left, off.right), dot.1.clamp(off.top, off.bottom))
}

/// Whether a straight line meets an area.
pub(super) fn crosses_area(line: &[Dot; 2], area: &Area) -> bool {
    let corners = area.outline();
    line.iter().any(|dot| area.holds_dot(*dot))
        || corners.windows(2).any(|edge| cross(line[0], line[1], edge[0], edge[1]).is_some())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wish(text: &str, at: Dot) -> Wish {
        let within = Area::new(100, 100, 1000, 800);
        Wish { text: text.to_owned(), spots: vec![LabelSpot { at, view: Look::Top, within, worse: 0.0 }] }
    }

    #[test]
    fn many_labels_lie_clear_of_one_another_and_of_a_line() {
        let mut room = Room::new(2970, 2100);
        let line = [(100, 400), (1000, 420)];
        room.take_line(&line, 10);
        let mut placer = Placer::new(room, WIDEST);
        let places: Vec<Dot> = (0..20).map(|number| (150 + 170 * (number % 5), 250 + 105 * (number / 5))).collect();
        placer.keep_off.clone_from(&places);
        for (number, &at) in places.iter().enumerate() {
            assert!(placer.place(&wish(&format!("point {number}"), at)).is_some(), "{number}");
        }
        let labels = placer.labels();
        for (at, label) in labels.iter().enumerate() {
            assert!(!crosses_area(&line, &label.area.grown(5)));
            for other in labels[..at].iter().chain(&labels[at + 1..]) {
                assert!(!label.area.meets(&other.area), "{label:?} {other:?}");
                let over = label.leader.is_some_and(|leader| crosses_area(&leader, &other.area));
                assert!(!over, "{label:?} {other:?}");
            }
        }
    }

    #[test]
    fn what_finds_no_room_is_refused() {
        let mut room = Room::new(2970, 2100);
        room.take(&Area::new(0, 0, 2970, 2100));
        assert_eq!(Placer::new(room, WIDEST).place(&wish("A", (500, 400))), None);
    }
}
