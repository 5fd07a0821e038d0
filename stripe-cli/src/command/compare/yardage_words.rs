//! The table, the chart and the sentence of a pattern's yardage.

use crate::lists::{Cell, List};
use crate::table::aligned;
use serde::Serialize;
use std::fmt::Write;
use stripe_core::length::{Length, Unit};
use stripe_core::motif::Copies;
use stripe_core::plan::{Promise, StripeKind, Yardage, YardageCell};

/// The longest bar of the chart, in characters.
const BAR_CHARS: f64 = 40.0;

/// Nearer repeats than this (mm) are not told apart with a ruler.
const RULER_MM: f64 = 25.4 / 16.0;

/// So many jumps are told on the terminal.
const MOST_JUMPS: usize = 16;

/// For other programs; lengths in mm.
#[derive(Debug, Serialize)]
pub(super) struct Shown {
    fabric: String,
    sentence: Option<String>,
    waste: Option<String>,
    steps: Vec<Step>,
    rows: Vec<Row>,
    jumps: Vec<Jump>,
    layouts: usize,
    cut_short: bool,
}

#[derive(Debug, Serialize)]
struct Step {
    within: f64,
    buy: f64,
}

#[derive(Debug, Serialize)]
struct Row {
    repeat: f64,
    width: f64,
    stripe: &'static str,
    copies: &'static str,
    between: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    length: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bound_length: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    straight: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    buy: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    buy_shown: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    fault: Option<String>,
}

#[derive(Debug, Serialize)]
struct Jump {
    width: f64,
    from_repeat: f64,
    from_buy: f64,
    to_repeat: f64,
    to_buy: f64,
    why: String,
}

impl Shown {
    pub(super) fn new(found: &Yardage) -> Self {
        let promise = found.promise.as_ref();
        let steps = promise.iter().flat_map(|promise| &promise.steps);
        Self {
            fabric: found.fabric.clone(),
            sentence: promise.map(|promise| promise.sentence(found.unit)),
            waste: promise.map(|promise| promise.waste_words(found.unit)),
            steps: steps
                .map(|step| Step {
                    within: step.within_mm,
                    buy: step.buy_mm,
                })
                .collect(),
            rows: found.cells.iter().map(row).collect(),
            jumps: (found.jumps.iter())
                .map(|jump| Jump {
                    width: jump.width_mm,
                    from_repeat: jump.from_repeat_mm,
                    from_buy: jump.from_buy_mm,
                    to_repeat: jump.to_repeat_mm,
                    to_buy: jump.to_buy_mm,
                    why: jump.why.clone(),
                })
                .collect(),
            layouts: found.layouts,
            cut_short: found.is_cut_short,
        }
    }
}

fn row(cell: &YardageCell) -> Row {
    let note = cell.found.as_ref().ok();
    Row {
        repeat: cell.repeat_mm,
        width: cell.width_mm,
        stripe: stripe_words(cell.kind),
        copies: copies_word(cell.copies),
        between: cell.is_between,
        length: note.map(|note| note.length_mm),
        bound_length: note.map(|note| note.least_mm),
        straight: note.map(|note| note.straight_mm).filter(|mm| *mm > 0.0),
        buy: note.map(|note| note.buy.length_mm),
        buy_shown: note.map(|note| note.buy.shown.clone()),
        fault: cell.found.as_ref().err().cloned(),
    }
}

/// What a kind of stripe is called.
fn stripe_words(kind: StripeKind) -> &'static str {
    match kind {
        StripeKind::AsItIs => "like yours",
        StripeKind::NoMirrorLine => "without a mirror line",
        StripeKind::OneWay => "one way",
        StripeKind::RightSideOnly => "right side only",
        _ => "any",
    }
}

fn copies_word(copies: Copies) -> &'static str {
    match copies {
        Copies::Alike => "alike",
        Copies::Own => "own",
    }
}

/// All rows as CSV, lengths in mm.
pub(super) fn csv(found: &Yardage) -> Vec<u8> {
    let mut list = List::new(&[
        "stripe",
        "copies",
        "width (mm)",
        "repeat (mm)",
        "between those asked for",
        "length (mm)",
        "no layout is shorter than (mm)",
        "straight pieces (mm)",
        "to buy (mm)",
        "to buy",
        "cannot be laid because",
    ]);
    for cell in &found.cells {
        let row = row(cell);
        let two = |mm: Option<f64>| {
            mm.map_or_else(Cell::empty, |mm| Cell::figure(format_args!("{mm:.2}")))
        };
        let words = |text: Option<String>| text.map_or_else(Cell::empty, |text| Cell::words(&text));
        list.row([
            Cell::words(row.stripe),
            Cell::words(row.copies),
            two(Some(row.width)),
            two(Some(row.repeat)),
            Cell::words(if row.between { "yes" } else { "no" }),
            two(row.length),
            two(row.bound_length),
            two(row.straight),
            two(row.buy),
            words(row.buy_shown),
            words(row.fault),
        ]);
    }
    list.into_bytes()
}

