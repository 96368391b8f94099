//! The largest eigenpairs of K⁻¹ B, K positive definite and factorised, B symmetric.

use nalgebra::{DMatrix, DVector};

use super::eigen::symmetric_eigen;
use super::sparse::{Factor, SymmetricMatrix};

/// Which pairs have come out is looked at once the space has grown by one part in so many: a look costs as much as
/// some columns more.
const BETWEEN_LOOKS: usize = 5;
/// Columns that there is room for at first.
const FIRST_COLUMNS: usize = 32;
/// A pair has come out once what is left of its equation is under this part of its value.
const COME_OUT: f64 = 1e-6;
/// A direction of which less than this part is left (of its square) counts as gone: made as long as the others, what
/// round-off has left in it would bring copies of what has come out already.
const GONE: f64 = 1e-14;
/// A column of which less than this part is left (of its square) is made square to the space again: round-off is no
/// longer small beside it.
const LITTLE_LEFT: f64 = 1e-4;
/// A value under this part of the largest magnitude counts as nothing.
const NOTHING: f64 = 1e-9;

/// Eigenpairs of K⁻¹ B.
#[derive(Debug, Clone, PartialEq)]
pub struct Pairs {
    /// Positive values μ of B φ = μ K φ, largest first.
    pub values: Vec<f64>,
    /// φ, one a column, φᵀ K φ = 1.
    pub vectors: DMatrix<f64>,
    /// How many columns were solved for them.
    pub solves: usize,
}

/// How a search for eigenpairs goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Search {
    /// How many pairs are wanted.
    pub wanted: usize,
    /// Most columns that the space may come to hold.
    pub most: usize,
    /// Columns that are solved at once. A value that is there several times comes out as often as it is there if no
    /// more than so many times; the fewer, the fewer columns are needed.
    pub together: usize,
    /// Where it starts: the same in every run, another place for each number.
    pub start: u64,
}

/// The largest positive values of B φ = μ K φ with their vectors: as many as are wanted, or all that
/// there are, or what had come out when the space held the most columns.
///
/// Lanczos with blocks, in the inner product of K, with full reorthogonalisation. What K makes of
/// Y = K⁻¹ W is W, so that XᵀKY = XᵀW, and YᵀKY = YᵀW once Y is square to the space; only where little is left of a
/// block it is made square again (Parlett, ch. 6, "twice is enough"), and multiplied by K for that. Whether a
/// value is missing, a count of negative pivots tells ([`super::Plan::factor_and_count`]).
///
/// Source: Golub and Van Loan (2013), Matrix Computations, 10.3.6 (block Lanczos), from memory;
/// the operator K⁻¹B in the inner product of K: Parlett (1998), The Symmetric Eigenvalue Problem,
/// ch. 15, from memory.
pub fn largest_pairs(k: &SymmetricMatrix, factor: &dyn Factor, b: &SymmetricMatrix, search: Search) -> Pairs {
    let n = b.n();
    let stiffness = Stiffness { k, factor };
    let wanted = search.wanted;
    let mut space = Space::new(n, search);
    let mut next = space.start(&stiffness, search.start);
    let mut found = Found { values: Vec::new(), inside: DMatrix::zeros(0, 0), come_out: 0 };
    let mut look_at = 2 * wanted;
    while let Some(block) = next.take() {
        let grown = space.grow(&stiffness, b, &block);
        if space.filled >= look_at || grown.is_none() {
            found = space.pairs(grown.as_ref(), wanted);
            if found.come_out >= wanted {
                break;
            }
            look_at = space.filled + space.filled / BETWEEN_LOOKS;
        }
        next = match grown {
            Some(grown) => Some(grown.block),
            // Nothing new is left in this direction: another start, as long as there is room.
            None if space.filled < space.most => space.start(&stiffness, search.start ^ (space.filled as u64)),
            None => None,
        };
    }
    let kept = found.come_out.min(wanted);
    Pairs {
        values: found.values[..kept].to_vec(),
        vectors: space.x.columns(0, space.filled) * found.inside.columns(0, kept),
        solves: space.solves,
    }
}

/// A block that goes on from the last one, and its share in what B makes of that: rows of the last
/// block's coupling.
struct Grown {
    block: DMatrix<f64>,
    coupling: DMatrix<f64>,
}

