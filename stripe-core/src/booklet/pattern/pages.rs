//! A pattern as pages of paper: its blocks one below the other, no heading without what it
//! is for, no picture and no row of a table on two pages.

use super::content::{Block, Chapter, Grid, Picture};
use crate::draw::Paper;
use crate::draw::scene::{Anchor, GREY, Item, Path, Scene, Stroke, Text};
use crate::draw::{text_width, wrap_words};
use crate::shape::point;

/// Width of all that is printed (mm): it fits either paper with half an inch to both sides.
pub(super) const WIDTH_MM: f64 = 180.0;
/// From the upper and the lower edge of the paper (mm).
const MARGIN_MM: f64 = 14.0;
/// At the foot of every page for its number (mm).
const FOOT_MM: f64 = 7.0;
/// Sizes of letters (mm): 9.6, 8.5, 15, 11 and 7 points.
const BODY_MM: f64 = 3.4;
const SMALL_MM: f64 = 3.0;
const CHAPTER_MM: f64 = 5.4;
const HEADING_MM: f64 = 4.0;
const LEAST_MM: f64 = 2.5;
/// From one line to the next, in sizes of the letters.
const LEADING: f64 = 1.38;
/// After a block (mm).
const GAP_MM: f64 = 2.4;
/// From one line to write on to the next (mm).
const WRITE_MM: f64 = 9.0;
/// Between two chapters of one page (mm).
const BETWEEN_MM: f64 = 8.0;
/// In front of a step (mm).
const NUMBER_MM: f64 = 8.0;

/// Something that stands on one page, its top left corner at the origin.
struct Part {
    high_mm: f64,
    items: Vec<Item>,
    /// Whether what follows must stand on the same page.
    holds_next: bool,
}

/// The pages of a pattern.
pub(super) fn pages(title: &str, about: &str, chapters: &[Chapter], paper: Paper) -> Vec<Scene> {
    let [width_mm, height_mm] = paper.size_mm();
    let room_mm = height_mm - 2.0 * MARGIN_MM - FOOT_MM;
    let mut filled: Vec<Vec<Item>> = vec![Vec::new()];
    let mut down = 0.0;
    let mut place = |parts: Vec<Part>, filled: &mut Vec<Vec<Item>>, fresh: bool| {
        if fresh && filled.last().is_some_and(|page| !page.is_empty()) {
            // A chapter that the rest of the page holds whole does not begin another one.
            let high: f64 = parts.iter().map(|part| part.high_mm).sum();
            if down + BETWEEN_MM + high <= room_mm {
                down += BETWEEN_MM;
            } else {
                filled.push(Vec::new());
                down = 0.0;
            }
        }
        let mut parts = parts.into_iter().peekable();
        let mut waiting: Vec<Part> = Vec::new();
        while let Some(part) = parts.next() {
            let goes_on = part.holds_next && parts.peek().is_some();
            waiting.push(part);
            if goes_on {
                continue;
            }
            let high: f64 = waiting.iter().map(|part| part.high_mm).sum();
            if down > 0.0 && down + high > room_mm + 0.01 {
                filled.push(Vec::new());
                down = 0.0;
            }
            for part in waiting.drain(..) {
                let by = point((width_mm - WIDTH_MM) / 2.0, MARGIN_MM + down);
                let items = part.items.into_iter().map(|item| item.moved(by));
                if let Some(page) = filled.last_mut() {
                    page.extend(items);
                }
                down += part.high_mm;
            }
        }
    };
    place(front(title, about), &mut filled, false);
    for chapter in chapters {
        let mut heading = words_part(&chapter.heading, CHAPTER_MM, true, 4.0);
        heading.holds_next = true;
        let mut parts = vec![heading];
        if !chapter.on_new_page && chapter.id != chapters[0].id {
            // Room between two chapters of one page.
            parts.insert(
                0,
                Part {
                    high_mm: 5.0,
                    items: Vec::new(),
                    holds_next: true,
                },
            );
        }
        for block in &chapter.blocks {
            parts.extend(of_block(block, room_mm));
        }
        place(parts, &mut filled, chapter.on_new_page);
    }
    let count = filled.len();
    let numbered = filled.into_iter().enumerate().map(|(i, mut items)| {
        let foot = height_mm - MARGIN_MM;
        let left = (width_mm - WIDTH_MM) / 2.0;
        let number = format!("page {} of {count}", i + 1);
        let at = |x: f64, words: String| Text::new(point(x, foot), LEAST_MM, words).coloured(GREY);
        items.push(at(left, format!("{title}: pattern")).into());
        items.push(
            at(left + WIDTH_MM, number.clone())
                .anchored(Anchor::End)
                .into(),
        );
        Scene {
            width_mm,
            height_mm,
            title: format!("{title}, {number}"),
            about: String::new(),
            items,
        }
    });
    numbered.collect()
}

