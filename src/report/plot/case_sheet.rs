//! The drawing sheet of a solved case: what moves, what carries how much of what it may.

use super::depth::Strand;
use super::drawn::{Board, TubeLine, strands};
use super::forces::{Force, ForceScale, LONGEST, draw as draw_arrow, of_case, round_below};
use super::label::{Label, LabelSpot, Placer, WIDEST, Wish};
use super::letters::{SMALL, fit_list};
use super::names::{inner, point_wish, tube_wish};
use super::paper::{Dot, Paper};
use super::pen::{INK, NARROW, Stroke, arrow_head, between, distance};
use super::room::Room;
use super::scene::{Point, Scene, Stick};
use super::sheet::{BLOCK, LINE, RAMP, Title, frame, key_of_grey, put, ramp, views_area};
use super::view::{Arrangement, Extent, Look, View, arrange};
use crate::checks::{Check, exceeds_limit};
use crate::math::largest;
use crate::model::{STANDING, other_side};
use crate::report::{Report, words};
use crate::source::Named;
use crate::studies::frames::CaseSeen;
use crate::units::{decimals, figures};

/// A sheet with what lies where on it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CaseSheet {
    /// Name of the case.
    pub case: String,
    /// The sheet.
    pub svg: String,
    /// The labels on it.
    pub labels: Vec<Label>,
    /// The tubes on it, moved.
    pub tubes: Vec<TubeLine>,
    /// Labels that found no room.
    pub left_out: Vec<String>,
}

/// How far the largest movement is drawn at most, 0.1 mm.
const MOVES: f64 = 55.0;
/// How many times a movement is drawn at most.
const MOST_TIMES: f64 = 10_000.0;
/// How many of the worst tubes, and of the largest movements, are written out.
const WORST_TUBES: usize = 5;
const LARGEST_MOVES: usize = 3;
/// A movement is written in a view that shows at least this part of it.
const SHOWS_WELL: f64 = 0.5;
/// How many forces are written out, and from which part of the largest.
const LARGEST_FORCES: usize = 8;
const LARGE_FORCE: f64 = 0.3;

/// The sheet of one case, by its number: the case's name and the SVG.
pub fn case_sheet(report: &Report<'_>, case: usize, date: &str) -> (String, String) {
    let sheet = Drafting::new(report, case).sheet(date);
    (sheet.case, sheet.svg)
}

/// One sheet a case, with what lies where on it.
pub fn case_sheet_layouts(report: &Report<'_>, date: &str) -> Vec<CaseSheet> {
    (0..report.response.cases.len()).map(|case| Drafting::new(report, case).sheet(date)).collect()
}

/// How many times a largest movement (mm) is drawn on views of a scale: 1, 2 or 5 times a power
/// of ten.
pub(super) fn exaggeration(largest_mm: f64, tenths_per_mm: f64) -> f64 {
    let once = largest_mm * tenths_per_mm;
    if once < MOVES / MOST_TIMES { MOST_TIMES } else { round_below(MOVES / once) }
}

/// The exaggeration in words.
pub(super) fn exaggeration_text(times: f64, largest_mm: f64) -> String {
    if largest_mm < 1e-9 {
        "nothing moves".to_owned()
    } else if times == 1.0 {
        "movement at true size".to_owned()
    } else {
        format!("movement drawn {} times", figures(times, 1))
    }
}

/// The stroke of a tube; narrow where it was not judged.
pub(super) fn stroke(utilisations: &Named<f64>, stick: &Stick) -> Stroke {
    utilisations.get(&stick.name).map_or(Stroke::ink(NARROW), |utilisation| Stroke::of_utilisation(*utilisation))
}

/// The verdict of one case in a few words.
pub(super) fn verdict_of_case(seen: &CaseSeen) -> String {
    let failing = seen.failing;
    let Some(worst) = &seen.worst else {
        return "No limit applies to this case.".to_owned();
    };
    let times = words::times(worst.utilisation);
    let what = match worst.check {
        Check::Yield => format!("yield of {}", worst.place),
        Check::Column => format!("{} as a column", worst.place),
        Check::Lateral => format!("{} giving way sideways", worst.place),
        Check::Wall => format!("the wall of {}", worst.place),
        Check::Joint => format!("the joint of {}", worst.place),
        Check::Weld => format!("the weld of {}", worst.place),
        Check::RodEnd => format!("the rod-end of {}", worst.place),
        Check::Bolts => format!("the bolts of {}", worst.place),
        Check::Fatigue => format!("fatigue of {}", worst.place),
        Check::PickupMove => format!("movement of pick-up {}", worst.place),
        Check::Toe | Check::Camber => format!("{} of {}", words::check_name(worst.check), worst.place),
        Check::Buckling => "buckling of the frame".to_owned(),
        Check::Frequency => "natural frequency".to_owned(),
        Check::Twist => "twist stiffness".to_owned(),
    };
    match failing {
        0 => format!("Passes. Nearest to its limit: {what}, {times} of it."),
        1 => format!("Fails: {what}, {times} times the limit."),
        more => format!("Fails at {more} limits. Worst: {what}, {times} times the limit."),
    }
}

