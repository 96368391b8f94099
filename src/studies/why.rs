//! Why a tube is stressed, a pick-up moves or a wheel turns: the answer as a sum over what acts.
//!
//! The model is linear, so that the parts of a movement add up. The von Mises stress of a fibre,
//! √(σ² + 3τ²), is a sum as well once its direction is kept: each part counts with (σσᵢ + 3ττᵢ)/σᵥ,
//! what it adds to the stress as it stands. A movement counts along its own direction.

use nalgebra::Vector3;

use crate::beam::worst_fibre;
use crate::checks::tube_stress;
use crate::loads::Cause;
use crate::model::{Anchor, Fault, Model, STANDING};
use crate::path;
use crate::run::{CaseResponse, Prepared, Response, beyond, parts_of_case};
use crate::section::StressForm;
use crate::solve::State;

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Question {
    /// The largest stress of a tube, an index into the structure's tubes, MPa.
    Stress(usize),
    /// How far a pick-up moves from standing, mm.
    Movement(Anchor),
    /// By how much the toe-in of a corner (an index into [`Model::corners`]) changes, degrees.
    Toe(usize),
    /// By how much its camber changes, degrees.
    Camber(usize),
}

/// An answer as a sum.
#[derive(Debug, Clone, PartialEq)]
pub struct Why {
    /// The whole, in the unit of the question.
    pub total: f64,
    /// What each thing that acts adds, in the order in which it acts.
    pub parts: Vec<(Cause, f64)>,
    /// Where along the tube the stress is, mm from its first end.
    pub at_mm: Option<f64>,
    /// Whether it is a change from the standing car.
    pub from_standing: bool,
}

/// What answers are made of: a response, and what each thing that acts does to the standing car.
pub struct Reasons<'r> {
    model: &'r Model,
    prepared: &'r Prepared,
    /// The standing car, where it was solved, and its parts.
    standing: Option<(&'r CaseResponse, Vec<(Cause, State)>)>,
}

impl<'r> Reasons<'r> {
    /// For a response; the standing car is taken apart once, for all questions.
    ///
    /// # Errors
    /// As [`parts_of_case`] has them.
    pub fn new(model: &'r Model, prepared: &'r Prepared, response: &'r Response) -> Result<Self, Vec<Fault>> {
        let standing = response.cases.iter().find(|case| case.name == STANDING);
        let standing = match standing {
            Some(case) => Some((case, parts_of_case(model, prepared, case)?)),
            None => None,
        };
        Ok(Reasons { model, prepared, standing })
    }

    /// The answer to a question about a case of the response.
    ///
    /// # Errors
    /// As [`parts_of_case`] has them; a part that is no number.
    ///
    /// # Panics
    /// Where the tube is a spring, which has no section.
    pub fn why(&self, case: &CaseResponse, question: Question) -> Result<Why, Vec<Fault>> {
        let (model, prepared) = (self.model, self.prepared);
        let standing = self
            .standing
            .as_ref()
            .filter(|_| model.cases[&case.name].g.is_some() && !matches!(question, Question::Stress(_)));
        let measure = Measure::new(model, prepared, case, standing.map(|(standing, _)| *standing), question);
        let mut parts: Vec<(Cause, f64)> = parts_of_case(model, prepared, case)?
            .iter()
            .map(|(cause, state)| (*cause, measure.of(model, prepared, state)))
            .collect();
        for (cause, state) in standing.into_iter().flat_map(|(_, parts)| parts) {
            let less = measure.of(model, prepared, state);
            match parts.iter_mut().find(|(known, _)| known == cause) {
                Some((_, value)) => *value -= less,
                None => parts.push((*cause, -less)),
            }
        }
        let whole = measure.of(model, prepared, &case.state);
        let total = standing.map_or(whole, |(standing, _)| whole - measure.of(model, prepared, &standing.state));
        let at_mm = match measure {
            Measure::Stress { at_mm, .. } => Some(at_mm),
            _ => None,
        };
        if !parts.iter().map(|(_, value)| *value).chain([total]).all(f64::is_finite) {
            return Err(vec![beyond(path!["cases", &case.name], "what adds up to the answer in this case")]);
        }
        Ok(Why { total, parts, at_mm, from_standing: standing.is_some() })
    }
}

