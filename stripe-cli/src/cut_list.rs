//! The cut list: every piece, and where its reference mark lies on the cloth.

use crate::table::fixed;
use std::fmt::Write;
use stripe_core::draw::turn_deg;
use stripe_core::length::{Length, Unit};
use stripe_core::plan::Plan;

/// The list as CSV (RFC 4180), one piece a line, in the order of cutting: cloth by
/// cloth, from the cut end on.
pub(crate) fn csv(plan: &Plan) -> String {
    let unit = unit_of(plan);
    let shown = |mm| Length::from_mm(mm).shown(unit);
    let mut text = String::from(
        "label,motif,copy,piece,cloth,mark from left selvage,mark from cut end,\
         mark from left selvage (mm),mark from cut end (mm),turn (degrees),face\r\n",
    );
    for cloth in &plan.cloths {
        let mut pieces: Vec<_> = cloth.placements.iter().collect();
        pieces.sort_by(|a, b| {
            let (a_mark, b_mark) = (a.mark_on_cloth(), b.mark_on_cloth());
            (a_mark.y.total_cmp(&b_mark.y)).then(a_mark.x.total_cmp(&b_mark.x))
        });
        for piece in pieces {
            let mark = piece.mark_on_cloth();
            let face = if piece.to_cloth.mirror { "down" } else { "up" };
            let _ = write!(
                text,
                "{},{},{},{},{},{},{},{},{},{},{face}\r\n",
                quoted(&piece.label),
                quoted(&piece.motif),
                piece.copy,
                quoted(&piece.piece),
                quoted(&cloth.name),
                shown(mark.x),
                shown(mark.y),
                fixed(mark.x, 2),
                fixed(mark.y, 2),
                (turn_deg(piece.to_cloth.rotate_deg) * 100.0).round() / 100.0 + 0.0,
            );
        }
    }
    text
}

/// The unit in which a plan is shown.
pub(crate) fn unit_of(plan: &Plan) -> Unit {
    plan.unit.into()
}

/// A field of CSV, between quotes where it must be.
pub(crate) fn quoted(field: &str) -> String {
    if field.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", field.replace('"', "\"\""))
    } else {
        field.to_owned()
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn fields_are_quoted_where_they_must_be() {
        assert_eq!(super::quoted("a b"), "a b");
        assert_eq!(super::quoted("a,\"b\""), "\"a,\"\"b\"\"\"");
    }
}
