//! The shapes with a slant, and what they are cut from.

use std::f64::consts::SQRT_2;

/// A shape with a slant, and which of its finished sides is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SlantedShape {
    /// Half-square triangle, by its short side; long side on the bias.
    HalfSquare,
    /// Quarter-square triangle, by its long side, which lies on the grain.
    QuarterSquare,
    /// Triangle along the side of blocks set on point, by the block's side.
    SideSetting,
    /// Triangle at the corner of blocks set on point, by the block's side.
    CornerSetting,
    /// Diamond of 45 degrees, by its edge: eight make a star.
    Diamond,
}

impl SlantedShape {
    /// One of them in words.
    pub fn word(self) -> &'static str {
        match self {
            Self::HalfSquare => "half-square triangle",
            Self::QuarterSquare => "quarter-square triangle",
            Self::SideSetting => "side triangle",
            Self::CornerSetting => "corner triangle",
            Self::Diamond => "diamond",
        }
    }

    /// The finished side of the square it is cut from, or the finished height of a diamond.
    pub(super) fn finished_mm(self, given_mm: f64) -> f64 {
        match self {
            Self::HalfSquare | Self::QuarterSquare => given_mm,
            Self::SideSetting => given_mm * SQRT_2,
            Self::CornerSetting | Self::Diamond => given_mm / SQRT_2,
        }
    }

    /// What the seams add to that.
    ///
    /// # Source
    /// Rows Y-10 to Y-12, derived: `s (2 + sqrt 2)` where a square is cut once,
    /// `s (2 + 2 sqrt 2)` where it is cut twice. A strip has a seam on either side.
    pub fn seams_mm(self, seam_mm: f64) -> f64 {
        seam_mm
            * match self {
                Self::HalfSquare | Self::CornerSetting => 2.0 + SQRT_2,
                Self::QuarterSquare | Self::SideSetting => 2.0 + 2.0 * SQRT_2,
                Self::Diamond => 2.0,
            }
    }

    /// The side of the square, or the width of the strip, that is cut (mm).
    ///
    /// # Source
    /// Rows Y-10 to Y-12: the constant in eighths, then the sum rounded up to the eighth.
    pub fn cut_mm(self, given_mm: f64, seam_mm: f64, mark_mm: f64) -> f64 {
        let up = |mm: f64| round_up(mm, mark_mm);
        up(self.finished_mm(given_mm) + up(self.seams_mm(seam_mm)))
    }

    /// Pieces from one square.
    pub(super) fn per_square(self) -> usize {
        match self {
            Self::QuarterSquare | Self::SideSetting => 4,
            _ => 2,
        }
    }
}

pub(super) fn round_up(mm: f64, mark_mm: f64) -> f64 {
    (mm / mark_mm - 1e-6).ceil() * mark_mm
}
