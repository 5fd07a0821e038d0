//! How good the plan is: beside laying by hand, and beside what no lay can beat.

use super::Section;
use crate::draw::{shown_length as length, shown_length_up as length_up};
use crate::plan::{BoundKind, ClothPlan, Plan};
use maud::{Markup, html};

pub(super) fn section(plan: &Plan) -> Section {
    let body = html! {
        @for cloth in &plan.cloths {
            h3 { (cloth.name) }
            (bars(plan, cloth))
            p { (words(plan, cloth)) }
        }
    };
    Section {
        id: "quality",
        heading: "How good the plan is",
        body,
    }
}

/// Three lengths side by side.
fn bars(plan: &Plan, cloth: &ClothPlan) -> Markup {
    let rows = [
        ("laid by hand", cloth.by_hand_length, "var(--soft)"),
        ("this plan", cloth.shortest(), "var(--accent)"),
        ("no lay can be shorter", cloth.bound.length, "var(--line)"),
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

fn words(plan: &Plan, cloth: &ClothPlan) -> String {
    let share = |part: f64, whole: f64| 100.0 * part / whole.max(1e-9);
    let saved = cloth.by_hand_length - cloth.shortest();
    let mut words = if saved > 0.5 {
        format!(
            "Laid with care by hand ({}) they would take {}: the plan saves {} ({:.0} %).",
            cloth.by_hand.words(),
            length_up(cloth.by_hand_length, plan.unit),
            length(saved, plan.unit),
            share(saved, cloth.by_hand_length)
        )
    } else {
        format!(
            "Laid with care by hand ({}) they would take the same.",
            cloth.by_hand.words()
        )
    };
    let why = match (cloth.bound.kind, &cloth.bound.band) {
        (BoundKind::Area, _) => "the pieces have that much area".to_owned(),
        (BoundKind::PhaseDemand, Some(band)) => {
            format!(
                "the cloth has the band {band} only so many times across its width, and the pieces ask for that much of it: it is the band that runs short"
            )
        }
        (BoundKind::PhaseDemand, None) => {
            "each part of the stripe is on the cloth only so many times across its width".to_owned()
        }
        (BoundKind::Stacking, _) => "so many pieces must lie one behind another".to_owned(),
        (BoundKind::TallestPiece, _) => "one of them is that long".to_owned(),
        (BoundKind::FewPieces, _) => "a few of them need that much by themselves".to_owned(),
    };
    let over = cloth.shortest() - cloth.bound.length;
    words.push_str(&format!(
        " No lay of these pieces can be shorter than {}, since {why}. The plan is at most {:.1} % longer than the best there is.",
        length(cloth.bound.length, plan.unit),
        share(over.max(0.0), cloth.bound.length)
    ));
    if let Some(longer) = longer_words(plan, cloth) {
        words.push_str(&longer);
    }
    words
}

/// Why a plan is longer than the shortest lay.
fn longer_words(plan: &Plan, cloth: &ClothPlan) -> Option<String> {
    let shortest = cloth.leftover?.shortest?;
    Some(format!(
        " These are the lengths of the shortest lay found, {}; the pieces lie on {} instead, which costs the same and leaves a larger rectangle.",
        length_up(shortest, plan.unit),
        length_up(cloth.length, plan.unit),
    ))
}
