//! The repeat, held against a Fourier transform by other software.
//!
//! `fft.py` beside this file made the numbers: numpy 2 and scipy, on the pictures in
//! `data/swatch`. It takes the mean of the rows of each picture turned upright by the lean that it
//! finds itself, and the peak of a spectrum of the profile's slopes, padded and interpolated.

use stripe_core::swatch::{Options, Scale, read};

#[test]
fn repeats_are_those_of_a_fourier_transform() {
    let home = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(home.join("swatch/fft.csv")).unwrap();
    let mut count = 0;
    for line in text.lines().skip(1) {
        let fields: Vec<&str> = line.split(',').collect();
        let bytes = std::fs::read(home.join("../data/swatch").join(fields[0])).unwrap();
        let number = |i: usize| fields[i].parse::<f64>().unwrap();
        // A scale of one mm to the pixel: what is compared is pixels.
        let options = Options {
            scale: Scale::Shows(number(1)),
            crop: None,
        };
        let reading = read(&bytes, &options).unwrap();
        let (repeat, lean) = (reading.repeat_mm.value, reading.lean_deg);
        assert!((repeat / number(2) - 1.0).abs() < 0.003, "{line}: {repeat}");
        assert!((lean - number(3)).abs() < 0.1, "{line}: {lean}");
        count += 1;
    }
    assert_eq!(count, 2);
}
