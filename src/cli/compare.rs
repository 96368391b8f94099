//! `crossbrace compare`: the frame as drawn and every option, side by side.

use std::rc::Rc;

use super::args::{CompareOptions, GatherOptions};
use super::input::{Input, Loaded, known};
use super::output::{Output, tell_warnings};
use super::pending;
use super::progress::Progress;
use super::searching::{Words, ending, searched};
use super::study::{Told, pictures_of, title_of};
use super::work::{KeptFile, Work, WorkOptions};
use super::{Ending, Trouble};
use crate::model::Model;
use crate::report::comparison as tables;
use crate::report::page::Picture;
use crate::report::plot::{Shown, TradeFigure, TradePoint, side_by_side, trade_off};
use crate::run::{Prepared, Response};
use crate::source::{Node, contradiction, visible};
use crate::studies::Variant;
use crate::studies::divided::Hands;
use crate::studies::frames::{Compared, Frames, moving};

const WORDS: Words =
    Words { before: "solving the frames", counted: "frames", after: "drawing", ended: "those that are done" };

/// What the frame of the file itself is called.
const AS_DRAWN: &str = "as drawn";
/// Most frames that are put side by side: each is checked whole and drawn.
const MOST_COMBINATIONS: usize = 256;

impl CompareOptions {
    /// The options that change the answer, as they may be given again.
    pub(crate) fn asked(&self) -> Vec<String> {
        let mut asked: Vec<String> = self.options.iter().map(|name| format!("--option={name}")).collect();
        asked.extend(self.cases.iter().map(|name| format!("--case={name}")));
        asked.extend(self.combine.then(|| "--combine".to_owned()));
        asked
    }

    /// The same with what is asked of a gathering alone.
    pub(crate) fn gathered(self, options: &GatherOptions) -> Self {
        Self { out: options.out.clone(), work: WorkOptions::default(), ..self }
    }
}

/// Runs the command. It answers which is better, not whether one is good enough: it ends well.
pub(crate) fn run(options: &CompareOptions, output: &mut Output) -> Result<Ending, Trouble> {
    run_with(options, None, output)
}

/// The same; `gathered`: files that hold all answers already.
pub(crate) fn run_with(
    options: &CompareOptions,
    gathered: Option<Vec<KeptFile>>,
    output: &mut Output,
) -> Result<Ending, Trouble> {
    // Read once: a pipe gives its text only once, and a file may change meanwhile.
    let input = Rc::new(Input::read(&options.model)?);
    let base = Loaded::of(&input, &[], &options.cases)?;
    let names: Vec<String> = match options.options.as_slice() {
        [] => base.option_names(),
        // One that is named twice stands there once.
        wanted => wanted
            .iter()
            .enumerate()
            .filter(|(at, name)| !wanted[..*at].contains(name))
            .map(|(_, name)| name.clone())
            .collect(),
    };
    if names.is_empty() {
        return Err(Trouble(format!(
            "error: {} has no \"options\" to compare\nhint: such as \"options\": {{\"thinner rails\": {{\"change\": {{\"tubes\": {{…}}}}}}}}; crossbrace schema has every key, and\n  models/FORMAT.md of the project explains them",
            visible(&base.input.name)
        )));
    }
    let mut frames = vec![(AS_DRAWN.to_owned(), base)];
    let (mut left_out, mut combined) = (Vec::new(), Vec::new());
    if options.combine {
        for set in combinations(&input, &names)? {
            let name = set.join(" + ");
            combined.extend((set.len() > 1).then_some(frames.len()));
            match Loaded::of(&input, &set, &options.cases) {
                Ok(loaded) => frames.push((name, loaded)),
                Err(trouble) if set.len() == 1 => return Err(trouble),
                Err(_) => left_out.push(format!("left out: {name}, which together make no valid model")),
            }
        }
    } else {
        for name in &names {
            frames.push((name.clone(), Loaded::of(&input, std::slice::from_ref(name), &options.cases)?));
        }
    }
    for name in &options.cases {
        // An option may bring a case of its own.
        known("case", name, frames.iter().flat_map(|(_, loaded)| loaded.model.cases.keys()).map(String::as_str))?;
    }
    let work = Work::begin(&options.work, gathered, "compare", &frames[0].1, options.asked())?;
    let answers = searched(&WORDS, |watch| {
        let named = frames.iter().map(|(name, loaded)| (name.as_str(), &loaded.model)).collect();
        Ok::<_, Trouble>(work.answers(&Frames { frames: named, cases: &options.cases, watch }))
    })?;
    let Some(answers) = answers else { return work.ending() };
    let mut stand: Vec<(&Loaded, Compared)> = Vec::with_capacity(frames.len());
    for (at, ((name, loaded), answer)) in frames.iter().zip(answers).enumerate() {
        match answer {
            Some(compared) if compared.variant.is_some() => stand.push((loaded, compared)),
            Some(_) if combined.contains(&at) => {
                left_out.push(format!("left out: {name}, which together cannot be solved"));
            }
            Some(failed) => return Err(why(name, loaded, &failed)),
            // Without the first there is nothing to hold the others against.
            None if at == 0 => pending::end_interrupted(),
            None => left_out.push(format!("left out: {name}, which was not solved before Ctrl-C")),
        }
    }
    let mut progress = Progress::new();
    progress.at("drawing");
    let variants: Vec<Variant> = stand.iter().filter_map(|(_, compared)| compared.variant.clone()).collect();
    let mut sentences = tables::sentences(&variants);
    if options.combine && combined.is_empty() {
        sentences.push("no two of these options can be combined: they change the same things otherwise".to_owned());
    }
    sentences.extend(left_out);
    let mut results = vec![tables::verdicts(&variants), tables::stiffness(&variants), tables::making(&variants)];
    results.extend(tables::gains(&variants));

    let (base, of_base) = &stand[0];
    let date = base.model.date.as_deref().unwrap_or_default();
    let moving: Vec<(Prepared, Response)> = stand
        .iter()
        .map(|(loaded, _)| moving(&loaded.model, &options.cases).map_err(|faults| loaded.faults(&faults)))
        .collect::<Result<_, _>>()?;
    let shown = stand.iter().zip(&variants).zip(&moving).map(|(((loaded, compared), variant), moving)| Shown {
        name: variant.name.clone(),
        model: &loaded.model,
        prepared: &moving.0,
        response: &moving.1,
        cases: compared.cases.clone(),
        mass_kg: variant.mass_kg,
    });
    let shown: Vec<Shown<'_>> = shown.collect();
    let answer = Told {
        of: "options compared",
        heading: "The options side by side",
        sentences,
        results,
        overview: trade_picture(&base.model, &variants, date),
        pictures: pictures_of(side_by_side(title_of(base), &shown, date)),
    };
    answer.print(output);
    answer.put(base, base.about(&of_base.notes), (options.out.as_deref(), "compare"), output)?;
    drop(progress);
    tell_warnings(stand.iter().flat_map(|(_, compared)| &compared.warnings));
    Ok(ending(Ending::Good))
}

