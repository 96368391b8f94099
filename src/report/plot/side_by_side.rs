//! Options side by side: the same case, the same scale, the same exaggeration.

use super::case_sheet::{exaggeration, exaggeration_text, stroke, utilisations, verdict_of_case};
use super::drawing::{grid, label};
use super::drawn::{Board, strands};
use super::label::WIDEST;
use super::letters::{LARGE, SMALL, fit, fit_list, width, wrap};
use super::names::tube_wish;
use super::paper::Area;
use super::scene::Scene;
use super::sheet::{BESIDE_BLOCK, BLOCK, LINE, RAMP, Title, frame, key_of_grey, put, ramp, views_area};
use super::view::{Extent, Look, View, fitting_tenths};
use crate::math::largest_first;
use crate::report::Report;
use crate::source::Named;
use crate::units::decimals;

/// The most frames on one sheet; the first one stands on every sheet.
const FRAMES: usize = 6;
/// Height of what is written under each frame, and room round its points, 0.1 mm.
const CAPTION: i32 = 70 + 3 * LINE;
const ROUND: i32 = 90;
/// How many tubes are named in each frame.
const NAMED: usize = 3;

/// One sheet a case with all variants, as SVG, with the case's name; with more than six variants
/// there are several sheets a case, and the first variant stands on each.
pub fn side_by_side(variants: &[(String, &Report<'_>)], date: &str) -> Vec<(String, String)> {
    let Some((base, options)) = variants.split_first() else {
        return Vec::new();
    };
    let sets: Vec<Vec<&(String, &Report<'_>)>> = if options.is_empty() {
        vec![vec![base]]
    } else {
        options.chunks(FRAMES - 1).map(|some| std::iter::once(base).chain(some).collect()).collect()
    };
    let cases: Vec<&str> = base.1.response.cases.iter().map(|case| case.name.as_str()).collect();
    let sheets = cases.len() * sets.len();
    let mut drawn = Vec::with_capacity(sheets);
    for case in cases {
        for set in &sets {
            let sheet = Sheet { case, variants: set, number: (drawn.len() + 1, sheets), date };
            drawn.push((case.to_owned(), sheet.svg()));
        }
    }
    drawn
}

/// Tubes by utilisation, largest first; equals in the order of the file.
fn worst_first(utilisations: &Named<f64>) -> Vec<(&String, f64)> {
    largest_first(utilisations.iter().map(|(name, value)| (name, *value)), |(_, value)| *value)
}

struct Sheet<'s> {
    case: &'s str,
    variants: &'s [&'s (String, &'s Report<'s>)],
    number: (usize, usize),
    date: &'s str,
}

impl Sheet<'_> {
    fn svg(&self) -> String {
        let scenes: Vec<Option<Scene>> = self.variants.iter().map(|(_, report)| self.scene(report)).collect();
        let extent = Extent::of(scenes.iter().flatten().flat_map(Scene::spots).map(|spot| &spot.at));
        let cells = grid(&Area { bottom: BLOCK.top, ..views_area() }, self.variants.len());
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
        let mut wishes = Vec::new();
        for (((name, report), scene), cell) in self.variants.iter().zip(&scenes).zip(&cells) {
            self.caption(&mut board, name, report, cell);
            let Some(scene) = scene else { continue };
            let view = View::centred(
                Look::Pictorial,
                tenths,
                Area { top: cell.top + spare, bottom: cell.bottom - CAPTION, ..*cell },
                &extent,
            );
            let utilisations = utilisations(report, self.case);
            board.grey_frame(&view, scene);
            board.thin_lines(&view, scene, times);
            let lines = strands(&view, &scene.sticks, times);
            board.sticks(&scene.sticks, lines.clone(), |stick| stroke(&utilisations, stick));
            board.symbols(&view, scene, times);
            // Names may also stand in what the picture leaves of its cell.
            let view = View { cell: Area { bottom: cell.bottom - CAPTION, ..*cell }, ..view };
            let worst = worst_first(&utilisations);
            wishes.extend(worst.into_iter().take(NAMED).filter_map(|(name, value)| {
                let tube = scene.sticks.iter().position(|stick| stick.name == *name)?;
                let text = format!("{name} {}", decimals(value, 2));
                Some(tube_wish(&[view], std::slice::from_ref(&lines), tube, text))
            }));
        }
        let left_out = label(&mut board, &wishes, WIDEST);
        self.legend(&mut board, &left_out);
        board.paper.svg()
    }

    /// The case of a variant, if it has it.
    fn scene(&self, report: &Report<'_>) -> Option<Scene> {
        let case = report.response.cases.iter().find(|case| case.name == self.case)?;
        Some(Scene::solved(report.model, &report.prepared.system, &case.state))
    }

    fn frame(&self, board: &mut Board, movement: &str) {
        let base = self.variants[0].1;
        let title = Title {
            title: base.model.title.clone().unwrap_or_else(|| base.file.to_owned()),
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

    /// Name, mass and worst utilisation, under a frame.
    fn caption(&self, board: &mut Board, name: &str, report: &Report<'_>, cell: &Area) {
        let (left, across) = (cell.left + 30, cell.width() - 60);
        let size = if width(name, LARGE) <= across { LARGE } else { SMALL };
        let mut top = cell.bottom - CAPTION + 5;
        put(&mut board.paper, &fit(name, size, across), (left, top), size);
        let mass = &report.outcome.mass;
        let mut text = format!("{} kg. ", decimals(mass.frame_kg + mass.arms_kg, 2));
        if let Some((tube, value)) = worst_first(&utilisations(report, self.case)).first() {
            text.push_str(&format!("Worst tube {tube}, {}. ", decimals(*value, 2)));
        }
        if report.outcome.cases.contains_key(self.case) {
            text.push_str(&verdict_of_case(report, self.case));
        } else {
            text.push_str("This one has no such case.");
        }
        top += 60;
        for (line, text) in wrap(&text, SMALL, across, 3).iter().enumerate() {
            put(&mut board.paper, text, (left, top + LINE * line as i32), SMALL);
        }
        board.room.take(&Area { top: cell.bottom - CAPTION, ..*cell });
    }

    fn legend(&self, board: &mut Board, left_out: &[String]) {
        let area = BESIDE_BLOCK.grown(-15);
        ramp(&mut board.paper, (area.left, area.top));
        key_of_grey(&mut board.paper, (area.left, area.top + RAMP.1));
        if !left_out.is_empty() {
            let left = area.left + RAMP.0 + 40;
            put(
                &mut board.paper,
                &fit_list("no room for:", left_out, SMALL, area.right - left),
                (left, area.top),
                SMALL,
            );
        }
    }
}
