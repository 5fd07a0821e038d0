//! The example pictures of `data/swatch`: the deck's stripe as a scanner sees it, and as a
//! telephone does.

use crate::Rng;
use crate::fabric::Swatch;
use stripe_core::colour::Colour;
use stripe_core::swatch::{Options, Scale, read};

/// The bands of `deck` in `data/harbour/harbour.toml`: inches, colour.
const DECK: [(f64, &str); 4] = [
    (1.5, "#1f3a5f"),
    (0.5, "#f2ead8"),
    (0.5, "#c8453b"),
    (0.5, "#f2ead8"),
];

/// The scan: 100 pixels to the inch, hardly a lean.
fn scan() -> (Swatch, Vec<u8>) {
    let swatch = Swatch {
        degrees: 0.6,
        noise: 1.0,
        weave: 0.06,
        thread: 3.3,
        ..Swatch::plain(1000, 640, bands(100.0))
    };
    let file = swatch.jpeg(&mut Rng::new(21), 80, 100);
    (swatch, file)
}

/// The photograph: 12 in of fabric from left to right, 3.4 degrees of lean, uneven light, noise,
/// and no resolution that anybody measured.
fn photo() -> (Swatch, Vec<u8>) {
    let swatch = Swatch {
        degrees: -3.4,
        noise: 3.0,
        weave: 0.12,
        thread: 4.1,
        shade: 0.45,
        bow: 3.0,
        ..Swatch::plain(960, 700, bands(80.0))
    };
    let file = swatch.jpeg(&mut Rng::new(22), 70, 72);
    (swatch, file)
}

fn bands(per_inch: f64) -> Vec<(f64, Colour)> {
    DECK.map(|(width, colour)| (width * per_inch, colour.parse().unwrap()))
        .into()
}

fn folder() -> std::path::PathBuf {
    std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../data/swatch")
}

#[test]
#[ignore = "writes the pictures of data/swatch anew"]
fn draw_the_examples() {
    std::fs::create_dir_all(folder()).unwrap();
    for (name, file) in [("scan.jpg", scan().1), ("photo.jpg", photo().1)] {
        std::fs::write(folder().join(name), &file).unwrap();
        println!("{name}: {} bytes", file.len());
    }
}

#[test]
fn the_examples_are_read() {
    for (name, swatch, scale, per_inch) in [
        ("scan.jpg", scan().0, Scale::File, 100.0),
        ("photo.jpg", photo().0, Scale::Shows(12.0 * 25.4), 80.0),
    ] {
        let file = std::fs::read(folder().join(name)).unwrap();
        assert!(file.len() < 200_000, "{name}");
        let reading = read(&file, &Options { scale, crop: None }).unwrap();
        let off = crate::truth::miss(&reading, &swatch, 25.4 / per_inch).unwrap();
        assert!(
            off.lean < 0.1 && off.repeat < 0.003 && off.width < 1.0 && off.colour < 2.0,
            "{name}: {off:?}"
        );
        assert!(reading.has_mirror, "{name}");
    }
}
