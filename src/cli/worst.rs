//! `crossbrace worst`: the worst that tyre forces inside grip and load transfer can do.

use super::args::{GatherOptions, WorstOptions};
use super::input::Loaded;
use super::output::{Output, tell_warnings, width};
use super::progress::Progress;
use super::searching::{Words, ending, searched};
use super::study::{Told, pictures_of, title_of};
use super::work::{KeptFile, Work, WorkOptions};
use super::{Ending, Trouble};
use crate::math::Interval;
use crate::model::Model;
use crate::report::plot::{MapHead, Marked, manoeuvre_map};
use crate::report::worst::{self as told, WorstReport};
use crate::source::visible;
use crate::studies::worst::{Manoeuvres, Searched, Worst, map, with_grip, worst};
use crate::units::{Acceleration, Quantity, brief};

/// Most that a manoeuvre is looked for up to, g: ten times what tyres and wings give. Common practice, no source.
const MOST_G: f64 = 50.0;

const WORDS: Words = Words {
    before: "solving unit states",
    counted: "checks and places",
    after: "solving the manoeuvres found from scratch",
    ended: "what was searched so far",
};

impl WorstOptions {
    /// The options that change the answer, as they may be given again.
    pub(crate) fn asked(&self) -> Vec<String> {
        let mut asked = self.of.asked();
        let texts = [("grip", &self.grip), ("long", &self.long), ("lat", &self.lat), ("vert", &self.vert)];
        asked.extend(texts.into_iter().filter_map(|(flag, text)| Some(format!("--{flag}={}", text.as_ref()?))));
        asked
    }

    /// The same with what is asked of a gathering alone.
    pub(crate) fn gathered(self, options: &GatherOptions) -> Self {
        Self { json: options.json, out: options.out.clone(), work: WorkOptions::default(), ..self }
    }
}

/// Runs the command.
pub(crate) fn run(options: &WorstOptions, output: &mut Output) -> Result<Ending, Trouble> {
    run_with(options, None, output)
}

/// The same; `gathered`: files that hold all answers already.
pub(crate) fn run_with(
    options: &WorstOptions,
    gathered: Option<Vec<KeptFile>>,
    output: &mut Output,
) -> Result<Ending, Trouble> {
    let loaded = Loaded::read_changed(&options.of)?;
    let manoeuvres = manoeuvres(options, &loaded.model)?;
    let model = with_grip(&loaded.model, manoeuvres.grip);
    let work = Work::begin(&options.work, gathered, "worst", &loaded, options.asked())?;
    let found = searched(&WORDS, |watch| worst(&model, manoeuvres, &work, watch));
    let Some(found) = found.map_err(|faults| loaded.faults(&faults))? else { return work.ending() };
    let about = loaded.about(&loaded.model.warnings);
    let report = WorstReport { about, worst: &found };
    if options.json {
        output.print(&format!("{}\n", told::json(&report)));
    } else {
        output.print(&told::text(&report, width()));
        let mut progress = Progress::new();
        progress.at("drawing");
        let map = picture(&loaded, &model, &report)?;
        let page = Told {
            of: "the worst manoeuvres",
            heading: "The worst that the tyres can do",
            sentences: told::sentences(&report).into_iter().chain([told::assurance(&found)]).collect(),
            results: vec![told::table(&found)],
            overview: None,
            pictures: pictures_of(map.map(|svg| ("Worst manoeuvres".to_owned(), svg))),
        };
        page.put(&loaded, about, (options.out.as_deref(), "worst"), output)?;
    }
    tell_warnings(&loaded.model.warnings);
    Ok(ending(if found.holds() { Ending::Good } else { Ending::LimitExceeded }))
}

/// The map, where `long` and `lat` both have room in the bounds and something has a limit.
fn picture(loaded: &Loaded, model: &Model, report: &WorstReport<'_>) -> Result<Option<String>, Trouble> {
    let found: &Worst = report.worst;
    let flat = |range: Interval| range.low == range.high;
    let Some(first) = found.worst.first().filter(|first| first.limit.is_some()) else { return Ok(None) };
    if flat(found.manoeuvres.ranges[0]) || flat(found.manoeuvres.ranges[1]) {
        return Ok(None);
    }
    let searched = Searched::new(model, found.manoeuvres).map_err(|faults| loaded.faults(&faults))?;
    let map = map(&searched, &found.worst);
    let [long, lat, _] = first.at_g;
    let marked = Marked { name: format!("worst: {}", told::subject(first.check, &first.place)), at_g: [long, lat] };
    let cases: Vec<Marked> = loaded
        .model
        .cases
        .iter()
        .filter_map(|(name, case)| {
            let [long, lat, _] = case.g.filter(|_| !case.no_wheels)?;
            Some(Marked { name: name.clone(), at_g: [long, lat] })
        })
        .collect();
    let verdict = told::in_short(report.worst);
    let date = loaded.model.date.as_deref().unwrap_or_default();
    let head = MapHead { title: title_of(loaded), option: loaded.option.as_deref(), verdict: &verdict, date };
    Ok(Some(manoeuvre_map(&head, &map, &marked, &cases)))
}

