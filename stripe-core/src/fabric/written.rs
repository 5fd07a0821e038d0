//! A stripe as a plan file gives it: by the direction across it, which is what a reader of
//! the file works with, and with its repeat written out.

use super::{Along, Band, Run, Stripe, StripeError};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// By how much bands may miss the repeat that is given for them (mm).
const REPEAT_TOL_MM: f64 = 1e-3;

/// The keys of a stripe in `plan.json`.
#[derive(Serialize, Deserialize)]
struct WrittenStripe {
    normal_deg: f64,
    #[serde(rename = "repeat")]
    repeat_mm: f64,
    #[serde(rename = "origin")]
    origin_mm: f64,
    bands: Vec<Band>,
    #[serde(skip_serializing_if = "Option::is_none", default)]
    along: Option<Along>,
}

impl Serialize for Stripe {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        WrittenStripe::from(self).serialize(to)
    }
}

impl<'de> Deserialize<'de> for Stripe {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let written = WrittenStripe::deserialize(from)?;
        Self::try_from(written).map_err(serde::de::Error::custom)
    }
}

impl From<&Stripe> for WrittenStripe {
    fn from(stripe: &Stripe) -> Self {
        Self {
            normal_deg: stripe.normal_rad().to_degrees(),
            repeat_mm: stripe.repeat_mm(),
            origin_mm: stripe.origin_mm(),
            bands: stripe.bands().to_vec(),
            along: stripe.along().cloned(),
        }
    }
}

impl TryFrom<WrittenStripe> for Stripe {
    type Error = StripeError;

    fn try_from(written: WrittenStripe) -> Result<Self, StripeError> {
        let (run, square_deg) = if written.normal_deg.abs() <= 45.0 {
            (Run::Lengthwise, 0.0)
        } else {
            (Run::Crosswise, 90.0)
        };
        let lean_deg = written.normal_deg - square_deg;
        let stripe = Self::try_new(run, lean_deg, written.origin_mm, written.bands)?;
        let (sum_mm, repeat_mm) = (stripe.repeat_mm(), written.repeat_mm);
        if (sum_mm - repeat_mm).abs() > REPEAT_TOL_MM {
            return Err(StripeError::Repeat { sum_mm, repeat_mm });
        }
        match written.along {
            Some(along) => stripe.with_along(along),
            None => Ok(stripe),
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::fabric::sample::grey_stripe;
    use crate::fabric::{Along, Look, Stripe, StripeError};

    #[test]
    fn a_stripe_comes_back_as_it_was_written() {
        let plaid = Along {
            repeat_mm: 12.0,
            start_mm: 1.0,
            shear_mm: 6.0,
            look: Look::Bands(grey_stripe(&[(5.0, 0), (7.0, 9)]).bands().to_vec()),
        };
        let stripe = grey_stripe(&[(10.0, 0), (4.0, 9), (6.0, 20)]);
        for stripe in [stripe.clone(), stripe.with_along(plaid).unwrap()] {
            let text = serde_json::to_string(&stripe).unwrap();
            assert_eq!(serde_json::from_str::<Stripe>(&text).unwrap(), stripe);
        }
    }

    #[test]
    fn bands_that_do_not_fill_their_repeat_are_no_stripe() {
        let mut json = serde_json::to_value(grey_stripe(&[(10.0, 0), (4.0, 9)])).unwrap();
        json["repeat"] = 14.01.into();
        let fault = serde_json::from_value::<Stripe>(json).unwrap_err();
        let want = StripeError::Repeat {
            sum_mm: 14.0,
            repeat_mm: 14.01,
        };
        assert_eq!(fault.to_string(), want.to_string());
    }
}
