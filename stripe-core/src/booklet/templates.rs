//! The index of the template sheets.

use super::Section;
use crate::draw::{Method, Templates};
use maud::html;

pub(super) fn section(made: &Templates, method: Method) -> Section {
    let reversed = made.entries.iter().any(|entry| entry.face_down > 0);
    let body = html! {
        p {
            "Print templates.pdf at actual size: " (count(made.entries.len(), "template")) " on "
            (count(made.sheets.len(), "sheet")) ". " (method.words())
        }
        @for words in method.cautions() { p { (words) } }
        @if reversed {
            p { "Flip the template for a reversed piece: the wrong side of the fabric will show." }
        }
        div {
            table.templates {
                thead {
                    tr {
                        th scope="col" { "template" }
                        th.number scope="col" { @if reversed { "cut in all" } @else { "cut" } }
                        @if reversed { th."number"."wide" scope="col" { "of these, reversed" } }
                        th.number scope="col" { "sheet" }
                        th scope="col" { "fabric" }
                    }
                }
                tbody {
                    @for entry in &made.entries {
                        tr {
                            td {
                                span.name { (entry.name) } " "
                                span.soft { (entry.what()) }
                            }
                            td.number { @if entry.count > 0 { (entry.count) } }
                            @if reversed { td.number { @if entry.face_down > 0 { (entry.face_down) } } }
                            td.number { (sheets(&entry.sheets)) }
                            td { (entry.fabric) }
                        }
                    }
                }
            }
        }
    };
    Section {
        id: "templates",
        heading: "Templates",
        body,
    }
}

fn count(number: usize, what: &str) -> String {
    format!("{number} {what}{}", if number == 1 { "" } else { "s" })
}

fn sheets(numbers: &[usize]) -> String {
    match numbers {
        [] => String::new(),
        [only] => only.to_string(),
        [first, .., last] => format!("{first} to {last}"),
    }
}
