//! What is wrong with a file, and where.

use std::fmt;

use super::tree::Span;

/// One step from a value to a value inside it.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Step {
    /// A key of an object.
    Key(String),
    /// An element of a list, counted from 0.
    Index(usize),
}

impl From<&str> for Step {
    fn from(key: &str) -> Self {
        Step::Key(key.to_owned())
    }
}

impl From<&String> for Step {
    fn from(key: &String) -> Self {
        Step::Key(key.clone())
    }
}

impl From<String> for Step {
    fn from(key: String) -> Self {
        Step::Key(key)
    }
}

impl From<usize> for Step {
    fn from(index: usize) -> Self {
        Step::Index(index)
    }
}

/// The way from the top of a file to a value: `members.brace.l.tube`, `nodes.A[0]`.
///
/// A list, not a text: names hold dots.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash)]
pub struct Path(pub Vec<Step>);

impl Path {
    /// Runs `inside` with one more step on the path.
    pub fn within<T>(&mut self, step: Step, inside: impl FnOnce(&mut Path) -> T) -> T {
        self.0.push(step);
        let result = inside(self);
        self.0.pop();
        result
    }

    /// Whether this path leads to the value of another, or to one inside it.
    pub fn is_within(&self, other: &Path) -> bool {
        self.0.starts_with(&other.0)
    }

    /// The way to what the value stands in; the top itself stands in nothing.
    pub fn parent(&self) -> Option<&[Step]> {
        self.0.split_last().map(|(_, before)| before)
    }

    /// The path with one more step.
    #[must_use]
    pub fn then(&self, step: impl Into<Step>) -> Path {
        let mut longer = self.clone();
        longer.0.push(step.into());
        longer
    }
}

impl fmt::Display for Path {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, step) in self.0.iter().enumerate() {
            match step {
                Step::Key(key) if place == 0 => f.write_str(key)?,
                Step::Key(key) => write!(f, ".{key}")?,
                Step::Index(index) => write!(f, "[{index}]")?,
            }
        }
        Ok(())
    }
}

/// A [`Path`] from keys and indices: `path!["members", name, "ends", 0]`.
#[macro_export]
macro_rules! path {
    ($($step:expr),* $(,)?) => {
        $crate::source::Path(vec![$($crate::source::Step::from($step)),*])
    };
}

/// One thing that is wrong with a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// The way to the value.
    pub path: Path,
    /// The bytes to point at: a key, or an element of a list.
    pub span: Span,
    /// What is wrong: lower case, no full stop.
    pub message: String,
    /// What to do about it.
    pub hint: Option<String>,
    /// The option whose change brought it, if one did.
    pub option: Option<String>,
    /// The key or name that is not there, where that is what is wrong.
    pub lacks: Option<String>,
    /// Whether a name is there that nothing uses.
    pub is_idle: bool,
    /// Whether it is a key that is not known.
    pub is_unknown_key: bool,
}

impl Problem {
    /// A problem of the value at a path.
    pub fn new(path: Path, span: Span, message: impl Into<String>) -> Self {
        Self {
            path,
            span,
            message: message.into(),
            hint: None,
            option: None,
            lacks: None,
            is_idle: false,
            is_unknown_key: false,
        }
    }

    /// A problem of the text itself, before it has values.
    pub fn at(span: Span, message: impl Into<String>) -> Self {
        Self::new(Path::default(), span, message)
    }

    /// Whether another is the same problem, though a figure that its sentence gives has changed. Names
    /// stand in quotes in a sentence, figures do not.
    pub fn is_same_but_for_figures(&self, other: &Problem) -> bool {
        let but_for_figures = |message: &str| -> String {
            let mut quoted = false;
            message
                .chars()
                .filter(|letter| {
                    quoted ^= *letter == '"';
                    quoted || !letter.is_ascii_digit()
                })
                .collect()
        };
        self.path == other.path && but_for_figures(&self.message) == but_for_figures(&other.message)
    }

    /// Adds what to do about it.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }
}

/// Sorts problems by their place in the file and drops repetitions; unknown keys at the top come first, since most of
/// the others may follow from one.
pub fn sort(problems: &mut Vec<Problem>) {
    let is_at_top = |problem: &Problem| problem.is_unknown_key && problem.path.0.len() == 1;
    problems.sort_by_key(|problem| (!is_at_top(problem), problem.span.start));
    let mut seen = std::collections::HashSet::new();
    problems.retain(|problem| seen.insert((problem.span.clone(), problem.path.clone(), problem.message.clone())));
}

/// Line and column of a byte of a text, both counted from 1, the column in characters.
pub fn line_and_column(text: &str, at: usize) -> (usize, usize) {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    let before = &text[..at];
    let line = before.bytes().filter(|byte| *byte == b'\n').count() + 1;
    let start = before.rfind('\n').map_or(0, |newline| newline + 1);
    (line, before[start..].chars().count() + 1)
}

/// The known name that is nearest to a mistyped one: at most two slips away, and at most one slip
/// for two letters.
///
/// Longer names than a hundred letters are near to none: comparing two costs the product of their
/// lengths.
pub fn nearest<'n>(name: &str, known: impl IntoIterator<Item = &'n str>) -> Option<&'n str> {
    const LONGEST: usize = 100;
    const SLIPS: usize = 2;
    let lower = name.to_lowercase();
    let length = lower.chars().count();
    known
        .into_iter()
        .filter_map(|candidate| {
            let other = candidate.to_lowercase();
            let other_length = other.chars().count();
            let longest = length.max(other_length);
            if longest > LONGEST || length.abs_diff(other_length) > SLIPS {
                return None;
            }
            Some((strsim::osa_distance(&lower, &other), longest, candidate))
        })
        .filter(|(distance, letters, _)| *distance <= SLIPS && 2 * distance <= *letters)
        .min_by_key(|(distance, ..)| *distance)
        .map(|(.., candidate)| candidate)
}

