//! A structure of which some tubes are other than drawn, or are not there: its answer without a new start.
//!
//! A [`Base`] is factorised once. A tube added, taken away or made of another size changes its stiffness by
//! U D Uᵀ, six columns wide or fewer for each piece, D of ones and minus ones; then
//!
//! ```text
//! x' = x − W (D + Uᵀ W)⁻¹ Uᵀ x        W = K⁻¹ U        x = K⁻¹ f'
//! ```
//!
//! f' has the weight of the changed tubes in it. Whether that was exact is measured: the residual of the changed
//! equations, whose sum is gone through anew, improves the answer, and where it does not come down to rounding the
//! changed matrix is factorised afresh with the plan of the base. So it is where many tubes change.
//!
//! Source: Sherman–Morrison–Woodbury, Golub and Van Loan (2013), Matrix Computations, 2.1.4, from memory.

use std::collections::BTreeMap;

use nalgebra::{DMatrix, DVector, Vector3, Vector6};

use super::assemble::{PieceStiffness, RightSide, System};
use super::statics::{Solved, solve_matrix};
use crate::beam::{Diagram, Matrix12, Vector12};
use crate::math::{ChosenEngine, Engine, NotPositive, Plan, SymmetricMatrix, symmetric_eigen, symmetric_eigenvalues};
use crate::structure::Tube;

/// Changes wider than this many columns are factorised afresh.
const WIDE: usize = 48;
/// Eigenvalues of a change under this part of the stiffest that takes part are rigid motions, or no change.
const RIGID: f64 = 1e-12;
/// A direction in which less than this part of the stiffness is left counts as loose.
const LEFT: f64 = 1e-9;
/// A backward error at or under this needs no refinement.
const REFINED: f64 = 8.0 * f64::EPSILON;
/// A backward error above this asks for a fresh factor.
const INEXACT: f64 = 1e-13;
/// At most so many refinements.
const REFINEMENTS: usize = 3;

/// A tube of a structure, and what it becomes.
#[derive(Debug, Clone)]
pub struct Change {
    /// The tube, an index into [`crate::structure::Structure::tubes`].
    pub tube: usize,
    /// Its figures (of which the section's and the material's count); `None`: it is not there.
    pub to: Option<Tube>,
    /// The uniform load on it under each right side, global axes, N/mm.
    pub loads_n_mm: Vec<Vector3<f64>>,
}

/// How an answer was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Route {
    /// From the factor of the base, with this backward error.
    Corrected(f64),
    /// By a factor of its own.
    Afresh,
}

/// The answer of a changed structure.
#[derive(Debug, Clone)]
pub struct ChangedAnswer {
    /// Motions of each part at its origin, for each right side, mm and rad.
    pub parts: Vec<Vec<Vector6<f64>>>,
    /// Internal forces of each piece, for each right side; `None`: it is not there.
    pub diagrams: Vec<Vec<Option<Diagram>>>,
    /// How it was found.
    pub route: Route,
}

/// A structure, factorised without some of its tubes, and its answers under some right sides.
pub struct Base<'s> {
    system: &'s System,
    plan: Box<dyn Plan>,
    matrix: SymmetricMatrix,
    solved: Solved,
    /// Whether each tube is there.
    is_there: Vec<bool>,
    /// The right sides, absent tubes left out.
    sides: Vec<RightSide>,
}

/// A symmetric stiffness on the motions of a piece's nodes as Σ ± v vᵀ, six at most since a piece has six rigid
/// motions; `true`: minus. `None` where something in it is no number.
pub(super) fn factors(stiffness: &Matrix12, length_mm: f64) -> Option<Vec<(Vector12, bool)>> {
    // Shifts and turns of its ends in units of its length, so that one eigenvalue is told from another.
    let scale = Vector12::from_fn(|row, _| if row % 6 < 3 { 1.0 } else { 1.0 / length_mm });
    let eigen = symmetric_eigen(stiffness.component_mul(&(scale * scale.transpose())))?;
    let least = RIGID * eigen.eigenvalues.amax();
    let mut found: Vec<usize> = (0..12).filter(|at| eigen.eigenvalues[*at].abs() > least).collect();
    found.sort_by(|one, other| eigen.eigenvalues[*other].abs().total_cmp(&eigen.eigenvalues[*one].abs()));
    found.truncate(6);
    let factor = |at: usize| {
        let value = eigen.eigenvalues[at];
        (eigen.eigenvectors.column(at).component_div(&scale) * value.abs().sqrt(), value < 0.0)
    };
    Some(found.into_iter().map(factor).collect())
}

