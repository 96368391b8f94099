//! How far a search is, and whether it is to end.

use std::sync::atomic::{AtomicU64, Ordering};

/// What a search tells while it goes on, and what it asks.
pub struct Watch<'w> {
    /// Designs tried so far.
    pub tried: &'w AtomicU64,
    /// Designs that there are to try, as far as it is known.
    pub total: &'w AtomicU64,
    /// Whether to end with the best so far.
    pub ends: &'w (dyn Fn() -> bool + Sync),
}

impl Watch<'_> {
    /// One more design is tried.
    pub fn tried_one(&self) {
        self.tried.fetch_add(1, Ordering::Relaxed);
    }

    /// There are so many more to try.
    pub fn more_to_try(&self, count: usize) {
        self.total.fetch_add(count as u64, Ordering::Relaxed);
    }
}
