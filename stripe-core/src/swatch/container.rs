//! What a picture's file says of itself before it is unpacked.

use super::SwatchError;
use image::ImageFormat;

/// Resolution in pixels to the mm, across and down the picture as it is stored.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Resolution {
    pub(super) across: f64,
    pub(super) down: f64,
}

/// The format of a file by its first bytes.
pub(super) fn format(bytes: &[u8]) -> Result<ImageFormat, SwatchError> {
    let other: [(&[u8], usize, &'static str); 9] = [
        (b"GIF8", 0, "GIF"),
        (b"BM", 0, "BMP"),
        (b"%PDF", 0, "PDF"),
        (b"<svg", 0, "SVG"),
        (b"<?xml", 0, "XML"),
        (b"8BPS", 0, "layered picture (PSD)"),
        (b"ftypheic", 4, "HEIC"),
        (b"ftypmif1", 4, "HEIF"),
        (b"ftypavif", 4, "AVIF"),
    ];
    match image::guess_format(bytes) {
        Ok(
            known @ (ImageFormat::Jpeg | ImageFormat::Png | ImageFormat::Tiff | ImageFormat::WebP),
        ) => Ok(known),
        _ => Err(other
            .iter()
            .find(|(magic, at, _)| bytes.get(*at..).is_some_and(|rest| rest.starts_with(magic)))
            .map_or(SwatchError::NotAPicture, |&(_, _, name)| {
                SwatchError::OtherFormat(name)
            })),
    }
}

/// What the markers of a JPEG tell.
#[derive(Debug, Default)]
pub(super) struct Jpeg {
    /// From the JFIF header, where it has a unit.
    pub(super) resolution: Option<Resolution>,
    /// Colours of a pixel: 1, 3 or 4.
    pub(super) channels: u8,
}

/// Walks the markers of a JPEG up to its end.
///
/// The decoder fills up what is missing with grey, without an error: the end of the picture
/// and some data before it are looked for here.
///
/// # Source
/// ITU-T T.81, annex B, for the markers; ITU-T T.871 for the JFIF header.
pub(super) fn jpeg(bytes: &[u8]) -> Result<Jpeg, SwatchError> {
    let mut jpeg = Jpeg::default();
    let mut at = 2;
    let mut scanned = 0;
    loop {
        let marker = loop {
            let Some(pair) = bytes.get(at..at + 2) else {
                return Err(SwatchError::Truncated);
            };
            match pair {
                [0xff, 0xff] => at += 1,
                [0xff, marker] => break *marker,
                _ => return Err(SwatchError::Broken("a marker is missing".into())),
            }
        };
        at += 2;
        match marker {
            0xd9 => break,
            0x01 | 0xd0..=0xd8 => continue,
            _ => {}
        }
        let Some(length) = bytes.get(at..at + 2) else {
            return Err(SwatchError::Truncated);
        };
        let length = usize::from(u16::from_be_bytes([length[0], length[1]]));
        if length < 2 {
            return Err(SwatchError::Broken("a segment has no length".into()));
        }
        let Some(segment) = bytes.get(at + 2..at + length) else {
            return Err(SwatchError::Truncated);
        };
        at += length;
        match marker {
            0xe0 if segment.starts_with(b"JFIF\0") && segment.len() >= 12 => {
                let density =
                    |i: usize| f64::from(u16::from_be_bytes([segment[i], segment[i + 1]]));
                let mm = match segment[7] {
                    1 => Some(25.4),
                    2 => Some(10.0),
                    _ => None,
                };
                jpeg.resolution = mm.map(|mm| Resolution {
                    across: density(8) / mm,
                    down: density(10) / mm,
                });
            }
            0xc0..=0xc3 | 0xc5..=0xc7 | 0xc9..=0xcb | 0xcd..=0xcf if segment.len() >= 6 => {
                jpeg.channels = segment[5];
            }
            0xda => {
                // The entropy-coded data run up to the next marker that is no stuffed byte
                // and no restart.
                let from = at;
                loop {
                    let Some(next) = bytes[at..].iter().position(|&byte| byte == 0xff) else {
                        return Err(SwatchError::Truncated);
                    };
                    at += next;
                    match bytes.get(at + 1) {
                        None => return Err(SwatchError::Truncated),
                        Some(0x00 | 0xd0..=0xd7) => at += 2,
                        Some(0xff) => at += 1,
                        Some(_) => break,
                    }
                }
                scanned += at - from;
            }
            _ => {}
        }
    }
    if scanned == 0 {
        return Err(SwatchError::NoPictureData);
    }
    Ok(jpeg)
}

/// The resolution of a PNG from its `pHYs` chunk, where that counts metres.
///
/// # Source
/// PNG specification, third edition, 11.3.4.3.
pub(super) fn png_resolution(bytes: &[u8]) -> Option<Resolution> {
    let mut at = 8;
    loop {
        let head = bytes.get(at..at + 8)?;
        let length = u32::from_be_bytes([head[0], head[1], head[2], head[3]]) as usize;
        match &head[4..8] {
            b"pHYs" => {
                let data = bytes.get(at + 8..at + 17)?;
                let per_metre = |i: usize| {
                    f64::from(u32::from_be_bytes([
                        data[i],
                        data[i + 1],
                        data[i + 2],
                        data[i + 3],
                    ]))
                };
                return (data[8] == 1).then(|| Resolution {
                    across: per_metre(0) / 1000.0,
                    down: per_metre(4) / 1000.0,
                });
            }
            b"IDAT" | b"IEND" => return None,
            _ => at = at.checked_add(length)?.checked_add(12)?,
        }
    }
}

/// What EXIF tells: a resolution, and whether a camera took the picture.
#[derive(Debug, Default)]
pub(super) struct Exif {
    pub(super) resolution: Option<Resolution>,
    pub(super) is_camera: bool,
}

/// Reads the tags that matter here.
///
/// # Source
/// EXIF 2.32 (CIPA DC-008): XResolution, YResolution, ResolutionUnit; ExposureTime and
/// FNumber, which no scanner writes.
pub(super) fn exif(tiff: Vec<u8>) -> Exif {
    use ::exif::{In, Reader, Tag, Value};
    let Ok(read) = Reader::new().read_raw(tiff) else {
        return Exif::default();
    };
    let number = |tag: Tag| match &read.get_field(tag, In::PRIMARY)?.value {
        Value::Rational(all) => all.first().map(|r| r.to_f64()).filter(|x| x.is_finite()),
        _ => None,
    };
    let unit = read
        .get_field(Tag::ResolutionUnit, In::PRIMARY)
        .and_then(|field| field.value.get_uint(0));
    let mm = match unit {
        Some(2) | None => Some(25.4),
        Some(3) => Some(10.0),
        Some(_) => None,
    };
    let both = number(Tag::XResolution).zip(number(Tag::YResolution));
    Exif {
        resolution: both.zip(mm).map(|((x, y), mm)| Resolution {
            across: x / mm,
            down: y / mm,
        }),
        is_camera: [Tag::ExposureTime, Tag::FNumber]
            .iter()
            .any(|&tag| read.get_field(tag, In::PRIMARY).is_some()),
    }
}
