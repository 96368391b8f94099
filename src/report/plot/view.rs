//! From space to paper: the four views, their scale, and where each stands on the sheet.
//!
//! Side, top and front in first-angle arrangement (ISO 5456-2): the side as seen from the left of
//! the car is the principal view, the view from above stands below it, the view from the nose to
//! its right. The pictorial view is isometric (ISO 5456-3), seen from the front left above.

use nalgebra::Point3;

use super::paper::{Area, Dot};
use super::pen::round;

/// From where the frame is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Look {
    /// From the left of the car: the nose points left.
    Side,
    /// From above: the nose points left, the car's left is below.
    Top,
    /// From the nose: the car's left is on the right.
    Front,
    /// From the front left above.
    Pictorial,
}

impl Look {
    /// All four, in the order in which a sheet has them.
    pub(super) const ALL: [Look; 4] = [Look::Side, Look::Top, Look::Front, Look::Pictorial];

    /// Its name, as that of a sheet.
    pub(super) fn name(self) -> &'static str {
        match self {
            Look::Side => "side",
            Look::Top => "top",
            Look::Front => "front",
            Look::Pictorial => "pictorial",
        }
    }

    /// What is written over the view.
    pub(super) fn caption(self) -> &'static str {
        match self {
            Look::Side => "Side, from the left",
            Look::Top => "Top",
            Look::Front => "Front, from the nose",
            Look::Pictorial => "Pictorial, not to scale",
        }
    }

    /// A point in this view, mm: right, up, and towards the viewer.
    pub(super) fn flat(self, at: &Point3<f64>) -> [f64; 3] {
        let (x, y, z) = (at.x, at.y, at.z);
        match self {
            Look::Side => [-x, z, y],
            Look::Top => [-x, -y, z],
            Look::Front => [y, z, x],
            Look::Pictorial => {
                let cos = 0.75_f64.sqrt(); // of 30°
                [(y - x) * cos, z - (x + y) / 2.0, x + y + z]
            }
        }
    }
}

/// A view on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct View {
    /// From where.
    pub look: Look,
    /// Paper for each mm of the frame, 0.1 mm.
    pub tenths_per_mm: f64,
    /// Where the model's origin comes to lie, 0.1 mm.
    pub origin: (f64, f64),
    /// The room that it has.
    pub cell: Area,
}

impl View {
    /// A view whose points are in the middle of its room.
    pub(super) fn centred(look: Look, tenths_per_mm: f64, cell: Area, extent: &Extent) -> View {
        let [[left, right], [low, high]] = extent.ranges(look);
        let (x, y) = cell.centre();
        let origin =
            (f64::from(x) - (left + right) / 2.0 * tenths_per_mm, f64::from(y) + (low + high) / 2.0 * tenths_per_mm);
        View { look, tenths_per_mm, origin, cell }
    }

    /// Where a point comes to lie.
    pub(super) fn dot(&self, at: &Point3<f64>) -> Dot {
        let [right, up, _] = self.look.flat(at);
        round(self.origin.0 + right * self.tenths_per_mm, self.origin.1 - up * self.tenths_per_mm)
    }

    /// How near a point is to the viewer, mm.
    pub(super) fn towards(&self, at: &Point3<f64>) -> f64 {
        self.look.flat(at)[2]
    }
}

/// How far a set of points reaches, mm.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Extent {
    by_look: [[[f64; 2]; 2]; 4],
}

