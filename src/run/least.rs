//! From where on a tube counts as pushed or bent, and not as carrying round-off.

use super::columns::extremes;
use super::response::CaseResponse;
use crate::beam::Diagram;
use crate::section::{InternalForces, Properties};

/// The least push and the least moment that a tube counts as pushed or bent by.
///
/// A tube that slides at one end, that only rod-ends hold, or that nothing loads and others carry
/// along, carries round-off, one way or the other: whether it is judged as a column, or its wall at
/// all, may not hang on that.
#[derive(Debug, Clone, Copy)]
pub(super) struct Least {
    pub(super) push_n: f64,
    pub(super) moment_nmm: f64,
}

impl Least {
    /// Values within 1e-9 of the largest of the case, or within its error, count as equal, so also as
    /// equal to nothing. Where a frame moves far and little strains it, round-off of its movement is
    /// more than that.
    pub(super) fn of(case: &CaseResponse) -> Least {
        const EQUAL: f64 = 1e-9;
        let mut largest = Least { push_n: 0.0, moment_nmm: 0.0 };
        for forces in case.state.pieces.iter().map(|piece| &piece.end_forces) {
            for end in [0, 6] {
                largest.push_n = forces.fixed_rows::<3>(end).amax().max(largest.push_n);
                largest.moment_nmm = forces.fixed_rows::<3>(end + 3).amax().max(largest.moment_nmm);
            }
        }
        let part = EQUAL.max(case.accuracy.error);
        Least {
            push_n: (part * largest.push_n).max(case.state.least.force_n),
            moment_nmm: (part * largest.moment_nmm).max(case.state.least.moment_nmm),
        }
    }

    /// Whether a diagram bends a section about the axis about which it is stronger.
    pub(super) fn is_bent_on_edge(&self, properties: &Properties, diagram: &Diagram) -> bool {
        let Some(strong) = properties.strong_axis() else { return false };
        let about_strong = |f: InternalForces| [f.my, f.mz][strong].abs();
        extremes(diagram).into_iter().any(|x| about_strong(diagram.at(x)) > self.moment_nmm)
    }

    /// Whether a diagram pushes a tube or bends it.
    pub(super) fn is_pushed_or_bent(&self, diagram: &Diagram) -> bool {
        extremes(diagram)
            .into_iter()
            .map(|x| diagram.at(x))
            .any(|f| -f.n > self.push_n || f.my.abs() > self.moment_nmm || f.mz.abs() > self.moment_nmm)
    }
}
