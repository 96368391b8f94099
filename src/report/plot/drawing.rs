//! The sheets before any solving: where everything is, what is held and what acts, to catch a
//! wrong sign or a missing mount while it costs nothing.

use super::drawn::{Board, strands};
use super::forces::{Force, ForceScale, draw as draw_arrow, given, of_tyres};
use super::label::{LabelSpot, Placer, WIDEST, Wish};
use super::letters::{SMALL, fit, fit_list, wrap};
use super::names::{in_labels, inner, point_wish, together, tube_wish};
use super::paper::{Area, Paper};
use super::pen::{Broken, GREY, INK, NARROW, Stroke, WIDE};
use super::room::Room;
use super::scene::{Point, Scene};
use super::sheet::{BESIDE_BLOCK, BLOCK, LINE, Title, frame, put, tube, views_area};
use super::symbols::{self, holds};
use super::view::{Extent, Look, MARGIN, Scale, View, arrange, fitting_tenths};
use crate::car::wheel_loads;
use crate::model::{Case, Hold, Model};
use crate::report::words::{size_mm, with_option};
use crate::structure::Structure;

/// A model with more tubes than this gets a sheet for each view besides the one with all four.
const MANY_TUBES: usize = 30;
/// The most cases on one sheet of loads.
const CASES: usize = 6;
/// The longest arrow of a small picture, and the room round its points, 0.1 mm.
const SMALL_ARROW: f64 = 95.0;
const SMALL_MARGIN: i32 = 110;

/// The most names of tubes that are tried on one sheet: far more than find room.
const TUBE_NAMES: usize = 400;

/// The sheets of a model as drawn, or with the change of an option, as SVG, each with its name: all
/// views, single views of a large model, the names of the tubes, and the loads of the cases.
pub fn drawing_sheets(model: &Model, structure: &Structure, option: Option<&str>, date: &str) -> Vec<(String, String)> {
    let scene = Scene::drawn(model, structure);
    let looks: &[Look] = if scene.sticks.len() > MANY_TUBES { &Look::ALL } else { &[] };
    let cases: Vec<(&String, &Case)> = model.cases.iter().collect();
    let extent = Extent::of(scene.spots().map(|spot| &spot.at));
    let mut drawing = Drawing { model, option, extent, scene, date, sheets: 0 };
    let named = drawing.tube_names();
    drawing.sheets = 1 + looks.len() + named.len() + cases.len().div_ceil(CASES);
    let mut drawn = vec![("as drawn".to_owned(), drawing.all_views())];
    for look in looks {
        drawn.push((look.name().to_owned(), drawing.single_view(*look, drawn.len() + 1)));
    }
    for (part, named) in named.into_iter().enumerate() {
        let name = if part == 0 { "tubes".to_owned() } else { format!("tubes, {}", named.look.name()) };
        drawn.push((name, drawing.names_of_tubes(named, drawn.len() + 1)));
    }
    for (part, some) in cases.chunks(CASES).enumerate() {
        let name = if part == 0 { "loads".to_owned() } else { format!("loads, part {}", part + 1) };
        drawn.push((name, drawing.loads(some, drawn.len() + 1)));
    }
    drawn
}

struct Drawing<'m> {
    model: &'m Model,
    option: Option<&'m str>,
    scene: Scene,
    extent: Extent,
    date: &'m str,
    sheets: usize,
}

/// A sheet with names of tubes on it, without its title block.
struct NamedTubes {
    look: Look,
    scale: Option<Scale>,
    board: Board,
    /// Names that found no room.
    left_out: Vec<String>,
    /// Whether they come on the next sheet.
    goes_on: bool,
}

