//! The straight lines of a drawing in the ASCII form of DXF, the published interchange format.
//!
//! A file is pairs of lines: a group code and its value. Reads of `ENTITIES` the `LINE`s and the
//! straight pieces of `LWPOLYLINE`s and `POLYLINE`s (flat at their elevation and in their own
//! plane, or in space), of `HEADER` the unit `$INSUNITS`; everything else is counted. Blocks and
//! paper space are left out. Codes as in the format's published reference, from memory; the
//! numbers of the units were compared with an open-source reader.

use indexmap::IndexMap;
use nalgebra::{Point3, Vector3};

use super::BadLine;

/// Most lines that are read: far above any frame.
const MOST_LINES: usize = 20_000;

/// Largest drawing, bytes.
const LARGEST_BYTES: usize = 32 * 1024 * 1024;
/// Most entities of a drawing.
const MOST_ENTITIES: usize = 1_000_000;

/// What of a drawing is of use.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// The lines, in the drawing's own unit, in file order.
    pub lines: Vec<Line>,
    /// Its unit, where it says one that is known here; `None` where it says none.
    pub unit: Result<Option<&'static str>, i64>,
    /// What was left out, and how often.
    pub left_out: IndexMap<String, usize>,
}

/// A straight line.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Its ends, in the drawing's unit.
    pub ends: [Point3<f64>; 2],
    /// The layer that it lies on.
    pub layer: String,
    /// The line of the file where it begins.
    pub at: u64,
}

/// One pair of lines.
#[derive(Debug, Clone, Copy)]
struct Pair<'t> {
    code: i32,
    value: &'t str,
    line: u64,
}

impl Pair<'_> {
    fn number(&self) -> Result<f64, BadLine> {
        self.value
            .parse()
            .ok()
            .filter(|value: &f64| value.is_finite())
            .ok_or_else(|| BadLine::new(self.line + 1, format!("\"{}\" is not a number", beginning(self.value))))
    }

    fn whole(&self) -> Result<i64, BadLine> {
        let bad = || BadLine::new(self.line + 1, format!("\"{}\" is not a whole number", beginning(self.value)));
        self.value.parse().map_err(|_| bad())
    }
}

/// One entity: its kind, its pairs, and the vertices that follow a `POLYLINE`.
struct Entity<'t> {
    kind: &'t str,
    at: u64,
    pairs: Vec<Pair<'t>>,
    vertices: Vec<Vec<Pair<'t>>>,
}

/// Reads a drawing.
///
/// # Errors
/// The first line that is not DXF; more than any frame has.
pub fn read_drawing(bytes: &[u8]) -> Result<Drawing, BadLine> {
    if bytes.len() > LARGEST_BYTES {
        let bad = BadLine::new(1, format!("the drawing is larger than {} MiB", LARGEST_BYTES / (1024 * 1024)));
        return Err(bad.hint("save the lines of the frame alone"));
    }
    if bytes.contains(&0) {
        let bad = BadLine::new(1, "this is not a DXF file in text form");
        return Err(bad.hint("save the drawing as ASCII DXF"));
    }
    // Layer names may be in any of the old code pages; everything else is ASCII.
    let mut text = String::from_utf8_lossy(bytes);
    if !text.contains('\n') {
        // Lines that end in a carriage return alone, as some programs still write them.
        text = text.replace('\r', "\n").into();
    }
    let pairs = pairs(text.trim_start_matches(crate::source::BYTE_ORDER_MARK))?;
    let mut drawing = Drawing { lines: Vec::new(), unit: Ok(None), left_out: IndexMap::new() };
    let mut section = "";
    let mut entities: Vec<Entity<'_>> = Vec::new();
    for (at, pair) in pairs.iter().enumerate() {
        let before = at.checked_sub(1).map(|before| pairs[before]);
        match (pair.code, pair.value, before) {
            (2, name, Some(Pair { code: 0, value: "SECTION", .. })) => section = name,
            (0, "ENDSEC", _) => section = "",
            (70, _, Some(Pair { code: 9, value: "$INSUNITS", .. })) if section == "HEADER" => {
                drawing.unit = unit(pair.whole()?);
            }
            (0, kind, _) if section == "ENTITIES" => begin(kind, pair.line, &mut entities)?,
            _ if section == "ENTITIES" => {
                if let Some(entity) = entities.last_mut() {
                    entity.vertices.last_mut().unwrap_or(&mut entity.pairs).push(*pair);
                }
            }
            _ => {}
        }
    }
    for entity in &entities {
        entity.draw(&mut drawing)?;
        if drawing.lines.len() > MOST_LINES {
            return Err(BadLine::new(entity.at, format!("the drawing holds more than {MOST_LINES} lines")));
        }
    }
    Ok(drawing)
}

