//! `crossbrace gather`: the parts of a study put together, as if it had run as one.

use clap::Parser;

use super::args::{Arguments, Command, GatherOptions};
use super::output::Output;
use super::work::KeptFile;
use super::{Ending, Trouble, compare, mend, scatter, size, triangulate, worst};
use crate::source::visible;

/// Runs the command.
pub(crate) fn run(options: &GatherOptions, output: &mut Output) -> Result<Ending, Trouble> {
    let files: Vec<KeptFile> = options.files.iter().map(|path| KeptFile::read(path)).collect::<Result<_, _>>()?;
    fit_together(&files)?;
    let first = &files[0];
    let kept = first.kept();
    let not_understood =
        |why: &str| Trouble(format!("error: {} was not asked as this version asks: {}", first.name(), visible(why)));
    let mut arguments = vec!["crossbrace".to_owned(), kept.study.clone()];
    arguments.extend(kept.asked.iter().cloned());
    arguments.extend(["--".to_owned(), kept.model.clone()]);
    let parsed = Arguments::try_parse_from(arguments).map_err(|error| {
        let told = error.to_string();
        not_understood(told.lines().next().unwrap_or_default())
    })?;
    if options.certificate.is_some() && kept.study != "size" {
        let told = format!("error: only size has a certificate, and {} is of {}", first.name(), visible(&kept.study));
        return Err(Trouble(format!("{told}\nhint: gather its parts without --certificate")));
    }
    match parsed.command {
        Command::Scatter(asked) if asked.asked() == kept.asked => {
            scatter::run_with(&asked.gathered(options), Some(files), output)
        }
        Command::Worst(asked) if asked.asked() == kept.asked => {
            worst::run_with(&asked.gathered(options), Some(files), output)
        }
        Command::Compare(_) if options.json => {
            Err(Trouble("error: compare prints no JSON\nhint: gather its parts without --json".to_owned()))
        }
        Command::Compare(asked) if asked.asked() == kept.asked => {
            compare::run_with(&asked.gathered(options), Some(files), output)
        }
        Command::Triangulate(asked) if asked.asked() == kept.asked => {
            triangulate::run_with(&asked.gathered(options), Some(files), output)
        }
        Command::Mend(asked) if asked.asked() == kept.asked => {
            mend::run_with(&asked.gathered(options), Some(files), output)
        }
        Command::Size(asked) if asked.asked() == kept.asked => {
            size::run_with(&asked.gathered(options), Some(files), output)
        }
        _ => Err(not_understood("its \"study\" and \"asked\" are not what --keep writes")),
    }
}

/// Whether these are all parts of one study, each once and done.
fn fit_together(files: &[KeptFile]) -> Result<(), Trouble> {
    let first = &files[0];
    let of = first.kept().part[1];
    let mut by_part: Vec<Option<&KeptFile>> = vec![None; of];
    for file in files {
        if let Some(why) = file.differs(first.kept()) {
            return Err(Trouble(format!("error: {} does not belong to {}: {why}", file.name(), first.name())));
        }
        let [number, _] = file.kept().part;
        if let Some(other) = by_part[number - 1].replace(file) {
            return Err(Trouble(format!(
                "error: part {number}/{of} is there twice: {} and {}",
                other.name(),
                file.name()
            )));
        }
        let lacks = file.kept().lacks();
        if lacks > 0 {
            return Err(Trouble(format!(
                "error: {} is not done: {lacks} units are missing\nhint: the command that made it goes on from there",
                file.name()
            )));
        }
    }
    let missing: Vec<String> = by_part
        .iter()
        .enumerate()
        .filter(|(_, file)| file.is_none())
        .map(|(at, _)| format!("{}/{of}", at + 1))
        .collect();
    if missing.is_empty() {
        return Ok(());
    }
    /// More are counted, not named.
    const MOST_NAMED: usize = 12;
    let more = missing.len().saturating_sub(MOST_NAMED);
    let and_more = if more > 0 { format!(" and {more} more") } else { String::new() };
    let named = missing[..missing.len() - more].join(", ");
    let (word, are) = if missing.len() == 1 { ("part", "is") } else { ("parts", "are") };
    Err(Trouble(format!("error: {word} {named}{and_more} {are} missing")))
}
