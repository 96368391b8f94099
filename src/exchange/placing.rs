//! Points of a table into a model: which move, which are new, which belong to a mirror twin.

use nalgebra::Point3;

use super::csv::Row;
use super::{BadLine, FARTHEST_MM};
use crate::model::{Drawn, DrawnPoint, drawn_points, mirror_image, original_of};
use crate::source::{Document, Edits, Named, New, Value, check_name, instead, nearest};
use crate::units::{Length, Quantity};

/// A coordinate that changes by less is the same, mm: far below any measurement.
const SAME_MM: f64 = 1e-9;
/// A side that is further off the mirror image of the other is told, mm.
const TWIN_OFF_MM: f64 = 0.01;

/// A point moves about nowhere if it moves by less than this part of its distance from the origin;
/// nearer to it than this, mm, nothing can be told.
const ABOUT: f64 = 0.2;
const NEAR_MM: f64 = 20.0;

/// A point that would stay within this of where it was, were the sign of a coordinate the other, mm;
/// one that moves no further than twice this, or lies no further under the ground than this, raises
/// no question.
const SLIP_MM: f64 = 5.0;

/// What became of the points.
#[derive(Debug)]
pub struct Placed {
    /// The model's text.
    pub text: String,
    /// Those that moved, furthest first.
    pub moved: Vec<Moved>,
    /// How many stay where they are.
    pub unmoved: usize,
    /// New nodes.
    pub added: Vec<(String, Point3<f64>)>,
    /// Right sides that are no mirror image of the left.
    pub twins_off: Vec<TwinOff>,
    /// Whether no point of the model as it was lies under the ground, z = 0.
    all_above_ground: bool,
}

/// A point that moved.
#[derive(Debug, Clone, PartialEq)]
pub struct Moved {
    /// Its name.
    pub name: String,
    /// Where it was, mm.
    pub from: Point3<f64>,
    /// Where it is, mm.
    pub to: Point3<f64>,
}

impl Placed {
    /// The unit in which the numbers of the table would leave most of the points that move about
    /// where they are, if there is one: they were read in another.
    pub fn unit_meant(&self) -> Option<&'static str> {
        let units = Length::KIND.units.iter().filter(|(_, size)| *size != 1.0);
        units.map(|(unit, size)| (*unit, *size)).find_map(|(unit, size)| {
            let stays = |step: &&Moved| {
                let from = step.from.coords;
                from.norm() > NEAR_MM && (step.to.coords * size - from).norm() < ABOUT * from.norm()
            };
            (2 * self.moved.iter().filter(stays).count() > self.moved.len()).then_some(unit)
        })
    }

    /// The points that would stay about where they were if the sign of a coordinate were the other:
    /// the axis and their names. Those of one side of the car are not asked about y, which their
    /// names tell.
    pub fn signs_slipped(&self) -> Vec<(&'static str, Vec<&str>)> {
        let has_side =
            |name: &str| [".l", ".r"].iter().any(|side| name.ends_with(side) || name.contains(&format!("{side}/")));
        let slipped = |axis: usize, step: &Moved| {
            let mut other = step.to;
            other[axis] = -other[axis];
            step.distance_mm() > 2.0 * SLIP_MM
                && (other - step.from).norm() <= SLIP_MM
                && (axis != 1 || !has_side(&step.name))
        };
        let of_axis = |(axis, name)| {
            let moved = self.moved.iter().filter(|step| slipped(axis, step));
            (name, moved.map(|step| step.name.as_str()).collect::<Vec<_>>())
        };
        ["x", "y", "z"].into_iter().enumerate().map(of_axis).filter(|(_, names)| !names.is_empty()).collect()
    }

    /// The points that go under the ground where nothing was: their names and how far, mm.
    pub fn under_ground(&self) -> Vec<(&str, f64)> {
        let moved = self.moved.iter().map(|step| (step.name.as_str(), &step.to));
        let all = moved.chain(self.added.iter().map(|(name, at)| (name.as_str(), at)));
        all.filter(|(_, at)| self.all_above_ground && at.z < -SLIP_MM).map(|(name, at)| (name, -at.z)).collect()
    }
}

impl Moved {
    /// How far it moved, mm.
    pub fn distance_mm(&self) -> f64 {
        (self.to - self.from).norm()
    }
}