/// What stands there instead of a name that is not: the nearest, else all.
pub fn instead<'n>(name: &str, known: impl Iterator<Item = &'n str> + Clone) -> String {
    match nearest(name, known.clone()) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => format!("there are: {}", name_list(known)),
    }
}

/// Looks for near names, until it has compared so many that looking further would keep a user
/// waiting: a file with tens of thousands of names that are not there has one mistake at its root.
#[derive(Debug, Clone)]
pub struct NearNames {
    /// How many more names are compared.
    left: usize,
}

impl NearNames {
    /// Most names that are compared in all.
    const MOST: usize = 2_000_000;

    /// Nothing is compared yet.
    pub fn new() -> NearNames {
        NearNames { left: NearNames::MOST }
    }

    /// What [`instead`] says, as long as names are compared.
    pub fn instead<'n>(&mut self, name: &str, known: impl Iterator<Item = &'n str> + Clone) -> String {
        if self.left == 0 {
            return "among so many names that are not there none like it was looked for".to_owned();
        }
        self.left = self.left.saturating_sub(known.clone().count());
        instead(name, known)
    }

    /// What [`nearest`] says, as long as names are compared.
    pub fn nearest<'n>(&mut self, name: &str, known: impl Iterator<Item = &'n str> + Clone) -> Option<&'n str> {
        if self.left == 0 {
            return None;
        }
        self.left = self.left.saturating_sub(known.clone().count());
        nearest(name, known)
    }
}

impl Default for NearNames {
    fn default() -> Self {
        NearNames::new()
    }
}

/// Words to choose from: `"weld", "rod-end" or "slide"`.
pub fn choice<'n>(words: impl IntoIterator<Item = &'n str>) -> String {
    let quoted: Vec<String> = words.into_iter().map(|word| format!("\"{word}\"")).collect();
    match quoted.as_slice() {
        [] => "nothing".to_owned(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

/// A list of names for a message, cut after a dozen.
pub fn name_list<'n>(known: impl IntoIterator<Item = &'n str>) -> String {
    let names: Vec<&str> = known.into_iter().collect();
    match names.len() {
        0 => "none".to_owned(),
        1..=12 => names.join(", "),
        count => format!("{} and {} more", names[..12].join(", "), count - 12),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_reads_as_the_format_page_writes_it() {
        assert_eq!(path!["members", "brace.l", "tube"].to_string(), "members.brace.l.tube");
        assert_eq!(path!["nodes", "A", 0].to_string(), "nodes.A[0]");
    }

    #[test]
    fn a_problem_stays_the_same_with_another_figure_and_not_with_another_name() {
        let of = |message: &str| Problem::new(path!["nodes", "N3"], 0..1, message);
        let known = of("\"N3\" and \"N2\" are closer than 0.01 mm");
        assert!(known.is_same_but_for_figures(&of("\"N3\" and \"N2\" are closer than 0.02 mm")));
        assert!(!known.is_same_but_for_figures(&of("\"N3\" and \"N1\" are closer than 0.01 mm")));
        assert!(!known.is_same_but_for_figures(&Problem { path: path!["nodes", "N4"], ..known.clone() }));
    }

    #[test]
    fn columns_count_characters_from_one() {
        assert_eq!(line_and_column("äö\nüß x", 0), (1, 1));
        let text = "äö\nüß x";
        assert_eq!(line_and_column(text, text.find('x').unwrap()), (2, 4));
    }

    #[test]
    fn the_nearest_name_is_at_most_two_slips_away() {
        assert_eq!(nearest("tueb", ["tube", "ends"]), Some("tube"));
        assert_eq!(nearest("Tube", ["tube", "ends"]), Some("tube"));
        assert_eq!(nearest("wheel", ["tube", "ends"]), None);
        assert_eq!(nearest("C2", ["B", "C"]), Some("C"));
    }

    #[test]
    fn a_short_name_is_not_near_another_by_chance() {
        assert_eq!(nearest("ab", ["x", "y"]), None);
        assert_eq!(nearest("E", ["A", "ear"]), None);
    }

    #[test]
    fn a_name_of_more_than_a_hundred_letters_is_near_to_none() {
        let (long, longer) = ("l".repeat(100), "l".repeat(101));
        assert_eq!(nearest(&long[1..], [long.as_str()]), Some(long.as_str()));
        assert_eq!(nearest(&long, [longer.as_str()]), None);
    }

    #[test]
    fn near_names_are_looked_for_until_too_many_were_compared() {
        let known: Vec<String> = (0..1_500_000).map(|number| format!("node {number}")).collect();
        let known = || known.iter().map(String::as_str);
        let mut near = NearNames::new();
        assert_eq!(near.instead("nude 7", known()), "did you mean \"node 7\"?");
        assert_eq!(near.instead("nude 8", known()), "did you mean \"node 8\"?");
        assert_eq!(
            near.instead("nude 9", known()),
            "among so many names that are not there none like it was looked for"
        );
    }

    #[test]
    fn a_choice_reads_as_a_sentence_has_it() {
        assert_eq!(choice(["a", "b", "c"]), "\"a\", \"b\" or \"c\"");
        assert_eq!(choice(["a"]), "\"a\"");
    }
}
