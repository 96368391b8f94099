//! Pictures: drawing sheets, bars, comparisons, as SVG on A4.
//!
//! Reads a model, its structure and a [`Report`](super::Report); gives texts. Every sheet is drawn
//! in whole tenths of a millimetre, and the same input gives the same bytes.

mod case_sheet;
mod depth;
mod drawn;
mod forces;
mod label;
mod letters;
mod paper;
mod pen;
mod room;
mod scene;
mod sheet;
mod symbols;
mod view;

pub use case_sheet::{CaseSheet, case_sheet_layouts, case_sheets};
pub use drawn::TubeLine;
pub use label::Label;
pub use paper::{Area, Dot};
