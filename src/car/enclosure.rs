//! What the tyres can do to a car, for all of its accelerations in a box at once.
//!
//! The formulas are those of [`transfer`](super::transfer), followed with intervals and their slopes, so that
//! no manoeuvre in the box is left out: for each force a straight line in the accelerations and how far
//! the force may lie from it. Manoeuvres that the car cannot drive (it rolls or pitches over, the tyres
//! cannot give what is asked) need not be within: a box that holds nothing else is told to be empty.

use crate::beam::mass::force_n;
use crate::math::{Interval, Sloped};
use crate::model::{Effort, Vehicle, Wheel};

/// A box of accelerations `[long, lat, vert]`, g. `long` and `lat` keep their sign in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ManoeuvreBox {
    /// From where to where.
    pub ranges: [Interval; 3],
}

/// A force over a box: `at_middle + Σ slope (x − middle)`, but for `rest` at most.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct NearlyStraight {
    /// The straight line's value at the middle of the box, N.
    pub at_middle_n: f64,
    /// Its slopes, N/g.
    pub slope_n: [f64; 3],
    /// How far the force may lie from it, N.
    pub rest_n: f64,
}

impl ManoeuvreBox {
    /// Its middle.
    pub fn middle(&self) -> [f64; 3] {
        self.ranges.map(Interval::middle)
    }

    /// Half of its size, from the middle to the farther end.
    pub fn half(&self) -> [f64; 3] {
        self.ranges.map(|range| range.reach_from(range.middle()))
    }
}

/// The force `[fx, fy, fz]` of every wheel over a box, on the car; `None`: the car can drive no manoeuvre
/// in it. Brakes work on all wheels, the engine on its axles, as in a case that lists no wheels.
///
/// Needs `tyre_grip` and, where `long` is not 0, the share of the effort.
pub fn enclosed(vehicle: &Vehicle, within: &ManoeuvreBox) -> Option<[[NearlyStraight; 3]; 4]> {
    let car = Car::over(vehicle, within);
    if !car.may_be_driven() {
        return None;
    }
    let forces = car.forces();
    // The formulas' value at the middle, whether the car can drive it or not.
    let middle = ManoeuvreBox { ranges: within.middle().map(Interval::point) };
    let at_middle = Car::over(vehicle, &middle).forces();
    Some(std::array::from_fn(|wheel| {
        std::array::from_fn(|axis| {
            let reach = if axis == 2 { Interval::new(0.0, f64::INFINITY) } else { car.tyre_gives(wheel) };
            nearly_straight(&forces[wheel][axis], &at_middle[wheel][axis], reach, within)
        })
    }))
}

/// The tighter of two: the mean value form, and the values alone, cut to what a tyre can do at all.
fn nearly_straight(force: &Sloped, at_middle: &Sloped, reach: Interval, within: &ManoeuvreBox) -> NearlyStraight {
    let value = force.value.within(reach);
    let middle = value.middle();
    let flat = NearlyStraight { at_middle_n: middle, slope_n: [0.0; 3], rest_n: value.reach_from(middle) };
    let (Some(slope), Some(_)) = (force.slope, at_middle.slope) else { return flat };
    let (at_middle, half) = (at_middle.value, within.half());
    let value = at_middle.middle();
    let slope_n = slope.map(Interval::middle);
    let rest = (0..3).fold(Interval::point(at_middle.reach_from(value)), |rest, at| {
        rest + Interval::point(half[at]) * Interval::point(slope[at].reach_from(slope_n[at]))
    });
    let straight = NearlyStraight { at_middle_n: value, slope_n, rest_n: rest.high };
    if straight.rest_n < flat.rest_n { straight } else { flat }
}

/// The car over a box: load, side force and grip of axles and wheels.
struct Car {
    grip: f64,
    /// Load of each wheel.
    fz: [Sloped; 4],
    /// Side force of each axle over its load, without sign: how much of the grip it takes.
    used: [Sloped; 2],
    /// Load of each axle.
    axle: [Sloped; 2],
    /// Side force of each axle.
    side: [Sloped; 2],
    /// What lifts beyond what the wheels carry: above 0 the car rolls over.
    beyond: Interval,
    /// Load of each wheel before the bend.
    before: [Sloped; 4],
    /// Longitudinal force, without sign.
    asked: Sloped,
    /// Each wheel's part of it.
    share: [f64; 4],
    backwards: bool,
    to_the_left: bool,
}