/// One piece of a changed tube.
struct ChangedPiece {
    at: usize,
    /// What it is now; `None`: not there.
    now: Option<PieceStiffness>,
    /// What it is more than in the base, on the motions of its nodes.
    more: Matrix12,
}

/// A low-rank change of the factorised matrix.
struct Correction {
    u: DMatrix<f64>,
    /// K⁻¹ U.
    w: DMatrix<f64>,
    /// (D + Uᵀ W)⁻¹ as a factor.
    inner: nalgebra::LU<f64, nalgebra::Dyn, nalgebra::Dyn>,
}

impl Correction {
    /// From solutions of the base to those of the changed matrix, in place; `None` where it is singular.
    fn apply(&self, x: &mut DMatrix<f64>) -> Option<()> {
        if self.u.ncols() == 0 {
            return Some(());
        }
        let inner = self.inner.solve(&self.u.tr_mul(x))?;
        x.gemm(-1.0, &self.w, &inner, 1.0);
        Some(())
    }
}

impl<'s> Base<'s> {
    /// Factorises a structure without these tubes. `sides` are those of the whole structure: what acts on an absent
    /// tube is left out.
    ///
    /// # Errors
    /// [`NotPositive`] where it does not stand so.
    pub fn new(system: &'s System, absent: &[usize], sides: &[RightSide]) -> Result<Self, NotPositive> {
        let plan = ChosenEngine.plan(&system.numbering.pattern);
        let is_there: Vec<bool> = (0..system.structure.tubes.len()).map(|tube| !absent.contains(&tube)).collect();
        let matrix = system.assembled(|piece| {
            let is_there = is_there[system.structure.pieces[piece].tube];
            if is_there { *system.pieces[piece].joined.node() } else { Matrix12::zeros() }
        });
        let solved = solve_matrix(&matrix, plan.as_ref())?;
        if solved.is_suspicious() {
            return Err(NotPositive);
        }
        let sides = sides.iter().map(|side| system.side_without(side, absent)).collect();
        Ok(Self { system, plan, matrix, solved, is_there, sides })
    }

    /// The answer with some tubes changed.
    ///
    /// # Errors
    /// [`NotPositive`] where it does not stand so.
    ///
    /// # Panics
    /// Where a change has not a load for each right side.
    pub fn with(&self, changes: &[Change]) -> Result<ChangedAnswer, NotPositive> {
        let pieces = self.changed_pieces(changes);
        let right = self.right_sides(changes, &pieces);
        let (x, route) = match self.corrected(&pieces, &right) {
            Some((x, error)) => (x, Route::Corrected(error)),
            None => (self.afresh(&pieces, &right)?, Route::Afresh),
        };
        Ok(self.answer(changes, &pieces, &x, route))
    }

    fn changed_pieces(&self, changes: &[Change]) -> Vec<ChangedPiece> {
        let mut pieces = Vec::new();
        for change in changes {
            for at in self.system.structure.tubes[change.tube].pieces.clone() {
                let now = change.to.as_ref().map(|tube| self.system.piece_of(at, tube));
                let mut more = now.as_ref().map_or_else(Matrix12::zeros, |now| *now.joined.node());
                if self.is_there[change.tube] {
                    more -= self.system.pieces[at].joined.node();
                }
                pieces.push(ChangedPiece { at, now, more });
            }
        }
        pieces
    }

