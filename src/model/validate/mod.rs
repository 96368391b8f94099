//! From the file as read to a model: names resolved, units brought to mm, N, N·mm, rad, and
//! everything checked that "Reading rules" of `models/FORMAT.md` calls an error or a warning.
//!
//! Each part is built even where another is wrong, so that all faults are found in one run. What
//! cannot be built is left out; a name that is written in the file but was left out is no second
//! fault.

mod adjusters;
mod bounds;
mod bracing;
mod cases;
mod corners;
mod doubled;
mod frame;
pub(super) mod odd;
mod sections;
mod sizing;
mod use_of_names;
mod warnings;

use std::cell::OnceCell;
use std::collections::{HashMap, HashSet};

use super::file::{File, REQUIRED};
use super::mirror::other_side;
use super::{Anchor, Fault, Limits, Model, WeldKeys};
use crate::path;
use crate::source::{Named, NearNames, Node, Path, Step, Value};

/// Builds the model of a file that has its mirror twins, and tells all that is wrong with it.
///
/// `unread`: what of the file could not be read; `repeated`: which of that is given twice.
pub(super) fn validate(file: &File, root: &Node, unread: &[Path], repeated: &[Path]) -> (Model, Vec<Fault>) {
    let mut checker = Checker {
        faults: Vec::new(),
        root,
        mirror: file.mirror,
        unread,
        repeated,
        near: NearNames::new(),
        keys: root.entries().iter().map(|section| (section.key.as_str(), keys(&section.node))).collect(),
        mentioned: OnceCell::new(),
    };
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
        weld: WeldKeys::default(),
        mounts: Vec::new(),
        bodies: Named::new(),
        vehicle: None,
        corners: Vec::new(),
        anti_roll: Vec::new(),
        cases: Named::new(),
        duty: Named::new(),
        bracing: None,
        sizing: None,
        limits: Limits::of_file(&file.limits),
        adjusters: Named::new(),
        positions: Vec::new(),
        warnings: Vec::new(),
    };
    sections::tubes(file, &mut model, &mut checker);
    use_of_names::no_shared_names(file, &mut checker);
    frame::nodes(file, &mut model, &mut checker);
    frame::bracket_places(file, &mut model);
    model.weld = frame::weld(file.weld.as_ref(), WeldKeys::default(), &path!["weld"], &mut checker);
    frame::members(file, &mut model, &mut checker);
    corners::vehicle(file, &mut model, &mut checker);
    corners::corners(file, &mut model, &mut checker);
    frame::bracket_feet(file, &mut model, &mut checker);
    frame::mounts(file, &mut model, &mut checker);
    frame::bodies(file, &mut model, &mut checker);
    corners::anti_roll(file, &mut model, &mut checker);
    cases::limits(file, &mut checker);
    cases::cases(file, &mut model, &mut checker);
    cases::duty(file, &mut model, &mut checker);
    bracing::bracing(file, &mut model, &mut checker);
    sizing::sizing(file, &mut model, &mut checker);
    use_of_names::everything_is_used(&model, &mut checker);
    adjusters::adjusters(file, &mut model, &mut checker);
    if checker.faults.is_empty() {
        adjusters::positions(file, root, unread, repeated, &mut model, &mut checker);
    }
    if checker.faults.is_empty() {
        model.warnings = warnings::warnings(&model);
        model.warnings.extend(adjusters::empty(root));
    }
    (model, checker.faults)
}

/// Collects faults while a model is built.
struct Checker<'t> {
    faults: Vec<Fault>,
    root: &'t Node,
    mirror: bool,
    unread: &'t [Path],
    /// The way to each key that is given twice.
    repeated: &'t [Path],
    near: NearNames,
    /// The keys of each top-level section, which may hold tens of thousands.
    keys: HashMap<&'t str, HashSet<&'t str>>,
    /// All that stands where nodes and brackets are used, once that was asked for.
    mentioned: OnceCell<HashSet<&'t str>>,
}

