//! The cut list: every piece, and where its reference mark lies on the fabric.

use crate::lists::{Cell, List};
use crate::table::fixed;
use stripe_core::draw::rotate_deg;
use stripe_core::length::{Length, Unit};
use stripe_core::plan::Plan;

/// The list as CSV, one piece a line, in the order of cutting: fabric by fabric, from the
/// cut end on.
pub(crate) fn csv(plan: &Plan) -> Vec<u8> {
    let unit = unit_of(plan);
    let shown = |mm| Cell::figure(Length::from_mm(mm).shown(unit));
    let mut list = List::new(&[
        "label",
        "motif",
        "copy",
        "piece",
        "fabric",
        "mark from left selvage",
        "mark from cut end",
        "mark from left selvage (mm)",
        "mark from cut end (mm)",
        "turn (degrees)",
        "face",
    ]);
    for fabric in &plan.fabrics {
        let mut pieces: Vec<_> = fabric.placements.iter().collect();
        pieces.sort_by(|a, b| {
            let (a_mark, b_mark) = (a.mark_on_fabric(), b.mark_on_fabric());
            (a_mark.y.total_cmp(&b_mark.y)).then(a_mark.x.total_cmp(&b_mark.x))
        });
        for piece in pieces {
            let mark = piece.mark_on_fabric();
            let face = if piece.to_fabric.mirror { "down" } else { "up" };
            list.row([
                Cell::words(&piece.label),
                Cell::words(&piece.motif),
                Cell::figure(piece.copy),
                Cell::words(&piece.piece),
                Cell::words(&fabric.name),
                shown(mark.x),
                shown(mark.y),
                Cell::figure(fixed(mark.x, 2)),
                Cell::figure(fixed(mark.y, 2)),
                Cell::figure(
                    (rotate_deg(piece.to_fabric.rotate_deg) * 100.0).round() / 100.0 + 0.0,
                ),
                Cell::words(face),
            ]);
        }
    }
    list.into_bytes()
}

/// The unit in which a plan is shown.
pub(crate) fn unit_of(plan: &Plan) -> Unit {
    plan.unit.into()
}
