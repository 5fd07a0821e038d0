//! One repeat of the fabric out of the photograph: straight, evenly lit, and such that it can be
//! set again and again along the stripe.

use super::decode::decode;
use super::profile::Place;
use super::raster::{Raster, average};
use super::{Crop, Reading, SwatchError};
use crate::colour::Colour;
use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder};

/// The longer side of the picture (pixels).
const LONGEST: usize = 400;
/// The least sides of it (pixels).
const LEAST: usize = 24;
/// Rows that are blended where it is set again, as a share of its height.
const BLENDED: f64 = 0.25;
/// The quality of the file, of 100.
const QUALITY: u8 = 90;

/// A JPEG file that shows one repeat, from where the first band begins, upright: at most 400
/// pixels wide and high, of square pixels. What `picture` of a fabric names.
///
/// The repeat is taken from where the photograph shows the most of one without a break. Its
/// last rows are blended into its first ones about the mean of each column, so that noise
/// and weave keep their strength.
///
/// # Source
/// Blending that keeps the variance: Heitz and Neyret, "High-performance by-example noise using
/// a histogram-preserving blending operator" (2018), section 4, from memory.
///
/// # Errors
/// A picture that cannot be decoded (it could when it was read) or encoded.
pub fn straightened(bytes: &[u8], reading: &Reading) -> Result<Vec<u8>, SwatchError> {
    let photo = decode(bytes)?;
    let shape = &reading.shape;
    let Crop { width, height, .. } = shape.crop;
    let place = Place::new(shape.frame, width / shape.factor, height / shape.factor);
    let repeat_px = 1.0 / shape.turns[1].abs().max(1e-6);
    let full_px = repeat_px * shape.factor as f64;
    let columns = (full_px.round() as usize).clamp(LEAST, LONGEST);
    let px = repeat_px / columns as f64;
    let lies = Lies {
        reading,
        place,
        size: [width, height].map(|side| (side / shape.factor) as f64),
        columns,
        px,
    };
    let (turn, t, rows) = lies.window();
    let blended = (rows as f64 * BLENDED) as usize;
    let all = rows + blended;

    // The part of the photograph that is looked at, averaged to about the pixels wanted.
    let at = |x: usize, y: usize| {
        let (u, t) = lies.at(turn, t, x as f64 + 0.5, y as f64 + 0.5, all);
        place.on_picture(u, t).map(|p| p * shape.factor as f64)
    };
    let (mut low, mut high) = ([f64::MAX; 2], [0.0f64; 2]);
    for y in 0..all {
        let step = if y == 0 || y + 1 == all {
            1
        } else {
            columns - 1
        };
        for x in (0..columns).step_by(step.max(1)) {
            for (i, p) in at(x, y).into_iter().enumerate() {
                low[i] = low[i].min(p);
                high[i] = high[i].max(p);
            }
        }
    }
    let factor = ((px * shape.factor as f64) as usize).max(1);
    let margin = 2.0 * factor as f64;
    let range = |i: usize, most: usize| {
        let from = (low[i] - margin).clamp(0.0, most as f64) as usize;
        let to = (high[i] + margin).clamp(0.0, most as f64) as usize;
        // At least two averaged pixels, wherever the window lies.
        let wide = to.saturating_sub(from).max(2 * factor).min(most);
        (from.min(most - wide), wide)
    };
    let ((left, wide), (top, tall)) = (range(0, width), range(1, height));
    let part = Crop {
        left: shape.crop.left + left,
        top: shape.crop.top + top,
        width: wide,
        height: tall,
    };
    let raster = average(&photo, part, factor)?;
    drop(photo);

    let mut light = Vec::with_capacity(columns * all);
    for y in 0..all {
        for x in 0..columns {
            let [px, py] = at(x, y);
            let seen = between(
                &raster,
                (px - left as f64) / factor as f64,
                (py - top as f64) / factor as f64,
            );
            let (u, t) = lies.at(turn, t, x as f64 + 0.5, y as f64 + 0.5, all);
            let lit = shape.light.at(place.bin(u), t) as f32;
            light.push(seen.map(|s| s / lit));
        }
    }
    let rgb = blend(&light, columns, rows, blended);
    let mut file = vec![];
    JpegEncoder::new_with_quality(&mut file, QUALITY)
        .write_image(&rgb, columns as u32, rows as u32, ExtendedColorType::Rgb8)
        .map_err(|error| SwatchError::Draw(error.to_string()))?;
    Ok(file)
}

/// How the repeat that is wanted lies on the photograph.
struct Lies<'r> {
    reading: &'r Reading,
    place: Place,
    /// Of what was read (its pixels).
    size: [f64; 2],
    /// Pixels of the repeat.
    columns: usize,
    /// Pixels of what was read for one of them.
    px: f64,
}

