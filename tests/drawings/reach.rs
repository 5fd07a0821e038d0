//! Whether everybody can use the booklet: axe-core, and the width of a phone.
//!
//! # Source
//! axe-core, an outside checker of WCAG 2 rules. `.ci/run` fetches it and names the file in
//! STRIPELAY_AXE; it is never a part of this project.

use crate::browser::Browser;
use crate::demo::{CHOICE, example};
use crate::outside::{folder, has};
use serde_json::Value;
use stripe_core::booklet::booklet;

/// What axe-core finds wrong with the page that is open, rule by rule with its places.
fn violations(browser: &mut Browser, axe: &str) -> Vec<String> {
    // The page's own policy lets no script be added; the browser's console may.
    browser.value(&format!("{axe}; 0"));
    let found = browser.awaited("axe.run(document).then((found) => found.violations)");
    let told = |rule: &Value| {
        let nodes = rule["nodes"].as_array().unwrap().iter();
        let places: Vec<String> = nodes.take(3).map(|n| n["html"].to_string()).collect();
        format!("{}: {}", rule["id"], places.join("; "))
    };
    found.as_array().unwrap().iter().map(told).collect()
}

#[test]
fn nothing_bars_anybody() {
    if !has("chromium") {
        return;
    }
    let Some(axe) = std::env::var_os("STRIPELAY_AXE") else {
        println!("skipped: STRIPELAY_AXE names no axe.min.js (`bash .ci/run` fetches it)");
        return;
    };
    let axe = std::fs::read_to_string(axe).unwrap();
    let folder = folder("axe");
    let page = folder.join("booklet.html");
    let mut browser = Browser::start(&folder);
    for name in ["harbour", "skerry"] {
        std::fs::write(&page, booklet(&example(name), CHOICE).unwrap()).unwrap();
        for width in [360, 1280] {
            browser.open(&page, width);
            let found = violations(&mut browser, &axe);
            assert!(found.is_empty(), "{name} at {width} px: {found:#?}");
        }
    }
    // A fault that is put in is found.
    let text = std::fs::read_to_string(&page).unwrap();
    let text = text.replace("aria-label=\"cut ", "data-label=\"cut ");
    let text = text.replace("<html lang=\"en\">", "<html>");
    std::fs::write(&page, text).unwrap();
    browser.open(&page, 1280);
    let found = violations(&mut browser, &axe).join("\n");
    assert!(
        found.contains("html-has-lang") && found.contains("\"label\""),
        "{found}"
    );
}

/// Neither the page nor the cut list is wider than a phone of 360 px, and no cell of the list
/// is cut off.
const WIDE: &str = "(() => {
  const page = document.documentElement;
  const cells = [...document.querySelectorAll('.cuts, .cuts td, .cuts th, .places td')];
  const out = cells.filter((c) => c.getBoundingClientRect().right > page.clientWidth + 0.5 || c.scrollWidth > c.clientWidth + 1);
  return [page.scrollWidth - page.clientWidth, cells.length, out.map((c) => c.textContent).slice(0, 5)];
})()";

#[test]
fn the_cut_list_fits_a_phone() {
    if !has("chromium") {
        return;
    }
    let folder = folder("phone");
    let page = folder.join("booklet.html");
    let mut browser = Browser::start(&folder);
    for name in ["harbour", "skerry"] {
        std::fs::write(&page, booklet(&example(name), CHOICE).unwrap()).unwrap();
        browser.open(&page, 360);
        let wide = browser.value(WIDE);
        assert_eq!(wide[0], 0, "{name}: {wide}");
        assert!(wide[1].as_u64().unwrap() > 60, "{wide}");
        assert_eq!(wide[2].as_array().unwrap().len(), 0, "{name}: {wide}");
    }
    // A fault that is put in is found: a column that does not break.
    browser.value("document.querySelector('.cuts td:nth-child(2)').style.whiteSpace = 'nowrap'");
    browser.value("document.querySelector('.cuts .soft').textContent = 'wide '.repeat(40)");
    let wide = browser.value(WIDE);
    assert!(
        wide[0] != 0 || !wide[2].as_array().unwrap().is_empty(),
        "{wide}"
    );
}
