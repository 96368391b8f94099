//! The source as a house: which room may look into which, and papers that must match the code.

use std::fs;
use std::path::{Path, PathBuf};

use crate::support::{repository_file, rust_files};

/// The rooms in order, as DEVELOPERS.md lists them: each may use those before it.
const ROOMS: [&str; 19] = [
    "units",
    "math",
    "space",
    "section",
    "beam",
    "source",
    "model",
    "exchange",
    "car",
    "structure",
    "loads",
    "solve",
    "modes",
    "checks",
    "run",
    "studies",
    "proof",
    "report",
    "cli",
];

/// The room that a source file is in; none for `lib.rs` and `main.rs`.
fn room(path: &Path) -> Option<usize> {
    let below = path.strip_prefix(repository_file("src")).unwrap();
    let first = below.components().next().unwrap().as_os_str().to_str().unwrap();
    ROOMS.iter().position(|room| *room == first.trim_end_matches(".rs"))
}

/// Every room that a text names as `crate::ROOM`, with its line. Several in one pair of braces are not read:
/// [`no_import_brings_several_rooms_at_once`] keeps them out.
fn named_rooms(text: &str) -> Vec<(usize, usize)> {
    let mut named = Vec::new();
    for (line, content) in text.lines().enumerate() {
        let code = content.split("//").next().unwrap_or_default();
        for part in code.split("crate::").skip(1) {
            let word: String = part.chars().take_while(|letter| letter.is_alphanumeric() || *letter == '_').collect();
            if let Some(room) = ROOMS.iter().position(|room| *room == word) {
                named.push((room, line + 1));
            }
        }
    }
    named
}

#[test]
fn no_room_looks_down_the_list() {
    let mut seen = [false; ROOMS.len()];
    let mut wrong = Vec::new();
    for path in rust_files("src") {
        let Some(own) = room(&path) else { continue };
        seen[own] = true;
        let text = fs::read_to_string(&path).unwrap();
        // Unit tests may compare with anything.
        let code = text.split("#[cfg(test)]").next().unwrap_or_default();
        for (named, line) in named_rooms(code) {
            if named > own {
                wrong.push(format!("{}:{line}: {} looks down to {}", path.display(), ROOMS[own], ROOMS[named]));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let missing: Vec<&str> = ROOMS.iter().zip(seen).filter(|(_, seen)| !seen).map(|(room, _)| *room).collect();
    assert!(missing.is_empty(), "listed rooms without a source file: {missing:?}");
}

#[test]
fn a_look_down_the_list_would_be_seen() {
    let text = "use crate::units::Length; // crate::cli\nlet x = crate::report::text::table(1);";
    let names: Vec<(&str, usize)> = named_rooms(text).into_iter().map(|(room, line)| (ROOMS[room], line)).collect();
    assert_eq!(names, [("units", 1), ("report", 2)]);
}

#[test]
fn no_import_brings_several_rooms_at_once() {
    let mut grouped = Vec::new();
    for path in rust_files("src") {
        let text = fs::read_to_string(&path).unwrap();
        let lines = text.lines().enumerate().filter(|(_, line)| line.contains("crate::{") || line.contains("crate::*"));
        grouped.extend(lines.map(|(at, _)| format!("{}:{}", path.display(), at + 1)));
    }
    assert!(grouped.is_empty(), "name one room a line, so that its arrow is seen: {grouped:?}");
}

#[test]
fn every_room_of_the_source_is_on_the_list() {
    let mut rooms: Vec<PathBuf> =
        fs::read_dir(repository_file("src")).unwrap().map(|entry| entry.unwrap().path()).collect();
    rooms.retain(|path| !matches!(path.file_name().and_then(|name| name.to_str()), Some("lib.rs" | "main.rs")));
    for path in rooms {
        assert!(room(&path).is_some(), "{} is not on the list of rooms", path.display());
    }
}

#[test]
fn the_kept_schema_is_that_of_the_code() {
    let kept = fs::read_to_string(repository_file("models/model.schema.json")).unwrap();
    let made = format!("{:#}\n", crossbrace::model::json_schema());
    assert!(
        kept == made,
        "models/model.schema.json is old: run `cargo run --release -- schema > models/model.schema.json`"
    );
}

#[test]
fn the_kept_page_of_published_cases_is_that_of_the_code() {
    use crossbrace::proof::{ProvenTopic, topics};
    let topics = topics();
    let proven: Vec<ProvenTopic<'_>> = topics.iter().map(|topic| ProvenTopic::of(topic, |_| true)).collect();
    let kept = fs::read_to_string(repository_file("reports/proof.md")).unwrap();
    assert!(
        kept == crossbrace::report::proof::markdown(&proven),
        "reports/proof.md is old: run `cargo run --release -- prove --markdown > reports/proof.md`"
    );
}

#[test]
fn every_key_of_the_schema_stands_in_the_format_page() {
    let page = fs::read_to_string(repository_file("models/FORMAT.md")).unwrap();
    let schema = crossbrace::model::json_schema();
    let mut missing = Vec::new();
    let definitions = schema["$defs"].as_object().unwrap();
    for (name, definition) in definitions.iter().chain([(&"the file".to_owned(), &schema)]) {
        for key in definition["properties"].as_object().into_iter().flat_map(|properties| properties.keys()) {
            let mentioned = [format!("`{key}`"), format!("\"{key}\""), format!("`\"{key}\"`")]
                .iter()
                .any(|form| page.contains(form));
            if !mentioned {
                missing.push(format!("{name}: {key}"));
            }
        }
    }
    assert!(missing.is_empty(), "not in models/FORMAT.md: {missing:#?}");
}

/// The Rust files that a text names in backticks, as paths below the top of the repository: `a/b.rs`
/// means `src/a/b.rs`.
fn named_files(text: &str) -> Vec<String> {
    let quoted = text.split('`').skip(1).step_by(2);
    quoted
        .filter(|name| name.ends_with(".rs") && !name.contains(char::is_whitespace))
        .map(|name| {
            let is_whole = ["src/", "tests/", "benches/"].iter().any(|folder| name.starts_with(folder));
            if is_whole { name.to_owned() } else { format!("src/{name}") }
        })
        .collect()
}

#[test]
fn every_source_file_that_the_page_for_contributors_names_is_there() {
    let page = fs::read_to_string(repository_file("DEVELOPERS.md")).unwrap();
    let files = named_files(&page);
    assert!(files.len() > 10, "the page names too few files for this to be a check: {files:?}");
    let missing: Vec<&String> = files.iter().filter(|file| !repository_file(file).is_file()).collect();
    assert!(missing.is_empty(), "DEVELOPERS.md names {missing:?}");
}

#[test]
fn files_are_found_in_a_page() {
    let page = "Start at `src/lib.rs`, then `run/judge.rs` (`judge`); `tests/main.rs` is `one b.rs` binary.";
    assert_eq!(named_files(page), ["src/lib.rs", "src/run/judge.rs", "tests/main.rs"]);
}
