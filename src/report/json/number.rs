//! Numbers, lists and objects as JSON has them.

use nalgebra::Vector3;
use serde::{Serialize, Serializer};

/// A number as JSON has it: no −0, and no NaN can get this far.
#[derive(Debug, Clone, Copy)]
pub(in crate::report) struct Number(pub(in crate::report) f64);

impl Serialize for Number {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(if self.0 == 0.0 { 0.0 } else { self.0 })
    }
}

pub(super) fn list(vector: &Vector3<f64>) -> [Number; 3] {
    [Number(vector.x), Number(vector.y), Number(vector.z)]
}

/// An object of names, from something that gives its entries.
pub(super) struct Entries<F>(pub(super) F);

impl<K: Serialize, V: Serialize, I: Iterator<Item = (K, V)>, F: Fn() -> I> Serialize for Entries<F> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map((self.0)())
    }
}
