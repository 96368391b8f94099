//! Changes to the text of a file that leave every other byte of it as it is.
//!
//! Reads a [`Document`]; gives its text with some values replaced and some entries added, written
//! as their neighbours are: blanks, line ends and indentation are taken from those.

use super::tree::{Document, Node, Span, Value};
use crate::units::{Length, Quantity, in_full};

/// A length that is not written in mm has no more digits than bring it this close, mm: far below
/// any measurement.
const CLOSE_MM: f64 = 4e-10;

/// Changes to one text.
#[derive(Debug)]
pub struct Edits<'d> {
    document: &'d Document,
    replaced: Vec<(Span, String)>,
}

/// A value to be added.
#[derive(Debug, Clone, PartialEq)]
pub enum New {
    /// A number.
    Number(f64),
    /// A text.
    Text(String),
    /// A list.
    List(Vec<New>),
    /// An object.
    Object(Vec<(&'static str, New)>),
}

impl<'d> Edits<'d> {
    /// No changes yet.
    pub fn new(document: &'d Document) -> Self {
        Self { document, replaced: Vec::new() }
    }

    /// Sets a length; one that is written with its unit stays in that unit.
    pub fn set_length(&mut self, node: &Node, value_mm: f64) {
        let text = match &node.value {
            Value::Text(text) => Length::KIND.rewritten(text, value_mm, CLOSE_MM).map(|text| quoted(&text)),
            _ => None,
        };
        self.replaced.push((node.span.clone(), text.unwrap_or_else(|| in_full(value_mm))));
    }

    /// Adds entries at the end of an object.
    pub fn append(&mut self, object: &Node, entries: &[(String, New)]) {
        if entries.is_empty() {
            return;
        }
        let text = &self.document.text;
        let style = Style::of(object, &entries[0].1, text);
        let written: Vec<String> = entries
            .iter()
            .map(|(key, value)| format!("{}{}{}", quoted(key), style.colon, style.written(value)))
            .collect();
        let (span, before, after) = match object.entries() {
            [] => {
                let (inside, outside) = self.indents(object);
                (object.span.start + 1..object.span.end - 1, inside, outside)
            }
            [.., last] => (last.node.span.end..last.node.span.end, style.between.clone(), String::new()),
        };
        let comma = if object.entries().is_empty() { "" } else { "," };
        let added = written.join(&format!(",{before}"));
        self.replaced.push((span, format!("{comma}{before}{added}{after}")));
    }

    /// What stands before an entry of an object that has none yet, and before its closing bracket.
    fn indents(&self, object: &Node) -> (String, String) {
        let text = &self.document.text;
        let root = &self.document.root;
        let step = root.entries().first().map_or("", |first| &text[root.span.start + 1..first.key_span.start]);
        let Some(at) = step.rfind('\n') else { return (String::new(), String::new()) };
        let line_end = if step[..at].ends_with('\r') { "\r\n" } else { "\n" };
        let line_start = text[..object.span.start].rfind('\n').map_or(0, |newline| newline + 1);
        let line = &text[line_start..object.span.start];
        let outside = &line[..line.len() - line.trim_start().len()];
        (format!("{line_end}{outside}{}", &step[at + 1..]), format!("{line_end}{outside}"))
    }

    /// The text with all changes, without a byte-order mark.
    pub fn text(mut self) -> String {
        self.replaced.sort_by_key(|(span, _)| span.start);
        let mut text = String::with_capacity(self.document.text.len());
        let mut from = 0;
        for (span, new) in &self.replaced {
            text.push_str(&self.document.text[from..span.start]);
            text.push_str(new);
            from = span.end;
        }
        text.push_str(&self.document.text[from..]);
        text
    }
}

/// A text as JSON writes it.
fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}

/// What stands behind an opening bracket, behind a comma, and before a closing bracket.
#[derive(Debug, Clone)]
struct Spacing {
    open: String,
    comma: String,
    close: String,
}

/// How the entries of an object are written.
#[derive(Debug)]
struct Style {
    /// Between two entries, behind the comma.
    between: String,
    /// Between key and value.
    colon: String,
    object: Spacing,
    list: Spacing,
}

impl Style {
    /// The style of an object's entries, of those of the same shape as `new` where there are any.
    fn of(object: &Node, new: &New, text: &str) -> Style {
        let entries = object.entries();
        let colon = match entries.last() {
            Some(last) => text[last.key_span.end..last.node.span.start].to_owned(),
            None => ": ".to_owned(),
        };
        let blank = if colon.ends_with(' ') || entries.is_empty() { " " } else { "" };
        let plain = Spacing { open: String::new(), comma: blank.to_owned(), close: String::new() };
        let first = entries.first().map_or("", |first| &text[object.span.start + 1..first.key_span.start]);
        let between = match (entries, first.rfind('\n')) {
            // One line end, even where the first entry stands behind an empty line.
            (_, Some(at)) => first[at - usize::from(first[..at].ends_with('\r'))..].to_owned(),
            ([.., before, last], None) => behind_comma(&text[before.node.span.end..last.key_span.start]).to_owned(),
            (_, None) => blank.to_owned(),
        };
        let like = entries.iter().rev().map(|entry| &entry.node).find(|node| match new {
            New::Object(_) => matches!(node.value, Value::Object(_)),
            _ => matches!(node.value, Value::List(_)),
        });
        let list = like.and_then(|node| match &node.value {
            Value::List(_) => Some(node),
            _ => node.entries().iter().map(|entry| &entry.node).find(|node| matches!(node.value, Value::List(_))),
        });
        Style {
            between,
            colon,
            object: like.and_then(|node| Spacing::of(node, text)).unwrap_or_else(|| plain.clone()),
            list: list.and_then(|node| Spacing::of(node, text)).unwrap_or(plain),
        }
    }

