//! What to buy: cloth by cloth, with prices where they are known.

use super::Section;
use crate::draw::shown_length as length;
use crate::plan::{ClothPlan, Plan};
use maud::{Markup, html};

pub(super) fn section(plan: &Plan) -> Section {
    let prices: Vec<f64> = plan.cloths.iter().filter_map(|c| c.buy.price).collect();
    let total: f64 = prices.iter().sum();
    let body = html! {
        div.scroll {
            table {
                thead {
                    tr {
                        th scope="col" { "cloth" }
                        th.number scope="col" { "buy" }
                        @if !prices.is_empty() { th.number scope="col" { "price" } }
                        th.number scope="col" { "needed" }
                        th.number scope="col" { "usable width" }
                        th.number scope="col" { "pieces" }
                        th scope="col" { "looks" }
                    }
                }
                tbody {
                    @for cloth in &plan.cloths {
                        tr {
                            td.name { (cloth.name) }
                            td.number { strong { (cloth.buy.shown) } }
                            @if !prices.is_empty() {
                                td.number { @if let Some(price) = cloth.buy.price { (money(plan, price)) } }
                            }
                            td.number { (length(cloth.length, plan.unit)) }
                            td.number { (length(cloth.width, plan.unit)) }
                            td.number { (cloth.placements.len()) }
                            td { (looks(cloth)) }
                        }
                    }
                }
                @if prices.len() > 1 {
                    tfoot {
                        tr {
                            th scope="row" colspan="2" { "together" }
                            td.number { strong { (money(plan, total)) } }
                            td colspan="4" {}
                        }
                    }
                }
            }
        }
        p.soft { "The width is what is left when the selvages are off. Measure your own cloth before you cut: a cloth narrower than this needs a new plan." }
    };
    Section {
        id: "buy",
        heading: "What to buy",
        body,
    }
}

/// The bands of a cloth, or its colour.
fn looks(cloth: &ClothPlan) -> Markup {
    let chip = |colour: crate::colour::Colour| {
        html! { span.swatch style={ "background:" (colour) } aria-hidden="true" {} " " }
    };
    match (&cloth.stripe, cloth.colour) {
        (Some(stripe), _) => html! {
            @for (i, band) in stripe.bands.iter().enumerate() {
                @if i > 0 { " " }
                span.band { (chip(band.colour)) (band.name) }
            }
        },
        (None, Some(colour)) => html! { (chip(colour)) "plain" },
        (None, None) => html! { "plain" },
    }
}

/// An amount with what money is called: a sign stands close, a word apart.
fn money(plan: &Plan, amount: f64) -> String {
    let space = if plan.money.chars().count() > 1 {
        " "
    } else {
        ""
    };
    format!("{}{space}{amount:.2}", plan.money)
}
