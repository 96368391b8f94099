//! A table of points: name, x, y, z, one point a line.
//!
//! Comma, semicolon or tab between the values, a header or none, points or commas in the numbers
//! where that leaves no doubt. Gives rows in mm with their lines, all that is wrong, and what was left out: remarks behind the
//! numbers, titles above the header.

use ::csv::{ReaderBuilder, Writer};
use nalgebra::Point3;

use super::BadLine;
use crate::source::BYTE_ORDER_MARK;
use crate::units::{Length, LengthUnit, Quantity, in_full, shortest, without_fraction};

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

/// What a table holds.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PointTable {
    /// The points of all lines that are right.
    pub rows: Vec<Row>,
    /// All lines that are wrong.
    pub bad: Vec<BadLine>,
    /// What was left out, in sentences.
    pub remarks: Vec<String>,
}

impl PointTable {
    fn refused(bad: BadLine) -> Self {
        Self { bad: vec![bad], ..Self::default() }
    }
}

/// A line of the table as text: its number and its fields, without empty ones at the end.
type Record = (u64, Vec<String>);

/// The points of a table. `unit`: what its numbers are in, where the user has said so.
pub fn read_table(bytes: &[u8], unit: Option<LengthUnit>) -> PointTable {
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text.strip_prefix(BYTE_ORDER_MARK).unwrap_or(text),
        Err(error) => {
            let line = 1 + bytes[..error.valid_up_to()].iter().filter(|byte| **byte == b'\n').count() as u64;
            return PointTable::refused(BadLine::new(line, "this is not UTF-8 text").hint("save the table as UTF-8"));
        }
    };
    let separator = separator(text);
    let mut records = match records(text, separator) {
        Ok(records) => records,
        Err(bad) => return PointTable::refused(bad),
    };
    let mut table = PointTable::default();
    let header = take_header(&mut records, &mut table.remarks);
    let mut in_header = None;
    if let Some((line, fields)) = &header {
        match unit_of_header(*line, fields) {
            Ok(unit) => in_header = unit.map(|unit| (*line, unit)),
            Err(bad) => table.bad.push(bad),
        }
    }
    let unit = match (unit, in_header) {
        (Some(unit), Some((line, header))) if unit != header => {
            let message = format!("the header says {}, and --unit says {}", header.name, unit.name);
            table.bad.push(BadLine::new(line, message).hint("take one of the two out"));
            LengthUnit::MM
        }
        (Some(unit), _) | (None, Some((_, unit))) => unit,
        (None, None) => LengthUnit::MM,
    };
    let commas = match decimal_commas(&records, separator) {
        Ok(commas) => commas,
        Err(bad) => {
            // The rest of the table is read as if they were, for what else is wrong with it.
            table.bad.push(bad);
            true
        }
    };
    let n_columns = header.as_ref().map_or(4, |(_, fields)| fields.len());
    let form = Form { separator, commas, unit, n_columns };
    let told_already: Vec<u64> = table.bad.iter().map(|bad| bad.line).collect();
    let mut first_of = std::collections::HashMap::new();
    let mut has_more = false;
    for (line, fields) in records.iter().filter(|(line, _)| !told_already.contains(line)) {
        match form.row(*line, fields) {
            Ok(row) => match first_of.insert(row.name.clone(), *line) {
                Some(first) => {
                    let message = format!("\"{}\" stands in line {first} already", row.name);
                    table.bad.push(BadLine::new(*line, message).hint("take one of the two out"));
                }
                None => {
                    has_more |= fields.len() > 4;
                    table.rows.push(row);
                }
            },
            Err(found) => table.bad.push(found),
        }
    }
    if has_more {
        let names = header.map(|(_, fields)| fields.into_iter().skip(4).collect::<Vec<_>>()).unwrap_or_default();
        let names = if names.is_empty() { String::new() } else { format!(" ({})", names.join(", ")) };
        table.remarks.push(format!("what stands behind z{names} was left out"));
    }
    if table.bad.is_empty() && table.rows.is_empty() {
        table.bad.push(BadLine::new(1, "there is no point in this table").hint("write lines of name,x,y,z"));
    }
    table.bad.sort_by_key(|bad| bad.line);
    table
}

/// A header stands no further down than this; above it stand titles.
const HIGHEST_HEADER: usize = 20;

