//! Flags, files, streams, colour, exit codes: the outermost room, the only one that opens files.
//!
//! One file a command. Data goes to stdout, talk to stderr; a run that fails leaves stdout empty.

mod args;
mod check;
mod compare;
mod dialogue;
mod draw;
mod folder;
mod gather;
mod input;
mod leftovers;
mod loads;
mod mend;
mod new;
mod new_file;
mod output;
mod pending;
mod points;
mod progress;
mod prove;
mod scatter;
mod searching;
mod size;
mod stock;
mod study;
mod triangulate;
mod why;
mod work;
mod worst;

use std::io::ErrorKind;
use std::process::ExitCode;

use clap::Parser;

use args::{Arguments, Command};
use output::Output;

use crate::report::{text, words};

/// How a run ended, short of an error.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ending {
    /// All is within its limits, or nothing was judged.
    Good,
    /// A limit is exceeded.
    LimitExceeded,
    /// A published value is not met.
    ValueDiffers,
    /// Ctrl-C ended a search; what it had found is given.
    EndedEarly,
}

/// What keeps a run from ending well, as the text to show.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub(crate) struct Trouble(pub(crate) String);

/// The program.
pub fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            // Help and version go to stdout with 0, a wrong option to stderr with 2.
            let code = if error.use_stderr() { 2 } else { 0 };
            return match error.print() {
                // A reader that has closed its end has had enough.
                Err(trouble) if trouble.kind() != ErrorKind::BrokenPipe => {
                    output::complain(&format!("error: cannot write to stdout: {trouble}"));
                    ExitCode::from(2)
                }
                _ => ExitCode::from(code),
            };
        }
    };
    pending::take_back_on_interrupt();
    let mut output = Output::default();
    let ending = run(arguments, &mut output);
    match ending.and_then(|ending| output.deliver().map(|()| ending)) {
        Ok(Ending::Good) => ExitCode::SUCCESS,
        Ok(Ending::LimitExceeded | Ending::ValueDiffers) => ExitCode::from(1),
        Ok(Ending::EndedEarly) => ExitCode::from(pending::INTERRUPTED_CODE),
        Err(_) if pending::is_interrupted() => pending::end_interrupted(),
        Err(trouble) => {
            output::complain(&trouble.to_string());
            ExitCode::from(2)
        }
    }
}

fn run(arguments: Arguments, output: &mut Output) -> Result<Ending, Trouble> {
    match arguments.command {
        Command::Check(options) => check::run(&options, output),
        Command::Loads(options) => loads::run(&options, output),
        Command::Compare(options) => compare::run(&options, output),
        Command::Triangulate(options) => triangulate::run(&options, output),
        Command::Size(options) => size::run(&options, output),
        Command::Mend(options) => mend::run(&options, output),
        Command::Draw(options) => draw::run(&options, output),
        Command::Why(options) => why::run(&options, output),
        Command::Worst(options) => worst::run(&options, output),
        Command::Scatter(options) => scatter::run(&options, output),
        Command::Gather(options) => gather::run(&options, output),
        Command::Points(options) => points::run(&options, output),
        Command::New(options) => new::run(&options, output),
        Command::Prove(options) => prove::run(&options, output),
        Command::Tubes => stock::tubes(output),
        Command::Materials => stock::materials(output),
        Command::Schema => stock::schema(output),
    }
}

/// A path as it may go to a terminal.
fn shown(path: &std::path::Path) -> String {
    crate::source::visible(&path.display().to_string())
}

/// What to do where a file cannot be written; `elsewhere`: how to have it in another place.
fn write_hint(error: &std::io::Error, elsewhere: &str) -> String {
    match error.kind() {
        std::io::ErrorKind::StorageFull => format!("the disk is full: make room on it, or {elsewhere}"),
        _ => elsewhere.to_owned(),
    }
}

/// The caution in a line, and where files went.
fn caution_and_files(folder: &std::path::Path, count: usize) -> String {
    let caution = text::wrapped(words::CAUTION_LINE, output::width(), "");
    format!("\n{caution}\n{}\n", files_written(folder, count))
}

/// Tells where files went.
fn files_written(folder: &std::path::Path, count: usize) -> String {
    let files = if count == 1 { "file" } else { "files" };
    format!("{count} {files} in {}", shown(folder))
}
