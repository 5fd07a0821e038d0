//! What a striped fabric looks like: a straightened picture of one repeat.
//!
//! Its left edge is the beginning of the first band, its right edge the end of the last, its
//! lower edge lies towards the cut end; pixels are square, so the picture's shape tells how far
//! it reaches along the stripe, where it is set again and again. Pieces never lie by it: the
//! bands alone say where the stripe is. So without the feature `picture`, which drawings and the
//! reading of photographs ask for, a picture is carried and not looked at.

#[cfg(feature = "picture")]
mod pixels;
#[cfg(not(feature = "picture"))]
mod unseen;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
#[cfg(feature = "picture")]
use image::RgbImage;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::ops::RangeInclusive;
use std::sync::Arc;
#[cfg(feature = "picture")]
use std::sync::OnceLock;

/// A picture of one repeat of a stripe: a PNG or JPEG file.
#[derive(Clone)]
pub struct Picture {
    held: Arc<Held>,
}

/// The file, and its pixels once anybody asked for them.
struct Held {
    file: Vec<u8>,
    #[cfg(feature = "picture")]
    pixels: OnceLock<Result<RgbImage, PictureError>>,
}

/// Why a file is no picture of a repeat.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PictureError {
    /// A file above [`Picture::MAX_BYTES`].
    #[error("the picture is larger than 1 MB")]
    TooLarge,
    /// Neither PNG nor JPEG.
    #[error("it is neither a PNG nor a JPEG file")]
    Kind,
    /// A side beyond [`Picture::SIDES_PX`].
    #[error("the picture has {width} x {height} pixels; each side has 16 to 2,000")]
    Sides {
        /// Pixels from left to right.
        width: u32,
        /// Pixels from top to bottom.
        height: u32,
    },
    /// A file that ends early, or cannot be decoded.
    #[error("the picture cannot be read: {0}")]
    Broken(String),
    /// More repeats than one.
    #[error("the picture shows {0} repeats of the stripe, and must show one")]
    Repeats(usize),
    /// The bands in the opposite order.
    #[error("the picture shows the stripe the other way around")]
    Reversed,
    /// The first band does not begin at the left edge.
    #[error(
        "the picture does not begin where the first band does: it begins {0} % of a repeat away from that"
    )]
    Begins(u32),
    /// Something else altogether.
    #[error("the picture does not show the bands of the stripe")]
    OtherBands,
}

impl Picture {
    /// The largest file (bytes).
    pub const MAX_BYTES: usize = 1 << 20;
    /// What the sides of a picture may be (pixels).
    pub const SIDES_PX: RangeInclusive<u32> = 16..=2000;

    /// A picture from its file.
    ///
    /// # Errors
    /// What is wrong with the file. Whether it shows the stripe is for [`Picture::compare`].
    pub fn try_new(file: Vec<u8>) -> Result<Self, PictureError> {
        let picture = Self::unseen(file);
        picture.seen()?;
        Ok(picture)
    }

    fn unseen(file: Vec<u8>) -> Self {
        let held = Held {
            file,
            #[cfg(feature = "picture")]
            pixels: OnceLock::new(),
        };
        Self {
            held: Arc::new(held),
        }
    }

    /// The file itself.
    pub fn file(&self) -> &[u8] {
        &self.held.file
    }
}

impl std::fmt::Debug for Picture {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Picture({} bytes)", self.file().len())
    }
}

impl PartialEq for Picture {
    fn eq(&self, other: &Self) -> bool {
        self.file() == other.file()
    }
}

/// In a plan, the file in Base64 (RFC 4648).
impl Serialize for Picture {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        STANDARD.encode(self.file()).serialize(to)
    }
}

impl<'de> Deserialize<'de> for Picture {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        use serde::de::Error;
        let text = String::deserialize(from)?;
        if text.len() > Self::MAX_BYTES.div_ceil(3) * 4 {
            return Err(D::Error::custom(PictureError::TooLarge));
        }
        let file = STANDARD.decode(text).map_err(D::Error::custom)?;
        // A plan may be a stranger's: nothing is unpacked before its pictures are counted.
        Ok(Self::unseen(file))
    }
}
