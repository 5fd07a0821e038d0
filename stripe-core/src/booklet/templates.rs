//! The index of the template sheets.

use super::{Choice, Section};
use crate::draw::{DrawError, templates};
use crate::plan::Plan;
use maud::html;

pub(super) fn section(plan: &Plan, choice: Choice) -> Result<Section, DrawError> {
    let made = templates(plan, choice.paper, choice.method)?;
    let body = html! {
        p {
            (made.entries.len()) " templates on " (made.sheets.len()) " sheets at true size. "
            (choice.method.words())
        }
        div.scroll {
            table {
                thead {
                    tr {
                        th scope="col" { "name" }
                        th scope="col" { "piece" }
                        th scope="col" { "cloth" }
                        th.number scope="col" { "cut" }
                        th.number scope="col" { "of these face down" }
                        th.number scope="col" { "sheets" }
                    }
                }
                tbody {
                    @for entry in &made.entries {
                        tr {
                            td.name { (entry.name) }
                            td { (entry.motif) ", " (entry.piece) }
                            td { (entry.cloth) }
                            td.number { (entry.count) }
                            td.number { (entry.face_down) }
                            td.number { (sheets(&entry.sheets)) }
                        }
                    }
                }
            }
        }
    };
    Ok(Section {
        id: "templates",
        heading: "Templates",
        body,
    })
}

fn sheets(numbers: &[usize]) -> String {
    match numbers {
        [] => String::new(),
        [only] => only.to_string(),
        [first, .., last] => format!("{first} to {last}"),
    }
}
