//! The model: nodes, tubes, mounts, bodies, the car and its load cases, all valid once built.
//!
//! Reads a [`Document`](crate::source::Document); gives a [`Model`] in mm, N, N·mm, MPa, rad and kg, with every name
//! resolved, or all that is wrong with it. Leaves out forces and results.

mod change;
pub mod file;
mod mirror;
mod points;
mod validate;

use nalgebra::{Point3, Vector3};

use crate::beam::Joint;
use crate::section::{Material, Properties, Section};
use crate::source::{Named, Path};

pub use change::{Loaded, Written, load, load_all, load_with};
pub use file::{Torque, json_schema};
pub use mirror::other_side;
pub use points::{Drawn, DrawnPoint, drawn_points, is_unattached, mirror_image, original_of};

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
    /// What counts as good enough.
    pub limits: Limits,
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

/// A node of the frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Node {
    /// Place, mm.
    pub at: Point3<f64>,
    /// Reported as a pick-up even if no corner part is attached.
    pub pickup: bool,
}

/// A node or a bracket: what things are attached to and loaded at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Anchor {
    /// An index into [`Model::nodes`].
    Node(usize),
    /// An index into [`Model::brackets`].
    Bracket(usize),
}

/// A point held rigidly to tubes or to a node.
#[derive(Debug, Clone, PartialEq)]
pub struct Bracket {
    /// Place, mm.
    pub at: Point3<f64>,
    /// What holds it.
    pub on: BracketFoot,
}

/// What a bracket is welded to.
#[derive(Debug, Clone, PartialEq)]
pub enum BracketFoot {
    /// A node, an index into [`Model::nodes`].
    Node(usize),
    /// One tube, or several that a rigid plate ties.
    Tubes(Vec<TubeRef>),
}

/// A tube of the frame or of a corner.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TubeRef {
    /// An index into [`Model::members`].
    Member(usize),
    /// A tube of a corner.
    Corner {
        /// An index into [`Model::corners`].
        corner: usize,
        /// An index into [`Corner::tube_names`].
        tube: usize,
    },
}

/// A tube of the frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// The nodes it runs through, its ends first and last.
    pub nodes: Vec<Anchor>,
    /// Its size, an index into [`Model::tubes`].
    pub tube: usize,
    /// Radius of its bends to the centre line, mm.
    pub bend_radius_mm: Option<f64>,
    /// Where its own ends lie, if not at their nodes, mm.
    pub end_at: [Option<Point3<f64>>; 2],
    /// Length for the column check, mm.
    pub column_length_mm: Option<f64>,
    /// Which way local y and z point.
    pub orientation: Orientation,
    /// How its ends are joined to their nodes.
    pub joints: [Joint; 2],
    /// Whether a weld is at each end (joined by `weld` or `rate`).
    pub welded: [bool; 2],
}

/// Which way local y and z of a tube point.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Orientation {
    /// Direction that z points to.
    pub up: Option<Vector3<f64>>,
    /// Turn of y and z about the tube's own axis, rad.
    pub roll_rad: f64,
}

/// How one motion is held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Held {
    /// Not at all.
    Free,
    /// Rigidly.
    Fixed,
    /// By a rate above 0: N/mm for a shift, N·mm/rad for a turn.
    Rate(f64),
}

/// How the six motions `x y z rx ry rz` (global) of a node are held.
pub type Hold = [Held; 6];

/// Names of the six motions, as in the file.
pub const MOTIONS: [&str; 6] = ["x", "y", "z", "rx", "ry", "rz"];

/// Where the ground holds the frame, and how.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mount {
    /// Where.
    pub at: Anchor,
    /// How.
    pub hold: Hold,
}

/// A rigid mass.
#[derive(Debug, Clone, PartialEq)]
pub struct Body {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Centre of gravity, mm.
    pub cg: Point3<f64>,
    /// Moments of inertia about the centre of gravity, kg·m².
    pub inertia_kg_m2: Option<[f64; 3]>,
    /// How it holds the frame.
    pub mounts: Vec<BodyMount>,
    /// Inboard brake or drive torque goes into it.
    pub takes_drive_torque: bool,
}

