//! Forces as arrows: what acts, where, and how long it is drawn.
//!
//! Length is by force, the same in all views of a sheet before the view shortens it. A force in or
//! out of the paper is not drawn in that view.

use nalgebra::{Point3, Vector3};

use super::letters::SMALL;
use super::paper::{Dot, Paper};
use super::pen::{GREEN, NARROW, WHITE, arrow_head, distance, round};
use super::scene::{Scene, Spot};
use super::sheet::{LINE, put};
use super::view::View;
use crate::car::{Acts, WheelLoads};
use crate::model::{Case, Corner, Model, Target};
use crate::report::{Report, words};
use crate::run::CaseOutcome;

/// What a force is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// Of a tyre, or given in the file.
    Load,
    /// Of the corner parts on a pick-up.
    Pickup,
    /// Of the ground on a mount.
    Mount,
}

/// A force to be drawn.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Force {
    /// What it is.
    pub kind: Kind,
    /// Where it acts.
    pub spot: Spot,
    /// How large, N.
    pub force_n: Vector3<f64>,
}

/// The longest arrow of a sheet with large views, 0.1 mm.
pub(super) const LONGEST: f64 = 105.0;
/// Arrows shorter than this are left out, 0.1 mm.
const SHORTEST: f64 = 12.0;
/// Length of an arrow's head, 0.1 mm.
const HEAD: f64 = 22.0;

/// The forces of the tyres: at the contact patch, and what acts at the wheel centre there.
pub(super) fn of_tyres(corners: &[Corner], scene: &Scene, wheels: &WheelLoads, factor: f64) -> Vec<Force> {
    corners
        .iter()
        .zip(&scene.uprights)
        .filter_map(|(corner, upright)| wheels.wheels[corner.wheel.place()].map(|load| (upright, load)))
        .flat_map(|(upright, load)| {
            let force_n = load.force_n * factor;
            let along = Vector3::new(force_n.x, 0.0, 0.0);
            let (at_patch, at_centre) = match load.acts {
                Acts::Patch => (force_n, Vector3::zeros()),
                Acts::Shaft | Acts::WheelCentre => (force_n - along, along),
            };
            [(upright.patch, at_patch), (upright.centre, at_centre)]
        })
        .map(|(spot, force_n)| Force { kind: Kind::Load, spot, force_n })
        .collect()
}

/// The forces that a case gives on nodes and bodies, and those of its twist test.
pub(super) fn given(model: &Model, scene: &Scene, case: &Case) -> Vec<Force> {
    let spot = |target: &Target| match target {
        Target::Anchor(anchor) => scene.point(model.anchor_name(*anchor)).map(|point| point.spot),
        Target::Body(body) => scene.masses.get(*body).map(|mass| mass.cg),
    };
    let mut forces: Vec<(Target, Vector3<f64>)> = case.forces.clone();
    if let Some(twist) = &case.twist {
        forces.extend(twist.forces(model));
    }
    forces
        .iter()
        .filter_map(|(target, force_n)| {
            spot(target).map(|spot| Force { kind: Kind::Load, spot, force_n: force_n * case.factor })
        })
        .collect()
}

/// All forces of a solved case.
pub(super) fn of_case(report: &Report<'_>, scene: &Scene, case: usize) -> Vec<Force> {
    let solved = &report.response.cases[case];
    let asked = &report.model.cases[&solved.name];
    let mut forces = of_tyres(&report.model.corners, scene, &solved.wheels, asked.factor);
    forces.extend(given(report.model, scene, asked));
    if let Some(outcome) = report.outcome.cases.get(&solved.name) {
        forces.extend(carried(scene, outcome));
    }
    forces.retain(|force| force.force_n.norm() > 0.0);
    forces
}

/// What pick-ups and mounts carry.
fn carried(scene: &Scene, outcome: &CaseOutcome) -> Vec<Force> {
    let at = |kind: Kind, name: &str, force_n: Vector3<f64>| {
        scene.point(name).map(|point| Force { kind, spot: point.spot, force_n })
    };
    let pickups = outcome.pickups.iter().filter_map(|(name, pickup)| at(Kind::Pickup, name, pickup.load.force_n));
    let mounts = outcome.mounts.iter().filter_map(|(name, mount)| at(Kind::Mount, name, mount.force_n));
    pickups.chain(mounts).collect()
}

/// An arrow on the paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Arrow {
    /// Its blunt end.
    pub tail: Dot,
    /// Its tip.
    pub tip: Dot,
    /// The end that is away from the frame, where its number belongs.
    pub free_end: Dot,
}

