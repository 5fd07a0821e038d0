//! The table of places under a map: where each piece's cross lies.

use super::Laid;
use crate::draw::lettering;
use crate::draw::measure::{number, turn, unit_word};
use crate::draw::scene::Item;
use crate::draw::table::{Column, HEAD_MM, LETTER_MM, ROW_MM, table};
use crate::plan::UnitNote;
use crate::shape::{Point, point};

/// How many tables stand side by side.
const TABLES: usize = 2;
/// Space between them (mm).
const BETWEEN_MM: f64 = 4.0;

/// The height that a listing of so many pieces takes (mm).
pub(super) fn height_mm(pieces: usize) -> f64 {
    if pieces == 0 {
        return 0.0;
    }
    HEAD_MM + pieces.div_ceil(TABLES) as f64 * ROW_MM
}

/// The listing of pieces in the order given, with its top left at `corner`.
pub(super) fn listing(
    corner: Point,
    width_mm: f64,
    laid: &[Laid<'_>],
    order: &[usize],
    unit: UnitNote,
) -> Vec<Item> {
    let width = (width_mm - BETWEEN_MM) / TABLES as f64;
    let word = unit_word(unit);
    // What is left over goes to the names, which are as long as their maker likes.
    let widest = order
        .iter()
        .map(|&index| lettering::width_mm(&laid[index].piece.label, LETTER_MM, true))
        .fold(7.0, f64::max);
    let fixed = [3.6, 5.5, (widest + 1.6).min(22.0), 18.0, 14.0, 10.0, 8.0];
    let spare = width - fixed.iter().sum::<f64>();
    let columns = [
        Column::words("", fixed[0]),
        Column::numbers("", fixed[1]),
        Column::words("name", fixed[2]).bold(),
        Column::words("motif, piece", spare),
        Column::numbers(&format!("from left|selvage ({word})"), fixed[3]),
        Column::numbers(&format!("from cut|end ({word})"), fixed[4]),
        Column::numbers("rotated", fixed[5]),
        Column::words("face", fixed[6]),
    ];
    let rows: Vec<Vec<String>> = order
        .iter()
        .enumerate()
        .map(|(i, &index)| {
            let Laid { piece, mark, .. } = &laid[index];
            let face = if piece.to_fabric.mirror { "down" } else { "up" };
            vec![
                String::new(),
                (i + 1).to_string(),
                piece.label.clone(),
                format!("{} {}, {}", piece.motif, piece.copy, piece.piece),
                number(mark.x, unit),
                number(mark.y, unit),
                turn(piece.to_fabric.rotate_deg),
                face.to_owned(),
            ]
        })
        .collect();
    let each = rows.len().div_ceil(TABLES).max(1);
    rows.chunks(each)
        .enumerate()
        .flat_map(|(i, rows)| {
            let left = corner.x + i as f64 * (width + BETWEEN_MM);
            table(point(left, corner.y), &columns, rows)
        })
        .collect()
}
