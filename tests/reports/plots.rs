//! Pictures: what lies where, read back from the SVG.

use crossbrace::model::Model;
use crossbrace::report::Report;
use crossbrace::report::plot::{
    self, CaseSheet, Shown, TradeFigure, TradePoint, case_sheet, case_sheet_layouts, drawing_sheets, side_by_side,
    trade_off, utilisation_bars,
};
use crossbrace::run::{Checked, check};

use super::svg::{Element, Place, elements};
use crate::support::{load, read};

const DATE: &str = "2026-11-25";
const EXAMPLE: &str = "reference/models/example-front.json";
const WISHBONE: &str = "reference/models/front-double-wishbone-001.json";
const UGLY: &str = "reference/models/frame-003.json";
const DEMO: &str = "../models/hillclimb-front-subframe.json";
const CANTILEVER: &str = "../models/cantilever.json";
const REAR: &str = "../models/hillclimb-rear-subframe.json";
const BUGGY: &str = "../models/sprint-buggy.json";
const ALL: [&str; 7] = [EXAMPLE, WISHBONE, UGLY, DEMO, REAR, BUGGY, CANTILEVER];

/// Smallest size of letters, 0.1 mm: capitals of most sans-serif fonts are 0.716 of it or more.
const SMALLEST: f64 = 35.0;

/// A model that was checked.
struct Case {
    model: Model,
    checked: Checked,
    notes: Vec<String>,
}

impl Case {
    #[track_caller]
    fn of(text: &str) -> Case {
        let model = load(text).base;
        Case::of_model(model)
    }

    #[track_caller]
    fn of_model(model: Model) -> Case {
        let checked = check(&model, |_| true).unwrap_or_else(|faults| panic!("{faults:#?}"));
        let notes = checked.notes();
        Case { model, checked, notes }
    }

    fn report(&self) -> Report<'_> {
        Report {
            file: "test.json",
            sha256: "",
            option: None,
            model: &self.model,
            prepared: &self.checked.prepared,
            response: &self.checked.response,
            outcome: &self.checked.outcome,
            verdict: &self.checked.verdict,
            unknowns: None,
            positions: self.checked.positions.as_ref(),
            notes: &self.notes,
        }
    }

    fn drawing(&self) -> Vec<(String, String)> {
        drawing_sheets(&self.model, &self.checked.prepared.system.structure, None, DATE)
    }

    /// Every picture of the model alone.
    fn pictures(&self) -> Vec<String> {
        let report = self.report();
        let cases = (0..report.response.cases.len()).map(|case| case_sheet(&report, case, DATE).1);
        let drawn = self.drawing().into_iter().map(|(_, svg)| svg);
        cases.chain(drawn).chain(utilisation_bars(&report, DATE)).collect()
    }
}

/// The frame of the option of a name, checked.
fn option(text: &str, name: &str) -> Case {
    let (_, model, _) = load(text).options.into_iter().find(|(known, _, _)| known == name).expect("the file has it");
    Case::of_model(model)
}

fn texts(elements: &[Element]) -> impl Iterator<Item = &Element> {
    elements.iter().filter(|element| element.name == "text")
}

/// Lines in the tones of tubes: neither ink, grey, white nor the green of forces.
fn tube_lines(elements: &[Element]) -> Vec<(Vec<Place>, f64)> {
    let others = ["#141414", "#969696", "#FFFFFF", "#007858"];
    elements
        .iter()
        .filter(|element| element.name == "polyline" && !others.contains(&element.attribute("stroke")))
        .map(|line| (line.points(), line.number("stroke-width")))
        .collect()
}

/// Distance of a straight line from a rectangle; 0 where they meet.
fn distance_from(from: Place, to: Place, area: &plot::Area) -> f64 {
    let (left, top) = (f64::from(area.left), f64::from(area.top));
    let (right, bottom) = (f64::from(area.right), f64::from(area.bottom));
    // Convex in the place along the line: narrowed down by thirds.
    let at = |part: f64| {
        let (x, y) = (from.0 + (to.0 - from.0) * part, from.1 + (to.1 - from.1) * part);
        let (dx, dy) = ((left - x).max(x - right).max(0.0), (top - y).max(y - bottom).max(0.0));
        dx.hypot(dy)
    };
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let (one, other) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        if at(one) <= at(other) { high = other } else { low = one }
    }
    at((low + high) / 2.0)
}

