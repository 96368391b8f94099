//! Options side by side: the same case, the same scale, the same exaggeration. Tubes that the first frame has not
//! lie on a light band and are named.

use super::case_sheet::{exaggeration, exaggeration_text, stroke, twin_name, verdict_of_case};
use super::drawing::{grid, label};
use super::drawn::{Board, strands};
use super::label::WIDEST;
use super::letters::{LARGE, SMALL, fit, fit_list, width, wrap};
use super::names::tube_wish;
use super::paper::Area;
use super::scene::Scene;
use super::sheet::{BESIDE_BLOCK, BLOCK, LINE, RAMP, Title, frame, key_of_grey, key_of_new, put, ramp, views_area};
use super::view::{Extent, Look, View, fitting_tenths};
use crate::math::largest_first;
use crate::model::Model;
use crate::report::Report;
use crate::report::words::counted;
use crate::run::{Prepared, Response};
use crate::source::{Keyed, Named};
use crate::structure::Tube;
use crate::studies::frames::CaseSeen;
use crate::units::decimals;

/// The most frames on one sheet; the first one stands on every sheet.
const FRAMES: usize = 6;
/// Height of what is written under each frame, and room round its points, 0.1 mm.
const CAPTION: i32 = 70 + 3 * LINE;
const ROUND: i32 = 90;
/// How many tubes are named in each frame.
const NAMED: usize = 3;

/// A frame to be put beside others: what it is, what moves in it, and what its cases come to.
#[derive(Clone)]
pub struct Shown<'r> {
    /// What it is called.
    pub name: String,
    /// What it is.
    pub model: &'r Model,
    /// Its structure.
    pub prepared: &'r Prepared,
    /// Its solved cases.
    pub response: &'r Response,
    /// What each of them comes to.
    pub cases: Keyed<CaseSeen>,
    /// Mass of the tubes of frame and suspension, kg.
    pub mass_kg: f64,
}

impl<'r> Shown<'r> {
    /// A frame that was checked.
    pub fn of(name: String, report: &Report<'r>) -> Shown<'r> {
        let cases = report.response.cases.iter();
        let mass = &report.outcome.mass;
        Shown {
            name,
            model: report.model,
            prepared: report.prepared,
            response: report.response,
            cases: Keyed(cases.map(|case| (case.name.clone(), CaseSeen::of(report.verdict, &case.name))).collect()),
            mass_kg: mass.frame_kg + mass.arms_kg,
        }
    }

    /// How many tubes have another size or material than those of the same name in another frame.
    fn resized(&self, other: &Shown<'_>) -> usize {
        let tubes = |shown: &Shown<'_>| -> Named<Tube> {
            shown.tube_names().into_iter().zip(shown.prepared.system.structure.tubes.iter().cloned()).collect()
        };
        let known = tubes(other);
        let is_resized = |(name, tube): &(&String, &Tube)| {
            known.get(*name).is_some_and(|known| known.properties != tube.properties || known.material != tube.material)
        };
        tubes(self).iter().filter(is_resized).count()
    }

    /// The names of all its tubes.
    fn tube_names(&self) -> Vec<String> {
        let structure = &self.prepared.system.structure;
        (0..structure.tubes.len()).map(|tube| structure.tube_name(self.model, tube)).collect()
    }
}

/// One sheet a case with all frames, as SVG, with the case's name; with more than six there are several sheets a
/// case, and the first frame stands on each. `title`: what they are all frames of.
pub fn side_by_side(title: &str, frames: &[Shown<'_>], date: &str) -> Vec<(String, String)> {
    let Some((base, options)) = frames.split_first() else {
        return Vec::new();
    };
    let sets: Vec<Vec<&Shown<'_>>> = if options.is_empty() {
        vec![vec![base]]
    } else {
        options.chunks(FRAMES - 1).map(|some| std::iter::once(base).chain(some).collect()).collect()
    };
    let sheets = base.response.cases.len() * sets.len();
    let mut drawn = Vec::with_capacity(sheets);
    for case in &base.response.cases {
        for set in &sets {
            let sheet = Sheet { title, case: &case.name, frames: set, number: (drawn.len() + 1, sheets), date };
            drawn.push((case.name.clone(), sheet.svg()));
        }
    }
    drawn
}

/// Tubes by utilisation, largest first; equals in the order of the file.
fn worst_first(utilisations: &Named<f64>) -> Vec<(&String, f64)> {
    largest_first(utilisations.iter().map(|(name, value)| (name, *value)), |(_, value)| *value)
}

/// The tubes that are named: the new ones, of twins the one that is used more, then the worst of all.
fn named(utilisations: &Named<f64>, is_new: impl Fn(&String) -> bool) -> Vec<(&String, f64)> {
    let all = worst_first(utilisations);
    let mut named: Vec<(&String, f64)> = Vec::new();
    for (name, value) in all.iter().filter(|(name, _)| is_new(name)) {
        if !named.iter().any(|(known, _)| **known == twin_name(name)) {
            named.push((name, *value));
        }
    }
    let worst = all.into_iter().take(NAMED).filter(|(name, _)| !is_new(name));
    named.extend(worst);
    named
}

struct Sheet<'s> {
    title: &'s str,
    case: &'s str,
    frames: &'s [&'s Shown<'s>],
    number: (usize, usize),
    date: &'s str,
}