    /// The loads on the unknowns, with what changes of them.
    fn right_sides(&self, changes: &[Change], pieces: &[ChangedPiece]) -> DMatrix<f64> {
        let mut right = DMatrix::zeros(self.matrix.n(), self.sides.len());
        for (at, side) in self.sides.iter().enumerate() {
            let mut side = side.clone();
            side.unknowns.fill(0.0);
            let is_changed = |piece: usize| pieces.iter().any(|changed| changed.at == piece);
            let is_absent = |piece: usize| !self.is_there[self.system.structure.pieces[piece].tube];
            self.system.fill_but(&mut side, |piece| is_changed(piece) || is_absent(piece));
            for piece in pieces {
                let tube = self.system.structure.pieces[piece.at].tube;
                let change = changes.iter().find(|change| change.tube == tube);
                if let (Some(now), Some(change)) = (&piece.now, change)
                    && let Some(f) = self.system.load_of_piece(piece.at, now, &change.loads_n_mm[at], &side.moved)
                {
                    self.system.add_on_unknowns(now, &f, &mut side.unknowns);
                }
            }
            right.set_column(at, &side.unknowns);
        }
        right
    }

    /// The unknowns from the factor of the base, and their backward error; `None` where that is not exact.
    fn corrected(&self, pieces: &[ChangedPiece], right: &DMatrix<f64>) -> Option<(DMatrix<f64>, f64)> {
        let correction = self.correction(pieces)?;
        let mut x = right.clone();
        self.solved.factor.solve(&mut x);
        correction.apply(&mut x)?;
        let (mut error, mut residual) = self.residual(pieces, &x, right);
        for _ in 0..REFINEMENTS {
            if error <= REFINED {
                break;
            }
            self.solved.factor.solve(&mut residual);
            correction.apply(&mut residual)?;
            let better = &x + &residual;
            let (next, next_residual) = self.residual(pieces, &better, right);
            if next >= error {
                break;
            }
            (x, error, residual) = (better, next, next_residual);
        }
        // What is no number is not exact either.
        (error <= INEXACT).then_some((x, error))
    }

    /// `None`: too wide, singular, or no number.
    fn correction(&self, pieces: &[ChangedPiece]) -> Option<Correction> {
        let mut columns: Vec<DVector<f64>> = Vec::new();
        let mut signs = Vec::new();
        for piece in pieces {
            let own = &self.system.pieces[piece.at];
            for (of_piece, is_minus) in factors(&piece.more, own.beam.length_mm)? {
                columns.push(self.system.on_unknowns(piece.at, &of_piece));
                signs.push(if is_minus { -1.0 } else { 1.0 });
            }
        }
        if columns.len() > WIDE {
            return None;
        }
        let u = if columns.is_empty() { DMatrix::zeros(self.matrix.n(), 0) } else { DMatrix::from_columns(&columns) };
        let mut w = u.clone();
        self.solved.factor.solve(&mut w);
        let inner = DMatrix::from_diagonal(&DVector::from_vec(signs)) + u.tr_mul(&w);
        // Where a direction has lost all its stiffness any answer in it leaves a small residual.
        if !columns.is_empty() {
            let values = symmetric_eigenvalues(&((&inner + inner.transpose()) * 0.5))?;
            if values.iter().any(|value| value.abs() < LEFT) {
                return None;
            }
        }
        Some(Correction { inner: inner.lu(), u, w })
    }

    /// The largest componentwise backward error of the changed equations, and what is left of them.
    fn residual(&self, pieces: &[ChangedPiece], x: &DMatrix<f64>, right: &DMatrix<f64>) -> (f64, DMatrix<f64>) {
        let (mut residual, mut size) = self.matrix.residual(x, right);
        for piece in pieces {
            let own = &self.system.pieces[piece.at];
            for side in 0..x.ncols() {
                let motions = self.system.linear_motions_of_piece(piece.at, &x.column(side).into_owned());
                let forces = piece.more * motions;
                let mut load = DVector::zeros(x.nrows());
                self.system.add_on_unknowns(own, &forces, &mut load);
                residual.column_mut(side).axpy(-1.0, &load, 1.0);
                size.column_mut(side).zip_apply(&load, |size, load| *size += load.abs());
            }
        }
        let error = |(left, size): (&f64, &f64)| if *size == 0.0 { 0.0 } else { left.abs() / size };
        let worst = residual
            .iter()
            .zip(size.iter())
            .map(error)
            .fold(0.0, |worst: f64, error| if error.is_nan() { f64::INFINITY } else { worst.max(error) });
        (worst, residual)
    }

