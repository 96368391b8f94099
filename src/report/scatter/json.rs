//! The same as JSON, as `models/FORMAT.md` fixes it.

use serde::Serialize;

use super::{ScatterReport, quantity_name};
use crate::report::json::{Head, Number};
use crate::studies::scatter::{FigureSpreads, LimitExceeded, Scatter, Solved, Spread};

/// The whole answer as one JSON text.
pub fn json(report: &ScatterReport<'_>) -> String {
    let scatter = report.scatter;
    let document = Document {
        head: Head::of(&report.about),
        seed: scatter.asked.seed,
        asked: scatter.asked.draws,
        draws: scatter.solved,
        unsolved: scatter.unsolved.as_ref().map(|(count, why)| Unsolved { count: *count, why }),
        ended_early: scatter.ended_early,
        as_drawn: End::of(&scatter.as_drawn),
        quantities: scatter.by_what_moves().into_iter().map(|at| Moved::of(scatter, at)).collect(),
        limits: scatter.limits.iter().map(Limit::of).collect(),
        figures: scatter.figures.iter().map(Spreading::of).collect(),
    };
    serde_json::to_string(&document).expect("the answer has text keys and finite numbers")
}

#[derive(Serialize)]
struct Document<'r> {
    #[serde(flatten)]
    head: Head<'r>,
    seed: u64,
    asked: usize,
    draws: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    unsolved: Option<Unsolved<'r>>,
    ended_early: bool,
    as_drawn: End<'r>,
    quantities: Vec<Moved<'r>>,
    limits: Vec<Limit>,
    figures: Vec<Spreading>,
}

#[derive(Serialize)]
struct Unsolved<'r> {
    count: usize,
    why: &'r str,
}

/// What the worst is, and where; of one that could not be solved, why.
#[derive(Serialize)]
struct End<'r> {
    #[serde(skip_serializing_if = "Option::is_none")]
    worst: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    check: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    case: Option<&'r str>,
    #[serde(rename = "where", skip_serializing_if = "Option::is_none")]
    place: Option<&'r str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    fails: Option<&'r str>,
}

impl<'r> End<'r> {
    fn of(solved: &'r Solved) -> Self {
        let governed = solved.governed_by();
        Self {
            worst: solved.is_solved().then(|| Number(solved.worst())),
            check: governed.map(|(check, ..)| check.name()),
            case: governed.map(|(_, case, _)| case),
            place: governed.map(|(.., place)| place),
            fails: (!solved.is_solved()).then_some(solved.fails.as_str()),
        }
    }
}

#[derive(Serialize)]
struct Moved<'r> {
    name: &'r str,
    #[serde(skip_serializing_if = "Option::is_none")]
    by: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    part: Option<Number>,
    off: String,
    source: &'r str,
    of: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    low: Option<End<'r>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    high: Option<End<'r>>,
    moves: Number,
    explains: serde_json::Map<String, serde_json::Value>,
}

impl<'r> Moved<'r> {
    fn of(scatter: &'r Scatter, at: usize) -> Self {
        let (quantity, turned) = (&scatter.asked.quantities[at], &scatter.turned[at]);
        let (by, part) = match quantity.spread {
            Spread::By(by) => (Some(Number(by)), None),
            Spread::Part(part) => (None, Some(Number(part))),
            Spread::Between(_) => (None, None),
        };
        let explains = scatter.figures.iter().filter_map(|of| {
            let part = of.explained.get(at)?;
            Some((of.figure.name().to_owned(), serde_json::json!(Number(*part))))
        });
        Self {
            name: &quantity.name,
            by,
            part,
            off: quantity.spread_in_words(),
            source: quantity.source,
            of: quantity_name(quantity, turned),
            low: turned.low.as_ref().map(End::of),
            high: turned.high.as_ref().map(End::of),
            moves: Number(turned.moves(&scatter.as_drawn)),
            explains: explains.collect(),
        }
    }
}

#[derive(Serialize)]
struct Limit {
    check: &'static str,
    as_drawn: Number,
    p5: Number,
    p50: Number,
    p95: Number,
    exceeded: usize,
    chance: Number,
    chance_from: Number,
    chance_to: Number,
}

impl Limit {
    fn of(limit: &LimitExceeded) -> Self {
        Self {
            check: limit.check.map_or("any", crate::checks::Check::name),
            as_drawn: Number(limit.as_drawn),
            p5: Number(limit.spreads.low),
            p50: Number(limit.spreads.middle),
            p95: Number(limit.spreads.high),
            exceeded: limit.exceeded,
            chance: Number(limit.chance.part),
            chance_from: Number(limit.chance.low),
            chance_to: Number(limit.chance.high),
        }
    }
}

#[derive(Serialize)]
struct Spreading {
    figure: &'static str,
    as_drawn: Number,
    p5: Number,
    p50: Number,
    p95: Number,
}

impl Spreading {
    fn of(of: &FigureSpreads) -> Self {
        Self {
            figure: of.figure.name(),
            as_drawn: Number(of.as_drawn),
            p5: Number(of.spreads.low),
            p50: Number(of.spreads.middle),
            p95: Number(of.spreads.high),
        }
    }
}
