//! The index of the template sheets.

use super::Section;
use crate::draw::{Method, Templates};
use maud::html;

pub(super) fn section(made: &Templates, method: Method) -> Section {
    let body = html! {
        p {
            (made.entries.len()) " templates on " (made.sheets.len()) " sheets at true size. "
            (method.words())
        }
        div.scroll {
            table {
                thead {
                    tr {
                        th scope="col" { "name" }
                        th scope="col" { "piece" }
                        th scope="col" { "fabric" }
                        th.number scope="col" { "cut" }
                        th.number scope="col" { "of these wrong side up" }
                        th.number scope="col" { "sheets" }
                    }
                }
                tbody {
                    @for entry in &made.entries {
                        tr {
                            td.name { (entry.name) }
                            td { (entry.motif) ", " (entry.piece) }
                            td { (entry.fabric) }
                            td.number { (entry.count) }
                            td.number { (entry.face_down) }
                            td.number { (sheets(&entry.sheets)) }
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

fn sheets(numbers: &[usize]) -> String {
    match numbers {
        [] => String::new(),
        [only] => only.to_string(),
        [first, .., last] => format!("{first} to {last}"),
    }
}
