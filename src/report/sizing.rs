//! The lightest tubes from a stock, in sentences, a table and JSON.

use serde_json::{Map, Value, json};

use super::About;
use super::json::{Number, result};
use super::table::{Cell, Table};
use super::words::{check_and_place, counted};
use crate::checks::counting;
use crate::model::{Model, other_side};
use crate::run::Checked;
use crate::studies::size::{Curve, Ended, Nearest, Sized, Sizing, TradePoint};
use crate::units::figures;

/// A number of designs in words: whole up to a million, then as a power of ten.
fn many(number: f64) -> String {
    if number < 1e6 {
        format!("{number:.0}")
    } else {
        format!("{}e{:.0}", figures(number / 10_f64.powf(number.log10().floor()), 2), number.log10().floor())
    }
}

/// How close the bound is to the best, as a part of it.
fn gap(best: &Sized, least_kg: f64) -> f64 {
    ((best.mass_kg - least_kg) / best.mass_kg).max(0.0)
}

/// What governs a frame, and at how many places it is over its limits where it is.
fn governed_by(checked: &Checked) -> String {
    let worst = checked.verdict.worst_first();
    let Some(worst) = counting(worst).first().copied().cloned() else { return "nothing is judged".to_owned() };
    let case = if worst.case.is_empty() { String::new() } else { format!(", in \"{}\"", worst.case) };
    let (what, used) = (check_and_place(&worst), figures(worst.utilisation, 3));
    match checked.verdict.failing_places().len() {
        0 => format!("nearest to its limit: {what} at {used} of it{case}"),
        places => {
            format!(
                "over its limits at {}; the worst: {what} at {used} times its limit{case}",
                count(places, "place", "places")
            )
        }
    }
}

/// What comes nearest where no design passes.
fn nearest_passes(nearest: &Nearest, sizes: &[String]) -> String {
    format!("nearest with one size for all groups: {}, {}", sizes[nearest.size], governed_by(&nearest.checked))
}

/// What was found, and how sure it is.
pub fn sentences(told: &Sizing) -> Vec<String> {
    let groups = counted(told.groups.len(), "group", "groups");
    let sizes = counted(told.sizes.len(), "size", "sizes");
    let mut sentences = vec![format!("{groups} and {sizes}: {} designs", many(told.n_designs))];
    if let Some(drawn) = &told.drawn {
        let mass_kg = figures(drawn.outcome.mass.frame_kg, 4);
        let passes = if drawn.verdict.passes() { "passes; " } else { "" };
        sentences.push(format!("as drawn: a frame of {mass_kg} kg, {passes}{}", governed_by(drawn)));
    }
    sentences.push(match &told.best {
        Some(best) => {
            let saved = told.drawn.as_ref().map_or(String::new(), |drawn| {
                let change_kg = best.checked.outcome.mass.frame_kg - drawn.outcome.mass.frame_kg;
                let sign = if change_kg < 0.0 { "−" } else { "+" };
                format!(", {sign}{} kg against as drawn", figures(change_kg.abs(), 2))
            });
            format!(
                "found: a frame of {} kg{saved}, passes every limit in every case{}; {}",
                figures(best.mass_kg, 4),
                if best.checked.positions.is_some() { " and at every position of the adjusters" } else { "" },
                governed_by(&best.checked)
            )
        }
        None if told.is_proven() => {
            "no choice from this stock passes: that is proven, every design is settled. Add sizes, or a brace"
                .to_owned()
        }
        None => "no design that passes was found".to_owned(),
    });
    sentences.extend(told.nearest.as_ref().map(|nearest| nearest_passes(nearest, &told.sizes)));
    sentences.extend(proof(told));
    sentences.push(format!(
        "{} of designs looked at{}, {} solved for stress and movement, {} checked whole",
        count_of(told.boxes, "box", "boxes"),
        if told.programs > 0 {
            format!(" by {}", count_of(told.programs, "linear program", "linear programs"))
        } else {
            String::new()
        },
        count_of(told.read, "design", "designs"),
        told.checked
    ));
    sentences
}

