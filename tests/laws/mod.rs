//! Laws that hold for every frame, on random frames and random cars.
//!
//! A law is told by two answers of the tool that must agree, or by mechanics worked out in the test
//! from the text of the model and the result alone. Tolerances are relative to the largest quantity
//! of the kind in the case, see [`answers`]. A frame that the tool refuses (it is a mechanism, or
//! its arithmetic fails) is passed over; [`accepted`] counts that most are not.

mod accepted;
mod adding;
mod answers;
pub(crate) mod cars;
mod equilibrium;
mod floating;
pub(crate) mod frames;
pub(crate) mod geometry;
pub(crate) mod mirroring;
mod order;
mod reciprocity;
mod splitting;
mod turning;
mod units;
mod work;

use crossbrace::model::Model;
use proptest::test_runner::{Config, RngSeed, TestCaseError};
use serde_json::Value;

use crate::support::values::entries;
use crate::support::{load, try_result};
use accepted::is_nearly_loose;
use frames::Frame;

/// What a law found on one frame.
type Law = Result<(), TestCaseError>;

/// A difference is told with its case.
fn in_case(case: &str, found: Result<(), String>) -> Law {
    found.map_err(|difference| TestCaseError::fail(format!("case \"{case}\": {difference}")))
}

/// So many frames a law, fewer where each is solved often. The frames are the same in every plain
/// run, so that a change is judged by what it changes; `PROPTEST_CASES` asks for another number of
/// new ones, which still find, rarely, a frame whose round-off decides whether a wall is judged.
pub(crate) fn cases(count: u32) -> Config {
    let asked = Config::default();
    if std::env::var_os("PROPTEST_CASES").is_some() {
        asked
    } else {
        Config { cases: count, rng_seed: RngSeed::Fixed(20_261_125), ..asked }
    }
}

impl Frame {
    /// The model of the text, which must be valid.
    fn model(&self) -> Model {
        load(&self.0.to_string()).base
    }

    /// The result, or why the tool refuses the frame.
    pub(crate) fn solved(&self) -> Result<Value, String> {
        try_result(&self.model())
            .map_err(|faults| faults.into_iter().map(|fault| fault.message).collect::<Vec<String>>().join("; "))
    }

    /// The result; a frame that the tool refuses is passed over.
    fn solved_or_passed_over(&self) -> Result<Value, TestCaseError> {
        self.solved().map_err(TestCaseError::reject)
    }

    /// The result of a frame that a law says must have one, since its like has; one that is nearly a
    /// mechanism may lose just the digits that its like keeps, and is passed over.
    fn must_be_solved(&self) -> Result<Value, TestCaseError> {
        self.solved().map_err(|faults| {
            if is_nearly_loose(self) {
                return TestCaseError::reject(faults);
            }
            TestCaseError::fail(format!("refused, though its like was not: {faults}\n{self:?}"))
        })
    }

    /// Names of the cases.
    fn cases(&self) -> Vec<String> {
        entries(&self.0["cases"]).keys().cloned().collect()
    }
}
