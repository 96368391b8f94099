//! Fuzz target: any bytes are read as a model, or told what is wrong with them.
#![no_main]

use annotate_snippets::Renderer;
use crossbrace::model::load_all;
use crossbrace::source::{Document, Problem, render};
use libfuzzer_sys::fuzz_target;

fn told(problems: &[Problem], text: &str) {
    assert!(!problems.is_empty(), "refused without a word");
    for problem in problems {
        render(problem, "fuzzed.json", text, &Renderer::plain());
    }
}

fuzz_target!(|bytes: &[u8]| {
    match Document::read(bytes.to_vec()) {
        Err((text, problems)) => told(&problems, &text),
        Ok(document) => {
            if let Err(problems) = load_all(&document) {
                told(&problems, &document.text);
            }
        }
    }
});
