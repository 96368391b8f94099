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

/// The two points of two segments that are nearest to each other, as parts of their lengths, and
/// their distance, mm.
///
/// Source: Ericson (2005), Real-Time Collision Detection, 5.1.9 (from memory): the nearest points
/// of the lines, clamped to the segments one after the other.
pub fn nearest_of_segments(one: [&Point3<f64>; 2], other: [&Point3<f64>; 2]) -> ([f64; 2], f64) {
    let (d1, d2, r) = (one[1] - one[0], other[1] - other[0], one[0] - other[0]);
    let (a, e, f) = (d1.norm_squared(), d2.norm_squared(), d2.dot(&r));
    let (b, c) = (d1.dot(&d2), d1.dot(&r));
    let square = a * e - b * b;
    // Of lines that run alike any two points will do.
    let mut s = if square > 1e-12 * a * e { ((b * f - c * e) / square).clamp(0.0, 1.0) } else { 0.0 };
    let mut t = if e > 0.0 { (b * s + f) / e } else { 0.0 };
    if !(0.0..=1.0).contains(&t) {
        t = t.clamp(0.0, 1.0);
        s = if a > 0.0 { ((b * t - c) / a).clamp(0.0, 1.0) } else { 0.0 };
    }
    ([s, t], ((one[0] + d1 * s) - (other[0] + d2 * t)).norm())
}

/// Over which length two segments lie on one another, mm: where no point of either is further than
/// `within_mm` from the other. `None`: nowhere, or only as one end beside another.
///
/// The shorter is laid on the line of the longer; where that leaves it by more, they cross or run
/// beside each other.
pub fn shared_length_mm(one: [&Point3<f64>; 2], other: [&Point3<f64>; 2], within_mm: f64) -> Option<f64> {
    let length = |segment: [&Point3<f64>; 2]| (segment[1] - segment[0]).norm();
    let (long, short) = if length(one) >= length(other) { (one, other) } else { (other, one) };
    let (whole, own) = (length(long), length(short));
    if own <= within_mm {
        return None;
    }
    let along = (long[1] - long[0]) / whole;
    let at = short.map(|end| (end - long[0]).dot(&along));
    if (at[1] - at[0]).abs() <= within_mm {
        return None;
    }
    let (from, to) = (at[0].min(at[1]).max(0.0), at[0].max(at[1]).min(whole));
    let apart = |place: f64| {
        let part = (place - at[0]) / (at[1] - at[0]);
        ((short[0] + (short[1] - short[0]) * part) - (long[0] + along * place)).norm()
    };
    (to - from > within_mm && apart(from) <= within_mm && apart(to) <= within_mm).then_some(to - from)
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
    fn two_segments_are_nearest_where_they_cross_or_at_an_end() {
        let points = [[0.0, 0.0, 0.0], [10.0, 0.0, 0.0], [5.0, -5.0, 2.0], [5.0, 15.0, 2.0]].map(Point3::from);
        let [a, b, c, d] = &points;
        assert_eq!(nearest_of_segments([a, b], [c, d]), ([0.5, 0.25], 2.0));
        let beyond = Point3::new(13.0, 4.0, 0.0);
        assert_eq!(nearest_of_segments([a, b], [&beyond, &(beyond + (b - a))]), ([1.0, 0.0], 5.0));
    }

    #[test]
    fn segments_lie_on_one_another_over_the_length_that_they_share() {
        let on_x = |from: f64, to: f64| [Point3::new(from, 0.0, 0.0), Point3::new(to, 0.0, 0.0)];
        let shared = |one: &[Point3<f64>; 2], other: &[Point3<f64>; 2]| {
            let [all, none] = [(one, other), (other, one)]
                .map(|(one, other)| shared_length_mm([&one[0], &one[1]], [&other[0], &other[1]], 1.0));
            assert_eq!(all, none, "whichever is named first");
            all
        };
        let rail = on_x(0.0, 100.0);
        assert_eq!(shared(&rail, &rail), Some(100.0));
        assert_eq!(shared(&rail, &on_x(100.0, 0.0)), Some(100.0), "drawn the other way");
        assert_eq!(shared(&rail, &on_x(20.0, 60.0)), Some(40.0), "within the other");
        assert_eq!(shared(&rail, &on_x(70.0, 130.0)), Some(30.0), "past its end");
        assert_eq!(shared(&rail, &on_x(100.0, 150.0)), None, "end to end");
        assert_eq!(shared(&rail, &on_x(20.0, 60.0).map(|at| at + nalgebra::Vector3::y() * 2.0)), None, "beside it");
        let leaving = [Point3::origin(), Point3::new(90.0, 4.0, 0.0)];
        assert_eq!(shared(&rail, &leaving), None, "from one node at an angle");
        let across = [Point3::new(50.0, -50.0, 0.0), Point3::new(50.0, 40.0, 0.0)];
        assert_eq!(shared(&rail, &across), None, "across it");
    }

    #[test]
    fn at_a_tie_the_first_segment_is_taken() {
        let chain = [Point3::new(-1.0, 0.0, 0.0), Point3::new(0.0, 0.0, 0.0), Point3::new(1.0, 0.0, 0.0)];
        assert_eq!(nearest_on_chain(&Point3::new(0.0, 1.0, 0.0), &chain).0, 0);
    }
}
