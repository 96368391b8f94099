//! What is kept of a study in a file: which study of which model, which part of it, and the answers of the units
//! that are done. Opens no file.

use std::ops::Range;

use schemars::{Schema, SchemaGenerator, json_schema};
use serde_json::{Value, json};

use super::divided::Answer;
use crate::record;
use crate::source::{Document, Keyed, Node, Problem, Read, Reader, visible};

/// The format number of these files.
pub const FORMAT: usize = 1;
/// Most parts that a study is divided into.
pub const MOST_PARTS: usize = 100_000;

/// One of the parts of a study: every so many-th of its units.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Part {
    /// Which, from 1 on.
    pub number: usize,
    /// Of how many.
    pub of: usize,
}

impl Part {
    /// All of it.
    pub const WHOLE: Part = Part { number: 1, of: 1 };

    /// `2/8`.
    ///
    /// # Errors
    /// That it is no part.
    pub fn parse(text: &str) -> Result<Part, String> {
        let numbers = text.split_once('/').and_then(|(number, of)| Some((number.parse().ok()?, of.parse().ok()?)));
        match numbers {
            Some((number, of)) if number >= 1 && number <= of && of <= MOST_PARTS => Ok(Part { number, of }),
            _ => Err(format!("write which part of how many, such as 2/8; from 1 on, and of at most {MOST_PARTS}")),
        }
    }

    /// Whether a unit belongs to it. Neighbours are often as long as each other: they go to different parts.
    pub fn has(self, unit: usize) -> bool {
        unit % self.of == self.number - 1
    }

    /// How many of so many units belong to it.
    pub fn count(self, units: usize) -> usize {
        units.checked_sub(self.number).map_or(0, |more| more / self.of + 1)
    }
}

impl std::fmt::Display for Part {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "{}/{}", self.number, self.of)
    }
}

/// A value that is read once its type is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Unread(Node);

impl Read for Unread {
    fn read(node: &Node, _: &mut Reader) -> Option<Self> {
        Some(Unread(node.clone()))
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({})
    }
}

record! {
    /// What is kept of a study.
    Kept {
        /// 1, the format of this file.
        format: usize,
        /// The command.
        study: String,
        /// The version of the program that made it, and behind a + a number of its sources.
        version: String,
        /// The model file, as it was named.
        model: String,
        /// SHA-256 of the model file, hexadecimal.
        sha256: String,
        /// The options that change the answer.
        asked: Vec<String>,
        /// Which part of how many.
        part: [usize; 2],
        /// How many units the whole study has, of all rounds that were begun.
        units: usize,
        /// The answers by the number of the unit, counted from 0.
        answers: Keyed<Unread>,
    }
}

impl Kept {
    /// Reads a file.
    ///
    /// # Errors
    /// All that is wrong with it.
    pub fn read(document: &Document) -> Result<Kept, Vec<Problem>> {
        // Of a file of another kind every key would be told.
        if document.root.get("study").is_none() && document.root.get("answers").is_none() {
            return Err(vec![Problem::at(
                0..1,
                "this is no file of a study: it has neither \"study\" nor \"answers\"",
            )]);
        }
        let mut reader = Reader::default();
        let kept = <Kept as Read>::read(&document.root, &mut reader);
        let mut problems = reader.problems;
        problems.extend(document.repeated.iter().cloned());
        let Some(kept) = kept.filter(|_| problems.is_empty()) else {
            crate::source::sort(&mut problems);
            return Err(problems);
        };
        let refused = |key: &str, message: String| {
            let place = document.root.entry(key).map_or(0..1, |entry| entry.key_span.clone());
            Err(vec![Problem::at(place, message)])
        };
        if kept.format != FORMAT {
            return refused(
                "format",
                format!("format {} is not known; this version reads format {FORMAT}", kept.format),
            );
        }
        if kept.part().is_none() {
            return refused("part", format!("[{}, {}] is no part", kept.part[0], kept.part[1]));
        }
        for unit in kept.answers.0.keys() {
            let number = unit.parse::<usize>().ok().filter(|number| number.to_string() == *unit);
            let is_own = |number: usize| number < kept.units && kept.part().is_some_and(|part| part.has(number));
            if !number.is_some_and(is_own) {
                return refused("answers", format!("\"{}\" is no unit of this part", visible(unit)));
            }
        }
        Ok(kept)
    }

    /// Which part it is.
    pub fn part(&self) -> Option<Part> {
        let [number, of] = self.part;
        (number >= 1 && number <= of && of <= MOST_PARTS).then_some(Part { number, of })
    }

    /// How many units of its part it lacks.
    pub fn lacks(&self) -> usize {
        self.part().map_or(0, |part| part.count(self.units)).saturating_sub(self.answers.0.len())
    }

    /// The answers of some units, each with the number of its unit.
    ///
    /// # Errors
    /// What is wrong with one of them.
    pub fn answers<A: Answer>(&self, units: &Range<usize>) -> Result<Vec<(usize, A)>, Vec<Problem>> {
        let mut reader = Reader::default();
        let mut answers = Vec::new();
        for (unit, Unread(node)) in &self.answers.0 {
            let Some(unit) = unit.parse().ok().filter(|unit| units.contains(unit)) else { continue };
            answers.extend(A::read(node, &mut reader).map(|answer| (unit, answer)));
        }
        if reader.problems.is_empty() { Ok(answers) } else { Err(reader.problems) }
    }

    /// The text of a file with these lines in place of its own answers.
    pub fn text(&self, lines: &[String]) -> String {
        let head: [(&str, Value); 8] = [
            ("format", json!(self.format)),
            ("study", json!(self.study)),
            ("version", json!(self.version)),
            ("model", json!(self.model)),
            ("sha256", json!(self.sha256)),
            ("asked", json!(self.asked)),
            ("part", json!(self.part)),
            ("units", json!(self.units)),
        ];
        let head: Vec<String> = head.iter().map(|(key, value)| format!("\"{key}\": {value},\n")).collect();
        format!("{{\n{}\"answers\": {{\n{}\n}}\n}}\n", head.concat(), lines.join(",\n"))
    }
}

/// An answer as a line of a file.
pub fn line(unit: usize, answer: &impl Answer) -> String {
    format!("\"{unit}\": {}", answer.written())
}
