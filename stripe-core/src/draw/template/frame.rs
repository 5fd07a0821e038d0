//! What every template sheet carries: title, scale bars, legend.

use super::legend::{Keys, legend};
use crate::draw::lettering::{CAPITAL, fit, width_mm, wrap};
use crate::draw::paper::{MARGIN_MM, Paper};
use crate::draw::scene::{Anchor, Fill, Group, INK, Item, PAPER, Path, Stroke, Text};
use crate::shape::{Point, point};

use super::tile::Size;

/// Title and how templates are laid (mm).
const HEAD_MM: f64 = 12.0;
/// What is said of this sheet alone (mm).
const NOTE_MM: f64 = 6.5;
/// Bars and legend (mm).
const FOOT_MM: f64 = 21.0;
/// Size of sentences on a sheet (mm): 7 points.
const SAID_MM: f64 = 2.47;
/// The bar in inches (mm): long enough to show an error of half a per cent.
pub(super) const INCH_BAR_MM: f64 = 101.6;
/// The metric bar (mm).
pub(super) const METRIC_BAR_MM: f64 = 100.0;

/// The frame of one sheet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame<'a> {
    pub paper: Paper,
    pub title: &'a str,
    /// How templates are to be laid, in a sentence.
    pub method: &'a str,
    pub number: usize,
    pub sheets: usize,
}

/// The room for templates on a sheet that several share.
pub(super) fn shared_room(paper: Paper) -> Size {
    let [width_mm, height_mm] = paper.room_mm();
    Size {
        width_mm,
        height_mm: height_mm - HEAD_MM - FOOT_MM,
    }
}

/// The top left corner of that room on the page.
pub(super) fn shared_corner() -> Point {
    point(MARGIN_MM, MARGIN_MM + HEAD_MM)
}

/// The room on a sheet that has a note to itself.
pub(super) fn room(paper: Paper) -> Size {
    let whole = shared_room(paper);
    Size {
        height_mm: whole.height_mm - NOTE_MM,
        ..whole
    }
}

/// The top left corner of that room on the page.
pub(super) fn corner() -> Point {
    point(MARGIN_MM, MARGIN_MM + HEAD_MM + NOTE_MM)
}

impl Frame<'_> {
    /// Title, bars, and a legend of what is on the sheet; `note` is said below the title.
    pub(super) fn draw(&self, note: &str, keys: &Keys) -> Vec<Item> {
        let [page_width, page_height] = self.paper.size_mm();
        let right = page_width - MARGIN_MM;
        let number = format!("sheet {} of {}", self.number, self.sheets);
        let number_width = width_mm(&number, 3.0, true) + 4.0;
        let width = right - MARGIN_MM;
        let title = format!("Templates: {}", self.title);
        let heading = fit(&title, 3.6, true, width - number_width);
        let top = |down: f64| point(MARGIN_MM, MARGIN_MM + down);
        let mut items: Vec<Item> = vec![
            Text::new(top(3.2), 3.6, heading).bold().into(),
            Text::new(point(right, MARGIN_MM + 3.2), 3.0, number)
                .anchored(Anchor::End)
                .bold()
                .into(),
        ];
        let mut say = |words: &str, down: f64, bold: bool| {
            for (i, words) in wrap(words, SAID_MM, bold, width).iter().take(2).enumerate() {
                let mut text = Text::new(top(down + 3.1 * i as f64), SAID_MM, words);
                text.bold = bold;
                items.push(text.into());
            }
        };
        say(self.method, 7.0, false);
        say(note, HEAD_MM + 0.9, true);
        let foot = page_height - MARGIN_MM - FOOT_MM;
        items.push(bar(point(MARGIN_MM, foot + 7.0), INCH_BAR_MM, 4, 4, "4 in"));
        items.push(bar(
            point(MARGIN_MM, foot + 16.5),
            METRIC_BAR_MM,
            10,
            5,
            "100 mm",
        ));
        items.extend(legend(
            point(MARGIN_MM + INCH_BAR_MM + 6.0, foot + 4.4),
            keys,
        ));
        let words = "Print at actual size. Measure both bars: if one is off, do not cut.";
        items.push(Text::new(point(MARGIN_MM, foot + 2.6), SAID_MM, words).into());
        items
    }
}

/// A bar of that length in so many parts, its outermost edges the measure.
fn bar(corner: Point, length: f64, parts: u32, minor: u32, words: &str) -> Item {
    let height = 2.6;
    let part = length / f64::from(parts);
    let fill = Some(Fill::solid(INK));
    // The outline lies inside of the measure: its outer edges are the ends.
    let pen = 0.2;
    let mut items: Vec<Item> = vec![
        Path::rect(corner, length, height, fill, None).into(),
        Path::rect(
            point(corner.x + pen, corner.y + pen),
            length - 2.0 * pen,
            height - 2.0 * pen,
            Some(Fill::solid(PAPER)),
            None,
        )
        .into(),
    ];
    for i in (0..parts).step_by(2) {
        let at = point(corner.x + f64::from(i) * part, corner.y);
        items.push(Path::rect(at, part, height, fill, None).into());
    }
    let ticks = (0..=parts * minor).map(|i| {
        let x = corner.x + f64::from(i) * part / f64::from(minor);
        let x = x.clamp(corner.x + 0.05, corner.x + length - 0.05);
        let long = if i % minor == 0 { 1.6 } else { 0.9 };
        [
            point(x, corner.y + height),
            point(x, corner.y + height + long),
        ]
    });
    items.push(Path::segments(ticks, Stroke::ink(0.1)).into());
    let plate = width_mm(words, SAID_MM, true) + 1.6;
    let middle = corner.x + length / 2.0;
    items.push(
        Path::rect(
            point(middle - plate / 2.0, corner.y + pen),
            plate,
            height - 2.0 * pen,
            Some(Fill::solid(PAPER)),
            None,
        )
        .into(),
    );
    let baseline = corner.y + height / 2.0 + SAID_MM * CAPITAL / 2.0;
    items.push(
        Text::new(point(middle, baseline), SAID_MM, words)
            .anchored(Anchor::Middle)
            .bold()
            .into(),
    );
    let name = format!("bar-{}", words.replace(' ', "-"));
    Group::named(&name, items).into()
}
