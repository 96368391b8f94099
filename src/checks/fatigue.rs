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

/// A brace of a K or N joint for Table 8.7, lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LatticeBrace {
    /// Whether it and its chord are round.
    pub is_round: bool,
    /// Width of brace and chord.
    pub width_mm: [f64; 2],
    /// Wall of brace and chord.
    pub wall_mm: [f64; 2],
    /// Angles of this brace and of the one beside it to the chord.
    pub angle_rad: [f64; 2],
    /// Gap between both; below zero they overlap.
    pub gap_mm: f64,
    /// Length of its own foot on the chord.
    pub foot_mm: f64,
}

/// The detail of the walls at a K or N joint of a lattice girder; `None` outside the ranges of the table.
///
/// ```text
/// category at t0/ti = 1 and at 2 (overlap: 1.4), between them on a straight line, m = 5
///   gap, round 45 to 90    gap, box 36 to 71    overlap, K 56 to 71, N 50 to 71
/// t0, ti ≤ 8    35° ≤ θ ≤ 50°, of an N joint one brace square on    b0/ti ≤ 25
/// round 0.25 ≤ di/d0 ≤ 1, d0 ≤ 300    box 0.4 ≤ bi/b0 ≤ 1, b0 ≤ 200
/// gap g ≥ 2 t0, box 0.5 (b0 − bi) ≤ g ≤ 1.1 (b0 − bi)    overlap 30 % to 100 % of the foot
/// ```
/// Source: EN 1993-1-9 Table 8.7, from memory.
pub fn lattice(brace: &LatticeBrace) -> Option<Detail> {
    const NEAR: f64 = 1e-9;
    let ([own_mm, chord_mm], [own_wall_mm, chord_wall_mm]) = (brace.width_mm, brace.wall_mm);
    let [leans, stands] = [(35.0, 50.0), (85.0, 95.0)].map(|(least, most): (f64, f64)| {
        brace.angle_rad.map(|angle| (least - NEAR..=most + NEAR).contains(&angle.to_degrees()))
    });
    let is_k = leans == [true, true];
    let is_n = (leans[0] && stands[1]) || (stands[0] && leans[1]);
    let (narrowest, largest_mm) = if brace.is_round { (0.25, 300.0) } else { (0.4, 200.0) };
    let ratio = own_mm / chord_mm;
    let walls = chord_wall_mm / own_wall_mm;
    let is_in_range = (is_k || is_n)
        && own_wall_mm.max(chord_wall_mm) <= 8.0
        && chord_mm / own_wall_mm <= 25.0 + NEAR
        && (narrowest - NEAR..=1.0 + NEAR).contains(&ratio)
        && chord_mm <= largest_mm
        && walls >= 1.0 - NEAR;
    let gap_mm = brace.gap_mm;
    let (least, most, at) = if gap_mm >= 0.0 {
        let wide = chord_mm - own_mm;
        let fits = brace.is_round || (0.5 * wide - NEAR..=1.1 * wide + NEAR).contains(&gap_mm);
        if gap_mm < 2.0 * chord_wall_mm - NEAR || !fits {
            return None;
        }
        if brace.is_round { (45.0, 90.0, 2.0) } else { (36.0, 71.0, 2.0) }
    } else {
        if !(0.3 - NEAR..=1.0 + NEAR).contains(&(-gap_mm / brace.foot_mm)) {
            return None;
        }
        (if is_k { 56.0 } else { 50.0 }, 71.0, 1.4)
    };
    let category_mpa = least + (most - least) * ((walls - 1.0) / (at - 1.0)).clamp(0.0, 1.0);
    is_in_range.then_some(Detail { category_mpa, curve: FatigueCurve::Shear })
}

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

    /// Categories of Table 8.7, from memory.
    #[test]
    fn a_lattice_joint_has_the_category_of_its_walls_and_none_outside_the_ranges() {
        let brace = |walls: [f64; 2], gap_mm: f64| LatticeBrace {
            is_round: true,
            width_mm: [25.0, 40.0],
            wall_mm: walls,
            angle_rad: [45.0_f64.to_radians(); 2],
            gap_mm,
            foot_mm: 35.4,
        };
        let category = |brace: &LatticeBrace| lattice(brace).map(|detail| detail.category_mpa);
        assert_eq!(category(&brace([2.0, 4.0], 10.0)), Some(90.0));
        assert_eq!(category(&brace([2.0, 3.0], 10.0)), Some(67.5));
        assert_eq!(category(&brace([2.0, 2.0], 10.0)), Some(45.0));
        assert_eq!(category(&brace([2.0, 1.9], 10.0)), None, "a chord thinner than its brace");
        assert_eq!(category(&brace([2.0, 2.0], 3.0)), None, "a gap under two walls");
        assert_eq!([category(&brace([2.0, 4.0], 7.9)), category(&brace([2.0, 4.0], 8.0))], [None, Some(90.0)]);
        assert_eq!(category(&brace([1.5, 2.0], 10.0)), None, "a chord more than 25 walls wide");
        assert_eq!(category(&brace([2.0, 2.0], -12.0)), Some(56.0));
        assert_eq!(category(&brace([2.0, 2.8], -12.0)), Some(71.0));
        assert_eq!(category(&brace([2.0, 2.0], -5.0)), None, "an overlap under 30 %");
        let n = |gap| LatticeBrace { angle_rad: [45.0, 90.0].map(f64::to_radians), ..brace([2.0, 2.0], gap) };
        assert_eq!([category(&n(10.0)), category(&n(-12.0))], [Some(45.0), Some(50.0)]);
        let steep = LatticeBrace { angle_rad: [60.0_f64.to_radians(); 2], ..brace([2.0, 2.0], 10.0) };
        assert_eq!(category(&steep), None);
        let boxes = |gap| LatticeBrace { is_round: false, ..brace([2.0, 4.0], gap) };
        assert_eq!([category(&boxes(10.0)), category(&boxes(17.0))], [Some(71.0), None]);
        assert_eq!(lattice(&brace([2.0, 2.0], 10.0)).unwrap().curve, FatigueCurve::Shear);
    }

    #[test]
    fn damage_of_two_events_adds_and_a_factor_acts_as_a_larger_range() {
        let one = ROOT.damage(50.0, 1e4, 1.0);
        assert_near(ROOT.damage(50.0, 2e4, 1.0), 2.0 * one, 1e-15);
        assert_near(ROOT.damage(50.0, 1e4, 1.35), one * 1.35_f64.powi(3), 1e-12);
        assert_eq!(ROOT.damage(5.0, 1e12, 1.35), 0.0);
    }

    #[test]
    fn a_range_that_comes_two_million_times_is_equivalent_to_itself() {
        let shear = Detail { curve: FatigueCurve::Shear, ..ROOT };
        for (detail, slope) in [(ROOT, 3.0), (shear, 5.0)] {
            assert_near(detail.equivalent_mpa([(40.0, 2e6)]), 40.0, 1e-14);
            // Two ranges: the mean of their powers.
            let mean = (0.25 * 40.0_f64.powf(slope) + 0.75 * 20.0_f64.powf(slope)).powf(1.0 / slope);
            assert_near(detail.equivalent_mpa([(40.0, 5e5), (20.0, 1.5e6)]), mean, 1e-14);
        }
    }

    #[test]
    fn a_lattice_joint_at_the_very_ends_of_the_ranges_is_in_the_table() {
        let brace = |width_mm: [f64; 2], wall_mm: [f64; 2], degrees: [f64; 2], gap_mm: f64, is_round: bool| {
            let angle_rad = degrees.map(f64::to_radians);
            lattice(&LatticeBrace { is_round, width_mm, wall_mm, angle_rad, gap_mm, foot_mm: 40.0 })
                .map(|detail| detail.category_mpa)
        };
        let (walls, both) = ([2.0, 2.0], [45.0, 45.0]);
        for degrees in [[35.0, 35.0], [50.0, 50.0], [35.0, 85.0], [95.0, 50.0]] {
            assert_eq!(brace([25.0, 40.0], walls, degrees, 10.0, true), Some(45.0), "{degrees:?}");
        }
        for degrees in [[34.9, 45.0], [45.0, 50.1], [90.0, 90.0], [45.0, 70.0], [70.0, 90.0], [45.0, 95.1]] {
            assert_eq!(brace([25.0, 40.0], walls, degrees, 10.0, true), None, "{degrees:?}");
        }
        // b0/ti = 25; di/d0 = 0.25 and 1, bi/b0 = 0.4; gaps of a box 0.5 and 1.1 of b0 − bi.
        for (width_mm, gap_mm, is_round, expected) in [
            ([25.0, 50.0], 10.0, true, Some(45.0)),
            ([25.0, 50.1], 10.0, true, None),
            ([10.0, 40.0], 10.0, true, Some(45.0)),
            ([9.9, 40.0], 10.0, true, None),
            ([40.0, 40.0], 10.0, true, Some(45.0)),
            ([40.1, 40.0], 10.0, true, None),
            ([16.0, 40.0], 13.0, false, Some(36.0)),
            ([15.9, 40.0], 13.0, false, None),
            ([30.0, 40.0], 5.0, false, Some(36.0)),
            ([30.0, 40.0], 4.9, false, None),
            ([30.0, 40.0], 11.0, false, Some(36.0)),
            ([30.0, 40.0], 11.1, false, None),
        ] {
            assert_eq!(brace(width_mm, walls, both, gap_mm, is_round), expected, "{width_mm:?} {gap_mm}");
        }
        // 30 % and 100 % of a foot of 40 mm.
        for (gap_mm, expected) in [(-12.0, Some(56.0)), (-11.9, None), (-40.0, Some(56.0)), (-40.1, None)] {
            assert_eq!(brace([25.0, 40.0], walls, both, gap_mm, true), expected, "{gap_mm}");
        }
    }

    #[test]
    fn damage_is_what_miners_rule_says_and_ranges_have_a_ceiling() {
        // 2e6 (36/50)³ = 746 496 cycles; above the limit of 36 (2/5)^(1/3) the slope is 3, below it 5.
        assert_near(ROOT.damage(50.0, 1e4, 1.0), 1e4 / 746_496.0, 1e-12);
        let limit = 36.0 * 0.4_f64.cbrt();
        assert_near(ROOT.damage(20.0, 1e4, 1.0), 1e4 / (5e6 * (limit / 20.0).powi(5)), 1e-12);
        assert_near(ROOT_SHEAR.damage(100.0, 1e4, 1.0), 1e4 / (2e6 * 0.8_f64.powi(5)), 1e-12);
        for detail in [ROOT, ROOT_SHEAR] {
            assert!(detail.cycles(detail.range_mpa(1e8)).is_some(), "at the cut-off itself a range counts");
        }
        // 8(1): 1.5 fy, and 1.5 fy/√3 = 0.866025 fy.
        assert_near(ceiling_mpa(235.0, FatigueCurve::Normal), 352.5, 1e-12);
        assert_near(ceiling_mpa(235.0, FatigueCurve::Shear), 0.866_025_403_784 * 235.0, 1e-11);
    }
}
