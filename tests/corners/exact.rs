//! Linear equations with whole numbers, solved exactly.

use num_rational::BigRational;
use num_traits::{ToPrimitive as _, Zero as _};

/// The solution of `a x = b`, exact until it is rounded at the end.
pub(super) fn solve(a: &[Vec<i64>], b: &[i64]) -> Vec<f64> {
    let n = b.len();
    let mut rows: Vec<Vec<BigRational>> = a
        .iter()
        .zip(b)
        .map(|(row, right)| {
            assert_eq!(row.len(), n, "as many unknowns as equations");
            row.iter().chain([right]).map(|value| BigRational::from_integer((*value).into())).collect()
        })
        .collect();
    for step in 0..n {
        let pivot = (step..n).find(|row| !rows[*row][step].is_zero()).expect("the equations have one solution");
        rows.swap(step, pivot);
        let top: Vec<BigRational> = rows[step].iter().map(|value| value / &rows[step][step]).collect();
        for (at, row) in rows.iter_mut().enumerate() {
            let factor = row[step].clone();
            if at != step && !factor.is_zero() {
                for (value, above) in row.iter_mut().zip(&top) {
                    *value -= &factor * above;
                }
            }
        }
        rows[step] = top;
    }
    rows.iter().map(|row| row[n].to_f64().expect("a quotient has a nearest number")).collect()
}

#[test]
fn three_equations_have_their_exact_solution() {
    let a = [vec![2, 1, -1], vec![-3, -1, 2], vec![-2, 1, 2]];
    assert_eq!(solve(&a, &[8, -11, -3]), [2.0, 3.0, -1.0]);
}