/// A sheet while it is drawn.
struct Drafting<'r> {
    report: &'r Report<'r>,
    case: usize,
    scene: Scene,
    forces: Vec<Force>,
    arrangement: Arrangement,
    /// How many times movement is drawn.
    times: f64,
    seen: CaseSeen,
    /// The tubes in each view.
    strands: [Vec<Strand>; 4],
    board: Board,
}

impl<'r> Drafting<'r> {
    fn new(report: &'r Report<'r>, case: usize) -> Self {
        let solved = &report.response.cases[case];
        let scene = Scene::solved(report.model, &report.prepared.system, &solved.state);
        let extent = Extent::of(scene.spots().map(|spot| &spot.at));
        let arrangement = arrange(&extent, &views_area(), &BLOCK);
        let largest_scale = arrangement.views.iter().map(|view| view.tenths_per_mm).fold(0.0, f64::max);
        let times = exaggeration(scene.largest_shift_mm(), largest_scale);
        Drafting {
            report,
            case,
            forces: of_case(report, &scene, case),
            strands: arrangement.views.map(|view| strands(&view, &scene.sticks, times)),
            times,
            scene,
            arrangement,
            seen: CaseSeen::of(report.verdict, &solved.name),
            board: Board::new(),
        }
    }

    fn name(&self) -> &'r str {
        &self.report.response.cases[self.case].name
    }

    fn sheet(mut self, date: &str) -> CaseSheet {
        let scale = ForceScale::of(self.forces.iter(), LONGEST);
        self.frame(date);
        for view in self.arrangement.views {
            self.view(&view);
        }
        let arrows = self.arrows(scale.as_ref());
        let mut placer = Placer::new(std::mem::replace(&mut self.board.room, Room::new(0, 0)), WIDEST);
        let mut paper = std::mem::replace(&mut self.board.paper, Paper::landscape());
        let views = self.arrangement.views.iter();
        placer.keep_off =
            views.flat_map(|view| self.named_points().map(|point| view.dot(&point.spot.moved(self.times)))).collect();
        let mut left_out = Vec::new();
        let moves = self.moves();
        for (point, wish) in &moves {
            match placer.place(wish) {
                Some(place) => self.draw_move(&mut placer, &mut paper, point, wish.spots[place].view),
                None => left_out.push(wish.text.clone()),
            }
        }
        let moved: Vec<&Point> = moves.iter().map(|(point, _)| *point).collect();
        for wish in self.wishes(&moved, &arrows) {
            if placer.place(&wish).is_none() {
                left_out.push(wish.text);
            }
        }
        placer.draw(&mut paper);
        self.board.paper = paper;
        self.legend(scale.as_ref(), &left_out);
        CaseSheet {
            case: self.name().to_owned(),
            svg: self.board.paper.svg(),
            labels: placer.labels().to_vec(),
            tubes: self.board.tubes,
            left_out,
        }
    }

    fn frame(&mut self, date: &str) {
        let report = self.report;
        let title = Title {
            title: report.model.title.clone().unwrap_or_else(|| report.file.to_owned()),
            shows: words::with_option(&format!("Case: {}", self.name()), report.option),
            verdict: verdict_of_case(&self.seen),
            scale: format!("scale {}", self.arrangement.scale.text()),
            movement: exaggeration_text(self.times, self.scene.largest_shift_mm()),
            date: date.to_owned(),
            sheet: (self.case + 1, report.response.cases.len()),
            first_angle: true,
        };
        frame(&mut self.board.paper, &title);
        let note = self.note();
        self.board.note(&note);
    }

    /// What the reader must know to read movement and forces.
    fn note(&self) -> String {
        let mut sentences: Vec<String> = Vec::new();
        if self.report.positions.is_some() {
            sentences.push("Adjusters as drawn.".to_owned());
        }
        sentences.push("Movement is from the unloaded frame.".to_owned());
        let outcome = self.report.outcome.cases.get(self.name());
        let from_standing = self.report.model.cases[self.name()].g.is_some()
            && self.name() != STANDING
            && self.report.outcome.cases.contains_key(STANDING);
        let changes = outcome.into_iter().flat_map(|outcome| &outcome.pickups);
        let most = largest(changes, |(_, pickup)| pickup.change_mm);
        if let Some((name, pickup)) = most.filter(|_| from_standing) {
            let change = figures(pickup.change_mm, 3);
            sentences.push(format!("From the standing car, pick-up {name} moves most: {change} mm."));
        }
        let mut no_arrow = Vec::new();
        let least_n = ForceScale::of(self.forces.iter(), LONGEST).map_or(0.0, |scale| scale.least_n());
        if self.forces.iter().any(|force| force.force_n.norm() < least_n) {
            no_arrow.push(format!("forces under {}", words::force(least_n)));
        }
        let asked = &self.report.model.cases[self.name()];
        if !asked.moments.is_empty() {
            no_arrow.push("moments".to_owned());
        }
        if !asked.line_loads.is_empty() {
            no_arrow.push("loads along tubes".to_owned());
        }
        if !no_arrow.is_empty() {
            sentences.push(format!("No arrow: {}.", no_arrow.join(", ")));
        }
        sentences.join(" ")
    }

    fn view(&mut self, view: &View) {
        let (board, scene, times) = (&mut self.board, &self.scene, self.times);
        board.caption(view);
        board.middle(view, scene, &view.cell.grown(-60));
        board.grey_frame(view, scene);
        board.thin_lines(view, scene, times);
        let utilisations = &self.seen.tubes.0;
        board.sticks(&scene.sticks, self.strands[view.look as usize].clone(), |stick| stroke(utilisations, stick));
        board.symbols(view, scene, times);
    }

    /// Draws the arrows of all views; gives for each force its arrow in each view.
    fn arrows(&mut self, scale: Option<&ForceScale>) -> Vec<Vec<(View, Dot, f64)>> {
        let Some(scale) = scale else { return Vec::new() };
        self.forces
            .iter()
            .map(|force| {
                let mut drawn = Vec::new();
                for view in self.arrangement.views {
                    if let Some(arrow) = scale.arrow(&view, force, self.times) {
                        draw_arrow(&mut self.board.paper, &arrow, force.kind);
                        self.board.room.take_line(&[arrow.tail, arrow.tip], 10);
                        drawn.push((view, arrow.free_end, distance(arrow.tail, arrow.tip)));
                    }
                }
                drawn
            })
            .collect()
    }

    /// The pick-ups that move most, with the label of each in every view that shows most of it.
    fn moves(&self) -> Vec<(&Point, Wish)> {
        let pickups = self.scene.points.iter().filter(|point| point.is_pickup && point.spot.shift.norm() > 1e-9);
        let largest = largest_of_twins(pickups, LARGEST_MOVES, |point| (&point.name, point.spot.shift.norm()));
        let moves = largest.into_iter().map(|point| {
            let ends = |view: &View| (view.dot(&point.spot.at), view.dot(&point.spot.moved(self.times)));
            let length = |view: &View| distance(ends(view).0, ends(view).1);
            let most = self.arrangement.views.iter().map(length).fold(0.0, f64::max);
            let showing = self.arrangement.views.iter().filter(|view| length(view) >= SHOWS_WELL * most);
            let spots = showing.map(|view| {
                let at = between(ends(view).0, ends(view).1, 0.5);
                // A length is shortened in the pictorial view, and reads worse there.
                let worse = if view.look == Look::Pictorial { 60.0 } else { 0.0 } + 3.0 * (most - length(view));
                LabelSpot { at, view: view.look, within: inner(view), worse }
            });
            let text = format!("{} moves {} mm", point.name, figures(point.spot.shift.norm(), 3));
            (point, Wish { text, spots: spots.collect() })
        });
        moves.collect()
    }

    /// Draws a movement in a view, from where the point was to where it went.
    fn draw_move(&self, placer: &mut Placer, paper: &mut Paper, point: &Point, look: Look) {
        let view = &self.arrangement.views[look as usize];
        let (from, to) = (view.dot(&point.spot.at), view.dot(&point.spot.moved(self.times)));
        let length = distance(from, to);
        if length >= 8.0 {
            paper.line(vec![from, to], NARROW, INK);
            paper.fill(arrow_head(from, to, length.min(16.0)), INK);
            placer.room.take_line(&[from, to], 8);
        }
    }

    /// What is to be written after the movements, the most needed first.
    fn wishes(&self, moved: &[&Point], arrows: &[Vec<(View, Dot, f64)>]) -> Vec<Wish> {
        let mut wishes = self.tube_wishes();
        let mut forces = self.force_wishes(arrows);
        let others = forces.split_off(forces.len().min(LARGEST_FORCES / 2));
        wishes.extend(forces);
        let named = |point: &Point| moved.iter().any(|other| other.name == point.name);
        let (mounts, pickups): (Vec<_>, Vec<_>) =
            self.named_points().filter(|point| !named(point)).partition(|point| self.is_mount(point));
        let name = |point: &Point| point_wish(&self.arrangement.views, &self.scene, point, self.times, &point.name);
        wishes.extend(mounts.into_iter().chain(pickups).map(name));
        wishes.extend(others);
        wishes
    }

    fn is_mount(&self, point: &Point) -> bool {
        self.scene.supports.iter().any(|support| support.name == point.name)
    }

    /// Pick-ups and mounts.
    fn named_points(&self) -> impl Iterator<Item = &Point> {
        self.scene.points.iter().filter(|point| point.is_pickup || self.is_mount(point))
    }

    /// Name and number of the worst tubes, and the number of every other that is above 1.
    fn tube_wishes(&self) -> Vec<Wish> {
        let worst = largest_of_twins(self.seen.tubes.0.iter(), WORST_TUBES, |(name, value)| (name, **value));
        let named = |name: &String| worst.iter().any(|(known, _)| *known == name);
        let above = self.seen.tubes.0.iter().filter(|(name, value)| exceeds_limit(**value) && !named(name));
        let above: Vec<(&String, f64)> = above.map(|(name, value)| (name, *value)).collect();
        let number = |value: f64| decimals(value, 2);
        worst
            .iter()
            .map(|(name, value)| (*name, format!("{name} {}", number(**value))))
            .chain(above.into_iter().map(|(name, value)| (name, number(value))))
            .filter_map(|(name, text)| {
                let tube = self.scene.sticks.iter().position(|stick| stick.name == *name)?;
                Some(tube_wish(&self.arrangement.views, &self.strands, tube, text))
            })
            .collect()
    }

    /// The larger forces, largest first.
    fn force_wishes(&self, arrows: &[Vec<(View, Dot, f64)>]) -> Vec<Wish> {
        let mut order: Vec<usize> = (0..arrows.len()).collect();
        let size = |force: &usize| self.forces[*force].force_n.norm();
        order.sort_by_key(|force| std::cmp::Reverse((size(force) * 1e5).round() as i64));
        let least = order.first().map_or(0.0, size) * LARGE_FORCE;
        order
            .into_iter()
            .filter(|force| size(force) >= least && !arrows[*force].is_empty())
            .take(LARGEST_FORCES)
            .map(|force| Wish {
                text: words::force(size(&force)),
                spots: arrows[force]
                    .iter()
                    .map(|(view, at, length)| LabelSpot {
                        at: *at,
                        view: view.look,
                        within: inner(view),
                        worse: (LONGEST - length).max(0.0),
                    })
                    .collect(),
            })
            .collect()
    }

    fn legend(&mut self, scale: Option<&ForceScale>, left_out: &[String]) {
        let area = self.arrangement.legend.grown(-15);
        let paper = &mut self.board.paper;
        // Where the legend lies on its side its lines are closer, to stay off the border.
        let below = area.height() > area.width() / 2;
        let (first, closer) = if below { (area.top, 0) } else { (area.top - 8, 10) };
        let grey = first + RAMP.1 - closer;
        ramp(paper, (area.left, first));
        key_of_grey(paper, (area.left, grey));
        put(paper, "a thin wall only if it fails", (area.left, grey + LINE - closer / 2), SMALL);
        // Below the ramp or right of it.
        let left = if below { area.left } else { area.left + RAMP.0 + 40 };
        let mut top = if below { area.top + RAMP.1 + 2 * LINE } else { first };
        if let Some(scale) = scale {
            scale.legend(paper, (left, top));
            top += 3 * LINE;
        }
        if !left_out.is_empty() {
            put(paper, &fit_list("no room for:", left_out, SMALL, area.right - left), (left, top), SMALL);
        }
    }
}

