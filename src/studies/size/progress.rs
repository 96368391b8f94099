//! How far a search is that goes on in several boxes at once.

use std::sync::atomic::Ordering;
use std::sync::{Mutex, PoisonError};

use crate::studies::Watch;

/// How far all of them are together.
pub(super) struct Progress<'w> {
    watch: &'w Watch<'w>,
    so_far: Mutex<SoFar>,
}

struct SoFar {
    boxes: u64,
    /// The part of all designs that is settled.
    settled: f64,
    /// The part that is to be settled here.
    wanted: f64,
}

impl<'w> Progress<'w> {
    /// Nothing is looked at.
    pub(super) fn new(watch: &'w Watch<'w>) -> Self {
        Self { watch, so_far: Mutex::new(SoFar { boxes: 0, settled: 0.0, wanted: 1.0 }) }
    }

    /// Whether somebody ends the search.
    pub(super) fn ends(&self) -> bool {
        (self.watch.ends)()
    }

    /// Of what is not settled so far, this part is to be settled here.
    pub(super) fn wants(&self, part: f64) {
        let mut so_far = self.so_far.lock().unwrap_or_else(PoisonError::into_inner);
        so_far.wanted = so_far.settled + part * (1.0 - so_far.settled);
    }

    /// So many boxes more were looked at, and this part of all designs settled by them.
    pub(super) fn looked(&self, boxes: u64, settled: f64) {
        let mut so_far = self.so_far.lock().unwrap_or_else(PoisonError::into_inner);
        so_far.boxes += boxes;
        so_far.settled += settled;
        self.watch.tried.store(so_far.boxes, Ordering::Relaxed);
        // As many again for the rest of the designs as for those that are settled.
        let all = so_far.boxes as f64 * so_far.wanted / so_far.settled.max(1e-9);
        self.watch.total.store(all.ceil() as u64, Ordering::Relaxed);
    }
}
