//! What becomes of the frame when a weld is lost, told.

use super::Report;
use super::modes;
use super::table::{Cell, Table};
use super::words::{short_place, times};
use crate::run::Then;

/// How many welds are told.
const MOST: usize = 5;

/// The welds to look at before each event: those whose loss is worst. `None` without welds, or with too many.
///
/// Welds without which nothing holds what they carry stand in one row. Of twins on both sides of the car the worse is told:
/// whoever looks at one looks at both.
pub fn lost_welds(report: &Report<'_>) -> Option<Table> {
    let columns = [("weld of", ""), ("", ""), ("what if it is lost", ""), ("wheels turn", "°")];
    let as_before = if report.model.anti_roll.is_empty() { "" } else { ", anti-roll bars pulling as before" };
    let title = format!("The five welds to look at before each event{as_before}");
    let mut table = Table::new("lost-welds", title, &columns);
    let lost = report.outcome.lost_welds.as_ref()?;
    let (loose, holding): (Vec<_>, Vec<_>) = lost.iter().partition(|lost| lost.then == Then::Loose);
    match loose.as_slice() {
        [] => {}
        [one] => {
            let place = Cell::text(short_place(report, &one.tube, one.at_mm));
            table.row(vec![Cell::text(&one.tube), place, Cell::text("nothing holds what it carries"), Cell::Empty]);
        }
        all => {
            let names: Vec<String> = all.iter().map(|lost| lost.tube.clone()).collect();
            let then = format!("nothing holds what each of these carries: {}", modes::named(&names));
            table.row(vec![Cell::text("several"), Cell::Empty, Cell::text(then), Cell::Empty]);
        }
    }
    let left = MOST - table.rows.len();
    let has_worse_twin =
        |at: usize| holding[..at].iter().any(|worse| worse.is_twin_of(&holding[at].tube, holding[at].at_mm));
    let told = (0..holding.len()).filter(|at| !has_worse_twin(*at)).map(|at| holding[at]);
    for lost in told.take(left) {
        let Then::Holds { turns, next } = &lost.then else { continue };
        let yields = next.as_ref().map(|next| {
            let times = times(next.utilisation);
            format!("{} is next to yield, at {times} times its limit, in \"{}\"", next.tube, next.case)
        });
        table.row(vec![
            Cell::text(&lost.tube),
            Cell::text(short_place(report, &lost.tube, lost.at_mm)),
            Cell::text(yields.unwrap_or_else(|| "the frame holds".to_owned())),
            turns.as_ref().map_or(Cell::Empty, |turned| Cell::Number(turned.angle_deg, 2)),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}
