//! The booklet on paper, Letter and A4, as poppler reads the pages.

use crate::booklet::print;
use crate::browser::Browser;
use crate::demo::{CHOICE, EXAMPLES, example, plan};
use crate::outside::{folder, has, run};
use std::path::Path;
use std::process::Command;
use stripe_core::booklet::booklet;
use stripe_core::plan::Plan;

/// The page with its paper named.
pub fn on_paper(text: &str, paper: &str) -> String {
    text.replace(
        "</head>",
        &format!("<style>@page {{ size: {paper} }}</style></head>"),
    )
}

/// The words of a PDF, page by page.
pub fn pages(pdf: &Path) -> Vec<String> {
    let (said, _) = run(Command::new("pdftotext")
        .args(["-layout"])
        .arg(pdf)
        .arg("-"));
    said.split('\u{c}').map(str::to_owned).collect()
}

/// The page with a sign before every heading, by which it is told from other words.
pub fn signed(text: &str) -> String {
    text.replace("<h2>", "<h2>¶").replace("<h3>", "<h3>¶")
}

/// The texts between `<h2>` or `<h3>` and its end.
pub fn headings(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    for tag in ["h2", "h3"] {
        for rest in text.split(&format!("<{tag}>")).skip(1) {
            let words = rest.split("</").next().unwrap();
            found.push(words.to_owned());
        }
    }
    found
}

/// Headings that stand last on their page.
pub fn orphans(pages: &[String], headings: &[String]) -> Vec<String> {
    let last = pages.iter().filter_map(|page| {
        let mut lines = page.lines().map(str::trim).filter(|line| !line.is_empty());
        lines.next_back()
    });
    last.filter(|line| headings.iter().any(|h| h == line))
        .map(str::to_owned)
        .collect()
}

/// Headings whose drawing is on another page, with what the drawing says.
fn without_drawing(pages: &[String]) -> Vec<String> {
    let says = [
        ("¶Cutting maps", "Cutting map:"),
        ("¶The whole quilt", "finished, as it will look"),
    ];
    let mut found = Vec::new();
    for page in pages {
        for (heading, drawing) in says {
            if page.contains(heading) && !page.contains(drawing) {
                found.push(heading.to_owned());
            }
        }
        // Its creases come first, where there are any.
        let guide = ["where each motif goes.", "Fold and press"];
        if page.contains("¶Placement guide") && !guide.iter().any(|words| page.contains(words)) {
            found.push("¶Placement guide".to_owned());
        }
    }
    found
}

/// Motifs whose key, fabric by fabric, is not on the page of their picture.
fn without_key(pages: &[String], plan: &Plan) -> Vec<String> {
    let mut found = Vec::new();
    for motif in &plan.motifs {
        let begins = format!("{}. As it will look", motif.name);
        let on = pages.iter().find_map(|page| page.split_once(&begins));
        let mut lines = on.map_or("", |(_, rest)| rest).lines().map(str::trim);
        let told = |fabric: &str| lines.clone().any(|line| line.starts_with(fabric));
        if motif.pieces.iter().any(|piece| !told(&piece.fabric)) || lines.next().is_none() {
            found.push(motif.name.clone());
        }
    }
    found
}

