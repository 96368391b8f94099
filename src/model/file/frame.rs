//! Nodes, brackets, members, mounts and bodies as the file gives them.

use schemars::{Schema, SchemaGenerator, json_schema};

use super::fastener::Bolts;
use crate::record;
use crate::source::{Named, Node, Read, Reader, Value, read_word};
use crate::units::{Angle, Inertia, Length, Mass, Rate, Stress, TurningRate};

record! {
    /// A node with more than its place.
    NodeKeys {
        /// Place.
        at: [Length; 3],
        /// Report it as a pick-up.
        pickup: bool = false,
    }

    /// A point held rigidly to a tube or a node.
    Bracket {
        /// Place.
        at: [Length; 3],
        /// A member, a tube of a corner (`front.l/lower.front`), a node, or a list of tubes.
        on: OneOrMany,
    }

    /// A tube of the frame: `ends`, or `through` for one tube that runs through several nodes.
    Member {
        /// First and second node.
        ends: Option<[String; 2]> = None,
        /// The nodes one tube runs through, straight between them and welded to the inner ones.
        through: Option<Vec<String>> = None,
        /// Name of a tube size.
        tube: String,
        /// Radius of the bends of a `through`, to the centre line.
        bend_radius: Option<Length> = None,
        /// Where the tube's own ends lie, joined rigidly to their nodes; null: at the node.
        end_at: Option<[Nullable<[Length; 3]>; 2]> = None,
        /// Length for the column check.
        column_length: Option<Length> = None,
        /// Direction that local z points to.
        up: Option<[f64; 3]> = None,
        /// Turn of local y and z about the tube's own axis.
        roll: Angle = Angle(0.0),
        /// How the tube's ends are joined: one for both, or a list of two.
        joint: Joints = Joints::Both(JointWord::Weld),
        /// Its welds; key by key in place of the file's.
        weld: Option<Weld> = None,
    }

    /// The welds at the ends of tubes.
    Weld {
        /// Throat; left out: the wall of the tube, 3 mm on a bar or flat (half of one that is thinner).
        throat: Option<Length> = None,
        /// Tensile strength of the filler, where it is weaker than the tube; of aluminium the strength
        /// of the weld metal, fw, without which its welds are not judged.
        filler_ultimate: Option<Stress> = None,
    }

    /// Turning rates of a joint; what is not named is rigid, 0 is free.
    Rates {
        /// About the tube.
        t: Option<TurningRate> = None,
        /// About local y.
        my: Option<TurningRate> = None,
        /// About local z.
        mz: Option<TurningRate> = None,
    }

    /// A joint that turns about one local axis.
    HingeKeys {
        /// `"y"` or `"z"`: the moment about that local axis is free.
        hinge: Option<Hinge> = None,
        /// Turning rates.
        rate: Option<Rates> = None,
    }

    /// How a mount holds, by direction (what is not named is free) or by a word in `hold`, and its bolts.
    MountKeys {
        /// `"one bolt"` or `"bolted pad"`, in place of directions.
        hold: Option<MountWord> = None,
        /// Along global x.
        x: Option<Shift> = None,
        /// Along global y.
        y: Option<Shift> = None,
        /// Along global z.
        z: Option<Shift> = None,
        /// About global x.
        rx: Option<Turn> = None,
        /// About global y.
        ry: Option<Turn> = None,
        /// About global z.
        rz: Option<Turn> = None,
        /// Its bolts; left out: they are not judged.
        bolts: Option<Bolts> = None,
    }

    /// A rigid mass on its own mounts.
    Body {
        /// Mass.
        mass: Mass,
        /// Centre of gravity.
        cg: [Length; 3],
        /// Moments of inertia about the centre of gravity, along the global axes; for vibration, which
        /// this version does not work out: it reads them and uses them for nothing.
        inertia: Option<[Inertia; 3]> = None,
        /// Node or bracket to how the body holds it.
        mounts: Named<BodyMount>,
        /// Inboard brake or drive torque goes into this body.
        takes_drive_torque: bool = false,
    }
}

/// A node: its place, and whether it is reported as a pick-up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NodeAt {
    /// Place.
    pub at: [Length; 3],
    /// Reported as a pick-up.
    pub pickup: bool,
}

impl Read for NodeAt {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match node.value {
            Value::List(_) => <[Length; 3]>::read(node, reader).map(|at| NodeAt { at, pickup: false }),
            Value::Object(_) => NodeKeys::read(node, reader).map(|keys| NodeAt { at: keys.at, pickup: keys.pickup }),
            _ => reader.refuse(node, format!("expected [x, y, z] or {{\"at\": [x, y, z]}}, found {}", node.kind())),
        }
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        let (place, keys) = (<[Length; 3]>::schema(generator), NodeKeys::schema(generator));
        json_schema!({ "anyOf": [place, keys] })
    }
}

