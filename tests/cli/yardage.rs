//! How much a pattern asks for, whatever the stripe.

use crate::place::Place;

/// Six discs of 4 in, cut 4 3/8 in with the default turn-under.
const DISCS: &str = r##"
unit = "in"
[fabric.tick]
width = 20
[fabric.tick.stripe]
bands = [
  { name = "ink", width = 1, colour = "#203040" },
  { name = "sail", width = 2, colour = "#f0f0e0" },
]
[motif.buoy]
copies = 6
[[motif.buoy.part]]
name = "cap"
fabric = "tick"
shape = "disc"
rim = 2
"##;

#[test]
fn a_sentence_for_every_stripe() {
    let place = Place::new();
    place.write("a.toml", DISCS);
    let args = [
        "compare",
        "a.toml",
        "--repeat",
        "tick=3in..4in",
        "--copies",
        "alike",
        "--may-rotate",
        "no",
        "--out",
        "y",
    ];
    let ran = place.run(&args).with_status(0);
    let sentence = "Striped fabric, at least 20 in wide, with a repeat from ";
    assert!(ran.out.contains(sentence), "{}", ran.out);
    let laid = "Laid for it: 2 repeats that you asked for and 1 repeat between them";
    assert!(ran.out.contains(laid), "{}", ran.out);
    let shown: serde_json::Value = serde_json::from_str(&place.read("y/yardage.json")).unwrap();
    let rows = shown["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 3, "{shown}");
    // A disc with its gap is 4 7/16 in: on 20 in a line is lost above (20 1/16 - 4 7/16) / 4 in.
    let between = rows.iter().find(|row| row["between"] == true).unwrap();
    let lost = (20.0 + 1.0 / 16.0 - 4.0 - 7.0 / 16.0) / 4.0 * 25.4;
    let at = between["repeat"].as_f64().unwrap();
    assert!((at - lost).abs() < 0.1, "{at} {lost}");
    for row in rows {
        let (length, buy) = (
            row["length"].as_f64().unwrap(),
            row["buy"].as_f64().unwrap(),
        );
        // Two rows of discs at least; 2 in to square up, by the eighth of a yard.
        assert!(length > 4.375 * 25.4, "{row}");
        let steps = ((length / 25.4 + 2.0) / 4.5 - 1e-9).ceil();
        assert!((buy / 25.4 - 4.5 * steps).abs() < 1e-6, "{row}");
        assert!(
            row["bound_length"].as_f64().unwrap() <= length + 1e-6,
            "{row}"
        );
    }
    assert_eq!(place.read("y/yardage.csv").lines().count(), 1 + 3);
    // A row of the table, laid by itself and checked.
    let args = [
        "lay",
        "a.toml",
        "--repeat",
        "tick=4in",
        "--may-rotate",
        "no",
        "--effort",
        "quick",
        "--out",
        "p",
        "--json",
    ];
    let ran = place.run(&args).with_status(0);
    let laid: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let row = rows
        .iter()
        .find(|row| row["repeat"].as_f64() == Some(101.6));
    let told = row.unwrap()["buy"].as_f64().unwrap();
    let alone = laid["fabrics"][0]["buy_length"].as_f64().unwrap();
    assert!(alone <= told + 1e-6, "{told} {alone}");
    place.run(&["check", "p/plan.json"]).with_status(0);
}

#[test]
fn what_cannot_be_asked_is_said() {
    let place = Place::new();
    place.write("a.toml", DISCS);
    for (args, words) in [
        (vec!["--repeat", "tick"], "names no fabric"),
        (vec!["--repeat", "tack=1..2"], "no fabric \"tack\""),
        (vec!["--repeat", "tick=2..1"], "no range of repeats"),
        (
            vec!["--repeat", "tick=1..2", "--width", "tick=20in@3"],
            "not prices",
        ),
        (
            vec!["--repeat", "tick=1..2", "--size", "wall"],
            "no size `wall`",
        ),
        (vec!["--repeat", "tick=30in"], "its repeat is 30 in"),
    ] {
        let args: Vec<&str> = ["compare", "a.toml"].into_iter().chain(args).collect();
        let ran = place.run(&args).with_status(1);
        assert!(ran.err.contains(words), "{args:?}: {}", ran.err);
    }
}
