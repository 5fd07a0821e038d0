//! A picture averaged down in linear light.

use super::decode::Photo;
use super::{Crop, SwatchError};
use image::DynamicImage;
use rayon::prelude::*;

/// Linear light, red, green and blue in 0 to 1, row by row from the top.
#[derive(Debug)]
pub(super) struct Raster {
    pub(super) width: usize,
    pub(super) height: usize,
    pub(super) pixels: Vec<[f32; 3]>,
}

/// The most see-through pixels of a picture that is read.
const MAX_TRANSPARENT: f64 = 0.001;

/// A sample of `of` steps as linear light.
///
/// # Source
/// IEC 61966-2-1:1999 (sRGB).
fn linear(sample: usize, of: usize) -> f32 {
    let s = sample as f64 / of as f64;
    let light = if s <= 0.040_45 {
        s / 12.92
    } else {
        ((s + 0.055) / 1.055).powf(2.4)
    };
    light as f32
}

/// Refuses a picture with see-through parts.
pub(super) fn refuse_transparent(photo: &Photo) -> Result<(), SwatchError> {
    fn share<T: Copy + Into<u32>>(samples: &[T], channels: usize, least: u32) -> f64 {
        let pixels = samples.chunks_exact(channels);
        let all = pixels.len().max(1);
        let clear = pixels.filter(|pixel| pixel[channels - 1].into() < least);
        clear.count() as f64 / all as f64
    }
    let share = match &photo.image {
        DynamicImage::ImageLumaA8(p) => share(p.as_raw(), 2, 250),
        DynamicImage::ImageRgba8(p) => share(p.as_raw(), 4, 250),
        DynamicImage::ImageLumaA16(p) => share(p.as_raw(), 2, 64_250),
        DynamicImage::ImageRgba16(p) => share(p.as_raw(), 4, 64_250),
        _ => 0.0,
    };
    if share > MAX_TRANSPARENT {
        return Err(SwatchError::Transparent { share });
    }
    Ok(())
}

/// The part `crop` of a picture, each pixel the mean of `factor` x `factor` of its pixels.
pub(super) fn average(photo: &Photo, crop: Crop, factor: usize) -> Result<Raster, SwatchError> {
    let eight = || (0..256).map(|i| linear(i, 255)).collect::<Vec<f32>>();
    let sixteen = || (0..65_536).map(|i| linear(i, 65_535)).collect::<Vec<f32>>();
    let width = photo.image.width() as usize;
    let shape = |channels| Shape {
        width,
        channels,
        crop,
        factor,
    };
    Ok(match &photo.image {
        DynamicImage::ImageLuma8(p) => shape(1).average(p.as_raw(), &eight()),
        DynamicImage::ImageLumaA8(p) => shape(2).average(p.as_raw(), &eight()),
        DynamicImage::ImageRgb8(p) => shape(3).average(p.as_raw(), &eight()),
        DynamicImage::ImageRgba8(p) => shape(4).average(p.as_raw(), &eight()),
        DynamicImage::ImageLuma16(p) => shape(1).average(p.as_raw(), &sixteen()),
        DynamicImage::ImageLumaA16(p) => shape(2).average(p.as_raw(), &sixteen()),
        DynamicImage::ImageRgb16(p) => shape(3).average(p.as_raw(), &sixteen()),
        DynamicImage::ImageRgba16(p) => shape(4).average(p.as_raw(), &sixteen()),
        _ => return Err(SwatchError::PixelKind("numbers with a point".into())),
    })
}

struct Shape {
    width: usize,
    channels: usize,
    crop: Crop,
    factor: usize,
}

impl Shape {
    fn average<T: Copy + Into<u32> + Sync>(&self, samples: &[T], light: &[f32]) -> Raster {
        let (factor, channels) = (self.factor, self.channels);
        let (width, height) = (self.crop.width / factor, self.crop.height / factor);
        // Where the second and third colour stand; grey has but one.
        let (green, blue) = if channels >= 3 { (1, 2) } else { (0, 0) };
        let share = 1.0 / (factor * factor) as f32;
        let rows = (0..height).into_par_iter().flat_map_iter(|row| {
            let mut sums = vec![[0.0f32; 3]; width];
            for y in 0..factor {
                let line = (self.crop.top + row * factor + y) * self.width + self.crop.left;
                let line = &samples[line * channels..][..width * factor * channels];
                for (sum, cell) in sums.iter_mut().zip(line.chunks_exact(factor * channels)) {
                    for pixel in cell.chunks_exact(channels) {
                        sum[0] += light[pixel[0].into() as usize];
                        sum[1] += light[pixel[green].into() as usize];
                        sum[2] += light[pixel[blue].into() as usize];
                    }
                }
            }
            sums.into_iter().map(move |sum| sum.map(|s| s * share))
        });
        Raster {
            width,
            height,
            pixels: rows.collect(),
        }
    }
}

/// The lightness curve of CIELAB, 0 to 100: equal steps of it look about alike.
///
/// # Source
/// CIE 15:2004, formula 8.3 (L*), here for each primary.
pub(super) fn lightness(light: f32) -> f32 {
    if light > 0.008_856 {
        116.0 * light.cbrt() - 16.0
    } else {
        903.3 * light.max(0.0)
    }
}

impl Raster {
    /// The picture with [`lightness`] for light.
    pub(super) fn to_lightness(&self) -> Self {
        let pixels = self.pixels.par_iter().map(|pixel| pixel.map(lightness));
        Self {
            width: self.width,
            height: self.height,
            pixels: pixels.collect(),
        }
    }

    /// The middle of the picture, at most `most` x `most` cells of `factor` x `factor` pixels.
    pub(super) fn middle(&self, most: usize, factor: usize) -> Self {
        let across = (self.width / factor).min(most);
        let down = (self.height / factor).min(most);
        let left = (self.width - across * factor) / 2;
        let top = (self.height - down * factor) / 2;
        let share = 1.0 / (factor * factor) as f32;
        let cell = |i: usize| {
            let (x, y) = (left + i % across * factor, top + i / across * factor);
            let mut sum = [0.0f32; 3];
            for row in y..y + factor {
                for pixel in &self.pixels[row * self.width + x..][..factor] {
                    for (s, p) in sum.iter_mut().zip(pixel) {
                        *s += p;
                    }
                }
            }
            sum.map(|s| s * share)
        };
        Self {
            width: across,
            height: down,
            pixels: (0..across * down).into_par_iter().map(cell).collect(),
        }
    }
}
