//! Texts on a sheet: how wide they come out, cleaned of what would break a picture.
//!
//! Widths are those of the widest of the common sans-serif fonts, so that a text never needs more
//! room than was kept for it, whatever font the reader's machine has.

use crate::source::visible;

/// Size of ordinary letters, 0.1 mm: capitals 2.5 mm high, the smallest of ISO 3098.
pub(super) const SMALL: i32 = 35;
/// Size of the letters of a title, 0.1 mm: capitals 3.5 mm high.
pub(super) const LARGE: i32 = 49;

/// Widths of the characters from U+0020 to U+007E, thousandths of the size: for each the larger of
/// the two fonts DejaVu Sans and Liberation Sans, measured from the fonts' own tables.
const WIDTHS: [i32; 95] = [
    318, 401, 460, 838, 637, 951, 780, 275, 391, 391, 500, 838, 318, 361, 318, 337, 637, 637, 637, 637, 637, 637, 637,
    637, 637, 637, 337, 337, 838, 838, 838, 557, 1016, 685, 687, 723, 771, 667, 611, 778, 752, 295, 500, 667, 558, 863,
    749, 788, 667, 788, 723, 667, 611, 732, 685, 989, 686, 667, 686, 391, 337, 391, 838, 557, 500, 613, 635, 550, 635,
    616, 353, 635, 634, 278, 278, 580, 278, 975, 634, 612, 635, 635, 412, 521, 393, 634, 592, 818, 592, 592, 525, 637,
    337, 637, 838,
];

/// Width of one character, thousandths of the size.
fn letter_width(letter: char) -> i32 {
    let code = u32::from(letter);
    match code {
        0x20..=0x7e => WIDTHS[(code - 0x20) as usize],
        // Latin with marks, Greek, Cyrillic: the widest of each block.
        0xa0..=0x36f => 1_070,
        0x370..=0x52f => 1_180,
        // Ligatures that hold whole phrases.
        0xfdf0..=0xfdff | 0x1_2000..=0x1_254f => 12_000,
        // Pictures, which come from fonts wider than their size.
        0x1_f000..=0x1_faff => 1_500,
        _ => 1_750,
    }
}

/// Width of a text, 0.1 mm.
pub(super) fn width(text: &str, size: i32) -> i32 {
    let thousandths: i64 = text.chars().map(|letter| i64::from(letter_width(letter))).sum();
    i32::try_from((thousandths * i64::from(size) + 999) / 1000).unwrap_or(i32::MAX)
}

/// A text without control and format characters and without what XML does not allow.
pub(super) fn clean(text: &str) -> String {
    visible(text)
        .chars()
        .map(|letter| if is_forbidden(letter) { char::REPLACEMENT_CHARACTER } else { letter })
        .collect()
}

/// Characters that no XML file may hold, and that are no control characters.
///
/// Source: W3C, Extensible Markup Language 1.0, fifth edition, production 2.
fn is_forbidden(letter: char) -> bool {
    matches!(letter, '\u{fffe}' | '\u{ffff}')
}

/// A cleaned text that is at most so wide (0.1 mm), its end cut off with `…` where it must be.
pub(super) fn fit(text: &str, size: i32, most: i32) -> String {
    let text = clean(text);
    if width(&text, size) <= most {
        return text;
    }
    let letters: Vec<char> = text.chars().collect();
    let mut kept = letters.len();
    loop {
        let short: String = letters[..kept].iter().collect::<String>().trim_end().to_owned() + "…";
        if kept == 0 || width(&short, size) <= most {
            return short;
        }
        kept -= 1;
    }
}

/// The same, cut in its middle: what begins alike is often told apart by its end.
fn fit_middle(text: &str, size: i32, most: i32) -> String {
    if width(text, size) <= most {
        return text.to_owned();
    }
    let letters: Vec<char> = text.chars().collect();
    let text_of = |letters: &[char]| letters.iter().collect::<String>();
    let cut = |kept: usize| {
        // Of three letters the first two are of the beginning.
        let (first, last) = letters.split_at(kept - kept / 3);
        text_of(first).trim_end().to_owned() + "…" + text_of(&last[last.len() - kept / 3..]).trim_start()
    };
    let fits = (1..letters.len()).rev().map(cut).find(|cut| width(cut, size) <= most);
    fits.unwrap_or_else(|| "…".to_owned())
}

/// The same, but a figure that ends the text stays whole, with its unit: `engine a…ox 95.25 kg`.
pub(super) fn fit_figure(text: &str, size: i32, most: i32) -> String {
    let text = clean(text);
    let begins_figure = |(at, _): &(usize, &str)| text[at + 1..].starts_with(|letter: char| letter.is_ascii_digit());
    match text.rmatch_indices(' ').take(2).find(begins_figure) {
        Some((at, _)) if width(&text, size) > most => {
            let (name, figure) = text.split_at(at);
            fit_middle(name, size, most - width(figure, size)) + figure
        }
        _ => fit(&text, size, most),
    }
}

