//! The cut list: every piece, and where its reference mark lies on the cloth.

use crate::lists::{Cell, List};
use crate::table::fixed;
use stripe_core::draw::turn_deg;
use stripe_core::length::{Length, Unit};
use stripe_core::plan::Plan;

/// The list as CSV, one piece a line, in the order of cutting: cloth by cloth, from the
/// cut end on.
pub(crate) fn csv(plan: &Plan) -> Vec<u8> {
    let unit = unit_of(plan);
    let shown = |mm| Cell::figure(Length::from_mm(mm).shown(unit));
    let mut list = List::new(&[
        "label",
        "motif",
        "copy",
        "piece",
        "cloth",
        "mark from left selvage",
        "mark from cut end",
        "mark from left selvage (mm)",
        "mark from cut end (mm)",
        "turn (degrees)",
        "face",
    ]);
    for cloth in &plan.cloths {
        let mut pieces: Vec<_> = cloth.placements.iter().collect();
        pieces.sort_by(|a, b| {
            let (a_mark, b_mark) = (a.mark_on_cloth(), b.mark_on_cloth());
            (a_mark.y.total_cmp(&b_mark.y)).then(a_mark.x.total_cmp(&b_mark.x))
        });
        for piece in pieces {
            let mark = piece.mark_on_cloth();
            let face = if piece.to_cloth.mirror { "down" } else { "up" };
            list.row([
                Cell::words(&piece.label),
                Cell::words(&piece.motif),
                Cell::figure(piece.copy),
                Cell::words(&piece.piece),
                Cell::words(&cloth.name),
                shown(mark.x),
                shown(mark.y),
                Cell::figure(fixed(mark.x, 2)),
                Cell::figure(fixed(mark.y, 2)),
                Cell::figure((turn_deg(piece.to_cloth.rotate_deg) * 100.0).round() / 100.0 + 0.0),
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
