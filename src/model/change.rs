//! From a document to models: the file as written, and the file with each option's change.

use std::collections::HashSet;

use super::file::{File, REQUIRED};
use super::mirror::other_side;
use super::misnamed::{takes_out_nothing, tell_the_nearest};
use super::validate::validate;
use super::{Fault, Model};
use crate::source::{Document, NearNames, Node, Path, Problem, Read, Reader, Span, Step, Value, merge_patch, sort};

/// The tree that a model is read from: the file's, or the file's with changes.
///
/// It knows where each mistake was written.
#[derive(Debug, Clone)]
pub struct Written {
    root: Node,
    /// The options whose change is in it, in words.
    option: Option<String>,
    /// Where the text of each change stands.
    changes: Vec<Span>,
    /// Every key that a change takes out, and where it says so.
    taken_out: Vec<(String, Span)>,
    /// The way to each key that is given twice in what the tree was made from.
    repeated: Vec<Path>,
}

impl Written {
    /// The file as it is.
    fn as_it_is(document: &Document) -> Self {
        Self {
            root: document.root.clone(),
            option: None,
            changes: Vec::new(),
            taken_out: Vec::new(),
            repeated: document.repeated.iter().map(|problem| problem.path.clone()).collect(),
        }
    }

    /// The tree with one more option's change; it has no `options` any more.
    fn changed(mut self, name: &str, option: &Node) -> Self {
        if let Some(change) = option.get("change") {
            self.root = merge_patch(&self.root, change);
            self.changes.push(change.span.clone());
            taken_out(change, &mut self.taken_out);
            let change = crate::path!["options", name, "change"];
            let inside = self.repeated.iter().filter_map(|path| path.0.strip_prefix(change.0.as_slice()));
            let inside: Vec<Path> = inside.map(|steps| Path(steps.to_vec())).collect();
            self.repeated.extend(inside);
        }
        if let Value::Object(entries) = &mut self.root.value {
            entries.retain(|entry| entry.key != "options");
        }
        self.option = Some(match self.option {
            Some(before) => format!("{before} + {name}"),
            None => name.to_owned(),
        });
        self
    }

    /// Reads and validates the tree.
    fn read(&self) -> Result<Model, Vec<Problem>> {
        let root = &self.root;
        let mut reader = Reader::of_repeated(&self.repeated);
        let file = File::read(root, &mut reader);
        if matches!(root.value, Value::Object(_)) {
            for (key, about) in REQUIRED.iter().filter(|(key, _)| root.get(key).is_none()) {
                reader.missing_key(root, key, File::KEYS, about);
            }
        }
        let mut problems = reader.problems;
        // Without knowing whether there are twins, most names would seem not to be there.
        let unread: Vec<Path> = problems.iter().map(|problem| &problem.path).chain(&self.repeated).cloned().collect();
        let known_sides = !unread.contains(&crate::path!["mirror"]);
        let model = match file.filter(|_| known_sides) {
            Some(file) => {
                let (model, faults) = validate(&file.with_twins(), root, &unread, &self.repeated);
                problems.extend(self.place(&faults));
                Some(model)
            }
            None => None,
        };
        match model {
            Some(model) if problems.is_empty() => Ok(model),
            _ => {
                problems.iter_mut().for_each(|problem| self.own(problem));
                sort(&mut problems);
                Err(problems)
            }
        }
    }

    /// The model with one more option than the file has, `{"change": {…}}`.
    ///
    /// # Errors
    /// All problems of the changed file; their places in the option are places of its own text.
    pub fn with(&self, name: &str, option: &Node) -> Result<Model, Vec<Problem>> {
        self.clone().changed(name, option).read()
    }

    /// Whether something is written there, by itself and not as a mirror twin.
    pub fn has(&self, path: &Path) -> bool {
        self.root.follow(path).is_some()
    }

    /// Faults of the model as problems at their places, in the order of these; one of a mirror twin
    /// is left out where its original has one too.
    pub fn problems(&self, faults: &[Fault]) -> Vec<Problem> {
        let mut problems = self.place(faults);
        problems.iter_mut().for_each(|problem| self.own(problem));
        sort(&mut problems);
        problems
    }

    fn place(&self, faults: &[Fault]) -> Vec<Problem> {
        let placed: Vec<(Path, Option<String>)> =
            faults.iter().map(|fault| as_written(&self.root, &fault.path)).collect();
        let originals: HashSet<&Path> =
            placed.iter().filter(|(_, twin)| twin.is_none()).map(|(path, _)| path).collect();
        faults
            .iter()
            .zip(&placed)
            .filter(|(_, (path, twin))| twin.is_none() || !originals.contains(path))
            .map(|(fault, (path, twin))| {
                let span = if fault.at_opening { self.root.opening(path) } else { self.root.locate(path) };
                let message = match twin {
                    Some(twin) => format!("in the mirror twin \"{twin}\": {}", fault.message),
                    None => fault.message.clone(),
                };
                let mut problem = Problem::new(path.clone(), span, message);
                problem.hint.clone_from(&fault.hint);
                problem.lacks.clone_from(&fault.lacks);
                problem.is_idle = fault.is_idle;
                problem
            })
            .collect()
    }

