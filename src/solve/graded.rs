//! A structure whose candidate tubes are there in part: what no choice of them gets below.
//!
//! With candidate i at a part x_i of its stiffness, K(x) = K₀ + Σ x_i K_i, a load p does the work c(x) = pᵀ K(x)⁻¹ p on
//! itself (twice its energy). For any other parts y, whether they are 0 and 1 or lie between,
//!
//! ```text
//! c(y) ≥ 2 pᵀu − uᵀ K(y) u = c(x) + Σ (x_i − y_i) w_i        u = K(x)⁻¹ p,   w_i = uᵀ K_i u ≥ 0
//! ```
//! by the theorem of least potential energy with u as the displacement. Source: Washizu (1968), Variational Methods in
//! Elasticity and Plasticity, ch. 2 (from memory).

use nalgebra::{DMatrix, DVector, SMatrix};

use super::assemble::System;
use crate::math::{ChosenEngine, Engine, Plan, SymmetricMatrix};

/// A structure with all of its candidates, each to be there in part.
pub struct Graded<'s> {
    system: &'s System,
    plan: Box<dyn Plan>,
    /// The stiffness without any candidate.
    fixed: SymmetricMatrix,
    /// The pieces of each candidate, and its stiffness.
    candidates: Vec<(Vec<usize>, SymmetricMatrix)>,
}

/// What one choice of parts says of all others.
#[derive(Debug, Clone, PartialEq)]
pub struct Floor {
    /// The work of the load on itself is no less than this, N·mm, …
    pub without_any: f64,
    /// … less this for each candidate that is there, times its part.
    pub less: Vec<f64>,
}

impl<'s> Graded<'s> {
    /// Prepares a structure; `candidates`: the tubes of each.
    pub fn new(system: &'s System, candidates: &[Vec<usize>]) -> Self {
        let structure = &system.structure;
        let pieces = |tubes: &Vec<usize>| -> Vec<usize> {
            tubes.iter().flat_map(|tube| structure.tubes[*tube].pieces.clone()).collect()
        };
        let pieces: Vec<Vec<usize>> = candidates.iter().map(pieces).collect();
        let of = |piece: usize, is_in: bool| {
            if is_in { *system.pieces[piece].joined.node() } else { SMatrix::zeros() }
        };
        let is_candidate = |piece: usize| pieces.iter().any(|own| own.contains(&piece));
        let fixed = system.assembled(|piece| of(piece, !is_candidate(piece)));
        let stiffness = |own: &Vec<usize>| system.sum_of_pieces(|piece| of(piece, own.contains(&piece)));
        let stiffness: Vec<SymmetricMatrix> = pieces.iter().map(stiffness).collect();
        let plan = ChosenEngine.plan(&system.numbering.pattern);
        Self { system, plan, fixed, candidates: pieces.into_iter().zip(stiffness).collect() }
    }

    /// What some parts of the candidates say of a load on the unknowns; `None`: they do not stand.
    pub fn floor(&self, parts: &[f64], load: &DVector<f64>) -> Option<Floor> {
        let mut matrix = self.fixed.clone();
        for ((_, stiffness), part) in self.candidates.iter().zip(parts) {
            matrix.add_times(stiffness, *part);
        }
        let mut x = DMatrix::from_columns(std::slice::from_ref(load));
        self.plan.factor(&matrix).ok()?.solve(&mut x);
        let u = x.column(0).into_owned();
        let work = |pieces: &Vec<usize>| {
            let of_piece = |piece: &usize| {
                let motions = self.system.linear_motions_of_piece(*piece, &u);
                motions.dot(&(self.system.pieces[*piece].joined.node() * motions))
            };
            pieces.iter().map(of_piece).sum::<f64>().max(0.0)
        };
        let less: Vec<f64> = self.candidates.iter().map(|(pieces, _)| work(pieces)).collect();
        let without_any = load.dot(&u) + less.iter().zip(parts).map(|(less, part)| less * part).sum::<f64>();
        without_any.is_finite().then_some(Floor { without_any, less })
    }
}
