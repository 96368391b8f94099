//! What draws tell: how sure a chance is, values by rank, and how much of a spread one input explains.

/// A chance from draws, and between what it lies 95 times in a hundred.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chance {
    /// The part of the draws.
    pub part: f64,
    /// The least that it may be.
    pub low: f64,
    /// The most that it may be.
    pub high: f64,
}

/// Half of the width, in standard deviations, of what holds 95 % of a normal distribution.
const SURE: f64 = 1.959_963_984_540_054;

/// The chance of what came `hits` times in `draws`, with its score interval.
///
/// ```text
/// (p + z²/2n ± z √(p(1−p)/n + z²/4n²)) / (1 + z²/n)
/// ```
/// Source: Wilson (1927), Probable inference, the law of succession, and statistical inference, J. Am. Stat.
/// Assoc. 22.
pub fn chance(hits: usize, draws: usize) -> Chance {
    if draws == 0 {
        return Chance { part: 0.0, low: 0.0, high: 1.0 };
    }
    let n = draws as f64;
    let part = hits as f64 / n;
    let square = SURE * SURE;
    let middle = part + square / (2.0 * n);
    let half = SURE * (part * (1.0 - part) / n + square / (4.0 * n * n)).sqrt();
    let all = 1.0 + square / n;
    // At none and at all of the draws an end is exactly 0 or 1 but for round-off.
    let low = if hits == 0 { 0.0 } else { (middle - half) / all };
    let high = if hits == draws { 1.0 } else { (middle + half) / all };
    Chance { part, low, high }
}

/// The value that a part of some sorted values does not pass, straight between two of them; 0 of none.
///
/// Source: definition 7 of Hyndman & Fan (1996), Sample quantiles in statistical packages, Am. Stat. 50.
pub fn quantile(sorted: &[f64], part: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else { return 0.0 };
    let at = part * last as f64;
    let below = (at as usize).min(last);
    let above = (below + 1).min(last);
    sorted[below] + (sorted[above] - sorted[below]) * (at - below as f64)
}

/// Fewest draws in a class.
const FEWEST_IN_A_CLASS: usize = 5;
/// Most classes.
const MOST_CLASSES: usize = 64;

