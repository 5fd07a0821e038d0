//! Drawing again from a plan alone.

use crate::place::{HARBOUR, Place, quick_plan};
use stripe_core::project::Project;

#[test]
fn a_plan_can_be_drawn_again() {
    let place = Place::new();
    place.write("plan.json", quick_plan());
    let map = place
        .run(&["draw", "map", "plan.json", "--out", "maps"])
        .with_status(0);
    assert!(map.out.contains("map-deck.svg"), "{}", map.out);
    assert!(place.read("maps/map-deck.svg").starts_with("<svg"));
    place.run(&["draw", "motif", "plan.json"]).with_status(0);
    assert!(place.path("motif-wheel.png").exists());
    let again = place.run(&["draw", "motif", "plan.json"]).with_status(1);
    assert!(again.err.contains("--force"), "{}", again.err);
    place
        .run(&["draw", "motif", "plan.json", "--force"])
        .with_status(0);
    assert_eq!(
        place
            .names()
            .iter()
            .filter(|name| name.ends_with(".draft"))
            .count(),
        0
    );
}

#[test]
fn templates_and_booklet_come_from_a_plan() {
    let place = Place::new();
    place.write("plan.json", quick_plan());
    let args = [
        "draw",
        "templates",
        "plan.json",
        "--method",
        "fusible-web",
        "--paper",
        "either",
    ];
    let told = place.run(&args).with_status(0);
    assert!(told.out.contains("templates.pdf"), "{}", told.out);
    let pdf = std::fs::read(place.path("templates.pdf")).unwrap();
    assert!(pdf.starts_with(b"%PDF"));
    let lines = place
        .names()
        .into_iter()
        .filter(|name| name.starts_with("template-"));
    assert!(lines.count() >= 3);
    place.run(&["draw", "booklet", "plan.json"]).with_status(0);
    let page = place.read("booklet.html");
    assert!(page.starts_with("<!DOCTYPE html>") && page.trim_end().ends_with("</html>"));
    let wrong = [
        "draw",
        "templates",
        "plan.json",
        "--method",
        "glue",
        "--force",
    ];
    assert!(
        place
            .run(&wrong)
            .with_status(2)
            .err
            .contains("paper-on-wrong-side")
    );
}

/// A pattern with the project file for another maker's stripe: `lay` takes that as it is, and
/// with other bands in the place that is marked.
#[test]
fn a_pattern_comes_with_a_project_for_another_stripe() {
    let place = Place::new();
    place.write("plan.json", quick_plan());
    place.write("harbour.toml", HARBOUR);
    let ask = "deck=1 1/4 yd if the stripe repeats within 5 in";
    let args = [
        "draw",
        "pattern",
        "plan.json",
        "--out",
        "sold",
        "--project",
        "harbour.toml",
        "--paper",
        "a4",
        "--ask-for",
        ask,
    ];
    let told = place.run(&args).with_status(0);
    for name in ["pattern.html", "pattern.pdf", "pattern.toml"] {
        assert!(told.out.contains(name), "{}", told.out);
    }
    assert!(
        place
            .read("sold/pattern.html")
            .contains("For your own stripe:")
    );
    let marked = place.read("sold/pattern.toml");
    let own = Project::read(HARBOUR).unwrap();
    assert_eq!(Project::read(&marked).unwrap(), own);
    // Her own stripe, put where it is marked.
    let mark = marked
        .find("# YOUR STRIPE: put the bands of your own fabric for `deck`")
        .unwrap();
    let from = mark + marked[mark..].find("bands = [").unwrap();
    let end = from + marked[from..].find("\n]").unwrap() + 2;
    let bands = "bands = [{ name = \"navy\", width = \"1 in\", colour = \"#333333\" }, { width = \"5/8 in\", colour = \"#eeeeee\" }]";
    let hers = format!("{}{bands}{}", &marked[..from], &marked[end..]);
    place.write("hers.toml", &hers);
    let planned = place.run(&["lay", "hers.toml", "--out", "hers", "--effort", "quick"]);
    assert!(planned.with_status(0).out.contains("deck"));

    place.write(
        "other.toml",
        HARBOUR.replace("title = \"Harbour\"", "title = \"Other\""),
    );
    for (args, words) in [
        (
            ["draw", "pattern", "plan.json", "--project", "other.toml"],
            "is not the project",
        ),
        (
            ["draw", "pattern", "plan.json", "--ask-for", "brass=1 yd"],
            "no striped fabric called brass",
        ),
        (
            ["draw", "pattern", "plan.json", "--ask-for", "1 yd"],
            "lacks a fabric or the words for it",
        ),
        (
            ["draw", "pattern", "plan.json", "--method", "overlay"],
            "as the motif is seen",
        ),
        (
            ["draw", "map", "plan.json", "--ask-for", "deck=1 yd"],
            "for a pattern alone",
        ),
    ] {
        let wrong = place.run(&args).with_status(1);
        assert!(wrong.err.contains(words), "{}", wrong.err);
    }
    assert!(!place.path("pattern.html").exists());
}