fn overlap(one: &plot::Area, other: &plot::Area) -> bool {
    one.left < other.right && other.left < one.right && one.top < other.bottom && other.top < one.bottom
}

/// The text of a label stands in the SVG where the layout has it.
#[track_caller]
fn assert_written(elements: &[Element], label: &plot::Label) {
    let written = texts(elements).any(|text| {
        let edge = match text.attribute("text-anchor") {
            "start" => f64::from(label.area.left),
            "end" => f64::from(label.area.right),
            _ => f64::from((label.area.left + label.area.right) / 2),
        };
        text.text == label.text && text.number("y") == f64::from(label.area.top) && text.number("x") == edge
    });
    assert!(written, "{label:?} is not written where it should be");
}

fn each_case_sheet(mut look: impl FnMut(&str, &CaseSheet, &[Element])) {
    for file in ALL {
        let case = Case::of(&read(file));
        for sheet in case_sheet_layouts(&case.report(), DATE) {
            look(file, &sheet, &elements(&sheet.svg));
        }
    }
}

#[test]
fn no_label_lies_over_another_or_over_a_tube() {
    each_case_sheet(|file, sheet, elements| {
        let tubes = tube_lines(elements);
        assert!(tubes.len() >= sheet.tubes.len() && !sheet.labels.is_empty(), "{file} {}", sheet.case);
        for tube in &sheet.tubes {
            let points: Vec<Place> = tube.points.iter().map(|(x, y)| (f64::from(*x), f64::from(*y))).collect();
            let width = f64::from(tube.width);
            // What was not judged is drawn in ink, which `tube_lines` leaves out.
            let drawn = elements.iter().filter(|element| element.name == "polyline");
            let is_drawn = |line: &Element| line.points() == points && line.number("stroke-width") == width;
            assert!(drawn.clone().any(is_drawn), "{file} {}: {tube:?}", sheet.case);
        }
        for (at, label) in sheet.labels.iter().enumerate() {
            assert_written(elements, label);
            for other in &sheet.labels[at + 1..] {
                assert!(!overlap(&label.area, &other.area), "{file} {}: {label:?} {other:?}", sheet.case);
            }
            for (points, width) in &tubes {
                for pair in points.windows(2) {
                    let clear = distance_from(pair[0], pair[1], &label.area) - width / 2.0;
                    assert!(clear > 0.0, "{file} {}: {label:?} lies over {pair:?}", sheet.case);
                }
            }
        }
    });
}

#[test]
fn no_leader_line_runs_through_a_label() {
    each_case_sheet(|file, sheet, _| {
        for label in &sheet.labels {
            let Some([from, to]) = label.leader else { continue };
            let [from, to] = [from, to].map(|(x, y)| (f64::from(x), f64::from(y)));
            for other in sheet.labels.iter().filter(|other| *other != label) {
                assert!(distance_from(from, to, &other.area) > 0.0, "{file} {}: {label:?} {other:?}", sheet.case);
            }
        }
    });
}

#[test]
fn a_label_that_found_no_room_is_told_on_the_sheet() {
    each_case_sheet(|file, sheet, elements| {
        let told = texts(elements).any(|text| text.text.starts_with("no room for: "));
        assert_eq!(told, !sheet.left_out.is_empty(), "{file} {}", sheet.case);
    });
}

#[test]
fn every_sheet_is_well_formed_in_millimetres_and_inside_its_border() {
    for file in ALL {
        for svg in Case::of(&read(file)).pictures() {
            assert_inside(&svg);
        }
    }
}