/// The part of the variance of some outputs that one input explains alone: Var(E[y | x]) / Var(y), by classes of
/// as many draws each in the order of the input, less what classes of chance would explain. May come out a
/// little below 0 where it is 0.
///
/// `order`: the draws by rising input. Nothing where the outputs do not spread.
///
/// Sources: the correlation ratio of Pearson (1905), On the general theory of skew correlation, as an estimate of
/// the first-order index (Saltelli and others, Global Sensitivity Analysis, 2008, ch. 4; Plischke, Borgonovo &
/// Smith, Global sensitivity measures from given data, Eur. J. Oper. Res. 226, 2013); corrected by the degrees
/// of freedom as Kelley (1935), An unbiased correlation ratio measure, PNAS 21.
pub fn explained(order: &[usize], outputs: &[f64]) -> Option<f64> {
    let n = order.len();
    let classes = ((n / FEWEST_IN_A_CLASS).isqrt()).min(MOST_CLASSES);
    if classes < 2 {
        return None;
    }
    let mean = outputs.iter().sum::<f64>() / n as f64;
    let total: f64 = outputs.iter().map(|value| (value - mean).powi(2)).sum();
    let scale = outputs.iter().fold(0.0_f64, |most, value| most.max(value.abs()));
    // What is the same but for round-off does not spread.
    if total <= n as f64 * (1e-9 * scale).powi(2) {
        return None;
    }
    let within: f64 = (0..classes)
        .map(|class| {
            let of_class = &order[class * n / classes..(class + 1) * n / classes];
            let mean = of_class.iter().map(|at| outputs[*at]).sum::<f64>() / of_class.len() as f64;
            of_class.iter().map(|at| (outputs[*at] - mean).powi(2)).sum::<f64>()
        })
        .sum();
    Some(1.0 - within / total * (n - 1) as f64 / (n - classes) as f64)
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use rand_chacha::ChaCha8Rng;
    use rand_chacha::rand_core::{Rng, SeedableRng};

    use super::*;
    use crate::math::assert_near;

    /// Newcombe (1998), Two-sided confidence intervals for the single proportion, Statistics in Medicine 17,
    /// Table I, method 3 (from memory; four digits): 81 of 263, 15 of 148, 0 of 20, 1 of 29.
    #[test]
    fn score_intervals_are_those_of_a_published_table() {
        for (hits, draws, low, high) in
            [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)]
        {
            let found = chance(hits, draws);
            assert!((found.low - low).abs() <= 5e-5, "{hits} of {draws}: {found:?}");
            assert!((found.high - high).abs() <= 5e-5, "{hits} of {draws}: {found:?}");
        }
    }

    #[test]
    fn a_chance_of_none_or_all_ends_at_nought_or_one() {
        assert_eq!(chance(0, 50).low, 0.0);
        assert_eq!(chance(50, 50).high, 1.0);
        assert_eq!(chance(0, 0), Chance { part: 0.0, low: 0.0, high: 1.0 });
    }

    #[test]
    fn quantiles_lie_straight_between_two_values() {
        assert_near(quantile(&[1.0, 2.0, 4.0], 0.75), 3.0, 1e-15);
        assert_eq!(quantile(&[1.0, 2.0, 4.0], 1.0), 4.0);
        assert_eq!(quantile(&[], 0.5), 0.0);
    }

    /// Three numbers from 0 to 1, 1 left out, of each of so many draws; the same everywhere.
    fn drawn(draws: usize) -> Vec<[f64; 3]> {
        let mut dice = ChaCha8Rng::seed_from_u64(1);
        let mut part = || (dice.next_u64() >> 11) as f64 / (1_u64 << 53) as f64;
        (0..draws).map(|_| std::array::from_fn(|_| part())).collect()
    }

    /// Holds a part against a known one: by chance it is off by 2√p(1−p)/√n, as a squared correlation is, four times
    /// which is let pass, and two thousandths for what a class leaves.
    #[track_caller]
    fn assert_share(found: f64, known: f64, draws: usize) {
        let off = 8.0 * known.sqrt() * (1.0 - known) / (draws as f64).sqrt() + 0.002;
        assert!((found - known).abs() < off, "{found} instead of {known} ± {off}");
    }

    fn explained_by(inputs: &[[f64; 3]], outputs: &[f64]) -> [f64; 3] {
        [0, 1, 2].map(|input| {
            let mut order: Vec<usize> = (0..inputs.len()).collect();
            order.sort_by(|one, other| inputs[*one][input].total_cmp(&inputs[*other][input]));
            explained(&order, outputs).unwrap()
        })
    }

    /// sin x₁ + 7 sin² x₂ + 0.1 x₃⁴ sin x₁, x from −π to π: Ishigami & Homma (1990). Closed forms as in Saltelli
    /// and others (2008), ch. 4: V = a²/8 + bπ⁴/5 + b²π⁸/18 + 1/2, V₁ = (1 + bπ⁴/5)²/2, V₂ = a²/8, V₃ = 0. A class
    /// is 2π/64 wide, over which sin² of twice the frequency loses 1 − (sin(π/32)/(π/32))², 0.3 % of it.
    #[test]
    fn classes_find_the_closed_first_order_indices_of_ishigami() {
        let (a, b) = (7.0, 0.1);
        let inputs = drawn(200_000);
        let outputs: Vec<f64> = inputs
            .iter()
            .map(|u| {
                let x = u.map(|part| PI * (2.0 * part - 1.0));
                x[0].sin() + a * x[1].sin().powi(2) + b * x[2].powi(4) * x[0].sin()
            })
            .collect();
        let whole = a * a / 8.0 + b * PI.powi(4) / 5.0 + b * b * PI.powi(8) / 18.0 + 0.5;
        let closed = [(1.0 + b * PI.powi(4) / 5.0).powi(2) / 2.0 / whole, a * a / 8.0 / whole, 0.0];
        assert_near(closed[0], 0.3139, 1e-4);
        assert_near(closed[1], 0.4424, 1e-4);
        for (found, closed) in explained_by(&inputs, &outputs).into_iter().zip(closed) {
            assert_share(found, closed, inputs.len());
        }
    }

    /// y = 3 x₁ + x₂ with even x: 9 and 1 tenths of the variance.
    #[test]
    fn classes_share_out_a_sum_by_its_squares() {
        let inputs = drawn(200_000);
        let outputs: Vec<f64> = inputs.iter().map(|x| 3.0 * x[0] + x[1]).collect();
        for (found, known) in explained_by(&inputs, &outputs).into_iter().zip([0.9, 0.1, 0.0]) {
            assert_share(found, known, inputs.len());
        }
    }

    #[test]
    fn what_does_not_spread_is_not_explained() {
        let order: Vec<usize> = (0..100).collect();
        assert_eq!(explained(&order, &[0.3; 100]), None);
        assert_eq!(explained(&[0], &[1.0]), None);
    }
}
