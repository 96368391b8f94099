//! What becomes of the frame when a weld is lost, told.

use super::Report;
use super::table::{Cell, Table};
use super::words::short_place;
use crate::run::{LostWeld, Then};

/// How many welds are told.
const MOST: usize = 5;

/// The welds to look at before each event: those whose loss is worst. `None` without welds, or with too many.
pub fn lost_welds(report: &Report<'_>) -> Option<Table> {
    let columns = [
        ("weld of", ""),
        ("", ""),
        ("then", ""),
        ("next to yield", ""),
        ("× limit", ""),
        ("wheels turn", "°"),
        ("case", ""),
    ];
    let mut table =
        Table::new("lost-welds", "The five welds to look at before each event: what if one is lost", &columns);
    for lost in report.outcome.lost_welds.as_ref()?.iter().take(MOST) {
        table.row(row(report, lost));
    }
    (!table.rows.is_empty()).then_some(table)
}

fn row(report: &Report<'_>, lost: &LostWeld) -> Vec<Cell> {
    let mut row = vec![Cell::text(&lost.tube), Cell::text(short_place(report, &lost.tube, lost.at_mm))];
    match &lost.then {
        Then::Loose => {
            row.push(Cell::text("nothing holds it"));
            row.extend([Cell::Empty, Cell::Empty, Cell::Empty, Cell::Empty]);
        }
        Then::Holds { turns, next } => {
            row.push(Cell::text("holds"));
            row.push(next.as_ref().map_or(Cell::Empty, |next| Cell::text(&next.tube)));
            row.push(next.as_ref().map_or(Cell::Empty, |next| Cell::Number(next.utilisation, 2)));
            row.push(turns.as_ref().map_or(Cell::Empty, |turned| Cell::Number(turned.angle_deg, 2)));
            row.push(next.as_ref().map_or(Cell::Empty, |next| Cell::text(&next.case)));
        }
    }
    row
}
