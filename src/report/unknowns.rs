//! What nobody knows: how far mounts and joints move the answer, as a table, in words and as JSON.

use serde::{Serialize, Serializer};

use super::Report;
use super::json::Number;
use super::table::{Cell, Table};
use super::words::check_name;
use crate::checks::exceeds_limit;
use crate::math::largest;
use crate::run::{CaseRanges, Collapse, Range, Unknowns};
use crate::source::name_list;
use crate::units::spoken;

/// Each figure at its least, as given, and at its most; of a case the one that goes furthest.
pub fn table(report: &Report<'_>) -> Option<Table> {
    let unknowns = report.unknowns?;
    let columns = [("what", ""), ("case", ""), ("least", ""), ("as given", ""), ("most", ""), ("these are", "")];
    let mut table = Table::new("unknowns", "How far what nobody knows moves the answer", &columns);
    let mut row = |what: &str, case: &str, range: &Range, digits: usize, which: &str| {
        let numbers = [range.low, range.as_given, range.high].map(|value| Cell::Number(value, digits));
        let mut cells = vec![Cell::text(what), Cell::text(case)];
        cells.extend(numbers);
        cells.push(Cell::text(which));
        table.row(cells);
    };
    let of_twist = if unknowns.is_whole() { "bounds" } else { EXTREMES };
    for (case, range) in &unknowns.twist_nm_deg {
        row("twist stiffness, N·m/deg", case, range, 0, of_twist);
    }
    for (what, figure, digits) in MOVEMENTS {
        let ranges = unknowns.cases.iter().filter_map(|(case, ranges)| Some((case, figure(ranges)?)));
        if let Some((case, range)) = largest(ranges, |(_, range)| range.high).filter(|(_, range)| range.high > 0.0) {
            row(what, case, &range, digits, EXTREMES);
        }
    }
    Some(table)
}

const EXTREMES: &str = "extremes";

/// All that nobody knows at its softest, and at its stiffest.
const EXTREME_NAMES: [&str; 2] = ["softest", "stiffest"];

type Figure = fn(&CaseRanges) -> Option<Range>;

const MOVEMENTS: [(&str, Figure, usize); 4] = [
    ("pick-up moves, mm", |ranges| ranges.pickup_move_mm, 2),
    ("toe, °", |ranges| ranges.toe_deg, 3),
    ("camber, °", |ranges| ranges.camber_deg, 3),
    ("worst, × limit", |ranges| ranges.utilisation, 2),
];

/// What was varied, what that says, and what could not be solved.
pub fn sentences(report: &Report<'_>) -> Vec<String> {
    let Some(unknowns) = report.unknowns else { return Vec::new() };
    let mut told = Vec::new();
    let mut varied = Vec::new();
    if !unknowns.mounts.is_empty() {
        varied.push(format!("every mount from one bolt to bolted pad ({})", names(&unknowns.mounts)));
    }
    match unknowns.joints.len() {
        0 => {}
        1 => varied.push("one weld from rigid to the rate that a formula gives the wall below it".to_owned()),
        count => {
            varied.push(format!("{count} welds from rigid to the rate that a formula gives the wall below each"));
        }
    }
    told.push(format!("Varied, all at their softest and then all at their stiffest: {}.", varied.join("; ")));
    let others = if unknowns.is_whole() && !unknowns.twist_nm_deg.is_empty() {
        "Twist stiffness lies between both whatever each of them is; the others are"
    } else {
        "These are"
    };
    told.push(format!("{others} the figures of what was solved, no bounds."));
    if !unknowns.left_as_given.is_empty() {
        told.push(format!(
            "Left as given: the mounts of {}, which lie on one line, so that on bolts alone it would turn about it.",
            names(&unknowns.left_as_given)
        ));
    }
    for (fails, which) in [&unknowns.softest_fails, &unknowns.stiffest_fails].into_iter().zip(EXTREME_NAMES) {
        if let Some(why) = fails {
            told.push(format!("With all at their {which} it cannot be solved: {why}."));
        }
    }
    for (case, ranges) in &unknowns.cases {
        for (which, collapse) in EXTREME_NAMES.iter().zip(&ranges.collapses) {
            let Some(Collapse { at }) = collapse else { continue };
            let at = at.map_or("before its load is reached".to_owned(), |at| {
                format!("at about {} times the load", spoken(at, 2))
            });
            told.push(format!(
                "With all at their {which} \"{case}\" collapses {at}: its figures there are those of the drawn frame."
            ));
        }
    }
    let over = unknowns.cases.iter().filter_map(|(case, ranges)| {
        let (range, (check, place)) = (ranges.utilisation?, ranges.worst.as_ref()?);
        (exceeds_limit(range.high) && !exceeds_limit(range.as_given)).then_some((case, range, check, place))
    });
    if let Some((case, range, check, place)) = largest(over, |(_, range, _, _)| range.high) {
        told.push(format!(
            "\"{case}\" meets its limits as given and not at an extreme: {} of {place} reaches {} times its limit.",
            check_name(*check),
            spoken(range.high, 3)
        ));
    }
    told
}

