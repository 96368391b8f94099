//! Points and lines in space.

use nalgebra::Point3;

/// The point of a segment that is nearest to another point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nearest {
    /// The point, mm.
    pub at: Point3<f64>,
    /// How far it is from the first end, as a part of the length, 0 to 1.
    pub part: f64,
    /// Distance from the other point, mm.
    pub distance_mm: f64,
}

/// The point of the segment from `first` to `second` that is nearest to `point`.
pub fn nearest_on_segment(point: &Point3<f64>, first: &Point3<f64>, second: &Point3<f64>) -> Nearest {
    let along = second - first;
    let square = along.norm_squared();
    let part = if square > 0.0 { ((point - first).dot(&along) / square).clamp(0.0, 1.0) } else { 0.0 };
    let at = first + along * part;
    Nearest { at, part, distance_mm: (point - at).norm() }
}

/// The point of a chain of segments that is nearest to `point`, with the index of its segment; of
/// equals the first.
pub fn nearest_on_chain(point: &Point3<f64>, chain: &[Point3<f64>]) -> (usize, Nearest) {
    chain
        .windows(2)
        .map(|segment| nearest_on_segment(point, &segment[0], &segment[1]))
        .enumerate()
        .reduce(|best, next| if next.1.distance_mm < best.1.distance_mm - 1e-9 { next } else { best })
        .expect("a chain has at least one segment")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_point_stays_between_the_ends() {
        let (a, b) = (Point3::new(0.0, 0.0, 0.0), Point3::new(10.0, 0.0, 0.0));
        let inside = nearest_on_segment(&Point3::new(4.0, 3.0, 0.0), &a, &b);
        assert_eq!((inside.part, inside.distance_mm), (0.4, 3.0));
        let beyond = nearest_on_segment(&Point3::new(13.0, 4.0, 0.0), &a, &b);
        assert_eq!((beyond.at, beyond.distance_mm), (b, 5.0));
    }

    #[test]
    fn at_a_tie_the_first_segment_is_taken() {
        let chain = [Point3::new(-1.0, 0.0, 0.0), Point3::new(0.0, 0.0, 0.0), Point3::new(1.0, 0.0, 0.0)];
        assert_eq!(nearest_on_chain(&Point3::new(0.0, 1.0, 0.0), &chain).0, 0);
    }
}
