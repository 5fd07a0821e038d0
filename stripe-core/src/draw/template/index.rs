//! The first sheet of the templates: what there is, and how to print it.

use super::frame::{Frame, corner, room};
use super::sheet::Ready;
use crate::draw::lettering::wrap;
use crate::draw::scene::{Item, Scene, Text};
use crate::draw::table::{Column, HEAD_MM, ROW_MM, table};
use crate::shape::point;

const WORDS: [&str; 3] = [
    "Print this sheet first, at actual size (100 %, no fitting to the page), and measure both bars below. If they are off by more than 1/32 in (half a millimetre), change the print setting and print again. Check every sheet: printers have been seen to shrink one page of three.",
    "Lay each template on the fabric so that the ticks at its edges meet the stripes, each band on the band of its name and colour. The cutting map tells where on the fabric: the template's cross comes on the measured point, its arrow towards the motif's top.",
    "The allowances are in the cut line. Where you trace and cut by the finished line instead, add them as you cut.",
];
const SIZE_MM: f64 = 2.6;
const LINE_MM: f64 = 3.6;

/// How high the words stand (mm).
fn words_height(width_mm: f64) -> f64 {
    let lines: usize = WORDS
        .iter()
        .map(|words| wrap(words, SIZE_MM, false, width_mm).len())
        .sum();
    lines as f64 * LINE_MM + WORDS.len() as f64 * 1.4 + 2.0
}

/// How many rows one sheet of the index holds.
pub(super) fn rows_a_sheet(paper: crate::draw::paper::Paper) -> usize {
    let space = room(paper);
    let left = space.height_mm - words_height(space.width_mm) - HEAD_MM;
    (left / ROW_MM).floor().max(1.0) as usize
}

/// One sheet of the index: the templates from `first` on, with their sheets.
pub(super) fn index(
    frame: &Frame<'_>,
    ready: &[Ready<'_>],
    sheets_of: &[Vec<usize>],
    first: usize,
) -> Scene {
    let space = room(frame.paper);
    let mut items = frame.draw("");
    let from = corner();
    let mut down = from.y + 3.0;
    for words in WORDS {
        for line in wrap(words, SIZE_MM, false, space.width_mm) {
            items.push(Text::new(point(from.x, down), SIZE_MM, line).into());
            down += LINE_MM;
        }
        down += 1.4;
    }
    let columns = [
        Column::words("", 4.0),
        Column::words("name", 16.0).bold(),
        Column::words("motif, piece", space.width_mm - 112.0),
        Column::words("fabric", 40.0),
        Column::numbers("cut", 12.0),
        Column::numbers("wrong side up", 17.0),
        Column::numbers("sheet", 23.0),
    ];
    let rows: Vec<Vec<String>> = ready
        .iter()
        .zip(sheets_of)
        .skip(first)
        .take(rows_a_sheet(frame.paper))
        .map(|(one, sheets)| {
            let one = &one.figure;
            let sheets = match sheets[..] {
                [] => String::new(),
                [only] => only.to_string(),
                [from, .., to] => format!("{from} to {to}"),
            };
            vec![
                String::new(),
                one.name().to_owned(),
                format!("{}, {}", one.motif(), one.piece()),
                one.fabric().to_owned(),
                one.count().to_string(),
                match one.face_down() {
                    0 => String::from("–"),
                    some => some.to_string(),
                },
                sheets,
            ]
        })
        .collect();
    let listing: Vec<Item> = table(point(from.x, down), &columns, &rows);
    items.extend(listing);
    let [width_mm, height_mm] = frame.paper.size_mm();
    Scene {
        width_mm,
        height_mm,
        title: format!("Templates of {}: what there is", frame.title),
        about: format!("{} templates on {} sheets", ready.len(), frame.sheets),
        items,
    }
}
