//! Where a column ends at a node that nothing holds sideways.
//!
//! By the rule of the format a straight run of tube goes on through nodes at which nothing else is
//! attached, and ends where something is: a tab with nothing on it, a body that hangs there alone, a
//! stub. Such a node does not stop the tube from bowing out, and the column is longer than it is
//! judged. Whether what is attached is stiff enough is not looked at.

use nalgebra::Vector3;

use super::Verdict;
use super::columns::{Run, runs};
use crate::model::{Anchor, Model, TubeRef, other_side};
use crate::source::name_list;
use crate::structure::{Direction, Origin, STRAIGHT_WITHIN_DEG, Structure, TubeName};

/// A direction within this angle of a tube does not hold it sideways, degrees.
const ALONG_WITHIN_DEG: f64 = 10.0;

/// Warnings for pushed tubes whose column is cut at a node that nothing holds sideways; of twins the
/// first is told.
pub(super) fn cut_where_nothing_holds(model: &Model, structure: &Structure, verdict: &Verdict) -> Vec<String> {
    let is_pushed =
        |name: &str| verdict.tubes.values().any(|tubes| tubes.get(name).is_some_and(|judged| judged.column.is_some()));
    let runs = runs(model, structure);
    let mut at_part: Vec<Vec<usize>> = vec![Vec::new(); structure.parts.len()];
    for (piece, drawn) in structure.pieces.iter().enumerate() {
        if matches!(structure.tubes[drawn.tube].name, TubeName::Tube(TubeRef::Member(_))) {
            drawn.ends.iter().for_each(|end| at_part[end.part].push(piece));
        }
    }
    let mut cut: Vec<(Vec<String>, &str)> = Vec::new();
    let mut warnings = Vec::new();
    for (node, name) in model.nodes.keys().enumerate() {
        let part = structure.part_of(Anchor::Node(node));
        let Some(column) = at_part[part].iter().enumerate().find_map(|(place, one)| {
            let others = &at_part[part][place + 1..];
            others.iter().find_map(|other| Cut::between(structure, &runs, part, [*one, *other]))
        }) else {
            continue;
        };
        let mut tubes: Vec<String> = column.tubes.iter().map(|tube| structure.tube_name(model, *tube)).collect();
        tubes.dedup();
        let has_length = |tube: &str| model.members.get(tube).is_some_and(|drawn| drawn.column_length_mm.is_some());
        tubes.retain(|tube| is_pushed(tube) && !has_length(tube));
        if tubes.is_empty() || column.is_held(structure) {
            continue;
        }
        let is_twin = cut.iter().any(|(known, at)| {
            other_side(at) == *name
                && known.len() == tubes.len()
                && known.iter().zip(&tubes).all(|(k, t)| other_side(k) == *t)
        });
        if !is_twin {
            warnings.push(column.warning(model, structure, &tubes, name));
            cut.push((tubes, name));
        }
    }
    warnings
}

/// Two straight runs of one size of tube that meet at a part and go on in one line.
struct Cut {
    part: usize,
    along: Vector3<f64>,
    tubes: [usize; 2],
    /// The pieces of both.
    pieces: Vec<usize>,
    /// The parts at their far ends.
    far_ends: [usize; 2],
}

impl Cut {
    /// The two runs of two pieces that meet at a part; `None` where these are one run or do not go on
    /// in one line.
    fn between(structure: &Structure, runs: &[Vec<Run>], part: usize, pieces: [usize; 2]) -> Option<Cut> {
        let [one, other] = pieces.map(|piece| &structure.pieces[piece]);
        let tubes = [one.tube, other.tube];
        let away = |piece: usize| {
            let drawn = &structure.pieces[piece];
            let x = drawn.axes.x();
            if drawn.ends[0].part == part { x } else { -x }
        };
        let [along, back] = pieces.map(away);
        let is_straight = along.angle(&-back) <= STRAIGHT_WITHIN_DEG.to_radians();
        if !is_straight || structure.tubes[tubes[0]].size != structure.tubes[tubes[1]].size {
            return None;
        }
        let holds = |run: &&Run, piece: usize| run.pieces.iter().any(|(of_run, _)| *of_run == piece);
        let run_of = |at: usize| runs[tubes[at]].iter().find(|run| holds(run, pieces[at]));
        let (first, second) = (run_of(0)?, run_of(1)?);
        if holds(&first, pieces[1]) {
            return None;
        }
        let far_end = |run: &Run| {
            let ends = [run.pieces.first(), run.pieces.last()].into_iter().flatten();
            let parts = ends.flat_map(|(piece, _)| structure.pieces[*piece].ends.map(|end| end.part));
            let inner: Vec<usize> = run.pieces.windows(2).map(|two| shared(structure, two[0].0, two[1].0)).collect();
            parts.into_iter().find(|end| *end != part && !inner.contains(end))
        };
        Some(Cut {
            part,
            along,
            tubes,
            pieces: first.pieces.iter().chain(&second.pieces).map(|(piece, _)| *piece).collect(),
            far_ends: [far_end(first)?, far_end(second)?],
        })
    }

