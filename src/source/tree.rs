//! The text of a file as a tree in which every key and every value knows its place.
//!
//! Reads bytes; gives a [`Document`] or the problems that keep it from being one. It takes strict
//! JSON (RFC 8259) and nothing else. Leaves out what keys mean.

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

/// A text that is one JSON value, with its places.
#[derive(Debug)]
pub struct Document {
    /// The text without a byte-order mark.
    pub text: String,
    /// The value.
    pub root: Node,
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
}

impl Document {
    /// Reads a text.
    ///
    /// # Errors
    /// Bytes that are not UTF-8, anything that is not strict JSON, a key given twice, nesting
    /// deeper than [`DEEPEST`], more values than [`MOST_VALUES`].
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
        if text.starts_with('\u{feff}') {
            text.drain(..'\u{feff}'.len_utf8());
        }
        match read_root(&text) {
            Ok(root) => Ok(Document { text, root }),
            Err(problems) => Err((text, problems)),
        }
    }
}

fn read_root(text: &str) -> Result<Node, Vec<Problem>> {
    if text.trim_matches([' ', '\t', '\r', '\n']).is_empty() {
        return Err(vec![
            Problem::at(0..0, "the file is empty")
                .hint("a model is one JSON object; models/FORMAT.md in the project describes it"),
        ]);
    }
    count_values(text).map_err(|problem| vec![problem])?;
    if let Err(error) = serde_json::from_str::<serde::de::IgnoredAny>(text) {
        let at = offset(text, error.line(), error.column());
        let message = error.to_string();
        let message = message.rsplit_once(" at line ").map_or(message.as_str(), |(what, _)| what);
        return Err(vec![Problem::at(at..at + 1, format!("this is not JSON: {message}"))]);
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
    let parsed = parse_to_ast(text, &CollectOptions::default(), &options).map_err(|error| {
        let range = error.range();
        vec![Problem::at(range.start..range.end, format!("this is not JSON: {}", error.kind()))]
    })?;
    let mut problems = Vec::new();
    let root = match parsed.value {
        Some(value) => convert(value, &mut Path::default(), &mut problems),
        None => return Err(vec![Problem::at(0..0, "the file holds no value")]),
    };
    if problems.is_empty() { Ok(root) } else { Err(problems) }
}

/// Refuses nesting deeper than [`DEEPEST`] and more than [`MOST_VALUES`] values, before any
/// parser spends stack or memory on them.
fn count_values(text: &str) -> Result<(), Problem> {
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
                    return Err(Problem::at(at..at + 1, format!("lists and objects are nested deeper than {DEEPEST}")));
                }
            }
            b']' | b'}' => depth = depth.saturating_sub(1),
            b',' => values += 1,
            _ => {}
        }
        if values > MOST_VALUES {
            return Err(Problem::at(at..at + 1, format!("the file holds more than {MOST_VALUES} values")));
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

fn convert(value: ast::Value<'_>, path: &mut Path, problems: &mut Vec<Problem>) -> Node {
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
                .map(|(index, element)| path.within(Step::Index(index), |path| convert(element, path, problems)))
                .collect(),
        ),
        ast::Value::Object(object) => Value::Object(convert_object(object, path, problems)),
    };
    Node { span, value }
}

fn convert_object(object: ast::Object<'_>, path: &mut Path, problems: &mut Vec<Problem>) -> Vec<Entry> {
    let mut entries: Vec<Entry> = Vec::with_capacity(object.properties.len());
    let mut seen = std::collections::HashSet::with_capacity(object.properties.len());
    for property in object.properties {
        let range = jsonc_parser::common::Ranged::range(&property.name);
        let key_span = range.start..range.end;
        let key = property.name.into_string();
        let node = path.within(Step::Key(key.clone()), |path| {
            let node = convert(property.value, path, problems);
            if !seen.insert(key.clone()) {
                problems.push(
                    Problem::new(path.clone(), key_span.clone(), format!("\"{key}\" is given twice in one object"))
                        .hint("remove or rename one of the two"),
                );
            }
            node
        });
        entries.push(Entry { key, key_span, node });
    }
    entries
}
