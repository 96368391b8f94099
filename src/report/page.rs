//! The report page: one self-contained HTML file that prints to A4.
//!
//! System fonts, light and dark, a contents list, headings in order, tables that sort (a script
//! that the page reads well without), text alternatives on every picture, no network.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::table::{Cell, Table};
use super::{
    About, Report, TOOL, arithmetic, geometry, hand_check, inputs, lost_welds, modes, positions, tables, unknowns,
    words,
};
use crate::source::visible;

/// A picture of the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// What it shows, as heading and as text alternative.
    pub title: String,
    /// The SVG.
    pub svg: String,
}

const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = include_str!("page.js");

/// The page of a check, with its sheets and charts.
pub fn page(report: &Report<'_>, pictures: &[Picture], date: &str) -> String {
    let title = visible(report.model.title.as_deref().unwrap_or(report.file));
    let mut sections: Vec<(&str, &str, Markup)> = vec![
        ("verdict", "Verdict", verdict(report)),
        ("assumed", "Assumed, and left out", assumed(&report.about())),
        ("caution", "Caution", caution()),
        ("results", "Results", results(report)),
        ("by-hand", "The governing tube by hand", by_hand(report)),
        ("wheels", "Wheel loads, and how they come about", wheels(report)),
        ("corners", "Corner geometry as drawn", corner_geometry(report)),
        ("sheets", "Sheets", sheets(pictures)),
        ("inputs", "What was read", input_tables(report)),
    ];
    if report.positions.is_some() {
        let after_results = sections.iter().position(|(key, ..)| *key == "by-hand").unwrap_or(sections.len());
        sections.insert(after_results, ("adjusters", "What the adjusters do", what_the_adjusters_do(report)));
    }
    if report.unknowns.is_some() {
        let after_results = sections.iter().position(|(key, ..)| *key == "wheels").unwrap_or(sections.len());
        sections.insert(after_results, ("unknowns", "What nobody knows", what_nobody_knows(report)));
    }
    whole(&title, &report.about(), &sections, date)
}

/// The page of a study.
pub struct StudyPage<'r> {
    /// Its title.
    pub title: &'r str,
    /// What stands over its answer.
    pub heading: &'r str,
    /// The model.
    pub about: About<'r>,
    /// The answer in sentences.
    pub sentences: &'r [String],
    /// And in tables.
    pub results: &'r [Table],
    /// Pictures of it.
    pub pictures: &'r [Picture],
    /// The date.
    pub date: &'r str,
}

impl StudyPage<'_> {
    /// As HTML.
    pub fn html(&self) -> String {
        let body = html! {
            ul { @for sentence in self.sentences { li { (visible(sentence)) } } }
            @for result in self.results { (table(result)) }
        };
        let mut sections: Vec<(&str, &str, Markup)> = vec![("comparison", self.heading, body)];
        if !self.pictures.is_empty() {
            sections.push(("sheets", "Pictures", sheets(self.pictures)));
        }
        sections.push(("assumed", "Assumed, and left out", assumed(&self.about)));
        sections.push(("caution", "Caution", caution()));
        whole(&visible(self.title), &self.about, &sections, self.date)
    }
}

fn whole(title: &str, about: &About<'_>, sections: &[(&str, &str, Markup)], date: &str) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content={ (TOOL.0) " " (TOOL.1) };
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                header {
                    h1 { (title) }
                    p.quiet {
                        (visible(about.file))
                        @if let Some(option) = about.option { ", with option " q { (visible(option)) } }
                        " · " @if !date.is_empty() { (date) " · " } (TOOL.0) " " (TOOL.1) " · SHA-256 " code { (about.sha256.get(..16).unwrap_or(about.sha256)) "…" }
                    }
                    nav aria-label="Contents" {
                        ol { @for (key, heading, _) in sections { li { a href={ "#" (key) } { (heading) } } } }
                    }
                }
                main {
                    @for (key, heading, body) in sections {
                        section id=(key) aria-labelledby={ (key) "-heading" } {
                            h2 id={ (key) "-heading" } { (heading) }
                            (body)
                        }
                    }
                }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    };
    page.into_string()
}

fn verdict(report: &Report<'_>) -> Markup {
    let worst = words::worst(report, 3);
    let class = if report.verdict.passes() { "passes" } else { "fails" };
    html! {
        p.verdict.(class) { (visible(&words::verdict(report))) }
        @if worst.len() > 1 {
            p { @if report.verdict.passes() { "Next nearest to a limit:" } @else { "Next worst:" } }
            ol start="2" { @for finding in worst.iter().skip(1) { li { (visible(&words::sentence(report, finding))) "." } } }
        }
        @if let Some(over) = tables::over_the_limit(report) { (table(&over)) }
        (table(&tables::not_judged(report)))
        p { (words::ACCURACY) }
        p { (modes::counted(report)) }
    }
}

