//! Real roots of polynomials of degree three or less.

/// Real roots of `c[0] + c[1] x + c[2] x² + c[3] x³` inside the open interval (`low`, `high`), rising.
///
/// Each monotone stretch between stationary points is bracketed and bisected to the last digit, so
/// that near-double roots and vanishing leading coefficients need no special case.
pub fn real_roots(c: [f64; 4], low: f64, high: f64) -> Vec<f64> {
    let value = |x: f64| ((c[3] * x + c[2]) * x + c[1]) * x + c[0];
    let mut stops = vec![low];
    stops.extend(stationary_points(&c).into_iter().filter(|x| *x > low && *x < high));
    stops.push(high);
    stops
        .windows(2)
        .filter_map(|stretch| crossing(value, stretch[0], stretch[1]))
        .filter(|x| *x > low && *x < high)
        .fold(Vec::new(), |mut roots, root| {
            if roots.last() != Some(&root) {
                roots.push(root);
            }
            roots
        })
}

/// Zeros of the derivative, rising.
fn stationary_points(c: &[f64; 4]) -> Vec<f64> {
    let (a, b, constant) = (3.0 * c[3], 2.0 * c[2], c[1]);
    if a == 0.0 {
        return if b == 0.0 { Vec::new() } else { vec![-constant / b] };
    }
    let discriminant = b * b - 4.0 * a * constant;
    if discriminant <= 0.0 {
        return Vec::new();
    }
    let q = -0.5 * (b + discriminant.sqrt().copysign(b));
    let mut points: Vec<f64> = [q / a, constant / q].into_iter().filter(|x| x.is_finite()).collect();
    points.sort_by(f64::total_cmp);
    points
}

/// The zero of a function that is monotone between `low` and `high`.
fn crossing(value: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> Option<f64> {
    let (at_low, at_high) = (value(low), value(high));
    if at_low == 0.0 {
        return Some(low);
    }
    if at_high == 0.0 {
        return Some(high);
    }
    if (at_low > 0.0) == (at_high > 0.0) {
        return None;
    }
    loop {
        let middle = 0.5 * (low + high);
        if middle <= low.min(high) || middle >= low.max(high) {
            return Some(middle);
        }
        let at_middle = value(middle);
        if at_middle == 0.0 {
            return Some(middle);
        }
        if (at_middle > 0.0) == (at_low > 0.0) {
            low = middle;
        } else {
            high = middle;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_roots_come_out_in_order() {
        // (x − 1)(x − 2)(x − 3)
        let roots = real_roots([-6.0, 11.0, -6.0, 1.0], 0.0, 10.0);
        assert_eq!(roots.len(), 3);
        for (root, expected) in roots.iter().zip([1.0, 2.0, 3.0]) {
            assert!((root - expected).abs() < 1e-14, "{roots:?}");
        }
    }

    #[test]
    fn lower_degrees_and_roots_outside_are_handled() {
        assert_eq!(real_roots([-1.0, 2.0, 0.0, 0.0], 0.0, 1.0), [0.5]);
        assert!(real_roots([1.0, 0.0, 1.0, 0.0], -5.0, 5.0).is_empty());
        assert!(real_roots([0.0, 0.0, 0.0, 0.0], 0.0, 1.0).is_empty());
        assert!(real_roots([-2.0, 1.0, 0.0, 0.0], 0.0, 1.0).is_empty());
    }
}
