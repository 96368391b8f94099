//! Branch and bound over manoeuvres: boxes of accelerations are cut in two until no box can hold a
//! worse manoeuvre than the worst found.
//!
//! The bound of a box: every wheel force is a straight line in the accelerations but for a rest
//! ([`enclosed`]); a measure is convex, so that along the straight lines it is largest in a corner of the box,
//! and the rests change it by no more than the sizes of the unit states times them. What round-off adds
//! to measures is allowed for ([`ROUND_OFF`]); the forces are rounded outward.
//!
//! Source: branch and bound with the mean value form, as in Moore, Kearfott & Cloud, Introduction to
//! Interval Analysis (2009), ch. 11.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::{NEAR_ENOUGH, Searched};
use crate::car::{ManoeuvreBox, NearlyStraight, enclosed};
use crate::math::Interval;
use crate::run::Measure;

/// What round-off of unit states adds at most, and what a check leaves out where it takes values within 1e-9 as
/// equal, as a part of the value.
const ROUND_OFF: f64 = 1e-8;

/// More boxes than this are not cut for one measure; the bound is then farther from what was found.
const MOST_BOXES: usize = 20_000;

/// A limit that lies between what was found and the bound is worth so many times nearer a bound.
const TO_DECIDE: f64 = 0.02;

/// The worst manoeuvre found, and the bound.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Found {
    /// The value there.
    pub value: f64,
    /// Its `[long, lat, vert]`, g.
    pub at_g: [f64; 3],
    /// What no manoeuvre passes.
    pub never_above: f64,
    /// In how many boxes the manoeuvres were cut.
    pub boxes: usize,
}

/// The search for one measure.
pub struct Search<'s, 'm> {
    /// The unit states and the car.
    pub searched: &'s Searched<'m>,
    /// What is to be as large as can be.
    pub measure: &'s Measure,
}

/// A box and what no manoeuvre in it passes.
struct Bounded {
    within: ManoeuvreBox,
    bound: f64,
    /// The corner that the bound comes from.
    corner: [f64; 3],
    /// How much of the bound each direction makes out.
    gives: [f64; 3],
}

impl PartialEq for Bounded {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Bounded {}

impl PartialOrd for Bounded {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Bounded {
    fn cmp(&self, other: &Self) -> Ordering {
        self.bound.total_cmp(&other.bound)
    }
}

impl Search<'_, '_> {
    /// Searches; `None`: no manoeuvre was found that the car can drive.
    pub(super) fn run(&self) -> Option<Found> {
        let mut open: BinaryHeap<Bounded> = self.quarters().into_iter().filter_map(|part| self.bounded(part)).collect();
        let mut boxes = open.len();
        let mut best: Option<(f64, [f64; 3])> = None;
        while let Some(widest) = open.pop() {
            for g in self.candidates(&widest) {
                let Some(value) = self.value(g) else { continue };
                if best.is_none_or(|(known, _)| value > known) {
                    best = Some((value, g));
                }
            }
            if let Some((value, at_g)) = best
                && (self.is_near_enough(value, widest.bound) || boxes >= MOST_BOXES)
            {
                return Some(Found { value, at_g, never_above: widest.bound.max(value), boxes });
            }
            if boxes >= 4 * MOST_BOXES {
                return None;
            }
            let Some(halves) = cut(&widest) else {
                // So small that no number lies between its ends: its bound is as near as can be.
                return best.map(|(value, at_g)| Found { value, at_g, never_above: widest.bound.max(value), boxes });
            };
            for half in halves.into_iter().filter_map(|half| self.bounded(half)) {
                boxes += 1;
                open.push(half);
            }
        }
        // Every box is empty: but for what was found on the way there is nothing to drive.
        best.map(|(value, at_g)| Found { value, at_g, never_above: value * (1.0 + ROUND_OFF), boxes })
    }

    fn is_near_enough(&self, value: f64, bound: f64) -> bool {
        let undecided = self.measure.limit.is_some_and(|limit| value <= limit && limit < bound);
        let near = if undecided { TO_DECIDE * NEAR_ENOUGH } else { NEAR_ENOUGH };
        bound <= value * (1.0 + near) + f64::MIN_POSITIVE
    }

    /// The manoeuvres asked for, cut where `long` and `lat` change their sign.
    fn quarters(&self) -> Vec<ManoeuvreBox> {
        let [long, lat, vert] = self.searched.manoeuvres.ranges;
        let mut parts = Vec::new();
        for long in halves_by_sign(long) {
            for lat in halves_by_sign(lat) {
                parts.push(ManoeuvreBox { ranges: [long, lat, vert] });
            }
        }
        parts
    }

