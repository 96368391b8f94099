//! Plain results as text, JSON, CSV, drawings and a page.
//!
//! Reads a [`Report`]; gives text. Computes nothing and opens no file.

pub mod arithmetic;
pub mod comparison;
pub mod csv;
pub mod geometry;
pub mod hand_check;
pub mod inputs;
pub mod json;
pub mod lost_welds;
pub mod modes;
pub mod page;
pub mod plot;
pub mod proof;
pub mod table;
pub mod tables;
pub mod text;
pub mod unknowns;
pub mod why;
pub mod words;
mod working;

use crate::model::Model;
use crate::run::{Outcome, Prepared, Response, Unknowns, Verdict};

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
    /// Assumptions, warnings, what was held.
    pub notes: &'r [String],
}

/// Name and version of this program.
pub const TOOL: (&str, &str) = ("crossbrace", env!("CARGO_PKG_VERSION"));
