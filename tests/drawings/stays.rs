//! What the booklet keeps and hands out: ticks, typed angles, settings to copy.

use crate::browser::Browser;
use crate::demo::{CHOICE, plan};
use crate::outside::{folder, has};
use std::path::{Path, PathBuf};
use stripe_core::booklet::booklet;
use stripe_core::plan::Plan;

fn written(folder: &Path, name: &str, plan: &Plan) -> PathBuf {
    let page = folder.join(name);
    std::fs::write(&page, booklet(plan, CHOICE).unwrap()).unwrap();
    page
}

const TICKED: &str = "[...document.querySelectorAll('input[data-tick]')].filter((b) => b.checked).map((b) => b.dataset.tick)";
const SAID: &str = "[...document.querySelectorAll('[data-ticks]')].filter((w) => !w.hidden).map((w) => w.dataset.ticks)";
const TICK_SECOND: &str = "document.querySelectorAll('input[data-tick]')[1].click()";

#[test]
fn ticks_stay_with_their_plan() {
    if !has("chromium") {
        return;
    }
    let folder = folder("ticks");
    let page = written(&folder, "booklet.html", plan());
    let mut other = plan().clone();
    other.seed += 1;
    let other = written(&folder, "other.html", &other);
    let mut browser = Browser::start(&folder);
    browser.open(&page, 390);
    let names = "(() => { const n = [...document.querySelectorAll('input[data-tick]')].map((b) => b.dataset.tick); return [n.length, new Set(n).size]; })()";
    let names = browser.value(names);
    assert_eq!(names[0], names[1]);
    assert!(names[0].as_u64().unwrap() > 100, "{names}");
    browser.value(TICK_SECOND);
    assert_eq!(browser.value(TICKED), serde_json::json!(["order-1"]));
    // The page is left and opened again; another plan has its own.
    browser.open(&other, 390);
    assert_eq!(browser.value(TICKED), serde_json::json!([]));
    browser.open(&page, 390);
    assert_eq!(browser.value(TICKED), serde_json::json!(["order-1"]));
    assert_eq!(browser.value(SAID), serde_json::json!(["kept"]));
    browser.value("document.querySelector('[data-untick]').click()");
    assert_eq!(browser.value(TICKED), serde_json::json!([]));
}

/// Where the browser lends no store the page says so, and boxes can be ticked all the same.
#[test]
fn a_page_without_a_store_says_so() {
    if !has("chromium") {
        return;
    }
    let folder = folder("no-store");
    let page = written(&folder, "booklet.html", plan());
    let mut browser = Browser::start(&folder);
    browser.before_pages(
        "Object.defineProperty(window, 'localStorage', { get() { throw new Error('none'); } })",
    );
    browser.open(&page, 390);
    assert_eq!(browser.value(SAID), serde_json::json!(["lost"]));
    browser.value(TICK_SECOND);
    assert_eq!(browser.value(TICKED), serde_json::json!(["order-1"]));
    assert!(
        browser.complaints().is_empty(),
        "{:?}",
        browser.complaints()
    );
}

/// An angle is kept as it is typed; one button copies one part's setting, another all.
#[test]
fn settings_are_copied_as_typed() {
    if !has("chromium") {
        return;
    }
    let folder = folder("copied");
    let page = written(&folder, "booklet.html", plan());
    let mut browser = Browser::start(&folder);
    browser.before_pages(
        "Object.defineProperty(navigator, 'clipboard', { value: { writeText: async (t) => { window.copied = t; } } })",
    );
    browser.open(&page, 1280);
    let typed = "(() => { const a = document.querySelector('[data-angle]'); a.value = '12.75'; a.dispatchEvent(new Event('input')); return a.closest('fieldset').querySelector('pre').textContent; })()";
    let setting = browser.value(typed);
    let setting = setting.as_str().unwrap();
    assert!(setting.starts_with("stripe_angle = 12.75\n"), "{setting}");
    browser.awaited("(async () => { document.querySelector('[data-copy]').click(); await new Promise((r) => setTimeout(r, 50)); })()");
    assert_eq!(browser.value("window.copied"), setting);
    browser.awaited("(async () => { document.querySelector('[data-copy-all]').click(); await new Promise((r) => setTimeout(r, 50)); })()");
    let all = browser.value("window.copied");
    let all = all.as_str().unwrap();
    let parts = browser.value("document.querySelectorAll('fieldset[data-part]').length");
    assert_eq!(all.matches("# ").count() as u64, parts.as_u64().unwrap());
    assert!(all.contains(setting), "{all}");
    let said = "document.querySelector('[data-copy-all]').parentElement.querySelector('[data-copied]').textContent";
    assert_eq!(browser.value(said), "Copied.");
}

/// The picture stays in sight while the last of its sliders is moved.
#[test]
fn the_picture_stays_beside_its_sliders() {
    if !has("chromium") {
        return;
    }
    let folder = folder("held");
    let page = written(&folder, "booklet.html", plan());
    let mut browser = Browser::start(&folder);
    for width in [390, 1280] {
        browser.open(&page, width);
        let seen = "(() => {
          const box = [...document.querySelectorAll('.tryout')].reduce((a, b) => a.querySelectorAll('fieldset').length >= b.querySelectorAll('fieldset').length ? a : b);
          const last = [...box.querySelectorAll('[data-run]')].pop();
          last.scrollIntoView({ block: 'end' });
          const picture = box.querySelector('.held').getBoundingClientRect();
          const slider = last.getBoundingClientRect();
          const over = picture.left < slider.right && slider.left < picture.right && picture.bottom > slider.top && picture.top < slider.bottom;
          return [picture.top, picture.bottom, window.innerHeight, over];
        })()";
        let seen = browser.value(seen);
        let at = |i: usize| seen[i].as_f64().unwrap();
        assert!(at(0) >= 0.0 && at(1) <= at(2), "{width}: {seen}");
        assert_eq!(seen[3], false, "{width}: {seen}");
    }
}
