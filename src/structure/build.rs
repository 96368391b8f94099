//! Takes a model apart.

use nalgebra::Point3;

use std::collections::HashMap;

use super::chords::welded_ends;
use super::feet::{Axis, Foot, same_place};
use super::holding::{hold_mounts, hold_what_is_left_out, join, tie_ball};
use super::tube_on_tube::tube_on_tube;
use super::union::Union;
use super::{Origin, Part, PartKind, Piece, PieceEnd, Purpose, Structure, Tube, TubeName};
use crate::beam::{Axes, Joint};
use crate::model::{
    Anchor, BracketFoot, Corner, Fault, LinkFoot, Member, Model, Orientation, OuterEnd, TubeRef, Wheel,
};
use crate::path;
use crate::section::{Bar, Finish, Material, Section};

/// Young's modulus of the round steel bar that a spring is as stiff as, MPa.
const SPRING_YOUNGS_MPA: f64 = 210_000.0;

/// Takes a model apart for a purpose.
///
/// # Errors
/// A plate that would weld two bodies or uprights to one another.
pub fn build(model: &Model, purpose: Purpose) -> Result<Structure, Fault> {
    let mut builder = Builder::new(model, purpose);
    builder.stand_brackets_on_nodes();
    builder.stand_feet_on_tubes();
    builder.finish()
}

/// The joints of all ends that are asked to turn as tube on tube does, and can; the others are welds.
fn turning_joints(model: &Model) -> HashMap<(usize, usize), Joint> {
    if !model.members.values().any(|member| member.tube_on_tube.contains(&true)) {
        return HashMap::new();
    }
    let asked = welded_ends(model).into_iter().filter(|end| model.members[end.member].tube_on_tube[end.end]);
    asked.filter_map(|end| Some(((end.member, end.end), tube_on_tube(model, &end).ok()?.1))).collect()
}

/// A tube before it is cut into pieces.
struct Draft {
    name: TubeName,
    size: Option<usize>,
    section: Section,
    material: Material,
    axis: Axis,
    orientation: Orientation,
    joints: [Joint; 2],
    welded: [bool; 2],
    /// The points of the ends and inner nodes, as the union knows them.
    points: Vec<usize>,
    /// A point on the tube's side of the joint at each end, where something is welded on there.
    own_ends: [Option<usize>; 2],
    /// What stands between: distance, place, point; unsorted.
    stations: Vec<(f64, Point3<f64>, usize)>,
    welds_mm: Vec<f64>,
}

struct Builder<'m> {
    model: &'m Model,
    purpose: Purpose,
    union: Union,
    /// Place of each point of the union.
    places: Vec<Point3<f64>>,
    /// Points that are bodies and uprights.
    masters: Vec<(usize, PartKind)>,
    drafts: Vec<Draft>,
    /// Balls: point of the arm, corner.
    balls: Vec<(usize, usize)>,
    /// Points of the left and right foot of each anti-roll bar.
    bar_feet: Vec<[usize; 2]>,
    /// The joints of members that turn as tube on tube does: member, end.
    turning: HashMap<(usize, usize), Joint>,
}

impl<'m> Builder<'m> {
    fn new(model: &'m Model, purpose: Purpose) -> Self {
        let mut builder = Self {
            model,
            purpose,
            union: Union::default(),
            places: Vec::new(),
            masters: Vec::new(),
            drafts: Vec::new(),
            balls: Vec::new(),
            bar_feet: Vec::new(),
            turning: turning_joints(model),
        };
        for anchor in model.anchors() {
            builder.add_point(model.anchor_at(anchor));
        }
        for (at, body) in model.bodies.values().enumerate() {
            let point = builder.add_point(body.cg);
            builder.masters.push((point, PartKind::Body(at)));
        }
        for (at, member) in model.members.values().enumerate() {
            let draft = builder.draft_member(at, member);
            builder.drafts.push(draft);
        }
        for (at, corner) in builder.corners() {
            builder.draft_corner(at, corner);
        }
        builder
    }