/// All of it for a person; `quickly`: at quick effort.
pub(super) fn to_text(found: &Yardage, quickly: bool) -> String {
    let unit = found.unit;
    let mut text = tables(found);
    text += &chart(found);
    if !found.jumps.is_empty() {
        text += "\nWhere more or less has to be bought, and why:\n";
    }
    for jump in found.jumps.iter().take(MOST_JUMPS) {
        let shown = |mm| Length::from_mm(mm).shown(unit);
        let buy = |mm| Length::from_mm(mm).shown_to_buy(unit);
        let _ = writeln!(
            text,
            "  {} wide, from a repeat of {} to {}: {} instead of {}; {}",
            shown(jump.width_mm),
            repeat_words(found, jump.from_repeat_mm),
            repeat_words(found, jump.to_repeat_mm),
            buy(jump.to_buy_mm),
            buy(jump.from_buy_mm),
            jump.why
        );
    }
    if let Some(more) = found.jumps.len().checked_sub(MOST_JUMPS + 1) {
        let _ = writeln!(
            text,
            "  and {} more: see yardage.json with --out, or --json",
            more + 1
        );
    }
    match &found.promise {
        Some(promise) => text += &promise_words(promise, found),
        None => {
            text += "\nNo sentence can be printed: the smallest repeat was not laid on the narrowest width.\n";
        }
    }
    if quickly {
        text += "Each was searched quickly: `--effort steady` may find that less will do, never that more is needed.\n";
    }
    text
}

fn promise_words(promise: &Promise, found: &Yardage) -> String {
    let unit = found.unit;
    let of = |n: usize, one: &str, many: &str| match n {
        1 => format!("1 {one}"),
        n => format!("{n} {many}"),
    };
    format!(
        "\nTo print in the pattern:\n  {}\n{}\nLaid for it: {} that you asked for and {} between them, right beside where a line \
         of the stripe is lost or a piece takes one repeat more. In all {} made and checked.\n",
        promise.sentence(unit),
        promise.waste_words(unit),
        of(promise.asked, "repeat", "repeats"),
        of(promise.between, "repeat", "repeats"),
        of(found.layouts, "layout was", "layouts were"),
    )
}

/// One table for all kinds of stripe that need the same.
fn tables(found: &Yardage) -> String {
    let mut keys: Vec<(StripeKind, Copies)> = vec![];
    for cell in &found.cells {
        if !keys.contains(&(cell.kind, cell.copies)) {
            keys.push((cell.kind, cell.copies));
        }
    }
    let mut tables: Vec<(Vec<(StripeKind, Copies)>, String)> = vec![];
    for key in keys {
        let table = table(found, key);
        match tables.iter_mut().find(|(_, known)| *known == table) {
            Some((keys, _)) => keys.push(key),
            None => tables.push((vec![key], table)),
        }
    }
    let mut text = String::new();
    for (keys, table) in tables {
        let _ = writeln!(text, "{}\n{table}", heads(&keys));
    }
    text += "Each length is that of a layout that was made and checked. If one for narrower fabric, or for a fussier \
             stripe, came out shorter, that one is used. `Any` stripe: without a mirror line, printed one way, only \
             its right side shows, and it may begin anywhere beside the selvage.\n";
    text
}

/// Which stripes and copies a table is for: kinds of stripe with the same copies on one line.
fn heads(keys: &[(StripeKind, Copies)]) -> String {
    let mut lines: Vec<(String, Vec<&str>)> = vec![];
    let mut told: Vec<StripeKind> = vec![];
    for &(kind, _) in keys {
        if told.contains(&kind) {
            continue;
        }
        told.push(kind);
        let copies = keys.iter().filter(|(other, _)| *other == kind);
        let copies: Vec<&str> = copies.map(|(_, copies)| copies_word(*copies)).collect();
        let copies = copies.join(" or ");
        match lines.iter_mut().find(|(known, _)| *known == copies) {
            Some((_, kinds)) => kinds.push(stripe_words(kind)),
            None => lines.push((copies, vec![stripe_words(kind)])),
        }
    }
    let lines = lines.into_iter();
    let lines =
        lines.map(|(copies, kinds)| format!("Stripe: {}; copies {copies}", kinds.join(", ")));
    lines.collect::<Vec<_>>().join("\n")
}

/// A repeat in words: one right beside a repeat that was asked for, nearer than a ruler shows, is
/// told by that.
fn repeat_words(found: &Yardage, repeat_mm: f64) -> String {
    let shown = |mm: f64| Length::from_mm(mm).shown(found.unit);
    let asked = found.cells.iter().filter(|cell| !cell.is_between);
    let near = asked
        .map(|cell| cell.repeat_mm)
        .min_by(|a, b| (a - repeat_mm).abs().total_cmp(&(b - repeat_mm).abs()));
    match near {
        Some(near) if near != repeat_mm && (near - repeat_mm).abs() < RULER_MM => {
            let side = if repeat_mm < near { "under" } else { "over" };
            format!("just {side} {}", shown(near))
        }
        _ => shown(repeat_mm),
    }
}

