//! What each welded tube end is welded onto.
//!
//! Reads a model; gives for every end of a member that is joined by a weld the tube that runs
//! through its node (its *chord*), the angle between both axes and the side of the chord it stands
//! on, or why there is none. Leaves out forces, and the tubes of corners, whose ends meet no chord.
//!
//! A tube runs through a node where it is an inner node of a `through`, where two members of one size
//! are welded end to end in one line, or where a bracket stands on it no further from its axis than
//! its own outside. Of several the largest is the chord; of equals the one with the thicker wall, then
//! the first of the file.

use nalgebra::{Point3, Vector3};

use crate::beam::Axes;
use crate::math::larger_than;
use crate::model::{Anchor, BracketFoot, Member, Model, TubeRef};
use crate::section::Section;
use crate::space::nearest_on_chain;

/// Tubes that turn by no more than this run on.
pub const STRAIGHT_WITHIN_DEG: f64 = 2.0;

/// Braces within this of one plane count as in it, and the face of a box that a tube stands on is
/// square to it within this, degrees. Common practice, no source.
const IN_PLANE_WITHIN_DEG: f64 = 15.0;

/// An axis that passes that of its chord by more than this part of the chord's width does not meet
/// it. Common practice, no source.
const MISSES_BY: f64 = 0.1;

/// A welded end of a member.
#[derive(Debug, Clone, PartialEq)]
pub struct WeldedEnd {
    /// The member, an index into [`Model::members`].
    pub member: usize,
    /// 0 for its first end, 1 for its second.
    pub end: usize,
    /// What it ends at.
    pub node: Anchor,
    /// What it is welded onto.
    pub onto: Result<Onto, NoChord>,
}

/// Why a welded end stands on no chord, or on none that can be told of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoChord {
    /// No tube runs through its node.
    NothingRunsThrough,
    /// It ends at a bracket that stands off its tube, or on a node or on several tubes.
    OnABracket,
    /// Its axis passes that of the chord by so much, mm.
    Misses(f64),
    /// Box on box, or round on box, over a corner of the chord; or a box turned corner-wise.
    Skewed,
}

/// The chord of an end, and how the end stands on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Onto {
    /// The member, or both members, that run through the node.
    pub chord: Chord,
    /// Acute angle between both axes, rad.
    pub angle_rad: f64,
    /// From the end along its own tube, unit length.
    pub along: Vector3<f64>,
    /// Square to the chord, to the side that the tube stands on, unit length.
    pub outward: Vector3<f64>,
    /// Outside of the chord square to the plane of both axes, and in it, mm.
    pub chord_mm: [f64; 2],
    /// Outside of the tube square to that plane, and in it, mm.
    pub own_mm: [f64; 2],
    /// Distance from the tube's own end to the face of the chord, along the tube, mm.
    pub face_mm: f64,
    /// Where the tube's axis meets the face of the chord, along the chord from the node, mm.
    pub foot_mm: f64,
}

/// A tube that runs through a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chord {
    /// The member; where two go on end to end, both.
    pub members: [usize; 2],
    /// Its size, an index into [`Model::tubes`].
    pub size: usize,
    /// Its direction at the node, unit length; of a bend the mean of both sides.
    pub axis: Vector3<f64>,
    /// The place on its axis, mm.
    pub at: Point3<f64>,
    /// Local axes there.
    axes: Axes,
}

/// How another end at the same node stands to an end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Beside {
    /// In one plane, on the same side of the chord; walls this far apart on its face, mm (below zero:
    /// they overlap by that).
    SameSide(f64),
    /// In one plane, on the other side of the chord.
    Across,
    /// In another plane through the chord.
    OtherPlane,
}

/// Every welded end of a member, in file order, but those that go on as a chord of their node.
pub fn welded_ends(model: &Model) -> Vec<WeldedEnd> {
    let nodes = Nodes::new(model);
    let mut ends = Vec::new();
    for (at, member) in model.members.values().enumerate() {
        for end in 0..2 {
            if !member.welded[end] {
                continue;
            }
            let node = anchor_of(member, end);
            let onto = match nodes.chord(model, node) {
                Ok(chord) if chord.members.contains(&at) => continue,
                Ok(chord) => onto(model, member, end, chord),
                Err(why) => Err(why),
            };
            ends.push(WeldedEnd { member: at, end, node, onto });
        }
    }
    ends
}

