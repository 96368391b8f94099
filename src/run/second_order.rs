//! Cases in equilibrium on the deformed frame.

use super::modes::{CaseBuckling, Modes};
use super::outcome::{CaseOutcome, case_outcome};
use super::prepared::Prepared;
use super::response::{CaseResponse, Response};
use crate::beam::Diagram;
use crate::checks::{TubeStress, tube_stress};
use crate::model::{Model, STANDING};
use crate::modes::{Deformed, Settled};
use crate::section::{InternalForces, Section};
use crate::solve::{Accuracy, State, error_bound};
use crate::source::Named;
use crate::units::figures;

/// One case on the deformed frame.
#[derive(Debug, Clone, PartialEq)]
pub enum SecondOrder {
    /// It is in equilibrium there.
    Settled(Box<Settlement>),
    /// It is not: the frame collapses, at about so many times the load where that is known.
    Collapses(Option<f64>),
}

/// A case in equilibrium on the deformed frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Settlement {
    /// What came out, by name.
    pub case: CaseOutcome,
    /// Largest stresses of the tubes.
    pub stresses: Named<TubeStress>,
    /// For each piece of the structure, where on it (mm from its first end) each stretch begins that it was cut into,
    /// and the internal forces of that.
    pub along: Vec<Vec<(f64, Diagram)>>,
    /// Rounds until the axial forces had settled.
    pub rounds: usize,
    /// The last change of an axial force, over the largest.
    pub change: f64,
}

/// Something that tells the internal forces along the pieces of a structure.
pub(super) trait Carries {
    /// Those of a piece so far from its first end, mm.
    fn at(&self, piece: usize, x_mm: f64) -> InternalForces;
}

impl Carries for State {
    fn at(&self, piece: usize, x_mm: f64) -> InternalForces {
        self.pieces[piece].diagram.at(x_mm)
    }
}

impl Carries for Settlement {
    fn at(&self, piece: usize, x_mm: f64) -> InternalForces {
        let stretches = &self.along[piece];
        let begun = stretches.iter().take_while(|(start_mm, _)| *start_mm <= x_mm).count();
        let (start_mm, diagram) = &stretches[begun.max(1) - 1];
        diagram.at(x_mm - start_mm)
    }
}

/// A warning for each case that the frame does not carry on its deformed shape.
pub(super) fn collapses(found: &Named<SecondOrder>) -> impl Iterator<Item = String> {
    found.iter().filter_map(|(name, found)| match found {
        SecondOrder::Collapses(Some(at)) => {
            Some(format!("case \"{name}\" collapses at about {} times the load", figures(*at, 2)))
        }
        SecondOrder::Collapses(None) => Some(format!("case \"{name}\" collapses before its load is reached")),
        SecondOrder::Settled(_) => None,
    })
}

/// Solves on the deformed frame what buckles it below ten times its load, and what `asked` asks for.
pub(super) fn second_order(
    model: &Model,
    prepared: &Prepared,
    response: &Response,
    modes: &Modes,
    asked: impl Fn(&str) -> bool,
) -> Named<SecondOrder> {
    let is_near = |name: &str| matches!(modes.buckling[name], CaseBuckling::Found(_));
    let of_case = |case: &CaseResponse| {
        let standing = response.cases.iter().find(|other| other.name == STANDING);
        let standing = standing.filter(|_| model.cases[&case.name].g.is_some());
        let states: Vec<&State> = [Some(case), standing].into_iter().flatten().map(|case| &case.state).collect();
        let deformed = Deformed::new(&prepared.system, &states);
        // A factor above 1 does not say why the case does not come to rest.
        let factor = modes.buckling[&case.name].lowest().filter(|factor| *factor <= 1.0);
        let Ok(settled) = deformed.settle(&case.right, &case.state) else {
            return SecondOrder::Collapses(factor);
        };
        // What stands still hardly bends under itself; where even that collapses, so does the case.
        let standing = match standing.map(|standing| deformed.settle(&standing.right, &standing.state)) {
            None => None,
            Some(Ok(standing)) => Some(standing.state),
            Some(Err(_)) => return SecondOrder::Collapses(factor),
        };
        SecondOrder::Settled(Box::new(settlement(model, prepared, case, settled, standing.as_ref())))
    };
    response
        .cases
        .iter()
        .filter(|case| is_near(&case.name) || asked(&case.name))
        .map(|case| (case.name.clone(), of_case(case)))
        .collect()
}

fn settlement(
    model: &Model,
    prepared: &Prepared,
    case: &CaseResponse,
    settled: Settled,
    standing: Option<&State>,
) -> Settlement {
    let Settled { system, solved, right, state, residual, rounds, change, of_whole } = settled;
    let error = error_bound(residual, solved.condition);
    let accuracy = Accuracy { residual, balance: state.balance, error };
    let deformed = Prepared { system, solved, held: prepared.held.clone() };
    let case = CaseResponse {
        name: case.name.clone(),
        wheels: case.wheels.clone(),
        loads: Vec::new(),
        right,
        state,
        bars_n: case.bars_n.clone(),
        accuracy,
        twist: None,
    };
    let structure = &deformed.system.structure;
    let stresses = structure.tubes.iter().enumerate().filter_map(|(at, tube)| {
        let fibres = tube.size.map(|size| &model.tubes[size].section).map(Section::fibres)?;
        let pieces: Vec<_> = case.state.diagrams(structure, tube).collect();
        Some((structure.tube_name(model, at), tube_stress(&fibres, &pieces, &tube.welds_mm)))
    });
    let stresses = stresses.collect();
    let mut along = vec![Vec::new(); prepared.system.structure.pieces.len()];
    for ((piece, start_mm), cut) in of_whole.into_iter().zip(&case.state.pieces) {
        along[piece].push((start_mm, cut.diagram));
    }
    Settlement { case: case_outcome(model, &deformed, &case, standing), stresses, along, rounds, change }
}