#[track_caller]
fn assert_inside(svg: &str) {
    let elements = elements(svg);
    let (across, down) = match (elements[0].attribute("width"), elements[0].attribute("height")) {
        ("297mm", "210mm") => (2970.0, 2100.0),
        ("210mm", "297mm") => (2100.0, 2970.0),
        size => panic!("{size:?} is not A4"),
    };
    assert_eq!(elements[0].attribute("viewBox"), format!("0 0 {across} {down}"));
    for element in &elements {
        for (x, y) in element.points() {
            let inside = (70.0..=across - 70.0).contains(&x) && (70.0..=down - 70.0).contains(&y);
            assert!(inside, "{element:?} leaves the border");
        }
        if element.name == "text" {
            assert!(element.number("font-size") >= SMALLEST, "{element:?}");
            // Common sans-serif letters are half as wide as their size or a little more, these half of that.
            let narrow = |letter: char| " .,:;'!|()[]ijltfrI".contains(letter);
            let widths = element.text.chars().map(|letter| if narrow(letter) { 0.25 } else { 0.55 });
            let length = element.number("font-size") * widths.sum::<f64>();
            let (left, right) = match element.attribute("text-anchor") {
                "start" => (0.0, length),
                "end" => (length, 0.0),
                _ => (length / 2.0, length / 2.0),
            };
            let turned = element.attributes.iter().any(|(name, _)| name == "transform");
            let (x, y) = (element.number("x"), element.number("y"));
            let inside = if turned { y - right > 70.0 } else { x - left > 70.0 && x + right < across - 70.0 };
            assert!(inside, "{element:?} leaves the border");
            // From the top of its capitals to the lowest of its letters a text is as high as its size.
            assert!(turned || y + element.number("font-size") < down - 70.0, "{element:?} stands on the border");
        }
    }
}

#[test]
fn the_projection_symbol_stands_clear_of_its_field_in_the_title_block() {
    let sheet = elements(&Case::of(&read(DEMO)).drawing()[0].1);
    let lines = || sheet.iter().filter(|element| element.name == "polyline");
    // The last row of the block ends at the border; its fields are parted by upright lines.
    let parts = |line: &&Element| {
        let ends = line.points();
        ends.len() == 2 && ends[0].0 == ends[1].0 && ends[0].0 > 1100.0 && ends[0].1 > 1900.0 && ends[1].1 == 2030.0
    };
    let uprights: Vec<Vec<Place>> = lines().filter(parts).map(Element::points).collect();
    assert_eq!(uprights.len(), 5);
    let (left, right, top) = (uprights[1][0].0, uprights[2][0].0, uprights[1][0].1);
    let symbol: Vec<Place> = sheet
        .iter()
        .filter(|element| element.name == "circle" || element.name == "polyline")
        .map(Element::points)
        .filter(|points| points.iter().all(|(x, y)| (left - 40.0..=right + 40.0).contains(x) && *y > top - 20.0))
        .filter(|points| !uprights.contains(points))
        .flatten()
        .collect();
    assert!(symbol.len() > 10, "{symbol:?}");
    for (x, y) in symbol {
        // Half a millimetre of white.
        assert!(
            left + 5.0 <= x && x <= right - 5.0 && top + 5.0 <= y && y <= 2025.0,
            "({x}, {y}) in {left} to {right}"
        );
    }
}

#[test]
fn the_same_model_gives_the_same_bytes() {
    let text = read(DEMO);
    assert_eq!(Case::of(&text).pictures(), Case::of(&text).pictures());
}

#[test]
fn awkward_names_stay_harmless() {
    let wide = "測".repeat(64);
    let text = read(EXAMPLE)
        .replace("\"S.l\"", "\"<S&\\\"'>.l\"")
        .replace("\"S.r\"", "\"<S&\\\"'>.r\"")
        .replace("\"G.l\"", &format!("\"{}.l\"", "測".repeat(62)))
        .replace("\"braking\"", &format!("\"{wide}\""))
        .replace("\"battery\"", &format!("\"{}\"", "W".repeat(64)))
        .replace(
            "\"Front frame of a small single-seat hillclimb car\"",
            "\"<svg onload=\\\"x\\\"> ]]> \\u0007\\u001b[2J\\u202e &amp;\"",
        );
    let case = Case::of(&text);
    for svg in case.pictures() {
        assert_inside(&svg);
        assert!(!svg.contains("onload=\"") && !svg.contains("<S&"), "a name was not escaped");
    }
    let sheets = case_sheet_layouts(&case.report(), DATE);
    let all: Vec<Element> = sheets.iter().flat_map(|sheet| elements(&sheet.svg)).collect();
    assert!(texts(&all).any(|text| text.text.contains("<S&\"'>.l")));
    assert!(texts(&all).any(|text| text.text.starts_with("測") && text.text.ends_with('…')));
    assert!(texts(&all).any(|text| text.text == "<svg onload=\"x\"> ]]> \u{fffd}\u{fffd}[2J\u{fffd} &amp;"));
}

