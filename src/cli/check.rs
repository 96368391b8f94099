//! `crossbrace check`: solve, judge, tell, draw.

use super::args::CheckOptions;
use super::input::Loaded;
use super::output::{Output, complain, width};
use super::{Ending, Trouble};
use crate::report::{Report, json, text};
use crate::source::visible;

/// Runs the command.
pub(crate) fn run(options: &CheckOptions, output: &mut Output) -> Result<Ending, Trouble> {
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
    if options.json {
        let value = json::render(&report);
        output.print(&format!("{value}\n"));
    } else if options.quiet {
        output.print(&format!("{}\n", text::verdict_line(&report)));
    } else {
        output.print(&text::check(&report, width()));
    }
    for warning in &checked.warnings {
        complain(&format!("warning: {}", visible(warning)));
    }
    Ok(if checked.verdict.passes() { Ending::Good } else { Ending::LimitExceeded })
}
