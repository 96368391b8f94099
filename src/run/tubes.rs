//! A tube judged in one case, and the findings of it.

use super::joints::JointJudged;
use super::welds::WeldJudged;
use crate::checks::{Check, ColumnForces, ColumnResult, Finding, LateralResult, TubeStress, WallResult, YieldResult};
use crate::model::Limits;

/// A column: buckling length (mm), forces, result.
pub type JudgedColumn = (f64, ColumnForces, ColumnResult);

/// A tube judged in one case.
#[derive(Debug, Clone, PartialEq)]
pub struct TubeJudged {
    /// Its largest stresses.
    pub stress: TubeStress,
    /// Yield.
    pub yielding: Option<YieldResult>,
    /// Yield on the deformed frame, where it fails there and not on the drawn one.
    pub deformed: Option<YieldResult>,
    /// The worst column that it is part of, where it is pushed.
    pub column: Option<JudgedColumn>,
    /// A flat that is bent on edge.
    pub lateral: Option<LateralResult>,
    /// Its wall, where it is pushed or bent.
    pub wall: Option<WallResult>,
    /// The worse of its ends that is welded onto a tube, where one is judged.
    pub joint: Option<JointJudged>,
    /// The worst of the welds at its ends.
    pub weld: Option<WeldJudged>,
    /// The same on the deformed frame, where it fails there and not on the drawn one.
    pub weld_deformed: Option<WeldJudged>,
    /// The joint on the deformed frame, where it fails there and not on the drawn one.
    pub joint_deformed: Option<JointJudged>,
}

impl TubeJudged {
    /// The utilisation of each check.
    pub fn utilisations(&self) -> Vec<(Check, f64)> {
        let mut all = Vec::new();
        all.extend(self.yielding.map(|result| (Check::Yield, result.utilisation)));
        all.extend(self.column.map(|(_, _, result)| (Check::Column, result.sum)));
        all.extend(self.lateral.map(|result| (Check::Lateral, result.sum)));
        all.extend(self.wall.map(|result| (Check::Wall, result.slenderness / result.limit)));
        all.extend(self.joint.as_ref().map(|joint| (Check::Joint, joint.result.utilisation())));
        all.extend(self.weld.map(|weld| (Check::Weld, weld.result.directional)));
        all
    }

    /// The weld that is told: on the deformed frame where it fails there alone.
    pub fn governing_weld(&self) -> Option<&WeldJudged> {
        self.weld_deformed.as_ref().or(self.weld.as_ref())
    }

    /// The joint that is told: on the deformed frame where it fails there alone.
    pub fn governing_joint(&self) -> Option<&JointJudged> {
        self.joint_deformed.as_ref().or(self.joint.as_ref())
    }

    /// What is held against the limits: on the deformed frame where it fails there alone.
    pub(super) fn held(&self) -> Held<'_> {
        Held {
            yielding: self.deformed.as_ref().or(self.yielding.as_ref()),
            column: self.column.as_ref().map(|(_, _, result)| result),
            lateral: self.lateral.as_ref(),
            wall: self.wall.as_ref(),
            joint: self.governing_joint(),
            weld: self.governing_weld(),
        }
    }
}

/// What of a tube is held against its limits.
pub(super) struct Held<'t> {
    pub(super) yielding: Option<&'t YieldResult>,
    pub(super) column: Option<&'t ColumnResult>,
    pub(super) lateral: Option<&'t LateralResult>,
    pub(super) wall: Option<&'t WallResult>,
    pub(super) joint: Option<&'t JointJudged>,
    pub(super) weld: Option<&'t WeldJudged>,
}

impl Held<'_> {
    /// A finding for each.
    pub(super) fn findings(&self, case: &str, place: &str, limits: &Limits) -> impl Iterator<Item = Finding> {
        self.values(limits).map(move |(check, value, limit)| Finding::at_most(check, case, place, value, limit))
    }

    /// What was found and what is allowed, in the unit of each check.
    pub(super) fn values(&self, limits: &Limits) -> impl Iterator<Item = (Check, f64, f64)> {
        let yielding = self
            .yielding
            .zip(limits.yield_margin)
            .map(|(result, margin)| (Check::Yield, result.stress_mpa, result.strength_mpa / margin));
        [
            yielding,
            self.column.map(|result| (Check::Column, result.sum, 1.0)),
            self.lateral.map(|result| (Check::Lateral, result.sum, 1.0)),
            self.wall.map(|result| (Check::Wall, result.slenderness, result.limit)),
            self.joint.map(|joint| (Check::Joint, joint.result.utilisation(), 1.0)),
            self.weld.map(|weld| (Check::Weld, weld.result.directional, 1.0)),
        ]
        .into_iter()
        .flatten()
    }
}
