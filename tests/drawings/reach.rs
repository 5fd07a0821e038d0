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

/// Neither the page nor its tables are wider than a phone, and no cell of them is cut off.
const WIDE: &str = "(() => {
  const page = document.documentElement;
  const lists = ['.cuts', '.buying', '.templates', '.places'];
  const cells = [...document.querySelectorAll(lists.flatMap((l) => [l, l + ' td', l + ' th']).join(', '))];
  const out = cells.filter((c) => c.getBoundingClientRect().right > page.clientWidth + 0.5 || c.scrollWidth > c.clientWidth + 1);
  return [page.scrollWidth - page.clientWidth, cells.length, out.map((c) => c.textContent).slice(0, 5)];
})()";

/// Whether what is said of maps that scroll sideways is seen, and whether they do.
const SIDEWAYS: &str = "[...document.querySelectorAll('#maps .sheet')].map((s) => {
  const map = s.querySelector('.scroll');
  const said = s.querySelector('.sideways');
  return map ? [map.scrollWidth > map.clientWidth + 1, Boolean(said) && said.getClientRects().length > 0] : [false, false];
})";

#[test]
fn lists_fit_a_phone() {
    if !has("chromium") {
        return;
    }
    let folder = folder("phone");
    let page = folder.join("booklet.html");
    let mut browser = Browser::start(&folder);
    for name in ["harbour", "skerry", "capstan", "galley"] {
        std::fs::write(&page, booklet(&example(name), CHOICE).unwrap()).unwrap();
        for width in [360, 390] {
            browser.open(&page, width);
            let wide = browser.value(WIDE);
            assert_eq!(wide[0], 0, "{name} at {width}: {wide}");
            assert!(wide[1].as_u64().unwrap() > 60, "{wide}");
            assert_eq!(wide[2], serde_json::json!([]), "{name} at {width}: {wide}");
        }
    }
    // A fault that is put in is found, in each of the lists: a column that does not break.
    for list in ["cuts", "buying", "templates"] {
        let widen = format!(
            "(() => {{ const c = document.querySelector('.{list} td:nth-child(2)'); c.style.whiteSpace = 'nowrap'; c.style.overflowWrap = 'normal'; c.textContent = 'wide '.repeat(40); }})()"
        );
        browser.open(&page, 360);
        browser.value(&widen);
        let wide = browser.value(WIDE);
        let seen = wide[0] != 0 || wide[2] != serde_json::json!([]);
        assert!(seen, "{list}: {wide}");
    }
}

/// A map that is wider than the screen says so, and none other does.
#[test]
fn maps_say_that_they_scroll() {
    if !has("chromium") {
        return;
    }
    let folder = folder("sideways");
    let page = folder.join("booklet.html");
    let mut browser = Browser::start(&folder);
    std::fs::write(&page, booklet(&example("harbour"), CHOICE).unwrap()).unwrap();
    let mut seen = [0, 0];
    for width in [390, 700, 766, 772, 1000, 1280, 1500] {
        browser.open(&page, width);
        let maps = browser.value(SIDEWAYS);
        for map in maps.as_array().unwrap() {
            assert_eq!(map[0], map[1], "{width}: {maps}");
            seen[usize::from(map[0] == true)] += 1;
        }
    }
    assert!(seen[0] > 8 && seen[1] > 8, "{seen:?}");
    // Without the words it would be found.
    browser.open(&page, 390);
    browser.value("for (const one of document.querySelectorAll('.sideways')) one.remove()");
    let maps = browser.value(SIDEWAYS);
    assert!(maps.as_array().unwrap().iter().any(|map| map[0] != map[1]));
}
