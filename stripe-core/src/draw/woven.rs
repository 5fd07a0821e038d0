//! Striped fabric as it looks: its picture, laid out over areas of a drawing.
//!
//! An area gets a picture of its own, sampled so that each pixel shows the very place of the
//! stripe that it stands for: drawn as a tile that repeats, the tile would be rounded to
//! whole pixels by who draws it, and the stripe would run away from its bands.

use super::bands::Fall;
use super::scene::{Item, Shown};
use crate::colour::Colour;
use crate::plan::Plan;
use crate::shape::{Point, dot, point};
use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder};
use rayon::prelude::*;
use std::sync::Arc;

/// Pixels of a picture to a millimetre of paper: 152 to the inch.
const PIXELS_PER_MM: f64 = 6.0;
/// A repeat that is shorter on paper than this (mm) is shown by its bands.
const FINEST_REPEAT_MM: f64 = 1.5;
/// The quality of a picture in a drawing, of 100.
const QUALITY: u8 = 82;
/// The most pixels of one area: more than a sheet has.
const MOST_PIXELS: f64 = 8e6;

/// One repeat, in linear light.
struct Tile {
    width: usize,
    height: usize,
    light: Vec<[f32; 3]>,
}

/// The pictures of a plan's fabrics.
pub(super) struct Woven<'p> {
    tiles: Vec<(&'p str, Tile)>,
}

impl<'p> Woven<'p> {
    /// The pictures of a plan that was found sound; those of one fabric, if only that is drawn.
    pub fn of(plan: &'p Plan, only: Option<&str>) -> Self {
        let wanted = plan.pictures.iter();
        let wanted = wanted.filter(|note| only.is_none_or(|name| name == note.fabric));
        let tiles = wanted.filter_map(|note| {
            let pixels = note.picture.pixels().ok()?;
            let light = pixels.pixels().map(|pixel| {
                let [red, green, blue] = pixel.0;
                Colour::new(red, green, blue).to_light().map(|l| l as f32)
            });
            let tile = Tile {
                width: pixels.width() as usize,
                height: pixels.height() as usize,
                light: light.collect(),
            };
            Some((note.fabric.as_str(), tile))
        });
        Self {
            tiles: tiles.collect(),
        }
    }

    /// Bands alone.
    pub fn none() -> Self {
        Self { tiles: vec![] }
    }

    /// What fills the box from `low` to `high` (frame of `fall`) and reaches beyond it, to be cut
    /// off by the outline that it is wanted in: the picture of the fabric, or its bands.
    ///
    /// `to_page` maps the frame to the page, `scale` is its factor.
    pub fn areas(
        &self,
        fabric: &str,
        fall: &Fall<'_>,
        [low, high]: [Point; 2],
        to_page: impl Fn(Point) -> Point,
        scale: f64,
    ) -> Vec<Item> {
        let tile = self.tiles.iter().find(|(name, _)| *name == fabric);
        let drawn = tile.filter(|_| fall.repeat_mm() * scale >= FINEST_REPEAT_MM);
        drawn
            .and_then(|(_, tile)| tile.area(fall, [low, high], &to_page, scale))
            .map_or_else(
                || fall.areas([low, high], &to_page, scale),
                |shown| vec![Item::Shown(shown)],
            )
    }
}

impl Tile {
    fn area(
        &self,
        fall: &Fall<'_>,
        [low, high]: [Point; 2],
        to_page: impl Fn(Point) -> Point,
        scale: f64,
    ) -> Option<Shown> {
        let corners = [low, point(high.x, low.y), high, point(low.x, high.y)].map(&to_page);
        let (from, to) = crate::shape::ring::extent(corners);
        let pixels = |mm: f64| (mm * PIXELS_PER_MM).ceil().max(1.0) + 2.0;
        let (width, height) = (pixels(to.x - from.x), pixels(to.y - from.y));
        if width * height > MOST_PIXELS || !(width * height).is_finite() {
            return None;
        }
        // Phase across and along are linear on the page: told by three points of the frame.
        let [o, x, y] = [point(0.0, 0.0), point(1.0, 0.0), point(0.0, 1.0)];
        let [page_o, page_x, page_y] = [o, x, y].map(&to_page);
        let (a, b) = (page_x - page_o, page_y - page_o);
        let doubled = a.x * b.y - a.y * b.x;
        let back = |v: Point| {
            point(
                (v.x * b.y - v.y * b.x) / doubled,
                (a.x * v.y - a.y * v.x) / doubled,
            )
        };
        let along = fall.along();
        let repeat_mm = fall.repeat_mm();
        let level = self.averaged(repeat_mm * scale * PIXELS_PER_MM);
        let to_px = level.width as f64 / repeat_mm;
        let step = 1.0 / PIXELS_PER_MM;
        let corner = from - point(step, step);
        let (width, height) = (width as usize, height as usize);
        let rows = (0..height).into_par_iter().flat_map_iter(|row| {
            let level = &level;
            (0..width).flat_map(move |column| {
                let middle = point(column as f64 + 0.5, row as f64 + 0.5) * step + corner;
                let p = back(middle - page_o);
                let u = fall.phase_at(p) * to_px;
                // The picture's rows run down, towards the cut end.
                let v = -(dot(along, p) + fall.along_shift_mm()) * to_px;
                level.at(u, v)
            })
        });
        let rgb: Vec<u8> = rows.collect();
        let mut file = vec![];
        JpegEncoder::new_with_quality(&mut file, QUALITY)
            .write_image(&rgb, width as u32, height as u32, ExtendedColorType::Rgb8)
            .ok()?;
        Some(Shown {
            corner,
            width_mm: width as f64 * step,
            height_mm: height as f64 * step,
            jpeg: Arc::new(file),
            is_mirrored: false,
        })
    }