/// Where a body holds the frame, and how.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BodyMount {
    /// Where.
    pub at: Anchor,
    /// How.
    pub hold: BodyHold,
}

/// How a body holds a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BodyHold {
    /// By direction.
    Directions(Hold),
    /// The node is part of the body.
    Rides,
    /// The three shifts, and the turn about this line (unit vector) between the two clamps.
    Clamp(Vector3<f64>),
}

/// The car's figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vehicle {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Distance between the axles, mm.
    pub wheelbase_mm: f64,
    /// Distance between the wheels, front and rear, mm.
    pub track_mm: [f64; 2],
    /// Distance of the centre of gravity behind the front axle, mm.
    pub cg_behind_front_axle_mm: f64,
    /// Height of the centre of gravity, mm.
    pub cg_height_mm: f64,
    /// Distance of the centre of gravity to the left of the middle, mm.
    pub cg_left_mm: f64,
    /// The front's part of the lateral load transfer.
    pub lateral_transfer_share_front: f64,
    /// The front's part of the braking force.
    pub brake_share_front: Option<f64>,
    /// The front's part of the driving force.
    pub drive_share_front: Option<f64>,
    /// Horizontal over vertical force that a tyre can give.
    pub tyre_grip: Option<f64>,
    /// How far behind the middle of the patch a side force acts, mm.
    pub pneumatic_trail_mm: Option<f64>,
}

/// One of the four wheels.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Wheel {
    /// Front left.
    FrontLeft,
    /// Front right.
    FrontRight,
    /// Rear left.
    RearLeft,
    /// Rear right.
    RearRight,
}

impl Wheel {
    /// All four, in the order that results list them.
    pub const ALL: [Wheel; 4] = [Wheel::FrontLeft, Wheel::FrontRight, Wheel::RearLeft, Wheel::RearRight];
    /// Their names in the file.
    pub const NAMES: [&'static str; 4] = ["front.l", "front.r", "rear.l", "rear.r"];

    /// The wheel of a name.
    pub fn named(name: &str) -> Option<Wheel> {
        Wheel::NAMES.iter().position(|known| *known == name).map(|place| Wheel::ALL[place])
    }

    /// Its name in the file.
    pub fn name(self) -> &'static str {
        Wheel::NAMES[self.place()]
    }

    /// Its place in [`Wheel::ALL`].
    pub fn place(self) -> usize {
        self as usize
    }

    /// 0 for the front axle, 1 for the rear.
    pub fn axle(self) -> usize {
        self.place() / 2
    }

    /// Whether it is a left wheel.
    pub fn is_left(self) -> bool {
        self.place().is_multiple_of(2)
    }

    /// The left (`true`) or right wheel of an axle (0 front, 1 rear).
    pub fn of_axle(axle: usize, left: bool) -> Wheel {
        Wheel::ALL[2 * axle + usize::from(!left)]
    }
}

/// Names of the axles, front first.
pub const AXLES: [&str; 2] = ["front", "rear"];

/// One wheel's suspension, as drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Corner {
    /// Which wheel.
    pub wheel: Wheel,
    /// Centre of the wheel, mm.
    pub wheel_centre: Point3<f64>,
    /// Middle of the contact patch, mm.
    pub contact_patch: Point3<f64>,
    /// Where a brake torque acts.
    pub brakes: Torque,
    /// Where a drive torque acts.
    pub drive: Torque,
    /// Mass at the wheel centre, on the upright, kg.
    pub unsprung_kg: f64,
    /// What it is made of.
    pub kind: CornerKind,
}

/// What a corner is made of.
#[derive(Debug, Clone, PartialEq)]
pub enum CornerKind {
    /// Two wishbones, a tie rod and a spring.
    DoubleWishbone(DoubleWishbone),
    /// A lower wishbone, a tie rod and a strut that is one with the upright.
    Strut(Strut),
    /// An arm of two tubes that is one with the upright, and a spring.
    TrailingArm(TrailingArm),
    /// Five links and a spring.
    Links(Links),
}

