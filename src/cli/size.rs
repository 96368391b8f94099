//! `crossbrace size`: the lightest tubes from a stock that are within every limit.

use std::io::ErrorKind;
use std::path::Path;
use std::time::Instant;

use super::args::{GatherOptions, SizeOptions};
use super::input::Loaded;
use super::new_file;
use super::output::{Output, tell_warnings};
use super::searching::{Words, ending, searched};
use super::study::{Told, pictures_of, title_of};
use super::work::{KeptFile, Work, WorkOptions};
use super::{Ending, Trouble};
use crate::report::Report;
use crate::report::certificate::certificate;
use crate::report::page::Picture;
use crate::report::plot::{Shown, TradeFigure, side_by_side, trade_off};
use crate::report::sizing::{groups, json, option, sentences, trade_json, trade_points, trade_sentences, trade_table};
use crate::run::Checked;
use crate::source::visible;
use crate::studies::size::{Ended, Sizing, against_twist, size};

const WORDS: Words = Words {
    before: "looking for a light design",
    counted: "boxes of designs, by what is settled so far",
    after: "checking the best again",
    ended: "the best so far",
};

impl SizeOptions {
    /// The options that change the answer, as they may be given again.
    pub(crate) fn asked(&self) -> Vec<String> {
        let mut asked = self.of.asked();
        asked.extend(self.against.as_ref().map(|figure| format!("--against={figure}")));
        asked.push(format!("--boxes={}", self.boxes));
        asked
    }

    /// The same with what is asked of a gathering alone.
    pub(crate) fn gathered(self, options: &GatherOptions) -> Self {
        let (certificate, out) = (options.certificate.clone(), options.out.clone());
        Self { json: options.json, certificate, out, work: WorkOptions::default(), ..self }
    }
}

/// Runs the command.
pub(crate) fn run(options: &SizeOptions, output: &mut Output) -> Result<Ending, Trouble> {
    run_with(options, None, output)
}

/// The same; `gathered`: files that hold all answers already.
pub(crate) fn run_with(
    options: &SizeOptions,
    gathered: Option<Vec<KeptFile>>,
    output: &mut Output,
) -> Result<Ending, Trouble> {
    let loaded = Loaded::read_changed(&options.of)?;
    if options.against.is_some() {
        return against(options, &loaded, gathered, output);
    }
    if let Some(file) = &options.certificate {
        // Not after an hour's search.
        new_file::try_out(file).map_err(|error| not_written(file, &error))?;
    }
    let begun = Instant::now();
    let work = Work::begin(&options.work, gathered, "size", &loaded, options.asked())?;
    let told = searched(&WORDS, |watch| size(&loaded.model, options.boxes, watch, &work));
    let Some(told) = told.map_err(|faults| loaded.faults(&faults))? else { return work.ending() };
    let spent = begun.elapsed();
    let ending = match (told.ended, &told.best) {
        (Ended::Asked, _) => Ending::EndedEarly,
        (Ended::Through | Ended::Boxes, Some(_)) => Ending::Good,
        (Ended::Through | Ended::Boxes, None) => Ending::LimitExceeded,
    };
    let is_written = |name: &str| loaded.is_written("members", name);
    if let Some(file) = &options.certificate {
        let text = format!("{}\n", certificate(&told, &loaded.about(&[])));
        write_certificate(file, &text, output)?;
    }
    if options.json {
        output.print(&format!("{}\n", json(&told, &loaded.about(&[]), is_written)));
        tell_warnings(&loaded.model.warnings);
        return Ok(ending);
    }
    let notes = told.best.as_ref().map(|best| &best.checked).or(told.drawn.as_ref()).map(Checked::notes);
    let answer = Told {
        of: "sizes",
        heading: "The lightest sizes",
        sentences: sentences(&told),
        results: vec![groups(&told)],
        overview: None,
        pictures: pictures(&loaded, &told),
    };
    answer.print(output);
    if let Some(best) = &told.best {
        let change = option(&told, best, &loaded.model, is_written);
        let after =
            loaded.option.as_ref().map_or(String::new(), |name| format!(", to be taken after \"{}\"", visible(name)));
        output.print(&format!("\nAs an entry of \"options\"{after}:\n\"sized\": {change}\n"));
    }
    let about = loaded.about(notes.as_deref().unwrap_or(&loaded.model.warnings));
    answer.put(&loaded, about, (options.out.as_deref(), "size"), output)?;
    super::output::complain(&format!("searched in {:.1} s", spent.as_secs_f64()));
    tell_warnings(&loaded.model.warnings);
    Ok(ending)
}

