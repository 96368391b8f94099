//! `crossbrace triangulate`: the braces that pay, and the tubes that do nothing.

use std::time::Instant;

use super::args::{GatherOptions, TriangulateOptions};
use super::input::Loaded;
use super::output::{Output, tell_warnings};
use super::searching::{Words, searched};
use super::study::{Told, pictures_of, title_of};
use super::work::{KeptFile, Work, WorkOptions};
use super::{Ending, Trouble};
use crate::report::Report;
use crate::report::page::Picture;
use crate::report::plot::{Shown, TradeFigure, TradePoint, side_by_side, trade_off};
use crate::report::triangulation::{design_name, designs, gains, json, named, option, option_without_idle, sentences};
use crate::studies::triangulate::{Aim, Design, MOST_SETS, Triangulation, triangulate};

const WORDS: Words = Words {
    before: "looking at the braces",
    counted: "designs",
    after: "solving the best from scratch",
    ended: "the best so far",
};

impl TriangulateOptions {
    /// The options that change the answer, as they may be given again.
    pub(crate) fn asked(&self) -> Vec<String> {
        let mut asked = self.of.asked();
        asked.push(format!("--for={}", self.aim));
        asked.extend(self.at_most.map(|most| format!("--at-most={most}")));
        asked
    }

    /// The same with what is asked of a gathering alone.
    pub(crate) fn gathered(self, options: &GatherOptions) -> Self {
        Self { json: options.json, out: options.out.clone(), work: WorkOptions::default(), ..self }
    }
}

/// Runs the command. It answers which is best, not whether it is good enough: it ends well.
pub(crate) fn run(options: &TriangulateOptions, output: &mut Output) -> Result<Ending, Trouble> {
    run_with(options, None, output)
}

/// The same; `gathered`: files that hold all answers already.
pub(crate) fn run_with(
    options: &TriangulateOptions,
    gathered: Option<Vec<KeptFile>>,
    output: &mut Output,
) -> Result<Ending, Trouble> {
    let mut loaded = Loaded::read_changed(&options.of)?;
    if let (Some(most), Some(bracing)) = (options.at_most, &mut loaded.model.bracing) {
        bracing.at_most = Some(most);
    }
    let aim =
        Aim::ALL.into_iter().find(|aim| aim.name() == options.aim).expect("only names of figures are let through");
    let begun = Instant::now();
    let work = Work::begin(&options.work, gathered, "triangulate", &loaded, options.asked())?;
    let told =
        searched(&WORDS, |watch| triangulate(&loaded.model, Some(&loaded.written), aim, MOST_SETS, watch, &work));
    let Some(told) = told.map_err(|faults| loaded.faults(&faults))? else { return work.ending() };
    let spent = begun.elapsed();
    // A search that was through when Ctrl-C came has told all.
    let ending = if told.ended_early { Ending::EndedEarly } else { Ending::Good };
    if options.json {
        output.print(&format!("{}\n", json(&told, &loaded.about(&[]))));
        tell_warnings(&loaded.model.warnings);
        return Ok(ending);
    }
    let date = loaded.model.date.as_deref().unwrap_or_default();
    let mut results = vec![designs(&told, loaded.option.as_deref())];
    results.extend(gains(&told));
    let notes: Vec<Vec<String>> = told.designs.iter().map(|design| design.checked.notes()).collect();
    let shown = |at: usize, name: String| Shown::of(name, &report(&loaded, &told.designs[at], &notes[at]));
    let mut frames = vec![shown(0, design_name(&told.designs[0], loaded.option.as_deref()))];
    if told.proposed > 0 {
        let name = format!("proposed, {}", design_name(&told.designs[told.proposed], None));
        frames.push(shown(told.proposed, name));
    }
    let answer = Told {
        of: "braces that pay",
        heading: "The braces that pay",
        sentences: sentences(&told),
        results,
        overview: trade_picture(&loaded, &told, date),
        pictures: pictures_of(side_by_side(title_of(&loaded), &frames, date)),
    };
    answer.print(output);
    if !told.designs[told.proposed].set.is_empty() {
        let change = option(&told, &told.designs[told.proposed], &loaded.model);
        output.print(&format!("\nAs an entry of \"options\":\n\"proposed\": {change}\n"));
    }
    if let Some(idle) = &told.idle {
        let change = option_without_idle(&told, idle, &loaded.model);
        output.print(&format!("\nThe same without the tubes that do nothing:\n\"without idle tubes\": {change}\n"));
    }
    let below = format!("triangulate-{}", aim.name());
    answer.put(&loaded, loaded.about(&notes[0]), (options.out.as_deref(), &below), output)?;
    tell_rate(told.tried, spent);
    tell_warnings(&loaded.model.warnings);
    Ok(ending)
}

fn tell_rate(tried: u64, spent: std::time::Duration) {
    super::output::complain(&format!(
        "{tried} designs tried and the best solved from scratch in {:.1} s",
        spent.as_secs_f64()
    ));
}

fn report<'r>(loaded: &'r Loaded, design: &'r Design, notes: &'r [String]) -> Report<'r> {
    Report { model: &design.model, ..loaded.report(&design.checked, notes) }
}

/// Mass against the figure, a point for the best of each number of braces.
fn trade_picture(loaded: &Loaded, told: &Triangulation, date: &str) -> Option<Picture> {
    let points: Vec<TradePoint> = told
        .designs
        .iter()
        .map(|design| TradePoint {
            name: design_name(design, loaded.option.as_deref()),
            mass_kg: design.checked.outcome.mass.frame_kg + design.checked.outcome.mass.arms_kg,
            value: design.checked_figure,
        })
        .collect();
    if points.len() < 2 {
        return None;
    }
    let (name, unit) = named(told.aim);
    let limits = &loaded.model.limits;
    let limit = match told.aim {
        Aim::Twist => limits.twist_nm_deg,
        Aim::PickupMove => limits.pickup_move_mm,
        Aim::Toe => limits.toe_deg,
        Aim::Camber => limits.camber_deg,
        Aim::Yield => Some(1.0),
    };
    let mut capital = name.to_owned();
    capital.replace_range(..1, &name[..1].to_uppercase());
    let figure = TradeFigure {
        mass_of: "all tubes",
        name: capital,
        unit: unit.to_owned(),
        more_is_better: told.aim.more_is_better(),
        limit,
    };
    let title = format!("Mass against {name}");
    let of = loaded.model.title.as_deref().unwrap_or("the best of each number of braces");
    Some(Picture { title, svg: trade_off(of, &points, &[], &figure, date) })
}
