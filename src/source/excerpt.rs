//! Problems as text: place, path, what is wrong, the line it stands in, what to do.

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use unicode_properties::{GeneralCategory, UnicodeGeneralCategory};

use super::problem::{Problem, line_and_column};

/// Longest part of a line that is shown, characters: a file may be one line.
const WINDOW: usize = 160;

/// One problem as a reader sees it, `file` as they typed it; colour is left to the caller.
pub fn render(problem: &Problem, file: &str, text: &str, renderer: &Renderer) -> String {
    let (line, column) = line_and_column(text, problem.span.start);
    let within = problem.option.as_ref().map(|name| format!(" (in option \"{}\")", visible(name))).unwrap_or_default();
    let path = problem.path.to_string();
    let path = if path.is_empty() { path } else { format!("{}: ", visible(&path)) };
    let title = format!("{}:{line}:{column}: {path}{}{within}", visible(file), visible(&problem.message));
    let (source, start, end) = window(text, problem);
    let mut group = Level::ERROR.primary_title(title.as_str()).element(
        Snippet::source(source.as_str()).line_start(line).annotation(AnnotationKind::Primary.span(start..end)),
    );
    let hint = problem.hint.as_deref().map(visible);
    if let Some(hint) = &hint {
        group = group.element(Level::HELP.with_name("hint").message(hint.as_str()));
    }
    renderer.render(&[group]).to_string()
}

/// The line of a problem, cut to a window round it, and the bytes to mark in it.
fn window(text: &str, problem: &Problem) -> (String, usize, usize) {
    let mut at = problem.span.start.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    let line_start = text[..at].rfind('\n').map_or(0, |newline| newline + 1);
    let line_end = text[at..].find('\n').map_or(text.len(), |newline| at + newline);
    let before: Vec<char> = text[line_start..at].chars().rev().take(WINDOW / 2).collect();
    let before: String = before.into_iter().rev().collect();
    let marked_end = problem.span.end.clamp(at, line_end);
    let marked: String = text.get(at..marked_end).unwrap_or_default().chars().take(WINDOW / 2).collect();
    let rest = text.get(at + marked.len()..line_end).unwrap_or_default();
    let after: String = rest.chars().take(WINDOW / 2).collect();
    let (before, marked, after) = (visible(&before), visible(&marked), visible(&after));
    let line = format!("{before}{marked}{after}");
    let end = (before.len() + marked.len().max(1)).min(line.len().max(before.len()));
    (line.trim_end().to_owned(), before.len(), end)
}

/// A text without characters that could steer a terminal (Unicode Cc, Cf).
pub fn visible(text: &str) -> String {
    let steers = |letter: char| matches!(letter.general_category(), GeneralCategory::Control | GeneralCategory::Format);
    text.chars().map(|letter| if steers(letter) { char::REPLACEMENT_CHARACTER } else { letter }).collect()
}
