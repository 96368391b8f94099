//! Cases under which a frame stands well short of buckling, told on its tubes as they are, without a cut.
//!
//! Under λ times a push P the exact stiffness of a piece, whatever it does between its nodes, is by the theorem of
//! least work no less than
//!
//! ```text
//! K + λ Kσ − λ²/(1 − λ P/P₁) X        X = Tᵀ X_b T + Tᵀ Kσ E C Eᵀ Kσ T
//! ```
//!
//! with P₁ no more than the push under which it gives way by itself: on the shapes that leave its nodes at rest K + λKσ
//! is no less than (1 − λP/P₁) K. X is what the bow (`beam::interior`) and the joints ([`Joined`](crate::beam::Joined))
//! give way by. A pull makes it stiffer and is left out; of a push that changes along the piece the hardest is taken.
//! Where the sum of all pieces has positive pivots alone no load factor lies below λ.
//!
//! Kσ is the push times a matrix without negative eigenvalues, so that the frame is nowhere softer in one of several
//! cases than under the hardest push that each piece has in any of them: where it stands under these it stands in all.

use nalgebra::Matrix6;

use super::fine::is_cut;
use super::pushes::{AxialForces, larger_or_nan, own_push_n};
use crate::math::{ChosenEngine, Engine, Plan, SymmetricMatrix};
use crate::solve::{State, System};

/// A piece nearer than this to giving way by itself is for a cut to look at.
const NEAR: f64 = 0.9;

/// Of each case, whether the structure is known to stand at `bound` times its load; where it is not known it may.
pub(super) fn standing(whole: &System, states: &[&State], bound: f64) -> Vec<bool> {
    let bounds = Bounds {
        whole,
        bound,
        plan: ChosenEngine.plan(whole.matrix.pattern()),
        pieces: (0..whole.pieces.len()).map(|piece| PushedPiece::new(whole, piece)).collect(),
    };
    let pushes: Vec<Vec<f64>> = states
        .iter()
        .map(|state| {
            let forces = AxialForces::new(state);
            (0..whole.pieces.len()).map(|piece| forces.hardest_push_n(piece)).collect()
        })
        .collect();
    let mut standing = Vec::with_capacity(states.len());
    bounds.look(&pushes, &mut standing);
    standing
}

/// What a push of 1 N takes from the stiffness of a piece.
struct PushedPiece {
    /// Block row and block column of the unknowns, Kσ, X.
    blocks: Vec<(usize, usize, Matrix6<f64>, Matrix6<f64>)>,
    /// P₁, N.
    own_n: f64,
}

impl PushedPiece {
    fn new(whole: &System, at: usize) -> PushedPiece {
        let piece = &whole.pieces[at];
        let of_push = piece.beam.geometric(-1.0);
        let mut blocks = Vec::with_capacity(3);
        let own = piece.joined.carried(&of_push);
        whole.each_block(at, &own, |row, column, block| blocks.push((row, column, block, Matrix6::zeros())));
        // A spring stands for a coil, whose bar has no shape of its own.
        if !is_cut(whole, at) {
            return PushedPiece { blocks, own_n: f64::INFINITY };
        }
        let bow = piece.joined.carried(&piece.beam.interior_of_force(1.0)) + piece.joined.given_way(&of_push);
        let mut next = blocks.iter_mut();
        whole.each_block(at, &bow, |_, _, block| {
            next.next().expect("the blocks of a piece are the same for every matrix").3 = block;
        });
        PushedPiece { blocks, own_n: own_push_n(whole, at) }
    }

    /// Takes from a matrix what a push takes; false where that is too near to what the piece carries by itself, or no
    /// number.
    fn take(&self, push_n: f64, matrix: &mut SymmetricMatrix) -> bool {
        let near = push_n / self.own_n;
        if near.is_nan() || near > NEAR {
            return false;
        }
        let bow = push_n * push_n / (1.0 - near);
        for (row, column, of_push, of_bow) in &self.blocks {
            matrix.add(*row, *column, &(of_push * push_n - of_bow * bow));
        }
        true
    }
}