    /// Whether what else is attached at the part leads to a far end of either run, or to the ground;
    /// a mount on the part itself counts where it holds across the tube.
    fn is_held(&self, structure: &Structure) -> bool {
        let across = |direction: &Direction| match direction {
            Direction::Shift(along) => {
                let angle = along.angle(&self.along).to_degrees();
                angle.min(180.0 - angle) > ALONG_WITHIN_DEG
            }
            Direction::Turn(_) => false,
        };
        let ties = structure.ties.iter().map(|tie| (tie.part, tie.holder, &tie.direction, tie.origin));
        let springs =
            structure.springs.iter().map(|spring| (spring.part, spring.holder, &spring.direction, spring.origin));
        let mut links: Vec<[usize; 2]> = Vec::new();
        let mut grounded = vec![false; structure.parts.len()];
        for (part, holder, direction, origin) in ties.chain(springs) {
            match holder {
                Some(holder) => links.push([part, holder]),
                None if matches!(origin, Origin::Mount(_)) => grounded[part] |= part != self.part || across(direction),
                None => {}
            }
        }
        let others = structure.pieces.iter().enumerate().filter(|(piece, _)| !self.pieces.contains(piece));
        links.extend(others.map(|(_, piece)| piece.ends.map(|end| end.part)));
        let mut reached = vec![false; structure.parts.len()];
        let mut open = vec![self.part];
        while let Some(part) = open.pop() {
            if grounded[part] || self.far_ends.contains(&part) {
                return true;
            }
            if !std::mem::replace(&mut reached[part], true) {
                open.extend(links.iter().filter(|ends| ends.contains(&part)).flatten().filter(|end| !reached[**end]));
            }
        }
        false
    }

    /// The sentence, with what is attached there.
    fn warning(&self, model: &Model, structure: &Structure, tubes: &[String], node: &str) -> String {
        let is_here = |anchor: Anchor| structure.part_of(anchor) == self.part;
        let brackets = (0..model.brackets.len()).filter(|at| is_here(Anchor::Bracket(*at)));
        let mut attached: Vec<String> =
            brackets.map(|at| format!("bracket \"{}\"", model.anchor_name(Anchor::Bracket(at)))).collect();
        let bodies = model.bodies.iter().filter(|(_, body)| body.mounts.iter().any(|mount| is_here(mount.at)));
        attached.extend(bodies.map(|(name, _)| format!("body \"{name}\"")));
        let members = model.members.iter().filter(|(name, member)| {
            member.nodes.iter().any(|anchor| is_here(*anchor))
                && !self.tubes.iter().any(|tube| structure.tube_name(model, *tube) == **name)
        });
        attached.extend(members.map(|(name, _)| format!("member \"{name}\"")));
        if model.mounts.iter().any(|mount| is_here(mount.at)) {
            attached.push("its mount".to_owned());
        }
        let tubes: Vec<String> = tubes.iter().map(|tube| format!("\"{tube}\"")).collect();
        let (whose, gives) = match tubes.as_slice() {
            [one] => (format!("the column of {one} is"), one.clone()),
            all => (format!("the columns of {} are", all.join(" and ")), all.join(" and ")),
        };
        format!(
            "{whose} cut at node \"{node}\", as if held sideways there, but what is attached there leads to nothing that \
             holds across the tube ({}): if nothing else holds it, give {gives} a \"column_length\"",
            name_list(attached.iter().map(String::as_str))
        )
    }
}

/// The part at which two pieces of a run meet.
fn shared(structure: &Structure, one: usize, other: usize) -> usize {
    let [ends, others] = [one, other].map(|piece| structure.pieces[piece].ends.map(|end| end.part));
    if others.contains(&ends[0]) { ends[0] } else { ends[1] }
}