impl Drawing<'_> {
    fn title(&self, shows: &str, says: &str, scale: Option<Scale>, sheet: usize) -> Title {
        Title {
            title: self.model.title.clone().unwrap_or_else(|| "Untitled model".to_owned()),
            shows: with_option(shows, self.option),
            verdict: says.to_owned(),
            scale: scale.map_or_else(|| "not to scale".to_owned(), |scale| format!("scale {}", scale.text())),
            movement: "shape as drawn".to_owned(),
            date: self.date.to_owned(),
            sheet: (sheet, self.sheets),
            first_angle: false,
        }
    }

    fn all_views(&self) -> String {
        let mut board = Board::new();
        let arrangement = arrange(&self.extent, &views_area(), &BLOCK);
        let says = "Nothing is solved or judged here: look for a wrong sign, a missing tube, a missing mount.";
        let title = Title { first_angle: true, ..self.title("As drawn", says, Some(arrangement.scale), 1) };
        frame(&mut board.paper, &title);
        for view in &arrangement.views {
            self.view(&mut board, view);
        }
        let points = self.named_points();
        let points = points.map(|(point, text)| point_wish(&arrangement.views, &self.scene, point, 0.0, &text));
        let wishes: Vec<Wish> = points.chain(self.other_names(&arrangement.views)).collect();
        let left_out = label(&mut board, &wishes, WIDEST);
        board.note(&no_room(&left_out));
        self.key(&mut board.paper, &arrangement.legend);
        board.paper.svg()
    }

    fn single_view(&self, look: Look, sheet: usize) -> String {
        let mut board = Board::new();
        let (view, scale) = self.whole_sheet(look);
        let says = "Nothing is solved or judged here. Names that lie behind others stand after them.";
        frame(&mut board.paper, &self.title(&format!("As drawn: {}", look.name()), says, scale, sheet));
        self.view(&mut board, &view);
        let names = together(&view, &self.scene).into_iter().flat_map(|group| {
            let mut names: Vec<String> = group.iter().map(|point| point.name.clone()).collect();
            if let (Some(holds), Some(last)) = (group.iter().find_map(|point| self.held(point)), names.last_mut()) {
                last.push_str(&format!(": {holds}"));
            }
            let spot = LabelSpot { at: view.dot(&group[0].spot.at), view: look, within: inner(&view), worse: 0.0 };
            // More names than one label holds stand in several.
            in_labels(names, WIDEST).into_iter().map(move |names| (names, vec![spot])).collect::<Vec<_>>()
        });
        let others = self.other_names(&[view]).into_iter().map(|wish| (vec![wish.text], wish.spots));
        let (names, wishes): (Vec<Vec<String>>, Vec<Wish>) =
            names.chain(others).map(|(names, spots)| (names.clone(), Wish { text: names.join(", "), spots })).unzip();
        let left_out = place(&mut board, &wishes, WIDEST);
        board.note(&no_room(&left_out.into_iter().flat_map(|place| names[place].clone()).collect::<Vec<_>>()));
        self.key(&mut board.paper, &BESIDE_BLOCK);
        board.paper.svg()
    }

    /// A view that has a sheet to itself, and its scale, which the pictorial one has not.
    fn whole_sheet(&self, look: Look) -> (View, Option<Scale>) {
        let area = Area { bottom: BLOCK.top, ..views_area() };
        let [across, down] = self.extent.size_mm(look);
        let fits = |scale: Scale| {
            let room = |mm: f64| (mm * scale.tenths_per_mm()).ceil().min(1e6) as i32 + 2 * MARGIN;
            room(across) <= area.width() && room(down) <= area.height()
        };
        let scale = (look != Look::Pictorial).then(|| Scale::largest(fits));
        let tenths = scale.map_or_else(|| fitting_tenths(&self.extent, look, &area, MARGIN), Scale::tenths_per_mm);
        (View::centred(look, tenths, area, &self.extent), scale)
    }

    /// Every tube's name at its middle, in the pictorial view; those that find no room there, in the
    /// other views.
    fn tube_names(&self) -> Vec<NamedTubes> {
        let sticks = &self.scene.sticks;
        let mut missing: Vec<usize> = (0..sticks.len()).filter(|stick| !sticks[*stick].is_spring).collect();
        let mut sheets: Vec<NamedTubes> = Vec::new();
        for look in [Look::Pictorial, Look::Top, Look::Side, Look::Front] {
            if missing.is_empty() {
                break;
            }
            let (view, scale) = self.whole_sheet(look);
            let mut board = Board::new();
            self.view(&mut board, &view);
            let strands = [strands(&view, sticks, 0.0)];
            let tried = missing.iter().take(TUBE_NAMES);
            let wishes: Vec<Wish> =
                tried.map(|stick| tube_wish(&[view], &strands, *stick, sticks[*stick].name.clone())).collect();
            let no_room = place(&mut board, &wishes, WIDEST);
            missing = no_room.into_iter().chain(wishes.len()..missing.len()).map(|place| missing[place]).collect();
            let left_out = missing.iter().map(|stick| sticks[*stick].name.clone()).collect();
            sheets.push(NamedTubes { look, scale, board, left_out, goes_on: look != Look::Front });
        }
        sheets
    }

    fn names_of_tubes(&self, named: NamedTubes, sheet: usize) -> String {
        let NamedTubes { look, scale, mut board, left_out, goes_on } = named;
        let says = "Nothing is solved or judged here. Each name is beside its tube, or has a line to it.";
        frame(&mut board.paper, &self.title(&format!("Tubes: {}", look.name()), says, scale, sheet));
        board.note(&match left_out.len() {
            0 => String::new(),
            1 if goes_on => "No room for one name, which comes on the next sheet.".to_owned(),
            count if goes_on => format!("No room for {count} names, which come on the next sheet."),
            _ => no_room(&left_out),
        });
        self.key(&mut board.paper, &BESIDE_BLOCK);
        board.paper.svg()
    }

    fn view(&self, board: &mut Board, view: &View) {
        board.caption(view);
        board.middle(view, &self.scene, &view.cell.grown(-60));
        board.thin_lines(view, &self.scene, 0.0);
        board.sticks(&self.scene.sticks, strands(view, &self.scene.sticks, 0.0), |_| Stroke::ink(WIDE));
        board.symbols(view, &self.scene, 0.0);
    }

    /// What the mount at a point holds.
    fn held(&self, point: &Point) -> Option<String> {
        let support = self.scene.supports.iter().find(|support| support.name == point.name)?;
        Some(holds(&support.hold))
    }

    /// Every point with its name and, at a mount, what that holds.
    fn named_points(&self) -> impl Iterator<Item = (&Point, String)> {
        self.scene.points.iter().map(|point| {
            let text = match self.held(point) {
                Some(holds) => format!("{}: {holds}", point.name),
                None => point.name.clone(),
            };
            (point, text)
        })
    }

    /// What the symbols mean that are on the sheet.
    fn key(&self, paper: &mut Paper, area: &Area) {
        let (scene, mut scrap) = (&self.scene, Room::new(0, 0));
        let area = area.grown(-15);
        let columns = if area.height() > area.width() / 2 { 1 } else { 2 };
        let mut place = 0;
        // Gives each line its place: that of its symbol, and writes its words.
        let mut next = |paper: &mut Paper, words: &str| {
            let (column, row) = (place % columns, place / columns);
            let (x, y) = (area.left + column * area.width() / 2, area.top + LINE * row);
            put(paper, words, (x + 90, y), SMALL);
            place += 1;
            (x, y + 18)
        };
        let mut kinds: Vec<(String, Hold)> = Vec::new();
        for support in &scene.supports {
            let words = symbols::kind_of_support(&support.hold).to_owned();
            if kinds.iter().all(|(known, _)| *known != words) {
                kinds.push((words, support.hold));
            }
        }
        for (words, hold) in &kinds {
            let (x, y) = next(paper, words);
            symbols::support(paper, &mut scrap, (x + 35, y - 16), hold);
        }
        if scene.points.iter().any(|point| point.is_pickup) {
            let (x, y) = next(paper, "pick-up");
            symbols::pickup(paper, &mut scrap, (x + 35, y));
        }
        if !scene.masses.is_empty() {
            let (x, y) = next(paper, "body, with its mounts");
            symbols::body(paper, &mut scrap, (x + 15, y), &[(x + 75, y)]);
        }
        if scene.sticks.iter().any(|stick| stick.is_spring) {
            let (x, y) = next(paper, "spring");
            paper.line(symbols::spring((x, y), (x + 75, y)), NARROW + 1, INK);
        }
        if !scene.bars.is_empty() {
            let (x, y) = next(paper, "anti-roll bar");
            paper.lines(Broken::Dashed.cut(&[(x, y), (x + 75, y)]), NARROW, INK);
        }
        let (x, y) = next(paper, "tube");
        tube(paper, vec![(x, y), (x + 75, y)], &Stroke::ink(WIDE));
    }

    /// Names of bodies with their mass, and of wheels.
    fn other_names(&self, views: &[View]) -> Vec<Wish> {
        let bodies =
            self.scene.masses.iter().map(|mass| (format!("{} {} kg", mass.name, size_mm(mass.mass_kg)), mass.cg.at));
        let wheels = self
            .model
            .corners
            .iter()
            .zip(&self.scene.uprights)
            .map(|(corner, upright)| (corner.wheel.name().to_owned(), upright.patch.at));
        bodies
            .chain(wheels)
            .map(|(text, at)| {
                let spots = views.iter().map(|view| {
                    let worse = if view.look == Look::Side { 100.0 } else { 0.0 };
                    LabelSpot { at: view.dot(&at), view: view.look, within: inner(view), worse }
                });
                Wish { text, spots: spots.collect() }
            })
            .collect()
    }

    /// What acts in some cases, a small picture each, all forces at one scale.
    fn loads(&self, cases: &[(&String, &Case)], sheet: usize) -> String {
        let mut board = Board::new();
        let says = "Nothing is solved or judged here: look for a wrong sign or a missing force.";
        frame(&mut board.paper, &self.title("Loads of the cases", says, None, sheet));
        let forces: Vec<(Vec<Force>, Option<String>)> =
            cases.iter().map(|(name, case)| self.forces(name, case)).collect();
        let scale = ForceScale::of(forces.iter().flat_map(|(forces, _)| forces), SMALL_ARROW);
        let cells = grid(&Area { bottom: BLOCK.top, ..views_area() }, cases.len());
        let room = cells.first().map_or(BLOCK, |cell| Area { top: cell.top + CAPTION, ..*cell });
        let tenths = fitting_tenths(&self.extent, Look::Pictorial, &room, SMALL_MARGIN);
        let mut wishes = Vec::new();
        for (((name, case), (forces, trouble)), cell) in cases.iter().zip(&forces).zip(&cells) {
            let room = Area { top: cell.top + CAPTION, ..*cell };
            let view = View::centred(Look::Pictorial, tenths, room, &self.extent);
            board.text_at(&fit(name, SMALL, cell.width() - 40), (cell.left + 20, cell.top + 12));
            let text = trouble.clone().unwrap_or_else(|| in_words(case));
            let text = if text == **name { String::new() } else { text };
            for (line, text) in wrap(&text, SMALL, cell.width() - 40, 2).iter().enumerate() {
                board.text_at(text, (cell.left + 20, cell.top + 12 + LINE * (line as i32 + 1)));
            }
            board.thin_lines(&view, &self.scene, 0.0);
            board.sticks(&self.scene.sticks, strands(&view, &self.scene.sticks, 0.0), |_| THIN);
            for force in forces {
                let arrow = scale.as_ref().and_then(|scale| scale.arrow(&view, force, 0.0));
                let Some(arrow) = arrow else { continue };
                draw_arrow(&mut board.paper, &arrow, force.kind);
                board.room.take_line(&[arrow.tail, arrow.tip], 10);
                let spot = LabelSpot { at: arrow.free_end, view: Look::Pictorial, within: cell.grown(-10), worse: 0.0 };
                wishes.push(Wish { text: crate::report::words::force(force.force_n.norm()), spots: vec![spot] });
            }
        }
        let left_out = label(&mut board, &wishes, WIDEST);
        let area = BESIDE_BLOCK.grown(-15);
        match &scale {
            Some(scale) => scale.legend(&mut board.paper, (area.left, area.top)),
            None => put(&mut board.paper, "No force acts in these cases.", (area.left, area.top), SMALL),
        }
        // As the sheets of a check have it.
        let least_n = scale.as_ref().map_or(0.0, ForceScale::least_n);
        let is_short = |force: &Force| force.force_n.norm() < least_n;
        let short = if forces.iter().any(|(forces, _)| forces.iter().any(is_short)) {
            format!(", forces under {}", crate::report::words::force(least_n))
        } else {
            String::new()
        };
        let mut note = format!(
            "Forces as the file or the car's figures give them. \
             No arrow: weight, inertia, moments, loads along tubes{short}."
        );
        if !left_out.is_empty() {
            // At the front, since the end of a long note is cut off.
            note = format!("No room for {} numbers. {note}", left_out.len());
        }
        board.note(&note);
        board.paper.svg()
    }

    /// The forces of a case, and why its wheel forces are missing.
    fn forces(&self, name: &str, case: &Case) -> (Vec<Force>, Option<String>) {
        let mut forces = given(self.model, &self.scene, case);
        let trouble = match wheel_loads(self.model, name, case) {
            Ok(wheels) => {
                forces.extend(of_tyres(&self.model.corners, &self.scene, &wheels, case.factor));
                None
            }
            Err(fault) => Some(fault.message),
        };
        forces.retain(|force| force.force_n.norm() > 0.0);
        (forces, trouble)
    }
}

