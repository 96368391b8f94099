//! Which braces pay: every set of some candidates, and the tubes that do nothing.
//!
//! Reads a model with `bracing` and a figure that counts ([`Aim`]). Gives the best set of each number of braces, what
//! each brace of it buys, and which tubes can be taken out; every design that it gives has been solved again from
//! scratch, and says how far that was from what the search had.

mod beginnings;
mod bounded;
mod candidates;
mod idle;
mod question;
mod search;

use crate::checks::Finding;
use crate::model::{BraceChoice, Bracing, Fault, Model, Written};
use crate::path;
use crate::run::{Checked, check, prepare};
use crate::solve::{Graded, Readouts, Subsets};
use crate::source::Document;
use crate::structure::{Purpose, Structure, build};
use crate::studies::Watch;
use crate::studies::divided::Hands;

pub use candidates::{Candidate, Candidates, LeftOut, candidates};
pub use idle::Idle;
pub use question::Aim;
pub use search::MOST_SETS;

use bounded::Bounds;
use question::{Question, is_member};
use search::{Best, Search};

/// A design: a set of braces, checked whole.
pub struct Design {
    /// The braces, indices into [`Candidates::all`].
    pub set: Vec<usize>,
    /// The figure of the search.
    pub figure: f64,
    /// The same of the whole check, over which it is shown.
    pub checked_figure: f64,
    /// What the braces weigh, kg.
    pub added_kg: f64,
    /// By how much the figure would be worse without each brace of the set, the others left, and that for each of its
    /// kilograms; `None`: the frame would not stand.
    pub gains: Vec<Option<(f64, f64)>>,
    /// The model with these braces, its last members.
    pub model: Model,
    /// How many tubes the braces are.
    pub n_members: usize,
    /// All that came of it.
    pub checked: Checked,
}

/// What came of a search.
pub struct Triangulation {
    /// What was asked for.
    pub aim: Aim,
    /// What there was to choose from.
    pub candidates: Candidates,
    /// The best design of each number of braces that was found, from none on.
    pub designs: Vec<Design>,
    /// How many designs were tried.
    pub tried: u64,
    /// Designs of up to so many braces were all tried; of more, by exchange.
    pub every_up_to: usize,
    /// The larger numbers of braces of which bounds show that no design is better.
    pub by_bounds: Vec<usize>,
    /// Groups of designs that were looked at for that.
    pub groups: u64,
    /// Most braces that a design may have.
    pub at_most: usize,
    /// Whether somebody ended the search before it was through.
    pub ended_early: bool,
    /// Whether the car has adjusters: the search is of the car as drawn, the verdicts are of every position.
    pub has_adjusters: bool,
    /// Whether the joints of the frame's own tubes hang on the braces, so that every design was solved whole.
    pub solved_whole: bool,
    /// The tubes that do nothing for the figure in the design that is proposed.
    pub idle: Option<Idle>,
    /// The design that is proposed, an index into [`Triangulation::designs`].
    pub proposed: usize,
    /// Why that one.
    pub rule: Rule,
}

/// Why a design is proposed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// It has the fewest braces with which the limit of the figure is met.
    Limit,
    /// Each of its braces brings at least one part in a hundred; no limit is met, or there is none.
    WorthIt,
}

impl Triangulation {
    /// The largest difference of a shown figure of the search from that of the whole check, over the latter.
    pub fn largest_difference(&self) -> f64 {
        let differs = |design: &Design| (design.figure - design.checked_figure).abs() / design.checked_figure.abs();
        self.designs.iter().map(differs).fold(0.0, f64::max)
    }
}

/// A brace more changes the figure by less than this part of it: not worth its place.
const WORTH_IT: f64 = 0.01;

/// Of all pairs so many at once, where the file does not say `at_most`.
const MOST_UNSAID: usize = 6;

/// Whether a file with this brace is still one.
fn is_sound(model: &Model, bracing: &Bracing, written: &Written, brace: &Candidate) -> bool {
    let Some((name, entry)) = brace.written(model, bracing) else { return false };
    let option = serde_json::json!({ "change": { "members": { name: entry } } });
    let option = Document::read(option.to_string().into_bytes());
    option.is_ok_and(|option| written.with(&brace.name, &option.root).is_ok())
}

/// The model with a set of braces.
fn with_braces(model: &Model, candidates: &Candidates, set: &[usize]) -> Model {
    let mut braced = model.clone();
    for at in set {
        braced.members.extend(candidates.all[*at].members.iter().cloned());
    }
    for position in &mut braced.positions {
        position.model = with_braces(&position.model, candidates, set);
    }
    braced
}

