//! The motions that the rows allow, and the answer to a case among them.

use std::collections::BTreeMap;

use nalgebra::{DMatrix, DVector, Matrix6xX, SymmetricEigen, Vector3, Vector6};

use super::frame::{Frame, Holder, Motion, Row};

/// A pivot of rows under this, of the largest, is none: the row depends on others.
const DEPENDENT: f64 = 1e-9;
/// A stiffness under this, of the largest, is none: nothing strains.
const SLACK: f64 = 1e-14;

/// Rows that share variables, with what they leave free.
///
/// With Cᵀ P = Q R the first columns of Q are what the rows hold and the others what they allow.
struct Held {
    variables: Vec<usize>,
    rows: Vec<usize>,
    /// Rows that do not depend on others, by place in `rows`.
    chosen: Vec<usize>,
    /// What they hold: variables × chosen.
    normal: DMatrix<f64>,
    /// Upper triangle: chosen × chosen.
    r: DMatrix<f64>,
    /// What they allow: variables × free.
    allowed: DMatrix<f64>,
}

impl Held {
    fn new(rows: &[Row], of: Vec<usize>, variables: Vec<usize>) -> Held {
        let n = variables.len();
        let mut transposed = DMatrix::zeros(n, of.len());
        for (column, row) in of.iter().enumerate() {
            for (variable, value) in &rows[*row].terms {
                let place = variables.binary_search(variable).expect("the variables of a group are all of its rows'");
                transposed[(place, column)] = *value;
            }
        }
        let (q, r, chosen) = pivoted(transposed);
        let rank = chosen.len();
        Held {
            variables,
            rows: of,
            chosen,
            normal: q.columns(0, rank).into_owned(),
            r,
            allowed: q.columns(rank, n - rank).into_owned(),
        }
    }
}

/// Orthonormal columns of the whole space, the first of which span those of a matrix: Householder's
/// reflections on the largest column that is left. R of the columns that were chosen, and which.
fn pivoted(mut a: DMatrix<f64>) -> (DMatrix<f64>, DMatrix<f64>, Vec<usize>) {
    let (n, m) = a.shape();
    let mut q = DMatrix::identity(n, n);
    let mut order: Vec<usize> = (0..m).collect();
    let mut rank = 0;
    let largest = a.column_iter().map(|column| column.norm()).fold(0.0, f64::max);
    while rank < n.min(m) {
        let norm = |column: usize| a.view((rank, column), (n - rank, 1)).norm();
        let best = (rank..m).fold(rank, |best, next| if norm(next) > norm(best) { next } else { best });
        let size = norm(best);
        if size <= DEPENDENT * largest {
            break;
        }
        a.swap_columns(rank, best);
        order.swap(rank, best);
        let mut mirror: DVector<f64> = a.view((rank, rank), (n - rank, 1)).column(0).into_owned();
        mirror[0] += size.copysign(mirror[0]);
        let length = mirror.norm();
        mirror /= length;
        let mut of_a = a.view_mut((rank, 0), (n - rank, m));
        let shadow = of_a.tr_mul(&mirror);
        of_a.ger(-2.0, &mirror, &shadow, 1.0);
        let mut of_q = q.view_mut((0, rank), (n, n - rank));
        let shadow = &of_q * &mirror;
        of_q.ger(-2.0, &shadow, &mirror, 1.0);
        rank += 1;
    }
    order.truncate(rank);
    (q, a.view((0, 0), (rank, rank)).into_owned(), order)
}

/// A frame, ready for its cases.
pub(super) struct Solver<'f> {
    frame: &'f Frame,
    held: Vec<Held>,
    /// Variables from the free motions.
    allowed: DMatrix<f64>,
    /// Deformations of each piece from the free motions, in the order of the tubes.
    deformations: Vec<Matrix6xX<f64>>,
    /// Stretch of each spring from the free motions.
    stretches: Vec<DVector<f64>>,
    scale: DVector<f64>,
    eigen: SymmetricEigen<f64, nalgebra::Dyn>,
    largest: f64,
}

/// What acts in a case, and what comes of it.
pub(super) struct Answer {
    pub(super) variables: DVector<f64>,
    /// Forces on the second end of each piece, in the order of the tubes.
    pub(super) pieces: Vec<Vector6<f64>>,
    /// Uniform load on each piece, local axes.
    pub(super) loads: Vec<Vector3<f64>>,
    /// What each holder does to each node.
    pub(super) holders: BTreeMap<(Holder, String), Vector6<f64>>,
}

/// What acts in a case.
#[derive(Debug, Default)]
pub(super) struct Loads {
    /// On each variable.
    pub(super) on_variables: Vec<f64>,
    /// On each tube by name, N/mm, global axes.
    pub(super) on_tubes: BTreeMap<String, Vector3<f64>>,
    /// By how much the ground moves, mm or rad, by node and direction.
    pub(super) moved: BTreeMap<(String, usize), f64>,
}