fn assumed(about: &About<'_>) -> Markup {
    html! {
        ul { @for note in about.notes { li { (visible(note)) } } }
        p { "Left out of every beam model like this one:" }
        ul { @for item in words::LEFT_OUT { li { (item) } } }
        @if let Some(notes) = &about.model.notes {
            p { "Notes of the model: " q { (visible(notes)) } }
        }
    }
}

fn caution() -> Markup {
    html! { @for paragraph in words::CAUTION { p { (paragraph) } } }
}

fn results(report: &Report<'_>) -> Markup {
    let all = [
        Some(tables::cases(report)),
        tables::wheel_angles(report),
        tables::sources(report, true),
        tables::twist(report),
        Some(modes::buckling(report)),
        modes::second_order(report),
        modes::vibration(report),
        lost_welds::lost_welds(report),
        tables::pickups(report),
        tables::mounts(report),
        tables::body_mounts(report),
        Some(tables::tubes(report)),
        tables::welds(report, usize::MAX),
        tables::fatigue(report, usize::MAX),
        tables::rod_ends(report),
        tables::bolts(report),
        Some(tables::tube_list(report)),
        Some(tables::materials(report)),
        Some(tables::accuracy(report)),
    ];
    html! {
        @if let Some(as_drawn) = positions::as_drawn(report) { p { (as_drawn) } }
        @for result in all.into_iter().flatten() { (table(&result)) }
    }
}

fn what_nobody_knows(report: &Report<'_>) -> Markup {
    html! {
        @if let Some(ranges) = unknowns::table(report) { (table(&ranges)) }
        @for sentence in unknowns::sentences(report) { p { (visible(&sentence)) } }
    }
}

fn what_the_adjusters_do(report: &Report<'_>) -> Markup {
    html! {
        @if let Some(summary) = positions::summary(report) { (table(&summary)) }
        @if let Some(tubes) = positions::tubes(report, positions::Which::All) { (table(&tubes)) }
    }
}

fn by_hand(report: &Report<'_>) -> Markup {
    let checks = hand_check::of_page(report);
    html! {
        @if checks.is_empty() {
            p { "No tube is judged." }
        } @else {
            p { (hand_check::INTRODUCTION) }
            @for check in checks {
                h3 { (visible(&check.title)) }
                ul { @for line in check.lines { li { (visible(&line)) } } }
            }
        }
    }
}

fn wheels(report: &Report<'_>) -> Markup {
    html! {
        @if let Some(loads) = tables::wheel_loads(report, true) { (table(&loads)) }
        @for case in &report.response.cases {
            h3 { "Case " q { (visible(&case.name)) } }
            ul { @for line in arithmetic::lines(report.model, &case.name, &case.wheels) { li { (visible(&line)) } } }
        }
    }
}

fn corner_geometry(report: &Report<'_>) -> Markup {
    html! {
        @match geometry::corners(report) {
            Some(drawn) => { (table(&drawn)) p { (geometry::SIGNS) } }
            None => p { "No corner is modelled." }
        }
    }
}

fn sheets(pictures: &[Picture]) -> Markup {
    html! {
        @for picture in pictures {
            figure role="img" aria-label=(visible(&picture.title)) {
                (PreEscaped(&picture.svg))
                figcaption { (visible(&picture.title)) }
            }
        }
    }
}

fn input_tables(report: &Report<'_>) -> Markup {
    html! { @for input in inputs::tables(report.model) { (table(&input)) } }
}

/// A table; numbers carry their full value for sorting.
fn table(table: &Table) -> Markup {
    let numeric: Vec<bool> = (0..table.columns.len()).map(|column| table.is_numeric(column)).collect();
    html! {
        div.scroll tabindex="0" role="region" aria-label=(table.title) {
            table {
                caption { (visible(&table.title)) }
                thead { tr {
                    @for (column, numeric) in table.columns.iter().zip(&numeric) {
                        th scope="col" class=[numeric.then_some("number")] {
                            (column.name) @if !column.unit.is_empty() { " " span.unit { (column.unit) } }
                        }
                    }
                } }
                tbody {
                    @for row in &table.rows {
                        tr { @for (cell, numeric) in row.iter().zip(&numeric) { (table_cell(cell, *numeric)) } }
                    }
                }
            }
        }
    }
}

fn table_cell(cell: &Cell, numeric: bool) -> Markup {
    html! {
        @match cell {
            Cell::Number(value, _) => td.number data-value=(value) { (cell.shown()) },
            _ => td class=[numeric.then_some("number")] { (visible(&cell.shown())) },
        }
    }
}
