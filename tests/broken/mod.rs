//! Broken models, each with the exact message that the program answers with.
//!
//! A test takes a small sound model (`tests/models/`), breaks one thing in it, and runs
//! `crossbrace check frame.json --json` on it. Its name states the fact. A message is what a
//! fabricator reads who has never seen the program: where, what is wrong, what to do.
//! `SNAPSHOTS=overwrite` writes the messages; read every one before you accept it.

mod accuracy;
mod cases;
mod corners;
mod frame;
mod limits;
mod mechanisms;
mod mounts_bodies;
mod mutations;
mod names;
mod options;
mod sections;
mod text;
mod units;
mod vehicle;

use serde_json::Value;
use snapbox::{IntoData, assert_data_eq};

use crate::support::program::{Ran, Scratch};
use crate::support::read;

/// The text of a model, and the edits that break it.
pub(crate) struct Model {
    text: Vec<u8>,
    options: Vec<&'static str>,
}

/// A stand on two bolted pads and a sprung mount, with an engine on it; sound.
pub(crate) fn stand() -> Model {
    Model::of(read("models/stand.json"))
}

/// The front of a car with wishbones, rack and anti-roll bar; sound.
pub(crate) fn car() -> Model {
    Model::of(read("models/car.json"))
}

impl Model {
    /// A model of this text.
    pub(crate) fn of(text: impl Into<Vec<u8>>) -> Self {
        Model { text: text.into(), options: Vec::new() }
    }

    /// One place in the text replaced.
    #[track_caller]
    pub(crate) fn with(self, from: &str, to: &str) -> Self {
        let text = String::from_utf8(self.text).unwrap();
        assert_eq!(text.matches(from).count(), 1, "{from:?} must stand once in the model");
        Model { text: text.replace(from, to).into_bytes(), ..self }
    }

    /// Run with `--option NAME`.
    pub(crate) fn option(mut self, name: &'static str) -> Self {
        self.options.push(name);
        self
    }

    fn run(&self) -> Ran {
        let folder = Scratch::new();
        folder.write("frame.json", &self.text);
        let options = self.options.iter().flat_map(|name| ["--option", name]);
        let ran = folder.run(["check", "frame.json", "--json"].into_iter().chain(options));
        assert_eq!(folder.names(), ["frame.json"], "--json alone writes no files");
        ran
    }

    /// It is an error with this message: exit code 2, and nothing on stdout.
    #[track_caller]
    pub(crate) fn refused(self, message: impl IntoData) {
        let ran = self.run();
        assert_data_eq!(ran.stderr, message.into_data().raw());
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
    }

    /// It is an error with one problem, of this path, in these words; for many that are alike.
    #[track_caller]
    pub(crate) fn refused_once(self, path: &str, words: &str) {
        let ran = self.run();
        let told: Vec<&str> = ran.stderr.lines().filter(|line| line.starts_with("error: ")).collect();
        assert!(told.len() == 1 && told[0].contains(&format!(": {path}: ")), "{path}: {}", ran.stderr);
        assert!(told[0].contains(words), "{words}: {}", ran.stderr);
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
    }

    /// It is odd but no error: these warnings stand on stderr and in `notes`, and the exit code is
    /// that of a frame that passes.
    #[track_caller]
    pub(crate) fn warned(self, warnings: impl IntoData) {
        let ran = self.run();
        let result: Value = serde_json::from_str(&ran.stdout).unwrap_or_else(|_| panic!("{}", ran.stderr));
        let notes: Vec<&str> = result["notes"].as_array().unwrap().iter().map(|note| note.as_str().unwrap()).collect();
        for line in ran.stderr.lines() {
            let warning = line.strip_prefix("warning: ").unwrap();
            assert!(notes.contains(&warning), "{warning} is not among {notes:#?}");
        }
        assert_data_eq!(ran.stderr, warnings.into_data().raw());
        assert_eq!(ran.code, Some(0));
    }

    /// It is no error, and nothing is odd about it.
    #[track_caller]
    pub(crate) fn accepted(self) {
        let ran = self.run();
        assert_eq!((ran.stderr.as_str(), ran.code), ("", Some(0)));
    }
}

/// The result of a model that can be judged.
#[track_caller]
pub(crate) fn result(model: &Model) -> Value {
    let ran = model.run();
    serde_json::from_str(&ran.stdout).unwrap_or_else(|_| panic!("{}", ran.stderr))
}

#[test]
fn the_models_that_are_broken_here_are_sound() {
    stand().accepted();
    car().accepted();
}
