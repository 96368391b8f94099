//! The sheet round the pictures: border, title block, legend of the ramp.
//!
//! Fields of the title block: those of ISO 7200 that apply. Letters: ISO 3098, 2.5 mm at least.

use super::letters::{LARGE, SMALL, clean, fit, width, wrap};
use super::paper::{Align, Area, Dot, Paper, Text};
use super::pen::{BAND, GREY, INK, NARROW, SKY, Stroke, WHITE, WIDE};
use super::symbols::first_angle;
use crate::report::TOOL;

/// What stands in the title block.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Title {
    /// Title of the model.
    pub title: String,
    /// What the sheet shows: a case, or `as drawn`.
    pub shows: String,
    /// The verdict in a few words, or what else there is to say; may be empty.
    pub verdict: String,
    /// Scale, in words; may be empty.
    pub scale: String,
    /// Exaggeration of the movement, in words; may be empty.
    pub movement: String,
    /// Date.
    pub date: String,
    /// Number of this sheet and of all.
    pub sheet: (usize, usize),
    /// Whether the sheet has views in first-angle arrangement.
    pub first_angle: bool,
}

/// The border of a landscape sheet.
pub(super) const BORDER: Area = Area::new(70, 70, 2900, 2030);
/// The title block of a landscape sheet: as wide as ISO 7200 has it.
pub(super) const BLOCK: Area = Area::new(1100, 1812, 2900, 2030);
/// Heights of the rows of the title block.
const ROWS: [i32; 3] = [108, 46, 64];
/// Widths of the fields in the last row of the title block: the third holds the projection symbol.
const FIELDS: [i32; 6] = [257, 549, 161, 230, 300, 303];

/// What is left for views above the block and below the note at the top.
pub(super) fn views_area() -> Area {
    Area::new(BORDER.left, BORDER.top + 55, BORDER.right, BORDER.bottom)
}

/// Where the legend of a landscape sheet stands when it has not the views in first angle.
pub(super) const BESIDE_BLOCK: Area = Area::new(BORDER.left, BLOCK.top, BLOCK.left, BORDER.bottom);

/// The border of an upright sheet.
pub(super) const UPRIGHT_BORDER: Area = Area::new(70, 70, 2030, 2900);
/// The title block of an upright sheet.
pub(super) const UPRIGHT_BLOCK: Area = Area::new(230, 2682, 2030, 2900);

/// Draws border and title block of a landscape sheet.
pub(super) fn frame(paper: &mut Paper, title: &Title) {
    paper.line(BORDER.outline(), NARROW + 1, INK);
    title_block(paper, &BLOCK, title);
}

/// Draws border and title block of an upright sheet.
pub(super) fn upright_frame(paper: &mut Paper, title: &Title) {
    paper.line(UPRIGHT_BORDER.outline(), NARROW + 1, INK);
    title_block(paper, &UPRIGHT_BLOCK, title);
}

fn title_block(paper: &mut Paper, block: &Area, title: &Title) {
    paper.fill(block.outline(), WHITE);
    let tops = [block.top, block.top + ROWS[0], block.top + ROWS[0] + ROWS[1]];
    for top in [tops[1], tops[2]] {
        paper.line(vec![(block.left, top), (block.right, top)], NARROW, INK);
    }
    let middle = block.left + 1000;
    paper.line(vec![(middle, tops[0]), (middle, tops[1])], NARROW, INK);
    for (text, left, right) in [(&title.title, block.left, middle), (&title.shows, middle, block.right)] {
        let (lines, size) = heading(text, right - left - 40);
        let top = tops[0] + (ROWS[0] - size * lines.len() as i32) / 2;
        for (line, text) in lines.iter().enumerate() {
            put(paper, text, (left + 20, top + size * line as i32), size);
        }
    }
    let middle_of = |row: usize| tops[row] + (ROWS[row] - SMALL) / 2;
    put(paper, &fit(&title.verdict, SMALL, block.width() - 40), (block.left + 20, middle_of(1)), SMALL);
    let (number, of) = title.sheet;
    let fields = [
        title.scale.clone(),
        title.movement.clone(),
        String::new(),
        title.date.clone(),
        format!("{} {}", TOOL.0, TOOL.1),
        format!("sheet {number} of {of}"),
    ];
    let mut left = block.left;
    for (place, (text, across)) in fields.iter().zip(FIELDS).enumerate() {
        if place > 0 {
            paper.line(vec![(left, tops[2]), (left, block.bottom)], NARROW, INK);
        }
        put_middle(paper, &fit(text, SMALL, across - 8), (left + across / 2, middle_of(2)), SMALL);
        if place == 2 && title.first_angle {
            first_angle(paper, (left + across / 2, tops[2] + ROWS[2] / 2));
        }
        left += across;
    }
    paper.line(block.outline(), WIDE, INK);
}