/// N of `movement drawn N times` on a sheet.
fn exaggeration(elements: &[Element]) -> Option<f64> {
    texts(elements).find_map(|text| match text.text.as_str() {
        "movement at true size" => Some(1.0),
        words => words.strip_prefix("movement drawn ")?.strip_suffix(" times")?.parse().ok(),
    })
}

#[test]
fn movement_is_drawn_a_round_number_of_times() {
    each_case_sheet(|file, sheet, elements| {
        let times = exaggeration(elements).unwrap_or_else(|| panic!("{file} {}", sheet.case));
        let digits = format!("{times:e}");
        let (digit, _) = digits.split_once('e').unwrap();
        assert!(["1", "2", "5"].contains(&digit), "{file} {}: {times}", sheet.case);
    });
}

#[test]
fn the_tip_of_a_cantilever_is_drawn_where_the_exaggeration_says() {
    let case = Case::of(&read(CANTILEVER));
    let sheet = &case_sheet_layouts(&case.report(), DATE)[0];
    let elements = elements(&sheet.svg);
    let times = exaggeration(&elements).unwrap();
    let scale = texts(&elements).find_map(|text| text.text.strip_prefix("scale 1:")?.parse::<f64>().ok()).unwrap();
    // Handbook: F L³/3EI by bending and F L/(k A G) by shear, as the model's notes have them.
    let sinks_mm = case.checked.outcome.cases["hanging"].nodes["tip"].move_mm.z;
    assert!((sinks_mm + 22.19).abs() < 0.05, "{sinks_mm}");
    // The side view's tube is the first: its tip is its left end, since the nose points left.
    let tube = &sheet.tubes[0];
    let (tip, wall) = (tube.points[tube.points.len() - 1], tube.points[0]);
    assert!(tip.0 < wall.0, "{tube:?}");
    let drawn = f64::from(tip.1 - wall.1);
    assert!((drawn - times * 22.19 * 10.0 / scale).abs() < 1.5, "{drawn}");
    // It bends: the middle has sunk by 5/16 of the tip.
    let middle = tube.points.iter().map(|(x, y)| (f64::from(*x), f64::from(*y))).collect::<Vec<_>>();
    let half = (f64::from(tip.0) + f64::from(wall.0)) / 2.0;
    let pair = middle.windows(2).find(|pair| pair[0].0 >= half && pair[1].0 <= half).unwrap();
    let part = (half - pair[0].0) / (pair[1].0 - pair[0].0);
    let sunk = pair[0].1 + (pair[1].1 - pair[0].1) * part - f64::from(wall.1);
    assert!((sunk - drawn * 5.0 / 16.0).abs() < 2.0, "{sunk} of {drawn}");
}

#[test]
fn a_tube_above_one_is_a_double_line_with_its_number() {
    let case = Case::of(&read(DEMO));
    let report = case.report();
    let mut seen = 0;
    for sheet in case_sheet_layouts(&report, DATE) {
        let elements = elements(&sheet.svg);
        let lines: Vec<&Element> = elements.iter().filter(|element| element.name == "polyline").collect();
        // Each followed by its white core; one more is in the legend, and each tube is in four views.
        let double = lines
            .windows(2)
            .filter(|pair| pair[0].attribute("stroke") == "#D55E00")
            .inspect(|pair| {
                assert_eq!(pair[1].attribute("stroke"), "#FFFFFF");
                assert_eq!(pair[0].points(), pair[1].points());
                assert!(pair[1].number("stroke-width") < pair[0].number("stroke-width"));
            })
            .count();
        let above: Vec<f64> = report.verdict.tubes[&sheet.case]
            .values()
            .map(|judged| judged.utilisations().into_iter().map(|(_, value)| value).fold(0.0, f64::max))
            .filter(|value| *value > 1.0)
            .collect();
        seen += above.len();
        assert!(double > 4 * above.len(), "{}: {double} lines for {} tubes", sheet.case, above.len());
        for value in above {
            let number = format!("{value:.2}");
            let told = texts(&elements).any(|text| text.text == number || text.text.ends_with(&format!(" {number}")));
            assert!(told || !sheet.left_out.is_empty(), "{}: {number}", sheet.case);
        }
    }
    assert!(seen > 10, "the demo as drawn fails: {seen}");
}

