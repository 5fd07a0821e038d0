//! Fabric with a known stripe: drawn, spoilt as scanners and cameras spoil it, and read.

use crate::Rng;
use crate::fabric::{Swatch, stripe};
use crate::truth::{Miss, miss};
use stripe_core::colour::Colour;
use stripe_core::swatch::{Crop, Options, Scale, SwatchError, Warning, read, side_by_side};

/// Pixels to the inch of everything that is drawn here.
const DPI: u16 = 200;
const PIXEL_MM: f64 = 25.4 / 200.0;

fn colour(text: &str) -> Colour {
    text.parse().unwrap()
}

/// Four bands, the same from both sides, in a repeat of 130 pixels.
fn deck() -> Swatch {
    let cream = colour("#f2ead8");
    let bands = vec![
        (60.0, colour("#1f3a5f")),
        (20.0, cream),
        (30.0, colour("#b03030")),
        (20.0, cream),
    ];
    Swatch {
        degrees: 2.5,
        noise: 3.0,
        weave: 0.1,
        shade: 0.3,
        ..Swatch::plain(700, 500, bands)
    }
}

/// A swatch by chance: any stripe, up to 5 degrees of lean, noise, weave, shading and bow.
fn random(rng: &mut Rng) -> Swatch {
    let repeat = 60.0 + 160.0 * rng.fraction();
    let bands = stripe(rng, repeat, 6.0);
    let turn = if rng.once_in(3) { 90.0 } else { 0.0 };
    Swatch {
        degrees: turn - 5.0 + 10.0 * rng.fraction(),
        origin: 100.0 * rng.fraction(),
        noise: 2.0 + 4.0 * rng.fraction(),
        weave: 0.15 * rng.fraction(),
        thread: 3.0 + 3.0 * rng.fraction(),
        shade: 0.4 * rng.fraction(),
        bow: 4.0 * (rng.fraction() - 0.5),
        ..Swatch::plain(700, 500, bands)
    }
}

/// The allowances of issue and handbook alike: a tenth of a degree, 0.3 % of the repeat, a
/// band within 3 % or 0.15 mm, colours within 2 (CIEDE2000). `STRIPELAY_SWATCHES` makes more.
#[test]
fn random_stripes_are_read_within_their_allowances() {
    let asked = std::env::var("STRIPELAY_SWATCHES").ok();
    let count = asked.map_or(10, |text| text.parse().unwrap());
    let mut worst = Miss::default();
    for case in 0..count {
        let mut rng = Rng::new(case);
        let swatch = random(&mut rng);
        let file = swatch.jpeg(&mut rng, 70, DPI);
        let reading = read(&file, &Options::default())
            .unwrap_or_else(|fault| panic!("{case}: {fault}: {swatch:?}"));
        let off = miss(&reading, &swatch, PIXEL_MM)
            .unwrap_or_else(|why| panic!("{case}: {why}: {swatch:?}"));
        assert!(
            off.lean < 0.1 && off.repeat < 0.003 && off.width < 1.0 && off.colour < 2.0,
            "{case}: {off:?}: {swatch:?}"
        );
        worst.lean = worst.lean.max(off.lean);
        worst.repeat = worst.repeat.max(off.repeat);
        worst.width = worst.width.max(off.width);
        worst.colour = worst.colour.max(off.colour);
    }
    println!("{count} stripes, worst: {worst:?}");
}

#[test]
fn a_mirror_line_is_found_and_one_that_is_not_there_is_not() {
    let mut rng = Rng::new(1);
    let file = deck().jpeg(&mut rng, 80, DPI);
    let reading = read(&file, &Options::default()).unwrap();
    assert!(reading.has_mirror);
    let names: Vec<&str> = reading.bands.iter().map(|b| b.band.name.as_str()).collect();
    assert_eq!(names, ["navy", "cream", "red", "cream"]);

    let mut lopsided = deck();
    lopsided.bands[3].0 = 32.0;
    let reading = read(&lopsided.jpeg(&mut rng, 80, DPI), &Options::default()).unwrap();
    assert!(!reading.has_mirror);
    assert_eq!(reading.bands.len(), 4);
}

