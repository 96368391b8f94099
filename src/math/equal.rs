//! Which of several values is the largest, when last digits may differ between processors.
//!
//! Values within 1e-9 of each other, relatively, count as equal wherever one must be chosen; of
//! equals the first is.

/// How near to each other values count as equal, relatively.
const EQUAL: f64 = 1e-9;

/// Whether one value is above another by more than the 1e-9 within which values count as equal.
///
/// No order to sort by: of three values each may be equal to the next, and the first be below the
/// last. [`largest_first`] sorts.
pub fn larger_than(value: f64, other: f64) -> bool {
    value > other + EQUAL * other.abs()
}

/// Items by value, largest first. Those that count as equal to the largest that is left keep their
/// order.
pub fn largest_first<T>(items: impl IntoIterator<Item = T>, value: impl Fn(&T) -> f64) -> Vec<T> {
    let mut ranked: Vec<(f64, usize, T)> =
        items.into_iter().enumerate().map(|(place, item)| (value(&item), place, item)).collect();
    ranked.sort_by(|one, other| other.0.total_cmp(&one.0));
    let mut start = 0;
    while let Some((most, ..)) = ranked.get(start) {
        let count = ranked[start..].iter().take_while(|(value, ..)| !larger_than(*most, *value)).count().max(1);
        ranked[start..start + count].sort_by_key(|(_, place, _)| *place);
        start += count;
    }
    ranked.into_iter().map(|(.., item)| item).collect()
}

/// The item with the largest value; the first of those that count as equal to it.
pub fn largest<T>(items: impl IntoIterator<Item = T>, value: impl Fn(&T) -> f64) -> Option<T> {
    let items: Vec<T> = items.into_iter().collect();
    let most = items.iter().map(&value).max_by(f64::total_cmp)?;
    items.into_iter().find(|item| !larger_than(most, value(item)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each equal to the next, and the first below the last.
    const CHAIN: [f64; 4] = [1.0, 1.0 + 0.8e-9, 1.0 + 1.6e-9, 1.0 + 2.4e-9];

    /// Whether no value is above one that stands before it.
    fn falls(ranked: &[f64]) -> bool {
        (0..ranked.len()).all(|place| ranked[place..].iter().all(|later| !larger_than(*later, ranked[place])))
    }

    #[test]
    fn equals_keep_their_order_and_the_rest_falls() {
        let named = [("a", 1.0), ("b", 2.0), ("c", 2.0 + 1e-9), ("d", 3.0), ("e", -1.0), ("f", 0.0), ("g", -0.0)];
        let names: Vec<&str> = largest_first(named, |(_, value)| *value).into_iter().map(|(name, _)| name).collect();
        assert_eq!(names, ["d", "b", "c", "a", "f", "g", "e"]);
        assert_eq!(largest(named, |(_, value)| *value), Some(("d", 3.0)));
        assert_eq!(largest(&named[..3], |(_, value)| *value), Some(&("b", 2.0)));
    }

    #[test]
    fn a_chain_of_equals_is_ranked_whatever_its_order() {
        for turn in 0..CHAIN.len() {
            let mut chain = CHAIN;
            chain.rotate_left(turn);
            let ranked = largest_first(chain, |value| *value);
            assert!(!larger_than(CHAIN[3], ranked[0]), "{ranked:?}");
            assert!(falls(&ranked), "{ranked:?}");
            assert_eq!(largest(chain, |value| *value), Some(ranked[0]));
        }
    }

    /// Many values in steps below 1e-9: what a sort by [`larger_than`] alone panics on.
    #[test]
    fn a_long_chain_of_equals_is_ranked() {
        let values = (0..200_u32).map(|place| 1.0 + 0.6e-9 * f64::from(place * 77 % 200));
        let ranked = largest_first(values, |value| *value);
        assert_eq!(ranked.len(), 200);
        assert!(falls(&ranked), "{ranked:?}");
    }
}