    /// The same, of about so many pixels a repeat if it has more: each the mean of those that
    /// it covers, so that threads that are too fine to be shown leave no pattern of their own.
    fn averaged(&self, wanted: f64) -> Level {
        let width = (wanted.round() as usize).clamp(1, self.width);
        let height = (self.height * width).div_ceil(self.width).max(1);
        let shares = |from: usize, to: usize| -> Vec<(usize, usize)> {
            let of = |i: usize| (i * from / to, ((i + 1) * from).div_ceil(to).min(from));
            (0..to).map(of).collect()
        };
        let (xs, ys) = (shares(self.width, width), shares(self.height, height));
        let mut samples = Vec::with_capacity(width * height);
        for &(top, bottom) in &ys {
            for &(left, right) in &xs {
                let mut sum = [0.0f32; 3];
                for y in top..bottom {
                    for pixel in &self.light[y * self.width + left..y * self.width + right] {
                        for (s, l) in sum.iter_mut().zip(pixel) {
                            *s += l;
                        }
                    }
                }
                let share = 1.0 / ((right - left) * (bottom - top)) as f32;
                let mean = Colour::from_light(sum.map(|s| f64::from(s * share)));
                samples.push([mean.red, mean.green, mean.blue].map(f32::from));
            }
        }
        Level {
            width,
            height,
            samples,
        }
    }
}

/// A tile of as many pixels as a drawing shows of it, as samples of sRGB.
struct Level {
    width: usize,
    height: usize,
    samples: Vec<[f32; 3]>,
}

impl Level {
    /// The samples at a place (pixels, repeating both ways), between the four pixels about it.
    fn at(&self, u: f64, v: f64) -> [u8; 3] {
        let split = |at: f64, of: usize| {
            let at = (at - 0.5).rem_euclid(of as f64);
            let first = (at as usize).min(of - 1);
            (first, (first + 1) % of, (at - first as f64) as f32)
        };
        let (left, right, x) = split(u, self.width);
        let (top, bottom, y) = split(v, self.height);
        let pixel = |x: usize, y: usize| self.samples[y * self.width + x];
        let (a, b) = (pixel(left, top), pixel(right, top));
        let (c, d) = (pixel(left, bottom), pixel(right, bottom));
        [0, 1, 2].map(|i| {
            let seen =
                (a[i] * (1.0 - x) + b[i] * x) * (1.0 - y) + (c[i] * (1.0 - x) + d[i] * x) * y;
            seen.round() as u8
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fabric::{Band, Run};
    use crate::shape::{Rigid, unit};

    /// Red grows across the repeat, green up the picture: a piece that is turned or mirrored shows
    /// at each point what the fabric has there.
    #[test]
    fn each_pixel_shows_its_own_place_of_the_fabric() {
        let bands = vec![Band::new("a", 60.0, Colour::new(9, 9, 9))];
        let size = 240;
        let light = (0..size * size).map(|i| {
            let sample = |n: usize| (n * 255 / size) as u8;
            let seen = Colour::new(sample(i % size), sample(size - 1 - i / size), 128);
            seen.to_light().map(|l| l as f32)
        });
        let tile = Tile {
            width: size,
            height: size,
            light: light.collect(),
        };
        let mut looked = 0;
        for (run, lean_deg) in [
            (Run::Lengthwise, 0.0),
            (Run::Lengthwise, 7.0),
            (Run::Crosswise, -3.0),
        ] {
            let stripe =
                crate::fabric::Stripe::try_new(run, lean_deg, 11.0, bands.clone()).unwrap();
            for (rotate_rad, mirror) in [(0.0, false), (0.7, false), (2.9, true), (-1.2, true)] {
                let map = Rigid {
                    rotate_rad,
                    mirror,
                    shift: point(123.0, 45.0),
                };
                let fall = Fall::on_piece(&stripe, map);
                let to_page = |p: Point| point(50.0 + p.x * 0.8, 60.0 - p.y * 0.8);
                let box_of = [point(-20.0, -20.0), point(30.0, 25.0)];
                let shown = tile.area(&fall, box_of, to_page, 0.8).unwrap();
                let seen = image::load_from_memory(&shown.jpeg).unwrap().to_rgb8();
                for p in [
                    point(0.0, 0.0),
                    point(-17.0, 12.0),
                    point(25.0, -9.0),
                    point(13.0, 21.0),
                ] {
                    let on_fabric = map.apply(p);
                    let across = unit(stripe.normal_rad());
                    let along = point(-across.y, across.x);
                    let u = ((dot(across, on_fabric) - 11.0) / 60.0).rem_euclid(1.0);
                    let v = (dot(along, on_fabric) / 60.0).rem_euclid(1.0);
                    if [u, v].iter().any(|x| !(0.08..0.92).contains(x)) {
                        continue;
                    }
                    looked += 1;
                    let at = (to_page(p) - shown.corner) * PIXELS_PER_MM;
                    let pixel = seen.get_pixel(at.x as u32, at.y as u32).0;
                    let off = |sample: u8, of: f64| (f64::from(sample) / 255.0 - of).abs();
                    assert!(
                        off(pixel[0], u) < 0.03 && off(pixel[1], v) < 0.03,
                        "{run:?} {rotate_rad} {mirror} {p:?}: {pixel:?} for {u} {v}"
                    );
                }
            }
        }
        assert!(looked > 20, "{looked}");
    }
}
