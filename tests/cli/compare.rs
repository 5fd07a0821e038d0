//! Choices side by side.

use crate::place::{HARBOUR, Place};

#[test]
fn widths_are_compared_in_one_command() {
    let place = Place::new();
    place.write("a.toml", HARBOUR);
    let ran = place
        .run(&[
            "compare",
            "a.toml",
            "--width",
            "deck=42in,54in",
            "--may-rotate",
            "yes,no",
            "--seconds",
            "4",
            "--out",
            "w",
        ])
        .with_status(0);
    let rows = ran
        .out
        .lines()
        .filter(|line| line.starts_with("deck "))
        .count();
    assert_eq!(rows, 4, "{}", ran.out);
    assert!(ran.out.contains("Cheapest: "), "{}", ran.out);
    let list = place.read("w/compare.csv");
    // Four fabrics of motifs, six that are only cut straight, and the batting.
    assert_eq!(list.lines().count(), 1 + 4 * (4 + 6 + 1));
    let rows: serde_json::Value = serde_json::from_str(&place.read("w/compare.json")).unwrap();
    assert_eq!(rows[0]["fabrics"][0]["width"], 42.0 * 25.4);
    // The price is the whole quilt's: what all lines of the list come to.
    assert!(ran.out.contains("whole quilt"), "{}", ran.out);
    let shopping = rows[0]["shopping"].as_array().unwrap();
    let sum: f64 = shopping.iter().map(|l| l["price"].as_f64().unwrap()).sum();
    assert!((rows[0]["price"].as_f64().unwrap() - sum).abs() < 5e-3);
    assert!(place.read("w/compare.svg").starts_with("<svg"));
    assert!(place.path("w/compare.png").exists());
    assert_eq!(place.names(), ["a.toml", "w"]);
}

#[test]
fn a_choice_that_cannot_be_is_told_in_its_row() {
    let place = Place::new();
    place.write("a.toml", HARBOUR);
    let args = [
        "compare",
        "a.toml",
        "--width",
        "deck=2in,42in",
        "--seconds",
        "2",
        "--json",
    ];
    let ran = place.run(&args).with_status(0);
    let rows: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert!(
        rows[0]["fault"].as_str().unwrap().contains("repeat"),
        "{}",
        ran.out
    );
    assert!(rows[1]["fault"].is_null(), "{}", ran.out);
}

#[test]
fn choices_that_make_no_sense() {
    let place = Place::new();
    place.write("a.toml", HARBOUR);
    for (option, value, said) in [
        ("--width", "42in", "names no fabric"),
        ("--width", "dock=42in", "no fabric \"dock\""),
        ("--width", "deck=42 furlongs", "not a unit"),
        ("--stripe-tolerance", "0,x", "does not begin with a number"),
    ] {
        let ran = place
            .run(&["compare", "a.toml", option, value])
            .with_status(1);
        assert!(ran.err.contains(said), "{value}: {}", ran.err);
    }
    let many = format!("deck={}", vec!["42in"; 300].join(","));
    let ran = place
        .run(&["compare", "a.toml", "--width", &many])
        .with_status(1);
    assert!(ran.err.contains("at most 200"), "{}", ran.err);
    place
        .run(&["compare", "a.toml", "--copies", "odd"])
        .with_status(2);
}