/// Which manoeuvres are asked for.
fn manoeuvres(options: &WorstOptions, model: &Model) -> Result<Manoeuvres, Trouble> {
    if model.vehicle.is_none() {
        return Err(Trouble(
            "error: the file has no \"vehicle\": without the car's mass, wheelbase and centre of gravity there are no manoeuvres\nhint: give \"vehicle\" and \"corners\"; crossbrace new writes a model with both".to_owned(),
        ));
    }
    let of_file = model.vehicle.as_ref().and_then(|vehicle| vehicle.tyre_grip);
    let grip = match (&options.grip, of_file) {
        (Some(text), _) => grip(text)?,
        (None, Some(grip)) if grip > MOST_G => {
            return Err(Trouble(format!(
                "error: \"tyre_grip\" of the file is {}, more than any tyre gives; at most {MOST_G} is taken\nhint: mend it in \"vehicle\", or say another: --grip 1.3 (g)",
                brief(grip)
            )));
        }
        (None, Some(grip)) => grip,
        (None, None) => {
            return Err(Trouble(
                "error: \"vehicle\" gives no \"tyre_grip\", so that nothing bounds what the tyres do\nhint: say it: --grip 1.3 (g)".to_owned(),
            ));
        }
    };
    let range = |flag: &str, text: &Option<String>, otherwise: [f64; 2]| match text {
        Some(text) => range(flag, text),
        None => Ok(Interval::new(otherwise[0], otherwise[1])),
    };
    let vehicle = model.vehicle.as_ref();
    let brakes = vehicle.is_some_and(|vehicle| vehicle.brake_share_front.is_some());
    let drives = vehicle.is_some_and(|vehicle| vehicle.drive_share_front.is_some());
    let along = [if brakes { -grip } else { 0.0 }, if drives { grip } else { 0.0 }];
    let ranges = [
        range("--long", &options.long, along)?,
        range("--lat", &options.lat, [-grip, grip])?,
        range("--vert", &options.vert, [1.0, 1.0])?,
    ];
    Ok(Manoeuvres { grip, ranges })
}

/// The grip: a number, or one with a unit of acceleration.
fn grip(text: &str) -> Result<f64, Trouble> {
    let grip = acceleration("--grip", text)?;
    if grip > 0.0 { Ok(grip) } else { Err(Trouble(format!("error: --grip is {}; it must be above 0", brief(grip)))) }
}

/// `-1.2..0.6`, `-1.2 g..0.6 g`, or one number.
fn range(flag: &str, text: &str) -> Result<Interval, Trouble> {
    let (low, high) = match text.split_once("..") {
        Some((low, high)) => (acceleration(flag, low)?, acceleration(flag, high)?),
        None => {
            let only = acceleration(flag, text)?;
            (only, only)
        }
    };
    if low > high {
        return Err(Trouble(format!(
            "error: {flag} goes from {} to {}, which is backwards\nhint: write the least first: {flag}={}..{}",
            brief(low),
            brief(high),
            brief(high),
            brief(low)
        )));
    }
    Ok(Interval::new(low, high))
}

fn acceleration(flag: &str, text: &str) -> Result<f64, Trouble> {
    let text = text.trim();
    let plain = text.parse::<f64>().ok().filter(|value| value.is_finite());
    let given = plain.map_or_else(
        || {
            Acceleration::KIND.parse(text).map_err(|message| {
                Trouble(format!(
                    "error: {flag}: {}\nhint: a number in g, such as {flag}=1.3, a text with its unit, \"12 m/s2\", or a range, {flag}=0.8..1.4",
                    visible(&message)
                ))
            })
        },
        Ok,
    )?;
    if given.abs() > MOST_G {
        return Err(Trouble(format!(
            "error: {flag}: {} g is more than any car does; at most {MOST_G} g is taken",
            brief(given)
        )));
    }
    Ok(given)
}
