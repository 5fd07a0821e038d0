//! Fabric in hand and plans that go on after a mishap, by the program itself.

use crate::place::Place;
use serde_json::Value;

const LOCKER: &str = include_str!("../../data/locker/locker.toml");

fn plan(place: &Place, text: &str, out: &str) -> Value {
    place.write("locker.toml", text);
    place
        .run(&["lay", "locker.toml", "--out", out, "--effort", "quick"])
        .with_status(0);
    serde_json::from_str(&place.read(&format!("{out}/plan.json"))).unwrap()
}

/// The example with fewer fat quarters, portholes and pennants: soon done.
fn small(quarters: usize, portholes: usize, pennants: usize) -> String {
    let mut text = LOCKER.to_owned();
    for (from, count) in [
        ("count = 9", format!("count = {quarters}")),
        ("copies = 12", format!("copies = {portholes}")),
        ("copies = 9", format!("copies = {pennants}")),
    ] {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, &count, 1);
    }
    text
}

#[test]
fn the_locker_is_laid_piece_by_piece() {
    let place = Place::new();
    place.write("locker.toml", LOCKER);
    let ran = place
        .run(&["lay", "locker.toml", "--out", "a", "--effort", "quick"])
        .with_status(0);
    assert!(
        ran.out.contains("none of it has to be bought"),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("not needed"), "{}", ran.out);
    let names = place.names_in("a");
    for name in [
        "map-ticking-stained-remnant.png",
        "map-ticking-cut-off.svg",
        "map-bronze.png",
    ] {
        assert!(
            names.iter().any(|n| n == name),
            "{name} is not among {names:?}"
        );
    }
    let map = place.read("a/map-ticking-stained-remnant.svg");
    assert!(map.contains("not usable") && map.contains("left edge"));
    assert!(!map.contains("selvage</text>"));
    place.run(&["check", "a/plan.json"]).with_status(0);
    // The booklet and the list know the pieces of fabric by name.
    assert!(place.read("a/booklet.html").contains("ticking, cut-off"));
    assert!(
        place
            .read("a/cut-list.csv")
            .contains("\"ticking, stained remnant\"")
    );
}

/// What does not fit is named, with ways out that were tried.
#[test]
fn too_little_fabric_says_what_is_lacking() {
    let place = Place::new();
    let plan = plan(&place, &small(1, 6, 3), "a");
    let words = plan["warnings"][0].as_str().unwrap();
    for part in [
        "not fit on the `ticking` that you have",
        "buy",
        "leave out",
        "everything else fits",
    ] {
        assert!(words.contains(part), "{words}");
    }
    let bought = plan["fabrics"].as_array().unwrap().iter();
    let bought = bought.filter(|f| f["name"] == "ticking").count();
    assert_eq!(bought, 1);
}

#[test]
fn as_many_as_the_fabric_gives() {
    let place = Place::new();
    let crowded = small(1, 1, 18);
    place.write("locker.toml", crowded);
    let ran = place
        .run(&[
            "lay",
            "locker.toml",
            "--out",
            "a",
            "--effort",
            "quick",
            "--as-many",
            "porthole",
        ])
        .with_status(1);
    assert!(ran.err.contains("not a single porthole"), "{}", ran.err);
    let few = small(1, 1, 1);
    place.write("locker.toml", &few);
    let ran = place
        .run(&[
            "lay",
            "locker.toml",
            "--out",
            "a",
            "--effort",
            "quick",
            "--as-many",
            "porthole",
        ])
        .with_status(0);
    let told = ran.err.split("gives ").nth(1).unwrap();
    let count: usize = told.split(' ').next().unwrap().parse().unwrap();
    let plan: Value = serde_json::from_str(&place.read("a/plan.json")).unwrap();
    assert_eq!(plan["motifs"][0]["copies"], count);
    assert!(count >= 2, "{count}");
    let ran = place
        .run(&["lay", "locker.toml", "--out", "b", "--as-many", "porthloe"])
        .with_status(1);
    assert!(
        ran.err.contains("its motifs are: porthole, pennant"),
        "{}",
        ran.err
    );
}

