//! `crossbrace draw`: the sheets before any solving.

use super::args::DrawOptions;
use super::folder::{Files, WayOut, file_name};
use super::input::Loaded;
use super::output::{Output, complain, tell_warnings};
use super::{Ending, Trouble};
use crate::report::plot;
use crate::structure::{Purpose, build};

/// Runs the command; nothing is solved or judged.
pub(crate) fn run(options: &DrawOptions, output: &mut Output) -> Result<Ending, Trouble> {
    let loaded = Loaded::read(&options.model)?;
    let structure = build(&loaded.model, Purpose::Statics).map_err(|fault| loaded.faults(&[fault]))?;
    let date = loaded.model.date.as_deref().unwrap_or_default();
    let sheets = plot::drawing_sheets(&loaded.model, &structure, loaded.option.as_deref(), date);
    let files: Files = sheets
        .into_iter()
        .enumerate()
        .map(|(at, (name, svg))| (file_name(at + 1, &name, "svg"), svg.into_bytes()))
        .collect();
    let out = loaded.out(options.out.as_deref(), Some("drawing"))?;
    output.print(&format!("{}\n", super::files_written(&out, files.len())));
    output.files(vec![(out, files, WayOut::OUT)], loaded.input.file())?;
    if loaded.model.mounts.is_empty() {
        complain("warning: \"mounts\" is empty: nothing holds the frame");
    }
    tell_warnings(&loaded.model.warnings);
    Ok(Ending::Good)
}