/// A tube of a corner, as drawn; its first end is a rod-end at a node of the frame.
#[derive(Debug, Clone, PartialEq)]
pub struct CornerTube {
    /// Its name in the corner: `lower.front`, `tie_rod`.
    pub name: String,
    /// The arm it belongs to; `None`: a link of its own.
    pub arm: Option<&'static str>,
    /// Node of its first end.
    pub inner: Anchor,
    /// Place of its second end, mm.
    pub outer: Point3<f64>,
    /// How its second end is joined.
    pub outer_end: OuterEnd,
    /// Its size, an index into [`Model::tubes`].
    pub tube: usize,
    /// Which way local y and z point.
    pub orientation: Orientation,
}

/// How the outer end of a corner's tube is joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OuterEnd {
    /// Welded to the other tubes of its arm, which a ball holds to the upright.
    Ball,
    /// Welded to the upright.
    Upright,
    /// A rod-end on the upright.
    RodEnd,
}

impl Corner {
    /// Names of the tubes of the corner in the order of results, without the spring.
    pub fn tube_names(&self) -> Vec<String> {
        self.kind.tubes().into_iter().map(|tube| tube.name).collect()
    }
}

impl CornerKind {
    /// The tubes, in the order of results; springs are no tubes.
    pub fn tubes(&self) -> Vec<CornerTube> {
        match self {
            CornerKind::DoubleWishbone(drawn) => {
                let arms = drawn.upper.tubes("upper").into_iter().chain(drawn.lower.tubes("lower"));
                arms.chain([drawn.tie_rod.tube("tie_rod")]).collect()
            }
            CornerKind::Strut(drawn) => {
                let strut = CornerTube {
                    name: STRUT.to_owned(),
                    arm: Some(STRUT),
                    inner: drawn.top,
                    outer: drawn.bottom,
                    outer_end: OuterEnd::Upright,
                    tube: drawn.tube,
                    orientation: drawn.orientation,
                };
                drawn.lower.tubes("lower").into_iter().chain([drawn.tie_rod.tube("tie_rod"), strut]).collect()
            }
            CornerKind::TrailingArm(drawn) => [0, 1]
                .map(|place: usize| CornerTube {
                    name: format!("arm.{}", place + 1),
                    arm: Some("arm"),
                    inner: drawn.pivots[place],
                    outer: drawn.hub,
                    outer_end: OuterEnd::Upright,
                    tube: drawn.tube,
                    orientation: drawn.orientation,
                })
                .into(),
            CornerKind::Links(drawn) => drawn.links.iter().map(|(name, link)| link.tube(name)).collect(),
        }
    }

    /// The spring; a strut carries its standing load itself.
    pub fn spring(&self) -> Option<&Spring> {
        match self {
            CornerKind::DoubleWishbone(drawn) => Some(&drawn.spring),
            CornerKind::Strut(_) => None,
            CornerKind::TrailingArm(drawn) => Some(&drawn.spring),
            CornerKind::Links(drawn) => Some(&drawn.spring),
        }
    }

    /// The nodes and brackets that its parts are attached to.
    pub fn anchors(&self) -> Vec<Anchor> {
        self.tubes().into_iter().map(|tube| tube.inner).chain(self.spring().map(|spring| spring.top)).collect()
    }
}

/// Name of a strut among the tubes of its corner.
pub const STRUT: &str = "strut";

/// A corner of two wishbones, a tie rod and a spring.
#[derive(Debug, Clone, PartialEq)]
pub struct DoubleWishbone {
    /// Upper arm.
    pub upper: Wishbone,
    /// Lower arm.
    pub lower: Wishbone,
    /// Tie rod; on a rear corner its toe link.
    pub tie_rod: Link,
    /// Spring.
    pub spring: Spring,
}

/// A corner of a lower wishbone, a tie rod and a strut.
#[derive(Debug, Clone, PartialEq)]
pub struct Strut {
    /// Lower arm.
    pub lower: Wishbone,
    /// Tie rod; on a rear corner its toe link.
    pub tie_rod: Link,
    /// Node of the strut's top.
    pub top: Anchor,
    /// Where it is welded to the upright, mm.
    pub bottom: Point3<f64>,
    /// Size of the strut's tube.
    pub tube: usize,
    /// Which way local y and z of the strut point.
    pub orientation: Orientation,
    /// Rate of its spring, for read-outs only, N/mm.
    pub rate_n_mm: Option<f64>,
}

