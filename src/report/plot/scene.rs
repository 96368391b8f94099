//! What there is to draw, in space: every part with its place as drawn and how far it moved.
//!
//! Reads a model and its structure, and a solved state where there is one; gives a [`Scene`].
//! Knows nothing of paper.

use nalgebra::{Point3, Vector3};

use crate::model::{Anchor, Hold, LinkFoot, Model};
use crate::modes::ModeShape;
use crate::solve::{State, System};
use crate::structure::{PartKind, Structure, TubeName};

/// A point: its place as drawn (mm), and its movement (mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spot {
    /// Place as drawn.
    pub at: Point3<f64>,
    /// Movement.
    pub shift: Vector3<f64>,
}

impl Spot {
    /// The place after so many times its movement.
    pub(super) fn moved(&self, times: f64) -> Point3<f64> {
        self.at + self.shift * times
    }
}

/// A tube or spring as a line through spots.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Stick {
    /// Its name in results.
    pub name: String,
    /// Whether it is a spring.
    pub is_spring: bool,
    /// From the first end to the second.
    pub spots: Vec<Spot>,
    /// Which of the spots are joints: both ends, and where something stands on the tube.
    pub joints: Vec<usize>,
}

/// An upright: from its wheel centre to its contact patch and to the outer ends of its arms.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Upright {
    /// Centre of the wheel.
    pub centre: Spot,
    /// Contact patch.
    pub patch: Spot,
    /// Outer ends of arms and tie rod.
    pub outer: Vec<Spot>,
}

/// A body: its centre of gravity and what holds it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Mass {
    /// Its name.
    pub name: String,
    /// Mass, kg.
    pub mass_kg: f64,
    /// Centre of gravity.
    pub cg: Spot,
    /// Its mounts.
    pub mounts: Vec<Spot>,
}

/// Where the ground holds the frame.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Support {
    /// Name of the node or bracket.
    pub name: String,
    /// Where.
    pub spot: Spot,
    /// How.
    pub hold: Hold,
}

/// A node or bracket.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Point {
    /// Its name.
    pub name: String,
    /// Where.
    pub spot: Spot,
    /// Whether a corner part is attached to it, or the file calls it a pick-up.
    pub is_pickup: bool,
}

/// All that there is to draw.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Scene {
    /// Tubes of the frame, then of the corners, then springs: the tubes of the structure.
    pub sticks: Vec<Stick>,
    /// Rigid offsets: of brackets from their tubes, of tubes from their nodes.
    pub offsets: Vec<[Spot; 2]>,
    /// Uprights.
    pub uprights: Vec<Upright>,
    /// Bodies.
    pub masses: Vec<Mass>,
    /// Anti-roll bars and their links, as lines.
    pub bars: Vec<Vec<Spot>>,
    /// Mounts.
    pub supports: Vec<Support>,
    /// Nodes, then brackets.
    pub points: Vec<Point>,
    /// Whether the model is mirrored in the plane y = 0.
    pub mirror: bool,
}

/// Straight stretches in which the shape of a bent piece is drawn.
const STRETCHES: usize = 8;

/// Distance within which two points are one, mm.
const SAME_MM: f64 = 0.5;

impl Scene {
    /// A model at rest.
    pub(super) fn drawn(model: &Model, structure: &Structure) -> Scene {
        Gather { model, structure, movement: Movement::None }.scene()
    }

    /// A model under the loads of a case.
    pub(super) fn solved(model: &Model, system: &System, state: &State) -> Scene {
        Gather { model, structure: &system.structure, movement: Movement::State(system, state) }.scene()
    }

    /// A model in the shape of a mode.
    pub(super) fn of_mode(model: &Model, structure: &Structure, shape: &ModeShape) -> Scene {
        Gather { model, structure, movement: Movement::Mode(shape) }.scene()
    }

    /// Every spot: what must find room on the sheet.
    pub(super) fn spots(&self) -> impl Iterator<Item = &Spot> {
        self.sticks
            .iter()
            .flat_map(|stick| &stick.spots)
            .chain(self.offsets.iter().flatten())
            .chain(
                self.uprights
                    .iter()
                    .flat_map(|upright| [&upright.centre, &upright.patch].into_iter().chain(&upright.outer)),
            )
            .chain(self.masses.iter().flat_map(|mass| std::iter::once(&mass.cg).chain(&mass.mounts)))
            .chain(self.bars.iter().flatten())
            .chain(self.points.iter().map(|point| &point.spot))
    }