/// A value that may be `null`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nullable<T>(pub Option<T>);

impl<T: Read> Read for Nullable<T> {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match node.value {
            Value::Null => Some(Nullable(None)),
            _ => T::read(node, reader).map(|value| Nullable(Some(value))),
        }
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        let value = T::schema(generator);
        json_schema!({ "anyOf": [value, { "type": "null" }] })
    }
}

/// One name, or a list of names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OneOrMany {
    /// One name.
    One(String),
    /// Several names.
    Many(Vec<String>),
}

impl OneOrMany {
    /// The names.
    pub fn names(&self) -> &[String] {
        match self {
            OneOrMany::One(name) => std::slice::from_ref(name),
            OneOrMany::Many(names) => names,
        }
    }
}

impl Read for OneOrMany {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.value {
            Value::Text(name) => Some(OneOrMany::One(name.clone())),
            Value::List(elements) if elements.is_empty() => reader.refuse(node, "the list is empty; it needs a name"),
            Value::List(_) => Vec::read(node, reader).map(OneOrMany::Many),
            _ => reader.refuse(node, format!("expected a name or a list of names, found {}", node.kind())),
        }
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "anyOf": [{ "type": "string" }, { "type": "array", "items": { "type": "string" }, "minItems": 1 }] })
    }
}

/// A local axis that a hinge turns about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hinge {
    /// Local y.
    Y,
    /// Local z.
    Z,
}

impl Read for Hinge {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        read_word(node, reader, &[("y", Hinge::Y), ("z", Hinge::Z)], "")
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "enum": ["y", "z"] })
    }
}

/// How one end of a tube is joined.
#[derive(Debug, Clone, PartialEq)]
pub enum JointWord {
    /// All six carried.
    Weld,
    /// A weld that turns by as much as the wall below it lets it.
    TubeOnTube,
    /// No moments, no torsion.
    RodEnd,
    /// The axial force is free.
    Slide,
    /// The moment about one local axis is free.
    Hinge(Hinge),
    /// Turning rates.
    Rate(Rates),
}

impl Read for JointWord {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match node.value {
            Value::Object(_) => {
                let keys = HingeKeys::read(node, reader)?;
                match (keys.hinge, keys.rate) {
                    _ if node.get("hinge").is_some() && node.get("rate").is_some() => {
                        reader.both(node, ["hinge", "rate"], "a joint is a \"hinge\" or has a \"rate\", not both")
                    }
                    (Some(hinge), _) => Some(JointWord::Hinge(hinge)),
                    (_, Some(rates)) => Some(JointWord::Rate(rates)),
                    _ => reader.none_of(node, "a joint written as an object needs \"hinge\" or \"rate\"", None),
                }
            }
            _ => {
                let words = [("weld", 0), ("tube-on-tube", 1), ("rod-end", 2), ("slide", 3)];
                let word = read_word(node, reader, &words, "{\"hinge\": …} or {\"rate\": …}")?;
                Some([JointWord::Weld, JointWord::TubeOnTube, JointWord::RodEnd, JointWord::Slide][word].clone())
            }
        }
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        let keys = HingeKeys::schema(generator);
        json_schema!({ "anyOf": [{ "enum": ["weld", "tube-on-tube", "rod-end", "slide"] }, keys] })
    }
}

/// The joints of a tube's two ends.
#[derive(Debug, Clone, PartialEq)]
pub enum Joints {
    /// The same at both.
    Both(JointWord),
    /// At the first and at the second end.
    Each([JointWord; 2]),
}

impl Joints {
    /// The joint of the first (0) or second (1) end.
    pub fn end(&self, end: usize) -> &JointWord {
        match self {
            Joints::Both(word) => word,
            Joints::Each(words) => &words[end],
        }
    }
}

impl Read for Joints {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match node.value {
            Value::List(_) => <[JointWord; 2]>::read(node, reader).map(Joints::Each),
            _ => JointWord::read(node, reader).map(Joints::Both),
        }
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        let (one, two) = (JointWord::schema(generator), <[JointWord; 2]>::schema(generator));
        json_schema!({ "anyOf": [one, two] })
    }
}

/// How a mount holds one shift.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shift {
    /// Held.
    Fixed,
    /// Sprung.
    Rate(Rate),
}

/// How a mount holds one turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Turn {
    /// Held.
    Fixed,
    /// Sprung.
    Rate(TurningRate),
}

