//! The one way from a model to findings.
//!
//! Reads a model. [`Prepared`] is what two runs of one structure share: parts, numbering and
//! factor. [`respond`] solves all cases ([`Response`]), [`outcome`] names what came out in plain
//! data ([`Outcome`]), and [`judge`] holds it against the limits. Leaves out wording. [`check`] does all of it.

mod checked;
mod columns;
mod judge;
mod not_judged;
mod outcome;
mod prepared;
mod response;
mod sound;

pub use checked::{Checked, check};
pub use judge::{TubeJudged, Verdict, judge};
pub use not_judged::NotJudged;
pub use outcome::{
    BodyOutcome, CaseOutcome, MassOutcome, Moved, Outcome, PickupOutcome, STANDING, Station, TubeOutcome, TwistOutcome,
    WheelChange, WheelMoved, WheelOutcome, Wrench, outcome,
};
pub use prepared::{Prepared, prepare};
pub use response::{CaseResponse, Response, TwistResponse, respond};