fn pairs(text: &str) -> Result<Vec<Pair<'_>>, BadLine> {
    let mut pairs = Vec::new();
    let mut lines = text.lines().zip(1_u64..);
    let mut last = 0;
    while let Some((code, line)) = lines.next() {
        last = line;
        if code.trim().is_empty() && text.lines().skip(line as usize).all(|rest| rest.trim().is_empty()) {
            break;
        }
        let Ok(code) = code.trim().parse() else {
            let bad = BadLine::new(line, format!("\"{}\" is not a group code of DXF", beginning(code.trim())));
            return Err(bad.hint("save the drawing as ASCII DXF"));
        };
        let Some((value, _)) = lines.next() else { break };
        let pair = Pair { code, value: value.trim(), line };
        if (pair.code, pair.value) == (0, "EOF") {
            return Ok(pairs);
        }
        pairs.push(pair);
    }
    Err(BadLine::new(last.max(1), "the file ends before its EOF").hint("it may have been cut off: save it again"))
}

/// The beginning of a text that may be a whole file, for a message.
fn beginning(text: &str) -> String {
    const LONGEST: usize = 40;
    match text.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}

/// The unit of a number of `$INSUNITS`; `Err` for one that is not known here.
fn unit(number: i64) -> Result<Option<&'static str>, i64> {
    match number {
        0 => Ok(None),
        1 => Ok(Some("in")),
        2 => Ok(Some("ft")),
        4 => Ok(Some("mm")),
        5 => Ok(Some("cm")),
        6 => Ok(Some("m")),
        9 => Ok(Some("thou")),
        other => Err(other),
    }
}

fn begin<'t>(kind: &'t str, line: u64, entities: &mut Vec<Entity<'t>>) -> Result<(), BadLine> {
    if entities.len() == MOST_ENTITIES {
        return Err(BadLine::new(line, format!("the drawing holds more than {MOST_ENTITIES} entities")));
    }
    if kind != "VERTEX" {
        entities.push(Entity { kind, at: line, pairs: Vec::new(), vertices: Vec::new() });
        return Ok(());
    }
    match entities.last_mut().filter(|entity| entity.kind == "POLYLINE") {
        Some(polyline) => polyline.vertices.push(Vec::new()),
        None => return Err(BadLine::new(line, "here a VERTEX stands outside of a POLYLINE")),
    }
    Ok(())
}

/// A corner of a polyline: its place in the polyline's own plane or in space, and whether the
/// piece that begins there is an arc.
struct Corner {
    at: Point3<f64>,
    bulges: bool,
}

