//! Pictures: drawing sheets, bars, comparisons, as SVG on A4.
//!
//! Reads a model, its structure and a [`Report`](super::Report); gives texts. Every sheet is drawn
//! in whole tenths of a millimetre, and the same input gives the same bytes.

mod bars;
mod case_sheet;
mod depth;
mod drawing;
mod drawn;
mod forces;
mod label;
mod letters;
mod manoeuvres;
mod mode_sheets;
mod names;
mod paper;
mod pen;
mod room;
mod scatter_bars;
mod scene;
mod sheet;
mod side_by_side;
mod symbols;
mod trade_off;
mod view;
mod why_bars;

pub use bars::utilisation_bars;
pub use case_sheet::{CaseSheet, case_sheet, case_sheet_layouts};
pub use drawing::drawing_sheets;
pub use drawn::TubeLine;
pub use label::Label;
pub use manoeuvres::{MapHead, Marked, manoeuvre_map};
pub use mode_sheets::mode_sheets;
pub use paper::{Area, Dot};
pub use scatter_bars::scatter_bars;
pub use side_by_side::{Shown, side_by_side};
pub use trade_off::{TradeFigure, TradePoint, trade_off};
pub use why_bars::why_bars;
