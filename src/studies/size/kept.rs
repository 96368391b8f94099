//! What is kept of a box that was searched by itself, and of a point of the curve against twist.

use schemars::{Schema, SchemaGenerator};
use serde_json::{Map, Value, json};

use super::boxes::{Searched, Spent};
use super::cut::{Used, in_set};
use super::problem::MOST_SIZES;
use super::trade::{FoundPoint, Reply, TradePoint};
use super::tree::{Closed, Node};
use super::trial::Fails;
use super::truss::{Dual, Narrowed};
use super::{Told, What};
use crate::checks::Check;
use crate::record;
use crate::source::{self, Read, Reader, visible};
use crate::studies::divided::Answer;
use crate::studies::scatter::CHECKS;

record! {
    /// What is kept of a box.
    KeptBox {
        /// The sizes that each group may have.
        sizes as "box": Vec<Vec<usize>> = Vec::new(),
        /// The lightest design that was known before, the size of each group.
        known: Option<Vec<usize>> = None,
        /// A lighter one that passes.
        best: Option<Vec<usize>> = None,
        /// No lighter design of the box passes, kg; absent: it is closed.
        none_under: Option<f64> = None,
        /// Boxes and linear programs looked at, designs read and checked.
        spent: [usize; 4] = [0; 4],
        /// Readings over their limits.
        cuts: Vec<KeptCut> = Vec::new(),
        /// The box and its parts.
        nodes: Vec<KeptNode> = Vec::new(),
        /// Stretches that were narrowed.
        narrowed: Vec<KeptNarrowed> = Vec::new(),
    }

    /// A reading over its limit.
    KeptCut {
        /// Which check.
        check: String,
        /// In which case.
        case: String,
        /// At which position of the adjusters.
        position: String = String::new(),
        /// Where.
        place as "where": String,
        /// Its value.
        value: f64,
        /// What is allowed.
        allowed: f64,
        /// The size of each group.
        design: Vec<usize>,
        /// A group and its size.
        only_with: Option<[usize; 2]> = None,
        /// Along which direction.
        along: Option<[f64; 3]> = None,
        /// Of a stress: at which distance along the tube, mm.
        at: Option<f64> = None,
        /// At which end of a piece.
        end: usize = 0,
        /// So much for n, my and mz.
        per: [f64; 3] = [0.0; 3],
    }

    /// A part of a box: open where it has none of these.
    KeptNode {
        /// The group by whose sizes it is cut in two, and the place of the first part; the other is behind it.
        split: Option<[usize; 2]> = None,
        /// The sizes of that group in both parts.
        sizes: [Vec<usize>; 2] = [Vec::new(), Vec::new()],
        /// Why it is closed, where that is a word.
        closed: Option<String> = None,
        /// Cuts that close it: number, t² and times of each.
        cuts: Option<Vec<[f64; 3]>> = None,
        /// The dual of a linear program that closes it.
        dual: Option<Dual> = None,
        /// Why it, one design, does not do.
        fails: Option<KeptFails> = None,
    }

    /// A stretch that was narrowed.
    KeptNarrowed {
        /// In which part of the box.
        node: usize,
        /// Under which right side.
        side: usize,
        /// Which tube.
        bar: usize,
        /// Which end of its range.
        end: usize,
        /// To how much, mm.
        to: f64,
        /// The mass of the best then, kg.
        at_most: f64,
        /// How it is shown.
        dual: Dual,
    }

    /// What shows a bound.
    KeptDual {
        /// Movements of each right side.
        v: Vec<Vec<f64>>,
        /// Forces of each right side.
        w: Vec<Vec<f64>>,
        /// Multipliers of the limits of each right side.
        limits: Vec<Vec<[f64; 2]>>,
        /// Of the mass of the best.
        mass: f64,
    }