fn names(all: &[String]) -> String {
    name_list(all.iter().map(String::as_str))
}

/// The key `unknowns` of the result.
#[derive(Serialize)]
pub(super) struct UnknownsJson<'r> {
    mounts: &'r [String],
    left_as_given: &'r [String],
    joints: Vec<JointJson<'r>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    softest_fails: Option<&'r str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    stiffest_fails: Option<&'r str>,
    twist: ByCase<'r, RangeJson>,
    cases: ByCase<'r, CaseJson<'r>>,
}

/// An object of cases, or of extremes.
struct ByCase<'r, T>(Vec<(&'r str, T)>);

impl<T> ByCase<'_, T> {
    fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl<T: Serialize> Serialize for ByCase<'_, T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(case, value)| (case, value)))
    }
}

#[derive(Serialize)]
struct JointJson<'r> {
    member: &'r str,
    end: usize,
    node: &'r str,
    in_plane: Number,
    out_of_plane: Number,
}

#[derive(Serialize)]
struct RangeJson {
    low: Number,
    as_given: Number,
    high: Number,
    bounds: bool,
}

#[derive(Serialize)]
struct CaseJson<'r> {
    #[serde(skip_serializing_if = "Option::is_none")]
    pickup_move: Option<RangeJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    toe: Option<RangeJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    camber: Option<RangeJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    utilisation: Option<RangeJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    worst: Option<WorstJson<'r>>,
    #[serde(skip_serializing_if = "ByCase::is_empty")]
    collapses: ByCase<'static, Option<Number>>,
}

#[derive(Serialize)]
struct WorstJson<'r> {
    check: &'static str,
    #[serde(rename = "where")]
    place: &'r str,
}

impl RangeJson {
    fn of(range: &Range, bounds: bool) -> Self {
        let Range { low, as_given, high } = *range;
        Self { low: Number(low), as_given: Number(as_given), high: Number(high), bounds }
    }
}

impl<'r> UnknownsJson<'r> {
    pub(super) fn of(unknowns: &'r Unknowns) -> Self {
        let joints = unknowns.joints.iter().map(|joint| JointJson {
            member: &joint.member,
            end: joint.end + 1,
            node: &joint.node,
            in_plane: Number(joint.rates.in_plane_nmm / 1000.0),
            out_of_plane: Number(joint.rates.out_of_plane_nmm / 1000.0),
        });
        let twist = unknowns
            .twist_nm_deg
            .iter()
            .map(|(case, range)| (case.as_str(), RangeJson::of(range, unknowns.is_whole())));
        let cases = unknowns.cases.iter().map(|(case, ranges)| {
            let range = |range: &Option<Range>| range.as_ref().map(|range| RangeJson::of(range, false));
            let worst = ranges.worst.as_ref().map(|(check, place)| WorstJson { check: check.name(), place });
            let collapses = EXTREME_NAMES.into_iter().zip(ranges.collapses);
            let collapses = collapses.filter_map(|(which, collapse)| Some((which, collapse?.at.map(Number))));
            let ranges = CaseJson {
                pickup_move: range(&ranges.pickup_move_mm),
                toe: range(&ranges.toe_deg),
                camber: range(&ranges.camber_deg),
                utilisation: range(&ranges.utilisation),
                worst,
                collapses: ByCase(collapses.collect()),
            };
            (case.as_str(), ranges)
        });
        Self {
            mounts: &unknowns.mounts,
            left_as_given: &unknowns.left_as_given,
            joints: joints.collect(),
            softest_fails: unknowns.softest_fails.as_deref(),
            stiffest_fails: unknowns.stiffest_fails.as_deref(),
            twist: ByCase(twist.collect()),
            cases: ByCase(cases.collect()),
        }
    }
}
