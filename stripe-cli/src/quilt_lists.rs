//! The quilt's lists: what to buy and which straight cuts to make, as CSV
//! and as lines of the summary.

use crate::cut_list::unit_of;
use crate::lists::{Cell, List};
use crate::table::{aligned, fixed};
use std::fmt::Write;
use stripe_core::length::Length;
use stripe_core::plan::{CutsNote, Plan, QuiltNote};
use stripe_core::wording;

/// The buying list, one fabric a line, the sum last.
pub(crate) fn buying_csv(plan: &Plan, quilt: &QuiltNote) -> Vec<u8> {
    let unit = unit_of(plan);
    let shown = |mm: f64| Cell::figure(Length::from_mm(mm).shown_up(unit));
    let price = |price: Option<f64>| {
        price.map_or_else(Cell::empty, |price| {
            Cell::figure(format_args!("{price:.2}"))
        })
    };
    let kits = wording::for_kits(plan);
    let mut list = List::new(&[
        "what",
        "width",
        &format!("length needed{kits}"),
        &format!("to buy{kits}"),
        "to buy (mm)",
        &format!("price ({})", plan.money),
        "why",
    ]);
    for line in &quilt.shopping {
        list.row([
            Cell::words(&line.name),
            line.width_mm.map_or_else(Cell::empty, shown),
            shown(line.length_mm),
            Cell::words(&line.shown),
            Cell::figure(format_args!("{:.1}", line.buy_mm)),
            price(line.price),
            Cell::words(&line.why),
        ]);
    }
    let none = Cell::empty;
    let sum = price(quilt.total);
    list.row([
        Cell::words("total"),
        none(),
        none(),
        none(),
        none(),
        sum,
        none(),
    ]);
    list.into_bytes()
}

/// The straight cuts: every step, in order, fabric by fabric.
pub(crate) fn straight_csv(plan: &Plan, quilt: &QuiltNote) -> Vec<u8> {
    let what = format!("what to cut{}", wording::for_kits(plan));
    let mut list = List::new(&["size", "fabric", "step", &what]);
    let mut add = |size: &str, cuts: &[CutsNote]| {
        for one in cuts {
            for (i, step) in one.steps.iter().enumerate() {
                let (size, fabric) = (Cell::words(size), Cell::words(&one.fabric));
                list.row([size, fabric, Cell::figure(i + 1), Cell::words(step)]);
            }
        }
    };
    add(&quilt.name, &quilt.cuts);
    for other in &quilt.other_sizes {
        add(&other.name, &other.cuts);
    }
    list.into_bytes()
}

/// The placement guide: the creases in the order of folding, then one motif a line.
pub(crate) fn placement_csv(plan: &Plan, quilt: &QuiltNote) -> Vec<u8> {
    let unit = unit_of(plan);
    let place = |mm| Cell::place(mm, unit);
    let mut head = vec![
        "what",
        "motif",
        "copy",
        "where",
        "centre right of the field's left seam",
        "centre above the field's lower seam",
        "right of the left seam (mm)",
        "above the lower seam (mm)",
        "rotate (degrees, counterclockwise)",
    ];
    // Every quilt of several has its own codes.
    head.extend((plan.kits > 1).then_some("kit"));
    let mut list = List::new(&head);
    let many = plan.kits > 1;
    for (i, crease) in quilt.creases.iter().enumerate() {
        let mut cells = vec![Cell::empty(); if many { 10 } else { 9 }];
        cells[0] = Cell::words(&format!("crease {}", i + 1));
        cells[3] = Cell::words(&format!("{}: {}", crease.name, crease.fold));
        list.row(cells);
    }
    for kit in 1..=plan.kits.max(1) {
        for spot in &quilt.spots {
            let motif = plan.motifs.iter().find(|motif| motif.name == spot.motif);
            let each = motif.map_or(0, |motif| motif.copies / plan.kits.max(1));
            let copy = spot.copy + (kit - 1) * each;
            let label = match (kit, motif) {
                (2.., Some(motif)) => format!("{}{copy}", motif.letter),
                _ => spot.label.clone(),
            };
            let mut cells = vec![
                Cell::words(&label),
                Cell::words(&spot.motif),
                Cell::figure(copy),
                Cell::words(&spot.guide),
                place(spot.centre_mm[0]),
                place(spot.centre_mm[1]),
                Cell::figure(fixed(spot.centre_mm[0], 1)),
                Cell::figure(fixed(spot.centre_mm[1], 1)),
                Cell::figure(spot.rotate_deg + 0.0),
            ];
            cells.extend(many.then(|| Cell::figure(kit)));
            list.row(cells);
        }
    }
    list.into_bytes()
}

/// The quilt's lines of the summary.
pub(crate) fn words(plan: &Plan, quilt: &QuiltNote) -> String {
    let unit = unit_of(plan);
    let shown = |mm: f64| Length::from_mm(mm).shown(unit);
    let up = |mm: f64| Length::from_mm(mm).shown_up(unit);
    let money = |price: Option<f64>| {
        price.map_or_else(String::new, |price| wording::money(&plan.money, price))
    };
    let mut text = format!(
        "\nThe quilt `{}`: {} by {} finished.\n\n{}{}, for motifs, strips, squares and borders:\n",
        quilt.name,
        shown(quilt.size_mm[0]),
        shown(quilt.size_mm[1]),
        wording::purchases(plan),
        wording::for_kits(plan)
    );
    let head = ["what", "width", "needed", "to buy", "price"];
    let mut rows = vec![head.map(String::from).to_vec()];
    for line in &quilt.shopping {
        rows.push(vec![
            line.name.clone(),
            line.width_mm.map_or_else(String::new, shown),
            up(line.length_mm),
            line.shown.clone(),
            money(line.price),
        ]);
    }
    if quilt.total.is_some() {
        let mut row = vec![String::new(); head.len()];
        row[0] = "total".to_owned();
        row[4] = money(quilt.total);
        rows.push(row);
    }
    text += &aligned(&rows);
    for cuts in &quilt.cuts {
        let _ = writeln!(
            text,
            "\nStrip cutting from {} ({} wide), {} long{}:{}",
            cuts.fabric,
            shown(cuts.width_mm),
            up(cuts.length_mm),
            wording::for_kits(plan),
            wording::straight_when(plan, &cuts.fabric)
                .map_or_else(String::new, |when| format!(" {when}"))
        );
        for (i, step) in cuts.steps.iter().enumerate() {
            let _ = writeln!(text, "{}. {step}", i + 1);
        }
    }
    for other in &quilt.other_sizes {
        let _ = writeln!(
            text,
            "\nAnother size, `{}`: {} by {} finished; its strips are in strip-cutting.csv.\n\
             `--size {}` plans it: its layout, its buying list, its placement.",
            other.name,
            shown(other.size_mm[0]),
            shown(other.size_mm[1]),
            other.name
        );
        let motifs: Vec<String> = other
            .motifs
            .iter()
            .map(|(name, count)| format!("{count} x {name}"))
            .collect();
        if !motifs.is_empty() {
            let _ = writeln!(text, "It takes {}.", motifs.join(", "));
        }
    }
    text
}
