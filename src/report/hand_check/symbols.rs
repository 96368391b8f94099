//! Figures with their names: a formula is written once, and its figures put in by name.

use super::{Lines, figure};

/// Lines in the making, with all figures so far by their names.
#[derive(Default)]
pub(super) struct Symbols {
    lines: Lines,
    known: Vec<(String, String)>,
}

impl Symbols {
    /// A figure that is given.
    pub(super) fn given(&mut self, name: &str, value: f64, unit: &str) {
        self.lines.given(name, value, unit);
        self.keep(name, value);
    }

    /// A figure that a formula gives, from figures above.
    pub(super) fn work(&mut self, name: &str, formula: &str, value: f64, unit: &str) -> f64 {
        let figures = self.with_figures(formula);
        self.lines.line(name, formula, &figures, value, unit);
        self.keep(name, value);
        value
    }

    /// The lines.
    pub(super) fn lines(self) -> Lines {
        self.lines
    }

    fn keep(&mut self, name: &str, value: f64) {
        self.known.retain(|(known, _)| known != name);
        self.known.push((name.to_owned(), figure(value)));
        // `N_Rd` must not be found within `N_Rd,1`.
        self.known.sort_by_key(|(known, _)| std::cmp::Reverse(known.len()));
    }

    /// A formula with every name replaced by its figure.
    fn with_figures(&self, formula: &str) -> String {
        let is_of_name = |letter: char| letter.is_alphanumeric() || "_,⊥∥".contains(letter);
        let mut figures = String::new();
        let mut rest = formula;
        let mut within_name = false;
        while let Some(letter) = rest.chars().next() {
            let ends = |name: &str| !rest[name.len()..].starts_with(is_of_name);
            let found =
                self.known.iter().find(|(name, _)| !within_name && rest.starts_with(name.as_str()) && ends(name));
            match found {
                Some((name, figure)) => {
                    figures.push_str(figure);
                    rest = &rest[name.len()..];
                    within_name = false;
                }
                None => {
                    figures.push(letter);
                    rest = &rest[letter.len_utf8()..];
                    within_name = is_of_name(letter);
                }
            }
        }
        figures
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_stand_where_their_names_stood_and_nowhere_else() {
        let mut symbols = Symbols::default();
        symbols.given("n", -2.0, "N");
        symbols.given("n_1", 3.0, "N");
        symbols.given("sin θ", 0.5, "");
        assert_eq!(symbols.with_figures("n_1^2 × (n − sin θ) / n_2 + xn"), "3^2 × ((-2) − 0.5) / n_2 + xn");
    }
}
