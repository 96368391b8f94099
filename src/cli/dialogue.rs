//! Questions and answers on a terminal, line by line.

use std::io::{BufRead, Read, Write};

use super::Trouble;
use crate::source::visible;

/// An answer longer than this is none, bytes.
const LONGEST_ANSWER: u64 = 4096;

/// Who asks, and who answers.
pub(crate) struct Dialogue<'s> {
    /// Where the answers come from.
    pub(crate) answers: &'s mut dyn BufRead,
    /// Where the questions go.
    pub(crate) questions: &'s mut dyn Write,
}

impl Dialogue<'_> {
    /// Asks until the answer can be read.
    ///
    /// # Errors
    /// The answers end.
    pub(crate) fn ask<T>(&mut self, question: &str, read: impl Fn(&str) -> Result<T, String>) -> Result<T, Trouble> {
        loop {
            self.tell(&format!("{question}: "));
            let answer = self.line(question)?;
            let told = match answer {
                Ok(answer) if answer.trim().is_empty() => Err("this one is needed".to_owned()),
                Ok(answer) => read(answer.trim()),
                Err(reason) => Err(reason),
            };
            match told {
                Ok(value) => return Ok(value),
                Err(reason) => self.tell(&format!("  {}; once more, please\n", visible(&reason))),
            }
        }
    }

    /// Asks for what may be left out; an empty answer is `None`, and `otherwise` says what it means.
    ///
    /// # Errors
    /// The answers end.
    pub(crate) fn ask_or_leave<T>(
        &mut self,
        question: &str,
        otherwise: &str,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<Option<T>, Trouble> {
        loop {
            self.tell(&format!("{question} [Enter: {otherwise}]: "));
            let told = match self.line(question)? {
                Ok(answer) if answer.trim().is_empty() => return Ok(None),
                Ok(answer) => read(answer.trim()),
                Err(reason) => Err(reason),
            };
            match told {
                Ok(value) => return Ok(Some(value)),
                Err(reason) => self.tell(&format!("  {}; once more, please\n", visible(&reason))),
            }
        }
    }

    /// Says something; where nobody can hear it, the answers end soon.
    pub(crate) fn tell(&mut self, text: &str) {
        let _ = self.questions.write_all(text.as_bytes()).and_then(|()| self.questions.flush());
    }

    /// One line, or why it is none.
    fn line(&mut self, question: &str) -> Result<Result<String, String>, Trouble> {
        let mut bytes = Vec::new();
        let ended = |why: &str| Trouble(format!("error: {why} at the question \"{question}\"; nothing was written"));
        let mut limited = Read::take(&mut *self.answers, LONGEST_ANSWER);
        limited.read_until(b'\n', &mut bytes).map_err(|error| ended(&format!("cannot read the answer ({error})")))?;
        if !bytes.ends_with(b"\n") {
            if bytes.len() as u64 == LONGEST_ANSWER {
                return Err(ended("the answer is longer than a figure can be"));
            }
            self.tell("\n");
            return Err(ended("the answers ended"));
        }
        Ok(String::from_utf8(bytes).map_err(|_| "that is not UTF-8 text".to_owned()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(text: &str) -> Result<f64, String> {
        text.parse().map_err(|_| format!("\"{text}\" is not a number"))
    }

    fn talk<T>(answers: &[u8], ask: impl Fn(&mut Dialogue<'_>) -> T) -> (T, String) {
        let (mut answers, mut questions) = (answers, Vec::new());
        let told = ask(&mut Dialogue { answers: &mut answers, questions: &mut questions });
        (told, String::from_utf8(questions).unwrap())
    }

    #[test]
    fn a_bad_answer_is_asked_again_with_the_reason() {
        let (told, asked) = talk(b"heavy\n\n \xff\n520\r\n", |dialogue| dialogue.ask("Mass", number));
        assert_eq!(told, Ok(520.0));
        assert_eq!(
            asked,
            "Mass:   \"heavy\" is not a number; once more, please\n\
             Mass:   this one is needed; once more, please\n\
             Mass:   that is not UTF-8 text; once more, please\n\
             Mass: "
        );
    }

    #[test]
    fn an_empty_answer_leaves_out_what_may_be_left_out() {
        let (told, asked) = talk(b"\n", |dialogue| dialogue.ask_or_leave("Height", "assume it", number));
        assert_eq!(told, Ok(None));
        assert_eq!(asked, "Height [Enter: assume it]: ");
    }

    #[test]
    fn answers_that_end_are_told_with_the_question() {
        for answers in [&b""[..], b"52"] {
            let (told, _) = talk(answers, |dialogue| dialogue.ask("Mass", number));
            let expected = "error: the answers ended at the question \"Mass\"; nothing was written";
            assert_eq!(told.unwrap_err().to_string(), expected);
        }
    }

    #[test]
    fn a_line_without_end_is_not_read_without_end() {
        let long = vec![b'1'; 5000];
        let (told, _) = talk(&long, |dialogue| dialogue.ask("Mass", number));
        assert!(told.unwrap_err().to_string().contains("longer than a figure"));
    }
}
