//! What stands around the fabric on a map: its edges, rulers, the words for them, and on
//! an overview which sheet shows what.

use super::edges::{edge_words, is_rectangle};
use super::labels::{SMALL_MM, small_mm};
use super::sheet::{BRACKETS_MM, Sheet};
use super::split::{Stretch, pieces_word};
use crate::draw::lettering::{CAPITAL, fit, width_mm};
use crate::draw::ruler::{Side, ruler};
use crate::draw::scene::{Anchor, Dash, GREY, Item, Path, Stroke, Text};
use crate::draw::view::View;
use crate::length::Unit;
use crate::shape::{Point, point};

/// Between two words side by side (mm).
const APART_MM: f64 = 3.0;
/// From line to line of small words (mm).
const WORDS_MM: f64 = 3.3;

impl Sheet<'_> {
    /// Edges of the fabric, rulers, and the words for them.
    pub(super) fn frame(
        &self,
        view: &View,
        [low, high]: [f64; 2],
        from_end: bool,
        to_end: bool,
    ) -> Vec<Item> {
        let width = self.fabric.width_mm;
        let at = |x: f64, y: f64| view.apply(point(x, y));
        // Where a piece in hand has corners of its own, this is only the room that it takes.
        let selvage = if is_rectangle(self.fabric) {
            Stroke::ink(0.5)
        } else {
            Stroke::ink(0.2).coloured(GREY)
        };
        let mut items: Vec<Item> = vec![
            Path::segments(
                [
                    [at(0.0, low), at(0.0, high)],
                    [at(width, low), at(width, high)],
                ],
                selvage,
            )
            .into(),
        ];
        let edge = |y: f64, is_end: bool| -> Item {
            let stroke = if is_end {
                selvage
            } else {
                selvage.broken(Dash::DashDot).coloured(GREY)
            };
            Path::open(vec![at(0.0, y), at(width, y)], stroke).into()
        };
        items.push(edge(low, from_end));
        items.push(edge(high, to_end && self.fabric.in_hand.is_some()));
        let unit = self.plan.unit;
        items.extend(ruler(Side::Below, [0.0, width], unit, view.scale, |x| {
            let p = at(x, low);
            point(p.x, p.y + 0.5)
        }));
        items.extend(ruler(
            Side::Left,
            [low.max(0.0), high],
            unit,
            view.scale,
            |y| {
                let p = at(0.0, y);
                point(p.x - 0.5, p.y)
            },
        ));
        items.extend(self.edge_words(view, [low, high], from_end, to_end));
        let (top, bottom) = (at(0.0, high).y, at(0.0, low).y);
        let right = at(width, low).x + self.named.right_mm();
        items.extend(grain(point(right + 4.0, 0.0), top, bottom));
        items
    }

    /// Each edge by its name, and beside each ruler what it measures.
    fn edge_words(
        &self,
        view: &View,
        [low, high]: [f64; 2],
        from_end: bool,
        to_end: bool,
    ) -> Vec<Item> {
        let (lower, upper) = (
            [0.0, self.fabric.width_mm].map(|x| view.apply(point(x, low))),
            [0.0, self.fabric.width_mm].map(|x| view.apply(point(x, high))),
        );
        let edges = edge_words(self.fabric);
        let plural = unit_plural(self.plan.unit);
        // Above the fabric: the selvages at its corners, what goes on between them.
        let goes_on = if to_end { "" } else { "the fabric goes on" };
        let mut items = row(
            [upper[0].x, upper[1].x],
            upper[0].y - 1.2,
            [edges.left, goes_on, edges.right],
        );
        let end = if from_end {
            edges.nearest
        } else {
            edges.towards
        };
        items.extend(row(
            [lower[0].x, lower[1].x],
            lower[0].y + 9.4 + self.named.below_mm(),
            [&format!("{plural} from the {}", edges.left), "", end],
        ));
        // The fullest words that have room.
        let words = [
            format!("{plural} from the {}", edges.lower),
            plural.to_owned(),
        ];
        let room = lower[0].y - upper[0].y;
        if let Some(words) = words.iter().find(|words| small_mm(words) <= room) {
            let at = point(lower[0].x - 12.4, (lower[0].y + upper[0].y) / 2.0);
            let text = Text::new(at, SMALL_MM, words.as_str());
            items.push(text.anchored(Anchor::Middle).turned(-90.0).into());
        }
        items
    }

    /// On the overview: which sheet shows which stretch.
    pub(super) fn brackets(&self, stretches: &[Stretch], view: &View) -> Vec<Item> {
        let mut items = Vec::new();
        let right = view.apply(point(self.fabric.width_mm, 0.0)).x;
        let edge = right + self.right_mm();
        let middle = |stretch: &Stretch| {
            let high_mm = stretch.high_mm.min(self.fabric.length_mm);
            view.apply(point(0.0, f64::midpoint(stretch.low_mm, high_mm)))
                .y
        };
        // Where sheets follow each other closely, their numbers alone, and those that have room.
        let is_close =
            |pair: &[Stretch]| (middle(&pair[0]) - middle(&pair[1])).abs() < 2.0 * WORDS_MM;
        let lines = if stretches.windows(2).any(is_close) {
            1
        } else {
            2
        };
        let mut last = f64::INFINITY;
        for (i, stretch) in stretches.iter().enumerate() {
            // Stretches overlap: brackets stand further in and out by turns.
            let x = edge + if i % 2 == 0 { 2.5 } else { 5.0 };
            let high = stretch.high_mm.min(self.fabric.length_mm);
            let (top, bottom) = (
                view.apply(point(0.0, high)).y,
                view.apply(point(0.0, stretch.low_mm)).y,
            );
            let line = [(-1.2, top), (0.0, top), (0.0, bottom), (-1.2, bottom)]
                .map(|(out, y)| point(x + out, y));
            items.push(Path::open(line.to_vec(), Stroke::ink(0.35)).into());
            let at = point(edge + 6.5, (top + bottom) / 2.0 + 0.9);
            let room = BRACKETS_MM - 6.5;
            let words = [
                format!("sheet {}", i + 2),
                pieces_word(stretch.pieces.len()),
            ];
            if last - at.y < WORDS_MM {
                continue;
            }
            last = at.y;
            for (line, words) in words.iter().take(lines).enumerate() {
                let words = fit(words, SMALL_MM, line == 0, room);
                let down = WORDS_MM * line as f64;
                let mut text = Text::new(point(at.x, at.y + down), SMALL_MM, words);
                text.bold = line == 0;
                items.push(text.into());
            }
        }
        items
    }
}

