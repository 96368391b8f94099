//! What the answer becomes when the car is not quite as the file has it, in sentences, tables and JSON.

mod json;

pub use json::json;

use super::table::{Cell, Table};
use super::words::{check_name, times, with_option};
use super::{About, text};
use crate::checks::exceeds_limit;
use crate::math::Chance;
use crate::source::visible;
use crate::studies::scatter::{Figure, Quantity, Scatter, Solved, Turned, What};
use crate::units::{brief, figures, rounded};

/// A run, ready to be told.
pub struct ScatterReport<'r> {
    /// The model as the file has it.
    pub about: About<'r>,
    /// What came out.
    pub scatter: &'r Scatter,
}

/// What moves the worst by less than this part of it does not matter.
const MATTERS: f64 = 0.01;
/// Rows of what moves the worst that a terminal shows.
const MOST_ROWS: usize = 16;
/// From this width on a terminal shows what then governs, too.
const WIDE: u16 = 120;
/// Names in a sentence.
const MOST_NAMES: usize = 6;
/// Quantities that are proposed to be measured.
const MOST_PROPOSED: usize = 3;

/// A quantity and the axis of a place that moves the answer most.
pub fn quantity_name(quantity: &Quantity, turned: &Turned) -> String {
    let axis = quantity.knobs.get(turned.knob).and_then(|knob| match knob.what {
        What::Place(_, axis) => ["x", "y", "z"].get(axis),
        _ => None,
    });
    axis.map_or_else(|| quantity.name.clone(), |axis| format!("{} in {axis}", quantity.name))
}

/// Whether a quantity alone moves the worst by something.
fn matters(scatter: &Scatter, at: usize) -> bool {
    scatter.turned[at].moves(&scatter.as_drawn) > MATTERS * scatter.as_drawn.worst()
}

/// What governs: `yield of lower rail.l, braking`.
fn governs(solved: &Solved) -> String {
    match solved.governed_by() {
        Some((check, case, place)) if place == case || case.is_empty() => {
            [check_name(check), place].iter().filter(|part| !part.is_empty()).copied().collect::<Vec<_>>().join(", ")
        }
        Some((check, case, place)) => format!("{} of {place}, {case}", check_name(check)),
        None => String::new(),
    }
}

/// The worst at one end of a quantity, for a sentence.
fn end_in_words(end: Option<&Solved>) -> String {
    match end {
        Some(end) if end.is_solved() => times(end.worst()),
        Some(_) => "no answer".to_owned(),
        None => "…".to_owned(),
    }
}

/// A chance in words, with what it may be between.
pub fn chance_in_words(chance: Chance) -> String {
    let percent = |part: f64| rounded(100.0 * part);
    if chance.part == 0.0 {
        return format!("below {} % (95 % sure)", percent(chance.high));
    }
    if chance.part == 1.0 {
        return format!("above {} % (95 % sure)", percent(chance.low));
    }
    format!(
        "{} % (95 % sure that it lies between {} and {} %)",
        percent(chance.part),
        percent(chance.low),
        percent(chance.high)
    )
}

/// How the draws ended, in one sentence.
fn drawn_sentence(scatter: &Scatter) -> String {
    let any = &scatter.limits[0];
    let ended = if scatter.ended_early { " before Ctrl-C" } else { "" };
    if scatter.solved == 0 {
        return format!("No draw was solved{ended}, so that nothing is said of chances");
    }
    let of_those = match &scatter.unsolved {
        Some((count, _)) => {
            format!("{count} of {} draws have no answer; of the others a limit is exceeded", count + scatter.solved)
        }
        None => "A limit is exceeded".to_owned(),
    };
    format!(
        "{of_those} in {} of {} draws{ended}: the chance is {}",
        any.exceeded,
        scatter.solved,
        chance_in_words(any.chance)
    )
}

/// The verdict in a few words, for a picture.
pub fn in_short(report: &ScatterReport<'_>) -> String {
    let (worst, any) = (report.scatter.as_drawn.worst(), &report.scatter.limits[0]);
    let drawn = if exceeds_limit(worst) { "Fails as drawn" } else { "Passes as drawn" };
    let unsolved = match &report.scatter.unsolved {
        Some((count, _)) => format!(", {count} more have no answer"),
        None => String::new(),
    };
    format!(
        "{drawn}, {} times its limit; a limit is exceeded in {} of {} draws{unsolved}.",
        times(worst),
        any.exceeded,
        report.scatter.solved
    )
}

