//! The JSON shape of a model file, format 1, as `models/FORMAT.md` describes it.
//!
//! Reads a tree; gives types that hold names and quantities in the file's default units. Leaves
//! out what they mean together, which `validate` has.

pub mod adjusters;
pub mod bracing;
pub mod car;
pub mod cases;
pub mod fastener;
pub mod frame;
pub mod section;
pub mod sizing;

use schemars::{Schema, SchemaGenerator, json_schema};

use crate::record;
use crate::source::{Named, Node, Read, Reader, Value};

pub use adjusters::Adjuster;
pub use bracing::{AutoBracing, Bracing};
pub use car::{
    AntiRoll, BarSide, CentreOfGravity, Corner, DoubleWishboneCorner, FrontRear, LinksCorner, Spring, Strut,
    StrutCorner, TieRod, Torque, TrailingArm, TrailingArmCorner, Vehicle, Wishbone,
};
pub use cases::{
    ActsAt, Air, Case, CaseLimits, Duty, DutyEvent, G, GivenWheel, Limit, Limits, Motion, Twist, WheelForce, Wheels,
};
pub use fastener::{Bolts, RodEnd};
pub use frame::{
    Body, BodyMount, Bracket, Hinge, JointWord, Joints, Member, Mount, MountHold, MountKeys, MountWord, NodeAt,
    Nullable, OneOrMany, Rates, Shift, Turn, Weld,
};
pub use section::{GivenShape, Material, Shape, Tube, YieldAtWeld};
pub use sizing::Sizing;

record! {
    /// A tube frame, the car around it, and what is asked of it (crossbrace model file, format 1).
    File {
        /// The JSON Schema of this file, for editors.
        schema as "$schema": Option<String> = None,
        /// 1.
        format: Format = Format,
        /// What the frame is called.
        title: Option<String> = None,
        /// Date of this state of the model, `YYYY-MM-DD`, for the title block of the sheets.
        date: Option<Date> = None,
        /// Anything you want to say about the model.
        notes: Option<String> = None,
        /// Every entry whose name ends in `.l` gets a mirror twin that ends in `.r`.
        mirror: bool = false,
        /// Name to material; the built-in ones need no entry.
        materials: Named<Material> = Named::new(),
        /// Name to a section and its material.
        tubes: Named<Tube> = Named::new(),
        /// Name to a place.
        nodes: Named<NodeAt> = Named::new(),
        /// Name to a point held rigidly to a tube or a node.
        brackets: Named<Bracket> = Named::new(),
        /// Name to a tube of the frame.
        members: Named<Member> = Named::new(),
        /// Node or bracket to how the ground (the car's body) holds the frame there.
        mounts: Named<Mount> = Named::new(),
        /// Name to a rigid mass (engine, gearbox, steering rack, battery) on its own mounts.
        bodies: Named<Body> = Named::new(),
        /// The car's figures, for load transfer.
        vehicle: Option<Vehicle> = None,
        /// `front.l`, `front.r`, `rear.l`, `rear.r` to one wheel's suspension.
        corners: Named<Corner> = Named::new(),
        /// `front`, `rear` to an anti-roll bar.
        anti_roll: Named<AntiRoll> = Named::new(),
        /// The welds of all tubes, where a member gives none of its own.
        weld: Option<Weld> = None,
        /// Name to load case; at least one.
        cases: Named<Case> = Named::new(),
        /// What counts as good enough.
        limits: Limits = Limits::default(),
        /// Name to a change to this file, to compare.
        options: Named<OptionChange> = Named::new(),
        /// Tube sizes that a search may choose from.
        sizing: Option<Sizing> = None,
        /// Braces that a search may add.
        bracing: Option<Bracing> = None,
        /// Name to what can be moved on the car; every position is checked.
        adjusters: Named<Adjuster> = Named::new(),
        /// How often what happens in one life of the frame, a season say.
        duty: Option<Duty> = None,
    }

    /// A change to this file, to compare.
    OptionChange {
        /// A JSON Merge Patch (RFC 7396) on this file as written, before the mirror.
        change: Change,
    }
}

/// The format number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Format;

impl Read for Format {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match f64::read(node, reader)? {
            1.0 => Some(Format),
            other => reader.refuse(node, format!("format {other} is not known; this version reads format 1")),
        }
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "const": 1 })
    }
}

/// A calendar date, `YYYY-MM-DD` (ISO 8601).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Date(pub String);

impl Read for Date {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let text = String::read(node, reader)?;
        let parts: Vec<Option<u32>> = text.split('-').map(|part| part.parse().ok()).collect();
        let shaped = text.len() == 10 && text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-');
        match parts.as_slice() {
            [Some(_), Some(1..=12), Some(1..=31)] if shaped => Some(Date(text)),
            _ => reader.refuse(node, format!("\"{text}\" is no date; write year-month-day, such as \"2026-11-25\"")),
        }
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "string", "format": "date" })
    }
}

/// The patch of an option; it is merged and read elsewhere (`change`).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Change;

impl Read for Change {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        if !matches!(node.value, Value::Object(_)) {
            return reader.refuse(node, format!("expected an object with the keys to change, found {}", node.kind()));
        }
        match node.entry("options") {
            Some(entry) => reader.key::<Untouched>(entry).map(|Untouched| Change),
            None => Some(Change),
        }
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "object" })
    }
}

/// What a change may not hold.
struct Untouched;

impl Read for Untouched {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        reader.refuse_with_hint(node, "a change may not touch \"options\"", "give each option its whole change")
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!(false)
    }
}

/// The keys that every file must have, with what they hold. [`File`] itself gives them a default,
/// so that what else is wrong in a file without them is found in the same run.
pub const REQUIRED: [(&str, &str); 6] = [
    ("format", "1, the format of this file"),
    ("tubes", "the tube sizes: name to a section and its material"),
    ("nodes", "name to a place [x, y, z]"),
    ("members", "the tubes: name to ends and tube size"),
    ("mounts", "how the car's body holds the frame: {\"C.l\": \"bolted pad\"}"),
    ("cases", "the load cases, at least one"),
];

/// The JSON Schema of a model file, with a description for every key.
pub fn json_schema() -> serde_json::Value {
    let mut schema = SchemaGenerator::default().into_root_schema_for::<File>().to_value();
    if let Some(required) = schema.get_mut("required").and_then(serde_json::Value::as_array_mut) {
        required.extend(REQUIRED.map(|(key, _)| serde_json::Value::from(key)));
    }
    schema
}
