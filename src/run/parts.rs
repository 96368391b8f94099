//! A case as the sum of what acts.

use nalgebra::DMatrix;

use super::bars::Bars;
use super::prepared::Prepared;
use super::response::CaseResponse;
use crate::loads::{Cause, Contribution};
use crate::model::{Fault, Model};
use crate::solve::{RightSide, State};

/// The answer to each thing that acts in a case, alone; together they are the case's own state.
///
/// What an anti-roll bar does is part of the answer to what loads its wheels: its force is linear
/// in theirs.
///
/// # Errors
/// As [`respond`](super::respond) has them for the bars.
pub fn parts_of_case(
    model: &Model,
    prepared: &Prepared,
    case: &CaseResponse,
) -> Result<Vec<(Cause, State)>, Vec<Fault>> {
    let system = &prepared.system;
    let bars = Bars::new(model, prepared)?;
    let mut together: Vec<Contribution> = Vec::new();
    for contribution in &case.loads {
        match together.iter_mut().find(|known| known.cause == contribution.cause) {
            Some(known) => known.loads.extend(&contribution.loads),
            None => together.push(contribution.clone()),
        }
    }
    let mut rights: Vec<RightSide> =
        together.iter().map(|contribution| system.right_side(std::slice::from_ref(contribution))).collect();
    if rights.is_empty() {
        return Ok(Vec::new());
    }
    let columns: Vec<_> = rights.iter().map(|right| right.unknowns.clone()).collect();
    let (x, _) = prepared.solved.unknowns(system, &DMatrix::from_columns(&columns));
    let states = rights.iter_mut().zip(x.column_iter()).map(|(right, x)| {
        let mut unknowns = x.into_owned();
        if !model.anti_roll.is_empty() {
            let scales = bars.scales(model, prepared, &system.state(right, &unknowns));
            bars.add(&scales, right, &mut unknowns);
        }
        system.state(right, &unknowns)
    });
    Ok(together.iter().map(|contribution| contribution.cause).zip(states).collect())
}
