//! A table of points: name, x, y, z, one point a line.
//!
//! Comma, semicolon or tab between the values, a header or none, points or commas in the numbers
//! where that leaves no doubt. Gives rows in mm with their lines, or all that is wrong.

use ::csv::{ReaderBuilder, Writer};
use nalgebra::Point3;

use super::BadLine;
use crate::source::BYTE_ORDER_MARK;
use crate::units::{Length, LengthUnit, Quantity, in_full, shortest};

/// Digits that a conversion leaves below this are noise, mm. Out and back again it is still less
/// than what counts as a move.
const NOISE_MM: f64 = 4e-10;

/// Names of the coordinates, in the order of the columns.
const AXES: [&str; 3] = ["x", "y", "z"];

/// Most lines of a table: far above any frame.
const MOST_LINES: usize = 200_000;

/// A point of the table.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Its name as written.
    pub name: String,
    /// Where it is, mm.
    pub at: Point3<f64>,
    /// The line, counted from 1.
    pub line: u64,
}

/// A line of the table as text: its number and its fields, without empty ones at the end.
type Record = (u64, Vec<String>);

/// The points of a table. `unit`: what its numbers are in, where the user has said so.
///
/// # Errors
/// Every line that is wrong.
pub fn read_rows(bytes: &[u8], unit: Option<LengthUnit>) -> Result<Vec<Row>, Vec<BadLine>> {
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text.strip_prefix(BYTE_ORDER_MARK).unwrap_or(text),
        Err(error) => {
            let line = 1 + bytes[..error.valid_up_to()].iter().filter(|byte| **byte == b'\n').count() as u64;
            return Err(vec![BadLine::new(line, "this is not UTF-8 text").hint("save the table as UTF-8")]);
        }
    };
    let separator = separator(text);
    let mut records = records(text, separator)?;
    let mut in_header = None;
    if let Some((line, fields)) = records.first().filter(|(_, fields)| is_header(fields)) {
        in_header = unit_of_header(*line, fields).map_err(|bad| vec![bad])?.map(|unit| (*line, unit));
        records.remove(0);
    }
    let unit = match (unit, in_header) {
        (Some(unit), Some((line, header))) if unit != header => {
            let message = format!("the header says {}, and --unit says {}", header.name, unit.name);
            return Err(vec![BadLine::new(line, message).hint("take one of the two out")]);
        }
        (Some(unit), _) | (None, Some((_, unit))) => unit,
        (None, None) => LengthUnit::MM,
    };
    let commas = decimal_commas(&records, separator).map_err(|bad| vec![bad])?;
    let mut rows: Vec<Row> = Vec::with_capacity(records.len());
    let mut bad = Vec::new();
    let mut first_of = std::collections::HashMap::new();
    for (line, fields) in &records {
        match row(*line, fields, separator, commas, unit.size_mm) {
            Ok(row) => match first_of.insert(row.name.clone(), *line) {
                Some(first) => {
                    let message = format!("\"{}\" stands in line {first} already", row.name);
                    bad.push(BadLine::new(*line, message).hint("take one of the two out"));
                }
                None => rows.push(row),
            },
            Err(found) => bad.push(found),
        }
    }
    if bad.is_empty() && rows.is_empty() {
        bad.push(BadLine::new(1, "there is no point in this table").hint("write lines of name,x,y,z"));
    }
    if bad.is_empty() { Ok(rows) } else { Err(bad) }
}

/// What separates the values: the first line tells. A semicolon or a tab outside of quotes never
/// stands in a line that commas separate.
fn separator(text: &str) -> u8 {
    let first = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let mut quoted = false;
    let outside: Vec<u8> = first
        .bytes()
        .filter(|byte| {
            quoted ^= *byte == b'"';
            !quoted
        })
        .collect();
    [b';', b'\t'].into_iter().find(|separator| outside.contains(separator)).unwrap_or(b',')
}