/// Why a frame cannot be solved, at its places in the file: an answer keeps no more than a few words of it.
fn why(name: &str, loaded: &Loaded, failed: &Compared) -> Trouble {
    let told = || Trouble(format!("error: {}: {}", visible(name), visible(&failed.fails)));
    loaded.check().err().unwrap_or_else(told)
}

/// Every set of some options of which no two contradict, small ones first, in the order of the file.
fn combinations(input: &Input, names: &[String]) -> Result<Vec<Vec<String>>, Trouble> {
    let options = input.document.root.get("options");
    let changes: Vec<Option<&Node>> =
        names.iter().map(|name| options.and_then(|options| options.get(name))?.get("change")).collect();
    let contradict = |one: usize, other: usize| match (changes[one], changes[other]) {
        (Some(one), Some(other)) => contradiction(one, other).is_some(),
        _ => false,
    };
    let mut all: Vec<Vec<usize>> = Vec::new();
    let mut last: Vec<Vec<usize>> = vec![Vec::new()];
    while !last.is_empty() {
        let next_of = |set: &Vec<usize>| {
            let from = set.last().map_or(0, |last| last + 1);
            let fits = |next: &usize| set.iter().all(|member| !contradict(*member, *next));
            (from..names.len()).filter(fits).map(|next| [set.as_slice(), &[next]].concat()).collect::<Vec<_>>()
        };
        last = last.iter().flat_map(next_of).collect();
        all.extend(last.iter().cloned());
        if all.len() > MOST_COMBINATIONS {
            return Err(Trouble(format!(
                "error: the {} options make more than {MOST_COMBINATIONS} combinations\nhint: name some of them with --option",
                names.len()
            )));
        }
    }
    Ok(all.into_iter().map(|set| set.into_iter().map(|at| names[at].clone()).collect()).collect())
}

/// Mass against stiffness: twist where every frame has it, else the largest pick-up movement; none
/// where fewer than two frames have a figure to be held against each other.
fn trade_picture(model: &Model, variants: &[Variant], date: &str) -> Option<Picture> {
    let by_twist = variants.iter().all(|variant| variant.twist_nm_deg.is_some());
    let (mut points, mut without) = (Vec::new(), Vec::new());
    for variant in variants {
        let figure = if by_twist { &variant.twist_nm_deg } else { &variant.pickup_move_mm };
        match figure {
            Some(figure) => {
                points.push(TradePoint { name: variant.name.clone(), mass_kg: variant.mass_kg, value: figure.value });
            }
            None => without.push(variant.name.clone()),
        }
    }
    if points.len() < 2 {
        return None;
    }
    let figure = if by_twist {
        TradeFigure {
            mass_of: "all tubes",
            name: "Twist stiffness".to_owned(),
            unit: "N·m/deg".to_owned(),
            more_is_better: true,
            limit: model.limits.twist_nm_deg,
        }
    } else {
        TradeFigure {
            mass_of: "all tubes",
            name: "Largest pick-up movement".to_owned(),
            unit: "mm".to_owned(),
            more_is_better: false,
            limit: model.limits.pickup_move_mm,
        }
    };
    let title = format!("Mass against {}", figure.name.to_lowercase());
    let of = model.title.as_deref().unwrap_or("the frame and its options");
    let svg = trade_off(of, &points, &without, &figure, date);
    Some(Picture { title, svg })
}
