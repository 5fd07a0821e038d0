//! The pixels of a fabric's picture, and whether they show the stripe.

use super::{Picture, PictureError};
use crate::colour::Colour;
use crate::fabric::Band;
use image::codecs::{jpeg::JpegDecoder, png::PngDecoder};
use image::{DynamicImage, ImageDecoder, ImageFormat, Limits, RgbImage};
use std::io::Cursor;

/// Places along the repeat at which picture and bands are compared.
const BINS: usize = 240;
/// So large a share of the bands' own contrast may a picture be off.
const MOST_OFF: f64 = 0.5;
/// What a picture may always be off (a distance of CIELAB): faint stripes drown in noise.
const FAINT: f64 = 6.0;
/// Colours as a whole may be off by this: photographs are lighter or darker than what is listed.
const MOST_CAST: f64 = 35.0;

impl Picture {
    /// Its pixels, row by row from the top.
    ///
    /// # Errors
    /// What is wrong with the file; nothing, for a picture that was made by [`Picture::try_new`].
    pub fn pixels(&self) -> Result<&RgbImage, PictureError> {
        let pixels = self.held.pixels.get_or_init(|| decode(&self.held.file));
        pixels.as_ref().map_err(Clone::clone)
    }

    /// What is wrong with the file, if anything is.
    pub(crate) fn seen(&self) -> Result<(), PictureError> {
        self.pixels().map(drop)
    }

    /// Whether the picture shows these bands, from left to right: its columns are compared with
    /// them (distances of CIELAB, the mean of each taken out, since light is never the same).
    ///
    /// # Errors
    /// How it differs, where that can be told.
    pub fn compare(&self, bands: &[Band]) -> Result<(), PictureError> {
        let pixels = self.pixels()?;
        let listed = centred(&listed(bands));
        let seen = columns(pixels);
        let cast = (0..3).map(|c| (listed.0[c] - mean(&seen)[c]).powi(2));
        if cast.sum::<f64>().sqrt() > MOST_CAST {
            return Err(PictureError::OtherBands);
        }
        let whole = |bins: &[[f64; 3]]| bins.iter().map(length).sum::<f64>() / BINS as f64;
        let most = (MOST_OFF * whole(&listed.1)).max(FAINT);
        let bins_of = |repeats: usize, is_reversed: bool| -> Vec<[f64; 3]> {
            let of = seen.len() as f64 / repeats as f64;
            let bins = (0..BINS).map(|i| {
                let i = if is_reversed { BINS - 1 - i } else { i };
                seen[((i as f64 + 0.5) / BINS as f64 * of) as usize]
            });
            centred(&bins.collect::<Vec<_>>()).1
        };
        let off = |bins: &[[f64; 3]], by: usize| {
            let apart = (0..BINS).map(|i| {
                let (a, b) = (&bins[i], &listed.1[(i + by) % BINS]);
                length(&[a[0] - b[0], a[1] - b[1], a[2] - b[2]])
            });
            apart.sum::<f64>() / BINS as f64
        };
        let straight = bins_of(1, false);
        let so = off(&straight, 0);
        let best = |bins: &[[f64; 3]]| -> (usize, f64) {
            let all = (0..BINS).map(|by| (by, off(bins, by)));
            all.min_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((0, so))
        };
        let (by, moved) = best(&straight);
        let far = by.min(BINS - by);
        // A shift that fits far better is a shift, however small the difference is.
        if so <= most && !(far > BINS / 40 && moved < so / 2.0 && so > FAINT) {
            return Ok(());
        }
        if moved <= most {
            return Err(PictureError::Begins((far * 100 / BINS).max(1) as u32));
        }
        if best(&bins_of(1, true)).1 <= most {
            return Err(PictureError::Reversed);
        }
        let several = (2..=4).find(|&repeats| best(&bins_of(repeats, false)).1 <= most);
        Err(several.map_or(PictureError::OtherBands, PictureError::Repeats))
    }
}

fn decode(file: &[u8]) -> Result<RgbImage, PictureError> {
    if file.len() > Picture::MAX_BYTES {
        return Err(PictureError::TooLarge);
    }
    let broken = |error: image::ImageError| {
        PictureError::Broken(error.to_string().chars().take(120).collect())
    };
    let format = image::guess_format(file).map_err(|_| PictureError::Kind)?;
    let cursor = Cursor::new(file);
    match format {
        ImageFormat::Png => unpack(PngDecoder::new(cursor).map_err(broken)?),
        ImageFormat::Jpeg => {
            // The decoder fills what is missing with grey and says nothing.
            if !file.windows(2).any(|pair| pair == [0xff, 0xd9]) {
                return Err(PictureError::Broken("the file ends early".into()));
            }
            unpack(JpegDecoder::new(cursor).map_err(broken)?)
        }
        _ => Err(PictureError::Kind),
    }
}

fn unpack(mut decoder: impl ImageDecoder) -> Result<RgbImage, PictureError> {
    let (width, height) = decoder.dimensions();
    let sides = Picture::SIDES_PX;
    if !(sides.contains(&width) && sides.contains(&height)) {
        return Err(PictureError::Sides { width, height });
    }
    let broken = |error: image::ImageError| {
        PictureError::Broken(error.to_string().chars().take(120).collect())
    };
    let mut limits = Limits::default();
    limits.max_alloc = Some(128 << 20);
    decoder.set_limits(limits).map_err(broken)?;
    let turn = decoder.orientation().map_err(broken)?;
    let mut image = DynamicImage::from_decoder(decoder).map_err(broken)?;
    image.apply_orientation(turn);
    Ok(image.to_rgb8())
}

