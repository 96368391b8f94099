//! Both engines on random block matrices, against each other and against a general library.
//!
//! Dense eigenvalues and the dense L Lᵀ are those of nalgebra.

pub(crate) mod accuracy;
mod error_bound;
mod matrices;

use crossbrace::math::{
    BlockEngine, BlockPattern, ChosenEngine, Engine, FaerEngine, NoPivot, NotPositive, SymmetricMatrix,
};
use crossbrace::solve::backward_error;
use nalgebra::DMatrix;
use std::sync::Arc;

use matrices::Random;

/// Every engine with its name.
const ENGINES: [(&str, &dyn Engine); 3] = [("blocks", &BlockEngine), ("faer", &FaerEngine), ("chosen", &ChosenEngine)];

/// The largest componentwise backward error of an answer.
fn largest_error(matrix: &SymmetricMatrix, x: &DMatrix<f64>, b: &DMatrix<f64>) -> f64 {
    backward_error(matrix, x, b).0.into_iter().fold(0.0, f64::max)
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
            let error = largest_error(&matrix, &x, &b);
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
        if matrix.n() == 0 {
            continue;
        }
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
    for value in [0.0, f64::NAN, f64::INFINITY, 1e-310] {
        let matrix = random.diagonal(5, value);
        for (name, engine) in ENGINES {
            let plan = engine.plan(matrix.pattern());
            if value != 1e-310 {
                assert_eq!(plan.factor(&matrix).err(), Some(NotPositive), "{name}, {value}");
            }
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
        }
    }
}

#[test]
fn a_right_side_alone_has_the_digits_that_it_has_beside_others() {
    let mut random = Random::new(8);
    for round in 0..20 {
        let matrix = random.positive_definite(1 + round);
        let factor = BlockEngine.plan(matrix.pattern()).factor(&matrix).unwrap();
        let b = DMatrix::from_fn(matrix.n(), 9, |_, _| random.number());
        let mut together = b.clone();
        factor.solve(&mut together);
        for column in 0..b.ncols() {
            let mut alone = b.columns(column, 1).into_owned();
            factor.solve(&mut alone);
            assert_eq!(alone.column(0), together.column(column), "round {round}");
        }
    }
}

#[test]
fn graphs_of_several_pieces_and_stars_are_solved() {
    let mut random = Random::new(9);
    let two_rings = (0..12).map(|block| (block, if block % 6 == 5 { block - 5 } else { block + 1 }));
    let star = (1..12).map(|block| (0, block));
    let none = std::iter::empty();
    for (what, pairs) in [("two rings", two_rings.collect()), ("a star", star.collect()), ("no pair", none.collect())] {
        let pairs: Vec<(usize, usize)> = pairs;
        let sizes: Vec<usize> = (0..12).map(|block| block % 7).collect();
        let pattern = Arc::new(BlockPattern::new(&sizes, pairs));
        let matrix = random.filled(&pattern, true);
        let b = DMatrix::from_fn(matrix.n(), 5, |_, _| random.number());
        for (name, engine) in ENGINES {
            let mut x = b.clone();
            engine.plan(&pattern).factor(&matrix).unwrap().solve(&mut x);
            let error = largest_error(&matrix, &x, &b);
            assert!(error < 1e-14, "{what}, {name}: {error:e}");
        }
    }
}

/// Every block of 160 meets every other: 680,000 products, for which faer is chosen.
#[test]
fn a_matrix_that_fills_in_whole_is_solved_alike_by_all_engines() {
    let mut random = Random::new(10);
    let pairs = (0..160).flat_map(|one| (0..one).map(move |other| (one, other)));
    let pattern = Arc::new(BlockPattern::new(&[3; 160], pairs));
    let matrix = random.filled(&pattern, true);
    let b = DMatrix::from_fn(matrix.n(), 3, |_, _| random.number());
    for (name, engine) in ENGINES {
        let mut x = b.clone();
        engine.plan(&pattern).factor(&matrix).unwrap().solve(&mut x);
        let error = largest_error(&matrix, &x, &b);
        assert!(error < 1e-13, "{name}: {error:e}");
    }
}

#[test]
fn a_count_of_negative_pivots_is_right_or_refused_where_pivots_are_lost() {
    let mut random = Random::new(11);
    let pattern = Arc::new(BlockPattern::new(&[6], []));
    let mut refused = 0;
    for round in 0..40_000 {
        let matrix = random.of_tenths(&pattern);
        let eigenvalues = matrix.to_dense().symmetric_eigenvalues();
        if eigenvalues.iter().any(|value| value.abs() < 1e-9) {
            continue;
        }
        let expected = eigenvalues.iter().filter(|value| **value < 0.0).count();
        for (name, engine) in ENGINES {
            match engine.plan(&pattern).factor_and_count(&matrix) {
                Ok((_, negative)) => assert_eq!(negative, expected, "{name}, round {round}"),
                Err(NoPivot) => refused += 1,
            }
        }
    }
    assert!(refused > 100, "only {refused} were refused: the draw holds too few lost pivots");
}

#[test]
#[should_panic(expected = "a plan is for one pattern")]
fn a_plan_refuses_a_matrix_of_another_pattern() {
    let mut random = Random::new(12);
    let plan = BlockEngine.plan(&random.pattern(5));
    let _ = plan.factor(&random.positive_definite(6));
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
            assert!(largest_error(&matrix, &x, &b) < 1e-14, "{name}, {sizes:?}");
        }
    }
}
