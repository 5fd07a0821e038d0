//! The cut list: every piece, and where its reference mark lies on the fabric.

use crate::lists::{Cell, List};
use crate::table::fixed;
use stripe_core::draw::rotate_deg;
use stripe_core::length::Unit;
use stripe_core::plan::Plan;
use stripe_core::wording;

/// The list as CSV, one piece a line, in the order of cutting: fabric by fabric, from the
/// cut end on.
pub(crate) fn csv(plan: &Plan) -> Vec<u8> {
    let unit = unit_of(plan);
    let place = |mm| Cell::place(mm, unit);
    // A plan that goes on from another one says what is new.
    let is_recut = plan.recut.is_some();
    let mut head = vec![
        "code",
        "motif",
        "copy",
        "piece",
        "fabric",
        "cross from left selvage",
        "cross from cut end",
        "cross from left selvage (mm)",
        "cross from cut end (mm)",
        "in repeat",
        "rotate (degrees, counterclockwise)",
        "side shown",
    ];
    if plan.kits > 1 {
        head.push("kit");
    }
    if is_recut {
        head.push("changed");
    }
    let mut list = List::new(&head);
    for fabric in &plan.fabrics {
        let mut pieces: Vec<_> = fabric.placements.iter().filter(|p| !p.is_cut).collect();
        pieces.sort_by(|a, b| {
            let (a_mark, b_mark) = (a.mark_on_fabric(), b.mark_on_fabric());
            (a_mark.y.total_cmp(&b_mark.y)).then(a_mark.x.total_cmp(&b_mark.x))
        });
        for piece in pieces {
            let mark = piece.mark_on_fabric();
            let side = if piece.to_fabric.mirror {
                "wrong"
            } else {
                "right"
            };
            let mut row = vec![
                Cell::words(&piece.label),
                Cell::words(&piece.motif),
                Cell::figure(piece.copy),
                Cell::words(&piece.piece),
                Cell::words(&fabric.name),
                place(mark.x),
                place(mark.y),
                Cell::figure(fixed(mark.x, 2)),
                Cell::figure(fixed(mark.y, 2)),
                fabric
                    .repeat_number(mark)
                    .map_or_else(Cell::empty, Cell::figure),
                Cell::figure(
                    (rotate_deg(piece.to_fabric.rotate_deg) * 100.0).round() / 100.0 + 0.0,
                ),
                Cell::words(side),
            ];
            if plan.kits > 1 {
                row.push(Cell::figure(plan.kit_of(piece)));
            }
            if is_recut {
                let changed = wording::changed(plan, piece);
                row.push(changed.map_or_else(Cell::empty, Cell::words));
            }
            list.row(row);
        }
    }
    list.into_bytes()
}

/// The unit in which a plan is shown.
pub(crate) fn unit_of(plan: &Plan) -> Unit {
    plan.unit
}
