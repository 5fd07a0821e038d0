//! How good the plan is: what it saves beside laying by hand; and, for the curious, what no
//! layout can beat.

use super::Section;
use crate::draw::shown_length_up as length_up;
use crate::plan::{FabricPlan, Plan};
use crate::wording;
use maud::{Markup, html};

pub(super) fn section(plan: &Plan) -> Section {
    let unit = plan.unit;
    let body = html! {
        @for words in wording::kits(plan).into_iter().chain(wording::in_hand(plan)) { p { (words) } }
        @for fabric in plan.fabrics.iter().filter(|fabric| fabric.in_hand.is_none()) {
            h3 { (fabric.name) }
            p {
                (wording::saved(plan, fabric))
                @if let Some(words) = wording::nearly(plan, fabric) { " " strong { (words) } }
            }
            @if let Some(words) = wording::together(plan, fabric) { p { (words) } }
            @if wording::is_beside_hand(plan) { (bars(plan, fabric)) }
            @if let Some(beside) = &fabric.beside { p { (wording::beside(beside, unit)) } }
            @if let Some(leftover) = &fabric.leftover {
                p { (wording::leftover(leftover, fabric.length_mm, unit)) }
            }
        }
    };
    Section {
        id: "quality",
        heading: "How good the plan is",
        body,
    }
}

/// The last of the booklet: lengths that cannot be beaten.
pub(super) fn curious(plan: &Plan) -> Section {
    let body = html! {
        ul {
            @for fabric in plan.fabrics.iter().filter(|fabric| fabric.in_hand.is_none()) {
                li { strong { (fabric.name) } ": " (wording::least(fabric, plan.unit)) }
            }
        }
    };
    Section {
        id: "curious",
        heading: "For the curious",
        body,
    }
}

/// Two lengths side by side.
fn bars(plan: &Plan, fabric: &FabricPlan) -> Markup {
    let rows = [
        ("by hand", fabric.by_hand_length_mm, "var(--soft)"),
        ("this plan", fabric.shortest(), "var(--accent)"),
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::fixture;
    use crate::length::Unit;
    use crate::plan::LessNote;

    #[test]
    fn a_longer_search_is_advised_only_where_it_may_pay() {
        let mut plan = fixture::plan(3, 0.0, Unit::Inch);
        plan.effort = "quick".into();
        let told = |plan: &Plan| wording::nearly(plan, &plan.fabrics[0]);
        assert_eq!(told(&plan), None);
        let less = |by| {
            Some(LessNote {
                by_mm: by,
                saves: "1/8 yd".to_owned(),
            })
        };
        let length = plan.fabrics[0].shortest();
        plan.fabrics[0].buy.less = less(0.04 * length);
        let words = told(&plan).unwrap();
        assert!(
            words.ends_with(" shorter would save you 1/8 yd: try `--effort patient`."),
            "{words}"
        );
        plan.effort = "patient".into();
        assert_eq!(told(&plan), None);
        plan.effort = "quick".into();
        plan.fabrics[0].buy.less = less(0.2 * length);
        assert_eq!(told(&plan), None);
        plan.fabrics[0].buy.less = less(0.04 * length);
        plan.fabrics[0].bound.length_mm = 0.99 * length;
        assert_eq!(told(&plan), None);
    }

    /// What is saved comes first; what cannot be beaten comes last, and nobody is told by
    /// how many per cent the plan misses it.
    #[test]
    fn the_bound_is_for_the_curious() {
        let plan = fixture::plan(3, 0.0, Unit::Inch);
        let shown = section(&plan).body.into_string();
        assert!(
            shown.contains("Saves") && !shown.contains("No layout"),
            "{shown}"
        );
        let last = curious(&plan).body.into_string();
        assert!(last.contains("No layout") && !last.contains('%'), "{last}");
    }
}
