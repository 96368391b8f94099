//! Comparison of two numbers in tests.

/// Panics unless `actual` is within `relative` of `expected`; refuses what is no number, prints both.
///
/// # Panics
/// Where the two differ by more, or either is not finite.
#[track_caller]
pub fn assert_near(actual: f64, expected: f64, relative: f64) {
    assert!(actual.is_finite() && expected.is_finite(), "{actual} and {expected} are not both numbers");
    let difference = (actual - expected).abs();
    assert!(
        difference <= relative * expected.abs(),
        "{actual:.17e} is not within {relative:e} of {expected:.17e} (difference {difference:e})"
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    #[should_panic(expected = "not both numbers")]
    fn nothing_is_near_to_what_has_no_end() {
        assert_near(1.0, f64::INFINITY, 1e-9);
    }

    #[test]
    #[should_panic(expected = "not both numbers")]
    fn what_is_no_number_is_near_to_nothing() {
        assert_near(f64::NAN, 1.0, 1e-9);
    }
}
