//! Which tubes of a frame do nothing for a figure.

use super::Design;
use super::question::{Aim, Question, is_member};
use crate::checks::Finding;
use crate::model::{Model, other_side};
use crate::run::{Checked, check, prepare};
use crate::solve::{Base, Change};
use crate::structure::Purpose;

/// Taken together, idle tubes change the figure by no more than this part of it.
const IDLE: f64 = 0.01;

/// Tubes that can be taken out.
pub struct Idle {
    /// Their names; of mirror twins both.
    pub tubes: Vec<String>,
    /// What they weigh, kg.
    pub mass_kg: f64,
    /// The figure without them, of the whole check.
    pub figure: f64,
    /// By what part of it the figure grows (below 0: falls) without them.
    pub change: f64,
    /// All that came of the frame without them.
    pub checked: Checked,
}

/// The tubes of a design without which its figure is worse by one part in a hundred at most, and nothing that holds
/// fails; the idlest first. `None`: every tube does something.
pub(super) fn idle(aim: Aim, design: &Design) -> Option<Idle> {
    let model = &design.model;
    let prepared = prepare(model, Purpose::Statics).ok()?;
    let (system, structure) = (&prepared.system, &prepared.system.structure);
    let question =
        Question::new(model, system, aim, |_| None, |tube| (structure.tubes[tube].welds_mm.clone(), Vec::new()));
    let question = question.ok()?;
    let base = Base::new(system, &[], &question.sides).ok()?;
    let figure_without = |tubes: &[usize]| {
        let gone = |tube: &usize| Change { tube: *tube, to: None, loads_n_mm: Vec::new() };
        let changes: Vec<Change> = tubes.iter().map(gone).collect();
        question.figure(&base.with(&changes).ok()?, &[])
    };
    let whole = figure_without(&[])?;
    let loss = |figure: f64| if aim.more_is_better() { (whole - figure) / whole } else { (figure - whole) / whole };
    let mut choices: Vec<(f64, Vec<usize>, Vec<usize>)> = Vec::new();
    for (at, name) in model.members.keys().enumerate() {
        let twin = other_side(name);
        // Of twins the first stands for both; braces of the design are no old tubes.
        let first = model.members.get_index_of(&twin).is_none_or(|other| at <= other);
        let is_new = at >= model.members.len() - design.n_members;
        if !first || is_new {
            continue;
        }
        let names = if twin == *name || !model.members.contains_key(&twin) {
            vec![name.clone()]
        } else {
            vec![name.clone(), twin]
        };
        let members: Vec<usize> = names.iter().filter_map(|name| model.members.get_index_of(name)).collect();
        let is_own = |tube: &usize| names.iter().any(|name| is_member(model, structure, *tube, name));
        let tubes: Vec<usize> = (0..structure.tubes.len()).filter(is_own).collect();
        if model.without_members(&members).is_none() {
            continue;
        }
        if let Some(figure) = figure_without(&tubes) {
            choices.push((loss(figure), members, tubes));
        }
    }
    choices.sort_by(|one, other| one.0.total_cmp(&other.0));
    let (mut members, mut tubes): (Vec<usize>, Vec<usize>) = (Vec::new(), Vec::new());
    let mut found: Option<(Checked, f64)> = None;
    for (alone, of_choice, own) in choices {
        if alone > IDLE {
            break;
        }
        let next: Vec<usize> = tubes.iter().chain(&own).copied().collect();
        if figure_without(&next).is_none_or(|figure| loss(figure) > IDLE) {
            continue;
        }
        let next_members: Vec<usize> = members.iter().chain(&of_choice).copied().collect();
        let Some(checked) = checked_without(model, &next_members) else { continue };
        let Some(figure) = aim.of_checked(&checked) else { continue };
        if is_no_worse(&design.checked, &checked) && loss(figure) <= IDLE {
            (members, tubes, found) = (next_members, next, Some((checked, figure)));
        }
    }
    let (checked, figure) = found?;
    let name = |at: &usize| model.members.get_index(*at).map(|(name, _)| name.clone());
    Some(Idle {
        tubes: members.iter().filter_map(name).collect(),
        mass_kg: design.checked.outcome.mass.frame_kg - checked.outcome.mass.frame_kg,
        figure,
        change: (figure - design.checked_figure) / design.checked_figure,
        checked,
    })
}

fn checked_without(model: &Model, members: &[usize]) -> Option<Checked> {
    check(&model.without_members(members)?, |_| true).ok()
}

/// Whether what held still holds, and nothing that failed is worse by more than one part in a hundred.
fn is_no_worse(before: &Checked, after: &Checked) -> bool {
    let failed = before.verdict.failing();
    after.verdict.failing().iter().all(|now| {
        let same = |then: &&Finding| {
            (then.check, &then.case, &then.position, &then.place) == (now.check, &now.case, &now.position, &now.place)
        };
        failed.iter().copied().find(same).is_some_and(|then| now.utilisation <= (1.0 + IDLE) * then.utilisation)
    })
}
