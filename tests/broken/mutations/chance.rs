//! Chance that is the same on every machine and in every order of the runs.

/// A stream of numbers that depends on its own number alone.
///
/// Source: Steele, Lea and Flood, Fast Splittable Pseudorandom Number Generators (2014), the mixing
/// function of SplitMix64 over a counter.
pub(super) struct Chance(u64);

impl Chance {
    /// The stream of a number.
    pub(super) fn new(number: u64) -> Self {
        Chance(mixed(number))
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        mixed(self.0)
    }

    /// A number from 0 to below `end`; 0 where that is 0.
    pub(super) fn below(&mut self, end: usize) -> usize {
        let end = u64::try_from(end.max(1)).unwrap();
        usize::try_from(self.next() % end).unwrap()
    }

    /// One of a list.
    pub(super) fn one_of<'t, T>(&mut self, list: &'t [T]) -> &'t T {
        &list[self.below(list.len())]
    }
}

fn mixed(number: u64) -> u64 {
    let number = (number ^ (number >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let number = (number ^ (number >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    number ^ (number >> 31)
}