/// Drift and bow come out as they were drawn, each within what its error allows.
#[test]
fn drift_and_bow_are_measured() {
    let mut rng = Rng::new(2);
    let drawn = Swatch {
        drift: 0.02,
        bow: 8.0,
        degrees: 0.0,
        ..deck()
    };
    let reading = read(&drawn.jpeg(&mut rng, 80, DPI), &Options::default()).unwrap();
    let drift = reading.drift.unwrap();
    assert!((drift.value - 0.02).abs() < 0.002, "{drift:?}");
    assert!(drift.error > 0.0 && drift.error < 0.002, "{drift:?}");
    assert!(
        (reading.bow_mm.abs() - 8.0 * PIXEL_MM).abs() < 0.1,
        "{}",
        reading.bow_mm
    );
    assert!(
        reading
            .warnings
            .iter()
            .any(|w| matches!(w, Warning::Uneven(_)))
    );

    let even = read(&deck().jpeg(&mut rng, 80, DPI), &Options::default()).unwrap();
    let drift = even.drift.unwrap();
    assert!(
        drift.value.abs() < 0.002 && even.bow_mm.abs() < 0.05,
        "{even:?}"
    );
    assert_eq!(even.warnings, [Warning::NoWhite]);
}

/// Two blues that are nearly one: slopes take them for one, what lies between them does not.
#[test]
fn nearly_equal_bands_do_not_halve_the_repeat() {
    let cream = colour("#f2ead8");
    let bands = vec![
        (40.0, colour("#3060a0")),
        (15.0, cream),
        (40.0, colour("#3468a8")),
        (15.0, cream),
    ];
    let drawn = Swatch { bands, ..deck() };
    let reading = read(&drawn.jpeg(&mut Rng::new(3), 80, DPI), &Options::default()).unwrap();
    let off = miss(&reading, &drawn, PIXEL_MM).unwrap();
    assert!(
        off.repeat < 0.003 && off.width < 1.0 && off.colour < 2.0,
        "{off:?}"
    );
}

/// Lines that run together towards one side, as when the camera is held aslant.
#[test]
fn perspective_is_warned_about() {
    let drawn = Swatch {
        degrees: 0.0,
        ..deck()
    };
    let pixels = drawn.pixels(&mut Rng::new(4));
    let (w, h) = (drawn.width, drawn.height);
    let mut aslant = vec![0; pixels.len()];
    for y in 0..h {
        // The top is seen from further off.
        let wide = 1.0 + 0.06 * (y as f64 / h as f64 - 0.5);
        for x in 0..w {
            let from = ((x as f64 - w as f64 / 2.0) / wide + w as f64 / 2.0).round();
            let from = from.clamp(0.0, w as f64 - 1.0) as usize;
            let (to, from) = ((y * w + x) * 3, (y * w + from) * 3);
            aslant[to..to + 3].copy_from_slice(&pixels[from..from + 3]);
        }
    }
    let file = crate::fabric::jpeg(&aslant, w, h, 90, DPI);
    let reading = read(&file, &Options::default()).unwrap();
    let angle = reading.warnings.iter().find_map(|w| match w {
        Warning::Perspective(angle) => Some(*angle),
        _ => None,
    });
    // Edges 350 pixels from the middle move by 6 % of that over the height, on either side.
    let true_angle = 2.0 * (350.0f64 * 0.06 / 500.0).atan().to_degrees();
    assert!(
        (angle.unwrap() - true_angle).abs() < 1.0,
        "{angle:?} {true_angle}"
    );
}

/// The scale: of the file, of the fabric that is shown, of two points. All say the same.
#[test]
fn the_scale_can_be_told_in_three_ways() {
    let drawn = deck();
    let file = drawn.jpeg(&mut Rng::new(5), 80, DPI);
    let by = |scale| {
        let options = Options { scale, crop: None };
        read(&file, &options).unwrap().repeat_mm.value
    };
    let own = by(Scale::File);
    let shown = by(Scale::Shows(700.0 * PIXEL_MM));
    let points = by(Scale::Points {
        from: [100.0, 100.0],
        to: [400.0, 500.0],
        apart_mm: 500.0 * PIXEL_MM,
    });
    assert!((own - 130.0 * PIXEL_MM).abs() < 0.003 * own, "{own}");
    assert!((shown / own - 1.0).abs() < 1e-9 && (points / own - 1.0).abs() < 1e-9);

    // One that the file contradicts, or that no fabric has, is doubted; one that agrees is not.
    let doubts = |mm: f64| {
        let scale = Scale::Shows(mm);
        let reading = read(&file, &Options { scale, crop: None }).unwrap();
        let doubted = reading.warnings.into_iter();
        doubted
            .filter(|w| matches!(w, Warning::OtherScale(_) | Warning::OddRepeat))
            .collect::<Vec<_>>()
    };
    assert_eq!(doubts(700.0 * PIXEL_MM), []);
    let other = doubts(1400.0 * PIXEL_MM);
    assert!(
        matches!(other[..], [Warning::OtherScale(mm)] if (mm / own - 1.0).abs() < 1e-6),
        "{other:?}"
    );
    let odd = doubts(700.0 * 100.0 * PIXEL_MM);
    assert!(odd.contains(&Warning::OddRepeat), "{odd:?}");

    // A crop is counted in pixels of the whole picture.
    let crop = Crop {
        left: 50,
        top: 60,
        width: 500,
        height: 400,
    };
    let options = Options {
        scale: Scale::Shows(700.0 * PIXEL_MM),
        crop: Some(crop),
    };
    let part = read(&file, &options).unwrap();
    assert!((part.repeat_mm.value / own - 1.0).abs() < 0.003);
}

