//! Where round a circular outline the von Mises stress is largest.
//!
//! Reads the stress coefficients of a circle and the internal forces at one place along a beam; gives the angle, by
//! samples and Newton steps. Leaves out the way along the beam, see [`peak`](super::peak()).

use crate::math::{MOST_TURN, SAMPLES, STEP, Turning, larger_than, samples};
use crate::section::{Circle, InternalForces};

/// A trigonometric stress σ = s0 + s1 cos θ + s2 sin θ and τ likewise, at one place along a beam.
pub(super) struct Round {
    sigma: [f64; 3],
    tau: [f64; 3],
}

impl Round {
    pub(super) fn new(circle: &Circle, f: &InternalForces) -> Self {
        Self {
            sigma: [circle.per_axial * f.n, -circle.per_moment * f.mz, circle.per_moment * f.my],
            tau: [circle.per_torque * f.t, circle.per_shear * f.vz, -circle.per_shear * f.vy],
        }
    }

    /// σ² + 3τ² at an angle.
    fn square(&self, at: &Turning) -> f64 {
        let part = |p: &[f64; 3]| p[0] + p[1] * at.cos + p[2] * at.sin;
        let (s, t) = (part(&self.sigma), part(&self.tau));
        s * s + 3.0 * t * t
    }

    /// First and second derivative by θ of σ² + 3τ².
    fn slope_and_curvature(&self, at: &Turning) -> (f64, f64) {
        let part = |p: &[f64; 3]| {
            let value = p[0] + p[1] * at.cos + p[2] * at.sin;
            let slope = p[2] * at.cos - p[1] * at.sin;
            (value, slope, p[0] - value)
        };
        let (s, s1, s2) = part(&self.sigma);
        let (t, t1, t2) = part(&self.tau);
        (2.0 * (s * s1 + 3.0 * t * t1), 2.0 * (s1 * s1 + s * s2 + 3.0 * (t1 * t1 + t * t2)))
    }

    /// The angle of the largest value, the first where several are equal.
    pub(super) fn worst_angle(&self) -> f64 {
        let first = |best: (f64, f64), next: (f64, f64)| if larger_than(next.1, best.1) { next } else { best };
        self.maxima().reduce(first).map_or(0.0, |(angle, _)| angle)
    }

    /// The angles of all values that are equal to the largest.
    pub(super) fn worst_angles(&self) -> Vec<f64> {
        let maxima: Vec<(f64, f64)> = self.maxima().collect();
        let most = maxima.iter().map(|(_, value)| *value).fold(0.0, f64::max);
        maxima.into_iter().filter(|(_, value)| !larger_than(most, *value)).map(|(angle, _)| angle).collect()
    }

    /// Angles and values of the maxima that may be the largest. A trigonometric polynomial of degree
    /// two has at most two, which sixteen samples separate wherever they differ enough to matter.
    fn maxima(&self) -> impl Iterator<Item = (f64, f64)> {
        let values = samples().each_ref().map(|sample| self.square(sample));
        let most = values.iter().copied().fold(0.0, f64::max);
        // A maximum is half a step or less from its sample, and no higher above it than the largest
        // curvature makes over that angle.
        let hidden = 0.5 * (0.5 * STEP).powi(2) * self.largest_curvature();
        let neighbour = move |at: usize, by: usize| values[(at + by) % SAMPLES];
        (0..SAMPLES)
            .filter(move |at| values[*at] >= neighbour(*at, SAMPLES - 1) && values[*at] >= neighbour(*at, 1))
            .filter(move |at| !larger_than(most, values[*at] + hidden))
            .map(|at| {
                let top = self.climb(samples()[at]);
                (top.angle, self.square(&top))
            })
    }

    /// A bound on the second derivative by θ of σ² + 3τ²: σ² has 2 (σ′² + σ σ″), where
    /// |σ′| and |σ″| are at most R, the hypotenuse of s1 and s2, and |σ| at most |s0| + R.
    fn largest_curvature(&self) -> f64 {
        let part = |p: &[f64; 3]| {
            let radius = p[1].hypot(p[2]);
            2.0 * radius * (2.0 * radius + p[0].abs())
        };
        part(&self.sigma) + 3.0 * part(&self.tau)
    }

    /// The stationary angle next to a sample, by Newton steps that stay within one sample step.
    fn climb(&self, start: Turning) -> Turning {
        // After a step of 1e-9 the next would be in the last digit of the angle.
        const ARRIVED: f64 = 1e-9;
        let mut here = start;
        for _ in 0..60 {
            let (slope, curvature) = self.slope_and_curvature(&here);
            if slope == 0.0 || !slope.is_finite() {
                break;
            }
            let change = if curvature < 0.0 { -slope / curvature } else { 0.25 * STEP * slope.signum() };
            let from_start = here.angle - start.angle;
            let change = change.clamp(-MOST_TURN, MOST_TURN).clamp(-STEP - from_start, STEP - from_start);
            here = here.by(change);
            if change.abs() <= ARRIVED {
                break;
            }
        }
        here
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use super::*;
    use crate::math::assert_near;
    use crate::section::{Fibres, RoundTube, Section};

    #[test]
    fn round_a_tube_the_worst_angle_is_that_of_a_fine_search_whatever_acts() {
        let Fibres::Circle(circle) = Section::from(RoundTube { od_mm: 30.0, wall_mm: 2.0 }).fibres() else {
            panic!("a round tube has a circle")
        };
        for seed in 0..400_u32 {
            let draw = |place: u32| (f64::from(seed * 53 + place * 97) * 0.413).sin();
            // Each part now and then far smaller than the others, as on a stub that is sheared most.
            let of = |place: u32| draw(place) * 100.0_f64.powf(draw(place + 10));
            let forces = InternalForces {
                n: 500.0 * of(1),
                vy: 500.0 * of(2),
                vz: 500.0 * of(3),
                t: 1e4 * of(4),
                my: 5e3 * of(5),
                mz: 5e3 * of(6),
            };
            assert_worst_round(&Round::new(&circle, &forces));
        }
        // Two maxima nearly alike, the larger half a sample off; one that is flat; and two opposite, the sample next to
        // the larger lower than that next to the other.
        for (sigma, tau) in [
            ([-0.74, -0.136, -0.02], [-0.006, 0.205, -0.842]),
            ([-0.018, -0.28, 0.191], [-0.07, 0.094, -0.205]),
            ([-24.0, -0.048, 0.0006], [0.0045, -0.371, -4.745]),
        ] {
            assert_worst_round(&Round { sigma, tau });
        }
    }

    fn assert_worst_round(round: &Round) {
        let found = round.square(&Turning::at(round.worst_angle()));
        let sampled =
            (0..3600).map(|step| round.square(&Turning::at(f64::from(step) * TAU / 3600.0))).fold(0.0, f64::max);
        assert!(found >= sampled * (1.0 - 1e-12), "{:?} {:?}: {found} < {sampled}", round.sigma, round.tau);
        assert_near(found, sampled, 1e-5);
    }

    #[test]
    fn the_bound_on_the_curvature_is_near_it_where_the_mean_is_far_larger_than_what_turns() {
        // σ = m + r cos θ: (σ²)″ = 2 (σ′² + σ σ″) is 2 r (m − r) at θ = π.
        let (large, none) = ([3000.0, 3.0, 0.0], [0.0; 3]);
        for (sigma, tau, times) in [(large, none, 1.0), (none, large, 3.0), (large, large, 4.0)] {
            assert_near(Round { sigma, tau }.largest_curvature(), times * 2.0 * 3.0 * 3000.0, 1e-2);
        }
    }
}