impl Loads {
    /// Adds a force and moment at a place that moves so.
    pub(super) fn add(&mut self, motion: &Motion, wrench: &Vector6<f64>) {
        for (variable, six) in motion {
            self.on_variables[*variable] += six.dot(wrench);
        }
    }

    fn moved(&self, row: &Row) -> f64 {
        let key = row.direction.map(|direction| (row.node.clone(), direction));
        key.and_then(|key| self.moved.get(&key)).copied().unwrap_or(0.0)
    }
}

/// Groups of rows that share variables; variables in no row are groups without rows.
fn groups(frame: &Frame) -> Vec<Held> {
    let mut head: Vec<usize> = (0..frame.n_variables).collect();
    fn find(head: &mut [usize], mut at: usize) -> usize {
        while head[at] != at {
            head[at] = head[head[at]];
            at = head[at];
        }
        at
    }
    for row in &frame.held {
        for pair in row.terms.windows(2) {
            let (one, other) = (find(&mut head, pair[0].0), find(&mut head, pair[1].0));
            head[one] = other;
        }
    }
    let mut all: BTreeMap<usize, (Vec<usize>, Vec<usize>)> = BTreeMap::new();
    for variable in 0..frame.n_variables {
        all.entry(find(&mut head, variable)).or_default().0.push(variable);
    }
    for (at, row) in frame.held.iter().enumerate() {
        let of = find(&mut head, row.terms[0].0);
        all.entry(of).or_default().1.push(at);
    }
    all.into_values().map(|(variables, rows)| Held::new(&frame.held, rows, variables)).collect()
}

