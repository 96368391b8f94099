//! Tube sizes that are commonly on the rack, for `crossbrace tubes`.

use super::{BoxTube, RoundTube, Section};

/// A size and the series it belongs to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StockSize {
    /// The size.
    pub section: Section,
    /// Where the size comes from.
    pub series: &'static str,
}

impl StockSize {
    /// Whether it is a size in inches and gauge.
    pub fn is_imperial(&self) -> bool {
        self.series == IMPERIAL
    }
}

const EN_10305_1: &str = "EN 10305-1 preferred sizes (from memory)";
const EN_10219_2: &str = "EN 10219-2 size tables";
const IMPERIAL: &str = "imperial tube by wire gauge (common practice, no source)";

const fn round(od_mm: f64, wall_mm: f64, series: &'static str) -> StockSize {
    StockSize { section: Section::Round(RoundTube { od_mm, wall_mm }), series }
}

const fn square(side_mm: f64, wall_mm: f64) -> StockSize {
    let (outer_radius_mm, inner_radius_mm) = (2.0 * wall_mm, wall_mm);
    let tube = BoxTube { width_mm: side_mm, depth_mm: side_mm, wall_mm, outer_radius_mm, inner_radius_mm };
    StockSize { section: Section::Box(tube), series: EN_10219_2 }
}

/// The sizes, small to large within a series.
pub const STOCK: &[StockSize] = &[
    round(16.0, 1.5, EN_10305_1),
    round(18.0, 1.5, EN_10305_1),
    round(20.0, 1.5, EN_10305_1),
    round(20.0, 2.0, EN_10305_1),
    round(22.0, 1.5, EN_10305_1),
    round(25.0, 1.5, EN_10305_1),
    round(25.0, 2.0, EN_10305_1),
    round(28.0, 1.5, EN_10305_1),
    round(30.0, 1.5, EN_10305_1),
    round(30.0, 2.0, EN_10305_1),
    round(32.0, 2.0, EN_10305_1),
    round(35.0, 1.5, EN_10305_1),
    round(35.0, 2.0, EN_10305_1),
    round(38.0, 2.0, EN_10305_1),
    round(40.0, 2.0, EN_10305_1),
    round(40.0, 2.5, EN_10305_1),
    round(42.0, 2.0, EN_10305_1),
    round(45.0, 2.5, EN_10305_1),
    round(50.0, 2.0, EN_10305_1),
    round(50.0, 3.0, EN_10305_1),
    round(0.75 * 25.4, 0.048 * 25.4, IMPERIAL),
    round(0.75 * 25.4, 0.064 * 25.4, IMPERIAL),
    round(0.875 * 25.4, 0.064 * 25.4, IMPERIAL),
    round(25.4, 0.048 * 25.4, IMPERIAL),
    round(25.4, 0.064 * 25.4, IMPERIAL),
    round(25.4, 0.08 * 25.4, IMPERIAL),
    round(1.25 * 25.4, 0.064 * 25.4, IMPERIAL),
    round(1.25 * 25.4, 0.08 * 25.4, IMPERIAL),
    round(1.5 * 25.4, 0.064 * 25.4, IMPERIAL),
    round(1.5 * 25.4, 0.08 * 25.4, IMPERIAL),
    round(1.75 * 25.4, 0.08 * 25.4, IMPERIAL),
    square(20.0, 2.0),
    square(25.0, 2.0),
    square(30.0, 2.0),
    square(30.0, 3.0),
    square(40.0, 2.0),
    square(40.0, 3.0),
    square(50.0, 3.0),
];

#[cfg(test)]
mod tests {
    use super::*;

    /// BS 3737 wire gauges 18, 16 and 14, from memory: 0.048, 0.064 and 0.080 in.
    #[test]
    fn imperial_tube_is_a_whole_number_of_eighths_of_an_inch_wide_and_a_wire_gauge_thick() {
        assert!(STOCK.iter().any(|size| !size.is_imperial()));
        for size in STOCK.iter().filter(|size| size.series == IMPERIAL) {
            let Section::Round(tube) = size.section else { panic!("{size:?}") };
            let eighths = tube.od_mm * 8.0 / 25.4;
            assert!((eighths - eighths.round()).abs() < 1e-9 && (6.0..=14.0).contains(&eighths.round()), "{tube:?}");
            assert!(size.is_imperial());
            assert!([1.2192, 1.6256, 2.032].iter().any(|wall| (tube.wall_mm - wall).abs() < 1e-9), "{tube:?}");
        }
    }

    /// EN 10219-2 Annex B, walls up to 6 mm: 2 t outside, t inside.
    #[test]
    fn square_tube_has_the_corners_of_its_standard() {
        let mut squares = 0;
        for size in STOCK.iter().filter(|size| size.series == EN_10219_2) {
            let Section::Box(tube) = size.section else { panic!("{size:?}") };
            assert_eq!((tube.outer_radius_mm, tube.inner_radius_mm), (2.0 * tube.wall_mm, tube.wall_mm), "{tube:?}");
            squares += 1;
        }
        assert!(squares > 0);
    }
}