fn records(text: &str, separator: u8) -> Result<Vec<Record>, Vec<BadLine>> {
    let mut reader =
        ReaderBuilder::new().has_headers(false).flexible(true).delimiter(separator).from_reader(text.as_bytes());
    let mut records = Vec::new();
    let (mut line, mut counted) = (1, 0);
    for record in reader.records() {
        let record = record.map_err(|error| vec![BadLine::new(line, error.to_string())])?;
        // The reader's own place is before the empty lines that it passes over.
        let start = record.position().map_or(0, |position| position.byte() as usize).min(text.len());
        let bytes = text.as_bytes();
        let start = start + bytes[start..].iter().take_while(|byte| matches!(byte, b'\r' | b'\n')).count();
        let start = start.max(counted);
        line += bytes[counted..start].iter().filter(|byte| **byte == b'\n').count() as u64;
        counted = start;
        let mut fields: Vec<String> = record.iter().map(str::to_owned).collect();
        while fields.last().is_some_and(|field| field.trim().is_empty()) {
            fields.pop();
        }
        if !fields.is_empty() {
            if records.len() == MOST_LINES {
                return Err(vec![BadLine::new(line, format!("the table has more than {MOST_LINES} lines"))]);
            }
            records.push((line, fields));
        }
    }
    Ok(records)
}

/// Whether a line names the coordinates instead of giving them: `name,x,y,z`, `Point;X [mm];…`.
fn is_header(fields: &[String]) -> bool {
    fields.len() >= 4 && fields[1..4].iter().all(|field| axis(field).is_some())
}

fn axis(field: &str) -> Option<usize> {
    let word: String = field.trim().chars().take_while(|letter| letter.is_alphabetic()).collect();
    AXES.iter().position(|axis| axis.eq_ignore_ascii_case(&word))
}

/// Words that stand beside an axis in a header and name no unit.
const NO_UNITS: [&str; 6] = ["coord", "coordinate", "coordinates", "pos", "position", "value"];

/// The unit that a header names: `x (in)`, `X [mm]`, `x_in`, `x mm`.
fn unit_of_header(line: u64, fields: &[String]) -> Result<Option<LengthUnit>, BadLine> {
    if fields[1..4].iter().map(|field| axis(field)).ne((0..3).map(Some)) {
        return Err(BadLine::new(line, "the columns are in another order").hint("write them as name,x,y,z"));
    }
    let mut found = Vec::new();
    for field in &fields[1..4] {
        let beside = field.trim().trim_start_matches(char::is_alphabetic);
        let mut unit = None;
        for word in beside.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()) {
            if NO_UNITS.iter().any(|other| other.eq_ignore_ascii_case(word)) {
                continue;
            }
            unit = LengthUnit::named(word);
            if unit.is_none() {
                let message = format!("\"{}\": \"{word}\" is not a known unit of length", field.trim());
                return Err(BadLine::new(line, message).hint(format!("lengths are in {}", Length::KIND.unit_list())));
            }
        }
        found.push(unit);
    }
    match found.as_slice() {
        [x, y, z] if x == y && y == z => Ok(*x),
        _ => Err(BadLine::new(line, "the coordinates are not all in one unit").hint("bring them to one unit")),
    }
}

/// Whether the numbers have decimal commas.
fn decimal_commas(records: &[Record], separator: u8) -> Result<bool, BadLine> {
    let numbers = || {
        let all =
            records.iter().flat_map(|(line, fields)| fields.iter().skip(1).map(move |field| (*line, field.trim())));
        all.filter(|(_, field)| !field.is_empty())
    };
    let with_comma: Vec<(u64, &str)> = numbers().filter(|(_, field)| field.contains(',')).collect();
    let Some((line, first)) = with_comma.first().copied() else { return Ok(false) };
    let way_out = "write every number with a decimal point and nothing between its thousands";
    if separator == b',' {
        let hint = "write a decimal point, or separate the values with semicolons";
        return Err(
            BadLine::new(line, format!("\"{first}\" has a comma in it, and commas separate the values")).hint(hint)
        );
    }
    if let Some((line, mixed)) =
        with_comma.iter().find(|(_, field)| field.contains('.') || field.matches(',').count() > 1)
    {
        return Err(BadLine::new(*line, format!("\"{mixed}\" is not a plain decimal number")).hint(way_out));
    }
    if let Some((line, point)) = numbers().find(|(_, field)| field.contains('.')) {
        let message = format!("\"{point}\" has a decimal point, and \"{first}\" in line {} a comma", with_comma[0].0);
        return Err(BadLine::new(line, message).hint(way_out));
    }
    // 1,234 may be a thousand; 12,5 and 0,125 may not.
    let could_be_thousands = |field: &str| {
        let digits = field.trim_start_matches(['-', '+']);
        digits
            .split_once(',')
            .is_some_and(|(whole, rest)| rest.len() == 3 && !whole.is_empty() && !whole.starts_with('0'))
    };
    if with_comma.iter().all(|(_, field)| could_be_thousands(field)) {
        let message = format!("\"{first}\" may have a decimal comma, or one between its thousands");
        return Err(BadLine::new(line, message).hint(way_out));
    }
    Ok(true)
}

