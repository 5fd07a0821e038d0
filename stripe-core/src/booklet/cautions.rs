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
const CAUTIONS: [[&str; 2]; 12] = [
    [
        "Scale",
        "Print one template sheet first and measure its bars of 4 in and 100 mm. If one is off by more than 1/32 in (half a millimetre), set the printer to actual size and print again. Then check every sheet.",
    ],
    [
        "A test piece",
        "Cut and join one small part from spare fabric before you cut the rest.",
    ],
    [
        "True stripes",
        "Open the fabric out and cut single layers along the stripe: what is woven or printed is seldom quite square to the selvage. Where a stripe leaves the map by more than you can bear, measure its lean and plan again.",
    ],
    [
        "Rotary cutter",
        "The blade is as sharp as a razor. Close the guard after every cut, cut away from yourself, keep fingers back from the ruler's edge, wear shoes, and stop when you are tired. Keep it where no child can reach it.",
    ],
    [
        "Awl and pins",
        "Cover the points when they are not in use, and hold turned edges with the tool, not with a fingertip near the iron.",
    ],
    [
        "Iron",
        "Rest it on its heel and switch it off when you leave. Lift and press, do not push: bias edges stretch, and steam burns.",
    ],
    [
        "Spray adhesive",
        "Only in moving fresh air, away from flames and hot irons. Cover floor and skin, and do as the can says.",
    ],
    [
        "Glue",
        "Take a washable kind in small dots, and wash a test scrap before you glue the quilt.",
    ],
    [
        "Marking pens",
        "Try each on each fabric. Heat and some soaps fix a mark that would have rinsed out.",
    ],
    [
        "Colour and shrinkage",
        "Wash a sample of every fabric as the quilt will be washed. Look for running colour, and measure the change.",
    ],
    [
        "Needles and small parts",
        "Count needles and pins when you stop, and keep them from children and animals.",
    ],
    [
        "Figures",
        "Lengths are worked out from the sizes in the project file. Buy a little more of what cannot be had again. Where this page and a product's own instructions differ, follow the product's.",
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
