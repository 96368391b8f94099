//! The text of a file as a tree in which every key and every value knows its place.
//!
//! Reads bytes; gives a [`Document`] or the problems that keep it from being one. It takes strict
//! JSON (RFC 8259) and nothing else. Leaves out what keys mean.

use std::collections::HashMap;
use std::ops::Range;

use jsonc_parser::ast;
use jsonc_parser::{CollectOptions, ParseOptions, parse_to_ast};

use super::problem::{Path, Problem, Step};

/// A range of bytes in the text.
pub type Span = Range<usize>;

/// Deepest nesting of lists and objects; the top object is 1.
pub const DEEPEST: usize = 128;
/// Largest file, bytes.
pub const LARGEST_BYTES: u64 = 256 * 1024 * 1024;
/// Most values in one file: some hundred bytes of memory each, and far above any frame.
pub const MOST_VALUES: usize = 4_000_000;

/// The mark that some editors put before a text.
pub const BYTE_ORDER_MARK: char = '\u{feff}';

/// A text that is one JSON value, with its places.
#[derive(Debug)]
pub struct Document {
    /// The text without a byte-order mark.
    pub text: String,
    /// Whether a byte-order mark stood before it.
    pub marked: bool,
    /// The value.
    pub root: Node,
    /// Keys given twice in one object. The first of each counts, so that what else is wrong is
    /// found in the same run.
    pub repeated: Vec<Problem>,
}

/// A value and its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// Where it stands in the text.
    pub span: Span,
    /// What it is.
    pub value: Value,
}

/// What a value is. Numbers stay text until somebody knows their type.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// `null`
    Null,
    /// `true` or `false`
    Bool(bool),
    /// A number as written.
    Number(String),
    /// A text, unescaped.
    Text(String),
    /// A list.
    List(Vec<Node>),
    /// An object in the order it is written in.
    Object(Vec<Entry>),
}

/// One key of an object and its value.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The key, unescaped.
    pub key: String,
    /// Where the key stands.
    pub key_span: Span,
    /// Its value.
    pub node: Node,
}

impl Node {
    /// The entries of an object; none for anything else.
    pub fn entries(&self) -> &[Entry] {
        match &self.value {
            Value::Object(entries) => entries,
            _ => &[],
        }
    }

    /// The value of a key of an object.
    pub fn get(&self, key: &str) -> Option<&Node> {
        self.entry(key).map(|entry| &entry.node)
    }

    /// A key of an object with its value.
    pub fn entry(&self, key: &str) -> Option<&Entry> {
        self.entries().iter().find(|entry| entry.key == key)
    }

    /// What kind of value it is, for a message: `a number`.
    pub fn kind(&self) -> &'static str {
        match self.value {
            Value::Null => "null",
            Value::Bool(_) => "true or false",
            Value::Number(_) => "a number",
            Value::Text(_) => "a text",
            Value::List(_) => "a list",
            Value::Object(_) => "an object",
        }
    }

    /// The value without its places; of keys given twice the first, of a number too large the text.
    pub fn to_json(&self) -> serde_json::Value {
        use serde_json::Value as Json;
        match &self.value {
            Value::Null => Json::Null,
            Value::Bool(is) => Json::Bool(*is),
            Value::Number(text) => serde_json::from_str(text).unwrap_or_else(|_| Json::String(text.clone())),
            Value::Text(text) => Json::String(text.clone()),
            Value::List(elements) => elements.iter().map(Node::to_json).collect(),
            Value::Object(entries) => {
                let mut object = serde_json::Map::new();
                for entry in entries {
                    object.entry(entry.key.as_str()).or_insert_with(|| entry.node.to_json());
                }
                Json::Object(object)
            }
        }
    }

    /// The place to point at for a path: the last key or list element on it that is there.
    pub fn locate(&self, path: &Path) -> Span {
        let mut node = self;
        let mut place = self.span.start..self.span.start + 1;
        for step in &path.0 {
            match (step, &node.value) {
                (Step::Key(key), Value::Object(_)) => match node.entry(key) {
                    Some(entry) => {
                        place = entry.key_span.clone();
                        node = &entry.node;
                    }
                    None => break,
                },
                (Step::Index(index), Value::List(elements)) => match elements.get(*index) {
                    Some(element) => {
                        place = element.span.clone();
                        node = element;
                    }
                    None => break,
                },
                _ => break,
            }
        }
        place
    }

    /// The value that a path leads to.
    pub fn follow(&self, path: &Path) -> Option<&Node> {
        path.0.iter().try_fold(self, |node, step| match (step, &node.value) {
            (Step::Key(key), _) => node.get(key),
            (Step::Index(index), Value::List(elements)) => elements.get(*index),
            (Step::Index(_), _) => None,
        })
    }

    /// The place of the bracket that opens the value of a path: of an object that lacks a key.
    pub fn opening(&self, path: &Path) -> Span {
        match self.follow(path) {
            Some(node) => node.span.start..node.span.start + 1,
            None => self.locate(path),
        }
    }
}

