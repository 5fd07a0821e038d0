//! Drawing again from a plan alone.

use crate::place::{Place, quick_plan};

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
