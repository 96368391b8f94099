//! The model: nodes, tubes, mounts, bodies, the car and its load cases, all valid once built.
//!
//! Reads a [`Document`](crate::source::Document); gives a [`Model`] in mm, N, N·mm, MPa, rad and kg, with every name
//! resolved, or all that is wrong with it. Leaves out forces and results.

mod adjusters;
mod bracing;
mod car;
mod case;
mod change;
mod fastener;
pub mod file;
mod frame;
mod mirror;
mod misnamed;
mod points;
mod sizing;
mod validate;
mod without;

use nalgebra::Point3;

use crate::section::{Material, Properties, Section};
use crate::source::{Named, Path};

pub use adjusters::{Adjuster, MOST_COMBINATIONS, Position, signed};
pub use bracing::{BraceChoice, Bracing};
pub use car::{
    AXLES, AntiRoll, BarSide, Corner, CornerKind, CornerTube, DoubleWishbone, Link, LinkFoot, Links, OuterEnd, STRUT,
    Spring, Strut, TrailingArm, UPPER, Vehicle, Wheel, Wishbone,
};
pub use case::{Case, Effort, Event, GivenWheel, Limits, STANDING, Target, Twist};
pub use change::{Loaded, Written, load, load_all, load_with};
pub use fastener::{Bolts, RodEnd};
pub use file::{ActsAt, Torque, json_schema};
pub use frame::{
    Anchor, BOLTED_PAD, Body, BodyHold, BodyMount, Bracket, BracketFoot, Held, Hold, MOTIONS, Member, Mount, Node,
    ONE_BOLT, Orientation, TubeRef, WeldKeys,
};
pub use mirror::other_side;
pub use points::{Drawn, DrawnPoint, drawn_points, mirror_image, original_of};
pub use sizing::Sizing;

/// A frame, the car around it, and what is asked of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Model {
    /// What the frame is called.
    pub title: Option<String>,
    /// Date of this state of the model, `YYYY-MM-DD`.
    pub date: Option<String>,
    /// What its author says about it.
    pub notes: Option<String>,
    /// Whether the right half was made by mirroring the left.
    pub mirror: bool,
    /// The materials of the file, then the built-in ones that its tubes use.
    pub materials: Named<MaterialUse>,
    /// The tube sizes.
    pub tubes: Named<TubeSize>,
    /// The nodes.
    pub nodes: Named<Node>,
    /// The brackets.
    pub brackets: Named<Bracket>,
    /// The tubes of the frame.
    pub members: Named<Member>,
    /// The welds of tubes that say nothing of their own.
    pub weld: WeldKeys,
    /// Where the ground holds the frame.
    pub mounts: Vec<Mount>,
    /// The rigid masses.
    pub bodies: Named<Body>,
    /// The car's figures.
    pub vehicle: Option<Vehicle>,
    /// The wheels' suspensions.
    pub corners: Vec<Corner>,
    /// The anti-roll bars.
    pub anti_roll: Vec<AntiRoll>,
    /// The load cases; `standing` is there where the car is.
    pub cases: Named<Case>,
    /// How often what happens in one life; none: the file gives no duty.
    pub duty: Named<Event>,
    /// Braces that a search may add.
    pub bracing: Option<Bracing>,
    /// Tube sizes that a search may choose from.
    pub sizing: Option<Sizing>,
    /// What counts as good enough.
    pub limits: Limits,
    /// What can be moved on the car.
    pub adjusters: Named<Adjuster>,
    /// The car at every position of its adjusters that is to be run, but for the one as drawn.
    pub positions: Vec<Position>,
    /// What is odd but no error.
    pub warnings: Vec<String>,
}

/// A material and where its figures come from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MaterialUse {
    /// The figures.
    pub material: Material,
    /// The source of a built-in material; `None`: given in the file.
    pub source: Option<&'static str>,
    /// Whether the file's own entry replaces a built-in material of this name.
    pub replaces_built_in: bool,
}

/// A tube size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TubeSize {
    /// Its section.
    pub section: Section,
    /// The section's figures.
    pub properties: Properties,
    /// Its material, an index into [`Model::materials`].
    pub material: usize,
}

