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

/// The same page with a fault put in.
fn planted(page: &Path, sound: &str, fault: &str) -> PathBuf {
    let text = std::fs::read_to_string(page).unwrap();
    assert!(text.contains(sound), "{sound}");
    let made = page.with_extension("planted.html");
    std::fs::write(&made, text.replacen(sound, fault, 1)).unwrap();
    made
}

/// What is wrong with how ticks are kept: a box is ticked, another plan is looked at, the page
/// is opened again, all ticks are cleared.
fn ticks_lost(browser: &mut Browser, page: &Path, other: &Path) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut look = |browser: &mut Browser, when: &str, what: &str, wanted: &[&str]| {
        let got = browser.value(what);
        if got != serde_json::json!(wanted) {
            wrong.push(format!("{when}: {got}"));
        }
    };
    browser.open(page, 390);
    browser.value("window.localStorage.clear()");
    browser.open(page, 390);
    browser.value(TICK_SECOND);
    look(browser, "ticked", TICKED, &["order-1"]);
    // The page is left and opened again; another plan has its own.
    browser.open(other, 390);
    look(browser, "another plan", TICKED, &[]);
    browser.open(page, 390);
    look(browser, "opened again", TICKED, &["order-1"]);
    look(browser, "said", SAID, &["kept"]);
    browser.value("document.querySelector('[data-untick]').click()");
    look(browser, "cleared", TICKED, &[]);
    wrong
}

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
    let wrong = ticks_lost(&mut browser, &page, &other);
    assert!(wrong.is_empty(), "{wrong:#?}");
    // Ticks that are not written down, and ticks that all plans share, are found.
    let unkept = planted(
        &page,
        "window.localStorage.setItem(key, JSON.stringify(ticked));",
        "",
    );
    let wrong = ticks_lost(&mut browser, &unkept, &other);
    assert!(
        wrong.iter().any(|w| w.starts_with("opened again")),
        "{wrong:#?}"
    );
    let key = "const key = `stripelay ${document.body.dataset.plan}`;";
    let shared = "const key = 'stripelay';";
    let (one, two) = (planted(&page, key, shared), planted(&other, key, shared));
    let wrong = ticks_lost(&mut browser, &one, &two);
    assert!(
        wrong.iter().any(|w| w.starts_with("another plan")),
        "{wrong:#?}"
    );
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

/// What is wrong with what the buttons copy.
fn miscopied(browser: &mut Browser, page: &Path) -> Vec<String> {
    let mut wrong = Vec::new();
    browser.open(page, 1280);
    let typed = "(() => { const a = document.querySelector('[data-angle]'); a.value = '12.75'; a.dispatchEvent(new Event('input')); return a.closest('fieldset').querySelector('pre').textContent; })()";
    let setting = browser.value(typed);
    let setting = setting.as_str().unwrap();
    if !setting.starts_with("stripe_angle = 12.75\n") {
        wrong.push(format!("typed: {setting}"));
    }
    browser.awaited("(async () => { document.querySelector('[data-copy]').click(); await new Promise((r) => setTimeout(r, 50)); })()");
    let one = browser.value("window.copied");
    if one != setting {
        wrong.push(format!("one: {one}"));
    }
    browser.awaited("(async () => { document.querySelector('[data-copy-all]').click(); await new Promise((r) => setTimeout(r, 50)); })()");
    let all = browser.value("window.copied");
    let all = all.as_str().unwrap_or_default();
    let parts = browser.value("document.querySelectorAll('fieldset[data-part]').length");
    let told = all.matches("# ").count() as u64;
    if Some(told) != parts.as_u64() || !all.contains(setting) {
        wrong.push(format!("all: {all}"));
    }
    let said = "document.querySelector('[data-copy-all]').parentElement.querySelector('[data-copied]').textContent";
    let said = browser.value(said);
    if said != "Copied." {
        wrong.push(format!("said: {said}"));
    }
    wrong
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
    let wrong = miscopied(&mut browser, &page);
    assert!(wrong.is_empty(), "{wrong:#?}");
    // A button that copies something else is found, the one for a part and the one for all.
    for (sound, fault, found) in [
        (
            "copy(setting.textContent, event.currentTarget);",
            "copy(\"\", event.currentTarget);",
            "one",
        ),
        (
            "copy(all.join(\"\\n\"), button);",
            "copy(all[0], button);",
            "all",
        ),
    ] {
        let page = planted(&page, sound, fault);
        let wrong = miscopied(&mut browser, &page);
        assert!(wrong.iter().any(|w| w.starts_with(found)), "{wrong:#?}");
    }
}

/// Whether the picture is in sight while the last of its sliders is moved, and does not lie
/// over it; what was measured.
fn stays_in_sight(browser: &mut Browser, page: &Path, width: u32) -> (bool, String) {
    browser.open(page, width);
    // As high as a phone, or a small window: in a higher one all is seen at once.
    let size =
        serde_json::json!({"width": width, "height": 560, "deviceScaleFactor": 1, "mobile": false});
    browser.ask("Emulation.setDeviceMetricsOverride", size);
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
    let well = at(0) >= 0.0 && at(1) <= at(2) && seen[3] == false;
    (well, format!("{width}: {seen}"))
}

#[test]
fn the_picture_stays_beside_its_sliders() {
    if !has("chromium") {
        return;
    }
    let folder = folder("held");
    let page = written(&folder, "booklet.html", plan());
    let mut browser = Browser::start(&folder);
    for width in [390, 1280] {
        let (well, seen) = stays_in_sight(&mut browser, &page, width);
        assert!(well, "{seen}");
    }
    // A picture that scrolls away is found on a phone, where it stands above its sliders.
    let loose = planted(&page, "position: sticky;", "");
    let (well, seen) = stays_in_sight(&mut browser, &loose, 390);
    assert!(!well, "{seen}");
}
