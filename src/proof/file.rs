//! The shape of a file of published cases.

use schemars::{Schema, SchemaGenerator, json_schema};

use crate::record;
use crate::source::{Named, Node, Read, Reader, Value, read_word};

record! {
    /// A file of published cases.
    TopicFile {
        /// What the cases are about, in words.
        title: String,
        /// The cases.
        cases: Vec<CaseEntry>,
    }
    /// A published case.
    CaseEntry {
        /// Its name.
        id: String,
        /// What it shows, in a sentence.
        what: String,
        /// Author, title, table, clause.
        source: String,
        /// `"read"`, `"closed form"` or `"memory"`.
        provenance: Provenance,
        /// Where the source was read: the address of a page.
        page: Option<String> = None,
        /// A model file with the one case that is asked about.
        model: Option<Unread> = None,
        /// Whether the model is asked in equilibrium on the deformed frame.
        deformed: bool = false,
        /// Or a formula of the tool, by its name.
        formula: Option<String> = None,
        /// What goes into the formula.
        inputs: Named<Figure> = Named::new(),
        /// The published values.
        expected: Vec<Entry>,
    }
    /// A published value.
    Entry {
        /// What it is, in a word of the vocabulary.
        quantity: String,
        /// Of which node, tube, wheel, axle, size or material; a list is summed.
        of: Names = Names(Vec::new()),
        /// At this part of the tube's length from its first end, 0 to 1.
        part: Option<f64> = None,
        /// At this end of the tube, `"first"` or `"second"`.
        end: Option<String> = None,
        /// The value in the unit of the source.
        published: Figure,
        /// The unit of the source.
        unit: String = String::new(),
        /// One of that unit in the tool's unit of the quantity, where they differ; negative: counted the other way round.
        unit_is: f64 = 1.0,
        /// How far the computed value may be off, in the unit of the source: half of the last printed digit, or the method's error.
        within: Option<f64> = None,
        /// The same as a part of the published value.
        within_part: Option<f64> = None,
    }
}

/// How a published value came here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Provenance {
    /// Read on a page that is public.
    Read,
    /// Evaluated from the formula that the source names.
    ClosedForm,
    /// Recalled from the source; kept only where an independent computation gives every digit.
    Memory,
}

impl Provenance {
    const WORDS: &[(&str, Provenance)] =
        &[("read", Provenance::Read), ("closed form", Provenance::ClosedForm), ("memory", Provenance::Memory)];

    /// In the words of a table.
    pub fn words(self) -> &'static str {
        match self {
            Provenance::Read => "published and read",
            Provenance::ClosedForm => "closed form",
            Provenance::Memory => "from memory",
        }
    }
}

/// A number or a word.
#[derive(Debug, Clone, PartialEq)]
pub enum Figure {
    /// A number.
    Number(f64),
    /// A word that must be met as it is.
    Word(String),
}

impl From<f64> for Figure {
    fn from(value: f64) -> Self {
        Figure::Number(value)
    }
}

impl From<&str> for Figure {
    fn from(word: &str) -> Self {
        Figure::Word(word.to_owned())
    }
}

impl Read for Figure {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.value {
            Value::Text(word) => Some(Figure::Word(word.clone())),
            _ => f64::read(node, reader).map(Figure::Number),
        }
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": ["number", "string"] })
    }
}

impl Read for Provenance {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        read_word(node, reader, Provenance::WORDS, "")
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "enum": Provenance::WORDS.iter().map(|(word, _)| *word).collect::<Vec<_>>() })
    }
}

/// A value that is read elsewhere.
#[derive(Debug, Clone, PartialEq)]
pub struct Unread(pub Node);

impl Read for Unread {
    fn read(node: &Node, _: &mut Reader) -> Option<Self> {
        Some(Unread(node.clone()))
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "object" })
    }
}

/// One name or several.
#[derive(Debug, Clone, PartialEq)]
pub struct Names(pub Vec<String>);

impl Read for Names {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match node.value {
            Value::List(_) => Vec::read(node, reader).map(Names),
            _ => String::read(node, reader).map(|name| Names(vec![name])),
        }
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        let many = Vec::<String>::schema(generator);
        json_schema!({ "anyOf": [{ "type": "string" }, many] })
    }
}
