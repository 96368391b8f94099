//! Streams: text is collected and written once, when the run has ended well.

use std::io::{ErrorKind, Write};

use super::Trouble;

/// What goes to stdout when the run has ended well.
#[derive(Debug, Default)]
pub(crate) struct Output {
    text: String,
}

impl Output {
    /// Adds text; colour is taken out where stdout shows none.
    pub(crate) fn print(&mut self, text: &str) {
        self.text.push_str(text);
    }

    /// Writes everything to stdout. A reader that has closed its end has had enough: no error.
    pub(crate) fn deliver(&mut self) -> Result<(), Trouble> {
        let mut stdout = anstream::stdout().lock();
        let written = stdout.write_all(self.text.as_bytes()).and_then(|()| stdout.flush());
        match written {
            Err(error) if error.kind() != ErrorKind::BrokenPipe => {
                Err(Trouble(format!("cannot write to stdout: {error}")))
            }
            _ => Ok(()),
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
