//! Fatigue: lines of strength of EN 1993-1-9 7.1, damage sums, equivalent ranges.

use super::proven::proven;
use super::{Listed, Tally, cases, hold};

const LISTED: &[Listed] = &[];

#[test]
fn every_published_fatigue_figure_is_met() {
    let file = "checks/fatigue.json";
    let tally = hold(file, &cases(file), LISTED, proven);
    assert_eq!(tally, Tally { cases: 30, met: 30, values: 42 });
}
