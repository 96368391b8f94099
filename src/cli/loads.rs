//! `crossbrace loads`: the same run, printed as far as the pick-ups.

use super::args::LoadsOptions;
use super::input::Loaded;
use super::output::{Output, tell_warnings, width};
use super::{Ending, Trouble};
use crate::report::text;

/// Runs the command; nothing is judged, so it ends well or not at all.
pub(crate) fn run(options: &LoadsOptions, output: &mut Output) -> Result<Ending, Trouble> {
    let loaded = Loaded::read(&options.model)?;
    let checked = loaded.check_as_drawn()?;
    let notes = checked.notes();
    output.print(&text::loads(&loaded.report(&checked, &notes), width()));
    tell_warnings(&checked.warnings);
    Ok(Ending::Good)
}