/// A corner of an arm that is one with the upright, and a spring.
#[derive(Debug, Clone, PartialEq)]
pub struct TrailingArm {
    /// Nodes of the pivots.
    pub pivots: [Anchor; 2],
    /// Where both tubes are welded to the upright, mm.
    pub hub: Point3<f64>,
    /// Size.
    pub tube: usize,
    /// Which way local y and z point.
    pub orientation: Orientation,
    /// Spring.
    pub spring: Spring,
}

/// A corner of five links and a spring.
#[derive(Debug, Clone, PartialEq)]
pub struct Links {
    /// The links by name.
    pub links: Vec<(String, Link)>,
    /// Spring.
    pub spring: Spring,
}

/// Two tubes, each a rod-end at its node, welded to each other at the outer ball.
#[derive(Debug, Clone, PartialEq)]
pub struct Wishbone {
    /// Nodes of the front and the rear tube.
    pub inner: [Anchor; 2],
    /// Place of the outer ball, mm.
    pub outer: Point3<f64>,
    /// Sizes of the front and the rear tube.
    pub tubes: [usize; 2],
    /// Which way local y and z of its tubes point.
    pub orientation: Orientation,
}

impl Wishbone {
    /// Its front and its rear tube.
    fn tubes(&self, arm: &'static str) -> [CornerTube; 2] {
        [("front", 0), ("rear", 1)].map(|(end, at)| CornerTube {
            name: format!("{arm}.{end}"),
            arm: Some(arm),
            inner: self.inner[at],
            outer: self.outer,
            outer_end: OuterEnd::Ball,
            tube: self.tubes[at],
            orientation: self.orientation,
        })
    }
}

/// A link with rod-ends, from a node to the upright.
#[derive(Debug, Clone, PartialEq)]
pub struct Link {
    /// Node of the inner end.
    pub inner: Anchor,
    /// Place of the outer end, mm.
    pub outer: Point3<f64>,
    /// Size.
    pub tube: usize,
    /// Which way local y and z point.
    pub orientation: Orientation,
}

impl Link {
    fn tube(&self, name: &str) -> CornerTube {
        CornerTube {
            name: name.to_owned(),
            arm: None,
            inner: self.inner,
            outer: self.outer,
            outer_end: OuterEnd::RodEnd,
            tube: self.tube,
            orientation: self.orientation,
        }
    }
}

/// A two-force link that carries the standing load.
#[derive(Debug, Clone, PartialEq)]
pub struct Spring {
    /// Node of the upper eye.
    pub top: Anchor,
    /// Place of the lower eye, mm.
    pub bottom: Point3<f64>,
    /// What the lower eye is held to.
    pub on: LinkFoot,
    /// Diameter of the round steel bar that it is as stiff as, mm.
    pub rod_mm: f64,
    /// Its own rate, for read-outs only, N/mm.
    pub rate_n_mm: Option<f64>,
}

/// What the outer end of a spring or of a bar's link is held to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LinkFoot {
    /// The upright.
    Upright,
    /// Tubes of one arm, indices into [`Corner::tube_names`].
    Tubes(Vec<usize>),
}

/// An anti-roll bar of an axle whose both corners are modelled.
#[derive(Debug, Clone, PartialEq)]
pub struct AntiRoll {
    /// 0 for the front axle, 1 for the rear.
    pub axle: usize,
    /// Left and right side.
    pub sides: [BarSide; 2],
    /// Part of the left–right difference of the spring forces that it takes.
    pub share: f64,
}

/// One side of an anti-roll bar.
#[derive(Debug, Clone, PartialEq)]
pub struct BarSide {
    /// Node of the bearing.
    pub bearing: Anchor,
    /// Place of the bar's end, mm.
    pub end: Point3<f64>,
    /// Place of the link's foot, mm.
    pub foot: Point3<f64>,
    /// What the foot is held to.
    pub on: LinkFoot,
}