impl<'f> Solver<'f> {
    pub(super) fn new(frame: &'f Frame) -> Solver<'f> {
        let held = groups(frame);
        let n_free = held.iter().map(|held| held.allowed.ncols()).sum();
        let mut allowed = DMatrix::zeros(frame.n_variables, n_free);
        let mut first = 0;
        for held in &held {
            for (place, variable) in held.variables.iter().enumerate() {
                for column in 0..held.allowed.ncols() {
                    allowed[(*variable, first + column)] = held.allowed[(place, column)];
                }
            }
            first += held.allowed.ncols();
        }
        let mut stiffness = DMatrix::zeros(n_free, n_free);
        let rows = allowed.transpose();
        let mut deformations = Vec::new();
        for placed in frame.tubes.values().flat_map(|tube| &tube.pieces) {
            let mut own = Matrix6xX::zeros(n_free);
            for (variable, six) in &placed.deformation {
                own.ger(1.0, six, &rows.column(*variable), 1.0);
            }
            stiffness += own.transpose() * (placed.piece.stiffness * &own);
            deformations.push(own);
        }
        let mut stretches = Vec::new();
        for (row, rate) in &frame.sprung {
            let mut own = DVector::zeros(n_free);
            for (variable, value) in &row.terms {
                own.axpy(*value, &rows.column(*variable), 1.0);
            }
            stiffness.ger(*rate, &own, &own, 1.0);
            stretches.push(own);
        }
        let largest = stiffness.diagonal().amax();
        let scale = stiffness.diagonal().map(|value| if value > SLACK * largest { value.sqrt().recip() } else { 0.0 });
        let scaled =
            DMatrix::from_fn(n_free, n_free, |row, column| scale[row] * stiffness[(row, column)] * scale[column]);
        let eigen = scaled.symmetric_eigen();
        let largest = eigen.eigenvalues.amax();
        Solver { frame, held, allowed, deformations, stretches, scale, eigen, largest }
    }

    /// Free motions under a right side, of least size where something is slack.
    fn free(&self, right: &DVector<f64>) -> DVector<f64> {
        let mut parts = self.eigen.eigenvectors.tr_mul(&right.component_mul(&self.scale));
        for (part, value) in parts.iter_mut().zip(&self.eigen.eigenvalues) {
            *part = if *value > SLACK * self.largest { *part / value } else { 0.0 };
        }
        (&self.eigen.eigenvectors * parts).component_mul(&self.scale)
    }

    /// Whether every motion strains something.
    pub(super) fn strains_always(&self) -> bool {
        self.eigen.eigenvalues.iter().all(|value| *value > SLACK * self.largest)
    }

    /// The variables from motions that strain something, each of unit stiffness.
    pub(super) fn strained(&self) -> DMatrix<f64> {
        let columns: Vec<DVector<f64>> = self
            .eigen
            .eigenvalues
            .iter()
            .zip(self.eigen.eigenvectors.column_iter())
            .filter(|(value, _)| **value > SLACK * self.largest)
            .map(|(value, column)| &self.allowed * column.component_mul(&self.scale) / value.sqrt())
            .collect();
        DMatrix::from_columns(&columns)
    }

    /// Whether a motion that strains nothing moves a variable: how it moves is nobody's to say.
    pub(super) fn is_slack(&self, variable: usize) -> bool {
        let row = self.allowed.row(variable);
        let size = row.norm().max(1e-300);
        let without_stiffness = (0..self.scale.len()).any(|at| self.scale[at] == 0.0 && row[at].abs() > 1e-9 * size);
        let in_kernel = self
            .eigen
            .eigenvalues
            .iter()
            .zip(self.eigen.eigenvectors.column_iter())
            .filter(|(value, _)| **value <= SLACK * self.largest)
            .any(|(_, column)| {
                let moved: f64 = row.iter().zip(&self.scale).zip(column.iter()).map(|((r, s), c)| r * s * c).sum();
                let all = column.component_mul(&self.scale).norm();
                moved.abs() > 1e-6 * size * all
            });
        without_stiffness || in_kernel
    }

    /// The variables that moved mounts alone bring.
    fn moved_by_ground(&self, loads: &Loads) -> DVector<f64> {
        let mut variables = DVector::zeros(self.frame.n_variables);
        for held in &self.held {
            let amounts: Vec<f64> =
                held.chosen.iter().map(|row| loads.moved(&self.frame.held[held.rows[*row]])).collect();
            if amounts.iter().all(|amount| *amount == 0.0) {
                continue;
            }
            let parts = held.r.tr_solve_upper_triangular(&DVector::from_vec(amounts)).expect("pivots are not zero");
            for (variable, value) in held.variables.iter().zip((&held.normal * parts).iter()) {
                variables[*variable] = *value;
            }
        }
        variables
    }

    /// The answer to a case.
    pub(super) fn answer(&self, loads: &Loads) -> Answer {
        let frame = self.frame;
        let start = self.moved_by_ground(loads);
        let mut on_variables = loads.on_variables.clone();
        let placed: Vec<_> =
            frame.tubes.iter().flat_map(|(name, tube)| tube.pieces.iter().map(move |placed| (name, placed))).collect();
        let mut loads_of_pieces = Vec::new();
        let mut without = Vec::new();
        for (name, placed) in &placed {
            let load = loads.on_tubes.get(*name).copied().unwrap_or_default();
            let (force, arm) = (load * placed.piece.length_mm, placed.piece.length_mm / 2.0);
            let moment = placed.piece.axes.row(0).transpose().cross(&force) * arm;
            let wrench = Vector6::new(force.x, force.y, force.z, moment.x, moment.y, moment.z);
            for (variable, six) in &placed.first_end {
                on_variables[*variable] += six.dot(&wrench);
            }
            let local = placed.piece.axes * load;
            let mut deformation = -placed.piece.deformation_under(&local);
            for (variable, six) in &placed.deformation {
                deformation += six * start[*variable];
            }
            without.push(deformation);
            loads_of_pieces.push(local);
        }
        let stretched: Vec<f64> = frame
            .sprung
            .iter()
            .map(|(row, _)| {
                row.terms.iter().map(|(variable, value)| value * start[*variable]).sum::<f64>() - loads.moved(row)
            })
            .collect();
        let on_variables = DVector::from_vec(on_variables);
        let forces = |free: &DVector<f64>| -> (Vec<Vector6<f64>>, Vec<f64>) {
            let pieces = placed
                .iter()
                .zip(&self.deformations)
                .zip(&without)
                .map(|(((_, placed), own), without)| placed.piece.stiffness * (own * free + without))
                .collect();
            let springs = frame
                .sprung
                .iter()
                .zip(&self.stretches)
                .zip(&stretched)
                .map(|(((_, rate), own), without)| rate * (own.dot(free) + without))
                .collect();
            (pieces, springs)
        };
        let mut free = DVector::zeros(self.allowed.ncols());
        for _ in 0..3 {
            let (pieces, springs) = forces(&free);
            let mut left = self.allowed.tr_mul(&on_variables);
            for (own, six) in self.deformations.iter().zip(&pieces) {
                left -= own.tr_mul(six);
            }
            for (own, force) in self.stretches.iter().zip(&springs) {
                left.axpy(-force, own, 1.0);
            }
            free += self.free(&left);
        }
        let (pieces, springs) = forces(&free);
        let mut left = on_variables;
        for ((_, placed), six) in placed.iter().zip(&pieces) {
            for (variable, own) in &placed.deformation {
                left[*variable] -= own.dot(six);
            }
        }
        let mut holders: BTreeMap<(Holder, String), Vector6<f64>> = BTreeMap::new();
        let mut add = |row: &Row, force: f64| {
            let sum = holders.entry((row.holder.clone(), row.node.clone())).or_default();
            *sum += row.wrench * force;
        };
        for ((row, _), force) in frame.sprung.iter().zip(&springs) {
            for (variable, value) in &row.terms {
                left[*variable] -= value * force;
            }
            add(row, -force);
        }
        for held in &self.held {
            let own = DVector::from_iterator(held.variables.len(), held.variables.iter().map(|at| left[*at]));
            let on_rows = held.r.solve_upper_triangular(&held.normal.tr_mul(&own)).expect("pivots are not zero");
            for (row, force) in held.chosen.iter().zip(on_rows.iter()) {
                add(&frame.held[held.rows[*row]], -force);
            }
        }
        let variables = start + &self.allowed * free;
        Answer { variables, pieces, loads: loads_of_pieces, holders }
    }
}
