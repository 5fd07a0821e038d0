//! Drawings with bytes changed, cut out, doubled or cut off, and with hostile numbers put in:
//! read, or refused with a place.

use crate::watch::{count, rng, watch};
use stripe_core::drawing::read;

const DAHLIA: &[u8] = include_bytes!("../../data/dahlia/dahlia.svg");
const ODD: [&str; 8] = [
    "1e308",
    "-0",
    "NaN",
    "9999999999",
    "M0 0",
    "A0 0 0 1 1 5 5",
    "%",
    "url(#a)",
];

#[test]
fn no_drawing_is_too_odd() {
    watch(count(400), |case| {
        let mut rng = rng(case);
        let mut bytes = DAHLIA.to_vec();
        for _ in 0..rng.whole(1, 4) {
            let at = rng.below(bytes.len());
            match rng.whole(0, 4) {
                0 => bytes[at] = rng.pick(b"0 9.-MmLlCcAaZz\"<>/%eE"),
                1 => drop(bytes.drain(at..(at + rng.whole(1, 40)).min(bytes.len()))),
                2 => drop(bytes.splice(at..at, rng.pick(&ODD).bytes())),
                3 => {
                    let piece = bytes[at..(at + rng.whole(1, 200)).min(bytes.len())].to_vec();
                    bytes.splice(at..at, piece);
                }
                _ => bytes.truncate(at + 1),
            }
        }
        match read(&bytes) {
            Ok(drawing) => assert!(!drawing.pieces.is_empty()),
            Err(faults) => {
                assert!(!faults.is_empty());
                for fault in faults {
                    assert!(fault.line > 0 && !fault.message.is_empty() && !fault.help.is_empty());
                }
            }
        }
    });
}
