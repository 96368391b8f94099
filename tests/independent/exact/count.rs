//! How many roots of a frame lie below a load factor or a frequency.

use nalgebra::{DMatrix, SMatrix, Vector3, Vector6};
use serde_json::Value;

use super::super::frame::{Frame, Motion};
use super::super::solved::{Loads, Solver};
use super::member::{Borne, exact_member};
use crate::support::values::{number, vector};

/// A frame among the motions that strain something.
pub(in super::super) struct Exact {
    pieces: Vec<Placed>,
    /// Springs, which are what they are at any load and frequency.
    springs: DMatrix<f64>,
    /// Motions of the bodies' centres, with mass (t) and inertia (t·mm²).
    bodies: Vec<(DMatrix<f64>, Vector6<f64>)>,
}

struct Placed {
    piece: super::super::piece::Piece,
    /// Motions of both ends, local axes, from the motions of the frame.
    ends: DMatrix<f64>,
    axial_n: f64,
}

/// Rows of six of a motion, from the columns of a basis.
fn rows(motion: &Motion, basis: &DMatrix<f64>) -> DMatrix<f64> {
    let mut rows = DMatrix::zeros(6, basis.ncols());
    for (variable, six) in motion {
        rows += six * basis.row(*variable);
    }
    rows
}

/// How many pivots of a symmetric matrix are negative: L D Lᵀ (Sylvester's law of inertia).
fn negative_pivots(mut a: DMatrix<f64>) -> usize {
    let n = a.nrows();
    let mut negative = 0;
    for column in 0..n {
        let pivot = a[(column, column)];
        assert!(pivot != 0.0 && pivot.is_finite(), "a pivot is {pivot}: look elsewhere");
        negative += usize::from(pivot < 0.0);
        let below = a.view((column + 1, column), (n - column - 1, 1)).into_owned();
        let mut rest = a.view_mut((column + 1, column + 1), (n - column - 1, n - column - 1));
        rest.ger(-1.0 / pivot, &below.column(0), &below.column(0), 1.0);
    }
    negative
}

impl Exact {
    /// The frame of a model, with the axial forces of a load.
    pub(in super::super) fn new(model: &Value, frame: &Frame, solver: &Solver<'_>, loads: &Loads) -> Exact {
        assert!(loads.on_tubes.is_empty(), "a load along a tube would make its axial force vary");
        let basis = solver.strained();
        let forces = solver.answer(loads).pieces;
        let pieces = frame
            .tubes
            .values()
            .flat_map(|tube| &tube.pieces)
            .zip(&forces)
            .map(|(placed, forces)| {
                let turned = |motion: &Motion| {
                    let global = rows(motion, &basis);
                    let mut local = global.clone();
                    for row in [0, 3] {
                        local.rows_mut(row, 3).copy_from(&(placed.piece.axes * global.rows(row, 3)));
                    }
                    local
                };
                let mut ends = DMatrix::zeros(12, basis.ncols());
                ends.rows_mut(0, 6).copy_from(&turned(&placed.first_end));
                ends.rows_mut(6, 6).copy_from(&turned(&placed.second_end));
                Placed { piece: placed.piece.clone(), ends, axial_n: forces[0] }
            })
            .collect();
        let mut springs = DMatrix::zeros(basis.ncols(), basis.ncols());
        for (row, rate) in &frame.sprung {
            let mut own = DMatrix::zeros(1, basis.ncols());
            for (variable, value) in &row.terms {
                own += basis.row(*variable) * *value;
            }
            springs += own.transpose() * &own * *rate;
        }
        let bodies = frame
            .bodies
            .iter()
            .map(|(name, (thing, at))| {
                let body = &model["bodies"][name];
                let mass = number(&body["mass"]) * 1e-3;
                // 1 kg·m² is 1000 t·mm².
                let inertia = body.get("inertia").map_or_else(Vector3::zeros, vector) * 1e3;
                let both = Vector6::new(mass, mass, mass, inertia.x, inertia.y, inertia.z);
                (rows(&thing.at(at), &basis), both)
            })
            .collect();
        Exact { pieces, springs, bodies }
    }

    /// How many roots lie below a load factor, and below a circular frequency: the pivots of the
    /// frame and the own roots of its members.
    fn below(&self, factor: f64, omega: f64) -> usize {
        let mut k = self.springs.clone();
        let mut own_roots = 0;
        for placed in &self.pieces {
            let borne = Borne { axial_n: factor * placed.axial_n, omega };
            let (own, roots): (SMatrix<f64, 12, 12>, usize) = exact_member(&placed.piece, borne);
            k += placed.ends.transpose() * (own * &placed.ends);
            own_roots += roots;
        }
        for (motion, masses) in &self.bodies {
            let mut heavy = motion.clone();
            for (mut row, mass) in heavy.row_iter_mut().zip(masses.iter()) {
                row *= omega * omega * *mass;
            }
            k -= motion.transpose() * heavy;
        }
        own_roots + negative_pivots(k)
    }

    /// How many load factors lie between 0 and this one.
    pub(in super::super) fn factors_below(&self, factor: f64) -> usize {
        self.below(factor, 0.0)
    }

    /// How many natural frequencies, Hz, lie below this one.
    pub(in super::super) fn frequencies_below(&self, frequency_hz: f64) -> usize {
        self.below(0.0, frequency_hz * 2.0 * std::f64::consts::PI)
    }
}

/// The root with a number, counted from 1, to a part of itself, by bisection of the count; `None`
/// where there is none below `most`.
pub(in super::super) fn root(number: usize, most: f64, part: f64, below: impl Fn(f64) -> usize) -> Option<f64> {
    let (mut low, mut high) = (0.0, 1e-6 * most);
    while below(high) < number {
        (low, high) = (high, 2.0 * high);
        if high > most {
            return None;
        }
    }
    while high - low > part * high {
        let middle = 0.5 * (low + high);
        if below(middle) < number { low = middle } else { high = middle }
    }
    Some(0.5 * (low + high))
}
