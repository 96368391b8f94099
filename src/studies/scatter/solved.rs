//! What is kept of one solved model: how far each limit is used, and the figures that spread.

use serde_json::{Value, json};

use crate::checks::{Check, counting};
use crate::math::largest;
use crate::model::{Fault, Model};
use crate::record;
use crate::run::{Outcome, Verdict, check_cases};
use crate::studies::divided::Answer;

/// The checks in the order of [`Solved::used`].
pub const CHECKS: [Check; 15] = [
    Check::Yield,
    Check::Column,
    Check::Lateral,
    Check::Wall,
    Check::Buckling,
    Check::Joint,
    Check::Weld,
    Check::RodEnd,
    Check::Bolts,
    Check::Fatigue,
    Check::PickupMove,
    Check::Toe,
    Check::Camber,
    Check::Twist,
    Check::Frequency,
];

/// A figure that spreads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Figure {
    /// The largest utilisation of all checks; a wall counts only where it fails.
    Worst,
    /// The least twist stiffness, N·m/deg.
    Twist,
    /// The largest movement of a pick-up, mm.
    PickupMove,
    /// The largest change of toe, degrees, without its sign.
    Toe,
    /// The largest change of camber, degrees, without its sign.
    Camber,
}

impl Figure {
    /// All of them, in the order of [`Solved::figures`].
    pub const ALL: [Figure; 5] = [Figure::Worst, Figure::Twist, Figure::PickupMove, Figure::Toe, Figure::Camber];

    /// Its name in results.
    pub fn name(self) -> &'static str {
        match self {
            Figure::Worst => "worst",
            Figure::Twist => "twist",
            Figure::PickupMove => "pickup_move",
            Figure::Toe => "toe",
            Figure::Camber => "camber",
        }
    }
}

record! {
    /// What is kept of one solved model, or why it could not be solved.
    Solved {
        /// The figures in the order of `Figure::ALL`; 0 where the model has none. Empty: not solved.
        figures: Vec<f64>,
        /// The largest utilisation of each check, in the order of `CHECKS`. Empty: not solved.
        used: Vec<f64>,
        /// Check, case and place of the largest utilisation; empty where it was not asked for.
        governs: Vec<String> = Vec::new(),
        /// Why it could not be solved; empty where it was.
        fails: String = String::new(),
    }
}

impl Answer for Solved {
    fn written(&self) -> Value {
        let mut written = json!({ "figures": self.figures, "used": self.used });
        if !self.governs.is_empty() {
            written["governs"] = json!(self.governs);
        }
        if !self.fails.is_empty() {
            written["fails"] = json!(self.fails);
        }
        written
    }
}

impl Solved {
    /// Solves a model; `with_place`: whether to say what governs.
    pub(super) fn of(model: &Model, with_place: bool) -> Solved {
        match check_cases(model) {
            Ok((outcome, verdict)) => Solved::read_off(&outcome, &verdict, with_place),
            Err(faults) => Solved::failed(&faults),
        }
    }

    fn failed(faults: &[Fault]) -> Solved {
        let fails = faults.first().map_or("it cannot be solved", |fault| fault.message.as_str()).to_owned();
        Solved { figures: Vec::new(), used: Vec::new(), governs: Vec::new(), fails }
    }

    fn read_off(outcome: &Outcome, verdict: &Verdict, with_place: bool) -> Solved {
        let mut used = vec![0.0_f64; CHECKS.len()];
        for finding in &verdict.findings {
            if let Some(at) = CHECKS.iter().position(|check| *check == finding.check) {
                used[at] = used[at].max(finding.utilisation);
            }
        }
        let worst = largest(counting(verdict.findings.iter().collect()), |finding| finding.utilisation);
        let moved = || outcome.cases.values().flat_map(|case| case.wheels.values()).filter_map(|wheel| wheel.moved);
        let twist = outcome.twist.values().filter_map(|twist| twist.stiffness_nm_deg).reduce(f64::min);
        let pickups = outcome.cases.values().flat_map(|case| case.pickups.values()).map(|pickup| pickup.change_mm);
        let figures = Figure::ALL.map(|figure| match figure {
            Figure::Worst => worst.map_or(0.0, |worst| worst.utilisation),
            Figure::Twist => twist.unwrap_or(0.0),
            Figure::PickupMove => pickups.clone().fold(0.0, f64::max),
            Figure::Toe => moved().map(|moved| moved.change.toe_deg.abs()).fold(0.0, f64::max),
            Figure::Camber => moved().map(|moved| moved.change.camber_deg.abs()).fold(0.0, f64::max),
        });
        let governs = worst.filter(|_| with_place).map_or_else(Vec::new, |worst| {
            vec![worst.check.name().to_owned(), worst.case.clone(), worst.place.clone()]
        });
        Solved { figures: figures.to_vec(), used, governs, fails: String::new() }
    }

    /// Whether it was solved, and all there is to it is there.
    pub fn is_solved(&self) -> bool {
        self.figures.len() == Figure::ALL.len() && self.used.len() == CHECKS.len()
    }

    /// A figure; 0 where it was not solved.
    pub fn figure(&self, figure: Figure) -> f64 {
        self.figures.get(figure as usize).copied().unwrap_or(0.0)
    }

    /// The largest utilisation.
    pub fn worst(&self) -> f64 {
        self.figure(Figure::Worst)
    }

    /// Check, case and place of the largest utilisation.
    pub fn governed_by(&self) -> Option<(Check, &str, &str)> {
        let [check, case, place] = self.governs.as_slice() else { return None };
        let check = CHECKS.into_iter().find(|known| known.name() == check)?;
        Some((check, case, place))
    }
}
