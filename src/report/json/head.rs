//! What every result begins with: its format, the program, the model.

use serde::Serialize;
use serde_json::Value;

use crate::report::{About, TOOL};

/// The keys that every result begins with.
#[derive(Serialize)]
pub(in crate::report) struct Head<'r> {
    format: u8,
    tool: Tool,
    model: ModelJson<'r>,
}

impl<'r> Head<'r> {
    /// Of a result about a model.
    pub(in crate::report) fn of(about: &About<'r>) -> Self {
        Self {
            format: 1,
            tool: Tool { name: TOOL.0, version: TOOL.1 },
            model: ModelJson {
                title: about.model.title.as_deref(),
                file: about.file,
                sha256: about.sha256,
                option: about.option,
            },
        }
    }
}

/// A result about a model, from its own keys.
pub(in crate::report) fn result(about: &About<'_>, own: Value) -> Value {
    let mut whole = serde_json::to_value(Head::of(about)).expect("the head has text keys");
    if let (Value::Object(whole), Value::Object(own)) = (&mut whole, own) {
        whole.extend(own);
    }
    whole
}

#[derive(Serialize)]
struct Tool {
    name: &'static str,
    version: &'static str,
}

#[derive(Serialize)]
struct ModelJson<'r> {
    title: Option<&'r str>,
    file: &'r str,
    sha256: &'r str,
    #[serde(skip_serializing_if = "Option::is_none")]
    option: Option<&'r str>,
}