impl Entity<'_> {
    /// Adds its straight lines to the drawing, or counts what is left out.
    fn draw(&self, drawing: &mut Drawing) -> Result<(), BadLine> {
        if number(&self.pairs, 67)?.unwrap_or(0.0) != 0.0 {
            count(drawing, "entities in paper space");
            return Ok(());
        }
        match self.kind {
            "LINE" => {
                let ends = [self.point(10)?, self.point(11)?];
                drawing.lines.push(Line { ends, layer: self.layer(), at: self.at });
            }
            "LWPOLYLINE" => self.chain(&self.flat_corners()?, Some(self.plane()?), drawing)?,
            "POLYLINE" => {
                let flags = flags(&self.pairs)?;
                // 2 and 4: a fitted curve; 16 and 64: a mesh.
                if flags & (2 | 4 | 16 | 64) != 0 {
                    count(drawing, "POLYLINE that is a curve or a mesh");
                } else {
                    let plane = if flags & 8 == 0 { Some(self.plane()?) } else { None };
                    self.chain(&self.vertex_corners()?, plane, drawing)?;
                }
            }
            "SEQEND" => {}
            kind => count(drawing, kind),
        }
        Ok(())
    }

    /// The straight pieces between the corners of a polyline.
    fn chain(
        &self,
        corners: &[Corner],
        plane: Option<[Vector3<f64>; 3]>,
        drawing: &mut Drawing,
    ) -> Result<(), BadLine> {
        let place = |corner: &Corner| match plane {
            Some([x, y, z]) => Point3::from(x * corner.at.x + y * corner.at.y + z * corner.at.z),
            None => corner.at,
        };
        let closed = flags(&self.pairs)? & 1 != 0 && corners.len() > 2;
        let next = corners.iter().skip(1).chain(corners.first().filter(|_| closed));
        for (corner, next) in corners.iter().zip(next) {
            if corner.bulges {
                count(drawing, "arcs in polylines");
            } else {
                drawing.lines.push(Line { ends: [place(corner), place(next)], layer: self.layer(), at: self.at });
            }
        }
        Ok(())
    }

    /// Corners of an `LWPOLYLINE`: each begins with its x.
    fn flat_corners(&self) -> Result<Vec<Corner>, BadLine> {
        let elevation = number(&self.pairs, 38)?.unwrap_or(0.0);
        let mut corners: Vec<Corner> = Vec::new();
        for pair in &self.pairs {
            match (pair.code, corners.last_mut()) {
                (10, _) => corners.push(Corner { at: Point3::new(pair.number()?, 0.0, elevation), bulges: false }),
                (20, Some(corner)) => corner.at.y = pair.number()?,
                (42, Some(corner)) => corner.bulges = pair.number()? != 0.0,
                _ => {}
            }
        }
        Ok(corners)
    }

    /// Corners of a `POLYLINE`; a flat one lies at its elevation, which its vertices repeat.
    fn vertex_corners(&self) -> Result<Vec<Corner>, BadLine> {
        let corner = |pairs: &Vec<Pair<'_>>| {
            let at = point(pairs, 10, self.at)?;
            Ok(Corner { at, bulges: number(pairs, 42)?.unwrap_or(0.0) != 0.0 })
        };
        self.vertices.iter().map(corner).collect()
    }

    /// The axes of its own plane: x, y, and z along the direction that it is extruded in.
    ///
    /// Where z is close to that of the world, x is square to the world's y, else to its z.
    fn plane(&self) -> Result<[Vector3<f64>; 3], BadLine> {
        let z = Vector3::new(
            number(&self.pairs, 210)?.unwrap_or(0.0),
            number(&self.pairs, 220)?.unwrap_or(0.0),
            number(&self.pairs, 230)?.unwrap_or(1.0),
        );
        let z = z.try_normalize(1e-9).ok_or_else(|| BadLine::new(self.at, "here an entity lies in no plane"))?;
        let near = 1.0 / 64.0;
        let aside = if z.x.abs() < near && z.y.abs() < near { Vector3::y() } else { Vector3::z() };
        let x = aside.cross(&z).normalize();
        Ok([x, z.cross(&x), z])
    }

    fn point(&self, code: i32) -> Result<Point3<f64>, BadLine> {
        point(&self.pairs, code, self.at)
    }

    fn layer(&self) -> String {
        self.pairs.iter().find(|pair| pair.code == 8).map_or("0", |pair| pair.value).to_owned()
    }
}