/// A list after its beginning, at most so wide (0.1 mm); of names that find no room it says how
/// many more they are.
pub(super) fn fit_list(beginning: &str, names: &[String], size: i32, most: i32) -> String {
    let with = |kept: usize| {
        let (shown, more) = (names[..kept].join(", "), names.len() - kept);
        clean(&match (kept, more) {
            (_, 0) => format!("{beginning} {shown}"),
            (0, 1) => format!("{beginning} one name"),
            (0, _) => format!("{beginning} {more} names"),
            _ => format!("{beginning} {shown} and {more} more"),
        })
    };
    (0..=names.len())
        .rev()
        .map(with)
        .find(|text| width(text, size) <= most)
        .unwrap_or_else(|| fit(&with(0), size, most))
}

/// A cleaned text in at most `lines` lines, each at most so wide (0.1 mm); the last is cut off
/// where that is not enough.
pub(super) fn wrap(text: &str, size: i32, most: i32, lines: usize) -> Vec<String> {
    let text = clean(text);
    let mut wrapped: Vec<String> = Vec::new();
    let mut words = text.split_whitespace().peekable();
    while let Some(word) = words.next() {
        let longer = wrapped.last().map(|line| format!("{line} {word}"));
        match longer.filter(|line| width(line, size) <= most) {
            Some(line) => {
                wrapped.pop();
                wrapped.push(line);
            }
            None if wrapped.len() < lines => wrapped.push(fit(word, size, most)),
            None => {
                let rest: Vec<&str> = std::iter::once(word).chain(words).collect();
                let last = wrapped.pop().unwrap_or_default();
                wrapped.push(fit(&format!("{last} {}", rest.join(" ")), size, most));
                break;
            }
        }
    }
    wrapped
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_cut_only_where_it_is_too_wide() {
        assert_eq!(fit("A.l", SMALL, 200), "A.l");
        let cut = fit(&"W".repeat(64), SMALL, 200);
        assert!(cut.ends_with('…') && width(&cut, SMALL) <= 200, "{cut}");
        assert_eq!(fit("anything", SMALL, 0), "…");
    }

    #[test]
    fn a_figure_at_the_end_is_never_cut() {
        assert_eq!(fit_figure("engine 66 kg", SMALL, 400), "engine 66 kg");
        let cut = fit_figure("engine and gearbox 95.25 kg", SMALL, 400);
        assert!(cut.starts_with("engi") && cut.ends_with("x 95.25 kg") && width(&cut, SMALL) <= 400, "{cut}");
        assert!(cut.contains('…'), "{cut}");
        assert!(fit_figure(&format!("{} 1.04", "W".repeat(64)), SMALL, 400).ends_with("W 1.04"));
        assert!(fit_figure(&format!("P: {}", "W".repeat(64)), SMALL, 400).ends_with("W…"));
    }

    #[test]
    fn names_that_begin_alike_are_told_apart_where_they_are_cut() {
        let [one, other] = ["l", "r"].map(|side| fit_figure(&format!("new: side diagonal.{side} 0.10"), SMALL, 400));
        assert_ne!(one, other);
        assert!(one.contains('…') && one.ends_with(".l 0.10"), "{one}");
    }

    #[test]
    fn a_list_says_how_many_more_there_are() {
        let names = ["A.l", "engine 66 kg", "S.l"].map(str::to_owned);
        let all = "no room for: A.l, engine 66 kg, S.l";
        let list = |most| fit_list("no room for:", &names, SMALL, most);
        assert_eq!(list(width(all, SMALL)), all);
        assert_eq!(list(width(all, SMALL) - 1), "no room for: A.l and 2 more");
        assert_eq!(list(width("no room for: 3 names", SMALL)), "no room for: 3 names");
        assert!(list(100).ends_with('…'));
    }

    #[test]
    fn control_characters_and_noncharacters_become_visible() {
        assert_eq!(clean("a\u{1}b\u{202e}c\u{ffff}d\n"), "a\u{fffd}b\u{fffd}c\u{fffd}d\u{fffd}");
    }

    #[test]
    fn wrapped_lines_hold_all_words_until_the_last_is_cut() {
        let lines = wrap("one two three four five six", SMALL, 200, 2);
        assert_eq!(lines.len(), 2);
        assert!(lines.iter().all(|line| width(line, SMALL) <= 200), "{lines:?}");
        assert!(lines[1].ends_with('…'));
        assert_eq!(wrap("one two", SMALL, 2000, 2), ["one two"]);
    }
}
