//! From the file as read to a model: names resolved, units brought to mm, N, N·mm, rad, and
//! everything checked that "Reading rules" of `models/FORMAT.md` calls an error or a warning.
//!
//! Each part is built even where another is wrong, so that all faults are found in one run. What
//! cannot be built is left out; a name that is written in the file but was left out is no second
//! fault.

mod bounds;
mod cases;
mod corners;
mod frame;
mod sections;
mod use_of_names;
mod warnings;

use std::collections::HashSet;

use super::file::File;
use super::mirror::other_side;
use super::{Anchor, Fault, Limits, Model};
use crate::path;
use crate::source::{Named, Node, Path, Value, name_list, nearest};

/// Builds the model of a file that has its mirror twins, and tells all that is wrong with it.
///
/// `incomplete`: some of the file could not be read.
pub(super) fn validate(file: &File, root: &Node, incomplete: bool) -> (Model, Vec<Fault>) {
    let mut checker = Checker { faults: Vec::new(), root, mirror: file.mirror, incomplete };
    let materials = sections::materials(file, &mut checker);
    let mut model = Model {
        title: file.title.clone(),
        date: file.date.as_ref().map(|date| date.0.clone()),
        notes: file.notes.clone(),
        mirror: file.mirror,
        materials,
        tubes: Named::new(),
        nodes: Named::new(),
        brackets: Named::new(),
        members: Named::new(),
        mounts: Vec::new(),
        bodies: Named::new(),
        vehicle: None,
        corners: Vec::new(),
        anti_roll: Vec::new(),
        cases: Named::new(),
        limits: Limits::of_file(&file.limits),
        warnings: Vec::new(),
    };
    sections::tubes(file, &mut model, &mut checker);
    use_of_names::no_shared_names(file, &mut checker);
    frame::nodes(file, &mut model, &mut checker);
    frame::bracket_places(file, &mut model);
    frame::members(file, &mut model, &mut checker);
    corners::vehicle(file, &mut model, &mut checker);
    corners::corners(file, &mut model, &mut checker);
    frame::bracket_feet(file, &mut model, &mut checker);
    frame::mounts(file, &mut model, &mut checker);
    frame::bodies(file, &mut model, &mut checker);
    corners::anti_roll(file, &mut model, &mut checker);
    cases::limits(file, &mut checker);
    cases::cases(file, &mut model, &mut checker);
    use_of_names::everything_is_used(&model, &mut checker);
    if checker.faults.is_empty() {
        model.warnings = warnings::warnings(&model);
    }
    (model, checker.faults)
}

/// Collects faults while a model is built.
struct Checker<'t> {
    faults: Vec<Fault>,
    root: &'t Node,
    mirror: bool,
    incomplete: bool,
}

impl Checker<'_> {
    fn fault(&mut self, path: Path, message: impl Into<String>) {
        self.faults.push(Fault::new(path, message));
    }

    fn fault_with_hint(&mut self, path: Path, message: impl Into<String>, hint: impl Into<String>) {
        self.faults.push(Fault::new(path, message).hint(hint));
    }

    /// Whether a name of a top-level section is written in the file (as itself or as a twin), even
    /// if its entry could not be used.
    fn is_written(&self, section: &str, name: &str) -> bool {
        let Some(entries) = self.root.get(section) else {
            return false;
        };
        entries.get(name).is_some() || (self.mirror && entries.get(&other_side(name)).is_some())
    }

    /// Whether something was left out of the model that may name this node or bracket.
    fn may_be_in_what_was_left_out(&self, name: &str) -> bool {
        let users = ["members", "bodies", "mounts", "corners", "anti_roll", "cases"];
        let other = other_side(name);
        (self.incomplete || !self.faults.is_empty())
            && users
                .iter()
                .filter_map(|section| self.root.get(section))
                .any(|section| mentions(section, name) || (self.mirror && mentions(section, &other)))
    }

    /// Tells that a name is not there, with the nearest that is.
    fn unknown<'n>(&mut self, path: Path, what: &str, name: &str, known: impl Iterator<Item = &'n str> + Clone) {
        let message = format!("there is no {what} \"{name}\"");
        let hint = match nearest(name, known.clone()) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => format!("there are: {}", name_list(known)),
        };
        self.fault_with_hint(path, message, hint);
    }

    /// A node or bracket by its name.
    fn anchor(&mut self, model: &Model, path: Path, name: &str) -> Option<Anchor> {
        if let Some(at) = model.nodes.get_index_of(name) {
            return Some(Anchor::Node(at));
        }
        if let Some(at) = model.brackets.get_index_of(name) {
            return Some(Anchor::Bracket(at));
        }
        if !self.is_written("nodes", name) && !self.is_written("brackets", name) {
            let known = model.nodes.keys().chain(model.brackets.keys()).map(String::as_str);
            self.unknown(path, "node or bracket", name, known);
        }
        None
    }

    /// A tube size by its name.
    fn tube_size(&mut self, model: &Model, path: Path, name: &str) -> Option<usize> {
        let found = model.tubes.get_index_of(name);
        if found.is_none() && !self.is_written("tubes", name) {
            self.unknown(path, "tube", name, model.tubes.keys().map(String::as_str));
        }
        found
    }

    /// Tells every name that a list holds more than once.
    fn no_repetition(&mut self, path: &Path, names: &[String]) {
        let mut seen = HashSet::new();
        for (index, name) in names.iter().enumerate() {
            if !seen.insert(name) {
                self.fault(path.then(index), format!("\"{name}\" is listed twice"));
            }
        }
    }
}

/// Whether a name stands anywhere in a part of the file, as a key or as a text.
fn mentions(node: &Node, name: &str) -> bool {
    match &node.value {
        Value::Text(text) => text == name,
        Value::List(elements) => elements.iter().any(|element| mentions(element, name)),
        Value::Object(entries) => entries.iter().any(|entry| entry.key == name || mentions(&entry.node, name)),
        _ => false,
    }
}

/// The path of an entry of a section.
fn entry(section: &str, name: &str) -> Path {
    path![section, name]
}
