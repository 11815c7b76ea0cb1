//! A list as a table: the same rows for CSV, for a workbook and for whatever reads them.

use crate::ListError;

/// A list.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Name of a file that holds it, without an ending: `saw-list`.
    pub file: &'static str,
    /// Name in words: `Saw list`.
    pub title: &'static str,
    /// Columns, left to right.
    pub columns: Vec<Column>,
    /// Rows, each with a cell for every column.
    pub rows: Vec<Vec<Cell>>,
}

/// A column's head.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// Name for other programs; a length's ends in `_mm`.
    pub key: &'static str,
    /// Name for people, without a unit.
    pub words: &'static str,
}

/// One cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Nothing.
    Empty,
    /// Words.
    Text(String),
    /// A number of things, or a number that names one.
    Count(i64),
    /// A length, mm; written to a tenth.
    Length(f64),
    /// A figure that is no length, with the decimals it is written with.
    Figure(f64, usize),
}

impl Cell {
    /// Words.
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// A count of things in memory.
    pub fn count(count: usize) -> Self {
        Self::Count(i64::try_from(count).unwrap_or(i64::MAX))
    }

    /// As a field of CSV.
    fn field(&self) -> String {
        match self {
            Self::Empty => String::new(),
            Self::Text(text) => text.clone(),
            Self::Count(count) => count.to_string(),
            Self::Length(length) => figure_of(*length, 1),
            Self::Figure(figure, decimals) => figure_of(*figure, *decimals),
        }
    }
}

/// A number with its decimals; nothing has no sign, however little it is less than nothing.
fn figure_of(figure: f64, decimals: usize) -> String {
    let written = format!("{figure:.decimals$}");
    match written.strip_prefix('-') {
        Some(rest) if rest.chars().all(|sign| matches!(sign, '0' | '.')) => rest.to_owned(),
        _ => written,
    }
}

impl Table {
    /// An empty table with these columns, each a key and words.
    pub fn new(file: &'static str, title: &'static str, columns: &[(&'static str, &'static str)]) -> Self {
        let columns = columns.iter().map(|&(key, words)| Column { key, words }).collect();
        Self { file, title, columns, rows: Vec::new() }
    }

    /// The table as CSV (RFC 4180, lines ended by a line feed) with the keys as its first line.
    ///
    /// # Errors
    /// When the writer fails; it writes to memory, so this does not happen in practice.
    pub fn csv(&self) -> Result<String, ListError> {
        let mut out = csv::Writer::from_writer(Vec::new());
        out.write_record(self.columns.iter().map(|column| column.key))?;
        for row in &self.rows {
            out.write_record(row.iter().map(Cell::field))?;
        }
        let bytes = out.into_inner().map_err(|error| csv::Error::from(error.into_error()))?;
        Ok(String::from_utf8_lossy(&bytes).into_owned())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_written_without_a_sign() {
        let written = |figure| (Cell::Length(figure).field(), Cell::Figure(figure, 3).field());
        assert_eq!(written(-0.0), ("0.0".into(), "0.000".into()));
        assert_eq!(written(-1e-9), ("0.0".into(), "0.000".into()));
        assert_eq!(written(-0.04), ("0.0".into(), "-0.040".into()));
        assert_eq!(written(-0.06), ("-0.1".into(), "-0.060".into()));
        assert_eq!(written(-1000.0), ("-1000.0".into(), "-1000.000".into()));
    }

    /// Read back by the csv crate's own reader: quoting keeps commas, quotes and line ends of odd names.
    #[test]
    fn odd_words_come_back_as_they_were() {
        let mut table = Table::new("odd", "Odd", &[("name", "Name"), ("length_mm", "Length")]);
        let names = ["a,b", "say \"so\"", "two\nlines", "חדר 🏠", "=1+1", ""];
        table.rows = names.iter().map(|name| vec![Cell::text(*name), Cell::Length(1234.56)]).collect();
        let text = table.csv().expect("a CSV");
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        assert_eq!(reader.headers().expect("heads"), vec!["name", "length_mm"]);
        let read: Vec<_> = reader.records().map(|record| record.expect("a record")).collect();
        assert_eq!(read.iter().map(|record| &record[0]).collect::<Vec<_>>(), names);
        assert!(read.iter().all(|record| &record[1] == "1234.6"));
    }
}
