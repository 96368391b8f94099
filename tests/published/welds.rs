//! Welds: fillet welds of EN 1993-1-8 4.5 and EN 1999-1-1 8.6, rings round tubes, lines.

use super::proven::proven;
use super::{Listed, Tally, cases, hold};

const LISTED: &[Listed] = &[];

#[test]
fn every_published_weld_is_met() {
    let file = "checks/welds.json";
    let tally = hold(file, &cases(file), LISTED, proven);
    assert_eq!(tally, Tally { cases: 37, met: 37, values: 120 });
}
