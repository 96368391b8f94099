//! What two runs of one structure share.

use super::mechanisms::{held_turns, mechanism_faults};
use crate::math::{ChosenEngine, Engine};
use crate::model::{Fault, Model};
use crate::path;
use crate::solve::{Solved, System, held_spins, loose, solve};
use crate::structure::{Purpose, build, number};

/// A structure, factorised.
pub struct Prepared {
    /// The structure with its stiffness.
    pub system: System,
    /// The factor.
    pub solved: Solved,
    /// Turns that nothing needs to resist and that are held, in words.
    pub held: Vec<String>,
}

/// Takes a model apart and factorises it.
///
/// # Errors
/// A closed ring of rigid ties, or a mechanism: every motion in words.
pub fn prepare(model: &Model, purpose: Purpose) -> Result<Prepared, Vec<Fault>> {
    let structure = build(model, purpose).map_err(|fault| vec![fault])?;
    let spins = held_spins(&structure);
    let mut held: Vec<String> = spins.iter().map(|tube| structure.tube_name(model, *tube)).collect();
    if !held.is_empty() {
        held = vec![format!(
            "held, because nothing needs to resist it: the spin of {} about their own axes",
            held.join(", ")
        )];
    }
    let numbering = number(model, &structure, &[])?;
    let system = System::new(structure, numbering);
    match solve(&system, ChosenEngine.plan(&system.numbering.pattern).as_ref()) {
        Ok(solved) if !solved.is_suspicious() && !system.has_slack => Ok(Prepared { system, solved, held }),
        attempt => {
            let found = loose(&system.structure).ok_or_else(|| vec![too_large_to_tell()])?;
            if !found.mechanisms.is_empty() {
                return Err(mechanism_faults(model, &system.structure, &found));
            }
            if found.held.is_empty() {
                let solved = attempt.map_err(|_| vec![too_soft()])?;
                return Ok(Prepared { system, solved, held });
            }
            held.extend(held_turns(model, &system.structure, &found.held));
            let structure = system.structure;
            let numbering = number(model, &structure, &found.held)?;
            let system = System::new(structure, numbering);
            let solved =
                solve(&system, ChosenEngine.plan(&system.numbering.pattern).as_ref()).map_err(|_| vec![too_soft()])?;
            Ok(Prepared { system, solved, held })
        }
    }
}

fn too_large_to_tell() -> Fault {
    Fault::new(path!["members"], "something in the frame is loose, and the frame is too large to say what")
        .hint("check a part of it alone")
}

fn too_soft() -> Fault {
    Fault::new(
        path!["members"],
        "nothing is loose, but the stiffest and the softest parts are so far apart that the frame cannot be reckoned",
    )
    .hint("look for a tube, a rate or a section figure with a wrong unit")
}
