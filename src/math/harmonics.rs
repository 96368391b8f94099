//! The largest value of a sum of squares round a circle.

use std::f64::consts::{PI, TAU};

use super::equal::larger_than;
use super::turning::{MOST_TURN, SAMPLES, STEP, Turning, samples};

/// `c + a cos θ + b sin θ`.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Harmonic {
    /// c.
    pub mean: f64,
    /// a.
    pub cos: f64,
    /// b.
    pub sin: f64,
}

impl Harmonic {
    /// The value at an angle.
    pub fn at(&self, angle_rad: f64) -> f64 {
        let (sin, cos) = angle_rad.sin_cos();
        self.mean + self.cos * cos + self.sin * sin
    }

    /// The magnitude that it reaches.
    pub fn size(&self) -> f64 {
        self.mean.abs() + (self.cos * self.cos + self.sin * self.sin).sqrt()
    }

    /// The angle, 0 to 2π, at which it is furthest from nothing.
    pub fn furthest(&self) -> f64 {
        let side = if self.mean < 0.0 { PI } else { 0.0 };
        (self.sin.atan2(self.cos) + side).rem_euclid(TAU)
    }

    /// The sum of two, each multiplied.
    #[must_use]
    pub fn mixed(&self, times: f64, other: &Harmonic, other_times: f64) -> Harmonic {
        Harmonic {
            mean: times * self.mean + other_times * other.mean,
            cos: times * self.cos + other_times * other.cos,
            sin: times * self.sin + other_times * other.sin,
        }
    }
}

/// The angle, 0 to 2π, at which a weighted sum of squares of harmonics is largest, and the sum there.
///
/// The sum is a trigonometric polynomial of degree two, which has at most two maxima. Each sample
/// that stands above its neighbours, and near which the largest value may be, is climbed from.
pub fn largest_round(parts: &[(f64, Harmonic)]) -> (f64, f64) {
    // w (c + a cos + b sin)² = w [c² + (a² + b²)/2 + 2ca cos + 2cb sin + (a² − b²)/2 cos 2θ + ab sin 2θ]
    let (mut first, mut second) = (Harmonic::default(), Harmonic::default());
    for (weight, Harmonic { mean: c, cos: a, sin: b }) in parts {
        first.mean += weight * (c * c + (a * a + b * b) / 2.0);
        first.cos += weight * 2.0 * c * a;
        first.sin += weight * 2.0 * c * b;
        second.cos += weight * (a * a - b * b) / 2.0;
        second.sin += weight * a * b;
    }
    let round = samples();
    let values: [f64; SAMPLES] = std::array::from_fn(|at| {
        let (once, twice) = (&round[at], &round[2 * at % SAMPLES]);
        first.mean + first.cos * once.cos + first.sin * once.sin + second.cos * twice.cos + second.sin * twice.sin
    });
    let most = values.iter().copied().fold(0.0, f64::max);
    // A maximum is half a step or less from its sample, and no higher above it than the largest curvature
    // makes over that angle.
    let curvature = first.cos.hypot(first.sin) + 4.0 * second.cos.hypot(second.sin);
    let hidden = 0.5 * (0.5 * STEP).powi(2) * curvature;
    let neighbour = |at: usize, by: usize| values[(at + by) % SAMPLES];
    let is_top = |at: &usize| {
        values[*at] >= neighbour(*at, 1) && values[*at] >= neighbour(*at, SAMPLES - 1) && values[*at] + hidden >= most
    };
    let climbed = (0..SAMPLES).filter(is_top).map(|at| climb(&first, &second, round[at], most));
    climbed.reduce(|best, next| if larger_than(next.1, best.1) { next } else { best }).unwrap_or((0.0, most))
}

/// The top of `first` at θ and `second` at 2θ that is next to an angle, by Newton steps that stay within
/// one step of the samples: angle and value. `most` is the size of the values.
fn climb(first: &Harmonic, second: &Harmonic, start: Turning, most: f64) -> (f64, f64) {
    // The next step would be in the last digit of the value.
    const ARRIVED: f64 = 1e-8;
    let mut here = start;
    for _ in 0..40 {
        let (sin_2, cos_2) = here.twice();
        let slope = first.sin * here.cos - first.cos * here.sin + 2.0 * (second.sin * cos_2 - second.cos * sin_2);
        let curvature =
            -(first.cos * here.cos + first.sin * here.sin) - 4.0 * (second.cos * cos_2 + second.sin * sin_2);
        // A slope of less is round-off: the sum is the same all round, or the top is reached.
        if slope.abs() <= 1e-15 * most || !slope.is_finite() {
            break;
        }
        let change = if curvature < 0.0 { -slope / curvature } else { 0.25 * STEP * slope.signum() };
        let from_start = here.angle - start.angle;
        let change = change.clamp(-MOST_TURN, MOST_TURN).clamp(-STEP - from_start, STEP - from_start);
        here = here.by(change);
        if change.abs() < ARRIVED {
            break;
        }
    }
    let (sin_2, cos_2) = here.twice();
    let value = first.mean
        + first.cos * here.cos
        + first.sin * here.sin
        + second.mean
        + second.cos * cos_2
        + second.sin * sin_2;
    (here.angle.rem_euclid(TAU), value.max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::assert_near;

    #[test]
    fn the_largest_sum_is_that_of_a_fine_search() {
        for seed in 0..200_u32 {
            let draw = |place: u32| (f64::from(seed * 31 + place * 17) * 0.913).sin();
            let part = |k: u32| Harmonic { mean: draw(k), cos: draw(k + 1), sin: draw(k + 2) };
            let parts = [(0.5, part(1)), (1.5, part(5)), (3.0, part(9))];
            let (angle, most) = largest_round(&parts);
            let sum = |angle: f64| parts.iter().map(|(weight, part)| weight * part.at(angle).powi(2)).sum::<f64>();
            assert_near(sum(angle), most, 1e-12);
            let fine = (0..20_000).map(|at| sum(f64::from(at) * TAU / 20_000.0)).fold(0.0, f64::max);
            assert!(most >= fine * (1.0 - 1e-12), "seed {seed}: {most} < {fine}");
            assert_near(most, fine, 1e-6);
        }
    }

    #[test]
    fn a_harmonic_is_furthest_from_nothing_on_the_side_of_its_mean() {
        for (mean, far) in [(2.0, 7.0), (-2.0, 7.0), (0.0, 5.0)] {
            let part = Harmonic { mean, cos: 3.0, sin: -4.0 };
            assert_near(part.at(part.furthest()).abs(), far, 1e-12);
        }
    }

    #[test]
    fn what_is_the_same_all_round_is_found_at_the_start() {
        let even = Harmonic { mean: 3.0, ..Harmonic::default() };
        assert_eq!(largest_round(&[(2.0, even)]), (0.0, 18.0));
    }
}
