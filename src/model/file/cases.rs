//! Load cases and limits as the file gives them.

use schemars::{Schema, SchemaGenerator, json_schema};

use super::frame::Nullable;
use crate::record;
use crate::source::{Keyed, Named, Node, Read, Reader, Value, read_word};
use crate::units::{Acceleration, Angle, Force, Frequency, Length, LineLoad, Moment, TwistStiffness};

record! {
    /// A load case; all parts add up.
    Case {
        /// The car's acceleration.
        g: Option<G> = None,
        /// Corner to the force on the car at that wheel, or `"none"`.
        wheels: Option<Wheels> = None,
        /// Which wheels brake.
        braked: Option<Vec<String>> = None,
        /// Which wheels drive.
        driven: Option<Vec<String>> = None,
        /// Downforce.
        air: Option<Air> = None,
        /// Node or body to a force.
        forces: Keyed<[Force; 3]> = Keyed::default(),
        /// Node or body to a moment.
        moments: Keyed<[Moment; 3]> = Keyed::default(),
        /// Member or corner tube to a load on its length.
        line_loads: Keyed<[LineLoad; 3]> = Keyed::default(),
        /// Node to the movement of the ground side of its mount.
        moved: Keyed<Motion> = Keyed::default(),
        /// The jig's twist test.
        twist: Option<Twist> = None,
        /// Multiplies the finished loads of this case.
        factor: f64 = 1.0,
        /// In place of the file's limits for this case; null: not judged in it.
        limits: CaseLimits = CaseLimits::default(),
    }

    /// The car's acceleration, ISO 8855.
    G {
        /// Forwards; braking is negative.
        long: Acceleration = Acceleration(0.0),
        /// To the left; a left-hand bend is positive.
        lat: Acceleration = Acceleration(0.0),
        /// Factor on weight; 1 standing.
        vert: Acceleration = Acceleration(1.0),
    }

    /// Downforce of each axle; negative: lift.
    Air {
        /// Front axle.
        front: Force = Force(0.0),
        /// Rear axle.
        rear: Force = Force(0.0),
    }

    /// A force on the car at a wheel.
    WheelForce {
        /// Force.
        force: [Force; 3],
        /// Moment about the contact patch.
        moment: Option<[Moment; 3]> = None,
        /// Where its fx acts: `"patch"` or `"wheel_centre"`.
        at: Option<ActsAt> = None,
    }

    /// Movement of the ground side of a mount.
    Motion {
        /// Along global x.
        x: Option<Length> = None,
        /// Along global y.
        y: Option<Length> = None,
        /// Along global z.
        z: Option<Length> = None,
        /// About global x.
        rx: Option<Angle> = None,
        /// About global y.
        ry: Option<Angle> = None,
        /// About global z.
        rz: Option<Angle> = None,
    }

    /// The jig's twist test: moment ÷ distance in y, up at the first node, down at the second.
    Twist {
        /// First and second node.
        axle: [String; 2],
        /// Moment.
        moment: Moment,
    }

    /// How often what happens in one life.
    Duty {
        /// Name to what happens.
        events: Named<DutyEvent>,
    }

    /// Something that happens again and again: the frame goes from one case to another and back.
    DutyEvent {
        /// The case that it starts from; left out: `standing` where there is one, else the frame
        /// without load.
        from: Option<String> = None,
        /// The case that it goes to.
        to: String,
        /// How many times in one life.
        count: f64,
    }

    /// What counts as good enough; a limit bears the name of its check.
    Limits {
        /// Margin on yield.
        yield_margin as "yield": f64 = 1.5,
        /// Margin of the column check.
        column: f64 = 1.5,
        /// Margin on the frame's buckling load.
        buckling: f64 = 3.0,
        /// Largest change of a pick-up's place.
        pickup_move: Option<Length> = None,
        /// Largest change of toe.
        toe: Option<Angle> = None,
        /// Largest change of camber.
        camber: Option<Angle> = None,
        /// Lowest natural frequency.
        frequency: Option<Frequency> = None,
        /// Lowest twist stiffness.
        twist: Option<TwistStiffness> = None,
        /// Lives of `duty`.
        fatigue: Option<f64> = None,
    }

