//! Forces, moments, line loads and movements that the file gives.

use nalgebra::Vector3;

use super::{Cause, Contribution, Load, on_target};
use crate::model::{Case, Model};
use crate::structure::{Structure, TubeName};

/// A contribution for each given load.
pub(super) fn add(model: &Model, structure: &Structure, case: &Case, contributions: &mut Vec<Contribution>) {
    for (target, force_n) in &case.forces {
        let load = on_target(model, structure, *target, *force_n, Vector3::zeros());
        contributions.push(Contribution { cause: Cause::Force(*target), loads: vec![load] });
    }
    for (target, moment_nmm) in &case.moments {
        let load = on_target(model, structure, *target, Vector3::zeros(), *moment_nmm);
        contributions.push(Contribution { cause: Cause::Moment(*target), loads: vec![load] });
    }
    for (tube, load_n_mm) in &case.line_loads {
        let loads = structure.tube(TubeName::Tube(*tube)).map(|tube| Load::OnTube { tube, load_n_mm: *load_n_mm });
        contributions.push(Contribution { cause: Cause::LineLoad(*tube), loads: loads.into_iter().collect() });
    }
    for mount in 0..model.mounts.len() {
        let loads: Vec<Load> = case
            .moved
            .iter()
            .filter(|(moved, _, _)| *moved == mount)
            .map(|(_, motion, amount)| Load::Moved { mount, motion: *motion, amount: *amount })
            .collect();
        if !loads.is_empty() {
            contributions.push(Contribution { cause: Cause::Moved(mount), loads });
        }
    }
}
