//! A scene in a view: what all sheets with tubes share.

use super::depth::{Strand, order};
use super::paper::{Area, Dot, Paper};
use super::pen::{BAND, Broken, GREY, INK, NARROW, SKY, Stroke, WHITE, distance};
use super::room::Room;
use super::scene::{Scene, Spot, Stick};
use super::symbols;
use super::view::{Look, View};
use crate::model::Hold;

/// A tube as it was drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TubeLine {
    /// Its line.
    pub points: Vec<Dot>,
    /// Width, 0.1 mm.
    pub width: u32,
}

/// A sheet on its way: its paper, what is taken of it, and the tubes on it.
#[derive(Debug)]
pub(super) struct Board {
    /// The paper.
    pub paper: Paper,
    /// What is taken.
    pub room: Room,
    /// The tubes drawn so far.
    pub tubes: Vec<TubeLine>,
}

/// How far a line may be from the shape that it stands for, 0.1 mm.
const FLAT: f64 = 0.6;
/// White on each side of a tube that passes over others, 0.1 mm.
const CASING: u32 = 5;
/// How far from a joint the white begins, 0.1 mm.
const JOINT: f64 = 18.0;

impl Board {
    /// An empty landscape sheet.
    pub(super) fn new() -> Board {
        Board { paper: Paper::landscape(), room: Room::new(2970, 2100), tubes: Vec::new() }
    }

    /// The frame as drawn, in narrow grey; what coincides in the view once.
    pub(super) fn grey_frame(&mut self, view: &View, scene: &Scene) {
        let mut known: Vec<Vec<Dot>> = Vec::new();
        for stick in scene.sticks.iter().filter(|stick| !stick.is_spring) {
            let mut points: Vec<Dot> = stick.joints.iter().map(|at| view.dot(&stick.spots[*at].at)).collect();
            points = flattened(&points.iter().map(|dot| (*dot, 0.0)).collect::<Vec<_>>(), &[])
                .0
                .into_iter()
                .map(|(dot, _)| dot)
                .collect();
            if points.len() > 1 && !known.contains(&points) {
                self.room.take_line(&points, NARROW);
                self.paper.line(points.clone(), NARROW, GREY);
                known.push(points);
            }
        }
    }

    /// Rigid offsets, uprights, anti-roll bars and the plane of symmetry, in narrow lines.
    pub(super) fn thin_lines(&mut self, view: &View, scene: &Scene, times: f64) {
        let dot = |spot: &Spot| view.dot(&spot.moved(times));
        for pair in &scene.offsets {
            self.narrow(pair.iter().map(dot).collect());
        }
        for upright in &scene.uprights {
            for end in upright.outer.iter().chain([&upright.patch]) {
                self.narrow(vec![dot(&upright.centre), dot(end)]);
            }
            let centre = dot(&upright.centre);
            self.paper.ring(centre, 10, NARROW, INK);
            let (x, y) = dot(&upright.patch);
            if view.look != Look::Top {
                self.narrow(vec![(x - 25, y), (x + 25, y)]);
            }
        }
        for bar in &scene.bars {
            let points: Vec<Dot> = bar.iter().map(dot).collect();
            self.room.take_line(&points, NARROW);
            self.paper.lines(Broken::Dashed.cut(&points), NARROW, INK);
        }
    }

    fn narrow(&mut self, points: Vec<Dot>) {
        if points[0] != points[points.len() - 1] {
            self.room.take_line(&points, NARROW);
            self.paper.line(points, NARROW, INK);
        }
    }

    /// The plane of symmetry, as a chain line across the view.
    pub(super) fn middle(&mut self, view: &View, scene: &Scene, reach: &Area) {
        if !scene.mirror {
            return;
        }
        let (x, y) = view.dot(&nalgebra::Point3::origin());
        let line = match view.look {
            Look::Top => [(reach.left, y), (reach.right, y)],
            Look::Front => [(x, reach.top), (x, reach.bottom)],
            Look::Side | Look::Pictorial => return,
        };
        self.room.take_line(&line, NARROW);
        self.paper.lines(Broken::Chain.cut(&line), NARROW, GREY);
    }