/// Takes the header off the records, and the titles that stand above it.
fn take_header(records: &mut Vec<Record>, remarks: &mut Vec<String>) -> Option<Record> {
    let at = records.iter().take(HIGHEST_HEADER).position(|(_, fields)| is_header(fields))?;
    // A title has not as many fields as a point: where one has, this is no header of it.
    if records[..at].iter().any(|(_, fields)| fields.len() >= 4) {
        return None;
    }
    let titles = records.drain(..at).count();
    if titles > 0 {
        let lines = if titles == 1 { "one line was".to_owned() } else { format!("{titles} lines were") };
        remarks.push(format!("{lines} left out above the header"));
    }
    Some(records.remove(0))
}

/// What separates the values: the header tells, or the first line. A semicolon or a tab outside of
/// quotes never stands in a line that commas separate.
fn separator(text: &str) -> u8 {
    let outside = |line: &str| -> Vec<u8> {
        let mut quoted = false;
        let bytes = line.bytes().filter(|byte| {
            quoted ^= *byte == b'"';
            !quoted
        });
        bytes.collect()
    };
    let lines = || text.lines().filter(|line| !line.trim().is_empty()).take(HIGHEST_HEADER);
    let is_header_by = |separator: u8, line: &str| {
        let fields: Vec<String> = line.split(char::from(separator)).map(|field| field.replace('"', "")).collect();
        is_header(&fields)
    };
    let all = [b';', b'\t', b','];
    let of_header = lines().find_map(|line| all.into_iter().find(|separator| is_header_by(*separator, line)));
    of_header.unwrap_or_else(|| {
        let first = lines().next().map(outside).unwrap_or_default();
        [b';', b'\t'].into_iter().find(|separator| first.contains(separator)).unwrap_or(b',')
    })
}