    fn written(&self, value: &New) -> String {
        match value {
            New::Number(value) => in_full(*value),
            New::Text(text) => quoted(text),
            New::List(elements) => {
                let parts: Vec<String> = elements.iter().map(|element| self.written(element)).collect();
                self.list.enclose('[', &parts, ']')
            }
            New::Object(entries) => {
                let entry =
                    |(key, value): &(&str, New)| format!("{}{}{}", quoted(key), self.colon, self.written(value));
                self.object.enclose('{', &entries.iter().map(entry).collect::<Vec<String>>(), '}')
            }
        }
    }
}

impl Spacing {
    /// The spacing of a list or an object of at least two; `None` for anything else.
    fn of(node: &Node, text: &str) -> Option<Spacing> {
        let spans: Vec<(usize, usize)> = match &node.value {
            Value::List(elements) => elements.iter().map(|element| (element.span.start, element.span.end)).collect(),
            _ => node.entries().iter().map(|entry| (entry.key_span.start, entry.node.span.end)).collect(),
        };
        let [first, second, ..] = spans.as_slice() else { return None };
        let end = spans.last().map_or(second.1, |last| last.1);
        Some(Spacing {
            open: text[node.span.start + 1..first.0].to_owned(),
            comma: behind_comma(&text[first.1..second.0]).to_owned(),
            close: text[end..node.span.end - 1].to_owned(),
        })
    }