/// Each column's mean in linear light, in CIELAB.
fn columns(pixels: &RgbImage) -> Vec<[f64; 3]> {
    let mut sums = vec![[0.0; 3]; pixels.width() as usize];
    for (x, _, pixel) in pixels.enumerate_pixels() {
        let light = Colour::new(pixel.0[0], pixel.0[1], pixel.0[2]).to_light();
        for (sum, l) in sums[x as usize].iter_mut().zip(light) {
            *sum += l;
        }
    }
    let share = 1.0 / f64::from(pixels.height());
    let lab = |sum: [f64; 3]| Colour::from_light(sum.map(|s| s * share)).to_lab();
    sums.into_iter().map(lab).collect()
}

/// The bands' own colours along the repeat, in CIELAB.
fn listed(bands: &[Band]) -> Vec<[f64; 3]> {
    let repeat_mm: f64 = bands.iter().map(|band| band.width_mm).sum();
    let labs: Vec<[f64; 3]> = bands.iter().map(|band| band.colour.to_lab()).collect();
    let bins = (0..BINS).map(|i| {
        let mut rest = (i as f64 + 0.5) / BINS as f64 * repeat_mm;
        let at = bands.iter().position(|band| {
            rest -= band.width_mm;
            rest < 0.0
        });
        labs[at.unwrap_or(bands.len() - 1)]
    });
    bins.collect()
}

fn mean(bins: &[[f64; 3]]) -> [f64; 3] {
    [0, 1, 2].map(|c| bins.iter().map(|bin| bin[c]).sum::<f64>() / bins.len() as f64)
}

/// The mean, and what is left without it.
fn centred(bins: &[[f64; 3]]) -> ([f64; 3], Vec<[f64; 3]>) {
    let mean = mean(bins);
    let rest = bins.iter().map(|b| [0, 1, 2].map(|c| b[c] - mean[c]));
    (mean, rest.collect())
}

fn length(lab: &[f64; 3]) -> f64 {
    lab.iter().map(|l| l * l).sum::<f64>().sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::ImageEncoder;
    use image::codecs::png::PngEncoder;

    fn bands() -> Vec<Band> {
        let colour = |hex: &str| hex.parse().unwrap();
        vec![
            Band::new("blue", 30.0, colour("#1f3a5f")),
            Band::new("cream", 10.0, colour("#f2ead8")),
            Band::new("red", 20.0, colour("#c8453b")),
        ]
    }

    fn file(width: u32, of: impl Fn(f64) -> f64) -> Vec<u8> {
        let bands = bands();
        let mut pixels = vec![];
        for _ in 0..20 {
            for x in 0..width {
                let mut rest = of((f64::from(x) + 0.5) / f64::from(width)).rem_euclid(1.0) * 60.0;
                let band = bands.iter().find(|band| {
                    rest -= band.width_mm;
                    rest < 0.0
                });
                let colour = band.unwrap().colour;
                pixels.extend([colour.red, colour.green, colour.blue]);
            }
        }
        let mut file = vec![];
        let encoder = PngEncoder::new(&mut file);
        let kind = image::ExtendedColorType::Rgb8;
        encoder.write_image(&pixels, width, 20, kind).unwrap();
        file
    }

    #[test]
    fn a_picture_is_held_against_the_bands() {
        let compare = |of: &dyn Fn(f64) -> f64| {
            let picture = Picture::try_new(file(120, of)).unwrap();
            picture.compare(&bands())
        };
        assert_eq!(compare(&|x| x), Ok(()));
        assert_eq!(compare(&|x| x + 0.01), Ok(()));
        assert_eq!(compare(&|x| x + 0.1), Err(PictureError::Begins(10)));
        assert_eq!(compare(&|x| x + 0.5), Err(PictureError::Begins(50)));
        assert_eq!(compare(&|x| -x), Err(PictureError::Reversed));
        assert_eq!(compare(&|x| 2.0 * x), Err(PictureError::Repeats(2)));
        assert_eq!(compare(&|_| 0.1), Err(PictureError::OtherBands));
    }

    #[test]
    fn odd_files_are_told() {
        let whole = file(120, |x| x);
        let refused = |file: &[u8]| Picture::try_new(file.to_vec()).unwrap_err();
        assert_eq!(refused(b""), PictureError::Kind);
        assert_eq!(refused(b"GIF89a and more of it"), PictureError::Kind);
        assert!(matches!(
            refused(&whole[..whole.len() / 2]),
            PictureError::Broken(_)
        ));
        assert!(matches!(
            refused(&file(8, |x| x)),
            PictureError::Sides { width: 8, .. }
        ));
        assert_eq!(refused(&vec![0; (1 << 20) + 1]), PictureError::TooLarge);
        // RFC 4648: what is written is what is read.
        let picture = Picture::try_new(whole).unwrap();
        let text = serde_json::to_string(&picture).unwrap();
        assert_eq!(serde_json::from_str::<Picture>(&text).unwrap(), picture);
        assert!(serde_json::from_str::<Picture>("\"=\"").is_err());
        let broken: Picture = serde_json::from_str("\"iVBORw0K\"").unwrap();
        assert!(broken.pixels().is_err());
    }
}
