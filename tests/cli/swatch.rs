//! Reading a stripe from a picture, and writing it into a project.

use crate::place::{HARBOUR, Place};

const PHOTO: &[u8] = include_bytes!("../../data/swatch/photo.jpg");
const SCAN: &[u8] = include_bytes!("../../data/swatch/scan.jpg");

fn place() -> Place {
    let place = Place::new();
    place.write("photo.jpg", PHOTO);
    place.write("scan.jpg", SCAN);
    place.write("a.toml", HARBOUR);
    place
}

#[test]
fn a_scan_says_what_was_found_and_a_project_takes_it() {
    let place = place();
    let ran = place.run(&["swatch", "scan.jpg"]).with_status(0);
    for said in [
        "up and down",
        "One repeat is 3 in",
        "4 bands",
        "reads the same from left and from right",
    ] {
        assert!(ran.out.contains(said), "{}", ran.out);
    }
    // What is printed can be copied into a file as it is.
    let bands = ran.out.split_once("For the project file:").unwrap().1;
    let bands = bands.replace("NAME", "mine");
    let rest = "[motif.tide]\ncopies = 1\n[[motif.tide.part]]\nfabric = \"mine\"\nshape = \"disc\"\nrim = 4\n";
    let project = format!("title = \"A\"\n{bands}\n{rest}");
    let read = stripe_core::project::Project::read(&project).unwrap();
    let stripe = read.fabrics[0].stripe().unwrap();
    assert!((stripe.repeat_mm() / 76.2 - 1.0).abs() < 0.003);
    assert!(stripe.is_balanced());
}

#[test]
fn a_photograph_needs_a_scale() {
    let place = place();
    let ran = place.run(&["swatch", "photo.jpg"]).with_status(1);
    assert!(
        ran.err.contains("--shows") && ran.err.contains("--points"),
        "{}",
        ran.err
    );
    let args = ["swatch", "photo.jpg", "--shows", "12in", "--out", "seen"];
    place.run(&args).with_status(0);
    assert_eq!(place.names_in("seen"), ["repeat.jpg", "swatch.png"]);
    // A picture that is there is not written over.
    place.run(&args).with_status(1);
    place
        .run(&[&args[..], &["--force"]].concat())
        .with_status(0);
}

#[test]
fn bands_are_written_into_the_project_and_nothing_else_is_changed() {
    let place = place();
    let args = [
        "swatch",
        "photo.jpg",
        "--shows",
        "12in",
        "--into",
        "a.toml",
        "--fabric",
        "deck",
    ];
    let ran = place.run(&args).with_status(0);
    // What went is told.
    assert!(
        ran.out.contains("They were: navy 1 1/2 in #1f3a5f"),
        "{}",
        ran.out
    );
    let text = place.read("a.toml");
    assert_ne!(text, HARBOUR);
    assert!(text.contains("\npicture = \"deck-repeat.jpg\"\n"), "{text}");
    // Every line but the bands of the deck is as it was, comments too.
    let new: Vec<&str> = text.lines().collect();
    let lost = HARBOUR.lines().filter(|line| !new.contains(line));
    assert!(lost.clone().count() == 4 && lost.clone().all(|l| l.contains("name = ")));
    // The names that motifs ask for stay.
    for name in ["navy", "sail", "buoy"] {
        assert!(
            text.contains(&format!("name = \"{name}\", width = \"")),
            "{text}"
        );
    }
    assert_eq!(
        place.names(),
        ["a.toml", "deck-repeat.jpg", "photo.jpg", "scan.jpg"]
    );
    let picture = std::fs::read(place.path("deck-repeat.jpg")).unwrap();
    let project =
        stripe_core::project::Project::read_with(&text, &|_| Ok(picture.clone())).unwrap();
    let deck = project.fabrics.iter().find(|f| f.name == "deck").unwrap();
    assert!((deck.stripe().unwrap().repeat_mm() / 76.2 - 1.0).abs() < 0.003);
    assert!(deck.picture.is_some());
    // Once more: the picture that the project names is its own.
    place.run(&args).with_status(0);
    // Two fabrics are striped: which is meant must be said.
    let ran = place.run(&args[..6]).with_status(1);
    assert!(ran.err.contains("2 striped fabrics"), "{}", ran.err);
    // A file of that name that is somebody else's stays.
    place.write("a.toml", HARBOUR);
    let ran = place.run(&args).with_status(1);
    assert!(ran.err.contains("deck-repeat.jpg is beside"), "{}", ran.err);
    assert_eq!(place.read("a.toml"), HARBOUR);
}

