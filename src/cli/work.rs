//! Who does the units of a study: all here, a part of them with the answers kept in a file, or nobody, where the
//! answers lie in files already.

use std::fs;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use clap::Args;
use rayon::prelude::*;

use super::input::{Input, Loaded};
use super::{Ending, Trouble, leftovers, shown, write_hint};
use crate::report::TOOL;
use crate::source::visible;
use crate::studies::divided::{Answer, Hands, Units};
use crate::studies::kept::{FORMAT, Kept, Part, line};

/// Options of every study that can be divided.
#[derive(Debug, Clone, Default, Args)]
pub(crate) struct WorkOptions {
    /// Do this part of the work alone, of N that may run anywhere; crossbrace gather puts them together
    #[arg(long, value_name = "K/N", requires = "keep", value_parser = Part::parse, allow_hyphen_values = true)]
    part: Option<Part>,
    /// Keep what is done in this file, and go on from there if it holds a beginning of the same
    #[arg(long, value_name = "FILE")]
    keep: Option<PathBuf>,
}

/// A file of kept answers, as read.
pub(crate) struct KeptFile {
    input: Input,
    kept: Kept,
}

impl KeptFile {
    /// Reads a file.
    pub(crate) fn read(path: &Path) -> Result<KeptFile, Trouble> {
        let input = Input::read(path)?;
        let kept = Kept::read(&input.document).map_err(|problems| {
            let Trouble(told) = input.trouble(&problems);
            Trouble(format!("{told}\nhint: this should be a file that --keep wrote"))
        })?;
        Ok(KeptFile { input, kept })
    }

    /// Its name, for a message.
    pub(crate) fn name(&self) -> String {
        visible(&self.input.name)
    }

    /// What it holds.
    pub(crate) fn kept(&self) -> &Kept {
        &self.kept
    }

    /// What makes this another question than that one, in words.
    pub(crate) fn differs(&self, other: &Kept) -> Option<String> {
        let of = &self.kept;
        let pair = |what: &str, own: &str, other: &str| {
            (own != other).then(|| format!("{what} {}, not {}", visible(own), visible(other)))
        };
        let asked = |kept: &Kept| if kept.asked.is_empty() { "no options".to_owned() } else { kept.asked.join(" ") };
        let asked_otherwise = || {
            (of.asked != other.asked)
                .then(|| format!("it was asked with {}, not {}", visible(&asked(of)), visible(&asked(other))))
        };
        pair("it is of the command", &of.study, &other.study)
            .or_else(|| pair("it was made by version", &of.version, &other.version))
            .or_else(|| pair("it is of a model file with SHA-256", &of.sha256, &other.sha256))
            .or_else(asked_otherwise)
            .or_else(|| pair("its parts are of", &of.part[1].to_string(), &other.part[1].to_string()))
    }

    /// Puts its answers where they belong; `before`: how many units there were before these.
    fn fill<U: Units>(&self, units: &U, before: usize, answers: &mut [Option<U::Answer>]) -> Result<(), Trouble> {
        let own = before..before + answers.len();
        let is_of_parts = self.kept.part[1] > 1;
        if before > 0 && (is_of_parts || self.kept.units <= before) {
            return Ok(());
        }
        let may_go_on = units.asks_again() && !is_of_parts;
        if self.kept.units < own.end || (self.kept.units > own.end && !may_go_on) {
            return Err(Trouble(format!(
                "error: {} is of a study of {} units, and this one has {}",
                self.name(),
                self.kept.units,
                own.end
            )));
        }
        for (unit, answer) in self.kept.answers(&own).map_err(|problems| self.input.trouble(&problems))? {
            if !units.may_be(unit - before, &answer) {
                return Err(Trouble(format!(
                    "error: {}: what it gives cannot be the answer of unit {unit}",
                    self.name()
                )));
            }
            units.hears(unit - before, &answer);
            answers[unit - before] = Some(answer);
        }
        Ok(())
    }
}

/// What came of the units where the study does not go on.
enum Ended {
    Trouble(Trouble),
    /// The part is done.
    Done(String),
    Interrupted(String),
}

/// Who does the units of one study.
pub(crate) struct Work {
    /// What would be kept, without units and answers.
    head: Kept,
    part: Part,
    is_part: bool,
    keep: Option<PathBuf>,
    files: Vec<KeptFile>,
    ended: Mutex<Option<Ended>>,
    before: Mutex<Before>,
}

/// The rounds of a study before the one that is done.
#[derive(Default)]
struct Before {
    /// How many units they had.
    units: usize,
    /// Their answers as lines of the file.
    lines: Vec<String>,
    /// Whether one of them wrote the file anew, and so without what it held of later ones.
    wrote: bool,
}