/// Searches for the braces that pay, among those with which a file is not refused where it is given; up to so many
/// sets, the smaller ones first, are all tried. `None`: only a part was asked for.
///
/// # Errors
/// No `bracing`, nothing to choose from, nothing that is asked for, or a frame that cannot be solved.
pub fn triangulate(
    model: &Model,
    written: Option<&Written>,
    aim: Aim,
    most_sets: u64,
    watch: &Watch<'_>,
    hands: &impl Hands,
) -> Result<Option<Triangulation>, Vec<Fault>> {
    let Some(bracing) = &model.bracing else {
        let fault = Fault::new(path![], "the file has no \"bracing\": there are no braces to choose from");
        return Err(vec![
            fault.hint("such as \"bracing\": {\"tube\": \"brace\", \"auto\": {\"longest\": 900, \"clear_of\": 10}}"),
        ]);
    };
    let may_be = |brace: &Candidate| written.is_none_or(|written| is_sound(model, bracing, written, brace));
    let candidates = candidates(model, bracing, &may_be).map_err(|fault| vec![fault])?;
    let n = candidates.all.len();
    let unsaid = match bracing.choice {
        BraceChoice::Between(_) => n,
        BraceChoice::Auto { .. } => MOST_UNSAID,
    };
    let most = bracing.at_most.unwrap_or(unsaid).min(n);
    let everything: Vec<usize> = (0..n).collect();
    let whole = with_braces(model, &candidates, &everything);
    let prepared = prepare(&whole, Purpose::Statics)?;
    let bare = build(model, Purpose::Statics).map_err(|fault| vec![fault])?;
    let structure = prepared.system.structure.clone();
    let tubes: Vec<Vec<usize>> =
        candidates.all.iter().map(|candidate| tubes_of(&whole, &structure, candidate)).collect();
    let choice_of = |tube: usize| tubes.iter().position(|own| own.contains(&tube));
    let welds = Welds::of(model, &candidates, &bare)?;
    let question =
        Question::new(&whole, &prepared.system, aim, choice_of, |tube| welds.of_tube(&whole, &structure, tube))
            .map_err(|fault| vec![fault])?;
    let (parts, pieces) = question.reads(&structure);
    let subsets = Subsets::new(prepared.system, &tubes, &question.sides, Readouts { parts, pieces });
    let mut crosses = vec![vec![false; n]; n];
    for [one, other] in &candidates.crossing {
        crosses[*one][*other] = true;
        crosses[*other][*one] = true;
    }
    let checked_figure = |set: &[usize]| {
        let checked = check(&with_braces(model, &candidates, set), |_| true).ok()?;
        aim.of_checked(&checked)
    };
    let only_whole = !joints_are_the_same(&bare, &structure);
    let bounds = (aim == Aim::Twist && !only_whole)
        .then(|| Bounds { graded: Graded::new(subsets.system(), &tubes), twists: question.twists() });
    let search = Search {
        bounds,
        most_sets,
        subsets: &subsets,
        question: &question,
        aim,
        crosses: &crosses,
        most,
        whole: &checked_figure,
        only_whole,
    };
    let Some(found) = search.run(watch, hands) else { return Ok(None) };
    let design = |best: &Best| -> Option<Design> {
        let braced = with_braces(model, &candidates, &best.set);
        let checked = check(&braced, |_| true).ok()?;
        Some(Design {
            checked_figure: aim.of_checked(&checked)?,
            added_kg: best.set.iter().map(|at| candidates.all[*at].mass_kg).sum(),
            gains: best.set.iter().map(|at| gain(&search, &candidates, best, *at)).collect(),
            set: best.set.clone(),
            figure: best.figure,
            n_members: best.set.iter().map(|at| candidates.all[*at].members.len()).sum(),
            model: braced,
            checked,
        })
    };
    let designs: Vec<Design> = found.best.iter().flatten().filter_map(design).collect();
    if designs.is_empty() {
        // What is wrong with the frame itself is told by its check.
        check(&whole, |_| true)?;
        let fault = Fault::new(path!["bracing"], format!("no design has a figure for {}", aim.name()));
        return Err(vec![fault.hint(hint_for(aim))]);
    }
    let (proposed, rule) = proposed(aim, &designs);
    let idle = if found.ended_early { None } else { idle::idle(aim, &designs[proposed]) };
    Ok(Some(Triangulation {
        aim,
        designs,
        tried: found.tried,
        every_up_to: found.every_up_to,
        by_bounds: found.by_bounds,
        groups: found.groups,
        at_most: most,
        ended_early: found.ended_early,
        has_adjusters: !model.positions.is_empty(),
        solved_whole: search.only_whole,
        idle,
        proposed,
        rule,
        candidates,
    }))
}

