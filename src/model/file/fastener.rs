//! Rod-ends and bolts as the file gives them.

use schemars::{Schema, SchemaGenerator, json_schema};

use crate::record;
use crate::section::{BOLT_CLASSES, BoltClass, Thread};
use crate::source::{Node, Read, Reader, read_word};
use crate::units::{Force, Length, Stress};

record! {
    /// A rod-end, its thread along the tube.
    RodEnd {
        /// Thread of the shank: `"M12"`, or with a fine pitch `"M12x1.25"`.
        thread: ThreadName,
        /// From the centre of the ball to where the shank is held.
        stick_out: Length,
        /// The maker's static figure in the plane of the ring.
        rated: Force,
        /// Yield strength of the shank; left out: its bending is not judged.
        yield_strength as "yield": Option<Stress> = None,
    }

    /// The bolts of a mount.
    Bolts {
        /// Thread: `"M10"`, or with a fine pitch `"M10x1.25"`.
        size: ThreadName,
        /// Property class: `"8.8"`.
        grade: Grade,
        /// How many.
        count: Count,
        /// The distance over which a moment levers: between the bolts, or from a bolt to the edge of the
        /// pad, whichever is less. Left out: what a moment does to the bolts is not judged.
        pitch: Option<Length> = None,
        /// Direction of the bolts, global; left out: the worst is taken.
        along: Option<[f64; 3]> = None,
    }
}

/// A thread by its designation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThreadName(pub Thread);

impl Read for ThreadName {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match Thread::named(&String::read(node, reader)?) {
            Ok(thread) => Some(ThreadName(thread)),
            Err(message) => reader.refuse(node, message),
        }
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "string", "pattern": "^M[0-9]+([x×][0-9.]+)?$" })
    }
}

/// A property class of bolts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grade(pub BoltClass);

impl Read for Grade {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let words: Vec<(&str, BoltClass)> = BOLT_CLASSES.iter().map(|class| (class.name, *class)).collect();
        if matches!(&node.value, crate::source::Value::Text(text) if text == "12.9") {
            let hint = "give \"10.9\", which is weaker";
            return reader.refuse_with_hint(node, "EN 1993-1-8 Table 3.1 ends at class 10.9", hint);
        }
        read_word(node, reader, &words, "").map(Grade)
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        let names: Vec<&str> = BOLT_CLASSES.iter().map(|class| class.name).collect();
        json_schema!({ "enum": names })
    }
}

/// A number of things, 1 to 100.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Count(pub u8);

impl Read for Count {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let number = f64::read(node, reader)?;
        if number.fract() == 0.0 && (1.0..=100.0).contains(&number) {
            return Some(Count(number as u8));
        }
        reader.refuse(node, format!("{number} is no number of bolts; it is a whole number from 1 to 100"))
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "integer", "minimum": 1, "maximum": 100 })
    }
}
