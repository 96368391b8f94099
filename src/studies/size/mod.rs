//! The lightest tubes from a stock that are within every limit, and how sure that is.
//!
//! Reads a model with `sizing`: groups of members that get one size each. Gives the lightest design found, which has
//! passed the whole check at every position of the adjusters, and a bound that no design that passes is under. Where
//! both meet the design is the optimum, and the tree of boxes is the proof.

mod bench;
mod boxes;
mod cut;
mod descent;
mod fits;
mod forecast;
pub mod kept;
mod limit;
mod nearest;
mod problem;
mod program;
mod progress;
mod reading;
mod search;
mod trade;
mod tree;
mod trial;
mod truss;
mod walk;

use std::sync::atomic::AtomicU64;

use crate::checks::Check;
use crate::model::{Fault, Model};
use crate::path;
use crate::run::{Checked, check, prepare};
use crate::structure::Purpose;
use crate::studies::Watch;
use crate::studies::divided::Hands;

pub use cut::{Used, in_set};
pub use limit::MARGIN;
pub use nearest::Nearest;
pub use problem::MOST_SIZES;
pub use reading::{Limited, What};
pub use search::EQUAL;
pub use trade::{Curve, TradePoint, against_twist, twist_nm_deg};
pub use tree::{Closed, Node};
pub use trial::Fails;
pub use truss::{Dual, Names, Narrowed, Sum};

use bench::Bench;
use boxes::{Boxes, Joined, Spent};
use cut::Cut;
use descent::Descent;
use problem::Problem;
use progress::Progress;
use search::{Begun, ENOUGH, ENOUGH_OF_PROGRAMS, MOST_OPEN, Search};
use trial::Trials;
use truss::Truss;
use walk::walk;

/// A design that was checked whole.
pub struct Sized {
    /// The size of each group, an index into [`Sizing::sizes`].
    pub sizes: Vec<usize>,
    /// Mass of the frame's tubes, kg.
    pub mass_kg: f64,
    /// The model in these sizes.
    pub model: Model,
    /// All that came of it.
    pub checked: Checked,
}

/// How a search ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// Every design is settled.
    Through,
    /// Somebody ended it.
    Asked,
    /// It had looked at as many boxes as it may.
    Boxes,
}

/// What came of a search.
pub struct Sizing {
    /// Names of the groups.
    pub groups: Vec<String>,
    /// Members of each group.
    pub members: Vec<Vec<String>>,
    /// Names of the sizes, the lightest first.
    pub sizes: Vec<String>,
    /// Mass of each group (row) in each size, kg.
    pub mass_kg: Vec<Vec<f64>>,
    /// The frame as drawn, checked whole; `None`: it cannot be solved.
    pub drawn: Option<Checked>,
    /// The size of each group as drawn; `None`: its members have several, or one that is not in stock.
    pub drawn_sizes: Vec<Option<usize>>,
    /// The lightest design that was found to pass.
    pub best: Option<Sized>,
    /// What comes nearest where none was found.
    pub nearest: Option<Nearest>,
    /// No design that passes is lighter, kg; infinite: none passes.
    pub least_kg: f64,
    /// How it ended.
    pub ended: Ended,
    /// How many designs there are; a float, since they may be more than any integer holds.
    pub n_designs: f64,
    /// Designs solved for what is read at once.
    pub read: u64,
    /// Designs checked whole.
    pub checked: u64,
    /// Boxes of designs looked at.
    pub boxes: u64,
    /// Linear programs solved.
    pub programs: u64,
    /// Why no lighter design passes.
    pub proof: Proof,
    /// Why boxes cannot be bounded, so that every design was checked; `None`: they can.
    pub unbounded: Option<&'static str>,
}

/// The tree of boxes, and the readings that close them.
pub struct Proof {
    /// Mass of the frame's other tubes, kg.
    pub kept_kg: f64,
    /// Readings of some designs that are over their limits.
    pub cuts: Vec<Told>,
    /// The boxes; the first holds all designs.
    pub nodes: Vec<Node>,
    /// Stretches of two-force tubes that were narrowed, by the box in which they were.
    pub narrowed: Vec<(usize, Vec<Narrowed>)>,
    /// What duals of linear programs are of; `None`: there are none.
    pub names: Option<Names>,
}

/// A reading of a design that is over its limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// Which check.
    pub check: Check,
    /// In which case.
    pub case: String,
    /// At which position of the adjusters; empty: as drawn.
    pub position: String,
    /// Where.
    pub place: String,
    /// What is read there.
    pub what: What,
    /// Its value: mm, rad or MPa.
    pub value: f64,
    /// What is allowed.
    pub allowed: f64,
    /// The size of each group in the design.
    pub at: Vec<usize>,
    /// The group and its size for which alone it means anything.
    pub only_with: Option<(usize, usize)>,
}