impl Extent {
    /// Of some points; of none, a millimetre round the origin.
    pub(super) fn of<'p>(points: impl Iterator<Item = &'p Point3<f64>>) -> Extent {
        let mut by_look = [[[f64::INFINITY, f64::NEG_INFINITY]; 2]; 4];
        for point in points {
            for (ranges, look) in by_look.iter_mut().zip(Look::ALL) {
                let flat = look.flat(point);
                for (range, value) in ranges.iter_mut().zip(flat) {
                    *range = [range[0].min(value), range[1].max(value)];
                }
            }
        }
        for range in by_look.iter_mut().flatten() {
            if range[0] > range[1] {
                *range = [-0.5, 0.5];
            }
        }
        Extent { by_look }
    }

    /// From left to right and from bottom to top in a view.
    fn ranges(&self, look: Look) -> [[f64; 2]; 2] {
        self.by_look[look as usize]
    }

    /// Width and height in a view, mm.
    pub(super) fn size_mm(&self, look: Look) -> [f64; 2] {
        self.ranges(look).map(|[from, to]| to - from)
    }
}

/// Room round the points of a view for arrows, movement, supports and names, 0.1 mm.
pub(super) const MARGIN: i32 = 120;

/// A scale of drawings: mm of the frame for each mm of paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scale(pub f64);

impl Scale {
    /// The scales that are used: preferred ones of ISO 5455 (1, 2, 5) and steps between.
    const STEPS: [f64; 9] = [1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 7.5];

    /// Enlargements (ISO 5455).
    const LARGER: [f64; 6] = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5];

    /// All scales from large to small.
    fn all() -> impl Iterator<Item = Scale> {
        let smaller = (0..12).flat_map(|power| Scale::STEPS.map(|step| step * 10_f64.powi(power)));
        Scale::LARGER.into_iter().chain(smaller).map(Scale)
    }

    /// Paper for each mm of the frame, 0.1 mm.
    pub(super) fn tenths_per_mm(self) -> f64 {
        10.0 / self.0
    }

    /// In words: `1:12`, `2:1`.
    pub(super) fn text(self) -> String {
        let number = |value: f64| crate::report::words::size_mm(value);
        if self.0 >= 1.0 { format!("1:{}", number(self.0)) } else { format!("{}:1", number(1.0 / self.0)) }
    }

    /// The largest scale at which a frame fits, as `fits` has it.
    pub(super) fn largest(fits: impl Fn(Scale) -> bool) -> Scale {
        Scale::all().find(|scale| fits(*scale)).unwrap_or(Scale(1e12))
    }
}

/// The four views on a sheet, and where its legend stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Arrangement {
    /// In the order of [`Look::ALL`].
    pub views: [View; 4],
    /// Scale of all but the pictorial one.
    pub scale: Scale,
    /// Where the legend stands: beside the block or, upright, right of the front view.
    pub legend: Area,
}

/// The least width and height of the pictorial view, 0.1 mm.
const PICTORIAL: (i32, i32) = (1050, 650);
/// Room of a legend that stands upright, 0.1 mm.
const LEGEND: (i32, i32) = (600, 400);

