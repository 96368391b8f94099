//! The car at every position of its adjusters: the verdict of all of them, and what governs where.
//!
//! A position is a model like any other, solved and judged in every case that is asked for. Movement
//! is judged from the standing car at the same position.

use super::checked::Checked;
use super::outcome::WheelChange;
use crate::checks::{Check, Finding};
use crate::math::{larger_than, largest};
use crate::model::{Fault, Model};
use crate::source::{Named, Path};

/// The car at the other positions of its adjusters.
pub struct Positions {
    /// What came of each, by its name.
    pub checked: Vec<(String, Checked)>,
    /// The largest of all positions.
    pub envelope: Envelope,
}

impl Positions {
    /// What came of each, by its name.
    pub fn named(&self) -> impl Iterator<Item = (&str, &Checked)> {
        self.checked.iter().map(|(name, checked)| (name.as_str(), checked))
    }
}

/// What a figure reaches over all positions.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// The same as drawn; `None` where it has none there.
    pub as_drawn: Option<f64>,
    /// The most that it reaches at all; of twist stiffness the least.
    pub value: f64,
    /// In which case.
    pub case: String,
    /// At which position; empty: as drawn.
    pub position: String,
}

/// What every figure reaches over all positions.
#[derive(Debug, Clone, PartialEq)]
pub struct Envelope {
    /// Utilisation of each tube, with the check that governs; a wall counts only where it fails.
    pub tubes: Named<(Reach, Check)>,
    /// Movement of each pick-up from standing, mm.
    pub pickup_move_mm: Named<Reach>,
    /// Change of toe of each wheel from standing, degrees, without its sign.
    pub toe_deg: Named<Reach>,
    /// The same of camber.
    pub camber_deg: Named<Reach>,
    /// Twist stiffness of each twist test, N·m/deg.
    pub twist_nm_deg: Named<Reach>,
}