#[test]
fn tiny_and_huge_frames_fill_a_sheet_too() {
    for (length, scale) in [("2", "scale 50:1"), ("12345", "scale 1:100"), ("4e6", "scale 1:30000")] {
        let text = read(CANTILEVER).replace("\"tip\": [800, 0, 500]", &format!("\"tip\": [{length}, 0, 500]"));
        let case = Case::of(&text);
        for svg in case.pictures() {
            assert_inside(&svg);
        }
        let sheet = &case_sheet(&case.report(), 0, DATE).1;
        let found = texts(&elements(sheet)).any(|text| text.text == scale);
        assert!(found, "{length}: {:?}", texts(&elements(sheet)).map(|text| text.text.clone()).collect::<Vec<_>>());
    }
}

#[test]
fn the_sheets_before_solving_name_every_point_and_what_is_held() {
    for file in [EXAMPLE, DEMO, UGLY] {
        let case = Case::of(&read(file));
        let sheets = case.drawing();
        let first: Vec<Element> = elements(&sheets[0].1);
        let no_room = texts(&first).find(|text| text.text.starts_with("No room for: ")).map(|text| text.text.clone());
        for anchor in case.model.anchors() {
            let name = case.model.anchor_name(anchor);
            let starts = format!("{name}: ");
            let named = texts(&first).any(|text| text.text == name || text.text.starts_with(&starts));
            let told = no_room.as_deref().is_some_and(|text| text.contains(name));
            assert!(named || told, "{file}: {name}");
        }
        assert!(texts(&first).any(|text| text.text.ends_with(": bolted pad")), "{file}");
        let names: Vec<&str> = sheets.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(&names[..5], ["as drawn", "side", "top", "front", "pictorial"], "{file}");
        let is_known = |name: &&str| name.starts_with("tubes") || name.starts_with("loads");
        assert!(names[5..].iter().all(is_known) && names.contains(&"tubes"), "{names:?}");
    }
    let small = Case::of(&read(CANTILEVER)).drawing();
    assert_eq!(small.iter().map(|(name, _)| name.as_str()).collect::<Vec<_>>(), ["as drawn", "tubes", "loads"]);
}

#[test]
fn every_tube_is_named_on_a_sheet_before_solving_or_told_to_find_no_room() {
    for file in ALL {
        let case = Case::of(&read(file));
        let sheets = case.drawing();
        let sheets: Vec<Vec<Element>> =
            sheets.iter().filter(|(name, _)| name.starts_with("tubes")).map(|(_, svg)| elements(svg)).collect();
        let written: Vec<&str> = sheets.iter().flat_map(|sheet| texts(sheet)).map(|text| text.text.as_str()).collect();
        let told = written.iter().filter_map(|text| text.strip_prefix("No room for: ")).collect::<Vec<_>>().concat();
        let structure = &case.checked.prepared.system.structure;
        for (at, tube) in structure.tubes.iter().enumerate() {
            let name = structure.tube_name(&case.model, at);
            let is_spring = matches!(tube.name, crossbrace::structure::TubeName::Spring(_));
            assert!(is_spring || written.contains(&name.as_str()) || told.contains(&name), "{file}: {name}");
        }
    }
}

#[test]
fn the_name_of_a_tube_stands_beside_its_middle() {
    let sheets = Case::of(&read(CANTILEVER)).drawing();
    let (_, svg) = sheets.iter().find(|(name, _)| name == "tubes").unwrap();
    let sheet = elements(svg);
    // The legend, with a tube of its own, stands below 1800.
    let name = texts(&sheet).find(|text| text.text == "tube" && text.number("y") < 1800.0);
    let name = name.unwrap_or_else(|| panic!("{svg}"));
    let is_tube =
        |line: &&Element| line.number("stroke-width") >= 5.0 && line.points().iter().all(|(_, y)| *y < 1800.0);
    let tubes: Vec<&Element> = sheet.iter().filter(|element| element.name == "polyline").filter(is_tube).collect();
    let ends = tubes[0].points();
    let middle = ((ends[0].0 + ends[1].0) / 2.0, (ends[0].1 + ends[1].1) / 2.0);
    let (x, y) = (name.number("x"), name.number("y") + 17.5);
    assert!((x - middle.0).hypot(y - middle.1) < 90.0, "({x}, {y}) {middle:?}");
}