/// Something wrong that is found after reading: a way into the file and a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The way to the value.
    pub path: Path,
    /// What is wrong.
    pub message: String,
    /// What to do about it.
    pub hint: Option<String>,
    /// Whether the object at the path lacks something: then it is told at its opening bracket.
    pub at_opening: bool,
    /// The name that is not there, where that is what is wrong.
    pub lacks: Option<String>,
    /// Whether a name is there that nothing uses.
    pub is_idle: bool,
}

impl Fault {
    /// A fault of the value at a path.
    pub fn new(path: Path, message: impl Into<String>) -> Self {
        Self { path, message: message.into(), hint: None, at_opening: false, lacks: None, is_idle: false }
    }

    /// A fault of an object that lacks something.
    pub fn lacking(path: Path, message: impl Into<String>) -> Self {
        Self { at_opening: true, ..Self::new(path, message) }
    }

    /// Adds what to do about it.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }
}

/// Name and entry at an index into a section of a model.
///
/// # Panics
/// Where the index is of another model.
pub fn entry_at<T>(section: &Named<T>, at: usize) -> (&str, &T) {
    let (name, entry) = section.get_index(at).expect("indices are made by the model that they index");
    (name, entry)
}

impl Model {
    /// Name of a node or bracket.
    pub fn anchor_name(&self, anchor: Anchor) -> &str {
        match anchor {
            Anchor::Node(at) => entry_at(&self.nodes, at).0,
            Anchor::Bracket(at) => entry_at(&self.brackets, at).0,
        }
    }

    /// Place of a node or bracket, mm.
    pub fn anchor_at(&self, anchor: Anchor) -> Point3<f64> {
        match anchor {
            Anchor::Node(at) => self.nodes[at].at,
            Anchor::Bracket(at) => self.brackets[at].at,
        }
    }

    /// All nodes, then all brackets.
    pub fn anchors(&self) -> impl Iterator<Item = Anchor> {
        (0..self.nodes.len()).map(Anchor::Node).chain((0..self.brackets.len()).map(Anchor::Bracket))
    }

    /// The nodes and brackets that the suspension holds on to: its arms, links, springs and bars.
    pub fn pickups(&self) -> Vec<Anchor> {
        let corners = self.corners.iter().flat_map(|corner| corner.kind.anchors());
        corners.chain(self.anti_roll.iter().flat_map(|bar| bar.sides.iter().map(|side| side.bearing))).collect()
    }

    /// Material of a tube size.
    pub fn material_of(&self, tube: usize) -> &Material {
        &self.materials[self.tubes[tube].material].material
    }

    /// The suspension of a wheel, if it is modelled.
    pub fn corner(&self, wheel: Wheel) -> Option<&Corner> {
        self.corner_index(wheel).map(|at| &self.corners[at])
    }

    /// The place in [`Model::corners`] of the suspension of a wheel, if it is modelled.
    pub fn corner_index(&self, wheel: Wheel) -> Option<usize> {
        self.corners.iter().position(|corner| corner.wheel == wheel)
    }

    /// Name of a tube in results: `lower rail.l`, `front.l/lower.front`.
    pub fn tube_name(&self, tube: TubeRef) -> String {
        match tube {
            TubeRef::Member(at) => entry_at(&self.members, at).0.to_owned(),
            TubeRef::Corner { corner, tube } => {
                let corner = &self.corners[corner];
                format!("{}/{}", corner.wheel.name(), corner.tube_names()[tube])
            }
        }
    }

    /// The axis of a member: its own ends and the nodes it runs through, mm.
    pub fn member_axis(&self, member: &Member) -> Vec<Point3<f64>> {
        let last = member.nodes.len() - 1;
        member
            .nodes
            .iter()
            .enumerate()
            .map(|(place, anchor)| {
                let own = match place {
                    0 => member.end_at[0],
                    _ if place == last => member.end_at[1],
                    _ => None,
                };
                own.unwrap_or_else(|| self.anchor_at(*anchor))
            })
            .collect()
    }
}
