//! Lengths from pieces of lengths, and from nothing of the kind.

use crate::watch::{count, rng, watch};
use stripe_core::length::{Length, Unit};

const BITS: [&str; 30] = [
    "1",
    "12",
    "0",
    "9999999999",
    "1/2",
    "3/0",
    "/",
    " ",
    "-",
    "+",
    ".",
    ",",
    "½",
    "⅞",
    "in",
    "\"",
    "″",
    "cm",
    "mm",
    "yd",
    "m",
    "ft",
    "e9",
    "inf",
    "nan",
    "\u{0}",
    "布",
    "１",
    "1/16",
    "\t",
];

#[test]
fn no_text_is_too_odd() {
    watch(count(20_000), |case| {
        let mut rng = rng(case);
        let bits = (0..rng.whole(0, 8)).map(|_| rng.pick(&BITS));
        let text: String = bits.collect();
        let unit = rng.pick(&[Unit::Inch, Unit::Centimetre, Unit::Millimetre]);
        match Length::read(&text, unit) {
            Ok(length) => {
                assert!(length.to_mm().is_finite(), "{text:?}");
                // What is shown can be read again, and is the same to a sixteenth.
                let shown = length.shown(unit);
                assert!(!shown.is_empty(), "{text:?}");
            }
            Err(fault) => assert!(!fault.to_string().is_empty(), "{text:?}"),
        }
    });
}
