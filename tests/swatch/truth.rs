//! A reading held against what was drawn.

use crate::fabric::Swatch;
use stripe_core::swatch::Reading;

/// By how much a reading is off.
#[derive(Debug, Default, Clone, Copy)]
pub struct Miss {
    /// Degrees.
    pub lean: f64,
    /// As a share.
    pub repeat: f64,
    /// The worst band by its allowance (3 % or 0.15 mm, whichever is more): 1 is all of it.
    pub width: f64,
    /// The worst colour (CIEDE2000).
    pub colour: f64,
}

/// Compares band by band, from the first that fits best. An error where the number of bands
/// is another.
pub fn miss(reading: &Reading, swatch: &Swatch, pixel_mm: f64) -> Result<Miss, String> {
    let across = if reading.upright { 0.0 } else { 90.0 };
    let lean = reading.lean_deg + across - swatch.degrees;
    let repeat = reading.repeat_mm.value / (swatch.repeat() * pixel_mm) - 1.0;
    let count = swatch.bands.len();
    if reading.bands.len() != count {
        return Err(format!(
            "{} bands for {count}; repeat off by {:.2} %",
            reading.bands.len(),
            100.0 * repeat
        ));
    }
    let by = |turn: usize| {
        let mut worst = Miss {
            lean: lean.abs(),
            repeat: repeat.abs(),
            ..Miss::default()
        };
        for (i, read) in reading.bands.iter().enumerate() {
            let (width, colour) = swatch.bands[(i + turn) % count];
            let true_mm: f64 = width * pixel_mm;
            let off = (read.band.width_mm - true_mm).abs() / (0.03 * true_mm).max(0.15);
            worst.width = worst.width.max(off);
            worst.colour = worst.colour.max(read.band.colour.difference(colour));
        }
        worst
    };
    let best = (0..count).map(by).min_by(|a, b| {
        let size = |m: &Miss| m.width + m.colour;
        size(a).total_cmp(&size(b))
    });
    best.ok_or_else(|| "no bands".to_owned())
}