    /// A point of the curve against twist; empty: there is none.
    KeptPoint {
        /// The least stiffness that was asked for, N·m/deg.
        at_least: Option<f64> = None,
        /// The stiffness, N·m/deg.
        twist: f64 = 0.0,
        /// The size of each group.
        design: Option<Vec<usize>> = None,
        /// Its mass, kg.
        mass: f64 = 0.0,
        /// No design is lighter, kg.
        none_under: f64 = 0.0,
        /// Whether it is the lightest that there is.
        proven: bool = false,
        /// Whether it was not searched, since what came of one before it tells enough.
        passed_over: bool = false,
    }

    /// Why a design does not do.
    KeptFails {
        /// Which check.
        check: Option<String> = None,
        /// In which case.
        case: String = String::new(),
        /// At which position of the adjusters.
        position: String = String::new(),
        /// Where.
        place as "where": String = String::new(),
        /// What was found.
        value: f64 = f64::INFINITY,
        /// What is allowed.
        allowed: f64 = f64::INFINITY,
        /// What is wrong where it cannot be solved.
        fault: Option<String> = None,
        /// How far it is over its limits.
        excess: f64 = f64::INFINITY,
    }
}

/// Words for boxes that are closed, one each.
const WORDS: [(&str, Closed); 3] = [("heavier", Closed::Heavier), ("passes", Closed::Passes), ("empty", Closed::Empty)];

/// An object of some keys, without those that have no value.
fn object<const N: usize>(keys: [(&str, Option<Value>); N]) -> Value {
    let there = keys.into_iter().filter_map(|(key, value)| Some((key.to_owned(), value?)));
    Value::Object(there.collect::<Map<String, Value>>())
}

fn some_text(text: &str) -> Option<Value> {
    (!text.is_empty()).then(|| json!(text))
}

/// JSON has no infinity: what is not there is infinite.
fn finite(value: f64) -> Option<Value> {
    value.is_finite().then(|| json!(value))
}

fn sizes_of(set: u128) -> Vec<usize> {
    in_set(set).collect()
}

/// A set of sizes; `None`: they do not rise, or there are not so many.
fn set_of(sizes: &[usize]) -> Option<u128> {
    let rises = sizes.windows(2).all(|pair| pair[0] < pair[1]) && sizes.last().is_some_and(|last| *last < MOST_SIZES);
    rises.then(|| sizes.iter().fold(0, |set, size| set | 1 << size))
}

impl Answer for Searched {
    fn written(&self) -> Value {
        let Spent { boxes, programs, read, checked } = self.spent;
        let narrowed = self.narrowed.iter().flat_map(|(node, all)| all.iter().map(|to| of_narrowed(*node, to)));
        object([
            ("box", Some(self.sizes.iter().map(|set| json!(sizes_of(*set))).collect())),
            ("known", self.known.as_ref().map(|design| json!(design))),
            ("best", self.best.as_ref().map(|design| json!(design))),
            ("none_under", self.least_kg.map(|least| json!(least))),
            ("spent", Some(json!([boxes, programs, read, checked]))),
            ("cuts", Some(self.cuts.iter().map(of_cut).collect())),
            ("nodes", Some(self.nodes.iter().map(of_node).collect())),
            ("narrowed", Some(narrowed.collect())),
        ])
    }

    fn is_whole(&self) -> bool {
        self.is_whole
    }
}

impl Answer for FoundPoint {
    fn written(&self) -> Value {
        let point = match &self.reply {
            Reply::Point(point) => point,
            Reply::Nothing => return json!({}),
            Reply::PassedOver => return json!({ "passed_over": true }),
        };
        object([
            ("at_least", point.at_least_nm_deg.map(|at_least| json!(at_least))),
            ("twist", Some(json!(point.twist_nm_deg))),
            ("design", Some(json!(point.sizes))),
            ("mass", Some(json!(point.mass_kg))),
            ("none_under", Some(json!(point.least_kg))),
            ("proven", Some(json!(point.is_proven))),
        ])
    }

    fn is_whole(&self) -> bool {
        self.is_whole
    }
}

