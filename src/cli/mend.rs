//! `crossbrace mend`: the cheapest changes that mend what fails.

use super::args::{GatherOptions, MendOptions};
use super::input::Loaded;
use super::output::{Output, tell_warnings, width};
use super::searching::{Words, ending, searched};
use super::study::{Told, pictures_of, title_of};
use super::work::{KeptFile, Work, WorkOptions};
use super::{Ending, Trouble};
use crate::report::mend::{entry, first_entries, json, sentences, table};
use crate::report::page::Picture;
use crate::report::plot::{Shown, side_by_side};
use crate::report::table::Table;
use crate::report::{Report, text};
use crate::source::visible;
use crate::studies::mend::{Mending, mend};

const WORDS: Words = Words {
    before: "checking the frame",
    counted: "changes",
    after: "looking at all together",
    ended: "the best so far",
};

impl MendOptions {
    /// The options that change the answer, as they may be given again.
    pub(crate) fn asked(&self) -> Vec<String> {
        self.of.asked()
    }

    /// The same with what is asked of a gathering alone.
    pub(crate) fn gathered(self, options: &GatherOptions) -> Self {
        Self { json: options.json, out: options.out.clone(), work: WorkOptions::default(), ..self }
    }
}

/// Runs the command.
pub(crate) fn run(options: &MendOptions, output: &mut Output) -> Result<Ending, Trouble> {
    run_with(options, None, output)
}

/// The same; `gathered`: files that hold all answers already.
pub(crate) fn run_with(
    options: &MendOptions,
    gathered: Option<Vec<KeptFile>>,
    output: &mut Output,
) -> Result<Ending, Trouble> {
    let loaded = Loaded::read_changed(&options.of)?;
    let work = Work::begin(&options.work, gathered, "mend", &loaded, options.asked())?;
    let told = searched(&WORDS, |watch| mend(&loaded.model, &loaded.written, watch, &work));
    let Some(told) = told.map_err(|faults| loaded.faults(&faults))? else { return work.ending() };
    let all_hold = told.together.as_ref().is_some_and(|together| together.checked.verdict.passes());
    let is_left = !all_hold && told.failing.iter().any(|failing| failing.mends.is_empty());
    let end = ending(if is_left { Ending::LimitExceeded } else { Ending::Good });
    if options.json {
        output.print(&format!("{}\n", json(&told, &loaded.about(&[]))));
        tell_warnings(&loaded.model.warnings);
        return Ok(end);
    }
    let tables: Vec<Table> = told.failing.iter().map(table).collect();
    let answer = Told {
        of: "what mends it",
        heading: "What mends it",
        sentences: sentences(&told),
        results: Vec::new(),
        overview: None,
        pictures: pictures(&loaded, &told),
    };
    answer.print(output);
    let after =
        loaded.option.as_ref().map_or(String::new(), |name| format!(", to be taken after \"{}\"", visible(name)));
    for table in &tables {
        output.print(&format!("\n{}", text::table(table, width())));
    }
    for (entry, checks) in first_entries(&told) {
        output.print(&format!("\nFor {}, as an entry of \"options\"{after}:\n{entry}\n", listed(&checks)));
    }
    if let Some(together) = &told.together {
        output.print(&format!(
            "\nAll together as an entry of \"options\"{after}:\n{}\n",
            entry("mended", &together.mend)
        ));
    }
    if !told.failing.is_empty() {
        let notes = told.checked.notes();
        let answer = Told { results: tables, ..answer };
        answer.put(&loaded, loaded.about(&notes), (options.out.as_deref(), "mend"), output)?;
    }
    tell_warnings(&loaded.model.warnings);
    Ok(end)
}

/// Names of checks, which hold commas themselves; cut after a few.
fn listed(checks: &[String]) -> String {
    const SHOWN: usize = 6;
    let shown = checks[..checks.len().min(SHOWN)].join("; ");
    if checks.len() > SHOWN { format!("{shown}; and {} more", checks.len() - SHOWN) } else { shown }
}

/// The frame as it is beside the mended one.
fn pictures(loaded: &Loaded, told: &Mending) -> Vec<Picture> {
    if told.failing.is_empty() {
        return Vec::new();
    }
    let date = loaded.model.date.as_deref().unwrap_or_default();
    let mut frames = vec![Shown::of("as it is".to_owned(), &loaded.report(&told.checked, &[]))];
    frames.extend(told.together.as_ref().map(|together| {
        let report = Report { model: &together.model, ..loaded.report(&together.checked, &[]) };
        Shown::of("mended".to_owned(), &report)
    }));
    pictures_of(side_by_side(title_of(loaded), &frames, date))
}
