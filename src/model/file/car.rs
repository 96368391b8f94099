//! The vehicle, its corners and anti-roll bars as the file gives them.

use schemars::{Schema, SchemaGenerator, json_schema};

use super::fastener::RodEnd;
use super::frame::OneOrMany;
use crate::record;
use crate::source::{Named, Node, Read, Reader, Value, read_word};
use crate::units::{Angle, Length, Mass, Rate};

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
        /// The rod-ends at both nodes; left out: not judged.
        rod_end: Option<RodEnd> = None,
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
        /// The rod-ends at both ends; left out: not judged.
        rod_end: Option<RodEnd> = None,
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
        /// Its own rate: for the wheel rate in the read-outs only, it changes no force.
        rate: Option<Rate> = None,
        /// Both eyes; left out: not judged.
        rod_end: Option<RodEnd> = None,
    }

    /// A strut: a rod-end at its top, welded to the upright at its bottom, held at its drawn length.
    Strut {
        /// Node of the top.
        top: String,
        /// Place on its axis where it is welded to the upright.
        bottom: [Length; 3],
        /// Tube size.
        tube: String,
        /// Rate of its spring: for the wheel rate in the read-outs only, it changes no force.
        rate: Option<Rate> = None,
        /// Direction that local z points to.
        up: Option<[f64; 3]> = None,
        /// Turn of local y and z about the tube's own axis.
        roll: Angle = Angle(0.0),
        /// The rod-end at its top; left out: not judged.
        rod_end: Option<RodEnd> = None,
    }

    /// Two tubes, each a rod-end at its pivot, welded to the upright at the hub.
    TrailingArm {
        /// Nodes of the two pivots.
        pivots: [String; 2],
        /// Place where both tubes are welded to the upright.
        hub: [Length; 3],
        /// Tube size.
        tube: String,
        /// Direction that local z of the tubes points to.
        up: Option<[f64; 3]> = None,
        /// Turn of local y and z about the tube's own axis.
        roll: Angle = Angle(0.0),
        /// The rod-ends at both pivots; left out: not judged.
        rod_end: Option<RodEnd> = None,
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

/// The kinds of corners: for each a record of the keys that all share and its own, the type of its
/// word, and one variant of [`Corner`].
macro_rules! corner_kinds {
    ($(
        $(#[doc = $about:literal])*
        $name:ident, $word:ident = $kind:literal { $($own:tt)* }
    )+) => {
        record! {$(
            $(#[doc = $about])*
            $name {
                /// What the corner is made of.
                kind: $word,
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
                $($own)*
            }
        )+}

        $(
            #[doc = concat!("The word `", $kind, "`.")]
            #[derive(Debug, Clone, Copy, PartialEq, Eq)]
            pub struct $word;

            impl Read for $word {
                fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
                    read_word(node, reader, &[($kind, $word)], "")
                }
                fn schema(_: &mut SchemaGenerator) -> Schema {
                    json_schema!({ "const": $kind })
                }
            }
        )+

        /// One wheel's suspension.
        #[derive(Debug, Clone, PartialEq)]
        pub enum Corner {
            $( $(#[doc = $about])* $name($name), )+
        }

        impl Corner {
            /// What all kinds have.
            pub fn wheel(&self) -> DrawnWheel {
                match self {
                    $( Corner::$name(corner) => DrawnWheel {
                        centre: corner.wheel_centre,
                        contact_patch: corner.contact_patch,
                        brakes: corner.brakes,
                        drive: corner.drive,
                        unsprung: corner.unsprung,
                    }, )+
                }
            }

            /// What all kinds have, to be changed.
            pub fn places_mut(&mut self) -> [&mut [Length; 3]; 2] {
                match self {
                    $( Corner::$name(corner) => [&mut corner.wheel_centre, &mut corner.contact_patch], )+
                }
            }
        }

        /// One of the words.
        struct AnyKind(&'static str);

        impl Read for AnyKind {
            fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
                read_word(node, reader, &[$( ($kind, $kind) ),+], "").map(AnyKind)
            }
            fn schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({ "enum": [$( $kind ),+] })
            }
        }

        impl Read for Corner {
            fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
                let Value::Object(_) = node.value else {
                    return reader.refuse(node, format!("expected a corner, found {}", node.kind()));
                };
                // The kind says which keys there are: while it is unknown nothing else can be told.
                let Some(entry) = node.entry("kind") else {
                    let kinds = [$( concat!("\"", $kind, "\"") ),+].join(", ");
                    reader.missing_key(node, "kind", &["kind"], &format!("one of {kinds}"));
                    return None;
                };
                match reader.key::<AnyKind>(entry)?.0 {
                    $( $kind => $name::read(node, reader).map(Corner::$name), )+
                    _ => None,
                }
            }
            fn schema(generator: &mut SchemaGenerator) -> Schema {
                json_schema!({ "anyOf": [$( $name::schema(generator) ),+] })
            }
        }
    };
}

corner_kinds! {
    /// Two wishbones, a tie rod and a spring.
    DoubleWishboneCorner, DoubleWishboneWord = "double wishbone" {
        /// Upper wishbone.
        upper: Wishbone,
        /// Lower wishbone.
        lower: Wishbone,
        /// Tie rod; on a rear corner its toe link.
        tie_rod: TieRod,
        /// Node of its `top`, place of its `bottom`, and what it stands `on`.
        spring: Spring,
    }

    /// A lower wishbone, a tie rod and a strut that is one with the upright.
    StrutCorner, StrutWord = "strut" {
        /// Lower wishbone.
        lower: Wishbone,
        /// Tie rod; on a rear corner its toe link.
        tie_rod: TieRod,
        /// Node of its `top`, place of its `bottom`, and a tube size.
        strut: Strut,
    }

    /// An arm of two tubes that is one with the upright, and a spring.
    TrailingArmCorner, TrailingArmWord = "trailing arm" {
        /// Nodes of its two `pivots`, place of its `hub`, and a tube size.
        arm: TrailingArm,
        /// Node of its `top`, place of its `bottom`, and what it stands `on`.
        spring: Spring,
    }

    /// Five links and a spring.
    LinksCorner, LinksWord = "links" {
        /// Exactly five links by name.
        links: Named<TieRod>,
        /// Node of its `top`, place of its `bottom`, and what it stands `on`.
        spring: Spring,
    }
}

/// What all kinds of corners have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrawnWheel {
    /// Centre of the wheel.
    pub centre: [Length; 3],
    /// Middle of the contact patch.
    pub contact_patch: [Length; 3],
    /// Where a brake torque acts.
    pub brakes: Torque,
    /// Where a drive torque acts.
    pub drive: Torque,
    /// Mass at the wheel centre, on the upright.
    pub unsprung: Mass,
}
