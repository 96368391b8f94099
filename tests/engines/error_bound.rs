//! The reported `error` is never below the true one.
//!
//! The true one is that of the unknowns against the same system (the tool's matrix and right side)
//! solved with twice the digits; it is relative and in the norm in which the bound is stated: of the
//! unknowns scaled by the square roots of the matrix's diagonal, the sum of magnitudes, and their largest.
//! (The matrix is symmetric, so that its condition number is one in both.)

use std::cell::RefCell;

use crossbrace::math::SymmetricMatrix;
use crossbrace::model::Fault;
use crossbrace::run::{prepare, respond};
use crossbrace::structure::Purpose;
use nalgebra::DMatrix;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use serde_json::{Value, json};
use twofloat::TwoFloat;

use crate::laws::cases;
use crate::laws::frames::{Frame, frame};
use crate::support::load;
use crate::support::values::number;

/// What makes a frame stiff and soft at once: powers of ten on its rates, and sizes of its round tubes
/// in mm and parts of the outside.
#[derive(Debug, Clone)]
struct Spread {
    powers: Vec<i32>,
    sizes: Vec<(i32, i32)>,
}

fn spread() -> impl Strategy<Value = Spread> {
    (prop::collection::vec(-3..=4, 12), prop::collection::vec((3..=140, 2..=45), 8))
        .prop_map(|(powers, sizes)| Spread { powers, sizes })
}

/// Multiplies every rate below a value.
fn multiply_rates(value: &mut Value, powers: &mut impl Iterator<Item = i32>) {
    for (key, value) in value.as_object_mut().into_iter().flatten() {
        let is_rate = matches!(key.as_str(), "x" | "y" | "z" | "rx" | "ry" | "rz" | "t" | "my" | "mz");
        if is_rate && value.is_number() {
            *value = json!(number(value) * 10_f64.powi(powers.next().expect("powers go on")));
        } else if !matches!(key.as_str(), "cg" | "inertia") {
            multiply_rates(value, powers);
        }
    }
}

fn spread_frame() -> impl Strategy<Value = Frame> {
    (frame(), prop::option::weighted(0.7, spread())).prop_map(|(Frame(mut model), spread)| {
        if let Some(spread) = spread {
            let mut powers = spread.powers.into_iter().cycle();
            for section in ["mounts", "bodies", "members"] {
                multiply_rates(&mut model[section], &mut powers);
            }
            for ((od, part), (_, tube)) in
                spread.sizes.into_iter().zip(model["tubes"].as_object_mut().into_iter().flatten())
            {
                if let Some(round) = tube.get_mut("round") {
                    *round = json!({ "od": od, "wall": f64::from(od * part) / 100.0 });
                }
            }
        }
        Frame(model)
    })
}

/// The matrix as the tool's residual has it, entry by entry: f − K x of unit vectors. (A block on the
/// diagonal is kept whole, and rounding need not leave it symmetric.)
fn every_entry(matrix: &SymmetricMatrix) -> DMatrix<f64> {
    let n = matrix.n();
    -matrix.residual(&DMatrix::identity(n, n), &DMatrix::zeros(n, n)).0
}

/// The solution of a nearly symmetric, positive system with 32 digits: L U, which needs no pivoting.
fn solved_with_twice_the_digits(matrix: &DMatrix<f64>, right: &DMatrix<f64>) -> Vec<Vec<TwoFloat>> {
    let n = matrix.nrows();
    let mut rows: Vec<Vec<TwoFloat>> =
        matrix.row_iter().map(|row| row.iter().map(|value| TwoFloat::from(*value)).collect()).collect();
    for pivot in 0..n {
        let (above, below) = rows.split_at_mut(pivot + 1);
        for row in below {
            let part = row[pivot] / above[pivot][pivot];
            row[pivot] = part;
            for column in pivot + 1..n {
                row[column] -= part * above[pivot][column];
            }
        }
    }
    right
        .column_iter()
        .map(|f| {
            let mut x: Vec<TwoFloat> = f.iter().map(|value| TwoFloat::from(*value)).collect();
            for row in 0..n {
                x[row] = (0..row).fold(x[row], |sum, column| sum - rows[row][column] * x[column]);
            }
            for row in (0..n).rev() {
                let left = (row + 1..n).fold(x[row], |sum, column| sum - rows[row][column] * x[column]);
                x[row] = left / rows[row][row];
            }
            x
        })
        .collect()
}

/// Relative error of unknowns, in the sum of magnitudes and in the largest.
fn true_error(matrix: &DMatrix<f64>, x: &[f64], exact: &[TwoFloat]) -> f64 {
    let (mut sums, mut largest) = ([0.0; 2], [0.0_f64; 2]);
    for (at, (x, exact)) in x.iter().zip(exact).enumerate() {
        let scale = matrix[(at, at)].sqrt();
        let both = [(TwoFloat::from(*x) - *exact).hi().abs() * scale, exact.hi().abs() * scale];
        for (of, value) in both.into_iter().enumerate() {
            sums[of] += value;
            largest[of] = largest[of].max(value);
        }
    }
    let part = |[off, all]: [f64; 2]| if all == 0.0 { 0.0 } else { off / all };
    part(sums).max(part(largest))
}

/// What was found on the way.
#[derive(Debug, Default)]
struct Found {
    cases: usize,
    badly_conditioned: usize,
    /// The largest true error, of the reported one.
    largest: f64,
}

fn add_frame(found: &mut Found, drawn: &Frame) -> Result<(), TestCaseError> {
    let model = load(&drawn.0.to_string()).base;
    let refused = |faults: Vec<Fault>| TestCaseError::reject(format!("{faults:?}"));
    let prepared = prepare(&model, Purpose::Statics).map_err(refused)?;
    let response = respond(&model, &prepared, |_| true).map_err(refused)?;
    let columns: Vec<_> = response.cases.iter().map(|case| case.right.unknowns.clone()).collect();
    let right = DMatrix::from_columns(&columns);
    let (x, errors) = prepared.solved.unknowns(&prepared.system, &right);
    let dense = every_entry(&prepared.system.matrix);
    let exact = solved_with_twice_the_digits(&dense, &right);
    for (at, case) in response.cases.iter().enumerate() {
        prop_assert_eq!(errors[at], case.accuracy.residual, "these are not the unknowns of the case");
        let (told, truth) = (case.accuracy.error, true_error(&dense, x.column(at).as_slice(), &exact[at]));
        prop_assert!(truth <= told, "case \"{}\": the error is {truth:e}, told {told:e}", case.name);
        found.largest = found.largest.max(truth / told);
    }
    found.cases += response.cases.len();
    found.badly_conditioned += usize::from(prepared.solved.condition > 1e7);
    Ok(())
}

#[test]
fn the_reported_error_of_two_hundred_random_frames_is_never_below_the_true_one() {
    let found = RefCell::new(Found::default());
    let ran = TestRunner::new(cases(200)).run(&spread_frame(), |drawn| add_frame(&mut found.borrow_mut(), &drawn));
    ran.unwrap_or_else(|broken| panic!("{broken}"));
    let found = found.into_inner();
    assert!(found.cases > 1000 && found.badly_conditioned >= 10 && found.largest > 0.05, "{found:?}");
}
