//! Numbers known to lie between two others, and functions known with their slopes.
//!
//! Every operation is rounded outward, so that what comes out holds every value that goes in. Source:
//! Moore, Interval Analysis (1966); the mean value form there, ch. 6.

use std::ops::{Add, Mul, Neg, Sub};

/// All numbers from one to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// The least.
    pub low: f64,
    /// The largest.
    pub high: f64,
}

impl Interval {
    /// From one number to another that is no less.
    pub fn new(low: f64, high: f64) -> Interval {
        Interval { low, high }
    }

    /// One number alone.
    pub fn point(value: f64) -> Interval {
        Interval { low: value, high: value }
    }

    /// Its middle.
    pub fn middle(self) -> f64 {
        self.low + (self.high - self.low) / 2.0
    }

    /// The largest distance of its numbers from one of them.
    pub fn reach_from(self, value: f64) -> f64 {
        (self.high - value).max(value - self.low).next_up()
    }

    /// The largest magnitude in it.
    pub fn magnitude(self) -> f64 {
        self.low.abs().max(self.high.abs())
    }

    /// The larger of any number of both.
    #[must_use]
    pub fn max(self, other: Interval) -> Interval {
        Interval { low: self.low.max(other.low), high: self.high.max(other.high) }
    }

    /// The smaller of any number of both.
    #[must_use]
    pub fn min(self, other: Interval) -> Interval {
        Interval { low: self.low.min(other.low), high: self.high.min(other.high) }
    }

    /// The least that holds both.
    #[must_use]
    pub fn hull(self, other: Interval) -> Interval {
        Interval { low: self.low.min(other.low), high: self.high.max(other.high) }
    }

    /// The part of it in another; the nearest end of the other where there is none.
    #[must_use]
    pub fn within(self, other: Interval) -> Interval {
        Interval { low: self.low.clamp(other.low, other.high), high: self.high.clamp(other.low, other.high) }
    }

    /// Square roots, of negative numbers 0.
    #[must_use]
    pub fn sqrt(self) -> Interval {
        let root = |value: f64| value.max(0.0).sqrt();
        Interval { low: root(self.low).next_down().max(0.0), high: root(self.high).next_up() }
    }

    /// Squares.
    #[must_use]
    pub fn square(self) -> Interval {
        let (low, high) = (self.low * self.low, self.high * self.high);
        let least = if self.low <= 0.0 && self.high >= 0.0 { 0.0 } else { low.min(high).next_down() };
        Interval { low: least, high: low.max(high).next_up() }
    }

    /// One over each number; `None` where 0 is among them.
    pub fn inverse(self) -> Option<Interval> {
        (self.low > 0.0 || self.high < 0.0)
            .then(|| Interval { low: (1.0 / self.high).next_down(), high: (1.0 / self.low).next_up() })
    }

    fn outward(low: f64, high: f64) -> Interval {
        Interval { low: low.next_down(), high: high.next_up() }
    }
}

impl Add for Interval {
    type Output = Interval;
    fn add(self, other: Interval) -> Interval {
        Interval::outward(self.low + other.low, self.high + other.high)
    }
}

impl Sub for Interval {
    type Output = Interval;
    fn sub(self, other: Interval) -> Interval {
        Interval::outward(self.low - other.high, self.high - other.low)
    }
}

impl Mul for Interval {
    type Output = Interval;
    fn mul(self, other: Interval) -> Interval {
        let all = [self.low * other.low, self.low * other.high, self.high * other.low, self.high * other.high];
        let of = |choose: fn(f64, f64) -> f64| all.iter().copied().reduce(choose).unwrap_or_default();
        Interval::outward(of(f64::min), of(f64::max))
    }
}

impl Neg for Interval {
    type Output = Interval;
    fn neg(self) -> Interval {
        Interval { low: -self.high, high: -self.low }
    }
}

/// What a function of three variables reaches over a box, and its slopes there.
///
/// The function is continuous and made of smooth pieces; where two pieces meet the slopes of both are
/// held, so that the mean value theorem holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sloped {
    /// Its values.
    pub value: Interval,
    /// Its slopes; `None`: without bound, or not known.
    pub slope: Option<[Interval; 3]>,
}

impl Sloped {
    /// A constant.
    pub fn constant(value: f64) -> Sloped {
        Sloped { value: Interval::point(value), slope: Some([Interval::point(0.0); 3]) }
    }