fn proof(told: &Sizing) -> Option<String> {
    let why = match told.ended {
        Ended::Through => String::new(),
        Ended::Asked => "ended by Ctrl-C; ".to_owned(),
        Ended::Boxes => "ended at the number of boxes that was allowed (--boxes); ".to_owned(),
    };
    let bounded = match told.unbounded {
        Some(reason) => {
            format!("; boxes of designs cannot be bounded here ({reason}), so that designs are tried one by one")
        }
        None => String::new(),
    };
    match &told.best {
        Some(_) if told.is_proven() => Some(format!(
            "this is the optimum: every lighter design is settled, by a bound or by its own check{bounded}"
        )),
        Some(best) => Some(format!(
            "not proven to be the lightest: {why}the best so far. No design under {} kg passes, so that at most {} % could be saved{bounded}",
            figures(told.least_kg, 4),
            figures(gap(best, told.least_kg) * 100.0, 2)
        )),
        None if told.is_proven() => None,
        None => Some(format!("{why}no design under {} kg passes{bounded}", figures(told.least_kg, 4))),
    }
}

fn count(number: usize, one: &str, more: &str) -> String {
    count_of(number as u64, one, more)
}

fn count_of(number: u64, one: &str, more: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { more })
}

/// What each group gets.
pub fn groups(told: &Sizing) -> Table {
    let columns = [("group", ""), ("tubes", ""), ("as drawn", ""), ("mass", "kg"), ("found", ""), ("mass", "kg")];
    let mut table = Table::new("groups", "The size of each group", &columns);
    for (at, name) in told.groups.iter().enumerate() {
        let size = |size: usize| [Cell::text(&told.sizes[size]), Cell::Number(told.mass_kg[at][size], 2)];
        let none = |text: &str| [Cell::text(text), Cell::Empty];
        let [drawn, drawn_kg] = told.drawn_sizes[at].map_or_else(|| none("several, or not in stock"), size);
        let [found, found_kg] = told.best.as_ref().map_or_else(|| none("none"), |best| size(best.sizes[at]));
        table.row(vec![Cell::text(name), Cell::text(told.members[at].join(", ")), drawn, drawn_kg, found, found_kg]);
    }
    table
}

/// The sizes of a design as an entry of `options`, to be pasted into the file. `is_written`: whether the file has an
/// entry of its own for a member.
pub fn option(told: &Sizing, best: &Sized, model: &Model, is_written: impl Fn(&str) -> bool) -> Value {
    let mut members = Map::new();
    for (group, size) in told.members.iter().zip(&best.sizes) {
        for name in group {
            // The mirror of the file makes the twin.
            let is_made = model.mirror && name.ends_with(".r") && !is_written(name) && is_written(&other_side(name));
            if !is_made {
                members.insert(name.clone(), json!({ "tube": told.sizes[*size] }));
            }
        }
    }
    json!({ "change": { "members": members } })
}

/// Everything, numbers in full.
pub fn json(told: &Sizing, about: &About<'_>, is_written: impl Fn(&str) -> bool) -> Value {
    let groups = told.groups.iter().enumerate().map(|(at, name)| {
        let mut group = json!({ "name": name, "members": told.members[at] });
        if let Some(size) = told.drawn_sizes[at] {
            group["as_drawn"] = json!(told.sizes[size]);
        }
        if let Some(best) = &told.best {
            group["found"] = json!(told.sizes[best.sizes[at]]);
            group["mass"] = json!(Number(told.mass_kg[at][best.sizes[at]]));
        }
        group
    });
    let frame = |mass_kg: f64, checked: &Checked| {
        let worst = checked.verdict.worst_first();
        json!({
            "mass": Number(mass_kg),
            "pass": checked.verdict.passes(),
            "worst": counting(worst).first().map(|worst| json!({
                "check": worst.check.name(),
                "case": worst.case,
                "where": worst.place,
                "utilisation": Number(worst.utilisation),
            })),
        })
    };
    let own = json!({
        "stock": told.sizes,
        "groups": groups.collect::<Vec<_>>(),
        "as_drawn": told.drawn.as_ref().map(|drawn| frame(drawn.outcome.mass.frame_kg, drawn)),
        "found": told.best.as_ref().map(|best| frame(best.mass_kg, &best.checked)),
        "proven": told.is_proven(),
        "none_under": told.least_kg.is_finite().then_some(Number(told.least_kg)),
        "ended": match told.ended {
            Ended::Through => "through",
            Ended::Asked => "asked",
            Ended::Boxes => "boxes",
        },
        "designs": told.n_designs,
        "boxes": told.boxes,
        "programs": told.programs,
        "read": told.read,
        "checked": told.checked,
        "option": told.best.as_ref().map(|best| option(told, best, about.model, is_written)),
    });
    result(about, own)
}

