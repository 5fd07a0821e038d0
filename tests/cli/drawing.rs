//! Motifs from drawings: begun, planned, checked; and files that are not read.

use crate::place::Place;

const DAHLIA: &str = include_str!("../../data/dahlia/dahlia.svg");
const PROJECT: &str = include_str!("../../data/dahlia/dahlia.toml");

#[test]
fn a_drawing_becomes_a_plan() {
    let place = Place::new();
    place.write("petals.svg", DAHLIA);
    let ran = place
        .run(&["new", "mine", "--from", "petals.svg"])
        .with_status(0);
    assert!(ran.out.contains("9 pieces"), "{}", ran.out);
    let quick = ["--effort", "quick"];
    let mut line = vec!["lay", "mine/motif.toml", "--out", "a"];
    line.extend(quick);
    place.run(&line).with_status(0);
    let passes = place.run(&["check", "a/plan.json"]).with_status(0);
    assert!(passes.out.contains("9 pieces"), "{}", passes.out);

    place.write("dahlia.toml", PROJECT);
    place.write("dahlia.svg", DAHLIA);
    let mut line = vec!["lay", "dahlia.toml", "--out", "b"];
    line.extend(quick);
    place.run(&line).with_status(0);
    let passes = place.run(&["check", "b/plan.json"]).with_status(0);
    assert!(passes.out.contains("27 pieces"), "{}", passes.out);
    assert!(place.read("b/cut-list.csv").contains("outer1"));
    // What is cut from a plan again knows nothing of the drawing.
    place
        .run(&["recut", "b/plan.json", "--spoilt", "D1a", "--out", "c"])
        .with_status(0);
    place.run(&["check", "c/plan.json"]).with_status(0);
}

#[test]
fn drawings_lie_beside_their_project() {
    let place = Place::new();
    for (name, said) in [
        ("../dahlia.svg", "in the project's folder"),
        ("/etc/hostname", "in the project's folder"),
        ("nowhere.svg", "cannot be read"),
        (".", "no file"),
        ("broken.svg", "line 2"),
    ] {
        place.write("broken.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9mm\" height=\"9mm\">\n<text/></svg>");
        place.write(
            "a.toml",
            PROJECT.replace("dahlia.svg\"", &format!("{name}\"")),
        );
        let ran = place.run(&["lay", "a.toml", "--out", "out"]).with_status(1);
        assert!(ran.err.contains(said), "{name}: {}", ran.err);
        assert!(!place.path("out").exists());
    }
    #[cfg(unix)]
    {
        let elsewhere = Place::new();
        elsewhere.write("dahlia.svg", DAHLIA);
        std::os::unix::fs::symlink(elsewhere.path("dahlia.svg"), place.path("link.svg")).unwrap();
        place.write("a.toml", PROJECT.replace("dahlia.svg\"", "link.svg\""));
        let ran = place.run(&["lay", "a.toml", "--out", "out"]).with_status(1);
        assert!(ran.err.contains("outside"), "{}", ran.err);
    }
    place.write("no.svg", "<svg/>");
    let ran = place.run(&["new", "x", "--from", "no.svg"]).with_status(1);
    assert!(ran.err.contains("cannot be a motif"), "{}", ran.err);
    assert!(!place.path("x").exists());
}
