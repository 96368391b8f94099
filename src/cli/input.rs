//! From a path to a model.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use annotate_snippets::Renderer;
use sha2::{Digest, Sha256};

use super::Trouble;
use super::args::ModelOptions;
use super::folder::plain_name;
use crate::model::{Fault, Model, Written, load_all, load_with};
use crate::report::Report;
use crate::run::{Checked, STANDING, check};
use crate::source::{Document, LARGEST_BYTES, Node, Problem, instead, render};

/// A file as read.
pub(crate) struct Input {
    /// The path as the user typed it.
    pub(crate) name: String,
    /// SHA-256 of its bytes, hexadecimal.
    pub(crate) sha256: String,
    /// Its text and tree.
    pub(crate) document: Document,
}

impl Input {
    /// Reads a model file, or stdin for `-`.
    pub(crate) fn read(path: &Path) -> Result<Input, Trouble> {
        let name = path.display().to_string();
        let bytes = if path.as_os_str() == "-" {
            limited(std::io::stdin().lock(), &name)?
        } else {
            let metadata =
                std::fs::metadata(path).map_err(|error| Trouble(format!("error: cannot read {name}: {error}")))?;
            if metadata.is_dir() {
                return Err(Trouble(format!("error: {name} is a folder; name a model file in it")));
            }
            let file = File::open(path).map_err(|error| Trouble(format!("error: cannot read {name}: {error}")))?;
            limited(file, &name)?
        };
        let sha256 = hexadecimal(&bytes);
        let document = Document::read(bytes).map_err(|(text, problems)| trouble(&problems, &name, &text))?;
        Ok(Input { name, sha256, document })
    }

    /// What the model is called in file names: the file's name without its ending.
    pub(crate) fn stem(&self) -> String {
        let stem = Path::new(&self.name).file_stem().map(|stem| stem.to_string_lossy().into_owned());
        stem.filter(|stem| stem != "-" && !stem.is_empty()).unwrap_or_else(|| "model".to_owned())
    }

    /// The problems of this file as the text to show.
    pub(crate) fn trouble(&self, problems: &[Problem]) -> Trouble {
        trouble(problems, &self.name, &self.document.text)
    }
}

/// All bytes, unless there are too many.
pub(crate) fn limited(source: impl Read, name: &str) -> Result<Vec<u8>, Trouble> {
    let mut bytes = Vec::new();
    source
        .take(LARGEST_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| Trouble(format!("error: cannot read {name}: {error}")))?;
    if bytes.len() as u64 > LARGEST_BYTES {
        return Err(Trouble(format!("error: {name} is larger than {} MiB", LARGEST_BYTES / (1024 * 1024))));
    }
    Ok(bytes)
}

/// SHA-256 in hexadecimal.
pub(crate) fn hexadecimal(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Problems of a text as the text to show.
pub(crate) fn trouble(problems: &[Problem], name: &str, text: &str) -> Trouble {
    let renderer = Renderer::styled();
    let mut shown: Vec<String> = problems.iter().map(|problem| render(problem, name, text, &renderer)).collect();
    if problems.len() > 1 {
        shown.push(format!("{} problems in {name}", problems.len()));
    }
    Trouble(shown.join("\n\n"))
}

/// A model that was read, with what is needed to tell where something in it is wrong.
pub(crate) struct Loaded {
    pub(crate) input: Input,
    pub(crate) model: Model,
    /// What the model was read from: the file, or the file with changes.
    written: Written,
    /// The options whose change is in the model, in words.
    pub(crate) option: Option<String>,
}

impl Loaded {
    /// Reads a model with the options and cases that are asked for.
    pub(crate) fn read(options: &ModelOptions) -> Result<Loaded, Trouble> {
        let loaded = Loaded::read_one(&options.model, &options.options)?;
        for name in &options.cases {
            known("case", name, loaded.model.cases.keys().map(String::as_str))?;
        }
        Ok(loaded)
    }

    /// Reads a model with the changes of some options, one after the other.
    pub(crate) fn read_one(path: &Path, options: &[String]) -> Result<Loaded, Trouble> {
        let input = Input::read(path)?;
        let all = load_all(&input.document).map_err(|problems| input.trouble(&problems))?;
        for name in options {
            known("option", name, all.options.iter().map(|(name, _, _)| name.as_str()))?;
        }
        let (model, written) = match options {
            [] => (all.base, all.written),
            names => load_with(&input.document, names).map_err(|problems| input.trouble(&problems))?,
        };
        let option = (!options.is_empty()).then(|| options.join(" + "));
        Ok(Loaded { input, model, written, option })
    }

    /// Names of the file's options, in its order.
    pub(crate) fn option_names(&self) -> Vec<String> {
        let options = self.input.document.root.get("options").map(Node::entries).unwrap_or_default();
        options.iter().map(|entry| entry.key.clone()).collect()
    }

    /// Faults found after reading, at their places.
    pub(crate) fn faults(&self, faults: &[Fault]) -> Trouble {
        self.input.trouble(&self.written.problems(faults))
    }

    /// Solves and judges it.
    pub(crate) fn check(&self, cases: &[String]) -> Result<Checked, Trouble> {
        let asked = |name: &str| cases.is_empty() || cases.iter().any(|case| case == name);
        let mut checked =
            check(&self.model, |name| asked(name) || name == STANDING).map_err(|faults| self.faults(&faults))?;
        checked.keep(asked);
        Ok(checked)
    }

    /// What came of it, ready to be told.
    pub(crate) fn report<'r>(&'r self, checked: &'r Checked, notes: &'r [String]) -> Report<'r> {
        Report {
            file: &self.input.name,
            sha256: &self.input.sha256,
            option: self.option.as_deref(),
            model: &self.model,
            prepared: &checked.prepared,
            response: &checked.response,
            outcome: &checked.outcome,
            verdict: &checked.verdict,
            notes,
        }
    }

    /// The folder for what a command writes: the one that was asked for, else `reports/MODEL-NAME`,
    /// and below it one for the command and one for the options.
    pub(crate) fn out(&self, asked: Option<&Path>, below: Option<&str>) -> PathBuf {
        if let Some(asked) = asked {
            return asked.to_path_buf();
        }
        let mut folder = Path::new("reports").join(plain_name(&self.input.stem()));
        if let Some(option) = &self.option {
            folder.push(format!("option-{}", plain_name(option)));
        }
        folder.extend(below);
        folder
    }
}

/// Whether a name is there; the nearest that is, where it is not.
fn known<'n>(what: &str, name: &str, there: impl Iterator<Item = &'n str> + Clone) -> Result<(), Trouble> {
    if there.clone().any(|known| known == name) {
        return Ok(());
    }
    Err(Trouble(format!("error: there is no {what} \"{name}\"\nhint: {}", instead(name, there))))
}
