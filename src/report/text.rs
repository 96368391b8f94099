//! A report for the terminal.

use anstyle::{AnsiColor, Style};
use comfy_table::presets::NOTHING;
use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Width};

use super::table::Table;
use super::{Report, arithmetic, geometry, hand_check, lost_welds, modes, positions, tables, unknowns, words};
use crate::source::visible;
use crate::units::figures;

pub(super) const GOOD: Style = AnsiColor::Green.on_default().bold();
pub(super) const BAD: Style = AnsiColor::Red.on_default().bold();
pub(super) const HEADING: Style = Style::new().bold();

/// The verdict line, its first word coloured where the stream shows colour.
pub fn verdict_line(report: &Report<'_>) -> String {
    coloured(report, &visible(&words::verdict(report)))
}

fn coloured(report: &Report<'_>, line: &str) -> String {
    let style = if report.verdict.passes() { GOOD } else { BAD };
    match line.split_once([':', ',']) {
        Some((word, _)) => format!("{style}{word}{style:#}{}", &line[word.len()..]),
        None => line.to_owned(),
    }
}

/// A word up to this length is not broken in a table.
const LONGEST_UNBROKEN: usize = 18;

/// A table at most `width` characters wide: numbers and the first column are never broken, and a
/// first cell that repeats the one above it is left blank. Where rows stay on one line, words too
/// long for that are shortened in their middle.
pub fn table(table: &Table, width: u16) -> String {
    let mut drawn = comfy_table::Table::new();
    drawn.load_style(NOTHING).set_content_arrangement(ContentArrangement::Dynamic).set_width(width);
    let head = table.columns.iter().map(|column| match column.unit {
        "" => column.name.to_owned(),
        unit => format!("{}\n{unit}", column.name),
    });
    drawn.set_header(head);
    let shown: Vec<Vec<String>> =
        table.rows.iter().map(|row| row.iter().map(|cell| visible(&cell.shown())).collect()).collect();
    let most = if table.one_line { one_line_widths(table, &shown, usize::from(width)) } else { Vec::new() };
    for (at, row) in shown.iter().enumerate() {
        let mut cells = row.clone();
        if at > 0 && shown[at - 1][0] == row[0] {
            cells[0].clear();
        }
        for (cell, most) in cells.iter_mut().zip(&most) {
            *cell = shortened(cell, *most);
        }
        drawn.add_row(cells);
    }
    for at in 0..table.columns.len() {
        let numeric = table.is_numeric(at);
        let Some(column) = drawn.column_mut(at) else { continue };
        column.set_padding((if at == 0 { 2 } else { 0 }, 2));
        if numeric {
            column.set_cell_alignment(CellAlignment::Right);
        }
        let words = shown.iter().flat_map(|row| row[at].split_whitespace().map(|word| word.chars().count()));
        let widest = words.max().unwrap_or(0).max(table.columns[at].name.len());
        column.set_constraint(if numeric || at == 0 || table.one_line {
            ColumnConstraint::ContentWidth
        } else {
            let padded = u16::try_from(widest.min(LONGEST_UNBROKEN)).unwrap_or(u16::MAX) + 2;
            ColumnConstraint::LowerBoundary(Width::Fixed(padded))
        });
    }
    let lines: Vec<String> = drawn.lines().map(|line| line.trim_end().to_owned()).collect();
    format!("{HEADING}{}{HEADING:#}\n{}\n", visible(&table.title), lines.join("\n"))
}

/// Columns are not made narrower than this to keep rows on one line, characters.
const NARROWEST: usize = 12;

/// How wide the words of each column may be, so that each row stays on one line: the widest column
/// gives way, the first one last.
fn one_line_widths(table: &Table, shown: &[Vec<String>], width: usize) -> Vec<usize> {
    let widest = |at: usize| {
        let cells = shown.iter().map(|row| row[at].chars().count());
        let head = [table.columns[at].name, table.columns[at].unit];
        cells.chain(head.map(|word| word.chars().count())).max().unwrap_or(0)
    };
    let mut widths: Vec<usize> = (0..table.columns.len()).map(widest).collect();
    let gives_way = |at: &usize, widths: &[usize]| !table.is_numeric(*at) && widths[*at] > NARROWEST;
    // Two blanks before the first column and two after each.
    while widths.iter().map(|width| width + 2).sum::<usize>() + 2 > width {
        let behind = (1..widths.len()).rev().filter(|at| gives_way(at, &widths)).max_by_key(|at| widths[*at]);
        let Some(at) = behind.or(Some(0).filter(|at| gives_way(at, &widths))) else { break };
        widths[at] -= 1;
    }
    widths
}

