//! Pictures with bytes changed, cut out, doubled or cut off: read, or refused with a reason.

use crate::watch::{count, rng, watch};
use stripe_core::swatch::{Options, Scale, read};

const PICTURES: [&[u8]; 2] = [
    include_bytes!("../../data/swatch/scan.jpg"),
    include_bytes!("../../data/pictures/motif.png"),
];

#[test]
fn no_picture_is_too_odd() {
    watch(count(12), |case| {
        let mut rng = rng(case);
        let mut bytes = rng.pick(&PICTURES).to_vec();
        for _ in 0..rng.whole(1, 4) {
            let at = rng.below(bytes.len());
            // Headers are where odd values do most.
            let at = if rng.once_in(2) {
                at
            } else {
                at.min(rng.below(700))
            };
            match rng.whole(0, 4) {
                0 => bytes[at] = rng.bits() as u8,
                1 => bytes[at] = 0xff,
                2 => drop(bytes.drain(at..(at + rng.whole(1, 40)).min(bytes.len()))),
                3 => bytes.insert(at, rng.bits() as u8),
                _ => bytes.truncate(at + 1),
            }
            if bytes.is_empty() {
                break;
            }
        }
        // A case that does not end is kept where STRIPELAY_FUZZ_KEEP names a file.
        if let Some(file) = std::env::var_os("STRIPELAY_FUZZ_KEEP") {
            let _ = std::fs::write(file, &bytes);
        }
        let options = Options {
            scale: Scale::Shows(300.0),
            crop: None,
        };
        match read(&bytes, &options) {
            Ok(reading) => assert!(reading.repeat_mm.value > 0.0 && reading.bands.len() > 1),
            Err(fault) => assert!(!fault.to_string().is_empty() && !fault.help().is_empty()),
        }
    });
}
