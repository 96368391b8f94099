//! A sheet of paper: marks in whole tenths of a millimetre, and the sheet as SVG.
//!
//! Every mark is a plain value until [`Paper::svg`], so that what lies where can be looked up while
//! the sheet is being drawn. x runs right, y runs down from the upper left corner.

use plotters::prelude::{DrawingBackend, RGBColor, SVGBackend};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, FontDesc, FontFamily, FontStyle, FontTransform, ShapeStyle, TextStyle};

use super::letters::{clean, width};

/// A place on the paper, 0.1 mm.
pub type Dot = (i32, i32);

/// A colour.
pub(super) type Colour = RGBColor;

/// A rectangle on the paper, 0.1 mm; right and bottom lie outside.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Area {
    /// Left edge.
    pub left: i32,
    /// Upper edge.
    pub top: i32,
    /// Right edge.
    pub right: i32,
    /// Lower edge.
    pub bottom: i32,
}

impl Area {
    /// From edges.
    pub const fn new(left: i32, top: i32, right: i32, bottom: i32) -> Area {
        Area { left, top, right, bottom }
    }

    /// Width.
    pub fn width(&self) -> i32 {
        self.right - self.left
    }

    /// Height.
    pub fn height(&self) -> i32 {
        self.bottom - self.top
    }

    /// The middle.
    pub fn centre(&self) -> Dot {
        ((self.left + self.right) / 2, (self.top + self.bottom) / 2)
    }

    /// Larger by so much on each side.
    #[must_use]
    pub fn grown(&self, by: i32) -> Area {
        Area::new(self.left - by, self.top - by, self.right + by, self.bottom + by)
    }

    /// Whether all of another lies in it.
    pub fn holds(&self, other: &Area) -> bool {
        self.left <= other.left && other.right <= self.right && self.top <= other.top && other.bottom <= self.bottom
    }

    /// Whether a place lies in it.
    pub fn holds_dot(&self, dot: Dot) -> bool {
        (self.left..=self.right).contains(&dot.0) && (self.top..=self.bottom).contains(&dot.1)
    }

    /// Whether the two have a place in common.
    pub fn meets(&self, other: &Area) -> bool {
        self.left < other.right && other.left < self.right && self.top < other.bottom && other.top < self.bottom
    }

    /// The corners, the first once more at the end.
    pub fn outline(&self) -> Vec<Dot> {
        vec![
            (self.left, self.top),
            (self.right, self.top),
            (self.right, self.bottom),
            (self.left, self.bottom),
            (self.left, self.top),
        ]
    }
}

/// Which point of a text its place is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Align {
    /// The left end.
    Left,
    /// The middle.
    Middle,
    /// The right end.
    Right,
}

/// A text to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Text {
    /// What.
    pub text: String,
    /// Upper left, middle or right of its letters.
    pub at: Dot,
    /// Which of these.
    pub align: Align,
    /// Size of the letters, 0.1 mm.
    pub size: i32,
    /// Colour.
    pub colour: Colour,
    /// Turned to read from below upwards, about its place.
    pub upwards: bool,
}

impl Text {
    /// The room that the text takes.
    pub(super) fn area(&self) -> Area {
        let (length, height) = (width(&self.text, self.size), self.size);
        let before = match self.align {
            Align::Left => 0,
            Align::Middle => length / 2,
            Align::Right => length,
        };
        let (x, y) = self.at;
        if self.upwards {
            Area::new(x, y + before - length, x + height, y + before)
        } else {
            Area::new(x - before, y, x - before + length, y + height)
        }
    }
}

/// Something drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Mark {
    /// A line through points.
    Line {
        /// The points.
        points: Vec<Dot>,
        /// Width, 0.1 mm.
        width: u32,
        /// Colour.
        colour: Colour,
    },
    /// A filled shape.
    Fill {
        /// Its corners.
        points: Vec<Dot>,
        /// Colour.
        colour: Colour,
    },
    /// A circle.
    Ring {
        /// Centre.
        centre: Dot,
        /// Radius.
        radius: u32,
        /// Width of the line, 0.1 mm.
        width: u32,
        /// Colour.
        colour: Colour,
    },
    /// A filled circle.
    Disc {
        /// Centre.
        centre: Dot,
        /// Radius.
        radius: u32,
        /// Colour.
        colour: Colour,
    },
    /// A text.
    Text(Text),
}

/// A sheet while it is drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Paper {
    size: (u32, u32),
    marks: Vec<Mark>,
}

impl Paper {
    /// A4, the long side across.
    pub(super) fn landscape() -> Paper {
        Paper { size: (2970, 2100), marks: Vec::new() }
    }

    /// A4, the long side upright.
    pub(super) fn portrait() -> Paper {
        Paper { size: (2100, 2970), marks: Vec::new() }
    }

