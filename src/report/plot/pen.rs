//! Kinds of lines, arrow heads, and the colours of a sheet.
//!
//! Source of the kinds: ISO 128-2. Dashes are drawn out by a third to a half against its lengths,
//! which keeps the files small.

use colorous::CIVIDIS;

use super::paper::{Colour, Dot};
use crate::checks::exceeds_limit;

/// Width of a narrow line, 0.1 mm.
pub(super) const NARROW: u32 = 2;
/// Width of a wide line, 0.1 mm.
pub(super) const WIDE: u32 = 5;
/// Letters and narrow lines.
pub(super) const INK: Colour = plotters::style::RGBColor(20, 20, 20);
/// The frame as drawn, under the moved one; helping lines of charts.
pub(super) const GREY: Colour = plotters::style::RGBColor(150, 150, 150);
/// The paper.
pub(super) const WHITE: Colour = plotters::style::WHITE;
/// Above the limit. Source: Okabe & Ito (2008), Color Universal Design, vermilion.
pub(super) const VERMILION: Colour = plotters::style::RGBColor(0xd5, 0x5e, 0x00);
/// Forces. Source: as above, bluish green, darkened to be read on white.
pub(super) const GREEN: Colour = plotters::style::RGBColor(0, 0x78, 0x58);
/// The band under tubes that are new. Source: as above, sky blue, lightened so that every tone of a tube stands out.
pub(super) const SKY: Colour = plotters::style::RGBColor(0x8c, 0xd0, 0xf5);
/// How far that band stands out on each side of its tube, 0.1 mm.
pub(super) const BAND: u32 = 10;

/// The lightest tone of the ramp, as a place on the colour map: lighter ones vanish on white paper.
const LIGHTEST: f64 = 0.8;

/// How a tube is drawn for its utilisation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stroke {
    /// Width, 0.1 mm.
    pub width: u32,
    /// Colour.
    pub colour: Colour,
    /// Width of a white core, 0.1 mm; 0: none.
    pub core: u32,
}

impl Stroke {
    /// A line in ink.
    pub(super) const fn ink(width: u32) -> Stroke {
        Stroke { width, colour: INK, core: 0 }
    }

    /// Wider and darker with utilisation; above 1 a double line in vermilion that grows on to 2.
    pub(super) fn of_utilisation(utilisation: f64) -> Stroke {
        if exceeds_limit(utilisation) {
            let more = (utilisation - 1.0).min(1.0);
            return Stroke { width: rounded(17.0 + 6.0 * more), colour: VERMILION, core: rounded(7.0 + 3.0 * more) };
        }
        Stroke { width: rounded(5.0 + 7.0 * utilisation.max(0.0)), colour: tone(utilisation), core: 0 }
    }
}

fn rounded(value: f64) -> u32 {
    round(value, 0.0).0.unsigned_abs()
}

/// Tone of a utilisation from 0 to 1, light to dark.
pub(super) fn tone(utilisation: f64) -> Colour {
    let colour = CIVIDIS.eval_continuous(LIGHTEST * (1.0 - utilisation.clamp(0.0, 1.0)));
    plotters::style::RGBColor(colour.r, colour.g, colour.b)
}

/// A kind of line that is not continuous.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Broken {
    /// Hidden outlines, and here what carries forces but is no tube.
    Dashed,
    /// Centre lines and planes of symmetry.
    Chain,
}

impl Broken {
    /// Lengths of dash, gap, dash, gap …, in line widths.
    fn pattern(self) -> &'static [f64] {
        match self {
            Broken::Dashed => &[16.0, 6.0],
            Broken::Chain => &[36.0, 5.0, 3.0, 5.0],
        }
    }

    /// A narrow line of this kind through points, cut into its dashes.
    pub(super) fn cut(self, points: &[Dot]) -> Vec<Vec<Dot>> {
        let lengths: Vec<f64> = self.pattern().iter().map(|length| length * f64::from(NARROW)).collect();
        let (mut place, mut left) = (0, lengths[0]);
        let mut dashes: Vec<Vec<Dot>> = Vec::new();
        let mut dash: Vec<Dot> = points.first().copied().into_iter().collect();
        for pair in points.windows(2) {
            let (from, to) = (pair[0], pair[1]);
            let length = distance(from, to);
            let mut at = 0.0;
            while length - at > left {
                at += left;
                let here = between(from, to, at / length);
                if place % 2 == 0 {
                    dash.push(here);
                    dashes.push(std::mem::take(&mut dash));
                } else {
                    dash = vec![here];
                }
                place = (place + 1) % lengths.len();
                left = lengths[place];
            }
            left -= length - at;
            if place % 2 == 0 {
                dash.push(to);
            }
        }
        if place % 2 == 0 {
            dashes.push(dash);
        }
        dashes.retain(|dash| dash.len() > 1);
        dashes
    }
}

