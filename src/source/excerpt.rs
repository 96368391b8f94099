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
    let boundary = |mut at: usize| {
        at = at.min(text.len());
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        at
    };
    let at = boundary(problem.span.start);
    let line_start = text[..at].rfind('\n').map_or(0, |newline| newline + 1);
    let line_end = text[at..].find('\n').map_or(text.len(), |newline| at + newline);
    let before: Vec<char> = text[line_start..at].chars().rev().take(WINDOW / 2).collect();
    let before: String = before.into_iter().rev().collect();
    // What is marked ends with a letter, even where a problem of bytes ends inside of one.
    let line = text[at..line_end].trim_end_matches('\r');
    let marked: String = line
        .char_indices()
        .take_while(|(place, _)| at + place < problem.span.end)
        .map(|(_, letter)| letter)
        .take(WINDOW / 2)
        .collect();
    let after: String = line[marked.len()..].chars().take(WINDOW / 2).collect();
    let (before, marked, after) = (visible(&before), visible(&marked), visible(&after));
    let line = format!("{before}{marked}{}", after.trim_end());
    (line, before.len(), before.len() + marked.len())
}

/// A text without characters that could steer a terminal (Unicode Cc, Cf).
pub fn visible(text: &str) -> String {
    let steers = |letter: char| matches!(letter.general_category(), GeneralCategory::Control | GeneralCategory::Format);
    text.chars().map(|letter| if steers(letter) { char::REPLACEMENT_CHARACTER } else { letter }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(text: &str, span: std::ops::Range<usize>) -> (String, usize, usize) {
        window(text, &Problem::at(span, "wrong"))
    }

    #[test]
    fn a_mark_ends_with_a_letter_and_never_inside_of_one() {
        assert_eq!(shown("a: ß!", 3..4), ("a: ß!".to_owned(), 3, 5));
        assert_eq!(shown("a: ß!", 4..5), ("a: ß!".to_owned(), 3, 5));
    }

    #[test]
    fn a_mark_ends_with_its_line() {
        assert_eq!(shown("one\r\ntwo  \nthree", 5..20), ("two  ".to_owned(), 0, 5));
        assert_eq!(shown("one\r\ntwo", 1..2), ("one".to_owned(), 1, 2));
        assert_eq!(shown("one\n", 3..4), ("one".to_owned(), 3, 3));
        assert_eq!(shown("", 0..1), (String::new(), 0, 0));
    }

    #[test]
    fn every_place_in_a_text_can_be_shown() {
        let text = "{\"ä\": \u{7}\t\r\n  \u{feff}\"€\"\n\n}  ";
        for start in 0..=text.len() + 2 {
            for end in start..=text.len() + 2 {
                let problem = Problem::at(start..end, "wrong");
                assert!(render(&problem, "a.json", text, &Renderer::plain()).contains("wrong"));
            }
        }
    }
}
