//! JSON text as a person would write it: one entry a line, broken only where a line gets too long.

use serde_json::Value;

/// A line that would be longer than this is broken.
const WIDEST: usize = 120;

/// The text of a value: the sections of the top object open, one entry of each a line.
///
/// ```
/// use crossbrace::source::laid_out;
/// let value = serde_json::json!({"format": 1, "nodes": {"A": [0, 1, 2], "B": {"at": [3, 4, 5]}}});
/// assert_eq!(
///     laid_out(&value),
///     "{\n  \"format\": 1,\n  \"nodes\": {\n    \"A\": [0, 1, 2],\n    \"B\": {\"at\": [3, 4, 5]}\n  }\n}\n"
/// );
/// ```
pub fn laid_out(value: &Value) -> String {
    let mut text = String::new();
    open(value, 0, 2, &mut text);
    text.push('\n');
    text
}

/// Writes an object open, one entry a line; entries of the first `always` levels are opened too,
/// those below only where they do not fit on their line.
fn open(value: &Value, indent: usize, always: usize, text: &mut String) {
    let Value::Object(entries) = value else {
        text.push_str(&inline(value));
        return;
    };
    if entries.is_empty() {
        text.push_str("{}");
        return;
    }
    text.push_str("{\n");
    for (at, (key, entry)) in entries.iter().enumerate() {
        let head = format!("{:width$}{}: ", "", Value::from(key.as_str()), width = indent + 2);
        let line = inline(entry);
        let fits = head.chars().count() + line.chars().count() < WIDEST;
        text.push_str(&head);
        if (always > 1 || !fits) && entry.is_object() {
            open(entry, indent + 2, always.saturating_sub(1), text);
        } else {
            text.push_str(&line);
        }
        text.push_str(if at + 1 < entries.len() { ",\n" } else { "\n" });
    }
    text.push_str(&format!("{:indent$}}}", ""));
}

/// A value on one line, with a blank after each comma and colon.
fn inline(value: &Value) -> String {
    match value {
        Value::Object(entries) => {
            let entries: Vec<String> = entries
                .iter()
                .map(|(key, entry)| format!("{}: {}", Value::from(key.as_str()), inline(entry)))
                .collect();
            format!("{{{}}}", entries.join(", "))
        }
        Value::Array(elements) => {
            let elements: Vec<String> = elements.iter().map(inline).collect();
            format!("[{}]", elements.join(", "))
        }
        plain => plain.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn an_entry_that_does_not_fit_on_its_line_is_opened_and_no_other() {
        let long = "x".repeat(100);
        let text = laid_out(&json!({"cases": {"a": {"g": {}}, "b": {"g": {"long": -1.5}, "note": long}}}));
        let expected = format!(
            "{{\n  \"cases\": {{\n    \"a\": {{\"g\": {{}}}},\n    \"b\": {{\n      \"g\": {{\"long\": -1.5}},\n      \"note\": \"{long}\"\n    }}\n  }}\n}}\n"
        );
        assert_eq!(text, expected);
    }

    #[test]
    fn what_was_laid_out_reads_back_as_it_was() {
        let value = json!({"title": "a \"quoted\" name\nof ü", "limits": {}, "nodes": {"A.l": [1, -2.5, 3]}});
        assert_eq!(serde_json::from_str::<Value>(&laid_out(&value)).unwrap(), value);
    }
}