impl Car {
    fn over(vehicle: &Vehicle, within: &ManoeuvreBox) -> Car {
        let [long, lat, vert] = std::array::from_fn(|at| Sloped::variable(at, within.ranges[at]));
        let weight = force_n(vehicle.mass_kg, 1.0);
        let wheelbase = vehicle.wheelbase_mm;
        let to_rear = vehicle.cg_behind_front_axle_mm;
        let arms = [wheelbase - to_rear, to_rear];
        let height = vehicle.cg_height_mm;
        let to_front = long.times(-weight * height / wheelbase);
        let axle: [Sloped; 2] = std::array::from_fn(|at| {
            vert.times(weight * arms[at] / wheelbase) + if at == 0 { to_front } else { -to_front }
        });
        let before: [Sloped; 4] = Wheel::ALL.map(|wheel| {
            let at = wheel.axle();
            let side = if wheel.is_left() { 1.0 } else { -1.0 };
            let offset = side * weight * vehicle.cg_left_mm * arms[at] / wheelbase / vehicle.track_mm[at];
            axle[at].times(0.5) + vert.times(offset)
        });
        let to_the_left = within.ranges[1].high > 0.0;
        let lat_size = if to_the_left { lat } else { -lat };
        let moment = lat_size.times(weight * height);
        let track = vehicle.track_mm;
        let carries: [Sloped; 2] =
            std::array::from_fn(|at| before[Wheel::of_axle(at, to_the_left).place()].times(track[at]));
        // An axle whose inner wheel carries nothing takes no more, the rest goes to the other.
        let front = vehicle.lateral_transfer_share_front;
        let front_part = moment.times(front).max(moment - carries[1]).min(carries[0]);
        let moved = [front_part, moment - front_part];
        let beyond = (moment - carries[0] - carries[1]).value;
        let fz = Wheel::ALL.map(|wheel| {
            let at = wheel.axle();
            let change = moved[at].times(1.0 / track[at]);
            let inner = wheel.is_left() == to_the_left;
            let load = if inner { before[wheel.place()] - change } else { before[wheel.place()] + change };
            load.max(Sloped::constant(0.0))
        });
        let side: [Sloped; 2] = std::array::from_fn(|at| lat.times(weight * arms[at] / wheelbase));
        let grip = vehicle.tyre_grip.unwrap_or(f64::INFINITY);
        let used = std::array::from_fn(|at| {
            let size = if to_the_left { side[at] } else { -side[at] };
            // No more can be used than there is; where the load may be nothing that is all one can say.
            match axle[at].inverse() {
                Some(inverse) if axle[at].value.low > 0.0 => (size * inverse).min(Sloped::constant(grip)),
                _ => Sloped::of_values(Interval::new(0.0, grip)),
            }
        });
        let backwards = within.ranges[0].low < 0.0;
        let share = share(vehicle, if backwards { Effort::Braked } else { Effort::Driven });
        let asked = (if backwards { -long } else { long }).times(weight);
        Car { grip, fz, used, axle, side, beyond, before, asked, share, backwards, to_the_left }
    }

    /// Whether something in the box may be driven.
    fn may_be_driven(&self) -> bool {
        let carried = self.axle.iter().chain(&self.before).all(|load| load.value.high >= 0.0);
        let steers = self.side.iter().zip(&self.axle).all(|(side, axle)| {
            let least = side.value.low.max(-side.value.high).max(0.0);
            least <= (Interval::point(self.grip) * axle.value).high * (1.0 + 1e-9)
        });
        let most: f64 = self.makers().map(|wheel| self.most(wheel).value.high).sum();
        let pushes = self.asked.value.low <= most * (1.0 + 1e-9);
        carried && self.beyond.low <= 1e-9 * self.axle[0].value.magnitude() && steers && pushes
    }

    /// The wheels that make the longitudinal force.
    fn makers(&self) -> impl Iterator<Item = usize> {
        (0..4).filter(|wheel| self.share[*wheel] > 0.0)
    }

    /// The most longitudinal force of a wheel beside its side force: fz √(grip² − (side/load)²).
    fn most(&self, wheel: usize) -> Sloped {
        let used = self.used[wheel / 2];
        let left = (Sloped::constant(self.grip * self.grip) - used * used).sqrt();
        self.fz[wheel] * left
    }