/// A point whose x has this code; y and z have the next two at ten more each, z may be left out.
fn point(pairs: &[Pair<'_>], code: i32, at: u64) -> Result<Point3<f64>, BadLine> {
    let missing = || BadLine::new(at, "here an entity has a point without x or y");
    let x = number(pairs, code)?.ok_or_else(missing)?;
    let y = number(pairs, code + 10)?.ok_or_else(missing)?;
    Ok(Point3::new(x, y, number(pairs, code + 20)?.unwrap_or(0.0)))
}

fn number(pairs: &[Pair<'_>], code: i32) -> Result<Option<f64>, BadLine> {
    pairs.iter().find(|pair| pair.code == code).map(Pair::number).transpose()
}

fn flags(pairs: &[Pair<'_>]) -> Result<i64, BadLine> {
    pairs.iter().find(|pair| pair.code == 70).map_or(Ok(0), Pair::whole)
}

fn count(drawing: &mut Drawing, what: &str) {
    *drawing.left_out.entry(what.to_owned()).or_default() += 1;
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawing(entities: &str) -> Drawing {
        let text = format!("0 SECTION 2 ENTITIES {entities} 0 ENDSEC 0 EOF");
        let lines = text.split_whitespace().collect::<Vec<_>>().join("\r\n");
        read_drawing(lines.as_bytes()).unwrap()
    }

    fn ends(drawing: &Drawing) -> Vec<[[f64; 3]; 2]> {
        drawing.lines.iter().map(|line| line.ends.map(Into::into)).collect()
    }

    #[test]
    fn a_line_without_z_lies_on_the_ground() {
        let found = drawing("0 LINE 8 rails 10 1 20 2 11 3 21 4 31 5");
        assert_eq!(ends(&found), [[[1.0, 2.0, 0.0], [3.0, 4.0, 5.0]]]);
        assert_eq!(found.lines[0].layer, "rails");
    }

    #[test]
    fn lines_that_end_in_a_carriage_return_alone_are_lines() {
        let text = "0\rSECTION\r2\rENTITIES\r0\rLINE\r8\rrails\r10\r1\r20\r2\r11\r3\r21\r4\r31\r5\r0\rENDSEC\r0\rEOF\r";
        let found = read_drawing(text.as_bytes()).unwrap();
        assert_eq!(ends(&found), [[[1.0, 2.0, 0.0], [3.0, 4.0, 5.0]]]);
        let bad = read_drawing(text.replace("10\r1\r", "10\rx\r").as_bytes()).unwrap_err();
        assert_eq!((bad.line, bad.message.as_str()), (10, "\"x\" is not a number"));
    }

    #[test]
    fn of_a_line_that_is_no_group_code_the_beginning_is_told() {
        let bad = read_drawing("solid ".repeat(1000).as_bytes()).unwrap_err();
        assert_eq!(bad.message, format!("\"{}…\" is not a group code of DXF", &"solid ".repeat(7)[..40]));
    }

    #[test]
    fn a_closed_flat_polyline_comes_back_to_its_start_at_its_elevation() {
        let found = drawing("0 LWPOLYLINE 90 3 70 1 38 7 10 0 20 0 10 1 20 0 10 1 20 1");
        assert_eq!(
            ends(&found),
            [
                [[0.0, 0.0, 7.0], [1.0, 0.0, 7.0]],
                [[1.0, 0.0, 7.0], [1.0, 1.0, 7.0]],
                [[1.0, 1.0, 7.0], [0.0, 0.0, 7.0]]
            ]
        );
    }

    /// A sketch on the plane y = -4 seen from the right: its x is the world's x, its y the world's z.
    #[test]
    fn a_polyline_drawn_on_a_side_plane_stands_upright() {
        let found = drawing("0 LWPOLYLINE 38 4 210 0 220 -1 230 0 10 1 20 2 10 3 20 5");
        assert_eq!(ends(&found), [[[1.0, -4.0, 2.0], [3.0, -4.0, 5.0]]]);
    }

    #[test]
    fn a_polyline_in_space_has_its_vertices_after_it() {
        let vertex = |x: u32, z: u32| format!("0 VERTEX 8 a 10 {x} 20 0 30 {z} 70 32 ");
        let found =
            drawing(&format!("0 POLYLINE 8 a 66 1 70 8 10 0 20 0 30 0 {}{}0 SEQEND", vertex(1, 2), vertex(3, 4)));
        assert_eq!(ends(&found), [[[1.0, 0.0, 2.0], [3.0, 0.0, 4.0]]]);
    }

    #[test]
    fn what_is_not_straight_is_counted() {
        let found = drawing(
            "0 ARC 10 0 20 0 40 5 0 ARC 10 0 20 0 40 5 0 SPLINE 71 3 0 LWPOLYLINE 10 0 20 0 42 0.5 10 1 20 0 10 2 20 0 0 LINE 67 1 10 0 20 0 11 1 21 1",
        );
        assert_eq!(ends(&found), [[[1.0, 0.0, 0.0], [2.0, 0.0, 0.0]]]);
        let counted: Vec<(&str, usize)> = found.left_out.iter().map(|(what, count)| (what.as_str(), *count)).collect();
        assert_eq!(counted, [("ARC", 2), ("SPLINE", 1), ("arcs in polylines", 1), ("entities in paper space", 1)]);
    }
}