/// What is told before the tables.
pub fn sentences(report: &ScatterReport<'_>) -> Vec<String> {
    let scatter = report.scatter;
    let worst = scatter.as_drawn.worst();
    let drawn = if exceeds_limit(worst) { "Fails as drawn" } else { "Passes as drawn" };
    let mut told = vec![format!(
        "{}: the worst is {} times its limit ({}). {}.",
        with_option(drawn, report.about.option),
        times(worst),
        governs(&scatter.as_drawn),
        drawn_sentence(scatter)
    )];
    if let Some((_, why)) = &scatter.unsolved {
        told.push(format!("What has no answer is not counted; of the first: {why}"));
    }
    told.extend(measure_next(scatter));
    told
}

/// What to measure next, and what does not matter.
pub fn measure_next(scatter: &Scatter) -> Vec<String> {
    let order = scatter.by_what_moves();
    let mut told: Vec<String> = order
        .iter()
        .filter(|at| matters(scatter, **at))
        .take(MOST_PROPOSED)
        .enumerate()
        .map(|(place, at)| {
            let (quantity, turned) = (&scatter.asked.quantities[*at], &scatter.turned[*at]);
            let begin = if place == 0 { "Measure next: " } else { "Then: " };
            format!(
                "{begin}{}, {}, moves the worst from {} to {}",
                quantity_name(quantity, turned),
                quantity.spread_in_words(),
                end_in_words(turned.low.as_ref()),
                end_in_words(turned.high.as_ref())
            )
        })
        .collect();
    let idle: Vec<&str> = order
        .iter()
        .filter(|at| !matters(scatter, **at) && scatter.turned[**at].solved().count() == 2)
        .map(|at| scatter.asked.quantities[*at].name.as_str())
        .collect();
    let not_turned = scatter.turned.iter().filter(|turned| turned.low.is_none() || turned.high.is_none()).count();
    if not_turned > 0 {
        told.push(format!(
            "{not_turned} quantities were not turned to both ends before Ctrl-C, and nothing is said of them"
        ));
    } else if told.is_empty() {
        told.push(format!("No quantity alone moves the worst by more than {} % of it", brief(100.0 * MATTERS)));
    }
    let lone: Vec<&str> = idle.iter().copied().filter(|name| !name.starts_with("nodes.")).collect();
    let nodes = idle.len() - lone.len();
    let mut parts: Vec<String> = lone.iter().take(MOST_NAMES).map(|name| (*name).to_owned()).collect();
    if lone.len() > MOST_NAMES {
        parts.push(format!("{} more", lone.len() - MOST_NAMES));
    }
    if nodes > 0 {
        parts.push(format!("the places of {nodes} nodes and brackets"));
    }
    if !parts.is_empty() {
        told.push(format!(
            "Alone these do not matter (less than {} % of the worst): {}",
            brief(100.0 * MATTERS),
            parts.join(", ")
        ));
    }
    told
}

/// What each quantity alone makes of the worst, most first, what part of the spread of all draws is its, and what
/// governs at its worse end, where that is something else than as drawn.
pub fn moves(scatter: &Scatter) -> Table {
    let columns = [
        ("quantity", ""),
        ("off by", ""),
        ("low end", "× limit"),
        ("high end", "× limit"),
        ("spread", "%"),
        ("then by", ""),
    ];
    let mut table = Table::new("moves", "Each quantity alone at its ends: the worst", &columns);
    table.one_line = true;
    let explained = scatter.figures.first().filter(|first| first.figure == Figure::Worst);
    let end = |solved: &Option<Solved>| match solved {
        Some(solved) if solved.is_solved() => Cell::Number(solved.worst(), 3),
        Some(_) => Cell::text("no answer"),
        None => Cell::Empty,
    };
    for at in scatter.by_what_moves() {
        let (quantity, turned) = (&scatter.asked.quantities[at], &scatter.turned[at]);
        let share = explained.and_then(|figure| figure.explained.get(at));
        let worse = crate::math::largest(turned.solved(), |end| end.worst());
        let other = worse.filter(|worse| worse.governed_by() != scatter.as_drawn.governed_by());
        table.row(vec![
            Cell::text(quantity_name(quantity, turned)),
            Cell::text(quantity.spread_in_words()),
            end(&turned.low),
            end(&turned.high),
            share.map_or(Cell::Empty, |share| Cell::Number(100.0 * share.max(0.0), 1)),
            other.map_or(Cell::Empty, |other| Cell::text(governs(other))),
        ]);
    }
    table
}

/// How often each limit is exceeded.
pub fn limits(scatter: &Scatter) -> Table {
    let columns = [
        ("limit", ""),
        ("as drawn", "× limit"),
        ("5 %", "× limit"),
        ("50 %", "× limit"),
        ("95 %", "× limit"),
        ("over", "draws"),
        ("chance", "%"),
        ("from", "%"),
        ("to", "%"),
    ];
    let mut table = Table::new("limits", format!("Limits over {} draws", scatter.solved), &columns);
    for limit in &scatter.limits {
        let Chance { part, low, high } = limit.chance;
        let mut row = vec![Cell::text(limit.check.map_or("any", check_name)), Cell::Number(limit.as_drawn, 3)];
        let spreads = [limit.spreads.low, limit.spreads.middle, limit.spreads.high];
        row.extend(spreads.map(|value| Cell::Number(value, 3)));
        row.push(Cell::text(limit.exceeded.to_string()));
        row.extend([part, low, high].map(|part| Cell::Number(100.0 * part, 1)));
        table.row(row);
    }
    table
}

