//! From a path to a model.

use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};
use std::rc::Rc;

use annotate_snippets::Renderer;
use sha2::{Digest, Sha256};

use super::args::{ChangedModel, ModelOptions};
use super::folder::{LIST, other_model, plain_name};
use super::output::warning_lines;
use super::{Trouble, shown};
use crate::model::{Fault, Model, STANDING, Written, load_all, load_with};
use crate::report::{About, Report};
use crate::run::{Checked, Unknowns, check, check_as_drawn, check_deformed, unknowns};
use crate::source::{Document, LARGEST_BYTES, Node, Problem, instead, name_list, render, visible};

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
            limited(std::io::stdin().lock(), path)?
        } else {
            let metadata = std::fs::metadata(path).map_err(|error| cannot_read(path, &error))?;
            if metadata.is_dir() {
                let hint = models_in(path).map(|there| format!("\nhint: there are: {there}")).unwrap_or_default();
                return Err(Trouble(format!("error: {} is a folder; name a model file in it{hint}", visible(&name))));
            }
            let file = File::open(path).map_err(|error| cannot_read(path, &error))?;
            limited(file, path)?
        };
        let sha256 = hexadecimal(&bytes);
        let document = Document::read(bytes).map_err(|(text, problems)| trouble(&problems, &name, &text))?;
        Ok(Input { name, sha256, document })
    }

    /// The file; `None`: stdin.
    pub(crate) fn file(&self) -> Option<&Path> {
        (self.name != "-").then(|| Path::new(&self.name))
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
pub(crate) fn limited(source: impl Read, path: &Path) -> Result<Vec<u8>, Trouble> {
    let mut bytes = Vec::new();
    source.take(LARGEST_BYTES + 1).read_to_end(&mut bytes).map_err(|error| cannot_read(path, &error))?;
    if bytes.len() as u64 > LARGEST_BYTES {
        let name = shown(path);
        return Err(Trouble(format!("error: {name} is larger than {} MiB", LARGEST_BYTES / (1024 * 1024))));
    }
    Ok(bytes)
}

/// What keeps a file from being read; the nearest name in its folder, where it is not there.
fn cannot_read(path: &Path, error: &std::io::Error) -> Trouble {
    let mut text = format!("error: cannot read {}: {error}", shown(path));
    if error.kind() == ErrorKind::NotFound {
        let wanted = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        let names = model_names(path.parent().unwrap_or(Path::new("")));
        if let Some(with_ending) = names.iter().find(|name| **name == format!("{wanted}.json")) {
            text.push_str(&format!("\nhint: did you mean \"{}\"?", visible(with_ending)));
        } else if !names.is_empty() {
            let hint = instead(&wanted, names.iter().map(String::as_str));
            text.push_str(&format!("\nhint: {}", visible(&hint)));
        }
    }
    Trouble(text)
}

/// The names of the files in a folder that end as models do, for a message.
fn models_in(folder: &Path) -> Option<String> {
    let names = model_names(folder);
    (!names.is_empty()).then(|| visible(&name_list(names.iter().map(String::as_str))))
}

/// The names of the files in a folder that end as models do, sorted.
fn model_names(folder: &Path) -> Vec<String> {
    let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let names = entries.filter_map(|entry| entry.file_name().into_string().ok());
    let mut names: Vec<String> = names.filter(|name| name.ends_with(".json") && name != LIST).collect();
    names.sort();
    names
}

/// SHA-256 in hexadecimal.
pub(crate) fn hexadecimal(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Most problems of a text that are shown.
const MOST_PROBLEMS: usize = 100;

/// Problems of a text as the text to show: the first of them, and how many there are.
pub(crate) fn trouble(problems: &[Problem], name: &str, text: &str) -> Trouble {
    let renderer = Renderer::styled();
    let first = problems.iter().take(MOST_PROBLEMS);
    let mut shown: Vec<String> = first.map(|problem| render(problem, name, text, &renderer)).collect();
    if problems.len() > MOST_PROBLEMS {
        shown.push(format!("and {} more", problems.len() - MOST_PROBLEMS));
    }
    if problems.len() > 1 {
        shown.push(format!("{} problems in {}", problems.len(), visible(name)));
    }
    Trouble(shown.join("\n\n"))
}

/// A model that was read, with what is needed to tell where something in it is wrong.
pub(crate) struct Loaded {
    pub(crate) input: Rc<Input>,
    pub(crate) model: Model,
    /// What the model was read from: the file, or the file with changes.
    pub(crate) written: Written,
    /// The options whose change is in the model, in words.
    pub(crate) option: Option<String>,
    /// The cases that alone are asked for; none: all.
    cases: Vec<String>,
}

impl Loaded {
    /// Reads a model with the options and cases that are asked for.
    pub(crate) fn read(options: &ModelOptions) -> Result<Loaded, Trouble> {
        Loaded::read_with(&options.of, &options.cases)
    }

    /// Reads a model with the changes that are asked for, and all of its cases.
    pub(crate) fn read_changed(of: &ChangedModel) -> Result<Loaded, Trouble> {
        Loaded::read_with(of, &[])
    }

    /// Reads a model with the changes that are asked for and some of its cases alone.
    pub(crate) fn read_with(of: &ChangedModel, cases: &[String]) -> Result<Loaded, Trouble> {
        let loaded = Loaded::of(&Rc::new(Input::read(&of.model)?), &of.options, cases)?;
        for name in cases {
            known("case", name, loaded.model.cases.keys().map(String::as_str))?;
        }
        Ok(loaded)
    }

    /// The model of a file with the changes of some options, one after the other; `cases`: those
    /// that alone are asked for, none for all.
    pub(crate) fn of(input: &Rc<Input>, options: &[String], cases: &[String]) -> Result<Loaded, Trouble> {
        let all = load_all(&input.document).map_err(|problems| input.trouble(&problems))?;
        for name in options {
            known("option", name, all.options.iter().map(|(name, _, _)| name.as_str()))?;
        }
        let (model, written) = match options {
            [] => (all.base, all.written),
            names => load_with(&input.document, names).map_err(|problems| input.trouble(&problems))?,
        };
        let option = (!options.is_empty()).then(|| options.join(" + "));
        Ok(Loaded { input: Rc::clone(input), model, written, option, cases: cases.to_vec() })
    }

    /// Whether a name stands in a section of the file, or of what options change of it.
    pub(crate) fn is_written(&self, section: &str, name: &str) -> bool {
        self.written.has(&crate::path![section, name])
    }

    /// Names of the file's options, in its order.
    pub(crate) fn option_names(&self) -> Vec<String> {
        let options = self.input.document.root.get("options").map(Node::entries).unwrap_or_default();
        options.iter().map(|entry| entry.key.clone()).collect()
    }

    /// Faults found after reading, at their places. What cannot be solved is often odd before: the
    /// model's warnings are told with them.
    pub(crate) fn faults(&self, faults: &[Fault]) -> Trouble {
        let Trouble(told) = self.input.trouble(&self.written.problems(faults));
        Trouble(format!("{}{told}", warning_lines(&self.model.warnings)))
    }

    /// Solves and judges the cases that are asked for.
    pub(crate) fn check(&self) -> Result<Checked, Trouble> {
        check(&self.model, |name| self.is_asked_for(name)).map_err(|faults| self.faults(&faults))
    }

    /// The same, every case on the deformed frame too.
    pub(crate) fn check_deformed(&self) -> Result<Checked, Trouble> {
        check_deformed(&self.model, |name| self.is_asked_for(name), |_| true).map_err(|faults| self.faults(&faults))
    }

    /// Solves both extremes of what the file leaves open.
    pub(crate) fn unknowns(&self, checked: &Checked) -> Option<Unknowns> {
        unknowns(&self.model, checked, |name| self.is_asked_for(name))
    }

    /// The same of the car as drawn alone.
    pub(crate) fn check_as_drawn(&self) -> Result<Checked, Trouble> {
        check_as_drawn(&self.model, |name| self.is_asked_for(name)).map_err(|faults| self.faults(&faults))
    }

    /// The same with the standing car, asked for or not.
    pub(crate) fn check_beside_standing(&self) -> Result<Checked, Trouble> {
        let wanted = |name: &str| self.is_asked_for(name) || name == STANDING;
        check_as_drawn(&self.model, wanted).map_err(|faults| self.faults(&faults))
    }

    fn is_asked_for(&self, case: &str) -> bool {
        self.cases.is_empty() || self.cases.iter().any(|asked| asked == case)
    }

    /// What a page says of the model; `notes`: assumptions, warnings, what was held.
    pub(crate) fn about<'r>(&'r self, notes: &'r [String]) -> About<'r> {
        About {
            file: &self.input.name,
            sha256: &self.input.sha256,
            option: self.option.as_deref(),
            model: &self.model,
            notes,
        }
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
            unknowns: None,
            positions: checked.positions.as_ref(),
            notes,
        }
    }

    /// The folder for what a command writes: the one that was asked for, else `reports/MODEL-NAME`,
    /// and below it one for the options, one for a run of some cases alone, and one for the command.
    ///
    /// # Errors
    /// Nobody asked for a folder, and this one holds what was made from another model file: two of the
    /// same name, or of names that differ in signs alone.
    pub(crate) fn out(&self, asked: Option<&Path>, below: Option<&str>) -> Result<PathBuf, Trouble> {
        if let Some(asked) = asked {
            return Ok(asked.to_path_buf());
        }
        let mut folder = Path::new("reports").join(plain_name(&self.input.stem()));
        if let Some(option) = &self.option {
            folder.push(format!("option-{}", plain_name(option)));
        }
        if !self.cases.is_empty() {
            folder.push(format!("case-{}", plain_name(&self.cases.join(" + "))));
        }
        folder.extend(below);
        match other_model(&folder, self.input.file()) {
            Some(other) => Err(Trouble(format!(
                "error: {} holds what was made from another model, {}\nhint: use --out DIR for another folder, or remove this one",
                shown(&folder),
                shown(&other)
            ))),
            None => Ok(folder),
        }
    }
}

/// Whether a name is there; the nearest that is, where it is not.
pub(crate) fn known<'n>(what: &str, name: &str, there: impl Iterator<Item = &'n str> + Clone) -> Result<(), Trouble> {
    if there.clone().any(|known| known == name) {
        return Ok(());
    }
    Err(Trouble(format!("error: there is no {what} \"{}\"\nhint: {}", visible(name), visible(&instead(name, there)))))
}
