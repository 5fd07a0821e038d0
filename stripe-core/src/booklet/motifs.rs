//! The motifs as they will look.

use super::Section;
use super::buying::looks;
use crate::draw::{MotifPicture, svg_inline};
use crate::plan::Plan;
use maud::{PreEscaped, html};

/// Drawings without their words: these stand below in letters of the page, which a phone shows
/// at full size.
pub(super) fn section(plan: &Plan, drawn: &[MotifPicture]) -> Option<Section> {
    if drawn.is_empty() {
        return None;
    }
    let body = html! {
        p { "The stripes fall in each piece as this plan cuts it." }
        div.looks {
            @for (i, one) in drawn.iter().enumerate() {
                figure {
                    div.paper { (PreEscaped(svg_inline(&one.bare, &format!("f{i}-")))) }
                    figcaption {
                        p { strong { (one.motif) } ". " (one.heading) }
                        @for (words, bold) in &one.words {
                            p { @if *bold { strong { (words) } } @else { (words) } }
                        }
                        @for fabric in one.fabrics.iter().filter_map(|name| plan.fabrics.iter().find(|f| f.fabric() == name)) {
                            p { span.name { (fabric.fabric()) } " " (looks(fabric.stripe.as_ref(), fabric.colour)) }
                        }
                    }
                }
            }
        }
    };
    Some(Section {
        id: "looks",
        heading: "As it will look",
        body,
    })
}