impl Work {
    /// Who does the units of a study of this model; `asked`: the options that change the answer; `gathered`: files
    /// that hold all answers already.
    pub(crate) fn begin(
        options: &WorkOptions,
        gathered: Option<Vec<KeptFile>>,
        study: &str,
        loaded: &Loaded,
        asked: Vec<String>,
    ) -> Result<Work, Trouble> {
        let part = options.part.unwrap_or(Part::WHOLE);
        let head = Kept {
            format: FORMAT,
            study: study.to_owned(),
            version: format!("{}+{}", TOOL.1, env!("CROSSBRACE_SOURCES")),
            model: loaded.input.name.clone(),
            sha256: loaded.input.sha256.clone(),
            asked,
            part: [part.number, part.of],
            units: 0,
            answers: Default::default(),
        };
        let mut files = gathered.unwrap_or_default();
        for file in &files {
            let expected = Kept { part: file.kept.part, ..head.clone() };
            if let Some(why) = file.differs(&expected) {
                return Err(Trouble(format!(
                    "error: {} does not belong to {}: {why}",
                    file.name(),
                    visible(&head.model)
                )));
            }
        }
        if let Some(keep) = &options.keep {
            if loaded.input.file().is_none() {
                return Err(Trouble(
                    "error: what is kept names its model file, and this model came from stdin\nhint: name a file"
                        .to_owned(),
                ));
            }
            match fs::metadata(keep) {
                Err(error) if error.kind() == ErrorKind::NotFound => {}
                _ => files.push(known(keep, &head)?),
            }
        }
        let ended = Mutex::new(None);
        let (is_part, keep) = (options.part.is_some(), options.keep.clone());
        Ok(Work { head, part, is_part, keep, files, ended, before: Mutex::default() })
    }

    /// How a run ends whose study did not go on.
    pub(crate) fn ending(&self) -> Result<Ending, Trouble> {
        match self.ended.lock().unwrap_or_else(PoisonError::into_inner).take() {
            Some(Ended::Trouble(trouble)) => Err(trouble),
            Some(Ended::Done(told)) => {
                super::output::complain(&told);
                Ok(Ending::Good)
            }
            Some(Ended::Interrupted(told)) => {
                super::output::complain(&told);
                Ok(Ending::EndedEarly)
            }
            None => Ok(Ending::Good),
        }
    }

    fn done<U: Units>(&self, units: &U) -> Result<Vec<Option<U::Answer>>, Ended> {
        let mut before = self.before.lock().unwrap_or_else(PoisonError::into_inner);
        let count = units.count();
        let mut answers: Vec<Option<U::Answer>> = (0..count).map(|_| None).collect();
        for file in &self.files {
            file.fill(units, before.units, &mut answers).map_err(Ended::Trouble)?;
        }
        let missing: Vec<usize> = (0..count).filter(|unit| self.part.has(*unit) && answers[*unit].is_none()).collect();
        let store = Store::new(self, &before, answers);
        // A file that gave all answers may hold those of later rounds too.
        let is_to_be_written = before.wrote || !missing.is_empty() || self.files.is_empty();
        if is_to_be_written {
            store.save(true).map_err(Ended::Trouble)?;
        }
        units.begins(missing.len());
        let do_one = |unit: &usize| {
            if let Some(answer) = units.answer(*unit) {
                store.put(*unit, answer);
            }
        };
        if units.one_by_one() {
            missing.iter().for_each(do_one);
        } else {
            // The first units first, whichever thread has them: what is ended early has then the beginning.
            missing.iter().par_bridge().for_each(do_one);
        }
        if is_to_be_written {
            store.save(true).map_err(Ended::Trouble)?;
        }
        let (answers, lacking) = store.end(&missing)?;
        if let Some(keep) = &self.keep {
            if lacking > 0 {
                let of = before.units + self.part.count(count);
                return Err(Ended::Interrupted(format!(
                    "interrupted: {} of {of} units are done and kept in {}\nhint: the same command goes on from there",
                    of - lacking,
                    shown(keep)
                )));
            }
            if self.is_part {
                let told = format!("part {} is done and kept in {}", self.part, shown(keep));
                return Err(Ended::Done(format!(
                    "{told}\nhint: crossbrace gather puts all {} parts together",
                    self.part.of
                )));
            }
            let done = answers.iter().enumerate().filter(|_| units.asks_again());
            let lines: Vec<String> =
                done.filter_map(|(unit, answer)| Some(line(before.units + unit, answer.as_ref()?))).collect();
            before.lines.extend(lines);
        }
        before.units += count;
        before.wrote |= is_to_be_written;
        Ok(answers)
    }
}