/// How long forces are drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ForceScale {
    /// Paper for each N, 0.1 mm.
    tenths_per_n: f64,
    /// The longest arrow, 0.1 mm.
    pub longest: f64,
}

impl ForceScale {
    /// The scale at which the largest of some forces is so long (0.1 mm); `None` where there are
    /// none.
    pub(super) fn of<'f>(forces: impl Iterator<Item = &'f Force>, longest: f64) -> Option<ForceScale> {
        let largest = forces.map(|force| force.force_n.norm()).fold(0.0, f64::max);
        (largest > 1e-6).then(|| ForceScale { tenths_per_n: longest / largest, longest })
    }

    /// The arrow of a force in a view: with its tip on the point where it acts, or its tail where
    /// there is no room for that. `None` where it would be too short to see.
    pub(super) fn arrow(&self, view: &View, force: &Force, times: f64) -> Option<Arrow> {
        let [right, up, _] = view.look.flat(&Point3::from(force.force_n * self.tenths_per_n));
        if right.hypot(up) < SHORTEST {
            return None;
        }
        let at = view.dot(&force.spot.moved(times));
        let (dx, dy) = round(right, -up);
        let before = (at.0 - dx, at.1 - dy);
        if view.cell.grown(-10).holds_dot(before) {
            Some(Arrow { tail: before, tip: at, free_end: before })
        } else {
            let after = (at.0 + dx, at.1 + dy);
            Some(Arrow { tail: at, tip: after, free_end: after })
        }
    }

    /// The shortest force that is drawn, N.
    pub(super) fn least_n(&self) -> f64 {
        SHORTEST / self.tenths_per_n
    }

    /// Draws the scale bar with its value, and on two more lines what the heads mean.
    pub(super) fn legend(&self, paper: &mut Paper, corner: Dot) {
        // The largest of 1, 2, 5 × 10ⁿ that is no longer than the longest arrow.
        let round_n = round_below(self.longest / self.tenths_per_n);
        let length = round(round_n * self.tenths_per_n, 0.0).0;
        let (x, mut y) = (corner.0, corner.1 + 18);
        paper.line(vec![(x, y), (x + length, y)], NARROW + 1, GREEN);
        for end in [x, x + length] {
            paper.line(vec![(end, y - 10), (end, y + 10)], NARROW, GREEN);
        }
        put(paper, &words::force(round_n), (x + length + 15, y - 18), SMALL);
        for (kind, word) in [(Kind::Load, "force on the frame"), (Kind::Mount, "force of a mount")] {
            y += LINE;
            draw(paper, &Arrow { tail: (x, y), tip: (x + 55, y), free_end: (x, y) }, kind);
            put(paper, word, (x + 72, y - 18), SMALL);
        }
    }
}

/// The largest of 1, 2, 5 times a power of ten that is not above a value.
pub(super) fn round_below(value: f64) -> f64 {
    if value <= 0.0 || !value.is_finite() {
        return 0.0;
    }
    let power = value.log10().floor() as i32;
    let steps = (-1..=0).flat_map(|more| [1, 2, 5].map(|step| power_of_ten(step, power + more)));
    steps.filter(|step| *step <= value * (1.0 + 1e-9)).fold(0.0, f64::max)
}

/// A small number times a power of ten, as exact as a text of it would be.
fn power_of_ten(step: i32, power: i32) -> f64 {
    let size = 10_f64.powi(power.abs());
    if power < 0 { f64::from(step) / size } else { f64::from(step) * size }
}

/// Draws an arrow: a full head for what acts on the frame, an open one for what holds it.
pub(super) fn draw(paper: &mut Paper, arrow: &Arrow, kind: Kind) {
    let length = distance(arrow.tail, arrow.tip);
    let head = arrow_head(arrow.tail, arrow.tip, HEAD.min(length));
    paper.line(vec![arrow.tail, arrow.tip], NARROW + 1, GREEN);
    if kind == Kind::Mount {
        paper.fill(head.clone(), WHITE);
        let outline: Vec<Dot> = head.iter().chain(head.first()).copied().collect();
        paper.line(outline, NARROW + 1, GREEN);
    } else {
        paper.fill(head, GREEN);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_round_number_below_is_one_two_or_five() {
        for (value, expected) in [(1.0, 1.0), (1.99, 1.0), (4999.0, 2000.0), (0.07, 0.05), (0.0, 0.0), (10.0, 10.0)] {
            assert_eq!(round_below(value), expected, "{value}");
        }
    }
}