/// Distance of two places, 0.1 mm.
pub(super) fn distance(one: Dot, other: Dot) -> f64 {
    let (x, y) = (f64::from(one.0 - other.0), f64::from(one.1 - other.1));
    (x * x + y * y).sqrt()
}

/// Distance of a place from a straight line between two others, 0.1 mm.
pub(super) fn off_segment(at: Dot, from: Dot, to: Dot) -> f64 {
    let (dx, dy) = (f64::from(to.0 - from.0), f64::from(to.1 - from.1));
    let (x, y) = (f64::from(at.0 - from.0), f64::from(at.1 - from.1));
    let square = dx * dx + dy * dy;
    let part = if square > 0.0 { ((x * dx + y * dy) / square).clamp(0.0, 1.0) } else { 0.0 };
    let (x, y) = (x - dx * part, y - dy * part);
    (x * x + y * y).sqrt()
}

/// The place a part of the way from one to another.
pub(super) fn between(one: Dot, other: Dot, part: f64) -> Dot {
    round(f64::from(one.0) + f64::from(other.0 - one.0) * part, f64::from(one.1) + f64::from(other.1 - one.1) * part)
}

/// The whole tenths nearest to a place. Halves, which are frequent in drawings, round up even
/// where the last digits of two processors differ.
pub(super) fn round(x: f64, y: f64) -> Dot {
    let nearest = |value: f64| {
        // What lies far off any sheet stays far off, in numbers that can still be subtracted.
        let up = value.clamp(-1e7, 1e7) + (0.5 + 1e-6);
        // Cast and compare: several times faster than `floor` where a processor has none.
        let whole = up as i32;
        if f64::from(whole) > up { whole - 1 } else { whole }
    };
    (nearest(x), nearest(y))
}

/// The corners of a slim arrow head with its tip at `tip`, pointing away from `from`.
pub(super) fn arrow_head(from: Dot, tip: Dot, length: f64) -> Vec<Dot> {
    let whole = distance(from, tip);
    if whole == 0.0 {
        return vec![tip];
    }
    let (dx, dy) = (f64::from(tip.0 - from.0) / whole, f64::from(tip.1 - from.1) / whole);
    let half = length * 0.22;
    let (x, y) = (f64::from(tip.0) - dx * length, f64::from(tip.1) - dy * length);
    vec![tip, round(x - dy * half, y + dx * half), round(x + dy * half, y - dx * half)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_chain_line_is_long_dash_and_dot_in_turn() {
        let dashes = Broken::Chain.cut(&[(0, 0), (100, 0)]);
        assert_eq!(dashes[..3], [[(0, 0), (72, 0)], [(82, 0), (88, 0)], [(98, 0), (100, 0)]]);
    }

    #[test]
    fn a_dash_goes_round_a_corner() {
        assert_eq!(Broken::Dashed.cut(&[(0, 0), (10, 0), (10, 50)])[0], [(0, 0), (10, 0), (10, 22)]);
    }

    #[test]
    fn halves_round_up_and_all_else_to_the_nearest() {
        assert_eq!(round(0.5, -0.5), (1, 0));
        assert_eq!(round(0.5 - 1e-9, -1.5), (1, -1));
        assert_eq!(round(-2.6, 2.4), (-3, 2));
    }

    #[test]
    fn a_tube_grows_wider_and_darker_and_is_double_above_one() {
        let (low, high, over) =
            (Stroke::of_utilisation(0.1), Stroke::of_utilisation(1.0), Stroke::of_utilisation(1.01));
        assert!(low.width < high.width && high.width < over.width);
        assert!(low.colour.0 > high.colour.0 && over.colour == VERMILION);
        assert_eq!((low.core, high.core), (0, 0));
        assert!(over.core > 0);
    }
}
