//! Before you cut: what spoils fabric and fingers, and what this plan warns of.

use super::Section;
use crate::plan::Plan;
use maud::html;

/// Heading and advice.
///
/// # Source
/// Common practice, no source, but for the scale of prints: a 4 in bar shows an
/// error of half a per cent, and sheets of one set have been seen to differ (trade
/// facts S-08 to S-11).
pub(super) const CAUTIONS: [[&str; 2]; 12] = [
    [
        "Scale",
        "Print one template sheet first and measure its bars of 4 in and 100 mm. If one is off by more than 1/32 in (half a millimetre), set the printer to actual size and print again. Then check every sheet.",
    ],
    [
        "A test piece",
        "Cut and sew one small section from spare fabric before you cut the rest. The lengths to buy do not include fabric for it.",
    ],
    [
        "True stripes",
        "Unfold the fabric and cut one layer at a time, following the stripe: a stripe is seldom exactly square to the selvage. If it wanders off the map by more than you can accept, measure how far it leans, set `lean` in the project file and plan again.",
    ],
    [
        "Rotary cutter",
        "The blade is razor sharp. Close the guard after every cut, cut away from yourself, keep your fingers back from the edge of the ruler, wear shoes, and stop when you are tired. Keep it out of the reach of children.",
    ],
    [
        "Awl and pins",
        "Cover the points when you are not using them. Near the iron, hold turned edges with an awl or a stiletto, not with a fingertip.",
    ],
    [
        "Iron",
        "Rest it on its heel, and switch it off when you leave. Lift and press; do not push, because bias edges stretch. Steam burns.",
    ],
    [
        "Spray adhesive",
        "Use it only with plenty of fresh air, away from flames and hot irons. Do not breathe the mist. Protect the floor, cover your hands and arms, and follow the label on the can.",
    ],
    [
        "Glue",
        "Use small dots of a washable glue, and wash a test scrap before you glue the quilt.",
    ],
    [
        "Marking pens",
        "Test every pen on every fabric. Heat and some soaps can set a mark that would otherwise rinse out.",
    ],
    [
        "Colour and shrinkage",
        "Wash a sample of every fabric the way you will wash the quilt. Check whether the colour runs, and measure the shrinkage.",
    ],
    [
        "Needles and small parts",
        "Count your needles and pins when you finish, and keep them away from children and animals.",
    ],
    [
        "How much to buy",
        "Lengths are worked out from the sizes in the project file. Buy a little more of any fabric that you could not get again. Where this page and a product's own label differ, follow the label.",
    ],
];

pub(super) fn section(plan: &Plan) -> Section {
    let body = html! {
        @for warning in &plan.warnings {
            p.note { strong { "For this plan: " } (warning) }
        }
        dl {
            @for [heading, advice] in CAUTIONS {
                dt { strong { (heading) } }
                dd { (advice) }
            }
        }
    };
    Section {
        id: "before",
        heading: "Before you cut",
        body,
    }
}
