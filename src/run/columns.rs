//! Which straight runs of tube buckle as one column.
//!
//! The whole straight run of collinear members (within 2 degrees, same tube) through nodes at
//! which nothing else is attached; a corner's tubes end to end.

use std::ops::Range;

use crate::beam::Diagram;
use crate::checks::{ColumnForces, equivalent_moment_factor};
use crate::model::{Anchor, BracketFoot, Model, TubeRef};
use crate::section::InternalForces;
use crate::solve::State;
use crate::structure::{STRAIGHT_WITHIN_DEG, Structure, TubeName};

/// A straight run: pieces in order from one end, and whether each is run through backwards.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Run {
    /// Pieces of the structure.
    pub pieces: Vec<(usize, bool)>,
    /// Length, mm.
    pub length_mm: f64,
}

/// The runs that each tube of the structure is part of; none for springs.
pub(super) fn runs(model: &Model, structure: &Structure) -> Vec<Vec<Run>> {
    let topology = Topology::new(model, structure);
    structure
        .tubes
        .iter()
        .map(|tube| match tube.name {
            TubeName::Spring(_) => Vec::new(),
            TubeName::Tube(TubeRef::Corner { .. }) => vec![topology.run(forwards(tube.pieces.clone()))],
            TubeName::Tube(TubeRef::Member(member)) => topology.runs_of_member(member, tube.pieces.clone()),
        })
        .collect()
}

fn forwards(pieces: Range<usize>) -> Vec<(usize, bool)> {
    pieces.map(|piece| (piece, false)).collect()
}

struct Topology<'m> {
    model: &'m Model,
    structure: &'m Structure,
    /// For each node the members that touch it, and at which of their places.
    at_node: Vec<Vec<(usize, usize)>>,
    /// For each node whether anything but members is attached.
    other: Vec<bool>,
}

impl<'m> Topology<'m> {
    fn new(model: &'m Model, structure: &'m Structure) -> Self {
        let n = model.nodes.len();
        let mut topology = Self { model, structure, at_node: vec![Vec::new(); n], other: vec![false; n] };
        for (member, drawn) in model.members.values().enumerate() {
            for (place, anchor) in drawn.nodes.iter().enumerate() {
                if let Anchor::Node(node) = anchor {
                    topology.at_node[*node].push((member, place));
                }
            }
        }
        let brackets = model.brackets.values().filter_map(|bracket| match bracket.on {
            BracketFoot::Node(node) => Some(Anchor::Node(node)),
            BracketFoot::Tubes(_) => None,
        });
        let mounts = model.mounts.iter().map(|mount| mount.at);
        let bodies = model.bodies.values().flat_map(|body| body.mounts.iter().map(|mount| mount.at));
        let corners = model.corners.iter().flat_map(|corner| corner.kind.anchors());
        let bearings = model.anti_roll.iter().flat_map(|bar| bar.sides.iter().map(|side| side.bearing));
        for anchor in brackets.chain(mounts).chain(bodies).chain(corners).chain(bearings) {
            if let Anchor::Node(node) = anchor {
                topology.other[node] = true;
            }
        }
        topology
    }

    fn run(&self, pieces: Vec<(usize, bool)>) -> Run {
        let length_mm = pieces.iter().map(|(piece, _)| self.structure.pieces[*piece].axes.length_mm).sum();
        Run { pieces, length_mm }
    }

    /// Direction of a piece as it is run through.
    fn direction(&self, (piece, backwards): (usize, bool)) -> nalgebra::Vector3<f64> {
        let x = self.structure.pieces[piece].axes.x();
        if backwards { -x } else { x }
    }

    fn is_straight(&self, one: (usize, bool), next: (usize, bool)) -> bool {
        self.direction(one).angle(&self.direction(next)) <= STRAIGHT_WITHIN_DEG.to_radians()
    }

