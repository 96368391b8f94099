//! Demand over capacity, each check with its source; one finding type.
//!
//! Reads internal forces, sections, materials, limits. Gives utilisations ([`Finding`]): above 1
//! fails. Leaves out the wording of reports.

mod bolt;
mod column;
mod fatigue;
mod joint;
mod lateral;
mod rod_end;
mod wall;
mod weld;
mod weld_line;
mod yielding;

pub use bolt::{BoltResult, bolts};
pub use column::{
    ColumnForces, ColumnInput, ColumnResult, Curve, MomentFactors, buckling_curve, buckling_length_mm, chi, column,
    equivalent_moment_factor, euler_load_n, interaction, interaction_sums, moment_factors, relative_slenderness,
};
pub use fatigue::{
    BUTT_BOX, BUTT_ROUND, Detail, FATIGUE_FACTOR, FatigueCurve, LatticeBrace, ROOT, ROOT_SHEAR, ceiling_mpa, lattice,
};
pub use joint::{
    ChordGap, ChordInGap, GapForces, GapRule, Hollow, JointFailure, JointForces, JointKind, JointResult, JointShape,
    chord_in_gap, is_too_tight, joint, out_of_range, sheared_across_n, stands_apart, worst_gap,
};
pub use lateral::{
    CriticalMoment, LateralForces, LateralResult, LateralSum, NOT_SIDEWAYS, Sideways, lateral, sideways_moment_nmm,
};
pub use rod_end::{ALONG_BOLT, RodEndResult, rod_end};
pub use wall::{WallResult, WallRule, epsilon, wall};
pub use weld::{
    LARGEST_CORRELATION, LEAST_THROAT_MM, ThroatStress, WELD_FACTOR, Weld, WeldMetal, WeldResult, correlation,
    default_throat_mm,
};
pub use weld_line::{LineFigures, LineForce, Run, Spread, WeldLine, on_weld};
pub use yielding::{TubeStress, YieldResult, tube_stress, yielding};

use crate::math::larger_than;

/// What can be judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Check {
    /// Von Mises stress against the strength, beside a weld where there is one.
    Yield,
    /// A pushed and bent tube as a column.
    Column,
    /// A flat bent on edge that gives way sideways.
    Lateral,
    /// Local buckling of a tube's wall.
    Wall,
    /// Load at which the frame buckles as a whole.
    Buckling,
    /// The wall of a tube that another is welded onto.
    Joint,
    /// The weld round a tube's end.
    Weld,
    /// The ball and the shank of a rod-end.
    RodEnd,
    /// The bolts of a mount.
    Bolts,
    /// What the ranges of the duty use up of a weld's life.
    Fatigue,
    /// Movement of a pick-up from standing.
    PickupMove,
    /// Change of toe from standing.
    Toe,
    /// Change of camber from standing.
    Camber,
    /// Twist stiffness.
    Twist,
    /// Natural frequency.
    Frequency,
}

impl Check {
    /// Whether it judges one tube.
    pub fn is_of_a_tube(self) -> bool {
        matches!(self, Check::Yield | Check::Column | Check::Lateral | Check::Wall | Check::Joint | Check::Weld)
    }

    /// Its name, which is that of its limit.
    pub fn name(self) -> &'static str {
        match self {
            Check::Yield => "yield",
            Check::Column => "column",
            Check::Lateral => "lateral",
            Check::Wall => "wall",
            Check::Buckling => "buckling",
            Check::Joint => "joint",
            Check::Weld => "weld",
            Check::RodEnd => "rod_end",
            Check::Bolts => "bolts",
            Check::Fatigue => "fatigue",
            Check::PickupMove => "pickup_move",
            Check::Toe => "toe",
            Check::Camber => "camber",
            Check::Twist => "twist",
            Check::Frequency => "frequency",
        }
    }
}

/// One demand against one limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Which check.
    pub check: Check,
    /// In which case; empty where it is of none, as of fatigue and of frequencies.
    pub case: String,
    /// At which position of the adjusters; empty: as drawn.
    pub position: String,
    /// Where: a member, a node, a corner, a case.
    pub place: String,
    /// What was found, in the unit of the check.
    pub value: f64,
    /// What is allowed, in the same unit.
    pub limit: f64,
    /// Demand over capacity; above 1 fails.
    pub utilisation: f64,
}

impl Finding {
    /// A finding whose utilisation is value over limit; nothing allowed and nothing found is 0.
    pub fn at_most(check: Check, case: &str, place: &str, value: f64, limit: f64) -> Finding {
        Finding::of(check, case, place, [value, limit], ratio(value, limit))
    }

