//! What the answer becomes when the car is not quite as the file has it: each quantity turned to its ends alone, and
//! all drawn at random together; the chance of passing each limit, and which quantity to measure next.
//!
//! Reads a model and how far quantities may be off ([`quantities`]). Every draw is a changed [`Model`] that goes the
//! ordinary way of preparing, solving and judging, of the car as drawn: without lost welds, other positions of
//! adjusters and, where no limit asks for them, natural frequencies ([`check_cases`](crate::run::check_cases)).
//! Between its ends every value is as likely as any other; no quantity hangs on another. Tubes of one size are
//! taken to come from the same bars: their walls go together, mirror twins or not. Nodes and brackets are each off
//! on their own, twins too. Leaves out everything that is not among the quantities.

mod knob;
mod quantities;
mod solved;

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

pub use knob::{CarFigure, Knob, What};
pub use quantities::{Quantity, Spread, Vary, quantities};
pub use solved::{CHECKS, Figure, Solved};

use super::Watch;
use super::divided::{Hands, Units};
use crate::checks::{Check, exceeds_limit};
use crate::math::{Chance, chance, explained, largest, quantile};
use crate::model::{Fault, Model};

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// What varies.
    pub quantities: Vec<Quantity>,
    /// How many draws.
    pub draws: usize,
    /// The seed of all random numbers.
    pub seed: u64,
}

/// A quantity turned to its ends, all else as the file has it.
#[derive(Debug, Clone, PartialEq)]
pub struct Turned {
    /// Which of its knobs moves the worst most: of a place the axis.
    pub knob: usize,
    /// At the least value of that knob; `None`: the study was ended before.
    pub low: Option<Solved>,
    /// At the most.
    pub high: Option<Solved>,
}

impl Turned {
    /// Both ends that were solved.
    pub fn solved(&self) -> impl Iterator<Item = &Solved> {
        [&self.low, &self.high].into_iter().flatten().filter(|solved| solved.is_solved())
    }

    /// By how much the worst moves at the end where it moves more.
    pub fn moves(&self, as_drawn: &Solved) -> f64 {
        self.solved().map(|end| (end.worst() - as_drawn.worst()).abs()).fold(0.0, f64::max)
    }
}

/// How a value spreads over the draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spreads {
    /// Passed down by 5 % of the draws.
    pub low: f64,
    /// The middle.
    pub middle: f64,
    /// Passed up by 5 % of the draws.
    pub high: f64,
}

/// A limit over all draws.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitExceeded {
    /// Which; `None`: any of them.
    pub check: Option<Check>,
    /// Utilisation as drawn.
    pub as_drawn: f64,
    /// Utilisation over the draws.
    pub spreads: Spreads,
    /// In how many draws it was exceeded.
    pub exceeded: usize,
    /// How likely that is.
    pub chance: Chance,
}

/// A figure over all draws.
#[derive(Debug, Clone, PartialEq)]
pub struct FigureSpreads {
    /// Which.
    pub figure: Figure,
    /// As drawn.
    pub as_drawn: f64,
    /// Over the draws.
    pub spreads: Spreads,
    /// The part of its variance that each quantity explains alone, in the order of the quantities; empty where it
    /// does not spread, or too few draws were made.
    pub explained: Vec<f64>,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Scatter {
    /// What was asked for.
    pub asked: Asked,
    /// As the file has it.
    pub as_drawn: Solved,
    /// Each quantity turned alone, in the order of the quantities.
    pub turned: Vec<Turned>,
    /// How many draws were solved.
    pub solved: usize,
    /// How many could not be, and why the first of them could not.
    pub unsolved: Option<(usize, String)>,
    /// Whether somebody ended it before it was through.
    pub ended_early: bool,
    /// Any limit, then each that anything was held against.
    pub limits: Vec<LimitExceeded>,
    /// The figures that the model has.
    pub figures: Vec<FigureSpreads>,
}

impl Scatter {
    /// The quantities by how much they move the worst when turned alone, most first.
    pub fn by_what_moves(&self) -> Vec<usize> {
        let moves = |at: &usize| self.turned[*at].moves(&self.as_drawn);
        crate::math::largest_first(0..self.turned.len(), moves)
    }
}

/// The random numbers of all draws: of each draw its own stream, of each knob its own place in it, so that a draw is
/// the same whatever thread makes it, and whatever else varies.
struct Dice(ChaCha8Rng);

impl Dice {
    fn new(seed: u64) -> Dice {
        Dice(ChaCha8Rng::seed_from_u64(seed))
    }

