//! What a search may add.

use super::Checker;
use super::frame::{joint, piece};
use crate::beam::Flex;
use crate::model::file::{File, JointWord};
use crate::model::{Anchor, BraceChoice, Bracing, Model, Orientation};
use crate::path;
use crate::source::{Node, one_or_the_other};

/// The braces to choose from.
pub(super) fn bracing(file: &File, model: &mut Model, checker: &mut Checker<'_>) {
    let Some(given) = &file.bracing else { return };
    let at = path!["bracing"];
    let tube = checker.tube_size(model, at.then("tube"), &given.tube);
    let joints = [0, 1].map(|end| joint(given.joint.end(end), &given.joint, end, &at, checker));
    if joints[0].n == Flex::Free && joints[1].n == Flex::Free {
        checker.fault_with_hint(
            at.then("joint"),
            "a brace can slide along itself, \"slide\" at both ends holds it nowhere",
            "give one end another joint",
        );
    }
    let most = given.at_most.filter(|most| {
        let sound = *most >= 1.0 && most.fract() == 0.0 && *most <= 1e6;
        if !sound {
            checker.fault(at.then("at_most"), format!("{most} is no number of braces; it is a whole number from 1 on"));
        }
        sound
    });
    let choice = match (&given.between, &given.auto) {
        (Some(pairs), None) => {
            let path = at.then("between");
            if pairs.is_empty() {
                checker.fault(path.clone(), "there is no pair of nodes to choose from");
            }
            let mut found: Vec<[Anchor; 2]> = Vec::new();
            for (index, pair) in pairs.iter().enumerate() {
                let path = path.then(index);
                if !checker.no_repetition(&path, pair) {
                    continue;
                }
                let [one, other] = [0, 1].map(|end| checker.anchor(model, path.then(end), &pair[end]));
                let (Some(one), Some(other)) = (one, other) else { continue };
                if found.iter().any(|known| *known == [one, other] || *known == [other, one]) {
                    checker.fault(path, format!("\"{}\" and \"{}\" are listed twice", pair[0], pair[1]));
                    continue;
                }
                piece(&model.anchor_at(one), &model.anchor_at(other), &Orientation::default(), &path, checker);
                found.push([one, other]);
            }
            BraceChoice::Between(found)
        }
        (None, Some(auto)) => {
            checker.above_zero(at.then("auto").then("longest"), auto.longest);
            checker.not_below_zero(at.then("auto").then("clear_of"), auto.clear_of);
            BraceChoice::Auto { longest_mm: auto.longest.0, clear_of_mm: auto.clear_of.0 }
        }
        (None, None) => {
            if checker.is_whole(&at) {
                checker.lacking(at, "bracing needs \"between\" or \"auto\"");
            }
            return;
        }
        (Some(_), Some(_)) => {
            let hint = one_or_the_other("between");
            checker.fault_with_hint(at.then("auto"), "bracing has \"between\" or \"auto\", not both", hint);
            return;
        }
    };
    let Some(tube) = tube else { return };
    let is_word = |end: usize, words: fn(&JointWord) -> bool| words(given.joint.end(end));
    model.bracing = Some(Bracing {
        tube,
        choice,
        joints,
        joint_words: checker.root.follow(&at.then("joint")).map(Node::to_json),
        welded: [0, 1].map(|end| {
            is_word(end, |word| matches!(word, JointWord::Weld | JointWord::TubeOnTube | JointWord::Rate(_)))
        }),
        tube_on_tube: [0, 1].map(|end| is_word(end, |word| *word == JointWord::TubeOnTube)),
        at_most: most.map(|most| most as usize),
    });
}