/// Stands four views on an area, clear of a block in its lower right corner.
///
/// Where the top view is narrow enough it reaches down beside the block, and the legend stands in
/// the upper right corner; else the legend stands beside the block.
pub(super) fn arrange(extent: &Extent, area: &Area, block: &Area) -> Arrangement {
    let needs = |scale: Scale| {
        let of = |look: Look| {
            extent.size_mm(look).map(|mm| (mm * scale.tenths_per_mm()).ceil().min(1e6) as i32 + 2 * MARGIN)
        };
        let ([left, upper], [_, lower], [right, _]) = (of(Look::Side), of(Look::Top), of(Look::Front));
        if area.left + left <= block.left {
            Needs { left, upper: upper.max(LEGEND.1), lower, right: right + LEGEND.0, height: area.height() }
        } else {
            Needs { left, upper, lower, right, height: block.top - area.top }
        }
    };
    let above = block.top - area.top;
    let scale = Scale::largest(|scale| {
        let needs = needs(scale);
        needs.left + needs.right.max(PICTORIAL.0) <= area.width()
            && needs.upper + needs.lower <= needs.height
            && needs.upper + PICTORIAL.1 <= above
    });
    let needs = needs(scale);
    let is_beside = needs.height > above;
    let spare = (area.width() - needs.left - needs.right.max(PICTORIAL.0)).max(0) / 6;
    let most = if is_beside { block.left - area.left } else { area.width() };
    let column = area.left + (needs.left + spare).min(most.max(needs.left));
    // What is to spare goes to the lower row, where the pictorial view needs it most.
    let spare = if is_beside { 0 } else { (needs.height - needs.upper - needs.lower).max(0) / 3 };
    let row = area.top + (needs.upper + spare).min((above - PICTORIAL.1).max(needs.upper));
    let front_right = if is_beside { area.right - LEGEND.0 } else { area.right };
    let cells = [
        Area::new(area.left, area.top, column, row),
        Area::new(area.left, row, column, area.top + needs.height),
        Area::new(column, area.top, front_right, row),
        Area::new(column, row, area.right, block.top),
    ];
    let legend = if is_beside {
        Area::new(front_right, area.top, area.right, area.top + LEGEND.1)
    } else {
        Area::new(area.left, block.top, block.left, block.bottom)
    };
    let views = [0, 1, 2, 3].map(|at: usize| {
        let look = Look::ALL[at];
        let tenths = match look {
            Look::Pictorial => fitting_tenths(extent, look, &cells[at], PICTORIAL_MARGIN),
            _ => scale.tenths_per_mm(),
        };
        View::centred(look, tenths, cells[at], extent)
    });
    Arrangement { views, scale, legend }
}

/// What four views need at a scale, 0.1 mm.
struct Needs {
    left: i32,
    upper: i32,
    lower: i32,
    right: i32,
    /// What there is for `upper` and `lower` together.
    height: i32,
}

/// Room round the points of a pictorial view, 0.1 mm: it has room beside it.
const PICTORIAL_MARGIN: i32 = 100;

/// Paper for each mm (0.1 mm) at which a view fits into a cell with a margin, cut to three figures.
pub(super) fn fitting_tenths(extent: &Extent, look: Look, cell: &Area, margin: i32) -> f64 {
    let [width, height] = extent.size_mm(look);
    let room = |length: i32| f64::from((length - 2 * margin).max(10));
    let fit = (room(cell.width()) / width.max(1e-3)).min(room(cell.height()) / height.max(1e-3)).min(1000.0);
    let step = 10_f64.powf(fit.log10().floor() - 2.0);
    (fit / step + 1e-6).floor() * step
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn first_angle_has_the_top_view_below_and_the_front_view_on_the_right() {
        let points = [Point3::new(-400.0, -700.0, 0.0), Point3::new(300.0, 700.0, 600.0)];
        let extent = Extent::of(points.iter());
        let (area, block) = (Area::new(70, 120, 2900, 2030), Area::new(1100, 1812, 2900, 2030));
        let [side, top, front, _] = arrange(&extent, &area, &block).views;
        let nose_low_left = Point3::new(300.0, 700.0, 0.0);
        assert_eq!(side.dot(&nose_low_left).0, top.dot(&nose_low_left).0);
        assert_eq!(side.dot(&nose_low_left).1, front.dot(&nose_low_left).1);
        assert!(top.cell.top >= side.cell.bottom && front.cell.left >= side.cell.right);
        // The nose points left in the side view; the car's left is below in the top view.
        assert!(side.dot(&points[1]).0 < side.dot(&points[0]).0);
        assert!(top.dot(&points[1]).1 > top.dot(&points[0]).1);
        assert!(front.dot(&points[1]).0 > front.dot(&points[0]).0);
    }

    #[test]
    fn scales_are_round_and_fall() {
        let all: Vec<f64> = Scale::all().map(|scale| scale.0).collect();
        assert!(all.windows(2).all(|pair| pair[0] < pair[1]), "{all:?}");
        assert_eq!(
            (Scale(12.0).text(), Scale(0.5).text(), Scale(7.5).text()),
            ("1:12".into(), "2:1".into(), "1:7.5".into())
        );
    }
}