/// A text of at most so many characters, what is too much left out of its middle: of long names the
/// end often tells them apart.
fn shortened(text: &str, most: usize) -> String {
    let letters: Vec<char> = text.chars().collect();
    if letters.len() <= most {
        return text.to_owned();
    }
    let kept = most.saturating_sub(1);
    let end = kept / 3;
    let (begins, ends) = (&letters[..kept - end], &letters[letters.len() - end..]);
    begins.iter().chain(&['…']).chain(ends).collect()
}

/// Text broken into lines of at most `width` characters, `indent` before each but the first.
pub fn wrapped(text: &str, width: u16, indent: &str) -> String {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let line = lines.last_mut().expect("there is always a line");
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > usize::from(width) {
            lines.push(format!("{indent}{word}"));
        } else {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
    }
    lines.join("\n")
}

/// The first rows of a table, and how many more there are; `rest`: what these are and where all of them stand.
pub fn first_rows(mut drawn: Table, most: usize, rest: &str, width: u16) -> String {
    let more = drawn.rows.len().saturating_sub(most);
    drawn.rows.truncate(most);
    let mut text = table(&drawn, width);
    if more > 0 {
        text.push_str(&format!("  and {more} more{rest}\n"));
    }
    text
}

/// The terminal shows so many welds; the page shows all.
const MOST_WELDS: usize = 8;
/// And so many tubes that another position of the adjusters governs.
const MOST_ELSEWHERE: usize = 8;

/// The whole report of a check.
pub fn check(report: &Report<'_>, width: u16) -> String {
    let mut text = head(report, width);
    if let Some(drawn) = tables::over_the_limit(report) {
        text.push_str(&format!("\n{}", table(&drawn, width)));
    }
    if let Some(as_drawn) = positions::as_drawn(report) {
        text.push_str(&format!("\n{}\n", wrapped(as_drawn, width, "")));
    }
    let mut add = |drawn: Option<Table>| {
        if let Some(drawn) = drawn {
            text.push('\n');
            text.push_str(&table(&drawn, width));
        }
    };
    add(Some(tables::cases(report)));
    add(tables::wheel_angles(report));
    add(tables::sources(report, false));
    add(tables::twist(report));
    add(Some(modes::buckling(report)));
    add(modes::second_order(report));
    add(modes::vibration(report));
    add(lost_welds::lost_welds(report));
    add(tables::wheel_loads(report, false));
    add(tables::pickups(report));
    add(tables::mounts(report));
    add(tables::body_mounts(report));
    add(Some(tables::tubes(report)));
    add(tables::welds(report, MOST_WELDS));
    add(tables::fatigue(report, MOST_WELDS));
    add(tables::rod_ends(report));
    add(tables::bolts(report));
    add(Some(tables::tube_list(report)));
    text.push_str(&format!("  {}\n", wrapped(&masses(report), width.saturating_sub(2), "  ")));
    if let Some(drawn) = corner_geometry(report, width) {
        text.push('\n');
        text.push_str(&drawn);
    }
    if let Some(drawn) = positions::summary(report) {
        text.push('\n');
        text.push_str(&table(&drawn, width));
    }
    if let Some(drawn) = positions::tubes(report, positions::Which::Elsewhere) {
        let rest = " that it governs: report.html and --json have them all";
        text.push_str(&format!("\n{}", first_rows(drawn, MOST_ELSEWHERE, rest, width)));
    }
    if let Some(drawn) = unknowns::table(report) {
        text.push('\n');
        text.push_str(&table(&drawn, width));
        for sentence in unknowns::sentences(report) {
            text.push_str(&format!("  {}\n", wrapped(&visible(&sentence), width.saturating_sub(2), "  ")));
        }
    }
    text.push('\n');
    text.push_str(&table(&tables::not_judged(report), width));
    text.push_str(&foot(report, width));
    text
}

/// Verdict and the three worst things in plain sentences.
fn head(report: &Report<'_>, width: u16) -> String {
    let mut text = coloured(report, &wrapped(&visible(&words::verdict(report)), width, "  "));
    text.push('\n');
    let worst = words::worst(report, 3);
    if worst.len() > 1 {
        text.push_str(if report.verdict.passes() { "\nNext nearest to a limit:\n" } else { "\nNext worst:\n" });
        for (place, finding) in worst.iter().enumerate().skip(1) {
            let sentence = format!("  {}. {}.", place + 1, visible(&words::sentence(report, finding)));
            let indented = wrapped(sentence.trim_start(), width.saturating_sub(2), "     ");
            text.push_str(&format!("  {indented}\n"));
        }
    }
    text
}

fn masses(report: &Report<'_>) -> String {
    let mass = &report.outcome.mass;
    let cg: Vec<String> = mass.cg_mm.iter().map(|place| crate::units::decimals(*place, 0)).collect();
    let mut text = format!("Frame {} kg, its centre of gravity at [{}] mm", figures(mass.frame_kg, 3), cg.join(", "));
    if mass.arms_kg > 0.0 {
        text.push_str(&format!("; suspension tubes {} kg", figures(mass.arms_kg, 3)));
    }
    if mass.bodies_kg > 0.0 {
        text.push_str(&format!("; bodies {} kg", figures(mass.bodies_kg, 3)));
    }
    text.push('.');
    text
}

