//! The booklet in a browser without a network.

use crate::demo::{CHOICE, plan};
use crate::outside::{folder, has, run};
use std::path::Path;
use std::process::Command;
use stripe_core::booklet::booklet;

fn browser(home: &Path, more: &[&str], page: &Path) -> (String, String) {
    let mut command = Command::new("chromium");
    command
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-first-run",
        ])
        .args([
            "--disable-background-networking",
            "--disable-component-update",
        ])
        .args([
            "--disable-sync",
            "--hide-scrollbars",
            "--enable-logging=stderr",
        ])
        .arg(format!("--user-data-dir={}", home.join("home").display()))
        .args(more)
        .arg(format!("file://{}", page.display()));
    run(&mut command)
}

/// Moves the first two sliders by their keys' own events and writes down what came of
/// it, and every file that the page asked for.
const PROBE: &str = r#"<script>
addEventListener("load", () => {
  const part = document.querySelector("fieldset[data-part]");
  const run = part.querySelector("[data-run]"), turn = part.querySelector("[data-turn]");
  const use = part.closest(".tryout").querySelector('use[data-part="0"]');
  const state = () => use.getAttribute("transform") + " | " + part.querySelector("pre").textContent.replace("\n", ", ");
  const lines = [state()];
  run.focus();
  lines.push(document.activeElement === run ? "focus" : "no focus");
  run.value = Number(run.value) + 3;
  run.dispatchEvent(new Event("input"));
  lines.push(state());
  turn.value = 30;
  turn.dispatchEvent(new Event("input"));
  lines.push(state());
  part.querySelector("button").click();
  lines.push(state());
  lines.push("requests " + performance.getEntriesByType("resource").filter((e) => !e.name.startsWith("data:")).length);
  lines.push("wide " + (document.documentElement.scrollWidth - document.documentElement.clientWidth));
  const note = document.createElement("pre");
  note.id = "probe";
  note.textContent = lines.join("\n");
  document.body.append(note);
});
</script>"#;

#[test]
fn sliders_move_the_stripe_and_nothing_is_fetched() {
    if !has("chromium") {
        return;
    }
    let folder = folder("booklet");
    let text = booklet(plan(), CHOICE).unwrap();
    let page = folder.join("booklet.html");
    std::fs::write(&page, text.replace("</body>", &format!("{PROBE}</body>"))).unwrap();
    let (dom, log) = browser(&folder, &["--dump-dom", "--window-size=390,900"], &page);
    let complaints: Vec<&str> = log
        .lines()
        .filter(|line| line.contains("CONSOLE"))
        .collect();
    assert!(complaints.is_empty(), "{complaints:?}");
    let told = dom
        .split("<pre id=\"probe\">")
        .nth(1)
        .expect("the probe ran");
    let lines: Vec<&str> = told.split("</pre>").next().unwrap().lines().collect();
    println!("{lines:#?}");
    let [start, focus, run, turn, back, requests, wide] = lines[..] else {
        panic!("{lines:?}");
    };
    assert_eq!((focus, requests), ("focus", "requests 0"));
    // Nothing is wider than a phone.
    assert_eq!(wide, "wide 0");
    assert_ne!(start, run);
    let setting = |line: &str| line.split(" | ").nth(1).unwrap().to_owned();
    assert_ne!(setting(start), setting(run));
    assert!(setting(turn).starts_with("across = 30,"), "{turn}");
    assert_eq!(start, back);
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
    let print = format!("--print-to-pdf={}", out.display());
    browser(&folder, &[&print, "--no-pdf-header-footer"], &page);
    // Every map's title and its last words are on one and the same page.
    let (said, _) = run(Command::new("pdftotext")
        .args(["-layout"])
        .arg(&out)
        .arg("-"));
    let pages: Vec<&str> = said.split('\u{c}').collect();
    for cloth in &plan().cloths {
        let title = format!("Cutting map: {}", cloth.name);
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