impl Read for FoundPoint {
    fn read(node: &source::Node, reader: &mut Reader) -> Option<Self> {
        let kept = KeptPoint::read(node, reader)?;
        let KeptPoint { at_least, twist, design, mass, none_under, proven, passed_over } = kept;
        let point = design.map(|sizes| TradePoint {
            twist_nm_deg: twist,
            at_least_nm_deg: at_least,
            sizes,
            mass_kg: mass,
            least_kg: none_under,
            is_proven: proven,
        });
        let none = if passed_over { Reply::PassedOver } else { Reply::Nothing };
        Some(FoundPoint { reply: point.map_or(none, Reply::Point), is_whole: true })
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        KeptPoint::schema(generator)
    }
}

fn of_cut(cut: &Told) -> Value {
    let (mut along, mut stress) = (None, [None, None, None]);
    match &cut.what {
        What::Along(direction) => along = Some(json!(direction)),
        What::Angle | What::Push => {}
        What::Stress { at_mm, end, per } => stress = [Some(json!(at_mm)), Some(json!(end)), Some(json!(per))],
    }
    let [at, end, per] = stress;
    object([
        ("check", Some(json!(cut.check.name()))),
        ("case", Some(json!(cut.case))),
        ("position", some_text(&cut.position)),
        ("where", Some(json!(cut.place))),
        ("value", Some(json!(cut.value))),
        ("allowed", Some(json!(cut.allowed))),
        ("design", Some(json!(cut.at))),
        ("only_with", cut.only_with.map(|(group, size)| json!([group, size]))),
        ("along", along),
        ("at", at),
        ("end", end),
        ("per", per),
    ])
}

fn of_node(node: &Node) -> Value {
    match node {
        Node::Open => json!({}),
        Node::Split(group, sets, places) => {
            json!({ "split": [group, places[0]], "sizes": sets.map(sizes_of) })
        }
        Node::Closed(Closed::Cuts(by)) => {
            json!({ "cuts": by.iter().map(|used| json!([used.cut, used.t2, used.times])).collect::<Value>() })
        }
        Node::Closed(Closed::Program(dual)) => json!({ "dual": of_dual(dual) }),
        Node::Closed(Closed::Fails(fails)) => json!({ "fails": object([
            ("check", fails.check.map(|check| json!(check.name()))),
            ("case", some_text(&fails.case)),
            ("position", some_text(&fails.position)),
            ("where", some_text(&fails.place)),
            ("value", finite(fails.value)),
            ("allowed", finite(fails.allowed)),
            ("fault", fails.fault.as_ref().map(|fault| json!(fault))),
            ("excess", finite(fails.excess)),
        ]) }),
        Node::Closed(closed) => {
            let word = WORDS.iter().find(|(_, own)| own == closed).map(|(word, _)| word);
            json!({ "closed": word.expect("all others have a word") })
        }
    }
}

fn of_dual(dual: &Dual) -> Value {
    let v = dual.v.iter().map(|v| v.iter().map(|v| json!(v)).collect::<Value>());
    json!({ "v": v.collect::<Value>(), "w": dual.w, "limits": dual.limits, "mass": dual.mass })
}

fn of_narrowed(node: usize, to: &Narrowed) -> Value {
    json!({
        "node": node,
        "side": to.side,
        "bar": to.bar,
        "end": to.end,
        "to": to.to_mm,
        "at_most": to.at_most_kg,
        "dual": of_dual(&to.by),
    })
}

fn check_of(name: &str, node: &source::Node, reader: &mut Reader) -> Option<Check> {
    let known = CHECKS.into_iter().find(|known| known.name() == name);
    known.or_else(|| reader.refuse(node, format!("there is no check \"{}\"", visible(name))))
}

