//! The one way from a model to findings.
//!
//! Reads a model. [`Prepared`] is what two runs of one structure share: parts, numbering and
//! factor. [`respond`] solves all cases ([`Response`]), [`outcome`] names what came out in plain
//! data ([`Outcome`]), and [`judge`] holds it against the limits. Leaves out wording. [`check`] does all of it.

mod bars;
mod bench;
mod bolts;
mod checked;
mod columns;
mod fatigue;
mod gaps;
mod governing;
mod joints;
mod judge;
mod lateral;
mod least;
mod lost_welds;
mod mechanisms;
mod modes;
mod not_judged;
mod outcome;
mod parts;
mod positions;
mod prepared;
mod queries;
mod response;
mod rod_ends;
mod second_order;
mod sideways;
mod sound;
mod sources;
mod superposed;
mod tubes;
mod unknowns;
mod welds;

pub use bars::bar_springs;
pub use bolts::{BoltsJudged, body_mount_name};
pub use checked::{Checked, check, check_as_drawn, check_cases, check_deformed, check_for_verdict, failing_of_statics};
pub use fatigue::{Crack, EventDamage, Fatigue, FatigueJudged};
pub use joints::JointJudged;
pub use judge::{Verdict, judge};
pub use lost_welds::{LostWeld, NextToYield, Then, Turned, stress_at_most};
pub use modes::{CaseBuckling, Modes, NoVibration};
pub use not_judged::NotJudged;
pub use outcome::{
    BodyOutcome, CaseOutcome, MassOutcome, Moved, Outcome, PickupOutcome, Station, TubeOutcome, TwistOutcome,
    WheelChange, WheelMoved, WheelOutcome, Wrench, outcome,
};
pub use parts::parts_of_case;
pub use positions::{Envelope, Positions, Reach};
pub use prepared::{Prepared, prepare};
pub use response::{CaseResponse, Response, TwistResponse, respond};
pub use rod_ends::RodEndJudged;
pub use second_order::{SecondOrder, Settlement};
pub(crate) use sound::beyond;
pub use sources::{Giver, Sources, WheelSources};
pub use superposed::{Measure, Superposed};
pub use tubes::{JudgedColumn, TubeJudged};
pub use unknowns::{
    CaseRanges, Collapse, EstimatedRate, OpenMount, Range, Unknowns, joint_between, open_mounts, open_welds, unknowns,
};
pub use welds::WeldJudged;
