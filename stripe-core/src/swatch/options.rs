//! What the reader is told about a picture.

/// How large the fabric in the picture is.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Scale {
    /// As the file's resolution says: a scan.
    #[default]
    File,
    /// Two points of the picture (pixels from its upper left corner, as it is seen), and how far
    /// apart they are on the fabric.
    Points {
        /// One point.
        from: [f64; 2],
        /// The other.
        to: [f64; 2],
        /// Their distance on the fabric (mm).
        apart_mm: f64,
    },
    /// How much fabric the whole picture shows from its left to its right edge (mm).
    Shows(f64),
}

/// A part of the picture, in pixels from the upper left corner of the picture as it is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Crop {
    /// Pixels left of it.
    pub left: usize,
    /// Pixels above it.
    pub top: usize,
    /// Its width.
    pub width: usize,
    /// Its height.
    pub height: usize,
}

/// What the reader is told about a picture.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Options {
    /// How large the fabric is.
    pub scale: Scale,
    /// The part to read; all of it without one.
    pub crop: Option<Crop>,
}
