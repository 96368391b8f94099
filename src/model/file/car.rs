//! The vehicle, its corners and anti-roll bars as the file gives them.

use schemars::{Schema, SchemaGenerator, json_schema};

use super::frame::OneOrMany;
use crate::record;
use crate::source::{Node, Read, Reader, Value, read_word};
use crate::units::{Angle, Length, Mass};

record! {
    /// The car's figures: ready to race, driver in, with bodies, tubes and `unsprung` in it.
    Vehicle {
        /// Mass.
        mass: Mass,
        /// Distance between the axles.
        wheelbase: Length,
        /// Distance between the wheels of an axle.
        track: FrontRear,
        /// Centre of gravity.
        cg: CentreOfGravity,
        /// The front's part of the left–right load difference in a bend, 0 to 1.
        lateral_transfer_share_front: f64,
        /// The front's part of the braking force, 0 to 1; required by a case that brakes.
        brake_share_front: Option<f64> = None,
        /// The front's part of the driving force, 0 to 1; required by a case that drives.
        drive_share_front: Option<f64> = None,
        /// Horizontal over vertical force that a tyre can give.
        tyre_grip: Option<f64> = None,
        /// How far behind the middle of the patch a side force acts.
        pneumatic_trail: Option<Length> = None,
    }

    /// A length at the front and at the rear axle.
    FrontRear {
        /// Front.
        front: Length,
        /// Rear.
        rear: Length,
    }

    /// The car's centre of gravity.
    CentreOfGravity {
        /// Distance behind the front axle.
        behind_front_axle: Length,
        /// Height over the ground.
        height: Length,
        /// Distance to the left of the middle.
        left: Length = Length(0.0),
    }

    /// Two tubes, each a rod-end at its node, welded to each other at the outer ball.
    Wishbone {
        /// Node of the front tube.
        front: String,
        /// Node of the rear tube.
        rear: String,
        /// Place of the outer ball.
        outer: [Length; 3],
        /// Tube size.
        tube: String,
        /// Tube size of the rear tube; left out: as the front.
        rear_tube: Option<String> = None,
        /// Direction that local z of the tubes points to.
        up: Option<[f64; 3]> = None,
        /// Turn of local y and z about the tube's own axis.
        roll: Angle = Angle(0.0),
    }

    /// A link with rod-ends, from a node to the upright.
    TieRod {
        /// Node of the inner end.
        inner: String,
        /// Place of the outer end.
        outer: [Length; 3],
        /// Tube size.
        tube: String,
        /// Direction that local z points to.
        up: Option<[f64; 3]> = None,
        /// Turn of local y and z about the tube's own axis.
        roll: Angle = Angle(0.0),
    }

    /// The part that carries the standing load: a two-force link held at its drawn length.
    Spring {
        /// Node of the upper eye.
        top: String,
        /// Place of the lower eye.
        bottom: [Length; 3],
        /// `"upright"`, one tube of an arm of this corner, or a list of tubes of one arm.
        on: OneOrMany,
        /// Diameter of the round steel bar that it is as stiff as.
        rod: Length = Length(12.0),
    }

    /// A corner of two wishbones, a tie rod and a spring.
    DoubleWishbone {
        /// `"double wishbone"`.
        kind: Kind,
        /// Centre of the wheel.
        wheel_centre: [Length; 3],
        /// Middle of the contact patch.
        contact_patch: [Length; 3],
        /// `"outboard"` (at the wheel) or `"inboard"` (through the shaft).
        brakes: Torque = Torque::Outboard,
        /// `"inboard"` (through the shaft) or `"outboard"`.
        drive: Torque = Torque::Inboard,
        /// Mass at the wheel centre, on the upright.
        unsprung: Mass = Mass(0.0),
        /// Upper wishbone.
        upper: Wishbone,
        /// Lower wishbone.
        lower: Wishbone,
        /// Tie rod; on a rear corner its toe link.
        tie_rod: TieRod,
        /// Spring.
        spring: Spring,
    }

    /// One side of an anti-roll bar.
    BarSide {
        /// Node of the bearing; a pick-up.
        bearing: String,
        /// Place of the bar's end.
        end: [Length; 3],
        /// Place of the link's foot.
        foot: [Length; 3],
        /// `"upright"`, `"strut"`, or tubes of one arm.
        on: OneOrMany,
    }

    /// An anti-roll bar.
    AntiRoll {
        /// Left side.
        left: BarSide,
        /// Right side; with `mirror` it may be left out.
        right: Option<BarSide> = None,
        /// Part of the left–right difference of the spring forces that the bar takes, 0 to 1.
        share: f64,
    }
}

/// Where a brake or drive torque acts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Torque {
    /// At the wheel, on the upright.
    Outboard,
    /// Through the shaft, on a body.
    Inboard,
}

impl Read for Torque {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        read_word(node, reader, &[("outboard", Torque::Outboard), ("inboard", Torque::Inboard)], "")
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "enum": ["outboard", "inboard"] })
    }
}

/// The word that says what a corner is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Kind;

const LATER_KINDS: [&str; 3] = ["strut", "trailing arm", "links"];

impl Read for Kind {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.value {
            Value::Text(word) if LATER_KINDS.contains(&word.as_str()) => reader.refuse_with_hint(
                node,
                format!("this version does not judge a corner of kind \"{word}\" yet"),
                "it judges \"double wishbone\"",
            ),
            _ => read_word(node, reader, &[("double wishbone", Kind)], ""),
        }
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "enum": ["double wishbone"] })
    }
}

/// One wheel's suspension.
#[derive(Debug, Clone, PartialEq)]
pub enum Corner {
    /// Two wishbones, a tie rod and a spring.
    DoubleWishbone(DoubleWishbone),
}

impl Read for Corner {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        // A kind of a later version has other keys: say that alone.
        let kind = node.entry("kind");
        let later =
            kind.filter(|entry| matches!(&entry.node.value, Value::Text(word) if LATER_KINDS.contains(&word.as_str())));
        if let Some(entry) = later {
            reader.key::<Kind>(entry);
            return None;
        }
        DoubleWishbone::read(node, reader).map(Corner::DoubleWishbone)
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        DoubleWishbone::schema(generator)
    }
}
