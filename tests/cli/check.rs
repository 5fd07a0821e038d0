//! The verifier finds what was changed in a plan, and names the pieces.

use crate::place::{Place, Ran, quick_plan};
use serde_json::Value;

/// Checks the plan with a change in it.
fn checked(change: impl FnOnce(&mut Value)) -> Ran {
    let mut plan: Value = serde_json::from_str(quick_plan()).unwrap();
    change(&mut plan);
    let place = Place::new();
    place.write("plan.json", plan.to_string());
    place.run(&["check", "plan.json"])
}

fn first(plan: &mut Value) -> &mut Value {
    &mut plan["fabrics"][0]["placements"][0]
}

fn shift(value: &mut Value, by: f64) {
    *value = (value.as_f64().unwrap() + by).into();
}

/// The first piece's label on the first fabric.
fn label() -> String {
    let plan: Value = serde_json::from_str(quick_plan()).unwrap();
    plan["fabrics"][0]["placements"][0]["label"]
        .as_str()
        .unwrap()
        .to_owned()
}

#[track_caller]
fn assert_names(ran: Ran, words: &[&str]) {
    let ran = ran.with_status(1);
    for word in words {
        assert!(ran.out.contains(word), "{word}: {}", ran.out);
    }
    assert!(ran.err.contains("fault"), "{}", ran.err);
}

#[test]
fn the_plan_as_it_is_passes() {
    let ran = checked(|_| ()).with_status(0);
    assert!(ran.out.contains("passes"), "{}", ran.out);
    assert_eq!(ran.err, "");
}

#[test]
fn a_piece_moved_across_the_stripe() {
    let ran = checked(|plan| shift(&mut first(plan)["to_fabric"]["dx"], 1.0));
    assert_names(ran, &[&label()]);
}

#[test]
fn a_piece_turned_by_a_degree() {
    let ran = checked(|plan| shift(&mut first(plan)["to_fabric"]["rotate_deg"], 1.0));
    assert_names(ran, &[&label()]);
}

#[test]
fn a_piece_moved_onto_another() {
    let mut names = vec![];
    let ran = checked(|plan| {
        let placements = plan["fabrics"][0]["placements"].as_array_mut().unwrap();
        // Another copy of the same piece lies the same way: put it on the first.
        let piece = placements[0]["piece"].clone();
        let rotate = placements[0]["to_fabric"]["rotate_deg"].clone();
        let same = |p: &Value| p["piece"] == piece && p["to_fabric"]["rotate_deg"] == rotate;
        let twin = (1..placements.len())
            .find(|&i| same(&placements[i]))
            .unwrap();
        placements[twin]["to_fabric"] = placements[0]["to_fabric"].clone();
        names = vec![
            placements[0]["label"].clone(),
            placements[twin]["label"].clone(),
        ];
    });
    let names: Vec<&str> = names.iter().map(|name| name.as_str().unwrap()).collect();
    assert_names(ran, &names);
}

#[test]
fn a_piece_moved_off_the_fabric() {
    let ran = checked(|plan| shift(&mut first(plan)["to_fabric"]["dy"], -5000.0));
    assert_names(ran, &[&label()]);
}

#[test]
fn a_piece_removed() {
    let ran = checked(|plan| {
        plan["fabrics"][0]["placements"]
            .as_array_mut()
            .unwrap()
            .remove(0);
    });
    let plan: Value = serde_json::from_str(quick_plan()).unwrap();
    let piece = plan["fabrics"][0]["placements"][0]["piece"]
        .as_str()
        .unwrap();
    assert_names(ran, &[piece]);
}

#[test]
fn a_piece_doubled() {
    let ran = checked(|plan| {
        let twin = first(plan).clone();
        plan["fabrics"][0]["placements"]
            .as_array_mut()
            .unwrap()
            .push(twin);
    });
    assert_names(ran, &[&label()]);
}

#[test]
fn a_band_made_wider() {
    let ran = checked(|plan| shift(&mut plan["fabrics"][0]["stripe"]["bands"][0]["width"], 2.0));
    let ran = ran.with_status(1);
    let said = "the bands of a stripe add up to 78.2000 mm, but its repeat is given as 76.2000 mm";
    assert!(ran.err.contains(said), "{}", ran.err);
}

#[test]
fn findings_for_programs() {
    let mut plan: Value = serde_json::from_str(quick_plan()).unwrap();
    shift(&mut first(&mut plan)["to_fabric"]["dx"], 1.0);
    let place = Place::new();
    place.write("plan.json", plan.to_string());
    let ran = place.run(&["check", "plan.json", "--json"]).with_status(1);
    let report: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(report["passes"], false);
    // Which of its findings comes first hangs on what lies beside it.
    let findings = report["findings"].as_array().unwrap();
    let names_it = |finding: &Value| finding["of"].as_array().unwrap().contains(&label().into());
    assert!(findings.iter().any(names_it), "{report}");
}

/// What is left over must lie on what is bought, with no piece in it.
#[test]
fn a_leftover_that_is_not_there() {
    let onto_pieces = checked(|plan| {
        let fabric = &mut plan["fabrics"][0];
        let (width, length) = (fabric["width"].clone(), fabric["length"].clone());
        fabric["leftover"] =
            serde_json::json!({"left": 0.0, "begin": 0.0, "width": width, "length": length});
    });
    assert_names(onto_pieces, &[&label(), "left over"]);
    let beyond = checked(|plan| {
        let fabric = &mut plan["fabrics"][0];
        let end = fabric["buy"]["length"].clone();
        fabric["leftover"] =
            serde_json::json!({"left": 0.0, "begin": end, "width": 200.0, "length": 200.0});
    });
    assert_names(beyond, &["left over", "no part of it"]);
}

/// A bound above the plan's own length is wrong, and is said to be: it is never made to fit.
#[test]
fn a_bound_above_the_lay_is_a_finding() {
    let place = Place::new();
    let mut plan: Value = serde_json::from_str(quick_plan()).unwrap();
    let length = plan["fabrics"][0]["length"].as_f64().unwrap();
    plan["fabrics"][0]["bound"]["length"] = (length + 0.5).into();
    place.write("plan.json", plan.to_string());
    let ran = place.run(&["check", "plan.json"]).with_status(1);
    let said = format!("{}{}", ran.out, ran.err);
    assert!(said.contains("its own bound"), "{said}");
}