/// K and its factor.
struct Stiffness<'k> {
    k: &'k SymmetricMatrix,
    factor: &'k dyn Factor,
}

/// Values with what their vectors are in the space.
struct Found {
    values: Vec<f64>,
    inside: DMatrix<f64>,
    /// How many of them, from the first on, have come out.
    come_out: usize,
}

/// The space that has been built: columns that are orthonormal in the inner product of K.
struct Space {
    x: DMatrix<f64>,
    /// xᵀ B x.
    b: DMatrix<f64>,
    filled: usize,
    /// Most columns that it may come to hold.
    most: usize,
    /// Columns of a block.
    together: usize,
    /// Columns of the last block.
    last: usize,
    solves: usize,
}

impl Space {
    fn new(n: usize, search: Search) -> Self {
        let (x, b) = (DMatrix::zeros(n, 0), DMatrix::zeros(0, 0));
        let together = search.together.max(1);
        Self { x, b, filled: 0, most: search.most.max(together).min(n), together, last: 0, solves: 0 }
    }

    /// Makes room for more columns; twice as many as there were, so that large problems hold no more than they need.
    fn make_room(&mut self, columns: usize) {
        if self.filled + columns > self.x.ncols() {
            let columns = (2 * self.x.ncols()).max(FIRST_COLUMNS).max(self.filled + columns).min(self.most);
            self.x.resize_horizontally_mut(columns, 0.0);
            self.b.resize_mut(columns, columns, 0.0);
        }
    }

    /// A block of columns in no particular direction, square to the space.
    fn start(&mut self, stiffness: &Stiffness, seed: u64) -> Option<DMatrix<f64>> {
        let columns = self.together.min(self.most - self.filled);
        let mut state = seed.wrapping_add(0x9E37_79B9_7F4A_7C15);
        // The plain generator of Knuth (MMIX); only that no eigenvector is square to what it gives.
        let mut random = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 11) as f64 / (1_u64 << 53) as f64 - 0.5
        };
        let kx = DMatrix::from_fn(self.x.nrows(), columns, |_, _| random());
        let (_, square) = self.solved(stiffness, &kx);
        square.map(|grown| grown.block)
    }

    /// Takes a block into the space; gives the next one, from what B makes of it.
    fn grow(&mut self, stiffness: &Stiffness, b: &SymmetricMatrix, block: &DMatrix<f64>) -> Option<Grown> {
        let columns = block.ncols().min(self.most - self.filled);
        self.make_room(columns);
        let block = block.columns(0, columns).into_owned();
        self.x.columns_mut(self.filled, columns).copy_from(&block);
        let from = self.filled;
        self.filled += columns;
        self.last = columns;
        let (inside, grown) = self.solved(stiffness, &b.times(&block));
        for column in 0..columns {
            for row in 0..self.filled {
                self.b[(row, from + column)] = inside[(row, column)];
                self.b[(from + column, row)] = inside[(row, column)];
            }
        }
        if self.filled == self.most { None } else { grown }
    }

    /// What of K⁻¹ W lies in the space, and the rest, made orthonormal; none where that is round-off.
    fn solved(&mut self, stiffness: &Stiffness, w: &DMatrix<f64>) -> (DMatrix<f64>, Option<Grown>) {
        let mut y = w.clone();
        stiffness.factor.solve(&mut y);
        self.solves += w.ncols();
        let before: Vec<f64> = y.column_iter().zip(w.column_iter()).map(|(y, w)| y.dot(&w)).collect();
        let x = self.x.columns(0, self.filled);
        let mut inside = x.tr_mul(w);
        y.gemm(-1.0, &x, &inside, 1.0);
        let mut gram = y.tr_mul(w);
        if before.iter().enumerate().any(|(at, before)| gram[(at, at)] < LITTLE_LEFT * before) {
            let more = x.tr_mul(&stiffness.k.times(&y));
            y.gemm(-1.0, &x, &more, 1.0);
            inside += more;
            gram = y.tr_mul(&stiffness.k.times(&y));
        }
        let grown = orthonormal(&y, &gram, &before);
        (inside, grown)
    }

    /// The positive values in the space, largest first, and which have come out.
    fn pairs(&self, grown: Option<&Grown>, wanted: usize) -> Found {
        let inside = self.b.view((0, 0), (self.filled, self.filled)).into_owned();
        let Some(eigen) = symmetric_eigen(inside) else {
            return Found { values: Vec::new(), inside: DMatrix::zeros(self.filled, 0), come_out: 0 };
        };
        let largest = eigen.eigenvalues.amax();
        let mut order: Vec<usize> = (0..self.filled).filter(|at| eigen.eigenvalues[*at] > NOTHING * largest).collect();
        order.sort_by(|one, other| eigen.eigenvalues[*other].total_cmp(&eigen.eigenvalues[*one]));
        let last = self.filled - self.last;
        let left = |at: usize| {
            let of_last = eigen.eigenvectors.view((last, at), (self.last, 1));
            grown.map_or(0.0, |grown| (&grown.coupling * of_last).norm())
        };
        let values: Vec<f64> = order.iter().map(|at| eigen.eigenvalues[*at]).collect();
        let come_out =
            order.iter().take(wanted).take_while(|at| left(**at) <= COME_OUT * eigen.eigenvalues[**at]).count();
        let columns: Vec<DVector<f64>> =
            order.iter().take(come_out).map(|at| eigen.eigenvectors.column(*at).into_owned()).collect();
        let inside = if columns.is_empty() { DMatrix::zeros(self.filled, 0) } else { DMatrix::from_columns(&columns) };
        Found { values, inside, come_out }
    }
}