fn figure_name(figure: Figure) -> (&'static str, usize) {
    match figure {
        Figure::Worst => ("worst, × limit", 3),
        Figure::Twist => ("least twist stiffness, N·m/deg", 0),
        Figure::PickupMove => ("largest pick-up movement, mm", 2),
        Figure::Toe => ("largest toe change, °", 3),
        Figure::Camber => ("largest camber change, °", 3),
    }
}

/// How the figures spread.
pub fn spreads(scatter: &Scatter) -> Table {
    let columns = [("figure", ""), ("as drawn", ""), ("5 %", ""), ("50 %", ""), ("95 %", ""), ("mostly by", "")];
    let mut table = Table::new("spreads", "What the draws spread over", &columns);
    for of in &scatter.figures {
        let (name, digits) = figure_name(of.figure);
        let number = |value: f64| Cell::Number(value, digits);
        let most = crate::math::largest(of.explained.iter().enumerate(), |(_, share)| **share);
        let mostly = most.map_or(Cell::Empty, |(at, share)| {
            Cell::text(format!("{} ({} %)", scatter.asked.quantities[at].name, figures(100.0 * share, 2)))
        });
        let middle = [of.spreads.low, of.spreads.middle, of.spreads.high].map(number);
        table.row([vec![Cell::text(name), number(of.as_drawn)], middle.into(), vec![mostly]].concat());
    }
    table
}

/// What varies and why one thinks so: a sentence for each source.
pub fn varied(scatter: &Scatter) -> Vec<String> {
    let family = |quantity: &Quantity| match quantity.name.split_once('.') {
        Some((family @ ("load" | "wall" | "nodes" | "mounts"), _)) => format!("each of {family}"),
        _ => quantity.name.clone(),
    };
    let mut sources: Vec<(&str, Vec<String>)> = Vec::new();
    for quantity in &scatter.asked.quantities {
        let off = format!("{} {}", family(quantity), quantity.spread_in_words());
        match sources.iter_mut().find(|(source, _)| *source == quantity.source) {
            Some((_, known)) if known.contains(&off) => {}
            Some((_, known)) => known.push(off),
            None => sources.push((quantity.source, vec![off])),
        }
    }
    sources.into_iter().map(|(source, off)| format!("Varied: {} ({source}).", off.join(", "))).collect()
}

/// How it was drawn, and what is left out.
pub fn method(scatter: &Scatter) -> String {
    format!(
        "Seed {}. Between its ends every value is as likely as any other, and no quantity hangs on another. Tubes of one size share their wall, as from the same \
         bars; twins' places, and all mounts, vary each alone. A load is the factor on a case. The spread is the part of the variance of the worst that a quantity \
         explains alone (correlation ratio by classes; Saltelli and others, 2008); by chance alone {} % or so. Left out: other positions of adjusters, lost welds, \
         and all that is not varied.",
        scatter.asked.seed,
        figures(100.0 * noise(scatter.solved), 1)
    )
}

/// Standard deviation, near enough, of the part that chance alone explains in so many draws.
fn noise(draws: usize) -> f64 {
    let classes = (draws / 5).isqrt().clamp(2, 64);
    (2.0 * (classes as f64 - 1.0)).sqrt() / (draws.max(1) as f64)
}

/// The whole answer for the terminal.
pub fn text(report: &ScatterReport<'_>, width: u16) -> String {
    let scatter = report.scatter;
    let mut told = String::new();
    for sentence in sentences(report) {
        told.push_str(&format!("{}\n", text::wrapped(&visible(&sentence), width, "  ")));
    }
    let mut moved = moves(scatter);
    if width < WIDE {
        // What then governs is so long that nothing of it would be left.
        moved.columns.pop();
        moved.rows.iter_mut().for_each(|row| drop(row.pop()));
    }
    let rest = " that move it less: report.html and --json have them all";
    told.push_str(&format!("\n{}", text::first_rows(moved, MOST_ROWS, rest, width)));
    for table in [limits(scatter), spreads(scatter)] {
        told.push_str(&format!("\n{}", text::table(&table, width)));
    }
    told.push('\n');
    for sentence in varied(scatter).iter().chain([&method(scatter)]) {
        told.push_str(&format!("{}\n", text::wrapped(&visible(sentence), width, "  ")));
    }
    told
}
