//! How good the plan is: beside laying by hand, and beside what no layout can beat.

use super::Section;
use crate::draw::{shown_length as length, shown_length_up as length_up};
use crate::plan::{BoundKind, FabricPlan, Plan};
use maud::{Markup, html};

pub(super) fn section(plan: &Plan) -> Section {
    let body = html! {
        @for fabric in &plan.fabrics {
            h3 { (fabric.name) }
            (bars(plan, fabric))
            p { (words(plan, fabric)) }
        }
    };
    Section {
        id: "quality",
        heading: "How good the plan is",
        body,
    }
}

/// Three lengths side by side.
fn bars(plan: &Plan, fabric: &FabricPlan) -> Markup {
    let rows = [
        ("laid by hand", fabric.by_hand_length, "var(--soft)"),
        ("this plan", fabric.shortest(), "var(--accent)"),
        (
            "no layout can be shorter",
            fabric.bound.length,
            "var(--line)",
        ),
    ];
    let most = rows.iter().map(|row| row.1).fold(1e-9, f64::max);
    html! {
        div.bars {
            @for (name, mm, colour) in rows {
                div {
                    span { (name) ": " strong { (length_up(mm, plan.unit)) } }
                    svg viewBox="0 0 100 4" preserveAspectRatio="none" aria-hidden="true" {
                        rect width={ (format!("{:.2}", (100.0 * mm / most).clamp(0.0, 100.0))) }
                            height="4" style={ "fill:" (colour) } {}
                    }
                }
            }
        }
    }
}

fn words(plan: &Plan, fabric: &FabricPlan) -> String {
    let share = |part: f64, whole: f64| 100.0 * part / whole.max(1e-9);
    let saved = fabric.by_hand_length - fabric.shortest();
    let mut words = if saved > 0.5 {
        format!(
            "Laid with care by hand ({}) they would take {}: the plan saves {} ({:.0} %).",
            fabric.by_hand.words(),
            length_up(fabric.by_hand_length, plan.unit),
            length(saved, plan.unit),
            share(saved, fabric.by_hand_length)
        )
    } else {
        format!(
            "Laid with care by hand ({}) they would take the same.",
            fabric.by_hand.words()
        )
    };
    let why = match (fabric.bound.kind, &fabric.bound.band) {
        (BoundKind::Area, _) => "the pieces have that much area".to_owned(),
        (BoundKind::PhaseDemand, Some(band)) => {
            format!(
                "the fabric has the band {band} only so many times across its width, and the pieces ask for that much of it: it is the band that runs short"
            )
        }
        (BoundKind::PhaseDemand, None) => {
            "each part of the stripe is on the fabric only so many times across its width"
                .to_owned()
        }
        (BoundKind::Stacking, _) => "so many pieces must lie one behind another".to_owned(),
        (BoundKind::TallestPiece, _) => "one of them is that long".to_owned(),
        (BoundKind::FewPieces, _) => "a few of them need that much by themselves".to_owned(),
    };
    let over = fabric.shortest() - fabric.bound.length;
    words.push_str(&format!(
        " No lay of these pieces can be shorter than {}, since {why}. The plan is at most {:.1} % longer than the best there is.",
        length(fabric.bound.length, plan.unit),
        share(over.max(0.0), fabric.bound.length)
    ));
    if let Some(longer) = longer_words(plan, fabric) {
        words.push_str(&longer);
    }
    words
}

/// Why a plan is longer than the shortest layout.
fn longer_words(plan: &Plan, fabric: &FabricPlan) -> Option<String> {
    let shortest = fabric.leftover?.shortest?;
    Some(format!(
        " These are the lengths of the shortest layout found, {}; the pieces lie on {} instead, which costs the same and leaves a larger rectangle.",
        length_up(shortest, plan.unit),
        length_up(fabric.length, plan.unit),
    ))
}
