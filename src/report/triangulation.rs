//! Which braces pay, in sentences, tables and JSON.

use serde_json::{Map, Value, json};

use super::About;
use super::json::{Number, result};
use super::table::{Cell, Table};
use super::words::check_and_place;
use crate::checks::counting;
use crate::math::larger_than;
use crate::model::Model;
use crate::source::name_list;
use crate::studies::triangulate::{Aim, Candidate, Design, Idle, LeftOut, Rule, Triangulation};
use crate::units::figures;

/// What a figure is called, and its unit.
pub fn named(aim: Aim) -> (&'static str, &'static str) {
    match aim {
        Aim::Twist => ("twist stiffness", "N·m/deg"),
        Aim::PickupMove => ("largest pick-up movement", "mm"),
        Aim::Toe => ("largest toe change", "°"),
        Aim::Camber => ("largest camber change", "°"),
        Aim::Yield => ("largest utilisation of yield", "× limit"),
    }
}

/// The braces of a design by name.
fn braces(told: &Triangulation, design: &Design) -> Vec<String> {
    design.set.iter().map(|at| told.candidates.all[*at].name.clone()).collect()
}

/// A count with its noun.
fn count(number: usize, one: &str, more: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { more })
}

/// How a design is called among others; `option`: the options whose change it stands on.
pub fn design_name(design: &Design, option: Option<&str>) -> String {
    match design.set.len() {
        0 => option.map_or("as drawn".to_owned(), |option| format!("with \"{option}\"")),
        some => count(some, "brace", "braces"),
    }
}

/// How it was searched, what is proposed and what does nothing.
pub fn sentences(told: &Triangulation) -> Vec<String> {
    let (figure, unit) = named(told.aim);
    let n = told.candidates.all.len();
    let mut sentences = vec![search_sentence(told, n)];
    if !told.candidates.refused.is_empty() {
        sentences.push(format!(
            "not to be had, since no tube may end there: {}",
            name_list(told.candidates.refused.iter().map(String::as_str))
        ));
    }
    if !told.candidates.crossing.is_empty() {
        sentences.push(format!(
            "{} of braces cross one another too close and are in no design together",
            count(told.candidates.crossing.len(), "pair", "pairs")
        ));
    }
    if told.has_adjusters {
        sentences.push("the search is of the car as drawn; verdicts are of every position of its adjusters".to_owned());
    }
    if told.solved_whole {
        sentences.push(
            "the frame's own joints turn as tube on tube does, and hang on the braces: every design was solved whole"
                .to_owned(),
        );
    }
    let (base, proposed) = (&told.designs[0], &told.designs[told.proposed]);
    if proposed.set.is_empty() {
        sentences.push("no brace is worth its place: each changes the figure by less than one part in a hundred, or the limit is met without".to_owned());
    } else {
        let from = if base.set.is_empty() {
            format!("from {} to {} {unit}", figures(base.checked_figure, 3), figures(proposed.checked_figure, 3))
        } else {
            format!("{} {unit}", figures(proposed.checked_figure, 3))
        };
        sentences.push(format!(
            "proposed: {}, +{} kg, {figure} {from}; {}",
            braces(told, proposed).join(", "),
            figures(proposed.added_kg, 2),
            match told.rule {
                Rule::Limit => "the fewest braces with which its limit is met",
                Rule::WorthIt => "as many braces as each bring one part in a hundred",
            }
        ));
    }
    sentences.extend(verdict_sentence(base, proposed));
    match &told.idle {
        Some(idle) => sentences.push(format!(
            "take {} out: {}; −{} kg, {figure} {} %, and nothing fails that held",
            if idle.tubes.len() == 1 { "this tube".to_owned() } else { format!("these {}", idle.tubes.len()) },
            idle.tubes.join(", "),
            figures(idle.mass_kg, 2),
            signed(idle.change * 100.0)
        )),
        None if told.ended_early => {}
        None => sentences.push("no tube is idle: without any one the figure is worse by more than one part in a hundred, or something fails that held".to_owned()),
    }
    sentences.push(format!(
        "every design shown was solved again from scratch; the largest difference from the search is {:.0e} of the figure",
        told.largest_difference()
    ));
    sentences
}

/// What else fails in the proposed design, and whether it came with it.
fn verdict_sentence(base: &Design, proposed: &Design) -> Option<String> {
    let worst = |design: &Design| {
        counting(design.checked.verdict.worst_first())
            .first()
            .map(|finding| (finding.utilisation, check_and_place(finding)))
    };
    let (now, place) = worst(proposed).filter(|_| !proposed.checked.verdict.passes())?;
    let (then, _) = worst(base)?;
    let than = if proposed.set.is_empty() {
        String::new()
    } else if larger_than(now, then) {
        format!(", worse than without braces ({})", figures(then, 3))
    } else {
        format!(", {} without braces", figures(then, 3))
    };
    Some(format!(
        "it still fails: {place} at {} × limit{than}; crossbrace mend looks for what mends that",
        figures(now, 3)
    ))
}