fn table(found: &Yardage, key: (StripeKind, Copies)) -> String {
    let unit = found.unit;
    let here = |cell: &&YardageCell| (cell.kind, cell.copies) == key && !cell.is_between;
    let cells: Vec<&YardageCell> = found.cells.iter().filter(here).collect();
    let sorted = |of: fn(&YardageCell) -> f64| {
        let mut all: Vec<f64> = cells.iter().map(|cell| of(cell)).collect();
        all.sort_by(f64::total_cmp);
        all.dedup();
        all
    };
    let (repeats, widths) = (sorted(|cell| cell.repeat_mm), sorted(|cell| cell.width_mm));
    let shown = |mm: f64| Length::from_mm(mm).shown(unit);
    let mut head = vec!["repeat".to_owned()];
    head.extend(widths.iter().map(|&width| format!("{} wide", shown(width))));
    let mut rows = vec![head];
    let mut faults = String::new();
    for &repeat in &repeats {
        let mut row = vec![shown(repeat)];
        for &width in &widths {
            let cell =
                (cells.iter()).find(|cell| cell.repeat_mm == repeat && cell.width_mm == width);
            row.push(match cell.map(|cell| &cell.found) {
                Some(Ok(note)) => {
                    let used = Length::from_mm(note.length_mm + note.straight_mm).shown_up(unit);
                    format!("{used}, buy {}", note.buy.shown)
                }
                Some(Err(fault)) => {
                    let _ = writeln!(faults, "{} on {}: {fault}", shown(repeat), shown(width));
                    "none".to_owned()
                }
                None => "not laid".to_owned(),
            });
        }
        rows.push(row);
    }
    aligned(&rows) + &faults
}

/// A bar for each repeat on each width, of the first kind of stripe.
fn chart(found: &Yardage) -> String {
    let unit: Unit = found.unit;
    let Some(first) = found.cells.first() else {
        return String::new();
    };
    let here = |cell: &&YardageCell| (cell.kind, cell.copies) == (first.kind, first.copies);
    let bars: Vec<(&YardageCell, f64)> = (found.cells.iter().filter(here))
        .filter_map(|cell| {
            let note = cell.found.as_ref().ok()?;
            Some((cell, note.length_mm + note.straight_mm))
        })
        .collect();
    let longest = bars.iter().map(|(_, mm)| *mm).fold(1.0, f64::max);
    let mut text = format!(
        "\nStripe: {}; copies {} (*: between the repeats asked for)\n",
        stripe_words(first.kind),
        copies_word(first.copies)
    );
    let mut rows: Vec<Vec<String>> = vec![];
    let mut width = f64::NAN;
    for (cell, mm) in bars {
        let shown = |mm: f64| Length::from_mm(mm).shown(unit);
        let is_new = cell.width_mm != width;
        width = cell.width_mm;
        let mark = if cell.is_between { " *" } else { "" };
        let bar = "#".repeat((mm / longest * BAR_CHARS).round().max(1.0) as usize);
        let pad = " ".repeat(BAR_CHARS as usize - bar.len().min(BAR_CHARS as usize));
        rows.push(vec![
            if is_new {
                format!("{} wide", shown(width))
            } else {
                String::new()
            },
            format!("{}{mark}", repeat_words(found, cell.repeat_mm)),
            format!("{bar}{pad}"),
            Length::from_mm(mm).shown_up(unit),
        ]);
    }
    text += &aligned(&rows);
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of all kinds of stripe that need the same, one line; what is told apart by less than a ruler
    /// shows, is told by its side.
    #[test]
    fn a_head_is_short_and_a_repeat_is_told_by_the_one_beside_it() {
        let both = [Copies::Alike, Copies::Own];
        let kinds = [StripeKind::OneWay, StripeKind::RightSideOnly];
        let keys: Vec<_> = kinds
            .iter()
            .flat_map(|&kind| both.map(|copies| (kind, copies)))
            .collect();
        let told = "Stripe: one way, right side only; copies alike or own";
        assert_eq!(heads(&keys), told);
        assert_eq!(
            heads(&keys[1..]),
            "Stripe: one way; copies own\nStripe: right side only; copies alike or own"
        );
        let cell = |inches: f64, is_between| YardageCell {
            repeat_mm: 25.4 * inches,
            width_mm: 1000.0,
            copies: Copies::Own,
            kind: StripeKind::OneWay,
            is_between,
            found: Err(String::new()),
        };
        let found = Yardage {
            fabric: "deck".to_owned(),
            unit: Unit::Inch,
            cells: vec![cell(2.0, false), cell(2.01, true), cell(2.5, true)],
            jumps: vec![],
            promise: None,
            layouts: 0,
            is_cut_short: false,
        };
        let told = [1.99, 2.0, 2.01, 2.5].map(|inches| repeat_words(&found, 25.4 * inches));
        assert_eq!(
            told,
            ["just under 2 in", "2 in", "just over 2 in", "2 1/2 in"]
        );
    }
}