impl Read for Shift {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.value {
            Value::Text(word) if word == "fixed" => Some(Shift::Fixed),
            Value::Text(word) if word.starts_with(char::is_alphabetic) => {
                reader.refuse(node, format!("\"{word}\" is neither a rate nor the word \"fixed\""))
            }
            _ => Rate::read(node, reader).map(Shift::Rate),
        }
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        let rate = Rate::schema(generator);
        json_schema!({ "anyOf": [{ "const": "fixed" }, rate] })
    }
}

impl Read for Turn {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.value {
            Value::Text(word) if word == "fixed" => Some(Turn::Fixed),
            Value::Text(word) if word.starts_with(char::is_alphabetic) => {
                reader.refuse(node, format!("\"{word}\" is neither a rate nor the word \"fixed\""))
            }
            _ => TurningRate::read(node, reader).map(Turn::Rate),
        }
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        let rate = TurningRate::schema(generator);
        json_schema!({ "anyOf": [{ "const": "fixed" }, rate] })
    }
}

/// How the ground holds the frame at a node.
#[derive(Debug, Clone, PartialEq)]
pub struct Mount {
    /// How.
    pub hold: MountHold,
    /// With what.
    pub bolts: Option<Bolts>,
}

/// How a mount holds.
#[derive(Debug, Clone, PartialEq)]
pub enum MountHold {
    /// By a word.
    Word(MountWord),
    /// By direction.
    Directions(Box<MountKeys>),
}

/// A word for how a mount holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MountWord {
    /// Three shifts held.
    OneBolt,
    /// All six held.
    BoltedPad,
}

const MOUNT_WORDS: [(&str, MountWord); 2] = [("one bolt", MountWord::OneBolt), ("bolted pad", MountWord::BoltedPad)];

impl Read for MountWord {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        read_word(node, reader, &MOUNT_WORDS, "")
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "enum": MOUNT_WORDS.map(|(word, _)| word) })
    }
}

/// How a body holds a node.
#[derive(Debug, Clone, PartialEq)]
pub enum BodyMount {
    /// As a mount of the ground.
    Mount(Mount),
    /// The node is part of the body and carries no tube.
    Rides,
    /// Two nodes: the three shifts, and the turn about the line between them.
    Clamp,
}

/// What a mount may be beside a word.
const BY_DIRECTION: &str = "or an object of directions such as {\"z\": \"fixed\"}";

impl Mount {
    fn of_word(word: MountWord) -> Mount {
        Mount { hold: MountHold::Word(word), bolts: None }
    }
}

/// A mount that is written as an object: a word in `hold`, or directions.
fn mount_keys(node: &Node, reader: &mut Reader) -> Option<Mount> {
    let keys = MountKeys::read(node, reader)?;
    let direction = ["x", "y", "z", "rx", "ry", "rz"].into_iter().find(|direction| node.get(direction).is_some());
    match (keys.hold, direction) {
        (Some(_), Some(direction)) => {
            reader.both(node, ["hold", direction], "a mount holds by a word in \"hold\" or by directions, not both")
        }
        (Some(word), None) => Some(Mount { hold: MountHold::Word(word), bolts: keys.bolts }),
        (None, None) if node.get("bolts").is_some() => {
            reader.none_of(node, "bolts alone do not tell how the mount holds; it needs \"hold\" or directions", None)
        }
        (None, _) => Some(Mount { bolts: keys.bolts.clone(), hold: MountHold::Directions(Box::new(keys)) }),
    }
}

impl Read for Mount {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match node.value {
            Value::Object(_) => mount_keys(node, reader),
            _ => read_word(node, reader, &MOUNT_WORDS, BY_DIRECTION).map(Mount::of_word),
        }
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        let (word, keys) = (MountWord::schema(generator), MountKeys::schema(generator));
        json_schema!({ "anyOf": [word, keys] })
    }
}

impl Read for BodyMount {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match node.value {
            Value::Object(_) => mount_keys(node, reader).map(BodyMount::Mount),
            _ => {
                let words = [("one bolt", 0), ("bolted pad", 1), ("rides", 2), ("clamp", 3)];
                read_word(node, reader, &words, BY_DIRECTION).map(|word| match word {
                    0 => BodyMount::Mount(Mount::of_word(MountWord::OneBolt)),
                    1 => BodyMount::Mount(Mount::of_word(MountWord::BoltedPad)),
                    2 => BodyMount::Rides,
                    _ => BodyMount::Clamp,
                })
            }
        }
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        let keys = MountKeys::schema(generator);
        json_schema!({ "anyOf": [{ "enum": ["one bolt", "bolted pad", "rides", "clamp"] }, keys] })
    }
}
