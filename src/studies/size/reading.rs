//! What is read of a design, as a sum of its motions and forces that is over its limit.

use nalgebra::DVector;

use crate::checks::Check;

/// Something that is over its limit, as a sum that is.
#[derive(Debug, Clone)]
pub(super) struct Reading {
    /// Which bench.
    pub(super) bench: usize,
    /// Which check.
    pub(super) check: Check,
    /// In which case.
    pub(super) case: String,
    /// Where.
    pub(super) place: String,
    /// The right side under which it is read.
    pub(super) side: usize,
    /// The sum: of the unknowns.
    pub(super) row: DVector<f64>,
    /// Its value in the design, above [`Reading::allowed`].
    pub(super) value: f64,
    /// What is allowed.
    pub(super) allowed: f64,
    /// The group and its size for which alone the sum means anything.
    pub(super) only_with: Option<(usize, usize)>,
    /// What the sum is of, in words that a certificate needs.
    pub(super) what: What,
}

/// What a sum is of.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// Movement of a node along a direction.
    Along([f64; 3]),
    /// Twist or an angle.
    Angle,
    /// Normal stress at a distance along a tube, mm: so much for n, my and mz there, 1/mm² and 1/mm³.
    Stress {
        /// The distance.
        at_mm: f64,
        /// Of which piece of the tube it is an end: 0 its first, 1 its second.
        end: usize,
        /// So much for n, my and mz.
        per: [f64; 3],
    },
    /// The push in a tube that carries nothing else, N.
    Push,
}

/// Where a sum is limited.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Limited {
    /// The node, wheel or case.
    pub place: String,
    /// Of a movement, along which axis.
    pub axis: Option<usize>,
}
