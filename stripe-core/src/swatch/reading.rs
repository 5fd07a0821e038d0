//! What was read from a picture.

use crate::colour::Colour;
use crate::fabric::Band;

/// A number with its standard error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    /// The number itself.
    pub value: f64,
    /// Its standard error, from how evenly the repeats lie in the picture. What the scale is
    /// wrong by is not in it.
    pub error: f64,
}

/// A band of the stripe.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadBand {
    /// The band, named by its colour.
    pub band: Band,
    /// Whether it is so narrow that its width and colour are a guess.
    pub is_fine: bool,
}

/// What should be known about a reading.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Warning {
    /// The lines run together by this angle over the picture (degrees): it was taken aslant.
    Perspective(f64),
    /// The repeat grows by this share over the picture.
    Uneven(f64),
    /// The light is this many times as bright on one side as on the other.
    Light(f64),
    /// Bands, by their numbers from 1, that are too fine to be sure of.
    Fine(Vec<usize>),
    /// There was no white to measure colours against: they are as the light was.
    NoWhite,
    /// Only so many repeats are in the picture.
    FewRepeats(f64),
    /// By the resolution of the file itself the repeat would be this (mm), which is not what
    /// was asked for.
    OtherScale(f64),
    /// A repeat such as fabric hardly has: the scale is likely to be wrong.
    OddRepeat,
}

/// A stripe, read from a picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Whether the stripes run up and down the picture; across it if not.
    pub upright: bool,
    /// How far they are turned from that, counter-clockwise (degrees, within 45).
    pub lean_deg: f64,
    /// The repeat (mm).
    pub repeat_mm: Measure,
    /// Repeats in the part of the picture that was read.
    pub repeats: f64,
    /// One repeat, from left to right, or from bottom to top where the stripes run across.
    pub bands: Vec<ReadBand>,
    /// Whether the stripe is the same from both sides.
    pub has_mirror: bool,
    /// By what share of itself the repeat grows over the picture; none where too few
    /// repeats are shown to tell.
    pub drift: Option<Measure>,
    /// How far the lines lie from straight at most (mm); below 0 where they bend to the left
    /// (or down).
    pub bow_mm: f64,
    /// The size of a pixel (mm).
    pub pixel_mm: f64,
    /// What should be known.
    pub warnings: Vec<Warning>,
    pub(super) shape: Shape,
}

/// Where bands lie in the picture, for showing them.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Shape {
    pub(super) frame: super::profile::Frame,
    /// The part of the picture that was read, in pixels of the whole, and the pixels that
    /// were averaged.
    pub(super) crop: super::Crop,
    pub(super) factor: usize,
    pub(super) middle: f64,
    pub(super) turns: [f64; 3],
    /// The phase at which the first band begins (repeats).
    pub(super) first: f64,
    pub(super) light: super::fold::Light,
}

impl Reading {
    /// The bands alone, as a stripe holds them.
    pub fn to_bands(&self) -> Vec<Band> {
        self.bands.iter().map(|read| read.band.clone()).collect()
    }

    /// The colours in their order.
    pub fn colours(&self) -> Vec<Colour> {
        self.bands.iter().map(|read| read.band.colour).collect()
    }
}