/// The corners as drawn, and what is positive in that table.
fn corner_geometry(report: &Report<'_>, width: u16) -> Option<String> {
    let drawn = geometry::corners(report)?;
    let signs = wrapped(geometry::SIGNS, width.saturating_sub(2), "  ");
    Some(format!("{}  {signs}\n", table(&drawn, width)))
}

/// The checks of a tube in a case, figure by figure.
pub fn by_hand(report: &Report<'_>, case: &str, tube: &str, width: u16) -> String {
    let mut text = String::new();
    for check in hand_check::of_tube(report, case, tube) {
        text.push_str(&format!("\n{HEADING}{}{HEADING:#}\n", wrapped(&visible(&check.title), width, "  ")));
        for line in check.lines {
            text.push_str(&format!("  {}\n", wrapped(&visible(&line), width.saturating_sub(2), "      ")));
        }
    }
    text
}

/// Notes, the accuracy line and the caution.
fn foot(report: &Report<'_>, width: u16) -> String {
    let mut text = String::new();
    if !report.notes.is_empty() {
        text.push_str(&format!("\n{HEADING}Notes{HEADING:#}\n"));
        for note in report.notes {
            text.push_str(&format!("  - {}\n", wrapped(&visible(note), width.saturating_sub(4), "    ")));
        }
    }
    let worst =
        report.outcome.cases.values().map(|case| case.accuracy.error.max(case.accuracy.balance)).fold(0.0, f64::max);
    let counted = modes::counted(report);
    if !counted.is_empty() {
        text.push_str(&format!("\n{}\n", wrapped(&counted, width, "")));
    }
    text.push_str(&format!(
        "\n{}\n{}\n",
        wrapped(&format!("{} (largest relative error {worst:.0e})", words::ACCURACY), width, ""),
        wrapped(words::CAUTION_LINE, width, "")
    ));
    text
}

/// The report as far as the pick-ups, with the arithmetic of load transfer.
pub fn loads(report: &Report<'_>, width: u16) -> String {
    let mut text = report.option.map_or(String::new(), |option| format!("With option \"{}\"\n\n", visible(option)));
    for case in &report.response.cases {
        text.push_str(&format!("{HEADING}Case \"{}\"{HEADING:#}\n", visible(&case.name)));
        for line in arithmetic::lines(report.model, &case.name, &case.wheels) {
            text.push_str(&format!("  {}\n", wrapped(&visible(&line), width.saturating_sub(2), "      ")));
        }
        text.push('\n');
    }
    for drawn in [tables::wheel_loads(report, true), tables::pickups(report)].into_iter().flatten() {
        text.push_str(&table(&drawn, width));
        text.push('\n');
    }
    if let Some(drawn) = corner_geometry(report, width) {
        text.push_str(&drawn);
        text.push('\n');
    }
    for note in report.notes {
        text.push_str(&format!("- {}\n", wrapped(&visible(note), width.saturating_sub(2), "  ")));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::table::Cell;

    #[test]
    fn a_row_that_stays_on_one_line_is_shortened_in_the_middle_of_its_longest_words() {
        let mut tubes = Table::new("tubes", "Tubes", &[("tube", ""), ("worst", ""), ("governed by", ""), ("case", "")]);
        tubes.one_line = true;
        let long = ["left bend at full speed over the kerb, dry", "left bend at full speed over the kerb, wet"];
        for case in long {
            let words = ["front.l/lower.front", "yield beside weld 25.0 mm from LF.l", case].map(Cell::text);
            let [tube, governed, case] = words;
            tubes.row(vec![tube, Cell::Number(1.0, 2), governed, case]);
        }
        let drawn = table(&tubes, 80);
        let lines: Vec<&str> = drawn.lines().collect();
        assert_eq!(lines.len(), 4, "{drawn}");
        assert!(lines.iter().all(|line| line.chars().count() <= 80), "{drawn}");
        assert!(lines[2].contains("front.l/lower.front") && lines[2].contains('…'), "{drawn}");
        assert!(lines[2].ends_with("dry") && lines[3].ends_with("wet"), "{drawn}");
        assert!(table(&tubes, 120).contains(long[0]), "with room nothing is shortened");
    }

    #[test]
    fn a_shortened_text_is_as_long_as_it_may_be() {
        assert_eq!(shortened("braking", 7), "braking");
        assert_eq!(shortened("braking hard", 7), "brak…rd");
        assert_eq!(shortened("ab", 0), "…");
    }
}