#[test]
fn two_spoilt_wedges_are_cut_again() {
    let place = Place::new();
    plan(&place, &small(3, 4, 2), "a");
    let ran = place
        .run(&[
            "recut",
            "a/plan.json",
            "--spoilt",
            "P3b,E2a",
            "--cut",
            "P1*,P2*",
            "--out",
            "b",
            "--effort",
            "quick",
        ])
        .with_status(0);
    assert!(
        ran.out.starts_with("To cut again: E2a, P3b."),
        "{}",
        ran.out
    );
    place.run(&["check", "b/plan.json"]).with_status(0);
    let plan: Value = serde_json::from_str(&place.read("b/plan.json")).unwrap();
    assert_eq!(plan["recut"]["spoilt"], serde_json::json!(["E2a", "P3b"]));
    // What is cut is on the list no more; what changed is marked.
    let list = place.read("b/cut-list.csv");
    assert!(list.lines().next().unwrap().ends_with("changed"), "{list}");
    assert!(!list.contains("\nP1a,"), "{list}");
    let row = list.lines().find(|line| line.starts_with("P3b,")).unwrap();
    assert!(row.ends_with("cut again"), "{row}");
    let maps = place
        .names_in("b")
        .into_iter()
        .filter(|n| n.starts_with("map-ticking") && n.ends_with(".svg"));
    let text: String = maps.map(|name| place.read(&format!("b/{name}"))).collect();
    assert!(text.contains("cut already") && text.contains("not usable"));
    // Codes may stand in a file, too.
    place.write("ticked.txt", "P1a, P1b\nP2*\n");
    place
        .run(&[
            "recut",
            "a/plan.json",
            "--spoilt",
            "P3b",
            "--cut",
            "@ticked.txt",
            "--out",
            "c",
            "--effort",
            "quick",
        ])
        .with_status(0);
}

/// Another scrap takes what is spoilt, or too little is left and that is said.
#[test]
fn a_rescue_with_a_scrap_and_one_without() {
    let place = Place::new();
    plan(&place, &small(3, 4, 2), "a");
    place
        .run(&[
            "recut",
            "a/plan.json",
            "--spoilt",
            "P3b",
            "--from",
            "11 in x 9 in@1/2 in",
            "--keep",
            "--out",
            "b",
            "--effort",
            "quick",
        ])
        .with_status(0);
    let ran = place
        .run(&[
            "recut",
            "a/plan.json",
            "--spoilt",
            "P*",
            "--cut",
            "E*",
            "--out",
            "c",
            "--effort",
            "quick",
        ])
        .with_status(0);
    assert!(ran.out.contains("more ("), "{}", ran.out);
    assert!(ran.out.contains("or give up"), "{}", ran.out);
    // A longer search may find what a quick one does not.
    assert!(ran.out.contains("--effort patient"), "{}", ran.out);
}

/// A repeat that measures more than the plan has it: what is cut stays, the rest is laid anew.
#[test]
fn a_fabric_is_measured_again() {
    let place = Place::new();
    plan(&place, &small(3, 4, 2), "a");
    let ran = place
        .run(&[
            "recut",
            "a/plan.json",
            "--cut",
            "P1*",
            "--repeat",
            "ticking=2 1/16 in",
            "--lean",
            "ticking=-0.3",
            "--from",
            "ticking=(0, 0) (20, 0) (18, 15) (0, 15)",
            "--out",
            "b",
        ])
        .with_status(0);
    assert!(ran.out.contains("new measurement"), "{}", ran.out);
    place.run(&["check", "b/plan.json"]).with_status(0);
    // What was cut by the older figures stays cut by them when the plan goes on again.
    let ran = place
        .run(&["recut", "b/plan.json", "--spoilt", "P2a", "--out", "c"])
        .with_status(0);
    assert!(!ran.out.contains("new measurement"), "{}", ran.out);
    assert!(!ran.out.contains("()"), "{}", ran.out);
    place.run(&["check", "c/plan.json"]).with_status(0);
    // Where all of it is cut, that is said.
    let cut = [
        "recut",
        "a/plan.json",
        "--cut",
        "*",
        "--width",
        "ticking=40 in",
        "--out",
        "d",
    ];
    let ran = place.run(&cut).with_status(1);
    assert!(ran.err.contains("is cut already"), "{}", ran.err);
    // Nothing spoilt and nothing measured is wrong usage, and all that would do is named.
    let ran = place
        .run(&["recut", "a/plan.json", "--out", "d"])
        .with_status(2);
    assert!(
        ran.err.contains("--spoilt") && ran.err.contains("--repeat"),
        "{}",
        ran.err
    );
    for (args, said) in [
        (["--lean", "ticking=nan"], "no number of degrees"),
        (["--repeat", "ticking=9 in"], "another stripe"),
        (["--repeat", "tickin=3 in"], "there is ticking"),
        (["--repeat", "3 in"], "names no fabric"),
        (["--lean", "ticking=far"], "no number of degrees"),
        (["--lean", "ticking=80"], "lean"),
        (["--from", "(0, 0) (7, 0) (0, 6) (7, 6)"], "cross"),
        (["--from", "(0, 0) (7, 0)"], "corners"),
        (["--from", "(0, 0) 7, 0) (3, 3)"], "no corners"),
    ] {
        let mut line = vec!["recut", "a/plan.json", "--spoilt", "P1a", "--out", "d"];
        line.extend(args);
        let ran = place.run(&line).with_status(1);
        assert!(ran.err.contains(said), "{args:?}: {}", ran.err);
    }
}

