//! The booklet: one HTML file with all that a maker takes to the table. Call [`booklet()`], or
//! [`bind`] where the drawings are made already.
//!
//! It needs no network and no other file, prints, and reads on a phone. Sections
//! that the plan has nothing for are left out.

mod buying;
mod cautions;
mod colophon;
mod cutting;
mod head;
mod likely;
mod motifs;
mod order;
mod pattern;
mod quality;
mod quilt;
mod templates;
mod tryout;

use crate::draw::{DrawError, Drawings, Method, Paper};
use crate::plan::Plan;
use maud::{DOCTYPE, Markup, PreEscaped, html};

pub use pattern::{PatternBooklet, PatternWords, pattern};

/// How the booklet and its templates are to be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settings {
    /// The paper of maps and templates.
    pub paper: Paper,
    /// How templates are used.
    pub method: Method,
}

/// A section with its place in the contents.
struct Section {
    id: &'static str,
    heading: &'static str,
    body: Markup,
}

/// The booklet of a plan, as HTML.
///
/// # Errors
/// A plan that cannot be drawn.
pub fn booklet(plan: &Plan, choice: Settings) -> Result<String, DrawError> {
    let drawings = Drawings::new(plan, choice.paper, choice.method)?;
    Ok(bind(plan, choice, &drawings))
}

/// The booklet of a plan whose drawings, of that paper and method, are there already.
pub fn bind(plan: &Plan, choice: Settings, drawings: &Drawings) -> String {
    let sections: Vec<Section> = [
        Some(order::section(plan)),
        Some(buying::section(plan)),
        Some(cautions::section(plan)),
        likely::section(plan),
        quilt::whole(drawings),
        motifs::section(plan, &drawings.motif_pictures),
        tryout::section(plan),
        Some(templates::section(&drawings.templates, choice.method)),
        quilt::straight(plan),
        Some(cutting::maps(plan, &drawings.maps)),
        Some(cutting::list(plan)),
        quilt::guide(plan, drawings),
        Some(quality::section(plan)),
        Some(colophon::section(plan)),
        Some(quality::curious(plan)),
    ]
    .into_iter()
    .flatten()
    .collect();
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            (head::head(&plan.title, "cutting booklet", true, &[include_str!("style.css")]))
            body data-plan=(digest(plan)) {
                header {
                    h1 { (plan.title) }
                    p.soft { "What to do, what to buy, where to cut, how it will look." }
                    nav aria-label="Contents" {
                        ul {
                            @for section in &sections {
                                li { a href={ "#" (section.id) } { (section.heading) } }
                            }
                        }
                    }
                }
                main {
                    @for section in &sections {
                        section id=(section.id) class=[(section.id == "tryout").then_some("screen")] {
                            h2 { (section.heading) }
                            (section.body)
                        }
                    }
                }
                script { (PreEscaped(include_str!("ticks.js"))) }
                script { (PreEscaped(include_str!("tryout.js"))) }
            }
        }
    };
    page.into_string()
}

/// A box to tick, by a name that no other box of the page has; a label of its own where no
/// words stand beside it.
fn tick(name: &str, label: Option<&str>) -> Markup {
    html! { input type="checkbox" data-tick=(name) aria-label=[label]; }
}

/// What ticks are kept under: another plan begins with none (FNV-1a, 64 bits, from memory).
fn digest(plan: &Plan) -> String {
    let text = serde_json::to_vec(plan).unwrap_or_default();
    let mix = |hash: u64, byte: &u8| (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
    format!("{:016x}", text.iter().fold(0xcbf2_9ce4_8422_2325, mix))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::fixture;
    use crate::length::Unit;

    const CHOICE: Settings = Settings {
        paper: Paper::Either,
        method: Method::PaperOnRightSide,
    };

    #[test]
    fn every_piece_and_section_is_there() {
        let mut plan = fixture::plan(7, 0.0, Unit::Inch);
        plan.warnings.push("mind the <tide>".into());
        let page = booklet(&plan, CHOICE).unwrap();
        for id in [
            "order",
            "buy",
            "before",
            "maps",
            "pieces",
            "looks",
            "tryout",
            "templates",
            "quality",
            "made",
            "curious",
        ] {
            assert!(page.contains(&format!("href=\"#{id}\"")), "{id}");
            assert_eq!(page.matches(&format!("<section id=\"{id}\"")).count(), 1);
        }
        assert_eq!(page.matches("data-tick=\"cut-").count(), 14);
        assert!(page.contains("mind the &lt;tide&gt;"));
        // A plan's words cannot become markup.
        assert!(!page.contains("<half"));
        assert_eq!(page, booklet(&plan, CHOICE).unwrap());
    }

    /// No two elements share an id, and nothing points outside of the file.
    #[test]
    fn stands_alone() {
        let plan = fixture::plan(30, 3.0, Unit::Centimetre);
        let page = booklet(&plan, CHOICE).unwrap();
        let mut ids: Vec<&str> = page
            .split(" id=\"")
            .skip(1)
            .map(|rest| rest.split('"').next().unwrap())
            .collect();
        let all = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), all);
        for reference in page.split("url(#").skip(1) {
            let id = reference.split(')').next().unwrap();
            assert!(ids.binary_search(&id).is_ok(), "{id}");
        }
        for word in ["http://", "https://", "src=", "@import"] {
            assert!(!page.contains(word), "{word}");
        }
    }

    // C-22: text wants a contrast of 4.5, and 7 is better (WCAG 2.x).
    #[test]
    fn colours_can_be_read() {
        let style = include_str!("style.css");
        let mut schemes = 0;
        for scheme in style.split(":root {").skip(1).take(2) {
            let colour = |name: &str| -> crate::colour::Colour {
                let at = scheme.find(&format!("--{name}: ")).unwrap() + name.len() + 4;
                scheme[at..at + 7].parse().unwrap()
            };
            for ground in ["ground", "card"].map(colour) {
                for (name, least) in [("ink", 12.0), ("soft", 7.0), ("accent", 7.0), ("warn", 7.0)]
                {
                    let contrast = colour(name).contrast(ground);
                    assert!(contrast >= least, "{name}: {contrast}");
                }
            }
            schemes += 1;
        }
        assert_eq!(schemes, 2);
    }

    /// Writes a booklet to look at, where STRIPELAY_LOOK names a folder.
    #[test]
    #[ignore = "writes pictures for people to look at: it asserts nothing"]
    fn look() {
        let Some(folder) = std::env::var_os("STRIPELAY_LOOK") else {
            println!("skipped: STRIPELAY_LOOK names no folder to write to");
            return;
        };
        let plan = fixture::plan(30, 0.0, Unit::Inch);
        let page = booklet(&plan, CHOICE).unwrap();
        std::fs::write(std::path::Path::new(&folder).join("booklet.html"), page).unwrap();
    }
}
