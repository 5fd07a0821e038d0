//! Will it match? How many joints small errors will show, motif by motif, which are the
//! delicate ones, and what the maker can do.

use super::Section;
use crate::plan::{LikelyNote, Plan};
use crate::wording;
use maud::{Markup, html};

pub(super) fn section(plan: &Plan) -> Option<Section> {
    let likely = plan.likely.as_ref()?;
    let body = html! {
        p { (wording::likely(likely, plan.unit)) }
        p {
            "So find the stripe first: the map's list names the repeat, the template's ticks show where two bands meet. "
            "Lay the template so that its ticks meet the bands that you see, and split any difference evenly between its two sides. "
            "Measure from the selvage only to find which repeat it is."
        }
        p { "This share of each motif's joints will be out of line if you lay the pieces by the stripe, or by the ruler alone:" }
        @for motif in &likely.motifs {
            h3 { (motif.motif) }
            (bars(motif.joints, [("by the stripe", motif.by_stripe), ("by the ruler", motif.by_ruler)]))
        }
        @if !likely.delicate.is_empty() {
            p { "Take most care with these. How often the joint came out of line when small errors were tried many times over:" }
            ul { (delicate(likely)) }
        }
        p { (wording::safe_gap(plan, likely)) }
    };
    Some(Section {
        id: "match",
        heading: "Will it match?",
        body,
    })
}

/// The shares of a motif's joints that will be out of line, side by side; each bar's words say
/// what it shows.
fn bars(joints: usize, rows: [(&str, f64); 2]) -> Markup {
    let of = match joints {
        1 => "its joint".to_owned(),
        n => format!("its {n} joints"),
    };
    html! {
        div.bars {
            @for (way, share) in rows {
                @let shown = wording::share_words(share);
                div {
                    span { (way) ": " strong { (shown) } }
                    svg viewBox="0 0 100 4" preserveAspectRatio="none" role="img"
                        aria-label={ "Laid " (way) ", " (shown) " of " (of) " out of line" } {
                        rect.track width="100" height="4" {}
                        rect width={ (format!("{:.2}", 100.0 * share)) } height="4"
                            style="fill:var(--warn)" {}
                    }
                }
            }
        }
    }
}

fn delicate(likely: &LikelyNote) -> Markup {
    html! {
        @for joint in &likely.delicate {
            li {
                strong { (joint.a) " and " (joint.b) } ", " (joint.motif) ": "
                (wording::share_words(joint.by_stripe)) " by the stripe, "
                (wording::share_words(joint.by_ruler)) " by the ruler"
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::fixture;
    use crate::length::Unit;
    use crate::plan::likely;

    #[test]
    fn says_both_ways_and_what_to_do() {
        let mut plan = fixture::plan(7, 0.0, Unit::Inch);
        assert!(section(&plan).is_none());
        plan.likely = likely(&plan);
        let page = section(&plan).unwrap().body.into_string();
        for words in [
            "of the 7 matched joints",
            "role=\"img\" aria-label=\"Laid by the ruler, ",
            "<li><strong>H",
            "Cut lines lie far enough apart",
        ] {
            assert!(page.contains(words), "{words}: {page}");
        }
        // The bar is as long as its words say.
        let motif = &plan.likely.as_ref().unwrap().motifs[0];
        let width = format!("width=\"{:.2}\"", 100.0 * motif.by_ruler);
        assert!(motif.by_ruler > 0.1 && page.contains(&width), "{page}");
    }
}
