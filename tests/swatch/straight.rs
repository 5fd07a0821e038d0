//! The straightened repeat: its columns against the stripe that was drawn.

use crate::Rng;
use crate::fabric::{Swatch, jpeg};
use stripe_core::colour::Colour;
use stripe_core::fabric::Picture;
use stripe_core::swatch::{Options, Scale, read, straightened};

fn bands() -> Vec<(f64, Colour)> {
    let bands = [
        (62.0, "#1f3a5f"),
        (20.0, "#f2ead8"),
        (38.0, "#c8453b"),
        (17.0, "#dd9f3d"),
    ];
    bands
        .map(|(width, colour)| (width, colour.parse().unwrap()))
        .into()
}

/// However the stripes lie, whatever the light: the first band begins at the left, each column
/// has its band's colour, and light does not differ from top to bottom.
#[test]
fn one_repeat_lies_straight_in_even_light() {
    for (degrees, bow, shade) in [
        (0.0, 0.0, 0.0),
        (4.2, 5.0, 0.5),
        (-3.1, 0.0, 0.3),
        (88.0, 4.0, 0.4),
    ] {
        let swatch = Swatch {
            degrees,
            bow,
            shade,
            noise: 3.0,
            weave: 0.08,
            ..Swatch::plain(900, 760, bands())
        };
        let pixels = swatch.pixels(&mut Rng::new(5));
        let file = jpeg(&pixels, 900, 760, 85, 100);
        let options = Options {
            scale: Scale::File,
            crop: None,
        };
        let reading = read(&file, &options).unwrap();
        let straight = straightened(&file, &reading).unwrap();
        assert!(straight.len() < 120_000, "{}", straight.len());
        let picture = Picture::try_new(straight).unwrap();
        assert_eq!(picture.compare(&reading.to_bands()), Ok(()), "{degrees}");
        let shown = picture.pixels().unwrap();
        let (width, height) = shown.dimensions();
        let repeat = swatch.repeat();
        assert!(
            (f64::from(width) - repeat).abs() < 2.0 && height >= 100,
            "{width} x {height}"
        );
        // The drawn stripe from its widest band on, which is where a reading begins.
        let mut at = 0.0;
        for (band, colour) in bands() {
            let from = (at / repeat * f64::from(width)) as u32 + 4;
            at += band;
            let to = (at / repeat * f64::from(width)) as u32 - 4;
            let lab = |rows: std::ops::Range<u32>| {
                let mut sum = [0.0; 3];
                let count = f64::from((to - from) * rows.len() as u32);
                for y in rows {
                    for x in from..to {
                        let p = shown.get_pixel(x, y).0;
                        let light = Colour::new(p[0], p[1], p[2]).to_light();
                        for (s, l) in sum.iter_mut().zip(light) {
                            *s += l / count;
                        }
                    }
                }
                Colour::from_light(sum)
            };
            let (top, low) = (lab(0..height / 3), lab(height * 2 / 3..height));
            for seen in [top, low] {
                // Weave and light darken what is drawn a little.
                let off = seen.difference(colour);
                assert!(off < 7.0, "{degrees}: {seen} for {colour}, {off}");
            }
            assert!(top.difference(low) < 2.5, "{degrees}: {top} {low}");
        }
    }
}