/// A figure that is linear in the state.
enum Measure {
    /// What a state adds to the stress of a fibre.
    Stress { piece: usize, x_mm: f64, at_mm: f64, fibre: StressForm, sigma: f64, three_tau: f64, von_mises: f64 },
    /// How far it moves a point along a direction.
    Movement { anchor: Anchor, along: Vector3<f64> },
    /// How far it turns a part about a direction, degrees.
    Turn { part: usize, about: Vector3<f64> },
}

impl Measure {
    fn new(
        model: &Model,
        prepared: &Prepared,
        case: &CaseResponse,
        standing: Option<&CaseResponse>,
        question: Question,
    ) -> Measure {
        let structure = &prepared.system.structure;
        match question {
            Question::Stress(tube) => stress(model, prepared, &case.state, tube),
            Question::Movement(anchor) => {
                let of = |state: &State| moved(model, prepared, state, anchor);
                let whole = of(&case.state) - standing.map_or_else(Vector3::zeros, |standing| of(&standing.state));
                Measure::Movement { anchor, along: whole.try_normalize(0.0).unwrap_or_else(Vector3::zeros) }
            }
            Question::Toe(corner) | Question::Camber(corner) => {
                let axis = if matches!(question, Question::Toe(_)) { Vector3::z() } else { Vector3::x() };
                let sign = model.corners[corner].wheel.turn_sign();
                Measure::Turn { part: structure.uprights[corner], about: axis * sign }
            }
        }
    }

    fn of(&self, model: &Model, prepared: &Prepared, state: &State) -> f64 {
        match self {
            Measure::Stress { piece, x_mm, fibre, sigma, three_tau, von_mises, .. } => {
                let stress = fibre.stress(&state.pieces[*piece].diagram.at(*x_mm));
                let (s, t) = (stress.axial + stress.bending, stress.torsion + stress.shear);
                if *von_mises == 0.0 { 0.0 } else { (sigma * s + three_tau * t) / von_mises }
            }
            Measure::Movement { anchor, along } => moved(model, prepared, state, *anchor).dot(along),
            Measure::Turn { part, about } => state.parts[*part].fixed_rows::<3>(3).dot(about).to_degrees(),
        }
    }
}

/// The fibre with the largest stress of a tube.
fn stress(model: &Model, prepared: &Prepared, state: &State, tube: usize) -> Measure {
    let structure = &prepared.system.structure;
    let drawn = &structure.tubes[tube];
    let size = drawn.size.expect("a spring has no section to be stressed");
    let fibres = model.tubes[size].section.fibres();
    let pieces: Vec<_> =
        drawn.pieces.clone().map(|piece| (structure.pieces[piece].start_mm, state.pieces[piece].diagram)).collect();
    let peak = tube_stress(&fibres, &pieces, &drawn.welds_mm).peak;
    // At a jump both sides are at the place: the one that is stressed as much.
    let (piece, x_mm, fibre) = drawn
        .pieces
        .clone()
        .filter_map(|piece| {
            let (x_mm, diagram) = (peak.at_mm - structure.pieces[piece].start_mm, &state.pieces[piece].diagram);
            let inside = (-1e-6..=diagram.length_mm + 1e-6).contains(&x_mm);
            let x_mm = x_mm.clamp(0.0, diagram.length_mm);
            inside.then(|| (piece, x_mm, worst_fibre(&fibres, &diagram.at(x_mm))))
        })
        .min_by(|one, other| {
            let away = |(piece, x_mm, fibre): &(usize, f64, StressForm)| {
                let stress = fibre.stress(&state.pieces[*piece].diagram.at(*x_mm));
                (stress.von_mises() - peak.von_mises_mpa).abs()
            };
            away(one).total_cmp(&away(other))
        })
        .expect("the peak is on the tube");
    let stress = fibre.stress(&state.pieces[piece].diagram.at(x_mm));
    let (sigma, tau) = (stress.axial + stress.bending, stress.torsion + stress.shear);
    let von_mises = stress.von_mises();
    Measure::Stress { piece, x_mm, at_mm: peak.at_mm, fibre, sigma, three_tau: 3.0 * tau, von_mises }
}

fn moved(model: &Model, prepared: &Prepared, state: &State, anchor: Anchor) -> Vector3<f64> {
    let part = prepared.system.structure.part_of(anchor);
    state.motion(&prepared.system, part, &model.anchor_at(anchor)).0
}