/// Columns made orthonormal in the inner product of K, and what they were in these: x = x' r.
/// `gram` is xᵀ K x. Directions that are round-off of what the columns were `before`, squared, are left out; `None`
/// where all are, or something in them is no number.
fn orthonormal(x: &DMatrix<f64>, gram: &DMatrix<f64>, before: &[f64]) -> Option<Grown> {
    // Scaled to what each column was, so that all are told from round-off alike.
    let scale: Vec<f64> = before.iter().map(|size| if *size > 0.0 { size.sqrt().recip() } else { 0.0 }).collect();
    let n = gram.nrows();
    let scaled = DMatrix::from_fn(n, n, |i, j| (gram[(i, j)] + gram[(j, i)]) / 2.0 * scale[i] * scale[j]);
    let eigen = symmetric_eigen(scaled)?;
    let kept: Vec<usize> = (0..n).filter(|at| eigen.eigenvalues[*at] > GONE).collect();
    if kept.is_empty() {
        return None;
    }
    // x' = x D V /√λ; back: x = x' √λ Vᵀ D⁻¹.
    let to = DMatrix::from_fn(n, kept.len(), |row, column| {
        scale[row] * eigen.eigenvectors[(row, kept[column])] / eigen.eigenvalues[kept[column]].sqrt()
    });
    let coupling = DMatrix::from_fn(kept.len(), n, |row, column| {
        let size = eigen.eigenvalues[kept[row]].sqrt() * eigen.eigenvectors[(column, kept[row])];
        if scale[column] > 0.0 { size / scale[column] } else { 0.0 }
    });
    Some(Grown { block: x * &to, coupling })
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use nalgebra::Matrix6;

    use super::super::{BlockPattern, ChosenEngine, Engine, assert_near};
    use super::*;

    /// A chain of blocks whose matrix depends on `seed`, positive definite where `shift` is large.
    fn chain(n: usize, seed: f64, shift: f64) -> SymmetricMatrix {
        let pattern = Arc::new(BlockPattern::new(&vec![6; n], (1..n).map(|at| (at - 1, at))));
        let mut matrix = SymmetricMatrix::zero(&pattern);
        for at in 0..n {
            let part = |row: usize, column: usize| ((row * 7 + column * 7 + at * 5) as f64 * seed).sin();
            matrix.add(at, at, &(Matrix6::from_fn(part) + Matrix6::identity() * shift));
            if at > 0 {
                matrix.add(
                    at - 1,
                    at,
                    &Matrix6::from_fn(|row, column| ((row + 3 * column + at) as f64 * seed).cos() * 0.3),
                );
            }
        }
        matrix
    }

    fn search(wanted: usize, most: usize, together: usize) -> Search {
        Search { wanted, most, together, start: 1 }
    }

    fn dense_values(k: &SymmetricMatrix, b: &SymmetricMatrix) -> Vec<f64> {
        let root = k.to_dense().cholesky().unwrap().l();
        let inner = root.solve_lower_triangular(&b.to_dense()).unwrap();
        let inner = root.solve_lower_triangular(&inner.transpose()).unwrap();
        let mut values: Vec<f64> = inner.symmetric_eigenvalues().iter().copied().collect();
        values.sort_by(|one, other| other.total_cmp(one));
        values
    }

    #[test]
    fn the_largest_pairs_are_those_of_the_dense_problem() {
        let (k, b) = (chain(30, 0.37, 9.0), chain(30, 1.21, 0.0));
        let factor = ChosenEngine.plan(k.pattern()).factor(&k).unwrap();
        let dense = dense_values(&k, &b);
        for together in [1, 4] {
            let pairs = largest_pairs(&k, factor.as_ref(), &b, search(8, 180, together));
            assert_eq!(pairs.values.len(), 8);
            for (value, expected) in pairs.values.iter().zip(&dense) {
                assert_near(*value, *expected, 1e-9);
            }
            let left = b.times(&pairs.vectors)
                - k.times(&pairs.vectors) * DMatrix::from_diagonal(&DVector::from_vec(pairs.values));
            assert!(left.amax() < 1e-5, "{}", left.amax());
        }
    }

    #[test]
    fn a_space_that_fills_all_there_is_gives_every_positive_value() {
        for seed in 0..20 {
            let mut k = chain(4, 0.37 + f64::from(seed) * 0.1, 9.0);
            let b = chain(4, 1.21, 9.0);
            // Directions a million times as stiff as others, as tubes are along themselves.
            for block in 0..4 {
                k.add(block, block, &Matrix6::from_diagonal(&nalgebra::Vector6::new(1e7, 0.0, 0.0, 1e5, 0.0, 0.0)));
            }
            let factor = ChosenEngine.plan(k.pattern()).factor(&k).unwrap();
            let dense: Vec<f64> = dense_values(&k, &b).into_iter().take(20).collect();
            for together in [1, 4] {
                let pairs = largest_pairs(&k, factor.as_ref(), &b, search(20, 24, together));
                assert_eq!(pairs.values.len(), 20, "seed {seed}, {together} together");
                for (value, expected) in pairs.values.iter().zip(&dense) {
                    assert_near(*value, *expected, 1e-6);
                }
            }
        }
    }

    #[test]
    fn a_value_that_is_there_twice_comes_out_twice_and_all_come_out_of_a_small_problem() {
        let pattern = Arc::new(BlockPattern::new(&[6, 6], []));
        let (mut k, mut b) = (SymmetricMatrix::zero(&pattern), SymmetricMatrix::zero(&pattern));
        for block in 0..2 {
            k.add(block, block, &Matrix6::identity());
            b.add(block, block, &Matrix6::from_diagonal(&nalgebra::Vector6::new(5.0, 3.0, 1.0, -2.0, -7.0, 0.0)));
        }
        let factor = ChosenEngine.plan(k.pattern()).factor(&k).unwrap();
        let pairs = largest_pairs(&k, factor.as_ref(), &b, search(12, 12, 4));
        assert_eq!(pairs.values.len(), 6, "{:?}", pairs.values);
        for (value, expected) in pairs.values.iter().zip([5.0, 5.0, 3.0, 3.0, 1.0, 1.0]) {
            assert_near(*value, expected, 1e-9);
        }
    }

    #[test]
    fn a_search_in_what_holds_no_number_ends_without_pairs() {
        let k = chain(4, 0.37, 9.0);
        let factor = ChosenEngine.plan(k.pattern()).factor(&k).unwrap();
        for hole in [f64::NAN, f64::INFINITY] {
            let mut b = chain(4, 1.21, 0.0);
            b.add(2, 2, &(Matrix6::identity() * hole));
            for together in [1, 4] {
                assert!(largest_pairs(&k, factor.as_ref(), &b, search(3, 24, together)).values.is_empty());
            }
        }
    }
}
