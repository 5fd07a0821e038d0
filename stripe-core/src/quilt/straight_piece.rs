//! A straight piece: a rectangle that is cut, and what it is cut for.

use super::binding::BiasStrips;
use super::slanted_shape::SlantedShape;

/// How a piece may lie on its fabric.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Grain {
    /// Its length along the selvages.
    Along,
    /// Its length from selvage to selvage.
    Across,
    /// Either way.
    #[default]
    Any,
}

/// What straight pieces are for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Purpose {
    /// The quilt top: its field, borders, foundations, triangles and diamonds.
    #[default]
    Top,
    /// The strip that finishes the edge.
    Binding,
    /// The layer below.
    Backing,
}

/// Some equal straight pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct StraightPiece {
    /// What it is: `field strip`, `border unit`.
    pub name: String,
    /// What it is for.
    pub purpose: Purpose,
    /// Its fabric.
    pub fabric: String,
    /// Cut length, the side that [`Grain`] speaks of (mm).
    pub length_mm: f64,
    /// Cut width (mm).
    pub width_mm: f64,
    /// How many.
    pub count: usize,
    /// How it may lie.
    pub grain: Grain,
    /// What is done to them once they are cut, if they are cut again with a slant.
    pub slant: Option<Slant>,
    /// The bias strips that are cut from it, if it is for these.
    pub bias: Option<BiasStrips>,
}

impl StraightPiece {
    /// The same for so many quilts. What is cut again with a slant is wanted as often, and
    /// squares that gave more than one quilt wants are not cut for nothing.
    #[must_use]
    pub fn times(self, quilts: usize) -> Self {
        let slant = self.slant.map(|slant| Slant {
            wanted: slant.wanted * quilts,
            ..slant
        });
        let count = match &slant {
            Some(slant) => slant.wanted.div_ceil(slant.each.max(1)),
            None => self.count * quilts,
        };
        Self {
            count,
            slant,
            ..self
        }
    }
}

/// What is done to straight pieces after they are cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Slant {
    /// What they become.
    pub shape: SlantedShape,
    /// What those are called.
    pub name: String,
    /// How many one straight piece gives.
    pub each: usize,
    /// How many are wanted of all of these.
    pub wanted: usize,
    /// The finished size that the shape speaks of, as it comes out (mm): a diamond's
    /// edge follows from its strip, which is cut to a mark of the ruler and not trimmed.
    pub finished_mm: f64,
}
