//! What can be moved on the car, and the model at each position.

use super::Model;
use crate::units::brief;

/// Something that can be moved on the car: a shim, an eccentric, a row of holes.
#[derive(Debug, Clone, PartialEq)]
pub struct Adjuster {
    /// The points that it moves, with the direction of each, of length 1.
    pub points: Vec<(String, [f64; 3])>,
    /// Every position that it can take: how far from where it is drawn, mm.
    pub at_mm: Vec<f64>,
}

/// The car with its adjusters set.
#[derive(Debug, Clone, PartialEq)]
pub struct Position {
    /// Its name: each adjuster that is not as drawn, with how far it is set, `camber shim +6 mm`.
    pub name: String,
    /// How far each adjuster is set, mm, in their order.
    pub set_mm: Vec<f64>,
    /// What stands there.
    pub model: Model,
}

/// Most combinations that are run as they are; of more, the corners of the range are.
pub const MOST_COMBINATIONS: usize = 64;
/// Most adjusters whose corners are run: two to the power of it.
pub(super) const MOST_ADJUSTERS: usize = 6;

/// How far each adjuster is set at each position to be run, mm, in the order of the adjusters; the
/// first changes last. Every combination, or of more than [`MOST_COMBINATIONS`] those of the least
/// and the largest setting of each.
pub(super) fn settings(adjusters: &[&Adjuster]) -> Vec<Vec<f64>> {
    let count = adjusters.iter().try_fold(1_usize, |count, adjuster| count.checked_mul(adjuster.at_mm.len()));
    let all = count.is_some_and(|count| count <= MOST_COMBINATIONS);
    let choices: Vec<Vec<f64>> = adjusters
        .iter()
        .map(|adjuster| if all { adjuster.at_mm.clone() } else { adjuster.range_mm().to_vec() })
        .collect();
    choices.iter().fold(vec![Vec::new()], |begun, choice| {
        begun
            .iter()
            .flat_map(|before| choice.iter().map(move |at_mm| [before.as_slice(), &[*at_mm]].concat()))
            .collect()
    })
}

impl Adjuster {
    /// Its least and its largest setting, mm.
    pub fn range_mm(&self) -> [f64; 2] {
        let of = |choose: fn(f64, f64) -> f64| self.at_mm.iter().copied().reduce(choose).unwrap_or(0.0);
        [of(f64::min), of(f64::max)]
    }
}

/// The name of a position from its settings; empty where all is as drawn.
pub(super) fn position_name<'n>(settings: impl IntoIterator<Item = (&'n str, f64)>) -> String {
    let set = settings.into_iter().filter(|(_, at_mm)| *at_mm != 0.0);
    let words: Vec<String> = set.map(|(name, at_mm)| format!("{name} {} mm", signed(at_mm))).collect();
    words.join(", ")
}

/// A setting with its sign.
pub fn signed(at_mm: f64) -> String {
    format!("{}{}", if at_mm > 0.0 { "+" } else { "" }, brief(at_mm))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn adjuster(at_mm: &[f64]) -> Adjuster {
        Adjuster { points: Vec::new(), at_mm: at_mm.to_vec() }
    }

    #[test]
    fn every_combination_is_a_position_until_there_are_too_many() {
        let (shim, pin) = (adjuster(&[-6.0, 0.0, 6.0]), adjuster(&[0.0, 10.0]));
        let all = settings(&[&shim, &pin]);
        assert_eq!(all.len(), 6);
        assert_eq!(all[0], [-6.0, 0.0]);
        assert_eq!(all[1], [-6.0, 10.0]);
        let long = adjuster(&[3.0, -1.0, 0.0, 5.0, 4.0]);
        let corners = settings(&[&long, &long, &long]);
        assert_eq!(corners.len(), 8, "125 combinations are too many");
        assert_eq!(corners[0], [-1.0; 3]);
        assert_eq!(corners[7], [5.0; 3]);
    }

    #[test]
    fn a_position_is_named_by_what_is_not_as_drawn() {
        assert_eq!(position_name([("shim", -6.0), ("pin", 0.0), ("rack", 1.5)]), "shim -6 mm, rack +1.5 mm");
        assert_eq!(position_name([("shim", 0.0)]), "");
    }
}
