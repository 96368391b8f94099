//! `crossbrace loads`: the same run, printed as far as the pick-ups.

use super::args::LoadsOptions;
use super::input::Loaded;
use super::output::{Output, complain, width};
use super::{Ending, Trouble};
use crate::report::{Report, text};
use crate::source::visible;

/// Runs the command; nothing is judged, so it ends well or not at all.
pub(crate) fn run(options: &LoadsOptions, output: &mut Output) -> Result<Ending, Trouble> {
    let loaded = Loaded::read(&options.model)?;
    let checked = loaded.check(&options.model.cases)?;
    let notes = checked.notes();
    let report = Report {
        file: &loaded.input.name,
        sha256: &loaded.input.sha256,
        option: loaded.option.as_deref(),
        model: &loaded.model,
        prepared: &checked.prepared,
        response: &checked.response,
        outcome: &checked.outcome,
        verdict: &checked.verdict,
        notes: &notes,
    };
    output.print(&text::loads(&report, width()));
    for warning in &checked.warnings {
        complain(&format!("warning: {}", visible(warning)));
    }
    Ok(Ending::Good)
}