/// The tubes under the arrows of a small picture.
const THIN: Stroke = Stroke { width: NARROW + 1, colour: GREY, core: 0 };
/// Height of the name and the words over a small picture, 0.1 mm.
const CAPTION: i32 = 12 + 2 * LINE;

/// A case in a few words: its accelerations, and what else makes it.
fn in_words(case: &Case) -> String {
    let mut words = Vec::new();
    if let Some(g) = case.g {
        let names = ["long", "lat", "vert"].into_iter().zip(g);
        let asked = names.filter(|(name, value)| *value != if *name == "vert" { 1.0 } else { 0.0 });
        words.extend(asked.map(|(name, value)| format!("{name} {} g", size_mm(value))));
        if words.is_empty() {
            words.push("standing".to_owned());
        }
    }
    if let Some(twist) = &case.twist {
        words.push(format!("twist {} N·m", size_mm(twist.moment_nmm / 1000.0)));
    }
    if !case.moments.is_empty() {
        words.push("moments".to_owned());
    }
    if !case.line_loads.is_empty() {
        words.push("loads along tubes".to_owned());
    }
    if !case.moved.is_empty() {
        words.push("mounts that move".to_owned());
    }
    if case.no_wheels {
        words.push("no wheel forces".to_owned());
    }
    if (case.factor - 1.0).abs() > 1e-9 {
        words.push(format!("all times {}", size_mm(case.factor)));
    }
    words.join(", ")
}

