//! The quilt around the motifs: how it will look, where the motifs go, and the
//! straight cuts. Left out where the plan has motifs alone.

use super::Section;
use crate::draw::{Drawings, shown_length as length, shown_length_up as length_up, svg_inline};
use crate::plan::{CutsNote, Plan, QuiltNote};
use maud::{Markup, PreEscaped, html};

/// The whole top as it will look when sewn.
pub(super) fn whole(plan: &Plan, drawings: &Drawings) -> Option<Section> {
    let (note, scene) = (plan.quilt.as_ref()?, drawings.quilt.as_ref()?);
    let body = html! {
        figure {
            div.paper { (PreEscaped(svg_inline(scene, "q-"))) }
            figcaption {
                (note.name) ": " (length(note.size[0], plan.unit)) " by "
                (length(note.size[1], plan.unit)) " finished."
            }
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
        @if !note.creases.is_empty() {
            p { "Fold these creases first, in this order; the motifs are measured from them and from the seams." }
            ol {
                @for crease in &note.creases {
                    li { strong { (crease.name) } ": " (crease.fold) }
                }
            }
        }
        figure.sheet {
            div."paper"."scroll" tabindex="0" role="group" aria-label=(scene.title) {
                (PreEscaped(svg_inline(scene, "p-")))
            }
        }
        div.scroll {
            table {
                thead {
                    tr {
                        th scope="col" { "done" }
                        th scope="col" { "name" }
                        th scope="col" { "motif" }
                        th scope="col" { "where its centre goes" }
                    }
                }
                tbody {
                    @for spot in &note.spots {
                        tr {
                            td { input type="checkbox" aria-label={ "placed " (spot.label) }; }
                            td.name { (spot.label) }
                            td { (spot.motif) " " (spot.copy) }
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
    if note.cuts.is_empty() && note.order.is_empty() {
        return None;
    }
    let body = html! {
        @if !note.order.is_empty() {
            h3 { "What is done in which order" }
            ol { @for step in &note.order { li { (step) } } }
        }
        @for cuts in &note.cuts {
            h3 { (cuts.fabric) }
            (fabric_cuts(plan, cuts))
        }
        (other_sizes(plan, note))
    };
    Some(Section {
        id: "straight",
        heading: "Straight cuts",
        body,
    })
}

fn fabric_cuts(plan: &Plan, cuts: &CutsNote) -> Markup {
    let unit = plan.unit;
    html! {
        div.scroll {
            table {
                caption {
                    (length_up(cuts.length, unit)) " of fabric " (length(cuts.width, unit))
                    " wide"
                    @if plan.fabrics.iter().any(|fabric| fabric.name == cuts.fabric) {
                        ", before its motif pieces"
                    }
                }
                thead {
                    tr {
                        th scope="col" { "piece" }
                        th.number scope="col" { "how many" }
                        th.number scope="col" { "cut length" }
                        th.number scope="col" { "cut width" }
                    }
                }
                tbody {
                    @for piece in &cuts.pieces {
                        tr {
                            td { (piece.name) }
                            td.number { (piece.count) }
                            td.number { (length(piece.length, unit)) }
                            td.number { (length(piece.width, unit)) }
                        }
                    }
                }
            }
        }
        ol.ticked {
            @for step in &cuts.steps {
                li { label { input type="checkbox"; " " (step) } }
            }
        }
    }
}

fn other_sizes(plan: &Plan, note: &QuiltNote) -> Markup {
    html! {
        @for size in &note.other_sizes {
            h3 { "Another size: " (size.name) }
            p {
                (length(size.size[0], plan.unit)) " by " (length(size.size[1], plan.unit)) " finished. It takes "
                @for (i, (motif, count)) in size.motifs.iter().enumerate() {
                    @if i > 0 { ", " }
                    (count) " of " (motif)
                }
                ". Its straight cuts:"
            }
            @for cuts in &size.cuts {
                h4 { (cuts.fabric) }
                (fabric_cuts(plan, cuts))
            }
        }
    }
}