impl Told {
    fn of(cut: &Cut, benches: &[Bench]) -> Told {
        Told {
            check: cut.reading.check,
            case: cut.reading.case.clone(),
            position: benches[cut.reading.bench].position.clone(),
            place: cut.reading.place.clone(),
            what: cut.reading.what.clone(),
            value: cut.reading.value,
            allowed: cut.reading.allowed,
            at: cut.at.clone(),
            only_with: cut.reading.only_with,
        }
    }
}

impl Sizing {
    /// Whether the best design is the lightest there is, or it is certain that none passes.
    pub fn is_proven(&self) -> bool {
        self.ended == Ended::Through
    }
}

/// Searches for the lightest design; at most so many boxes of designs are looked at, linear programs among them.
/// `None`: only a part was asked for.
///
/// # Errors
/// No `sizing`, more sizes than can be told apart, or a frame that cannot be solved.
pub fn size(model: &Model, at_most: u64, watch: &Watch<'_>, hands: &impl Hands) -> Result<Option<Sizing>, Vec<Fault>> {
    let prepared = prepare(model, Purpose::Statics)?;
    let problem = Problem::new(model, &prepared.system.structure).map_err(|fault| vec![fault])?;
    if problem.stock.len() > MOST_SIZES {
        let message = format!("{} sizes are more than the {MOST_SIZES} that can be searched", problem.stock.len());
        return Err(vec![Fault::new(path!["sizing", "stock"], message)]);
    }
    let unbounded = unbounded(model);
    let mut benches = Vec::new();
    if unbounded.is_none() {
        benches.push(Bench::new(&problem, model, "")?);
        for position in &model.positions {
            benches.push(Bench::new(&problem, &position.model, &position.name)?);
        }
    }
    let trials = Trials { problem: &problem, benches: &benches, read: AtomicU64::new(0), checked: AtomicU64::new(0) };
    let reached = walk(&trials, watch.ends);
    let first = match reached.best {
        Some(best) if !reached.is_misled => Some(best),
        best => Descent::new(&trials, watch.ends).run(best),
    };
    let truss = benches.first().and_then(|bench| Truss::of(bench, &problem));
    let progress = Progress::new(watch);
    let search = Search { problem: &problem, trials: &trials, truss: truss.as_ref(), progress: &progress };
    let enough = if truss.is_some() { ENOUGH_OF_PROGRAMS } else { ENOUGH };
    let found = search.run(Begun::whole(&problem, first), at_most, enough);
    let spent = Spent::of(&found, &trials);
    let boxes = Boxes {
        problem: &problem,
        benches: &benches,
        truss: truss.as_ref(),
        progress: &progress,
        found: &found,
        is_known: !progress.ends(),
        count: MOST_OPEN,
        at_most: at_most.saturating_sub(spent.boxes + spent.programs) / found.open.len().max(1) as u64,
    };
    let Some(mut answers) = hands.answers(&boxes) else { return Ok(None) };
    if boxes.search_again(&mut answers, hands).is_none() {
        return Ok(None);
    }
    let Joined { best, least_kg, is_proven, spent, cuts, nodes, narrowed } = boxes.joined(spent, answers);
    let best = match best {
        Some(design) => {
            let sized = problem.sized(&design);
            let checked = check(&sized, |_| true)?;
            Some(Sized { mass_kg: problem.mass_of(&design), sizes: design, model: sized, checked })
        }
        None => None,
    };
    let ended = match is_proven {
        true => Ended::Through,
        false if (watch.ends)() => Ended::Asked,
        false => Ended::Boxes,
    };
    let member_name = |member: &usize| crate::model::entry_at(&model.members, *member).0.to_owned();
    Ok(Some(Sizing {
        groups: problem.groups.clone(),
        members: problem.members.iter().map(|members| members.iter().map(member_name).collect()).collect(),
        sizes: (0..problem.stock.len()).map(|size| problem.size_name(size).to_owned()).collect(),
        mass_kg: problem.mass_kg.clone(),
        drawn: check(model, |_| true).ok(),
        drawn_sizes: problem.drawn_sizes(),
        nearest: if best.is_none() { nearest::nearest(&problem) } else { None },
        best,
        least_kg,
        ended,
        n_designs: problem.n_designs(),
        read: spent.read,
        checked: spent.checked,
        boxes: spent.boxes,
        programs: spent.programs,
        proof: Proof {
            kept_kg: problem.kept_kg,
            cuts,
            nodes,
            narrowed,
            names: truss.zip(benches.first()).map(|(truss, bench)| truss.names(problem.model, bench)),
        },
        unbounded,
    }))
}

/// Why the sizes of some tubes change more than their own stiffness.
fn unbounded(model: &Model) -> Option<&'static str> {
    let turns = |model: &Model| model.members.values().any(|member| member.tube_on_tube != [false; 2]);
    turns(model).then_some("joints turn as tube on tube does, and hang on the sizes of both")
}
