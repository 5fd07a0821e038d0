//! The table of places under a map: where each piece's cross lies.

use super::Laid;
use crate::draw::lettering;
use crate::draw::measure::{place, unit_word};
use crate::draw::scene::Item;
use crate::draw::table::{Column, HEAD_MM, LETTER_MM, ROW_MM, table};
use crate::length::Unit;
use crate::plan::{FabricPlan, PlacedPiece};
use crate::shape::{Point, point};

/// Space between two tables side by side (mm).
const BETWEEN_MM: f64 = 3.0;
/// Columns of fixed width (mm): box, measures from the selvage and from the cut end, side.
const BOX_MM: f64 = 3.8;
const SELVAGE_MM: f64 = 13.4;
/// From the cut end; a piece in hand has a lower edge, which takes longer to say.
const END_MM: f64 = 14.2;
const LOWER_MM: f64 = 16.2;
const SIDE_MM: f64 = 9.6;
const REPEAT_MM: f64 = 7.0;

/// How the places of a fabric's pieces are listed, the same on all of its sheets.
#[derive(Debug, Clone, Copy)]
pub(super) struct Listing {
    /// How many tables stand side by side.
    tables: usize,
    code_mm: f64,
    words_mm: f64,
    /// Width of the places from the lower edge (mm).
    end_mm: f64,
    /// Whether some pieces show the wrong side, so that it must be said of each.
    sides: bool,
    /// Whether repeats are counted from the left selvage.
    repeats: bool,
}

impl Listing {
    /// Two tables side by side, or one where a piece's words need the room.
    pub(super) fn new(fabric: &FabricPlan, laid: &[Laid<'_>], width_mm: f64) -> Self {
        let widest = |words: &dyn Fn(&PlacedPiece) -> String, bold| {
            laid.iter()
                .map(|one| lettering::width_mm(&words(one.piece), LETTER_MM, bold))
                .fold(0.0, f64::max)
        };
        let code_mm = widest(&|piece| piece.label.clone(), true).max(7.0) + 1.7;
        let sides = laid.iter().any(|one| one.piece.to_fabric.mirror);
        let repeats = fabric.repeat_number(point(0.0, 0.0)).is_some();
        let extra = |wanted: bool, mm: f64| if wanted { mm } else { 0.0 };
        let end_mm = if fabric.in_hand.is_some() {
            LOWER_MM
        } else {
            END_MM
        };
        let fixed = BOX_MM
            + code_mm
            + SELVAGE_MM
            + end_mm
            + extra(sides, SIDE_MM)
            + extra(repeats, REPEAT_MM);
        let two_mm = (width_mm - BETWEEN_MM) / 2.0 - fixed;
        let needed = widest(&|piece| piece.piece.clone(), false) + 1.3;
        let (tables, words_mm) = if needed <= two_mm {
            (2, two_mm)
        } else {
            // Numbers stand near the words that they belong to.
            (1, (width_mm - fixed).min(needed + 8.0))
        };
        Self {
            tables,
            code_mm,
            words_mm,
            end_mm,
            sides,
            repeats,
        }
    }

    /// The height that a listing of so many pieces takes (mm).
    pub(super) fn height_mm(self, pieces: usize) -> f64 {
        if pieces == 0 {
            return 0.0;
        }
        HEAD_MM + pieces.div_ceil(self.tables) as f64 * ROW_MM
    }

    /// The listing of pieces in the order given, with its top left at `corner`.
    pub(super) fn draw(
        self,
        corner: Point,
        fabric: &FabricPlan,
        laid: &[Laid<'_>],
        order: &[usize],
        unit: Unit,
    ) -> Vec<Item> {
        let word = unit_word(unit);
        let from_end = if fabric.in_hand.is_some() {
            format!("from lower|edge ({word})")
        } else {
            format!("from cut|end ({word})")
        };
        let mut columns = vec![
            Column::words("", BOX_MM),
            Column::words("code", self.code_mm).bold(),
            Column::words("piece", self.words_mm),
            Column::numbers(&format!("from left|({word})"), SELVAGE_MM),
            Column::numbers(&from_end, self.end_mm),
        ];
        if self.repeats {
            columns.push(Column::numbers("re-|peat", REPEAT_MM));
        }
        if self.sides {
            columns.push(Column::words("side|shown", SIDE_MM));
        }
        let width: f64 = columns.iter().map(|column| column.width_mm).sum();
        let rows: Vec<Vec<String>> = order
            .iter()
            .map(|&index| {
                let Laid { piece, mark, .. } = &laid[index];
                let mut row = vec![
                    String::new(),
                    piece.label.clone(),
                    piece.piece.clone(),
                    place(mark.x, unit),
                    place(mark.y, unit),
                ];
                if self.repeats {
                    let number = fabric.repeat_number(*mark);
                    // Left of the first that begins on the fabric there is none to count.
                    let number = number.filter(|&n| n > 0);
                    row.push(number.map_or_else(|| "–".to_owned(), |n| n.to_string()));
                }
                if self.sides {
                    let side = if piece.to_fabric.mirror {
                        "wrong"
                    } else {
                        "right"
                    };
                    row.push(side.to_owned());
                }
                row
            })
            .collect();
        let each = rows.len().div_ceil(self.tables).max(1);
        rows.chunks(each)
            .enumerate()
            .flat_map(|(i, rows)| {
                let left = corner.x + i as f64 * (width + BETWEEN_MM);
                table(point(left, corner.y), &columns, rows)
            })
            .collect()
    }
}
