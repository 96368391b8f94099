//! The worst that the tyres can do, in sentences, as a table and as JSON.

use serde::Serialize;

use super::json::{Head, Number};
use super::table::{Cell, Table};
use super::words::{check_name, times, unit, with_option};
use super::{About, text};
use crate::checks::{Check, Finding, exceeds_limit};
use crate::math::{Interval, largest, largest_first};
use crate::model::other_side;
use crate::source::visible;
use crate::studies::worst::{NEAR_ENOUGH, Worst, WorstOf};
use crate::units::{brief, figures, rounded};

/// A run, ready to be told.
pub struct WorstReport<'r> {
    /// The model as the file has it.
    pub about: About<'r>,
    /// What came out.
    pub worst: &'r Worst,
}

/// A manoeuvre in words: `braking at 0.72 g in a left bend of 0.95 g`.
pub fn manoeuvre([long, lat, vert]: [f64; 3]) -> String {
    let mut words = Vec::new();
    if long != 0.0 {
        let word = if long < 0.0 { "braking" } else { "driving" };
        words.push(format!("{word} at {} g", figures(long.abs(), 3)));
    }
    if lat != 0.0 {
        words.push(format!("in a {} bend of {} g", if lat > 0.0 { "left" } else { "right" }, figures(lat.abs(), 3)));
    }
    if vert != 1.0 {
        words.push(format!("at {} times its weight", figures(vert, 3)));
    }
    if words.is_empty() { "standing".to_owned() } else { words.join(" ") }
}

/// Which manoeuvres were asked for, in words.
pub fn asked(worst: &Worst) -> String {
    let range = |name: &str, range: Interval| {
        if range.low == range.high {
            format!("{name} {} g", brief(range.low))
        } else {
            format!("{name} {} to {} g", brief(range.low), brief(range.high))
        }
    };
    let [long, lat, vert] = worst.manoeuvres.ranges;
    let grip = brief(worst.manoeuvres.grip);
    format!("within {grip} g of grip, {}, {}, {}", range("long", long), range("lat", lat), range("vert", vert))
}

/// What a check is of, as the subject of a sentence.
pub fn subject(check: Check, place: &str) -> String {
    if check == Check::PickupMove { format!("pick-up {place}") } else { format!("{} of {place}", check_name(check)) }
}

/// One measure and its bound in a sentence, without a full stop.
pub fn sentence(worst: &Worst, of: &WorstOf) -> String {
    let (subject, when, asked) = (subject(of.check, &of.place), manoeuvre(of.at_g), asked(worst));
    match of.limit {
        Some(_) => format!(
            "{subject} reaches {} times its limit, {when}; no manoeuvre {asked} takes it above {}",
            times(of.utilisation()),
            times(of.never_above_utilisation())
        ),
        None => format!(
            "{subject} reaches {}{unit}, {when}; no manoeuvre {asked} takes it above {}{unit}",
            rounded(of.value),
            rounded(of.never_above),
            unit = unit(of.check)
        ),
    }
}

/// Whether all holds, in a word.
fn word(worst: &Worst) -> &'static str {
    let fails = worst.worst.iter().any(|of| exceeds_limit(of.utilisation())) || worst.also.iter().any(Finding::fails);
    match (worst.holds(), fails) {
        (true, _) => "Holds",
        (false, true) => "Fails",
        (false, false) => "Not shown to hold",
    }
}

/// The verdict in a few words, for a picture.
pub fn in_short(worst: &Worst) -> String {
    let word = word(worst);
    let first = worst.worst.first().filter(|first| first.limit.is_some());
    let bounded = first.map_or(0.0, WorstOf::utilisation);
    if let Some(also) = largest(&worst.also, |finding| finding.utilisation).filter(|also| also.utilisation > bounded) {
        return format!(
            "{word}. Worst found: {}, {} times its limit; not bounded.",
            subject(also.check, &also.place),
            times(also.utilisation)
        );
    }
    match first {
        Some(first) => format!(
            "{word}. Worst: {}, {} times its limit, never above {}.",
            subject(first.check, &first.place),
            times(first.utilisation()),
            times(first.never_above_utilisation())
        ),
        None => format!("{word}."),
    }
}