impl Sheet<'_> {
    fn svg(&self) -> String {
        let scenes: Vec<Option<Scene>> = self.frames.iter().map(|shown| self.scene(shown)).collect();
        let extent = Extent::of(scenes.iter().flatten().flat_map(Scene::spots).map(|spot| &spot.at));
        let cells = grid(&Area { bottom: BLOCK.top, ..views_area() }, self.frames.len());
        let picture = cells.first().map_or(BLOCK, |cell| Area { bottom: cell.bottom - CAPTION, ..*cell });
        let tenths = fitting_tenths(&extent, Look::Pictorial, &picture, ROUND);
        // Where width decides, the words move up to the picture.
        let [_, height_mm] = extent.size_mm(Look::Pictorial);
        let spare = (picture.height() - (height_mm * tenths) as i32 - 2 * ROUND).max(0) / 2;
        let cells: Vec<Area> = cells.into_iter().map(|cell| Area { bottom: cell.bottom - spare, ..cell }).collect();
        let largest_mm = scenes.iter().flatten().map(Scene::largest_shift_mm).fold(0.0, f64::max);
        let times = exaggeration(largest_mm, tenths);
        let mut board = Board::new();
        self.frame(&mut board, &exaggeration_text(times, largest_mm));
        let known = self.frames[0].tube_names();
        let mut any_new = false;
        let mut wishes = Vec::new();
        for ((shown, scene), cell) in self.frames.iter().zip(&scenes).zip(&cells) {
            self.caption(&mut board, shown, cell);
            let Some((scene, seen)) = scene.as_ref().zip(shown.cases.0.get(self.case)) else { continue };
            let utilisations = &seen.tubes.0;
            let view = View::centred(
                Look::Pictorial,
                tenths,
                Area { top: cell.top + spare, bottom: cell.bottom - CAPTION, ..*cell },
                &extent,
            );
            let is_new = |name: &String| !known.contains(name);
            board.grey_frame(&view, scene);
            board.thin_lines(&view, scene, times);
            let lines = strands(&view, &scene.sticks, times);
            board.sticks_on_bands(
                &scene.sticks,
                lines.clone(),
                |stick| stroke(utilisations, stick),
                |stick| is_new(&stick.name),
            );
            any_new |= scene.sticks.iter().any(|stick| !stick.is_spring && is_new(&stick.name));
            board.symbols(&view, scene, times);
            // Names may also stand in what the picture leaves of its cell.
            let view = View { cell: Area { bottom: cell.bottom - CAPTION, ..*cell }, ..view };
            wishes.extend(named(utilisations, is_new).into_iter().filter_map(|(name, value)| {
                let tube = scene.sticks.iter().position(|stick| stick.name == *name)?;
                let new = if is_new(name) { "new: " } else { "" };
                let text = format!("{new}{name} {}", decimals(value, 2));
                Some(tube_wish(&[view], std::slice::from_ref(&lines), tube, text))
            }));
        }
        let left_out = label(&mut board, &wishes, WIDEST);
        self.legend(&mut board, any_new, &left_out);
        board.paper.svg()
    }

    /// The case in a frame, if it has it.
    fn scene(&self, shown: &Shown<'_>) -> Option<Scene> {
        let case = shown.response.cases.iter().find(|case| case.name == self.case)?;
        Some(Scene::solved(shown.model, &shown.prepared.system, &case.state))
    }

    fn frame(&self, board: &mut Board, movement: &str) {
        let title = Title {
            title: self.title.to_owned(),
            shows: format!("Case: {}", self.case),
            verdict: "Side by side, at one scale and one exaggeration. Mass is that of all tubes.".to_owned(),
            scale: String::new(),
            movement: movement.to_owned(),
            date: self.date.to_owned(),
            sheet: self.number,
            first_angle: false,
        };
        frame(&mut board.paper, &title);
        board.note("Movement is from the unloaded frame.");
    }

    /// Name, mass, how many tubes have another size, and worst utilisation, under a frame.
    fn caption(&self, board: &mut Board, shown: &Shown<'_>, cell: &Area) {
        let (left, across) = (cell.left + 30, cell.width() - 60);
        let size = if width(&shown.name, LARGE) <= across { LARGE } else { SMALL };
        let mut top = cell.bottom - CAPTION + 5;
        put(&mut board.paper, &fit(&shown.name, size, across), (left, top), size);
        let resized = match shown.resized(self.frames[0]) {
            0 => String::new(),
            some => format!(", {} of another size", counted(some, "tube", "tubes")),
        };
        let mut text = format!("{} kg{resized}. ", decimals(shown.mass_kg, 2));
        match shown.cases.0.get(self.case) {
            Some(seen) => {
                if let Some((tube, value)) = worst_first(&seen.tubes.0).first() {
                    text.push_str(&format!("Worst tube {tube}, {}. ", decimals(*value, 2)));
                }
                text.push_str(&verdict_of_case(seen));
            }
            None => text.push_str("This one has no such case."),
        }
        top += 60;
        for (line, text) in wrap(&text, SMALL, across, 3).iter().enumerate() {
            put(&mut board.paper, text, (left, top + LINE * line as i32), SMALL);
        }
        board.room.take(&Area { top: cell.bottom - CAPTION, ..*cell });
    }

    fn legend(&self, board: &mut Board, any_new: bool, left_out: &[String]) {
        let area = BESIDE_BLOCK.grown(-15);
        ramp(&mut board.paper, (area.left, area.top));
        key_of_grey(&mut board.paper, (area.left, area.top + RAMP.1));
        let left = area.left + RAMP.0 + 40;
        if any_new {
            key_of_new(&mut board.paper, (left, area.top + RAMP.1));
        }
        if !left_out.is_empty() {
            put(
                &mut board.paper,
                &fit_list("no room for:", left_out, SMALL, area.right - left),
                (left, area.top),
                SMALL,
            );
        }
    }
}