/// By how much more stiffness each point of the curve is asked for than the one before.
const STEP: f64 = 0.05;

/// Mass against twist stiffness.
fn against(
    options: &SizeOptions,
    loaded: &Loaded,
    gathered: Option<Vec<KeptFile>>,
    output: &mut Output,
) -> Result<Ending, Trouble> {
    if options.certificate.is_some() {
        // Of a curve that was asked for here it is refused before; of one that is gathered only now.
        return Err(Trouble("error: a curve has no certificate\nhint: gather it without --certificate".to_owned()));
    }
    let work = Work::begin(&options.work, gathered, "size", loaded, options.asked())?;
    let curve = searched(&WORDS, |watch| against_twist(&loaded.model, STEP, options.boxes, watch, &work));
    let Some(curve) = curve.map_err(|faults| loaded.faults(&faults))? else { return work.ending() };
    let ending = ending(if curve.points.is_empty() { Ending::LimitExceeded } else { Ending::Good });
    if options.json {
        output.print(&format!("{}\n", trade_json(&curve, STEP, &loaded.about(&[]))));
        tell_warnings(&loaded.model.warnings);
        return Ok(ending);
    }
    let date = loaded.model.date.as_deref().unwrap_or_default();
    let overview = (curve.points.len() > 1).then(|| {
        let limit = loaded.model.limits.twist_nm_deg;
        let figure = TradeFigure {
            mass_of: "the frame",
            name: "Twist stiffness".to_owned(),
            unit: "N·m/deg".to_owned(),
            more_is_better: true,
            limit,
        };
        let svg = trade_off(title_of(loaded), &trade_points(&curve), &[], &figure, date);
        Picture { title: "Mass against twist stiffness".to_owned(), svg }
    });
    let answer = Told {
        of: "sizes against twist stiffness",
        heading: "The lightest design for each twist stiffness",
        sentences: trade_sentences(&curve, STEP),
        results: if curve.points.is_empty() { Vec::new() } else { vec![trade_table(&curve)] },
        overview,
        pictures: Vec::new(),
    };
    answer.print(output);
    let about = loaded.about(&loaded.model.warnings);
    answer.put(loaded, about, (options.out.as_deref(), "size-against-twist"), output)?;
    tell_warnings(&loaded.model.warnings);
    Ok(ending)
}

/// Writes the proof to a new file.
fn write_certificate(file: &Path, text: &str, output: &mut Output) -> Result<(), Trouble> {
    output.file(|| {
        new_file::write(file, text).map_err(|error| not_written(file, &error))?;
        let written = file.to_path_buf();
        Ok(move || {
            let _ = std::fs::remove_file(written);
        })
    })
}

fn not_written(file: &Path, error: &std::io::Error) -> Trouble {
    if error.kind() == ErrorKind::AlreadyExists {
        return Trouble(format!("error: {} is there already\nhint: name a new file", super::shown(file)));
    }
    let hint = super::write_hint(error, "name another file");
    Trouble(format!("error: cannot write {}: {error}\nhint: {hint}", super::shown(file)))
}

/// The frame as drawn beside the sized one.
fn pictures(loaded: &Loaded, told: &Sizing) -> Vec<Picture> {
    let mut frames: Vec<Shown<'_>> = Vec::new();
    frames.extend(told.drawn.as_ref().map(|drawn| Shown::of("as drawn".to_owned(), &loaded.report(drawn, &[]))));
    frames.extend(told.best.as_ref().map(|best| {
        let report = Report { model: &best.model, ..loaded.report(&best.checked, &[]) };
        Shown::of("sized".to_owned(), &report)
    }));
    pictures_of(side_by_side(title_of(loaded), &frames, loaded.model.date.as_deref().unwrap_or_default()))
}