/// The picture of both: the bands that are drawn over the photograph are what was drawn.
#[test]
fn the_picture_lays_the_bands_where_the_photograph_has_them() {
    let drawn = Swatch {
        noise: 0.0,
        weave: 0.0,
        shade: 0.0,
        ..deck()
    };
    let file = drawn.jpeg(&mut Rng::new(6), 95, DPI);
    let reading = read(&file, &Options::default()).unwrap();
    let shown = image::load_from_memory(&side_by_side(&file, &reading).unwrap()).unwrap();
    let photo = image::load_from_memory(&file).unwrap().to_rgb8();
    let shown = shown.to_rgb8();
    assert_eq!(shown.dimensions(), photo.dimensions());
    let far = shown.pixels().zip(photo.pixels()).filter(|(a, b)| {
        let (a, b) = (Colour::new(a[0], a[1], a[2]), Colour::new(b[0], b[1], b[2]));
        a.difference(b) > 8.0
    });
    // Only pixels on borders may differ, and the marks.
    let share = far.count() as f64 / (700.0 * 500.0);
    assert!(share < 0.02, "{share}");
}

/// The same reading on one thread and on several.
#[test]
fn threads_do_not_change_a_reading() {
    let file = deck().jpeg(&mut Rng::new(7), 70, DPI);
    let on = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
        pool.unwrap()
            .install(|| read(&file, &Options::default()).unwrap())
    };
    let one = on(1);
    assert_eq!(format!("{one:?}"), format!("{:?}", on(2)));
    assert_eq!(format!("{one:?}"), format!("{:?}", on(5)));
}

/// What is too little of a stripe says how much would be enough, and a plaid both repeats.
#[test]
fn too_little_and_too_much_are_told_apart() {
    let mut rng = Rng::new(8);
    let bands = vec![(350.0, colour("#1f3a5f")), (150.0, colour("#f2ead8"))];
    let wide = Swatch { bands, ..deck() };
    match read(&wide.jpeg(&mut rng, 80, DPI), &Options::default()) {
        Err(SwatchError::FewRepeats {
            shown_mm,
            enough_mm,
        }) => {
            assert!(shown_mm < 1.6 * 500.0 * PIXEL_MM, "{shown_mm}");
            assert!(enough_mm >= 2.0 * 500.0 * PIXEL_MM * 0.98, "{enough_mm}");
        }
        other => panic!("{other:?}"),
    }

    let one = deck();
    let mut two = deck();
    two.degrees += 90.0;
    for band in &mut two.bands {
        band.0 *= 0.8;
    }
    let (a, b) = (one.pixels(&mut rng), two.pixels(&mut rng));
    let both = a.iter().zip(&b).map(|(&a, &b)| a / 2 + b / 2);
    let both: Vec<u8> = both.collect();
    let file = crate::fabric::jpeg(&both, one.width, one.height, 80, DPI);
    match read(&file, &Options::default()) {
        Err(SwatchError::Plaid {
            across_mm,
            along_mm,
        }) => {
            assert!(
                (across_mm / (130.0 * PIXEL_MM) - 1.0).abs() < 0.01,
                "{across_mm}"
            );
            assert!(
                (along_mm / (104.0 * PIXEL_MM) - 1.0).abs() < 0.01,
                "{along_mm}"
            );
        }
        other => panic!("{other:?}"),
    }
}
