//! Sheets of paper: their sizes, and what of them can be printed on.

use crate::length::Unit;

/// The paper that sheets are laid out for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 8 1/2 by 11 in.
    Letter,
    /// 210 by 297 mm.
    A4,
    /// What fits on either: as narrow as A4, as short as Letter.
    Either,
}

/// No printer is asked to reach nearer to the edge than this (mm): half an inch.
///
/// # Source
/// A quarter of an inch is the usual figure, some machines need a half (trade
/// facts S-05: one public answer, two device manuals).
pub const MARGIN_MM: f64 = 12.7;

impl Paper {
    /// Width and height, vertical (mm).
    ///
    /// # Source
    /// ISO 216 for A4; common practice (ANSI) for Letter.
    pub fn size_mm(self) -> [f64; 2] {
        match self {
            Self::Letter => [215.9, 279.4],
            Self::A4 => [210.0, 297.0],
            Self::Either => [210.0, 279.4],
        }
    }

    /// Width and height between the margins (mm).
    pub fn room_mm(self) -> [f64; 2] {
        self.size_mm().map(|side| side - 2.0 * MARGIN_MM)
    }

    /// The paper that people have who measure in that unit.
    pub fn default(unit: Unit) -> Self {
        match unit {
            Unit::Inch => Self::Letter,
            Unit::Centimetre | Unit::Millimetre => Self::A4,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // S-06: the area safe on both with half-inch margins is 184.6 by 254 mm (computed).
    #[test]
    fn either_fits_both() {
        let [width, height] = Paper::Either.room_mm();
        assert!((width - 184.6).abs() < 1e-9 && (height - 254.0).abs() < 1e-9);
    }
}