/// The title above all.
fn front(title: &str, about: &str) -> Vec<Part> {
    let mut first = words_part(title, 9.0, true, 1.0);
    first.holds_next = true;
    let mut second = words_part(about, BODY_MM, false, 5.0);
    second.holds_next = true;
    vec![first, second]
}

/// Lines of words with room below them.
fn words_part(words: &str, size_mm: f64, bold: bool, below_mm: f64) -> Part {
    let lines = wrap_words(words, size_mm, bold, WIDTH_MM);
    let items = lines.iter().enumerate().map(|(i, line)| {
        let mut text = Text::new(point(0.0, base(i, size_mm)), size_mm, line.clone());
        text.bold = bold;
        text.into()
    });
    Part {
        high_mm: lines.len() as f64 * size_mm * LEADING + below_mm,
        items: items.collect(),
        holds_next: false,
    }
}

/// Where a line's letters stand, counted from 0.
fn base(line: usize, size_mm: f64) -> f64 {
    size_mm * (LEADING * line as f64 + 1.0)
}

fn of_block(block: &Block, room_mm: f64) -> Vec<Part> {
    match block {
        Block::Heading(words) => {
            let mut part = words_part(words, HEADING_MM, true, 1.6);
            // Room above it, unless it begins a page.
            part.high_mm += 2.0;
            part.items = part
                .items
                .into_iter()
                .map(|item| item.moved(point(0.0, 2.0)))
                .collect();
            part.holds_next = true;
            vec![part]
        }
        Block::Words(words) => vec![words_part(words, BODY_MM, false, GAP_MM)],
        Block::Lead(lead, words) => vec![lead_part(lead, words)],
        Block::Steps(steps) => steps
            .iter()
            .enumerate()
            .map(|(i, words)| step(i, words))
            .collect(),
        Block::Ask(words) => vec![ask(words)],
        Block::Table(grid) => table(grid),
        Block::Pictures(row) => vec![pictures(row, room_mm)],
        Block::Lines(count) => (0..*count).map(|_| line_to_write()).collect(),
    }
}

/// A paragraph whose first words are bold.
fn lead_part(lead: &str, words: &str) -> Part {
    let wide = text_width(lead, BODY_MM, true) + BODY_MM * 0.4;
    // Broken as if the bold words were so many narrow letters.
    let narrow = text_width("i", BODY_MM, false);
    let filler = "i".repeat((wide / narrow).ceil() as usize);
    let lines = wrap_words(&format!("{filler}\u{a0}{words}"), BODY_MM, false, WIDTH_MM);
    let mut items: Vec<Item> = vec![
        Text::new(point(0.0, base(0, BODY_MM)), BODY_MM, lead)
            .bold()
            .into(),
    ];
    for (i, line) in lines.iter().enumerate() {
        let (x, line) = match line.strip_prefix(&filler) {
            Some(rest) if i == 0 => (wide, rest.trim_start_matches('\u{a0}').trim_start()),
            _ => (0.0, line.as_str()),
        };
        items.push(Text::new(point(x, base(i, BODY_MM)), BODY_MM, line).into());
    }
    Part {
        high_mm: lines.len() as f64 * BODY_MM * LEADING + GAP_MM,
        items,
        holds_next: false,
    }
}

fn step(number: usize, words: &str) -> Part {
    let lines = wrap_words(words, BODY_MM, false, WIDTH_MM - NUMBER_MM);
    let mut items: Vec<Item> = vec![
        Text::new(
            point(0.0, base(0, BODY_MM)),
            BODY_MM,
            format!("{}.", number + 1),
        )
        .bold()
        .into(),
    ];
    for (i, line) in lines.iter().enumerate() {
        items.push(Text::new(point(NUMBER_MM, base(i, BODY_MM)), BODY_MM, line.clone()).into());
    }
    Part {
        high_mm: lines.len() as f64 * BODY_MM * LEADING + 1.0,
        items,
        holds_next: false,
    }
}

