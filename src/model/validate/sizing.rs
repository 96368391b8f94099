//! Which sizes a search may choose from, and for which tubes.

use std::collections::HashSet;

use super::Checker;
use crate::model::file::File;
use crate::model::mirror::other_side;
use crate::model::{Model, Sizing, entry_at};
use crate::path;
use crate::source::{Named, Path};

/// Which members already have a place, by index, and where it was given.
type Taken = Vec<Option<String>>;

/// The groups and the stock.
pub(super) fn sizing(file: &File, model: &mut Model, checker: &mut Checker<'_>) {
    let Some(given) = &file.sizing else { return };
    let at = path!["sizing"];
    if given.stock.is_empty() && checker.is_whole(&at.then("stock")) {
        checker.fault(at.then("stock"), "there is no size to choose from");
    }
    checker.no_repetition(&at.then("stock"), &given.stock);
    let sizes = given.stock.iter().enumerate();
    let stock: Vec<usize> =
        sizes.filter_map(|(index, name)| checker.tube_size(model, at.then("stock").then(index), name)).collect();
    let mut taken: Taken = vec![None; model.members.len()];
    let keep = at.then("keep");
    listed(&given.keep, &keep, "keep", model, &mut taken, checker);
    let mut groups: Named<Vec<usize>> = Named::new();
    for (name, members) in &given.groups {
        let path = at.then("groups").then(name.as_str());
        if members.is_empty() && checker.is_whole(&path) {
            checker.fault(path.clone(), "there is no member in this group");
        }
        groups.insert(name.clone(), listed(members, &path, name, model, &mut taken, checker));
    }
    add_the_rest(model, &taken, &mut groups);
    if groups.is_empty() && checker.faults.is_empty() {
        checker.fault(at.clone(), "every member is kept as drawn: there is nothing to choose a size for");
    }
    model.sizing = Some(Sizing { groups, stock });
}

/// The members of a list, with their twins.
fn listed(
    names: &[String],
    path: &Path,
    owner: &str,
    model: &Model,
    taken: &mut Taken,
    checker: &mut Checker<'_>,
) -> Vec<usize> {
    checker.no_repetition(path, names);
    let mut own: Vec<usize> = Vec::new();
    for (index, name) in names.iter().enumerate() {
        let path = path.then(index);
        let Some(member) = model.members.get_index_of(name) else {
            if name.contains('/') {
                let message = format!("\"{name}\" is a tube of a corner; these stay as they are drawn");
                checker.fault_with_hint(path, message, "name members of the frame alone");
            } else if !checker.is_written("members", name) {
                checker.unknown(path, "member", name, model.members.keys().map(String::as_str));
            }
            continue;
        };
        let twin = Some(other_side(name)).filter(|twin| checker.mirror && name.ends_with(".l") && twin != name);
        let twin = twin.and_then(|twin| model.members.get_index_of(&twin));
        for member in std::iter::once(member).chain(twin).filter(|member| !own.contains(member)).collect::<Vec<_>>() {
            match &taken[member] {
                Some(other) => {
                    let member = entry_at(&model.members, member).0;
                    checker
                        .fault(path.clone(), format!("\"{member}\" is in \"{other}\" already; a member has one size"));
                }
                None => {
                    taken[member] = Some(owner.to_owned());
                    own.push(member);
                }
            }
        }
    }
    own.sort_unstable();
    own
}

/// Makes a group of each member that has no place, with its mirror twin.
fn add_the_rest(model: &Model, taken: &Taken, groups: &mut Named<Vec<usize>>) {
    let mut done: HashSet<usize> = HashSet::new();
    for (member, (name, _)) in model.members.iter().enumerate() {
        if taken[member].is_some() || !done.insert(member) {
            continue;
        }
        let twin = Some(other_side(name)).filter(|twin| model.mirror && twin != name);
        let twin = twin.and_then(|twin| model.members.get_index_of(&twin)).filter(|twin| taken[*twin].is_none());
        done.extend(twin);
        let short = name.strip_suffix(".l").filter(|_| twin.is_some()).unwrap_or(name);
        let called = if groups.contains_key(short) { name } else { short };
        groups.insert(called.to_owned(), std::iter::once(member).chain(twin).collect());
    }
}
