//! The car around the frame: its figures, its wheels' suspensions and its anti-roll bars.

use std::borrow::Cow;

use nalgebra::Point3;

use super::fastener::RodEnd;
use super::file::Torque;
use super::frame::{Anchor, Orientation};

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

    /// What a turn about z counts as toe-in, and one about x as camber: −1 of a left wheel, +1 of a right.
    pub fn turn_sign(self) -> f64 {
        if self.is_left() { -1.0 } else { 1.0 }
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
    pub name: Cow<'static, str>,
    /// The arm it belongs to; `None`: a link of its own.
    pub arm: Option<&'static str>,
    /// Node of its first end.
    pub inner: Anchor,
    /// Place of its second end, mm.
    pub outer: Point3<f64>,
    /// How its second end is joined.
    pub outer_end: OuterEnd,
    /// Its size, an index into [`Model::tubes`](super::Model::tubes).
    pub tube: usize,
    /// Which way local y and z point.
    pub orientation: Orientation,
    /// What each of its ends is, where that is a rod-end that the file tells of.
    pub rod_ends: [Option<RodEnd>; 2],
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
        self.kind.tubes().into_iter().map(|tube| tube.name.into_owned()).collect()
    }
}

impl CornerKind {
    /// The tubes, in the order of results; springs are no tubes.
    pub fn tubes(&self) -> Vec<CornerTube> {
        let lower = |drawn: &Wishbone| drawn.tubes("lower", ["lower.front", "lower.rear"]);
        match self {
            CornerKind::DoubleWishbone(drawn) => {
                let upper = drawn.upper.tubes(UPPER, ["upper.front", "upper.rear"]);
                upper.into_iter().chain(lower(&drawn.lower)).chain([drawn.tie_rod.tube("tie_rod".into())]).collect()
            }
            CornerKind::Strut(drawn) => {
                let strut = CornerTube {
                    name: STRUT.into(),
                    arm: Some(STRUT),
                    inner: drawn.top,
                    outer: drawn.bottom,
                    outer_end: OuterEnd::Upright,
                    tube: drawn.tube,
                    orientation: drawn.orientation,
                    rod_ends: [drawn.rod_end, None],
                };
                lower(&drawn.lower).into_iter().chain([drawn.tie_rod.tube("tie_rod".into()), strut]).collect()
            }
            CornerKind::TrailingArm(drawn) => [("arm.1", 0), ("arm.2", 1)]
                .map(|(name, place)| CornerTube {
                    name: name.into(),
                    arm: Some("arm"),
                    inner: drawn.pivots[place],
                    outer: drawn.hub,
                    outer_end: OuterEnd::Upright,
                    tube: drawn.tube,
                    orientation: drawn.orientation,
                    rod_ends: [drawn.rod_end, None],
                })
                .into(),
            CornerKind::Links(drawn) => drawn.links.iter().map(|(name, link)| link.tube(name.clone().into())).collect(),
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
/// Name of the upper arm of a double wishbone.
pub const UPPER: &str = "upper";

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
    /// The rod-end at its top, where the file tells of it.
    pub rod_end: Option<RodEnd>,
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
    /// The rod-ends at both pivots, where the file tells of them.
    pub rod_end: Option<RodEnd>,
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
    /// The rod-ends at both nodes, where the file tells of them.
    pub rod_end: Option<RodEnd>,
}

impl Wishbone {
    /// Its front and its rear tube.
    fn tubes(&self, arm: &'static str, names: [&'static str; 2]) -> [CornerTube; 2] {
        [0, 1].map(|at| CornerTube {
            name: names[at].into(),
            arm: Some(arm),
            inner: self.inner[at],
            outer: self.outer,
            outer_end: OuterEnd::Ball,
            tube: self.tubes[at],
            orientation: self.orientation,
            rod_ends: [self.rod_end, None],
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
    /// The rod-ends at both ends, where the file tells of them.
    pub rod_end: Option<RodEnd>,
}

impl Link {
    fn tube(&self, name: Cow<'static, str>) -> CornerTube {
        CornerTube {
            name,
            arm: None,
            inner: self.inner,
            outer: self.outer,
            outer_end: OuterEnd::RodEnd,
            tube: self.tube,
            orientation: self.orientation,
            rod_ends: [self.rod_end; 2],
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
    /// Both eyes, where the file tells of them.
    pub rod_end: Option<RodEnd>,
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
