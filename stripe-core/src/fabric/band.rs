//! A band: one colour of a stripe, so wide.

use crate::colour::Colour;
use serde::{Deserialize, Serialize};

/// One band of the repeat.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Band {
    /// Measured across the stripe (mm, positive).
    #[serde(rename = "width")]
    pub width_mm: f64,
    /// Its colour.
    pub colour: Colour,
    /// What people call it, for ticks and messages.
    pub name: String,
}

impl Band {
    /// A band of a width across the stripe.
    pub fn new(name: impl Into<String>, width_mm: f64, colour: Colour) -> Self {
        Self {
            width_mm,
            colour,
            name: name.into(),
        }
    }
}
