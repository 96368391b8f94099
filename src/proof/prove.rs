//! A case proven: each published value beside the one that the tool computes.

use super::case::{Ask, Case, Subject, Topic};
use super::file::Figure;
use super::formulas::{Answer, FORMULAS};
use super::frame::Frame;
use super::quantities::QUANTITIES;

/// A topic with what the tool answered.
#[derive(Debug, Clone)]
pub struct ProvenTopic<'t> {
    /// The topic.
    pub topic: &'t Topic,
    /// Its cases, or those that were asked for.
    pub cases: Vec<Proven<'t>>,
}

/// A case with what the tool answered.
#[derive(Debug, Clone)]
pub struct Proven<'c> {
    /// The case.
    pub case: &'c Case,
    /// Its values.
    pub values: Vec<ProvenValue<'c>>,
}

/// A published value and what the tool answered.
#[derive(Debug, Clone)]
pub struct ProvenValue<'c> {
    /// What was asked.
    pub ask: &'c Ask,
    /// The answer in the unit of the source, or why there is none.
    pub computed: Result<Figure, String>,
}

impl<'t> ProvenTopic<'t> {
    /// Proves those cases of a topic that are wanted.
    pub fn of(topic: &'t Topic, wanted: impl Fn(&Case) -> bool) -> ProvenTopic<'t> {
        ProvenTopic { topic, cases: topic.cases.iter().filter(|case| wanted(case)).map(prove).collect() }
    }
}

impl Proven<'_> {
    /// Whether every value holds.
    pub fn holds(&self) -> bool {
        self.values.iter().all(ProvenValue::holds)
    }
}

impl ProvenValue<'_> {
    /// Computed less published, where both are numbers.
    pub fn difference(&self) -> Option<f64> {
        match (&self.ask.published, &self.computed) {
            (Figure::Number(published), Ok(Figure::Number(computed))) => Some(computed - published),
            _ => None,
        }
    }

    /// Whether the computed value is the published one within its tolerance.
    pub fn holds(&self) -> bool {
        match (&self.ask.published, &self.computed) {
            (Figure::Word(published), Ok(Figure::Word(computed))) => published == computed,
            // What is no number differs by no number, and does not hold.
            _ => self.difference().is_some_and(|difference| difference.abs() <= self.ask.tolerance),
        }
    }
}

/// Asks the tool for every value of a case.
pub fn prove(case: &Case) -> Proven<'_> {
    let computed: Vec<Result<Figure, String>> = match &case.subject {
        Subject::Model(document, deformed) => {
            let frame = Frame::read(document, *deformed);
            case.asks.iter().map(|ask| of_model(ask, frame.as_ref())).collect()
        }
        Subject::Formula(at, inputs) => {
            let answers = (FORMULAS[*at].work_out)(inputs);
            case.asks.iter().map(|ask| of_formula(ask, answers.as_ref())).collect()
        }
    };
    let values = case.asks.iter().zip(computed).map(|(ask, computed)| ProvenValue { ask, computed }).collect();
    Proven { case, values }
}

fn of_model(ask: &Ask, frame: Result<&Frame, &String>) -> Result<Figure, String> {
    let quantity = ask.quantity.expect("a value of a model has a quantity");
    let answer = frame.map_err(Clone::clone)?.answer(ask, quantity)?;
    Ok(Figure::Number(answer / ask.unit_is))
}

fn of_formula(ask: &Ask, answers: Result<&Vec<Answer>, &String>) -> Result<Figure, String> {
    let answers = answers.map_err(Clone::clone)?;
    let found = answers.iter().find(|(name, ..)| *name == ask.name);
    match found {
        Some((.., Figure::Number(value))) => Ok(Figure::Number(value / ask.unit_is)),
        Some((.., word)) => Ok(word.clone()),
        None => Err(format!("the formula does not give \"{}\"", ask.name)),
    }
}

