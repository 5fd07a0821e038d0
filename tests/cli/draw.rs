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
    place.run(&["draw", "fan", "plan.json"]).with_status(0);
    assert!(place.path("fan-wheel.png").exists());
    let again = place.run(&["draw", "fan", "plan.json"]).with_status(1);
    assert!(again.err.contains("--force"), "{}", again.err);
    place
        .run(&["draw", "fan", "plan.json", "--force"])
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