/// What is told before the table.
pub fn sentences(report: &WorstReport<'_>) -> Vec<String> {
    let worst = report.worst;
    let mut told = Vec::new();
    if worst.not_searched > 0 {
        told.push(format!(
            "Ended by Ctrl-C: {} of {} checks and places were not searched, and nothing is said of them.",
            worst.not_searched,
            worst.not_searched + worst.worst.len()
        ));
    }
    if let Some(first) = worst.worst.first() {
        told.push(format!("{}: {}.", with_option(word(worst), report.about.option), sentence(worst, first)));
    }
    // What no bound covers: all that fails, or else the nearest to it.
    let failing = worst.also.iter().filter(|finding| finding.fails()).count();
    for finding in largest_first(worst.also.iter(), |finding| finding.utilisation).into_iter().take(failing.max(1)) {
        let g = worst.model.cases.get(&finding.case).and_then(|case| case.g).unwrap_or_default();
        let place = if finding.place == finding.case { "the frame" } else { &finding.place };
        told.push(format!(
            "In the manoeuvres found, {} reaches {} times its limit, {}; the bounds do not cover it.",
            subject(finding.check, place),
            times(finding.utilisation),
            manoeuvre(g)
        ));
    }
    told
}

/// How sure the figures are, and what is not in them.
pub fn assurance(worst: &Worst) -> String {
    format!(
        "{} manoeuvres were solved again from scratch; the largest difference is {:.0e} of the value. A bound is at most {} % above what was found, \
         unless its column says more. Not covered: {}; bends that are not steady, kerbs, downforce, brakes or engine on some wheels alone; positions of adjusters.",
        worst.again.outcome.cases.len() - 1,
        worst.largest_difference(),
        brief(100.0 * NEAR_ENOUGH),
        NOT_COVERED
    )
}

/// The checks that the bounds do not cover.
const NOT_COVERED: &str =
    "column, wall, joint, bolts, fatigue, buckling and the deformed frame (judged in the manoeuvres found)";

/// The measures, largest utilisation first; of mirror twins whose worst is the same, the first.
pub fn table(worst: &Worst) -> Table {
    let columns = [
        ("check", ""),
        ("where", ""),
        ("worst", "× limit"),
        ("never above", "× limit"),
        ("value", ""),
        ("long", "g"),
        ("lat", "g"),
    ];
    let [.., vert] = worst.manoeuvres.ranges;
    let with_vert: Vec<_> = columns.into_iter().chain((vert.low != vert.high).then_some(("vert", "g"))).collect();
    let mut table = Table::new("worst", "The worst that the tyres can do", &with_vert);
    table.one_line = true;
    let mut shown: Vec<&WorstOf> = Vec::new();
    for of in &worst.worst {
        let twin = other_side(&of.place);
        let same = |known: &&WorstOf| {
            (known.check, known.place.as_str()) == (of.check, twin.as_str())
                && (known.value - of.value).abs() <= NEAR_ENOUGH * known.value
        };
        if twin != of.place && shown.iter().any(same) {
            continue;
        }
        shown.push(of);
        let times = |value: f64| of.limit.map_or(Cell::Empty, |_| Cell::Number(value, 3));
        let value =
            if is_movement(of) { Cell::text(format!("{}{}", rounded(of.value), unit(of.check))) } else { Cell::Empty };
        let name = if of.check == Check::PickupMove { "pick-up" } else { check_name(of.check) };
        let mut row = vec![
            Cell::text(name),
            Cell::text(&of.place),
            times(of.utilisation()),
            times(of.never_above_utilisation()),
            value,
        ];
        row.extend(of.at_g.iter().take(with_vert.len() - 5).map(|part| Cell::Number(*part, 3)));
        table.row(row);
    }
    table
}

