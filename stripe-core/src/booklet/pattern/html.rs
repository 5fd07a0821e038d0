//! A pattern as one HTML file, which needs no network and no other file.

use super::content::{Block, Chapter, Grid};
use crate::booklet::head::head;
use crate::draw::{svg_inline, whole_lengths};
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// The page.
pub(super) fn page(title: &str, about: &str, chapters: &[Chapter]) -> String {
    let mut pictures = 0;
    let bodies: Vec<Markup> = chapters
        .iter()
        .map(|one| chapter(one, &mut pictures))
        .collect();
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            (head(title, "pattern", false, &[include_str!("../style.css"), include_str!("pattern.css")]))
            body {
                header {
                    h1 { (title) }
                    p.soft { (about) }
                    nav aria-label="Contents" {
                        ul {
                            @for one in chapters {
                                li { a href={ "#" (one.id) } { (one.heading) } }
                            }
                        }
                    }
                }
                main {
                    @for body in &bodies { (body) }
                }
            }
        }
    };
    page.into_string()
}

fn chapter(one: &Chapter, pictures: &mut usize) -> Markup {
    html! {
        section id=(one.id) class=[one.on_new_page.then_some("leaf")] {
            h2 { (one.heading) }
            @for block in &one.blocks { (part(block, pictures)) }
        }
    }
}

fn part(block: &Block, pictures: &mut usize) -> Markup {
    match block {
        Block::Heading(words) => html! { h3 { (whole(words)) } },
        Block::Words(words) => html! { p { (whole(words)) } },
        Block::Lead(lead, words) => html! { p { strong { (lead) } " " (whole(words)) } },
        Block::Steps(steps) => html! { ol { @for step in steps { li { (whole(step)) } } } },
        Block::Ask(words) => html! { p.ask { span { (words) } span.line {} } },
        Block::Table(grid) => table(grid),
        Block::Lines(count) => html! { @for _ in 0..*count { div.write {} } },
        Block::Pictures(row) => html! {
            div.row {
                @for picture in row {
                    @let prefix = { *pictures += 1; format!("s{pictures}-") };
                    figure style={ "width:" (format!("{:.0}", picture.scene.width_mm)) "mm" } {
                        div."paper"."bare" { (PreEscaped(svg_inline(&picture.scene, &prefix))) }
                        @if !picture.caption.is_empty() { figcaption { (whole(&picture.caption)) } }
                    }
                }
            }
        },
    }
}

/// Words with every length on one line.
fn whole(words: &str) -> String {
    let words = whole_lengths(words).into_iter();
    let words = words.map(|word| word.replace(' ', "\u{a0}"));
    words.collect::<Vec<_>>().join(" ")
}

fn table(grid: &Grid) -> Markup {
    html! {
        div.scroll {
            table.grid {
                thead { tr { @for head in &grid.heads { th scope="col" { (whole(head)) } } } }
                tbody {
                    @for row in &grid.rows {
                        tr { @for cell in row { td { (whole(cell)) } } }
                    }
                }
            }
        }
    }
}