    fn forces(&self) -> [[Sloped; 3]; 4] {
        let fx = self.long();
        std::array::from_fn(|wheel| {
            // A wheel's part of the side force is its part of the load.
            let at = wheel / 2;
            let size = self.fz[wheel] * self.used[at];
            let fy = if self.to_the_left { size } else { -size };
            [fx[wheel], fy, self.fz[wheel]]
        })
    }

    /// What a tyre can give along or across, at all.
    fn tyre_gives(&self, wheel: usize) -> Interval {
        let limit = (Interval::point(self.grip) * Interval::point(self.fz[wheel].value.high)).high;
        Interval::new(-limit, limit)
    }

    /// The longitudinal force of each wheel: its share, up to the most it can give; the others press
    /// harder, all by one factor.
    fn long(&self) -> [Sloped; 4] {
        let most: [Sloped; 4] = std::array::from_fn(|wheel| self.most(wheel));
        let low: [f64; 4] = std::array::from_fn(|wheel| most[wheel].value.low);
        let high: [f64; 4] = std::array::from_fn(|wheel| most[wheel].value.high);
        let sign = |force: Sloped| if self.backwards { -force } else { force };
        let least_factor = self.factor(self.asked.value.low, &high);
        let largest_factor = self.factor(self.asked.value.high, &low);
        const NEAR: f64 = 1e-9;
        let at_most =
            |wheel: usize| least_factor.is_none_or(|factor| self.share[wheel] * factor >= high[wheel] * (1.0 + NEAR));
        let free =
            |wheel: usize| largest_factor.is_some_and(|factor| self.share[wheel] * factor <= low[wheel] * (1.0 - NEAR));
        if self.makers().all(|wheel| at_most(wheel) || free(wheel)) && self.makers().any(free) {
            let given =
                self.makers().filter(|wheel| at_most(*wheel)).fold(self.asked, |rest, wheel| rest - most[wheel]);
            let total: f64 = self.makers().filter(|wheel| !at_most(*wheel)).map(|wheel| self.share[wheel]).sum();
            return std::array::from_fn(|wheel| match self.share[wheel] {
                0.0 => Sloped::constant(0.0),
                _ if at_most(wheel) => sign(most[wheel]),
                share => sign(given.times(share / total)),
            });
        }
        // A wheel gives more the more is asked, the more it can give, and the less the others can.
        std::array::from_fn(|wheel| {
            let share = self.share[wheel];
            if share == 0.0 {
                return Sloped::constant(0.0);
            }
            let alone =
                |own: f64, others: &[f64; 4]| std::array::from_fn(|at| if at == wheel { own } else { others[at] });
            let least = self.factor(self.asked.value.low, &alone(low[wheel], &high));
            let largest = self.factor(self.asked.value.high, &alone(high[wheel], &low));
            let gives = |factor: Option<f64>, most: f64| factor.map_or(most, |factor| (share * factor).min(most));
            let (from, to) = (gives(least, low[wheel]), gives(largest, high[wheel]));
            sign(Sloped::of_values(Interval::new(from.min(to) * (1.0 - NEAR), to.max(from) * (1.0 + NEAR))))
        })
    }

    /// The factor on all shares with which they make a force; `None`: they cannot.
    fn factor(&self, asked: f64, most: &[f64; 4]) -> Option<f64> {
        let mut at_most = [false; 4];
        loop {
            let given: f64 = self.makers().filter(|wheel| at_most[*wheel]).map(|wheel| most[wheel]).sum();
            let left: f64 = self.makers().filter(|wheel| !at_most[*wheel]).map(|wheel| self.share[wheel]).sum();
            if left <= 0.0 {
                return None;
            }
            let factor = (asked - given).max(0.0) / left;
            let newly: Vec<usize> =
                self.makers().filter(|wheel| !at_most[*wheel] && self.share[*wheel] * factor > most[*wheel]).collect();
            if newly.is_empty() {
                return Some(factor);
            }
            for wheel in newly {
                at_most[wheel] = true;
            }
        }
    }
}