impl Hands for Work {
    fn answers<U: Units>(&self, units: &U) -> Option<Vec<Option<U::Answer>>> {
        match self.done(units) {
            Ok(answers) => Some(answers),
            Err(ended) => {
                *self.ended.lock().unwrap_or_else(PoisonError::into_inner) = Some(ended);
                None
            }
        }
    }
}

/// A file to go on from.
fn known(path: &Path, head: &Kept) -> Result<KeptFile, Trouble> {
    let file = KeptFile::read(path)?;
    let part = |kept: &Kept| kept.part().map(|part| part.to_string()).unwrap_or_default();
    let other = (file.kept.part != head.part).then(|| format!("it is part {}, not {}", part(&file.kept), part(head)));
    match file.differs(head).or(other) {
        Some(why) => Err(Trouble(format!(
            "error: {} holds the answers of something else: {why}\nhint: name another file, or remove this one",
            file.name()
        ))),
        None => Ok(file),
    }
}

/// Answers as they come, and the file that they are kept in.
struct Store<'w, A> {
    work: &'w Work,
    before: &'w Before,
    inner: Mutex<Inner<A>>,
}

struct Inner<A> {
    answers: Vec<Option<A>>,
    saved: Instant,
    /// How long that took.
    took: Duration,
    trouble: Option<Trouble>,
}

impl<'w, A: Answer> Store<'w, A> {
    fn new(work: &'w Work, before: &'w Before, answers: Vec<Option<A>>) -> Self {
        let inner = Inner { answers, saved: Instant::now(), took: Duration::ZERO, trouble: None };
        Store { work, before, inner: Mutex::new(inner) }
    }

    fn put(&self, unit: usize, answer: A) {
        {
            let mut inner = self.inner.lock().unwrap_or_else(PoisonError::into_inner);
            inner.answers[unit] = Some(answer);
        }
        if let Err(trouble) = self.save(false) {
            self.inner.lock().unwrap_or_else(PoisonError::into_inner).trouble = Some(trouble);
        }
    }

    /// Writes the file, if there is one and it is time; `now`: whatever the time.
    fn save(&self, now: bool) -> Result<(), Trouble> {
        /// What may be lost when a machine goes down.
        const BETWEEN: Duration = Duration::from_secs(5);
        /// Writing takes no more than a part in so many of the time.
        const SELDOM: u32 = 20;
        let Some(keep) = &self.work.keep else { return Ok(()) };
        let mut inner = self.inner.lock().unwrap_or_else(PoisonError::into_inner);
        if !now && inner.saved.elapsed() < BETWEEN.max(inner.took * SELDOM) {
            return Ok(());
        }
        let begun = Instant::now();
        let Before { units: before, lines, .. } = self.before;
        let head = Kept { units: before + inner.answers.len(), ..self.work.head.clone() };
        let whole = inner.answers.iter().enumerate().filter(|(_, answer)| answer.as_ref().is_some_and(A::is_whole));
        let new = whole.filter_map(|(unit, answer)| Some(line(before + unit, answer.as_ref()?)));
        let text = head.text(&lines.iter().cloned().chain(new).collect::<Vec<_>>());
        replace(keep, text.as_bytes())?;
        // What could not be kept before is in the file now.
        inner.trouble = None;
        (inner.saved, inner.took) = (Instant::now(), begun.elapsed());
        Ok(())
    }

    /// All answers, and how many units are still to be done.
    fn end(self, wanted: &[usize]) -> Result<(Vec<Option<A>>, usize), Ended> {
        let inner = self.inner.into_inner().unwrap_or_else(PoisonError::into_inner);
        if let Some(trouble) = inner.trouble {
            return Err(Ended::Trouble(trouble));
        }
        let is_done = |unit: &&usize| inner.answers[**unit].as_ref().is_some_and(A::is_whole);
        let lacking = wanted.len() - wanted.iter().filter(is_done).count();
        Ok((inner.answers, lacking))
    }
}

/// Replaces a file by rename, or makes it.
fn replace(path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let temporary = path.with_file_name(leftovers::temporary(&name, std::process::id()));
    let write = || {
        let mut file = fs::File::create(&temporary)?;
        file.write_all(bytes)?;
        // Else a power cut may leave an empty file where a good one was.
        file.sync_all()?;
        fs::rename(&temporary, path)
    };
    write().map_err(|error| {
        let _ = fs::remove_file(&temporary);
        let hint = write_hint(&error, "name another file with --keep");
        Trouble(format!("error: cannot write {}: {error}\nhint: {hint}", shown(path)))
    })
}