#[test]
fn of_many_nodes_behind_one_another_each_name_is_written_or_told_to_find_no_room() {
    // Sixteen rungs across the car: in the side view all their feet are one place, and all their heads.
    let rung = |number: usize| format!("rung {number} ");
    let (mut nodes, mut members) = (Vec::new(), Vec::new());
    for number in 0..16 {
        let (foot, head) = (rung(number) + "foot", rung(number) + "head");
        nodes.push(format!("\"{foot}\": [0, {0}, 200], \"{head}\": [0, {0}, 700]", 50 * number));
        members.push(format!("\"rung {number}\": {{\"ends\": [\"{foot}\", \"{head}\"], \"tube\": \"t\"}}"));
        if number > 0 {
            for end in ["foot", "head"] {
                let ends = [rung(number - 1), rung(number)].map(|rung| format!("\"{rung}{end}\"")).join(", ");
                members.push(format!("\"{end} rail {number}\": {{\"ends\": [{ends}], \"tube\": \"t\"}}"));
            }
        }
    }
    let text = format!(
        "{{\"format\": 1, \"tubes\": {{\"t\": {{\"round\": {{\"od\": 30, \"wall\": 2}}, \"material\": \"E235+N\"}}}}, \
          \"nodes\": {{{}}}, \"members\": {{{}}}, \"mounts\": {{\"rung 0 foot\": \"bolted pad\"}}, \
          \"cases\": {{\"push\": {{\"forces\": {{\"rung 9 head\": [100, 0, 0]}}}}}}}}",
        nodes.join(", "),
        members.join(", ")
    );
    let sheets = Case::of(&text).drawing();
    let (_, side) = sheets.iter().find(|(name, _)| name == "side").expect("so many tubes get single views");
    let side = elements(side);
    let written: Vec<&str> =
        texts(&side).flat_map(|text| text.text.trim_start_matches("No room for: ").split(", ")).collect();
    for number in 0..16 {
        for end in ["foot", "head"] {
            let name = rung(number) + end;
            let named = written.iter().any(|text| *text == name || text.starts_with(&format!("{name}: ")));
            assert!(named, "{name} is not among {written:?}");
        }
    }
}

#[test]
fn a_load_sheet_says_which_forces_are_too_small_for_an_arrow() {
    let note = |force: f64, crowd: usize| {
        let text = read(CANTILEVER);
        let mut model: serde_json::Value = serde_json::from_str(&text).unwrap();
        model["cases"]["small"] = serde_json::json!({"forces": {"tip": [0, 0, force]}});
        for number in 0..crowd {
            let name = format!("tab {number}");
            model["brackets"][&name] = serde_json::json!({"at": model["nodes"]["tip"], "on": "tip"});
            model["cases"]["small"]["forces"][&name] = serde_json::json!([0, 0, -1234]);
        }
        let sheets = Case::of(&model.to_string()).drawing();
        let loads = elements(&sheets.iter().find(|(name, _)| name == "loads").unwrap().1);
        let note = texts(&loads).find(|text| text.text.contains("No arrow: ")).map(|text| text.text.clone());
        note.unwrap()
    };
    for crowd in [0, 400] {
        let with = note(-1.0, crowd);
        assert_eq!(with.starts_with("No room for "), crowd > 0, "{with}");
        assert!(with.contains(", forces under ") && with.ends_with("N."), "whole, and with a figure: {with}");
    }
    assert!(!note(-300.0, 0).contains("forces under"));
}

#[test]
fn bars_begin_at_zero_and_fall_from_row_to_row() {
    let case = Case::of(&read(DEMO));
    let report = case.report();
    let pages = utilisation_bars(&report, DATE);
    let mut names = Vec::new();
    let mut longest = f64::INFINITY;
    for page in &pages {
        let elements = elements(page);
        let bars: Vec<&Element> = elements
            .iter()
            .filter(|element| element.name == "polyline" && element.number("stroke-width") == 24.0)
            .collect();
        for bar in bars {
            let points = bar.points();
            assert_eq!(points[0].0, 560.0, "a bar begins at zero");
            let length = points[1].0 - points[0].0;
            assert!(length <= longest, "bars are sorted");
            longest = length;
        }
        names.extend(texts(&elements).map(|text| text.text.clone()));
    }
    let judged = report.verdict.tubes.values().next().unwrap();
    for tube in judged.keys() {
        assert!(names.contains(tube), "{tube} has no row");
    }
    for name in report.verdict.tubes.keys() {
        assert!(names.contains(name), "{name} has no column");
    }
}