    /// A line through points; fewer than two draw nothing.
    pub(super) fn line(&mut self, points: Vec<Dot>, width: u32, colour: Colour) {
        if points.len() > 1 {
            self.marks.push(Mark::Line { points, width, colour });
        }
    }

    /// Several lines.
    pub(super) fn lines(&mut self, lines: impl IntoIterator<Item = Vec<Dot>>, width: u32, colour: Colour) {
        for points in lines {
            self.line(points, width, colour);
        }
    }

    /// A filled shape.
    pub(super) fn fill(&mut self, points: Vec<Dot>, colour: Colour) {
        self.marks.push(Mark::Fill { points, colour });
    }

    /// A circle.
    pub(super) fn ring(&mut self, centre: Dot, radius: u32, width: u32, colour: Colour) {
        self.marks.push(Mark::Ring { centre, radius, width, colour });
    }

    /// A filled circle.
    pub(super) fn disc(&mut self, centre: Dot, radius: u32, colour: Colour) {
        self.marks.push(Mark::Disc { centre, radius, colour });
    }

    /// A text, cleaned; an empty one draws nothing.
    pub(super) fn text(&mut self, mut text: Text) {
        text.text = clean(&text.text);
        if !text.text.trim().is_empty() {
            self.marks.push(Mark::Text(text));
        }
    }

    /// The sheet as SVG, in millimetres.
    pub(super) fn svg(&self) -> String {
        let mut svg = String::with_capacity(self.marks.len() * 130);
        {
            let mut backend = SVGBackend::with_string(&mut svg, self.size);
            for mark in &self.marks {
                draw(&mut backend, mark);
            }
            backend.present().expect(INTO_A_STRING);
        }
        let (across, down) = self.size;
        let head = format!("width=\"{across}\" height=\"{down}\"");
        let in_mm = format!("width=\"{}mm\" height=\"{}mm\"", across / 10, down / 10);
        // Nothing is see-through; a quotation mark of a text is escaped, so that no text matches.
        svg.replacen(&head, &in_mm, 1).replace(" opacity=\"1\"", "")
    }
}

const INTO_A_STRING: &str = "a string takes whatever is written";

/// The drawing library divides the size of letters by this.
const SIZE_DIVISOR: f64 = 1.24;

fn draw(backend: &mut SVGBackend<'_>, mark: &Mark) {
    let stroke =
        |colour: Colour, width: u32| ShapeStyle { color: colour.to_rgba(), filled: false, stroke_width: width };
    let drawn = match mark {
        Mark::Line { points, width, colour } => backend.draw_path(points.iter().copied(), &stroke(*colour, *width)),
        Mark::Fill { points, colour } => backend.fill_polygon(points.iter().copied(), &colour.filled()),
        Mark::Ring { centre, radius, width, colour } => {
            backend.draw_circle(*centre, *radius, &stroke(*colour, *width), false)
        }
        Mark::Disc { centre, radius, colour } => backend.draw_circle(*centre, *radius, &colour.filled(), true),
        Mark::Text(text) => {
            let across = match text.align {
                Align::Left => HPos::Left,
                Align::Middle => HPos::Center,
                Align::Right => HPos::Right,
            };
            let font = FontDesc::new(FontFamily::SansSerif, f64::from(text.size) * SIZE_DIVISOR, FontStyle::Normal);
            let turn = if text.upwards { FontTransform::Rotate270 } else { FontTransform::None };
            let style = TextStyle::from(font.transform(turn)).color(&text.colour).pos(Pos::new(across, VPos::Top));
            backend.draw_text(&text.text, &style, text.at)
        }
    };
    drawn.expect(INTO_A_STRING);
}

#[cfg(test)]
mod tests {
    use plotters::style::BLACK;

    use super::*;

    #[test]
    fn a_sheet_is_in_millimetres_and_keeps_its_view_box() {
        let mut paper = Paper::landscape();
        let text = "a<b & \"c\" opacity=\"1\" \u{7}".to_owned();
        let at = (100, 200);
        paper.text(Text { text, at, align: Align::Left, size: 35, colour: BLACK, upwards: false });
        paper.line(vec![(0, 0), (10, 20)], 5, BLACK);
        let svg = paper.svg();
        assert!(svg.starts_with("<svg width=\"297mm\" height=\"210mm\" viewBox=\"0 0 2970 2100\""), "{svg}");
        assert!(svg.contains("a&lt;b &amp; &quot;c&quot; opacity=&quot;1&quot; \u{fffd}"), "{svg}");
        assert!(svg.contains("font-size=\"35\""), "{svg}");
        assert!(svg.contains("stroke-width=\"5\" points=\"0,0 10,20 \"/>"), "{svg}");
    }
}