/// Three texts in one row: at its left, in its middle, at its right. Where they would
/// touch, the middle one goes first, then the left one stands alone.
fn row([left, right]: [f64; 2], baseline: f64, words: [&str; 3]) -> Vec<Item> {
    let room = right - left;
    let wide = words.map(small_mm);
    let both = wide[0] + wide[2] + APART_MM <= room;
    let half = room / 2.0 - wide[1] / 2.0 - APART_MM;
    let shown = [true, wide[0] <= half && wide[2] <= half, both];
    let places = [
        (left, Anchor::Start),
        (f64::midpoint(left, right), Anchor::Middle),
        (right, Anchor::End),
    ];
    let texts = words.iter().zip(places).zip(shown);
    texts
        .filter(|((words, _), shown)| *shown && !words.is_empty())
        .map(|((words, (x, anchor)), _)| {
            let text = Text::new(point(x, baseline), SMALL_MM, *words);
            text.anchored(anchor).into()
        })
        .collect()
}

fn unit_plural(unit: Unit) -> &'static str {
    match unit {
        Unit::Inch => "inches",
        Unit::Centimetre => "centimetres",
        Unit::Millimetre => "millimetres",
    }
}

/// A double arrow along the lengthwise grain.
fn grain(at: Point, top: f64, bottom: f64) -> Vec<Item> {
    let middle = (top + bottom) / 2.0;
    let words = "grain";
    let half = ((bottom - top) / 2.0 - 1.0).clamp(4.0, 18.0);
    let gap = width_mm(words, SMALL_MM, false) / 2.0 + 0.8;
    let stroke = Stroke::ink(0.25);
    let mut ends = Vec::new();
    for sign in [-1.0, 1.0] {
        let tip = point(at.x, middle + sign * half);
        ends.push([point(at.x, middle + sign * gap.min(half)), tip]);
        for side in [-0.9, 0.9] {
            ends.push([point(tip.x + side, tip.y - sign * 1.6), tip]);
        }
    }
    vec![
        Path::segments(ends, stroke).into(),
        Text::new(
            point(at.x + SMALL_MM * CAPITAL / 2.0, middle),
            SMALL_MM,
            words,
        )
        .anchored(Anchor::Middle)
        .turned(-90.0)
        .into(),
    ]
}
