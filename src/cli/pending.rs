//! What a run has put into place and may yet take back: until stdout has taken its text, and when
//! somebody presses Ctrl-C.

use std::io::IsTerminal;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

use super::Trouble;
use super::folder::Delivered;
use super::output::complain;

/// Something that a run has written.
pub(crate) enum Written {
    /// Folders of results.
    Folders(Delivered),
    /// One file outside of them, by what takes it back.
    File(Box<dyn FnOnce() + Send>),
}

impl Written {
    fn take_back(self) {
        match self {
            Written::Folders(delivered) => delivered.take_back(),
            Written::File(take_back) => take_back(),
        }
    }

    fn finish(self) {
        if let Written::Folders(delivered) = self {
            delivered.finish();
        }
    }
}

/// Who holds this is writing, taking back or finishing; nobody ends the program meanwhile.
static PENDING: Mutex<Vec<Written>> = Mutex::new(Vec::new());
static INTERRUPTED: AtomicBool = AtomicBool::new(false);
/// Whether a search goes on, which the first Ctrl-C ends with the best so far.
static SEARCHING: AtomicBool = AtomicBool::new(false);
static SEARCH_ENDS: AtomicBool = AtomicBool::new(false);

/// The exit code after Ctrl-C, as a shell has it: 128 and the number of the signal.
pub(crate) const INTERRUPTED_CODE: u8 = 130;

/// From here on Ctrl-C takes back what is pending before it ends the program.
pub(crate) fn take_back_on_interrupt() {
    // Where no handler can be set, Ctrl-C ends the program as it would any other, and the next run
    // removes what is left.
    let _ = ctrlc::set_handler(|| {
        if SEARCHING.load(Ordering::SeqCst) && !SEARCH_ENDS.swap(true, Ordering::SeqCst) {
            return;
        }
        INTERRUPTED.store(true, Ordering::SeqCst);
        end_interrupted()
    });
}

/// Runs a search; meanwhile the first Ctrl-C only has [`search_ends`] say so.
pub(crate) fn search<T>(run: impl FnOnce() -> T) -> T {
    SEARCHING.store(true, Ordering::SeqCst);
    let found = run();
    SEARCHING.store(false, Ordering::SeqCst);
    found
}

/// Whether a search is to end with the best so far.
pub(crate) fn search_ends() -> bool {
    SEARCH_ENDS.load(Ordering::Relaxed)
}

/// Whether somebody has pressed Ctrl-C: what is being written is to stop soon.
pub(crate) fn is_interrupted() -> bool {
    INTERRUPTED.load(Ordering::SeqCst)
}

/// Takes back what is pending and ends the program.
pub(crate) fn end_interrupted() -> ! {
    let mut pending = lock();
    take_back(&mut pending);
    // On a terminal ^C stands on the line already.
    let start = if std::io::stderr().is_terminal() { "\n" } else { "" };
    complain(&format!("{start}interrupted"));
    std::process::exit(INTERRUPTED_CODE.into())
}

/// Writes something, and keeps how it is taken back.
///
/// # Errors
/// Those of `write`, which then leaves nothing behind.
pub(crate) fn put(write: impl FnOnce() -> Result<Written, Trouble>) -> Result<(), Trouble> {
    let mut pending = lock();
    pending.push(write()?);
    Ok(())
}

/// Takes back all that was put.
pub(crate) fn take_back_all() {
    take_back(&mut lock());
}

/// Leaves all that was put where it is, for good.
pub(crate) fn finish_all() {
    let mut pending = lock();
    if is_interrupted() {
        drop(pending);
        end_interrupted();
    }
    pending.drain(..).for_each(Written::finish);
}

fn take_back(pending: &mut Vec<Written>) {
    pending.drain(..).rev().for_each(Written::take_back);
}

fn lock() -> MutexGuard<'static, Vec<Written>> {
    // What is pending is whole even where somebody panicked over it.
    PENDING.lock().unwrap_or_else(PoisonError::into_inner)
}
