//! What to buy: fabric by fabric, with prices where they are known.

use super::Section;
use crate::colour::Colour;
use crate::draw::{shown_length as length, shown_length_up as length_up};
use crate::fabric::Stripe;
use crate::plan::{Plan, QuiltNote};
use crate::wording::{money, purchases};
use maud::{Markup, html};

pub(super) fn section(plan: &Plan) -> Section {
    let table = match &plan.quilt {
        Some(quilt) => whole(plan, quilt),
        None => motifs_alone(plan),
    };
    let body = html! {
        @if plan.kits > 1 { p { "For all " (plan.kits) " kits." } }
        (table)
    };
    Section {
        id: "buy",
        heading: purchases(plan),
        body,
    }
}

/// Motifs and straight pieces together.
fn whole(plan: &Plan, quilt: &QuiltNote) -> Markup {
    let priced = quilt.shopping.iter().any(|line| line.price.is_some());
    html! {
        div {
            table.buying {
                thead {
                    tr {
                        th scope="col" { "what" }
                        th.number scope="col" { "buy" }
                        @if priced { th.number scope="col" { "price" } }
                        th.number scope="col" { "needed" }
                        th.number scope="col" { "usable width" }
                    }
                }
                tbody {
                    @for line in &quilt.shopping {
                        tr.with-why[!line.why.is_empty()] {
                            td {
                                span.name { (line.name) }
                                div.bands { (looks_by_name(plan, quilt, &line.name)) }
                            }
                            td.number { strong { (line.shown) } }
                            @if priced {
                                td.number { @if let Some(price) = line.price { (money(&plan.money, price)) } }
                            }
                            td.number { (length_up(line.length_mm, plan.unit)) }
                            td.number { @if let Some(width) = line.width_mm { (length(width, plan.unit)) } }
                        }
                        // In a line of its own: beside the figures a phone would have no room.
                        @if !line.why.is_empty() {
                            tr.why { td.soft colspan=(if priced { 5 } else { 4 }) { (line.why) } }
                        }
                    }
                }
                @if let Some(total) = quilt.total {
                    tfoot {
                        tr {
                            th scope="row" colspan="2" { "total" }
                            td.number { strong { (money(&plan.money, total)) } }
                            td colspan="2" {}
                        }
                    }
                }
            }
        }
        (WIDTH_WORDS)
    }
}

/// The looks of a fabric that the quilt or the motifs use.
fn looks_by_name(plan: &Plan, quilt: &QuiltNote, name: &str) -> Markup {
    if let Some(fabric) = plan.fabrics.iter().find(|fabric| fabric.fabric() == name) {
        return looks(fabric.stripe.as_ref(), fabric.colour);
    }
    match quilt.fabrics.iter().find(|look| look.name == name) {
        Some(look) => looks(look.stripe.as_ref(), look.colour),
        None => html! {},
    }
}

/// A caution about widths.
struct WidthWords;

const WIDTH_WORDS: WidthWords = WidthWords;

impl maud::Render for WidthWords {
    fn render(&self) -> Markup {
        html! {
            p.soft { "Measure the width of your own fabric without its selvages. If it is narrower than this, change `width` in the project file and plan again." }
        }
    }
}

fn motifs_alone(plan: &Plan) -> Markup {
    let prices: Vec<f64> = plan.fabrics.iter().filter_map(|c| c.buy.price).collect();
    let total: f64 = prices.iter().sum();
    html! {
        div {
            table.buying {
                thead {
                    tr {
                        th scope="col" { "fabric" }
                        th.number scope="col" { "buy" }
                        @if !prices.is_empty() { th.number scope="col" { "price" } }
                        th.number scope="col" { "needed" }
                        th.number scope="col" { "usable width" }
                        th.number scope="col" { "pieces" }
                    }
                }
                tbody {
                    @for fabric in &plan.fabrics {
                        tr {
                            td {
                                span.name { (fabric.name) }
                                div.bands { (looks(fabric.stripe.as_ref(), fabric.colour)) }
                            }
                            td.number { strong { (fabric.buy.shown) } }
                            @if !prices.is_empty() {
                                td.number { @if let Some(price) = fabric.buy.price { (money(&plan.money, price)) } }
                            }
                            td.number { (length_up(fabric.shortest(), plan.unit)) }
                            td.number { (length(fabric.width_mm, plan.unit)) }
                            td.number { (fabric.placements.len()) }
                        }
                    }
                }
                @if prices.len() > 1 {
                    tfoot {
                        tr {
                            th scope="row" colspan="2" { "total" }
                            td.number { strong { (money(&plan.money, total)) } }
                            td colspan="3" {}
                        }
                    }
                }
            }
        }
        @for fabric in &plan.fabrics {
            @if !fabric.buy.counted_in.is_empty() {
                p.soft { "Counted in for " (fabric.name) ": " (fabric.buy.counted_in) "." }
            }
        }
        (WIDTH_WORDS)
    }
}

/// The bands of a fabric, or its colour.
pub(super) fn looks(stripe: Option<&Stripe>, colour: Option<Colour>) -> Markup {
    let chip = |colour: Colour| {
        html! { span.swatch style={ "background:" (colour) } aria-hidden="true" {} " " }
    };
    match (stripe, colour) {
        (Some(stripe), _) => html! {
            @for (i, band) in stripe.bands().iter().enumerate() {
                @if i > 0 { " " }
                span.band { (chip(band.colour)) (band.name) }
            }
        },
        (None, Some(colour)) => html! { (chip(colour)) "plain" },
        (None, None) => html! { "plain" },
    }
}