    /// Limits of one case, in place of the file's; null: not judged in this case.
    CaseLimits {
        /// Margin on yield.
        yield_margin as "yield": Limit<f64> = Limit::AsFile,
        /// Margin of the column check.
        column: Limit<f64> = Limit::AsFile,
        /// Margin on the frame's buckling load.
        buckling: Limit<f64> = Limit::AsFile,
        /// Largest change of a pick-up's place.
        pickup_move: Limit<Length> = Limit::AsFile,
        /// Largest change of toe.
        toe: Limit<Angle> = Limit::AsFile,
        /// Largest change of camber.
        camber: Limit<Angle> = Limit::AsFile,
        /// Lowest twist stiffness.
        twist: Limit<TwistStiffness> = Limit::AsFile,
    }
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            yield_margin: 1.5,
            column: 1.5,
            buckling: 3.0,
            pickup_move: None,
            toe: None,
            camber: None,
            frequency: None,
            twist: None,
            fatigue: None,
        }
    }
}

impl Default for CaseLimits {
    fn default() -> Self {
        Self {
            yield_margin: Limit::AsFile,
            column: Limit::AsFile,
            buckling: Limit::AsFile,
            pickup_move: Limit::AsFile,
            toe: Limit::AsFile,
            camber: Limit::AsFile,
            twist: Limit::AsFile,
        }
    }
}

/// A limit of a case.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit<T> {
    /// As the file's own.
    AsFile,
    /// Not judged in this case.
    Off,
    /// Another value.
    Value(T),
}

impl<T: Read> Read for Limit<T> {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        Nullable::<T>::read(node, reader).map(|value| value.0.map_or(Limit::Off, Limit::Value))
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        Nullable::<T>::schema(generator)
    }
}

/// Where a wheel's fx acts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ActsAt {
    /// At the contact patch.
    Patch,
    /// At the wheel centre.
    WheelCentre,
}

impl Read for ActsAt {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        read_word(node, reader, &[("patch", ActsAt::Patch), ("wheel_centre", ActsAt::WheelCentre)], "")
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "enum": ["patch", "wheel_centre"] })
    }
}

/// A wheel's force: a bare list, or an object.
#[derive(Debug, Clone, PartialEq)]
pub struct GivenWheel {
    /// What is given.
    pub force: WheelForce,
    /// Whether it was a bare list.
    pub bare: bool,
}

impl Read for GivenWheel {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match node.value {
            Value::List(_) => {
                let force = <[Force; 3]>::read(node, reader)?;
                Some(GivenWheel { force: WheelForce { force, moment: None, at: None }, bare: true })
            }
            Value::Object(_) => WheelForce::read(node, reader).map(|force| GivenWheel { force, bare: false }),
            _ => reader
                .refuse(node, format!("expected [fx, fy, fz] or {{\"force\": [fx, fy, fz]}}, found {}", node.kind())),
        }
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        let (list, object) = (<[Force; 3]>::schema(generator), WheelForce::schema(generator));
        json_schema!({ "anyOf": [list, object] })
    }
}

/// The wheel forces of a case.
#[derive(Debug, Clone, PartialEq)]
pub enum Wheels {
    /// A frame alone, or a car in the air.
    None,
    /// In place of the worked-out ones.
    Given(Named<GivenWheel>),
}

impl Read for Wheels {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.value {
            Value::Object(_) => Named::read(node, reader).map(Wheels::Given),
            _ => read_word(node, reader, &[("none", ())], "or an object of wheels such as {\"front.l\": [0, 0, 2000]}")
                .map(|()| Wheels::None),
        }
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        let given = Named::<GivenWheel>::schema(generator);
        json_schema!({ "anyOf": [{ "const": "none" }, given] })
    }
}