/// The other ends on the chord of an end, and how; `at_node`: all welded ends of its node.
pub fn beside<'e>(at_node: &[&'e WeldedEnd], this: &WeldedEnd) -> Vec<(&'e WeldedEnd, Beside)> {
    let Ok(own) = &this.onto else { return Vec::new() };
    let others = at_node.iter().filter(|other| (other.member, other.end) != (this.member, this.end));
    others.filter_map(|other| Some((*other, own.to(other.onto.as_ref().ok()?)))).collect()
}

impl Onto {
    fn to(&self, other: &Onto) -> Beside {
        let cosine = self.outward.dot(&other.outward);
        let limit = IN_PLANE_WITHIN_DEG.to_radians().cos();
        if cosine >= limit {
            let half = |onto: &Onto| onto.own_mm[1] / (2.0 * onto.angle_rad.sin());
            Beside::SameSide((self.foot_mm - other.foot_mm).abs() - half(self) - half(other))
        } else if cosine <= -limit {
            Beside::Across
        } else {
            Beside::OtherPlane
        }
    }

    /// Square to the plane of both axes, unit length: a moment about it bends the tube in that plane.
    pub fn square_to_plane(&self) -> Vector3<f64> {
        self.chord.axis.cross(&self.outward)
    }
}

/// The node or bracket at an end of a member.
fn anchor_of(member: &Member, end: usize) -> Anchor {
    member.nodes[end * (member.nodes.len() - 1)]
}

/// For each node the members that touch it, and at which of their places.
struct Nodes {
    touching: Vec<Vec<(usize, usize)>>,
}

impl Nodes {
    fn new(model: &Model) -> Self {
        let mut touching = vec![Vec::new(); model.nodes.len()];
        for (at, member) in model.members.values().enumerate() {
            for (place, anchor) in member.nodes.iter().enumerate() {
                if let Anchor::Node(node) = anchor {
                    touching[*node].push((at, place));
                }
            }
        }
        Self { touching }
    }

    fn chord(&self, model: &Model, anchor: Anchor) -> Result<Chord, NoChord> {
        let candidates = match anchor {
            Anchor::Node(node) => self.run_through(model, node),
            Anchor::Bracket(bracket) => {
                vec![under_bracket(model, bracket).ok_or(NoChord::OnABracket)?]
            }
        };
        let size = |chord: &Chord| {
            let section = &model.tubes[chord.size].section;
            (section.largest_mm(), wall_mm(section))
        };
        let largest = candidates.into_iter().reduce(|best, next| {
            let ((best_mm, best_wall), (next_mm, next_wall)) = (size(&best), size(&next));
            let is_larger = larger_than(next_mm, best_mm);
            let is_thicker = !larger_than(best_mm, next_mm) && larger_than(next_wall, best_wall);
            if is_larger || is_thicker { next } else { best }
        });
        largest.ok_or(NoChord::NothingRunsThrough)
    }

    /// The tubes that run through a node: first those that are drawn as one.
    fn run_through(&self, model: &Model, node: usize) -> Vec<Chord> {
        let touching = &self.touching[node];
        let at = model.nodes[node].at;
        let mut chords = Vec::new();
        let mut ends: Vec<(usize, Point3<f64>)> = Vec::new();
        for (member, place) in touching {
            let drawn = &model.members[*member];
            let axis = model.member_axis(drawn);
            let last = axis.len() - 1;
            match *place {
                0 if drawn.welded[0] => ends.push((*member, axis[1])),
                place if place == last && drawn.welded[1] => ends.push((*member, axis[last - 1])),
                place if place > 0 && place < last => {
                    chords.extend(chord(model, [*member; 2], &axis[place - 1], &at, &axis[place + 1]));
                }
                _ => {}
            }
        }
        for (first, (one, from)) in ends.iter().enumerate() {
            for (other, to) in &ends[first + 1..] {
                let bend = (at - from).angle(&(to - at)).to_degrees();
                let same = model.members[*one].tube == model.members[*other].tube;
                if same && bend <= STRAIGHT_WITHIN_DEG {
                    chords.extend(chord(model, [*one, *other], from, &at, to));
                }
            }
        }
        chords
    }
}

/// The tube through three points of its axis, the middle one where the chord is looked for.
fn chord(model: &Model, members: [usize; 2], from: &Point3<f64>, at: &Point3<f64>, to: &Point3<f64>) -> Option<Chord> {
    let axis = ((at - from).try_normalize(0.0)? + (to - at).try_normalize(0.0)?).try_normalize(1e-6)?;
    let drawn = &model.members[members[0]];
    let axes = Axes::between(from, to, drawn.orientation.up, drawn.orientation.roll_rad)?;
    Some(Chord { members, size: drawn.tube, axis, at: *at, axes })
}

