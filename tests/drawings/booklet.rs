//! The booklet in a browser without a network.

use crate::browser::{Browser, flags};
use crate::demo::{CHOICE, example, plan};
use crate::outside::{folder, has, run};
use std::path::Path;
use std::process::Command;
use stripe_core::booklet::booklet;

/// Prints a page as the browser's own command line does.
pub fn print(home: &Path, page: &Path, out: &Path) {
    run(Command::new("chromium")
        .args(flags(home))
        .arg("--no-pdf-header-footer")
        .arg(format!("--print-to-pdf={}", out.display()))
        .arg(format!("file://{}", page.display())));
}

/// The first part's picture and its setting.
const STATE: &str = r#"(() => {
  const part = document.querySelector("fieldset[data-part]");
  const use = part.closest(".tryout").querySelector('use[data-part="0"]');
  return [use.getAttribute("transform"), part.querySelector("pre").textContent, part.querySelector("output").textContent];
})()"#;

/// What the keyboard is on.
const ON: &str = "Object.keys(document.activeElement.dataset).find((k) => ['run', 'turn', 'cross', 'angle'].includes(k)) || document.activeElement.tagName";

fn state(browser: &mut Browser) -> [String; 3] {
    serde_json::from_value(browser.value(STATE)).unwrap()
}

/// From the top of the page to the first slider by keys alone: to the link in the
/// contents, through it, and on.
fn reach_first_slider(browser: &mut Browser) {
    for _ in 0..40 {
        browser.press("Tab");
        if browser.value("document.activeElement.hash") == "#tryout" {
            break;
        }
    }
    assert_eq!(browser.value("document.activeElement.hash"), "#tryout");
    browser.press("Enter");
    browser.press("Tab");
    assert_eq!(browser.value(ON), "run");
}

#[test]
fn keys_move_the_stripe_and_nothing_is_fetched() {
    if !has("chromium") {
        return;
    }
    let folder = folder("booklet");
    let page = folder.join("booklet.html");
    std::fs::write(&page, booklet(plan(), CHOICE).unwrap()).unwrap();
    let mut browser = Browser::start(&folder);
    browser.open(&page, 390);
    // Nothing is wider than a phone.
    let wide = "document.documentElement.scrollWidth - document.documentElement.clientWidth";
    assert_eq!(browser.value(wide), 0);

    reach_first_slider(&mut browser);
    let start = state(&mut browser);
    for _ in 0..3 {
        browser.press("ArrowRight");
    }
    let run = state(&mut browser);
    println!("{start:?}\n{run:?}");
    assert!(run[0] != start[0] && run[1] != start[1]);
    browser.press("ArrowLeft");
    assert_ne!(state(&mut browser)[1], run[1]);
    browser.press("ArrowRight");
    assert_eq!(state(&mut browser), run);

    browser.press("Tab");
    assert_eq!(browser.value(ON), "turn");
    browser.press("Home");
    let turned = state(&mut browser);
    assert!(turned[1].starts_with("stripe_angle = -180"), "{turned:?}");
    assert_ne!(turned[0], run[0]);
    browser.press("ArrowRight");
    let half = state(&mut browser);
    assert!(half[1].starts_with("stripe_angle = -179.5"), "{half:?}");

    browser.press("Tab");
    assert_eq!(browser.value(ON), "angle");
    browser.press("Tab");
    assert_eq!(browser.value(ON), "BUTTON");
    browser.press(" ");
    assert_eq!(state(&mut browser), start);

    assert_eq!(browser.requests(&page), Vec::<String>::new());
    assert!(
        browser.complaints().is_empty(),
        "{:?}",
        browser.complaints()
    );
}

/// On a plaid the bands that cross the stripe have a slider of their own.
#[test]
fn keys_move_what_crosses_the_stripe() {
    if !has("chromium") {
        return;
    }
    let folder = folder("plaid");
    let page = folder.join("booklet.html");
    std::fs::write(&page, booklet(&example("galley"), CHOICE).unwrap()).unwrap();
    let mut browser = Browser::start(&folder);
    browser.open(&page, 1280);
    reach_first_slider(&mut browser);
    let start = state(&mut browser);
    // The plan's own: the middle of the crossing fir band on the centre.
    assert!(start[1].contains("offset_along = \"3/4 in\""), "{start:?}");
    assert_eq!(start[2], "fir, crossed by fir on the centre");
    while browser.value(ON) != "cross" {
        browser.press("Tab");
    }
    for _ in 0..16 {
        browser.press("ArrowRight");
    }
    let run = state(&mut browser);
    assert!(run[1].contains("offset_along = \"1 3/4 in\""), "{run:?}");
    assert_eq!(run[2], "fir, crossed by oat on the centre");
    let moved = |state: &[String; 3]| -> Vec<f64> {
        let numbers = state[0].split("translate(").nth(1).unwrap();
        let numbers = numbers.trim_end_matches(')').split_whitespace();
        numbers.map(|n| n.parse().unwrap()).collect()
    };
    let (before, after) = (moved(&start), moved(&run));
    // Along the stripe by an inch, across it not at all.
    assert!((before[0] - after[0]).abs() < 1e-3, "{before:?} {after:?}");
    assert!(
        (before[1] - after[1] - 25.4).abs() < 1e-3,
        "{before:?} {after:?}"
    );
    assert!(
        browser.complaints().is_empty(),
        "{:?}",
        browser.complaints()
    );
}

#[test]
fn maps_are_not_cut_off_in_print() {
    if !(has("chromium") && has("pdfinfo") && has("pdftotext")) {
        return;
    }
    let folder = folder("print");
    let page = folder.join("booklet.html");
    std::fs::write(&page, booklet(plan(), CHOICE).unwrap()).unwrap();
    let out = folder.join("print.pdf");
    print(&folder, &page, &out);
    // Every map's title and its last words are on one and the same page.
    let (said, _) = run(Command::new("pdftotext")
        .args(["-layout"])
        .arg(&out)
        .arg("-"));
    let pages: Vec<&str> = said.split('\u{c}').collect();
    for fabric in &plan().fabrics {
        let title = format!("Cutting map: {}", fabric.name);
        let found: Vec<&&str> = pages.iter().filter(|page| page.contains(&title)).collect();
        assert!(!found.is_empty(), "{title}");
        for page in found {
            assert_eq!(page.matches("Cutting map:").count(), 1);
            assert!(
                page.contains("cut here") && page.contains("right selvage"),
                "{page}"
            );
        }
    }
}