/// Each way for a picture to be wrong has a fault at its line.
#[test]
fn wrong_pictures_are_told_with_their_line() {
    let place = place();
    let text = HARBOUR.replacen(
        "[fabric.deck.stripe]",
        "picture = \"x.jpg\"\n[fabric.deck.stripe]",
        1,
    );
    place.write("a.toml", &text);
    let line = text
        .lines()
        .position(|line| line.starts_with("picture"))
        .unwrap()
        + 1;
    let said = |words: &str| {
        let ran = place.run(&["lay", "a.toml", "--out", "o"]).with_status(1);
        assert!(ran.err.contains(words), "{words}: {}", ran.err);
        assert!(
            ran.err.contains(&format!("Line {line} of a.toml")),
            "{}",
            ran.err
        );
    };
    said("cannot be had");
    place.write("x.jpg", "no picture");
    said("neither a PNG nor a JPEG");
    place.write("x.jpg", &SCAN[..SCAN.len() / 2]);
    said("ends early");
    place.write("x.jpg", SCAN);
    said("shows 3 repeats");
    place.write("x.jpg", vec![0; (1 << 20) + 1]);
    said("larger than 1 MB");
}

#[test]
fn a_project_that_cannot_take_the_bands_stays_as_it_is() {
    let place = place();
    let into = |fabric: &'static str| {
        [
            "swatch",
            "photo.jpg",
            "--shows",
            "12in",
            "--into",
            "a.toml",
            "--fabric",
            fabric,
        ]
    };
    let ran = place.run(&into("dock")).with_status(1);
    assert!(
        ran.err.contains("no fabric `dock`") && ran.err.contains("deck"),
        "{}",
        ran.err
    );
    let stretched = HARBOUR.replacen("# measured =", "measured =", 1);
    place.write("a.toml", &stretched);
    let ran = place.run(&into("deck")).with_status(1);
    assert!(ran.err.contains("measured"), "{}", ran.err);
    assert_eq!(place.read("a.toml"), stretched);
}

#[test]
fn wrong_numbers_say_what_is_expected() {
    let place = place();
    for (args, said) in [
        (["--shows", "wide"], "`--shows wide`"),
        (["--shows", "0in"], "no length"),
        (["--crop", "1,2,3"], "four numbers"),
        (["--crop", "0,0,9000,10"], "beyond the picture"),
    ] {
        let all = ["swatch", "scan.jpg", args[0], args[1]];
        let ran = place.run(&all).with_status(1);
        assert!(ran.err.contains(said), "{}", ran.err);
    }
    place
        .run(&["swatch", "scan.jpg", "--points", "0,0,9,9"])
        .with_status(2);
    let ran = place.run(&["swatch", "a.toml"]).with_status(1);
    assert!(ran.err.contains("not a picture"), "{}", ran.err);
}

/// A project whose motif is drawn is read with its drawing; bands of quite other colours are told,
/// with those that stood there.
#[test]
fn bands_go_into_a_project_with_a_drawing() {
    let place = place();
    place.write("dahlia.svg", include_str!("../../data/dahlia/dahlia.svg"));
    place.write("dahlia.toml", include_str!("../../data/dahlia/dahlia.toml"));
    let ran = place
        .run(&[
            "swatch",
            "photo.jpg",
            "--shows",
            "12in",
            "--into",
            "dahlia.toml",
            "--fabric",
            "sunset",
        ])
        .with_status(0);
    assert!(ran.out.contains("hardly the colours"), "{}", ran.out);
    assert!(ran.out.contains("plum 3/4 in #6b2d4f"), "{}", ran.out);
}
