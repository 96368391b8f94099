//! Whether every number of a result is one.
//!
//! Figures may be sound each by itself and yet lead beyond all numbers: a section so small that
//! its stress has no end, a load that no sum holds. Such a result is not shown.

use nalgebra::Vector3;

use super::outcome::{CaseOutcome, Moved, Outcome, Wrench};
use super::tubes::TubeJudged;
use super::{Verdict, WheelChange};
use crate::checks::ThroatStress;
use crate::model::Fault;
use crate::path;
use crate::section::InternalForces;
use crate::source::Path;

/// A fault for each case, and for the masses, that hold something which is no finite number.
pub(super) fn unsound(outcome: &Outcome, verdict: &Verdict) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mass = &outcome.mass;
    let masses = [mass.frame_kg, mass.arms_kg, mass.bodies_kg];
    if !masses.iter().chain(mass.cg_mm.iter()).all(|value| value.is_finite()) {
        faults.push(beyond(path!["members"], "the mass of the frame"));
    }
    let damages = verdict.fatigue.iter().flat_map(|fatigue| fatigue.tubes.values());
    if !damages.into_iter().all(|judged| judged.damage.is_finite() && judged.ceiling.is_finite()) {
        faults.push(beyond(path!["duty"], "what the duty uses up"));
    }
    for (name, case) in &outcome.cases {
        let mut numbers = Numbers { finite: true };
        numbers.case(case);
        for judged in verdict.tubes.get(name).into_iter().flat_map(|tubes| tubes.values()) {
            numbers.judged(judged);
        }
        for judged in verdict.rod_ends.get(name).into_iter().flat_map(|parts| parts.values()) {
            numbers.put([judged.result.shank_mpa, judged.result.utilisation]);
        }
        for judged in verdict.bolts.get(name).into_iter().flat_map(|mounts| mounts.values()) {
            numbers.put([judged.result.shear_n, judged.result.tension_n, judged.result.utilisation]);
        }
        if let Some(twist) = outcome.twist.get(name) {
            numbers.put([twist.moment_nm, twist.angle_deg]);
            numbers.put(twist.stiffness_nm_deg);
        }
        if !numbers.finite {
            faults.push(beyond(path!["cases", name], "what comes out of this case"));
        }
    }
    faults
}

/// The fault of something that is beyond all numbers.
pub(crate) fn beyond(path: Path, what: &str) -> Fault {
    Fault::new(path, format!("{what} is no number: something in it is too large or too small to reckon with"))
        .hint("look for a load, a mass, a strength or a section figure with a wrong unit")
}

/// Whether all numbers put in are finite.
struct Numbers {
    finite: bool,
}

impl Numbers {
    fn put(&mut self, numbers: impl IntoIterator<Item = f64>) {
        self.finite &= numbers.into_iter().all(f64::is_finite);
    }

    fn vector(&mut self, vector: &Vector3<f64>) {
        self.put(vector.iter().copied());
    }

    fn wrench(&mut self, wrench: &Wrench) {
        self.vector(&wrench.force_n);
        self.vector(&wrench.moment_nm);
    }

    fn moved(&mut self, moved: &Moved) {
        self.vector(&moved.move_mm);
        self.vector(&moved.turn_deg);
    }

    fn change(&mut self, change: &WheelChange) {
        self.put([change.toe_deg, change.camber_deg, change.caster_deg]);
    }

    fn case(&mut self, case: &CaseOutcome) {
        case.nodes.values().for_each(|moved| self.moved(moved));
        case.mounts.values().for_each(|wrench| self.wrench(wrench));
        for body in case.bodies.values() {
            self.moved(&body.moved);
            body.mounts.values().for_each(|wrench| self.wrench(wrench));
        }
        for wheel in case.wheels.values() {
            self.wrench(&wheel.load);
            if let Some(moved) = &wheel.moved {
                self.change(&moved.angles);
                self.change(&moved.change);
                self.vector(&moved.patch_mm);
            }
        }
        for pickup in case.pickups.values() {
            self.wrench(&pickup.load);
            self.put([pickup.change_mm]);
        }
        self.put(case.anti_roll.values().flatten().copied());
        for station in case.members.values().flat_map(|member| &member.along) {
            let InternalForces { n, vy, vz, t, my, mz } = station.forces;
            self.put([n, vy, vz, t, my, mz]);
        }
    }

    fn judged(&mut self, judged: &TubeJudged) {
        let peak = &judged.stress.peak;
        let parts = &peak.stress;
        self.put([peak.von_mises_mpa, peak.at_mm, parts.axial, parts.bending, parts.torsion, parts.shear]);
        self.put(judged.utilisations().into_iter().map(|(_, utilisation)| utilisation));
        if let Some(result) = &judged.yielding {
            self.put([result.stress_mpa, result.strength_mpa, result.at_mm]);
        }
        if let Some((length_mm, forces, result)) = &judged.column {
            self.put([*length_mm, forces.push_n, forces.my_nmm, forces.mz_nmm, result.sum]);
            let pairs = [result.cm, result.n_cr_n, result.slenderness, result.chi, result.n_b_rd_n, result.m_rd_nmm];
            self.put(pairs.into_iter().flatten().chain(result.k));
        }
        if let Some(result) = &judged.wall {
            self.put([result.slenderness, result.limit]);
        }
        self.put(judged.joint_deformed.as_ref().map(|joint| joint.result.utilisation()));
        for weld in [&judged.weld, &judged.weld_deformed].into_iter().flatten() {
            let ThroatStress { normal, across, along } = weld.result.stress;
            self.put([normal, across, along, weld.result.line_force_n_mm]);
            self.put(weld.result.simplified);
        }
    }
}