fn row(line: u64, fields: &[String], separator: u8, commas: bool, size: f64) -> Result<Row, BadLine> {
    let name = plain(&fields[0]).to_owned();
    if name.trim().is_empty() {
        return Err(BadLine::new(line, "here a point has no name").hint("write the line as name,x,y,z"));
    }
    if fields.len() > 4 {
        let message = format!("{} values, where a point has four: name, x, y, z", fields.len());
        let bad = BadLine::new(line, message);
        return Err(match (separator, fields.len()) {
            (b',', 7) => bad.hint("are these decimal commas? then separate the values with semicolons"),
            _ => bad.hint("take out what is no coordinate"),
        });
    }
    let mut at = [0.0; 3];
    for (place, axis) in AXES.iter().enumerate() {
        let field = fields.get(place + 1).map_or("", |field| field.trim());
        if field.is_empty() {
            let bad = BadLine::new(line, format!("\"{name}\" has no {axis}"));
            return Err(if fields.len() == 1 { bad.hint("write the line as name,x,y,z") } else { bad });
        }
        let text = if commas { field.replace(',', ".") } else { field.to_owned() };
        let value: f64 =
            text.parse().ok().filter(|value: &f64| value.is_finite()).ok_or_else(|| {
                BadLine::new(line, format!("\"{name}\": {axis} is \"{field}\", which is not a number"))
            })?;
        at[place] = if size == 1.0 { value } else { in_mm(value, size) };
    }
    Ok(Row { name, at: Point3::from(at), line })
}

/// A length in mm without the noise that a conversion leaves in its last digits.
fn in_mm(value: f64, size: f64) -> f64 {
    shortest(value * size, NOISE_MM).parse().unwrap_or(value * size)
}

/// All points as a table that [`read_rows`] reads back as the same points.
pub fn write_points<'p>(points: impl IntoIterator<Item = (&'p str, Point3<f64>)>, unit: LengthUnit) -> String {
    let mut writer = Writer::from_writer(Vec::new());
    let header = std::iter::once("name".to_owned()).chain(AXES.map(|axis| format!("{axis} ({})", unit.name)));
    let size = unit.size_mm;
    let number = |mm: f64| if size == 1.0 { in_full(mm) } else { shortest(mm / size, NOISE_MM / size) };
    let rows = points.into_iter().map(|(name, at)| {
        let coordinates = [at.x, at.y, at.z].map(number);
        std::iter::once(harmless(name)).chain(coordinates).collect::<Vec<String>>()
    });
    for record in std::iter::once(header.collect::<Vec<String>>()).chain(rows) {
        writer.write_record(record).expect("writing to memory with equally long records does not fail");
    }
    let bytes = writer.into_inner().expect("flushing to memory does not fail");
    String::from_utf8(bytes).expect("the fields are UTF-8")
}

/// Whether a spreadsheet would take a text for a formula, or a reader here for one made harmless.
fn needs_mark(text: &str) -> bool {
    text.trim_start_matches('\'').starts_with(['=', '+', '-', '@', '\t', '\r', '\n'])
}

/// A text that no spreadsheet runs: one that would be a formula gets a `'` before it.
pub fn harmless(text: &str) -> String {
    if needs_mark(text) { format!("'{text}") } else { text.to_owned() }
}

