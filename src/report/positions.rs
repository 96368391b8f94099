//! What the adjusters move: every figure's reach over all positions, as tables and as JSON.

use serde::{Serialize, Serializer};

use super::Report;
use super::json::Number;
use super::table::{Cell, Table};
use super::words::check_name;
use crate::math::{larger_than, largest_first};
use crate::model::signed;
use crate::run::{Envelope, Reach};
use crate::source::{Named, name_list};

/// A position in a table: how far each adjuster is set, in their order.
pub(super) fn shown(report: &Report<'_>, position: &str) -> String {
    match report.model.positions.iter().find(|known| known.name == position) {
        Some(known) => known.set_mm.iter().map(|at_mm| signed(*at_mm)).collect::<Vec<_>>().join(", "),
        None => "as drawn".to_owned(),
    }
}

/// What stands behind the title of a table with positions: the adjusters in their order.
pub(super) fn order(report: &Report<'_>) -> String {
    match report.positions {
        Some(_) => format!(" (adjusters: {}, mm)", name_list(report.model.adjusters.keys().map(String::as_str))),
        None => String::new(),
    }
}

/// Which position the figures of a report are of, where there are several.
pub fn as_drawn(report: &Report<'_>) -> Option<&'static str> {
    report.positions.map(|_| {
        "The verdict is of every position of the adjusters. The figures that follow are of the car as drawn, but for \
         the tables that name the adjusters."
    })
}

/// The figures that matter most: as drawn, and where the adjusters make them worst.
pub fn summary(report: &Report<'_>) -> Option<Table> {
    let envelope = &report.positions?.envelope;
    let columns = [("what", ""), ("as drawn", ""), ("worst", ""), ("where", ""), ("case", ""), ("adjusters", "")];
    let title = format!("What the adjusters do, over all their positions{}", order(report));
    let mut table = Table::new("adjusters", title, &columns);
    let mut row = |what: &str, as_drawn: Option<f64>, digits: usize, place: &str, reach: &Reach| {
        table.row(vec![
            Cell::text(what),
            as_drawn.map_or(Cell::Empty, |value| Cell::Number(value, digits)),
            Cell::Number(reach.value, digits),
            Cell::text(place),
            Cell::text(&reach.case),
            Cell::text(shown(report, &reach.position)),
        ]);
    };
    let tubes = envelope.tubes.iter().map(|(tube, (reach, _))| (tube, reach));
    if let Some((tube, reach, as_drawn)) = worst(tubes) {
        row("utilisation of a tube", as_drawn, 2, tube, reach);
    }
    let movements = [
        ("pick-up moves, mm", &envelope.pickup_move_mm, 2),
        ("toe, °", &envelope.toe_deg, 3),
        ("camber, °", &envelope.camber_deg, 3),
    ];
    for (what, reaches, digits) in movements {
        if let Some((place, reach, as_drawn)) = worst(reaches.iter()).filter(|(_, reach, _)| reach.value > 0.0) {
            row(what, as_drawn, digits, place, reach);
        }
    }
    for (case, reach) in &envelope.twist_nm_deg {
        row("twist stiffness, N·m/deg", reach.as_drawn, 0, case, reach);
    }
    Some(table)
}

/// The largest of all places over all positions, and the largest as drawn.
fn worst<'e>(reaches: impl Iterator<Item = (&'e String, &'e Reach)>) -> Option<(&'e str, &'e Reach, Option<f64>)> {
    let all: Vec<(&String, &Reach)> = reaches.collect();
    let as_drawn = all.iter().filter_map(|(_, reach)| reach.as_drawn).reduce(f64::max);
    let (place, reach) =
        all.into_iter().reduce(|worst, next| if larger_than(next.1.value, worst.1.value) { next } else { worst })?;
    Some((place, reach, as_drawn))
}

/// Which tubes a table holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Which {
    /// All.
    All,
    /// Those that another position than the one as drawn governs.
    Elsewhere,
}

/// Each tube's largest utilisation over all positions, and which position governs.
pub fn tubes(report: &Report<'_>, which: Which) -> Option<Table> {
    let envelope = &report.positions?.envelope;
    let title = match which {
        Which::All => "Tubes over all positions of the adjusters",
        Which::Elsewhere => "Tubes that another position of the adjusters governs",
    };
    let columns = [
        ("tube", ""),
        ("as drawn", "× limit"),
        ("worst", "× limit"),
        ("governed by", ""),
        ("case", ""),
        ("adjusters", ""),
    ];
    let mut table = Table::new("adjusters-tubes", format!("{title}{}", order(report)), &columns);
    table.one_line = true;
    let listed = envelope.tubes.iter().filter(|(_, (reach, _))| which == Which::All || reach.is_elsewhere());
    for (tube, (reach, check)) in largest_first(listed, |(_, (reach, _))| reach.value) {
        table.row(vec![
            Cell::text(tube),
            reach.as_drawn.map_or(Cell::Empty, |value| Cell::Number(value, 2)),
            Cell::Number(reach.value, 2),
            Cell::text(check_name(*check)),
            Cell::text(&reach.case),
            Cell::text(shown(report, &reach.position)),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// The key `envelope` of the result.
#[derive(Serialize)]
pub(super) struct EnvelopeJson<'r> {
    members: ByName<'r>,
    pickups: ByName<'r>,
    toe: ByName<'r>,
    camber: ByName<'r>,
    twist: ByName<'r>,
}

/// An object of reaches by name.
struct ByName<'r>(Vec<(&'r str, ReachJson<'r>)>);

impl Serialize for ByName<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, reach)| (name, reach)))
    }
}

#[derive(Serialize)]
struct ReachJson<'r> {
    #[serde(skip_serializing_if = "Option::is_none")]
    as_drawn: Option<Number>,
    value: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    check: Option<&'static str>,
    case: &'r str,
    #[serde(skip_serializing_if = "str::is_empty")]
    position: &'r str,
}

impl<'r> ReachJson<'r> {
    fn of(reach: &'r Reach, check: Option<&'static str>) -> Self {
        let Reach { as_drawn, value, case, position } = reach;
        Self { as_drawn: as_drawn.map(Number), value: Number(*value), check, case, position }
    }
}

impl<'r> EnvelopeJson<'r> {
    pub(super) fn of(envelope: &'r Envelope) -> Self {
        let tubes = envelope.tubes.iter();
        let tubes = tubes.map(|(tube, (reach, check))| (tube.as_str(), ReachJson::of(reach, Some(check.name()))));
        let plain = |reaches: &'r Named<Reach>| {
            ByName(reaches.iter().map(|(name, reach)| (name.as_str(), ReachJson::of(reach, None))).collect())
        };
        Self {
            members: ByName(tubes.collect()),
            pickups: plain(&envelope.pickup_move_mm),
            toe: plain(&envelope.toe_deg),
            camber: plain(&envelope.camber_deg),
            twist: plain(&envelope.twist_nm_deg),
        }
    }
}