/// The tube that a bracket lies within, where that is the only one it stands on.
fn under_bracket(model: &Model, bracket: usize) -> Option<Chord> {
    let bracket = &model.brackets[bracket];
    let BracketFoot::Tubes(tubes) = &bracket.on else { return None };
    let [TubeRef::Member(member)] = tubes.as_slice() else { return None };
    let drawn = &model.members[*member];
    let axis = model.member_axis(drawn);
    let (segment, nearest) = nearest_on_chain(&bracket.at, &axis);
    let outside_mm = model.tubes[drawn.tube].section.largest_mm() / 2.0;
    let at_end = [axis[0], axis[axis.len() - 1]].iter().any(|end| (nearest.at - end).norm() <= outside_mm);
    if nearest.distance_mm > outside_mm * (1.0 + 1e-9) || at_end {
        return None;
    }
    let (from, to) = (axis[segment], axis[segment + 1]);
    chord(model, [*member; 2], &from, &nearest.at, &to)
}

fn wall_mm(section: &Section) -> f64 {
    match section {
        Section::Round(tube) => tube.wall_mm,
        Section::Box(tube) => tube.wall_mm,
        Section::Bar(_) | Section::Flat(_) | Section::Given(_) => 0.0,
    }
}

/// How an end stands on its chord.
fn onto(model: &Model, member: &Member, end: usize, chord: Chord) -> Result<Onto, NoChord> {
    let points = model.member_axis(member);
    let last = points.len() - 1;
    let (own_end, next) = if end == 0 { (points[0], points[1]) } else { (points[last], points[last - 1]) };
    let along = (next - own_end).try_normalize(0.0).ok_or(NoChord::Skewed)?;
    let square = along - chord.axis * along.dot(&chord.axis);
    let outward = square.try_normalize(1e-9).ok_or(NoChord::NothingRunsThrough)?;
    let plane = chord.axis.cross(&outward);
    let offset = own_end - chord.at;
    let section = &model.tubes[chord.size].section;
    let aside_mm = offset.dot(&plane).abs();
    let chord_mm = outside_mm(section, &chord.axes, &plane, &outward).ok_or(NoChord::Skewed)?;
    if aside_mm > MISSES_BY * chord_mm[0] {
        return Err(NoChord::Misses(aside_mm));
    }
    let own_axes = Axes::between(&own_end, &next, member.orientation.up, member.orientation.roll_rad);
    let own_axes = own_axes.ok_or(NoChord::Skewed)?;
    // In the plane of both axes, square to the tube itself.
    let across = plane.cross(&along);
    let own_mm = outside_mm(&model.tubes[member.tube].section, &own_axes, &plane, &across).ok_or(NoChord::Skewed)?;
    let angle_rad = along.dot(&outward).clamp(-1.0, 1.0).asin();
    let face_mm = ((chord_mm[1] / 2.0 - offset.dot(&outward)) / angle_rad.sin()).max(0.0);
    let foot_mm = (offset + along * face_mm).dot(&chord.axis);
    Ok(Onto { chord, angle_rad, along, outward, chord_mm, own_mm, face_mm, foot_mm })
}

/// Outside of a section along two directions square to it and to each other, mm; `None` where a
/// section that is not round lies neither along one nor along the other.
fn outside_mm(section: &Section, axes: &Axes, one: &Vector3<f64>, other: &Vector3<f64>) -> Option<[f64; 2]> {
    let [along_y, along_z] = match section {
        Section::Box(tube) => [tube.width_mm, tube.depth_mm],
        Section::Flat(flat) => [flat.width_mm, flat.thickness_mm],
        Section::Round(_) | Section::Bar(_) | Section::Given(_) => return Some([section.largest_mm(); 2]),
    };
    let limit = IN_PLANE_WITHIN_DEG.to_radians().cos();
    let lies_along = |axis: Vector3<f64>, direction: &Vector3<f64>| axis.dot(direction).abs() >= limit;
    if lies_along(axes.y(), one) && lies_along(axes.z(), other) {
        Some([along_y, along_z])
    } else if lies_along(axes.z(), one) && lies_along(axes.y(), other) {
        Some([along_z, along_y])
    } else {
        None
    }
}
