//! `crossbrace why`: what each thing that acts adds to a stress, a movement or a wheel's angle.

use super::args::WhyOptions;
use super::folder::{Files, WayOut, file_name};
use super::input::{Loaded, known};
use super::output::{Output, tell_warnings, width};
use super::{Ending, Trouble};
use crate::math::largest;
use crate::model::Wheel;
use crate::report::plot::why_bars;
use crate::report::text;
use crate::report::why::Explained;
use crate::run::CaseResponse;
use crate::structure::{Structure, TubeName};
use crate::studies::{Question, Reasons};

/// Runs the command. What is told is sound as in a check; nothing is judged.
pub(crate) fn run(options: &WhyOptions, output: &mut Output) -> Result<Ending, Trouble> {
    let loaded = Loaded::read_with(&options.of, options.case.as_slice())?;
    let checked = loaded.check_beside_standing()?;
    let (model, prepared, response) = (&loaded.model, &checked.prepared, &checked.response);
    let questions = questions(options, &loaded, &prepared.system.structure)?;
    let reasons = Reasons::new(model, prepared, response).map_err(|faults| loaded.faults(&faults))?;
    let mut answers = Vec::new();
    for question in questions {
        let asked = |case: &&CaseResponse| options.case.as_deref().is_none_or(|name| name == case.name);
        let mut of_cases = Vec::new();
        for case in response.cases.iter().filter(asked) {
            let answer = reasons.why(case, question).map_err(|faults| loaded.faults(&faults))?;
            of_cases.push((case.name.as_str(), answer));
        }
        let worst = largest(of_cases, |(_, answer)| answer.total.abs());
        let (case, answer) = worst.expect("a model has a case, and the case that is asked for is there");
        answers.push(Explained::new(
            (model, &prepared.system.structure),
            loaded.option.as_deref(),
            case,
            question,
            &answer,
        ));
    }
    if options.json {
        let all: Vec<_> = answers.iter().map(Explained::json).collect();
        output.print(&format!("{}\n", serde_json::Value::from(all)));
        tell_warnings(&checked.warnings);
        return Ok(Ending::Good);
    }
    let date = model.date.as_deref().unwrap_or_default();
    let title = model.title.as_deref().unwrap_or(&loaded.input.name);
    let files: Files = answers
        .iter()
        .enumerate()
        .map(|(at, answer)| {
            let name = format!("{} of {} in {}", answer.figure, answer.place, answer.case);
            let sheet = (at + 1, answers.len());
            (file_name(at + 1, &name, "svg"), why_bars(title, answer, sheet, date).into_bytes())
        })
        .collect();
    let out = loaded.out(options.out.as_deref(), Some("why"))?;
    let texts: Vec<String> = answers.iter().map(|answer| answer.text(width())).collect();
    output.print(&texts.join("\n"));
    if options.asked.tube.is_some() {
        let notes = checked.notes();
        let report = loaded.report(&checked, &notes);
        for answer in &answers {
            output.print(&text::by_hand(&report, &answer.case, &answer.place, width()));
        }
    }
    output.print(&format!("\n{}\n", super::files_written(&out, files.len())));
    output.files(vec![(out, files, WayOut::OUT)], loaded.input.file())?;
    tell_warnings(&checked.warnings);
    Ok(Ending::Good)
}

/// What was asked, by name.
fn questions(options: &WhyOptions, loaded: &Loaded, structure: &Structure) -> Result<Vec<Question>, Trouble> {
    let model = &loaded.model;
    if let Some(name) = &options.asked.tube {
        let names: Vec<(usize, String)> = (0..structure.tubes.len())
            .filter(|tube| !matches!(structure.tubes[*tube].name, TubeName::Spring(_)))
            .map(|tube| (tube, structure.tube_name(model, tube)))
            .collect();
        known("tube", name, names.iter().map(|(_, name)| name.as_str()))?;
        return Ok(names.iter().filter(|(_, known)| known == name).map(|(tube, _)| Question::Stress(*tube)).collect());
    }
    if let Some(name) = &options.asked.pickup {
        let names = model.nodes.keys().chain(model.brackets.keys());
        known("node or bracket", name, names.map(String::as_str))?;
        let found = model.anchors().filter(|anchor| model.anchor_name(*anchor) == name);
        return Ok(found.map(Question::Movement).collect());
    }
    let name = options.asked.wheel.as_deref().unwrap_or_default();
    known("modelled wheel", name, model.corners.iter().map(|corner| corner.wheel.name()))?;
    let corner = Wheel::named(name).and_then(|wheel| model.corner_index(wheel));
    Ok(corner.into_iter().flat_map(|corner| [Question::Toe(corner), Question::Camber(corner)]).collect())
}