/// How a curve was found.
pub fn trade_sentences(curve: &Curve, step: f64) -> Vec<String> {
    let points = &curve.points;
    let Some(last) = points.last() else {
        let nearest = curve.nearest.as_ref().map(|nearest| nearest_passes(nearest, &curve.sizes));
        return std::iter::once("no design passes the other limits".to_owned()).chain(nearest).collect();
    };
    let sure = points.iter().filter(|point| point.is_proven).count();
    let all = if sure == points.len() {
        "each is the lightest there is: every lighter design is settled".to_owned()
    } else {
        format!("{sure} of them are proven to be the lightest, the others are the best found")
    };
    vec![
        format!(
            "the lightest design under all other limits for each twist stiffness, asked for in steps of {} %: {}; {all}",
            figures(step * 100.0, 2),
            count(points.len(), "point", "points")
        ),
        format!("the stiffest: {} N·m/deg at {} kg", figures(last.twist_nm_deg, 4), figures(last.mass_kg, 4)),
    ]
}

/// A row for each point, with the size of each group.
pub fn trade_table(curve: &Curve) -> Table {
    let columns = [("point", ""), ("twist", "N·m/deg"), ("mass", "kg"), ("none under", "kg"), ("sizes", "")];
    let mut table = Table::new("trade", "The lightest design for each stiffness", &columns);
    for (at, point) in curve.points.iter().enumerate() {
        let named = curve.groups.iter().zip(&point.sizes);
        let named: Vec<String> = named.map(|(group, size)| format!("{group} {}", curve.sizes[*size])).collect();
        table.row(vec![
            Cell::text((at + 1).to_string()),
            Cell::Number(point.twist_nm_deg, 0),
            Cell::Number(point.mass_kg, 2),
            if point.is_proven { Cell::text("optimum") } else { Cell::Number(point.least_kg, 2) },
            Cell::text(named.join(", ")),
        ]);
    }
    table
}

/// The points of the picture.
pub fn trade_points(curve: &Curve) -> Vec<super::plot::TradePoint> {
    let of = |(at, point): (usize, &TradePoint)| super::plot::TradePoint {
        name: format!("{}", at + 1),
        mass_kg: point.mass_kg,
        value: point.twist_nm_deg,
    };
    curve.points.iter().enumerate().map(of).collect()
}

/// The curve, numbers in full.
pub fn trade_json(curve: &Curve, step: f64, about: &About<'_>) -> Value {
    let of = |point: &TradePoint| {
        let named = curve.groups.iter().zip(&point.sizes);
        let sizes: Map<String, Value> = named.map(|(group, size)| (group.clone(), json!(curve.sizes[*size]))).collect();
        json!({
            "twist": Number(point.twist_nm_deg),
            "at_least": point.at_least_nm_deg.map(Number),
            "mass": Number(point.mass_kg),
            "proven": point.is_proven,
            "none_under": Number(point.least_kg),
            "sizes": sizes,
        })
    };
    let own = json!({
        "against": "twist",
        "step": Number(step),
        "points": curve.points.iter().map(of).collect::<Vec<_>>(),
    });
    result(about, own)
}
