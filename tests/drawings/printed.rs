//! The booklet on paper, Letter and A4, as poppler reads the pages.

use crate::booklet::print;
use crate::browser::Browser;
use crate::demo::{CHOICE, plan};
use crate::outside::{folder, has, run};
use std::path::Path;
use std::process::Command;
use stripe_core::booklet::booklet;

/// The page with its paper named.
fn on_paper(text: &str, paper: &str) -> String {
    text.replace(
        "</head>",
        &format!("<style>@page {{ size: {paper} }}</style></head>"),
    )
}

/// The words of a PDF, page by page.
fn pages(pdf: &Path) -> Vec<String> {
    let (said, _) = run(Command::new("pdftotext")
        .args(["-layout"])
        .arg(pdf)
        .arg("-"));
    said.split('\u{c}').map(str::to_owned).collect()
}

/// The page with a sign before every heading, by which it is told from other words.
fn signed(text: &str) -> String {
    text.replace("<h2>", "<h2>¶").replace("<h3>", "<h3>¶")
}

/// The texts between `<h2>` or `<h3>` and its end.
fn headings(text: &str) -> Vec<String> {
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
fn orphans(pages: &[String], headings: &[String]) -> Vec<String> {
    let last = pages.iter().filter_map(|page| {
        let mut lines = page.lines().map(str::trim).filter(|line| !line.is_empty());
        lines.next_back()
    });
    last.filter(|line| headings.iter().any(|h| h == line))
        .map(str::to_owned)
        .collect()
}

#[test]
fn no_heading_is_left_alone_and_nothing_stands_twice() {
    if !(has("chromium") && has("pdftotext")) {
        return;
    }
    let folder = folder("printed");
    let text = signed(&booklet(plan(), CHOICE).unwrap());
    let headings = headings(&text);
    assert!(headings.len() > 20, "{headings:?}");
    for paper in ["Letter", "A4"] {
        let page = folder.join(format!("{paper}.html"));
        std::fs::write(&page, on_paper(&text, paper)).unwrap();
        let pdf = folder.join(format!("{paper}.pdf"));
        print(&folder, &page, &pdf);
        let pages = pages(&pdf);
        assert_eq!(orphans(&pages, &headings), Vec::<String>::new(), "{paper}");
        let all = pages.join("\n");
        // The try-out is for the screen: nothing of it is left on paper.
        assert!(!all.contains("Try the stripe") && !all.contains("back to the plan"));
        assert_eq!(all.matches("Order of work").count(), 1, "{paper}");
        let total = all
            .lines()
            .filter(|line| line.trim_start().starts_with("total"));
        assert_eq!(total.count(), 1, "{paper}");
        // Nothing but white is no page.
        let empty = pages[..pages.len() - 1]
            .iter()
            .filter(|p| p.trim().is_empty());
        assert_eq!(empty.count(), 0, "{paper}");
        println!("{paper}: {} pages", pages.len() - 1);
    }
    // A heading that is left alone is found.
    let planted = ["words\n\n¶Cut list\n".to_owned(), "deck\n 1 2\n".to_owned()];
    assert_eq!(orphans(&planted, &headings), ["¶Cut list"]);
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
