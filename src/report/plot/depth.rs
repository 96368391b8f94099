//! Which tube is drawn over which.
//!
//! Tubes are drawn from the farthest to the nearest. Where two cross on the paper, the one that is
//! nearer there comes later, whatever their middles say; where that cannot be (three that lie over
//! one another in a ring), one of them is cut in two.

use super::paper::{Area, Dot};

/// A tube on the paper.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Strand {
    /// Which it is.
    pub of: usize,
    /// Its line, and how near each of its places is to the viewer, mm.
    pub points: Vec<(Dot, f64)>,
    /// Which of its points are joints.
    pub joints: Vec<usize>,
    /// Where it passes over others, once they are in order: the number of the point before, and
    /// the part of the way to the next.
    pub over: Vec<f64>,
}

impl Strand {
    /// Its places.
    pub(super) fn dots(&self) -> Vec<Dot> {
        self.points.iter().map(|(dot, _)| *dot).collect()
    }

    fn area(&self) -> Area {
        let mut area = Area::new(i32::MAX, i32::MAX, i32::MIN, i32::MIN);
        for ((x, y), _) in &self.points {
            area = Area::new(area.left.min(*x), area.top.min(*y), area.right.max(*x), area.bottom.max(*y));
        }
        area.grown(1)
    }

    fn middle(&self) -> f64 {
        self.points.iter().map(|(_, towards)| towards).sum::<f64>() / self.points.len() as f64
    }

    /// Cut in two between two of its points.
    fn cut(self, after: usize, part: f64) -> [Strand; 2] {
        let ((from, near), (to, far)) = (self.points[after], self.points[after + 1]);
        let middle = (super::pen::between(from, to, part), near + (far - near) * part);
        let mut first = self.points[..=after].to_vec();
        first.push(middle);
        let mut second = vec![middle];
        second.extend(&self.points[after + 1..]);
        let joints = |first: bool| {
            let kept = self.joints.iter().filter(|joint| (**joint <= after) == first);
            kept.map(|joint| if first { *joint } else { joint - after }).collect()
        };
        [
            Strand { of: self.of, points: first, joints: joints(true), over: Vec::new() },
            Strand { of: self.of, points: second, joints: joints(false), over: Vec::new() },
        ]
    }
}

/// Two strands that cross on the paper.
#[derive(Debug, Clone, Copy)]
struct Crossing {
    near: usize,
    far: usize,
    /// Where on each: the number of the point before it, and the part of the way to the next.
    on_near: f64,
    on_far: f64,
}

/// Where a strand is to be cut, counted as in a crossing.
#[derive(Debug, Clone, Copy)]
struct Cut {
    strand: usize,
    at: f64,
}

/// Depths nearer than this at a crossing are a joint, mm.
const MEETING_MM: f64 = 1.0;

/// The strands from the farthest to the nearest, some of them cut.
pub(super) fn order(mut strands: Vec<Strand>) -> Vec<Strand> {
    // Each cut ends one ring at least; the bound is for what no one foresaw.
    for _ in 0..32 {
        let crossings = crossings(&strands);
        match sorted(&strands, &crossings, Ring::Stop) {
            Ok(order) => return in_order(strands, &crossings, &order),
            Err(cut) => {
                let strand = strands.remove(cut.strand);
                let after = (cut.at.floor() as usize).min(strand.points.len() - 2);
                strands.extend(strand.cut(after, cut.at - after as f64));
            }
        }
    }
    let crossings = crossings(&strands);
    let order = sorted(&strands, &crossings, Ring::Ignore).unwrap_or_else(|_| (0..strands.len()).collect());
    in_order(strands, &crossings, &order)
}

fn in_order(mut strands: Vec<Strand>, crossings: &[Crossing], order: &[usize]) -> Vec<Strand> {
    for crossing in crossings {
        strands[crossing.near].over.push(crossing.on_near);
    }
    let mut strands: Vec<Option<Strand>> = strands.into_iter().map(Some).collect();
    order.iter().filter_map(|at| strands[*at].take()).collect()
}

/// What to do with strands that lie over one another in a ring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Ring {
    Stop,
    Ignore,
}

/// Farthest first among those that nothing farther still waits for.
fn sorted(strands: &[Strand], crossings: &[Crossing], ring: Ring) -> Result<Vec<usize>, Cut> {
    let mut waits: Vec<usize> = vec![0; strands.len()];
    let mut nearer: Vec<Vec<usize>> = vec![Vec::new(); strands.len()];
    for crossing in crossings {
        waits[crossing.near] += 1;
        nearer[crossing.far].push(crossing.near);
    }
    let middles: Vec<f64> = strands.iter().map(Strand::middle).collect();
    let mut left: Vec<usize> = (0..strands.len()).collect();
    let mut order = Vec::with_capacity(strands.len());
    while !left.is_empty() {
        let farthest = |places: &mut dyn Iterator<Item = usize>| {
            places.reduce(|best, next| if middles[left[next]] < middles[left[best]] - 1e-6 { next } else { best })
        };
        let ready = farthest(&mut (0..left.len()).filter(|place| waits[left[*place]] == 0));
        let place = match (ready, ring) {
            (Some(place), _) => place,
            (None, Ring::Ignore) => farthest(&mut (0..left.len())).unwrap_or(0),
            (None, Ring::Stop) => {
                return Err(cut_of_ring(crossings, &left));
            }
        };
        let strand = left.remove(place);
        order.push(strand);
        for &next in &nearer[strand] {
            waits[next] = waits[next].saturating_sub(1);
        }
    }
    Ok(order)
}