    /// Names the option; what is not there because a change took it out is told where it says so.
    fn own(&self, problem: &mut Problem) {
        problem.option.clone_from(&self.option);
        let in_a_change = self.changes.iter().any(|change| change.contains(&problem.span.start));
        if let Some(name) = problem.lacks.as_ref().filter(|_| !in_a_change) {
            let other = other_side(name);
            let here = self.taken_out.iter().find(|(key, _)| key == name || *key == other);
            if let Some((_, span)) = here {
                problem.span = span.clone();
            }
        }
    }
}

/// Every key that a change takes out.
fn taken_out(change: &Node, found: &mut Vec<(String, Span)>) {
    for entry in change.entries() {
        match entry.node.value {
            Value::Null => found.push((entry.key.clone(), entry.key_span.clone())),
            _ => taken_out(&entry.node, found),
        }
    }
}

/// A path with each mirror twin replaced by the entry that it was made from, and the first twin's name.
fn as_written(root: &Node, path: &Path) -> (Path, Option<String>) {
    let mut node = Some(root);
    let mut twin = None;
    let mut steps: Vec<Step> = Vec::with_capacity(path.0.len());
    for step in &path.0 {
        let step = match (step, node) {
            (Step::Key(key), Some(here)) if here.get(key).is_none() => {
                let original = match key.strip_suffix(".r") {
                    Some(stem) => Some(format!("{stem}.l")),
                    // The right side of an anti-roll bar is made from its left.
                    None if key == "right" && steps.first() == Some(&Step::from("anti_roll")) => {
                        Some("left".to_owned())
                    }
                    None => None,
                };
                match original.filter(|name| here.get(name).is_some()) {
                    Some(original) => {
                        twin.get_or_insert_with(|| key.clone());
                        Step::Key(original)
                    }
                    None => step.clone(),
                }
            }
            _ => step.clone(),
        };
        node = match (&step, node.map(|here| &here.value)) {
            (Step::Key(key), Some(_)) => node.and_then(|here| here.get(key)),
            (Step::Index(index), Some(Value::List(elements))) => elements.get(*index),
            _ => None,
        };
        steps.push(step);
    }
    (Path(steps), twin)
}

/// Every model of a document: the file as written, then with each option's change, in file order.
#[derive(Debug)]
pub struct Loaded {
    /// The file as written.
    pub base: Model,
    /// What that was read from.
    pub written: Written,
    /// Name and model of each option, and what it was read from.
    pub options: Vec<(String, Model, Written)>,
}

/// Reads the file and every option.
///
/// # Errors
/// All problems, in the order of their places; those that only an option has name the option.
pub fn load_all(document: &Document) -> Result<Loaded, Vec<Problem>> {
    let written = Written::as_it_is(document);
    let base = written.read();
    let mut problems = base.as_ref().err().cloned().unwrap_or_default();
    // What is wrong in the file itself is not told again for an option, nor what follows from it.
    let known: Vec<Problem> = problems.clone();
    let a_section_is_lost = document.root.entries().iter().any(|entry| {
        File::KEYS.contains(&entry.key.as_str()) && known.iter().any(|problem| problem.path == crate::path![&entry.key])
    });
    let is_known = |found: &Problem| {
        let names_what_is_lost = a_section_is_lost && found.lacks.is_some();
        names_what_is_lost
            || known.iter().any(|problem| match &problem.lacks {
                None => found.path.is_within(&problem.path),
                Some(_) => found.path == problem.path && found.message == problem.message,
            })
    };
    let mut options = Vec::new();
    let mut near = NearNames::new();
    for entry in document.root.get("options").map(Node::entries).unwrap_or_default() {
        let change = entry.node.get("change");
        let Some(change) = change.filter(|change| matches!(change.value, Value::Object(_))) else {
            continue; // reading the file has said so
        };
        problems.extend(takes_out_nothing(&document.root, &entry.key, change, &mut near));
        let changed = written.clone().changed(&entry.key, &entry.node);
        match changed.read() {
            Ok(model) => options.push((entry.key.clone(), model, changed)),
            Err(found) => problems.extend(found.into_iter().filter(|problem| !is_known(problem)).map(|mut problem| {
                tell_the_nearest(&document.root, &mut near, &mut problem);
                problem
            })),
        }
    }
    problems.extend(document.repeated.iter().cloned());
    match base {
        Ok(base) if problems.is_empty() => Ok(Loaded { base, written, options }),
        _ => {
            sort(&mut problems);
            Err(problems)
        }
    }
}

/// Reads the file with the changes of some options, one after the other; also what it was read from.
///
/// Names that are no options are left out.
///
/// # Errors
/// All problems of the changed file.
pub fn load_with(document: &Document, names: &[String]) -> Result<(Model, Written), Vec<Problem>> {
    let options = document.root.get("options");
    let written = names
        .iter()
        .filter_map(|name| options.and_then(|options| options.get(name)).map(|option| (name, option)))
        .fold(Written::as_it_is(document), |written, (name, option)| written.changed(name, option));
    written.read().map(|model| (model, written))
}

/// Reads the file as written, with every option validated too.
///
/// # Errors
/// As [`load_all`].
pub fn load(document: &Document) -> Result<Model, Vec<Problem>> {
    load_all(document).map(|loaded| loaded.base)
}
