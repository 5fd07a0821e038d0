//! Bow and skew: how far woven fabric is from square.
//!
//! Measured as ASTM D3882 measures them (restated, from extracts of it): a straight
//! edge joins the two selvage points of one line across the fabric.

/// Woven fabric beyond this skew (per cent of the width) is worth a warning: a textile
/// page lists 3 to 5 % as the limit for apparel fabric, and stripes are held tighter.
pub const SKEW_LIMIT_PERCENT: f64 = 3.0;
/// The same for bow: 2 to 3 % on that page.
pub const BOW_LIMIT_PERCENT: f64 = 2.0;

/// Bow in per cent: the greatest gap from the straight edge, along the selvage, over
/// the width.
pub fn bow_percent(depth_mm: f64, width_mm: f64) -> f64 {
    100.0 * depth_mm / width_mm
}

/// The angle of a skew (radians): `atan(skew)`.
pub fn skew_rad(percent: f64) -> f64 {
    (percent / 100.0).atan()
}

/// The steepest local tilt of a bowed line (radians): `atan(4 b)` at the selvages, for
/// a line that bows as a parabola.
///
/// # Source
/// Own derivation: `y = 4 b W (x / W)(1 - x / W)` has slope `4 b` at its ends.
pub fn bow_tilt_rad(percent: f64) -> f64 {
    (4.0 * percent / 100.0).atan()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: f64, want: f64, tol: f64) {
        assert!((got - want).abs() < tol, "{got} is not {want}");
    }

    // F-25 to F-28, computed (ASTM D3882 for the measures).
    #[test]
    fn published_and_computed_values() {
        near(bow_percent(30.0, 1500.0), 2.0, 1e-12);
        for (percent, deg, along_8_in) in [
            (1.0, 0.573, 0.08),
            (2.0, 1.146, 0.16),
            (3.0, 1.718, 0.24),
            (5.0, 2.862, 0.40),
        ] {
            near(skew_rad(percent).to_degrees(), deg, 5e-4);
            near(8.0 * skew_rad(percent).tan(), along_8_in, 1e-9);
        }
        near(bow_tilt_rad(2.0).to_degrees(), 4.57, 5e-3);
        near(bow_tilt_rad(3.0).to_degrees(), 6.84, 5e-3);
    }
}
