//! Plain results as text, JSON, CSV, drawings and a page.
//!
//! Reads a [`Report`]; gives text. Computes nothing and opens no file.

pub mod arithmetic;
pub mod certificate;
pub mod comparison;
pub mod csv;
pub mod geometry;
pub mod hand_check;
pub mod inputs;
pub mod json;
pub mod lost_welds;
pub mod mend;
pub mod modes;
pub mod page;
pub mod plot;
pub mod positions;
pub mod proof;
pub mod scatter;
pub mod sizing;
pub mod table;
pub mod tables;
pub mod text;
pub mod triangulation;
pub mod unknowns;
pub mod why;
pub mod words;
mod working;
pub mod worst;

use crate::model::Model;
use crate::run::{Outcome, Positions, Prepared, Response, Unknowns, Verdict};

/// A run, ready to be told: everything that any rendering needs.
pub struct Report<'r> {
    /// Name of the file as the user typed it.
    pub file: &'r str,
    /// SHA-256 of the file's bytes, hexadecimal.
    pub sha256: &'r str,
    /// Name of the option whose change is in the model, if any.
    pub option: Option<&'r str>,
    /// The model.
    pub model: &'r Model,
    /// The structure.
    pub prepared: &'r Prepared,
    /// The solved cases.
    pub response: &'r Response,
    /// The same by name.
    pub outcome: &'r Outcome,
    /// What was judged.
    pub verdict: &'r Verdict,
    /// What nobody knows and how far it moves the answer, where that was asked for.
    pub unknowns: Option<&'r Unknowns>,
    /// The car at the other positions of its adjusters, where there are any and they were asked for.
    pub positions: Option<&'r Positions>,
    /// Assumptions, warnings, what was held.
    pub notes: &'r [String],
}

/// What a page says of the model itself, whatever was asked of it.
#[derive(Clone, Copy)]
pub struct About<'r> {
    /// Name of the file as the user typed it.
    pub file: &'r str,
    /// SHA-256 of the file's bytes, hexadecimal.
    pub sha256: &'r str,
    /// Name of the option whose change is in the model, if any.
    pub option: Option<&'r str>,
    /// The model.
    pub model: &'r Model,
    /// Assumptions, warnings, what was held.
    pub notes: &'r [String],
}

impl<'r> Report<'r> {
    /// What a page says of the model itself.
    pub fn about(&self) -> About<'r> {
        let Report { file, sha256, option, model, notes, .. } = *self;
        About { file, sha256, option, model, notes }
    }

    /// The same of each other position of the adjusters, by its name.
    pub fn at_positions(&self) -> impl Iterator<Item = (&'r str, Report<'r>)> + use<'r> {
        let (file, sha256, option, notes) = (self.file, self.sha256, self.option, self.notes);
        let checked = self.positions.into_iter().flat_map(Positions::named);
        self.model.positions.iter().zip(checked).map(move |(position, (name, checked))| {
            let report = Report {
                file,
                sha256,
                option,
                model: &position.model,
                prepared: &checked.prepared,
                response: &checked.response,
                outcome: &checked.outcome,
                verdict: &checked.verdict,
                unknowns: None,
                positions: None,
                notes,
            };
            (name, report)
        })
    }
}

/// Name and version of this program.
pub const TOOL: (&str, &str) = ("crossbrace", env!("CARGO_PKG_VERSION"));