    /// Tubes and springs, far ones first, each on a white ground that parts it from what it passes.
    pub(super) fn sticks(&mut self, sticks: &[Stick], strands: Vec<Strand>, stroke: impl Fn(&Stick) -> Stroke) {
        self.sticks_on_bands(sticks, strands, stroke, |_| false);
    }

    /// The same, some of them on a light band that tells them from the others.
    pub(super) fn sticks_on_bands(
        &mut self,
        sticks: &[Stick],
        strands: Vec<Strand>,
        stroke: impl Fn(&Stick) -> Stroke,
        on_band: impl Fn(&Stick) -> bool,
    ) {
        for strand in order(strands) {
            let stick = &sticks[strand.of];
            let stroke = stroke(stick);
            let dots = strand.dots();
            let (points, width) = if stick.is_spring {
                (symbols::spring(dots[0], dots[dots.len() - 1]), NARROW + 1)
            } else {
                for clear in grounds(&strand) {
                    self.paper.line(clear, stroke.width + 2 * CASING, WHITE);
                }
                // Not over what it meets at its ends.
                if let Some(band) = trimmed(&dots, JOINT, JOINT).filter(|_| on_band(stick)) {
                    self.paper.line(band, stroke.width + 2 * BAND, SKY);
                }
                (dots, stroke.width)
            };
            self.room.take_line(&points, width);
            if stick.is_spring {
                self.paper.line(points, width, INK);
            } else {
                self.tubes.push(TubeLine { points: points.clone(), width });
                super::sheet::tube(&mut self.paper, points, &stroke);
            }
        }
    }

    /// Bodies, mounts and pick-ups; what coincides in the view once.
    pub(super) fn symbols(&mut self, view: &View, scene: &Scene, times: f64) {
        let dot = |spot: &Spot| view.dot(&spot.moved(times));
        for mass in &scene.masses {
            let mounts: Vec<Dot> = mass.mounts.iter().map(dot).collect();
            symbols::body(&mut self.paper, &mut self.room, dot(&mass.cg), &mounts);
        }
        let mut known: Vec<(Dot, Hold)> = Vec::new();
        for support in &scene.supports {
            let here = (dot(&support.spot), support.hold);
            if !known.contains(&here) {
                symbols::support(&mut self.paper, &mut self.room, here.0, &here.1);
                known.push(here);
            }
        }
        let mut known: Vec<Dot> = Vec::new();
        for point in scene.points.iter().filter(|point| point.is_pickup) {
            let at = dot(&point.spot);
            if !known.contains(&at) {
                symbols::pickup(&mut self.paper, &mut self.room, at);
                known.push(at);
            }
        }
    }

    /// The caption of a view, in its upper left corner, and its axes in the lower left one.
    pub(super) fn caption(&mut self, view: &View) {
        self.text_at(view.look.caption(), (view.cell.left + 20, view.cell.top + 12));
        let corner = (view.cell.left + 10, view.cell.bottom - 8);
        symbols::axes(&mut self.paper, &mut self.room, view.look, corner);
    }

    /// A note at the top of the sheet.
    pub(super) fn note(&mut self, text: &str) {
        let area = super::sheet::views_area();
        let text = super::letters::fit(text, super::letters::SMALL, area.width() - 40);
        self.text_at(&text, (area.left + 20, area.top - 42));
    }

    /// A text that takes its room.
    pub(super) fn text_at(&mut self, text: &str, at: Dot) {
        super::sheet::put(&mut self.paper, text, at, super::letters::SMALL);
        let across = super::letters::width(text, super::letters::SMALL);
        self.room.take(&Area::new(at.0, at.1, at.0 + across, at.1 + super::letters::SMALL));
    }
}

/// Sticks on the paper after so many times their movement.
pub(super) fn strands(view: &View, sticks: &[Stick], times: f64) -> Vec<Strand> {
    sticks.iter().enumerate().map(|(of, stick)| strand(view, of, stick, times)).collect()
}

/// A stick on the paper, without the points that its line does not need.
fn strand(view: &View, of: usize, stick: &Stick, times: f64) -> Strand {
    let points: Vec<(Dot, f64)> = stick
        .spots
        .iter()
        .map(|spot| {
            let moved = spot.moved(times);
            (view.dot(&moved), view.towards(&moved))
        })
        .collect();
    let (points, joints) = flattened(&points, &stick.joints);
    Strand { of, points, joints, over: Vec::new() }
}

