//! Streams: text is collected and written once, when the run has ended well.

use std::io::{ErrorKind, Write};

use std::path::PathBuf;

use super::Trouble;
use super::folder::{Delivered, Files, deliver};

/// What goes to stdout and into folders when the run has ended well.
#[derive(Default)]
pub(crate) struct Output {
    text: String,
    files: Option<Delivered>,
    take_back: Option<Box<dyn FnOnce()>>,
    /// What is told on stderr in the end.
    told_last: Vec<String>,
}

impl Output {
    /// Adds text; colour is taken out where stdout shows none.
    pub(crate) fn print(&mut self, text: &str) {
        self.text.push_str(text);
    }

    /// Adds a text that may be megabytes, on a line of its own.
    pub(crate) fn print_data(&mut self, text: String) {
        if self.text.is_empty() {
            self.text = text;
        } else {
            self.text.push_str(&text);
        }
        self.text.push('\n');
    }

    /// Puts files into folders; they stay there only if [`Output::deliver`] comes to a good end.
    ///
    /// # Errors
    /// What [`deliver`] refuses; every folder is then as it was.
    pub(crate) fn files(&mut self, folders: Vec<(PathBuf, Files)>) -> Result<(), Trouble> {
        self.files = Some(deliver(folders)?);
        Ok(())
    }

    /// Says how the one file that a command wrote outside of its folders is taken back, should
    /// [`Output::deliver`] come to no good end.
    pub(crate) fn or_take_back(&mut self, take_back: impl FnOnce() + 'static) {
        self.take_back = Some(Box::new(take_back));
    }

    /// Tells something on stderr once all is well: what to do next.
    pub(crate) fn tell_last(&mut self, text: String) {
        self.told_last.push(text);
    }

    /// Writes everything to stdout. A reader that has closed its end has had enough: no error.
    ///
    /// # Errors
    /// What cannot be written; every folder and file is then as it was.
    pub(crate) fn deliver(self) -> Result<(), Trouble> {
        let written = if self.text.contains('\x1b') {
            let mut stdout = anstream::stdout().lock();
            stdout.write_all(self.text.as_bytes()).and_then(|()| stdout.flush())
        } else {
            // Without colour nothing needs to be looked through; of JSON there may be megabytes.
            let mut stdout = std::io::stdout().lock();
            stdout.write_all(self.text.as_bytes()).and_then(|()| stdout.flush())
        };
        match written {
            Err(error) if error.kind() != ErrorKind::BrokenPipe => {
                if let Some(files) = self.files {
                    files.take_back();
                }
                if let Some(take_back) = self.take_back {
                    take_back();
                }
                Err(Trouble(format!("error: cannot write to stdout: {error}")))
            }
            _ => {
                if let Some(files) = self.files {
                    files.finish();
                }
                for text in &self.told_last {
                    complain(text);
                }
                Ok(())
            }
        }
    }
}

/// Tells something on stderr; where even that is closed, nobody listens.
pub(crate) fn complain(text: &str) {
    let _ = writeln!(anstream::stderr().lock(), "{text}");
}

/// Width of the terminal on stdout, at least 80; 80 in a pipe.
pub(crate) fn width() -> u16 {
    terminal_size::terminal_size_of(std::io::stdout()).map_or(80, |(width, _)| width.0.clamp(80, 200))
}
