//! A search that somebody waits for: how far it is on stderr, and the first Ctrl-C ends it with the best so far.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::{Duration, Instant};

use super::progress::Progress;
use super::{Ending, pending};
use crate::studies::Watch;

/// How often the line is rewritten.
const AGAIN: Duration = Duration::from_millis(50);

/// What a search is called while it goes on.
pub(crate) struct Words {
    /// Before the first design: `looking at the braces`.
    pub(crate) before: &'static str,
    /// What is counted: `designs`.
    pub(crate) counted: &'static str,
    /// After the last: `solving the best from scratch`.
    pub(crate) after: &'static str,
    /// What is given where Ctrl-C ends it: `the best so far`.
    pub(crate) ended: &'static str,
}

/// Runs a search with its progress shown. Where Ctrl-C ends it before it has anything, the program ends.
pub(crate) fn searched<T, E>(words: &Words, run: impl FnOnce(&Watch<'_>) -> Result<T, E>) -> Result<T, E> {
    let (tried, total, is_done) = (AtomicU64::new(0), AtomicU64::new(0), AtomicBool::new(false));
    let found = pending::search(|| {
        std::thread::scope(|scope| {
            scope.spawn(|| {
                let (mut progress, begun) = (Progress::new(), Instant::now());
                while !is_done.load(Ordering::Relaxed) {
                    let count = [tried.load(Ordering::Relaxed), total.load(Ordering::Relaxed)];
                    progress.at(&so_far(words, count, begun.elapsed()));
                    std::thread::sleep(AGAIN);
                }
            });
            let _done = Done(&is_done);
            run(&Watch { tried: &tried, total: &total, ends: &pending::search_ends })
        })
    });
    if found.is_err() && pending::search_ends() {
        pending::end_interrupted();
    }
    found
}

/// How a command ends whose search is over: with the code of Ctrl-C where that ended it.
pub(crate) fn ending(otherwise: Ending) -> Ending {
    if pending::search_ends() { Ending::EndedEarly } else { otherwise }
}

/// Ends the line of progress however a search ends: who waited for one that panics would wait for ever.
struct Done<'d>(&'d AtomicBool);

impl Drop for Done<'_> {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
    }
}

/// How far a search is, how fast it goes, and how long it will take.
fn so_far(words: &Words, [tried, total]: [u64; 2], spent: Duration) -> String {
    let counted = words.counted;
    if tried == 0 || total == 0 {
        return words.before.to_owned();
    }
    if tried >= total {
        return format!("{tried} {counted} tried; {}", words.after);
    }
    let rate = tried as f64 / spent.as_secs_f64().max(1e-3);
    let left = time_left((total - tried) as f64 / rate);
    format!("{tried} of {total} {counted}, {rate:.0} a second, {left} left; Ctrl-C gives {}", words.ended)
}

/// A time in the unit that suits it.
fn time_left(seconds: f64) -> String {
    match seconds {
        s if s < 1.0 => "under 1 s".to_owned(),
        s if s < 120.0 => format!("{s:.0} s"),
        s if s < 7200.0 => format!("{:.0} min", s / 60.0),
        s => format!("{:.1} h", s / 3600.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WORDS: Words =
        Words { before: "looking", counted: "designs", after: "solving the best again", ended: "the best so far" };

    #[test]
    fn progress_tells_rate_and_time_left_and_never_no_time() {
        let told = |count: [u64; 2], seconds: u64| so_far(&WORDS, count, Duration::from_secs(seconds));
        assert_eq!(told([0, 0], 2), "looking");
        assert_eq!(told([500, 1000], 2), "500 of 1000 designs, 250 a second, 2 s left; Ctrl-C gives the best so far");
        assert_eq!(
            told([999, 1000], 2),
            "999 of 1000 designs, 500 a second, under 1 s left; Ctrl-C gives the best so far"
        );
        assert_eq!(
            told([1000, 1_000_000], 1),
            "1000 of 1000000 designs, 1000 a second, 17 min left; Ctrl-C gives the best so far"
        );
        assert_eq!(told([7, 7], 2), "7 designs tried; solving the best again");
    }
}
