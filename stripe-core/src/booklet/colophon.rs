//! How the plan was made, so that it can be made again.

use super::Section;
use crate::draw::shown_length;
use crate::length::Unit;
use crate::plan::Plan;
use maud::html;

pub(super) fn section(plan: &Plan) -> Section {
    let making = &plan.making;
    let rows = [
        ("made by", plan.made_by.clone()),
        ("effort", plan.effort.clone()),
        ("seed", plan.seed.to_string()),
        (
            "fingerprint of the project file",
            plan.project_digest.clone(),
        ),
        ("turn-under", length(making.turn_under_mm, plan.unit)),
        ("seam allowance", length(making.seam_mm, plan.unit)),
        ("tuck-under", length(making.tuck_under_mm, plan.unit)),
        ("gap between cut lines", length(making.gap_mm, plan.unit)),
        (
            "stripe tolerance",
            length(making.stripe_tolerance_mm, plan.unit),
        ),
    ];
    let body = html! {
        p { "The same project file, effort and seed give the same plan again." }
        table {
            tbody {
                @for (name, value) in rows {
                    tr { th scope="row" { (name) } td { (value) } }
                }
            }
        }
    };
    Section {
        id: "made",
        heading: "How it was made",
        body,
    }
}

/// A length, and in millimetres too where a sixteenth of an inch is too coarse for it.
fn length(mm: f64, unit: Unit) -> String {
    let sixteenths = mm / 25.4 * 16.0;
    if unit == Unit::Inch && (sixteenths - sixteenths.round()).abs() > 0.01 {
        return format!("about {} ({mm:.2} mm)", shown_length(mm, unit));
    }
    shown_length(mm, unit)
}