fn records(text: &str, separator: u8) -> Result<Vec<Record>, BadLine> {
    let mut reader =
        ReaderBuilder::new().has_headers(false).flexible(true).delimiter(separator).from_reader(text.as_bytes());
    let mut records = Vec::new();
    let (mut line, mut counted) = (1, 0);
    for record in reader.records() {
        let record = record.map_err(|error| BadLine::new(line, error.to_string()))?;
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
        // The last line may end without a line end that would tell.
        let ends_quoted = || {
            let raw = &text[start..];
            let begins = |field: &str| field.starts_with('"') && field.matches('"').count() % 2 == 1;
            !raw.contains(['\n', '\r'])
                && raw.split(char::from(separator)).any(begins)
                && raw.matches('"').count() % 2 == 1
        };
        if fields.iter().any(|field| field.contains(['\n', '\r'])) || ends_quoted() {
            let bad = BadLine::new(line, "a quote that begins in this line does not end in it");
            return Err(bad.hint("write the second quote, or take the first out"));
        }
        if !fields.is_empty() {
            if records.len() == MOST_LINES {
                return Err(BadLine::new(line, format!("the table has more than {MOST_LINES} lines")));
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
        let all = records
            .iter()
            .flat_map(|(line, fields)| fields.iter().skip(1).take(3).map(move |field| (*line, field.trim())));
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

/// How the lines of a table are written.
struct Form {
    separator: u8,
    /// Whether the numbers have decimal commas.
    commas: bool,
    /// What the numbers are in.
    unit: LengthUnit,
    /// How many columns the header has; 4 without one.
    n_columns: usize,
}

impl Form {
    fn row(&self, line: u64, fields: &[String]) -> Result<Row, BadLine> {
        let name = plain(&fields[0]).to_owned();
        if name.trim().is_empty() {
            return Err(BadLine::new(line, "here a point has no name").hint("write the line as name,x,y,z"));
        }
        // What a header names, and words, are remarks; numbers that nothing names may be half of others.
        let more = fields.iter().skip(self.n_columns.max(4));
        if more.map(|field| field.trim()).any(|field| !field.is_empty() && self.number(field).is_some()) {
            let message = format!("{} values, where a point has four: name, x, y, z", fields.len());
            let bad = BadLine::new(line, message);
            return Err(match (self.separator, fields.len()) {
                (b',', 6..=7) => bad.hint("are these decimal commas? then separate the values with semicolons"),
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
            at[place] = self.number(field).ok_or_else(|| {
                let bad = BadLine::new(line, format!("\"{name}\": {axis} is \"{field}\", which is not a number"));
                let without_blanks: String = field.chars().filter(|letter| !letter.is_whitespace()).collect();
                match (without_fraction(field), self.number(&without_blanks)) {
                    (Some(decimal), _) => bad.hint(format!("write the fraction as a decimal number: {decimal}")),
                    (None, Some(_)) => bad.hint("write nothing between the thousands of a number"),
                    (None, None) => bad,
                }
            })?;
        }
        Ok(Row { name, at: Point3::from(at), line })
    }

    /// A coordinate, mm: a number in the unit of the table, or one with its own unit. The minus may be
    /// the long one of typography.
    fn number(&self, field: &str) -> Option<f64> {
        let mut text = if self.commas { field.replace(',', ".") } else { field.to_owned() };
        if let Some(rest) = text.strip_prefix(['\u{2212}', '\u{2013}']) {
            text = format!("-{rest}");
        }
        match text.parse::<f64>() {
            Ok(value) if self.unit == LengthUnit::MM => Some(value),
            Ok(value) => Some(in_mm(value, self.unit.size_mm)),
            Err(_) => Length::KIND.parse(&text).ok().map(|value| in_mm(value, 1.0)),
        }
        .filter(|value| value.is_finite())
    }
}

/// A length in mm without the noise that a conversion leaves in its last digits.
fn in_mm(value: f64, size: f64) -> f64 {
    shortest(value * size, NOISE_MM).parse().unwrap_or(value * size)
}

/// All points as a table that [`read_table`] reads back as the same points.
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
        let PointTable { rows, bad, .. } = read_table(text.as_bytes(), None);
        if bad.is_empty() {
            return Ok(rows.into_iter().map(|row| (row.name, row.at.into())).collect());
        }
        Err(bad.into_iter().map(|bad| format!("{}: {}", bad.line, bad.message)).collect::<Vec<_>>().join("; "))
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
    fn what_a_spreadsheet_adds_is_left_out_and_told() {
        let told = |text: &str| {
            let table = read_table(text.as_bytes(), None);
            assert_eq!(table.bad, [], "{text}");
            (
                table.rows.into_iter().map(|row| (row.name, row.at.into())).collect::<Vec<(String, [f64; 3])>>(),
                table.remarks,
            )
        };
        let a = vec![("A.l".to_owned(), [175.5, 250.0, 156.0])];
        let remarks = "Punkt;x;y;z;Bemerkung\n\nA.l;175,5;250,0;156;tape 2\n;;;;\n";
        assert_eq!(told(remarks), (a.clone(), vec!["what stands behind z (Bemerkung) was left out".to_owned()]));
        assert_eq!(told("A.l;175.5;250;156;tape\n"), (a.clone(), vec!["what stands behind z was left out".to_owned()]));
        let titles = "Messung 3. Mai\nWagen, blau\nname;x;y;z\nA.l;175.5;250;156\n";
        assert_eq!(told(titles), (a.clone(), vec!["2 lines were left out above the header".to_owned()]));
        assert_eq!(told("A.l; 175,5 mm;25 cm;156 mm"), (a, vec![]));
        assert_eq!(told("A.l;\u{2212}176;\u{2013}2;156").0[0].1, [-176.0, -2.0, 156.0]);
    }

    #[test]
    fn what_a_spreadsheet_makes_of_a_number_is_told_with_the_way_out() {
        for (text, message, hint) in [
            ("A.l;1 174;2;3", "\"A.l\": x is \"1 174\", which is not a number", "nothing between the thousands"),
            ("name,x,y,z\nA.l,175,5,250,0,156", "6 values, where a point has four: name, x, y, z", "semicolons"),
            ("\"B.l;-176;252;156\n", "a quote that begins in this line does not end in it", "second quote"),
            ("\"B.l;-176;252;156", "a quote that begins in this line does not end in it", "second quote"),
            ("\"B.l;-176;252;156\nC;1;2;3\n", "a quote that begins in this line does not end in it", "second quote"),
        ] {
            let bad = read_table(text.as_bytes(), None).bad;
            assert!(bad.len() == 1 && bad[0].message == message, "{bad:?}");
            assert!(bad[0].hint.as_deref().is_some_and(|told| told.contains(hint)), "{bad:?}");
        }
    }

    #[test]
    fn all_that_is_wrong_is_told_at_once() {
        assert_eq!(
            rows("A.l;1.175,5;250;156\nB.l;abc;250;156\nC.l;1;2\nD.l;;2;3\n"),
            Err("1: \"1.175,5\" is not a plain decimal number; 2: \"B.l\": x is \"abc\", which is not a number; \
                 3: \"C.l\" has no z; 4: \"D.l\" has no x"
                .to_owned())
        );
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
        let rows = read_table(b"\xef\xbb\xbfname,x,y,z\r\n\r\nA,1,2,3\n\n\n\"B\",1,2,3\n", None).rows;
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