/// A question with a line to write on behind it.
fn ask(words: &str) -> Part {
    let y = base(0, BODY_MM) + 2.0;
    let from = text_width(words, BODY_MM, false) + 2.0;
    let line = [
        point(from.min(WIDTH_MM - 30.0), y + 0.6),
        point(WIDTH_MM, y + 0.6),
    ];
    Part {
        high_mm: BODY_MM * LEADING + 4.0,
        items: vec![
            Text::new(point(0.0, y), BODY_MM, words).into(),
            Path::segments([line], Stroke::ink(0.2)).into(),
        ],
        holds_next: false,
    }
}

fn line_to_write() -> Part {
    let line = [point(0.0, WRITE_MM - 1.0), point(WIDTH_MM, WRITE_MM - 1.0)];
    Part {
        high_mm: WRITE_MM,
        items: vec![Path::segments([line], Stroke::ink(0.15).coloured(GREY)).into()],
        holds_next: false,
    }
}

/// Heads and rows; the heads stay with the first row, every row is whole.
fn table(grid: &Grid) -> Vec<Part> {
    let whole: f64 = grid.shares.iter().sum();
    let widths: Vec<f64> = grid
        .shares
        .iter()
        .map(|share| share / whole * WIDTH_MM)
        .collect();
    let row = |cells: Vec<&str>, head: bool| {
        let mut items: Vec<Item> = Vec::new();
        let (mut x, mut most) = (0.0, 1);
        for (i, (cell, width)) in cells.iter().zip(&widths).enumerate() {
            let bold = head || i == 0;
            let lines = wrap_words(cell, SMALL_MM, bold, width - 2.5);
            most = most.max(lines.len());
            for (n, line) in lines.iter().enumerate() {
                let mut text = Text::new(point(x, base(n, SMALL_MM) + 0.6), SMALL_MM, line.clone());
                text.bold = bold;
                items.push(if head { text.coloured(GREY) } else { text }.into());
            }
            x += width;
        }
        let high_mm = most as f64 * SMALL_MM * LEADING + 1.6;
        let rule = [point(0.0, high_mm - 0.3), point(WIDTH_MM, high_mm - 0.3)];
        items.push(Path::segments([rule], Stroke::ink(0.12).coloured(GREY)).into());
        Part {
            high_mm,
            items,
            holds_next: head,
        }
    };
    let mut parts = vec![row(grid.heads.clone(), true)];
    let rows = grid.rows.iter();
    parts.extend(rows.map(|cells| row(cells.iter().map(String::as_str).collect(), false)));
    if let Some(last) = parts.last_mut() {
        last.high_mm += GAP_MM + 1.0;
    }
    parts
}

/// Pictures side by side, their captions below them.
fn pictures(row: &[Picture], room_mm: f64) -> Part {
    let all: f64 = row.iter().map(|picture| picture.scene.width_mm).sum();
    let gaps = row.len() as f64 + 1.0;
    let gap = ((WIDTH_MM - all) / gaps).max(0.0);
    let (mut x, mut high_mm) = (gap, 0.0_f64);
    let mut items = Vec::new();
    let tallest = row
        .iter()
        .map(|picture| picture.scene.height_mm)
        .fold(0.0, f64::max);
    for Picture { scene, caption } in row {
        let down = tallest - scene.height_mm;
        let by = point(x, down);
        items.extend(scene.items.iter().cloned().map(|item| item.moved(by)));
        // Captions may be wider than their pictures, but not run into each other.
        let wide = scene.width_mm + (gap - 3.0).max(0.0);
        let lines = wrap_words(caption, SMALL_MM, false, wide);
        for (i, line) in lines.iter().enumerate() {
            let at = point(x + scene.width_mm / 2.0, tallest + base(i, SMALL_MM));
            items.push(
                Text::new(at, SMALL_MM, line.clone())
                    .anchored(Anchor::Middle)
                    .into(),
            );
        }
        high_mm = high_mm.max(tallest + lines.len() as f64 * SMALL_MM * LEADING);
        x += scene.width_mm + gap;
    }
    Part {
        high_mm: (high_mm + GAP_MM).min(room_mm),
        items,
        holds_next: false,
    }
}