/// A wider fabric at another price, inches for an inch project, and the winner's command,
/// which then plans just that.
#[test]
fn the_winner_can_be_planned_at_once() {
    let place = Place::new();
    place.write("a project.toml", HARBOUR);
    let args = [
        "compare",
        "a project.toml",
        "--width",
        "deck=42in,54 in@1",
        "--width",
    ];
    let more = [
        "awning=44in",
        "--stripe-tolerance",
        "0,1/32in",
        "--seconds",
        "1",
        "--threads=1",
    ];
    let out = ["--json", "--out", "w"];
    let ran = place
        .run(&[&args[..], &more[..], &out[..]].concat())
        .with_status(0);
    let rows: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let rows = rows.as_array().unwrap();
    assert_eq!(rows.len(), 4);
    for row in rows {
        let name = row["choice"].as_str().unwrap();
        assert!(!name.contains("mm"), "{name}");
        assert!(row["price"].as_f64().unwrap() > 0.0);
    }
    assert_eq!(
        rows[1]["choice"],
        "deck 42 in, awning 44 in, stripes within 1/32 in"
    );
    // At a twentieth of the price the wide one costs less, however long it is.
    let price = |row: &serde_json::Value| row["price"].as_f64().unwrap();
    assert!(
        price(&rows[2]) < price(&rows[0]),
        "{} {}",
        rows[2]["choice"],
        rows[0]["choice"]
    );
    let deck = |row: &serde_json::Value| {
        let lines = row["shopping"].as_array().unwrap();
        lines.iter().find(|l| l["name"] == "deck").unwrap().clone()
    };
    // A dollar a yard: the price is the yards that are bought.
    let line = deck(&rows[2]);
    let yards = line["buy"].as_f64().unwrap() / 914.4;
    assert!(
        (line["price"].as_f64().unwrap() - yards).abs() < 0.006,
        "{line}"
    );
    // Labels hold what differs, whole.
    let chart = place.read("w/compare.svg");
    for label in [
        "deck 42 in, stripes matched exactly",
        "deck 54 in at $1.00, stripes within 1/32 in",
    ] {
        assert!(chart.contains(label), "{label}");
    }
    assert!(!chart.contains("awning 44 in"));

    let told = place
        .run(
            &[
                &args[..2],
                &["--width", "deck=42in,54 in@1", "--seconds", "2"],
            ]
            .concat(),
        )
        .with_status(0)
        .out;
    let last = told.lines().last().unwrap();
    let wanted =
        "To plan it: stripelay lay \"a project.toml\" --width \"deck=54 in@1\" --out FOLDER";
    assert_eq!(last, wanted, "{told}");
    // Each fabric by itself: its length and what to buy.
    let row = told
        .lines()
        .find(|line| line.starts_with("deck 42 in"))
        .unwrap();
    assert_eq!(row.matches(", buy ").count(), 4, "{told}");
    let lay = [
        "lay",
        "a project.toml",
        "--width",
        "deck=54 in@1",
        "--out",
        "out",
    ];
    let brief = ["--effort", "quick", "--seconds", "1", "--json"];
    let ran = place.run(&[&lay[..], &brief[..]].concat()).with_status(0);
    let summary: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(summary["fabrics"][0]["width"], 54.0 * 25.4);
    place.run(&["check", "out/plan.json"]).with_status(0);
}

#[test]
fn lay_takes_one_choice() {
    let place = Place::new();
    place.write("a.toml", HARBOUR);
    let lay = |more: &[&str]| place.run(&[&["lay", "a.toml", "--out", "out"], more].concat());
    let many = lay(&["--width", "deck=42in,54in"]).with_status(1);
    assert!(
        many.err.contains("`lay` plans one choice, and here are 2"),
        "{}",
        many.err
    );
    let odd = lay(&["--width", "deck=42in@cheap"]).with_status(1);
    assert!(odd.err.contains("\"cheap\" is not a price"), "{}", odd.err);
    let narrow = lay(&["--width", "deck=2in"]).with_status(1);
    assert!(
        narrow
            .err
            .contains("it is 2 in wide, and its repeat is 3 in"),
        "{}",
        narrow.err
    );
    lay(&["--may-rotate", "yes,no"]).with_status(2);
    assert_eq!(place.names(), ["a.toml"]);
}

/// A job that mixes pieces of fixed offset with motifs that each have their own: what is too
/// wide is told with a width that all of its pieces fit, not the first one alone.
#[test]
fn a_piece_too_wide_beside_free_offsets() {
    let place = Place::new();
    place.write("a.toml", MIXED);
    let ask = |widths: &str| {
        let width = format!("deck={widths}");
        let args = [
            "compare", "a.toml", "--width", &width, "--copies", "own", "--json",
        ];
        let ran = place.run(&[&args[..], &["--seconds", "2"]].concat());
        assert!(
            [0, 1].contains(&ran.status) && !ran.err.contains("panicked"),
            "{}",
            ran.err
        );
        let rows: Vec<serde_json::Value> = serde_json::from_str(&ran.out).unwrap();
        rows.iter()
            .map(|row| row["fault"].as_str().map(str::to_owned))
            .collect::<Vec<_>>()
    };
    let faults = ask("100mm,115mm,140mm,155mm,160mm,174mm,175mm,400mm");
    for fault in &faults[..6] {
        let fault = fault.as_ref().expect("too narrow");
        assert!(fault.contains("does not fit on fabric `deck`"), "{fault}");
        // The widest need of all four quarters.
        assert!(
            fault.contains("a usable width of 175 mm would do"),
            "{fault}"
        );
    }
    assert_eq!(faults[6..], [None, None], "what would do does");
}

const MIXED: &str = r##"
unit = "mm"
[fabric.deck]
width = 400
[fabric.deck.stripe]
bands = [
  { name = "navy", width = 60, colour = "#1f3a5f" },
  { name = "sail", width = 31, colour = "#f2ead8" },
]
[motif.wheel]
copies = 3
[[motif.wheel.part]]
name = "outer"
fabric = "deck"
shape = "fan"
wedges = 4
hub = 8
rim = 110
offset = 0
[[motif.wheel.part]]
name = "inner"
fabric = "deck"
shape = "disc"
rim = 40
offset = "free"
copies_look = "own"
[motif.bar]
copies = 2
[[motif.bar.part]]
name = "bar"
fabric = "deck"
shape = "outline"
points = [[0, 0], [150, 0], [150, 30], [0, 30]]
offset = "free"
copies_look = "own"
"##;
