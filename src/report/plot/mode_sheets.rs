//! Shapes in which a frame buckles and vibrates, on one sheet a case and one for all frequencies.

use super::case_sheet::exaggeration;
use super::drawing::grid;
use super::drawn::{Board, strands};
use super::letters::{LARGE, SMALL, wrap};
use super::paper::Area;
use super::pen::{NARROW, Stroke, WIDE};
use super::scene::Scene;
use super::sheet::{BESIDE_BLOCK, BLOCK, LINE, Title, frame, key_of_grey, put, views_area};
use super::view::{Extent, Look, View, fitting_tenths};
use crate::report::{Report, modes, words};
use crate::run::CaseBuckling;
use crate::units::figures;

/// Height of what is written under each shape, and room round its points, 0.1 mm.
const CAPTION: i32 = 70 + 3 * LINE;
const ROUND: i32 = 90;

/// One shape to draw.
struct Shape {
    /// What stands large under it: its frequency or its factor.
    figure: String,
    /// What moves.
    what: String,
    scene: Scene,
    /// For each tube of the scene whether it takes part.
    takes_part: Vec<bool>,
}

/// The sheets, each with its title: natural frequencies, then every case that buckles below the bound.
pub fn mode_sheets(report: &Report<'_>, date: &str) -> Vec<(String, String)> {
    let mut sheets: Vec<(String, String, Vec<Shape>)> = Vec::new();
    if let Some(shapes) = vibration(report) {
        let title = "Natural frequencies".to_owned();
        let verdict = "The frame on its mounts with its bodies, corners taken off, nothing damped.".to_owned();
        sheets.push((title, verdict, shapes));
    }
    for (case, buckling) in &report.outcome.modes.buckling {
        if let CaseBuckling::Found(found) = buckling {
            let shapes = found.modes.iter().map(|mode| Shape {
                figure: format!("{} times its load", figures(mode.factor, 3)),
                what: modes::what_buckles(report, mode),
                scene: Scene::of_mode(report.model, &report.prepared.system.structure, &mode.shape),
                takes_part: (0..mode.driving.len()).map(|tube| mode.takes_part(tube)).collect(),
            });
            let verdict = "So many times its load buckles the frame into this shape.".to_owned();
            sheets.push((format!("Buckling, {case}"), verdict, shapes.collect()));
        }
    }
    let count = sheets.len();
    let sheets = sheets.into_iter().enumerate();
    sheets
        .map(|(at, (title, verdict, shapes))| {
            let svg = svg(report, date, &title, verdict, &shapes, (at + 1, count));
            (title, svg)
        })
        .collect()
}

fn vibration(report: &Report<'_>) -> Option<Vec<Shape>> {
    let vibration = report.outcome.modes.vibration.as_ref().ok()?;
    let shapes: Vec<Shape> = vibration
        .modes
        .iter()
        .enumerate()
        .map(|(at, mode)| {
            let mut takes_part = vec![false; vibration.structure.tubes.len()];
            mode.largest_strains().for_each(|(tube, _)| takes_part[tube] = true);
            Shape {
                figure: format!("{}: {} Hz", at + 1, figures(mode.frequency_hz, 3)),
                what: modes::vibration_shape(report, at).unwrap_or_default(),
                scene: Scene::of_mode(report.model, &vibration.structure, &mode.shape),
                takes_part,
            }
        })
        .collect();
    (!shapes.is_empty()).then_some(shapes)
}

fn svg(
    report: &Report<'_>,
    date: &str,
    title: &str,
    verdict: String,
    shapes: &[Shape],
    number: (usize, usize),
) -> String {
    let extent = Extent::of(shapes.iter().flat_map(|shape| shape.scene.spots()).map(|spot| &spot.at));
    let cells = grid(&Area { bottom: BLOCK.top, ..views_area() }, shapes.len());
    let picture = cells.first().map_or(BLOCK, |cell| Area { bottom: cell.bottom - CAPTION, ..*cell });
    let tenths = fitting_tenths(&extent, Look::Pictorial, &picture, ROUND);
    let mut board = Board::new();
    let block = Title {
        title: report.model.title.clone().unwrap_or_else(|| report.file.to_owned()),
        shows: words::with_option(title, report.option),
        verdict,
        scale: String::new(),
        movement: "shapes have no size".to_owned(),
        date: date.to_owned(),
        sheet: number,
        first_angle: false,
    };
    frame(&mut board.paper, &block);
    board.note("A shape tells which parts move against each other, not how far. Tubes drawn wide take part.");
    for (shape, cell) in shapes.iter().zip(&cells) {
        let area = Area { bottom: cell.bottom - CAPTION, ..*cell };
        let view = View::centred(Look::Pictorial, tenths, area, &extent);
        let times = exaggeration(shape.scene.largest_shift_mm(), tenths);
        board.grey_frame(&view, &shape.scene);
        board.thin_lines(&view, &shape.scene, times);
        let names: Vec<&str> = shape.scene.sticks.iter().map(|stick| stick.name.as_str()).collect();
        board.sticks(&shape.scene.sticks, strands(&view, &shape.scene.sticks, times), |stick| {
            let tube = names.iter().position(|name| *name == stick.name);
            let wide = tube.is_some_and(|tube| shape.takes_part[tube]);
            Stroke::ink(if wide { WIDE + 3 } else { NARROW })
        });
        board.symbols(&view, &shape.scene, times);
        let (left, across) = (cell.left + 30, cell.width() - 60);
        put(&mut board.paper, &shape.figure, (left, area.bottom + 5), LARGE);
        for (line, text) in wrap(&shape.what, SMALL, across, 3).iter().enumerate() {
            put(&mut board.paper, text, (left, area.bottom + 65 + LINE * line as i32), SMALL);
        }
    }
    let legend = BESIDE_BLOCK.grown(-15);
    key_of_grey(&mut board.paper, (legend.left, legend.top));
    board.paper.svg()
}
