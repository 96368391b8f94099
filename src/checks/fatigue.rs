//! Fatigue: how much of the life of a detail do so many ranges of stress use up?
//!
//! Reads: ranges of stress (MPa) with their number of cycles, a detail category. Gives: the damage, 1 at
//! the end of the life (Miner). Leaves out: thicknesses above 25 mm, the relief of details without
//! welding stress, corrosion.
//! Source: EN 1993-1-9:2005 7.1 and annex A.5; 5(6), 8 and Tables 3.1, 8.5 and 8.6 from memory.

/// γMf of Table 3.1 for safe life and high consequence: a weld that cracks is not found in time, and a
/// wheel comes off. From memory.
pub const FATIGUE_FACTOR: f64 = 1.35;

/// A line of strength over cycles.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FatigueCurve {
    /// Of normal stress: m = 3 to 5 million cycles, m = 5 from there to 100 million.
    Normal,
    /// Of shear stress, and of lattice girder joints: m = 5 to 100 million cycles.
    Shear,
}

/// A detail: its category and its curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Detail {
    /// The range that it bears 2 million times, MPa.
    pub category_mpa: f64,
    /// Its curve.
    pub curve: FatigueCurve,
}

/// Root of a fillet weld that carries load, √(σ⊥² + τ⊥²) in the throat: Table 8.5, from memory.
pub const ROOT: Detail = Detail { category_mpa: 36.0, curve: FatigueCurve::Normal };
/// Shear along such a weld: Table 8.5, from memory.
pub const ROOT_SHEAR: Detail = Detail { category_mpa: 80.0, curve: FatigueCurve::Shear };
/// Wall of a round tube welded end to end to another: Table 8.6, walls to 8 mm, from memory.
pub const BUTT_ROUND: Detail = Detail { category_mpa: 71.0, curve: FatigueCurve::Normal };
/// The same of a square or rectangular tube.
pub const BUTT_BOX: Detail = Detail { category_mpa: 56.0, curve: FatigueCurve::Normal };

/// Cycles at which the category is the strength.
const AT_CATEGORY: f64 = 2e6;
/// Cycles of the constant amplitude limit.
const AT_LIMIT: f64 = 5e6;
/// Cycles of the cut-off: ranges below the strength there do no damage.
const AT_CUT_OFF: f64 = 1e8;

impl Detail {
    /// The range that is borne so many times, MPa, up to 100 million.
    pub fn range_mpa(&self, cycles: f64) -> f64 {
        match self.curve {
            FatigueCurve::Normal if cycles <= AT_LIMIT => self.category_mpa * (AT_CATEGORY / cycles).powf(1.0 / 3.0),
            FatigueCurve::Normal => self.range_mpa(AT_LIMIT) * (AT_LIMIT / cycles).powf(1.0 / 5.0),
            FatigueCurve::Shear => self.category_mpa * (AT_CATEGORY / cycles).powf(1.0 / 5.0),
        }
    }

    /// How many times a range is borne; `None`: it does no damage.
    ///
    /// ```text
    /// m = 3: N = 2e6 (C/s)³        below the constant amplitude limit D: N = 5e6 (D/s)⁵
    /// ```
    pub fn cycles(&self, range_mpa: f64) -> Option<f64> {
        if range_mpa < self.range_mpa(AT_CUT_OFF) {
            return None;
        }
        let limit = self.range_mpa(AT_LIMIT);
        Some(match self.curve {
            FatigueCurve::Normal if range_mpa >= limit => AT_CATEGORY * (self.category_mpa / range_mpa).powi(3),
            FatigueCurve::Normal => AT_LIMIT * (limit / range_mpa).powi(5),
            FatigueCurve::Shear => AT_CATEGORY * (self.category_mpa / range_mpa).powi(5),
        })
    }

    /// What so many cycles of a range use up of the life, with a factor on the strength. Both slopes
    /// count for every range: the limit of constant amplitude holds only where no range is above it.
    pub fn damage(&self, range_mpa: f64, count: f64, factor: f64) -> f64 {
        self.cycles(range_mpa * factor).map_or(0.0, |cycles| count / cycles)
    }

    /// The range that does the damage of all in 2 million cycles of one slope, MPa.
    pub fn equivalent_mpa(&self, spectrum: impl IntoIterator<Item = (f64, f64)>) -> f64 {
        let m = match self.curve {
            FatigueCurve::Normal => 3,
            FatigueCurve::Shear => 5,
        };
        let sum: f64 = spectrum.into_iter().map(|(range, count)| count * range.powi(m)).sum();
        (sum / AT_CATEGORY).powf(1.0 / f64::from(m))
    }
}

/// What a nominal range may reach at all, 8(1), MPa: 1.5 fy of normal stress, over √3 of shear.
pub fn ceiling_mpa(yield_mpa: f64, curve: FatigueCurve) -> f64 {
    match curve {
        FatigueCurve::Normal => 1.5 * yield_mpa,
        FatigueCurve::Shear => 1.5 * yield_mpa / 3.0_f64.sqrt(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::assert_near;

    #[test]
    fn both_slopes_meet_and_the_curve_ends_at_the_cut_off() {
        for curve in [FatigueCurve::Normal, FatigueCurve::Shear] {
            let detail = Detail { category_mpa: 71.0, curve };
            for cycles in [1e4, 2e6, 5e6, 5.0001e6, 9.9e7] {
                assert_near(detail.cycles(detail.range_mpa(cycles)).unwrap(), cycles, 1e-12);
            }
            assert_eq!(detail.cycles(detail.range_mpa(1.0001e8)), None);
        }
    }

    #[test]
    fn damage_of_two_events_adds_and_a_factor_acts_as_a_larger_range() {
        let one = ROOT.damage(50.0, 1e4, 1.0);
        assert_near(ROOT.damage(50.0, 2e4, 1.0), 2.0 * one, 1e-15);
        assert_near(ROOT.damage(50.0, 1e4, 1.35), one * 1.35_f64.powi(3), 1e-12);
        assert_eq!(ROOT.damage(5.0, 1e12, 1.35), 0.0);
    }
}
