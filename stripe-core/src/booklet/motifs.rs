//! The motifs as they will look.

use super::Section;
use crate::draw::{MotifPicture, svg_inline};
use maud::{PreEscaped, html};

pub(super) fn section(drawn: &[MotifPicture]) -> Option<Section> {
    if drawn.is_empty() {
        return None;
    }
    let body = html! {
        p { "The stripes fall in each piece as this plan cuts it." }
        div.looks {
            @for (i, fan) in drawn.iter().enumerate() {
                figure {
                    div.paper { (PreEscaped(svg_inline(&fan.scene, &format!("f{i}-")))) }
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
