//! Small tables of words and numbers on a sheet.

use super::lettering::fit_middle;
use super::scene::{Anchor, Fill, GREY, Item, Path, Stroke, Text};
use crate::colour::Colour;
use crate::shape::{Point, point};

/// Size of a table's letters (mm): 7 point.
pub const LETTER_MM: f64 = 2.5;
/// Height of a row (mm).
pub const ROW_MM: f64 = 3.7;
/// Height of the head (mm): two lines.
pub const HEAD_MM: f64 = 7.2;

const SHADE: Colour = Colour::new(0xf1, 0xf1, 0xf1);

/// A column.
#[derive(Debug, Clone)]
pub struct Column {
    /// Its heading; a line break by `|`.
    pub heading: String,
    /// Its share of the width (mm).
    pub width_mm: f64,
    /// Whether numbers stand at its right.
    pub right: bool,
    /// Whether its words are bold.
    pub bold: bool,
}

impl Column {
    /// A column of words, as wide as that.
    pub fn words(heading: &str, width_mm: f64) -> Self {
        Self {
            heading: heading.to_owned(),
            width_mm,
            right: false,
            bold: false,
        }
    }

    /// A column of numbers, as wide as that.
    pub fn numbers(heading: &str, width_mm: f64) -> Self {
        Self {
            right: true,
            ..Self::words(heading, width_mm)
        }
    }

    /// The same in bold.
    pub fn bold(self) -> Self {
        Self { bold: true, ..self }
    }
}

/// The table with its head at `corner`; an empty first cell is a box to tick.
pub fn table(corner: Point, columns: &[Column], rows: &[Vec<String>]) -> Vec<Item> {
    let mut items = Vec::new();
    let width: f64 = columns.iter().map(|column| column.width_mm).sum();
    let cell = |left: f64, column: &Column, baseline: f64, words: &str, bold: bool| {
        let room = column.width_mm - 1.2;
        let text = fit_middle(words, LETTER_MM, bold, room);
        let mut text = if column.right {
            Text::new(point(left + room, baseline), LETTER_MM, text).anchored(Anchor::End)
        } else {
            Text::new(point(left, baseline), LETTER_MM, text)
        };
        text.bold = bold;
        text
    };
    let mut left = corner.x;
    for column in columns {
        let lines: Vec<&str> = column.heading.split('|').collect();
        for (i, line) in lines.iter().enumerate() {
            let up = (lines.len() - 1 - i) as f64 * 3.0;
            let baseline = corner.y + HEAD_MM - 1.3 - up;
            items.push(
                cell(left, column, baseline, line, false)
                    .coloured(GREY)
                    .into(),
            );
        }
        left += column.width_mm;
    }
    let rule = corner.y + HEAD_MM - 0.4;
    let ends = vec![point(corner.x, rule), point(corner.x + width - 1.2, rule)];
    items.push(Path::open(ends, Stroke::ink(0.2)).into());
    for (i, row) in rows.iter().enumerate() {
        let top = corner.y + HEAD_MM + i as f64 * ROW_MM;
        if i % 2 == 1 {
            let shade = Some(Fill::solid(SHADE));
            let from = point(corner.x - 0.4, top);
            items.push(Path::rect(from, width - 0.4, ROW_MM, shade, None).into());
        }
        let mut left = corner.x;
        for (number, (column, words)) in columns.iter().zip(row).enumerate() {
            if number == 0 && words.is_empty() {
                let from = point(left, top + 0.65);
                items.push(Path::rect(from, 2.2, 2.2, None, Some(Stroke::ink(0.15))).into());
            } else {
                let baseline = top + ROW_MM - 0.95;
                items.push(cell(left, column, baseline, words, column.bold).into());
            }
            left += column.width_mm;
        }
    }
    items
}