impl Checker<'_> {
    fn fault(&mut self, path: Path, message: impl Into<String>) {
        self.faults.push(Fault::new(path, message));
    }

    fn fault_with_hint(&mut self, path: Path, message: impl Into<String>, hint: impl Into<String>) {
        self.faults.push(Fault::new(path, message).hint(hint));
    }

    fn lacking(&mut self, path: Path, message: impl Into<String>) {
        self.faults.push(Fault::lacking(path, message));
    }

    /// Whether all of an entry, and of what stands in it, could be read; a twin as its original.
    fn is_whole(&self, path: &Path) -> bool {
        let mut original = path.clone();
        if let Some(Step::Key(name)) = original.0.get_mut(1).filter(|_| self.mirror) {
            *name = other_side(name);
        }
        !self.unread.iter().any(|unread| unread.is_within(path) || unread.is_within(&original))
    }

    /// Whether a name of a top-level section is written in the file (as itself or as a twin), even
    /// if its entry could not be used. Of a section that must be there and is not, that is no
    /// object, or that is or holds a name twice, nobody can tell: that alone is told.
    fn is_written(&self, section: &str, name: &str) -> bool {
        self.is_lost(section) || self.is_named(section, name)
    }

    /// Whether a name stands in a top-level section of the file, as itself or as a twin.
    fn is_named(&self, section: &str, name: &str) -> bool {
        self.keys
            .get(section)
            .is_some_and(|keys| keys.contains(name) || (self.mirror && keys.contains(other_side(name).as_str())))
    }

    /// Whether a section must be there and is not, is no object, or was not read whole because it,
    /// or a name in it, is given twice: the second may have been meant for another.
    fn is_lost(&self, section: &str) -> bool {
        if self.repeated.iter().any(|path| path.0.len() <= 2 && path.is_within(&path![section])) {
            return true;
        }
        match self.root.get(section) {
            Some(entries) => !matches!(entries.value, Value::Object(_)),
            None => REQUIRED.iter().any(|(required, _)| *required == section),
        }
    }

    /// Whether a key is given twice anywhere in a section.
    fn repeats_within(&self, section: &str) -> bool {
        self.repeated.iter().any(|path| path.is_within(&path![section]))
    }

    /// Whether something was left out of the model that may name this node or bracket.
    fn may_be_in_what_was_left_out(&self, name: &str) -> bool {
        let users = ["members", "bodies", "mounts", "corners", "anti_roll", "cases"];
        if self.unread.is_empty() && self.faults.is_empty() {
            return false;
        }
        let mentioned = self.mentioned.get_or_init(|| {
            let mut names = HashSet::new();
            users.iter().filter_map(|section| self.root.get(section)).for_each(|section| gather(section, &mut names));
            names
        });
        users.iter().any(|section| self.is_lost(section) || self.repeats_within(section))
            || mentioned.contains(name)
            || (self.mirror && mentioned.contains(other_side(name).as_str()))
    }

    /// Tells that a name is not there, with the nearest that is.
    fn unknown<'n>(&mut self, path: Path, what: &str, name: &str, known: impl Iterator<Item = &'n str> + Clone) {
        let hint = self.near.instead(name, known);
        self.not_there(path, what, name, hint);
    }

    /// Tells that a name is not there, and what to do about it.
    fn not_there(&mut self, path: Path, what: &str, name: &str, hint: impl Into<String>) {
        let mut fault = Fault::new(path, format!("there is no {what} \"{name}\"")).hint(hint);
        fault.lacks = Some(name.to_owned());
        self.faults.push(fault);
    }

    /// A node or bracket by its name.
    fn anchor(&mut self, model: &Model, path: Path, name: &str) -> Option<Anchor> {
        if let Some(at) = model.nodes.get_index_of(name) {
            return Some(Anchor::Node(at));
        }
        if let Some(at) = model.brackets.get_index_of(name) {
            return Some(Anchor::Bracket(at));
        }
        if self.is_written("nodes", name) || self.is_written("brackets", name) {
            return None;
        }
        if !self.mirror && name.ends_with(".r") && self.is_named("nodes", &other_side(name)) {
            let hint = "no name gets a twin, because \"mirror\": true is not set";
            self.not_there(path, "node or bracket", name, hint);
        } else if self.is_named("members", name) {
            let hint = format!("\"{name}\" is a member: name one of its nodes, or put a bracket on it");
            self.not_there(path, "node or bracket", name, hint);
        } else if self.is_named("bodies", name) {
            let hint = format!("\"{name}\" is a body: name a node that it holds");
            self.not_there(path, "node or bracket", name, hint);
        } else {
            let known = model.nodes.keys().chain(model.brackets.keys()).map(String::as_str);
            self.unknown(path, "node or bracket", name, known);
        }
        None
    }

    /// A node or bracket that a body may carry, by its name; where it is not there, the hint says how
    /// such a one is written.
    fn carried_anchor(&mut self, model: &Model, path: Path, name: &str) -> Option<Anchor> {
        let known = self.faults.len();
        let anchor = self.anchor(model, path, name);
        for fault in self.faults.iter_mut().skip(known).filter(|fault| fault.lacks.is_some()) {
            let hint = fault.hint.take().unwrap_or_default();
            fault.hint = Some(and_more(
                &hint,
                "what rides on a body, as an end of a rack, stands in \"nodes\" with its place, and in the body's \"mounts\" as \"rides\"",
            ));
        }
        anchor
    }

    /// A tube size by its name.
    fn tube_size(&mut self, model: &Model, path: Path, name: &str) -> Option<usize> {
        let found = model.tubes.get_index_of(name);
        if found.is_none() && !self.is_written("tubes", name) {
            self.unknown(path, "tube size", name, model.tubes.keys().map(String::as_str));
        }
        found
    }

    /// Tells every name that a list holds more than once; whether there is none.
    fn no_repetition(&mut self, path: &Path, names: &[String]) -> bool {
        let mut seen = HashSet::new();
        for (index, name) in names.iter().enumerate() {
            if !seen.insert(name) {
                self.fault(path.then(index), format!("\"{name}\" is listed twice"));
            }
        }
        seen.len() == names.len()
    }

    /// Two keys of an entry in the order they are written in; of a twin, as its original has them.
    fn as_written<'k>(&self, entry: &Path, keys: [&'k str; 2]) -> [&'k str; 2] {
        let [Step::Key(section), Step::Key(name)] = entry.0.as_slice() else {
            return keys;
        };
        let entries = self.root.get(section);
        let written = entries.and_then(|entries| entries.get(name).or_else(|| entries.get(&other_side(name))));
        let place = |key: &str| written.and_then(|written| written.entries().iter().position(|entry| entry.key == key));
        if place(keys[0]) <= place(keys[1]) { keys } else { [keys[1], keys[0]] }
    }
}

/// The keys of an object.
fn keys(node: &Node) -> HashSet<&str> {
    node.entries().iter().map(|entry| entry.key.as_str()).collect()
}

/// Every key and every text in a part of the file.
fn gather<'n>(node: &'n Node, names: &mut HashSet<&'n str>) {
    match &node.value {
        Value::Text(text) => {
            names.insert(text);
        }
        Value::List(elements) => elements.iter().for_each(|element| gather(element, names)),
        Value::Object(entries) => {
            for entry in entries {
                names.insert(&entry.key);
                gather(&entry.node, names);
            }
        }
        _ => {}
    }
}

/// A hint with more behind it.
fn and_more(hint: &str, more: &str) -> String {
    let joint = if hint.ends_with('?') { " " } else { "; " };
    format!("{hint}{joint}{more}")
}

/// The path of an entry of a section.
fn entry(section: &str, name: &str) -> Path {
    path![section, name]
}
