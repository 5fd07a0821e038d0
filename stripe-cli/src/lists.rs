//! Lists for spreadsheets: CSV (RFC 4180), in which no name can act.
//!
//! A spreadsheet takes a cell that begins with `=` and a few other signs for a formula.
//! Names are people's own, and project files are passed on: such a cell gets an
//! apostrophe in front, which spreadsheets show or hide, and the name stays readable.
//!
//! # Source
//! OWASP, "CSV Injection": the signs, and the apostrophe (from memory).

use std::fmt::Display;
use stripe_core::length::{Length, Unit};

/// What a cell must not begin with: full-width signs are taken for formulas too.
const ACTING: [char; 11] = ['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠'];

/// A cell of a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Cell(String);

impl Cell {
    /// Words that come from people or plans.
    pub(crate) fn words(text: &str) -> Self {
        let acts = text.starts_with(ACTING) || text.trim_start().starts_with(ACTING);
        Self(if acts {
            format!("'{text}")
        } else {
            text.to_owned()
        })
    }

    /// A number of ours, shown as it is: below zero it is a number still.
    pub(crate) fn figure(number: impl Display) -> Self {
        Self(number.to_string())
    }

    /// A place that is measured out, in the maker's unit.
    pub(crate) fn place(mm: f64, unit: Unit) -> Self {
        Self(format!(
            "{} {}",
            Length::from_mm(mm).place(unit),
            unit.sign()
        ))
    }

    /// Nothing.
    pub(crate) fn empty() -> Self {
        Self(String::new())
    }
}

/// A list on its way to a file.
#[derive(Debug)]
pub(crate) struct List {
    writer: csv::Writer<Vec<u8>>,
}

impl List {
    /// A list with this head line.
    pub(crate) fn new(head: &[&str]) -> Self {
        let mut builder = csv::WriterBuilder::new();
        builder.terminator(csv::Terminator::CRLF);
        let mut list = Self {
            writer: builder.from_writer(vec![]),
        };
        list.write(head.iter().map(|words| Cell::words(words)));
        list
    }

    /// Adds a line; it has as many cells as the head line.
    pub(crate) fn row(&mut self, cells: impl IntoIterator<Item = Cell>) {
        self.write(cells);
    }

    fn write(&mut self, cells: impl IntoIterator<Item = Cell>) {
        let cells = cells.into_iter().map(|cell| cell.0);
        let written = self.writer.write_record(cells);
        written.expect("lines of one length into memory");
    }

    /// The whole list.
    pub(crate) fn into_bytes(self) -> Vec<u8> {
        self.writer.into_inner().expect("memory takes what it gets")
    }
}

#[cfg(test)]
mod tests {
    use super::{Cell, List};

    #[test]
    fn no_name_acts() {
        let mut list = List::new(&["what", "how much (=1,+1)"]);
        for name in [
            "=1+1", "+1", "-1", "@a", "\tx", " =1", "＝1", "\"=1\"", "a, b",
        ] {
            list.row([Cell::words(name), Cell::figure(-1.5)]);
        }
        let bytes = list.into_bytes();
        assert!(bytes.ends_with(b"\r\n"));
        let mut read = csv::Reader::from_reader(bytes.as_slice());
        assert_eq!(&read.headers().unwrap()[1], "how much (=1,+1)");
        let rows: Vec<_> = read.records().map(|row| row.unwrap()).collect();
        assert_eq!(rows.len(), 9);
        for row in &rows[..7] {
            assert!(row[0].starts_with('\''), "{row:?}");
            assert_eq!(&row[1], "-1.5");
        }
        assert_eq!([&rows[7][0], &rows[8][0]], ["\"=1\"", "a, b"]);
    }
}