    fn value(&self, g: [f64; 3]) -> Option<f64> {
        self.searched.driven(g).map(|coefficients| self.measure.value(&coefficients))
    }

    /// Manoeuvres in a box that may be the worst of it: its middle, and what can be driven on the way from
    /// there to the corner that its bound comes from.
    fn candidates(&self, bounded: &Bounded) -> Vec<[f64; 3]> {
        let drives = |g: [f64; 3]| self.searched.driven(g).is_some();
        let (middle, corner) = (bounded.within.middle(), bounded.corner);
        if drives(corner) {
            return vec![corner, middle];
        }
        let between = |part: f64| std::array::from_fn(|at| middle[at] + part * (corner[at] - middle[at]));
        if !drives(middle) {
            return corners(&bounded.within).into_iter().filter(|corner| drives(*corner)).collect();
        }
        let (mut least, mut most) = (0.0, 1.0);
        for _ in 0..40 {
            let half = (least + most) / 2.0;
            if drives(between(half)) { least = half } else { most = half }
        }
        vec![between(least)]
    }

    /// A box with its bound; `None`: the car can drive no manoeuvre in it.
    fn bounded(&self, within: ManoeuvreBox) -> Option<Bounded> {
        let superposed = &self.searched.superposed;
        let forces = enclosed(self.searched.vehicle, &within)?;
        let (middle, half) = (within.middle(), within.half());
        let backwards = within.ranges[0].low < 0.0;
        let mut straight = vec![NearlyStraight::default(); superposed.n_units()];
        for at in 0..3 {
            straight[at].at_middle_n = middle[at];
            straight[at].slope_n[at] = 1.0;
        }
        for (wheel, of_wheel) in forces.iter().enumerate() {
            for (axis, force) in of_wheel.iter().enumerate() {
                if let Some(place) = superposed.place_of(wheel, axis, backwards) {
                    straight[place] = *force;
                }
            }
        }
        let rest: Vec<f64> = straight.iter().map(|part| part.rest_n).collect();
        let mut worst: Option<(f64, [f64; 3])> = None;
        for corner in corners(&within) {
            let coefficients: Vec<f64> = straight
                .iter()
                .map(|part| (0..3).fold(part.at_middle_n, |sum, at| sum + part.slope_n[at] * (corner[at] - middle[at])))
                .collect();
            let value = self.measure.value(&coefficients);
            if worst.is_none_or(|(known, _)| value > known) {
                worst = Some((value, corner));
            }
        }
        let (value, corner) = worst?;
        let by_rest = self.measure.changes_at_most(&rest);
        let size: f64 = half.iter().sum();
        let gives = std::array::from_fn(|at| {
            let slopes: Vec<f64> = straight.iter().map(|part| (part.slope_n[at] * half[at]).abs()).collect();
            self.measure.changes_at_most(&slopes) + by_rest * half[at] / size.max(f64::MIN_POSITIVE)
        });
        let bound = ((value + by_rest) * (1.0 + ROUND_OFF)).next_up();
        Some(Bounded { within, bound, corner, gives })
    }
}

fn halves_by_sign(range: Interval) -> Vec<Interval> {
    if range.low < 0.0 && range.high > 0.0 {
        vec![Interval::new(range.low, 0.0), Interval::new(0.0, range.high)]
    } else {
        vec![range]
    }
}

/// The corners of a box, each once.
fn corners(within: &ManoeuvreBox) -> Vec<[f64; 3]> {
    within.ranges.iter().enumerate().fold(vec![[0.0; 3]], |begun, (at, range)| {
        let ends = if range.low == range.high { vec![range.low] } else { vec![range.low, range.high] };
        let with = |before: &[f64; 3], end: f64| {
            let mut corner = *before;
            corner[at] = end;
            corner
        };
        begun.iter().flat_map(|before| ends.iter().map(move |end| with(before, *end))).collect()
    })
}

/// Two halves of a box, across the direction that gives most of its bound; `None` where it cannot be
/// cut any more.
fn cut(bounded: &Bounded) -> Option<[ManoeuvreBox; 2]> {
    let ranges = bounded.within.ranges;
    let across = (0..3)
        .filter(|at| ranges[*at].low < ranges[*at].middle() && ranges[*at].middle() < ranges[*at].high)
        .max_by(|one, other| bounded.gives[*one].total_cmp(&bounded.gives[*other]))?;
    let middle = ranges[across].middle();
    let with = |range: Interval| {
        let mut half = ranges;
        half[across] = range;
        ManoeuvreBox { ranges: half }
    };
    Some([with(Interval::new(ranges[across].low, middle)), with(Interval::new(middle, ranges[across].high))])
}
