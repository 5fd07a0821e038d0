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
        ("--width", "deck=42 furlongs", "no unit"),
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