/// A line without the points that lie on it already; joints stay.
fn flattened(points: &[(Dot, f64)], joints: &[usize]) -> (Vec<(Dot, f64)>, Vec<usize>) {
    let mut keep = vec![false; points.len()];
    for at in joints.iter().copied().chain([0, points.len() - 1]) {
        keep[at] = true;
    }
    let mut runs: Vec<(usize, usize)> = Vec::new();
    let kept: Vec<usize> = (0..points.len()).filter(|at| keep[*at]).collect();
    runs.extend(kept.windows(2).map(|pair| (pair[0], pair[1])));
    while let Some((from, to)) = runs.pop() {
        let (first, last) = (points[from].0, points[to].0);
        let farthest = (from + 1..to)
            .map(|at| (at, off_line(points[at].0, first, last)))
            .reduce(|most, next| if next.1 > most.1 { next } else { most });
        if let Some((at, off)) = farthest
            && off > FLAT
        {
            keep[at] = true;
            runs.extend([(from, at), (at, to)]);
        }
    }
    let (mut line, mut places) = (Vec::new(), Vec::new());
    for (at, point) in points.iter().enumerate().filter(|(at, _)| keep[*at]) {
        if joints.contains(&at) {
            places.push(line.len());
        }
        line.push(*point);
    }
    (line, places)
}

/// How far a place is from a straight line, 0.1 mm.
fn off_line(at: Dot, from: Dot, to: Dot) -> f64 {
    let length = distance(from, to);
    if length == 0.0 {
        return distance(at, from);
    }
    let across =
        i64::from(to.0 - from.0) * i64::from(at.1 - from.1) - i64::from(to.1 - from.1) * i64::from(at.0 - from.0);
    across.abs() as f64 / length
}

/// The parts of a strand that get a white ground: those from joint to joint that pass over another,
/// but for what is near a joint, where tubes meet.
fn grounds(strand: &Strand) -> Vec<Vec<Dot>> {
    let dots = strand.dots();
    let ends = [0, dots.len() - 1];
    let mut stops: Vec<usize> = strand.joints.iter().copied().chain(ends).collect();
    stops.sort_unstable();
    stops.dedup();
    stops
        .windows(2)
        .filter(|pair| strand.over.iter().any(|over| (pair[0] as f64..=pair[1] as f64).contains(over)))
        .filter_map(|pair| {
            let run = &dots[pair[0]..=pair[1]];
            let trim = |end: usize| if strand.joints.contains(&end) { JOINT } else { 0.0 };
            trimmed(run, trim(pair[0]), trim(pair[1]))
        })
        .collect()
}

/// A line shortened at both ends; `None` where nothing is left.
fn trimmed(line: &[Dot], at_start: f64, at_end: f64) -> Option<Vec<Dot>> {
    let shortened = without_start(line, at_start)?;
    let mut back: Vec<Dot> = without_start(&shortened.into_iter().rev().collect::<Vec<_>>(), at_end)?;
    back.reverse();
    Some(back)
}

fn without_start(line: &[Dot], mut off: f64) -> Option<Vec<Dot>> {
    for (at, pair) in line.windows(2).enumerate() {
        let length = distance(pair[0], pair[1]);
        if off < length {
            let mut rest = vec![super::pen::between(pair[0], pair[1], off / length)];
            rest.extend(&line[at + 1..]);
            return Some(rest);
        }
        off -= length;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_line_keeps_its_ends_and_joints_alone() {
        let points: Vec<(Dot, f64)> = (0..=8).map(|step| ((step * 10, step * 5), f64::from(step))).collect();
        let (line, joints) = flattened(&points, &[0, 3, 8]);
        assert_eq!(line.iter().map(|(dot, _)| *dot).collect::<Vec<_>>(), [(0, 0), (30, 15), (80, 40)]);
        assert_eq!(joints, [0, 1, 2]);
    }

    #[test]
    fn a_line_is_shortened_along_itself() {
        assert_eq!(trimmed(&[(0, 0), (100, 0), (100, 100)], 20.0, 30.0), Some(vec![(20, 0), (100, 0), (100, 70)]));
        assert_eq!(trimmed(&[(0, 0), (30, 0)], 20.0, 20.0), None);
    }
}
