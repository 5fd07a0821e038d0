//! Cutting maps, and the list of pieces with boxes to tick.

use super::{Section, tick};
use crate::draw::{Scene, shown_place, svg_inline, unit_word};
use crate::plan::{FabricPlan, PlacedPiece, Plan};
use crate::wording;
use maud::{Markup, PreEscaped, html};

/// Where pieces in hand have no selvage and no cut end.
const IN_HAND: &str = "On a piece that you had already, measure from its left edge and from its lower edge, as it lies on the map.";

fn any_in_hand(plan: &Plan) -> bool {
    plan.fabrics.iter().any(|fabric| fabric.in_hand.is_some())
}

/// The cutting maps, fabric by fabric.
pub(super) fn maps(plan: &Plan, fabrics: &[Vec<Scene>]) -> Section {
    let mut figures: Vec<Markup> = Vec::new();
    for (i, sheets) in fabrics.iter().enumerate() {
        for (j, sheet) in sheets.iter().enumerate() {
            // On a screen nobody scrolls through the empty part of a sheet.
            let drawing = svg_inline(&sheet.trimmed(8.0), &format!("m{i}-{j}-"));
            figures.push(html! {
                figure.sheet {
                    p.sideways { "Scroll sideways: the map is wider than the screen." }
                    // A wide drawing can be scrolled by keyboard too.
                    div."paper"."scroll" tabindex="0" role="group" aria-label=(sheet.title) {
                        (PreEscaped(drawing))
                    }
                }
            });
        }
    }
    let body = html! {
        p { "Lay each fabric out as its map says, with the cut end toward you. Measure to each cross from the inside edge of the left selvage, where the usable width begins, and from the squared cut end." }
        @if any_in_hand(plan) { p { (IN_HAND) } }
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
        p { "Measure to each cross from the inside edge of the left selvage and from the squared cut end, in " (unit_name(plan)) ". Turn the template as the map shows." }
        @if any_in_hand(plan) { p { (IN_HAND) } }
        p.screen {
            label {
                "If you spoil a piece: tick every piece that is cut and good, and leave the spoilt one unticked. Then, in the folder of this page, type "
                code { "stripelay recut plan.json --out again --spoilt CODE --cut" }
                " with the spoilt piece's code in place of CODE, and after it the codes of what is cut: "
                input.codes type="text" readonly data-cut-codes;
            }
        }
        @for fabric in plan.fabrics.iter().filter(|fabric| fabric.placements.iter().any(|p| !p.is_cut)) {
            h3 { (fabric.name) }
            @if is_first(plan, fabric) {
                @for words in wording::cutting_order(plan, fabric.fabric()) { p { (words) } }
            }
            (table(plan, fabric))
        }
    };
    Section {
        id: "pieces",
        heading: "Cut list",
        body,
    }
}

/// Whether no other piece of the same fabric comes before: what is said of all is said once.
fn is_first(plan: &Plan, fabric: &FabricPlan) -> bool {
    let first = plan
        .fabrics
        .iter()
        .find(|one| one.fabric() == fabric.fabric());
    first.is_some_and(|one| one.name == fabric.name)
}

fn unit_name(plan: &Plan) -> &'static str {
    match unit_word(plan.unit) {
        "in" => "inches",
        "cm" => "centimetres",
        _ => "millimetres",
    }
}

/// The pieces of a fabric in the order in which they are cut: from the cut end on. Columns
/// that say nothing are left out, so that a phone holds them.
fn table(plan: &Plan, fabric: &FabricPlan) -> Markup {
    let uncut = fabric.placements.iter().filter(|piece| !piece.is_cut);
    let mut pieces: Vec<&PlacedPiece> = uncut.collect();
    pieces.sort_by(|a, b| {
        let (a, b) = (a.mark_on_fabric(), b.mark_on_fabric());
        a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x))
    });
    let unit = plan.unit;
    html! {
        table.cuts {
            thead {
                tr {
                    th scope="col" { "cut" }
                    th scope="col" { "piece" }
                    th.number scope="col" { "from left" }
                    th.number scope="col" {
                        @if fabric.in_hand.is_some() { "from lower edge" } @else { "from cut end" }
                    }
                }
            }
            tbody {
                @for piece in pieces {
                    @let at = piece.mark_on_fabric();
                    tr {
                        td { (tick(&format!("cut-{}", piece.label), Some(&format!("cut {}", piece.label)))) }
                        td {
                            span.name { (piece.label) } " "
                            @if piece.to_fabric.mirror { strong { "reversed" } " " }
                            @if let Some(words) = wording::changed(plan, piece) { strong { (words) } " " }
                            span.soft { (piece.motif) " " (piece.copy) ", " (piece.piece) }
                        }
                        td.number { (shown_place(at.x, unit)) }
                        td.number { (shown_place(at.y, unit)) }
                    }
                }
            }
        }
    }
}