/// Checks every position and widens the verdict to all of them.
///
/// # Errors
/// All faults, those of a position with its name.
pub(super) fn add_positions(
    model: &Model,
    checked: &mut Checked,
    check: impl Fn(&Model) -> Result<Checked, Vec<Fault>>,
) -> Result<(), Vec<Fault>> {
    if model.positions.is_empty() {
        return Ok(());
    }
    let (mut all, mut faults) = (Vec::new(), Vec::new());
    let mut known: Vec<(Path, String)> = Vec::new();
    for position in &model.positions {
        match check(&position.model) {
            Ok(moved) => all.push((position.name.clone(), moved)),
            Err(found) => {
                // What is wrong at one position is often wrong at all of them, with other figures.
                for fault in found {
                    let kind = (fault.path.clone(), without_figures(&fault.message));
                    if !known.contains(&kind) {
                        known.push(kind);
                        let message = format!("with {}: {}", position.name, fault.message);
                        faults.push(Fault { message, ..fault });
                    }
                }
            }
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    for (name, moved) in &all {
        let findings = moved.verdict.findings.iter().cloned();
        let findings = findings.map(|finding| Finding { position: name.clone(), ..finding });
        checked.verdict.at_positions.extend(findings);
        for gap in &moved.verdict.not_judged {
            let known = |known: &super::NotJudged| known.check == gap.check && known.place == gap.place;
            if !checked.verdict.not_judged.iter().any(known) {
                let why = format!("with {name}: {}", gap.why);
                checked.verdict.not_judged.push(super::NotJudged { why, ..gap.clone() });
            }
        }
        for warning in &moved.warnings {
            let ends_so = |known: &String| known == warning || known.ends_with(&format!(": {warning}"));
            if !checked.warnings.iter().any(ends_so) {
                checked.warnings.push(format!("with {name}: {warning}"));
            }
        }
    }
    checked.assumptions.push(told(model));
    let envelope = Envelope::of(checked, &all);
    checked.positions = Some(Positions { checked: all, envelope });
    Ok(())
}

/// The words of a message without its figures; names that hold digits stay.
fn without_figures(message: &str) -> String {
    let ends = |letter: char| letter.is_whitespace() || "[](),;:".contains(letter);
    message.split(ends).filter(|word| word.parse::<f64>().is_err()).collect::<Vec<_>>().join(" ")
}

/// What the notes say of the positions.
fn told(model: &Model) -> String {
    let run = model.positions.len();
    let combinations: f64 = model.adjusters.values().map(|adjuster| adjuster.at_mm.len() as f64).product();
    let which = if combinations > crate::model::MOST_COMBINATIONS as f64 {
        format!("of {combinations} combinations the corners of the range")
    } else {
        "every combination".to_owned()
    };
    format!(
        "adjusters: {which}, {run} beside the car as drawn; what an adjuster does not name stays where it is drawn, and \
         lost welds and what nobody knows are those of the car as drawn"
    )
}

impl Envelope {
    fn of(drawn: &Checked, moved: &[(String, Checked)]) -> Envelope {
        let moved = moved.iter().map(|(name, checked)| (name.as_str(), checked));
        let all: Vec<(&str, &Checked)> = std::iter::once(("", drawn)).chain(moved).collect();
        let wheels = |angle: fn(&WheelChange) -> f64| {
            reaches(&all, |checked| {
                let cases = checked.outcome.cases.iter();
                cases
                    .flat_map(|(case, result)| {
                        let wheels = result.wheels.iter();
                        wheels.filter_map(move |(wheel, found)| {
                            Some((wheel.as_str(), case.as_str(), angle(&found.moved.as_ref()?.change).abs()))
                        })
                    })
                    .collect()
            })
        };
        let pickup_move_mm = reaches(&all, |checked| {
            let cases = checked.outcome.cases.iter();
            cases
                .flat_map(|(case, result)| {
                    let pickups = result.pickups.iter();
                    pickups.map(move |(node, pickup)| (node.as_str(), case.as_str(), pickup.change_mm))
                })
                .collect()
        });
        // The least stiffness is the largest of its negative.
        let negative = reaches(&all, |checked| {
            let tests = checked.outcome.twist.iter();
            tests.filter_map(|(case, test)| Some((case.as_str(), case.as_str(), -test.stiffness_nm_deg?))).collect()
        });
        let twist_nm_deg = negative.into_iter().map(|(case, reach)| {
            let as_drawn = reach.as_drawn.map(|stiffness| -stiffness);
            let reach = Reach { as_drawn, value: -reach.value, ..reach };
            (case, reach)
        });
        Envelope {
            tubes: tubes(&all),
            pickup_move_mm,
            toe_deg: wheels(|change| change.toe_deg),
            camber_deg: wheels(|change| change.camber_deg),
            twist_nm_deg: twist_nm_deg.collect(),
        }
    }
}

impl Reach {
    fn at(value: f64, case: &str, position: &str) -> Reach {
        let as_drawn = position.is_empty().then_some(value);
        Reach { as_drawn, value, case: case.to_owned(), position: position.to_owned() }
    }

    /// Whether another position than the one as drawn governs.
    pub fn is_elsewhere(&self) -> bool {
        !self.position.is_empty()
    }
}

/// The largest of each place; the first of equals, as drawn before all others.
fn reaches<'c>(
    all: &[(&str, &'c Checked)],
    figures: impl Fn(&'c Checked) -> Vec<(&'c str, &'c str, f64)>,
) -> Named<Reach> {
    let mut reaches: Named<Reach> = Named::new();
    for (position, checked) in all {
        for (place, case, value) in figures(checked) {
            let here = Reach::at(value, case, position);
            let reach = reaches.entry(place.to_owned()).or_insert_with(|| here.clone());
            if larger_than(value, reach.value) {
                *reach = Reach { as_drawn: here.as_drawn.or(reach.as_drawn), ..here };
            }
        }
    }
    reaches
}

fn tubes(all: &[(&str, &Checked)]) -> Named<(Reach, Check)> {
    let mut reaches: Named<(Reach, Check)> = Named::new();
    for (position, checked) in all {
        let of_tubes = checked.verdict.findings.iter().filter(|finding| finding.check.is_of_a_tube());
        let mut by_tube: Named<Vec<&Finding>> = Named::new();
        for finding in of_tubes {
            by_tube.entry(finding.place.clone()).or_default().push(finding);
        }
        for (tube, findings) in by_tube {
            let Some(worst) = largest(crate::checks::counting(findings), |finding| finding.utilisation) else {
                continue;
            };
            let here = Reach::at(worst.utilisation, &worst.case, position);
            let (reach, check) = reaches.entry(tube).or_insert_with(|| (here.clone(), worst.check));
            if larger_than(here.value, reach.value) {
                *reach = Reach { as_drawn: reach.as_drawn, ..here };
                *check = worst.check;
            }
        }
    }
    reaches
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn messages_that_differ_in_figures_alone_are_alike_and_those_of_other_names_are_not() {
        let told =
            |at: &str, name: &str| without_figures(&format!("{name} can turn about a line through [{at}, -2, 3]"));
        assert_eq!(told("1.5", "node U1.l"), told("-40", "node U1.l"));
        assert_ne!(told("1.5", "node U1.l"), told("1.5", "node U2.l"));
    }
}