    /// A number from 0 to 1, 1 left out.
    fn part(&self, draw: usize, knob: &Knob) -> f64 {
        let mut dice = self.0.clone();
        dice.set_stream(draw as u64);
        dice.set_word_pos(2 * u128::from(knob.draw));
        (dice.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// The file as it is, then both ends of each knob, then the draws.
struct Models<'m> {
    model: &'m Model,
    knobs: Vec<Knob>,
    asked: &'m Asked,
    dice: Dice,
    watch: &'m Watch<'m>,
}

impl<'m> Models<'m> {
    fn new(model: &'m Model, asked: &'m Asked, watch: &'m Watch<'m>) -> Self {
        let knobs = asked.quantities.iter().flat_map(|quantity| quantity.knobs.iter().copied()).collect();
        Models { model, knobs, asked, dice: Dice::new(asked.seed), watch }
    }

    /// The first unit that is a draw.
    fn first_draw(&self) -> usize {
        1 + 2 * self.knobs.len()
    }

    fn changed(&self, unit: usize) -> Model {
        let mut model = self.model.clone();
        if let Some(draw) = unit.checked_sub(self.first_draw()) {
            // Joints are last among the quantities: how far they turn hangs on walls and places.
            for knob in &self.knobs {
                knob.what.set(&mut model, knob.value(self.dice.part(draw, knob)));
            }
        } else if let Some(end) = unit.checked_sub(1) {
            let knob = &self.knobs[end / 2];
            knob.what.set(&mut model, if end % 2 == 0 { knob.low } else { knob.high });
        }
        model
    }
}

impl Units for Models<'_> {
    type Answer = Solved;

    fn count(&self) -> usize {
        self.first_draw() + self.asked.draws
    }

    fn begins(&self, to_do: usize) {
        self.watch.more_to_try(to_do);
    }

    fn may_be(&self, unit: usize, answer: &Solved) -> bool {
        // As drawn it was solved, or the study had not begun.
        answer.is_solved() || (unit > 0 && !answer.fails.is_empty())
    }

    fn answer(&self, unit: usize) -> Option<Solved> {
        if (self.watch.ends)() {
            return None;
        }
        let solved = Solved::of(&self.changed(unit), unit < self.first_draw());
        self.watch.tried_one();
        Some(solved)
    }
}

/// Turns and draws. `None`: only a part was asked for.
///
/// # Errors
/// All faults of the model as the file has it.
pub fn scatter(
    model: &Model,
    asked: &Asked,
    hands: &impl Hands,
    watch: &Watch<'_>,
) -> Result<Option<Scatter>, Vec<Fault>> {
    let mut model = model.clone();
    // What is not asked of draws; each would carry it along.
    model.positions.clear();
    model.adjusters.clear();
    crate::run::check_cases(&model)?;
    let models = Models::new(&model, asked, watch);
    let Some(answers) = hands.answers(&models) else { return Ok(None) };
    let found = Found::of(&models, answers);
    Ok(Some(found.told(&models)))
}

/// The answers, sorted.
struct Found {
    as_drawn: Solved,
    ends: Vec<[Option<Solved>; 2]>,
    /// The draws that were solved, with their numbers.
    draws: Vec<(usize, Solved)>,
    unsolved: Option<(usize, String)>,
    ended_early: bool,
}

impl Found {
    fn of(models: &Models<'_>, answers: Vec<Option<Solved>>) -> Found {
        let ended_early = answers.iter().any(Option::is_none);
        let mut answers = answers.into_iter();
        let as_drawn = answers.next().flatten().unwrap_or_else(|| Solved::of(models.model, true));
        let mut ends = Vec::with_capacity(models.knobs.len());
        for _ in &models.knobs {
            ends.push([answers.next().flatten(), answers.next().flatten()]);
        }
        let (mut draws, mut unsolved) = (Vec::new(), None);
        for (draw, solved) in answers.enumerate() {
            match solved {
                Some(solved) if solved.is_solved() => draws.push((draw, solved)),
                Some(failed) => {
                    let (count, _) = unsolved.get_or_insert((0, failed.fails));
                    *count += 1;
                }
                None => {}
            }
        }
        Found { as_drawn, ends, draws, unsolved, ended_early }
    }