impl Lies<'_> {
    /// Where a place of the picture is on the photograph: across and along, for a picture of so
    /// many rows whose repeat begins at `turn` and whose middle lies at `t`.
    fn at(&self, turn: f64, t: f64, x: f64, y: f64, rows: usize) -> (f64, f64) {
        let [base, slope, curve] = self.reading.shape.turns;
        let wanted = turn + x / self.columns as f64 - base;
        let mut far = wanted / slope;
        for _ in 0..6 {
            let off = far * (slope + far * curve) - wanted;
            far -= off / (slope + 2.0 * far * curve);
        }
        let u = far + self.reading.shape.middle - self.place.bin(0.0);
        let along = t + (y - rows as f64 / 2.0) * self.px / self.place.half[1];
        (u, along)
    }

    /// The repeat's beginning (turns), its middle along the stripe and its rows: as many as one
    /// repeat has columns, fewer where the photograph does not show them without a break.
    fn window(&self) -> (f64, f64, usize) {
        let shape = &self.reading.shape;
        let middle = self.place.bin(0.0) - shape.middle;
        let [base, slope, curve] = shape.turns;
        let turn = base + middle * (slope + middle * curve);
        // The one in the middle first, then its neighbours.
        let nearest = (turn - 0.5 - shape.first).round() + shape.first;
        let mut rows = self.columns.clamp(LONGEST / 2, LONGEST);
        while rows > LEAST {
            let all = rows + (rows as f64 * BLENDED) as usize;
            for step in 0..41 {
                let by = f64::from((step + 1) / 2) * if step % 2 == 0 { 1.0 } else { -1.0 };
                for t in [0.0, -0.2, 0.2, -0.4, 0.4, -0.6, 0.6] {
                    if self.is_shown(nearest + by, t, all) {
                        return (nearest + by, t, rows);
                    }
                }
            }
            rows = rows * 4 / 5;
        }
        (nearest, 0.0, LEAST)
    }

    fn is_shown(&self, turn: f64, t: f64, all: usize) -> bool {
        (0..=4).all(|i| {
            (0..=4).all(|j| {
                let x = f64::from(i) / 4.0 * self.columns as f64;
                let y = f64::from(j) / 4.0 * all as f64;
                let (u, t) = self.at(turn, t, x, y, all);
                let [px, py] = self.place.on_picture(u, t);
                (1.0..self.size[0] - 1.0).contains(&px) && (1.0..self.size[1] - 1.0).contains(&py)
            })
        })
    }
}

/// The light at a place (pixels), between the four pixels about it.
fn between(raster: &Raster, x: f64, y: f64) -> [f32; 3] {
    let split = |at: f64, of: usize| {
        let at = (at - 0.5).clamp(0.0, (of - 1) as f64);
        let first = at as usize;
        (first, (first + 1).min(of - 1), (at - first as f64) as f32)
    };
    let (left, right, x) = split(x, raster.width);
    let (top, bottom, y) = split(y, raster.height);
    let pixel = |x: usize, y: usize| raster.pixels[y * raster.width + x];
    let (a, b) = (pixel(left, top), pixel(right, top));
    let (c, d) = (pixel(left, bottom), pixel(right, bottom));
    [0, 1, 2].map(|i| (a[i] * (1.0 - x) + b[i] * x) * (1.0 - y) + (c[i] * (1.0 - x) + d[i] * x) * y)
}

/// The first `rows`, of which the first `blended` go over from those below the last one.
fn blend(light: &[[f32; 3]], columns: usize, rows: usize, blended: usize) -> Vec<u8> {
    let all = rows + blended;
    let mut means = vec![[0.0f32; 3]; columns];
    for (i, pixel) in light.iter().enumerate() {
        for (m, p) in means[i % columns].iter_mut().zip(pixel) {
            *m += p / all as f32;
        }
    }
    let mut rgb = Vec::with_capacity(columns * rows * 3);
    for y in 0..rows {
        for x in 0..columns {
            let own = light[y * columns + x];
            let shown = if y < blended {
                let other = light[(rows + y) * columns + x];
                let share = (y as f32 + 0.5) / blended as f32;
                let strength = share.hypot(1.0 - share);
                let mean = means[x];
                [0, 1, 2].map(|c| {
                    let off = share * (own[c] - mean[c]) + (1.0 - share) * (other[c] - mean[c]);
                    mean[c] + off / strength
                })
            } else {
                own
            };
            let seen = Colour::from_light(shown.map(f64::from));
            rgb.extend([seen.red, seen.green, seen.blue]);
        }
    }
    rgb
}
