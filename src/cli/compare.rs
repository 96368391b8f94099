//! `crossbrace compare`: the frame as drawn and every option, side by side.

use std::rc::Rc;

use super::args::CompareOptions;
use super::folder::{Files, WayOut, file_name};
use super::input::{Input, Loaded, known};
use super::output::{Output, tell_warnings, width};
use super::progress::Progress;
use super::{Ending, Trouble};
use crate::model::Model;
use crate::report::page::{Picture, comparison};
use crate::report::plot::{TradeFigure, TradePoint, side_by_side, trade_off};
use crate::report::{Report, comparison as tables, text};
use crate::run::Checked;
use crate::source::{Node, contradiction, visible};
use crate::studies::Variant;

/// What the frame of the file itself is called.
const AS_DRAWN: &str = "as drawn";
/// Most frames that are put side by side: each is checked whole and drawn.
const MOST_COMBINATIONS: usize = 256;

/// Runs the command. It answers which is better, not whether one is good enough: it ends well.
pub(crate) fn run(options: &CompareOptions, output: &mut Output) -> Result<Ending, Trouble> {
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
    let mut progress = Progress::new();
    let mut checked: Vec<Checked> = Vec::with_capacity(frames.len());
    let mut stands: Vec<(String, Loaded)> = Vec::with_capacity(frames.len());
    for (at, (name, loaded)) in frames.into_iter().enumerate() {
        progress.at(&format!("solving \"{}\"", visible(&name)));
        match loaded.check() {
            Ok(result) => {
                checked.push(result);
                stands.push((name, loaded));
            }
            Err(_) if combined.contains(&at) => {
                left_out.push(format!("left out: {name}, which together cannot be solved"));
            }
            Err(trouble) => return Err(trouble),
        }
    }
    let frames = stands;
    progress.at("drawing");
    let notes: Vec<Vec<String>> = checked.iter().map(Checked::notes).collect();
    let reports: Vec<(String, Report<'_>)> = frames
        .iter()
        .zip(&checked)
        .zip(&notes)
        .map(|(((name, loaded), checked), notes)| (name.clone(), loaded.report(checked, notes)))
        .collect();
    let variants: Vec<Variant> =
        frames.iter().zip(&checked).map(|((name, _), checked)| Variant::of(name, checked)).collect();
    let mut sentences = tables::sentences(&variants);
    if options.combine && combined.is_empty() {
        sentences.push("no two of these options can be combined: they change the same things otherwise".to_owned());
    }
    sentences.extend(left_out);
    let mut results = vec![tables::verdicts(&variants), tables::stiffness(&variants), tables::making(&variants)];
    results.extend(tables::gains(&variants));

    let base = &frames[0].1;
    let date = base.model.date.as_deref().unwrap_or_default();
    let shown: Vec<(String, &Report<'_>)> = reports.iter().map(|(name, report)| (name.clone(), report)).collect();
    let mut pictures: Vec<Picture> = trade_picture(&base.model, &variants, date).into_iter().collect();
    // The sheets of the cases count from 1, whether there is one of all frames before them or not.
    let first = usize::from(pictures.is_empty());
    pictures.extend(side_by_side(&shown, date).into_iter().map(|(name, svg)| Picture { title: name, svg }));
    let mut files: Files = pictures
        .iter()
        .enumerate()
        .map(|(at, picture)| (file_name(first + at, &picture.title, "svg"), picture.svg.clone().into_bytes()))
        .collect();
    let title = format!("{}: options compared", base.model.title.as_deref().unwrap_or(&base.input.name));
    let page = comparison(&title, &reports[0].1, &results, &sentences, &pictures, date);
    files.insert("report.html".to_owned(), page.into_bytes());
    let out = base.out(options.out.as_deref(), Some("compare"))?;
    let count = files.len();
    output.files(vec![(out.clone(), files, WayOut::OUT)], input.file())?;
    drop(progress);

    for sentence in &sentences {
        output.print(&format!("{}\n", text::wrapped(&visible(sentence), width(), "  ")));
    }
    for result in &results {
        output.print(&format!("\n{}", text::table(result, width())));
    }
    output.print(&super::caution_and_files(&out, count));
    tell_warnings(checked.iter().flat_map(|checked| &checked.warnings));
    Ok(Ending::Good)
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
            name: "Twist stiffness".to_owned(),
            unit: "N·m/deg".to_owned(),
            more_is_better: true,
            limit: model.limits.twist_nm_deg,
        }
    } else {
        TradeFigure {
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