/// Members of both models that have another section in the second.
fn resized(base: &Model, option: &Model) -> usize {
    let section = |model: &Model, name: &str| model.members.get(name).map(|member| model.tubes[member.tube].section);
    let is_resized = |name: &&String| section(option, name).is_some_and(|own| section(base, name) != Some(own));
    base.members.keys().filter(is_resized).count()
}

#[test]
fn options_stand_side_by_side_at_one_exaggeration() {
    let text = read(DEMO);
    let base = Case::of(&text);
    let mended = option(&text, "rear diagonal and scuttle V");
    let (one, other) = (base.report(), mended.report());
    let frames = [Shown::of("as drawn".to_owned(), &one), Shown::of("mended".to_owned(), &other)];
    let sheets = side_by_side("A frame", &frames, DATE);
    assert_eq!(sheets.len(), base.model.cases.len());
    for (case, svg) in &sheets {
        assert_inside(svg);
        let elements = elements(svg);
        assert!(exaggeration(&elements).is_some(), "{case}");
        for variant in ["as drawn", "mended"] {
            assert!(texts(&elements).any(|text| text.text == variant), "{case}");
        }
        // The braces that the option brings, of twins one.
        for brace in ["new: rear diagonal.", "new: scuttle brace."] {
            let named = texts(&elements).filter(|text| text.text.starts_with(brace)).count();
            assert_eq!(named, 1, "{case}: {brace}");
        }
        assert!(texts(&elements).any(|text| text.text == "new tube"), "{case}");
        let is_band = |(name, value): &(String, String)| name == "stroke" && value == "#8CD0F5";
        let bands = elements.iter().filter(|element| element.attributes.iter().any(is_band)).count();
        assert!(bands >= 5, "both twins of each, and the key: {case}: {bands}");
        let mass = format!("{:.2} kg.", one.outcome.mass.frame_kg + one.outcome.mass.arms_kg);
        assert!(texts(&elements).any(|text| text.text.starts_with(&mass)), "{case}: {mass}");
        let mass = other.outcome.mass.frame_kg + other.outcome.mass.arms_kg;
        let resized = format!("{mass:.2} kg, {} tubes of another size. ", resized(&base.model, &mended.model));
        assert!(texts(&elements).any(|text| text.text.starts_with(&resized)), "{case}: {resized}");
    }
    let many: Vec<Shown<'_>> = (0..9).map(|number| Shown::of(format!("option {number}"), &one)).collect();
    let sheets = side_by_side("A frame", &many, DATE);
    assert_eq!(sheets.len(), 2 * base.model.cases.len());
    for (_, svg) in &sheets {
        assert!(!texts(&elements(svg)).any(|text| text.text == "new tube"), "nothing is new");
        assert!(texts(&elements(svg)).any(|text| text.text == "option 0"), "the base stands on every sheet");
    }
    assert!(side_by_side("A frame", &[], DATE).is_empty());
}

#[test]
fn a_trade_off_names_each_option_and_the_limit() {
    let point = |name: &str, mass_kg: f64, value: f64| TradePoint { name: name.to_owned(), mass_kg, value };
    let points = [
        point("base", 10.0, 900.0),
        point("K < brace", 11.0, 1500.0),
        point("heavy", 12.0, 1400.0),
        point("X", 10.0, 900.0),
    ];
    let figure = TradeFigure {
        mass_of: "all tubes",
        name: "Twist stiffness".to_owned(),
        unit: "N·m/deg".to_owned(),
        more_is_better: true,
        limit: Some(1200.0),
    };
    let svg = trade_off("A frame", &points, &[], &figure, DATE);
    assert_inside(&svg);
    let elements = elements(&svg);
    for point in &points {
        assert!(texts(&elements).any(|text| text.text == point.name), "{}", point.name);
    }
    assert!(texts(&elements).any(|text| text.text == "limit: at least 1200 N·m/deg"));
    let full = elements.iter().filter(|element| element.name == "circle" && element.attribute("fill") == "#141414");
    // `base` and `X` are alike, and nothing beats either; `heavy` is beaten.
    assert_eq!(full.filter(|disc| disc.number("r") == 14.0).count(), 3);
    for less in [trade_off("", &[], &[], &figure, DATE), trade_off("one", &points[..1], &[], &figure, DATE)] {
        assert_inside(&less);
    }
}