fn signed(percent: f64) -> String {
    let text = figures(percent.abs(), 2);
    if percent < 0.0 { format!("−{text}") } else { format!("+{text}") }
}

fn search_sentence(told: &Triangulation, n: usize) -> String {
    let left_out = match &told.candidates.left_out {
        LeftOut::Count(0) => String::new(),
        LeftOut::Count(some) => {
            format!(" ({} joined already or with a tube in the way)", count(*some, "pair is", "pairs are"))
        }
        LeftOut::Listed(names) if names.is_empty() => String::new(),
        LeftOut::Listed(names) => {
            format!(" (joined already or with a tube in the way: {})", name_list(names.iter().map(String::as_str)))
        }
    };
    let tried = count(usize::try_from(told.tried).unwrap_or(usize::MAX), "design", "designs");
    let how = if told.ended_early {
        format!("ended by Ctrl-C after {tried}: the best so far, with no claim that nothing is better")
    } else if told.every_up_to >= told.at_most && told.at_most >= n {
        format!("every set tried, {tried}, none skipped")
    } else if told.every_up_to >= told.at_most {
        format!("every set of up to {} tried, {tried}, none skipped", told.at_most)
    } else {
        let exchanged = "by adding and exchanging braces as long as that was better";
        let (settled, groups) = (&told.by_bounds, told.groups);
        let larger: Vec<usize> = (told.every_up_to + 1..=told.at_most).collect();
        let bounded = format!("by bounds of {groups} groups of sets that settle that none is better");
        let how = if larger.iter().all(|size| settled.contains(size)) {
            format!("larger ones {exchanged}, and {bounded}")
        } else if settled.is_empty() {
            format!("larger ones {exchanged}, which may miss the best")
        } else {
            let sizes: Vec<String> = settled.iter().map(usize::to_string).collect();
            let sizes = name_list(sizes.iter().map(String::as_str));
            format!("larger ones {exchanged}, which may miss the best but of {sizes} braces, {bounded}")
        };
        format!("every set of up to {} tried, {how}; {tried} in all", told.every_up_to)
    };
    format!("{} to choose from{left_out}; {how}", count(n, "brace", "braces"))
}

/// The best design of each number of braces.
pub fn designs(told: &Triangulation, option: Option<&str>) -> Table {
    let (figure, unit) = short(told.aim);
    let columns = [
        ("braces", ""),
        ("which", ""),
        ("added", "kg"),
        (figure, unit),
        ("verdict", ""),
        ("worst", "× limit"),
        ("governed by", ""),
    ];
    let mut table = Table::new("designs", "The best design of each number of braces", &columns);
    for design in &told.designs {
        let worst = counting(design.checked.verdict.worst_first()).first().map(|finding| (*finding).clone());
        table.row(vec![
            Cell::text(design.set.len().to_string()),
            Cell::text(if design.set.is_empty() {
                design_name(design, option)
            } else {
                braces(told, design).join(", ")
            }),
            Cell::Number(design.added_kg, 2),
            Cell::Number(design.checked_figure, digits(told.aim)),
            Cell::text(if design.checked.verdict.passes() { "passes" } else { "fails" }),
            worst.as_ref().map_or(Cell::Empty, |finding| Cell::Number(finding.utilisation, 2)),
            worst
                .as_ref()
                .map_or(Cell::Empty, |finding| Cell::text(format!("{}, {}", check_and_place(finding), finding.case))),
        ]);
    }
    table
}

/// What each brace of the proposed design buys; `None`: it has none.
pub fn gains(told: &Triangulation) -> Option<Table> {
    let design = &told.designs[told.proposed];
    let (_, unit) = short(told.aim);
    let columns = [("brace", ""), ("length", "mm"), ("mass", "kg"), ("gain", unit), ("gain for each kg", unit)];
    let mut table = Table::new("gains", "What each brace of the proposed design buys, the others left", &columns);
    for (at, gain) in design.set.iter().zip(&design.gains) {
        let Candidate { name, length_mm, mass_kg, members, .. } = &told.candidates.all[*at];
        let number = |value: Option<f64>| {
            value.map_or(Cell::text("it stands by it"), |value| Cell::Number(value, digits(told.aim)))
        };
        table.row(vec![
            Cell::text(name),
            Cell::text(match members.len() {
                1 => figures(*length_mm, 3),
                tubes => format!("{tubes} × {}", figures(*length_mm / tubes as f64, 3)),
            }),
            Cell::Number(*mass_kg, 2),
            number(gain.map(|(gain, _)| gain)),
            number(gain.map(|(_, per_kg)| per_kg)),
        ]);
    }
    (!design.set.is_empty()).then_some(table)
}

