//! JSON Merge Patch on a tree: what a patch brings keeps its own place in the text.

use super::problem::{Path, Step};
use super::tree::{Entry, Node, Value};

/// The target changed by a patch (RFC 7396): objects merge, null removes, anything else replaces.
///
/// A key that is replaced keeps its position, a new one goes to the end; both point at the text
/// of the patch, so that a mistake is told where it was written.
pub fn merge_patch(target: &Node, patch: &Node) -> Node {
    let Value::Object(changes) = &patch.value else {
        return patch.clone();
    };
    let mut entries: Vec<Entry> = target.entries().to_vec();
    let place = match target.value {
        Value::Object(_) => target.span.clone(),
        _ => patch.span.clone(),
    };
    for change in changes {
        let at = entries.iter().position(|entry| entry.key == change.key);
        match (&change.node.value, at) {
            (Value::Null, Some(at)) => {
                entries.remove(at);
            }
            (Value::Null, None) => {}
            (_, Some(at)) => {
                let merged = merge_patch(&entries[at].node, &change.node);
                let still_an_object =
                    matches!((&entries[at].node.value, &change.node.value), (Value::Object(_), Value::Object(_)));
                if !still_an_object {
                    entries[at].key_span = change.key_span.clone();
                }
                entries[at].node = merged;
            }
            (_, None) => {
                let nothing = Node { span: change.node.span.clone(), value: Value::Null };
                entries.push(Entry {
                    key: change.key.clone(),
                    key_span: change.key_span.clone(),
                    node: merge_patch(&nothing, &change.node),
                });
            }
        }
    }
    Node { span: place, value: Value::Object(entries) }
}

/// The way to the first key of which two patches ask for different things, so that it matters which is merged last.
pub fn contradiction(one: &Node, other: &Node) -> Option<Path> {
    let (Value::Object(entries), Value::Object(_)) = (&one.value, &other.value) else {
        return (!says_the_same(one, other)).then(|| Path(Vec::new()));
    };
    entries.iter().find_map(|entry| {
        let Path(mut steps) = contradiction(&entry.node, other.get(&entry.key)?)?;
        steps.insert(0, Step::Key(entry.key.clone()));
        Some(Path(steps))
    })
}

/// Whether two values are the same text but for places and blanks.
fn says_the_same(one: &Node, other: &Node) -> bool {
    match (&one.value, &other.value) {
        (Value::List(one), Value::List(other)) => {
            one.len() == other.len() && one.iter().zip(other).all(|(one, other)| says_the_same(one, other))
        }
        (Value::Object(one), Value::Object(entries)) => {
            one.len() == entries.len()
                && one.iter().all(|entry| other.get(&entry.key).is_some_and(|there| says_the_same(&entry.node, there)))
        }
        (one, other) => one == other,
    }
}

#[cfg(test)]
mod tests {
    use super::super::tree::Document;
    use super::*;

    fn plain(node: &Node) -> serde_json::Value {
        match &node.value {
            Value::Null => serde_json::Value::Null,
            Value::Bool(value) => (*value).into(),
            Value::Number(text) => serde_json::from_str(text).unwrap(),
            Value::Text(text) => text.clone().into(),
            Value::List(elements) => elements.iter().map(plain).collect(),
            Value::Object(entries) => {
                serde_json::Value::Object(entries.iter().map(|entry| (entry.key.clone(), plain(&entry.node))).collect())
            }
        }
    }

    /// RFC 7396, appendix A: target, patch, result.
    #[test]
    fn the_examples_of_rfc_7396_appendix_a_come_out() {
        for (target, patch, result) in [
            (r#"{"a":"b"}"#, r#"{"a":"c"}"#, r#"{"a":"c"}"#),
            (r#"{"a":"b"}"#, r#"{"b":"c"}"#, r#"{"a":"b","b":"c"}"#),
            (r#"{"a":"b"}"#, r#"{"a":null}"#, r"{}"),
            (r#"{"a":"b","b":"c"}"#, r#"{"a":null}"#, r#"{"b":"c"}"#),
            (r#"{"a":["b"]}"#, r#"{"a":"c"}"#, r#"{"a":"c"}"#),
            (r#"{"a":"c"}"#, r#"{"a":["b"]}"#, r#"{"a":["b"]}"#),
            (r#"{"a":{"b":"c"}}"#, r#"{"a":{"b":"d","c":null}}"#, r#"{"a":{"b":"d"}}"#),
            (r#"{"a":[{"b":"c"}]}"#, r#"{"a":[1]}"#, r#"{"a":[1]}"#),
            (r#"["a","b"]"#, r#"["c","d"]"#, r#"["c","d"]"#),
            (r#"{"a":"b"}"#, r#"["c"]"#, r#"["c"]"#),
            (r#"{"a":"foo"}"#, r"null", r"null"),
            (r#"{"a":"foo"}"#, r#""bar""#, r#""bar""#),
            (r#"{"e":null}"#, r#"{"a":1}"#, r#"{"e":null,"a":1}"#),
            (r"[1,2]", r#"{"a":"b","c":null}"#, r#"{"a":"b"}"#),
            (r"{}", r#"{"a":{"bb":{"ccc":null}}}"#, r#"{"a":{"bb":{}}}"#),
        ] {
            let tree = |text: &str| Document::read(text.as_bytes().to_vec()).unwrap().root;
            let expected: serde_json::Value = serde_json::from_str(result).unwrap();
            assert_eq!(plain(&merge_patch(&tree(target), &tree(patch))), expected, "{target} {patch}");
        }
    }

    #[test]
    fn patches_contradict_where_they_ask_for_different_things_of_one_key() {
        for (one, other, way) in [
            (r#"{"a": {"b": 1}}"#, r#"{"a": {"c": 1}}"#, None),
            (r#"{"a": {"b": [1, {"x": 2}]}}"#, r#"{"a": {"b": [ 1, {"x":2} ], "c": 3}}"#, None),
            (r#"{"a": {"b": 1}}"#, r#"{"a": {"b": 2}}"#, Some("a.b")),
            (r#"{"a": {"b": 1}}"#, r#"{"a": null}"#, Some("a")),
            (r#"{"a": [1, 2]}"#, r#"{"a": [1]}"#, Some("a")),
            (r#"{"a": [{"x": 1}]}"#, r#"{"a": [{"x": 1, "y": 1}]}"#, Some("a")),
        ] {
            let tree = |text: &str| Document::read(text.as_bytes().to_vec()).unwrap().root;
            let found = contradiction(&tree(one), &tree(other)).map(|path| path.to_string());
            assert_eq!(found.as_deref(), way, "{one} {other}");
        }
    }
}