/// Each wheel's part of the longitudinal force, 0 to 1; all 0 where the file gives no share.
fn share(vehicle: &Vehicle, effort: Effort) -> [f64; 4] {
    let front = match effort {
        Effort::Braked => vehicle.brake_share_front,
        Effort::Driven => vehicle.drive_share_front,
    };
    front.map_or([0.0; 4], |front| [front / 2.0, front / 2.0, (1.0 - front) / 2.0, (1.0 - front) / 2.0])
}

#[cfg(test)]
mod tests {
    use super::super::transfer::transfer;
    use super::*;
    use crate::model::{Case, Model, load};
    use crate::source::Document;

    fn car() -> (Model, Case) {
        let document = Document::read(include_bytes!("../../tests/models/car.json").to_vec()).expect("it is JSON");
        let model = load(&document).expect("it is a model");
        let case = model.cases[crate::model::STANDING].clone();
        (model, case)
    }

    /// Points of a box by an additive recurrence, which leaves no corner of it out.
    fn points(within: &ManoeuvreBox, count: u32) -> impl Iterator<Item = [f64; 3]> + '_ {
        (0..count).map(|point| {
            std::array::from_fn(|at| {
                let Interval { low, high } = within.ranges[at];
                let part = (f64::from(point) * [0.754_877_67, 0.569_840_29, 0.819_172_51][at]).fract();
                // The ends too, where most of what matters is.
                low + (high - low) * (1.2 * part - 0.1).clamp(0.0, 1.0)
            })
        })
    }

    #[test]
    fn no_manoeuvre_of_a_box_is_outside_of_what_is_told_of_it() {
        let (model, case) = car();
        let (mut driven, mut empty, mut undriven) = (0, 0, 0);
        for (grip, left_mm, share_front) in [(1.4, 0.0, 0.0), (0.9, 60.0, 0.4), (2.6, -40.0, 1.0)] {
            let mut vehicle = model.vehicle.expect("it has one");
            vehicle.tyre_grip = Some(grip);
            vehicle.cg_left_mm = left_mm;
            vehicle.drive_share_front = Some(share_front);
            let whole = |sign: f64, at: f64, size: f64| {
                let (one, two) = (sign * at, sign * (at + size));
                Interval::new(one.min(two), one.max(two))
            };
            for size in [0.02, 0.3, 1.0] {
                for start in points(&ManoeuvreBox { ranges: [Interval::new(0.0, 2.4); 3] }, 60) {
                    for signs in [[-1.0, -1.0], [-1.0, 1.0], [1.0, -1.0], [1.0, 1.0]] {
                        let within = ManoeuvreBox {
                            ranges: [
                                whole(signs[0], start[0], size),
                                whole(signs[1], start[1], size),
                                whole(1.0, start[2], size),
                            ],
                        };
                        let told = enclosed(&vehicle, &within);
                        let middle = within.middle();
                        for point in points(&within, 40) {
                            let Ok((_, forces)) = transfer(&vehicle, &case, point) else {
                                undriven += 1;
                                continue;
                            };
                            driven += 1;
                            let told = told.as_ref().unwrap_or_else(|| panic!("{point:?} can be driven"));
                            for (wheel, force) in forces.iter().enumerate() {
                                for axis in 0..3 {
                                    let straight = told[wheel][axis];
                                    let line = (0..3).fold(straight.at_middle_n, |sum, at| {
                                        sum + straight.slope_n[at] * (point[at] - middle[at])
                                    });
                                    let off = (force[axis] - line).abs();
                                    assert!(off <= straight.rest_n + 1e-7, "{point:?}: {off} {straight:?}");
                                }
                            }
                        }
                        empty += usize::from(told.is_none());
                    }
                }
            }
        }
        assert!(driven > 5000 && undriven > 5000 && empty > 100, "{driven} {undriven} {empty}");
    }

    #[test]
    fn a_box_half_as_large_has_about_a_quarter_of_the_rest() {
        let (model, _) = car();
        let vehicle = model.vehicle.expect("it has one");
        let rest = |size: f64| {
            let ranges = [-0.3, 0.5, 1.0].map(|middle: f64| Interval::new(middle - size, middle + size));
            let told = enclosed(&vehicle, &ManoeuvreBox { ranges }).expect("it can be driven");
            told.iter().flatten().map(|force| force.rest_n).fold(0.0, f64::max)
        };
        let ratio = rest(0.02) / rest(0.01);
        assert!((3.5..4.5).contains(&ratio), "{ratio}");
    }
}