/// A load case.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// The car's acceleration `[long, lat, vert]`, g.
    pub g: Option<[f64; 3]>,
    /// Whether wheel forces are left out altogether.
    pub no_wheels: bool,
    /// Wheel forces in place of the worked-out ones.
    pub wheels: Vec<(Wheel, GivenWheel)>,
    /// Which wheels make the longitudinal force, and how; `None`: as `long` has it.
    pub effort: Option<(Effort, Vec<Wheel>)>,
    /// Downforce of the front and the rear axle, N.
    pub air_n: [f64; 2],
    /// Forces, N.
    pub forces: Vec<(Target, Vector3<f64>)>,
    /// Moments, N·mm.
    pub moments: Vec<(Target, Vector3<f64>)>,
    /// Loads on the length of tubes, N/mm.
    pub line_loads: Vec<(TubeRef, Vector3<f64>)>,
    /// Movement of the ground side of mounts: index into [`Model::mounts`], motion, mm or rad.
    pub moved: Vec<(usize, usize, f64)>,
    /// The jig's twist test.
    pub twist: Option<Twist>,
    /// Multiplies the finished loads.
    pub factor: f64,
    /// What counts as good enough in this case.
    pub limits: Limits,
}

/// How wheels make a longitudinal force.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effort {
    /// By their brakes.
    Braked,
    /// By the engine.
    Driven,
}

/// A wheel force given in the file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GivenWheel {
    /// Force on the car, N.
    pub force_n: Vector3<f64>,
    /// Moment about the contact patch, N·mm; `None`: the trail's.
    pub moment_nmm: Option<Vector3<f64>>,
    /// Where its fx acts; `None`: as that wheel is braked or driven.
    pub acts: Option<ActsAt>,
    /// Whether it was a bare list.
    pub bare: bool,
}

pub use file::ActsAt;

/// What a force or a moment acts on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Target {
    /// A node or bracket.
    Anchor(Anchor),
    /// A body, at its centre of gravity; an index into [`Model::bodies`].
    Body(usize),
}

/// The jig's twist test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Twist {
    /// First (up) and second (down) node.
    pub axle: [Anchor; 2],
    /// Moment, N·mm.
    pub moment_nmm: f64,
}

/// What counts as good enough; `None`: not judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Margin on yield.
    pub yield_margin: Option<f64>,
    /// Margin of the column check.
    pub column_margin: Option<f64>,
    /// Margin on the frame's buckling load.
    pub buckling_margin: Option<f64>,
    /// Largest change of a pick-up's place, mm.
    pub pickup_move_mm: Option<f64>,
    /// Largest change of toe, degrees.
    pub toe_deg: Option<f64>,
    /// Largest change of camber, degrees.
    pub camber_deg: Option<f64>,
    /// Lowest natural frequency, Hz.
    pub frequency_hz: Option<f64>,
    /// Lowest twist stiffness, N·m/deg.
    pub twist_nm_deg: Option<f64>,
    /// Lives of `duty`.
    pub fatigue: Option<f64>,
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
}

impl Fault {
    /// A fault of the value at a path.
    pub fn new(path: Path, message: impl Into<String>) -> Self {
        Self { path, message: message.into(), hint: None, at_opening: false, lacks: None }
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

impl Model {
    /// Name of a node or bracket.
    pub fn anchor_name(&self, anchor: Anchor) -> &str {
        let entry = match anchor {
            Anchor::Node(at) => self.nodes.get_index(at).map(|(name, _)| name),
            Anchor::Bracket(at) => self.brackets.get_index(at).map(|(name, _)| name),
        };
        entry.expect("anchors are made by the model that they index")
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

    /// Material of a tube size.
    pub fn material_of(&self, tube: usize) -> &Material {
        &self.materials[self.tubes[tube].material].material
    }

    /// The suspension of a wheel, if it is modelled.
    pub fn corner(&self, wheel: Wheel) -> Option<&Corner> {
        self.corners.iter().find(|corner| corner.wheel == wheel)
    }

    /// Name of a tube in results: `lower rail.l`, `front.l/lower.front`.
    pub fn tube_name(&self, tube: TubeRef) -> String {
        match tube {
            TubeRef::Member(at) => self.members.get_index(at).map(|(name, _)| name.clone()).unwrap_or_default(),
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
