//! Fabric that the maker has already: whole widths, fat quarters, remnants with holes and stains.

use crate::shape::Point;
use crate::shape::ring::extent;

/// A piece of a fabric that is there to be cut from, no more of it than this.
///
/// Its frame is the fabric's: x across the width from its leftmost point, y along the selvages
/// from its lowest, right side up.
#[derive(Debug, Clone, PartialEq)]
pub struct InHand {
    /// What its map is called.
    pub name: String,
    /// The usable outline: corners counter-clockwise, the leftmost at x = 0, the lowest at y = 0 (mm).
    pub outline: Vec<Point>,
    /// Holes and stains: outlines within it, from which nothing is cut (mm).
    pub avoid: Vec<Vec<Point>>,
    /// Where phase 0 of the stripe lies, as [`super::Stripe::origin_mm`] says it of whole fabric
    /// (mm); without a stripe it counts for nothing.
    pub origin_mm: f64,
    /// The same along the stripe, where something repeats along it (mm).
    pub origin_along_mm: f64,
}

impl InHand {
    /// A rectangle, its stripe beginning at its left or lower edge.
    pub fn rectangle(name: impl Into<String>, width_mm: f64, length_mm: f64) -> Self {
        let corners = [
            (0.0, 0.0),
            (width_mm, 0.0),
            (width_mm, length_mm),
            (0.0, length_mm),
        ];
        Self {
            name: name.into(),
            outline: corners.map(|(x, y)| Point { x, y }).to_vec(),
            avoid: vec![],
            origin_mm: 0.0,
            origin_along_mm: 0.0,
        }
    }

    /// How far it reaches across the width and along the selvages (mm).
    pub fn size_mm(&self) -> (f64, f64) {
        let (_, high) = extent(self.outline.iter().copied());
        (high.x, high.y)
    }
}

/// Cuts that shops sell ready, by the trade's names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReadyCut {
    /// Half a yard (or metre) of fabric, halved again across its width.
    FatQuarter,
    /// Half of that, as wide.
    FatEighth,
}

impl ReadyCut {
    /// Across the width and along the selvages (mm), from fabric of a usable width.
    ///
    /// # Source
    /// Common practice, no source: a fat quarter is half a yard split on the fold, nominally
    /// 18 x 22 in, or 50 cm x half the width where fabric is sold by the metre; a fat eighth
    /// is 9 in (25 cm) by the same width.
    pub fn size_mm(self, width_mm: f64, is_imperial: bool) -> (f64, f64) {
        let half = if is_imperial { 18.0 * 25.4 } else { 500.0 };
        let length = match self {
            Self::FatQuarter => half,
            Self::FatEighth => half / 2.0,
        };
        (width_mm / 2.0, length)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A fat quarter of 44 in fabric is 22 in by 18 in, a fat eighth 22 in by 9 in; of 110 cm
    /// fabric 55 cm by 50 cm and 55 cm by 25 cm (common practice, no source).
    #[test]
    fn ready_cuts_have_the_sizes_of_the_trade() {
        let inch = 25.4;
        assert_eq!(
            ReadyCut::FatQuarter.size_mm(44.0 * inch, true),
            (22.0 * inch, 18.0 * inch)
        );
        assert_eq!(
            ReadyCut::FatEighth.size_mm(44.0 * inch, true),
            (22.0 * inch, 9.0 * inch)
        );
        assert_eq!(ReadyCut::FatQuarter.size_mm(1100.0, false), (550.0, 500.0));
        assert_eq!(ReadyCut::FatEighth.size_mm(1100.0, false), (550.0, 250.0));
    }
}
