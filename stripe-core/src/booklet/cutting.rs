//! Cutting maps, and the list of pieces with boxes to tick.

use super::Section;
use crate::draw::{Scene, shown_number, shown_turn, svg_inline, unit_word};
use crate::plan::{ClothPlan, Placement, Plan};
use maud::{Markup, PreEscaped, html};

/// The cutting maps, cloth by cloth.
pub(super) fn maps(cloths: &[Vec<Scene>]) -> Section {
    let mut figures: Vec<Markup> = Vec::new();
    for (i, sheets) in cloths.iter().enumerate() {
        for (j, sheet) in sheets.iter().enumerate() {
            // On a screen nobody scrolls through the empty part of a sheet.
            let drawing = svg_inline(&sheet.trimmed(8.0), &format!("m{i}-{j}-"));
            figures.push(html! {
                figure.sheet {
                    // A wide drawing can be scrolled by keyboard too.
                    div."paper"."scroll" tabindex="0" role="group" aria-label=(sheet.title) {
                        (PreEscaped(drawing))
                    }
                    figcaption { (sheet.title) ". " (sheet.about) }
                }
            });
        }
    }
    let body = html! {
        p { "Lay the cloth right side up, the cut end nearest to you. Crosses are measured from the left selvage and from the cut end." }
        @for figure in &figures { (figure) }
    };
    Section {
        id: "maps",
        heading: "Cutting maps",
        body,
    }
}

pub(super) fn list(plan: &Plan) -> Section {
    let body = html! {
        @for cloth in &plan.cloths {
            h3 { (cloth.name) }
            (table(plan, cloth))
        }
    };
    Section {
        id: "pieces",
        heading: "Cut list",
        body,
    }
}

/// The pieces of a cloth in the order in which they are cut: from the cut end on.
fn table(plan: &Plan, cloth: &ClothPlan) -> Markup {
    let mut pieces: Vec<&Placement> = cloth.placements.iter().collect();
    pieces.sort_by(|a, b| {
        let (a, b) = (a.mark_on_cloth(), b.mark_on_cloth());
        a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x))
    });
    let unit = plan.unit;
    let word = unit_word(unit);
    html! {
        div.scroll {
            table {
                caption { (pieces.len()) " pieces; where their crosses lie (" (word) ")" }
                thead {
                    tr {
                        th scope="col" { "cut" }
                        th scope="col" { "name" }
                        th scope="col" { "piece" }
                        th.number scope="col" { "from left selvage" }
                        th.number scope="col" { "from cut end" }
                        th.number scope="col" { "turned" }
                        th scope="col" { "face" }
                    }
                }
                tbody {
                    @for piece in pieces {
                        @let at = piece.mark_on_cloth();
                        tr {
                            td { input type="checkbox" aria-label={ "cut " (piece.label) }; }
                            td.name { (piece.label) }
                            td { (piece.motif) " " (piece.copy) ", " (piece.piece) }
                            td.number { (shown_number(at.x, unit)) }
                            td.number { (shown_number(at.y, unit)) }
                            td.number { (shown_turn(piece.to_cloth.rotate_deg)) }
                            td { @if piece.to_cloth.mirror { strong { "down" } } @else { "up" } }
                        }
                    }
                }
            }
        }
    }
}
