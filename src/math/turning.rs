//! An angle that is turned on by little at a time, with its sine and cosine.

use std::f64::consts::{PI, TAU};
use std::sync::LazyLock;

/// The most that an angle is turned on by at once, rad.
pub const MOST_TURN: f64 = PI / 16.0;

/// An angle with its sine and cosine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turning {
    /// rad.
    pub angle: f64,
    /// Its sine.
    pub sin: f64,
    /// Its cosine.
    pub cos: f64,
}

impl Turning {
    /// An angle, rad.
    pub fn at(angle: f64) -> Turning {
        let (sin, cos) = angle.sin_cos();
        Turning { angle, sin, cos }
    }

    /// The angle turned on by `by` (rad), at most [`MOST_TURN`] either way: the sum of both angles by the series of
    /// sine and cosine up to powers 11 and 10, which leave less than a digit's end.
    #[must_use]
    pub fn by(self, by: f64) -> Turning {
        debug_assert!(by.abs() <= MOST_TURN * (1.0 + 1e-9), "{by} is no small turn");
        let square = by * by;
        let series = |divisors: [f64; 5]| divisors.into_iter().rev().fold(1.0, |rest, by| 1.0 - square / by * rest);
        let (sin, cos) = (by * series([6.0, 20.0, 42.0, 72.0, 110.0]), series([2.0, 12.0, 30.0, 56.0, 90.0]));
        Turning { angle: self.angle + by, sin: self.sin * cos + self.cos * sin, cos: self.cos * cos - self.sin * sin }
    }

    /// Twice the angle: its sine and cosine.
    pub fn twice(&self) -> (f64, f64) {
        (2.0 * self.sin * self.cos, self.cos * self.cos - self.sin * self.sin)
    }
}

/// How many angles round a circle are looked at first.
pub const SAMPLES: usize = 16;
/// Angle between them.
pub const STEP: f64 = TAU / SAMPLES as f64;

/// As many angles round a circle, evenly spread from 0 on.
pub fn samples() -> &'static [Turning; SAMPLES] {
    static SAMPLED: LazyLock<[Turning; SAMPLES]> =
        LazyLock::new(|| std::array::from_fn(|sample| Turning::at(sample as f64 * STEP)));
    &SAMPLED
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_turned_angle_has_the_sine_and_cosine_of_the_sum() {
        for start in samples() {
            for part in [-1.0, -0.7, -0.2, -1e-5, 0.0, 1e-9, 0.1, 0.5, 1.0] {
                let turned = start.by(part * MOST_TURN);
                let (sin, cos) = (start.angle + part * MOST_TURN).sin_cos();
                // The last digit of an angle up to a full turn is 9e-16.
                assert!((turned.sin - sin).abs() < 1e-15 && (turned.cos - cos).abs() < 1e-15, "{start:?} by {part}");
            }
        }
    }
}
