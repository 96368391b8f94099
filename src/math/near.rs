//! Comparison of two numbers in tests.

/// Panics unless `actual` is within `relative` of `expected`; refuses NaN, prints both.
///
/// # Panics
/// Where the two differ by more, or either is not finite.
#[track_caller]
pub fn assert_near(actual: f64, expected: f64, relative: f64) {
    let difference = (actual - expected).abs();
    assert!(
        difference <= relative * expected.abs(),
        "{actual:.17e} is not within {relative:e} of {expected:.17e} (difference {difference:e})"
    );
}
