//! `crossbrace size`: the lightest tubes from a stock that are within every limit.

use std::fs::File;
use std::io::Write;
use std::path::Path;
use std::time::Instant;

use super::args::SizeOptions;
use super::folder::{Files, WayOut, file_name};
use super::input::Loaded;
use super::output::{Output, tell_warnings, width};
use super::searching::{Words, ending, searched};
use super::{Ending, Trouble};
use crate::report::certificate::certificate;
use crate::report::page::{Picture, comparison};
use crate::report::plot::{TradeFigure, side_by_side, trade_off};
use crate::report::sizing::{groups, json, option, sentences, trade_json, trade_points, trade_sentences, trade_table};
use crate::report::{Report, text};
use crate::source::visible;
use crate::studies::size::{Sizing, against_twist, size};

const WORDS: Words = Words {
    before: "looking for a light design",
    counted: "boxes of designs, by what is settled so far",
    after: "checking the best again",
};

/// Runs the command.
pub(crate) fn run(options: &SizeOptions, output: &mut Output) -> Result<Ending, Trouble> {
    let loaded = Loaded::read_with(&options.model, &options.options, &[])?;
    if options.against.is_some() {
        return against(options, &loaded, output);
    }
    if let Some(file) = &options.certificate
        && file.exists()
    {
        return Err(Trouble(format!("error: {} is there already\nhint: name a new file", super::shown(file))));
    }
    let begun = Instant::now();
    let told =
        searched(&WORDS, |watch| size(&loaded.model, options.boxes, watch)).map_err(|faults| loaded.faults(&faults))?;
    let spent = begun.elapsed();
    let ending = ending(if told.best.is_some() { Ending::Good } else { Ending::LimitExceeded });
    let is_written = |name: &str| loaded.is_written("members", name);
    if let Some(file) = &options.certificate {
        let text = format!("{}\n", certificate(&told, &loaded.model, &loaded.input.name, &loaded.input.sha256));
        write_certificate(file, &text, output)?;
    }
    if options.json {
        output.print(&format!("{}\n", json(&told, &loaded.model, &loaded.input.name, is_written)));
        tell_warnings(&loaded.model.warnings);
        return Ok(ending);
    }
    let sentences = sentences(&told);
    let results = vec![groups(&told)];
    for sentence in &sentences {
        output.print(&format!("{}\n", text::wrapped(&visible(sentence), width(), "  ")));
    }
    for result in &results {
        output.print(&format!("\n{}", text::table(result, width())));
    }
    if let Some(best) = &told.best {
        let change = option(&told, best, &loaded.model, is_written);
        let after = loaded.option.as_ref().map_or(String::new(), |name| format!(", to be taken after \"{name}\""));
        output.print(&format!("\nAs an entry of \"options\"{after}:\n\"sized\": {change}\n"));
    }
    let (files, out) = (files(&loaded, &told, &sentences), loaded.out(options.out.as_deref(), Some("size"))?);
    let count = files.len();
    output.files(vec![(out.clone(), files, WayOut::OUT)], loaded.input.file())?;
    output.print(&super::caution_and_files(&out, count));
    super::output::complain(&format!("searched in {:.1} s", spent.as_secs_f64()));
    tell_warnings(&loaded.model.warnings);
    Ok(ending)
}

/// By how much each point of the curve is stiffer than the one before, at least.
const STEP: f64 = 0.05;

/// Mass against twist stiffness.
fn against(options: &SizeOptions, loaded: &Loaded, output: &mut Output) -> Result<Ending, Trouble> {
    let points = searched(&WORDS, |watch| against_twist(&loaded.model, STEP, options.boxes, watch))
        .map_err(|faults| loaded.faults(&faults))?;
    let ending = ending(if points.is_empty() { Ending::LimitExceeded } else { Ending::Good });
    if options.json {
        output.print(&format!("{}\n", trade_json(&points, STEP, &loaded.model, &loaded.input.name)));
        tell_warnings(&loaded.model.warnings);
        return Ok(ending);
    }
    let sentences = trade_sentences(&points, STEP);
    for sentence in &sentences {
        output.print(&format!("{}\n", text::wrapped(&visible(sentence), width(), "  ")));
    }
    let table = trade_table(&points);
    output.print(&format!("\n{}", text::table(&table, width())));
    let out = loaded.out(options.out.as_deref(), Some("size-against-twist"))?;
    let mut files = Files::new();
    let date = loaded.model.date.as_deref().unwrap_or_default();
    let of = loaded.model.title.as_deref().unwrap_or(&loaded.input.name);
    if points.len() > 1 {
        let figure = TradeFigure {
            name: "Twist stiffness".to_owned(),
            unit: "N·m/deg".to_owned(),
            more_is_better: true,
            limit: loaded.model.limits.twist_nm_deg,
        };
        let svg = trade_off(of, &trade_points(&points), &[], &figure, date);
        files.insert(file_name(0, "Mass against twist stiffness", "svg"), svg.into_bytes());
    }
    let count = files.len();
    output.files(vec![(out.clone(), files, WayOut::OUT)], loaded.input.file())?;
    output.print(&super::caution_and_files(&out, count));
    tell_warnings(&loaded.model.warnings);
    Ok(ending)
}

/// Writes the proof to a new file.
fn write_certificate(file: &Path, text: &str, output: &mut Output) -> Result<(), Trouble> {
    output.file(|| {
        let write = |mut new: File| {
            // Half a proof is worse than none.
            new.write_all(text.as_bytes()).inspect_err(|_| drop(std::fs::remove_file(file)))
        };
        File::create_new(file).and_then(write).map_err(|error| {
            let hint = super::write_hint(&error, "name another file");
            Trouble(format!("error: cannot write {}: {error}\nhint: {hint}", super::shown(file)))
        })?;
        let written = file.to_path_buf();
        Ok(move || {
            let _ = std::fs::remove_file(written);
        })
    })
}

/// The pictures and the page.
fn files(loaded: &Loaded, told: &Sizing, sentences: &[String]) -> Files {
    let date = loaded.model.date.as_deref().unwrap_or_default();
    let drawn_notes = told.drawn.as_ref().map(crate::run::Checked::notes).unwrap_or_default();
    let best_notes = told.best.as_ref().map(|best| best.checked.notes()).unwrap_or_default();
    let drawn = told.drawn.as_ref().map(|drawn| loaded.report(drawn, &drawn_notes));
    let best =
        told.best.as_ref().map(|best| Report { model: &best.model, ..loaded.report(&best.checked, &best_notes) });
    let mut shown: Vec<(String, &Report<'_>)> = Vec::new();
    shown.extend(drawn.as_ref().map(|drawn| ("as drawn".to_owned(), drawn)));
    shown.extend(best.as_ref().map(|best| ("sized".to_owned(), best)));
    let pictures: Vec<Picture> =
        side_by_side(&shown, date).into_iter().map(|(title, svg)| Picture { title, svg }).collect();
    let mut files: Files = pictures
        .iter()
        .enumerate()
        .map(|(at, picture)| (file_name(at + 1, &picture.title, "svg"), picture.svg.clone().into_bytes()))
        .collect();
    if let Some(report) = best.as_ref().or(drawn.as_ref()) {
        let title = format!("{}: sizes", loaded.model.title.as_deref().unwrap_or(&loaded.input.name));
        let page = comparison(&title, report, &[groups(told)], sentences, &pictures, date);
        files.insert("report.html".to_owned(), page.into_bytes());
    }
    files
}
