//! Where brackets and link feet stand on tubes.

use nalgebra::Point3;

use crate::space::nearest_on_chain;

/// A foot nearer than this to a tube's end or to an inner node stands on it, mm.
const ON_THE_NODE_MM: f64 = 2.0;
/// Feet on one tube nearer than this are one place, mm.
const SAME_PLACE_MM: f64 = 0.01;

/// Where a foot stands on a tube.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Foot {
    /// On the tube's own first or second end.
    End(usize),
    /// On an inner node, an index into the points of the axis.
    Inner(usize),
    /// Between.
    Between {
        /// Distance from the tube's first end, mm.
        at_mm: f64,
        /// Place, mm.
        at: Point3<f64>,
    },
}

/// The axis of a tube with the distance of each of its points from the first end, mm.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Axis {
    /// Ends and inner nodes.
    pub(super) points: Vec<Point3<f64>>,
    /// Distance of each from the first end, mm.
    pub(super) stops_mm: Vec<f64>,
}

impl Axis {
    /// The axis through these points.
    pub(super) fn new(points: Vec<Point3<f64>>) -> Self {
        let mut stops_mm = vec![0.0];
        for segment in points.windows(2) {
            stops_mm.push(stops_mm[stops_mm.len() - 1] + (segment[1] - segment[0]).norm());
        }
        Self { points, stops_mm }
    }

    /// Length, mm.
    pub(super) fn length_mm(&self) -> f64 {
        self.stops_mm[self.stops_mm.len() - 1]
    }

    /// Where the foot of a point stands.
    pub(super) fn foot(&self, point: &Point3<f64>) -> Foot {
        let (segment, nearest) = nearest_on_chain(point, &self.points);
        let last = self.points.len() - 1;
        let near = |place: usize| (nearest.at - self.points[place]).norm() <= ON_THE_NODE_MM;
        if near(0) {
            Foot::End(0)
        } else if near(last) {
            Foot::End(1)
        } else if let Some(inner) = (1..last).find(|place| near(*place)) {
            Foot::Inner(inner)
        } else {
            let length = self.stops_mm[segment + 1] - self.stops_mm[segment];
            Foot::Between { at_mm: self.stops_mm[segment] + nearest.part * length, at: nearest.at }
        }
    }
}

/// Whether two places on a tube are one.
pub(super) fn same_place(one_mm: f64, other_mm: f64) -> bool {
    (one_mm - other_mm).abs() < SAME_PLACE_MM
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_foot_within_two_millimetres_of_an_end_or_node_stands_on_it() {
        let axis = Axis::new(vec![Point3::origin(), Point3::new(100.0, 0.0, 0.0), Point3::new(100.0, 100.0, 0.0)]);
        assert_eq!(axis.foot(&Point3::new(1.9, 30.0, 5.0)), Foot::End(0));
        assert_eq!(axis.foot(&Point3::new(150.0, 98.5, 0.0)), Foot::End(1));
        assert_eq!(axis.foot(&Point3::new(99.0, 0.5, 0.0)), Foot::Inner(1));
        let Foot::Between { at_mm, at } = axis.foot(&Point3::new(120.0, 40.0, 0.0)) else { panic!() };
        assert_eq!((at_mm, at), (140.0, Point3::new(100.0, 40.0, 0.0)));
    }
}
