//! The quilt around the motifs: how it will look, where the motifs go, and the
//! straight cuts. Left out where the plan has motifs alone.

use super::{Section, tick};
use crate::buy::straight::plural;
use crate::draw::{Drawings, shown_length as length, shown_length_up as length_up, svg_inline};
use crate::plan::{CutsNote, Plan, QuiltNote};
use maud::{Markup, PreEscaped, html};

/// The whole top as it will look when sewn.
pub(super) fn whole(drawings: &Drawings) -> Option<Section> {
    let scene = drawings.quilt.as_ref()?;
    let body = html! {
        figure {
            div.paper { (PreEscaped(svg_inline(scene, "q-"))) }
        }
    };
    Some(Section {
        id: "quilt",
        heading: "The whole quilt",
        body,
    })
}

/// Where each motif goes, by seams and creases.
pub(super) fn guide(plan: &Plan, drawings: &Drawings) -> Option<Section> {
    let (note, scene) = (plan.quilt.as_ref()?, drawings.placement_guide.as_ref()?);
    let body = html! {
        @if let Some(words) = crate::wording::placed_alike(plan) { p { (words) } }
        @if !note.creases.is_empty() {
            p { "Fold and press the creases in this order. Motifs are measured from them and from the seams." }
            ol.ticked {
                @for (i, crease) in note.creases.iter().enumerate() {
                    li { label { (tick(&format!("crease-{i}"), None)) " " strong { (crease.name) } ": " (crease.fold) "." } }
                }
            }
        }
        figure.sheet {
            div."paper"."scroll" tabindex="0" role="group" aria-label=(scene.title) {
                (PreEscaped(svg_inline(scene, "p-")))
            }
        }
        div {
            table.places {
                thead {
                    tr {
                        th scope="col" { "done" }
                        th scope="col" { "motif" }
                        th scope="col" { "where its centre goes" }
                    }
                }
                tbody {
                    @for spot in &note.spots {
                        tr {
                            td { (tick(&format!("placed-{}", spot.label), Some(&format!("placed {}", spot.label)))) }
                            td { span.name { (spot.label) } " " span.soft { (spot.motif) " " (spot.copy) } }
                            td { (spot.guide) }
                        }
                    }
                }
            }
        }
    };
    Some(Section {
        id: "placement",
        heading: "Placement guide",
        body,
    })
}

/// Strips, units and binding: what is cut straight, and in which order.
pub(super) fn straight(plan: &Plan) -> Option<Section> {
    let note = plan.quilt.as_ref()?;
    if note.cuts.is_empty() {
        return None;
    }
    let body = html! {
        @for cuts in &note.cuts {
            h3 { (cuts.fabric) }
            (fabric_cuts(plan, cuts, &note.name))
        }
        (other_sizes(plan, note))
    };
    Some(Section {
        id: "straight",
        heading: "Strip cutting",
        body,
    })
}

/// What straight cuts of a fabric take and give, and when they are made, in sentences.
pub(super) fn straight_gives(plan: &Plan, cuts: &CutsNote) -> String {
    let unit = plan.unit;
    let pieces = cuts.pieces.iter().map(|piece| {
        format!(
            "{} {} ({} by {})",
            piece.count,
            plural(&piece.name, piece.count),
            length(piece.width_mm, unit),
            length(piece.length_mm, unit)
        )
    });
    let pieces: Vec<String> = pieces.collect();
    let when = crate::wording::straight_when(plan, &cuts.fabric);
    format!(
        "Takes {} of fabric {} wide{}. {}Gives {}.",
        length_up(cuts.length_mm, unit),
        length(cuts.width_mm, unit),
        crate::wording::for_kits(plan),
        when.map_or(String::new(), |when| when + " "),
        pieces.join(", ")
    )
}

/// The steps, and what they come to.
fn fabric_cuts(plan: &Plan, cuts: &CutsNote, size: &str) -> Markup {
    html! {
        p { (straight_gives(plan, cuts)) }
        ol.ticked {
            @for (i, step) in cuts.steps.iter().enumerate() {
                li { label { (tick(&format!("straight-{size}-{}-{i}", cuts.fabric), None)) " " (step) } }
            }
        }
    }
}

fn other_sizes(plan: &Plan, note: &QuiltNote) -> Markup {
    html! {
        @for size in &note.other_sizes {
            h3 { "Another size: " (size.name) }
            p {
                (length(size.size_mm[0], plan.unit)) " by " (length(size.size_mm[1], plan.unit)) " finished. It takes "
                @for (i, (motif, count)) in size.motifs.iter().enumerate() {
                    @if i > 0 { ", " }
                    (count) " of " (motif)
                }
                ". Its straight cuts:"
            }
            @for cuts in &size.cuts {
                h4 { (cuts.fabric) }
                (fabric_cuts(plan, cuts, &size.name))
            }
        }
    }
}