    fn afresh(&self, pieces: &[ChangedPiece], right: &DMatrix<f64>) -> Result<DMatrix<f64>, NotPositive> {
        let changed: BTreeMap<usize, &ChangedPiece> = pieces.iter().map(|piece| (piece.at, piece)).collect();
        let matrix = self.system.assembled(|piece| match changed.get(&piece) {
            Some(changed) => changed.now.as_ref().map_or_else(Matrix12::zeros, |now| *now.joined.node()),
            None if self.is_there[self.system.structure.pieces[piece].tube] => *self.system.pieces[piece].joined.node(),
            None => Matrix12::zeros(),
        });
        let solved = solve_matrix(&matrix, self.plan.as_ref())?;
        if solved.is_suspicious() {
            return Err(NotPositive);
        }
        let mut x = right.clone();
        solved.factor.solve(&mut x);
        Ok(solved.refined_on(&matrix, x, right).0)
    }

    fn answer(&self, changes: &[Change], pieces: &[ChangedPiece], x: &DMatrix<f64>, route: Route) -> ChangedAnswer {
        let changed: BTreeMap<usize, &ChangedPiece> = pieces.iter().map(|piece| (piece.at, piece)).collect();
        let structure = &self.system.structure;
        let (mut parts, mut diagrams) = (Vec::new(), Vec::new());
        for (at, side) in self.sides.iter().enumerate() {
            let motions = self.system.motions(side, &x.column(at).into_owned());
            let of_piece = |piece: usize| {
                let tube = structure.pieces[piece].tube;
                let (stiffness, load_n_mm) = match changed.get(&piece) {
                    Some(changed) => {
                        let change = changes.iter().find(|change| change.tube == tube)?;
                        (changed.now.as_ref()?, change.loads_n_mm[at])
                    }
                    None if self.is_there[tube] => (&self.system.pieces[piece], side.on_tubes[tube]),
                    None => return None,
                };
                Some(self.system.diagram_of(piece, stiffness, &load_n_mm, &motions))
            };
            diagrams.push((0..structure.pieces.len()).map(of_piece).collect());
            parts.push(motions);
        }
        ChangedAnswer { parts, diagrams, route }
    }
}

impl System {
    /// A right side without what acts on these tubes and without their part in what moved ground brings.
    pub(super) fn side_without(&self, side: &RightSide, absent: &[usize]) -> RightSide {
        let mut without = side.clone();
        for tube in absent {
            without.on_tubes[*tube] = Vector3::zeros();
        }
        // Summed anew: what is subtracted from a sum leaves its rounding.
        without.unknowns.fill(0.0);
        self.fill_but(&mut without, |piece| absent.contains(&self.structure.pieces[piece].tube));
        without
    }

    /// Motions of both ends of a piece in local axes, as the tube's nodes have them, from the unknowns alone.
    pub(super) fn linear_motions_of_piece(&self, piece: usize, unknowns: &DVector<f64>) -> Vector12 {
        let mut motions = Vector12::zeros();
        for (block, end, six) in &self.pieces[piece].from_blocks {
            let of_end = six * self.numbering.of_block(unknowns, *block);
            let mut there = motions.fixed_rows_mut::<6>(6 * end);
            there += of_end;
        }
        motions
    }

    /// Internal forces of a piece of this stiffness under a uniform load on its tube (global axes) and the motions of
    /// all parts.
    pub(super) fn diagram_of(
        &self,
        piece: usize,
        stiffness: &PieceStiffness,
        load_n_mm: &Vector3<f64>,
        parts: &[Vector6<f64>],
    ) -> Diagram {
        let drawn = &self.structure.pieces[piece];
        let load_n_mm = drawn.axes.rotation * load_n_mm;
        let nodes = stiffness.local_motions(&parts[drawn.ends[0].part], &parts[drawn.ends[1].part]);
        stiffness.recover(&nodes, load_n_mm).2
    }
}