/// Whether it is measured in a unit of its own, and not as utilisation.
fn is_movement(of: &WorstOf) -> bool {
    matches!(of.check, Check::PickupMove | Check::Toe | Check::Camber)
}

/// Rows of the table that the terminal shows.
const MOST_ROWS: usize = 24;

/// The whole answer for the terminal.
pub fn text(report: &WorstReport<'_>, width: u16) -> String {
    let worst = report.worst;
    let mut told = String::new();
    for sentence in sentences(report) {
        told.push_str(&format!("{}\n", text::wrapped(&visible(&sentence), width, "  ")));
    }
    let rest = ": report.html has them, and --json their mirror twins too";
    told.push_str(&format!("\n{}", text::first_rows(table(worst), MOST_ROWS, rest, width)));
    told.push_str(&format!("\n{}\n", text::wrapped(&assurance(worst), width, "")));
    told
}

/// The whole answer as one JSON text.
pub fn json(report: &WorstReport<'_>) -> String {
    let worst = report.worst;
    let pair = |range: Interval| [Number(range.low), Number(range.high)];
    let [long, lat, vert] = worst.manoeuvres.ranges;
    let document = Document {
        head: Head::of(&report.about),
        grip: Number(worst.manoeuvres.grip),
        bounds: Bounds { long: pair(long), lat: pair(lat), vert: pair(vert) },
        holds: worst.holds(),
        not_searched: (worst.not_searched > 0).then_some(worst.not_searched),
        worst: worst.worst.iter().map(Row::of).collect(),
        also: worst
            .also
            .iter()
            .map(|finding| Also {
                check: finding.check.name(),
                place: &finding.place,
                value: Number(finding.value),
                limit: Number(finding.limit),
                utilisation: Number(finding.utilisation),
                case: &finding.case,
                g: worst.model.cases[&finding.case].g.unwrap_or_default().map(Number),
            })
            .collect(),
        largest_difference: Number(worst.largest_difference()),
        not_covered: NOT_COVERED,
    };
    serde_json::to_string(&document).expect("the answer has text keys and finite numbers")
}

#[derive(Serialize)]
struct Document<'r> {
    #[serde(flatten)]
    head: Head<'r>,
    grip: Number,
    bounds: Bounds,
    holds: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    not_searched: Option<usize>,
    worst: Vec<Row<'r>>,
    also: Vec<Also<'r>>,
    largest_difference: Number,
    not_covered: &'static str,
}

#[derive(Serialize)]
struct Bounds {
    long: [Number; 2],
    lat: [Number; 2],
    vert: [Number; 2],
}

#[derive(Serialize)]
struct Row<'r> {
    check: &'static str,
    #[serde(rename = "where")]
    place: &'r str,
    /// In its unit; of strength none, since it is measured as utilisation.
    #[serde(skip_serializing_if = "Option::is_none")]
    value: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    limit: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    utilisation: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    never_above: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    never_above_utilisation: Option<Number>,
    g: [Number; 3],
    case: &'r str,
    #[serde(skip_serializing_if = "Option::is_none")]
    difference: Option<Number>,
    boxes: usize,
}

impl<'r> Row<'r> {
    fn of(of: &'r WorstOf) -> Self {
        let moves = |value: f64| is_movement(of).then_some(Number(value));
        let judged = |value: f64| of.limit.map(|_| Number(value));
        Self {
            check: of.check.name(),
            place: &of.place,
            value: moves(of.value),
            limit: of.limit.filter(|_| is_movement(of)).map(Number),
            utilisation: judged(of.utilisation()),
            never_above: moves(of.never_above),
            never_above_utilisation: judged(of.never_above_utilisation()),
            g: of.at_g.map(Number),
            case: &of.case,
            difference: of.difference().map(Number),
            boxes: of.boxes,
        }
    }
}

#[derive(Serialize)]
struct Also<'r> {
    check: &'static str,
    #[serde(rename = "where")]
    place: &'r str,
    value: Number,
    limit: Number,
    utilisation: Number,
    case: &'r str,
    g: [Number; 3],
}
