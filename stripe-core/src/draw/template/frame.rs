//! What every template sheet carries: title, scale bars, legend.

use super::face::{bias_stroke, cut_stroke, stroke_of};
use crate::draw::lettering::{CAPITAL, fit, width_mm, wrap};
use crate::draw::paper::{MARGIN_MM, Paper};
use crate::draw::scene::{Anchor, Fill, GREY, Group, INK, Item, PAPER, Path, Stroke, Text};
use crate::plan::RoleNote;
use crate::shape::{Point, point};

use super::tile::Size;

/// Title and how templates are laid (mm).
const HEAD_MM: f64 = 9.5;
/// What is said of this sheet alone (mm).
const NOTE_MM: f64 = 6.5;
/// Bars and legend (mm).
const FOOT_MM: f64 = 21.0;
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
    /// Title, bars and legend; `note` is said below the title.
    pub(super) fn draw(&self, note: &str) -> Vec<Item> {
        let [page_width, page_height] = self.paper.size_mm();
        let right = page_width - MARGIN_MM;
        let number = format!("sheet {} of {}", self.number, self.sheets);
        let number_width = width_mm(&number, 3.0, true) + 4.0;
        let width = right - MARGIN_MM;
        let title = format!("Templates: {}", self.title);
        let line = |down: f64, size: f64, words: &str, room: f64| {
            let words = fit(words, size, false, room);
            Text::new(point(MARGIN_MM, MARGIN_MM + down), size, words)
        };
        let mut heading = line(3.2, 3.6, &title, width - number_width);
        heading.words = fit(&title, 3.6, true, width - number_width);
        heading.bold = true;
        let mut items: Vec<Item> = vec![
            heading.into(),
            Text::new(point(right, MARGIN_MM + 3.2), 3.0, number)
                .anchored(Anchor::End)
                .bold()
                .into(),
            line(7.0, 2.2, self.method, width).into(),
        ];
        for (i, words) in wrap(note, 2.4, true, width).iter().take(2).enumerate() {
            let down = MARGIN_MM + 10.4 + 3.1 * i as f64;
            items.push(Text::new(point(MARGIN_MM, down), 2.4, words).bold().into());
        }
        let foot = page_height - MARGIN_MM - FOOT_MM;
        items.push(bar(point(MARGIN_MM, foot + 7.0), INCH_BAR_MM, 4, 4, "4 in"));
        items.push(bar(
            point(MARGIN_MM, foot + 16.5),
            METRIC_BAR_MM,
            10,
            5,
            "100 mm",
        ));
        items.extend(legend(point(MARGIN_MM + INCH_BAR_MM + 6.0, foot + 4.4)));
        let words =
            "Print at actual size. Measure both bars on every sheet: if one is off, do not cut.";
        items.push(Text::new(point(MARGIN_MM, foot + 2.6), 2.2, words).into());
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
    let plate = width_mm(words, 2.2, true) + 1.6;
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
    let baseline = corner.y + height / 2.0 + 2.2 * CAPITAL / 2.0;
    items.push(
        Text::new(point(middle, baseline), 2.2, words)
            .anchored(Anchor::Middle)
            .bold()
            .into(),
    );
    let name = format!("bar-{}", words.replace(' ', "-"));
    Group::named(&name, items).into()
}

/// What each kind of line is.
fn legend(corner: Point) -> Vec<Item> {
    let entries = [
        (cut_stroke(), "cut"),
        (stroke_of(RoleNote::Turned), "turn under here"),
        (stroke_of(RoleNote::Seamed), "sew here"),
        (stroke_of(RoleNote::Covered), "covered by a piece"),
        (Stroke::ink(0.28), "two bands meet"),
        (bias_stroke(), "bias edge: it stretches"),
    ];
    let mut items = Vec::new();
    for (i, (stroke, words)) in entries.into_iter().enumerate() {
        let at = point(
            corner.x + 38.0 * (i / 3) as f64,
            corner.y + 4.2 * (i % 3) as f64,
        );
        let tick = words.starts_with("two bands");
        let ends = if tick {
            [point(at.x + 3.5, at.y - 1.5), point(at.x + 3.5, at.y + 1.5)]
        } else {
            [at, point(at.x + 7.0, at.y)]
        };
        items.push(Path::segments([ends], stroke).into());
        let from = point(at.x + 8.2, at.y + 2.0 * CAPITAL / 2.0);
        items.push(Text::new(from, 2.0, words).into());
    }
    let at = point(corner.x, corner.y + 4.2 * 3.0 + 0.6);
    items.push(crate::draw::map::cross_at(
        point(at.x + 2.2, at.y),
        point(1.0, 0.0),
    ));
    let words = "measured point of the map; arrow to the top";
    let from = point(at.x + 8.2, at.y + 2.0 * CAPITAL / 2.0);
    items.push(Text::new(from, 2.0, words).coloured(GREY).into());
    items
}