/// The largest of some values, largest first, mirror twins that come out alike as one; equals in
/// their order.
fn largest_of_twins<'i, T: 'i>(
    items: impl Iterator<Item = T>,
    count: usize,
    of: impl Fn(&T) -> (&'i String, f64),
) -> Vec<T> {
    // Twins of a symmetrical case differ in their last digits alone.
    let mut ranked: Vec<(i64, String, T)> = items
        .map(|item| {
            let (name, value) = of(&item);
            ((value * 1e6).round() as i64, name.clone(), item)
        })
        .collect();
    ranked.sort_by_key(|(rank, _, _)| std::cmp::Reverse(*rank));
    let mut kept: Vec<(i64, String, T)> = Vec::new();
    for (rank, name, item) in ranked {
        let alike = |(other, twin, _): &(i64, String, T)| {
            *twin == twin_name(&name) && (other - rank).abs() * 1000 <= other.abs()
        };
        if kept.len() < count && !kept.iter().any(alike) {
            kept.push((rank, name, item));
        }
    }
    kept.into_iter().map(|(_, _, item)| item).collect()
}

/// The name of a point or tube on the other side.
pub(super) fn twin_name(name: &str) -> String {
    match name.split_once('/') {
        Some((corner, part)) => format!("{}/{part}", other_side(corner)),
        None => other_side(name),
    }
}
