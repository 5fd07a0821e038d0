//! One chart of all choices: a bar each, as long as the fabric, parted by fabric.

use super::rows::{Row, cheapest};
use stripe_core::colour::Colour;
use stripe_core::draw::Scene;
use stripe_core::draw::scene::{Anchor, Fill, GREY, INK, Item, PAPER, Path, Stroke, Text};
use stripe_core::fabric::{Fabric, Pattern};
use stripe_core::length::Length;
use stripe_core::project::Project;
use stripe_core::shape::point;
use stripe_core::wording;

const MARGIN_MM: f64 = 10.0;
/// Room for labels, at least; letters are some half as wide as high.
const LABEL_MM: f64 = 60.0;
const LETTER_WIDTH: f64 = 0.56;
/// The longest label.
const LABEL_CHARS: usize = 120;
const BARS_MM: f64 = 110.0;
const PRICE_MM: f64 = 40.0;
const ROW_MM: f64 = 9.0;
const BAR_MM: f64 = 5.0;
const LETTERS_MM: f64 = 3.2;
const FIGURES_MM: f64 = 2.6;

/// The chart: lengths to scale, by hand as a mark, prices beside, the best in bold.
pub(super) fn draw(rows: &[Row], project: &Project) -> Scene {
    let chars = rows.iter().map(|row| row.label.chars().count());
    let chars = chars.max().unwrap_or(0).min(LABEL_CHARS) as f64;
    let label = LABEL_MM.max(chars * LETTERS_MM * LETTER_WIDTH + 4.0);
    let longest = rows.iter().map(|row| row.by_hand_length.max(row.length));
    let scale = BARS_MM / longest.fold(1.0, f64::max);
    let best = cheapest(rows).map(|row| row.choice.as_str());
    let top = MARGIN_MM + 14.0;
    let mut items = vec![
        Item::Text(Text {
            bold: true,
            ..Text::new(
                point(MARGIN_MM, MARGIN_MM + 4.0),
                5.0,
                project.title.clone(),
            )
        }),
        Item::Text(Text {
            colour: GREY,
            ..Text::new(
                point(MARGIN_MM, MARGIN_MM + 9.5),
                LETTERS_MM,
                if rows.iter().any(|row| !row.shopping.is_empty()) {
                    "Length of the motifs' fabrics; the vertical stroke is the length laid with care by hand; the price is the whole quilt's"
                } else {
                    "Length of fabric used, fabric by fabric; the vertical stroke is the length laid with care by hand"
                },
            )
        }),
    ];
    for (i, row) in rows.iter().enumerate() {
        let y = top + ROW_MM * i as f64;
        items.extend(bar(
            row,
            y,
            scale,
            label,
            project,
            best == Some(row.choice.as_str()),
        ));
    }
    let below = top + ROW_MM * rows.len() as f64 + 4.0;
    items.extend(legend(rows, project, label, below));
    Scene {
        width_mm: 2.0 * MARGIN_MM + label + BARS_MM + PRICE_MM,
        height_mm: below + 6.0 + MARGIN_MM,
        title: format!("{}: choices side by side", project.title),
        about: "A bar for every choice, as long as the fabric that it uses.".to_owned(),
        items,
    }
}

fn bar(row: &Row, y: f64, scale: f64, label: f64, project: &Project, is_best: bool) -> Vec<Item> {
    let start = MARGIN_MM + label;
    let baseline = y + BAR_MM - 1.2;
    let label = Text {
        bold: is_best,
        ..Text::new(
            point(MARGIN_MM, baseline),
            LETTERS_MM,
            shorten(&row.label, LABEL_CHARS),
        )
    };
    let mut items = vec![Item::Text(label)];
    if let Some(fault) = &row.fault {
        let words = Text {
            colour: GREY,
            ..Text::new(point(start, baseline), LETTERS_MM, shorten(fault, 70))
        };
        items.push(Item::Text(words));
        return items;
    }
    let mut x = start;
    for fabric in &row.fabrics {
        let width = fabric.shortest * scale;
        let colour = project.fabric(&fabric.name).map_or(GREY, main_colour);
        let fill = Some(Fill::solid(colour));
        items.push(Item::Path(Path::rect(
            point(x, y),
            width,
            BAR_MM,
            fill,
            Some(Stroke::ink(0.15)),
        )));
        // How long each is, where its part of the bar has room for the figures.
        let shown = Length::from_mm(fabric.shortest).shown_up(project.unit);
        if (shown.chars().count() + 1) as f64 * FIGURES_MM * LETTER_WIDTH < width {
            let ink = [INK, PAPER]
                .into_iter()
                .max_by(|a, b| a.contrast(colour).total_cmp(&b.contrast(colour)));
            items.push(Item::Text(Text {
                anchor: Anchor::Middle,
                colour: ink.unwrap_or(INK),
                ..Text::new(point(x + width / 2.0, baseline - 0.2), FIGURES_MM, shown)
            }));
        }
        x += width;
    }
    let hand = start + row.by_hand_length * scale;
    let stroke = [point(hand, y - 1.0), point(hand, y + BAR_MM + 1.0)];
    items.push(Item::Path(Path::segments([stroke], Stroke::ink(0.5))));
    let length = Length::from_mm(row.length).shown_up(project.unit);
    let words = match row.price {
        Some(price) => format!("{length}, {}", wording::money(&project.money, price)),
        None => length,
    };
    items.push(Item::Text(Text {
        bold: is_best,
        anchor: Anchor::End,
        ..Text::new(
            point(start + BARS_MM + PRICE_MM, baseline),
            LETTERS_MM,
            words,
        )
    }));
    items
}

/// The fabrics that the bars are made of; others of the project are cut straight.
fn legend(rows: &[Row], project: &Project, label: f64, y: f64) -> Vec<Item> {
    let is_shown = |fabric: &&Fabric| {
        let mut shown = rows.iter().flat_map(|row| &row.fabrics);
        shown.any(|in_row| in_row.name == fabric.name)
    };
    let fabrics: Vec<&Fabric> = project.fabrics.iter().filter(is_shown).collect();
    let mut items = vec![];
    let step = (label + BARS_MM + PRICE_MM) / fabrics.len().max(4) as f64;
    for (i, fabric) in fabrics.into_iter().enumerate() {
        let x = MARGIN_MM + step * i as f64;
        let fill = Some(Fill::solid(main_colour(fabric)));
        let patch = Path::rect(point(x, y), 6.0, 4.0, fill, Some(Stroke::ink(0.15)));
        items.push(Item::Path(patch));
        let most = (step / LETTERS_MM * 1.4) as usize;
        let words = shorten(&fabric.name, most.max(4));
        items.push(Item::Text(Text::new(
            point(x + 8.0, y + 3.1),
            LETTERS_MM,
            words,
        )));
    }
    items
}

/// The colour that a fabric goes by: its own, or that of its widest band.
fn main_colour(fabric: &Fabric) -> Colour {
    match &fabric.pattern {
        Pattern::Plain(colour) => *colour,
        Pattern::Striped(stripe) => {
            let widest = stripe
                .bands()
                .iter()
                .max_by(|a, b| a.width_mm.total_cmp(&b.width_mm));
            widest.map_or(GREY, |band| band.colour)
        }
        _ => GREY,
    }
}

fn shorten(words: &str, most: usize) -> String {
    if words.chars().count() <= most {
        return words.to_owned();
    }
    let kept: String = words.chars().take(most.saturating_sub(1)).collect();
    kept + "…"
}