/// A figure as the head of a column.
fn short(aim: Aim) -> (&'static str, &'static str) {
    match aim {
        Aim::Twist => ("twist", "N·m/deg"),
        Aim::PickupMove => ("pick-up", "mm"),
        Aim::Toe => ("toe", "°"),
        Aim::Camber => ("camber", "°"),
        Aim::Yield => ("yield", "× limit"),
    }
}

fn digits(aim: Aim) -> usize {
    match aim {
        Aim::Twist => 0,
        Aim::PickupMove | Aim::Yield => 2,
        Aim::Toe | Aim::Camber => 3,
    }
}

/// The braces of a design as an entry of `options`, to be pasted into the file.
pub fn option(told: &Triangulation, design: &Design, model: &Model) -> Value {
    let braces = design.set.iter().map(|at| &told.candidates.all[*at]);
    let members: Map<String, Value> = model
        .bracing
        .iter()
        .flat_map(|bracing| braces.clone().filter_map(|brace| brace.written(model, bracing)))
        .collect();
    json!({ "change": { "members": members } })
}

/// The proposed braces without the idle tubes, as an entry of `options`.
pub fn option_without_idle(told: &Triangulation, idle: &Idle, model: &Model) -> Value {
    let mut option = option(told, &told.designs[told.proposed], model);
    for name in &idle.tubes {
        // The mirror of the file takes the twin out with it.
        if !(model.mirror && name.ends_with(".r")) {
            option["change"]["members"][name] = Value::Null;
        }
    }
    option
}

/// Everything, numbers in full.
pub fn json(told: &Triangulation, about: &About<'_>) -> Value {
    let model = about.model;
    let (_, unit) = named(told.aim);
    let candidates: Vec<Value> = told
        .candidates
        .all
        .iter()
        .map(|candidate| {
            let tubes: Vec<&str> = candidate.members.iter().map(|(name, _)| name.as_str()).collect();
            json!({
                "name": candidate.name,
                "tubes": tubes,
                "length": Number(candidate.length_mm),
                "mass": Number(candidate.mass_kg),
            })
        })
        .collect();
    let name = |at: &usize| told.candidates.all[*at].name.clone();
    let designs: Vec<Value> = told
        .designs
        .iter()
        .map(|design| {
            let gains: Vec<Value> = design
                .set
                .iter()
                .zip(&design.gains)
                .map(|(at, gain)| match gain {
                    Some((gain, per_kg)) => {
                        json!({ "brace": name(at), "gain": Number(*gain), "per_kg": Number(*per_kg) })
                    }
                    None => json!({ "brace": name(at) }),
                })
                .collect();
            json!({
                "braces": design.set.iter().map(name).collect::<Vec<_>>(),
                "added": Number(design.added_kg),
                "figure": Number(design.checked_figure),
                "figure_of_search": Number(design.figure),
                "pass": design.checked.verdict.passes(),
                "worst": design.checked.verdict.worst_first().first().map(|finding| Number(finding.utilisation)),
                "gains": gains,
            })
        })
        .collect();
    let idle = told.idle.as_ref().map(|idle| {
        json!({
            "tubes": idle.tubes,
            "mass": Number(idle.mass_kg),
            "figure": Number(idle.figure),
            "change": Number(idle.change),
            "pass": idle.checked.verdict.passes(),
            "option": option_without_idle(told, idle, model),
        })
    });
    let own = json!({
        "for": told.aim.name(),
        "unit": unit,
        "candidates": candidates,
        "crossing": told.candidates.crossing.iter().map(|pair| pair.iter().map(name).collect::<Vec<_>>()).collect::<Vec<_>>(),
        "left_out": match &told.candidates.left_out {
            LeftOut::Listed(names) => names.len(),
            LeftOut::Count(count) => *count,
        },
        "refused": told.candidates.refused,
        "tried": told.tried,
        "every_up_to": told.every_up_to,
        "by_bounds": told.by_bounds,
        "at_most": told.at_most,
        "ended_early": told.ended_early,
        "largest_difference": Number(told.largest_difference()),
        "designs": designs,
        "proposed": told.proposed,
        "option": option(told, &told.designs[told.proposed], model),
        "idle": idle,
    });
    result(about, own)
}