    /// A finding whose utilisation is limit over value.
    pub fn at_least(check: Check, case: &str, place: &str, value: f64, limit: f64) -> Finding {
        Finding::of(check, case, place, [value, limit], ratio(limit, value))
    }

    fn of(check: Check, case: &str, place: &str, [value, limit]: [f64; 2], utilisation: f64) -> Finding {
        let (case, place) = (case.to_owned(), place.to_owned());
        Finding { check, case, position: String::new(), place, value, limit, utilisation }
    }

    /// Whether it tells anything of the load. A wall is as slender whatever acts: it counts only where
    /// it fails.
    pub fn counts(&self) -> bool {
        self.check != Check::Wall || self.fails()
    }

    /// Whether it is of the car as drawn.
    pub fn is_as_drawn(&self) -> bool {
        self.position.is_empty()
    }

    /// Whether it is of the frame and not of one case.
    pub fn is_of_no_case(&self) -> bool {
        self.case.is_empty()
    }

    /// Whether it fails.
    pub fn fails(&self) -> bool {
        exceeds_limit(self.utilisation)
    }
}

/// Of some findings those that count; all, where none does.
pub fn counting(mut findings: Vec<&Finding>) -> Vec<&Finding> {
    if findings.iter().any(|finding| finding.counts()) {
        findings.retain(|finding| finding.counts());
    }
    findings
}

/// Whether a utilisation is one that fails: above 1 by more than the 1e-9 within which values count
/// as equal.
pub fn exceeds_limit(utilisation: f64) -> bool {
    larger_than(utilisation, 1.0)
}

/// The largest number that a result shows, where a limit of 0 is passed by any amount.
const WITHOUT_BOUND: f64 = 1e9;

/// Demand over capacity; nothing asked is 0, whatever the capacity.
pub fn ratio(demand: f64, capacity: f64) -> f64 {
    if demand <= 0.0 {
        0.0
    } else if capacity <= 0.0 {
        WITHOUT_BOUND
    } else {
        (demand / capacity).min(WITHOUT_BOUND)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_utilisation_is_what_is_found_over_what_is_allowed_or_the_other_way_round() {
        let most = |value: f64, limit: f64| Finding::at_most(Check::Toe, "c", "p", value, limit).utilisation;
        assert_eq!([most(0.3, 0.4), most(0.0, 0.0), most(0.3, 0.0)], [0.3 / 0.4, 0.0, 1e9]);
        let least = Finding::at_least(Check::Twist, "", "p", 500.0, 400.0);
        assert_eq!((least.utilisation, least.fails()), (0.8, false));
        assert!(Finding::at_least(Check::Twist, "", "p", 399.0, 400.0).fails());
    }

    #[test]
    fn a_wall_counts_only_where_it_fails_or_nothing_else_was_judged() {
        let wall = |utilisation: f64| Finding::at_most(Check::Wall, "", "p", utilisation, 1.0);
        let weld = Finding::at_most(Check::Weld, "c", "p", 0.2, 1.0);
        assert_eq!([wall(0.9).counts(), wall(1.1).counts(), weld.counts()], [false, true, true]);
        let (slender, stocky) = (wall(1.1), wall(0.9));
        assert_eq!(counting(vec![&stocky, &weld, &slender]), [&weld, &slender]);
        assert_eq!(counting(vec![&stocky]), [&stocky]);
    }

    #[test]
    fn a_finding_says_whether_it_is_of_one_case_and_of_the_car_as_drawn() {
        let as_drawn = Finding::at_most(Check::Weld, "braking", "p", 0.2, 1.0);
        let turned = Finding { position: "toe out".to_owned(), case: String::new(), ..as_drawn.clone() };
        assert_eq!([as_drawn.is_as_drawn(), turned.is_as_drawn()], [true, false]);
        assert_eq!([as_drawn.is_of_no_case(), turned.is_of_no_case()], [false, true]);
    }

    #[test]
    fn a_check_has_the_name_of_its_limit_and_is_of_a_tube_or_not() {
        let named = [Check::Yield, Check::Column, Check::Lateral, Check::Wall, Check::Joint, Check::Weld];
        assert_eq!(named.map(Check::name), ["yield", "column", "lateral", "wall", "joint", "weld"]);
        assert!(named.into_iter().all(Check::is_of_a_tube));
        assert!(![Check::RodEnd, Check::Bolts, Check::Twist, Check::Buckling].into_iter().any(Check::is_of_a_tube));
    }
}