impl Document {
    /// Reads a text.
    ///
    /// # Errors
    /// Bytes that are not UTF-8, anything that is not strict JSON, nesting deeper than
    /// [`DEEPEST`], more values than [`MOST_VALUES`].
    pub fn read(bytes: Vec<u8>) -> Result<Document, (String, Vec<Problem>)> {
        let mut text = match String::from_utf8(bytes) {
            Ok(text) => text,
            Err(error) => {
                let at = error.utf8_error().valid_up_to();
                let text = String::from_utf8_lossy(&error.into_bytes()).into_owned();
                let problem =
                    Problem::at(at..at + 1, "the file is not UTF-8 text from here on").hint("save it as UTF-8");
                return Err((text, vec![problem]));
            }
        };
        let marked = text.starts_with(BYTE_ORDER_MARK);
        if marked {
            text.drain(..BYTE_ORDER_MARK.len_utf8());
        }
        match read_root(&text) {
            Ok((root, repeated)) => Ok(Document { text, marked, root, repeated }),
            Err(problem) => Err((text, vec![*problem])),
        }
    }
}

/// The value of a text, and every key that is given twice.
fn read_root(text: &str) -> Result<(Node, Vec<Problem>), Box<Problem>> {
    if text.trim_matches([' ', '\t', '\r', '\n']).is_empty() {
        let hint = "a model is one JSON object; crossbrace new writes a first one, and models/FORMAT.md of the project describes it";
        return Err(Box::new(Problem::at(0..0, "the file is empty").hint(hint)));
    }
    count_values(text)?;
    if let Err(error) = serde_json::from_str::<serde::de::IgnoredAny>(text) {
        return Err(Box::new(not_json(text, &error)));
    }
    let options = ParseOptions {
        allow_comments: false,
        allow_loose_object_property_names: false,
        allow_trailing_commas: false,
        allow_missing_commas: false,
        allow_single_quoted_strings: false,
        allow_hexadecimal_numbers: false,
        allow_unary_plus_numbers: false,
        allow_bare_decimal_point_numbers: false,
        allow_non_finite_numbers: false,
        allow_extended_string_escapes: false,
    };
    // After the gate above only half of a surrogate pair is left to be refused.
    let parsed = parse_to_ast(text, &CollectOptions::default(), &options).map_err(|error| {
        let range = error.range();
        let message = "this is not JSON: half of a pair of \\u escapes is no letter";
        Box::new(Problem::at(range.start..range.end, message).hint("write the letter itself: the file is UTF-8"))
    })?;
    let mut repeated = Vec::new();
    match parsed.value {
        Some(value) => {
            let root = convert(value, &mut Path::default(), &mut repeated);
            Ok((root, told(&repeated, text)))
        }
        None => Err(Box::new(Problem::at(0..0, "the file holds no value"))),
    }
}

/// A key that its object holds already: the way to it, and where the first and this one stand.
struct Repeated {
    path: Path,
    first: Span,
    span: Span,
}

/// Keys that are given twice, each told with both of its lines.
fn told(repeated: &[Repeated], text: &str) -> Vec<Problem> {
    if repeated.is_empty() {
        return Vec::new();
    }
    let line_ends: Vec<usize> = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at).collect();
    let line = |span: &Span| line_ends.partition_point(|end| *end < span.start) + 1;
    let problem = |of: &Repeated| {
        let key = match of.path.0.last() {
            Some(Step::Key(key)) => key.as_str(),
            _ => "",
        };
        let lines = match (line(&of.first), line(&of.span)) {
            (first, second) if first == second => format!("on line {first}"),
            (first, second) => format!("on lines {first} and {second}"),
        };
        let message = format!("\"{key}\" is given twice in one object, {lines}");
        Problem::new(of.path.clone(), of.span.clone(), message).hint("remove or rename one of the two")
    };
    repeated.iter().map(problem).collect()
}

