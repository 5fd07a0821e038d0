//! Fabric with a known stripe, as a scanner or a camera would see it: made here, by no code
//! of the library but its colours and its chance.

use crate::Rng;
use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder};
use stripe_core::colour::Colour;

/// A swatch to be drawn. Lengths are pixels, angles degrees.
#[derive(Debug, Clone)]
pub struct Swatch {
    pub width: usize,
    pub height: usize,
    /// Widths and colours of one repeat.
    pub bands: Vec<(f64, Colour)>,
    /// The direction across the stripe, counter-clockwise from the right.
    pub degrees: f64,
    /// Where the first band begins, across from the middle of the picture.
    pub origin: f64,
    /// Noise of every sample (standard deviation, of 255).
    pub noise: f64,
    /// How much darker the grooves between threads are, 0 to 1, and how far they are apart.
    pub weave: f64,
    pub thread: f64,
    /// The light falls off by this share towards a corner.
    pub shade: f64,
    /// How far the lines bend away in the middle of the picture.
    pub bow: f64,
    /// By what share the repeat grows over the width of the picture.
    pub drift: f64,
}

impl Swatch {
    pub fn plain(width: usize, height: usize, bands: Vec<(f64, Colour)>) -> Self {
        Self {
            width,
            height,
            bands,
            degrees: 0.0,
            origin: 3.0,
            noise: 0.0,
            weave: 0.0,
            thread: 4.0,
            shade: 0.0,
            bow: 0.0,
            drift: 0.0,
        }
    }

    pub fn repeat(&self) -> f64 {
        self.bands.iter().map(|band| band.0).sum()
    }

    /// The light of the bands between two places across, by the share that each has of it.
    fn light(&self, from: f64, to: f64, lights: &[[f64; 3]]) -> [f64; 3] {
        let repeat = self.repeat();
        let mut at = (from / repeat).floor() * repeat;
        let mut sum = [0.0; 3];
        while at < to {
            for (band, light) in self.bands.iter().zip(lights) {
                let share = (to.min(at + band.0) - from.max(at)).max(0.0) / (to - from);
                for (s, l) in sum.iter_mut().zip(light) {
                    *s += share * l;
                }
                at += band.0;
            }
        }
        sum
    }

    /// All pixels, three bytes each.
    pub fn pixels(&self, rng: &mut Rng) -> Vec<u8> {
        let lights: Vec<[f64; 3]> = self.bands.iter().map(|b| b.1.to_light()).collect();
        let (sin, cos) = self.degrees.to_radians().sin_cos();
        let (w, h) = (self.width as f64, self.height as f64);
        let mut out = Vec::with_capacity(self.width * self.height * 3);
        for y in 0..self.height {
            for x in 0..self.width {
                let (dx, dy) = (x as f64 + 0.5 - w / 2.0, y as f64 + 0.5 - h / 2.0);
                let across = dx * cos - dy * sin;
                let along = (dx * sin + dy * cos) / (h / 2.0);
                let u = across - self.bow * (1.0 - along * along);
                // The repeat at `u` is so much larger: phases run slower there.
                let u = u - self.drift / w * u * u / 2.0;
                let mut light = self.light(u - self.origin - 0.6, u - self.origin + 0.6, &lights);
                let turn = std::f64::consts::TAU / self.thread;
                let groove = 1.0
                    + self.weave * ((across * turn).cos() + (along * h / 2.0 * turn).cos()) / 2.0;
                let (sx, sy) = (dx / w, dy / h);
                let lit = 1.0 - self.shade * (sx + 0.6 * sy + 0.8 * (sx * sx - 1.0 / 12.0));
                for l in &mut light {
                    *l = (*l * groove * lit).clamp(0.0, 1.0);
                }
                let seen = Colour::from_light(light);
                for sample in [seen.red, seen.green, seen.blue] {
                    let noise = self.noise * normal(rng);
                    out.push((f64::from(sample) + noise).round().clamp(0.0, 255.0) as u8);
                }
            }
        }
        out
    }

    /// A JPEG with a resolution of so many dots an inch.
    pub fn jpeg(&self, rng: &mut Rng, quality: u8, dpi: u16) -> Vec<u8> {
        jpeg(&self.pixels(rng), self.width, self.height, quality, dpi)
    }
}

/// Pixels as a JPEG.
pub fn jpeg(pixels: &[u8], width: usize, height: usize, quality: u8, dpi: u16) -> Vec<u8> {
    let mut file = vec![];
    let mut encoder = JpegEncoder::new_with_quality(&mut file, quality);
    encoder.set_pixel_density(image::codecs::jpeg::PixelDensity::dpi(dpi));
    let size = (width as u32, height as u32);
    encoder
        .write_image(pixels, size.0, size.1, ExtendedColorType::Rgb8)
        .unwrap();
    file
}

/// Chance of the normal distribution, near enough: the sum of twelve even ones.
fn normal(rng: &mut Rng) -> f64 {
    (0..12).map(|_| rng.fraction()).sum::<f64>() - 6.0
}

/// A stripe by chance: 2 to 9 bands, neighbours at least 8 apart (CIEDE2000), none narrower
/// than `least` pixels, in a repeat of so many pixels; half of them balanced.
pub fn stripe(rng: &mut Rng, repeat: f64, least: f64) -> Vec<(f64, Colour)> {
    loop {
        let channel = |rng: &mut Rng| rng.whole(12, 244) as u8;
        let mut bands: Vec<(f64, Colour)> = (0..rng.whole(2, 6))
            .map(|_| {
                let colour = Colour::new(channel(rng), channel(rng), channel(rng));
                (0.15 + rng.fraction() * rng.fraction(), colour)
            })
            .collect();
        if rng.fraction() < 0.5 {
            let back: Vec<_> = bands[1..bands.len() - 1].iter().rev().copied().collect();
            bands.extend(back);
        }
        let sum: f64 = bands.iter().map(|b| b.0).sum();
        for band in &mut bands {
            band.0 *= repeat / sum;
        }
        let apart =
            (0..bands.len()).all(|i| bands[i].1.difference(bands[(i + 1) % bands.len()].1) >= 8.0);
        if apart && bands.iter().all(|b| b.0 >= least) {
            return bands;
        }
    }
}