struct Bounds<'s> {
    whole: &'s System,
    bound: f64,
    plan: Box<dyn Plan>,
    pieces: Vec<PushedPiece>,
}

impl Bounds<'_> {
    /// All cases at once, or the halves of them.
    fn look(&self, pushes: &[Vec<f64>], standing: &mut Vec<bool>) {
        match pushes {
            [] => {}
            all if self.stands(all) => standing.extend(all.iter().map(|_| true)),
            [_] => standing.push(false),
            several => {
                let (first, second) = several.split_at(several.len() / 2);
                self.look(first, standing);
                self.look(second, standing);
            }
        }
    }

    /// Whether the structure stands at the bound where each piece has the hardest push of some cases.
    fn stands(&self, cases: &[Vec<f64>]) -> bool {
        let mut matrix = self.whole.matrix.clone();
        let taken = self.pieces.iter().enumerate().all(|(at, piece)| {
            let push_n = cases.iter().fold(0.0, |most, case| larger_or_nan(most, case[at]));
            push_n == 0.0 || piece.take(push_n * self.bound, &mut matrix)
        });
        taken && self.plan.factor(&matrix).is_ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::load_all;
    use crate::run::{prepare, respond};
    use crate::source::Document;
    use crate::structure::Purpose;

    /// E I of the tube, N·mm².
    const EI: f64 = 210_000.0 * 10_000.0;

    /// Whether a tube of 1 m under this push is known to stand at these bounds.
    fn stands(second: &str, push_n: f64, bounds: &[f64]) -> Vec<bool> {
        let text = format!(
            r#"{{"format": 1,
            "materials": {{"steel": {{"youngs_modulus": 210000, "shear_modulus": 81000, "density": 7850, "yield": 355,
                "ultimate": 490, "yield_at_weld": "same"}}}},
            "tubes": {{"size": {{"material": "steel", "given":
                {{"a": 400, "iy": 10000, "iz": 10000, "j": 20000, "cy": 12, "cz": 12, "ct": 1600}}}}}},
            "nodes": {{"A": [0, 0, 500], "B": [1000, 0, 500]}},
            "members": {{"tube": {{"ends": ["A", "B"], "tube": "size"}}}},
            "mounts": {{"A": {{"x": "fixed", "y": "fixed", "z": "fixed", "rx": "fixed", "ry": "fixed", "rz": "fixed"}},
                "B": {second}}},
            "cases": {{"push": {{"forces": {{"B": [{}, 0, 0]}}}}}}}}"#,
            -push_n
        );
        let model = load_all(&Document::read(text.into_bytes()).unwrap()).unwrap().base;
        let prepared = prepare(&model, Purpose::Statics).unwrap();
        let response = respond(&model, &prepared, |name| name == "push").unwrap();
        let states: Vec<&State> = response.cases.iter().map(|case| &case.state).collect();
        let one = |bound: &f64| standing(&prepared.system, &states, *bound) == [true];
        bounds.iter().map(one).collect()
    }

    #[test]
    fn a_column_is_known_to_stand_up_to_within_a_part_of_its_load_and_never_above_it() {
        let euler = std::f64::consts::PI.powi(2) * EI / 1e6;
        // Sways at its end: the bow within it adds little, and is known.
        assert_eq!(
            stands(r#"{"ry": "fixed", "rz": "fixed"}"#, euler, &[0.9, 0.99, 1.0001, 3.0]),
            [true, true, false, false]
        );
        // Does not move at its ends: what carries it is what it does by itself, and near that nothing is said.
        let held = r#"{"y": "fixed", "z": "fixed", "ry": "fixed", "rz": "fixed"}"#;
        assert_eq!(stands(held, 4.0 * euler, &[0.89, 0.91, 1.0001, 3.0]), [true, false, false, false]);
        // Pulled, at any load.
        assert_eq!(stands(held, -4.0 * euler, &[1.0, 1e6]), [true, true]);
    }
}