impl Ask {
    /// The tool's own unit of a quantity of a model.
    pub fn unit_of_the_tool(&self) -> Option<&'static str> {
        QUANTITIES.iter().find(|(name, ..)| *name == self.name).map(|(_, unit, _)| *unit)
    }

    /// What is asked, in words: `mz of AB at 0.5 of its length`.
    pub fn words(&self) -> String {
        let mut words = self.name.clone();
        if !self.of.is_empty() {
            words.push_str(&format!(" of {}", self.of.join(" + ")));
        }
        if let Some(part) = self.part {
            words.push_str(&format!(" at {part} of its length"));
        }
        match self.end {
            Some(0) => words.push_str(", first end"),
            Some(_) => words.push_str(", second end"),
            None => {}
        }
        words
    }
}

#[cfg(test)]
mod tests {
    use super::super::case::read_topic;
    use super::*;

    /// A cantilever of 1 m that sinks by F L³ / 3 E I = 100 · 1e9 / (3 · 210000 · 10000) = 15.873 mm.
    const CANTILEVER: &str = r#"{
        "title": "Cantilevers",
        "cases": [{
            "id": "tip", "what": "A cantilever", "source": "F L³ / 3 E I", "provenance": "closed form",
            "model": {
                "format": 1,
                "tubes": {"t": {"given": {"a": 100, "iy": 10000, "iz": 10000, "j": 1, "cy": 1, "cz": 1}, "material": "S355J2H"}},
                "nodes": {"A": [0, 0, 0], "B": [1000, 0, 0]},
                "members": {"AB": {"ends": ["A", "B"], "tube": "t"}},
                "mounts": {"A": "bolted pad"},
                "cases": {"hanging": {"forces": {"B": [0, 0, -100]}}}
            },
            "expected": [{"quantity": "move z", "of": "B", "published": -15.873, "unit": "mm", "within": 0.0005}]
        }]
    }"#;

    /// Whether the value of the cantilever holds, and what was computed, with a part of the text replaced.
    fn proven(part: &str, other: &str) -> (bool, Result<Figure, String>) {
        assert!(CANTILEVER.contains(part), "{part}");
        let topic = read_topic("cantilevers", &CANTILEVER.replace(part, other)).unwrap();
        let proven = ProvenTopic::of(&topic, |_| true);
        assert_eq!(proven.cases[0].holds(), proven.cases[0].values[0].holds());
        let value = &proven.cases[0].values[0];
        (value.holds(), value.computed.clone())
    }

    #[test]
    fn a_published_value_that_is_met_holds() {
        assert!(proven("Cantilevers", "Cantilevers").0);
    }

    #[test]
    fn a_published_value_outside_its_tolerance_does_not_hold() {
        assert!(!proven("-15.873", "-15.874").0);
        assert!(!proven("-15.873", "15.873").0);
        assert!(!proven("\"unit\": \"mm\"", "\"unit\": \"in\", \"unit_is\": 25.4").0);
    }

    #[test]
    fn another_load_or_another_section_no_longer_gives_the_published_value() {
        assert!(!proven("-100", "-100.01").0);
        assert!(!proven("\"iy\": 10000", "\"iy\": 10001").0);
    }

    #[test]
    fn what_cannot_be_answered_does_not_hold_and_says_why() {
        let lost = proven("\"of\": \"B\"", "\"of\": \"C\"");
        assert_eq!(lost, (false, Err("the result has no \"C\" for this".to_owned())));
        let (holds, loose) = proven("\"bolted pad\"", "\"one bolt\"");
        assert!(!holds && loose.as_ref().is_err_and(|why| why.contains("turn")), "{loose:?}");
        let (holds, wrong) = proven("\"format\": 1", "\"format\": 2");
        assert!(!holds && wrong.as_ref().is_err_and(|why| why.contains("format 2")), "{wrong:?}");
    }

    #[test]
    fn a_number_that_is_none_does_not_hold() {
        let topic = read_topic("cantilevers", CANTILEVER).unwrap();
        let value = ProvenValue { ask: &topic.cases[0].asks[0], computed: Ok(Figure::Number(f64::NAN)) };
        assert!(!value.holds());
    }
}