impl Read for Searched {
    fn read(node: &source::Node, reader: &mut Reader) -> Option<Self> {
        let KeptBox { sizes, known, best, none_under, spent, cuts, nodes, narrowed } = KeptBox::read(node, reader)?;
        let Some(sizes) = sizes.iter().map(|sizes| set_of(sizes)).collect() else {
            return reader.refuse(node, "the sizes of a group rise, and there is one at least");
        };
        let mut told = Vec::with_capacity(cuts.len());
        for cut in cuts {
            told.push(cut_of(cut, node, reader)?);
        }
        let mut parts = Vec::with_capacity(nodes.len());
        for part in nodes {
            parts.push(node_of(part, node, reader)?);
        }
        let [boxes, programs, read, checked] = spent.map(|count| count as u64);
        Some(Searched {
            sizes,
            known,
            best,
            least_kg: none_under,
            spent: Spent { boxes, programs, read, checked },
            cuts: told,
            nodes: parts,
            narrowed: together(narrowed),
            is_whole: true,
        })
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        KeptBox::schema(generator)
    }
}

impl Read for Dual {
    fn read(node: &source::Node, reader: &mut Reader) -> Option<Self> {
        let KeptDual { v, w, limits, mass } = KeptDual::read(node, reader)?;
        Some(Dual { v: v.into_iter().map(Into::into).collect(), w, limits, mass })
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        KeptDual::schema(generator)
    }
}

fn cut_of(cut: KeptCut, node: &source::Node, reader: &mut Reader) -> Option<Told> {
    let KeptCut { check, case, position, place, value, allowed, design, only_with, along, at, end, per } = cut;
    let check = check_of(&check, node, reader)?;
    let what = match (along, at) {
        (Some(along), _) => What::Along(along),
        (None, Some(at_mm)) => What::Stress { at_mm, end, per },
        (None, None) if matches!(check, Check::Buckling | Check::Column) => What::Push,
        (None, None) => What::Angle,
    };
    let only_with = only_with.map(|[group, size]| (group, size));
    Some(Told { check, case, position, place, what, value, allowed, at: design, only_with })
}

fn node_of(kept: KeptNode, node: &source::Node, reader: &mut Reader) -> Option<Node> {
    let KeptNode { split, sizes, closed, cuts, dual, fails } = kept;
    if let Some([group, first]) = split {
        let [Some(one), Some(other)] = sizes.map(|sizes| set_of(&sizes)) else {
            return reader.refuse(node, "a box is cut into sets of sizes that rise, one size at least in each");
        };
        return Some(Node::Split(group, [one, other], [first, first.saturating_add(1)]));
    }
    if let Some(word) = closed {
        let Some((_, closed)) = WORDS.into_iter().find(|(known, _)| *known == word) else {
            return reader.refuse(node, format!("no box is closed by \"{}\"", visible(&word)));
        };
        return Some(Node::Closed(closed));
    }
    if let Some(cuts) = cuts {
        // A number that is none becomes one that no cut has.
        let used = |[cut, t2, times]: [f64; 3]| Used {
            cut: if cut.fract() == 0.0 { cut as usize } else { usize::MAX },
            t2,
            times,
        };
        return Some(Node::Closed(Closed::Cuts(cuts.into_iter().map(used).collect())));
    }
    if let Some(dual) = dual {
        return Some(Node::Closed(Closed::Program(Box::new(dual))));
    }
    let Some(KeptFails { check, case, position, place, value, allowed, fault, excess }) = fails else {
        return Some(Node::Open);
    };
    let check = match check {
        Some(name) => Some(check_of(&name, node, reader)?),
        None => None,
    };
    let fails = Fails { check, case, position, place, value, allowed, fault, excess };
    Some(Node::Closed(Closed::Fails(Box::new(fails))))
}

/// Those of one part of a box together, in the order that they stand in.
fn together(kept: Vec<KeptNarrowed>) -> Vec<(usize, Vec<Narrowed>)> {
    let mut all: Vec<(usize, Vec<Narrowed>)> = Vec::new();
    for KeptNarrowed { node, side, bar, end, to, at_most, dual } in kept {
        let narrowed = Narrowed { side, bar, end, to_mm: to, by: dual, at_most_kg: at_most };
        match all.last_mut().filter(|(last, _)| *last == node) {
            Some((_, of_node)) => of_node.push(narrowed),
            None => all.push((node, vec![narrowed])),
        }
    }
    all
}
