//! A stripe for tests.

use super::{Band, Run, Stripe};
use crate::colour::Colour;

/// A lengthwise stripe of grey bands, from widths (mm) and shades.
pub(crate) fn grey_stripe(bands: &[(f64, u8)]) -> Stripe {
    grey_stripe_at(0.0, bands)
}

/// The same with its first band so far from the left selvage (mm).
pub(crate) fn grey_stripe_at(origin_mm: f64, bands: &[(f64, u8)]) -> Stripe {
    let bands = bands
        .iter()
        .map(|&(width_mm, shade)| Band {
            width_mm,
            colour: Colour::new(shade, shade, shade),
            name: shade.to_string(),
        })
        .collect();
    Stripe::try_new(Run::Lengthwise, 0.0, origin_mm, bands).unwrap()
}
