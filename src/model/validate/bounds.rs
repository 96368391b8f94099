//! Ranges of numbers: above 0, not below 0, a share from 0 to 1.

use super::Checker;
use crate::source::Path;
use crate::units::{Quantity, figures};

impl Checker<'_> {
    /// Whether a quantity is above 0; tells it where it is not.
    pub(super) fn above_zero<Q: Quantity>(&mut self, path: Path, value: Q) -> bool {
        let kind = Q::KIND;
        self.require(path, value.in_default_unit() > 0.0, || {
            format!(
                "{} is {} {}, it must be above 0",
                kind.name,
                figures(value.in_default_unit(), 3),
                kind.default_unit()
            )
        })
    }

    /// Whether a quantity is 0 or more; tells it where it is not.
    pub(super) fn not_below_zero<Q: Quantity>(&mut self, path: Path, value: Q) -> bool {
        let kind = Q::KIND;
        self.require(path, value.in_default_unit() >= 0.0, || {
            format!(
                "{} is {} {}, it may not be below 0",
                kind.name,
                figures(value.in_default_unit(), 3),
                kind.default_unit()
            )
        })
    }

    /// Whether a plain number is above 0; tells it where it is not.
    pub(super) fn number_above_zero(&mut self, path: Path, what: &str, value: f64) -> bool {
        self.require(path, value > 0.0, || format!("{what} is {}, it must be above 0", figures(value, 3)))
    }

    /// Whether a share is from 0 to 1; tells it where it is not.
    pub(super) fn share(&mut self, path: Path, value: f64) -> bool {
        self.require(path, (0.0..=1.0).contains(&value), || {
            format!("a share is from 0 to 1, this is {}", figures(value, 3))
        })
    }

    fn require(&mut self, path: Path, holds: bool, message: impl FnOnce() -> String) -> bool {
        if !holds {
            self.fault(path, message());
        }
        holds
    }
}
