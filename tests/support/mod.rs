//! What several themes need.

pub(crate) mod program;
pub(crate) mod values;

use std::io::Read as _;
use std::path::{Path, PathBuf};

use crossbrace::model::{Fault, Loaded, Model, load_all};
use crossbrace::report::{Report, json};
use crossbrace::run::check;
use crossbrace::source::Document;
use serde_json::Value;

/// A file of the tests, by its path below `tests/`.
pub(crate) fn test_file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests").join(name)
}

/// A file or folder of the repository, by its path below the top.
pub(crate) fn repository_file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// Every Rust file below a folder of the repository, sorted.
pub(crate) fn rust_files(folder: &str) -> Vec<PathBuf> {
    let mut open = vec![repository_file(folder)];
    let mut files = Vec::new();
    while let Some(folder) = open.pop() {
        for entry in std::fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                files.push(path);
            }
        }
    }
    files.sort();
    files
}

/// The text of a file below `tests/`.
pub(crate) fn read(name: &str) -> String {
    let path = test_file(name);
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// A JSON value from a file below `tests/` that is compressed with gzip.
pub(crate) fn read_compressed(name: &str) -> Value {
    let path = test_file(name);
    let file = std::fs::File::open(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let mut text = String::new();
    let mut unpacked = flate2::read::GzDecoder::new(file);
    unpacked.read_to_string(&mut text).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    serde_json::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// The models of a text; panics with the problems where it is not one.
#[track_caller]
pub(crate) fn load(text: &str) -> Loaded {
    let document = Document::read(text.as_bytes().to_vec()).unwrap_or_else(|(_, problems)| panic!("{problems:#?}"));
    load_all(&document).unwrap_or_else(|problems| panic!("{problems:#?}"))
}

/// The whole result of a model as JSON; panics where it cannot be solved.
#[track_caller]
pub(crate) fn result(model: &Model) -> Value {
    try_result(model).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

/// The whole result of a model as JSON, or the faults that keep it from being solved.
pub(crate) fn try_result(model: &Model) -> Result<Value, Vec<Fault>> {
    let checked = check(model, |_| true)?;
    let text = json::text(&Report {
        file: "test.json",
        sha256: "",
        option: None,
        model,
        prepared: &checked.prepared,
        response: &checked.response,
        outcome: &checked.outcome,
        verdict: &checked.verdict,
        unknowns: None,
        positions: checked.positions.as_ref(),
        notes: &checked.notes(),
    });
    Ok(serde_json::from_str(&text).unwrap())
}
