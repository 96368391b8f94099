//! Both engines on random block matrices, against each other and against a general library.
//!
//! Dense eigenvalues and the dense L Lᵀ are those of nalgebra.

pub(crate) mod accuracy;
mod matrices;

use crossbrace::math::{BlockEngine, ChosenEngine, Engine, FaerEngine, NoPivot, NotPositive};
use nalgebra::DMatrix;

use matrices::Random;

/// Every engine with its name.
const ENGINES: [(&str, &dyn Engine); 3] = [("blocks", &BlockEngine), ("faer", &FaerEngine), ("chosen", &ChosenEngine)];

/// The largest componentwise backward error of an answer.
fn backward_error(matrix: &crossbrace::math::SymmetricMatrix, x: &DMatrix<f64>, b: &DMatrix<f64>) -> f64 {
    let (residual, size) = matrix.residual(x, b);
    residual
        .iter()
        .zip(&size)
        .map(|(left, size)| if *left == 0.0 { 0.0 } else { left.abs() / size })
        .fold(0.0, f64::max)
}

#[test]
fn every_engine_fulfils_the_equation_for_any_number_of_right_sides() {
    let mut random = Random::new(1);
    for round in 0..60 {
        let matrix = random.positive_definite(1 + round % 23);
        let b = DMatrix::from_fn(matrix.n(), 1 + round % 13, |_, _| random.number());
        for (name, engine) in ENGINES {
            let mut x = b.clone();
            engine.plan(matrix.pattern()).factor(&matrix).unwrap().solve(&mut x);
            let error = backward_error(&matrix, &x, &b);
            assert!(error < 1e-14, "{name}, round {round}: {error:e}");
        }
    }
}

#[test]
fn the_residual_is_that_of_the_dense_matrix() {
    let mut random = Random::new(2);
    for round in 0..20 {
        let matrix = random.symmetric(2 + round % 11);
        let columns = 1 + round % 10;
        let x = DMatrix::from_fn(matrix.n(), columns, |_, _| random.number());
        let f = DMatrix::from_fn(matrix.n(), columns, |_, _| random.number());
        let (residual, size) = matrix.residual(&x, &f);
        let whole = matrix.to_dense();
        let (of_dense, sizes) = (&f - &whole * &x, f.abs() + whole.abs() * x.abs());
        assert!((&residual - of_dense).amax() <= 1e-13 * sizes.amax(), "round {round}");
        assert!((&size - &sizes).amax() <= 1e-13 * sizes.amax(), "round {round}");
    }
}

#[test]
fn negative_pivots_are_as_many_as_negative_eigenvalues_on_200_random_matrices() {
    let mut random = Random::new(3);
    let mut seen = std::collections::BTreeSet::new();
    for round in 0..200 {
        let matrix = random.symmetric(1 + round % 17);
        let whole = matrix.to_dense();
        let eigenvalues = if whole.is_empty() { Vec::new() } else { whole.symmetric_eigenvalues().as_slice().to_vec() };
        let expected = eigenvalues.iter().filter(|value| **value < 0.0).count();
        seen.insert(expected);
        for (name, engine) in ENGINES {
            let (factor, negative) = engine.plan(matrix.pattern()).factor_and_count(&matrix).unwrap();
            assert_eq!(negative, expected, "{name}, round {round}");
            let b = DMatrix::from_fn(matrix.n(), 2, |_, _| random.number());
            let mut x = b.clone();
            factor.solve(&mut x);
            // Without interchanges a small pivot costs digits: that is why answers are refined.
            let error = (matrix.residual(&x, &b).0).amax() / x.amax().max(1.0);
            assert!(error < 1e-6, "{name}, round {round}: {error:e}");
        }
    }
    assert!(seen.len() > 20, "few different counts: {seen:?}");
}

#[test]
fn a_matrix_that_is_not_positive_definite_is_refused() {
    let mut random = Random::new(4);
    for round in 0..40 {
        let mut matrix = random.positive_definite(2 + round % 9);
        random.make_indefinite(&mut matrix);
        for (name, engine) in ENGINES {
            let refused = engine.plan(matrix.pattern()).factor(&matrix).err();
            assert_eq!(refused, Some(NotPositive), "{name}, round {round}");
        }
    }
}

#[test]
fn a_pivot_of_nothing_and_one_that_is_no_number_are_refused() {
    let mut random = Random::new(5);
    for value in [0.0, f64::NAN, f64::INFINITY] {
        let matrix = random.diagonal(5, value);
        for (name, engine) in ENGINES {
            let plan = engine.plan(matrix.pattern());
            assert_eq!(plan.factor(&matrix).err(), Some(NotPositive), "{name}, {value}");
            assert_eq!(plan.factor_and_count(&matrix).err(), Some(NoPivot), "{name}, {value}");
        }
    }
}

#[test]
fn a_plan_serves_every_matrix_of_its_pattern_and_gives_the_same_digits_again() {
    let mut random = Random::new(6);
    let pattern = random.pattern(15);
    for (name, engine) in ENGINES {
        let plan = engine.plan(&pattern);
        for round in 0..5 {
            let matrix = random.filled(&pattern, true);
            let b = DMatrix::from_fn(matrix.n(), 9, |_, _| random.number());
            let (mut first, mut again) = (b.clone(), b.clone());
            plan.factor(&matrix).unwrap().solve(&mut first);
            engine.plan(&pattern).factor(&matrix).unwrap().solve(&mut again);
            assert_eq!(first, again, "{name}, round {round}");
            // One right side alone, or beside others: the same digits.
            let mut alone = b.columns(3, 1).into_owned();
            plan.factor(&matrix).unwrap().solve(&mut alone);
            if name != "faer" {
                assert_eq!(alone.column(0), first.column(3), "{name}, round {round}");
            }
        }
    }
}

#[test]
fn blocks_without_unknowns_and_matrices_without_blocks_are_solved() {
    let mut random = Random::new(7);
    for sizes in [&[][..], &[0], &[0, 0, 3], &[6, 0, 1]] {
        let matrix = random.of_sizes(sizes);
        for (name, engine) in ENGINES {
            let factor = engine.plan(matrix.pattern()).factor(&matrix).unwrap();
            let b = DMatrix::from_fn(matrix.n(), 2, |row, column| (row + column) as f64);
            let mut x = b.clone();
            factor.solve(&mut x);
            assert!(backward_error(&matrix, &x, &b) < 1e-14, "{name}, {sizes:?}");
        }
    }
}