    /// One of the three variables.
    pub fn variable(at: usize, range: Interval) -> Sloped {
        let mut slope = [Interval::point(0.0); 3];
        slope[at] = Interval::point(1.0);
        Sloped { value: range, slope: Some(slope) }
    }

    /// Values without slopes.
    pub fn of_values(value: Interval) -> Sloped {
        Sloped { value, slope: None }
    }

    /// So many times as much.
    #[must_use]
    pub fn times(self, factor: f64) -> Sloped {
        self * Sloped::constant(factor)
    }

    /// The smaller of both.
    #[must_use]
    pub fn min(self, other: Sloped) -> Sloped {
        if self.value.high <= other.value.low {
            return self;
        }
        if other.value.high <= self.value.low {
            return other;
        }
        let slope = both(self.slope, other.slope, Interval::hull);
        Sloped { value: self.value.min(other.value), slope }
    }

    /// The larger of both.
    #[must_use]
    pub fn max(self, other: Sloped) -> Sloped {
        -(-self).min(-other)
    }

    /// The square root, of what is negative 0.
    #[must_use]
    pub fn sqrt(self) -> Sloped {
        let value = self.value.sqrt();
        let slope = (self.value.low > 0.0).then(|| (value * Interval::point(2.0)).inverse()).flatten();
        let slope = slope.zip(self.slope).map(|(outer, inner)| inner.map(|slope| slope * outer));
        Sloped { value, slope }
    }

    /// u'v + uv'.
    fn slope_of_product(&self, other: &Sloped) -> Option<[Interval; 3]> {
        both(self.slope, other.slope, |own, of_other| own * other.value + of_other * self.value)
    }

    /// One over it; `None` where it may be 0.
    pub fn inverse(self) -> Option<Sloped> {
        let value = self.value.inverse()?;
        let slope = self.slope.map(|slope| slope.map(|slope| -(slope * value * value)));
        Some(Sloped { value, slope })
    }
}

fn both(
    one: Option<[Interval; 3]>,
    other: Option<[Interval; 3]>,
    with: impl Fn(Interval, Interval) -> Interval,
) -> Option<[Interval; 3]> {
    let (one, other) = one.zip(other)?;
    Some(std::array::from_fn(|at| with(one[at], other[at])))
}

impl Add for Sloped {
    type Output = Sloped;
    fn add(self, other: Sloped) -> Sloped {
        Sloped { value: self.value + other.value, slope: both(self.slope, other.slope, Add::add) }
    }
}

impl Sub for Sloped {
    type Output = Sloped;
    fn sub(self, other: Sloped) -> Sloped {
        self + -other
    }
}

impl Neg for Sloped {
    type Output = Sloped;
    fn neg(self) -> Sloped {
        Sloped { value: -self.value, slope: self.slope.map(|slope| slope.map(Neg::neg)) }
    }
}

impl Mul for Sloped {
    type Output = Sloped;
    fn mul(self, other: Sloped) -> Sloped {
        Sloped { value: self.value * other.value, slope: self.slope_of_product(&other) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn some_function(at: [Sloped; 3]) -> Sloped {
        let [x, y, z] = at;
        let root = (x * x + Sloped::constant(2.0)).sqrt();
        (root * y - z.times(3.0)).min(x + y.max(z)) * (z + Sloped::constant(4.0)).inverse().unwrap()
    }

    #[test]
    fn every_value_and_the_mean_value_form_lie_within_what_is_told() {
        let range = |centre: f64| Interval::new(centre - 0.3, centre + 0.4);
        for centre in [[0.0, 0.0, 0.0], [1.0, -2.0, 0.5], [-3.0, 2.0, 1.0]] {
            let told = some_function(std::array::from_fn(|at| Sloped::variable(at, range(centre[at]))));
            let at = |x: [f64; 3]| some_function(x.map(Sloped::constant)).value;
            let slope = told.slope.unwrap();
            let middle = at(centre);
            for part in 0..1000 {
                let part = f64::from(part);
                let x: [f64; 3] =
                    std::array::from_fn(|at| centre[at] - 0.3 + 0.7 * (part * [0.618, 0.414, 0.732][at]).fract());
                let here = at(x);
                assert!(told.value.low <= here.low && here.high <= told.value.high);
                let mean = (0..3).fold(middle, |sum, at| sum + slope[at] * Interval::point(x[at] - centre[at]));
                assert!(mean.low <= here.high && here.low <= mean.high, "{mean:?} {here:?}");
            }
        }
    }
}
