//! A stripe: bands across a repeat, and where they lie on the fabric.

use super::{Along, Band};
use crate::colour::Colour;
use crate::num::wrap;
use crate::shape::{Point, dot, unit};
use std::f64::consts::FRAC_PI_2;

/// The way in which stripes run on the fabric.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Run {
    /// Along the selvages.
    Lengthwise,
    /// From selvage to selvage.
    Crosswise,
}

/// Stripes on fabric.
///
/// With `n` the unit normal across the stripes and `R` the repeat, the phase at a
/// fabric point `p` is `(n.p - origin) mod R`; bands are counted from phase 0.
#[derive(Debug, Clone, PartialEq)]
pub struct Stripe {
    run: Run,
    lean_deg: f64,
    origin_mm: f64,
    bands: Vec<Band>,
    /// Where each band ends, so that the last entry is the repeat.
    ends_mm: Vec<f64>,
    along: Option<Along>,
}

/// What keeps bands from making a stripe.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum StripeError {
    /// There is no band at all.
    #[error("a stripe needs at least one band")]
    NoBands,
    /// A band with no width.
    #[error("band {number} ({name}) is {width_mm} mm wide: every band needs a width above zero")]
    BandWidth {
        /// Counted from 1.
        number: usize,
        /// Its name.
        name: String,
        /// The width as given.
        width_mm: f64,
    },
    /// A lean that turns lengthwise into crosswise.
    #[error(
        "a lean of {0} degrees is too much: give what you measured, between -15 and 15, and choose the way the stripes run"
    )]
    Lean(f64),
    /// A start that is no number.
    #[error("the place where the first band begins is not a number")]
    Origin,
    /// Bands that do not fill the repeat that a plan gives for them.
    #[error(
        "the bands of a stripe add up to {sum_mm:.4} mm, but its repeat is given as {repeat_mm:.4} mm"
    )]
    Repeat {
        /// The widths of all bands.
        sum_mm: f64,
        /// The repeat as given.
        repeat_mm: f64,
    },
    /// A second repeat that is none.
    #[error("the repeat along the stripes needs sizes above zero")]
    Along,
}

impl Stripe {
    /// The greatest lean that is still lengthwise or crosswise fabric (degrees).
    pub const MAX_LEAN_DEG: f64 = 15.0;

    /// A stripe from its bands in order from phase 0.
    ///
    /// `lean_deg` turns the stripes counter-clockwise from square; `origin_mm` is
    /// where phase 0 lies, measured across the stripes from the fabric's corner.
    ///
    /// # Errors
    /// See [`StripeError`].
    pub fn try_new(
        run: Run,
        lean_deg: f64,
        origin_mm: f64,
        bands: Vec<Band>,
    ) -> Result<Self, StripeError> {
        if bands.is_empty() {
            return Err(StripeError::NoBands);
        }
        if lean_deg.is_nan() || lean_deg.abs() > Self::MAX_LEAN_DEG {
            return Err(StripeError::Lean(lean_deg));
        }
        if !origin_mm.is_finite() {
            return Err(StripeError::Origin);
        }
        let mut ends_mm = Vec::with_capacity(bands.len());
        let mut end = 0.0;
        for (i, band) in bands.iter().enumerate() {
            if !(band.width_mm > 0.0 && band.width_mm.is_finite()) {
                return Err(StripeError::BandWidth {
                    number: i + 1,
                    name: band.name.clone(),
                    width_mm: band.width_mm,
                });
            }
            end += band.width_mm;
            ends_mm.push(end);
        }
        Ok(Self {
            run,
            lean_deg,
            origin_mm,
            bands,
            ends_mm,
            along: None,
        })
    }

    /// A stripe along the selvages, square, its first band beginning at the left one.
    ///
    /// # Errors
    /// See [`StripeError`].
    pub fn lengthwise(bands: Vec<Band>) -> Result<Self, StripeError> {
        Self::try_new(Run::Lengthwise, 0.0, 0.0, bands)
    }

    /// The same stripe, phase 0 elsewhere (mm along the normal; finite).
    pub(crate) fn with_origin(self, origin_mm: f64) -> Self {
        Self { origin_mm, ..self }
    }

    /// The same stripe with a second repeat along it: a plaid, or printed figures.
    ///
    /// # Errors
    /// [`StripeError::Along`] if a size of it is not positive.
    pub fn with_along(self, along: Along) -> Result<Self, StripeError> {
        if !along.is_sound() {
            return Err(StripeError::Along);
        }
        Ok(Self {
            along: Some(along),
            ..self
        })
    }

    /// The same stripe as it was measured: each band so many times as wide, leaning so far.
    ///
    /// # Errors
    /// See [`StripeError`].
    pub fn grown(&self, times: f64, lean_deg: f64) -> Result<Self, StripeError> {
        let mut bands = self.bands.clone();
        for band in &mut bands {
            band.width_mm *= times;
        }
        let grown = Self::try_new(self.run, lean_deg, self.origin_mm, bands)?;
        match &self.along {
            Some(along) => grown.with_along(along.clone()),
            None => Ok(grown),
        }
    }