    /// The stretches of a member between bends and nodes that something else is attached to, as
    /// pieces of its tube.
    fn stretches(&self, member: usize) -> Vec<Vec<(usize, bool)>> {
        let name = TubeName::Tube(TubeRef::Member(member));
        let Some(tube) = self.structure.tube(name) else {
            return Vec::new();
        };
        let mut stretches: Vec<Vec<(usize, bool)>> = Vec::new();
        for piece in self.structure.tubes[tube].pieces.clone() {
            let goes_on = stretches.last().and_then(|stretch| stretch.last()).is_some_and(|last| {
                let part = self.structure.pieces[piece].ends[0].part;
                let held = self.structure.parts[part].anchors.iter().any(|anchor| self.is_held(member, *anchor));
                !held && self.is_straight(*last, (piece, false))
            });
            match stretches.last_mut() {
                Some(stretch) if goes_on => stretch.push((piece, false)),
                _ => stretches.push(vec![(piece, false)]),
            }
        }
        stretches
    }

    /// Whether an inner node of a member has anything else attached.
    fn is_held(&self, member: usize, anchor: Anchor) -> bool {
        match anchor {
            Anchor::Node(node) => self.other[node] || self.at_node[node].iter().any(|(other, _)| *other != member),
            Anchor::Bracket(_) => false,
        }
    }

    fn runs_of_member(&self, member: usize, pieces: Range<usize>) -> Vec<Run> {
        let mut runs = Vec::new();
        for stretch in self.stretches(member) {
            let mut whole = stretch.clone();
            if stretch.last().is_some_and(|last| last.0 + 1 == pieces.end) {
                self.extend(member, true, &mut whole);
            }
            if stretch.first().is_some_and(|first| first.0 == pieces.start) {
                let mut before: Vec<(usize, bool)> = whole.iter().rev().map(|(piece, back)| (*piece, !back)).collect();
                self.extend(member, false, &mut before);
                whole = before.into_iter().rev().map(|(piece, back)| (piece, !back)).collect();
            }
            runs.push(self.run(whole));
        }
        runs
    }

    /// Goes on through nodes where one other collinear member of the same tube meets this one and
    /// nothing else is attached. `at_second`: from the member's second end, else from its first.
    fn extend(&self, mut member: usize, mut at_second: bool, run: &mut Vec<(usize, bool)>) {
        loop {
            let drawn = &self.model.members[member];
            let place = if at_second { drawn.nodes.len() - 1 } else { 0 };
            let Anchor::Node(node) = drawn.nodes[place] else { return };
            let [one, other] = self.at_node[node].as_slice() else { return };
            if self.other[node] {
                return;
            }
            let next = if *one == (member, place) { *other } else { *one };
            let next_drawn = &self.model.members[next.0];
            let last_place = next_drawn.nodes.len() - 1;
            if next.0 == member || next_drawn.tube != drawn.tube || (next.1 != 0 && next.1 != last_place) {
                return;
            }
            let enters_at_first = next.1 == 0;
            let mut stretches = self.stretches(next.0);
            let stretch = if enters_at_first { stretches.first().cloned() } else { stretches.pop() };
            let Some(mut stretch) = stretch else { return };
            if !enters_at_first {
                stretch = stretch.into_iter().rev().map(|(piece, _)| (piece, true)).collect();
            }
            let (Some(last), Some(first)) = (run.last(), stretch.first()) else { return };
            let whole_member = self.stretches(next.0).len() == 1;
            if !self.is_straight(*last, *first) || run.iter().any(|(piece, _)| *piece == first.0) {
                return;
            }
            run.extend(stretch);
            if !whole_member {
                return;
            }
            (member, at_second) = (next.0, enters_at_first);
        }
    }
}