/// A right side that is no mirror image of the left.
#[derive(Debug, Clone, PartialEq)]
pub struct TwinOff {
    /// Its name.
    pub name: String,
    /// The left point that it is made from.
    pub original: String,
    /// How far it is off the mirror image, mm.
    pub off_mm: f64,
    /// Whether it lies on the side of the car that the original is on.
    pub same_side: bool,
}

/// What a row is about.
enum Meant<'p> {
    /// A point of the file.
    Point(&'p DrawnPoint),
    /// The mirror twin of a point.
    Twin(String),
    /// A new node.
    New(String),
}

/// Puts points into a model. `add_all`: also new ones whose name is close to one that is there.
///
/// # Errors
/// Every row that cannot be used.
pub fn place(document: &Document, rows: &[Row], add_all: bool) -> Result<Placed, Vec<BadLine>> {
    let points = drawn_points(&document.root);
    let mut names = Names { drawn: Drawn::of(&document.root), points: Named::new(), rows, add_all };
    names.points.extend(points.iter().map(|point| (point.name.clone(), point)));
    let mut bad = Vec::new();
    let mut edits = Edits::new(document);
    let (mut moved, mut added, mut twins, mut unmoved) = (Vec::new(), Vec::new(), Vec::new(), 0);
    // Where each point is when all is done.
    let mut places: Named<Point3<f64>> =
        points.iter().filter_map(|point| Some((point.name.clone(), point.at?))).collect();
    let mut first_of: Named<u64> = Named::new();
    for row in rows {
        let meant = match names.meant(row) {
            Ok(meant) => meant,
            Err(found) => {
                bad.push(found);
                continue;
            }
        };
        let name = match &meant {
            Meant::Point(point) => &point.name,
            Meant::Twin(original) => original,
            Meant::New(name) => name,
        };
        if !matches!(meant, Meant::Twin(_))
            && let Some(first) = first_of.insert(name.clone(), row.line)
        {
            let message = format!("\"{name}\" stands in line {first} already");
            bad.push(BadLine::new(row.line, message).hint("take one of the two out"));
            continue;
        }
        match meant {
            Meant::Twin(original) => twins.push((row, original)),
            Meant::Point(point) => match changed(document, point, row, &mut edits) {
                Ok(Some(step)) => {
                    places.insert(point.name.clone(), row.at);
                    moved.push(step);
                }
                Ok(None) => unmoved += 1,
                Err(found) => bad.push(found),
            },
            Meant::New(name) => match near_enough(row) {
                Ok(()) => {
                    places.insert(name.clone(), row.at);
                    added.push((name, row.at));
                }
                Err(found) => bad.push(found),
            },
        }
    }
    let nodes = document.root.get("nodes").filter(|nodes| matches!(nodes.value, Value::Object(_)));
    match (nodes, rows.first()) {
        (Some(nodes), _) => {
            edits.append(nodes, &added.iter().map(|(name, at)| (name.clone(), new_place(at))).collect::<Vec<_>>());
        }
        (None, Some(row)) if !added.is_empty() => {
            bad.push(
                BadLine::new(row.line, "the model has no \"nodes\" to add points to")
                    .hint("write \"nodes\": {} into it"),
            );
        }
        _ => {}
    }
    if !bad.is_empty() {
        bad.sort_by_key(|bad| bad.line);
        return Err(bad);
    }
    let mut twins_off = Vec::new();
    for (row, original) in twins {
        let image = places.get(&original).map_or(row.at, mirror_image);
        let off_mm = (image - row.at).norm();
        if off_mm > TWIN_OFF_MM {
            let same_side = image.y * row.at.y < 0.0 && off_mm > SLIP_MM;
            twins_off.push(TwinOff { name: row.name.clone(), original, off_mm, same_side });
        } else {
            unmoved += 1;
        }
    }
    moved.sort_by(|one, other| other.distance_mm().total_cmp(&one.distance_mm()));
    let all_above_ground = points.iter().filter_map(|point| point.at).all(|at| at.z >= -SLIP_MM);
    Ok(Placed { text: edits.text(), moved, unmoved, added, twins_off, all_above_ground })
}