fn hint_for(aim: Aim) -> &'static str {
    match aim {
        Aim::Twist => "give a case a twist test: {\"twist\": {\"axle\": [left node, right node], \"moment\": 1000}}",
        Aim::PickupMove => "mark a node with \"pickup\": true, or draw a corner",
        Aim::Toe | Aim::Camber => "draw a corner: a wheel has toe and camber",
        Aim::Yield => "give limits a yield margin",
    }
}

/// The tubes of a choice in the structure with all of them.
fn tubes_of(model: &Model, structure: &Structure, candidate: &Candidate) -> Vec<usize> {
    let is_own = |tube: &usize| candidate.members.iter().any(|(name, _)| is_member(model, structure, *tube, name));
    (0..structure.tubes.len()).filter(is_own).collect()
}

/// Whether the tubes of a frame without braces are joined as they are in the frame with all.
fn joints_are_the_same(bare: &Structure, whole: &Structure) -> bool {
    let of = |structure: &Structure, tube: usize| {
        let pieces = structure.tubes[tube].pieces.clone();
        pieces.map(|piece| structure.pieces[piece].ends.map(|end| end.joint)).collect::<Vec<_>>()
    };
    bare.tubes.iter().enumerate().all(|(at, tube)| {
        let there = whole.tubes.iter().position(|other| other.name == tube.name);
        there.is_some_and(|there| of(bare, at) == of(whole, there))
    })
}

/// Where tubes are welded without braces, and what each brace adds.
struct Welds {
    bare: Vec<(String, Vec<f64>)>,
    more: Vec<(String, Vec<(usize, f64)>)>,
}

impl Welds {
    fn of(model: &Model, candidates: &Candidates, bare: &Structure) -> Result<Welds, Vec<Fault>> {
        let list = |model: &Model, structure: &Structure| -> Vec<(String, Vec<f64>)> {
            let of_tube = |at: usize| (structure.tube_name(model, at), structure.tubes[at].welds_mm.clone());
            (0..structure.tubes.len()).map(of_tube).collect()
        };
        let bare = list(model, bare);
        let mut more: Vec<(String, Vec<(usize, f64)>)> =
            bare.iter().map(|(name, _)| (name.clone(), Vec::new())).collect();
        for choice in 0..candidates.all.len() {
            let braced = with_braces(model, candidates, &[choice]);
            let structure = build(&braced, Purpose::Statics).map_err(|fault| vec![fault])?;
            for (name, welds_mm) in list(&braced, &structure) {
                let Some(at) = bare.iter().position(|(known, _)| *known == name) else { continue };
                let known = |weld: &f64| bare[at].1.iter().any(|other| (other - weld).abs() < 1e-6);
                more[at].1.extend(welds_mm.into_iter().filter(|weld| !known(weld)).map(|weld| (choice, weld)));
            }
        }
        Ok(Welds { bare, more })
    }

    /// A brace's own welds are there with it.
    fn of_tube(&self, model: &Model, structure: &Structure, tube: usize) -> (Vec<f64>, Vec<(usize, f64)>) {
        let name = structure.tube_name(model, tube);
        match self.bare.iter().position(|(known, _)| *known == name) {
            Some(at) => (self.bare[at].1.clone(), self.more[at].1.clone()),
            None => (structure.tubes[tube].welds_mm.clone(), Vec::new()),
        }
    }
}

/// What one brace of a set is good for.
fn gain(search: &Search<'_>, candidates: &Candidates, best: &Best, at: usize) -> Option<(f64, f64)> {
    let rest: Vec<usize> = best.set.iter().copied().filter(|other| *other != at).collect();
    let without = search.figure(&rest)?;
    let gain = if search.aim.more_is_better() { best.figure - without } else { without - best.figure };
    Some((gain, gain / candidates.all[at].mass_kg))
}

/// The fewest braces with which the figure is within every limit that a case has for it; where that is not to be had,
/// or there is no limit, as many as each bring at least one part in a hundred.
fn proposed(aim: Aim, designs: &[Design]) -> (usize, Rule) {
    let check = aim.check();
    let of_aim = |design: &Design| -> Vec<bool> {
        let findings = design.checked.verdict.findings.iter().filter(|finding| finding.check == check);
        findings.map(Finding::fails).collect()
    };
    let meets = |design: &Design| {
        let fails = of_aim(design);
        !fails.is_empty() && !fails.contains(&true)
    };
    if let Some(first) = designs.iter().position(meets) {
        return (first, Rule::Limit);
    }
    let mut last = 0;
    for (at, design) in designs.iter().enumerate().skip(1) {
        let (before, now) = (designs[last].checked_figure, design.checked_figure);
        let per_brace = (now - before).abs() / before.abs() / (design.set.len() - designs[last].set.len()) as f64;
        if aim.is_better(now, before) && per_brace >= WORTH_IT {
            last = at;
        }
    }
    (last, Rule::WorthIt)
}
