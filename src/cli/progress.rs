//! What a long run is at, on a terminal alone.

use std::io::{IsTerminal, Write};
use std::time::{Duration, Instant};

/// A line on stderr that is rewritten as a run goes on, and taken away when it ends.
///
/// It is shown only where stderr is a terminal, and only once a run has taken a second.
pub(crate) struct Progress {
    begun: Instant,
    on_terminal: bool,
    shown: bool,
}

impl Progress {
    /// Begins with the run.
    pub(crate) fn new() -> Self {
        Self { begun: Instant::now(), on_terminal: std::io::stderr().is_terminal(), shown: false }
    }

    /// Says what comes next.
    pub(crate) fn at(&mut self, what: &str) {
        const PATIENCE: Duration = Duration::from_secs(1);
        if self.on_terminal && self.begun.elapsed() >= PATIENCE {
            self.write(&format!("\r\x1b[K{what} …"));
            self.shown = true;
        }
    }

    /// Where even stderr is closed, nobody looks.
    fn write(&self, text: &str) {
        let mut stderr = std::io::stderr().lock();
        let _ = stderr.write_all(text.as_bytes()).and_then(|()| stderr.flush());
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if self.shown {
            self.write("\r\x1b[K");
        }
    }
}