/// An area cut into equal cells for so many pictures, row by row.
pub(super) fn grid(area: &Area, count: usize) -> Vec<Area> {
    let columns = match count {
        0..=3 => count.max(1),
        4 => 2,
        5..=6 => 3,
        7..=8 => 4,
        9 => 3,
        _ => 4,
    };
    let rows = count.div_ceil(columns).max(1);
    let (columns, rows) = (columns as i32, rows as i32);
    (0..count as i32)
        .map(|place| {
            let (column, row) = (place % columns, place / columns);
            Area::new(
                area.left + area.width() * column / columns,
                area.top + area.height() * row / rows,
                area.left + area.width() * (column + 1) / columns,
                area.top + area.height() * (row + 1) / rows,
            )
        })
        .collect()
}

/// Places and writes labels; gives those that found no room.
pub(super) fn label(board: &mut Board, wishes: &[Wish], widest: i32) -> Vec<String> {
    place(board, wishes, widest).into_iter().map(|place| wishes[place].text.clone()).collect()
}

/// Places and writes labels; gives the places in the list of those that found no room.
fn place(board: &mut Board, wishes: &[Wish], widest: i32) -> Vec<usize> {
    let mut placer = Placer::new(std::mem::replace(&mut board.room, Room::new(0, 0)), widest);
    placer.keep_off = wishes.iter().flat_map(|wish| &wish.spots).map(|spot| spot.at).collect();
    let left_out = (0..wishes.len()).filter(|place| placer.place(&wishes[*place]).is_none()).collect();
    placer.draw(&mut board.paper);
    left_out
}

/// Says in a note which labels found no room.
pub(super) fn no_room(left_out: &[String]) -> String {
    if left_out.is_empty() {
        return String::new();
    }
    fit_list("No room for:", left_out, SMALL, views_area().width() - 40)
}
