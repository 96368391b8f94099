//! A table as plain data: the terminal, the page and CSV files all render the same ones.

use crate::units::decimals;

/// One question answered in rows.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// A short name, for a file: `wheel-loads`.
    pub key: &'static str,
    /// What the table answers.
    pub title: String,
    /// The columns.
    pub columns: Vec<Column>,
    /// The rows; each as long as the columns.
    pub rows: Vec<Vec<Cell>>,
    /// Whether each row stays on one line of a terminal, long names shortened.
    pub one_line: bool,
}

/// A column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// What stands in it.
    pub name: &'static str,
    /// Its unit; empty where it has none.
    pub unit: &'static str,
}

/// What stands in a place of a table.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Words.
    Text(String),
    /// A number and how many digits after the point are shown.
    Number(f64, usize),
    /// Nothing.
    Empty,
}

impl Cell {
    /// A text.
    pub fn text(text: impl Into<String>) -> Cell {
        Cell::Text(text.into())
    }

    /// What a reader sees.
    pub fn shown(&self) -> String {
        match self {
            Cell::Text(text) => text.clone(),
            Cell::Number(value, digits) => decimals(*value, *digits),
            Cell::Empty => String::new(),
        }
    }
}

impl Table {
    /// A table without rows.
    pub fn new(key: &'static str, title: impl Into<String>, columns: &[(&'static str, &'static str)]) -> Table {
        let columns = columns.iter().map(|&(name, unit)| Column { name, unit }).collect();
        Table { key, title: title.into(), columns, rows: Vec::new(), one_line: false }
    }

    /// Adds a row.
    pub fn row(&mut self, cells: Vec<Cell>) {
        assert_eq!(cells.len(), self.columns.len(), "a row has a cell for each column of {}", self.key);
        self.rows.push(cells);
    }

    /// Whether a column holds numbers and stands flush right.
    pub fn is_numeric(&self, column: usize) -> bool {
        self.rows.iter().any(|row| matches!(row[column], Cell::Number(..)))
    }
}