/// What the JSON reader found, in the words of somebody who does not write JSON every day.
fn not_json(text: &str, error: &serde_json::Error) -> Problem {
    let found = error.to_string();
    let found = found.rsplit_once(" at line ").map_or(found.as_str(), |(what, _)| what);
    let mut at = offset(text, error.line(), error.column());
    if found.starts_with("control character") {
        at += 1; // the reader stops before this one, and behind every other
    }
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    let (before, rest) = text.split_at(at);
    let mut span = at..at + 1;
    let (message, hint) = if let Some(inside) = found.strip_prefix("EOF while parsing ") {
        let inside = match inside {
            "an object" | "a list" => inside,
            "a string" => "a text",
            _ => "the model",
        };
        let cut = format!("the file ends inside {inside}");
        (cut, "a quote or a closing bracket is missing, or the file was cut off")
    } else if found == "trailing comma" || (before.trim_end().ends_with(',') && rest.starts_with(['}', ']'])) {
        let comma = before.trim_end().len() - 1;
        span = comma..comma + 1;
        ("a comma with nothing behind it".to_owned(), "take the comma out")
    } else if rest.starts_with(['/', '#']) {
        ("there are no comments in JSON".to_owned(), "a remark goes into \"note\", which every object takes")
    } else if rest.starts_with('\'') {
        ("keys and texts stand in double quotes".to_owned(), "write \" for '")
    } else if ["NaN", "nan", "Inf", "inf"].iter().any(|word| rest.starts_with(word)) {
        ("a number is finite, and written in digits".to_owned(), "write the number that is meant")
    } else if found.starts_with("control character") {
        (
            "a line break, a tab or another control character inside a text".to_owned(),
            "write \\n for a line break and \\t for a tab",
        )
    } else {
        match found {
            "key must be a string" => ("a key stands in double quotes".to_owned(), "write \"key\": value"),
            "invalid number" => (
                "a number as JSON does not write it".to_owned(),
                "no plus and no zero before it, and digits on both sides of its point",
            ),
            "expected value" if rest.starts_with(['+', '.']) => {
                ("a number begins with a digit or a minus".to_owned(), "write 0.5 for .5, and no plus")
            }
            "expected value" => ("here a value is missing".to_owned(), "texts stand in double quotes"),
            "expected ident" => {
                ("here a value is missing".to_owned(), "write true, false or null; texts stand in double quotes")
            }
            "expected `,` or `}`" | "expected `,` or `]`" => {
                (format!("{found} before this"), "a comma between two entries, or a closing bracket, is missing")
            }
            "invalid escape" => {
                ("a backslash before this letter means nothing".to_owned(), "a backslash itself is written twice")
            }
            "trailing characters" => (
                "something stands behind the end of the model".to_owned(),
                "a closing bracket too many, or a second model",
            ),
            other => (other.to_owned(), "look for a quote, a comma or a bracket that is missing"),
        }
    };
    Problem::at(span, format!("this is not JSON: {message}")).hint(hint)
}

/// Refuses nesting deeper than [`DEEPEST`] and more than [`MOST_VALUES`] values, before any
/// parser spends stack or memory on them.
fn count_values(text: &str) -> Result<(), Box<Problem>> {
    let (mut depth, mut values, mut in_string, mut escaped) = (0_usize, 1_usize, false, false);
    for (at, byte) in text.bytes().enumerate() {
        if in_string {
            match byte {
                _ if escaped => escaped = false,
                b'\\' => escaped = true,
                b'"' => in_string = false,
                _ => {}
            }
            continue;
        }
        match byte {
            b'"' => in_string = true,
            b'[' | b'{' => {
                depth += 1;
                values += 1;
                if depth > DEEPEST {
                    let message = format!("lists and objects are nested deeper than {DEEPEST}");
                    return Err(Box::new(Problem::at(at..at + 1, message)));
                }
            }
            b']' | b'}' => depth = depth.saturating_sub(1),
            b',' => values += 1,
            _ => {}
        }
        if values > MOST_VALUES {
            let message = format!("the file holds more than {MOST_VALUES} values");
            return Err(Box::new(Problem::at(at..at + 1, message)));
        }
    }
    Ok(())
}

/// Byte place of a line and a column in bytes, both counted from 1, as `serde_json` gives them.
fn offset(text: &str, line: usize, column: usize) -> usize {
    let start = match line {
        0 | 1 => 0,
        _ => text
            .bytes()
            .enumerate()
            .filter(|(_, byte)| *byte == b'\n')
            .nth(line - 2)
            .map_or(text.len(), |(at, _)| at + 1),
    };
    (start + column.saturating_sub(1)).min(text.len())
}

fn convert(value: ast::Value<'_>, path: &mut Path, repeated: &mut Vec<Repeated>) -> Node {
    let range = jsonc_parser::common::Ranged::range(&value);
    let span = range.start..range.end;
    let value = match value {
        ast::Value::NullKeyword(_) => Value::Null,
        ast::Value::BooleanLit(literal) => Value::Bool(literal.value),
        ast::Value::NumberLit(literal) => Value::Number(literal.value.to_owned()),
        ast::Value::StringLit(literal) => Value::Text(literal.value.into_owned()),
        ast::Value::Array(array) => Value::List(
            array
                .elements
                .into_iter()
                .enumerate()
                .map(|(index, element)| path.within(Step::Index(index), |path| convert(element, path, repeated)))
                .collect(),
        ),
        ast::Value::Object(object) => Value::Object(convert_object(object, path, repeated)),
    };
    Node { span, value }
}

fn convert_object(object: ast::Object<'_>, path: &mut Path, repeated: &mut Vec<Repeated>) -> Vec<Entry> {
    let mut entries: Vec<Entry> = Vec::with_capacity(object.properties.len());
    let mut seen: HashMap<String, Span> = HashMap::with_capacity(object.properties.len());
    for property in object.properties {
        let range = jsonc_parser::common::Ranged::range(&property.name);
        let span = range.start..range.end;
        let key = property.name.into_string();
        if let Some(first) = seen.get(&key) {
            repeated.push(Repeated { path: path.then(key), first: first.clone(), span });
            continue;
        }
        seen.insert(key.clone(), span.clone());
        let node = path.within(Step::from(&key), |path| convert(property.value, path, repeated));
        entries.push(Entry { key, key_span: span, node });
    }
    entries
}