    /// The largest movement, mm.
    pub(super) fn largest_shift_mm(&self) -> f64 {
        self.spots().map(|spot| spot.shift.norm()).fold(0.0, f64::max)
    }

    /// The point of a name.
    pub(super) fn point(&self, name: &str) -> Option<&Point> {
        self.points.iter().find(|point| point.name == name)
    }
}

struct Gather<'m> {
    model: &'m Model,
    structure: &'m Structure,
    movement: Movement<'m>,
}

/// How what is drawn moves.
enum Movement<'m> {
    /// Not at all.
    None,
    /// As a case has it.
    State(&'m System, &'m State),
    /// As a mode has it.
    Mode(&'m ModeShape),
}

impl Gather<'_> {
    fn scene(&self) -> Scene {
        Scene {
            sticks: self.sticks(),
            offsets: self.offsets(),
            uprights: self.uprights(),
            masses: self.masses(),
            bars: self.bars(),
            supports: self
                .model
                .mounts
                .iter()
                .map(|mount| Support {
                    name: self.model.anchor_name(mount.at).to_owned(),
                    spot: self.anchor(mount.at),
                    hold: mount.hold,
                })
                .collect(),
            points: self.points(),
            mirror: self.model.mirror,
        }
    }

    fn spot(&self, part: usize, at: Point3<f64>) -> Spot {
        let shift = match self.movement {
            Movement::None => Vector3::zeros(),
            Movement::State(system, state) => state.motion(system, part, &at).0,
            Movement::Mode(shape) => shape.moving(self.structure, part, &at).shift,
        };
        Spot { at, shift }
    }

    fn anchor(&self, anchor: Anchor) -> Spot {
        self.spot(self.structure.part_of(anchor), self.model.anchor_at(anchor))
    }

    fn sticks(&self) -> Vec<Stick> {
        self.structure
            .tubes
            .iter()
            .enumerate()
            .map(|(at, tube)| {
                let (mut spots, mut joints) = (Vec::new(), Vec::new());
                for piece in tube.pieces.clone() {
                    let stretches = if matches!(self.movement, Movement::None) { 1 } else { STRETCHES };
                    joints.push(spots.len());
                    spots.extend((0..stretches).map(|part| self.on_piece(piece, part as f64 / stretches as f64)));
                }
                joints.push(spots.len());
                spots.push(self.on_piece(tube.pieces.end - 1, 1.0));
                Stick {
                    name: self.structure.tube_name(self.model, at),
                    is_spring: matches!(tube.name, TubeName::Spring(_)),
                    spots,
                    joints,
                }
            })
            .collect()
    }

    /// A spot on the axis of a piece, from the shape that it bends into.
    fn on_piece(&self, piece: usize, part: f64) -> Spot {
        let drawn = &self.structure.pieces[piece];
        let x_mm = drawn.axes.length_mm * part;
        let at = drawn.ends[0].at + drawn.axes.x() * x_mm;
        let shift = match self.movement {
            Movement::None => Vector3::zeros(),
            Movement::State(system, state) => {
                let solved = &state.pieces[piece];
                let local = solved.diagram.shift(&system.pieces[piece].beam, &solved.tube_motions, x_mm);
                drawn.axes.rotation.transpose() * local
            }
            Movement::Mode(shape) => shape.shift_along(drawn.tube, drawn.start_mm + x_mm),
        };
        Spot { at, shift }
    }

    /// Within each rigid part of the frame, the shortest lines that join its points.
    fn offsets(&self) -> Vec<[Spot; 2]> {
        let mut points: Vec<Vec<Point3<f64>>> = vec![Vec::new(); self.structure.parts.len()];
        let mut add = |part: usize, at: Point3<f64>| {
            if points[part].iter().all(|known| (known - at).norm() > SAME_MM) {
                points[part].push(at);
            }
        };
        for (part, at) in self.structure.anchor_points() {
            add(part, at);
        }
        for end in self.structure.pieces.iter().flat_map(|piece| &piece.ends) {
            add(end.part, end.at);
        }
        let of_frame = |part: &usize| self.structure.parts[*part].kind == PartKind::Frame;
        (0..points.len())
            .filter(of_frame)
            .flat_map(|part| {
                shortest_tree(&points[part]).into_iter().map(move |pair| pair.map(|at| self.spot(part, at)))
            })
            .collect()
    }

    fn uprights(&self) -> Vec<Upright> {
        self.structure
            .uprights
            .iter()
            .zip(&self.model.corners)
            .map(|(&part, corner)| {
                let mut outer: Vec<Point3<f64>> = Vec::new();
                let spring = corner.kind.spring();
                let foot = spring.filter(|spring| spring.on == LinkFoot::Upright).map(|spring| spring.bottom);
                for at in corner.kind.tubes().iter().map(|tube| tube.outer).chain(foot) {
                    if outer.iter().all(|known| (known - at).norm() > SAME_MM) {
                        outer.push(at);
                    }
                }
                Upright {
                    centre: self.spot(part, corner.wheel_centre),
                    patch: self.spot(part, corner.contact_patch),
                    outer: outer.into_iter().map(|at| self.spot(part, at)).collect(),
                }
            })
            .collect()
    }

    fn masses(&self) -> Vec<Mass> {
        self.model
            .bodies
            .iter()
            .zip(&self.structure.bodies)
            .map(|((name, body), &part)| Mass {
                name: name.clone(),
                mass_kg: body.mass_kg,
                cg: self.spot(part, body.cg),
                mounts: body.mounts.iter().map(|mount| self.anchor(mount.at)).collect(),
            })
            .collect()
    }

    /// From the foot of the left link along the bar to the foot of the right one. A bar is no part
    /// of the solution: its ends are drawn moving with its bearings.
    fn bars(&self) -> Vec<Vec<Spot>> {
        self.model
            .anti_roll
            .iter()
            .zip(&self.structure.bar_feet)
            .map(|(bar, feet)| {
                let [left, right] = [0, 1].map(|side: usize| {
                    let drawn = &bar.sides[side];
                    let bearing = self.anchor(drawn.bearing);
                    let end = Spot { at: drawn.end, shift: bearing.shift };
                    [self.spot(feet[side], drawn.foot), end, bearing]
                });
                left.into_iter().chain(right.into_iter().rev()).collect()
            })
            .collect()
    }

    fn points(&self) -> Vec<Point> {
        let model = self.model;
        let attached = model.pickups();
        model
            .anchors()
            .map(|anchor| {
                let named = matches!(anchor, Anchor::Node(at) if model.nodes[at].pickup);
                Point {
                    name: model.anchor_name(anchor).to_owned(),
                    spot: self.anchor(anchor),
                    is_pickup: named || attached.contains(&anchor),
                }
            })
            .collect()
    }
}

/// The shortest lines that join all points: each in turn from the nearest that is joined already.
fn shortest_tree(points: &[Point3<f64>]) -> Vec<[Point3<f64>; 2]> {
    let mut lines = Vec::new();
    let mut joined: Vec<usize> = (0..points.len().min(1)).collect();
    while joined.len() < points.len() {
        let next = (0..points.len())
            .filter(|point| !joined.contains(point))
            .flat_map(|point| joined.iter().map(move |from| (*from, point)))
            .reduce(|best, other| {
                let length = |(from, to): (usize, usize)| (points[from] - points[to]).norm();
                if length(other) < length(best) - 1e-9 { other } else { best }
            });
        let Some((from, to)) = next else { break };
        lines.push([points[from], points[to]]);
        joined.push(to);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tree_joins_all_points_by_the_shortest_lines() {
        let at = |x: f64| Point3::new(x, 0.0, 0.0);
        assert_eq!(shortest_tree(&[at(0.0), at(9.0), at(4.0)]), [[at(0.0), at(4.0)], [at(4.0), at(9.0)]]);
        assert!(shortest_tree(&[]).is_empty());
    }
}