/// A cut that takes one of the strands that are left out of its ring: midway between where it lies
/// over another and where it lies under one.
fn cut_of_ring(crossings: &[Crossing], left: &[usize]) -> Cut {
    let among: Vec<&Crossing> =
        crossings.iter().filter(|crossing| left.contains(&crossing.near) && left.contains(&crossing.far)).collect();
    let cut = among.iter().find_map(|over| {
        let under = among.iter().find(|under| under.far == over.near)?;
        Some(Cut { strand: over.near, at: f64::midpoint(over.on_near, under.on_far) })
    });
    cut.expect("strands that all wait for one another lie in a ring")
}

fn crossings(strands: &[Strand]) -> Vec<Crossing> {
    let areas: Vec<Area> = strands.iter().map(Strand::area).collect();
    let mut found = Vec::new();
    for one in 0..strands.len() {
        for other in one + 1..strands.len() {
            if areas[one].meets(&areas[other]) {
                found.extend(crossing(one, &strands[one], other, &strands[other]));
            }
        }
    }
    found
}

/// The first crossing of two strands at which one is clearly nearer.
fn crossing(one: usize, first: &Strand, other: usize, second: &Strand) -> Option<Crossing> {
    for (at, pair) in first.points.windows(2).enumerate() {
        for (at_other, pair_other) in second.points.windows(2).enumerate() {
            let Some((s, t)) = cross(pair[0].0, pair[1].0, pair_other[0].0, pair_other[1].0) else { continue };
            let depth = pair[0].1 + (pair[1].1 - pair[0].1) * s;
            let depth_other = pair_other[0].1 + (pair_other[1].1 - pair_other[0].1) * t;
            if (depth - depth_other).abs() > MEETING_MM {
                let (on_one, on_other) = (at as f64 + s, at_other as f64 + t);
                return Some(if depth > depth_other {
                    Crossing { near: one, far: other, on_near: on_one, on_far: on_other }
                } else {
                    Crossing { near: other, far: one, on_near: on_other, on_far: on_one }
                });
            }
        }
    }
    None
}

/// Where two straight lines between dots cross, as a part of each; `None` where they do not, or
/// are parallel.
pub(super) fn cross(a: Dot, b: Dot, c: Dot, d: Dot) -> Option<(f64, f64)> {
    let wide = |from: Dot, to: Dot| (i64::from(to.0 - from.0), i64::from(to.1 - from.1));
    let ((ux, uy), (vx, vy), (wx, wy)) = (wide(a, b), wide(c, d), wide(a, c));
    let whole = ux * vy - uy * vx;
    let (s, t) = (wx * vy - wy * vx, wx * uy - wy * ux);
    let inside = |part: i64| if whole > 0 { (0..=whole).contains(&part) } else { (whole..=0).contains(&part) };
    (whole != 0 && inside(s) && inside(t)).then(|| (s as f64 / whole as f64, t as f64 / whole as f64))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strand(of: usize, from: (Dot, f64), to: (Dot, f64)) -> Strand {
        Strand { of, points: vec![from, to], joints: vec![0, 1], over: Vec::new() }
    }

    #[test]
    fn at_a_crossing_the_nearer_comes_later_even_if_its_middle_is_farther() {
        let slanted = strand(0, ((0, 0), 100.0), ((1000, 0), -900.0));
        let level = strand(1, ((100, -50), -50.0), ((100, 50), -50.0));
        let order = order(vec![slanted, level]);
        assert_eq!(order.iter().map(|strand| strand.of).collect::<Vec<_>>(), [1, 0]);
        assert_eq!(order[1].over, [0.1]);
    }

    #[test]
    fn a_ring_of_three_is_cut() {
        let ring = vec![
            strand(0, ((0, 0), 0.0), ((1000, 0), 100.0)),
            strand(1, ((900, -100), 0.0), ((400, 800), 100.0)),
            strand(2, ((600, 800), 0.0), ((100, -100), 100.0)),
        ];
        let order = order(ring);
        assert!(order.len() > 3, "{order:?}");
        for (at, one) in order.iter().enumerate() {
            for (later, other) in order.iter().enumerate().skip(at + 1) {
                let crossing = crossing(at, one, later, other);
                assert!(crossing.is_none_or(|crossing| crossing.near == later), "{order:?}");
            }
        }
    }
}