    fn told(self, models: &Models<'_>) -> Scatter {
        let turned = self.turned(models.asked);
        let limits = self.limits();
        let figures = self.figures(models);
        Scatter {
            asked: models.asked.clone(),
            turned,
            solved: self.draws.len(),
            limits,
            figures,
            as_drawn: self.as_drawn,
            unsolved: self.unsolved,
            ended_early: self.ended_early,
        }
    }

    fn turned(&self, asked: &Asked) -> Vec<Turned> {
        let mut ends = self.ends.iter();
        let mut of_quantity = |quantity: &Quantity| {
            let turned = quantity.knobs.iter().enumerate().filter_map(|(knob, _)| {
                let [low, high] = ends.next()?.clone();
                Some(Turned { knob, low, high })
            });
            let turned: Vec<Turned> = turned.collect();
            largest(turned, |turned| turned.moves(&self.as_drawn)).expect("a quantity has a knob")
        };
        asked.quantities.iter().map(&mut of_quantity).collect()
    }

    fn limits(&self) -> Vec<LimitExceeded> {
        let exceeded = |check, as_drawn: f64, of: &dyn Fn(&Solved) -> (f64, bool)| {
            let all: Vec<(f64, bool)> = self.draws.iter().map(|(_, solved)| of(solved)).collect();
            let exceeded = all.iter().filter(|(_, exceeded)| *exceeded).count();
            LimitExceeded {
                check,
                as_drawn,
                spreads: Spreads::of(all.iter().map(|(used, _)| *used).collect()),
                exceeded,
                chance: chance(exceeded, all.len()),
            }
        };
        let any = |solved: &Solved| (solved.worst(), solved.used.iter().any(|used| exceeds_limit(*used)));
        let mut limits = vec![exceeded(None, self.as_drawn.worst(), &any)];
        for (at, check) in CHECKS.into_iter().enumerate() {
            let used = |solved: &Solved| solved.used.get(at).copied().unwrap_or(0.0);
            let all = std::iter::once(&self.as_drawn).chain(self.draws.iter().map(|(_, solved)| solved));
            if all.into_iter().any(|solved| used(solved) > 0.0) {
                let of = |solved: &Solved| (used(solved), exceeds_limit(used(solved)));
                limits.push(exceeded(Some(check), used(&self.as_drawn), &of));
            }
        }
        limits
    }

    fn figures(&self, models: &Models<'_>) -> Vec<FigureSpreads> {
        let there = Figure::ALL.into_iter().filter(|figure| self.as_drawn.figure(*figure) > 0.0);
        let mut figures: Vec<(FigureSpreads, Vec<f64>)> = there
            .map(|figure| {
                let values: Vec<f64> = self.draws.iter().map(|(_, solved)| solved.figure(figure)).collect();
                let spreads = Spreads::of(values.clone());
                let as_drawn = self.as_drawn.figure(figure);
                (FigureSpreads { figure, as_drawn, spreads, explained: Vec::new() }, values)
            })
            .collect();
        for quantity in &models.asked.quantities {
            let mut of_figures = vec![Some(0.0); figures.len()];
            for knob in &quantity.knobs {
                let inputs: Vec<f64> = self.draws.iter().map(|(draw, _)| models.dice.part(*draw, knob)).collect();
                let mut order: Vec<usize> = (0..inputs.len()).collect();
                order.sort_by(|one, other| inputs[*one].total_cmp(&inputs[*other]));
                for (sum, (_, values)) in of_figures.iter_mut().zip(&figures) {
                    // Knobs hang on nothing: what each explains alone adds up.
                    *sum = sum.zip(explained(&order, values)).map(|(sum, more)| sum + more);
                }
            }
            for (sum, (figure, _)) in of_figures.into_iter().zip(&mut figures) {
                figure.explained.extend(sum);
            }
        }
        figures.into_iter().map(|(figure, _)| figure).collect()
    }
}

impl Spreads {
    fn of(mut values: Vec<f64>) -> Spreads {
        values.sort_by(f64::total_cmp);
        Spreads { low: quantile(&values, 0.05), middle: quantile(&values, 0.5), high: quantile(&values, 0.95) }
    }
}
