//! Fabric shown by its picture: every drawing must show the very colours that the bands give.
//!
//! The pictures are flat colours here, so a drawing with them and one with bands are the same
//! picture but for the pixels along borders. Where bands lie is held against the fabric itself
//! in `tests/picture.rs`, which renders it by code of its own.

use crate::demo;
use image::codecs::png::PngEncoder;
use image::{ExtendedColorType, ImageEncoder, RgbImage};
use stripe_core::draw::{Paper, Scene, map, motif_pictures, pdf, png, quilt, svg};
use stripe_core::fabric::{Picture, Stripe};
use stripe_core::plan::{PictureNote, Plan};

/// One repeat of flat bands, `by` of a repeat further on.
fn tile(stripe: &Stripe, by: f64) -> Picture {
    let (width, height) = (360_u32, 120_u32);
    let mut pixels = vec![];
    for _ in 0..height {
        for x in 0..width {
            let turn = (f64::from(x) + 0.5) / f64::from(width) + by;
            let mut rest = turn.rem_euclid(1.0) * stripe.repeat_mm();
            let band = stripe.bands().iter().find(|band| {
                rest -= band.width_mm;
                rest < 0.0
            });
            let colour = band.unwrap_or(&stripe.bands()[0]).colour;
            pixels.extend([colour.red, colour.green, colour.blue]);
        }
    }
    let mut file = vec![];
    let png = PngEncoder::new(&mut file);
    png.write_image(&pixels, width, height, ExtendedColorType::Rgb8)
        .unwrap();
    Picture::try_new(file).unwrap()
}

fn with_pictures(plan: &Plan, by: f64) -> Plan {
    let striped = plan.fabrics.iter();
    let pictures = striped.filter_map(|fabric| {
        Some(PictureNote {
            fabric: fabric.fabric().to_owned(),
            picture: tile(fabric.stripe.as_ref()?, by),
        })
    });
    Plan {
        pictures: pictures.collect(),
        ..plan.clone()
    }
}

fn pixels(scene: &Scene) -> RgbImage {
    let file = png(&svg(scene), 100.0).unwrap();
    image::load_from_memory(&file).unwrap().to_rgb8()
}

/// The share of pixels that differ by more than noise.
fn unlike(a: &RgbImage, b: &RgbImage) -> f64 {
    assert_eq!(a.dimensions(), b.dimensions());
    let pairs = a.pixels().zip(b.pixels());
    let far = pairs.filter(|(a, b)| {
        let apart = (0..3).map(|i| a.0[i].abs_diff(b.0[i]));
        apart.max().unwrap() > 40
    });
    far.count() as f64 / f64::from(a.width() * a.height())
}

fn scenes(plan: &Plan) -> Vec<(String, Scene)> {
    let striped = plan.fabrics.iter().filter(|f| f.stripe.is_some());
    let maps = striped.map(|f| {
        let sheets = map(plan, &f.name, Paper::Letter).unwrap();
        (format!("map {}", f.name), sheets[0].clone())
    });
    let motifs = motif_pictures(plan).unwrap().into_iter();
    let motifs = motifs.map(|one| (format!("motif {}", one.scene.title), one.scene));
    let top = ("quilt".to_owned(), quilt(plan).unwrap());
    maps.chain(motifs).chain([top]).collect()
}

#[test]
fn pictures_show_what_bands_show() {
    let plan = demo::plan();
    let bands = scenes(plan);
    let shown = scenes(&with_pictures(plan, 0.0));
    let moved = scenes(&with_pictures(plan, 0.25));
    assert!(bands.len() >= 5);
    let mut pictured = 0;
    for ((flat, same), off) in bands.iter().zip(&shown).zip(&moved) {
        if flat.1 == same.1 {
            continue;
        }
        pictured += 1;
        let flat_px = pixels(&flat.1);
        let (close, far) = (
            unlike(&flat_px, &pixels(&same.1)),
            unlike(&flat_px, &pixels(&off.1)),
        );
        println!(
            "{}: {close:.4} differ, {far:.4} a quarter of a repeat further",
            flat.0
        );
        // What is a pixel wide along borders, and nothing else.
        assert!(
            close < 0.02 && close < far / 6.0,
            "{}: {close} {far}",
            flat.0
        );
        let name = format!("woven-{}.png", flat.0.replace(' ', "-"));
        demo::look(&name, &png(&svg(&same.1), 100.0).unwrap());
    }
    assert!(pictured >= 5, "{pictured}");
}

/// The pages of a PDF carry the pictures as images (ISO 32000-1, 8.9.5).
#[test]
fn a_pdf_carries_the_pictures() {
    let plan = with_pictures(demo::plan(), 0.0);
    let sheets = map(&plan, "deck", Paper::Letter).unwrap();
    let file = pdf(&sheets[..1], "a map").unwrap();
    let has = |word: &[u8]| file.windows(word.len()).any(|part| part == word);
    assert!(has(b"/Subtype /Image") || has(b"/Subtype/Image"));
    assert!(has(b"/DCTDecode"));
}