/// What acts on a run: the largest push and moments, and the shape of the moment diagrams.
pub(super) fn forces_on_run(structure: &Structure, state: &State, run: &Run) -> ColumnForces {
    let first = run.pieces[0];
    let reference = structure.pieces[first.0].axes;
    let (mut push_n, mut my_nmm, mut mz_nmm) = (0.0_f64, 0.0_f64, 0.0_f64);
    let mut aligned = true;
    let mut point_loads = false;
    let mut stations: Vec<(f64, [f64; 2])> = Vec::new();
    let mut start = 0.0;
    for (place, (piece, backwards)) in run.pieces.iter().enumerate() {
        let drawn = &structure.pieces[*piece];
        let diagram = &state.pieces[*piece].diagram;
        let side = if *backwards != first.1 { -1.0 } else { 1.0 };
        let (y, z) = (drawn.axes.y(), drawn.axes.z());
        aligned &= y.dot(&reference.y()).abs() > STRAIGHT_WITHIN_DEG.to_radians().cos();
        point_loads |= place > 0;
        let length = drawn.axes.length_mm;
        for x in extremes(diagram) {
            let f = diagram.at(x);
            push_n = push_n.max(-f.n);
            my_nmm = my_nmm.max(f.my.abs());
            mz_nmm = mz_nmm.max(f.mz.abs());
            let vector = (y * f.my + z * f.mz) * side;
            let at = if *backwards { start + length - x } else { start + x };
            stations.push((at, [vector.dot(&reference.y()), vector.dot(&reference.z())]));
        }
        start += length;
    }
    let cm = if aligned {
        let middle = moments_at(structure, state, run, start / 2.0, &reference);
        [0, 1].map(|axis: usize| shape_factor(&stations, axis, start, middle[axis], point_loads))
    } else {
        [1.0, 1.0]
    };
    ColumnForces { push_n, my_nmm, mz_nmm, cm }
}

/// Both ends of a piece, and where its moments are stationary.
pub(super) fn extremes(diagram: &Diagram) -> Vec<f64> {
    let (f, q): (&InternalForces, _) = (&diagram.first, &diagram.load_n_mm);
    let mut places = vec![0.0, diagram.length_mm];
    for (shear, load) in [(f.vz, q.z), (f.vy, q.y)] {
        let x = shear / load;
        if x.is_finite() && x > 0.0 && x < diagram.length_mm {
            places.push(x);
        }
    }
    places
}

/// Moments about the reference axes at a distance along a run.
fn moments_at(structure: &Structure, state: &State, run: &Run, at_mm: f64, reference: &crate::beam::Axes) -> [f64; 2] {
    let first = run.pieces[0];
    let mut start = 0.0;
    for (piece, backwards) in &run.pieces {
        let drawn = &structure.pieces[*piece];
        let length = drawn.axes.length_mm;
        if at_mm <= start + length {
            let x = if *backwards { start + length - at_mm } else { at_mm - start };
            let f = state.pieces[*piece].diagram.at(x.clamp(0.0, length));
            let side = if *backwards != first.1 { -1.0 } else { 1.0 };
            let vector = (drawn.axes.y() * f.my + drawn.axes.z() * f.mz) * side;
            return [vector.dot(&reference.y()), vector.dot(&reference.z())];
        }
        start += length;
    }
    [0.0, 0.0]
}

/// C_m of one axis; 1 where the largest moment is neither at an end nor at midspan, since Table
/// B.3 does not cover such a diagram.
fn shape_factor(stations: &[(f64, [f64; 2])], axis: usize, length: f64, middle: f64, point_loads: bool) -> f64 {
    let nearest = |wanted: f64| {
        stations
            .iter()
            .min_by(|one, other| (one.0 - wanted).abs().total_cmp(&(other.0 - wanted).abs()))
            .map_or(0.0, |station| station.1[axis])
    };
    let (first, second) = (nearest(0.0), nearest(length));
    let largest = stations.iter().map(|station| station.1[axis].abs()).fold(0.0, f64::max);
    if largest > 1.01 * first.abs().max(second.abs()).max(middle.abs()) {
        return 1.0;
    }
    equivalent_moment_factor(first, second, middle, point_loads)
}