    fn enclose(&self, open: char, parts: &[String], close: char) -> String {
        let inside = parts.join(&format!(",{}", self.comma));
        format!("{open}{}{inside}{}{close}", self.open, self.close)
    }
}

/// What stands behind the comma in the text between two values.
fn behind_comma(between: &str) -> &str {
    between.split_once(',').map_or(between, |(_, behind)| behind)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn edited(text: &str, edit: impl FnOnce(&mut Edits<'_>, &Node)) -> String {
        let document = Document::read(text.as_bytes().to_vec()).unwrap();
        let mut edits = Edits::new(&document);
        edit(&mut edits, &document.root);
        edits.text()
    }

    fn appended(text: &str) -> String {
        let place = New::List(vec![New::Number(1.0), New::Number(2.5)]);
        let member =
            New::Object(vec![("ends", New::List(vec![New::Text("a".into())])), ("tube", New::Text("t".into()))]);
        edited(text, |edits, root| {
            edits.append(root.get("n").unwrap(), &[("p".into(), place.clone()), ("q\"".into(), place)]);
            edits.append(root.get("m").unwrap(), &[("x".into(), member)]);
        })
    }

    #[test]
    fn entries_are_added_as_their_neighbours_are_written() {
        assert_eq!(
            appended("{\"n\":{\"o\":[0,0]},\"m\":{\"w\":{\"ends\":[\"o\",\"o\"],\"tube\":\"t\"}}}"),
            "{\"n\":{\"o\":[0,0],\"p\":[1,2.5],\"q\\\"\":[1,2.5]},\"m\":{\"w\":{\"ends\":[\"o\",\"o\"],\"tube\":\"t\"},\"x\":{\"ends\":[\"a\"],\"tube\":\"t\"}}}"
        );
        assert_eq!(
            appended(
                "{\r\n\t\"n\": {\r\n\r\n\t\t\"o\": [ 0, 0 ]\r\n\t},\r\n\t\"m\": {\r\n\t\t\"w\": { \"ends\": [\"o\", \"o\"],\r\n\t\t\t\"tube\": \"t\" }\r\n\t}\r\n}\r\n"
            ),
            "{\r\n\t\"n\": {\r\n\r\n\t\t\"o\": [ 0, 0 ],\r\n\t\t\"p\": [ 1, 2.5 ],\r\n\t\t\"q\\\"\": [ 1, 2.5 ]\r\n\t},\r\n\t\"m\": {\r\n\t\t\"w\": { \"ends\": [\"o\", \"o\"],\r\n\t\t\t\"tube\": \"t\" },\r\n\t\t\"x\": { \"ends\": [\"a\"],\r\n\t\t\t\"tube\": \"t\" }\r\n\t}\r\n}\r\n"
        );
    }

    #[test]
    fn the_first_entry_of_an_object_is_indented_like_the_rest_of_the_file() {
        assert_eq!(
            appended("{\n  \"n\": {},\n  \"m\": { }\n}"),
            "{\n  \"n\": {\n    \"p\": [1, 2.5],\n    \"q\\\"\": [1, 2.5]\n  },\n  \"m\": {\n    \"x\": {\"ends\": [\"a\"], \"tube\": \"t\"}\n  }\n}"
        );
        assert_eq!(
            appended("{\"n\": {}, \"m\": {}}"),
            "{\"n\": {\"p\": [1, 2.5],\"q\\\"\": [1, 2.5]}, \"m\": {\"x\": {\"ends\": [\"a\"], \"tube\": \"t\"}}}"
        );
    }

    #[test]
    fn a_length_stays_in_the_unit_that_it_is_written_in() {
        let set = |text: &str, value: f64| {
            edited(&format!("{{\"a\" :\t[ {text} ]}}"), |edits, root| {
                let Value::List(elements) = &root.get("a").unwrap().value else { unreachable!("it is a list") };
                edits.set_length(&elements[0], value);
            })
        };
        assert_eq!(set("1.50", 12.25), "{\"a\" :\t[ 12.25 ]}");
        assert_eq!(set("\"1.5 in\"", 12.7), "{\"a\" :\t[ \"0.5 in\" ]}");
        assert_eq!(set("\"1.5in\"", -25.4), "{\"a\" :\t[ \"-1in\" ]}");
        assert_eq!(set("\"3 m\"", 1234.5), "{\"a\" :\t[ \"1.2345 m\" ]}");
    }
}
