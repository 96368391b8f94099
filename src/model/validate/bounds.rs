//! Ranges of numbers: above 0, not below 0, a share from 0 to 1.

use super::Checker;
use crate::source::{Path, Step};
use crate::units::{Quantity, brief};

impl Checker<'_> {
    /// Whether a quantity is above 0; tells it where it is not.
    pub(super) fn above_zero<Q: Quantity>(&mut self, path: Path, value: Q) -> bool {
        let holds = value.in_default_unit() > 0.0;
        self.require(path, holds, &with_unit(value), "it must be above 0")
    }

    /// Whether a quantity is 0 or more; tells it where it is not.
    pub(super) fn not_below_zero<Q: Quantity>(&mut self, path: Path, value: Q) -> bool {
        let holds = value.in_default_unit() >= 0.0;
        self.require(path, holds, &with_unit(value), "it may not be below 0")
    }

    /// Whether a plain number is above 0; tells it where it is not.
    pub(super) fn number_above_zero(&mut self, path: Path, value: f64) -> bool {
        self.require(path, value > 0.0, &brief(value), "it must be above 0")
    }

    /// Whether a share is from 0 to 1; tells it where it is not.
    pub(super) fn share(&mut self, path: Path, value: f64) -> bool {
        let rule = match value {
            percent if (5.0..=100.0).contains(&percent) => {
                format!("a share is from 0 to 1: {} % is {}", brief(percent), brief(percent / 100.0))
            }
            _ => "a share is from 0 to 1".to_owned(),
        };
        self.require(path, (0.0..=1.0).contains(&value), &brief(value), &rule)
    }

    fn require(&mut self, path: Path, holds: bool, value: &str, rule: &str) -> bool {
        if !holds {
            let key = path.0.iter().rev().find_map(|step| match step {
                Step::Key(key) => Some(key.as_str()),
                Step::Index(_) => None,
            });
            let message = format!("{} is {value}; {rule}", key.unwrap_or("this"));
            self.fault(path, message);
        }
        holds
    }
}

fn with_unit<Q: Quantity>(value: Q) -> String {
    format!("{} {}", brief(value.in_default_unit()), Q::KIND.default_unit())
}
