//! `crossbrace mend`: the cheapest changes that mend what fails.

use super::args::MendOptions;
use super::folder::{Files, WayOut, file_name};
use super::input::Loaded;
use super::output::{Output, tell_warnings, width};
use super::searching::{Words, ending, searched};
use super::{Ending, Trouble};
use crate::report::mend::{entry, first_entry, json, sentences, table};
use crate::report::page::{Picture, comparison};
use crate::report::plot::side_by_side;
use crate::report::table::Table;
use crate::report::{Report, text};
use crate::source::visible;
use crate::studies::mend::{Mending, mend};

const WORDS: Words = Words { before: "checking the frame", counted: "changes", after: "looking at all together" };

/// Runs the command.
pub(crate) fn run(options: &MendOptions, output: &mut Output) -> Result<Ending, Trouble> {
    let loaded = Loaded::read_with(&options.model, &options.options, &[])?;
    let told = searched(&WORDS, |watch| mend(&loaded.model, &loaded.written, watch))
        .map_err(|faults| loaded.faults(&faults))?;
    let all_hold = told.together.as_ref().is_some_and(|together| together.checked.verdict.passes());
    let is_left = !all_hold && told.failing.iter().any(|failing| failing.mends.is_empty());
    let end = ending(if is_left { Ending::LimitExceeded } else { Ending::Good });
    if options.json {
        output.print(&format!("{}\n", json(&told, &loaded.model, &loaded.input.name)));
        tell_warnings(&loaded.model.warnings);
        return Ok(end);
    }
    let sentences = sentences(&told);
    for sentence in &sentences {
        output.print(&format!("{}\n", text::wrapped(&visible(sentence), width(), "  ")));
    }
    let tables: Vec<Table> = told.failing.iter().map(table).collect();
    let after =
        loaded.option.as_ref().map_or(String::new(), |name| format!(", to be taken after \"{}\"", visible(name)));
    for (failing, table) in told.failing.iter().zip(&tables) {
        output.print(&format!("\n{}", text::table(table, width())));
        if let Some(entry) = first_entry(failing) {
            output.print(&format!("the first as an entry of \"options\"{after}:\n{entry}\n"));
        }
    }
    if let Some(together) = &told.together {
        output.print(&format!(
            "\nAll together as an entry of \"options\"{after}:\n{}\n",
            entry("mended", &together.mend)
        ));
    }
    if !told.failing.is_empty() {
        let told_files = files(&loaded, &told, &sentences, &tables);
        let out = loaded.out(options.out.as_deref(), Some("mend"))?;
        output.print(&super::caution_and_files(&out, told_files.len()));
        output.files(vec![(out, told_files, WayOut::OUT)], loaded.input.file())?;
    }
    tell_warnings(&loaded.model.warnings);
    Ok(end)
}

/// The page, and the frame as it is beside the mended one.
fn files(loaded: &Loaded, told: &Mending, sentences: &[String], tables: &[Table]) -> Files {
    let date = loaded.model.date.as_deref().unwrap_or_default();
    let notes = told.checked.notes();
    let now = loaded.report(&told.checked, &notes);
    let more = told.together.as_ref().map(|together| (together, together.checked.notes()));
    let mended = more
        .as_ref()
        .map(|(together, notes)| Report { model: &together.model, ..loaded.report(&together.checked, notes) });
    let mut shown: Vec<(String, &Report<'_>)> = vec![("as it is".to_owned(), &now)];
    shown.extend(mended.as_ref().map(|report| ("mended".to_owned(), report)));
    let pictures: Vec<Picture> =
        side_by_side(&shown, date).into_iter().map(|(name, svg)| Picture { title: name, svg }).collect();
    let mut files: Files = pictures
        .iter()
        .enumerate()
        .map(|(at, picture)| (file_name(at + 1, &picture.title, "svg"), picture.svg.clone().into_bytes()))
        .collect();
    let title = format!("{}: what mends it", loaded.model.title.as_deref().unwrap_or(&loaded.input.name));
    let page = comparison(&title, &now, tables, sentences, &pictures, date);
    files.insert("report.html".to_owned(), page.into_bytes());
    files
}
