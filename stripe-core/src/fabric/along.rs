//! A second repeat, along the stripes: it makes a plaid or a check of a stripe, and it
//! places printed figures. Motifs on such fabric are locked both ways.

use super::Band;
use crate::colour::Colour;
use serde::{Deserialize, Serialize};

/// What repeats along the stripes.
///
/// With `u` across and `v` along the stripes, the pattern comes back at `u + repeat,
/// v + shear`, and at `v + along repeat`: a lattice.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Along {
    /// The repeat along the stripes (mm, positive).
    #[serde(rename = "repeat")]
    pub repeat_mm: f64,
    /// Where phase 0 lies along the stripes (mm).
    #[serde(rename = "start")]
    pub start_mm: f64,
    /// By how much each repeat across stands further along than the one before it: half
    /// of `repeat_mm` for a half-drop, 0 for plain rows.
    #[serde(rename = "shear")]
    pub shear_mm: f64,
    /// What it looks like.
    #[serde(flatten)]
    pub look: Look,
}

/// What a second repeat looks like.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum Look {
    /// Bands that cross the stripes: a plaid or a check.
    #[serde(rename = "bands")]
    Bands(Vec<Band>),
    /// A printed figure once a repeat, its centre at phase 0 along.
    #[serde(rename = "figure")]
    Figure {
        /// Its centre's phase across the stripes (mm).
        #[serde(rename = "across")]
        across_mm: f64,
        /// Its size from edge to edge (mm).
        #[serde(rename = "size")]
        size_mm: f64,
        /// Its main colour.
        colour: Colour,
    },
}

impl Along {
    /// The bands of a plaid; none for figures.
    pub fn bands(&self) -> &[Band] {
        match &self.look {
            Look::Bands(bands) => bands,
            Look::Figure { .. } => &[],
        }
    }

    /// Whether every number is one, and every size positive.
    pub fn is_sound(&self) -> bool {
        let size = |x: f64| x.is_finite() && x > 0.0;
        let look = match &self.look {
            Look::Bands(bands) => !bands.is_empty() && bands.iter().all(|b| size(b.width_mm)),
            Look::Figure {
                across_mm, size_mm, ..
            } => across_mm.is_finite() && size(*size_mm),
        };
        size(self.repeat_mm) && self.start_mm.is_finite() && self.shear_mm.is_finite() && look
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One number at fault is enough, whichever it is.
    #[test]
    fn every_number_counts() {
        let figure = |across_mm, size_mm| Look::Figure {
            across_mm,
            size_mm,
            colour: Colour::new(1, 2, 3),
        };
        let along = |repeat_mm, start_mm, shear_mm, look| Along {
            repeat_mm,
            start_mm,
            shear_mm,
            look,
        };
        let nan = f64::NAN;
        assert!(along(80.0, -5.0, 0.0, figure(-3.0, 20.0)).is_sound());
        for wrong in [
            along(0.0, 1.0, 1.0, figure(1.0, 20.0)),
            along(f64::INFINITY, 1.0, 1.0, figure(1.0, 20.0)),
            along(80.0, nan, 1.0, figure(1.0, 20.0)),
            along(80.0, 1.0, nan, figure(1.0, 20.0)),
            along(80.0, 1.0, 1.0, figure(nan, 20.0)),
            along(80.0, 1.0, 1.0, figure(1.0, -20.0)),
            along(80.0, 1.0, 1.0, Look::Bands(vec![])),
            along(
                80.0,
                1.0,
                1.0,
                Look::Bands(vec![Band::new("thin", 0.0, Colour::new(1, 2, 3))]),
            ),
        ] {
            assert!(!wrong.is_sound(), "{wrong:?}");
        }
    }
}
