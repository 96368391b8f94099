//! Published cases: does the tool give the figures that books, standards and closed forms give?
//!
//! Reads the files of cases that are built in (`cases/`, one a topic); gives for each value what is
//! published, what the tool answers, and how far apart the two may be ([`Proven`]). A case of a frame
//! holds a model in the tool's own format, which goes the way of a user's: read, validated, solved.
//! Leaves out wording. A new case is an entry in one of the files and needs no code, as long as what
//! it asks is in the vocabulary: [`QUANTITIES`] of a model, and the formulas of [`FORMULAS`].

mod case;
pub mod file;
mod formulas;
mod frame;
mod prove;
mod quantities;
mod thresholds;

pub use case::{Ask, Case, Subject, Topic, read_topic, topics};
pub use file::{Figure, Provenance};
pub use formulas::{FORMULAS, Formula};
pub use prove::{Proven, ProvenTopic, ProvenValue, prove};
pub use quantities::{QUANTITIES, Quantity};