/// A place as a node has it.
pub(super) fn new_place(at: &Point3<f64>) -> New {
    New::List(at.iter().map(|coordinate| New::Number(*coordinate)).collect())
}

/// Sets the coordinates that change; `None` where none does.
fn changed(
    document: &Document,
    point: &DrawnPoint,
    row: &Row,
    edits: &mut Edits<'_>,
) -> Result<Option<Moved>, BadLine> {
    let list = document.root.follow(&point.path).map(|node| &node.value);
    let (Some(from), Some(Value::List(coordinates))) = (point.at, list) else {
        let message = format!("the place of \"{}\" in the model cannot be read", point.name);
        return Err(BadLine::new(row.line, message).hint("put it right there first; check tells what is wrong"));
    };
    let mut to = from;
    for (axis, node) in coordinates.iter().enumerate().take(3) {
        if (row.at[axis] - from[axis]).abs() > SAME_MM {
            to[axis] = row.at[axis];
            edits.set_length(node, row.at[axis]);
        }
    }
    if to == from {
        return Ok(None);
    }
    near_enough(row).map(|()| Some(Moved { name: point.name.clone(), from, to }))
}

/// Refuses a point that is nowhere near a car.
fn near_enough(row: &Row) -> Result<(), BadLine> {
    match row.at.iter().find(|coordinate| coordinate.abs() > FARTHEST_MM) {
        Some(far) => {
            let message = format!("\"{}\" is {} m from the origin", row.name, crate::units::brief(far.abs() / 1000.0));
            Err(BadLine::new(row.line, message).hint("is the unit right? --unit says what the numbers are in"))
        }
        None => Ok(()),
    }
}

/// The nearest known name that a name may be a slip of. An ending that both have for their side
/// tells nothing: `Z.l` is no slip of `A.l`.
fn near_name<'n>(name: &str, known: impl Iterator<Item = &'n str>) -> Option<&'n str> {
    let own = [".l", ".r"].into_iter().find(|side| name.ends_with(side));
    let may_be = |other: &&str| match own.filter(|own| other.ends_with(own)) {
        Some(ending) => nearest(&name[..name.len() - ending.len()], [&other[..other.len() - ending.len()]]).is_some(),
        None => nearest(name, [*other]).is_some(),
    };
    nearest(name, known.filter(may_be))
}

/// Finds out what rows mean.
struct Names<'p> {
    drawn: Drawn,
    points: Named<&'p DrawnPoint>,
    rows: &'p [Row],
    add_all: bool,
}

impl<'p> Names<'p> {
    fn meant(&self, row: &Row) -> Result<Meant<'p>, BadLine> {
        // A name may begin with a blank; one that stands there by mistake is passed over.
        let as_written = self.points.get(&row.name).or_else(|| self.points.get(row.name.trim()));
        if let Some(point) = as_written {
            return Ok(Meant::Point(point));
        }
        let name = row.name.trim();
        let twin = original_of(name).filter(|_| self.drawn.mirror);
        if let Some(original) = twin.filter(|original| self.points.contains_key(original) || self.is_in_table(original))
        {
            return Ok(Meant::Twin(original));
        }
        let known = || self.points.keys().map(String::as_str);
        let bad = |message: String| BadLine::new(row.line, message);
        if name.contains('/') {
            let message = format!("there is no point \"{name}\" in the model");
            return Err(bad(message).hint(instead(name, known().filter(|name| name.contains('/')))));
        }
        check_name(name).map_err(|message| bad(format!("\"{name}\": {message}")))?;
        if let Some(other) = self.drawn.bears(name) {
            let message = format!("\"{name}\" is a {other}, which has no place of its own");
            return Err(bad(message).hint("nodes, brackets, members and bodies do not share names: rename the point"));
        }
        match near_name(name, known()).filter(|_| !self.add_all) {
            Some(near) => {
                let message = format!("there is no point \"{name}\" in the model, but there is \"{near}\"");
                Err(bad(message).hint(format!("write \"{near}\" if that is meant; --add takes it as a new node")))
            }
            None => Ok(Meant::New(name.to_owned())),
        }
    }

    fn is_in_table(&self, name: &str) -> bool {
        self.rows.iter().any(|row| row.name.trim() == name)
    }
}
