//! The tables as CSV (RFC 4180), numbers in full.

use super::table::{Cell, Table};
use crate::exchange::harmless;

/// A table as CSV text: a header with units, then the rows.
///
/// A text that a spreadsheet would take for a formula gets a `'` before it.
pub fn render(table: &Table) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let header = table.columns.iter().map(|column| match column.unit {
        "" => column.name.to_owned(),
        unit => format!("{} ({unit})", column.name),
    });
    let rows = table.rows.iter().map(|row| row.iter().map(field).collect::<Vec<_>>());
    for record in std::iter::once(header.collect::<Vec<_>>()).chain(rows) {
        writer.write_record(record).expect("writing to memory with equally long records does not fail");
    }
    let bytes = writer.into_inner().expect("flushing to memory does not fail");
    String::from_utf8(bytes).expect("the fields are UTF-8")
}

fn field(cell: &Cell) -> String {
    match cell {
        Cell::Text(text) => harmless(text),
        Cell::Number(value, _) => if *value == 0.0 { 0.0 } else { *value }.to_string(),
        Cell::Empty => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_that_looks_like_a_formula_is_made_harmless() {
        let mut table = Table::new("t", "T", &[("name", ""), ("x", "mm")]);
        table.row(vec![Cell::text("=1+2"), Cell::Number(-0.25, 1)]);
        table.row(vec![Cell::text("a \"b\", c"), Cell::Empty]);
        assert_eq!(render(&table), "name,x (mm)\n'=1+2,-0.25\n\"a \"\"b\"\", c\",\n");
    }
}
