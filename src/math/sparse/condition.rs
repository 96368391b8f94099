//! How much an answer can suffer from rounding.

use nalgebra::DMatrix;

use super::factor::Factor;

/// Estimate of the 1-norm of the inverse of D K D, D = diag(`scale`), from a factor of K.
///
/// Never above the true norm and rarely under a third of it; at most nine solves, three to five as a rule.
/// Source: Higham (2002), Accuracy and Stability of Numerical Algorithms, algorithm 15.4 (block
/// size 1, after Hager), with its extra starting vector of alternating signs.
pub fn inverse_norm_1(factor: &dyn Factor, scale: &[f64]) -> f64 {
    let n = scale.len();
    if n == 0 {
        return 0.0;
    }
    let apply = |x: &mut DMatrix<f64>| {
        for (value, s) in x.iter_mut().zip(scale) {
            *value /= s;
        }
        factor.solve(x);
        for (value, s) in x.iter_mut().zip(scale) {
            *value /= s;
        }
    };
    let norm = |x: &DMatrix<f64>| x.iter().map(|value| value.abs()).sum::<f64>();
    let mut x = DMatrix::from_element(n, 1, 1.0 / n as f64);
    let mut best: f64 = 0.0;
    for _ in 0..4 {
        let mut y = x.clone();
        apply(&mut y);
        let estimate = norm(&y);
        if estimate <= best {
            break;
        }
        best = estimate;
        let mut z = y.map(|value| if value < 0.0 { -1.0 } else { 1.0 });
        apply(&mut z);
        let peak = z.icamax_full().0;
        if z[peak].abs() <= z.dot(&x) {
            break;
        }
        x = DMatrix::zeros(n, 1);
        x[peak] = 1.0;
    }
    let mut alternating = DMatrix::from_fn(n, 1, |row, _| {
        let sign = if row % 2 == 0 { 1.0 } else { -1.0 };
        sign * (1.0 + row as f64 / (n.max(2) - 1) as f64)
    });
    apply(&mut alternating);
    best.max(2.0 * norm(&alternating) / (3.0 * n as f64))
}
