//! The largest value of a sum of squares round a circle.

use std::f64::consts::TAU;

use super::equal::larger_than;

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

/// How many angles are looked at first. The sum of squares is a trigonometric polynomial of degree
/// two, which has at most two maxima.
const SAMPLES: usize = 16;

/// The angle, 0 to 2π, at which a weighted sum of squares of harmonics is largest, and the sum there.
///
/// The polynomial's coefficients come from the products; its largest sample is climbed from by
/// Newton steps. Another maximum that is hidden between samples is higher by less than the difference
/// that the climb makes, so both best samples are climbed from.
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
    let value = |angle: f64| first.at(angle) + second.at(2.0 * angle);
    let step = TAU / SAMPLES as f64;
    let samples: [f64; SAMPLES] = std::array::from_fn(|at| value(at as f64 * step));
    let neighbour = |at: usize, by: usize| samples[(at + by) % SAMPLES];
    let is_top = |at: &usize| samples[*at] >= neighbour(*at, 1) && samples[*at] >= neighbour(*at, SAMPLES - 1);
    // A slope of less than this is round-off: the sum is the same all round, or the top is reached.
    let flat = 1e-15 * samples.iter().copied().fold(0.0, f64::max);
    let climb = |start: f64| {
        let mut angle = start;
        for _ in 0..40 {
            let (s1, c1) = angle.sin_cos();
            let (s2, c2) = (2.0 * angle).sin_cos();
            let slope = first.sin * c1 - first.cos * s1 + 2.0 * (second.sin * c2 - second.cos * s2);
            let curvature = -(first.cos * c1 + first.sin * s1) - 4.0 * (second.cos * c2 + second.sin * s2);
            if slope.abs() <= flat {
                break;
            }
            let change = if curvature < 0.0 { -slope / curvature } else { 0.25 * step * slope.signum() };
            let next = (angle + change.clamp(-0.5 * step, 0.5 * step)).clamp(start - step, start + step);
            let arrived = (next - angle).abs() < 1e-10;
            angle = next;
            if arrived {
                break;
            }
        }
        (angle.rem_euclid(TAU), value(angle).max(0.0))
    };
    (0..SAMPLES)
        .filter(is_top)
        .map(|at| climb(at as f64 * step))
        .reduce(|best, next| if larger_than(next.1, best.1) { next } else { best })
        .unwrap_or((0.0, value(0.0).max(0.0)))
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
    fn what_is_the_same_all_round_is_found_at_the_start() {
        let even = Harmonic { mean: 3.0, ..Harmonic::default() };
        assert_eq!(largest_round(&[(2.0, even)]), (0.0, 18.0));
    }
}