/// The text that [`harmless`] was given.
fn plain(text: &str) -> &str {
    text.strip_prefix('\'').filter(|_| needs_mark(text)).unwrap_or(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(text: &str) -> Result<Vec<(String, [f64; 3])>, String> {
        match read_rows(text.as_bytes(), None) {
            Ok(rows) => Ok(rows.into_iter().map(|row| (row.name, row.at.into())).collect()),
            Err(bad) => {
                Err(bad.into_iter().map(|bad| format!("{}: {}", bad.line, bad.message)).collect::<Vec<_>>().join("; "))
            }
        }
    }

    #[test]
    fn comma_semicolon_and_tab_separate_with_a_header_or_without() {
        let expected = Ok(vec![("A".to_owned(), [1.0, -2.5, 3e2]), ("b c".to_owned(), [0.0, 0.5, 5.0])]);
        assert_eq!(rows("A,1,-2.5,3e2\nb c,0,.5,5.\n"), expected);
        assert_eq!(rows("\u{feff}name;x;y;z\r\nA;1;-2.5;3e2\r\n\r\n\"b c\";0;.5;5.;;\r\n"), expected);
        assert_eq!(rows("Point\tX [mm]\tY [mm]\tZ [mm]\nA\t1\t-2.5\t3e2\nb c\t0\t .5\t5."), expected);
        assert_eq!(rows("A;1;-2,5;3e2\nb c;0;,5;5"), expected);
    }

    #[test]
    fn a_comma_that_may_be_either_is_refused() {
        for (text, message) in [
            ("A;1,234;2;3", "1: \"1,234\" may have a decimal comma, or one between its thousands"),
            ("A;1,234.5;2;3", "1: \"1,234.5\" is not a plain decimal number"),
            ("A;1,5;2;3\nB;1;2.5;3", "2: \"2.5\" has a decimal point, and \"1,5\" in line 1 a comma"),
            ("A,1,5,2,0,3,0", "1: 7 values, where a point has four: name, x, y, z"),
            ("A,\"1,5\",2,3", "1: \"1,5\" has a comma in it, and commas separate the values"),
        ] {
            assert_eq!(rows(text), Err(message.to_owned()), "{text}");
        }
        assert_eq!(rows("A;1,234;0,125;3"), Ok(vec![("A".to_owned(), [1.234, 0.125, 3.0])]));
    }

    #[test]
    fn a_name_that_looks_like_a_formula_comes_back() {
        for name in ["=1+2", "'=1", "''=", "'", "-", " @", "a\"b", "plain", "'quoted'"] {
            assert_eq!(plain(&harmless(name)), name);
            let text = write_points([(name, Point3::new(0.1 + 0.2, -0.0, 1e-7))], LengthUnit::MM);
            assert_eq!(rows(&text), Ok(vec![(name.to_owned(), [0.1 + 0.2, 0.0, 1e-7])]), "{text}");
        }
    }

    #[test]
    fn lines_are_counted_as_an_editor_counts_them() {
        let rows = read_rows(b"\xef\xbb\xbfname,x,y,z\r\n\r\nA,1,2,3\n\n\n\"B\",1,2,3\n", None).unwrap();
        assert_eq!(rows.iter().map(|row| row.line).collect::<Vec<_>>(), [3, 6]);
    }

    #[test]
    fn a_header_can_name_the_unit() {
        assert_eq!(rows("n,x (in),y (in),z (in)\nA,1.1,2,3"), Ok(vec![("A".to_owned(), [27.94, 50.8, 76.2])]));
        for header in
            ["n,x_in,y_in,z_in", "n,X in,Y in,Z in", "n,x/in,y/in,z/in", "n,X Coord [in],Y Coord [in],Z Coord [in]"]
        {
            assert_eq!(rows(&format!("{header}\nA,1,2,3")), Ok(vec![("A".to_owned(), [25.4, 50.8, 76.2])]), "{header}");
        }
        assert_eq!(
            rows("n,X Coordinate,Y Coordinate,Z Coordinate\nA,1,2,3"),
            Ok(vec![("A".to_owned(), [1.0, 2.0, 3.0])])
        );
        let refused = Err("1: \"x_inch\": \"inch\" is not a known unit of length".to_owned());
        assert_eq!(rows("n,x_inch,y_inch,z_inch\nA,1,2,3"), refused);
        assert!(rows("n,x (in),y (mm),z (in)\nA,1,2,3").is_err());
        assert!(rows("n,x_in,y,z\nA,1,2,3").is_err());
        assert!(rows("n,y,x,z\nA,1,2,3").is_err());
    }
}