    /// The same bands lengthwise and square, phase 0 on the left selvage: a sample of them.
    pub fn upright(&self) -> Self {
        Self {
            run: Run::Lengthwise,
            lean_deg: 0.0,
            origin_mm: 0.0,
            ..self.clone()
        }
    }

    /// What repeats along the stripes, if anything does.
    pub fn along(&self) -> Option<&Along> {
        self.along.as_ref()
    }

    /// The way in which the stripes run.
    pub fn run(&self) -> Run {
        self.run
    }

    /// How far the stripes lean from square (degrees counter-clockwise).
    pub fn lean_deg(&self) -> f64 {
        self.lean_deg
    }

    /// Where phase 0 lies (mm along the normal).
    pub fn origin_mm(&self) -> f64 {
        self.origin_mm
    }

    /// The bands, from phase 0.
    pub fn bands(&self) -> &[Band] {
        &self.bands
    }

    /// The repeat, measured across the stripes (mm).
    pub fn repeat_mm(&self) -> f64 {
        *self.ends_mm.last().expect("a stripe has a band")
    }

    /// Direction of the normal `n` in the fabric frame (radians).
    pub fn normal_rad(&self) -> f64 {
        let square = match self.run {
            Run::Lengthwise => 0.0,
            Run::Crosswise => FRAC_PI_2,
        };
        square + self.lean_deg.to_radians()
    }

    /// The phase at a point of the fabric, in `[0, repeat)` (mm).
    pub fn phase_at(&self, fabric_point: Point) -> f64 {
        let n = unit(self.normal_rad());
        wrap(dot(n, fabric_point) - self.origin_mm, self.repeat_mm())
    }

    /// The index of the band at a phase; a border belongs to the band that begins there.
    pub fn band_at(&self, phase_mm: f64) -> usize {
        let phase = wrap(phase_mm, self.repeat_mm());
        let passed = self.ends_mm.partition_point(|&end| end <= phase);
        passed.min(self.bands.len() - 1)
    }

    /// The colour at a phase.
    pub fn colour_at(&self, phase_mm: f64) -> Colour {
        self.bands[self.band_at(phase_mm)].colour
    }

    /// The phase at the middle of a band (mm).
    pub fn middle_of(&self, band: usize) -> f64 {
        self.ends_mm[band] - self.bands[band].width_mm / 2.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::point;

    fn two_bands(run: Run) -> Stripe {
        let band = |width_mm, name: &str| Band {
            width_mm,
            colour: Colour::new(0, 0, 0),
            name: name.to_owned(),
        };
        Stripe::try_new(run, 0.0, 1.0, vec![band(2.0, "thin"), band(3.0, "wide")]).unwrap()
    }

    #[test]
    fn phase_runs_across() {
        let stripe = two_bands(Run::Lengthwise);
        assert_eq!(stripe.repeat_mm(), 5.0);
        assert!((stripe.phase_at(point(0.5, 99.0)) - 4.5).abs() < 1e-12);
        assert!((stripe.phase_at(point(7.0, -3.0)) - 1.0).abs() < 1e-12);
        let across = two_bands(Run::Crosswise);
        assert!((across.phase_at(point(99.0, 7.0)) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_stripe_begins_where_it_is_said() {
        let moved = two_bands(Run::Lengthwise).with_origin(2.5);
        assert_eq!(moved.origin_mm(), 2.5);
        assert!((moved.phase_at(point(4.0, 0.0)) - 1.5).abs() < 1e-12);
        // 2 % more, leaning, from where it began.
        let grown = moved.grown(1.02, 0.5).unwrap();
        assert_eq!((grown.origin_mm(), grown.lean_deg()), (2.5, 0.5));
        assert!((grown.repeat_mm() - 5.1).abs() < 1e-12);
    }

    #[test]
    fn bands_own_their_beginning() {
        let stripe = two_bands(Run::Lengthwise);
        let at: Vec<usize> = [0.0, 1.99, 2.0, 4.999, 5.0, -0.1]
            .iter()
            .map(|&p| stripe.band_at(p))
            .collect();
        assert_eq!(at, [0, 0, 1, 1, 0, 1]);
        assert_eq!(stripe.middle_of(1), 3.5);
    }

    #[test]
    fn bad_bands_are_named() {
        let fault = Stripe::try_new(
            Run::Lengthwise,
            f64::NAN,
            0.0,
            two_bands(Run::Lengthwise).bands,
        );
        assert!(matches!(fault, Err(StripeError::Lean(_))));
        for width_mm in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let mut bands = two_bands(Run::Lengthwise).bands;
            bands[1].width_mm = width_mm;
            let fault = Stripe::try_new(Run::Lengthwise, 0.0, 0.0, bands);
            assert!(
                matches!(fault, Err(StripeError::BandWidth { number: 2, .. })),
                "{width_mm}: {fault:?}"
            );
        }
        assert_eq!(
            Stripe::try_new(Run::Lengthwise, 0.0, 0.0, vec![]),
            Err(StripeError::NoBands)
        );
    }
}
