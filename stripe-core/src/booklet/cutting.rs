//! Cutting maps, and the list of pieces with boxes to tick.

use super::Section;
use crate::draw::{Scene, shown_number, shown_turn, svg_inline, unit_word};
use crate::plan::{FabricPlan, Placement, Plan};
use maud::{Markup, PreEscaped, html};

/// The cutting maps, fabric by fabric.
pub(super) fn maps(fabrics: &[Vec<Scene>]) -> Section {
    let mut figures: Vec<Markup> = Vec::new();
    for (i, sheets) in fabrics.iter().enumerate() {
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
        p { "Lay each fabric as the head of its map says, the cut end nearest to you. Crosses are measured from the left selvage and from the cut end." }
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
        @for fabric in &plan.fabrics {
            h3 { (fabric.name) }
            (table(plan, fabric))
        }
    };
    Section {
        id: "pieces",
        heading: "Cut list",
        body,
    }
}

/// The pieces of a fabric in the order in which they are cut: from the cut end on.
fn table(plan: &Plan, fabric: &FabricPlan) -> Markup {
    let mut pieces: Vec<&Placement> = fabric.placements.iter().collect();
    pieces.sort_by(|a, b| {
        let (a, b) = (a.mark_on_fabric(), b.mark_on_fabric());
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
                        th.number scope="col" { "rotated" }
                        th scope="col" { "face" }
                    }
                }
                tbody {
                    @for piece in pieces {
                        @let at = piece.mark_on_fabric();
                        tr {
                            td { input type="checkbox" aria-label={ "cut " (piece.label) }; }
                            td.name { (piece.label) }
                            td { (piece.motif) " " (piece.copy) ", " (piece.piece) }
                            td.number { (shown_number(at.x, unit)) }
                            td.number { (shown_number(at.y, unit)) }
                            td.number { (shown_turn(piece.to_fabric.rotate_deg)) }
                            td { @if piece.to_fabric.mirror { strong { "down" } } @else { "up" } }
                        }
                    }
                }
            }
        }
    }
}
