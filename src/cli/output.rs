//! Streams: text is collected and written once, when the run has ended well; data that may be
//! megabytes is written as it is made, last of all.

use std::io::{self, BufWriter, ErrorKind, Write};
use std::path::{Path, PathBuf};

use indexmap::IndexSet;

use super::Trouble;
use super::folder::{Files, WayOut, deliver};
use super::pending::{self, Written};
use crate::source::visible;

/// What goes to stdout and into folders when the run has ended well.
#[derive(Default)]
pub(crate) struct Output {
    text: String,
    /// What is told on stderr in the end.
    told_last: Vec<String>,
}

impl Output {
    /// Adds text; colour is taken out where stdout shows none.
    pub(crate) fn print(&mut self, text: &str) {
        self.text.push_str(text);
    }

    /// Puts files that were made from a model into folders; they stay there only if [`Output::deliver`] comes to a good end.
    ///
    /// # Errors
    /// What [`deliver`] refuses; every folder is then as it was.
    pub(crate) fn files(
        &mut self,
        folders: Vec<(PathBuf, Files, WayOut)>,
        model: Option<&Path>,
    ) -> Result<(), Trouble> {
        pending::put(|| deliver(folders, model).map(Written::Folders))
    }

    /// Writes the one file that a command writes outside of its folders; `write` gives how it is
    /// taken back, should [`Output::deliver`] come to no good end.
    ///
    /// # Errors
    /// Those of `write`.
    pub(crate) fn file<T: FnOnce() + Send + 'static>(
        &mut self,
        write: impl FnOnce() -> Result<T, Trouble>,
    ) -> Result<(), Trouble> {
        pending::put(|| write().map(|take_back| Written::File(Box::new(take_back))))
    }

    /// Tells something on stderr once all is well: what to do next.
    pub(crate) fn tell_last(&mut self, text: String) {
        self.told_last.push(text);
    }

    /// Writes data to stdout as it is made, and ends its line: all that such a run prints. What can
    /// fail is behind it by then, but for stdout itself.
    ///
    /// # Errors
    /// What cannot be written; every folder and file is then as it was.
    pub(crate) fn stream(
        &mut self,
        data: impl FnOnce(&mut BufWriter<io::StdoutLock<'static>>) -> io::Result<()>,
    ) -> Result<(), Trouble> {
        const BUFFER: usize = 1 << 16;
        let mut stdout = BufWriter::with_capacity(BUFFER, io::stdout().lock());
        let written = data(&mut stdout).and_then(|()| stdout.write_all(b"\n")).and_then(|()| stdout.flush());
        settle(written)
    }

    /// Writes all that was printed to stdout.
    ///
    /// # Errors
    /// What cannot be written; every folder and file is then as it was.
    pub(crate) fn deliver(self) -> Result<(), Trouble> {
        let mut stdout = anstream::stdout().lock();
        let written = stdout.write_all(self.text.as_bytes()).and_then(|()| stdout.flush());
        settle(written)?;
        pending::finish_all();
        for text in &self.told_last {
            complain(text);
        }
        Ok(())
    }
}

/// Takes files back where stdout did not take its text. A reader that has closed its end has had
/// enough: no error.
fn settle(written: io::Result<()>) -> Result<(), Trouble> {
    match written {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            pending::take_back_all();
            Err(Trouble(format!("error: cannot write to stdout: {error}")))
        }
        _ => Ok(()),
    }
}

/// Tells something on stderr; where even that is closed, nobody listens.
pub(crate) fn complain(text: &str) {
    let _ = writeln!(anstream::stderr().lock(), "{text}");
}

/// Most warnings that are told: who gives all points in another unit is told often enough.
const MOST_WARNINGS: usize = 20;

/// Warnings as lines of text, each once: the first of them, and how many more there are.
pub(crate) fn warning_lines<'w>(warnings: impl IntoIterator<Item = &'w String>) -> String {
    let warnings: IndexSet<&String> = warnings.into_iter().collect();
    let mut lines: Vec<String> =
        warnings.iter().take(MOST_WARNINGS).map(|warning| format!("warning: {}\n", visible(warning))).collect();
    if warnings.len() > MOST_WARNINGS {
        lines.push(format!("warning: and {} more\n", warnings.len() - MOST_WARNINGS));
    }
    lines.concat()
}

/// Tells warnings on stderr.
pub(crate) fn tell_warnings<'w>(warnings: impl IntoIterator<Item = &'w String>) {
    let lines = warning_lines(warnings);
    if !lines.is_empty() {
        complain(lines.trim_end());
    }
}

/// Width of the terminal on stdout, at least 80; 80 in a pipe.
pub(crate) fn width() -> u16 {
    terminal_size::terminal_size_of(std::io::stdout()).map_or(80, |(width, _)| width.0.clamp(80, 200))
}
