//! `crossbrace scatter`: what the answer becomes when the car is not quite as the file has it.

use super::args::{GatherOptions, ScatterOptions};
use super::input::Loaded;
use super::output::{Output, tell_warnings, width};
use super::searching::{Words, ending, searched};
use super::study::{Told, pictures_of};
use super::work::{KeptFile, Work, WorkOptions};
use super::{Ending, Trouble};
use crate::report::plot::scatter_bars;
use crate::report::scatter::{self as told, ScatterReport};
use crate::source::visible;
use crate::studies::scatter::{Asked, quantities, scatter};

const WORDS: Words =
    Words { before: "solving as drawn", counted: "models", after: "putting together", ended: "what was drawn so far" };
/// How many draws are made where nobody asks for a number.
const DRAWS: usize = 1000;
/// The seed where nobody asks for one.
const SEED: u64 = 1;

impl ScatterOptions {
    /// The options that change the answer, as they may be given again.
    pub(crate) fn asked(&self) -> Vec<String> {
        let mut asked = self.of.asked();
        asked.extend(self.vary.iter().map(|vary| format!("--vary={vary}")));
        asked.extend(self.draws.map(|draws| format!("--draws={draws}")));
        asked.extend(self.seed.map(|seed| format!("--seed={seed}")));
        asked
    }

    /// The same with what is asked of a gathering alone.
    pub(crate) fn gathered(self, options: &GatherOptions) -> Self {
        Self { json: options.json, out: options.out.clone(), work: WorkOptions::default(), ..self }
    }
}

/// Runs the command.
pub(crate) fn run(options: &ScatterOptions, output: &mut Output) -> Result<Ending, Trouble> {
    run_with(options, None, output)
}

/// The same; `gathered`: files that hold all answers already.
pub(crate) fn run_with(
    options: &ScatterOptions,
    gathered: Option<Vec<KeptFile>>,
    output: &mut Output,
) -> Result<Ending, Trouble> {
    let loaded = Loaded::read_changed(&options.of)?;
    let quantities =
        quantities(&loaded.model, &options.vary).map_err(|why| Trouble(format!("error: {}", visible_lines(&why))))?;
    let asked = Asked { quantities, draws: options.draws.unwrap_or(DRAWS), seed: options.seed.unwrap_or(SEED) };
    let work = Work::begin(&options.work, gathered, "scatter", &loaded, options.asked())?;
    let found = searched(&WORDS, |watch| scatter(&loaded.model, &asked, &work, watch));
    let found = found.map_err(|faults| loaded.faults(&faults))?;
    let Some(found) = found else { return work.ending() };
    let about = loaded.about(&loaded.model.warnings);
    let report = ScatterReport { about, scatter: &found };
    if options.json {
        output.print(&format!("{}\n", told::json(&report)));
    } else {
        output.print(&told::text(&report, width()));
        let svg = scatter_bars(&report, loaded.model.date.as_deref().unwrap_or_default());
        let how = told::varied(&found).into_iter().chain([told::method(&found)]);
        let page = Told {
            of: "what to measure next",
            heading: "What the answer becomes when the car is not quite as drawn",
            sentences: told::sentences(&report).into_iter().chain(how).collect(),
            results: vec![told::moves(&found), told::limits(&found), told::spreads(&found)],
            overview: None,
            pictures: pictures_of([("What moves the worst".to_owned(), svg)]),
        };
        page.put(&loaded, about, (options.out.as_deref(), "scatter"), output)?;
    }
    tell_warnings(&loaded.model.warnings);
    Ok(ending(Ending::Good))
}

/// Lines of which each may go to a terminal.
fn visible_lines(text: &str) -> String {
    text.lines().map(visible).collect::<Vec<_>>().join("\n")
}
