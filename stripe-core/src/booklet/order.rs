//! The order of work: what comes first in the booklet.

use super::{Section, tick};
use crate::plan::Plan;
use crate::wording::{CUT_BY_MAPS, PREPARE};
use maud::html;

pub(super) fn section(plan: &Plan) -> Section {
    let steps = steps(plan);
    let body = html! {
        @if plan.kits > 1 {
            p { strong { (format!("{} quilts, cut together.", plan.kits)) } " "
                "Sort the pieces into a bag for each as you cut. What follows is for one quilt. "
                (crate::wording::placed_alike(plan).unwrap_or_default()) " " (crate::wording::kits(plan).unwrap_or_default()) }
        }
        ol.ticked {
            @for (i, step) in steps.iter().enumerate() {
                li { label { (tick(&format!("order-{i}"), None)) " " (step) } }
            }
        }
        p.soft.screen data-ticks="lost" hidden {
            "This browser cannot save your check marks. Print the booklet and check things off on paper."
        }
        p.soft.screen data-ticks="kept" hidden {
            "Your check marks are kept in this browser. "
            button type="button" data-untick { "clear all" }
        }
    };
    Section {
        id: "order",
        heading: "Order of work",
        body,
    }
}

pub(super) fn steps(plan: &Plan) -> Vec<String> {
    if let Some(quilt) = plan.quilt.as_ref().filter(|quilt| !quilt.order.is_empty()) {
        return quilt.order.clone();
    }
    let first = PREPARE.into_iter().chain([CUT_BY_MAPS]);
    let mut steps: Vec<String> = first.map(str::to_owned).collect();
    for motif in &plan.motifs {
        let mut parts: Vec<&str> = motif.pieces.iter().map(|p| p.part.as_str()).collect();
        parts.dedup();
        let words = if parts.len() > 1 {
            format!(
                "Appliqué each {}, bottom layer first: {}.",
                motif.name,
                parts.join(", ")
            )
        } else {
            format!("Appliqué each {} onto its background.", motif.name)
        };
        steps.push(words);
    }
    steps
}
