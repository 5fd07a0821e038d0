//! A picture's file to pixels, within limits.

use super::SwatchError;
use super::container::{self, Exif, Resolution};
use super::limits::{MAX_BYTES, MAX_DECODED_BYTES, MAX_PIXELS};
use image::codecs::{jpeg::JpegDecoder, png::PngDecoder, tiff::TiffDecoder, webp::WebPDecoder};
use image::metadata::Orientation;
use image::{DynamicImage, ExtendedColorType, ImageDecoder, ImageError, ImageFormat, Limits};
use std::io::Cursor;

/// A picture as it is seen: its orientation is applied.
pub(super) struct Photo {
    pub(super) image: DynamicImage,
    /// Pixels to the mm across and down the picture as it is seen, if the file says so.
    pub(super) resolution: Option<Resolution>,
    /// A camera took it: then its resolution is no measure of the fabric.
    pub(super) is_camera: bool,
}

/// Decodes a picture.
pub(super) fn decode(bytes: &[u8]) -> Result<Photo, SwatchError> {
    if bytes.len() > MAX_BYTES {
        return Err(SwatchError::TooLarge { most: MAX_BYTES });
    }
    let format = container::format(bytes)?;
    let cursor = Cursor::new(bytes);
    match format {
        ImageFormat::Jpeg => {
            let jpeg = container::jpeg(bytes)?;
            if jpeg.channels == 4 {
                return Err(SwatchError::Cmyk);
            }
            let decoder = JpegDecoder::new(cursor).map_err(|e| broken(&e))?;
            unpack(decoder, jpeg.resolution)
        }
        ImageFormat::Png => {
            let decoder = PngDecoder::with_limits(cursor, limits()).map_err(|e| broken(&e))?;
            unpack(decoder, container::png_resolution(bytes))
        }
        ImageFormat::Tiff => {
            let decoder = TiffDecoder::new(cursor).map_err(|e| broken(&e))?;
            let own = container::exif(bytes.to_vec());
            unpack(decoder, own.resolution)
        }
        _ => unpack(WebPDecoder::new(cursor).map_err(|e| broken(&e))?, None),
    }
}

fn limits() -> Limits {
    let mut limits = Limits::default();
    limits.max_alloc = Some(MAX_DECODED_BYTES);
    limits
}

fn unpack(
    mut decoder: impl ImageDecoder,
    stored: Option<Resolution>,
) -> Result<Photo, SwatchError> {
    let (width, height) = decoder.dimensions();
    if u64::from(width) * u64::from(height) > MAX_PIXELS {
        return Err(SwatchError::TooManyPixels { width, height });
    }
    // The decoders do not keep to a limit by themselves: a tiny file may claim any size.
    let bytes = decoder.total_bytes();
    if bytes > MAX_DECODED_BYTES {
        return Err(SwatchError::TooMuchMemory { bytes });
    }
    match decoder.original_color_type() {
        ExtendedColorType::Cmyk8 | ExtendedColorType::Cmyk16 => return Err(SwatchError::Cmyk),
        _ => {}
    }
    decoder.set_limits(limits()).map_err(|e| broken(&e))?;
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let exif = match decoder.exif_metadata() {
        Ok(Some(chunk)) => container::exif(chunk),
        _ => Exif::default(),
    };
    let profile = decoder.icc_profile().ok().flatten();
    let mut image = DynamicImage::from_decoder(decoder).map_err(|e| broken(&e))?;
    if let Some(profile) = profile.filter(|profile| profile.len() < MAX_PROFILE_BYTES) {
        to_srgb(&mut image, &profile);
    }
    image.apply_orientation(orientation);
    let turned = matches!(
        orientation,
        Orientation::Rotate90
            | Orientation::Rotate270
            | Orientation::Rotate90FlipH
            | Orientation::Rotate270FlipH
    );
    let resolution = stored.or(exif.resolution).map(|stored| match turned {
        true => Resolution {
            across: stored.down,
            down: stored.across,
        },
        false => stored,
    });
    Ok(Photo {
        image,
        resolution,
        is_camera: exif.is_camera,
    })
}

/// The largest colour profile that is heeded (bytes).
const MAX_PROFILE_BYTES: usize = 8 << 20;

/// Turns colours as the file's own profile means them into those of sRGB: telephones take
/// pictures in a wider space. A profile that makes no sense is left alone.
fn to_srgb(image: &mut DynamicImage, profile: &[u8]) {
    use moxcms::{ColorProfile, Layout, TransformOptions};
    let Ok(profile) = ColorProfile::new_from_slice(profile) else {
        return;
    };
    let (samples, layout, row) = match image {
        DynamicImage::ImageRgb8(p) => {
            (p.width() as usize * 3, Layout::Rgb, p.as_flat_samples_mut())
        }
        DynamicImage::ImageRgba8(p) => (
            p.width() as usize * 4,
            Layout::Rgba,
            p.as_flat_samples_mut(),
        ),
        _ => return,
    };
    let options = TransformOptions::default();
    let srgb = ColorProfile::new_srgb();
    let Ok(transform) = profile.create_transform_8bit(layout, &srgb, layout, options) else {
        return;
    };
    let mut out = vec![0; samples];
    for line in row.samples.chunks_exact_mut(samples) {
        if transform.transform(line, &mut out).is_err() {
            return;
        }
        line.copy_from_slice(&out);
    }
}

fn broken(error: &ImageError) -> SwatchError {
    match error {
        ImageError::IoError(io) if io.kind() == std::io::ErrorKind::UnexpectedEof => {
            SwatchError::Truncated
        }
        ImageError::Limits(_) => SwatchError::TooMuchMemory {
            bytes: MAX_DECODED_BYTES,
        },
        ImageError::Unsupported(kind) if kind.to_string().to_lowercase().contains("cmyk") => {
            SwatchError::Cmyk
        }
        ImageError::Unsupported(kind) => SwatchError::PixelKind(kind.to_string()),
        other => {
            let text = other.to_string();
            if text.to_lowercase().contains("unexpected end") || text.contains("eof") {
                SwatchError::Truncated
            } else {
                SwatchError::Broken(text.chars().take(120).collect())
            }
        }
    }
}
