//! Why a stripe could not be read from a picture, and what to do about it.

/// Why a stripe could not be read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SwatchError {
    /// The file is too large.
    #[error("the picture's file is larger than {} MB", most >> 20)]
    TooLarge {
        /// The most bytes that are read.
        most: usize,
    },
    /// No picture of a kind that is known.
    #[error("this is not a picture: it begins as no JPEG, PNG, TIFF or WebP file does")]
    NotAPicture,
    /// A picture of another kind.
    #[error("pictures of the kind {0} are not read")]
    OtherFormat(&'static str),
    /// Too many pixels.
    #[error(
        "the picture has {width} x {height} pixels, and at most {} million are read",
        super::limits::MAX_PIXELS / 1_000_000
    )]
    TooManyPixels {
        /// Its width in pixels.
        width: u32,
        /// Its height in pixels.
        height: u32,
    },
    /// It would take too much memory.
    #[error("the picture would take {} MB once unpacked", bytes >> 20)]
    TooMuchMemory {
        /// What it would take.
        bytes: u64,
    },
    /// The file ends early.
    #[error("the picture's file is cut off: its end is missing")]
    Truncated,
    /// The file holds no picture data.
    #[error("the file says how large its picture is, but holds no picture")]
    NoPictureData,
    /// The file is damaged.
    #[error("the picture's file is damaged: {0}")]
    Broken(String),
    /// Printer's colours.
    #[error("the picture is in the four colours of a printing press (CMYK)")]
    Cmyk,
    /// Pixels that no screen knows.
    #[error("the picture's pixels are of a kind that is not read ({0})")]
    PixelKind(String),
    /// See-through parts.
    #[error("{:.0} % of the picture is see-through: what colour it has there is not known", 100.0 * share)]
    Transparent {
        /// How much of it.
        share: f64,
    },
    /// Too small to show anything.
    #[error("the picture (or what is left of it) has only {width} x {height} pixels")]
    TooSmall {
        /// Its width in pixels.
        width: usize,
        /// Its height in pixels.
        height: usize,
    },
    /// Nothing tells how large a pixel is.
    #[error("nothing tells how large the fabric in the picture is{0}")]
    NoScale(&'static str),
    /// A scale that makes no sense.
    #[error("{0}")]
    BadScale(String),
    /// A crop beyond the picture.
    #[error("the crop reaches beyond the picture, which has {width} x {height} pixels")]
    Crop {
        /// The picture's width in pixels.
        width: usize,
        /// The picture's height in pixels.
        height: usize,
    },
    /// Nothing that is striped.
    #[error("no stripes were found in the picture")]
    NoStripes,
    /// Stripes both ways.
    #[error(
        "this is a plaid: it repeats every {across_mm:.1} mm from left to right and every {along_mm:.1} mm from bottom to top"
    )]
    Plaid {
        /// The repeat from left to right (mm).
        across_mm: f64,
        /// The repeat from bottom to top (mm).
        along_mm: f64,
    },
    /// Not enough of the stripe.
    #[error("the picture shows {shown_mm:.0} mm across the stripe, which is less than two repeats")]
    FewRepeats {
        /// How much it shows across the stripe (mm).
        shown_mm: f64,
        /// How much would be enough (mm).
        enough_mm: f64,
    },
    /// The stripe is finer than the pixels.
    #[error("the stripe repeats every {pixels:.1} pixels, which is too fine to tell its bands")]
    TooFine {
        /// Its repeat in pixels.
        pixels: f64,
    },
    /// So many bands that they are no stripe.
    #[error("more than {most} bands in a repeat were found: this is no stripe of plain bands")]
    TooManyBands {
        /// The most bands that are read.
        most: usize,
    },
    /// The picture could not be written.
    #[error("the comparison could not be drawn: {0}")]
    Draw(String),
}

impl SwatchError {
    /// What to do about it.
    pub fn help(&self) -> String {
        match self {
            Self::TooLarge { .. } | Self::TooManyPixels { .. } | Self::TooMuchMemory { .. } => {
                "save a smaller copy, or cut out the part that shows the fabric; 6000 x 4000 pixels are more than enough".into()
            }
            Self::NotAPicture | Self::OtherFormat(_) | Self::PixelKind(_) => {
                "open it in any program that shows pictures and save it as JPEG or PNG".into()
            }
            Self::Truncated | Self::NoPictureData | Self::Broken(_) => {
                "copy the file again from the camera, phone or scanner".into()
            }
            Self::Cmyk => "save it as RGB (for screens) in the program that made it".into(),
            Self::Transparent { .. } => {
                "save it without transparency, or crop it to where the fabric is".into()
            }
            Self::TooSmall { .. } => "show more of the fabric: at least 32 pixels each way".into(),
            Self::NoScale(_) => {
                "say how much fabric the picture shows from its left to its right edge (`--shows 8in`), or two points of the picture and how far apart they are on the fabric (`--points 120,80,2400,95 --apart 10in`), or scan it"
                    .into()
            }
            Self::BadScale(_) => {
                "points are pixels from the upper left corner of the picture as you see it; measure the fabric again".into()
            }
            Self::Crop { .. } => {
                "a crop is LEFT,TOP,WIDTH,HEIGHT in pixels from the upper left corner of the picture as you see it".into()
            }
            Self::NoStripes => {
                "crop the picture to the fabric, in even light, with several repeats of the stripe (`--crop LEFT,TOP,WIDTH,HEIGHT`)".into()
            }
            Self::Plaid { .. } => {
                "enter its bands by hand; `along` in the project file holds the bands that cross them".into()
            }
            Self::FewRepeats { enough_mm, .. } => {
                format!("show at least {enough_mm:.0} mm of the fabric across the stripe, better twice that")
            }
            Self::TooFine { .. } => "go closer, or scan at a higher resolution".into(),
            Self::TooManyBands { .. } => "enter its bands by hand, or crop to a part without print".into(),
            Self::Draw(_) => "leave the picture out".into(),
        }
    }
}