#[test]
fn what_makes_no_sense_is_told() {
    let place = Place::new();
    plan(&place, &small(3, 4, 2), "a");
    let cases: [(&[&str], &str); 7] = [
        (&["a/plan.json", "--spoilt", "P99z"], "did you mean P"),
        (
            &["a/plan.json", "--spoilt", "P1a", "--cut", "P*"],
            "P1a is given as cut and as spoilt",
        ),
        (
            &["locker.toml", "--spoilt", "P1a"],
            "is a project file, not a plan",
        ),
        (
            &["a/plan.json", "--spoilt", "P1a", "--from", "seven"],
            "this needs a width and a length",
        ),
        (
            &["a/plan.json", "--spoilt", "P1a", "--from", "1 mm x 5 in"],
            "no piece of fabric has that size",
        ),
        (
            &[
                "a/plan.json",
                "--spoilt",
                "P1a",
                "--from",
                "deck=5 in x 5 in",
            ],
            "no fabric of the spoilt pieces is called `deck`",
        ),
        (
            &["a/plan.json", "--spoilt", "P1a", "--cut", "@none.txt"],
            "none.txt",
        ),
    ];
    for (args, told) in cases {
        let mut all = vec!["recut"];
        all.extend(args);
        all.extend(["--out", "b"]);
        let ran = place.run(&all).with_status(1);
        assert!(ran.err.contains(told), "{args:?}: {}", ran.err);
    }
    let faults = [
        ("count = 9", "count = 500", "60"),
        ("start = \"1 in\"", "start = \"9 in\"", "repeats every 2 in"),
        (
            "[[\"9 in\", \"4 in\"], [\"12 1/2 in\", \"6 in\"]]",
            "[[\"90 in\", \"4 in\"], [\"95 in\", \"6 in\"]]",
            "hole or stain lies outside",
        ),
        (
            "[\"12 1/2 in\", \"6 in\"]",
            "[\"9 in\", \"6 in\"]",
            "side by side",
        ),
        (
            "[\"24 in\", \"7 in\"], [\"13 in\", \"15 in\"]",
            "[\"13 in\", \"15 in\"], [\"24 in\", \"7 in\"]",
            "crosses itself",
        ),
        (
            "have = \"fat quarter\"",
            "have = \"thin quarter\"",
            "thin quarter",
        ),
        (
            "have = \"fat quarter\"",
            "have = \"fat quarter\"\nlength = \"2 in\"",
            "measured in two ways",
        ),
        (
            "length = \"10 1/2 in\"",
            "length = \"10 1/2 in\"\nsquaring = \"11 in\"",
            "leaves nothing of it",
        ),
    ];
    for (from, to, told) in faults {
        let text = LOCKER.replacen(from, to, 1);
        assert_ne!(text, LOCKER, "{from}");
        place.write("bad.toml", &text);
        let ran = place.run(&["lay", "bad.toml", "--out", "x"]).with_status(1);
        assert!(ran.err.contains(told), "{to}: {}", ran.err);
    }
}
