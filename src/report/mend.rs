//! What mends a frame, in sentences, tables and JSON.

use serde_json::{Value, json};

use super::About;
use super::json::{Number, result};
use super::table::{Cell, Table};
use super::words::{check_and_place, section_name};
use crate::source::name_list;
use crate::studies::mend::{Becomes, Change, Failing, MOST_TOGETHER, Mend, Mending, Target};
use crate::units::{brief, figures};

/// A change in words.
pub fn words(change: &Change) -> String {
    let size = match change.to {
        Becomes::Size(section) => section_name(&section),
        Becomes::Throat(throat_mm) => format!("{} mm", brief(throat_mm)),
    };
    match &change.target {
        Target::Welds(name) => format!("welds of {name} with a throat of {size}"),
        Target::Tube(name) => format!("{name} in {size}"),
        Target::Size(name) => format!("every \"{name}\" in {size}"),
        Target::Brace(name) => format!("a brace {name}, {size}"),
    }
}

/// Some changes in words, as an option may be called.
pub fn name(mend: &Mend) -> String {
    mend.changes.iter().map(words).collect::<Vec<_>>().join(" + ")
}

/// What a failing check is called: `yield of rail.l, kerb`.
fn failing_name(failing: &Failing) -> String {
    let finding = &failing.finding;
    let case = if finding.case.is_empty() { String::new() } else { format!(", {}", finding.case) };
    format!("{}{case}", check_and_place(finding))
}

/// How it was searched, and what came of it.
pub fn sentences(told: &Mending) -> Vec<String> {
    if told.failing.is_empty() {
        return vec!["nothing fails: there is nothing to mend".to_owned()];
    }
    let mut sentences = vec![searched(told)];
    let left: Vec<String> = told.failing.iter().filter(|failing| failing.mends.is_empty()).map(failing_name).collect();
    if !left.is_empty() {
        sentences.push(format!(
            "no single change and no pair that was tried mends {}",
            name_list(left.iter().map(String::as_str))
        ));
    }
    if let Some(together) = &told.together {
        let mend = &together.mend;
        let verdict = if mend.still.is_empty() {
            "the whole check passes".to_owned()
        } else {
            let count = mend.still.len();
            let fails = if count == 1 { "1 check fails".to_owned() } else { format!("{count} checks fail") };
            let why = if mend.changes.len() == MOST_TOGETHER {
                format!("more than {MOST_TOGETHER} changes are not made")
            } else if told.ended_early {
                "the search was ended".to_owned()
            } else {
                "nothing more that was tried helps".to_owned()
            };
            format!("still {fails}, and {why}")
        };
        sentences.push(format!(
            "all together: {}; {} kg, {verdict}, worst {} × limit",
            name(mend),
            signed(mend.added_kg),
            figures(mend.worst, 3)
        ));
    }
    sentences.push("what bolts, rod-ends and other places for nodes could do was not tried".to_owned());
    sentences
}

fn searched(told: &Mending) -> String {
    let stock = if told.has_stock { "the file's stock" } else { "the file and the rack" };
    let count = told.failing.len();
    let braces = if told.braces_tried {
        "and the braces that \"bracing\" allows".to_owned()
    } else {
        "no braces, since the file has no \"bracing\"".to_owned()
    };
    let left_out = match told.tubes_left_out {
        0 => String::new(),
        some => format!("; {some} tubes that are used least were not changed one by one"),
    };
    let unsound = match told.unsound {
        0 => String::new(),
        some => format!(", of which {some} make no valid model or leave a joint unjudged"),
    };
    let ended = if told.ended_early { "; ended by Ctrl-C: the best so far" } else { "" };
    format!(
        "{count} {}; {} changes and pairs of them tried, each by the whole check{unsound}: tubes in heavier sizes of {stock}, {braces}{left_out}{ended}",
        if count == 1 { "check fails" } else { "checks fail" },
        told.tried
    )
}

fn signed(kg: f64) -> String {
    let text = figures(kg.abs(), 2);
    if kg < 0.0 { format!("−{text}") } else { format!("+{text}") }
}

/// What mends one failing check, least mass first; what comes nearest, where nothing does.
pub fn table(failing: &Failing) -> Table {
    let nearest = match (failing.mends.is_empty(), &failing.nearest) {
        (false, _) => "",
        (true, Some(_)) => "; nothing that was tried mends it, nearest:",
        (true, None) => "; nothing that was tried helps",
    };
    let title = format!("{}: {} × limit{nearest}", failing_name(failing), figures(failing.finding.utilisation, 3));
    // What is long stands last, where it is broken into lines.
    let columns = [("no.", ""), ("added", "kg"), ("then", "× limit"), ("still failing", ""), ("change", "")];
    let mut table = Table::new("mends", &title, &columns);
    for (at, mend) in failing.mends.iter().chain(&failing.nearest).enumerate() {
        table.row(vec![
            Cell::Number((at + 1) as f64, 0),
            Cell::Number(mend.added_kg, 2),
            Cell::Number(mend.utilisation, 2),
            Cell::text(if mend.still.is_empty() { "nothing".to_owned() } else { mend.still.len().to_string() }),
            Cell::text(name(mend)),
        ]);
    }
    table
}

/// The lightest mend of each failing check as an entry of `options`, each once, with the checks that it is of.
pub fn first_entries(told: &Mending) -> Vec<(String, Vec<String>)> {
    let mut entries: Vec<(String, Vec<String>)> = Vec::new();
    for failing in &told.failing {
        let Some(mend) = failing.mends.first() else { continue };
        let entry = entry(&name(mend), mend);
        match entries.iter_mut().find(|(known, _)| *known == entry) {
            Some((_, checks)) => checks.push(failing_name(failing)),
            None => entries.push((entry, vec![failing_name(failing)])),
        }
    }
    entries
}

/// A mend as an entry of `options`.
pub fn entry(name: &str, mend: &Mend) -> String {
    format!("{}: {}", Value::from(name), mend.option)
}

/// Everything, numbers in full.
pub fn json(told: &Mending, about: &About<'_>) -> Value {
    let mend = |mend: &Mend| {
        let still = mend.still.iter().map(|((check, place), utilisation)| {
            json!({ "check": check, "where": place, "utilisation": Number(*utilisation) })
        });
        json!({
            "changes": mend.changes.iter().map(words).collect::<Vec<_>>(),
            "added": Number(mend.added_kg),
            "utilisation": Number(mend.utilisation),
            "worst": Number(mend.worst),
            "still_failing": still.collect::<Vec<_>>(),
            "option": mend.option,
        })
    };
    let failing = told.failing.iter().map(|failing| {
        let finding = &failing.finding;
        json!({
            "check": finding.check.name(),
            "case": finding.case,
            "where": finding.place,
            "value": Number(finding.value),
            "limit": Number(finding.limit),
            "utilisation": Number(finding.utilisation),
            "mends": failing.mends.iter().map(mend).collect::<Vec<_>>(),
            "nearest": failing.nearest.as_ref().map(mend),
        })
    });
    let own = json!({
        "pass": told.failing.is_empty(),
        "failing": failing.collect::<Vec<_>>(),
        "together": told.together.as_ref().map(|together| mend(&together.mend)),
        "tried": told.tried,
        "unsound": told.unsound,
        "braces_tried": told.braces_tried,
        "tubes_left_out": told.tubes_left_out,
        "ended_early": told.ended_early,
    });
    result(about, own)
}
