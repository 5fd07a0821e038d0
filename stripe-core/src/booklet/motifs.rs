//! The motifs as they will look.

use super::Section;
use crate::draw::{DrawError, fans, svg_inline};
use crate::plan::Plan;
use maud::{PreEscaped, html};

pub(super) fn section(plan: &Plan) -> Result<Option<Section>, DrawError> {
    let drawn = fans(plan)?;
    if drawn.is_empty() {
        return Ok(None);
    }
    let body = html! {
        p { "The stripes as they fall in this plan, piece by piece, from where each one lies on its cloth." }
        div.looks {
            @for (i, fan) in drawn.iter().enumerate() {
                figure {
                    div.paper { (PreEscaped(svg_inline(&fan.scene, &format!("f{i}-")))) }
                }
            }
        }
    };
    Ok(Some(Section {
        id: "looks",
        heading: "As it will look",
        body,
    }))
}