/// A heading that is at most so wide (0.1 mm): large where it fits into one line, else small in as
/// many as three. Gives its lines and the size of its letters.
fn heading(text: &str, across: i32) -> (Vec<String>, i32) {
    if width(&clean(text), LARGE) <= across {
        return (vec![clean(text)], LARGE);
    }
    (wrap(text, SMALL, across, 3), SMALL)
}

/// A text from its upper left corner.
pub(super) fn put(paper: &mut Paper, text: &str, at: Dot, size: i32) {
    paper.text(Text { text: text.to_owned(), at, align: Align::Left, size, colour: INK, upwards: false });
}

/// A text whose upper middle is given.
pub(super) fn put_middle(paper: &mut Paper, text: &str, at: Dot, size: i32) {
    paper.text(Text { text: text.to_owned(), at, align: Align::Middle, size, colour: INK, upwards: false });
}

/// A text whose upper right is given.
pub(super) fn put_right(paper: &mut Paper, text: &str, at: Dot, size: i32) {
    paper.text(Text { text: text.to_owned(), at, align: Align::Right, size, colour: INK, upwards: false });
}

/// Distance of lines of text, 0.1 mm.
pub(super) const LINE: i32 = 44;

/// Size of the legend of the ramp, 0.1 mm.
pub(super) const RAMP: (i32, i32) = (560, 130);

/// The legend of the ramp: a wedge that grows wider and darker, and the double line above 1.
pub(super) fn ramp(paper: &mut Paper, corner: Dot) {
    let (left, top) = corner;
    put(paper, "Utilisation: load over limit", (left, top), SMALL);
    let (steps, length, y) = (20, 380, top + 58);
    for step in 0..steps {
        let stroke = Stroke::of_utilisation((f64::from(step) + 0.5) / f64::from(steps));
        let (from, to) = (left + length * step / steps, left + length * (step + 1) / steps);
        paper.line(vec![(from, y), (to, y)], stroke.width, stroke.colour);
    }
    for (value, text) in [(0, "0"), (1, "0.5"), (2, "1")] {
        let x = left + length * value / 2;
        paper.line(vec![(x, y + 10), (x, y + 20)], NARROW, INK);
        let at = (x, y + 24);
        match value {
            0 => put(paper, text, at, SMALL),
            _ => put_middle(paper, text, at, SMALL),
        }
    }
    let (from, to) = (left + length + 50, left + RAMP.0);
    tube(paper, vec![(from, y), (to, y)], &Stroke::of_utilisation(1.3));
    put_middle(paper, "above 1", (i32::midpoint(from, to), y + 24), SMALL);
}

/// Draws a tube in its stroke, with its white core if it has one.
pub(super) fn tube(paper: &mut Paper, points: Vec<Dot>, stroke: &Stroke) {
    if stroke.core > 0 {
        paper.line(points.clone(), stroke.width, stroke.colour);
        paper.line(points, stroke.core, WHITE);
    } else {
        paper.line(points, stroke.width, stroke.colour);
    }
}

/// Explains the grey lines, on one line.
pub(super) fn key_of_grey(paper: &mut Paper, at: Dot) {
    let (x, y) = at;
    paper.line(vec![(x, y + 18), (x + 60, y + 18)], NARROW, GREY);
    put(paper, "grey: as drawn, not loaded", (x + 72, y), SMALL);
}

/// Explains the band under new tubes, on one line.
pub(super) fn key_of_new(paper: &mut Paper, at: Dot) {
    let (x, y) = at;
    let stroke = Stroke::of_utilisation(0.3);
    let line = vec![(x, y + 18), (x + 75, y + 18)];
    paper.line(line.clone(), stroke.width + 2 * BAND, SKY);
    tube(paper, line, &stroke);
    put(paper, "new tube", (x + 90, y), SMALL);
}