    /// The corners that are part of the structure.
    fn corners(&self) -> impl Iterator<Item = (usize, &'m Corner)> + use<'m> {
        let corners = match self.purpose {
            Purpose::Statics => self.model.corners.as_slice(),
            Purpose::Vibration => &[],
        };
        corners.iter().enumerate()
    }

    fn add_point(&mut self, at: Point3<f64>) -> usize {
        self.places.push(at);
        self.union.add()
    }

    fn point_of(&self, anchor: Anchor) -> usize {
        match anchor {
            Anchor::Node(at) => at,
            Anchor::Bracket(at) => self.model.nodes.len() + at,
        }
    }

    fn draft_member(&self, at: usize, member: &Member) -> Draft {
        let size = &self.model.tubes[member.tube];
        let axis = Axis::new(self.model.member_axis(member));
        let name = TubeRef::Member(at);
        let welds_mm = (1..member.nodes.len() - 1)
            .filter(|place| {
                let node = member.nodes[*place];
                self.another_tube_is_welded_on(at, node) || self.a_bracket_stands_on(node)
            })
            .map(|place| axis.stops_mm[place])
            .collect();
        Draft {
            name: TubeName::Tube(name),
            size: Some(member.tube),
            section: size.section,
            material: *self.model.material_of(member.tube),
            orientation: member.orientation,
            joints: [0, 1].map(|end| self.turning.get(&(at, end)).copied().unwrap_or(member.joints[end])),
            welded: member.welded,
            points: member.nodes.iter().map(|anchor| self.point_of(*anchor)).collect(),
            own_ends: [None; 2],
            stations: Vec::new(),
            welds_mm,
            axis,
        }
    }

    /// Whether another tube of the frame is welded on a node, or runs through it.
    fn another_tube_is_welded_on(&self, this: usize, node: Anchor) -> bool {
        self.model.members.values().enumerate().any(|(at, member)| {
            let last = member.nodes.len() - 1;
            at != this
                && member.nodes.iter().enumerate().any(|(place, other)| {
                    let welded = match place {
                        0 => member.welded[0],
                        _ if place == last => member.welded[1],
                        _ => true,
                    };
                    *other == node && welded
                })
        })
    }

    /// Whether a bracket stands on a node; where a tube runs through it, the bracket is welded to that.
    fn a_bracket_stands_on(&self, anchor: Anchor) -> bool {
        self.model.brackets.values().any(|bracket| match bracket.on {
            BracketFoot::Node(node) => anchor == Anchor::Node(node),
            BracketFoot::Tubes(_) => false,
        })
    }

    fn draft_corner(&mut self, at: usize, corner: &Corner) {
        let upright = self.add_point(corner.wheel_centre);
        self.masters.push((upright, PartKind::Upright(at)));
        let mut arms: Vec<(&'static str, usize)> = Vec::new();
        for (place, tube) in corner.kind.tubes().into_iter().enumerate() {
            let (outer, joint) = match tube.outer_end {
                OuterEnd::RodEnd => (upright, Joint::ROD_END),
                OuterEnd::Upright => (upright, Joint::WELD),
                OuterEnd::Ball => {
                    let known = arms.iter().find(|(known, _)| Some(*known) == tube.arm).map(|(_, point)| *point);
                    let point = known.unwrap_or_else(|| {
                        let point = self.add_point(tube.outer);
                        self.balls.push((point, at));
                        arms.extend(tube.arm.map(|arm| (arm, point)));
                        point
                    });
                    (point, Joint::WELD)
                }
            };
            let size = &self.model.tubes[tube.tube];
            self.drafts.push(Draft {
                name: TubeName::Tube(TubeRef::Corner { corner: at, tube: place }),
                size: Some(tube.tube),
                section: size.section,
                material: *self.model.material_of(tube.tube),
                axis: Axis::new(vec![self.model.anchor_at(tube.inner), tube.outer]),
                orientation: tube.orientation,
                joints: [Joint::ROD_END, joint],
                welded: [false, joint.is_weld()],
                points: vec![self.point_of(tube.inner), outer],
                own_ends: [None; 2],
                stations: Vec::new(),
                welds_mm: Vec::new(),
            });
        }
    }

    /// Brackets on nodes are one with their node.
    fn stand_brackets_on_nodes(&mut self) {
        for (at, bracket) in self.model.brackets.values().enumerate() {
            if let BracketFoot::Node(node) = bracket.on {
                self.union.unite(node, self.model.nodes.len() + at);
            }
        }
    }

    /// Brackets, springs and bar links on tubes; a list of tubes is tied by a rigid plate.
    fn stand_feet_on_tubes(&mut self) {
        for (at, bracket) in self.model.brackets.values().enumerate() {
            if let BracketFoot::Tubes(tubes) = &bracket.on {
                let point = self.model.nodes.len() + at;
                for tube in tubes {
                    if let Some(draft) = self.draft_of(*tube) {
                        self.stand_on(point, draft);
                    }
                }
            }
        }
        for (at, corner) in self.corners() {
            let Some(spring) = corner.kind.spring() else { continue };
            let bottom = self.link_foot(at, &spring.on, spring.bottom);
            let bar = Bar { od_mm: spring.rod_mm };
            let material = Material {
                youngs_modulus_mpa: SPRING_YOUNGS_MPA,
                shear_modulus_mpa: SPRING_YOUNGS_MPA / 2.6,
                density_kg_m3: 0.0,
                yield_mpa: f64::INFINITY,
                ultimate_mpa: f64::INFINITY,
                yield_at_weld_mpa: f64::INFINITY,
                finish: Finish::Cold,
            };
            self.drafts.push(Draft {
                name: TubeName::Spring(at),
                size: None,
                section: bar.into(),
                material,
                axis: Axis::new(vec![self.model.anchor_at(spring.top), spring.bottom]),
                orientation: Orientation::default(),
                joints: [Joint::ROD_END; 2],
                welded: [false; 2],
                points: vec![self.point_of(spring.top), bottom],
                own_ends: [None; 2],
                stations: Vec::new(),
                welds_mm: Vec::new(),
            });
        }
        let bars = match self.purpose {
            Purpose::Statics => self.model.anti_roll.as_slice(),
            Purpose::Vibration => &[],
        };
        for bar in bars {
            let feet = [0, 1].map(|place: usize| {
                let (wheel, side) = (Wheel::of_axle(bar.axle, place == 0), &bar.sides[place]);
                let corner = self.model.corner_index(wheel);
                self.link_foot(corner.expect("a bar's axle has both corners"), &side.on, side.foot)
            });
            self.bar_feet.push(feet);
        }
    }

    /// The point that holds the outer end of a spring or of a bar's link.
    fn link_foot(&mut self, corner: usize, on: &LinkFoot, at: Point3<f64>) -> usize {
        match on {
            LinkFoot::Upright => self.upright(corner),
            LinkFoot::Tubes(tubes) => {
                let point = self.add_point(at);
                for &tube in tubes {
                    if let Some(draft) = self.draft_of(TubeRef::Corner { corner, tube }) {
                        self.stand_on(point, draft);
                    }
                }
                point
            }
        }
    }

    fn upright(&self, corner: usize) -> usize {
        let found = self.masters.iter().find(|(_, kind)| *kind == PartKind::Upright(corner));
        found.map(|(point, _)| *point).expect("every corner was given its upright")
    }

    fn draft_of(&self, tube: TubeRef) -> Option<usize> {
        self.drafts.iter().position(|draft| draft.name == TubeName::Tube(tube))
    }

    /// Welds a point to a tube, at the place of the tube that is nearest to it.
    fn stand_on(&mut self, point: usize, draft: usize) {
        let foot = self.drafts[draft].axis.foot(&self.places[point]);
        match foot {
            Foot::End(end) => {
                let own = self.own_end(draft, end);
                self.union.unite(point, own);
                let at_mm = if end == 0 { 0.0 } else { self.drafts[draft].axis.length_mm() };
                self.drafts[draft].welds_mm.push(at_mm);
            }
            Foot::Inner(place) => {
                self.union.unite(point, self.drafts[draft].points[place]);
                let at_mm = self.drafts[draft].axis.stops_mm[place];
                self.drafts[draft].welds_mm.push(at_mm);
            }
            Foot::Between { at_mm, at } => {
                let known = self.drafts[draft].stations.iter().find(|station| same_place(station.0, at_mm)).copied();
                let (at_mm, station) = match known {
                    Some((at_mm, _, station)) => (at_mm, station),
                    None => {
                        let station = self.add_point(at);
                        self.drafts[draft].stations.push((at_mm, at, station));
                        (at_mm, station)
                    }
                };
                self.union.unite(point, station);
                self.drafts[draft].welds_mm.push(at_mm);
            }
        }
    }

    /// The point on the tube's side of the joint at one of its ends.
    fn own_end(&mut self, draft: usize, end: usize) -> usize {
        let drawn = &self.drafts[draft];
        let last = drawn.points.len() - 1;
        if drawn.joints[end].is_weld() {
            return drawn.points[end * last];
        }
        if let Some(own) = drawn.own_ends[end] {
            return own;
        }
        let at = drawn.axis.points[end * last];
        let own = self.add_point(at);
        self.drafts[draft].own_ends[end] = Some(own);
        own
    }

    fn finish(mut self) -> Result<Structure, Fault> {
        let (part_of_point, parts) = self.parts()?;
        let mut structure = Structure {
            anchors: (0..self.model.nodes.len() + self.model.brackets.len())
                .map(|point| part_of_point[point])
                .collect(),
            places: self.model.anchors().map(|anchor| self.model.anchor_at(anchor)).collect(),
            n_nodes: self.model.nodes.len(),
            bodies: Vec::new(),
            uprights: Vec::new(),
            parts,
            tubes: Vec::new(),
            pieces: Vec::new(),
            ties: Vec::new(),
            springs: Vec::new(),
            bar_feet: self.bar_feet.iter().map(|feet| feet.map(|point| part_of_point[point])).collect(),
        };
        for (point, kind) in &self.masters {
            match kind {
                PartKind::Body(_) => structure.bodies.push(part_of_point[*point]),
                PartKind::Upright(_) => structure.uprights.push(part_of_point[*point]),
                PartKind::Frame => {}
            }
        }
        self.drafts.sort_by_key(|draft| matches!(draft.name, TubeName::Spring(_)));
        for draft in &self.drafts {
            lay(draft, &part_of_point, &mut structure);
        }
        for (point, corner) in &self.balls {
            tie_ball(*corner, part_of_point[*point], self.places[*point], &mut structure);
        }
        hold_mounts(self.model, &mut structure);
        if self.purpose == Purpose::Vibration {
            hold_what_is_left_out(&mut structure);
        }
        Ok(structure)
    }

    /// The sets of points as parts, in the order of their first points.
    fn parts(&self) -> Result<(Vec<usize>, Vec<Part>), Fault> {
        let mut parts: Vec<Part> = Vec::new();
        let mut part_of_point = vec![usize::MAX; self.union.count()];
        let n_anchors = self.model.nodes.len() + self.model.brackets.len();
        for point in 0..self.union.count() {
            let first = self.union.first(point);
            if first == point {
                part_of_point[point] = parts.len();
                parts.push(Part { kind: PartKind::Frame, origin: self.places[point], anchors: Vec::new() });
            }
            let part = part_of_point[first];
            part_of_point[point] = part;
            if point < n_anchors {
                let anchor = if point < self.model.nodes.len() {
                    Anchor::Node(point)
                } else {
                    Anchor::Bracket(point - self.model.nodes.len())
                };
                parts[part].anchors.push(anchor);
            }
        }
        for (point, kind) in &self.masters {
            let part = &mut parts[part_of_point[*point]];
            if part.kind != PartKind::Frame {
                let names =
                    part.anchors.iter().map(|anchor| self.model.anchor_name(*anchor)).next().unwrap_or_default();
                return Err(Fault::new(
                    path!["brackets", names, "on"],
                    "the plate would weld two bodies or uprights to one another",
                ));
            }
            part.kind = *kind;
            part.origin = self.places[*point];
        }
        Ok((part_of_point, parts))
    }
}

/// Divides a tube into its pieces where something stands on it, and joins its ends.
fn lay(draft: &Draft, part_of_point: &[usize], structure: &mut Structure) {
    let tube = structure.tubes.len();
    let first_piece = structure.pieces.len();
    let last = draft.points.len() - 1;
    let end_part = |end: usize| part_of_point[draft.own_ends[end].unwrap_or(draft.points[end * last])];
    let mut stops: Vec<(f64, Point3<f64>, usize)> = draft
        .axis
        .points
        .iter()
        .enumerate()
        .map(|(place, at)| {
            let part = match place {
                0 => end_part(0),
                _ if place == last => end_part(1),
                _ => part_of_point[draft.points[place]],
            };
            (draft.axis.stops_mm[place], *at, part)
        })
        .collect();
    stops.extend(draft.stations.iter().map(|(at_mm, at, point)| (*at_mm, *at, part_of_point[*point])));
    stops.sort_by(|one, other| one.0.total_cmp(&other.0));
    // The joint belongs to the piece where the tube ends at its node; where something is welded to
    // the tube's own end, that end is a part and the joint lies between the two parts.
    let joint = |end: usize| if draft.own_ends[end].is_some() { Joint::WELD } else { draft.joints[end] };
    // One set of axes a straight piece of tube, whatever stands on it: a part of it may be within
    // round-off of the direction where the axes change.
    let straight: Vec<Axes> = draft
        .axis
        .points
        .windows(2)
        .map(|ends| {
            Axes::between(&ends[0], &ends[1], draft.orientation.up, draft.orientation.roll_rad)
                .expect("the model's tubes have a length and an up that is not along them")
        })
        .collect();
    for stop in 0..stops.len() - 1 {
        let ((from_mm, from, from_part), (_, to, to_part)) = (stops[stop], stops[stop + 1]);
        let begun = draft.axis.stops_mm.iter().skip(1).filter(|end_mm| **end_mm <= from_mm).count();
        let axes = straight[begun.min(straight.len() - 1)];
        let joined = |at_end: bool, end: usize| if at_end { joint(end) } else { Joint::WELD };
        structure.pieces.push(Piece {
            tube,
            start_mm: from_mm,
            axes: Axes { length_mm: (to - from).norm(), ..axes },
            ends: [
                PieceEnd { part: from_part, at: from, joint: joined(stop == 0, 0) },
                PieceEnd { part: to_part, at: to, joint: joined(stop + 2 == stops.len(), 1) },
            ],
        });
    }
    let mut welds_mm = draft.welds_mm.clone();
    for (end, at_mm) in [(0, 0.0), (1, draft.axis.length_mm())] {
        if draft.welded[end] {
            welds_mm.push(at_mm);
        }
    }
    welds_mm.sort_by(f64::total_cmp);
    welds_mm.dedup();
    for end in 0..2 {
        if draft.own_ends[end].is_some() {
            let piece = if end == 0 { first_piece } else { structure.pieces.len() - 1 };
            let (rotation, at) = (structure.pieces[piece].axes.rotation, structure.pieces[piece].ends[end].at);
            let holder = part_of_point[draft.points[end * last]];
            join(structure, end_part(end), holder, at, &rotation, &draft.joints[end], Origin::Joint(tube, end));
        }
    }
    structure.tubes.push(Tube {
        name: draft.name,
        properties: draft.section.properties(draft.material.poisson()),
        material: draft.material,
        size: draft.size,
        pieces: first_piece..structure.pieces.len(),
        length_mm: draft.axis.length_mm(),
        welds_mm,
        joints: draft.joints,
        welded: draft.welded,
    });
}
