//! From a document to models: the file as written, and the file with each option's change.

use super::file::{File, REQUIRED};
use super::validate::validate;
use super::{Fault, Model};
use crate::source::{Document, Node, Path, Problem, Read, Reader, Step, Value, merge_patch, sort};

/// The tree of the file, or of the file with an option's change.
///
/// The changed tree has no `options`.
fn changed(root: &Node, option: &Node) -> Node {
    let patch =
        option.get("change").cloned().unwrap_or(Node { span: option.span.clone(), value: Value::Object(Vec::new()) });
    let mut tree = merge_patch(root, &patch);
    if let Value::Object(entries) = &mut tree.value {
        entries.retain(|entry| entry.key != "options");
    }
    tree
}

/// Reads and validates one tree.
fn read(root: &Node, option: Option<&str>) -> Result<Model, Vec<Problem>> {
    let mut reader = Reader::default();
    let file = File::read(root, &mut reader);
    if matches!(root.value, Value::Object(_)) {
        for key in REQUIRED.into_iter().filter(|key| root.get(key).is_none()) {
            reader.missing_key(root, key);
        }
    }
    let mut problems = reader.problems;
    for problem in &mut problems {
        problem.option = option.map(str::to_owned);
    }
    let Some(file) = file else {
        return Err(problems);
    };
    let (model, faults) = validate(&file.with_twins(), root, !problems.is_empty());
    problems.extend(drop_repeated_twins(root, &faults, option));
    if problems.is_empty() { Ok(model) } else { Err(problems) }
}

/// Faults at their places; one of a mirror twin is left out where its original has one too.
fn drop_repeated_twins(root: &Node, faults: &[Fault], option: Option<&str>) -> Vec<Problem> {
    let written: std::collections::HashSet<Path> = faults
        .iter()
        .filter(|fault| as_written(root, &fault.path).1.is_none())
        .map(|fault| fault.path.clone())
        .collect();
    faults
        .iter()
        .filter(|fault| {
            let (path, twin) = as_written(root, &fault.path);
            twin.is_none() || !written.contains(&path)
        })
        .map(|fault| locate(root, fault, option))
        .collect()
}

/// A path with each mirror twin replaced by the entry that it was made from, and the first twin's name.
fn as_written(root: &Node, path: &Path) -> (Path, Option<String>) {
    let mut node = Some(root);
    let mut twin = None;
    let mut steps = Vec::with_capacity(path.0.len());
    for step in &path.0 {
        let step = match (step, node) {
            (Step::Key(key), Some(here)) if here.get(key).is_none() => {
                let original =
                    key.strip_suffix(".r").map(|stem| format!("{stem}.l")).filter(|name| here.get(name).is_some());
                match original {
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

/// A fault as a problem at its place.
pub(super) fn locate(root: &Node, fault: &Fault, option: Option<&str>) -> Problem {
    let (path, twin) = as_written(root, &fault.path);
    let span = root.locate(&path);
    let message = match twin {
        Some(twin) => format!("in the mirror twin \"{twin}\": {}", fault.message),
        None => fault.message.clone(),
    };
    Problem { path, span, message, hint: fault.hint.clone(), option: option.map(str::to_owned) }
}

/// Every model of a document: the file as written, then with each option's change, in file order.
#[derive(Debug)]
pub struct Loaded {
    /// The file as written, and its tree.
    pub base: Model,
    /// Name, model and changed tree of each option.
    pub options: Vec<(String, Model, Node)>,
}

/// Reads the file and every option.
///
/// # Errors
/// All problems, in the order of their places; those that only an option has name the option.
pub fn load_all(document: &Document) -> Result<Loaded, Vec<Problem>> {
    let root = &document.root;
    let base = read(root, None);
    let mut problems = base.as_ref().err().cloned().unwrap_or_default();
    let known: std::collections::HashSet<_> =
        problems.iter().map(|problem| (problem.path.clone(), problem.message.clone())).collect();
    let mut options = Vec::new();
    for entry in root.get("options").map(Node::entries).unwrap_or_default() {
        if !matches!(entry.node.get("change").map(|change| &change.value), Some(Value::Object(_))) {
            continue; // reading the file has said so
        }
        let tree = changed(root, &entry.node);
        match read(&tree, Some(&entry.key)) {
            Ok(model) => options.push((entry.key.clone(), model, tree)),
            Err(found) => problems.extend(
                found.into_iter().filter(|problem| !known.contains(&(problem.path.clone(), problem.message.clone()))),
            ),
        }
    }
    match base {
        Ok(base) if problems.is_empty() => Ok(Loaded { base, options }),
        _ => {
            sort(&mut problems);
            Err(problems)
        }
    }
}

/// Reads the file with the changes of some options, one after the other; also its changed tree.
///
/// Names that are no options are left out.
///
/// # Errors
/// All problems of the changed file.
pub fn load_with(document: &Document, names: &[String]) -> Result<(Model, Node), Vec<Problem>> {
    let options = document.root.get("options");
    let tree = names
        .iter()
        .filter_map(|name| options.and_then(|options| options.get(name)))
        .fold(document.root.clone(), |tree, option| changed(&tree, option));
    match read(&tree, Some(&names.join(" + "))) {
        Ok(model) => Ok((model, tree)),
        Err(mut problems) => {
            sort(&mut problems);
            Err(problems)
        }
    }
}

/// Reads the file as written, with every option validated too.
///
/// # Errors
/// As [`load_all`].
pub fn load(document: &Document) -> Result<Model, Vec<Problem>> {
    load_all(document).map(|loaded| loaded.base)
}