#[test]
fn no_heading_is_left_alone_and_nothing_stands_twice() {
    if !(has("chromium") && has("pdftotext")) {
        return;
    }
    let folder = folder("printed");
    for name in EXAMPLES {
        let plan = example(name);
        let text = signed(&booklet(&plan, CHOICE).unwrap());
        let headings = headings(&text);
        assert!(headings.len() > 10, "{name}: {headings:?}");
        for paper in ["Letter", "A4"] {
            let page = folder.join(format!("{name}-{paper}.html"));
            std::fs::write(&page, on_paper(&text, paper)).unwrap();
            let pdf = folder.join(format!("{name}-{paper}.pdf"));
            print(&folder, &page, &pdf);
            let pages = pages(&pdf);
            let what = format!("{name} on {paper}");
            let alone = [orphans(&pages, &headings), without_drawing(&pages)].concat();
            assert_eq!(alone, Vec::<String>::new(), "{what}");
            assert_eq!(without_key(&pages, &plan), Vec::<String>::new(), "{what}");
            let all = pages.join("\n");
            // The try-out is for the screen: nothing of it is left on paper.
            assert!(!all.contains("Try the stripe") && !all.contains("reset to the plan"));
            assert_eq!(all.matches("Order of work").count(), 1, "{what}");
            let total = all
                .lines()
                .filter(|line| line.trim_start().starts_with("total"));
            let quilt = plan.quilt.as_ref();
            let priced = quilt.is_some_and(|quilt| quilt.total.is_some());
            assert_eq!(total.count(), usize::from(priced), "{what}");
            // Nothing but white is no page.
            let empty = pages[..pages.len() - 1]
                .iter()
                .filter(|p| p.trim().is_empty());
            assert_eq!(empty.count(), 0, "{what}");
            println!("{what}: {} pages", pages.len() - 1);
        }
    }
    // What the try-out says is in the page, or nothing could be found of it on paper.
    let text = signed(&booklet(plan(), CHOICE).unwrap());
    assert!(text.contains("Try the stripe") && text.contains("reset to the plan"));
    assert!(plan().quilt.as_ref().unwrap().total.is_some());
    // So is a key that begins on another page than its picture.
    let planted = ["wheel. As it will look\ndeck navy", "brass plain"].map(str::to_owned);
    assert_eq!(without_key(&planted, plan()).len(), 3);
    // A heading that is left alone is found, and one that is without its drawing.
    let headings = headings(&text);
    let planted = ["words\n\n¶Cut list\n".to_owned(), "deck\n 1 2\n".to_owned()];
    assert_eq!(orphans(&planted, &headings), ["¶Cut list"]);
    let planted = [
        "¶Cutting maps\nLay each fabric out".to_owned(),
        "¶Placement guide".to_owned(),
    ];
    assert_eq!(
        without_drawing(&planted),
        ["¶Cutting maps", "¶Placement guide"]
    );
}

/// The placement guide is on one page, drawing and title, and the words are below or after.
#[test]
fn the_placement_guide_takes_one_page() {
    if !(has("chromium") && has("pdftotext")) {
        return;
    }
    let folder = folder("guide-page");
    let text = booklet(plan(), CHOICE).unwrap();
    for paper in ["Letter", "A4"] {
        let page = folder.join(format!("{paper}.html"));
        std::fs::write(&page, on_paper(&text, paper)).unwrap();
        let pdf = folder.join(format!("{paper}.pdf"));
        print(&folder, &page, &pdf);
        let pages = pages(&pdf);
        let spots = &plan().quilt.as_ref().unwrap().spots;
        let words = "where each motif goes.";
        let drawn: Vec<&String> = pages.iter().filter(|page| page.contains(words)).collect();
        assert_eq!(drawn.len(), 1, "{paper}");
        for spot in spots {
            assert!(drawn[0].contains(&spot.label), "{paper}: {}", spot.label);
            let whole = pages.join(" ");
            let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
            let first: Vec<&str> = spot.guide.split_whitespace().take(3).collect();
            assert!(
                flat(&whole).contains(&first.join(" ")),
                "{paper}: {}",
                spot.guide
            );
        }
    }
}

/// The size in points of the smallest letters that are printed, and what they say.
const SMALLEST: &str = "(() => {
  let least = [1e9, ''];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    const of = node.parentElement;
    if (!node.data.trim() || !of.getClientRects().length || of.closest('script, style, title, desc, svg defs')) continue;
    if (of.closest(MAPS)) continue;
    const shown = of.getScreenCTM ? Math.hypot(of.getScreenCTM().a, of.getScreenCTM().b) : 1;
    const size = parseFloat(getComputedStyle(of).fontSize) * shown * 0.75;
    if (size < least[0]) least = [size, node.data];
  }
  return least;
})()";

/// No letters below 7 points are printed. Maps and motif pictures are looked at where they
/// are drawn: their scale is the fabric's.
#[test]
fn letters_are_large_enough_on_paper() {
    if !has("chromium") {
        return;
    }
    let folder = folder("letters");
    let page = folder.join("booklet.html");
    std::fs::write(&page, booklet(plan(), CHOICE).unwrap()).unwrap();
    let mut browser = Browser::start(&folder);
    // Between margins of 10 mm an A4 page is 190 mm wide: 718 px of 1/96 in.
    browser.open(&page, 718);
    browser.media("print");
    let look = SMALLEST.replace("MAPS", "'#maps, #looks'");
    let least = browser.value(&look);
    println!("smallest letters: {least}");
    assert!(least[0].as_f64().unwrap() >= 6.95, "{least}");
    browser.value("document.querySelector('#order li').style.fontSize = '9px'");
    assert!(browser.value(&look)[0].as_f64().unwrap() < 7.0);
}
