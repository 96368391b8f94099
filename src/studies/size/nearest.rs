//! What comes nearest where no design passes: what a larger stock or a brace has to mend.

use super::problem::Problem;
use crate::checks::counting;
use crate::run::{Checked, check};

/// A design of one size for all groups, checked whole.
pub struct Nearest {
    /// The size, an index into those of the stock.
    pub size: usize,
    /// All that came of it.
    pub checked: Checked,
}

/// Of the designs with one size for all groups the one whose worst utilisation is least; `None`: none can be solved.
pub(super) fn nearest(problem: &Problem<'_>) -> Option<Nearest> {
    let worst = |nearest: &Nearest| {
        let findings = nearest.checked.verdict.all().collect();
        counting(findings).into_iter().map(|finding| finding.utilisation).fold(0.0, f64::max)
    };
    let designs = (0..problem.stock.len()).filter_map(|size| {
        let checked = check(&problem.sized(&vec![size; problem.groups.len()]), |_| true).ok()?;
        Some(Nearest { size, checked })
    });
    designs.min_by(|one, other| worst(one).total_cmp(&worst(other)))
}
